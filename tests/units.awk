# awk -f tests/units.awk src/*/*.[ch]: figures end their names in their units. Two of different units are not
# assigned, added or compared without a factor between them; a field of a header that is named like a quantity
# has its unit in its name, or says beside it that it is unit-free or a share of something.
BEGIN {
    units = "kg_m2 g_m2 kg_m3 g_m3 m3_m2 mg_kg per_m2 per_d g_m m_d kg g m2 m3 m d frac degc pct lb oz"
    n_units = split(units, unit, " ")
    one = units
    gsub(" ", "|", one)
    name = "[a-z][a-z0-9_.>-]*_(" one ")"
    pair = "(^|[^a-z0-9_.>])" name "(\\[[^]]*\\])? *([-+]?=|[-+]|[<>]=?|==) " name "([^a-z0-9_]|$)"
    bare = "(area|depth|density|dose|length|mass|moisture|price|size|temperature|volume)"
}
function unit_of(s,   i) {
    sub(/\[.*$/, "", s); sub(/^.*[^a-z0-9_]/, "", s)
    for (i = 1; i <= n_units; i++) if (("_" s) ~ ("_" unit[i] "$")) return unit[i]
    return ""
}
function fault(what) { print FILENAME ":" FNR ": " what; bad = 1 }
/^ *(\/\*|\*)/ { next }
FILENAME ~ /\.h$/ && !/^[^\/]*[()]/ && match($0, "^ .*double .*" bare "[,;[]") && !/\/\*.*(unit-free|share of)/ {
    fault("no unit: " substr($0, RSTART, RLENGTH))
}
{
    for (rest = $0; match(rest, pair); rest = substr(rest, at + sign)) {
        at = RSTART
        both = substr(rest, at, RLENGTH)
        before = substr(rest, 1, at)
        after = substr(rest, at + RLENGTH - 1)
        match(both, / *([-+]?=|[-+]|[<>]=?|==) /)
        sign = RSTART
        left = unit_of(substr(both, 1, RSTART - 1))
        sub(/[^a-z0-9_]$/, "", both)
        right = unit_of(substr(both, RSTART + RLENGTH))
        if (left != right && before !~ /[*\/] *.?$/ && after !~ /^[^;,&|]*[*\/(?]/)
            fault("of two units: " both)
    }
}
END { exit bad }
