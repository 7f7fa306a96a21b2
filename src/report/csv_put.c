#include "report/csv_put.h"

#include <csv.h>
#include <string.h>

const char *bt_csv_guarded(struct bt_arena *a, const char *text)
{
    const char *shown = text ? text : "";
    return *shown && strchr("=+-@\t\r", *shown) ? bt_arena_format(a, "'%s", shown) : shown;
}

void bt_csv_put_quoted(struct bt_out *o, struct bt_arena *a, const char *text)
{
    const size_t n = strlen(text);
    const size_t room = 2 * n + 2; /* every byte a quote, and two around */
    char *quoted = bt_arena_alloc(a, room);
    bt_put_bytes(o, quoted, csv_write(quoted, room, text, n));
}

void bt_csv_put(struct bt_out *o, struct bt_arena *a, const char *text)
{
    bt_csv_put_quoted(o, a, bt_csv_guarded(a, text));
}
