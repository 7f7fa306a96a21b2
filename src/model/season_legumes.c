/* What is asked about each legume of the account, beside what the account needs itself:
 * where its nitrogen goes, what it spares, what its residue leaves. Everything is a named
 * node, so `why` opens it; nothing here enters the sum of the bed. */
#include "base/text.h"
#include "model/season_bind.h"

struct asked {
    struct bt_binding *b;
    const struct bt_plot *plot;
    struct bt_legume_facts *out;
};

static void put(const struct asked *q, enum bt_legume_quantity what, struct bt_node n)
{
    q->out->has[what] = true;
    q->out->node[what] = n;
}

/* The same under a name: `format` holds one %s, the legume. */
static struct bt_node put_named(const struct asked *q, enum bt_legume_quantity what,
                                const char *before, const char *after, struct bt_node n)
{
    const char *label = bt_bind_text(q->b, "%s%s%s", before, q->plot->subject, after);
    const struct bt_node named = bt_named(q->b->sheet, NULL, label, n);
    put(q, what, named);
    return named;
}

static void put_fates(const struct asked *q)
{
    struct bt_sheet *s = q->b->sheet;
    const struct bt_legume_ledger *l = &q->plot->ledger;
    put(q, BT_LEGUME_PLANT_N, l->plant_n);
    put(q, BT_LEGUME_SHARE_FIXED, q->plot->share_fixed);
    put(q, BT_LEGUME_FIXED, l->fixed);
    put(q, BT_LEGUME_OUT, l->fixed_harvested);
    put(q, BT_LEGUME_PASSED_ON, l->passed_on);
    put(q, BT_LEGUME_LEFT, l->fixed_left);
    put(q, BT_LEGUME_DRAW, q->plot->draw);
    put_named(q, BT_LEGUME_OUT_SHARE, "share of what ",
              " fixes that leaves with the harvest",
              bt_div(s, l->fixed_harvested, l->fixed));
    put_named(q, BT_LEGUME_PASSED_SHARE, "share of what ", " fixes that neighbours get",
              bt_div(s, l->passed_on, l->fixed));
    put_named(q, BT_LEGUME_LEFT_SHARE, "share of what ",
              " fixes that stays in residue and roots", bt_div(s, l->fixed_left, l->fixed));
}

static void put_net(const struct asked *q)
{
    struct bt_sheet *s = q->b->sheet;
    const struct bt_plot *p = q->plot;
    const struct bt_node net = put_named(
        q, BT_LEGUME_NET, "what ", " adds to the nitrogen of the bed, fixed less harvested",
        bt_net_of_harvest(s, p->ledger.fixed, p->removed));
    const enum bt_rest rest = bt_plot_rest(p);
    if (rest == BT_REST_COMPOST || rest == BT_REST_OFF_SITE)
        put_named(q, BT_LEGUME_NET_CLEARED, "what ",
                  " adds to the nitrogen of the bed, its residue cleared off too",
                  bt_sub(s, net, p->residue_n));
}

/* ---- neighbours ---- */

static bool is_neighbour(const struct bt_plot *legume, const struct bt_plot *x)
{
    return x->in_account && !x->planting->legume && bt_plots_meet(legume, x);
}

/* The part of what the legume passes on that this neighbour gets, by its uptake. */
static struct bt_neighbour_facts neighbour(const struct asked *q, const struct bt_plot *x,
                                           struct bt_node uptakes)
{
    struct bt_binding *b = q->b;
    struct bt_sheet *s = b->sheet;
    const struct bt_node part =
        bt_mul(s, q->plot->ledger.passed_on, bt_div(s, x->uptake, uptakes));
    const struct bt_node got = bt_named(
        s, NULL,
        bt_bind_text(b, "nitrogen that %s gets from %s", x->subject, q->plot->subject),
        part);
    const struct bt_node met = bt_named(
        s, NULL, bt_bind_text(b, "need of %s that %s meets", x->subject, q->plot->subject),
        bt_div(s, got, x->recovery));
    const struct bt_node share =
        bt_named(s, NULL,
                 bt_bind_text(b, "share of the need of %s that %s meets", x->subject,
                              q->plot->subject),
                 bt_div(s, met, x->open_need));
    return (struct bt_neighbour_facts){x->planting, x->open_need, met, share};
}

static void put_neighbours(const struct asked *q)
{
    struct bt_binding *b = q->b;
    struct bt_sheet *s = b->sheet;
    struct bt_node *node = bt_arena_alloc(b->arena, 2 * (b->n_plots + 1) * sizeof *node);
    struct bt_node *uptake = node, *need = node + b->n_plots + 1;
    struct bt_neighbour_facts *list =
        bt_arena_zero(b->arena, (b->n_plots + 1) * sizeof *list);
    size_t n = 0;
    for (size_t i = 0; i < b->n_plots; i++)
        if (is_neighbour(q->plot, &b->plot[i]))
            uptake[n++] = b->plot[i].uptake;
    if (n == 0)
        return;
    const struct bt_node uptakes = bt_sum(s, n, uptake, BT_MASS_PER_AREA);
    n = 0;
    for (size_t i = 0; i < b->n_plots; i++)
        if (is_neighbour(q->plot, &b->plot[i])) {
            need[n] = b->plot[i].open_need;
            list[n++] = neighbour(q, &b->plot[i], uptakes);
        }
    q->out->neighbour = list;
    q->out->n_neighbours = n;
    for (size_t i = 0; i < n; i++)
        uptake[i] = list[i].met;
    const char *who = q->plot->subject;
    const struct bt_node needs =
        bt_named(s, NULL, bt_bind_text(b, "whole need of what grows with %s", who),
                 bt_sum(s, n, need, BT_MASS_PER_AREA));
    const struct bt_node met =
        bt_named(s, NULL, bt_bind_text(b, "need of its neighbours that %s meets", who),
                 bt_sum(s, n, uptake, BT_MASS_PER_AREA));
    put_named(q, BT_LEGUME_MET, "share of the need of its neighbours that ", " meets",
              bt_div(s, met, needs));
    put_named(
        q, BT_LEGUME_NON_FIXER, "extra need of the bed with a plant like ",
        " that fixes nothing",
        bt_non_fixer_extra(s, q->plot->uptake, q->plot->recovery, q->plot->open_need, met));
}

/* ---- spared, and left for later ---- */

static void put_spared(const struct asked *q)
{
    struct bt_sheet *s = q->b->sheet;
    if (q->out->n_neighbours == 0 || !q->plot->has_share_alone)
        return;
    put_named(
        q, BT_LEGUME_SPARED, "soil nitrogen that ", " spares in company",
        bt_spared(s, q->plot->ledger.plant_n, q->plot->share_fixed, q->plot->share_alone));
}

/* The lines its residue has in this account, tie-up included. */
static bool residue_lines(const struct asked *q, struct bt_node *out)
{
    const struct bt_binding *b = q->b;
    bool any = false;
    *out = bt_constant(b->sheet, 0, BT_MASS_PER_AREA);
    for (size_t i = 0; i < b->n_lines; i++)
        if (b->line[i].side == BT_SUPPLY && b->line[i].from == q->plot->planting) {
            *out = any ? bt_add(b->sheet, *out, b->line[i].node) : b->line[i].node;
            any = true;
        }
    return any;
}

static void put_later(const struct asked *q)
{
    struct bt_sheet *s = q->b->sheet;
    const struct bt_node none = bt_constant(s, 0, BT_MASS_PER_AREA);
    struct bt_node now, next;
    const bool has_now = residue_lines(q, &now);
    const bool has_next = bt_bind_next_season(q->b, q->plot, &next);
    if (has_now)
        put_named(q, BT_LEGUME_RESIDUE_NOW, "what the residue of ", " gives this season",
                  now);
    if (has_next)
        put(q, BT_LEGUME_NEXT_SEASON, next);
    put_named(q, BT_LEGUME_LATER, "what the residue of ", " gives, this season and next",
              bt_add(s, has_now ? now : none, has_next ? next : none));
}

const struct bt_legume_facts *bt_bind_legumes(struct bt_binding *b, size_t *out_n)
{
    struct bt_legume_facts *list = bt_arena_zero(b->arena, (b->n_plots + 1) * sizeof *list);
    size_t n = 0;
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *p = &b->plot[i];
        if (!p->in_account || !p->planting->legume)
            continue;
        const struct asked q = {b, p, &list[n++]};
        q.out->planting = p->planting;
        q.out->density = p->density;
        put_fates(&q);
        put_net(&q);
        put_neighbours(&q);
        put_spared(&q);
        put_later(&q);
    }
    *out_n = n;
    return list;
}
