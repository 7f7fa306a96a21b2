#!/bin/sh
# Single sums through the program: the example of every sum (tests/sums/NAME.txt and .json, compared as
# in check_golden.sh), and every published figure and case (tests/published_sums.py). `--update` writes
# the expected outputs anew. Ends with "N passed, N failed".
set -u
cd "$(dirname "$0")/.." || exit 3
program=${BEDTALLY:-build/gcc-release/bedtally}
update=0
[ "${1:-}" = "--update" ] && update=1
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
passed=0
failed=0
export LC_ALL=C.UTF-8 NO_COLOR=1

result() { # result NAME STATUS
    if [ "$2" -eq 0 ]; then passed=$((passed + 1)); else
        echo "FAILED  $1"
        failed=$((failed + 1))
    fi
}

# The words of a sum's example, as its own help prints them.
example_of() {
    "$program" sum "$1" --help | sed -n '/^example:/{n;s/^ *bedtally sum //p;}'
}

json_near() {
    jq -n -e --slurpfile a "$1" --slurpfile b "$2" '
        def near: (.[0] - .[1] | fabs) <= 1e-8 * ([1, (.[0] | fabs), (.[1] | fabs)] | max);
        def same: .[0] as $x | .[1] as $y
            | if ($x | type) != ($y | type) then false
              elif ($x | type) == "number" then near
              elif ($x | type) == "object" then
                ($x | keys) == ($y | keys) and all($x | keys[]; [$x[.], $y[.]] | same)
              elif ($x | type) == "array" then
                ($x | length) == ($y | length) and all(range($x | length); [$x[.], $y[.]] | same)
              else $x == $y end;
        [$a[0], $b[0]] | same' >/dev/null
}

"$program" sum | sed -n 's/^  \([a-z][a-z-]*\)  *[a-z].*/\1/p' >"$work/all"
sed '/^bedtally$/d' "$work/all" >"$work/names"
while read -r name; do
    words=$(example_of "$name")
    # The example is our own text and quotes as a shell wants it.
    eval "set -- $words"
    if ! "$program" sum "$@" >"$work/$name.txt" 2>"$work/messages" ||
        ! "$program" sum "$@" --format json >"$work/$name.json" 2>>"$work/messages" ||
        [ -s "$work/messages" ]; then
        cat "$work/messages"
        result "sum $words" 1
        continue
    fi
    if [ "$update" = 1 ]; then
        mkdir -p tests/sums
        cp "$work/$name.txt" "$work/$name.json" tests/sums/
    fi
    diff -u "tests/sums/$name.txt" "$work/$name.txt"
    result "sum $words: not as tests/sums/$name.txt" $?
    json_near "tests/sums/$name.json" "$work/$name.json"
    result "sum $words: not as tests/sums/$name.json" $?
done <"$work/names"

# No sum has gone, and none has come without its expected output.
ls tests/sums | sed -n 's/\.json$//p' | sort >"$work/kept"
sort "$work/names" | diff "$work/kept" -
result "the sums are those of tests/sums" $?

python3 tests/published_sums.py "$program" tests/published/examples.csv tests/published/cases.csv >"$work/published"
sed '$d' "$work/published"
set -- $(sed -n '$s/^\([0-9]*\) passed, \([0-9]*\) failed$/\1 \2/p' "$work/published")
passed=$((passed + ${1:-0}))
failed=$((failed + ${2:-1}))
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
