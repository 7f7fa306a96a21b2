/* Layers, samples, plants and mixtures: arithmetic of what lies and stands on a piece of
 * ground. Equations take and return nodes. */
#ifndef BT_PLAN_GROUND_H
#define BT_PLAN_GROUND_H

#include "worksheet/sheet.h"

/* Volume of a layer = area . depth; its mass = volume . density. */
struct bt_node bt_layer_volume(struct bt_sheet *s, struct bt_node area_m2,
                               struct bt_node depth_m);
struct bt_node bt_layer_mass(struct bt_sheet *s, struct bt_node volume,
                             struct bt_node density_g_m3);

/* Dry matter per area of a sample cut from frames = dry mass / (frames . area of one). */
struct bt_node bt_sampled(struct bt_sheet *s, struct bt_node dry_g, struct bt_node frames,
                          struct bt_node frame_m2);

/* Plants on an area at a spacing = area / (in the row . between rows). */
struct bt_node bt_plants_at(struct bt_sheet *s, struct bt_node area_m2,
                            struct bt_node in_row_m, struct bt_node between_m);

/* Share of a full stand = plants / (area . plants per area of a full stand). */
struct bt_node bt_stand_share(struct bt_sheet *s, struct bt_node plants,
                              struct bt_node area_m2, struct bt_node stand_per_m2);

/* What microbes need to rot a residue. */
struct bt_rot {
    struct bt_node decomposed_frac; /* of the residue in the time looked at */
    struct bt_node carbon_use_frac; /* of that carbon that becomes microbe */
    struct bt_node microbe_c_n;     /* carbon for each nitrogen in them */
};
struct bt_rotted {
    struct bt_node carbon, nitrogen;     /* in what rots */
    struct bt_node microbe_carbon, need; /* nitrogen the microbes need */
    struct bt_node short_of;             /* need less what the residue brings, may be < 0 */
};
/* From carbon and nitrogen of the whole residue, same dimension. */
struct bt_rotted bt_rotting(struct bt_sheet *s, struct bt_node carbon,
                            struct bt_node nitrogen, const struct bt_rot *rot);

#endif
