#include "plan/ground.h"

struct bt_node bt_layer_volume(struct bt_sheet *s, struct bt_node area_m2,
                               struct bt_node depth_m)
{
    return bt_mul(s, area_m2, depth_m);
}

struct bt_node bt_layer_mass(struct bt_sheet *s, struct bt_node volume,
                             struct bt_node density_g_m3)
{
    return bt_mul(s, volume, density_g_m3);
}

struct bt_node bt_sampled(struct bt_sheet *s, struct bt_node dry_g, struct bt_node frames,
                          struct bt_node frame_m2)
{
    const struct bt_node cut =
        bt_named(s, NULL, "area that was cut", bt_mul(s, frames, frame_m2));
    return bt_div(s, dry_g, cut);
}

struct bt_node bt_plants_at(struct bt_sheet *s, struct bt_node area_m2,
                            struct bt_node in_row_m, struct bt_node between_m)
{
    const struct bt_node each =
        bt_named(s, NULL, "ground of one plant", bt_mul(s, in_row_m, between_m));
    return bt_div(s, area_m2, each);
}

struct bt_node bt_stand_share(struct bt_sheet *s, struct bt_node plants,
                              struct bt_node area_m2, struct bt_node stand_per_m2)
{
    const struct bt_node full =
        bt_named(s, NULL, "plants of a full stand here", bt_mul(s, area_m2, stand_per_m2));
    return bt_div(s, plants, full);
}

struct bt_rotted bt_rotting(struct bt_sheet *s, struct bt_node carbon,
                            struct bt_node nitrogen, const struct bt_rot *rot)
{
    struct bt_rotted r;
    r.carbon =
        bt_named(s, NULL, "carbon in what rots", bt_mul(s, carbon, rot->decomposed_frac));
    r.nitrogen = bt_named(s, NULL, "nitrogen in what rots",
                          bt_mul(s, nitrogen, rot->decomposed_frac));
    r.microbe_carbon = bt_named(s, NULL, "carbon that becomes microbe",
                                bt_mul(s, r.carbon, rot->carbon_use_frac));
    r.need = bt_named(s, NULL, "nitrogen the microbes need",
                      bt_div(s, r.microbe_carbon, rot->microbe_c_n));
    r.short_of = bt_sub(s, r.need, r.nitrogen);
    return r;
}
