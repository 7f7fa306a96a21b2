#!/bin/sh
# Files and machines that fail: a clear message, the right exit status, nothing lost. FAULTS=all adds
# the slow ones (10,000 beds built and listed).
. "$(dirname "$0")/checks.sh"
LC_ALL=C
garden() { # a plain garden, anew
    rm -rf garden
    mkdir garden
    printf 'setting,value\nunits,us\nseason,2025\nseason_start,2025-05-01\nseason_end,2025-09-30\nas_of,2025-06-15\n' >garden/garden.csv
    printf 'bed,length,width\nA1,8 ft,4 ft\nA2,8 ft,4 ft\n' >garden/beds.csv
    printf 'bed,crop,plants,in_ground\nA1,kale,8,2025-05-01\nA2,carrot,200,2025-05-01\n' >garden/plantings.csv
}
# refused STATUS NAME TEXT: check and budget both end so, and say it
refused() {
    want=$1
    name=$2
    text=$3
    for command in check budget; do
        timeout 20 "$BEDTALLY" $command garden >out 2>err
        got=$?
        [ "$got" -eq "$want" ]
        verdict $? "$name: $command ends with $got, want $want"
        grep -qF -- "$text" err
        verdict $? "$name: $command does not say \"$text\""
    done
    [ ! -s out ]
    verdict $? "$name: budget answers all the same"
}

# ---- files that are none
garden
truncate -s 1G garden/beds.csv
refused 1 "a file of 1 GB" "beds.csv: error: file: expected at most 64 MB"
garden
rm garden/beds.csv
mkdir garden/beds.csv
refused 1 "a folder in place of a file" 'beds.csv: error: file: expected a CSV file that can be read, found "a folder"'
garden
rm garden/beds.csv
mkfifo garden/beds.csv
refused 1 "a pipe that nobody writes to" 'found "a pipe"'
garden
rm garden/beds.csv
ln -s beds.csv garden/beds.csv
refused 1 "a link to itself" "beds.csv"
garden
rm garden/beds.csv
ln -s /proc/self/mem garden/beds.csv
refused 1 "a read error" 'found "Input/output error"'
garden
cp "$BEDTALLY" garden/beds.csv
refused 1 "a program in place of a table" "beds.csv"
garden
: >garden/beds.csv
refused 1 "an empty file" "expected a first row with the names of the columns"
garden
head -c 100000 /dev/zero >garden/beds.csv
refused 1 "nothing but NUL" "beds.csv"
garden
{
    printf 'bed,length,width\n'
    yes '"' | head -c 300000
} >garden/beds.csv
refused 1 "nothing but quotes" "beds.csv"
garden
{
    printf 'bed,length,width\nA1,8 ft,'
    head -c 2000000 /dev/zero | tr '\0' 4
    printf '\n'
} >garden/beds.csv
refused 1 "a cell of 2 MB" "expected at most 1,000 bytes in a cell"
garden
head -c 3000000 /dev/zero | tr '\0' , >garden/beds.csv
refused 1 "three million commas" "beds.csv"
garden
chmod 0 garden/beds.csv
if [ ! -r garden/beds.csv ]; then # root may read everything
    refused 1 "no permission" "no permission to read it"
fi
garden
rm -r garden
refused 1 "no folder" "expected a garden folder"

# ---- files that change while they are read: an answer or a reason, never a crash
garden
(
    i=3
    while [ -d garden ]; do
        printf 'A%d,8 ft,4 ft\n' "$i" >>garden/beds.csv
        i=$((i + 1))
    done
) 2>/dev/null &
writer=$!
ok=0
for i in 1 2 3 4 5 6 7 8; do
    "$BEDTALLY" check garden >out 2>err
    got=$?
    { [ "$got" -eq 0 ] || { [ "$got" -eq 1 ] && grep -q 'error' err; }; } || ok=1
done
kill "$writer" 2>/dev/null
wait "$writer" 2>/dev/null
verdict $ok "a file that grows while it is read"
garden
(
    while [ -d garden ]; do
        rm -f garden/plantings.csv
        printf 'bed,crop,plants,in_ground\nA1,kale,8,2025-05-01\n' >garden/plantings.csv
    done
) 2>/dev/null &
writer=$!
ok=0
for i in 1 2 3 4 5 6 7 8; do
    "$BEDTALLY" check garden >out 2>err
    got=$?
    { [ "$got" -eq 0 ] || { [ "$got" -eq 1 ] && grep -q 'error' err; }; } || ok=1
done
kill "$writer" 2>/dev/null
wait "$writer" 2>/dev/null
verdict $ok "a file that comes and goes"

# ---- a disk that is full, a limit on file sizes
garden
before=$(cat garden/*.csv | cksum)
(
    trap '' XFSZ
    ulimit -f 0
    "$BEDTALLY" check garden --fix clean >/dev/full 2>/dev/null
)
[ $? -eq 3 ]
verdict $? "a copy that cannot be written"
[ "$(find clean -type f | wc -l)" -eq 0 ]
verdict $? "no half file is left"
rm -rf clean
for command in "check garden --fix clean" "check garden" "budget garden --samples 256"; do
    # shellcheck disable=SC2086 # words are meant to split
    "$BEDTALLY" $command >/dev/full 2>err
    [ $? -eq 3 ] && grep -qF 'cannot write the answer: No space left on device' err
    verdict $? "a full disk: $command"
done
[ "$(cat garden/*.csv | cksum)" = "$before" ]
verdict $? "the garden is as it was"

# ---- little memory: never a crash, and said when it is too little
ok=0
said=0
for kb in 20000 30000 40000 60000 80000 120000; do
    (
        ulimit -v "$kb"
        exec "$BEDTALLY" check garden
    ) >out 2>err
    got=$?
    case $got in
    0 | 127) ;; # 127: not even the libraries could be loaded
    3) grep -q 'out of memory' err && said=1 || ok=1 ;;
    1) grep -q 'error' err || ok=1 ;;
    *) ok=1 ;;
    esac
done
case $BEDTALLY in
*asan*) ;; # the sanitizer wants more room than there is
*) verdict $ok "little memory" ;;
esac
: "$said"

# ---- any piece of memory refused, to the program or to a library below it: exit 3 and a word, or the
# whole answer; FAULTS=all tries more of them. The sanitizer minds memory itself.
points="2 31 377 1127"
[ "${FAULTS:-}" = all ] && points="1 2 3 5 9 17 31 60 120 180 229 292 377 644 849 1127 1489 2100 2637 3502 4000 4664"
if ! grep -q __asan_init "$BEDTALLY" && "${CC:-cc}" -shared -fPIC -o refuse.so "$root/tests/refuse_memory.c" 2>/dev/null; then
    garden
    while read -r words; do
        ok=0
        rm -rf made
        # shellcheck disable=SC2086 # words are meant to split
        "$BEDTALLY" $words >whole 2>/dev/null
        want=$?
        for nth in $points; do
            for once in '' 1; do
                rm -rf made
                # shellcheck disable=SC2086
                env ${once:+ONCE=1} NTH="$nth" LD_PRELOAD=./refuse.so "$BEDTALLY" $words >out 2>err
                got=$?
                case $got in
                "$want") tr -cd '[:alnum:]' <whole >a && tr -cd '[:alnum:]' <out | cmp -s - a || ok=1 ;;
                3) grep -q 'memory' err || ok=1 ;;
                *) ok=1 ;;
                esac
            done
        done
        verdict $ok "little memory: $words"
    done <<'EOF'
sum fixed legume=soybean share=40
handbook kale --format json
check garden
check garden --fix made
new made
budget garden --samples 256 --format json
why garden A1
legumes garden --samples 256
compare garden garden --samples 256
amend garden --samples 256 --from-handbook
report garden -o - --as html --samples 256
EOF
    rm -rf made
fi

# ---- many beds
mkdir many
cp garden/garden.csv many/
awk 'BEGIN { print "bed,length,width"; for (i = 1; i <= 10000; i++) print "B" i ",8 ft,4 ft" }' >many/beds.csv
awk 'BEGIN { print "bed,crop,plants,in_ground"; for (i = 1; i <= 10000; i++) print "B" i ",kale,8,2025-05-01" }' >many/plantings.csv
timeout 120 "$BEDTALLY" check many --bed B10000 >out 2>err
[ $? -eq 0 ] && grep -q 'read: 10000 beds, 10000 plantings' out
verdict $? "10,000 beds are read"
awk 'BEGIN { print "bed,length,width"; for (i = 1; i <= 10000; i++) print "B" i ",8,4 ft" }' >many/beds.csv
timeout 120 "$BEDTALLY" check many --bed B1 >out 2>err
[ $? -eq 1 ] && [ "$(grep -c 'beds.csv:[0-9]*:[0-9]*: error: length' err)" -eq 1000 ] && grep -q 'more not shown' err
verdict $? "10,000 mistakes: a thousand listed, the rest counted"
timeout 300 "$BEDTALLY" budget many --samples 256 >out 2>err
[ $? -eq 1 ] && [ ! -s out ]
verdict $? "no answer of 10,000 beds that could not be read"
if [ "${FAULTS:-}" = all ]; then
    awk 'BEGIN { print "bed,length,width"; for (i = 1; i <= 10000; i++) print "B" i ",8 ft,4 ft" }' >many/beds.csv
    timeout 600 "$BEDTALLY" check many >out 2>err
    [ $? -eq 0 ] && grep -q '^B10000' out
    verdict $? "10,000 beds are built"
    timeout 600 "$BEDTALLY" budget many --samples 256 >out 2>err
    [ $? -eq 0 ] && [ "$(grep -c '^  B[0-9]* ' out)" -eq 10000 ]
    verdict $? "10,000 beds are answered"
    rm -rf garden
    mkdir garden
    cp many/garden.csv many/plantings.csv garden/
    yes 'B1,8 ft,4 ft' | head -c 1000000000 >garden/beds.csv
    refused 1 "a real file of 1 GB" "beds.csv: error: file: expected at most 64 MB"
    head -c 60000000 garden/beds.csv >small && mv small garden/beds.csv
    refused 1 "4 million lines" "expected at most 1 million rows"
    timeout 600 "$BEDTALLY" check many --fix many-clean >out 2>err
    [ $? -eq 0 ] && cmp -s many/beds.csv many-clean/beds.csv
    verdict $? "10,000 beds are copied"
fi

totals
