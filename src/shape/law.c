/* What is known exactly about a law: quantiles, mean, spread. For tests and printing. Every
 * law is first clamped at its physical limits, as it is when drawn. */
#include "shape/range.h"

#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>

#include "shape/standard.h"

static double clamped(const struct bt_law *law, double x)
{
    x = x < law->clamp_low ? law->clamp_low : x;
    return x > law->clamp_high ? law->clamp_high : x;
}

/* Normal score of x in the parent of a lognormal or a truncated normal. */
static double score(const struct bt_law *law, double x)
{
    if (law->form == BT_FORM_LOGNORMAL)
        return x > 0 ? (log(x) - law->mu) / law->sigma : -HUGE_VAL;
    return (x - law->mu) / law->sigma;
}

static bool is_cut(const struct bt_law *law)
{
    return law->is_cut || law->form == BT_FORM_TRUNCATED_NORMAL;
}

/* Where the limits cut the parent, as chances; 0 for a law that is clamped instead. */
static double cut_below(const struct bt_law *law)
{
    return is_cut(law) ? gsl_cdf_ugaussian_P(score(law, law->clamp_low)) : 0;
}

static double cut_above(const struct bt_law *law)
{
    return is_cut(law) ? gsl_cdf_ugaussian_Q(score(law, law->clamp_high)) : 0;
}

double bt_law_quantile(const struct bt_law *law, double p)
{
    switch (law->form) {
    case BT_FORM_LOGNORMAL:
    case BT_FORM_TRUNCATED_NORMAL: {
        const double below = cut_below(law);
        const double inside = 1 - below - cut_above(law);
        const double at = law->mu + law->sigma * gsl_cdf_ugaussian_Pinv(below + p * inside);
        return clamped(law, law->form == BT_FORM_LOGNORMAL ? exp(at) : at);
    }
    case BT_FORM_UNIFORM:
    case BT_FORM_TRIANGULAR:
    case BT_FORM_PERT:
        return clamped(law, law->low +
                                law->width * bt_standard_quantile(law->form, law->mode, p));
    case BT_FORM_AUTO:
    case BT_FORM_CONSTANT: break;
    }
    return law->low;
}

double bt_law_below(const struct bt_law *law, double x)
{
    switch (law->form) {
    case BT_FORM_LOGNORMAL:
    case BT_FORM_TRUNCATED_NORMAL: {
        const double below = cut_below(law);
        const double p = gsl_cdf_ugaussian_P(score(law, x));
        return (p - below) / (1 - below - cut_above(law));
    }
    case BT_FORM_UNIFORM:
    case BT_FORM_TRIANGULAR:
    case BT_FORM_PERT:
        return bt_standard_partial(law->form, law->mode, 0, (x - law->low) / law->width);
    case BT_FORM_AUTO:
    case BT_FORM_CONSTANT: break;
    }
    return x > law->low ? 1 : 0;
}

struct moments {
    double mean, sd;
};

/* Integral of z^power over the clamped standard law: a lump at each limit, the density
 * between. */
static double standard_moment(const struct bt_law *law, int power)
{
    double low = (law->clamp_low - law->low) / law->width;
    double high = (law->clamp_high - law->low) / law->width;
    low = low > 0 ? low : 0;
    high = high < 1 ? high : 1;
    const double inside = bt_standard_partial(law->form, law->mode, power, high) -
                          bt_standard_partial(law->form, law->mode, power, low);
    return inside + pow(low, power) * bt_standard_partial(law->form, law->mode, 0, low) +
           pow(high, power) * (1 - bt_standard_partial(law->form, law->mode, 0, high));
}

static struct moments standard_moments(const struct bt_law *law)
{
    const double first = standard_moment(law, 1);
    const double variance = standard_moment(law, 2) - first * first;
    return (struct moments){law->low + law->width * first, law->width * sqrt(variance)};
}

/* Integral of x^power below x times the lognormal density. */
static double lognormal_partial(const struct bt_law *law, int power, double x)
{
    if (!(x > 0))
        return 0;
    const double shift = law->mu + power * law->sigma * law->sigma;
    const double whole = exp(power * law->mu + power * power * law->sigma * law->sigma / 2);
    return whole * gsl_cdf_ugaussian_P((log(x) - shift) / law->sigma);
}

static double lognormal_moment(const struct bt_law *law, int power)
{
    const double low = law->clamp_low > 0 ? law->clamp_low : 0;
    const double high = law->clamp_high;
    const double within =
        lognormal_partial(law, power, high) - lognormal_partial(law, power, low);
    if (law->is_cut)
        return within / (1 - cut_below(law) - cut_above(law));
    double sum = within + pow(low, power) * lognormal_partial(law, 0, low);
    if (isfinite(high))
        sum += pow(high, power) * (1 - lognormal_partial(law, 0, high));
    return sum;
}

static struct moments lognormal_moments(const struct bt_law *law)
{
    const double first = lognormal_moment(law, 1);
    return (struct moments){first, sqrt(lognormal_moment(law, 2) - first * first)};
}

static struct moments truncated_moments(const struct bt_law *law)
{
    const double a = (law->clamp_low - law->mu) / law->sigma;
    const double b = (law->clamp_high - law->mu) / law->sigma;
    const double at_a = isfinite(a) ? gsl_ran_ugaussian_pdf(a) : 0;
    const double at_b = isfinite(b) ? gsl_ran_ugaussian_pdf(b) : 0;
    const double inside = 1 - cut_below(law) - cut_above(law);
    const double shift = (at_a - at_b) / inside;
    const double ends = ((at_a > 0 ? a * at_a : 0) - (at_b > 0 ? b * at_b : 0)) / inside;
    return (struct moments){law->mu + law->sigma * shift,
                            law->sigma * sqrt(1 + ends - shift * shift)};
}

static struct moments moments_of(const struct bt_law *law)
{
    switch (law->form) {
    case BT_FORM_LOGNORMAL: return lognormal_moments(law);
    case BT_FORM_TRUNCATED_NORMAL: return truncated_moments(law);
    case BT_FORM_UNIFORM:
    case BT_FORM_TRIANGULAR:
    case BT_FORM_PERT: return standard_moments(law);
    case BT_FORM_AUTO:
    case BT_FORM_CONSTANT: break;
    }
    return (struct moments){law->low, 0};
}

double bt_law_mean(const struct bt_law *law)
{
    return moments_of(law).mean;
}

double bt_law_sd(const struct bt_law *law)
{
    return moments_of(law).sd;
}
