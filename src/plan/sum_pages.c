#include "plan/sum_pages.h"

struct walk {
    const struct bt_sheet *sheet;
    bool *seen;
    size_t n_used, n_pages;
    struct bt_node *used, *page;
};

/* Constants and leaves have nothing to show; a second name of one has neither. */
static bool is_worked(const struct bt_sheet *s, struct bt_node n)
{
    const struct bt_node_info *x = bt_sheet_node(s, n);
    if (!x->label)
        return false;
    while (x->op == BT_OP_SAME)
        x = bt_sheet_node(s, x->arg[0]);
    return x->n_args > 0;
}

/* Sheets of sums are a few dozen nodes deep at most. */
static void visit(struct walk *t, struct bt_node n)
{
    if (t->seen[n.i])
        return;
    t->seen[n.i] = true;
    t->used[t->n_used++] = n;
    if (is_worked(t->sheet, n))
        t->page[t->n_pages++] = n;
    const struct bt_node_info *x = bt_sheet_node(t->sheet, n);
    for (size_t k = 0; k < x->n_args; k++)
        visit(t, x->arg[k]);
}

struct bt_sum_pages bt_sum_pages_of(struct bt_arena *a, const struct bt_sheet *s, size_t n,
                                    const struct bt_node *result)
{
    const size_t size = bt_sheet_size(s) + 1;
    struct walk t = {.sheet = s};
    t.seen = bt_arena_zero(a, size * sizeof *t.seen);
    t.used = bt_arena_alloc(a, size * sizeof *t.used);
    t.page = bt_arena_alloc(a, size * sizeof *t.page);
    for (size_t i = 0; i < n; i++)
        visit(&t, result[i]);
    return (struct bt_sum_pages){t.n_used, t.used, t.n_pages, t.page};
}
