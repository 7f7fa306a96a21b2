#!/bin/sh
# Single sums through the program: the example of every sum (tests/sums/NAME.txt and .json, compared as
# in check_golden.sh), and every published figure and case (tests/published_sums.py). `--update` writes
# the expected outputs anew. Ends with "N passed, N failed".
. "$(dirname "$0")/checks.sh"
cd "$root" || exit 3
update=0
[ "${1:-}" = "--update" ] && update=1

# The words of a sum's example, as its own help prints them.
example_of() {
    "$BEDTALLY" sum "$1" --help | sed -n '/^example:/{n;s/^ *bedtally sum //p;}'
}

"$BEDTALLY" sum | sed -n 's/^  \([a-z][a-z-]*\)  *[a-z].*/\1/p' >"$work/all"
sed '/^bedtally$/d' "$work/all" >"$work/names"
while read -r name; do
    words=$(example_of "$name")
    # The example is our own text and quotes as a shell wants it.
    eval "set -- $words"
    if ! "$BEDTALLY" sum "$@" >"$work/$name.txt" 2>"$work/err" ||
        ! "$BEDTALLY" sum "$@" --format json >"$work/$name.json" 2>>"$work/err" ||
        [ -s "$work/err" ]; then
        verdict 1 "sum $words"
        continue
    fi
    if [ "$update" = 1 ]; then
        mkdir -p tests/sums
        cp "$work/$name.txt" "$work/$name.json" tests/sums/
    fi
    diff -u "tests/sums/$name.txt" "$work/$name.txt"
    verdict $? "sum $words: not as tests/sums/$name.txt"
    json_same "tests/sums/$name.json" "$work/$name.json"
    verdict $? "sum $words: not as tests/sums/$name.json"
done <"$work/names"

# No sum has gone, and none has come without its expected output.
ls tests/sums | sed -n 's/\.json$//p' | sort >"$work/kept"
sort "$work/names" | diff "$work/kept" -
verdict $? "the sums are those of tests/sums"

python3 tests/published_sums.py "$BEDTALLY" tests/published/examples.csv tests/published/cases.csv >"$work/published"
sed '$d' "$work/published"
set -- $(sed -n '$s/^\([0-9]*\) passed, \([0-9]*\) failed$/\1 \2/p' "$work/published")
passed=$((passed + ${1:-0}))
failed=$((failed + ${2:-1}))
totals
