#!/bin/sh
# The worked examples' answers against their golden files (tests/golden.list). Text is compared as it
# is, JSON by structure with numbers within 1e-8; the checksums of the tables are left out (they have a
# test in check_sums.sh). `--update` shows each difference and asks before it replaces a file;
# BEDTALLY_UPDATE=1 shows it and asks nothing. Ends with "N passed, N failed".
. "$(dirname "$0")/checks.sh"
cd "$root" || exit 3
update=${BEDTALLY_UPDATE:+1}
[ "${1:-}" = "--update" ] && update=1

same() { # GOLDEN MADE: `made` has plain checksums already
    plain_sums "$1" >"$work/golden.${1##*.}"
    case $1 in
    *.json) json_same "$work/golden.json" "$2" ;;
    *) cmp -s "$work/golden.${1##*.}" "$2" ;;
    esac
}

ask() {
    [ -n "${BEDTALLY_UPDATE:-}" ] && return 0
    printf 'take it? [y/N] '
    read -r answer </dev/tty && [ "$answer" = y ]
}

for example in worked-examples/*/garden.csv; do
    example=$(basename "$(dirname "$example")")
    grep -q "^$example " tests/golden.list
    verdict $? "the worked example $example has no line in tests/golden.list"
done

while read -r example file arguments; do
    case $example in '' | '#'*) continue ;; esac
    golden=worked-examples/$example/expected/$file
    made=$work/$file
    # The arguments are words of our own list; EXAMPLE stands for the folder.
    set -- $(printf '%s\n' "$arguments" | sed "s|EXAMPLE|worked-examples/$example|g")
    "$BEDTALLY" "$@" >"$work/made" 2>"$work/err"
    status=$?
    plain_sums "$work/made" >"$made"
    if [ "$status" -ne 0 ]; then
        verdict 1 "bedtally $*: exit $status"
    elif [ -f "$golden" ] && same "$golden" "$made"; then
        verdict 0
    elif [ -n "$update" ]; then
        diff -u "$golden" "$made" 2>/dev/null || [ -f "$golden" ] || echo "new: $golden"
        if ask; then
            mkdir -p "$(dirname "$golden")"
            cp "$made" "$golden"
            verdict 0
        else
            verdict 1 "bedtally $*: left as it was (BEDTALLY_UPDATE=1 takes all)"
        fi
    else
        verdict 1 "bedtally $*: not as $golden"
        diff -u "$golden" "$made" | head -40
    fi
done <tests/golden.list
totals
