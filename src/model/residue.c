#include "model/residue.h"

struct bt_node bt_pan_per_dry_matter(struct bt_sheet *s, struct bt_node n_frac,
                                     const struct bt_pan_line *line)
{
    const double x[] = {line->break_even_frac + line->floor_frac / line->slope,
                        line->break_even_frac + line->cap_frac / line->slope};
    const double y[] = {line->floor_frac, line->cap_frac};
    return bt_curve(s, n_frac, (struct bt_knots){2, x, y}, BT_FRACTION, line->row);
}

struct bt_node bt_residue_available(struct bt_sheet *s, const char *subject,
                                    struct bt_node residue_n_g_m2, struct bt_node n_frac,
                                    struct bt_node pan_frac)
{
    const char *label = bt_arena_format(bt_sheet_arena(s), "dry matter of %s", subject);
    const struct bt_node dry = bt_named(s, NULL, label, bt_div(s, residue_n_g_m2, n_frac));
    return bt_mul(s, dry, pan_frac);
}

struct bt_node bt_on_surface(struct bt_sheet *s, struct bt_node net_g_m2,
                             const struct bt_surface *x)
{
    const struct bt_node zero = bt_constant(s, 0, BT_MASS_PER_AREA);
    const struct bt_node given = bt_mul(s, bt_max(s, net_g_m2, zero), x->given_share);
    const struct bt_node taken = bt_mul(s, bt_min(s, net_g_m2, zero), x->taken_share);
    const char *label =
        bt_arena_format(bt_sheet_arena(s), "taken up by %s from the top", x->subject);
    return bt_add(
        s, given,
        bt_named(s, NULL, label, bt_max(s, taken, bt_sub(s, zero, x->most_g_m2))));
}

struct bt_node bt_tie_up_held(struct bt_sheet *s, struct bt_node net_g_m2,
                              struct bt_node pool_g_m2)
{
    const struct bt_node zero = bt_constant(s, 0, BT_MASS_PER_AREA);
    const struct bt_node there = bt_named(s, NULL, "mineral nitrogen there is to tie up",
                                          bt_max(s, pool_g_m2, zero));
    return bt_max(s, net_g_m2, bt_sub(s, zero, there));
}

struct bt_node bt_slow_release(struct bt_sheet *s, struct bt_node n_g_m2,
                               struct bt_node share, unsigned age_seasons,
                               struct bt_node already_frac)
{
    double halved = 1;
    for (unsigned k = 1; k < age_seasons; k++)
        halved /= 2;
    const struct bt_node this_year = bt_mul(s, share, bt_share(s, halved));
    const struct bt_node extra =
        bt_max(s, bt_sub(s, this_year, already_frac), bt_share(s, 0));
    return bt_mul(s, n_g_m2, extra);
}
