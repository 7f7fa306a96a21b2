# Data goes one way through the rooms: a file includes only from its own room or an earlier one.
# Library rooms neither print nor exit.
#   awk -f tests/layers.awk src/*/*.[ch]
BEGIN {
    n = split("base shape input worksheet model chance plan report command serve", room, " ")
    for (i = 1; i <= n; i++) rank[room[i]] = i
    front = rank["command"]
}
FNR == 1 {
    split(FILENAME, own, "/")
    here = rank[own[2]]
    if (!here) {
        print FILENAME ": not in a known room"
        bad = 1
    }
}
/^#include "/ {
    split($2, quoted, "\"")
    parts = split(quoted[2], inc, "/")
    # run.h stands above all rooms; only the front doors may use it.
    there = parts == 1 ? front : rank[inc[1]]
    if (!there || there > here || (parts == 1 && quoted[2] != "run.h" && here < front)) {
        print FILENAME ":" FNR ": must not include " quoted[2]
        bad = 1
    }
}
here < front && /(^|[^A-Za-z_])(printf|puts|putchar|perror|exit|_exit)\(/ && !/^ *(\/?\*)/ {
    print FILENAME ":" FNR ": a library room must not print or exit"
    bad = 1
}
END { exit bad }
