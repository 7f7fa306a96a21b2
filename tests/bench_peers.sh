#!/bin/sh
# One budget of 25 inputs in this program and in others, one after the other on this machine: what each
# command prints, and behind it how many times our worksheet's time a draw that is.
#   bench_peers.sh BENCH_25
set -eu
bench=$1
peers=$(cd "$(dirname "$0")" && pwd)/peers
figures=$(mktemp)
trap 'rm -f "$figures"' EXIT
printf '%s %s, %s processors, %s\n' "$(uname -s)" "$(uname -m)" "$(nproc)" \
    "$(sed -n 's/^model name[^:]*: *//p' /proc/cpuinfo | head -1)"
OMP_NUM_THREADS=1
export OMP_NUM_THREADS
show() { # WORD...: runs it; a model's line has five figures behind its name
    echo "\$ $*"
    "$@" >"$figures"
    awk -v ours="${ours:-0}" '
        / worksheet / { ours = $(NF - 4) }
        $NF ~ /^-?[0-9.]+$/ && $(NF - 4) ~ /^[0-9.]+$/ && ours > 0 { printf "%s  %6.1f times\n", $0, $(NF - 4) / ours; next }
        { print }' "$figures"
}
show "$bench"
ours=$(awk '/ worksheet / { print $(NF - 4) }' "$figures")
show /usr/bin/python3 "$peers/model25.py"
show Rscript --vanilla "$peers/model25.R"
show octave --no-gui --norc -q "$peers/model25.m"
