#!/bin/sh
# The program from outside: help, refusals, exit statuses, full disks, a fresh garden from start to
# answer.
. "$(dirname "$0")/checks.sh"
LC_ALL=C

# ---- help and version
expect 0 version --version
[ "$(cat out)" = "bedtally $(sed -n 's/^VERSION := //p' "$root/Makefile")" ]
verdict $? "the version is the Makefile's"
expect 0 help --help
cp out overall
empty err "help is an answer, not a message"
for command in new check budget why; do
    has overall "  $command " "help lists it"
    expect 0 "help of $command" "$command" --help
    has out "usage: bedtally $command DIR" "its page has its use"
    has out "example:" "its page has an example"
    empty err "its page is an answer"
    cp out page
    expect 0 "help $command" help "$command"
    cmp -s out page
    verdict $? "help $command is $command --help"
done
expect 2 "nothing asked"
empty out "nothing asked"
has err "usage: bedtally COMMAND" "nothing asked"

# ---- wrong use
expect 2 "unknown command" buget .
empty out "unknown command"
has err 'error: command: expected new, check, budget, ' "unknown command"
has err ', found "buget"' "unknown command"
has err '  hint: "budget"' "unknown command"
expect 2 "unknown option" budget . --sampels 4
has err '  hint: "--samples"' "unknown option"
expect 2 "no folder" budget
has err 'error: arguments: expected DIR' "no folder"
expect 2 "why needs a bed" why .
has err 'error: arguments: expected DIR BED [LINE]' "why needs a bed"

# ---- a folder that is none
expect 1 "no such garden" budget no-such-folder
empty out "no such garden"
has err 'no-such-folder' "no such garden"

# ---- a fresh garden
for units in us metric; do
    expect 0 "new $units" new "garden-$units" --units "$units"
    for f in garden beds plantings soil_tests water materials applications measures; do
        [ -s "garden-$units/$f.csv" ]
        verdict $? "new writes $f.csv"
    done
    has "garden-$units/README.txt" "sweet corn;" "README.txt lists the crops"
    has "garden-$units/README.txt" "(words: dug-in, surface" "README.txt lists the words"
    expect 0 "a fresh garden passes check" check "garden-$units"
    has out "A2" "check shows the beds"
    expect 0 "a fresh garden has an answer" budget "garden-$units" --samples 1024
    has out "A1" "the answer has the beds"
    expect 0 "an opened bed" budget "garden-$units" --bed a1 --samples 1024
    has out "sweet corn" "an opened bed has its lines"
    expect 0 "all opened" budget "garden-$units" --all --samples 1024
    has out "sweet corn" "all opened has lines"
    has out "1024" "all opened says how many draws"
    expect 0 "json" budget "garden-$units" --format json --samples 1024
    jq -e '.beds | length == 2' out >/dev/null 2>&1
    verdict $? "json has two beds"
    expect 0 "csv" budget "garden-$units" --format csv --samples 1024
    has out "need/A1/sweet corn" "csv has the lines"
    expect 0 "why a bed" why "garden-$units" A1 --samples 1024
    has out "sweet corn" "why a bed has its lines"
    expect 0 "why a line" why "garden-$units" A1 "need of sweet corn" --samples 1024
    expect 2 "why an unknown line" why "garden-$units" A1 "need of sweet cron" --samples 1024
    empty out "why an unknown line"
done
expect 2 "an unknown bed" budget garden-us --bed A9
has err 'error: bed: expected a bed of beds.csv, found "A9"' "an unknown bed"
expect 2 "a folder with something in it" new garden-us
has err "cannot start a garden in garden-us" "a folder with something in it"
mkdir empty-folder
expect 0 "an empty folder" new empty-folder
expect 2 "no folder above" new none/below
"$BEDTALLY" budget garden-us --threads 1 --format json >one 2>/dev/null
"$BEDTALLY" budget garden-us --threads 2 --format json >two 2>/dev/null
[ -s one ] && cmp -s one two
verdict $? "threads change nothing"

# ---- worked examples
expect 2 "an unknown example" new copied --from three-sistrs
[ ! -e copied ]
verdict $? "nothing is made for an unknown example"
mkdir -p examples/small examples/not-one
cp garden-us/*.csv examples/small/
BEDTALLY_EXAMPLES=$work/examples
export BEDTALLY_EXAMPLES
expect 2 "an unknown example" new copied --from smal
has err 'error: --from: expected one of small, found "smal"' "an unknown example"
has err '  hint: "small"' "an unknown example"
expect 0 "an example" new copied --from small
cmp -s copied/beds.csv garden-us/beds.csv
verdict $? "an example is copied as it is"
unset BEDTALLY_EXAMPLES

# ---- data with problems: all of them
printf 'bed,length,width\nA1,8 ft,4 ft\nA1,8,4 ft\n' >copied/beds.csv
expect 1 "problems" budget copied
empty out "problems"
has err "beds.csv:3:" "problems have their place"

# ---- the machine fails
for command in "--version" "--help" "budget --help" "budget garden-us --samples 256" \
    "budget garden-us --format json --samples 256" "budget garden-us --all --samples 256" \
    "check garden-us"; do
    # shellcheck disable=SC2086 # words are meant to split
    "$BEDTALLY" $command >/dev/full 2>err
    got=$?
    [ "$got" -eq 3 ]
    verdict $? "a full disk is said: $command (status $got)"
    has err "cannot write the answer: No space left on device" "a full disk: $command"
done

totals
