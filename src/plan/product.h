/* Products and the nutrients in them: how much of one gives a nutrient, what comes along,
 * what one replaces of another, what it costs. Equations take and return nodes; masses may
 * be per area, per row length, per plant or in all. */
#ifndef BT_PLAN_PRODUCT_H
#define BT_PLAN_PRODUCT_H

#include "worksheet/sheet.h"

/* Product = nutrient wanted / content that counts. A content per volume gives a volume. */
struct bt_node bt_product_for(struct bt_sheet *s, struct bt_node nutrient,
                              struct bt_node content);

/* Nutrient in an amount of product = amount . content. */
struct bt_node bt_carried_by(struct bt_sheet *s, struct bt_node product,
                             struct bt_node content);

/* What is left of a need once something has been carried: never below 0. */
struct bt_node bt_still_needed(struct bt_sheet *s, struct bt_node need,
                               struct bt_node carried);

/* Amount of the other that gives the same = amount . content / content of the other, both
 * of what counts. */
struct bt_node bt_replacing(struct bt_sheet *s, struct bt_node amount,
                            struct bt_node from_content, struct bt_node to_content);

/* Price of a unit of nutrient = price / (package . content that counts). In money per g. */
struct bt_node bt_nutrient_price(struct bt_sheet *s, struct bt_node price,
                                 struct bt_node package_g, struct bt_node content);

/* Lime of a material = lab's rate of pure lime / (its calcium carbonate equivalent . share
 * fine enough to act . 1 - water). */
struct bt_node bt_lime_of_material(struct bt_sheet *s, struct bt_node rate,
                                   struct bt_node equivalent_frac, struct bt_node fine_frac,
                                   struct bt_node moisture_frac);

/* Lime by a buffer test: acidity . (target - pH) / (limit - pH), less a credit. */
struct bt_node bt_lime_for_acidity(struct bt_sheet *s, struct bt_node acidity_rate,
                                   struct bt_node ph, struct bt_node target_ph,
                                   struct bt_node limit_ph, struct bt_node credit);

/* A rate for each ppm of a reading. */
struct bt_node bt_for_each_ppm(struct bt_sheet *s, struct bt_node share_frac,
                               struct bt_node per_ppm_g_m2);

/* Side-dressing by a nitrate test, the straight line: (critical - reading), not below 0, in
 * ppm, times the rate for each ppm. */
struct bt_node bt_side_dress_line(struct bt_sheet *s, struct bt_node critical_frac,
                                  struct bt_node reading_frac, struct bt_node per_ppm_g_m2);

/* The step table: rates by classes of the reading, straight across the 1 ppm between two
 * classes. `limit_frac` are the upper ends of the first n - 1 classes, rising. */
struct bt_node bt_side_dress_steps(struct bt_sheet *s, struct bt_node reading_frac,
                                   size_t n, const double *limit_frac,
                                   const double *rate_g_m2, const struct bt_row *row);

#endif
