#include "chance/compare.h"

#include <string.h>

#include "chance/job.h"
#include "chance/sampler.h"
#include "chance/summary.h"
#include "model/season.h"

/* ---- accounts ---- */

struct pair {
    struct bt_job *job[2];
    struct bt_summary_room *room;
    double *work, *one; /* columns */
};

/* The whole column of a node; of a node with one value, filled into `fill`. */
static const double *whole(const struct bt_job *j, struct bt_node n, double *fill)
{
    const struct bt_kept *kept = bt_keeper_get(&j->keeper, n);
    if (kept->whole)
        return kept->whole;
    for (size_t i = 0; i < j->samples; i++)
        fill[i] = kept->likely;
    return fill;
}

static struct bt_spread difference(struct pair *p, struct bt_node first,
                                   struct bt_node second)
{
    const size_t n = p->job[0]->samples;
    const double *x = whole(p->job[0], first, p->one);
    const double *y = whole(p->job[1], second, p->work);
    for (size_t i = 0; i < n; i++)
        p->work[i] = y[i] - x[i];
    const double likely = bt_likely(p->job[1]->budget->sheet, second) -
                          bt_likely(p->job[0]->budget->sheet, first);
    return bt_spread_of(p->room, n, p->work, likely);
}

/* A shortfall is what the leanest balance lacks; nothing is short where nothing is needed.
 */
static double shortfall(const struct bt_account_job *x, size_t i)
{
    return x->tightest[i] < 0 && !x->needs_nothing ? -x->tightest[i] : 0;
}

static void compare_leanest(struct pair *p, const struct bt_account_job *x,
                            const struct bt_account_job *y,
                            struct bt_account_difference *out)
{
    const size_t n = p->job[0]->samples;
    size_t second = 0, first = 0;
    for (size_t i = 0; i < n; i++) {
        p->work[i] = y->tightest[i] - x->tightest[i];
        const double sx = shortfall(x, i), sy = shortfall(y, i);
        second += sy < sx;
        first += sx < sy;
    }
    out->tightest = bt_spread_of(p->room, n, p->work, y->course.likely - x->course.likely);
    out->chance_second_better = (double)second / (double)n;
    out->chance_first_better = (double)first / (double)n;
}

static void compare_left(struct pair *p, struct bt_node first, struct bt_node second,
                         struct bt_account_difference *out)
{
    out->left = difference(p, first, second);
    size_t less = 0;
    for (size_t i = 0; i < p->job[0]->samples; i++)
        less += p->work[i] < 0;
    out->chance_less_left = (double)less / (double)p->job[0]->samples;
}

static void compare_account(struct pair *p, size_t at_first, size_t at_second,
                            struct bt_account_difference *out)
{
    const struct bt_account *x = &p->job[0]->budget->account[at_first];
    const struct bt_account *y = &p->job[1]->budget->account[at_second];
    const struct bt_account_job *jx = &p->job[0]->account[at_first];
    const struct bt_account_job *jy = &p->job[1]->account[at_second];
    *out = (struct bt_account_difference){.nutrient = x->nutrient};
    out->supply = difference(p, x->supply, y->supply);
    out->known = jx->is_drawn && jy->is_drawn;
    if (!out->known)
        return;
    out->required = difference(p, x->required, y->required);
    out->balance = difference(p, x->balance, y->balance);
    compare_leanest(p, jx, jy, out);
    out->chance_short[0] = p->job[0]->finding.account[at_first].chance_of_visible_shortfall;
    out->chance_short[1] =
        p->job[1]->finding.account[at_second].chance_of_visible_shortfall;
    out->has_left = x->nutrient == BT_N;
    if (out->has_left)
        compare_left(p, x->left, y->left, out);
}

static void compare_accounts(struct pair *p, struct bt_comparison *out)
{
    const struct bt_budget *x = p->job[0]->budget, *y = p->job[1]->budget;
    for (size_t i = 0; i < x->n_accounts; i++)
        for (size_t k = 0; k < y->n_accounts; k++)
            if (x->account[i].nutrient == y->account[k].nutrient)
                compare_account(p, i, k, &out->account[out->n_accounts++]);
}

/* ---- inputs ---- */

/* A figure that somebody stated: a leaf, or a constant with a name. */
static bool is_input(const struct bt_node_info *x)
{
    return x->op == BT_OP_LEAF || (x->op == BT_OP_CONSTANT && x->label);
}

/* Marks what the accounts rest on. */
static bool *rested_on(struct bt_arena *a, const struct bt_budget *b)
{
    const size_t n = bt_sheet_size(b->sheet);
    bool *used = bt_arena_zero(a, (n + 1) * sizeof *used);
    for (size_t k = 0; k < b->n_accounts; k++) {
        const struct bt_account *x = &b->account[k];
        used[x->supply.i] = true;
        if (x->known)
            used[x->balance.i] = true;
        if (x->known && x->nutrient == BT_N)
            used[x->left.i] = true;
    }
    for (size_t i = n; i-- > 0;) {
        const struct bt_node_info *x =
            bt_sheet_node(b->sheet, (struct bt_node){(uint32_t)i});
        for (size_t k = 0; used[i] && k < x->n_args; k++)
            used[x->arg[k].i] = true;
    }
    return used;
}

static bool find_input(const struct bt_sheet *s, const char *id, const bool *used,
                       struct bt_node *out)
{
    for (size_t i = 0; i < bt_sheet_size(s); i++) {
        *out = (struct bt_node){(uint32_t)i};
        const struct bt_node_info *x = bt_sheet_node(s, *out);
        if (used[i] && is_input(x) && strcmp(x->id, id) == 0)
            return true;
    }
    return false;
}

static bool follows(const struct bt_node_info *x)
{
    const bool is_stated = x->remark && strncmp(x->remark, "stated", 6) == 0;
    return !x->leaf && !x->row && !is_stated;
}

static bool same_input(const struct bt_node_info *x, const struct bt_node_info *y)
{
    if (x->op != y->op || !bt_dim_same(x->dim, y->dim))
        return false;
    if (!x->leaf)
        return memcmp(&x->likely, &y->likely, sizeof x->likely) == 0;
    const struct bt_range *r = &x->leaf->range, *q = &y->leaf->range;
    return r->low == q->low && r->likely == q->likely && r->high == q->high &&
           r->ends == q->ends && r->form == q->form;
}

/* Input `n` of one side, and of the other when `both`. */
static void add_input(struct bt_arena *a, struct bt_comparison *c, size_t *capacity,
                      enum bt_input_where where, const struct bt_node node[2])
{
    c->input = bt_arena_grow(a, c->input, capacity, c->n_inputs, sizeof *c->input);
    struct bt_input_difference *d = &c->input[c->n_inputs++];
    *d = (struct bt_input_difference){.where = where};
    for (int side = 1; side >= 0; side--) {
        if (where == (side ? BT_IN_FIRST : BT_IN_SECOND))
            continue;
        const struct bt_node_info *x = bt_sheet_node(c->budget[side]->sheet, node[side]);
        d->node[side] = node[side];
        d->label = x->label ? x->label : x->id;
        d->follows = follows(x);
        d->value[side][0] = x->leaf ? x->leaf->range.low : x->likely;
        d->value[side][1] = x->likely;
        d->value[side][2] = x->leaf ? x->leaf->range.high : x->likely;
    }
}

static void compare_inputs(struct bt_arena *a, struct bt_comparison *c)
{
    const struct bt_sheet *s[2] = {c->budget[0]->sheet, c->budget[1]->sheet};
    const bool *used[2] = {rested_on(a, c->budget[0]), rested_on(a, c->budget[1])};
    size_t capacity = 0;
    for (int side = 0; side < 2; side++)
        for (size_t i = 0; i < bt_sheet_size(s[side]); i++) {
            struct bt_node node[2];
            node[side] = (struct bt_node){(uint32_t)i};
            const struct bt_node_info *x = bt_sheet_node(s[side], node[side]);
            if (!used[side][i] || !is_input(x))
                continue;
            const bool both =
                find_input(s[1 - side], x->id, used[1 - side], &node[1 - side]);
            if (!both)
                add_input(a, c, &capacity, side ? BT_IN_SECOND : BT_IN_FIRST, node);
            else if (side == 0 && !same_input(x, bt_sheet_node(s[1], node[1])))
                add_input(a, c, &capacity, BT_IN_BOTH, node);
        }
}

/* ---- plantings ---- */

static const struct bt_planting *same_planting(const struct bt_version *v, const char *id)
{
    for (size_t i = 0; i < v->garden->n_plantings; i++) {
        const struct bt_planting *x = &v->garden->planting[i];
        if (x->bed_index == v->bed && x->id && strcmp(x->id, id) == 0)
            return x;
    }
    return NULL;
}

static bool same_day(const struct bt_date *x, const struct bt_date *y)
{
    return x->known == y->known && (!x->known || x->day == y->day);
}

static double share_of(const struct bt_planting *x)
{
    return x->share.presence == BT_GIVEN ? x->share.range.likely : -1;
}

static bool is_same(const struct bt_planting *x, const struct bt_planting *y)
{
    return x->plants.presence == y->plants.presence && share_of(x) == share_of(y) &&
           same_day(&x->in_ground, &y->in_ground) && same_day(&x->ended, &y->ended) &&
           x->picked == y->picked && x->rest == y->rest && x->inoculated == y->inoculated;
}

static void compare_plantings(struct bt_arena *a, const struct bt_version v[2],
                              struct bt_comparison *c)
{
    size_t capacity = 0;
    for (int side = 0; side < 2; side++)
        for (size_t i = 0; i < v[side].garden->n_plantings; i++) {
            const struct bt_planting *x = &v[side].garden->planting[i];
            if (x->bed_index != v[side].bed || !x->id)
                continue;
            const struct bt_planting *y = same_planting(&v[1 - side], x->id);
            const double n = bt_planting_count(v[side].handbook, x);
            const double m = y ? bt_planting_count(v[1 - side].handbook, y) : 0;
            if (y && (side == 1 || (is_same(x, y) && n == m)))
                continue;
            c->planting = bt_arena_grow(a, c->planting, &capacity, c->n_plantings,
                                        sizeof *c->planting);
            struct bt_planting_difference *d = &c->planting[c->n_plantings++];
            d->planting[side] = x;
            d->planting[1 - side] = y;
            d->count[side] = n;
            d->count[1 - side] = m;
        }
}

bool bt_compare_bed(struct bt_arena *a, struct bt_diag *d, struct bt_shapes *shapes,
                    const struct bt_version version[2], const struct bt_chance_options *o,
                    struct bt_comparison *out)
{
    struct bt_budget *budget = bt_arena_zero(a, 2 * sizeof *budget);
    struct pair p = {.room = bt_summary_room_new(a, bt_sample_count(o))};
    *out = (struct bt_comparison){
        .budget = {&budget[0], &budget[1]}
    };
    for (int k = 0; k < 2; k++) {
        const struct bt_version *v = &version[k];
        if (!bt_season_build(a, d, v->handbook, v->garden, v->bed, &budget[k]))
            return false;
        p.job[k] = bt_job_new(a, d, shapes, &budget[k], o);
        bt_job_run(p.job[k]);
    }
    p.work = bt_arena_alloc(a, p.job[0]->samples * sizeof *p.work);
    p.one = bt_arena_alloc(a, p.job[0]->samples * sizeof *p.one);
    compare_accounts(&p, out);
    compare_plantings(a, version, out);
    compare_inputs(a, out);
    return true;
}
