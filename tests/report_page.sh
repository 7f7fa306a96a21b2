#!/bin/sh
# The page as a person meets it: opened at phone and desk width, printed, and searched for barriers by
# axe-core. Needs chromium, npm and poppler-utils; run by `make check-report`. Pictures stay in $OUT.
set -eu
: "${BEDTALLY:?names the program}"
OUT=${OUT:-$(mktemp -d)}
mkdir -p "$OUT"
root=$(cd "$(dirname "$0")/.." && pwd)
profile=$(mktemp -d)
trap 'rm -rf "$profile"' EXIT
browser() {
    timeout 120 chromium --headless --no-sandbox --disable-gpu --no-first-run \
        --disable-background-networking --disable-component-update --disable-sync \
        --user-data-dir="$profile/data" "$@" 2>/dev/null
}
npm install --silent --no-audit --no-fund --prefix "$profile" axe-core >/dev/null
status=0
for reader in record funder file sign volunteers; do
    page=$OUT/$reader.html
    as=""
    [ "$reader" = record ] || as="--for $reader"
    # shellcheck disable=SC2086 # two words or none
    "$BEDTALLY" report "$root/worked-examples/demonstration-garden" $as --force -o "$page" 2>/dev/null
    browser --window-size=500,2400 --screenshot="$OUT/$reader-phone.png" "file://$page" >/dev/null
    browser --window-size=1200,2400 --screenshot="$OUT/$reader-desk.png" "file://$page" >/dev/null
    browser --no-pdf-header-footer --print-to-pdf="$OUT/$reader.pdf" "file://$page" >/dev/null
    {
        sed 's|</html>||' "$page"
        printf '<script>'
        cat "$profile/node_modules/axe-core/axe.min.js"
        printf '</script><script>axe.run().then(r => { document.title = "axe " + r.violations.length + " " +
            r.passes.length + " " + r.violations.map(v => v.id + ":" + v.nodes[0].target).join(" "); });</script></html>'
    } >"$profile/axe.html"
    found=$(browser --virtual-time-budget=20000 --dump-dom "file://$profile/axe.html" |
        sed -n 's/.*<title>\(axe [^<]*\)<.*/\1/p' | head -1)
    echo "$reader: violations and rules passed: ${found:-no answer}"
    case $found in "axe 0 "*) ;; *) status=1 ;; esac
done
echo "pictures and prints: $OUT"
exit $status
