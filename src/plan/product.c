#include "plan/product.h"

#include <assert.h>

static const double PPM = 1e-6;

struct bt_node bt_product_for(struct bt_sheet *s, struct bt_node nutrient,
                              struct bt_node content)
{
    return bt_div(s, nutrient, content);
}

struct bt_node bt_carried_by(struct bt_sheet *s, struct bt_node product,
                             struct bt_node content)
{
    return bt_mul(s, product, content);
}

struct bt_node bt_still_needed(struct bt_sheet *s, struct bt_node need,
                               struct bt_node carried)
{
    const struct bt_node none = bt_constant(s, 0, bt_sheet_node(s, need)->dim);
    return bt_max(s, bt_sub(s, need, carried), none);
}

struct bt_node bt_replacing(struct bt_sheet *s, struct bt_node amount,
                            struct bt_node from_content, struct bt_node to_content)
{
    const struct bt_node counted =
        bt_named(s, NULL, "nutrient that counts", bt_mul(s, amount, from_content));
    return bt_product_for(s, counted, to_content);
}

struct bt_node bt_nutrient_price(struct bt_sheet *s, struct bt_node price,
                                 struct bt_node package_g, struct bt_node content)
{
    const struct bt_node counted = bt_named(s, NULL, "nutrient that counts in the package",
                                            bt_mul(s, package_g, content));
    return bt_div(s, price, counted);
}

struct bt_node bt_lime_of_material(struct bt_sheet *s, struct bt_node rate,
                                   struct bt_node equivalent_frac, struct bt_node fine_frac,
                                   struct bt_node moisture_frac)
{
    const struct bt_node acts = bt_named(
        s, NULL, "share of the material that acts",
        bt_mul(s, bt_mul(s, equivalent_frac, fine_frac), bt_rest(s, moisture_frac)));
    return bt_div(s, rate, acts);
}

struct bt_node bt_lime_for_acidity(struct bt_sheet *s, struct bt_node acidity_rate,
                                   struct bt_node ph, struct bt_node target_ph,
                                   struct bt_node limit_ph, struct bt_node credit)
{
    const struct bt_node share =
        bt_named(s, NULL, "share of the acidity to be neutralised",
                 bt_div(s, bt_sub(s, target_ph, ph), bt_sub(s, limit_ph, ph)));
    return bt_still_needed(s, bt_mul(s, acidity_rate, share), credit);
}

struct bt_node bt_for_each_ppm(struct bt_sheet *s, struct bt_node share_frac,
                               struct bt_node per_ppm_g_m2)
{
    const struct bt_node one = bt_constant_named(s, PPM, BT_FRACTION, "1 ppm", NULL, NULL);
    bt_shown_in(s, one, "ppm", PPM);
    return bt_mul(s, bt_div(s, share_frac, one), per_ppm_g_m2);
}

struct bt_node bt_side_dress_line(struct bt_sheet *s, struct bt_node critical_frac,
                                  struct bt_node reading_frac, struct bt_node per_ppm_g_m2)
{
    const struct bt_node below = bt_named(s, NULL, "reading below the critical one",
                                          bt_still_needed(s, critical_frac, reading_frac));
    return bt_for_each_ppm(s, below, per_ppm_g_m2);
}

struct bt_node bt_side_dress_steps(struct bt_sheet *s, struct bt_node reading_frac,
                                   size_t n, const double *limit_frac,
                                   const double *rate_g_m2, const struct bt_row *row)
{
    enum { MOST = 8 };
    double x[2 * MOST], y[2 * MOST];
    size_t knots = 0;
    assert(n >= 2 && n <= MOST);
    for (size_t i = 0; i + 1 < n; i++) {
        x[knots] = limit_frac[i];
        y[knots++] = rate_g_m2[i];
        x[knots] = limit_frac[i] + PPM;
        y[knots++] = rate_g_m2[i + 1];
    }
    return bt_curve(s, reading_frac, (struct bt_knots){knots, x, y}, BT_MASS_PER_AREA, row);
}
