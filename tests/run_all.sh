#!/bin/sh
# Runs every test program and script given, all of them whatever fails, and ends with one line
# "N passed, N failed". Silent about what passes except for one line each.
#   BEDTALLY=path/of/program tests/run_all.sh test-program ... check-script.sh ...
# A C program is counted by cmocka's totals, a script by its own last line "N passed, N failed".
# Either counts as one more failure when it ends badly without reporting one (a crash).
# RUN, if set, is put before each C program (valgrind ...).
set -u

passed=0
failed=0
log=$(mktemp)
trap 'rm -f "$log"' EXIT

for t in "$@"; do
    case $t in
    *.sh)
        "$t" >"$log" 2>&1
        status=$?
        p=$(sed -n '$s/^\([0-9][0-9]*\) passed, \([0-9][0-9]*\) failed$/\1/p' "$log")
        f=$(sed -n '$s/^\([0-9][0-9]*\) passed, \([0-9][0-9]*\) failed$/\2/p' "$log")
        ;;
    *)
        # shellcheck disable=SC2086 # RUN is a command and its options
        ${RUN:-} "$t" >"$log" 2>&1
        status=$?
        p=$(awk '/\[  PASSED  \]/ { sub(/.*\[  PASSED  \] */, ""); n += $1 } END { print n + 0 }' "$log")
        f=$(awk '/\[  FAILED  \] [0-9]+ test/ { sub(/.*\[  FAILED  \] */, ""); n += $1 }
                 END { print n + 0 }' "$log")
        ;;
    esac
    p=${p:-0}
    f=${f:-0}
    if [ "$status" -ne 0 ] && [ "$f" -eq 0 ]; then f=1; fi
    # A program that ends well but ran nothing tests nothing.
    if [ "$status" -eq 0 ] && [ $((p + f)) -eq 0 ]; then f=1; fi
    passed=$((passed + p))
    failed=$((failed + f))
    if [ "$f" -ne 0 ]; then
        grep -v -e '^\[ RUN      \]' -e '^\[       OK \]' "$log"
        echo "FAILED  $t ($p passed, $f failed, status $status)"
    else
        echo "ok      $t ($p)"
    fi
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
