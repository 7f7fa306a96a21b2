#include "model/demand.h"

#include <assert.h>

struct bt_node bt_uptake(struct bt_sheet *s, struct bt_node yield_g_m2,
                         struct bt_node uptake_frac)
{
    return bt_mul(s, yield_g_m2, uptake_frac);
}

static const double LOWEST_RECOVERY_FRAC = 0.05, HIGHEST_RECOVERY_FRAC = 0.95;

struct bt_node bt_recovery(struct bt_sheet *s, struct bt_node shift,
                           const struct bt_row *recovery)
{
    const struct bt_range *r = &recovery->range;
    assert(r->low < r->likely && r->likely < r->high);
    const double x[] = {(LOWEST_RECOVERY_FRAC - r->likely) / (r->likely - r->low), 0,
                        (HIGHEST_RECOVERY_FRAC - r->likely) / (r->high - r->likely)};
    const double y[] = {LOWEST_RECOVERY_FRAC, r->likely, HIGHEST_RECOVERY_FRAC};
    return bt_curve(s, shift, (struct bt_knots){3, x, y}, BT_FRACTION, recovery);
}

struct bt_node bt_need(struct bt_sheet *s, struct bt_node uptake_g_m2,
                       struct bt_node passed_on_g_m2, struct bt_node recovery_frac)
{
    return bt_div(s, bt_sub(s, uptake_g_m2, passed_on_g_m2), recovery_frac);
}

struct bt_node bt_perennial_need(struct bt_sheet *s, const struct bt_perennial *p,
                                 struct bt_node recovery_frac, struct bt_node lean_frac)
{
    struct bt_arena *a = bt_sheet_arena(s);
    const struct bt_node zero = bt_constant(s, 0, BT_MASS_PER_AREA);
    const struct bt_node tops = bt_named(
        s, NULL, bt_arena_format(a, "uptake of %s that is not harvested", p->subject),
        bt_max(s, bt_sub(s, p->uptake_g_m2, p->removed_g_m2), zero));
    const struct bt_node saved =
        bt_named(s, NULL, bt_arena_format(a, "nitrogen recycled in %s", p->subject),
                 bt_mul(s, bt_mul(s, tops, p->recycled_frac), bt_rest(s, lean_frac)));
    return bt_div(s, bt_sub(s, p->uptake_g_m2, saved), recovery_frac);
}
