#include "plan/shopping.h"

#include <math.h>
#include <string.h>

#include "plan/choose.h"

struct bt_shopping {
    size_t n;
    const struct bt_candidate *candidate;
    double *wanted_g;
};

struct bt_shopping *bt_shopping_new(struct bt_arena *a, const struct bt_amend *m)
{
    struct bt_shopping *s = bt_arena_zero(a, sizeof *s);
    s->n = bt_amend_candidates(m, &s->candidate);
    s->wanted_g = bt_arena_zero(a, (s->n + 1) * sizeof *s->wanted_g);
    return s;
}

void bt_shopping_add(struct bt_shopping *s, const struct bt_bed_plan *p)
{
    if (p->n_plans == 0)
        return;
    const struct bt_plan *plan = &p->plan[p->wished];
    for (size_t i = 0; i < plan->n_additions; i++)
        s->wanted_g[plan->addition[i].material - s->candidate] +=
            plan->addition[i].measured.mass_g;
}

/* The same thing in another package. */
static bool is_same(const struct bt_candidate *a, const struct bt_candidate *b)
{
    return a->own && b->own && a->key && b->key && strcmp(a->key, b->key) == 0 &&
           a->n_frac == b->n_frac && a->p2o5_frac == b->p2o5_frac &&
           a->k2o_frac == b->k2o_frac;
}

static bool is_sold(const struct bt_candidate *c)
{
    return c->package_g > 0 && isfinite(c->package_g) && isfinite(c->price_per_g);
}

static struct bt_shopping_line line_of(const struct bt_shopping *s, size_t i)
{
    const struct bt_candidate *c = &s->candidate[i];
    const double on_hand_g = isfinite(c->on_hand_g) ? c->on_hand_g : 0;
    const double lack_g = s->wanted_g[i] - on_hand_g;
    struct bt_shopping_line l = {
        .material = c, .wanted_g = s->wanted_g[i], .on_hand_g = on_hand_g};
    l.buy_g = lack_g > 0 ? lack_g : 0;
    if (c->package_g > 0 && isfinite(c->package_g)) {
        l.packages = ceil(l.buy_g / c->package_g - 1e-9);
        l.buy_g = l.packages * c->package_g;
    }
    l.cost = c->price_per_g * l.buy_g;
    return l;
}

/* Buys what several rows that are one thing come to for the fewest money. */
static void buy_together(struct bt_arena *a, size_t n, struct bt_shopping_line *line)
{
    double *size = bt_arena_alloc(a, (n + 1) * sizeof *size);
    double *price = bt_arena_alloc(a, (n + 1) * sizeof *price);
    double *count = bt_arena_alloc(a, (n + 1) * sizeof *count);
    double wanted_g = 0;
    for (size_t k = 0; k < n; k++) {
        size[k] = line[k].material->package_g;
        price[k] = line[k].material->price_per_g * size[k];
        wanted_g += line[k].wanted_g - line[k].on_hand_g;
    }
    if (!bt_choose_packages(a, n, size, price, wanted_g, count))
        return;
    for (size_t k = 0; k < n; k++) {
        line[k].packages = count[k];
        line[k].buy_g = count[k] * size[k];
        line[k].cost = count[k] * price[k];
    }
}

size_t bt_shopping_list(struct bt_arena *a, const struct bt_shopping *s,
                        const struct bt_shopping_line **out)
{
    struct bt_shopping_line *list = bt_arena_alloc(a, (s->n + 1) * sizeof *list);
    struct bt_shopping_line *same = bt_arena_alloc(a, (s->n + 1) * sizeof *same);
    bool *done = bt_arena_zero(a, (s->n + 1) * sizeof *done);
    size_t n = 0;
    for (size_t i = 0; i < s->n; i++) {
        size_t n_same = 0;
        double wanted_g = 0;
        for (size_t k = i; k < s->n && is_sold(&s->candidate[i]); k++)
            if (!done[k] && is_sold(&s->candidate[k]) &&
                is_same(&s->candidate[i], &s->candidate[k])) {
                same[n_same++] = line_of(s, k);
                wanted_g += s->wanted_g[k];
                done[k] = true;
            }
        if (n_same > 1 && wanted_g > 0) {
            buy_together(a, n_same, same);
            for (size_t k = 0; k < n_same; k++)
                if (same[k].wanted_g > 0 || same[k].packages > 0)
                    list[n++] = same[k];
        } else if (s->wanted_g[i] > 0) {
            list[n++] = line_of(s, i);
        }
    }
    *out = list;
    return n;
}
