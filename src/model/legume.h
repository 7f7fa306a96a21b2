/* Fixed nitrogen: how much, and where it goes. docs/model.md, "Legumes". */
#ifndef BT_MODEL_LEGUME_H
#define BT_MODEL_LEGUME_H

#include "worksheet/sheet.h"

/* Share of fixation kept at this much mineral nitrogen in the tilled layer at sowing:
 *   (N0 - Nmin) / (N0 - Nref), not below 0 (handbook: nitrate_zero, nitrate_reference) */
struct bt_node bt_nitrate_keeps(struct bt_sheet *s, struct bt_node mineral_n_g_m2,
                                struct bt_node zero_at_g_m2, struct bt_node reference_g_m2);

/* Share of plant nitrogen that comes from the air:
 *   min(limit, sole . company . kept at this nitrate . partner bacteria) */
struct bt_node bt_share_fixed(struct bt_sheet *s, struct bt_node sole,
                              struct bt_node company, struct bt_node nitrate_keeps,
                              struct bt_node partner, struct bt_node limit);

/* Where the nitrogen of one legume goes. All [g/m2 of bed]. The three fates of what is
 * fixed add up to `fixed` in every draw. */
struct bt_legume_ledger {
    struct bt_node shoot_n, plant_n; /* plant = shoot . below-ground factor */
    struct bt_node fixed;            /* plant . share fixed */
    struct bt_node harvested;        /* N leaving with the harvest, fixed or not */
    struct bt_node fixed_harvested, passed_on, fixed_left;
    struct bt_node left; /* plant - harvested: residue and roots */
};

/* `passed_on` = min(tau . uptake of the companions, limit . fixed). */
struct bt_node bt_passed_on(struct bt_sheet *s, struct bt_node tau,
                            struct bt_node companions_g_m2, struct bt_node limit,
                            struct bt_node fixed_g_m2);

/* The ledger of a legume; `subject` names its nodes ("pole bean"). */
struct bt_legume_ledger bt_legume_fates(struct bt_sheet *s, const char *subject,
                                        struct bt_node shoot_n_g_m2,
                                        struct bt_node below_ground_factor,
                                        struct bt_node share_fixed,
                                        struct bt_node harvested_g_m2);

/* Adds the three fates of the fixed nitrogen, once it is known what is passed on. */
void bt_legume_pass_on(struct bt_sheet *s, const char *subject,
                       struct bt_legume_ledger *ledger, struct bt_node passed_on_g_m2);

/* Soil nitrogen that company spares [g/m2] = plant N . (share fixed in company - alone).
 * Shown, never added: the draw of the legume holds it already. */
struct bt_node bt_spared(struct bt_sheet *s, struct bt_node plant_n_g_m2,
                         struct bt_node share_in_company, struct bt_node share_alone);

/* What a legume does to the nitrogen of its bed [g/m2] = fixed - what leaves with the
 * harvest; below zero when more leaves than it fixed. */
struct bt_node bt_net_of_harvest(struct bt_sheet *s, struct bt_node fixed_g_m2,
                                 struct bt_node harvested_g_m2);

/* How much more a bed would have to find [g/m2] with a plant of equal uptake that fixes
 * nothing and passes nothing on: uptake / recovery - need of the legume + what it meets of
 * others'. */
struct bt_node bt_non_fixer_extra(struct bt_sheet *s, struct bt_node uptake_g_m2,
                                  struct bt_node recovery, struct bt_node legume_need_g_m2,
                                  struct bt_node met_g_m2);

/* Draw on the soil that the neighbours feel [g/m2] = uptake . (1 - share fixed) / recovery.
 */
struct bt_node bt_legume_draw(struct bt_sheet *s, struct bt_node uptake_g_m2,
                              struct bt_node share_fixed, struct bt_node recovery);

/* Need: a hungry legume fixes more, so what counts for a shortfall is the lesser of its
 * draw and uptake . (1 - share it can reach) / recovery */
struct bt_node bt_legume_need(struct bt_sheet *s, struct bt_node draw_g_m2,
                              struct bt_node uptake_g_m2, struct bt_node reachable_share,
                              struct bt_node recovery);

#endif
