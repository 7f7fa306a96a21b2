#!/bin/sh
# What the whole program costs as gardens grow: the demonstration garden over and over, each copy with
# beds of its own, at 16,384 draws. Prints CPU and wall seconds, peak memory, and CPU per bed.
#   BEDTALLY=build/gcc-release/bedtally tests/bench.sh [beds ...]
set -eu
LC_ALL=C
export LC_ALL
: "${BEDTALLY:?names the program}"
root=$(cd "$(dirname "$0")/.." && pwd)
source=$root/worked-examples/demonstration-garden
[ $# -gt 0 ] || set -- 20 100 1000 10000
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

[ -x /usr/bin/time ] || { echo "bench: needs /usr/bin/time (package time)" >&2; exit 1; }

# Copy k of a row has -k after the name of each bed, so that copies share no bed. Names of beds are
# replaced in the columns that hold them.
cat >"$work/grow.awk" <<'A'
function renamed(list,   part, n, i, out) {
    n = split(list, part, /; */)
    for (i = 1; i <= n; i++)
        out = out (i > 1 ? ";" : "") (part[i] == "" ? "" : part[i] "-" copy)
    return out
}
BEGIN { FS = OFS = "," }
FNR == 1 {
    for (i = 1; i <= NF; i++)
        holds[i] = $i ~ /^(bed|beds|taken_from|group|sample)$/
    if (header) print
    next
}
{
    if (/"/) { print FILENAME ":" FNR ": quoted cells are not understood here" >"/dev/stderr"; exit 1 }
    for (i = 1; i <= NF; i++) if (holds[i]) $i = renamed($i)
    print
}
A
grow() { # BEDS TARGET
    mkdir "$2"
    cp "$source"/*.csv "$2/"
    beds_each=$(($(wc -l <"$source/beds.csv") - 1))
    copies=$((($1 + beds_each - 1) / beds_each))
    for f in beds plantings soil_tests water applications harvests; do
        [ -e "$source/$f.csv" ] || continue
        copy=1
        : >"$2/$f.csv"
        while [ "$copy" -le "$copies" ]; do
            awk -v copy="$copy" -v header="$((copy == 1))" -f "$work/grow.awk" "$source/$f.csv" \
                >>"$2/$f.csv"
            copy=$((copy + 1))
        done
    done
}
model=$(sed -n 's/^model name[[:space:]]*: //p' /proc/cpuinfo 2>/dev/null | head -1)
echo "$(uname -sm), $(getconf _NPROCESSORS_ONLN) processors${model:+, $model}"
echo "the demonstration garden, copied: bedtally budget GARDEN --samples 16384"
printf '%8s %10s %10s %10s %12s\n' beds "CPU s" "wall s" "peak MB" "CPU ms/bed"
for n in "$@"; do
    grow "$n" "$work/garden-$n"
    beds=$(($(wc -l <"$work/garden-$n/beds.csv") - 1))
    if ! /usr/bin/time -o "$work/time" -f '%U %S %e %M' "$BEDTALLY" budget "$work/garden-$n" \
        --samples 16384 >/dev/null 2>"$work/err"; then
        grep error "$work/err" | head -5 >&2
        exit 1
    fi
    awk -v beds="$beds" '{ printf "%8d %10.2f %10.2f %10.1f %12.2f\n", beds, $1 + $2, $3,
                                  $4 / 1024, 1000 * ($1 + $2) / beds }' "$work/time"
    rm -rf "$work/garden-$n"
done
