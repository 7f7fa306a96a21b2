/* From a stated range to a law. The ends of a range are met exactly: as true ends where
 * they are bounds or lie on a physical limit, as P5 and P95 otherwise. One unknown is left,
 * the mode as a fraction of the width, and that is a root. Source: docs/model.md, "Ranges".
 */
#include "shape/fit.h"

#include <assert.h>
#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

#include "shape/standard.h"

static const double MUCH = 0.3; /* of the range: an end so far from its P5 is noted */

struct ends {
    double low, high;
    bool low_is_true, high_is_true; /* true end of the law; else P5 or P95 */
    double likely;
};

/* Places of the two ends inside the standard form. */
static double place_of_low(const struct ends *e, enum bt_form form, double mode)
{
    return e->low_is_true ? 0 : bt_standard_quantile(form, mode, BT_TAIL);
}

static double place_of_high(const struct ends *e, enum bt_form form, double mode)
{
    return e->high_is_true ? 1 : bt_standard_quantile(form, mode, 1 - BT_TAIL);
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
        if (below <= BT_MAY_CLAMP && above <= BT_MAY_CLAMP) {
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

/* An end on a limit is a true end and no P5: where the likely value is far from it, the law
 * hardly comes there. */
static enum bt_fit_note note_lift(const struct bt_range *r, const struct bt_law *law,
                                  enum bt_fit_note note)
{
    const double far = MUCH * (r->high - r->low);
    const bool low_lifted =
        r->low <= law->clamp_low && bt_law_quantile(law, BT_TAIL) - r->low > far;
    const bool high_lifted =
        r->high >= law->clamp_high && r->high - bt_law_quantile(law, 1 - BT_TAIL) > far;
    return note == BT_FIT_END_ON_LIMIT && (low_lifted || high_lifted) ? BT_FIT_LIFTED
                                                                      : note;
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
        if (bt_fit_truncated_normal(&range, out_law, out_note))
            return true;
        break;
    case BT_FORM_LOGNORMAL:
        if (bt_fit_lognormal(&range, out_law, out_note))
            return true;
        break;
    case BT_FORM_UNIFORM:
    case BT_FORM_TRIANGULAR:
    case BT_FORM_PERT: break;
    }
    if (out_law->form == BT_FORM_LOGNORMAL || out_law->form == BT_FORM_TRUNCATED_NORMAL)
        *out_law = (struct bt_law){.form = BT_FORM_PERT,
                                   .low = range.likely,
                                   .clamp_low = limit_low,
                                   .clamp_high = limit_high,
                                   .likely = r->likely};
    *out_note = note_lift(&range, out_law, fit_between_ends(&range, out_law));
    return true;
}
