#include "base/figures.h"

#include <math.h>
#include <string.h>

static const double TINY = 1e-12; /* below this a number is shown as 0 */

static int decimals_of(double value, int figures)
{
    const double size = fabs(value);
    if (!(size > TINY))
        return 0;
    int exponent = (int)floor(log10(size));
    /* 9.996 to three figures is 10.0, which has one decimal fewer */
    const double step = pow(10, exponent - figures + 1);
    if (round(size / step) * step >= pow(10, exponent + 1) * (1 - 1e-12))
        exponent++;
    const int decimals = figures - 1 - exponent;
    return decimals > 0 ? decimals : 0;
}

double bt_rounded(double value, int figures)
{
    if (!isfinite(value) || fabs(value) <= TINY)
        return isfinite(value) ? 0 : value;
    const int places = figures - 1 - (int)floor(log10(fabs(value)));
    const double scale = pow(10, places >= 0 ? places : -places);
    return places >= 0 ? round(value * scale) / scale : round(value / scale) * scale;
}

char *bt_figures(struct bt_arena *a, double value, int figures)
{
    if (!isfinite(value))
        return bt_arena_text(a, "not known");
    const double rounded = bt_rounded(value, figures);
    if (fabs(rounded) <= TINY)
        return bt_arena_text(a, "0");
    return bt_arena_format(a, "%.*f", decimals_of(rounded, figures), rounded);
}

char *bt_figures_short(struct bt_arena *a, double value, int figures)
{
    char *text = bt_figures(a, value, figures);
    if (!strchr(text, '.'))
        return text;
    size_t n = strlen(text);
    while (text[n - 1] == '0')
        n--;
    if (text[n - 1] == '.')
        n--;
    text[n] = '\0';
    return text;
}
