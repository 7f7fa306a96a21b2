#!/bin/sh
# `bedtally handbook` from outside: tables, keys, words, searches, refusals; a garden's own rows named in
# every answer.
. "$(dirname "$0")/checks.sh"
LC_ALL=C

# ---- what there is
expect 0 "tables" handbook
has out "judgement" "tables"
has out "materials" "tables"
empty err "tables"
expect 0 "tables as json" handbook --format json
jq -e '.tables | length >= 9' out >/dev/null 2>&1
verdict $? "tables as json"
expect 0 "a table" handbook crops
has out "sweet corn" "a table"
expect 0 "a table, singular" handbook crop
expect 0 "a key" handbook crops corn
has out "sweet corn, in crops" "a key by another spelling"
has out "HECK-2007" "a key has its sources"
expect 0 "a quantity" handbook crops 'sweet corn' n_uptake
expect 0 "as the worksheet names it" handbook 'crops/sweet corn/n_uptake/A1'
has out "8 .. 10 .. 12 g/kg" "as the worksheet names it"
expect 0 "a key without its table" handbook 'bush beans'
has out "snap bean, in crops" "a key without its table"
has out "snap bean, in legumes" "a key without its table"
expect 0 "a source" handbook sources HECK-2007
has out "Heckman" "a source"
expect 0 "csv" handbook materials urea --format csv
has out "urea,n," "csv"
expect 0 "json" handbook materials urea --format json
jq -e '.rows[0].source.title' out >/dev/null 2>&1
verdict $? "json has the title of the source"
expect 0 "search" handbook --search 'leaf mould'
has out "leaf mould" "search"
expect 0 "search a table" handbook legumes --search vetch
expect 0 "words" handbook words
has out "dug-in; surface; hole" "words"
expect 0 "words of a column" handbook words plantings picked
has out "green; dry" "words of a column"
expect 0 "nothing local" handbook local
has out "No row is local" "nothing local"

# ---- what there is not
expect 2 "an unknown table" handbook cropz
empty out "an unknown table"
has err 'hint: did you mean "crops"' "an unknown table"
expect 2 "an unknown key" handbook crops tomatto
has err 'expected a key of crops, found "tomatto"' "an unknown key"
has err '"tomato"' "an unknown key"
expect 2 "an unknown quantity" handbook crops tomato n_uptak
expect 2 "nothing found" handbook --search qqqq
expect 2 "no such words" handbook words bedz
expect 1 "no such garden" handbook --garden none
has err "expected the folder of a garden" "no such garden"
expect 1 "no such tables" handbook --tables none
"$BEDTALLY" handbook crops >/dev/full 2>err
[ $? -eq 3 ]
verdict $? "a full disk"

# ---- a garden's own rows
cp -r "$root/worked-examples/three-sisters" garden
expect 0 "without own rows" budget garden --samples 256
grep -q "Local figures" out
[ $? -ne 0 ]
verdict $? "nothing local to name"
cp out before
mkdir garden/tables
printf '%s\n' 'key,quantity,low,likely,high,unit,scope,source,seen,notes' \
    'corn,yield,1,1.4,1.9,kg/m2,bed,local,practice,our scale' \
    'winter squash,n_uptake,3,3.6,4.4,g/kg,garden,HECK-2007,read,as if read' >garden/tables/crops.csv
expect 0 "with own rows" budget garden --samples 256
cmp -s before out
[ $? -ne 0 ]
verdict $? "own rows change the answer"
has out "crops, sweet corn, yield: 1 .. 1.4 .. 1.9 kg/m2" "budget names own rows"
has out "garden/tables/crops.csv:2" "budget says where"
expect 0 "a bed" budget garden --bed M --samples 256
has out "Local figures" "an opened bed names them"
expect 0 "all" budget garden --all --samples 256
[ "$(grep -c "Local figures" out)" -eq 1 ]
verdict $? "all names them once"
expect 0 "check" check garden
has out "Local figures" "check names them"
expect 0 "why" why garden M "yield of sweet corn"
has out "local, practice" "why marks a local figure"
expect 0 "why" why garden M "uptake of winter squash"
has out "HECK-2007, read, local" "why marks a local figure with a source of ours"
expect 0 "csv" budget garden --format csv --samples 256
grep -q "Local" out
[ $? -ne 0 ]
verdict $? "csv is left alone"
expect 0 "json" budget garden --format json --samples 256
jq -e '.local | length == 2 and .[0].key == "sweet corn" and .[0].likely == 1.4' out >/dev/null 2>&1
verdict $? "json has the local rows"
jq -S .tables out >with
expect 0 "json" budget "$root/worked-examples/three-sisters" --format json --samples 256
jq -S .tables out >without
jq -e 'has("units") and has("crops") and has("aliases")' without >/dev/null 2>&1
verdict $? "json has a checksum of each table"
[ "$(diff with without | grep -c '^<')" -eq 1 ]
verdict $? "the checksum of the table changes, and no other"
expect 0 "handbook local" handbook local --garden garden
has out "in place of" "handbook local says instead of what"
expect 0 "with --tables" budget "$root/worked-examples/three-sisters" --tables garden/tables --samples 256
has out "Local figures" "rows of --tables are named"
# shapes, ends across a limit, and a figure that follows another
printf '%s\n' 'key,quantity,low,likely,high,unit,ends,scope,parent,rank_correlation,source,seen' \
    'sweet corn,yield,0.8,1.1,1.7,kg/m2,bounds normal,bed,sweet corn/n_uptake,-0.8,local,read' \
    'winter squash,yield,0.3,6,9,kg/m2,p05-p95,bed,,,local,read' >garden/tables/crops.csv
expect 0 "a chosen shape" check garden
has out "1.1 .. 1.7 kg/m2, never" "a chosen shape is said"
has err "crops.csv:3:1: note: yield of a full stand of winter squash, 0.3..6..9 kg/m2" \
    "an end that was moved has its place"
has err "reach beyond 0, which cannot be, so 0 is taken as the low end" "and a reason"
[ "$(grep -c 'taken as the low end' err)" -eq 1 ]
verdict $? "once, not once a bed"
expect 0 "a key" handbook crops 'sweet corn' yield --garden garden
has out "never outside the ends, normal" "its shape"
has out "goes down with sweet" "a figure that follows another"
# a laboratory that found less than it can measure
printf '%s\n' 'sample,date,beds,depth,nitrate_n' 'S9,2026-05-01,M,0-12 in,<1 ppm' >garden/soil_tests.csv
expect 0 "below what can be measured" why garden M 'nitrate nitrogen, tested'
has out "0.5 ppm (9 times in 10 between 0.05 and 0.95)" "anything below is as likely"
printf '%s\n' 'key,quantity,likely,unit,scope,source,seen' 'kale,yield,2,kg,bed,local,read' >garden/tables/crops.csv
expect 1 "a bad row" budget garden
has err "crops.csv:2:" "a bad row has its place"

# ---- what comes out of it can go into a garden
rm -r garden/tables
mkdir garden/tables
for t in crops legumes intercrops materials residues soils ratings measures; do
    "$BEDTALLY" handbook $t --format csv >garden/tables/$t.csv
done
expect 0 "the whole handbook as a garden's own" check garden

totals
