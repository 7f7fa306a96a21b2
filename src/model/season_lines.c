/* From pools of nitrogen to the supply lines of the account. A line is a season's total and
 * the share of it that is there by each date. */
#include "model/residue.h"
#include "model/season_bind.h"

static double *shares(struct bt_binding *b, const struct bt_release *r, double base,
                      double whole)
{
    double *by_date = bt_arena_alloc(b->arena, b->n_dates * sizeof *by_date);
    for (size_t k = 0; k < b->n_dates; k++) {
        const double share = (bt_released(b, r, b->date[k]) - base) / whole;
        by_date[k] = share < 0 ? 0 : share;
    }
    return by_date;
}

static double *at_start(struct bt_binding *b)
{
    double *by_date = bt_arena_alloc(b->arena, b->n_dates * sizeof *by_date);
    for (size_t k = 0; k < b->n_dates; k++)
        by_date[k] = 1;
    return by_date;
}

static void add_line(struct bt_binding *b, const struct bt_pool *p, struct bt_node node,
                     const char *id, const char *label, const double *by_date)
{
    b->line = bt_arena_grow(b->arena, b->line, &b->lines_cap, b->n_lines, sizeof *b->line);
    b->line[b->n_lines++] = (struct bt_line){.id = id,
                                             .label = label,
                                             .side = BT_SUPPLY,
                                             .node = bt_named(b->sheet, id, label, node),
                                             .by_date = by_date,
                                             .planned = p->status == BT_PLANNED,
                                             .advised = p->is_advice,
                                             .origin = p->origin,
                                             .came = p->came,
                                             .addition = p->addition,
                                             .from = p->from};
}

/* pool . share, the share a constant that says how it came about. */
static struct bt_node part_of(struct bt_binding *b, const struct bt_pool *p, double share,
                              int from, int to)
{
    if (share > 0.9995 && share < 1.0005)
        return p->node;
    const char *days = bt_bind_text(b, "%s to %s", bt_date_words(b->arena, from),
                                    bt_date_words(b->arena, to));
    const char *label = bt_bind_text(b, "share of %s that comes from %s", p->label, days);
    return bt_mul(b->sheet, p->node,
                  bt_constant_named(b->sheet, share, BT_FRACTION, label,
                                    "worked out from the dates (docs/model.md, Time)",
                                    NULL));
}

static const char *line_id(struct bt_binding *b, const char *id)
{
    return bt_bind_text(b, "supply/%s/%s", b->bed->id, id);
}

enum { NOTHING_TO_SPEAK_OF = 1000 }; /* a share below 1 in this many makes no line */

void bt_bind_supply(struct bt_binding *b, const struct bt_pool *p)
{
    const double before = p->keep_before_reset ? 0 : bt_released(b, &p->release, b->start);
    const double by_end = bt_released(b, &p->release, b->end);
    const int from = p->release.from > b->start ? p->release.from : b->start;
    const bool all_here = p->release.from >= b->start || (!b->reset && !p->kept);
    const double base = all_here ? 0 : before;
    if ((by_end - base) * NOTHING_TO_SPEAK_OF > 1)
        add_line(b, p,
                 part_of(b, p, by_end - base, all_here ? p->release.from : from, b->end),
                 line_id(b, p->id), p->label, shares(b, &p->release, base, by_end - base));
    const double gone = bt_released(b, &p->release, p->kept_from);
    if (!b->reset && p->kept && (before - gone) * NOTHING_TO_SPEAK_OF > 1) {
        const int since = p->kept_from > p->release.from ? p->kept_from : p->release.from;
        struct bt_node there = part_of(b, p, before - gone, since, b->start);
        const char *label = bt_bind_text(b, "%s, kept over winter", p->label);
        there = bt_mul(
            b->sheet,
            bt_named(b->sheet, NULL, bt_bind_text(b, "%s, before winter", p->label), there),
            *p->kept);
        add_line(b, p, there, line_id(b, bt_bind_text(b, "%s, kept over winter", p->id)),
                 label, at_start(b));
    }
}

void bt_bind_tie_up(struct bt_binding *b, const struct bt_pool *p)
{
    b->tie_up = bt_arena_grow(b->arena, b->tie_up, &b->tie_ups_cap, b->n_tie_ups,
                              sizeof *b->tie_up);
    b->tie_up[b->n_tie_ups++] =
        (struct bt_tie_up){p->id,        p->label,  p->node, p->release,  p->status,
                           p->is_advice, p->origin, p->came, p->addition, p->from};
}

struct bt_node bt_bind_pool_at(struct bt_binding *b, int day, int sown_before)
{
    const size_t at = bt_date_index(b, day);
    const size_t most = b->n_lines + b->n_plots;
    struct bt_node *arg = bt_arena_alloc(b->arena, (most + 1) * sizeof *arg);
    double *weight = bt_arena_alloc(b->arena, (most + 1) * sizeof *weight);
    size_t n = 0;
    for (size_t i = 0; i < b->n_lines; i++)
        if (b->line[i].by_date[at] > 0) {
            arg[n] = b->line[i].node;
            weight[n++] = b->line[i].by_date[at];
        }
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *p = &b->plot[i];
        const double taken =
            p->in_account ? bt_plot_share(b, p, b->date[at]) - p->taken_before : 0;
        if (p->in_ground < sown_before && taken > 0) {
            arg[n] = p->open_need;
            weight[n++] = -taken;
        }
    }
    const char *sum =
        bt_bind_text(b, "supply less need by %s", bt_date_words(b->arena, day));
    struct bt_node pool = bt_named(b->sheet, NULL, sum,
                                   bt_weighted(b->sheet, n, arg, weight, BT_MASS_PER_AREA));
    pool = bt_max(b->sheet, pool, bt_constant(b->sheet, 0, BT_MASS_PER_AREA));
    const char *label =
        bt_bind_text(b, "mineral nitrogen in the soil on %s", bt_date_words(b->arena, day));
    return bt_named(b->sheet, NULL, label, pool);
}

void bt_bind_settle_tie_ups(struct bt_binding *b)
{
    /* All pools first: tie-up is held by what there is without any tie-up. */
    struct bt_node *pool = bt_arena_alloc(b->arena, (b->n_tie_ups + 1) * sizeof *pool);
    for (size_t i = 0; i < b->n_tie_ups; i++)
        pool[i] = bt_bind_pool_at(b, b->tie_up[i].release.from, b->tie_up[i].release.from);
    const struct bt_node zero = bt_constant(b->sheet, 0, BT_MASS_PER_AREA);
    struct bt_node taken = zero; /* by those before: the same nitrogen is tied up once */
    for (size_t i = 0; i < b->n_tie_ups; i++) {
        const struct bt_tie_up *t = &b->tie_up[i];
        const char *free = bt_bind_text(b, "net nitrogen of %s, without a limit", t->label);
        const struct bt_node net = bt_named(b->sheet, NULL, free, t->net);
        const struct bt_node held =
            bt_tie_up_held(b->sheet, net, bt_add(b->sheet, pool[i], taken));
        taken = bt_add(b->sheet, taken, bt_min(b->sheet, held, zero));
        const struct bt_pool p = {.id = t->id,
                                  .label = t->label,
                                  .node = held,
                                  .release = t->release,
                                  .status = t->status,
                                  .is_advice = t->is_advice,
                                  .origin = t->origin,
                                  .came = t->came,
                                  .addition = t->addition,
                                  .from = t->from};
        bt_bind_supply(b, &p);
    }
}
