/* Lognormal and truncated normal. Two ends alone place both; an end on a limit leaves one
 * condition, and the likely value takes its place. */
#include "shape/fit.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

static const double MOST_CUT =
    0.9; /* of the parent normal: beyond, its table is too coarse */
enum { HALVINGS = 60 };

/* Half the distance of P5 and P95 of a normal, in its sd. */
static double reach(void)
{
    return gsl_cdf_ugaussian_Pinv(1 - BT_TAIL);
}

/* ---- lognormal ---------------------------------------------------------------------- */

/* Bounds cut it; a usual range is met exactly and may be clamped a little. */
bool bt_fit_lognormal(const struct bt_range *r, struct bt_law *law, enum bt_fit_note *note)
{
    const bool bounds = r->ends == BT_BOUNDS;
    if (!(r->low > 0) ||
        (!bounds && (r->low <= law->clamp_low || r->high >= law->clamp_high)))
        return false;
    law->mu = bounds && r->has_likely ? log(r->likely) : (log(r->low) + log(r->high)) / 2;
    law->sigma = (log(r->high) - log(r->low)) / (2 * reach());
    *note = BT_FIT_PLAIN;
    if (bounds) {
        law->clamp_low = r->low;
        law->clamp_high = r->high;
        law->is_cut = true;
        return true;
    }
    const double below = bt_law_below(law, law->clamp_low);
    const double above =
        isfinite(law->clamp_high) ? 1 - bt_law_below(law, law->clamp_high) : 0;
    if (below > BT_MAY_CLAMP || above > BT_MAY_CLAMP)
        return false;
    if (below > 0 || above > 0)
        *note = BT_FIT_CLAMPED;
    return true;
}

/* ---- truncated normal --------------------------------------------------------------- */

/* Where F(x) - p changes its sign as one parameter goes from `from` to `to`. */
struct search {
    struct bt_law *law;
    double *parameter;
    double x, p;
    double (*before)(struct search *s); /* sets what hangs on the parameter; or NULL */
    const struct bt_range *range;
};

static double miss(struct search *s, double value)
{
    *s->parameter = value;
    if (s->before)
        s->before(s);
    return bt_law_below(s->law, s->x) - s->p;
}

/* False when both ends lie on one side. Leaves the parameter at the root. */
static bool halve(struct search *s, double from, double to)
{
    const bool is_above = miss(s, from) > 0;
    if (is_above == (miss(s, to) > 0))
        return false;
    for (int k = 0; k < HALVINGS; k++) {
        const double middle = from + (to - from) / 2;
        if ((miss(s, middle) > 0) == is_above)
            from = middle;
        else
            to = middle;
    }
    (void)miss(s, from + (to - from) / 2);
    return true;
}

static bool cuts_little(const struct bt_law *law)
{
    const double inside = gsl_cdf_gaussian_P(law->clamp_high - law->mu, law->sigma) -
                          gsl_cdf_gaussian_P(law->clamp_low - law->mu, law->sigma);
    return inside >= 1 - MOST_CUT;
}

/* The mean of the parent that puts P5 on the low end, for the sd at hand. */
static double place_low(struct search *s)
{
    struct search mean = {
        .law = s->law, .parameter = &s->law->mu, .x = s->range->low, .p = BT_TAIL};
    const double far = 6 * s->law->sigma;
    (void)halve(&mean, s->range->low - far, s->range->high + far);
    return s->law->mu;
}

/* Both ends met exactly. */
static bool fit_ends(const struct bt_range *r, struct bt_law *law)
{
    const double plain = (r->high - r->low) / (2 * reach());
    struct search sd = {.law = law,
                        .parameter = &law->sigma,
                        .x = r->high,
                        .p = 1 - BT_TAIL,
                        .before = place_low,
                        .range = r};
    return halve(&sd, plain / 4, plain * 4) && cuts_little(law) &&
           fabs(bt_law_below(law, r->low) - BT_TAIL) < 1e-9;
}

/* One end lies on a limit: the likely value is the parent's mean, the other end is met. */
static bool fit_other_end(const struct bt_range *r, struct bt_law *law, bool low_is_limit)
{
    const double plain = (r->high - r->low) / (2 * reach());
    struct search sd = {.law = law,
                        .parameter = &law->sigma,
                        .x = low_is_limit ? r->high : r->low,
                        .p = low_is_limit ? 1 - BT_TAIL : BT_TAIL};
    law->mu = r->likely;
    return halve(&sd, plain / 100, plain * 10) && cuts_little(law);
}

bool bt_fit_truncated_normal(const struct bt_range *r, struct bt_law *law,
                             enum bt_fit_note *note)
{
    const bool low_is_limit = r->low <= law->clamp_low;
    const bool high_is_limit = r->high >= law->clamp_high;
    law->mu = r->likely;
    law->sigma = (r->high - r->low) / (2 * reach());
    law->is_cut = true;
    if (r->ends == BT_BOUNDS) {
        *note = BT_FIT_PLAIN;
        law->clamp_low = r->low;
        law->clamp_high = r->high;
        return true;
    }
    if (low_is_limit || high_is_limit) {
        *note = BT_FIT_END_ON_LIMIT;
        return (low_is_limit && high_is_limit) || fit_other_end(r, law, low_is_limit);
    }
    *note = isfinite(law->clamp_low) || isfinite(law->clamp_high) ? BT_FIT_CLAMPED
                                                                  : BT_FIT_PLAIN;
    return fit_ends(r, law);
}
