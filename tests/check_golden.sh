#!/bin/sh
# The worked examples' answers against their golden files (tests/golden.list). Text is compared as it
# is, JSON by structure with numbers within 1e-8. `--update` shows each difference and asks before it
# replaces a file (YES=1 takes all). Ends with "N passed, N failed".
. "$(dirname "$0")/checks.sh"
cd "$root" || exit 3
update=0
[ "${1:-}" = "--update" ] && update=1

same() {
    case $1 in
    *.json) json_same "$1" "$2" ;;
    *) cmp -s "$1" "$2" ;;
    esac
}

ask() {
    [ "${YES:-}" = 1 ] && return 0
    printf 'take it? [y/N] '
    read -r answer </dev/tty && [ "$answer" = y ]
}

while read -r example file arguments; do
    case $example in '' | '#'*) continue ;; esac
    golden=worked-examples/$example/expected/$file
    made=$work/$file
    # The arguments are words of our own list; EXAMPLE stands for the folder.
    set -- $(printf '%s\n' "$arguments" | sed "s|EXAMPLE|worked-examples/$example|g")
    "$BEDTALLY" "$@" >"$made" 2>"$work/err"
    status=$?
    if [ "$status" -ne 0 ]; then
        verdict 1 "bedtally $*: exit $status"
    elif [ -f "$golden" ] && same "$golden" "$made"; then
        verdict 0
    elif [ "$update" = 1 ]; then
        diff -u "$golden" "$made" 2>/dev/null || [ -f "$golden" ] || echo "new: $golden"
        if ask; then
            mkdir -p "$(dirname "$golden")"
            cp "$made" "$golden"
            verdict 0
        else
            verdict 1 "bedtally $*: left as it was"
        fi
    else
        verdict 1 "bedtally $*: not as $golden"
        diff -u "$golden" "$made" | head -40
    fi
done <tests/golden.list
totals
