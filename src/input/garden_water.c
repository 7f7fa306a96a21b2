/* water.csv: what each source holds and how much of it went on. */
#include "input/garden_read.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "input/ratings.h"

static const double GRAMS_PER_M3 =
    1e6; /* a cubic metre of water weighs 1e6 g: 1 ppm is 1 g/m3 */

/* As NO3-N in g/m3. The species must be said: a factor of 4.4 hangs on it. */
static void settle_nitrate(struct bt_gr *g, struct bt_quantity *q)
{
    if (q->presence != BT_GIVEN || q->bound == BT_NOT_DETECTED)
        return;
    const char *species = q->unit.species;
    if (bt_dim_same(q->unit.dim, BT_FRACTION))
        q->range = bt_range_scaled(q->range, GRAMS_PER_M3);
    q->unit.dim = BT_DENSITY;
    if (q->range.likely == 0)
        return;
    if (species && (strcmp(species, "NO3-N") == 0 || strcmp(species, "N") == 0))
        return;
    if (species && strcmp(species, "NO3") == 0) {
        q->range = bt_range_scaled(q->range, 1 / BT_NO3_PER_N);
        return;
    }
    bt_gr_error(g, &q->cell, "nitrate",
                "ppm or mg/L with what was measured: nitrogen (NO3-N) or nitrate (NO3)",
                bt_arena_format(g->arena,
                                "write %s NO3-N or %s NO3, whichever the report says",
                                q->cell.text, q->cell.text));
    q->presence = BT_BLANK;
}

static void read_nitrate(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                         struct bt_water *w)
{
    const struct bt_dim dims[] = {BT_FRACTION, BT_DENSITY};
    bt_gfile_quantity(g, f, row, BT_WA_NITRATE, bt_accept_dims(2, dims, 0, HUGE_VAL),
                      &w->nitrate);
    settle_nitrate(g, &w->nitrate);
}

static void read_amount(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                        struct bt_water *w)
{
    const struct bt_dim depth_per_time = bt_dim_div(BT_LENGTH, BT_TIME);
    const struct bt_dim volume_per_time = bt_dim_div(BT_VOLUME, BT_TIME);
    const struct bt_dim dims[] = {BT_LENGTH, BT_VOLUME, depth_per_time, volume_per_time};
    struct bt_accept a = bt_accept_dims(4, dims, 0, HUGE_VAL);
    struct bt_quantity *q = &w->amount;
    bt_gr_accept_measures(g, &a);
    if (!bt_gfile_quantity(g, f, row, BT_WA_AMOUNT, a, q))
        return;
    bt_gr_measure(g, q, "amount", NULL, NULL, NULL);
    if (q->presence == BT_GIVEN && bt_dim_same(q->unit.dim, BT_MASS)) {
        bt_gr_error(g, &q->cell, "amount", "a depth or a volume of water", NULL);
        q->presence = BT_BLANK;
    }
}

static void read_row(struct bt_gr *g, const struct bt_gfile *f, size_t row)
{
    struct bt_garden *b = g->garden;
    struct bt_water *w = &b->water[b->n_waters];
    const struct bt_cell beds = bt_gfile_cell(f, row, BT_WA_BEDS);
    const struct bt_cell until = bt_gfile_cell(f, row, BT_WA_TO);
    *w = (struct bt_water){.at = f->csv.row[row].at};
    const char *source = bt_gfile_text(g, f, row, BT_WA_SOURCE);
    w->source = source ? source : "water";
    bt_gfile_date(g, f, row, BT_WA_DATE, &w->date);
    read_nitrate(g, f, row, w);
    read_amount(g, f, row, w);
    bt_gfile_date(g, f, row, BT_WA_FROM, &w->from);
    bt_gfile_date(g, f, row, BT_WA_TO, &w->until);
    if (w->from.known && w->until.known && w->until.day < w->from.day)
        bt_gr_error(g, &until, "to", "a day after from", NULL);
    /* A row may hold the source's analysis alone; it then waters no bed. */
    const bool analysis_only = !*beds.text && w->amount.presence == BT_BLANK;
    if (analysis_only || bt_gr_beds(g, &beds, "beds", &w->n_beds, &w->bed))
        b->n_waters++;
}

/* The day that decides which analysis holds for a row; undated rows come first. */
static int day_of(const struct bt_water *w)
{
    return w->from.known ? w->from.day : w->date.known ? w->date.day : -1000000;
}

static const struct bt_water *analysis_for(const struct bt_garden *b,
                                           const struct bt_water *w)
{
    const struct bt_water *best = NULL;
    for (size_t i = 0; i < b->n_waters; i++) {
        const struct bt_water *x = &b->water[i];
        if (x->nitrate.presence == BT_BLANK || !bt_text_is(x->source, w->source))
            continue;
        const int day = x->date.known ? x->date.day : -1000000;
        const int best_day = best ? (best->date.known ? best->date.day : -1000000) : 0;
        const bool in_time = day <= day_of(w);
        const bool best_in_time = best && best_day <= day_of(w);
        if (!best || (in_time && (!best_in_time || day > best_day)) ||
            (!in_time && !best_in_time && day < best_day))
            best = x;
    }
    return best;
}

/* A source's nitrate is typed once and holds for its other rows until a newer date. */
static void share_analyses(struct bt_gr *g)
{
    struct bt_garden *b = g->garden;
    struct bt_quantity *found = bt_arena_zero(g->arena, (b->n_waters + 1) * sizeof *found);
    for (size_t i = 0; i < b->n_waters; i++) {
        const struct bt_water *w = &b->water[i];
        const struct bt_water *x =
            w->nitrate.presence == BT_BLANK ? analysis_for(b, w) : NULL;
        found[i] = x ? x->nitrate : w->nitrate;
    }
    for (size_t i = 0; i < b->n_waters; i++)
        b->water[i].nitrate = found[i];
}

void bt_garden_read_water(struct bt_gr *g, const struct bt_gfile *f)
{
    struct bt_garden *b = g->garden;
    b->water = bt_arena_zero(g->arena, (f->csv.n_rows + 1) * sizeof *b->water);
    for (size_t r = 0; r < f->csv.n_rows; r++)
        if (!bt_gfile_row_blank(f, r))
            read_row(g, f, r);
    share_analyses(g);
}
