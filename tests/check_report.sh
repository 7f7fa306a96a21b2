#!/bin/sh
# Reports from outside: every example in every format for every reader, whole or not at all, XML, the
# published schema, counted texts, hostile names.
. "$(dirname "$0")/checks.sh"
reports() { # STATUS NAME WORD...: `expect` of a report with few draws
    status=$1
    title=$2
    shift 2
    expect "$status" "$title" report --samples 512 "$@"
}
says() { # TEXT
    grep -qF -- "$1" err
    verdict $? "says \"$1\""
}

# ---- every example, reader and format
for example in "$root"/worked-examples/*/; do
    e=$(basename "$example")
    for reader in record funder file sign volunteers; do
        for ending in html md csv json; do
            if [ "$reader" = record ]; then
                reports 0 "$e, $reader, $ending" "$example" -o "$e-$reader.$ending"
            else
                reports 0 "$e, $reader, $ending" "$example" --for "$reader" -o "$e-$reader.$ending"
            fi
        done
    done
    "$BEDTALLY" budget "$example" --samples 512 --format json >"budget-$e.json" 2>err
done
xmllint --noout ./*.html 2>err
verdict $? "the pages are XML"
python3 "$root/tests/validate.py" "$root/docs/schema" ./*-record.json ./*-funder.json \
    ./*-file.json ./*-sign.json ./*-volunteers.json >err
verdict $? "reports keep to docs/schema/report.json"
python3 "$root/tests/validate.py" "$root/docs/schema" budget-*.json >err
verdict $? "budgets keep to docs/schema/budget.json"
if grep -l 'src="\|@import\|url(' ./*.html >err; then false; fi
verdict $? "the pages fetch nothing"

# ---- the texts for a form are counted, by others than us
for f in ./*-funder.json; do
    jq -e '.blocks as $b
        | ([$b[] | select(.text == "In up to 500 characters")] | length == 1)
        and ($b[(($b | map(.text == "In up to 500 characters") | index(true)) + 1)].text | length <= 500)
        and ($b[(($b | map(.text == "In 150 to 200 words") | index(true)) + 1)].text
             | [splits(" +")] | length | . >= 150 and . <= 200)' "$f" >/dev/null 2>err
    verdict $? "$f: 500 characters, 150 to 200 words"
done

# ---- a garden in the US reads no unit of the sources'; the sums have ranges; rows that make no leaf have sources
us=demonstration-garden
for reader in record funder sign volunteers; do
    if sed '/^## Mind/,$d' "$us-$reader.md" | grep -E '[0-9] (kg/m2|g/m2|g/kg|mg/kg|g/cm3|kg/m3)' >err; then false; fi
    verdict $? "$us, $reader: in the garden's own units"
done
grep -qE '\*\*All beds\*\*.*\| \*\*[0-9.]+ \([0-9.]+ to [0-9.]+\)\*\*' $us-funder.md
verdict $? "the sum of the gaps has its range"
grep -q 'about [0-9.]* oz (nine times in ten between [0-9.]* and [0-9.]* oz) was missing' $us-funder.md
verdict $? "and the text for the form says it"
for ending in md csv json html; do
    # limits of classes, feeder classes, warmth, household measures
    for source in RUT-M3 UMD-FEED NOAA-N; do
        grep -q "$source" "$us-funder.$ending"
        verdict $? "$us, $ending: names $source"
    done
    grep -q BUCKET "overfed-bed-record.$ending"
    verdict $? "overfed-bed, $ending: names the source of its buckets"
done

# ---- the plan, the legumes, another version
demo=$root/worked-examples/demonstration-garden
has() { # FILE TEXT
    grep -qF -- "$2" "$1"
    verdict $? "$1 holds \"$2\""
}
lacks() { # FILE TEXT
    if grep -qF -- "$2" "$1"; then false; fi
    verdict $? "$1 is without \"$2\""
}
advice='Advice: what could still be added'
has demonstration-garden-file.md "$advice"
has demonstration-garden-file.md 'The legumes and their neighbours'
for reader in record funder sign volunteers; do
    lacks "demonstration-garden-$reader.md" "$advice"
done
reports 0 "a record with the plan and the legumes" "$demo" --with plan,legumes -o with.md
has with.md "$advice"
has with.md 'Where the nitrogen of the pole bean goes'
reports 0 "a record with the plan alone" "$demo" --with plan -o plan.md
lacks plan.md 'The legumes and their neighbours'
reports 2 "advice for a funder" "$demo" --for funder --with plan -o never.md
says "holds deeds, no advice"
reports 2 "a part that is none" "$demo" --with plan,weather -o never.md
says 'found "weather"'
reports 2 "a second version on a sign" "$demo" --for sign --against "$demo" -o never.md
[ ! -e never.md ]
verdict $? "nothing was written"
cp -r "$demo" other
sed -i 's/^A2,tomato,4,/A2,tomato,6,/' other/plantings.csv
reports 0 "a record against another version" "$demo" --against other -o against.json
python3 "$root/tests/validate.py" "$root/docs/schema" against.json >err
verdict $? "it keeps to the schema"
has against.json '6 plants, from 18 May to 25 September'
reports 1 "against a folder that is none" "$demo" --against nowhere -o never.md
[ ! -e never.md ]
verdict $? "nothing was written"

# ---- the funder's table multiplies out; paid, given and moved stand apart
python3 - demonstration-garden-funder.json 2>err <<'END'
import json, sys
blocks = json.load(open(sys.argv[1]))["blocks"]
tables = {b["caption"]: b for b in blocks if b["kind"] == "table"}
def rows(caption, sums=False):
    t = tables[caption]
    names = [c["name"] for c in t["columns"]]
    all_rows = [dict(zip(names, r)) for r in t["rows"]]
    return all_rows[-1:] if sums else [r for r in all_rows if not str(r[names[0]]).startswith(("Total", "These"))]
bought = rows("Brought in")
for r in bought:
    assert abs(r["Quantity"]["value"] * r["Unit cost"]["value"] - r["Total"]["value"]) < 1e-6, r
total = sum(r["Total"]["value"] for r in bought)
assert abs(total - rows("Brought in", True)[0]["Total"]["value"]) < 1e-6
beds = sum(r["Cost"]["value"] for r in rows("Cost of what was bought, by bed"))
assert abs(total - beds) < 1e-6, (total, beds)
assert [r["Item"] for r in rows("Moved or made inside the garden")] == ["yarrow tops"]
END
verdict $? "the funder's table multiplies out"
cp -r "$demo" given
sed -i 's/2026-04-25,town yard,2026-0412,town compost,1 cu yd,34.00,25.00,,/2026-04-25,town yard,,town compost,1 cu yd,,,50.00,/' given/purchases.csv
reports 0 "compost that was given" given --for funder -o given.md
has given.md '**Given to the garden**'
has given.md 'town compost | 0.4456 | cu yd | \$50.00'
has given.md 'We bought barn straw (about 40 lb) for \$9.00.'

# ---- what is planned stands apart from what was done
has demonstration-garden-file.md '**Planned, not done**'
has demonstration-garden-file.md '| **Total where a price is on record** |  |  |  | **\$61.58** |'
lacks demonstration-garden-record.md 'not done**'

# ---- the list of sources: each once, by name, and every one that a row or a caution names
python3 - ./*-funder.json ./*-file.json ./*-record.json 2>err <<'END'
import json, re, sys
for name in sys.argv[1:]:
    if not re.search("-(funder|file|record).json$", name):
        continue
    blocks = json.load(open(name))["blocks"]
    listed = [r[0] for b in blocks if b["kind"] == "table" and b["columns"][0]["name"] == "Short name"
              for r in b["rows"]]
    assert listed == sorted(set(listed)), name
    named = set()
    for b in blocks:
        texts = [t for t in b.get("items", []) + [b.get("text", "")] if isinstance(t, str)]
        texts += [c for r in b.get("rows", []) for c in r if isinstance(c, str)]
        for t in texts:
            for group in re.findall(r"\(([^()]*(?:read|memory|practice|derived|judgement))\)", t):
                named.update(re.findall(r"([A-Z][A-Z0-9-]+[A-Z0-9]), (?:read|memory|practice|derived|judgement)", group))
    assert named <= set(listed), (name, named - set(listed))
END
verdict $? "every source that is named is listed"

# ---- what a funder reads can be opened
"$BEDTALLY" why "$demo" A2 "gap before anything was brought in" --samples 512 >out 2>err
verdict $? "why opens the gap"
has out 'required - already there before anything was brought in'

# ---- the volunteers' sheets read back
cp -r "$demo" back
python3 - demonstration-garden-volunteers.json 2>err <<'END'
import json, sys
blocks = json.load(open(sys.argv[1]))["blocks"]
filled = {"harvests": {"date": "2026-06-19", "bed": "B3", "crop": "sage", "amount": "1 lb", "to": "food pantry"},
          "applications": {"date": "2026-06-19", "beds": "B2", "material": "town compost",
                           "amount": "2 buckets", "placement": "dug-in", "status": "done"}}
for name, row in filled.items():
    columns = next([c["name"] for c in b["columns"]] for b in blocks
                   if b["kind"] == "table" and {c["name"] for c in b["columns"]} >= set(row))
    with open(f"back/{name}.csv", "w") as f:
        f.write(",".join(columns) + "\n" + ",".join(row.get(c, "") for c in columns) + "\n")
END
verdict $? "the sheets can be filled in"
"$BEDTALLY" check back >out 2>err
verdict $? "check reads the sheets"
[ ! -s err ]
verdict $? "and has nothing to say about them"
reports 0 "a report of the sheets" back -o back.md
has back.md 'sage | food pantry | 1'
has back.md '2 buckets (5 gal each), about 10 gal'

# ---- whole or not at all
garden=$root/worked-examples/three-sisters
echo kept >there.html
reports 2 "an existing file" "$garden" -o there.html
says "--force"
[ "$(cat there.html)" = kept ]
verdict $? "the old file is untouched"
reports 0 "with --force" "$garden" -o there.html --force
grep -q '</html>' there.html
verdict $? "the new one is whole"
cp -r "$demo" own
cp own/beds.csv beds-before.csv
reports 2 "a report over a file of the garden" own --force -o own/beds.csv
says "none of the garden's own"
cmp -s own/beds.csv beds-before.csv
verdict $? "the garden's file is untouched"
reports 0 "a report into the garden's folder" own -o own/report.csv
reports 2 "an ending that is none" "$garden" -o report.pdf
says ".html, .md, .csv or .json"
reports 2 "no file" "$garden"
reports 2 "a folder that is not there" "$garden" -o nowhere/report.html
says "there is no folder nowhere"
if [ -e /dev/full ]; then
    reports 3 "a full disk" "$garden" --as html -o /dev/full
    says "cannot write /dev/full"
    [ "$(wc -l <err)" -eq 1 ]
    verdict $? "in one line"
    "$BEDTALLY" report "$garden" --samples 512 --as md -o - >/dev/full 2>err
    [ $? -eq 3 ]
    verdict $? "a full disk behind standard output"
fi
# a folder that may not be written to: as somebody else, for root may everything
if [ "$(id -u)" -eq 0 ] && setpriv --reuid 65534 --clear-groups "$BEDTALLY" check "$garden" >/dev/null 2>&1; then
    mkdir shut && echo old >shut/old.html && chmod 755 "$work" shut
    setpriv --reuid 65534 --clear-groups "$BEDTALLY" report "$garden" --samples 512 --force -o shut/old.html >out 2>err
    [ $? -eq 3 ] && [ "$(cat shut/old.html)" = old ]
    verdict $? "a folder that may not be written to"
    says "cannot write shut/old.html: Permission denied"
elif [ "$(id -u)" -ne 0 ]; then
    mkdir shut && echo old >shut/old.html && chmod 555 shut
    reports 3 "a folder that may not be written to" "$garden" --force -o shut/old.html
    says "cannot write shut/old.html: Permission denied"
    [ "$(cat shut/old.html)" = old ]
    verdict $? "its old file is untouched"
    chmod 755 shut
fi
# a disk that fills up while an old file is replaced: the largest file may be 8 blocks
echo old >small.html
(ulimit -f 8 && trap '' XFSZ && "$BEDTALLY" report "$garden" --samples 512 --force -o small.html) >out 2>err
[ $? -eq 3 ] && [ "$(cat small.html)" = old ]
verdict $? "a disk that fills up leaves the old file"
[ -z "$(find . -name '*.part')" ]
verdict $? "nothing half written stays"

# ---- hostile names come out as text, for every reader in every format
python3 "$root/tests/hostile_garden.py" "$demo" hostile 2>err
verdict $? "a hostile garden"
for reader in record funder file sign volunteers; do
    for ending in html md csv json; do
        if [ "$reader" = record ]; then
            reports 0 "hostile, record, $ending" hostile --with plan,legumes --against hostile -o "hostile-record.$ending"
        else
            reports 0 "hostile, $reader, $ending" hostile --for "$reader" -o "hostile-$reader.$ending"
        fi
    done
done
xmllint --noout hostile-*.html 2>err && ! grep -q '<script\|<b>bold\|<img\|<i>\|<u>' hostile-*.html
verdict $? "no tag of theirs in the page"
has hostile-funder.html '&lt;script&gt;'
grep -qF '\<script\>' hostile-funder.md && ! grep -q '[^\\]<[sbiu/!]' hostile-*.md
verdict $? "nor in Markdown"
python3 - 2>err <<'END'
import csv, glob, json
for name in glob.glob("hostile-*.csv"):
    with open(name, newline="", encoding="utf-8") as f:
        rows = list(csv.reader(f, strict=True))
    assert len({len(r) for r in rows}) == 1, "rows of one length"
    for cell in (c for r in rows for c in r):
        number = cell.replace("-", "", 1).replace(".", "", 1).isdigit()
        assert number or cell[:1] not in ("=", "+", "-", "@", "\t", "\r"), cell
for name in glob.glob("hostile-*.*"):
    text = open(name, encoding="utf-8").read()
    assert not [c for c in text if (c < " " and c not in "\n\r\t") or c in "\x7f\u202d\u202e"], name
for name in glob.glob("hostile-*.json"):
    text = json.dumps(json.load(open(name, encoding="utf-8")), ensure_ascii=False)
    assert "<script>" in text and "\u05e9\u05dc\u05d5\u05dd" in text and "\U0001f33d" in text, name
END
verdict $? "nor a formula in CSV, nor a control character anywhere; letters of every script stay"
python3 "$root/tests/validate.py" "$root/docs/schema" hostile-*.json >err
verdict $? "hostile reports keep to the schema"
python3 - <<'END'
name = "x" * 10000
open("hostile/garden.csv", "w", encoding="utf-8").write("setting,value\nname," + name + "\nunits,us\nseason,2026\n")
END
reports 1 "a name of 10,000 characters" hostile -o long.html
says "expected at most 1,000 bytes in a cell"
[ "$(grep -c '1,000 bytes' err)" -eq 1 ] && [ ! -e long.html ]
verdict $? "one message, and no file"

"$BEDTALLY" report "$garden" --samples 512 -o - --as json --seed 7 >one 2>err
"$BEDTALLY" report "$garden" --samples 512 -o - --as json --seed 7 --threads 1 >two 2>err
cmp -s one two
verdict $? "same garden, same seed, same bytes"

totals
