/* Nitrogen from composts, manures, meals and fertilisers. docs/model.md, "Amendments". */
#ifndef BT_MODEL_AMENDMENT_H
#define BT_MODEL_AMENDMENT_H

#include "worksheet/sheet.h"

/* Dry matter [g/m2] = fresh mass . (1 - moisture). */
struct bt_node bt_dry_matter(struct bt_sheet *s, struct bt_node fresh_g_m2,
                             struct bt_node moisture);

/* Compost without a mineral analysis: total N . available share (which holds its mineral
 * N). */
struct bt_node bt_compost_available(struct bt_sheet *s, struct bt_node total_n_g_m2,
                                    struct bt_node share_of_total);

/* Compost with one: Nmin . kept + (T - Nmin) . (a1 - mu) / (1 - mu), mu the mineral share
 * behind the table's a1. May be slightly negative. */
struct bt_node bt_compost_analysed(struct bt_sheet *s, struct bt_node total_n_g_m2,
                                   struct bt_node mineral_n_g_m2,
                                   struct bt_node share_of_total,
                                   struct bt_node mineral_share);

/* Raw manure: NH4-N . kept + organic N . share of organic. */
struct bt_node bt_manure_available(struct bt_sheet *s, struct bt_node ammonium_n_g_m2,
                                   struct bt_node kept, struct bt_node organic_n_g_m2,
                                   struct bt_node share_of_organic);

/* A compost or manure of an earlier season: N . max(0, share of this year - already),
 * `already` what the organic-matter line pays for nitrogen that its sample has seen. */
struct bt_node bt_later_available(struct bt_sheet *s, struct bt_node n_g_m2,
                                  struct bt_node share, struct bt_node already_frac);

#endif
