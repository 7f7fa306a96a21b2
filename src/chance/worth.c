#include "chance/worth.h"

#include <math.h>
#include <string.h>

/* Amounts that are tried: the near edges of the cells. */
enum { EDGES = BT_WORTH_CELLS };

void bt_worth_begin(struct bt_worth *w, const struct bt_spread *outcome,
                    const struct bt_spread *shortfall)
{
    /* P95 and the best amount lie within this reach of the mean (one-sided Chebyshev, as in
     * summary.c); what lies beyond counts in the last cell with its true size. */
    const double highest = shortfall->mean + sqrt(0.95 / 0.05) * shortfall->sd;
    memset(w, 0, sizeof *w);
    w->middle = outcome->mean;
    w->cell_g_m2 = highest / BT_WORTH_CELLS;
}

void bt_worth_block(struct bt_worth *w, const double *u, const double *x,
                    const double *outcome)
{
    const double cells_per_g_m2 = w->cell_g_m2 > 0 ? 1 / w->cell_g_m2 : 0;
    for (int i = 0; i < BT_BLOCK; i++) {
        const int bin = (int)(u[i] * BT_WORTH_BINS);
        const double y = outcome[i] - w->middle;
        const double missing = outcome[i] < 0 ? -outcome[i] : 0;
        const double at = missing * cells_per_g_m2;
        const int cell = (int)(at < BT_WORTH_CELLS - 1 ? at : BT_WORTH_CELLS - 1);
        w->n[bin] += 1;
        w->x[bin] += x[i];
        w->y[bin] += y;
        w->y_square[bin] += y * y;
        w->count[bin][cell]++;
        w->short_g_m2[bin][cell] += missing;
    }
}

/* ---- what a test may say ------------------------------------------------------------ */

/* chance[j][k]: that the test says cell j when the leaf lies in bin k. */
struct sayings {
    double chance[BT_WORTH_BINS][BT_WORTH_BINS];
};

static double below(double z)
{
    return 0.5 * erfc(-z * 0.70710678118654752440);
}

static double error_at(struct bt_gauge_error error, double x)
{
    const double part = error.frac * fabs(x);
    return part > error.least ? part : error.least;
}

/* Cells lie between the means of neighbouring bins, widened about the middle as the error
 * widens what a test says. */
static void find_edges(const struct bt_worth *w, struct bt_gauge_error error,
                       double edge[BT_WORTH_BINS - 1], double mean[BT_WORTH_BINS])
{
    double n = 0, sum = 0, between = 0, added = 0;
    for (int k = 0; k < BT_WORTH_BINS; k++) {
        mean[k] = w->n[k] > 0 ? w->x[k] / w->n[k] : k > 0 ? mean[k - 1] : 0;
        n += w->n[k];
        sum += w->x[k];
    }
    const double middle = sum / n;
    for (int k = 0; k < BT_WORTH_BINS; k++) {
        between += w->n[k] * (mean[k] - middle) * (mean[k] - middle);
        added += w->n[k] * error_at(error, mean[k]) * error_at(error, mean[k]);
    }
    const double wider = between > 0 ? sqrt(1 + added / between) : 1;
    for (int k = 0; k + 1 < BT_WORTH_BINS; k++)
        edge[k] = middle + wider * ((mean[k] + mean[k + 1]) / 2 - middle);
}

static void find_sayings(const struct bt_worth *w, struct bt_gauge_error error,
                         struct sayings *s)
{
    double edge[BT_WORTH_BINS - 1], mean[BT_WORTH_BINS];
    find_edges(w, error, edge, mean);
    for (int k = 0; k < BT_WORTH_BINS; k++) {
        const double sd = error_at(error, mean[k]);
        double so_far = 0;
        for (int j = 0; j < BT_WORTH_BINS; j++) {
            double up_to = 1;
            if (j + 1 < BT_WORTH_BINS)
                up_to = sd > 0 ? below((edge[j] - mean[k]) / sd) : mean[k] <= edge[j];
            s->chance[j][k] = up_to - so_far;
            so_far = up_to;
        }
    }
}

/* ---- spread ------------------------------------------------------------------------- */

static double sd_of(double n, double sum, double square)
{
    const double variance = n > 0 ? square / n - (sum / n) * (sum / n) : 0;
    return variance > 0 ? sqrt(variance) : 0;
}

static double spread_cut(const struct bt_worth *w, const struct sayings *s)
{
    double n = 0, sum = 0, square = 0, left = 0;
    for (int k = 0; k < BT_WORTH_BINS; k++) {
        n += w->n[k];
        sum += w->y[k];
        square += w->y_square[k];
    }
    for (int j = 0; j < BT_WORTH_BINS; j++) {
        double n_j = 0, sum_j = 0, square_j = 0;
        for (int k = 0; k < BT_WORTH_BINS; k++) {
            n_j += s->chance[j][k] * w->n[k];
            sum_j += s->chance[j][k] * w->y[k];
            square_j += s->chance[j][k] * w->y_square[k];
        }
        left += n_j * sd_of(n_j, sum_j, square_j);
    }
    const double before = n * sd_of(n, sum, square);
    return before > 0 ? 1 - left / before : 0;
}

/* ---- loss --------------------------------------------------------------------------- */

/* loss[e]: summed over the draws of a bin, when e cells' worth is added. */
static void find_losses(const struct bt_worth *w, int bin, double under, double loss[EDGES])
{
    double n_above = 0, sum_above = 0, n_below = 0, sum_below = 0;
    for (int c = 0; c < EDGES; c++) {
        n_above += w->count[bin][c];
        sum_above += w->short_g_m2[bin][c];
    }
    for (int e = 0; e < EDGES; e++) {
        const double added = e * w->cell_g_m2;
        loss[e] = under * (sum_above - added * n_above) + added * n_below - sum_below;
        n_above -= w->count[bin][e];
        sum_above -= w->short_g_m2[bin][e];
        n_below += w->count[bin][e];
        sum_below += w->short_g_m2[bin][e];
    }
}

static double least(int n, const double *x)
{
    double low = x[0];
    for (int i = 1; i < n; i++)
        low = x[i] < low ? x[i] : low;
    return low;
}

static double loss_avoided(const struct bt_worth *w, const struct sayings *s, double enough)
{
    const double under = enough / (1 - enough);
    double loss[BT_WORTH_BINS][EDGES], all[EDGES] = {0};
    double n = 0, after = 0;
    for (int k = 0; k < BT_WORTH_BINS; k++) {
        find_losses(w, k, under, loss[k]);
        for (int e = 0; e < EDGES; e++)
            all[e] += loss[k][e];
        n += w->n[k];
    }
    for (int j = 0; j < BT_WORTH_BINS; j++) {
        double said[EDGES] = {0};
        for (int k = 0; k < BT_WORTH_BINS; k++) {
            const double chance = s->chance[j][k];
            for (int e = 0; chance > 0 && e < EDGES; e++)
                said[e] += chance * loss[k][e];
        }
        after += least(EDGES, said);
    }
    const double avoided = (least(EDGES, all) - after) / n;
    return avoided > 0 ? avoided : 0;
}

struct bt_worth_answer bt_worth_finish(const struct bt_worth *w,
                                       struct bt_gauge_error error, double enough)
{
    struct sayings s;
    struct bt_worth_answer a = {0, 0};
    find_sayings(w, error, &s);
    a.spread_cut_frac = spread_cut(w, &s);
    if (w->cell_g_m2 > 0)
        a.loss_avoided = loss_avoided(w, &s, enough);
    return a;
}
