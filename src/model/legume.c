#include "model/legume.h"

struct bt_node bt_nitrate_keeps(struct bt_sheet *s, struct bt_node mineral_n_g_m2,
                                struct bt_node zero_at_g_m2, struct bt_node reference_g_m2)
{
    const struct bt_node kept = bt_div(s, bt_sub(s, zero_at_g_m2, mineral_n_g_m2),
                                       bt_sub(s, zero_at_g_m2, reference_g_m2));
    return bt_max(s, kept, bt_share(s, 0));
}

struct bt_node bt_share_fixed(struct bt_sheet *s, struct bt_node sole,
                              struct bt_node company, struct bt_node nitrate_keeps,
                              struct bt_node partner, struct bt_node limit)
{
    const struct bt_node free =
        bt_mul(s, bt_mul(s, bt_mul(s, sole, company), nitrate_keeps), partner);
    return bt_min(s, free, limit);
}

struct bt_node bt_passed_on(struct bt_sheet *s, struct bt_node tau,
                            struct bt_node companions_g_m2, struct bt_node limit,
                            struct bt_node fixed_g_m2)
{
    return bt_min(s, bt_mul(s, tau, companions_g_m2), bt_mul(s, limit, fixed_g_m2));
}

static struct bt_node named(struct bt_sheet *s, const char *what, const char *subject,
                            struct bt_node n)
{
    return bt_named(s, NULL, bt_arena_format(bt_sheet_arena(s), "%s of %s", what, subject),
                    n);
}

struct bt_legume_ledger bt_legume_fates(struct bt_sheet *s, const char *subject,
                                        struct bt_node shoot_n_g_m2,
                                        struct bt_node below_ground_factor,
                                        struct bt_node share_fixed,
                                        struct bt_node harvested_g_m2)
{
    struct bt_legume_ledger l = {.shoot_n = shoot_n_g_m2};
    l.plant_n =
        named(s, "plant nitrogen", subject, bt_mul(s, shoot_n_g_m2, below_ground_factor));
    l.fixed = named(s, "nitrogen fixed", subject, bt_mul(s, l.plant_n, share_fixed));
    l.harvested = harvested_g_m2;
    l.left = named(s, "nitrogen left in residue and roots", subject,
                   bt_sub(s, l.plant_n, l.harvested));
    return l;
}

void bt_legume_pass_on(struct bt_sheet *s, const char *subject, struct bt_legume_ledger *l,
                       struct bt_node passed_on_g_m2)
{
    const struct bt_node out = named(s, "harvested share of plant nitrogen", subject,
                                     bt_div(s, l->harvested, l->plant_n));
    l->fixed_harvested =
        named(s, "fixed nitrogen out with the harvest", subject, bt_mul(s, l->fixed, out));
    l->passed_on = passed_on_g_m2;
    const struct bt_node rest =
        bt_sub(s, bt_sub(s, l->fixed, l->fixed_harvested), passed_on_g_m2);
    l->fixed_left = named(s, "fixed nitrogen left in residue and roots", subject, rest);
}

struct bt_node bt_legume_draw(struct bt_sheet *s, struct bt_node uptake_g_m2,
                              struct bt_node share_fixed, struct bt_node recovery)
{
    return bt_div(s, bt_mul(s, uptake_g_m2, bt_rest(s, share_fixed)), recovery);
}

struct bt_node bt_legume_need(struct bt_sheet *s, struct bt_node draw_g_m2,
                              struct bt_node uptake_g_m2, struct bt_node reachable_share,
                              struct bt_node recovery)
{
    return bt_min(s, draw_g_m2,
                  bt_div(s, bt_mul(s, uptake_g_m2, bt_rest(s, reachable_share)), recovery));
}

struct bt_node bt_spared(struct bt_sheet *s, struct bt_node plant_n_g_m2,
                         struct bt_node share_in_company, struct bt_node share_alone)
{
    return bt_mul(s, plant_n_g_m2, bt_sub(s, share_in_company, share_alone));
}

struct bt_node bt_net_of_harvest(struct bt_sheet *s, struct bt_node fixed_g_m2,
                                 struct bt_node harvested_g_m2)
{
    return bt_sub(s, fixed_g_m2, harvested_g_m2);
}

struct bt_node bt_non_fixer_extra(struct bt_sheet *s, struct bt_node uptake_g_m2,
                                  struct bt_node recovery, struct bt_node legume_need_g_m2,
                                  struct bt_node met_g_m2)
{
    const struct bt_node own =
        bt_sub(s, bt_div(s, uptake_g_m2, recovery), legume_need_g_m2);
    return bt_add(s, own, met_g_m2);
}
