/* Ranges as stated: an exact value, two ends, or two ends and a likely value. */
#include "shape/range.h"

#include <math.h>

enum { LOGNORMAL_RATIO = 4 }; /* docs/model.md, "Ranges": our judgement */

struct bt_range bt_range_exact(double value)
{
    return (struct bt_range){.low = value,
                             .likely = value,
                             .high = value,
                             .has_likely = true,
                             .ends = BT_BOUNDS,
                             .form = BT_FORM_CONSTANT};
}

struct bt_range bt_range_of(double low, double likely, double high, enum bt_ends ends)
{
    return (struct bt_range){.low = low,
                             .likely = likely,
                             .high = high,
                             .has_likely = true,
                             .ends = ends,
                             .form = BT_FORM_AUTO};
}

struct bt_range bt_range_two(double low, double high, enum bt_ends ends)
{
    struct bt_range r = bt_range_of(low, low + (high - low) / 2, high, ends);
    r.has_likely = false;
    if (bt_range_form(&r) == BT_FORM_LOGNORMAL)
        r.likely = sqrt(low) * sqrt(high);
    return r;
}

enum bt_form bt_range_form(const struct bt_range *r)
{
    if (bt_range_is_exact(r))
        return BT_FORM_CONSTANT;
    if (r->form != BT_FORM_AUTO)
        return r->form;
    if (r->has_likely)
        return BT_FORM_PERT;
    if (r->ends == BT_BOUNDS)
        return BT_FORM_UNIFORM;
    return r->low > 0 && r->high > LOGNORMAL_RATIO * r->low ? BT_FORM_LOGNORMAL
                                                            : BT_FORM_PERT;
}

bool bt_range_is_exact(const struct bt_range *r)
{
    return r->form == BT_FORM_CONSTANT || !(r->low < r->high);
}

struct bt_range bt_range_scaled(struct bt_range r, double factor)
{
    const double low = r.low * factor;
    const double high = r.high * factor;
    r.low = factor < 0 ? high : low;
    r.high = factor < 0 ? low : high;
    r.likely *= factor;
    return r;
}
