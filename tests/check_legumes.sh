#!/bin/sh
# legumes and compare from outside: every figure that `legumes` prints opens with `why`, as it is and
# with one thing changed; equal folders differ by nothing; refusals.
. "$(dirname "$0")/checks.sh"

cp -R "$root/worked-examples/three-sisters" garden
draws='--samples 256'

# ---- every figure opens
# shellcheck disable=SC2086 # words of our own
expect 0 "legumes as JSON" legumes garden $draws --format json
cp out legumes.json
jq -r '.beds[].legumes[] | .. | .label? // empty' legumes.json >labels
[ "$(wc -l <labels)" -ge 20 ]
verdict $? "at least twenty figures have a name"
while IFS= read -r label; do
    "$BEDTALLY" why garden M "$label" --samples 256 >page 2>err
    verdict $? "why opens \"$label\""
    # The page's own figure is that of the JSON: same name, same bed.
    grep -qF "$(printf '%s' "$label" | cut -c1-40)" page
    verdict $? "and is its page"
done <labels
jq -r '.beds[].legumes[].changes[].if' legumes.json >changes
[ "$(wc -l <changes)" -ge 10 ]
verdict $? "at least ten changes"
while IFS= read -r change; do
    # shellcheck disable=SC2086
    if [ "$change" = "left out" ] || [ "${change% instead}" != "$change" ]; then
        expect 0 "why --if '$change'" why garden M $draws --if "$change"
    else
        expect 0 "why --if '$change'" why garden M 'nitrogen fixed of pole bean' $draws --if "$change"
    fi
    grep -qF "As if: $change" out
    verdict $? "says what is changed"
done <changes

# ---- the page
expect 0 "legumes" legumes garden
grep -qF "No. The pole bean does not feed the sweet corn" out
verdict $? "the answer comes first"
grep -qF "19 times in 20 between nothing" out
verdict $? "its range begins at nothing"
expect 0 "the same again" legumes garden
cp out again
# shellcheck disable=SC2086
"$BEDTALLY" legumes garden --threads 1 >out 2>err
cmp -s out again
verdict $? "whatever the threads"
# shellcheck disable=SC2086
expect 0 "legumes as CSV" legumes garden $draws --format csv
[ "$(head -1 out | tr -d '\r')" = "bed,legume,quantity,of,likely,mean,p05,p50,p95,unit,run" ]
verdict $? "its header"
# shellcheck disable=SC2086
expect 0 "a garden without legumes" legumes "$root/worked-examples/kitchen-garden-metric" $draws

# ---- compare
cp -R garden same
# shellcheck disable=SC2086
expect 0 "equal folders" compare garden same $draws --format json
jq -e '[.beds[] | .N, .P2O5, .K2O | objects | to_entries[]
        | select(.key | IN("supply", "required", "tightest", "balance", "left"))
        | .value | select(. != null) | .[]] | (length > 5) and all(. == 0)' out >/dev/null
verdict $? "differ by exactly nothing"
jq -e '[.beds[] | .inputs, .plantings | length] | all(. == 0)' out >/dev/null
verdict $? "in nothing that goes in"
sed 's/16 mounds x 4/16 mounds x 8/' garden/plantings.csv >same/plantings.csv
# shellcheck disable=SC2086
expect 0 "twice the beans" compare garden same $draws
grep -qF "128 plants" out
verdict $? "says what is not the same"

# ---- tables of one folder alone
mkdir -p same/tables
printf '%s\n' 'key,quantity,low,likely,high,unit,ends,basis,scope,parent,rank_correlation,source,seen,notes' \
    'sweet corn,yield,1,2,3,kg/m2,,,bed,,,local,read,' >same/tables/crops.csv
# shellcheck disable=SC2086
expect 0 "a figure of the second's own" compare garden same $draws --format json
jq -e '(.tables | keys) == (.second_tables | keys) and .tables.crops != .second_tables.crops
        and .tables.soils == .second_tables.soils' out >/dev/null
verdict $? "the tables of both"
# shellcheck disable=SC2086
expect 0 "the same in words" compare garden same $draws
grep -qE 'tables [0-9a-f]{16} \(first\), [0-9a-f]{16} \(second\)\.$' out
verdict $? "both sums in the closing line"

# ---- refusals
expect 2 "no such change" why garden M 'nitrogen fixed of pole bean' --if 'picked blue'
grep -qF "picked dry" err
verdict $? "names those there are"
expect 2 "compare as CSV" compare garden same --format csv
expect 2 "one folder" compare garden
expect 1 "no such folder" compare garden nowhere
expect 2 "no such bed" compare garden same --bed Z9
totals
