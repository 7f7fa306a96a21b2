/* Uniform, triangular and PERT on [0, 1]: quantiles and partial moments. The PERT is
 * mirrored above its middle, so that mode m and mode 1 - m are exact mirror images. */
#include "shape/standard.h"

#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>

/* A beta law of PERT form: alpha = 1 + 4 mode, beta = 1 + 4 (1 - mode), 0 <= mode <= 1. */
static double alpha_of(double mode)
{
    return 1 + 4 * mode;
}

double bt_pert_quantile(double mode, double p)
{
    const double a = alpha_of(mode);
    const double b = alpha_of(1 - mode);
    if (p <= 0 || p >= 1)
        return p <= 0 ? 0 : 1;
    return p <= 0.5 ? gsl_cdf_beta_Pinv(p, a, b) : 1 - gsl_cdf_beta_Pinv(1 - p, b, a);
}

double bt_pert_density(double mode, double z)
{
    return gsl_ran_beta_pdf(z, alpha_of(mode), alpha_of(1 - mode));
}

static double triangle_quantile(double mode, double p)
{
    return p < mode ? sqrt(p * mode) : 1 - sqrt((1 - p) * (1 - mode));
}

double bt_standard_quantile(enum bt_form form, double mode, double p)
{
    if (form == BT_FORM_PERT)
        return bt_pert_quantile(mode, p);
    return form == BT_FORM_TRIANGULAR ? triangle_quantile(mode, p) : p;
}

static double triangle_partial(double mode, int power, double z)
{
    const double rising = z < mode ? z : mode;
    double sum = mode > 0 ? 2 * pow(rising, power + 2) / ((power + 2) * mode) : 0;
    if (z > mode)
        sum += 2 / (1 - mode) *
               ((pow(z, power + 1) - pow(mode, power + 1)) / (power + 1) -
                (pow(z, power + 2) - pow(mode, power + 2)) / (power + 2));
    return sum;
}

/* z^k times a beta density is a beta density with alpha + k, times that law's k-th moment.
 */
static double pert_partial(double mode, int power, double z)
{
    const double a = alpha_of(mode);
    const double b = alpha_of(1 - mode);
    double moment = 1;
    for (int k = 0; k < power; k++)
        moment *= (a + k) / (a + b + k);
    return moment * gsl_cdf_beta_P(z, a + power, b);
}

double bt_standard_partial(enum bt_form form, double mode, int power, double z)
{
    z = z > 0 ? z : 0;
    z = z < 1 ? z : 1;
    if (form == BT_FORM_PERT)
        return pert_partial(mode, power, z);
    if (form == BT_FORM_TRIANGULAR)
        return triangle_partial(mode, power, z);
    return pow(z, power + 1) / (power + 1);
}
