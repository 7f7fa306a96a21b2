#!/bin/sh
# The worked examples' answers against their golden files (tests/golden.list). Text is compared as it
# is, JSON by structure with numbers within 1e-8. `--update` shows each difference and asks before it
# replaces a file (YES=1 takes all). Ends with "N passed, N failed".
set -u
cd "$(dirname "$0")/.." || exit 3
program=${BEDTALLY:-build/gcc-release/bedtally}
update=0
[ "${1:-}" = "--update" ] && update=1
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
passed=0
failed=0

# Numbers within 1e-8 of each other, everything else equal.
json_same() {
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
        [$a[0], $b[0]] | same' >"$work/same" 2>&1
}

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
    LC_ALL=C.UTF-8 NO_COLOR=1 "$program" "$@" >"$made" 2>"$work/messages"
    status=$?
    cat "$work/messages" >>"$work/all-messages"
    if [ "$status" -ne 0 ]; then
        echo "FAILED  bedtally $*: exit $status"
        cat "$work/messages"
        failed=$((failed + 1))
    elif [ -f "$golden" ] && same "$golden" "$made"; then
        passed=$((passed + 1))
    elif [ "$update" = 1 ]; then
        diff -u "$golden" "$made" 2>/dev/null || [ -f "$golden" ] || echo "new: $golden"
        if ask; then
            mkdir -p "$(dirname "$golden")"
            cp "$made" "$golden"
            passed=$((passed + 1))
        else
            failed=$((failed + 1))
        fi
    else
        echo "FAILED  bedtally $*: not as $golden"
        diff -u "$golden" "$made" | head -40
        failed=$((failed + 1))
    fi
done <tests/golden.list
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
