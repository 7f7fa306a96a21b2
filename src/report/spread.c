#include "report/spread.h"

#include <math.h>

#include "base/date.h"
#include "report/answer.h"

enum { COLUMNS = 5, BAND = 16 };

struct lines {
    const struct bt_show *w;
    struct bt_grid grid;
    struct bt_axis axis;
    double per_g_m2; /* unit-free */
    bool bands;
    bool dated; /* phosphate and potash have no dates */
};

/* One row. `in_time_g_m2` NaN: nothing to say about time. */
static void put_row(struct lines *l, const char *label, const struct bt_spread *s,
                    double in_time_g_m2)
{
    struct bt_arena *a = l->w->arena;
    const double k = l->per_g_m2; /* unit-free */
    const char *const row[COLUMNS] = {
        label, bt_figures(a, s->likely * k, BT_FIGURES),
        bt_ends_text(a, s->p05 * k, s->p95 * k, BT_FIGURES),
        isfinite(in_time_g_m2) ? bt_figures(a, in_time_g_m2 * k, BT_FIGURES) : "",
        l->bands ? bt_band(l->w, l->axis, s->p05, s->likely, s->p95, BAND) : ""};
    bt_grid_row(&l->grid, row);
}

/* What has no likely value that adds up is shown by its middle, as the sentences say it. */
static void put_middle(struct lines *l, const char *label, const struct bt_spread *s)
{
    struct bt_spread middle = *s;
    middle.likely = s->p50;
    put_row(l, label, &middle, (double)NAN);
}

static void put_heading(struct lines *l, const char *text)
{
    const char *const row[COLUMNS] = {text};
    bt_grid_row(&l->grid, row);
}

static void widen(struct bt_axis *axis, const struct bt_spread *s)
{
    axis->low = s->p05 < axis->low ? s->p05 : axis->low;
    axis->high = s->p95 > axis->high ? s->p95 : axis->high;
}

static void put_side(struct lines *l, const struct bt_account_finding *x, enum bt_side side)
{
    double in_time_g_m2 = 0;
    for (size_t k = 0; k < x->n_lines; k++) {
        const struct bt_line_finding *line = &x->line[k];
        if (line->line->side != side)
            continue;
        const double part_g_m2 =
            l->dated ? line->total.likely * line->in_time_share : (double)NAN;
        const char *mark = line->line->advised   ? " (advised)"
                           : line->line->planned ? " (planned)"
                                                 : "";
        put_row(l,
                bt_arena_format(l->w->arena, "  %s%s",
                                bt_text_shown(l->w->arena, line->line->label), mark),
                &line->total, part_g_m2);
        in_time_g_m2 += part_g_m2;
    }
    put_row(l, side == BT_SUPPLY ? "  all there is to have" : "  all that is needed",
            side == BT_SUPPLY ? &x->supply : &x->required,
            l->dated ? in_time_g_m2 : (double)NAN);
}

/* Phosphate and potash: what stands beside the sum, for the soil's stock. */
static void put_beside(struct lines *l, const struct bt_account_finding *x)
{
    const struct bt_stock *s = x->account->stock;
    struct bt_arena *a = l->w->arena;
    const char *seasons =
        s->first_season == s->last_season
            ? bt_arena_format(a, "%d", s->last_season)
            : bt_arena_format(a, "%d to %d", s->first_season, s->last_season);
    put_heading(l, "beside the sum");
    l->bands = false; /* loads of years are of another size than the sum */
    put_row(l, "  carried off by this season's harvests", &x->beside[BT_REMOVAL],
            (double)NAN);
    put_row(l, bt_arena_format(a, "  on record, %s: added, in full", seasons),
            &x->beside[BT_LOAD_ADDED], (double)NAN);
    put_row(l, bt_arena_format(a, "  on record, %s: carried off", seasons),
            &x->beside[BT_LOAD_REMOVED], (double)NAN);
}

void bt_put_lines(struct bt_out *o, const struct bt_show *w, const struct bt_finding *f,
                  const struct bt_account_finding *x, bool bands)
{
    struct bt_arena *a = w->arena;
    const struct bt_on_bed on = bt_on_bed(w, f->budget->bed);
    struct lines l = {.w = w,
                      .grid = bt_grid_new(a, COLUMNS, 1u << 1 | 1u << 3),
                      .per_g_m2 = on.per_g_m2,
                      .bands = bands,
                      .dated = !x->account->stock};
    for (size_t k = 0; k < x->n_lines; k++)
        widen(&l.axis, &x->line[k].total);
    widen(&l.axis, &x->supply);
    widen(&l.axis, &x->required);
    widen(&l.axis, &x->balance);
    const char *const head[COLUMNS] = {
        bt_arena_format(a, "%s %s %s", on.unit, bt_nutrient_text(x->account->nutrient),
                        on.where),
        "likely", "9 times in 10 between",
        l.dated ? bt_arena_format(a, "by %s", bt_date_words(a, x->tightest_date)) : ""};
    bt_grid_row(&l.grid, head);
    put_heading(&l, "to have");
    put_side(&l, x, BT_SUPPLY);
    if (x->account->known) {
        put_heading(&l, "needed");
        put_side(&l, x, BT_DEMAND);
        put_heading(&l, "over or short, middle of all draws");
        if (l.dated)
            put_middle(&l,
                       bt_arena_format(a, "  leanest, about %s",
                                       bt_date_words(a, x->tightest_date)),
                       &x->tightest);
        put_middle(&l, "  at the season's end", &x->balance);
    }
    if (x->account->nutrient == BT_N)
        put_middle(&l, "  left in the soil at the end", &x->left);
    if (x->account->stock)
        put_beside(&l, x);
    bt_grid_write(o, &l.grid, 2);
    const double per_sq_ft =
        bt_units_factor_to(w->units, a, "lb/100 sq ft"); /* unit-free */
    bt_put(o, "  1 %s %s is %s g/m2", on.unit, on.where,
           bt_figures_short(a, 1 / on.per_g_m2, BT_FIGURES));
    if (w->us_units)
        bt_put(o, " or %s lb/100 sq ft",
               bt_figures_short(a, per_sq_ft / on.per_g_m2, BT_FIGURES));
    bt_put(o, ".\n");
}
