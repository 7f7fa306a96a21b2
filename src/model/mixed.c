#include "model/mixed.h"

#include <assert.h>

double bt_thinned_ceiling(double density, double thinning)
{
    return density / (thinning + (1 - thinning) * density);
}

/* The level at which stand i reaches its ceiling when all grow as level . w . d. */
static double full_at(const struct bt_stand *x)
{
    return x->weight * x->density > 0 ? x->ceiling / (x->weight * x->density) : 0;
}

static double grown(const struct bt_stand *x, double level)
{
    const double y = level * x->weight * x->density;
    return y < x->ceiling ? y : x->ceiling;
}

static double sum_at(size_t n, const struct bt_stand *stand, double level)
{
    double sum = 0;
    for (size_t j = 0; j < n; j++)
        sum += grown(&stand[j], level);
    return sum;
}

/* Levels at which somebody reaches the ceiling, rising, equal ones once. Returns how many.
 */
static size_t levels(size_t n, const struct bt_stand *stand, double *level)
{
    size_t m = 0;
    for (size_t j = 0; j < n; j++) {
        const double x = full_at(&stand[j]);
        size_t k = 0;
        while (k < m && level[k] < x)
            k++;
        if (x <= 0 || (k < m && level[k] == x))
            continue;
        for (size_t q = m; q > k; q--)
            level[q] = level[q - 1];
        level[k] = x;
        m++;
    }
    return m;
}

enum { MOST = 64 }; /* kinds of plants in one company */

void bt_relative_yields(size_t n, const struct bt_stand *stand, double gain, double *out)
{
    assert(n <= MOST);
    double level[MOST];
    const size_t m = levels(n, stand, level);
    double below = 0, below_sum = 0, at = m ? level[m - 1] : 0;
    for (size_t k = 0; k < m; k++) {
        const double sum = sum_at(n, stand, level[k]);
        if (sum >= gain) {
            at = below + (gain - below_sum) * (level[k] - below) / (sum - below_sum);
            break;
        }
        below = level[k];
        below_sum = sum;
    }
    for (size_t j = 0; j < n; j++)
        out[j] = grown(&stand[j], at);
}

struct bt_node bt_relative_yield(struct bt_sheet *s, struct bt_node gain, size_t n,
                                 const struct bt_stand *stand, size_t i)
{
    assert(n <= MOST && i < n);
    double level[MOST], x[MOST + 1] = {0}, y[MOST + 1] = {0};
    const size_t m = levels(n, stand, level);
    size_t n_knots = 1; /* nothing grows at no gain */
    for (size_t k = 0; k < m; k++) {
        const double sum = sum_at(n, stand, level[k]);
        if (sum <= x[n_knots - 1])
            continue;
        x[n_knots] = sum;
        y[n_knots++] = grown(&stand[i], level[k]);
    }
    return bt_curve(s, gain, (struct bt_knots){n_knots, x, y}, BT_FRACTION, NULL);
}
