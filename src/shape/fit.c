/* From a stated range to a law. The ends of a range are met exactly: as true ends where
 * they are bounds or lie on a physical limit, as P5 and P95 otherwise. One unknown is left,
 * the mode as a fraction of the width, and that is a root. Source: docs/model.md, "Ranges".
 */
#include "shape/range.h"

#include <assert.h>
#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

#include "shape/standard.h"

static const double TAIL = 0.05;      /* an end of a usual range cuts off this chance */
static const double MAY_CLAMP = 0.02; /* of the draws may be clamped at a limit */

struct ends {
    double low, high;
    bool low_is_true, high_is_true; /* true end of the law; else P5 or P95 */
    double likely;
};

/* Places of the two ends inside the standard form. */
static double place_of_low(const struct ends *e, enum bt_form form, double mode)
{
    return e->low_is_true ? 0 : bt_standard_quantile(form, mode, TAIL);
}

static double place_of_high(const struct ends *e, enum bt_form form, double mode)
{
    return e->high_is_true ? 1 : bt_standard_quantile(form, mode, 1 - TAIL);
}

struct mode_task {
    const struct ends *ends;
    enum bt_form form;
};

/* Where the mode would fall between the ends, less where the likely value does. Rises with
 * the mode from at most 0 to at least 0, so there is always a root. */
static double mode_misses(double mode, void *task)
{
    const struct mode_task *t = task;
    const double low = place_of_low(t->ends, t->form, mode);
    const double high = place_of_high(t->ends, t->form, mode);
    return (mode - low) / (high - low) -
           (t->ends->likely - t->ends->low) / (t->ends->high - t->ends->low);
}

static double mode_of(const struct ends *e, enum bt_form form)
{
    struct mode_task task = {e, form};
    if (form == BT_FORM_UNIFORM)
        return 0.5;
    if (e->low_is_true && e->high_is_true)
        return (e->likely - e->low) / (e->high - e->low);
    if (mode_misses(0, &task) >= 0)
        return 0;
    if (mode_misses(1, &task) <= 0)
        return 1;
    /* The solver lives on the stack: nothing to free, nothing that can fail. */
    double state[32];
    assert(gsl_root_fsolver_brent->size <= sizeof state);
    gsl_root_fsolver solver = {.type = gsl_root_fsolver_brent, .state = state};
    gsl_function f = {mode_misses, &task};
    gsl_root_fsolver_set(&solver, &f, 0, 1);
    const double close =
        form == BT_FORM_PERT ? 1e-6 : 1e-13; /* PERT modes are rounded anyway */
    for (int step = 0; step < 100; step++) {
        gsl_root_fsolver_iterate(&solver);
        if (gsl_root_test_interval(solver.x_lower, solver.x_upper, close, 0) == GSL_SUCCESS)
            break;
    }
    return solver.root;
}

static void place(const struct ends *e, struct bt_law *law)
{
    law->mode = mode_of(e, law->form);
    if (law->form == BT_FORM_PERT) {
        law->mode_256 = (unsigned)lround(law->mode * 256);
        law->mode = law->mode_256 / 256.0;
    }
    const double low = place_of_low(e, law->form, law->mode);
    const double high = place_of_high(e, law->form, law->mode);
    law->width = (e->high - e->low) / (high - low);
    law->low = e->low - law->width * low;
}

/* Uniform, triangular and PERT. An end that would put more draws beyond a limit than may be
 * clamped becomes that limit; the worse end first, because that may mend the other. */
static enum bt_fit_note fit_between_ends(const struct bt_range *r, struct bt_law *law)
{
    const bool bounds = r->ends == BT_BOUNDS;
    struct ends e = {r->low, r->high, bounds || r->low <= law->clamp_low,
                     bounds || r->high >= law->clamp_high, r->likely};
    enum bt_fit_note note = BT_FIT_PLAIN;
    if (!bounds && (e.low_is_true || e.high_is_true))
        note = BT_FIT_END_ON_LIMIT;
    place(&e, law);
    for (int moved = 0; moved < 2; moved++) {
        const double below = e.low_is_true ? 0 : bt_law_below(law, law->clamp_low);
        const double above = e.high_is_true ? 0 : 1 - bt_law_below(law, law->clamp_high);
        if (below <= MAY_CLAMP && above <= MAY_CLAMP) {
            const bool clamps =
                (!e.low_is_true && law->low < law->clamp_low) ||
                (!e.high_is_true && law->low + law->width > law->clamp_high);
            return clamps && note == BT_FIT_PLAIN ? BT_FIT_CLAMPED : note;
        }
        if (below >= above) {
            e.low = law->clamp_low;
            e.low_is_true = true;
        } else {
            e.high = law->clamp_high;
            e.high_is_true = true;
        }
        note = BT_FIT_END_MOVED;
        place(&e, law);
    }
    return note;
}

/* Half the distance of P5 and P95 of a normal, in its sd. */
static double reach(void)
{
    return gsl_cdf_ugaussian_Pinv(1 - TAIL);
}

/* False when a lognormal cannot be: the caller then takes a PERT. */
static bool fit_lognormal(const struct bt_range *r, struct bt_law *law,
                          enum bt_fit_note *note)
{
    if (r->ends == BT_BOUNDS || !(r->low > 0) || r->low <= law->clamp_low ||
        r->high >= law->clamp_high)
        return false;
    law->mu = (log(r->low) + log(r->high)) / 2;
    law->sigma = (log(r->high) - log(r->low)) / (2 * reach());
    const double below = bt_law_below(law, law->clamp_low);
    const double above =
        isfinite(law->clamp_high) ? 1 - bt_law_below(law, law->clamp_high) : 0;
    if (below > MAY_CLAMP || above > MAY_CLAMP)
        return false;
    *note = below > 0 || above > 0 ? BT_FIT_CLAMPED : BT_FIT_PLAIN;
    return true;
}

static enum bt_fit_note fit_truncated_normal(const struct bt_range *r, struct bt_law *law)
{
    law->mu = r->likely;
    law->sigma = (r->high - r->low) / (2 * reach());
    if (r->ends == BT_BOUNDS) {
        law->clamp_low = r->low;
        law->clamp_high = r->high;
        return BT_FIT_PLAIN;
    }
    const bool on_limit = r->low <= law->clamp_low || r->high >= law->clamp_high;
    const bool cut = isfinite(law->clamp_low) || isfinite(law->clamp_high);
    return on_limit ? BT_FIT_END_ON_LIMIT : cut ? BT_FIT_CLAMPED : BT_FIT_PLAIN;
}

/* Ends that a change of unit has put a rounding error beyond a limit lie on it. */
static bool snap_to_limits(struct bt_range *r, double limit_low, double limit_high)
{
    const double slack = 1e-12 * (fabs(r->low) + fabs(r->high));
    if (!isfinite(r->low) || !isfinite(r->likely) || !isfinite(r->high))
        return false;
    if (r->low < limit_low - slack || r->high > limit_high + slack || r->low > r->high)
        return false;
    if (r->likely < r->low - slack || r->likely > r->high + slack)
        return false;
    r->low = r->low < limit_low + slack ? limit_low : r->low;
    r->high = r->high > limit_high - slack ? limit_high : r->high;
    r->likely = r->likely < r->low ? r->low : r->likely;
    r->likely = r->likely > r->high ? r->high : r->likely;
    return r->low <= r->high;
}

bool bt_law_fit(const struct bt_range *r, double limit_low, double limit_high,
                struct bt_law *out_law, enum bt_fit_note *out_note)
{
    struct bt_range range = *r;
    *out_law = (struct bt_law){.form = BT_FORM_CONSTANT,
                               .low = r->likely,
                               .clamp_low = limit_low,
                               .clamp_high = limit_high,
                               .likely = r->likely};
    *out_note = BT_FIT_PLAIN;
    if (!snap_to_limits(&range, limit_low, limit_high))
        return false;
    out_law->low = range.likely;
    out_law->form = bt_range_form(&range);
    switch (out_law->form) {
    case BT_FORM_AUTO:
    case BT_FORM_CONSTANT: return true;
    case BT_FORM_TRUNCATED_NORMAL:
        *out_note = fit_truncated_normal(&range, out_law);
        return true;
    case BT_FORM_LOGNORMAL:
        if (fit_lognormal(&range, out_law, out_note))
            return true;
        out_law->form = BT_FORM_PERT;
        break;
    case BT_FORM_UNIFORM:
    case BT_FORM_TRIANGULAR:
    case BT_FORM_PERT: break;
    }
    *out_note = fit_between_ends(&range, out_law);
    return true;
}
