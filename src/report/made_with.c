#include "report/made_with.h"

#include <inttypes.h>

#include "base/text.h"

static uint64_t units_checksum(void)
{
    size_t length = 0;
    const char *units = bt_embedded_table("units", &length);
    return units ? bt_bytes_hash(units, length) : 0;
}

uint64_t bt_made_with_sum(struct bt_arena *a, const struct bt_handbook *h)
{
    const struct bt_table *table = NULL;
    const size_t n = h ? bt_handbook_tables(h, &table) : 0;
    uint64_t *each = bt_arena_zero(a, (n + 1) * sizeof *each);
    for (size_t k = 0; k < n; k++)
        each[k] = table[k].checksum;
    each[n] = units_checksum();
    return bt_bytes_hash(each, (n + 1) * sizeof *each);
}

char *bt_made_with_text(const struct bt_show *w)
{
    return bt_arena_format(
        w->arena, "Bedtally %s; %zu draws, seed %" PRIu64 "; tables %016" PRIx64,
        w->version, w->samples, w->seed, bt_made_with_sum(w->arena, w->handbook));
}

void bt_report_made_with(struct bt_out *o, const struct bt_show *w)
{
    bt_put(o, "%s.\n", bt_made_with_text(w));
}

void bt_report_made_with_two(struct bt_out *o, const struct bt_show *w,
                             const struct bt_handbook *second)
{
    const uint64_t sum = bt_made_with_sum(w->arena, second);
    if (sum == bt_made_with_sum(w->arena, w->handbook))
        bt_report_made_with(o, w);
    else
        bt_put(o, "%s (first), %016" PRIx64 " (second).\n", bt_made_with_text(w), sum);
}

json_t *bt_made_with_tables(struct bt_arena *a, const struct bt_handbook *h)
{
    const struct bt_table *table = NULL;
    const size_t n = h ? bt_handbook_tables(h, &table) : 0;
    json_t *o = json_object();
    for (size_t k = 0; k < n; k++)
        json_object_set_new(
            o, table[k].name,
            json_string(bt_arena_format(a, "%016" PRIx64, table[k].checksum)));
    if (n > 0)
        json_object_set_new(
            o, "units", json_string(bt_arena_format(a, "%016" PRIx64, units_checksum())));
    return o;
}

void bt_made_with_set(json_t *object, const struct bt_show *w)
{
    json_object_set_new(object, "version",
                        w->version ? json_string(w->version) : json_null());
    json_object_set_new(object, "tables", bt_made_with_tables(w->arena, w->handbook));
    json_object_set_new(object, "samples", json_integer((json_int_t)w->samples));
    json_object_set_new(object, "seed", json_integer((json_int_t)w->seed));
}
