#include "model/amendment.h"

struct bt_node bt_dry_matter(struct bt_sheet *s, struct bt_node fresh_g_m2,
                             struct bt_node moisture)
{
    return bt_mul(s, fresh_g_m2, bt_rest(s, moisture));
}

struct bt_node bt_compost_available(struct bt_sheet *s, struct bt_node total_n_g_m2,
                                    struct bt_node share_of_total)
{
    return bt_mul(s, total_n_g_m2, share_of_total);
}

struct bt_node bt_compost_analysed(struct bt_sheet *s, struct bt_node total_n_g_m2,
                                   struct bt_node mineral_n_g_m2,
                                   struct bt_node share_of_total,
                                   struct bt_node mineral_share)
{
    const struct bt_node organic =
        bt_named(s, NULL, "organic nitrogen of the analysed compost",
                 bt_sub(s, total_n_g_m2, mineral_n_g_m2));
    const struct bt_node share = bt_named(
        s, NULL, "available share of the organic nitrogen",
        bt_div(s, bt_sub(s, share_of_total, mineral_share), bt_rest(s, mineral_share)));
    return bt_add(s, mineral_n_g_m2, bt_mul(s, organic, share));
}

struct bt_node bt_manure_available(struct bt_sheet *s, struct bt_node ammonium_n_g_m2,
                                   struct bt_node kept, struct bt_node organic_n_g_m2,
                                   struct bt_node share_of_organic)
{
    return bt_add(s, bt_mul(s, ammonium_n_g_m2, kept),
                  bt_mul(s, organic_n_g_m2, share_of_organic));
}

struct bt_node bt_later_available(struct bt_sheet *s, struct bt_node n_g_m2,
                                  struct bt_node share, struct bt_node already_frac)
{
    const struct bt_node extra = bt_max(s, bt_sub(s, share, already_frac), bt_share(s, 0));
    return bt_mul(s, n_g_m2, extra);
}
