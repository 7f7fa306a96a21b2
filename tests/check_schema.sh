#!/bin/sh
# Every JSON that the program writes against its published schema (docs/schema): the golden files, every command
# on every worked example, every sum.
. "$(dirname "$0")/checks.sh"
# writes FILE WORD...: the program's JSON
writes() {
    file=$1
    shift
    "$BEDTALLY" "$@" --format json >"$file.json" 2>err
    verdict $? "$file"
}

few='--samples 512'
for example in "$root"/worked-examples/*/; do
    e=$(basename "$example")
    # shellcheck disable=SC2086 # two words
    {
        writes "budget-$e" budget "$example" $few
        writes "plan-$e" amend "$example" $few --from-handbook
        writes "plan-own-$e" amend "$example" $few
        writes "legumes-$e" legumes "$example" $few
        writes "compare-$e" compare "$example" "$root/worked-examples/three-sisters" $few
    }
    for reader in record funder file sign volunteers; do
        as="--for $reader"
        [ "$reader" = record ] && as=
        # shellcheck disable=SC2086 # two words or none
        "$BEDTALLY" report "$example" $few $as -o "report-$e-$reader.json" 2>err
        verdict $? "report $e $reader"
    done
done
for table in $("$BEDTALLY" handbook --format csv | sed -n '2,$s/,.*//p' | grep -v '^all$') words local; do
    writes "handbook-$table" handbook "$table"
done
writes handbook handbook
writes handbook-key handbook 'sweet corn'
writes handbook-quantity handbook crops 'sweet corn' yield
writes handbook-search handbook --search corn
writes handbook-column handbook words plantings crop
# a garden with tables of its own
cp -r "$root/worked-examples/three-sisters" own
mkdir -p own/tables
{ head -1 "$root/tables/crops.csv"; grep '^sweet corn,' "$root/tables/crops.csv" | head -3; } >own/tables/crops.csv
# shellcheck disable=SC2086
writes budget-own budget own $few
jq -e '.local | length > 0' budget-own.json >err
verdict $? "its rows are told"
# the sums, each by the examples of its own page
sums=0
sed -n 's/^    bedtally \(sum .*\)/\1/p' "$root/docs/sums.md" >sums
while read -r words; do
    sums=$((sums + 1))
    eval "writes sum-$sums $words $few"
done <sums
[ "$sums" -ge 20 ]
verdict $? "there are sums"

python3 "$root/tests/validate.py" --strict "$root/docs/schema" ./*.json >err
verdict $? "every output keeps to its schema, no schema lets more through"
python3 "$root/tests/validate.py" "$root/docs/schema" "$root"/worked-examples/*/expected/*.json >err
verdict $? "so do the golden files"

# ---- the test can fail
jq '.beds[0].N.more = 1' budget-three-sisters.json >more.json
python3 "$root/tests/validate.py" "$root/docs/schema" more.json >err && false
[ $? -eq 1 ] && grep -q "beds/0/N: .*'more' was unexpected" err
verdict $? "a member that no schema has is found"
jq 'del(.beds[0].N.balance)' budget-three-sisters.json >less.json
python3 "$root/tests/validate.py" "$root/docs/schema" less.json >err && false
[ $? -eq 1 ] && grep -q "'balance' is a required property" err
verdict $? "a member that is missing is found"

totals
