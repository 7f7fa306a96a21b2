#include "model/phosphate.h"

#include <math.h>

#include "model/soil.h"

struct bt_node bt_oxide_in(struct bt_sheet *s, struct bt_node mass_g_m2,
                           struct bt_node content_frac)
{
    return bt_mul(s, mass_g_m2, content_frac);
}

struct bt_node bt_first_season(struct bt_sheet *s, struct bt_node oxide_g_m2,
                               struct bt_node available_frac)
{
    return bt_mul(s, oxide_g_m2, available_frac);
}

struct bt_node bt_oxide_of(struct bt_sheet *s, struct bt_node element,
                           struct bt_node oxide_per_element)
{
    return bt_mul(s, element, oxide_per_element);
}

struct bt_node bt_excess_oxide(struct bt_sheet *s, const struct bt_excess *x)
{
    const struct bt_node above =
        bt_max(s, bt_sub(s, x->test_frac, x->line_frac), bt_constant(s, 0, BT_FRACTION));
    const struct bt_node element = bt_in_layer(s, above, x->bulk_density_g_m3, x->depth_m);
    return bt_oxide_of(s, element, x->oxide_per_element);
}

struct bt_node bt_years_by_removal(struct bt_sheet *s, struct bt_node excess_g_m2,
                                   struct bt_node removal_g_m2, double least_g_m2)
{
    const struct bt_node held =
        bt_max(s, removal_g_m2, bt_constant(s, least_g_m2, BT_MASS_PER_AREA));
    return bt_div(s, excess_g_m2, held);
}

struct bt_node bt_years_by_fall(struct bt_sheet *s, struct bt_node test_frac,
                                struct bt_node line_frac, struct bt_node fall_per_year)
{
    const struct bt_node above =
        bt_max(s, bt_sub(s, test_frac, line_frac), bt_constant(s, 0, BT_FRACTION));
    return bt_div(s, above, fall_per_year);
}

struct bt_node bt_years_by_decline(struct bt_sheet *s, double test_frac, double line_frac,
                                   struct bt_node share_per_year)
{
    const double logarithm = test_frac > line_frac ? log(test_frac / line_frac) : 0;
    const struct bt_node ratio =
        bt_constant_named(s, logarithm, BT_FRACTION, "natural logarithm of test over line",
                          "an exponential fall", NULL);
    return bt_div(s, ratio, share_per_year);
}
