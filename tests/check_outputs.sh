#!/bin/sh
# Where the commands write: never over a file that they read, never a file that they would read, whole
# or not at all, and what is wrong with a name is said before the work.
. "$(dirname "$0")/checks.sh"
LC_ALL=C

# ends STATUS TEXT WORD...: the program ends so and says so
ends() {
    want=$1
    text=$2
    shift 2
    expect "$want" "bedtally $*" "$@"
    [ -z "$text" ] || has err "$text" "bedtally $*"
}
sums() {
    find g other rows plan.csv -type f -exec cksum {} + | sort
}

"$BEDTALLY" new g >/dev/null && "$BEDTALLY" new other --units metric >/dev/null || exit 3
mkdir g/tables rows
printf 'key,quantity,likely,unit,source,seen,scope\nkale,days,70,d,local,practice,garden\n' >g/tables/crops.csv
cp g/tables/crops.csv rows/crops.csv
printf 'date,beds,material,amount\n2026-05-01,A1,blood meal,1 lb\n' >plan.csv
rm g/harvests.csv
ln -s g way
ln -s g/beds.csv beds-by-link.csv
ln g/beds.csv beds-by-name.csv
sums >before

# ---- a file that is read, or would be
own="that is none of the garden's own"
for path in g/beds.csv g/harvests.csv g/HARVESTS.csv ./g//beds.csv way/beds.csv way/harvests.csv beds-by-link.csv \
    beds-by-name.csv g/tables/crops.csv g/tables/soils.csv g/tables other/beds.csv other/tables/crops.csv; do
    mkdir -p other/tables
    ends 2 "error: -o: expected a file $own, found \"$path\"" report g --against other -o "$path" --as csv
    ends 2 "error: -o: expected a file $own, found \"$path\"" report g --against other -o "$path" --as csv --force
done
rmdir other/tables
ends 2 "error: -o: expected a file $own" report g --tables rows -o rows/crops.csv --force
ends 2 "error: -o: expected a file $own" report g --tables rows -o rows/soils.csv
ends 2 "error: -o: expected a file other than the plan that is read" report g --plan plan.csv -o plan.csv --force
ln -s plan.csv plan-by-link.csv
ends 2 "error: -o: expected a file other than the plan" report g --plan plan.csv -o plan-by-link.csv --force
for path in g/beds.csv g/harvests.csv g/applications.csv way/harvests.csv beds-by-link.csv g/tables/crops.csv \
    g/tables/soils.csv; do
    ends 2 "error: -o: expected a file $own, found \"$path\"" amend g -o "$path"
done
ends 2 "error: -o: expected a file $own" amend g --tables rows -o rows/plan.csv
ends 2 "error: --fix: expected a folder $own" check g --fix g/harvests.csv
ends 2 "error: --fix: expected a folder $own" check other --fix other/tables/
ends 2 "error: --fix: expected a folder $own" check g --tables rows --fix rows/soils.csv
sums | cmp -s before -
verdict $? "all that is read is as it was"

# Beside them there is room.
ends 0 "" report g -o g/record.csv --samples 256
ends 0 "" report g -o g/record.csv --samples 256 --force
ends 0 "" check g --fix g/clean
ends 0 "" amend g -o g/plan.csv --samples 256
rm -r g/record.csv g/clean g/plan.csv

# ---- what is wrong is said before the work, and in every command alike
: >there.csv
for command in "report g -o" "amend g -o" "check g --fix"; do
    # shellcheck disable=SC2086 # words are meant to split
    set -- $command
    ends 2 "error: $3: expected a f" "$1" "$2" "$3" there.csv
    ends 2 "that is not there yet, found \"there.csv\"" "$1" "$2" "$3" there.csv
    ends 2 "in a folder that is there, found \"none/a.csv\"" "$1" "$2" "$3" none/a.csv
    ends 2 "hint: there is no folder none" "$1" "$2" "$3" none/a.csv
done
ends 2 "that is not there yet, found \"g\"" report g -o g --as csv --force
ends 2 "--format csv writes the plan to the screen" amend g -o -
[ ! -e - ]
verdict $? "amend -o - made a file"

# ---- a run that is ended, or has no memory, leaves nothing behind
mkdir left
for command in "amend other -o left/plan.csv" "report other --for file -o left/file.html"; do
    # shellcheck disable=SC2086 # words are meant to split
    "$BEDTALLY" $command --samples 1048576 >out 2>err &
    program=$!
    sleep 0.3
    kill "$program"
    wait "$program"
    [ $? -ne 0 ] && [ -z "$(ls left)" ]
    verdict $? "bedtally $command, ended, left $(ls left)"
done
if ! grep -q __asan_init "$BEDTALLY" && "${CC:-cc}" -shared -fPIC -o refuse.so "$root/tests/refuse_memory.c" 2>/dev/null; then
    for nth in 600 1500 2500 4000; do
        for command in "amend other -o left/plan.csv" "report other -o left/file.html"; do
            # shellcheck disable=SC2086
            NTH=$nth LD_PRELOAD=./refuse.so "$BEDTALLY" $command --samples 256 >out 2>err
            got=$?
            [ "$got" -eq 0 ] || { [ "$got" -eq 3 ] && [ -z "$(ls left)" ]; }
            verdict $? "bedtally $command without memory from piece $nth: ends with $got, left $(ls left)"
            rm -f left/*
        done
    done
fi

# ---- what is replaced keeps its mode, and a link stays a link
echo old >old.md
chmod 640 old.md
ln -s old.md way.md
ends 0 "" report other -o way.md --for sign --samples 256 --force
[ -L way.md ] && [ "$(stat -c %a old.md)" = 640 ] && [ "$(wc -l <old.md)" -gt 5 ]
verdict $? "a link to a file of mode 640 is written through"

totals
