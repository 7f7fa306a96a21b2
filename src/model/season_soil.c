/* The soil's own lines: organic matter, nitrate, water, rain and dust. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "model/season_bind.h"
#include "model/soil.h"

static const char *texture_of(const struct bt_binding *b)
{
    if (b->bed->kind != BT_GROUND)
        return "mix";
    return b->bed->texture ? b->bed->texture : "unknown texture";
}

/* One soil sample is one leaf, whatever beds it speaks for. */
static struct bt_node tested_organic_matter(struct bt_binding *b)
{
    if (b->om_test)
        return bt_bind_stated(
            b, &b->om_test->organic_matter,
            bt_bind_text(b, "soil_tests/%s/organic_matter", b->om_test->sample),
            "organic matter of the soil");
    const struct bt_row *row = bt_bind_row(b, "soils", "any", "organic_matter");
    return bt_bind_leaf_of(b, row, "organic matter of the soil", NULL, true);
}

/* A soil tested richer than those that the densities by texture are of lies looser. What
 * somebody says of the soil itself, in a table of the garden's own or as rich garden soil,
 * is taken as it is. */
static struct bt_node loosened(struct bt_binding *b, const struct bt_row *by_texture)
{
    struct bt_sheet *s = b->sheet;
    const struct bt_node up_to =
        bt_bind_handbook(b, "soils", "any", "bulk_density_om",
                         "organic matter that densities by texture hold to", NULL);
    if (!by_texture || by_texture->local || b->bed->kind != BT_GROUND || !b->om_test ||
        bt_text_is(by_texture->key, "rich garden soil"))
        return b->bulk_density;
    const struct bt_node om = tested_organic_matter(b);
    if (bt_likely(s, om) <= bt_likely(s, up_to))
        return b->bulk_density;
    const struct bt_loosened x = {
        .texture_g_m3 = b->bulk_density,
        .organic_matter = om,
        .up_to = up_to,
        .organic_g_m3 = bt_bind_handbook(b, "soils", "any", "organic_density",
                                         "density of organic matter by itself", NULL),
        .mineral_g_m3 = bt_bind_handbook(b, "soils", "any", "mineral_density",
                                         "density of mineral soil by itself", NULL)};
    return bt_named(s, NULL, "bulk density of soil so rich in organic matter",
                    bt_loosened_density(s, &x));
}

static void bind_density(struct bt_binding *b)
{
    const char *texture = texture_of(b);
    const struct bt_row *row = bt_bind_row(b, "soils", texture, "bulk_density");
    b->bulk_density = bt_bind_leaf_of(b, row, "bulk density", texture, true);
    const struct bt_node reference = bt_bind_handbook(
        b, "soils", "any", "reference_bulk_density", "bulk density behind the rule", NULL);
    b->density_ratio = bt_named(b->sheet, NULL, "bulk density against the rule's",
                                bt_div(b->sheet, b->bulk_density, reference));
    b->bulk_density = loosened(b, row);
    b->layer_ratio = bt_div(b->sheet, b->bulk_density, reference);
}

/* min(1, depth of the bed / depth of the rule's layer) */
static struct bt_node depth_share(struct bt_binding *b)
{
    const struct bt_node rule =
        bt_bind_handbook(b, "soils", "any", "plow_depth", "depth behind the rule", NULL);
    if (!bt_given(&b->bed->depth) && b->bed->kind == BT_POTS && b->bed->pot_volume_m3 > 0) {
        const double height_m = b->bed->pot_volume_m3 * b->bed->pots / b->bed->area_m2;
        bt_bind_assumed(b, "depth of the mix: not given, pots as high as they are wide");
        const struct bt_node height =
            bt_constant_named(b->sheet, height_m, BT_LENGTH, "height of a pot", NULL, NULL);
        return bt_min(b->sheet, bt_div(b->sheet, height, rule), bt_share(b->sheet, 1));
    }
    if (!bt_given(&b->bed->depth)) {
        bt_bind_assumed(b, "depth of loose soil: not given, at least the plow layer");
        return bt_share(b->sheet, 1);
    }
    const struct bt_node depth =
        bt_bind_stated(b, &b->bed->depth, bt_bind_text(b, "beds/%s/depth", b->bed->id),
                       "depth of the bed");
    return bt_min(b->sheet, bt_div(b->sheet, depth, rule), bt_share(b->sheet, 1));
}

/* Filled on record: the filling has lines of its own and no organic-matter line. */
static bool is_filled_on_record(const struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        if (x->placement != BT_FILLING)
            continue;
        for (size_t k = 0; k < x->n_beds; k++)
            if (x->bed[k] == b->bed_index)
                return true;
    }
    return false;
}

static void bind_organic_matter(struct bt_binding *b)
{
    struct bt_sheet *s = b->sheet;
    b->om_already = bt_share(s, 0);
    if (b->bed->kind != BT_GROUND && is_filled_on_record(b)) {
        bt_bind_understood(
            b, "Filled bed: its filling has lines of its own and takes the place of "
               "the soil's organic matter.");
        return;
    }
    b->has_om_line = true;
    struct bt_node tested = tested_organic_matter(b);
    if (bt_likely(s, b->compost_om) > 0) {
        const struct bt_node layer = bt_bind_handbook(b, "soils", "any", "plow_layer_mass",
                                                      "mass of the rule's layer", NULL);
        tested = bt_organic_matter_without(s, tested, b->compost_om, layer, b->layer_ratio);
    }
    const struct bt_node limit = bt_bind_handbook(b, "soils", "any", "om_limit",
                                                  "limit of the organic-matter rule", NULL);
    const struct bt_node held = bt_organic_matter_held(s, tested, limit);
    const char *what =
        bt_bind_text(b, "release per 1 %% of organic matter, %s", b->garden->warmth);
    const struct bt_node release =
        bt_bind_handbook(b, "soils", b->garden->warmth, "om_release", what, NULL);
    struct bt_node full =
        bt_organic_matter_release(s, held, release, b->density_ratio, depth_share(b));
    if (b->bed->kind != BT_GROUND) {
        const struct bt_row *row = bt_bind_row(b, "soils", "mix", "om_factor");
        full = bt_mul(
            s, full,
            bt_bind_leaf_of(b, row, "release of a mix against mineral soil", NULL, true));
        bt_bind_understood(
            b, "The organic-matter rule is for mineral soil; for a mix its range is "
               "widened.");
    }
    const struct bt_node omega =
        bt_bind_handbook(b, "soils", "any", "om_release_share",
                         "share of old nitrogen that the organic-matter line pays", NULL);
    const struct bt_node credited =
        bt_named(s, NULL, "counted share of the organic matter",
                 bt_div(s, held, bt_max(s, tested, bt_share(s, 1e-6))));
    b->om_already = bt_named(s, NULL, "already paid by the organic-matter line",
                             bt_mul(s, omega, credited));
    const struct bt_pool pool = {
        .id = "soil organic matter",
        .label = "soil organic matter",
        .node = full,
        .release = {.from = b->start, .by_warmth = 1}
    };
    bt_bind_supply(b, &pool);
}

/* A crop living at the start or just cut keeps the soil's nitrate low. */
static bool was_covered(const struct bt_binding *b)
{
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *p = &b->plot[i];
        if (p->is_cover && p->in_ground < b->start - 60 && p->ended > b->start - 45)
            return true;
    }
    return false;
}

static struct bt_node nitrate_depth(struct bt_binding *b)
{
    const struct bt_node usual =
        bt_bind_handbook(b, "soils", "any", "nitrate_depth",
                         "depth that a nitrate reading speaks for", NULL);
    if (!b->reset || b->reset->depth.presence != BT_GIVEN)
        return usual;
    const double depth_m = b->reset->depth.bottom_m - b->reset->depth.top_m;
    const double usual_m = bt_likely(b->sheet, usual);
    if (fabs(depth_m - usual_m) > 0.03)
        bt_diag_add(b->diag,
                    (struct bt_message){
                        .weight = BT_WARNING,
                        .at = b->reset->depth.cell.at,
                        .field = "depth",
                        .expected = "a nitrate sample from the top 30 cm (12 in)",
                        .found = b->reset->depth.cell.text,
                        .hint =
                            "the reading is counted for the layer it was taken from, not "
                            "stretched; what lies deeper is not known"});
    return bt_constant_named(b->sheet, depth_m, BT_LENGTH, "depth of the nitrate sample",
                             b->reset->depth.cell.text, NULL);
}

static void bind_nitrate(struct bt_binding *b)
{
    struct bt_sheet *s = b->sheet;
    struct bt_node content;
    if (b->reset) {
        content =
            bt_bind_stated(b, &b->reset->nitrate_n,
                           bt_bind_text(b, "soil_tests/%s/nitrate_n", b->reset->sample),
                           "nitrate nitrogen, tested");
    } else {
        const bool covered = was_covered(b);
        const char *quantity = covered ? "nitrate_default_covered" : "nitrate_default";
        const struct bt_row *row = bt_bind_row(b, "soils", "any", quantity);
        content = bt_bind_leaf_of(b, row,
                                  covered ? "nitrate nitrogen under a cover, not tested"
                                          : "nitrate nitrogen, not tested",
                                  NULL, true);
    }
    b->start_nitrate = bt_in_layer(s, content, b->bulk_density, nitrate_depth(b));
    const char *label = b->reset ? "soil nitrate, as tested" : "soil nitrate at the start";
    b->start_nitrate = bt_named(s, NULL, label, b->start_nitrate);
    const struct bt_pool pool = {
        .id = "soil nitrate",
        .label = label,
        .node = b->start_nitrate,
        .release = {.from = b->start, .at_once = 1},
        .keep_before_reset = true
    };
    bt_bind_supply(b, &pool);
}

/* ---- water, rain and dust ---- */

/* A source's nitrate, typed once, holds for all its rows until a newer date. */
static const struct bt_water *nitrate_of(const struct bt_binding *b,
                                         const struct bt_water *row)
{
    const struct bt_garden *g = b->garden;
    const struct bt_water *best = NULL;
    for (size_t i = 0; i < g->n_waters; i++) {
        const struct bt_water *w = &g->water[i];
        if (w->nitrate.presence == BT_BLANK || strcmp(w->source, row->source) != 0)
            continue;
        if (!best ||
            (w->date.known && (!best->date.known || w->date.day >= best->date.day)))
            best = w;
    }
    return best;
}

static struct bt_node water_depth(struct bt_binding *b, const struct bt_water *w, size_t i,
                                  int days)
{
    struct bt_sheet *s = b->sheet;
    const struct bt_node amount =
        bt_bind_stated(b, &w->amount, bt_bind_text(b, "water/%s/%zu/amount", w->source, i),
                       bt_bind_text(b, "water from %s", w->source));
    if (bt_dim_same(w->amount.unit.dim, BT_VOLUME)) {
        const double area_m2 = bt_garden_area_m2(b->garden, w->n_beds, w->bed);
        return bt_div(s, amount,
                      bt_constant_named(s, area_m2, BT_AREA, "area watered",
                                        "beds of the row", NULL));
    }
    if (bt_dim_same(w->amount.unit.dim, bt_dim_div(BT_LENGTH, BT_TIME)))
        return bt_mul(
            s, amount,
            bt_constant_named(s, days, BT_TIME, "days of watering", "from, to", NULL));
    return amount;
}

static const double DRINKING_LIMIT_G_M3 =
    10; /* cautions.csv, water nitrate; used as a trigger only */

static void bind_water_row(struct bt_binding *b, size_t i, size_t nth)
{
    const struct bt_garden *g = b->garden;
    const struct bt_water *w = &g->water[i];
    const struct bt_water *tested = nitrate_of(b, w);
    if (!bt_given(&w->amount))
        return;
    if (tested && tested->nitrate.presence == BT_NONE) /* rain water */
        return;
    if (!tested || !bt_given(&tested->nitrate)) {
        bt_bind_assumed(
            b, bt_bind_text(b, "nitrate in water from %s: not known, nothing counted",
                            w->source));
        return;
    }
    const int from = w->from.known ? w->from.day : g->season_start;
    const int until = w->until.known ? w->until.day : g->season_end;
    if (until <= from || until <= b->start || from >= b->end)
        return;
    const struct bt_node nitrate =
        bt_bind_stated(b, &tested->nitrate, bt_bind_text(b, "water/%s/nitrate", w->source),
                       bt_bind_text(b, "nitrate nitrogen in water from %s", w->source));
    if (bt_likely(b->sheet, nitrate) > DRINKING_LIMIT_G_M3)
        bt_bind_caution(b, "water nitrate");
    const struct bt_node depth =
        bt_named(b->sheet, NULL, bt_bind_text(b, "depth of water from %s", w->source),
                 water_depth(b, w, nth, until - from));
    const char *label = nth > 1 ? bt_bind_text(b, "water from %s, row %zu", w->source, nth)
                                : bt_bind_text(b, "water from %s", w->source);
    const struct bt_pool pool = {
        .id = label,
        .label = bt_bind_text(b, "nitrogen in %s", label),
        .node = bt_water_nitrogen(b->sheet, depth, nitrate),
        .release = {.from = from, .evenly = 1, .until = until}
    };
    bt_bind_supply(b, &pool);
}

/* Which row of its source water row `i` is, from 1. */
static size_t nth_of_source(const struct bt_garden *g, size_t i)
{
    size_t nth = 1;
    for (size_t j = 0; j < i; j++)
        nth += strcmp(g->water[j].source, g->water[i].source) == 0;
    return nth;
}

static void bind_water(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    bool in_a_row = false;
    for (size_t i = 0; i < g->n_waters; i++)
        for (size_t k = 0; k < g->water[i].n_beds; k++)
            if (g->water[i].bed[k] == b->bed_index) {
                in_a_row = true;
                bind_water_row(b, i, nth_of_source(g, i));
            }
    if (!in_a_row)
        bt_bind_assumed(b, "water: not on record, no nitrogen counted from it");
}

static void bind_rain(struct bt_binding *b)
{
    const struct bt_row *row = bt_bind_row(b, "soils", "any", "deposition");
    const struct bt_pool pool = {
        .id = "rain and dust",
        .label = "nitrogen in rain and dust",
        .node = bt_bind_leaf_of(b, row, "nitrogen that rain and dust bring in a season",
                                NULL, true),
        .release = {
                    .from = b->garden->season_start, .evenly = 1, .until = b->garden->season_end}
    };
    bt_bind_supply(b, &pool);
}

void bt_bind_soil(struct bt_binding *b)
{
    bind_density(b);
    bind_organic_matter(b);
    bind_nitrate(b);
    bind_water(b);
    bind_rain(b);
}
