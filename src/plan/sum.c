#include "plan/sum.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "chance/summary.h"
#include "plan/desk.h"
#include "plan/sum_list.h"
#include "plan/sum_pages.h"

static const struct bt_sum *const sums[] = {
    &bt_sum_product,    &bt_sum_carried,      &bt_sum_plan,       &bt_sum_substitute,
    &bt_sum_spread,     &bt_sum_convert,      &bt_sum_cost,       &bt_sum_oxide,
    &bt_sum_layer,      &bt_sum_compost,      &bt_sum_manure,     &bt_sum_basis,
    &bt_sum_mix,        &bt_sum_tie_up,       &bt_sum_cover,      &bt_sum_fixed,
    &bt_sum_organic,    &bt_sum_soil_nitrate, &bt_sum_soil_test,  &bt_sum_sidedress,
    &bt_sum_irrigation, &bt_sum_lime,         &bt_sum_acid_lime,  &bt_sum_demand,
    &bt_sum_balance,    &bt_sum_plants,       &bt_sum_land_ratio,
};

size_t bt_sums(const struct bt_sum *const **out)
{
    *out = sums;
    return sizeof sums / sizeof *sums;
}

const struct bt_sum *bt_sum_find(struct bt_arena *a, struct bt_diag *d, const char *name)
{
    enum { MANY = sizeof sums / sizeof *sums };
    const char *names[MANY];
    const char *tidy = bt_text_key(a, name);
    for (size_t i = 0; i < MANY; i++) {
        names[i] = sums[i]->name;
        if (strcmp(bt_text_key(a, names[i]), tidy) == 0)
            return sums[i];
    }
    bt_diag_add(d,
                (struct bt_message){.weight = BT_ERROR,
                                    .field = "sum",
                                    .expected = "the name of a sum (`bedtally sum` lists "
                                                "them)",
                                    .found = name,
                                    .hint = bt_text_nearest(a, name, MANY, names)});
    return NULL;
}

const char *bt_sum_takes_text(struct bt_arena *a, const struct bt_sum_key *key)
{
    static const struct {
        unsigned takes;
        const char *what;
    } kinds[] = {
        {BT_TAKES_MASS,    "a mass (lb, oz, kg, g)"                              },
        {BT_TAKES_RATE,    "a mass per area (lb/1000 sq ft, lb/ac, g/m2)"        },
        {BT_TAKES_PER_ROW, "a mass per row length (lb/100 ft, g/m)"              },
        {BT_TAKES_DENSITY, "a mass per volume (lb/cu yd, mg/L, lb/1000 gal)"     },
        {BT_TAKES_VOLUME,  "a volume (cu yd, gal, cup, bucket, L)"               },
        {BT_TAKES_LENGTH,  "a length (in, ft, cm, m)"                            },
        {BT_TAKES_AREA,
         "an area (sq ft, `4 x 8 ft`, `18 in across`, `4 x 8 ft + 4 x 4 ft`, m2)"},
        {BT_TAKES_LABEL,   "the three numbers of a bag (5-10-10)"                },
    };
    if (key->takes & BT_TAKES_WORD) {
        char **word;
        const size_t n = bt_text_split(a, key->words, '|', &word);
        const char *text = "";
        for (size_t i = 0; i < n; i++)
            text = bt_arena_format(a, "%s%s%s", text, i ? ", " : "", word[i]);
        return bt_arena_format(a, "one of %s", text);
    }
    if (key->takes & BT_TAKES_NAME)
        return bt_arena_format(a, "a name in the handbook's %s", key->words);
    const char *text = "";
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (key->takes & kinds[i].takes)
            text = bt_arena_format(a, "%s%s%s", text, *text ? " or " : "", kinds[i].what);
    if (key->takes & BT_TAKES_SHARE)
        text = bt_arena_format(a, "%s%s%s", text, *text ? " or " : "",
                               key->takes & BT_TAKES_PERCENT
                                   ? "a share (a bare number is in percent)"
                                   : "a share (%, ppm, lb/ton)");
    if (key->takes & BT_TAKES_NUMBER)
        text = bt_arena_format(a, "%s%sa number", text, *text ? " or " : "");
    return text;
}

/* ---- where the figures come from ---- */

static const char *with_source(struct bt_arena *a, const char *list, const char *id)
{
    char **part;
    if (!id || strcmp(id, "stated") == 0)
        return list;
    const size_t n = bt_text_split(a, list, ';', &part);
    for (size_t i = 0; i < n; i++)
        if (strcmp(part[i], id) == 0)
            return list;
    return bt_arena_format(a, "%s%s%s", list, *list ? "; " : "", id);
}

static const char *sources(const struct bt_desk *w, size_t n, const struct bt_node *used)
{
    const char *list = w->sum->source;
    for (size_t i = 0; i < n; i++) {
        const struct bt_node_info *x = bt_sheet_node(w->sheet, used[i]);
        if (x->leaf)
            list = with_source(w->arena, list, x->leaf->source);
        else if (x->row)
            list = with_source(w->arena, list, x->row->source);
    }
    return list;
}

/* ---- the draws ---- */

static bool varies(const struct bt_sheet *s)
{
    for (size_t i = 0; i < bt_sheet_size(s); i++) {
        const struct bt_leaf *leaf = bt_sheet_node(s, (struct bt_node){(uint32_t)i})->leaf;
        if (leaf && !bt_range_is_exact(&leaf->range))
            return true;
    }
    return false;
}

static const struct bt_spread *drawn(struct bt_desk *w, size_t n,
                                     const struct bt_node *node)
{
    const struct bt_budget only_sheet = {.sheet = w->sheet};
    if (varies(w->sheet))
        return bt_chance_nodes(w->arena, bt_shapes_new(w->arena), &only_sheet,
                               &w->means->chance, n, node);
    struct bt_spread *exact = bt_arena_alloc(w->arena, (n + 1) * sizeof *exact);
    for (size_t i = 0; i < n; i++)
        exact[i] = bt_spread_exact(bt_likely(w->sheet, node[i]));
    return exact;
}

static void finish(struct bt_desk *w, struct bt_sum_answer *out)
{
    struct bt_node *all = bt_arena_alloc(
        w->arena, (w->n_results + bt_sheet_size(w->sheet) + 1) * sizeof *all);
    for (size_t i = 0; i < w->n_results; i++)
        all[i] = w->result[i].node;
    const struct bt_sum_pages pages =
        bt_sum_pages_of(w->arena, w->sheet, w->n_results, all);
    memcpy(all + w->n_results, pages.page, pages.n_pages * sizeof *all);
    for (size_t i = 0; i < pages.n_pages; i++) /* names that equations gave */
        (void)bt_desk_named(w, bt_sheet_node(w->sheet, pages.page[i])->label,
                            pages.page[i]);
    const size_t n = w->n_results + pages.n_pages;
    const struct bt_spread *spread = drawn(w, n, all);
    struct bt_sum_result *result = bt_arena_alloc(w->arena, sizeof w->result);
    memcpy(result, w->result, sizeof w->result);
    for (size_t i = 0; i < w->n_results; i++) {
        result[i].spread = spread[i];
        result[i].varies = spread[i].p05 < spread[i].p95;
    }
    *out = (struct bt_sum_answer){.sum = w->sum,
                                  .sheet = w->sheet,
                                  .n_given = w->n_given,
                                  .given = w->given,
                                  .n_results = w->n_results,
                                  .result = result,
                                  .n_notes = w->n_notes,
                                  .note = w->note,
                                  .source = sources(w, pages.n_used, pages.used),
                                  .n_pages = pages.n_pages,
                                  .page = all + w->n_results,
                                  .page_spread = spread + w->n_results};
}

/* A figure of 0 below a stroke shows in the answer. */
static bool all_finite(struct bt_desk *w)
{
    for (size_t i = 0; i < w->n_results; i++)
        if (!isfinite(bt_likely(w->sheet, w->result[i].node)))
            bt_desk_refuse(w, NULL,
                           bt_desk_text(w,
                                        "figures above 0 where the %s is divided by them",
                                        w->result[i].name),
                           NULL);
    return !w->failed;
}

bool bt_sum_work(const struct bt_sum_means *m, const struct bt_sum *sum, size_t n,
                 const char *const *typed, struct bt_sum_answer *out)
{
    struct bt_desk *w = bt_arena_zero(m->arena, sizeof *w);
    *w = (struct bt_desk){.means = m,
                          .arena = m->arena,
                          .book = m->book,
                          .sum = sum,
                          .sheet = bt_sheet_new(m->arena)};
    w->us_units = m->us_units != 0;
    if (!bt_desk_read(w, n, typed))
        return false;
    w->us_units = m->us_units < 0 ? bt_desk_typed_us(w) : m->us_units == 1;
    sum->build(w);
    if (w->failed || !all_finite(w))
        return false;
    finish(w, out);
    return true;
}
