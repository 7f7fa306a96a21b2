/* Memory while a garden is read: what a cell needed on the way is given back, so that a row
 * costs what it holds. */
#include <string.h>

#include "input/garden_read.h"

#define SHORT_UNIT 48 /* bytes that are carried across a release */

static size_t n_messages(const struct bt_gr *g)
{
    return bt_diag_count(g->diag, BT_ERROR) + bt_diag_count(g->diag, BT_WARNING) +
           bt_diag_count(g->diag, BT_NOTE);
}

struct bt_scratch bt_gr_scratch(const struct bt_gr *g)
{
    return (struct bt_scratch){bt_arena_mark(g->arena), n_messages(g)};
}

void bt_gr_release(struct bt_gr *g, const struct bt_scratch *s)
{
    if (n_messages(g) == s->messages)
        bt_arena_release(g->arena, s->mark);
}

/* The text of a unit is all that a quantity keeps in the arena, and gardens use few units.
 */
static const char *kept_unit(struct bt_gr *g, const char *text)
{
    const size_t known = bt_names_get(&g->unit_texts, text);
    if (known != BT_NO_NAME)
        return g->unit_text[known];
    const size_t n = g->unit_texts.n;
    g->unit_text =
        bt_arena_grow(g->arena, g->unit_text, &g->unit_capacity, n, sizeof *g->unit_text);
    g->unit_text[n] = bt_arena_text(g->arena, text);
    bt_names_set(g->arena, &g->unit_texts, g->unit_text[n], n);
    return g->unit_text[n];
}

bool bt_gr_one_figure(struct bt_gr *g, const struct bt_cell *cell,
                      const struct bt_accept *accept, struct bt_quantity *out)
{
    char unit[SHORT_UNIT];
    const struct bt_scratch s = bt_gr_scratch(g);
    const bool ok = bt_read_quantity(&g->cells, cell, accept, out);
    const size_t length = strlen(out->unit.text);
    if (length >= SHORT_UNIT)
        return ok;
    memcpy(unit, out->unit.text, length + 1);
    bt_gr_release(g, &s);
    out->unit.text = kept_unit(g, unit);
    return ok;
}
