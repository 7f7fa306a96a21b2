/* The legumes of a bed in a record: where their nitrogen goes, what the neighbours get,
 * what would change it. */
#include <math.h>
#include <string.h>

#include "report/answer.h"
#include "report/page.h"
#include "report/record_parts.h"
#include "report/verdict.h"

struct page {
    struct bt_record *r;
    struct bt_doc *doc;
    struct bt_on_bed on;
    bool from_nothing; /* what is passed on may be nothing at all */
};

static const char *mass(const struct page *p, double g_m2)
{
    return bt_figures_short(p->r->kept, g_m2 * p->on.per_g_m2, BT_FIGURES_FIRST);
}

static const char *ends(const struct page *p, const struct bt_spread *s, bool from_nothing)
{
    return bt_ends_text(p->r->kept, (from_nothing ? 0 : s->p05) * p->on.per_g_m2,
                        s->p95 * p->on.per_g_m2, BT_FIGURES_FIRST);
}

/* ---- where it goes ---- */

static void way(const struct page *p, struct bt_doc_table *table, const char *label,
                const struct bt_legume_finding *f, enum bt_legume_quantity q, int share)
{
    struct bt_arena *a = p->r->kept;
    const struct bt_spread *s = &f->spread[q];
    const bool from_nothing = q == BT_LEGUME_PASSED_ON && p->from_nothing;
    const double shown = s->likely * p->on.per_g_m2; /* unit-free */
    const struct bt_doc_cell row[] = {
        bt_cell_text(label), bt_cell_number(mass(p, s->likely), shown),
        bt_cell_text(ends(p, s, from_nothing)),
        bt_cell_text(share < 0 ? "" : bt_percent_text(a, f->spread[share].likely))};
    bt_doc_row(p->doc, table, row);
}

static void put_ways(const struct page *p, const struct bt_legume_finding *f,
                     const char *name)
{
    struct bt_arena *a = p->r->kept;
    const struct bt_spread *share = &f->spread[BT_LEGUME_SHARE_FIXED];
    const struct bt_doc_column columns[] = {
        {"Nitrogen",              "",         false},
        {"Likely",                p->on.unit, true },
        {"9 times in 10 between", p->on.unit, false},
        {"Of what it fixes",      "",         false}
    };
    struct bt_doc_table *t = bt_doc_table(
        p->doc,
        bt_arena_format(a, "Where the nitrogen of the %s goes, %s", name, p->on.where), 4,
        columns);
    way(p, t, "in the whole plant", f, BT_LEGUME_PLANT_N, -1);
    way(p, t, "fixed from the air", f, BT_LEGUME_FIXED, -1);
    way(p, t, "of that, out with the harvest", f, BT_LEGUME_OUT, BT_LEGUME_OUT_SHARE);
    if (f->facts->n_neighbours > 0)
        way(p, t, "of that, to the neighbours while it grows", f, BT_LEGUME_PASSED_ON,
            BT_LEGUME_PASSED_SHARE);
    way(p, t, "of that, left in residue and roots", f, BT_LEGUME_LEFT,
        BT_LEGUME_LEFT_SHARE);
    way(p, t, "taken from the ground it shares", f, BT_LEGUME_DRAW, -1);
    bt_doc_item(p->doc,
                bt_arena_format(
                    a,
                    "It takes %s of its nitrogen from the air (9 times in 10 between %s "
                    "and %s), the rest from the soil.%s",
                    bt_percent_text(a, share->likely), bt_percent_text(a, share->p05),
                    bt_percent_text(a, share->p95),
                    p->from_nothing && f->facts->n_neighbours > 0
                        ? " What goes to the neighbours may be nothing at all: that "
                          "range begins at 0 and holds 19 times in 20."
                        : ""));
}

/* ---- who gets it ---- */

static void neighbour(const struct page *p, struct bt_doc_table *table, const char *name,
                      const char *need, const struct bt_spread *share, const double *chance)
{
    struct bt_arena *a = p->r->kept;
    const char *low = p->from_nothing ? "nothing" : bt_small_percent_text(a, share->p05);
    const struct bt_doc_cell row[] = {
        bt_cell_text(name),
        bt_cell_text(need),
        bt_cell_text(bt_arena_format(a, "%s (%s to %s)",
                                     bt_small_percent_text(a, share->likely), low,
                                     bt_small_percent_text(a, share->p95))),
        bt_cell_text(bt_chance_text(a, chance[0])),
        bt_cell_text(bt_chance_text(a, chance[1])),
        bt_cell_text(bt_chance_text(a, chance[2]))};
    bt_doc_row(p->doc, table, row);
}

static void put_neighbours(const struct page *p, const struct bt_legume_finding *f)
{
    struct bt_arena *a = p->r->kept;
    const size_t n = f->facts->n_neighbours;
    const struct bt_doc_column columns[] = {
        {"Neighbour",         "",         false},
        {"Needs",             p->on.unit, false},
        {"Part met (range)",  "",         false},
        {"Chance of a tenth", "",         false},
        {"Chance of half",    "",         false},
        {"Chance of all",     "",         false}
    };
    if (n == 0)
        return;
    struct bt_doc_table *t =
        bt_doc_table(p->doc, "What the neighbours get of it this season", 6, columns);
    for (size_t k = 0; k < n; k++)
        neighbour(p, t, bt_planting_subject(a, f->facts->neighbour[k].planting),
                  mass(p, f->neighbour[k].whole_need.likely), &f->neighbour[k].met_share,
                  f->neighbour[k].chance);
    if (n > 1)
        neighbour(p, t, "all together", "", &f->spread[BT_LEGUME_MET], f->chance);
    if (f->transfer)
        bt_record_add_source(p->r, f->transfer->source, f->transfer->seen);
}

/* ---- what it leaves, what would change it ---- */

static const char *with_range(const struct page *p, const struct bt_spread *s)
{
    struct bt_arena *a = p->r->kept;
    const char *range = ends(p, s, false);
    return bt_arena_format(a, "about %s %s%s%s%s", mass(p, s->p50), p->on.unit,
                           *range ? " (9 times in 10: " : "", range, *range ? ")" : "");
}

static void put_left(const struct page *p, const struct bt_legume_finding *f)
{
    struct bt_arena *a = p->r->kept;
    const struct bt_spread *net = &f->spread[BT_LEGUME_NET];
    const char *sign = net->p95 < 0   ? "The bed loses nitrogen by it"
                       : net->p05 > 0 ? "The bed gains nitrogen by it"
                                      : "The bed may gain or lose nitrogen by it";
    bt_doc_item(p->doc, bt_arena_format(a, "%s: fixed less harvested, %s.", sign,
                                        with_range(p, net)));
    if (f->facts->has[BT_LEGUME_SPARED])
        bt_doc_item(
            p->doc,
            bt_arena_format(
                a,
                "Spared, because in company it takes more from the air than alone: %s. It "
                "is in the figures above already and is not added to them.",
                with_range(p, &f->spread[BT_LEGUME_SPARED])));
    if (f->facts->has[BT_LEGUME_NEXT_SEASON])
        bt_doc_item(p->doc,
                    bt_arena_format(a, "Next season's planting is likely to get %s of it.",
                                    with_range(p, &f->spread[BT_LEGUME_NEXT_SEASON])));
    else
        bt_doc_item(p->doc, "Next season's planting gets nothing to speak of: its residue "
                            "leaves the bed.");
}

static void put_changes(const struct page *p, const struct bt_legume_finding *f)
{
    static const enum bt_changed shown[] = {BT_CHANGED_FIXED, BT_CHANGED_PASSED_ON,
                                            BT_CHANGED_LATER, BT_CHANGED_NET,
                                            BT_CHANGED_REQUIRED};
    enum { SHOWN = sizeof shown / sizeof *shown };
    struct bt_arena *a = p->r->kept;
    const struct bt_doc_column columns[SHOWN + 1] = {
        {"One thing changed",       "",         false},
        {"Fixed",                   p->on.unit, false},
        {"Passed on",               p->on.unit, false},
        {"Its residue gives later", p->on.unit, false},
        {"Fixed less harvested",    p->on.unit, false},
        {"Need of the bed",         p->on.unit, false}
    };
    struct bt_doc_table *t =
        bt_doc_table(p->doc, "What would change that: the middle difference and its range",
                     SHOWN + 1, columns);
    for (size_t k = 0; k < f->n_changes; k++) {
        const struct bt_change_finding *c = &f->change[k];
        struct bt_doc_cell row[SHOWN + 1] = {
            bt_cell_text(bt_arena_text(a, c->change.name))};
        for (size_t i = 0; i < SHOWN; i++) {
            const struct bt_spread *d = &c->difference[shown[i]];
            const bool differs = d->mean < 0 || d->mean > 0 || d->sd > 0;
            row[i + 1] =
                bt_cell_text(!c->has[shown[i]] ? "cannot be compared"
                             : !differs        ? "no difference"
                                        : bt_arena_format(a, "%s (%s)", mass(p, d->p50),
                                                          ends(p, d, false)));
        }
        bt_doc_row(p->doc, t, row);
    }
}

static void put_verdict(const struct page *p, const struct bt_show *w,
                        const struct bt_legumes_page *of)
{
    struct bt_verdict *v = bt_verdict_new(p->r->kept);
    bt_verdict_add(v, of->finding);
    char **sentence;
    const size_t n = bt_verdict_sentences(v, w, &sentence);
    for (size_t k = 0; k < n; k++) {
        const char *word = bt_verdict_word(v, k);
        bt_doc_item(p->doc, bt_arena_format(p->r->kept, "%s%s%s", word, *word ? " " : "",
                                            sentence[k]));
    }
}

void bt_record_legumes_bed(struct bt_record *r, const struct bt_show *w,
                           const struct bt_legumes_page *of)
{
    const struct bt_budget *b = of->finding->budget;
    struct bt_arena *a = r->kept;
    if (of->legumes->n == 0)
        return;
    if (!r->legumes) {
        r->legumes = bt_doc_new(a, "", "", r->version);
        bt_doc_page(r->legumes);
        bt_doc_heading(r->legumes, 2, "The legumes and their neighbours");
        bt_doc_paragraph(r->legumes,
                         "Each difference is one thing changed, all else as it is, on the "
                         "same draws.");
    }
    const struct page p = {.r = r,
                           .doc = r->legumes,
                           .on = bt_on_bed(w, b->bed),
                           .from_nothing = bt_may_pass_nothing(b->sheet)};
    bt_record_add_legume_sources(r, b);
    bt_doc_heading(p.doc, 3, bt_arena_format(a, "Legumes of %s", bt_bed_title(a, b->bed)));
    put_verdict(&p, w, of);
    for (size_t i = 0; i < of->legumes->n; i++) {
        const struct bt_legume_finding *f = &of->legumes->legume[i];
        put_ways(&p, f, bt_planting_subject(a, f->facts->planting));
        put_neighbours(&p, f);
        put_left(&p, f);
        put_changes(&p, f);
    }
}
