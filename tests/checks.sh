# shellcheck shell=sh
# What the check scripts share. Each begins with
#   . "$(dirname "$0")/checks.sh"
# and then stands in an empty folder, $work, that goes when it ends; $root is the project's. BEDTALLY is the
# program, the built one when nothing is said. Each ends with `totals`, whose line tests/run_all.sh reads.
set -u
LC_ALL=C.UTF-8
NO_COLOR=1
export LC_ALL NO_COLOR
root=$(cd "$(dirname "$0")/.." && pwd)
: "${BEDTALLY:=$root/build/gcc-release/bedtally}"
case $BEDTALLY in /*) ;; *) BEDTALLY=$PWD/$BEDTALLY ;; esac
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 3

passed=0
failed=0
verdict() { # STATUS NAME: counts; a failure shows what the program last wrote into out and err
    if [ "$1" -eq 0 ]; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
        echo "FAILED: $2"
        sed 's/^/  stdout: /' "$work/out" 2>/dev/null | head -5
        sed 's/^/  stderr: /' "$work/err" 2>/dev/null | head -5
    fi
}
expect() { # STATUS NAME WORD...: runs the program; stdout and stderr are in out and err
    want=$1
    name=$2
    shift 2
    "$BEDTALLY" "$@" >out 2>err
    got=$?
    [ "$got" -eq "$want" ]
    verdict $? "$name (status $got, want $want)"
}
has() { # FILE TEXT NAME
    grep -qF -- "$2" "$1"
    verdict $? "$3: no \"$2\" in $1"
}
empty() { # FILE NAME
    [ ! -s "$1" ]
    verdict $? "$2: $1 is not empty"
}
json_same() { # FILE FILE: numbers within 1e-8 of each other, everything else equal
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
plain_sums() { # FILE: it, with zeros in place of the tables' checksums, which change with every row of a table
    sed -E 's/(^|[" >|,])[0-9a-f]{16}([".,;<)| ]|$)/\10000000000000000\2/g' "$1"
}
totals() {
    echo "$passed passed, $failed failed"
    [ "$failed" -eq 0 ]
}
