/* Nitrogen from the soil itself, from water and from the air. Equations take and return
 * nodes and know neither bed nor table. docs/model.md, "Supply". */
#ifndef BT_MODEL_SOIL_H
#define BT_MODEL_SOIL_H

#include "worksheet/sheet.h"

/* Organic matter that counts: min(tested, limit). The rule of thumb holds for mineral soils
 * only; above the limit the line is held. Fractions. */
struct bt_node bt_organic_matter_held(struct bt_sheet *s, struct bt_node organic_matter,
                                      struct bt_node limit);

/* Nitrogen that organic matter releases in a full growing season [g/m2]:
 *   held / 1 % . release per 1 % [g/m2] . bulk density / reference . depth share */
struct bt_node bt_organic_matter_release(struct bt_sheet *s, struct bt_node held,
                                         struct bt_node release_per_percent_g_m2,
                                         struct bt_node density_ratio,
                                         struct bt_node depth_share);

/* Tested organic matter less what this season's compost, spread before the sample, holds of
 * it: tested - compost organic matter [g/m2] / (plow layer [g/m2] . density ratio), not
 * below 0 */
struct bt_node bt_organic_matter_without(struct bt_sheet *s, struct bt_node tested,
                                         struct bt_node compost_om_g_m2,
                                         struct bt_node plow_layer_g_m2,
                                         struct bt_node density_ratio);

/* Bulk density of a soil richer in organic matter than those its texture's figure is of:
 * the volumes of mineral and organic parts add up (Adams 1973), taken against the same
 * mixture at `up_to`: texture . v(up_to) / v(max(om, up_to)),  v(x) = x / organic + (1 - x)
 * / mineral */
struct bt_loosened {
    struct bt_node texture_g_m3;
    struct bt_node organic_matter, up_to;
    struct bt_node organic_g_m3, mineral_g_m3; /* each by itself */
};
struct bt_node bt_loosened_density(struct bt_sheet *s, const struct bt_loosened *x);

/* Nutrient in a layer of soil [g/m2] = content [g/g] . bulk density [g/m3] . depth [m]. */
struct bt_node bt_in_layer(struct bt_sheet *s, struct bt_node content_frac,
                           struct bt_node bulk_density_g_m3, struct bt_node depth_m);

/* Nitrogen in water [g/m2] = depth used [m] . nitrate-N [g/m3]. */
struct bt_node bt_water_nitrogen(struct bt_sheet *s, struct bt_node depth_m,
                                 struct bt_node nitrate_n_g_m3);

#endif
