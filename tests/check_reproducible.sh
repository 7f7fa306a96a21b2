#!/bin/sh
# Same garden, same seed, same bytes: for 1 to a few threads more than there are processors, and for
# every program given (`make check-reproducible` gives those of gcc and clang, with and without
# sanitizers). Another seed must give other bytes. Ends with "N passed, N failed".
#   BEDTALLY=build/gcc-release/bedtally tests/check_reproducible.sh [PROGRAM ...]
. "$(dirname "$0")/checks.sh"
cd "$root" || exit 3
samples=2048
most=$(($(getconf _NPROCESSORS_ONLN 2>/dev/null || echo 2) + 3))
[ "$most" -le 9 ] || most=9

# answers PROGRAM THREADS SEED FILE
answers() {
    : >"$4"
    for garden in worked-examples/*/; do
        [ -e "$garden/beds.csv" ] || continue
        for form in "--format json" "--format csv" "--all"; do
            # shellcheck disable=SC2086 # words are meant to split
            "$1" budget "$garden" $form --samples "$samples" \
                --threads "$2" --seed "$3" >>"$4" 2>/dev/null || echo "exit $?" >>"$4"
        done
    done
    for command in "legumes" "legumes --format json" "legumes --format csv" "why --all" "amend --all" \
        "amend --format json" "compare --format json"; do
        second=""
        crew="--threads $2" # the others work on one bed at a time
        case $command in
        compare*) second=worked-examples/three-sisters crew= ;;
        why* | amend*) crew= ;;
        esac
        # shellcheck disable=SC2086 # words are meant to split
        "$1" ${command%% *} worked-examples/kitchen-garden-metric $second \
            $(bed_of "$command") ${command#"${command%% *}"} --samples 512 $crew --seed "$3" \
            >>"$4" 2>/dev/null || echo "exit $?" >>"$4"
    done
}
bed_of() { # `why` wants a bed
    case $1 in why*) echo K1 ;; esac
}

answers "$BEDTALLY" 1 1 "$work/one"
[ "$(wc -c <"$work/one")" -gt 10000 ] && ! grep -q '^exit' "$work/one"
verdict $? "the examples are answered"
threads=2
while [ "$threads" -le "$most" ]; do
    answers "$BEDTALLY" "$threads" 1 "$work/other"
    cmp -s "$work/one" "$work/other"
    verdict $? "$threads threads give other bytes than one"
    threads=$((threads + 1))
done
answers "$BEDTALLY" 2 2 "$work/other"
! cmp -s "$work/one" "$work/other"
verdict $? "another seed gives the same bytes"
for other in "$@"; do
    answers "$other" 2 1 "$work/other"
    cmp -s "$work/one" "$work/other"
    verdict $? "$other gives other bytes than $BEDTALLY"
done
totals
