/* harvests.csv: what was picked and weighed, day by day, and which planting it was of. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "input/garden_read.h"

enum { AN_ANNUALS_STAY_D = 365 }; /* with a blank `ended`; no annual stands longer */

static void read_row(struct bt_gr *g, const struct bt_gfile *f, size_t row)
{
    struct bt_harvest h = {.at = f->csv.row[row].at, .planting = SIZE_MAX};
    const struct bt_cell date = bt_gfile_cell(f, row, BT_HA_DATE);
    const struct bt_cell bed = bt_gfile_cell(f, row, BT_HA_BED);
    const struct bt_cell crop = bt_gfile_cell(f, row, BT_HA_CROP);
    const struct bt_cell amount = bt_gfile_cell(f, row, BT_HA_AMOUNT);
    const struct bt_dim dims[] = {BT_MASS};
    bt_gfile_date(g, f, row, BT_HA_DATE, &h.date);
    if (!*date.text)
        bt_gr_error(g, &date, "date", "the day it was picked", NULL);
    h.bed = bt_gr_one_bed(g, &bed, "bed");
    h.crop = bt_gfile_text(g, f, row, BT_HA_CROP);
    if (!h.crop)
        bt_gr_error(g, &crop, "crop", "what was picked, as in plantings.csv", NULL);
    h.to = bt_gfile_text(g, f, row, BT_HA_TO);
    if (!*amount.text)
        bt_gr_error(g, &amount, "amount", "a weight, as 3 lb 4 oz or 1.5 kg", NULL);
    bt_gfile_quantity(g, f, row, BT_HA_AMOUNT, bt_accept_dims(1, dims, 0, HUGE_VAL),
                      &h.amount);
    h.at = crop.at;
    if (h.date.known && h.bed != BT_NO_NAME && h.crop && h.amount.presence == BT_GIVEN)
        g->garden->harvest[g->garden->n_harvests++] = h;
}

void bt_garden_read_harvests(struct bt_gr *g, const struct bt_gfile *f)
{
    struct bt_garden *b = g->garden;
    b->harvest = bt_arena_zero(g->arena, (f->csv.n_rows + 1) * sizeof *b->harvest);
    for (size_t r = 0; r < f->csv.n_rows; r++)
        if (!bt_gfile_row_blank(f, r))
            read_row(g, f, r);
}

/* ---- whose weight it is ---- */

static bool is_of_crop(struct bt_gr *g, const struct bt_planting *p, const char *crop)
{
    if (strcmp(bt_text_key(g->arena, p->written), bt_text_key(g->arena, crop)) == 0)
        return true;
    const char *key = bt_handbook_key(g->handbook, "crops", crop);
    return key && p->crop && strcmp(key, p->crop) == 0;
}

/* A day that is only known within some is taken at its widest. */
static bool stood(const struct bt_gr *g, const struct bt_planting *p, int day)
{
    if (p->in_ground.known && day < p->in_ground.day - p->in_ground.width_d / 2)
        return false;
    if (p->ended.known)
        return day <= p->ended.day + (p->ended.width_d + 1) / 2;
    const bool is_perennial =
        p->crop && bt_handbook_follow(g->handbook, "crops", p->crop, "recycled");
    return is_perennial || !p->in_ground.known ||
           day <= p->in_ground.day + AN_ANNUALS_STAY_D;
}

static size_t whose(struct bt_gr *g, const struct bt_harvest *h)
{
    const struct bt_garden *b = g->garden;
    size_t oldest = SIZE_MAX;
    for (size_t i = 0; i < b->n_plantings; i++) {
        const struct bt_planting *p = &b->planting[i];
        if (p->bed_index != h->bed || !is_of_crop(g, p, h->crop) ||
            !stood(g, p, h->date.day))
            continue;
        const bool is_older =
            oldest == SIZE_MAX ||
            (b->planting[oldest].in_ground.known &&
             (!p->in_ground.known || p->in_ground.day < b->planting[oldest].in_ground.day));
        oldest = is_older ? i : oldest;
    }
    return oldest;
}

static void find_plantings(struct bt_gr *g)
{
    struct bt_garden *b = g->garden;
    for (size_t i = 0; i < b->n_harvests; i++) {
        struct bt_harvest *h = &b->harvest[i];
        const struct bt_scratch scratch = bt_gr_scratch(g);
        h->planting = whose(g, h);
        bt_gr_release(g, &scratch);
        if (h->planting != SIZE_MAX)
            continue;
        const struct bt_cell crop = {h->crop, h->at};
        bt_gr_warn(g, &crop, "crop",
                   bt_arena_format(g->arena, "a crop that stood in %s on %s",
                                   b->bed[h->bed].id, bt_date_iso(g->arena, h->date.day)),
                   "the weight is listed in reports and enters no budget");
    }
}

/* ---- what it does ---- */

/* Sums of what was weighed of a planting in the season; false when there is none. */
static bool weighed(const struct bt_garden *b, size_t planting, struct bt_quantity *out)
{
    struct bt_range sum = bt_range_exact(0);
    *out = (struct bt_quantity){.presence = BT_BLANK};
    for (size_t i = 0; i < b->n_harvests; i++) {
        const struct bt_harvest *h = &b->harvest[i];
        if (h->planting != planting || h->date.day > b->season_end ||
            h->date.day < b->season_start)
            continue;
        if (out->presence == BT_BLANK)
            *out = h->amount;
        sum.low += h->amount.range.low;
        sum.likely += h->amount.range.likely;
        sum.high += h->amount.range.high;
    }
    if (out->presence == BT_BLANK)
        return false;
    out->range = sum.high > sum.low ? bt_range_of(sum.low, sum.likely, sum.high, BT_P05_P95)
                                    : bt_range_exact(sum.likely);
    return true;
}

void bt_garden_settle_harvests(struct bt_gr *g)
{
    struct bt_garden *b = g->garden;
    find_plantings(g);
    for (size_t i = 0; i < b->n_plantings && b->n_harvests; i++) {
        struct bt_planting *p = &b->planting[i];
        struct bt_quantity sum;
        if (!p->ended.known || p->ended.day > b->as_of || !weighed(b, i, &sum))
            continue;
        if (p->weighed.presence == BT_GIVEN)
            bt_gr_warn(g, &p->weighed.cell, "weighed",
                       "blank where harvests.csv has the weights",
                       "the typed figure counts");
        else
            p->weighed = sum;
    }
}
