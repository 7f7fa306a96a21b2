#include "model/soil.h"

struct bt_node bt_organic_matter_held(struct bt_sheet *s, struct bt_node organic_matter,
                                      struct bt_node limit)
{
    return bt_named(s, NULL, "organic matter that counts",
                    bt_min(s, organic_matter, limit));
}

struct bt_node bt_organic_matter_release(struct bt_sheet *s, struct bt_node held,
                                         struct bt_node release_per_percent_g_m2,
                                         struct bt_node density_ratio,
                                         struct bt_node depth_share)
{
    const struct bt_node percents = bt_named(
        s, NULL, "percents of organic matter that count",
        bt_div(s, held, bt_constant_named(s, 0.01, BT_FRACTION, "1 %", NULL, NULL)));
    const struct bt_node layer = bt_named(s, NULL, "soil in the layer against the rule's",
                                          bt_mul(s, density_ratio, depth_share));
    return bt_named(s, NULL, "release of a full season",
                    bt_mul(s, bt_mul(s, percents, release_per_percent_g_m2), layer));
}

struct bt_node bt_organic_matter_without(struct bt_sheet *s, struct bt_node tested,
                                         struct bt_node compost_om_g_m2,
                                         struct bt_node plow_layer_g_m2,
                                         struct bt_node density_ratio)
{
    const struct bt_node layer = bt_named(s, NULL, "mass of the plow layer",
                                          bt_mul(s, plow_layer_g_m2, density_ratio));
    const struct bt_node fresh =
        bt_named(s, NULL, "this season's compost in the tested organic matter",
                 bt_div(s, compost_om_g_m2, layer));
    return bt_named(s, NULL, "organic matter without this season's compost",
                    bt_max(s, bt_sub(s, tested, fresh), bt_share(s, 0)));
}

static struct bt_node volume_of_mixture(struct bt_sheet *s, const struct bt_loosened *x,
                                        struct bt_node om)
{
    return bt_add(s, bt_div(s, om, x->organic_g_m3),
                  bt_div(s, bt_rest(s, om), x->mineral_g_m3));
}

struct bt_node bt_loosened_density(struct bt_sheet *s, const struct bt_loosened *x)
{
    const struct bt_node usual = bt_named(s, NULL, "volume of the usual soil, per mass",
                                          volume_of_mixture(s, x, x->up_to));
    const struct bt_node om = bt_named(s, NULL, "organic matter that loosens the soil",
                                       bt_max(s, x->organic_matter, x->up_to));
    const struct bt_node rich =
        bt_named(s, NULL, "volume of this soil, per mass", volume_of_mixture(s, x, om));
    return bt_mul(s, x->texture_g_m3, bt_div(s, usual, rich));
}

struct bt_node bt_in_layer(struct bt_sheet *s, struct bt_node content_frac,
                           struct bt_node bulk_density_g_m3, struct bt_node depth_m)
{
    return bt_mul(s, bt_mul(s, content_frac, bulk_density_g_m3), depth_m);
}

struct bt_node bt_water_nitrogen(struct bt_sheet *s, struct bt_node depth_m,
                                 struct bt_node nitrate_n_g_m3)
{
    return bt_mul(s, depth_m, nitrate_n_g_m3);
}
