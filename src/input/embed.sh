#!/bin/sh
# Writes C that holds the tables given, byte for byte, and bt_embedded_table() to find them.
#   src/input/embed.sh tables/*.csv >embedded.c
# Arrays of bytes rather than string literals: a table is longer than C promises for a literal.
set -eu

echo '/* Generated from tables/ by src/input/embed.sh. */'
echo '#include <string.h>'
echo
echo '#include "input/handbook.h"'
for table in "$@"; do
    name=$(basename "$table" .csv)
    printf '\nstatic const unsigned char table_%s[] = {\n' "$(printf %s "$name" | tr -c 'a-z0-9' _)"
    od -An -v -t u1 "$table" | awk '{ for (i = 1; i <= NF; i++) printf "%s,", $i; print "" }'
    echo '0};'
done
echo
echo 'static const struct { const char *name; const unsigned char *bytes; size_t n; } tables[] = {'
for table in "$@"; do
    name=$(basename "$table" .csv)
    id=table_$(printf %s "$name" | tr -c 'a-z0-9' _)
    echo "    {\"$name\", $id, sizeof $id - 1},"
done
cat <<'C'
    {NULL, NULL, 0},
};

const char *bt_embedded_table(const char *name, size_t *out_n)
{
    for (size_t i = 0; tables[i].name; i++) {
        if (strcmp(tables[i].name, name) == 0) {
            *out_n = tables[i].n;
            return (const char *)tables[i].bytes;
        }
    }
    *out_n = 0;
    return NULL;
}
C
