#include "report/doubt.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "report/answer.h"
#include "report/field.h"
#include "report/page.h"

/* ---- what can be measured ---- */

/* How to go about it, by what src/chance/gauge.c says can be measured. `%s` is the subject.
 */
static const char *const ways[BT_GAUGES] = {
    [BT_GAUGE_WATER_NITRATE] = "nitrate in the water: a water test",
    [BT_GAUGE_WATER_USED] = "the water used: read it off a meter or a rain gauge",
    [BT_GAUGE_SOIL_NITRATE] = "soil nitrate: a test of the top 30 cm (12 in)",
    [BT_GAUGE_SOIL_NITRATE_AGAIN] = "soil nitrate: another test of the top 30 cm (12 in)",
    [BT_GAUGE_ORGANIC_MATTER] = "organic matter of the soil: a laboratory test",
    [BT_GAUGE_ANALYSIS] = "%s: an analysis of its nitrogen, ammonium and carbon",
    [BT_GAUGE_MOISTURE] = "moisture of %s: weigh a bucketful fresh and dried",
    [BT_GAUGE_DENSITY] = "weight of %s: weigh a full bucket",
    [BT_GAUGE_AMOUNT] = "the amount of %s: weigh or measure what is put on",
    [BT_GAUGE_HARVEST] = "the harvest of %s: weigh what is picked",
    [BT_GAUGE_PLANTS] = "how many plants of %s: count them",
    [BT_GAUGE_SHARE] = "the share of the bed under %s: measure it, or count the plants",
    [BT_GAUGE_RESIDUE_N] = "the nitrogen in what stays of %s: a plant test",
    [BT_GAUGE_GROWTH] = "the green growth of %s: cut and weigh a measured frame",
    [BT_GAUGE_DRY_MATTER] = "dry matter of %s: weigh a bundle fresh and dried",
    [BT_GAUGE_INOCULATED] = "whether %s was inoculated: write it in plantings.csv",
};

static const char *subject_of(const struct bt_leaf *leaf)
{
    const char *of = strstr(leaf->label, " of ");
    for (const char *next = of; next; next = strstr(next + 4, " of "))
        of = next;
    return of ? of + 4 : leaf->label;
}

/* The text with its one %s, if any, filled in. */
static char *filled(struct bt_arena *a, const char *text, const char *subject)
{
    const char *hole = strstr(text, "%s");
    if (!hole)
        return bt_arena_text(a, text);
    return bt_arena_format(a, "%.*s%s%s", (int)(hole - text), text, subject, hole + 2);
}

char *bt_measure_text(struct bt_arena *a, const struct bt_leaf *leaf)
{
    const char *way = ways[bt_gauge_of(leaf)];
    if (bt_gauge_of(leaf) == BT_GAUGE_HARVEST && bt_text_starts(leaf->label, "growth "))
        way = "the growth of %s, of which nothing is picked: cut a frame of it at its "
              "fullest "
              "and weigh the tops";
    return way ? filled(a, way, bt_text_shown(a, subject_of(leaf))) : NULL;
}

/* "yield of sweet corn: taken as 1.1 to 1.9 kg/m2", in the garden's units */
static char *assumed_text(const struct bt_show *w, const struct bt_leaf *leaf)
{
    return bt_arena_format(w->arena, "%s: taken as %s",
                           bt_text_shown(w->arena, leaf->label),
                           bt_leaf_range_text(w, leaf));
}

/* ---- over the beds ---- */

struct part {
    char *text;
    char *bed; /* where it weighs most */
    size_t n_beds;
    double weight_g2; /* variance carried, or taken away by measuring */
    double most_g2;
    size_t last; /* the bed it was last seen in, counted from 1 */
};

struct parts {
    size_t n, capacity;
    struct part *part;
};

struct bt_doubt {
    struct bt_arena *kept;
    size_t n_beds;
    double variance_g2;
    struct parts measure, assumed;
};

struct bt_doubt *bt_doubt_new(struct bt_arena *kept)
{
    struct bt_doubt *d = bt_arena_zero(kept, sizeof *d);
    d->kept = kept;
    return d;
}

static void add_part(struct bt_doubt *d, struct parts *list, const char *text,
                     const char *bed, double weight_g2)
{
    struct part *p = NULL;
    for (size_t k = 0; k < list->n && !p; k++)
        if (strcmp(list->part[k].text, text) == 0)
            p = &list->part[k];
    if (!p) {
        list->part = bt_arena_grow(d->kept, list->part, &list->capacity, list->n,
                                   sizeof *list->part);
        p = &list->part[list->n++];
        *p = (struct part){.text = bt_arena_text(d->kept, text)};
    }
    p->weight_g2 += weight_g2;
    p->n_beds += p->last != d->n_beds;
    p->last = d->n_beds;
    if (weight_g2 > p->most_g2) {
        p->most_g2 = weight_g2;
        p->bed = bt_arena_text(d->kept, bed);
    }
}

void bt_doubt_add(struct bt_doubt *d, const struct bt_show *w, const struct bt_finding *f)
{
    const struct bt_account_finding *x = bt_account_of(f, BT_N);
    if (!x || x->word == BT_MORE_THAN_ENOUGH || x->word == BT_NO_CROP ||
        !(x->tightest.sd > 0))
        return;
    const double sd_g = x->tightest.sd * f->budget->bed->area_m2;
    const char *bed = bt_text_shown(w->arena, f->budget->bed->id);
    d->variance_g2 += sd_g * sd_g;
    d->n_beds++;
    for (size_t k = 0; k < x->n_drivers; k++) {
        const struct bt_node_info *node =
            bt_sheet_node(f->budget->sheet, x->driver[k].leaf);
        const double weight_g2 = x->driver[k].share_of_variance * sd_g * sd_g;
        if (node->leaf && node->leaf->assumed && weight_g2 > 0)
            add_part(d, &d->assumed, assumed_text(w, node->leaf), bed, weight_g2);
    }
    for (size_t k = 0; k < x->n_gauges; k++) {
        const struct bt_leaf *leaf =
            bt_sheet_node(f->budget->sheet, x->gauge[k].leaf)->leaf;
        const double left_frac = 1 - x->gauge[k].spread_cut_frac;
        add_part(d, &d->measure, bt_measure_text(w->arena, leaf), bed,
                 (1 - left_frac * left_frac) * sd_g * sd_g);
    }
}

/* The k-th largest, equal ones in the order in which they came. */
static bool part_at(const struct bt_doubt *d, const struct parts *list, size_t k,
                    struct bt_doubt_part *out)
{
    for (size_t i = 0; i < list->n; i++) {
        size_t before = 0;
        for (size_t j = 0; j < list->n; j++)
            before += list->part[j].weight_g2 > list->part[i].weight_g2 ||
                      (j < i && !(list->part[j].weight_g2 < list->part[i].weight_g2));
        if (before != k)
            continue;
        const struct part *p = &list->part[i];
        *out = (struct bt_doubt_part){p->text, p->bed, p->n_beds,
                                      p->weight_g2 / d->variance_g2};
        return true;
    }
    return false;
}

bool bt_doubt_measure(const struct bt_doubt *d, size_t k, struct bt_doubt_part *out)
{
    return part_at(d, &d->measure, k, out);
}

bool bt_doubt_assumed(const struct bt_doubt *d, size_t k, struct bt_doubt_part *out)
{
    return part_at(d, &d->assumed, k, out);
}
