#include "report/csv_put.h"

#include <csv.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool is_number(const char *text)
{
    char *end = NULL;
    const double v = strtod(text, &end);
    return end != text && *end == '\0' && isfinite(v);
}

const char *bt_csv_guarded(struct bt_arena *a, const char *text)
{
    const char *shown = text ? text : "";
    const bool is_formula = *shown && strchr("=+-@\t\r", *shown) && !is_number(shown);
    return is_formula ? bt_arena_format(a, "'%s", shown) : shown;
}

void bt_csv_put(struct bt_out *o, struct bt_arena *a, const char *text)
{
    const char *shown = bt_csv_guarded(a, text);
    const size_t n = strlen(shown);
    const size_t room = 2 * n + 2; /* every byte a quote, and two around */
    char *quoted = bt_arena_alloc(a, room);
    bt_put_bytes(o, quoted, csv_write(quoted, room, shown, n));
}
