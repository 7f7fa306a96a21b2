#include "chance/drivers.h"

#include <string.h>

#include "shape/kernel.h"

enum { TWENTIETH = BT_DRIVER_HALVINGS + 2 };

struct bt_driver_bins bt_driver_bins_new(struct bt_arena *a, const struct bt_sampler *s)
{
    return (struct bt_driver_bins){
        .n_leaves = s->n_leaves,
        .count = bt_arena_zero(a, s->n_leaves * sizeof(uint32_t) * BT_DRIVER_BINS)};
}

/* From the nearer end, in fortieths: whole ones from 1 on, below 1 the power of two that
 * the exponent of the number holds. */
BT_KERNEL static void find_bins(const double *restrict u, uint8_t *restrict bin)
{
    for (int i = 0; i < BT_BLOCK; i++) {
        const double from_end = 40 * (u[i] < 0.5 ? u[i] : 1 - u[i]);
        uint64_t bits;
        memcpy(&bits, &from_end, sizeof bits);
        const int halved = (int)(bits >> 52) - 1022 + BT_DRIVER_HALVINGS;
        const int near_end = halved > 0 ? halved : 0;
        const int whole = (int)from_end + BT_DRIVER_HALVINGS;
        const int k = from_end < 1 ? near_end : whole;
        bin[i] = (uint8_t)(u[i] < 0.5 ? k : BT_DRIVER_BINS - 1 - k);
    }
}

void bt_driver_bins_block(struct bt_driver_bins *b, const struct bt_sampler *s)
{
    for (size_t leaf = 0; leaf < b->n_leaves; leaf++) {
        find_bins(s->leaf[leaf].u, b->bin[leaf]);
        uint32_t *count = b->count[leaf];
        for (int i = 0; i < BT_BLOCK; i++)
            count[b->bin[leaf][i]]++;
    }
}

struct bt_driver_sums bt_driver_sums_new(struct bt_arena *a, const struct bt_sampler *s,
                                         const struct bt_sheet *sheet, size_t n,
                                         const struct bt_node *on, double shift)
{
    struct bt_driver_sums d = {.shift = shift};
    const size_t n_nodes = bt_sheet_size(sheet);
    bool *is_used = bt_arena_zero(a, n_nodes * sizeof *is_used);
    for (size_t k = 0; k < n; k++)
        is_used[on[k].i] = true;
    for (size_t i = n_nodes; i-- > 0;) {
        const struct bt_node_info *x = bt_sheet_node(sheet, (struct bt_node){(uint32_t)i});
        for (size_t k = 0; k < x->n_args && is_used[i]; k++)
            is_used[x->arg[k].i] = true;
    }
    d.leaf = bt_arena_alloc(a, s->n_leaves * sizeof *d.leaf);
    for (size_t i = 0; i < s->n_leaves; i++)
        if (is_used[s->leaf[i].node.i])
            d.leaf[d.n++] = i;
    d.sum = bt_arena_zero(a, d.n * sizeof *d.sum);
    return d;
}

void bt_driver_sums_block(struct bt_driver_sums *d, const struct bt_driver_bins *b,
                          const double *outcome)
{
    double off[BT_BLOCK];
    for (int i = 0; i < BT_BLOCK; i++)
        off[i] = outcome[i] - d->shift;
    for (size_t k = 0; k < d->n; k++) {
        const uint8_t *bin = b->bin[d->leaf[k]];
        double *sum = d->sum[k];
        for (int i = 0; i < BT_BLOCK; i++)
            sum[bin[i]] += off[i];
    }
}

/* Mean of the outcome in a twentieth from bin `from` on, less `mean`; 0 where it is empty.
 */
static double effect(const double *sum, const uint32_t *count, int from, double mean)
{
    double n = 0, total = 0;
    for (int k = from; k < from + TWENTIETH; k++) {
        n += count[k];
        total += sum[k];
    }
    return n > 0 ? total / n - mean : 0;
}

static struct bt_driver driver_of(const double *sum, const uint32_t *count, size_t samples,
                                  double mean, double sst)
{
    double between = 0;
    size_t filled = 0;
    for (int k = 0; k < BT_DRIVER_BINS; k++) {
        if (!count[k])
            continue;
        const double off = sum[k] / count[k] - mean;
        between += count[k] * off * off;
        filled++;
    }
    struct bt_driver driver = {.low_effect = effect(sum, count, 0, mean),
                               .high_effect =
                                   effect(sum, count, BT_DRIVER_BINS - TWENTIETH, mean)};
    if (samples > filled && sst > 0) {
        const double within = (sst - between) / (double)(samples - filled);
        driver.share_of_variance = (between - (double)(filled - 1) * within) / sst;
    }
    return driver;
}

/* Puts `driver` where it belongs among the n sorted ones; returns the new n. */
static size_t insert(struct bt_driver *sorted, size_t n, struct bt_driver driver)
{
    size_t at = n;
    while (at > 0 && sorted[at - 1].share_of_variance < driver.share_of_variance)
        at--;
    if (at == BT_DRIVERS_KEPT)
        return n;
    const size_t moved = (n < BT_DRIVERS_KEPT ? n : BT_DRIVERS_KEPT - 1) - at;
    memmove(&sorted[at + 1], &sorted[at], moved * sizeof *sorted);
    sorted[at] = driver;
    return n < BT_DRIVERS_KEPT ? n + 1 : n;
}

size_t bt_drivers_finish(const struct bt_driver_sums *d, const struct bt_driver_bins *b,
                         const struct bt_sampler *s, size_t samples,
                         const struct bt_spread *outcome, struct bt_driver *out)
{
    const double mean = outcome->mean - d->shift;
    const double sst = outcome->sd * outcome->sd * (double)(samples - 1);
    size_t n = 0;
    for (size_t k = 0; k < d->n; k++) {
        struct bt_driver driver =
            driver_of(d->sum[k], b->count[d->leaf[k]], samples, mean, sst);
        driver.leaf = s->leaf[d->leaf[k]].node;
        if (driver.share_of_variance > 0)
            n = insert(out, n, driver);
    }
    return n;
}
