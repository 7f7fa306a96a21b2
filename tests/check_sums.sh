#!/bin/sh
# Single sums through the program: the example of every sum (tests/sums/NAME.txt and .json, compared as
# in check_golden.sh), and every published figure and case (tests/published_sums.py). BEDTALLY_UPDATE=1
# writes the expected outputs anew where they differ. Ends with "N passed, N failed".
. "$(dirname "$0")/checks.sh"
cd "$root" || exit 3
update=${BEDTALLY_UPDATE:+1}

# The words of a sum's example, as its own help prints them.
example_of() {
    "$BEDTALLY" sum "$1" --help | sed -n '/^example:/{n;s/^ *bedtally sum //p;}'
}

same() { # KEPT MADE: shows where they differ; `made` has plain checksums already
    [ -f "$1" ] && plain_sums "$1" >"$work/kept.${1##*.}" || return 1
    case $1 in
    *.json) json_same "$work/kept.json" "$2" ;;
    *) diff -u "$work/kept.txt" "$2" ;;
    esac
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
    for form in txt json; do
        kept=tests/sums/$name.$form
        plain_sums "$work/$name.$form" >"$work/made.$form"
        [ -n "$update" ] && ! same "$kept" "$work/made.$form" && cp "$work/made.$form" "$kept"
        same "$kept" "$work/made.$form"
        verdict $? "sum $words: not as $kept"
    done
done <"$work/names"

# No sum has gone, and none has come without its expected output.
ls tests/sums | sed -n 's/\.json$//p' | sort >"$work/kept"
sort "$work/names" | diff "$work/kept" -
verdict $? "the sums are those of tests/sums"

# The checksums of the tables themselves, worked out apart from the program, each and over all.
set -- sum convert value='1 lb'
"$BEDTALLY" "$@" --format json 2>"$work/err" | jq -r '.tables | to_entries[] | "\(.key) \(.value)"' >"$work/told"
# shellcheck disable=SC2046 # names of tables are words
python3 tests/tables_checksums.py tables $(sed 's/ .*//' "$work/told") >"$work/sums"
"$BEDTALLY" "$@" 2>"$work/err" | sed -n 's/.*; tables \([0-9a-f]*\)\.$/all \1/p' >>"$work/told"
[ "$(wc -l <"$work/told")" -eq "$(($(ls tables/*.csv | wc -l) + 1))" ]
verdict $? "an answer names every table"
diff "$work/sums" "$work/told"
verdict $? "the tables' checksums are those of tables/"

python3 tests/published_sums.py "$BEDTALLY" tests/published/examples.csv tests/published/cases.csv >"$work/published"
sed '$d' "$work/published"
set -- $(sed -n '$s/^\([0-9]*\) passed, \([0-9]*\) failed$/\1 \2/p' "$work/published")
passed=$((passed + ${1:-0}))
failed=$((failed + ${2:-1}))
totals
