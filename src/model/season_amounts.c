/* How much of a material lies on a bed, and what it holds: amounts in every measure brought
 * to grams a square metre, analyses by the garden's own figures or the handbook's. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "model/amendment.h"
#include "model/season_bind.h"

bool bt_bind_is_on_bed(const struct bt_binding *b, const struct bt_application *x)
{
    for (size_t k = 0; k < x->n_beds; k++)
        if (x->bed[k] == b->bed_index)
            return true;
    return false;
}

const char *bt_bind_material_label(const struct bt_application *x)
{
    return bt_deed_label(x);
}

const char *bt_bind_day(struct bt_binding *b, const struct bt_application *x)
{
    return bt_garden_day(b->arena, b->garden, x->date.day);
}

/* ---- the amount, per area ---- */

/* Plants (or mounds) of one bed that an addition was given to: those put in that day, else
 * all that stand. */
static double plants_on(struct bt_binding *b, size_t bed, const struct bt_application *x,
                        bool groups)
{
    const struct bt_garden *g = b->garden;
    double put_in = 0, standing = 0;
    for (size_t i = 0; i < g->n_plantings; i++) {
        const struct bt_planting *p = &g->planting[i];
        if (p->bed_index != bed || !p->crop)
            continue;
        const double count = bt_planting_count(b->book, p);
        const double n = groups && count > 0 ? p->plants.groups : count;
        int from, to;
        bt_bind_stay(b, p, &from, &to);
        if (from == x->date.day)
            put_in += n;
        if (from <= x->date.day && x->date.day < to)
            standing += n;
    }
    return put_in > 0 ? put_in : standing;
}

/* How many plants, mounds or pots got it: of this bed, or, seen from where it was cut, of
 * all beds it went to. */
static double how_many(struct bt_binding *b, const struct bt_application *x, bool from_here)
{
    const char *each = x->amount.unit.per;
    double sum = 0;
    for (size_t k = 0; k < x->n_beds; k++) {
        if (!from_here && x->bed[k] != b->bed_index)
            continue;
        sum += bt_text_is(each, "pot")
                   ? b->garden->bed[x->bed[k]].pots
                   : plants_on(b, x->bed[k], x, !bt_text_is(each, "plant"));
    }
    return sum;
}

static struct bt_node density_of(struct bt_binding *b, const struct bt_application *x)
{
    const char *what = "density";
    if (x->own && bt_given(&x->own->density))
        return bt_bind_stated(b, &x->own->density,
                              bt_bind_text(b, "materials.csv/%s/density", x->own->name),
                              bt_bind_text(b, "%s of %s", what, x->own->name));
    const struct bt_row *row = bt_bind_row(b, "materials", x->material, what);
    return bt_bind_leaf_of(b, row, what, bt_bind_material_label(x), true);
}

double bt_bind_spread_area_m2(const struct bt_binding *b, const struct bt_application *x)
{
    return bt_garden_area_m2(b->garden, x->n_beds, x->bed);
}

/* Fresh mass [g/m2] over `area_m2`; false when the amount cannot be known. */
static bool fresh_mass(struct bt_binding *b, const struct bt_application *x, double area_m2,
                       struct bt_node *out)
{
    struct bt_sheet *s = b->sheet;
    if (!bt_given(&x->amount))
        return false;
    const char *bed = b->garden->bed[x->bed[0]].id;
    const char *material = bt_bind_material_label(x);
    const char *name = bt_deed_name_on(b->arena, b->garden, b->bed_index, x);
    struct bt_node amount = bt_bind_stated(
        b, &x->amount,
        bt_bind_text(b, "applications/%s/%s %u/amount", bed, material, x->ordinal),
        bt_bind_text(b, "amount of %s", name));
    const struct bt_dim dim = x->amount.unit.dim;
    if (x->amount.unit.per) {
        const bool from_here = x->taken_from == b->bed && area_m2 == b->bed->area_m2;
        const double n = how_many(b, x, from_here);
        const char *label = bt_bind_text(b, "%ss that got %s", x->amount.unit.per, name);
        amount =
            bt_mul(s, amount, bt_constant_named(s, n, BT_FRACTION, label, "counted", NULL));
        area_m2 = b->bed->area_m2;
    }
    if (bt_dim_same(dim, BT_VOLUME) || bt_dim_same(dim, BT_LENGTH))
        amount = bt_mul(s, amount, density_of(b, x));
    if (bt_dim_same(dim, BT_MASS) || bt_dim_same(dim, BT_VOLUME))
        amount = bt_div(s, amount,
                        bt_constant_named(s, area_m2, BT_AREA,
                                          bt_bind_text(b, "area that got %s", name),
                                          "beds of the row", NULL));
    if (!bt_dim_same(bt_sheet_node(s, amount)->dim, BT_MASS_PER_AREA))
        return false;
    const bool per_area = bt_dim_same(dim, BT_LENGTH) || bt_dim_same(dim, BT_MASS_PER_AREA);
    const double spread_m2 = bt_bind_spread_area_m2(b, x);
    if (per_area && !x->amount.unit.per &&
        spread_m2 != area_m2) /* seen from where it was cut */
        amount = bt_mul(
            s, amount,
            bt_constant_named(s, spread_m2 / area_m2, BT_FRACTION,
                              bt_bind_text(b, "area that got %s against this bed", name),
                              "beds of the row", NULL));
    *out = bt_named(s, NULL, bt_bind_text(b, "%s as spread, %s", name, bt_bind_day(b, x)),
                    amount);
    return true;
}

/* ---- the analysis ---- */

struct bt_node bt_bind_own_or_table(struct bt_binding *b, const struct bt_application *x,
                                    const struct bt_quantity *own, const char *quantity,
                                    const char *what, bool *out_dry_basis)
{
    if (x->own && own && bt_given(own)) {
        *out_dry_basis = x->own->dry_basis;
        return bt_bind_stated(
            b, own, bt_bind_text(b, "materials.csv/%s/%s", x->own->name, quantity),
            bt_bind_text(b, "%s of %s", what, x->own->name));
    }
    const struct bt_row *row = bt_bind_row(b, "materials", x->material, quantity);
    *out_dry_basis = row && bt_text_is(row->basis, "dry");
    return bt_bind_leaf_of(b, row, what, bt_bind_material_label(x), true);
}

bool bt_bind_application_of(struct bt_binding *b, const struct bt_application *x,
                            double area_m2, const struct bt_content *c,
                            struct bt_node *out_dry, struct bt_node *out_total)
{
    struct bt_sheet *s = b->sheet;
    struct bt_node fresh;
    if (!fresh_mass(b, x, area_m2, &fresh))
        return false;
    const char *name = bt_deed_name_on(b->arena, b->garden, b->bed_index, x);
    /* One heap is one leaf, wherever it is looked at from: what leaves is what arrives. */
    b->leaves_of = b->garden->bed[x->bed[0]].id;
    const bool has_moisture =
        (x->own && bt_given(&x->own->moisture)) ||
        bt_handbook_follow(b->book, "materials", x->material, "moisture") != NULL;
    bool dry_basis = false, unused = false;
    const struct bt_node content =
        bt_bind_own_or_table(b, x, c->own, c->quantity, c->what, &dry_basis);
    *out_dry = fresh;
    if (has_moisture) {
        const struct bt_quantity *own_moisture = x->own ? &x->own->moisture : NULL;
        const struct bt_node moisture =
            bt_bind_own_or_table(b, x, own_moisture, "moisture", "moisture", &unused);
        *out_dry = bt_named(
            s, NULL, bt_bind_text(b, "dry matter of %s, %s", name, bt_bind_day(b, x)),
            bt_dry_matter(s, fresh, moisture));
    }
    *out_total = bt_named(
        s, NULL, bt_bind_text(b, "%s of %s, %s", c->total, name, bt_bind_day(b, x)),
        bt_mul(s, dry_basis ? *out_dry : fresh, content));
    b->leaves_of = NULL;
    return true;
}

bool bt_bind_application_n(struct bt_binding *b, const struct bt_application *x,
                           double area_m2, struct bt_node *out_dry, struct bt_node *out_n)
{
    const struct bt_content nitrogen = {"n", "nitrogen content", "total nitrogen",
                                        x->own ? &x->own->n : NULL};
    return bt_bind_application_of(b, x, area_m2, &nitrogen, out_dry, out_n);
}

/* ---- what leaves this bed ---- */

/* Ends of what the plants can have grown, over the likely: of their harvest, stated or of
 * the handbook. */
static void growth_ends(struct bt_binding *b, const struct bt_planting *x, double out[2])
{
    const struct bt_quantity *own = bt_given(&x->weighed)    ? &x->weighed
                                    : bt_given(&x->expected) ? &x->expected
                                    : bt_given(&x->fresh)    ? &x->fresh
                                                             : NULL;
    const struct bt_row *row =
        x->legume ? bt_handbook_follow(b->book, "legumes", x->legume, "shoot_n")
                  : bt_handbook_follow(b->book, "crops", x->crop, "yield");
    const struct bt_range *r = own ? &own->range : row ? &row->range : NULL;
    out[0] = r && r->likely > 0 ? r->low / r->likely : 1;
    out[1] = r && r->likely > 0 ? r->high / r->likely : 1;
}

static const char *weight_words(const struct bt_binding *b, double g)
{
    static const double LB_G = 453.59237;
    const bool us = b->garden->us_units;
    const double x = g / (us ? LB_G : 1000);
    const char *figure = bt_arena_format(b->arena, "%.*f", x < 10 ? 1 : 0, x);
    return bt_arena_format(b->arena, "%s %s", figure, us ? "lb" : "kg");
}

/* A bed is built more than once where plans and what-ifs are asked for. */
static bool is_said(const struct bt_binding *b, const struct bt_application *x)
{
    for (size_t i = 0; i < bt_diag_kept(b->diag); i++) {
        const struct bt_message *m = bt_diag_get(b->diag, i);
        if (m->weight == BT_WARNING && m->at.line == x->amount.cell.at.line && m->field &&
            strcmp(m->field, "amount") == 0 && m->at.file &&
            strcmp(m->at.file, x->amount.cell.at.file) == 0)
            return true;
    }
    return false;
}

/* More cut from a planting than it can have grown: somebody's slip, or another bed's
 * plants. */
static void warn_of_too_much(struct bt_binding *b, const struct bt_plot *p,
                             const struct bt_application *last, double taken_n_g_m2,
                             double fresh_g_m2)
{
    const double grown_n_g_m2 = bt_likely(b->sheet, p->uptake);
    double ends[2];
    growth_ends(b, p->planting, ends);
    if (taken_n_g_m2 <= grown_n_g_m2 * ends[1] || taken_n_g_m2 <= 0 || is_said(b, last))
        return;
    const double g = b->bed->area_m2 * fresh_g_m2;
    const double most_g = g * grown_n_g_m2 / taken_n_g_m2;
    const char *name = bt_bind_material_label(last);
    bt_diag_add(
        b->diag,
        (struct bt_message){
            .weight = BT_WARNING,
            .at = last->amount.cell.at,
            .field = "amount",
            .expected = bt_bind_text(
                b, "no more %s taken from %s than its %s can have grown, about %s to %s",
                name, b->bed->id, p->subject, weight_words(b, most_g * ends[0]),
                weight_words(b, most_g * ends[1])),
            .found = bt_bind_text(b, "%s over the season", weight_words(b, g)),
            .hint =
                "what is taken is held to what the plants hold; what arrives is counted "
                "as typed"});
}

bool bt_bind_taken_out(struct bt_binding *b, const struct bt_plot *p, struct bt_node *out)
{
    const struct bt_garden *g = b->garden;
    struct bt_node sum = bt_constant(b->sheet, 0, BT_MASS_PER_AREA);
    const struct bt_application *last = NULL;
    double fresh_g_m2 = 0;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        struct bt_node dry, n, fresh;
        if (x->taken_from != b->bed || !x->material ||
            bt_season_of(g, x->date.day) != g->season)
            continue;
        /* The plant it was cut from: the one whose name stands in the material's. */
        if (!bt_plot_stands(p, x->date.day) || !strstr(x->written, p->planting->written))
            continue;
        if (!bt_bind_application_n(b, x, b->bed->area_m2, &dry, &n) ||
            !fresh_mass(b, x, b->bed->area_m2, &fresh))
            continue;
        sum = bt_add(b->sheet, sum, n);
        fresh_g_m2 += bt_likely(b->sheet, fresh);
        last = x;
    }
    *out = sum;
    if (last)
        warn_of_too_much(b, p, last, bt_likely(b->sheet, sum), fresh_g_m2);
    return last != NULL;
}
