#!/bin/sh
# Every CSV that the program writes, from a garden whose names a spreadsheet would work out: RFC 4180, no cell
# that is run, numbers still numbers, and a plan that reads back.
. "$(dirname "$0")/checks.sh"

cp -r "$root/worked-examples/filled-bed" g
sed -i "s/^R1,New raised bed/=R1,@SUM(1+1)*cmd/" g/beds.csv
sed -i 's/^R1,/=R1,/' g/plantings.csv
sed -i 's/,R1,/,=R1,/; s/bagged cow manure/+bagged manure/; s/fresh wood chips/-wood "chips"/' g/applications.csv
sed -i 's/^bagged cow manure/+bagged manure/; s/^fresh wood chips/"-wood ""chips"""/' g/materials.csv
sed -i 's/^name,.*/name,"=HYPERLINK(""x"")"/' g/garden.csv
sed -i 's/-wood "chips"/"-wood ""chips"""/' g/applications.csv
# as a spreadsheet gives it back: with the apostrophe
sed -i 's/^=R1,winter/'"'"'=R1,winter/' g/plantings.csv

few='--samples 512'
# shellcheck disable=SC2086 # two words
{
    "$BEDTALLY" budget g $few --format csv >budget.csv 2>err
    verdict $? budget
    "$BEDTALLY" legumes "$root/worked-examples/three-sisters" $few --format csv >legumes.csv 2>err
    verdict $? legumes
    "$BEDTALLY" amend g $few --from-handbook --format csv >plan.csv 2>err
    verdict $? amend
    "$BEDTALLY" budget g $few --plan plan.csv >out 2>err
    verdict $? "a plan reads back"
    "$BEDTALLY" sum convert value='3 1/2 oz' $few --format csv >sum.csv 2>err
    verdict $? sum
    for reader in record funder file sign volunteers; do
        as="--for $reader"
        [ "$reader" = record ] && as=
        "$BEDTALLY" report g $few $as -o "report-$reader.csv" 2>err
        verdict $? "report $reader"
    done
}
for table in materials legumes sources cautions aliases words; do
    "$BEDTALLY" handbook "$table" --format csv >"handbook-$table.csv" 2>err
    verdict $? "handbook $table"
done
grep -q "\"'=R1\"" plan.csv
verdict $? "the plan guards its names"

python3 - >err 2>&1 <<'PY'
import csv, glob, re, sys
number = re.compile(r"-?[0-9]+(\.[0-9]+)?(e[-+]?[0-9]+)?$")
bad, minus = 0, 0
for name in sorted(glob.glob("*.csv")):
    raw = open(name, "rb").read()
    if raw.count(b"\n") != raw.count(b"\r\n") or not raw.endswith(b"\r\n"):
        print(name, "a line that does not end in CR LF"); bad = 1
    rows = list(csv.reader(raw.decode("utf-8").splitlines(keepends=True), strict=True))
    if len({len(r) for r in rows}) != 1:
        print(name, "rows of several lengths", {len(r) for r in rows}); bad = 1
    for r in rows:
        for cell in r:
            if cell[:1] in tuple("=+-@\t\r") and cell and not number.match(cell):
                print(name, "would be run:", cell); bad = 1
            if re.search(r"[\x00-\x1f\x7f]", cell):
                print(name, "a control character:", repr(cell)); bad = 1
            minus += cell.startswith("-")
            if cell.startswith("'-") and number.match(cell[1:]):
                print(name, "a number made text:", cell); bad = 1
if not minus:
    print("no number below zero was seen"); bad = 1
sys.exit(bad)
PY
verdict $? "RFC 4180, nothing that is run, numbers stay numbers"

totals
