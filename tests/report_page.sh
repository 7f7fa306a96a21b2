#!/bin/sh
# The pages as people meet them: every worked example for every reader, opened at phone and desk width, light and
# dark, printed, and searched for barriers by axe-core. Needs chromium, npm and poppler-utils; run by `make
# check-report`. Pictures and prints stay in $OUT and are there to be looked at; EXAMPLES may name fewer.
set -eu
: "${BEDTALLY:?names the program}"
OUT=${OUT:-$(mktemp -d)}
mkdir -p "$OUT"
root=$(cd "$(dirname "$0")/.." && pwd)
if [ -z "${NODE_MODULES:-}" ]; then
    modules=$(mktemp -d)
    trap 'rm -rf "$modules"' EXIT
    npm install --silent --no-audit --no-fund --prefix "$modules" axe-core puppeteer-core >/dev/null
    NODE_MODULES=$modules/node_modules
fi
export NODE_MODULES
for e in ${EXAMPLES:-$(ls "$root/worked-examples")}; do
    for reader in record funder file sign volunteers; do
        as="--for $reader"
        [ "$reader" = record ] && as=""
        # shellcheck disable=SC2086 # two words or none
        "$BEDTALLY" report "$root/worked-examples/$e" $as --force -o "$OUT/$e-$reader.html" 2>/dev/null
    done
done
# Names of tags, letters from right to left, a thousand characters without a blank.
made=$(mktemp -d)
python3 "$root/tests/hostile_garden.py" "$root/worked-examples/demonstration-garden" "$made/garden"
for reader in record funder file sign volunteers; do
    as="--for $reader"
    [ "$reader" = record ] && as=""
    # shellcheck disable=SC2086 # two words or none
    "$BEDTALLY" report "$made/garden" $as --force -o "$OUT/hostile-$reader.html" 2>/dev/null
done
rm -rf "$made"
status=0
node "$root/tests/report_page.mjs" "$OUT" "$OUT"/*.html || status=1
# On paper: no word beyond the margins, every page numbered.
for pdf in "$OUT"/*.pdf; do
    pages=$(pdfinfo "$pdf" | sed -n 's/^Pages: *//p')
    pdftotext -bbox "$pdf" - | awk -v pdf="$(basename "$pdf")" '
        /<page / { match($0, /width="[0-9.]*/); wide = substr($0, RSTART + 7, RLENGTH - 7) + 0 }
        /<word / { match($0, /xMin="[0-9.-]*/); left = substr($0, RSTART + 6, RLENGTH - 6) + 0
                   match($0, /xMax="[0-9.]*/); right = substr($0, RSTART + 6, RLENGTH - 6) + 0
                   if (left < 20 || right > wide - 20) { print pdf ": beyond the margin: " $0; bad = 1 } }
        END { exit bad }' || status=1
    pdftotext -layout "$pdf" - | grep -c "[0-9]* of $pages\$" | {
        read -r numbered
        [ "$numbered" -ge "$pages" ]
    } || { echo "$(basename "$pdf"): pages without a number"; status=1; }
done
echo "pictures and prints: $OUT"
exit $status
