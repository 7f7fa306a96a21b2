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
commands=$(sed -n '/^usage:/,/^  bedtally /s/^  \([a-z][a-z]*\) .*/\1/p' overall | grep -vx bedtally)
[ "$(echo "$commands" | wc -l)" -ge 10 ]
verdict $? "help lists every command"
for command in $commands; do
    expect 0 "help of $command" "$command" --help
    has out "usage: bedtally $command " "its page has its use"
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

# refused TEXT WORD...: wrong use, said so, with nothing on standard output
refused() {
    text=$1
    shift
    expect 2 "$*" "$@"
    empty out "$*"
    has err "error: $text" "$*"
}
refused '--version: expected nothing behind it, found "more"' --version more
refused '--help: expected nothing behind it, found "more"' --help more
refused 'help: expected one command behind it, found "more"' help budget more
refused 'local: expected nothing behind it, found "more"' handbook local more
refused '--format: expected text or json, found "csv"' compare . . --format csv
refused '--format: expected the name of a sum' sum --format json
refused '--samples: expected a whole number: auto looks at the beds of a garden, found "auto"' sum convert value='1 lb' --samples auto
refused '--units: expected no --from beside it' new made --from three-sisters --units metric
refused '--from-handbook: expected --with plan or --for file beside it' report . -o made.md --from-handbook
refused '--all: expected no LINE beside it: it shows the pages of all lines, found "need"' why . A1 need --all
for command in "compare . ." "amend ." "why . A1"; do
    # shellcheck disable=SC2086 # words are meant to split
    refused "--threads: expected an option of" $command --threads 2
done
expect 0 "draws of a sum" sum convert value='1..2 lb' --samples 1000
has out "; 1024 draws, seed 1" "draws of a sum"
has page "[TABLE [KEY [QUANTITY]]]" "the handbook's page names all it takes"

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
for command in "budget garden-us --bed" "compare garden-us garden-us --bed" "legumes garden-us --bed" "why garden-us" \
    "amend garden-us --bed" "check garden-us --bed"; do
    # shellcheck disable=SC2086 # words are meant to split
    expect 2 "an unknown bed: $command" $command A9
    [ "${command%% *}" = check ] || empty out "an unknown bed: $command"
    has err 'error: bed: expected a bed of beds.csv, found "A9"' "an unknown bed: $command"
    # its name, as a person types it
    # shellcheck disable=SC2086
    expect 0 "a bed by its name: $command" $command "By  the_shed"
    has out "A2" "a bed by its name: $command"
done
expect 0 "a folder whose name has a blank" new "my garden"
has out "Next: bedtally check 'my garden'" "a folder whose name has a blank"
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
of() { # COMMAND: what it can be asked with a small answer
    case $1 in
    new) echo new made-full ;;
    compare) echo compare garden-us garden-us --samples 256 ;;
    why) echo why garden-us A1 --samples 256 ;;
    report) echo report garden-us -o - --as md --samples 256 ;;
    sum | handbook) echo "$1" ;;
    check) echo check garden-us ;;
    *) echo "$1" garden-us --samples 256 ;;
    esac
}
for command in $commands; do
    of "$command"
    echo "$command --help"
done >lines
printf '%s\n' --version --help "budget garden-us --format json --samples 256" "budget garden-us --all --samples 256" >>lines
while read -r command; do
    # shellcheck disable=SC2086 # words are meant to split
    "$BEDTALLY" $command >/dev/full 2>err
    got=$?
    [ "$got" -eq 3 ]
    verdict $? "a full disk is said: $command (status $got)"
    has err "cannot write the answer: No space left on device" "a full disk: $command"
done <lines

totals
