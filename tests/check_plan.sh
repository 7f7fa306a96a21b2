#!/bin/sh
# What `amend` promises is what `budget --plan` then shows: every bed of every worked example, and
# gardens that cannot be helped end in a sentence.
. "$(dirname "$0")/checks.sh"

for example in "$root"/worked-examples/*/; do
    name=$(basename "$example")
    cp -r "$example" before
    rm -f plan.csv
    "$BEDTALLY" amend "$example" -o plan.csv --format json >plan.json 2>err
    verdict $? "$name: a plan"
    "$BEDTALLY" budget "$example" --plan plan.csv --format json >budget.json 2>err
    verdict $? "$name: a budget with the plan in it"
    jq -r '.beds[] | select(.additions | length > 0) | [.bed, .chance_season, .chance_error] | @tsv' \
        plan.json >promised
    [ -s promised ]
    verdict $? "$name: some bed is planned"
    while IFS="$(printf '\t')" read -r bed chance error; do
        jq -e --arg bed "$bed" --argjson chance "$chance" --argjson error "$error" \
            '.beds[] | select(.bed == $bed) | (1 - .N.chance_of_shortfall - $chance)
             | fabs <= $error' budget.json >/dev/null
        verdict $? "$name, $bed: the budget shows the promised chance $chance"
    done <promised
    diff -r "$example" before >/dev/null
    verdict $? "$name: no file of the garden is changed"
    rm -rf before
done

garden() { # MATERIALS: a garden of one bed of cabbages
    rm -rf g
    mkdir g
    printf 'setting,value\nunits,metric\nseason,2026\nseason_start,2026-05-01\n' >g/garden.csv
    printf 'season_end,2026-09-30\nas_of,2026-05-05\nallowed,organic\n' >>g/garden.csv
    printf 'bed,length,width\nA1,5 m,1.2 m\n' >g/beds.csv
    printf 'bed,crop,share,in_ground\nA1,cabbage,1,2026-05-20\n' >g/plantings.csv
    [ -z "$1" ] || printf '%b' "$1" >g/materials.csv
}
says() { # MATERIALS SENTENCE
    garden "$1"
    "$BEDTALLY" amend g --all >out 2>err && tr -s ' \n' '  ' <out | grep -q "$2"
    verdict $? "$2"
}
says '' 'No plan: materials.csv names no material'
says 'material,like\nurea,urea\n' 'No plan: none of the materials may be used here'
says 'material,like\nlime,lime\n' 'it brings nothing that is counted here'
says 'material,like\nmeal,feather meal\n' 'No price (with its package) is known for meal'
says 'material,like,on_hand\nmeal,feather meal,3 g\n' 'Stopped by: what is on hand of meal'
says 'material,like\nheap,dairy compost\n' 'where no soil test asks for phosphate'

totals
