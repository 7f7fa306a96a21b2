/* Another version of the garden in a record: what differs, draw by draw. */
#include <inttypes.h>

#include "report/answer.h"
#include "report/made_with.h"
#include "report/page.h"
#include "report/record_parts.h"

void bt_record_compare_begin(struct bt_record *r, const char *first, const char *second,
                             const struct bt_handbook *second_book)
{
    struct bt_arena *a = r->kept;
    r->compared = bt_doc_new(a, "", "", r->version);
    bt_doc_page(r->compared);
    bt_doc_heading(r->compared, 2, "Beside another version of the garden");
    bt_doc_paragraph(
        r->compared,
        bt_arena_format(a,
                        "First: %s (this record). Second: %s. Differences are second less "
                        "first, draw by draw: the luck of the season is the same in both.",
                        bt_text_shown(a, first), bt_text_shown(a, second)));
    const uint64_t sum = bt_made_with_sum(a, second_book);
    if (sum != bt_made_with_sum(a, r->handbook))
        bt_doc_paragraph(
            r->compared,
            bt_arena_format(a,
                            "The second has figures of its own in its tables: the checksum "
                            "over all of them is %016" PRIx64 ", of the first %016" PRIx64
                            ".",
                            sum, bt_made_with_sum(a, r->handbook)));
}

static bool is_nothing(const struct bt_spread *s)
{
    return !(s->likely < 0 || s->likely > 0 || s->sd > 0);
}

struct page {
    struct bt_record *r;
    const struct bt_show *w;
    struct bt_on_bed on;
    struct bt_doc_table *table;
};

static void put_difference(const struct page *p, const char *label,
                           const struct bt_spread *s)
{
    struct bt_arena *a = p->r->kept;
    const double k = p->on.per_g_m2, shown = s->p50 * k; /* unit-free */
    const struct bt_doc_cell row[] = {
        bt_cell_text(label), bt_cell_number(bt_figures_short(a, shown, BT_FIGURES), shown),
        bt_cell_text(is_nothing(s) ? "no difference"
                                   : bt_ends_text(a, s->p05 * k, s->p95 * k, BT_FIGURES))};
    bt_doc_row(p->r->compared, p->table, row);
}

static void put_chances(const struct page *p, const struct bt_account_difference *x)
{
    struct bt_arena *a = p->r->kept;
    struct bt_doc *d = p->r->compared;
    if (x->chance_second_better <= 0 && x->chance_first_better <= 0)
        bt_doc_item(d, "Neither is less short than the other in any draw.");
    else
        bt_doc_item(d, bt_arena_format(
                           a,
                           "Chance that the second is less short: %s; that the first is: "
                           "%s. A shortfall that shows: %s in the first, %s in the second.",
                           bt_chance_text(a, x->chance_second_better),
                           bt_chance_text(a, x->chance_first_better),
                           bt_chance_text(a, x->chance_short[0]),
                           bt_chance_text(a, x->chance_short[1])));
    if (x->has_left && !is_nothing(&x->left))
        bt_doc_item(
            d, bt_arena_format(
                   a, "Chance that the second leaves less for the rain to wash out: %s.",
                   bt_chance_text(a, x->chance_less_left)));
}

static void put_account(struct page *p, const struct bt_bed *bed,
                        const struct bt_account_difference *x)
{
    struct bt_arena *a = p->r->kept;
    const struct bt_doc_column columns[] = {
        {"Second less first",     "",         false},
        {"Middle",                p->on.unit, true },
        {"9 times in 10 between", p->on.unit, false}
    };
    p->table = bt_doc_table(p->r->compared,
                            bt_arena_format(a, "%s %s %s", bt_nutrient_title(x->nutrient),
                                            p->on.where, bed->id),
                            3, columns);
    put_difference(p, "to have", &x->supply);
    if (x->known) {
        put_difference(p, "needed", &x->required);
        put_difference(p, "the leanest balance", &x->tightest);
        put_difference(p, "the balance at the end", &x->balance);
    }
    if (x->has_left)
        put_difference(p, "left in the soil at the end", &x->left);
    if (x->known)
        put_chances(p, x);
    else
        bt_doc_item(p->r->compared, "What is needed is not known in both.");
}

static void put_inputs(struct page *p, const struct bt_bed *bed,
                       const struct bt_comparison *c)
{
    struct bt_arena *a = p->r->kept;
    struct bt_show kept = *p->w;
    kept.arena = a;
    const struct bt_doc_column columns[] = {
        {"What is not the same", "", false},
        {"First",                "", false},
        {"Second",               "", false}
    };
    if (c->n_inputs + c->n_plantings == 0) {
        bt_doc_paragraph(p->r->compared, "Everything that goes in is the same.");
        return;
    }
    struct bt_doc_table *table = bt_doc_table(
        p->r->compared, bt_arena_format(a, "What goes in, %s", bed->id), 3, columns);
    for (size_t k = 0; k < c->n_plantings; k++) {
        const struct bt_planting_difference *d = &c->planting[k];
        const struct bt_doc_cell row[] = {
            bt_cell_text(bt_compare_planting_name(&kept, d)),
            bt_cell_text(bt_compare_planting_text(&kept, d->planting[0], d->count[0])),
            bt_cell_text(bt_compare_planting_text(&kept, d->planting[1], d->count[1]))};
        bt_doc_row(p->r->compared, table, row);
    }
    for (int later = 0; later < 2; later++)
        for (size_t k = 0; k < c->n_inputs; k++) {
            const struct bt_input_difference *d = &c->input[k];
            if (d->follows != (later != 0))
                continue;
            const struct bt_doc_cell row[] = {
                bt_cell_text(bt_arena_text(a, d->label)),
                bt_cell_text(bt_compare_input_text(&kept, c, d, 0)),
                bt_cell_text(bt_compare_input_text(&kept, c, d, 1))};
            bt_doc_row(p->r->compared, table, row);
        }
}

void bt_record_compare_bed(struct bt_record *r, const struct bt_show *w,
                           const struct bt_compared_bed *b)
{
    struct bt_arena *a = r->kept;
    struct page p = {.r = r, .w = w, .on = bt_on_bed(w, b->bed)};
    bt_doc_heading(r->compared, 3, bt_bed_title(a, b->bed));
    if (!b->comparison) {
        bt_doc_paragraph(r->compared, b->where == BT_IN_FIRST ? "Only in the first."
                                                              : "Only in the second.");
        return;
    }
    for (size_t k = 0; k < b->comparison->n_accounts; k++)
        put_account(&p, b->bed, &b->comparison->account[k]);
    put_inputs(&p, b->bed, b->comparison);
    bt_record_add_sources(r, b->comparison->budget[1]);
}
