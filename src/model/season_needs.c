/* What each planting must find in the soil: legumes with what they fix and pass on, then
 * all needs. Order matters: a pool at sowing sees only what was sown earlier, with nothing
 * passed on. */
#include <math.h>
#include <stdlib.h>

#include "model/demand.h"
#include "model/season_bind.h"

static bool is_legume(const struct bt_plot *p)
{
    return p->planting->legume != NULL;
}

static bool has_company(const struct bt_binding *b, const struct bt_plot *p)
{
    for (size_t j = 0; j < b->n_plots; j++) {
        const struct bt_plot *q = &b->plot[j];
        if (q != p && q->has_nodes && !is_legume(q) && bt_plots_meet(p, q))
            return true;
    }
    return false;
}

static struct bt_node partner_of(struct bt_binding *b, const struct bt_plot *p)
{
    if (p->planting->inoculated == 1)
        return bt_share(b->sheet, 1);
    const struct bt_row *row =
        bt_bind_row(b, "legumes", p->planting->legume, "uninoculated_factor");
    return bt_bind_leaf_of(b, row, "fixation with the bacteria that are there", p->name,
                           p->planting->inoculated < 0);
}

static struct bt_node mineral_at_sowing(struct bt_binding *b, const struct bt_plot *p)
{
    /* Sown by the day of the reading: the reading. Sown later: what came since counts too.
     */
    if (p->in_ground < b->start || (b->reset && p->in_ground == b->start))
        return b->start_nitrate;
    return bt_bind_pool_at(b, p->in_ground, p->in_ground);
}

static void bind_fixation(struct bt_binding *b, struct bt_plot *p)
{
    struct bt_sheet *s = b->sheet;
    const char *key = p->planting->legume;
    const struct bt_node sole = bt_bind_handbook(
        b, "legumes", key, "ndfa", "share of nitrogen from the air, sole crop", p->name);
    p->has_share_alone = has_company(b, p);
    const struct bt_node company =
        p->has_share_alone ? bt_bind_handbook(b, "legumes", key, "company_factor",
                                              "fixation in company", p->name)
                           : bt_share(s, 1);
    const struct bt_node zero = bt_bind_handbook(
        b, "legumes", key, "nitrate_zero", "mineral nitrogen that stops fixation", p->name);
    const struct bt_node reference =
        bt_bind_handbook(b, "legumes", key, "nitrate_reference",
                         "mineral nitrogen behind the usual share", p->name);
    const struct bt_node keeps = bt_named(
        s, NULL,
        bt_bind_text(b, "share of fixation of %s kept at this nitrate", p->subject),
        bt_nitrate_keeps(s, mineral_at_sowing(b, p), zero, reference));
    const struct bt_node limit = bt_bind_handbook(
        b, "legumes", key, "ndfa_limit", "most that can come from the air", p->name);
    const struct bt_node partner = partner_of(b, p);
    p->share_fixed = bt_named(
        s, NULL, bt_bind_text(b, "share of nitrogen of %s from the air", p->subject),
        bt_share_fixed(s, sole, company, keeps, partner, limit));
    if (p->has_share_alone)
        p->share_alone = bt_named(
            s, NULL,
            bt_bind_text(b, "share of nitrogen of %s from the air, if it stood alone",
                         p->subject),
            bt_share_fixed(s, sole, bt_share(s, 1), keeps, partner, limit));
    const struct bt_node below =
        bt_bind_handbook(b, "legumes", key, "below_ground_factor",
                         "plant nitrogen per shoot nitrogen", p->name);
    p->ledger =
        bt_legume_fates(s, p->subject, p->uptake, below, p->share_fixed, p->removed);
    p->draw = bt_named(s, NULL, bt_bind_text(b, "draw of %s on the soil", p->subject),
                       bt_legume_draw(s, p->uptake, p->share_fixed, p->recovery));
    const struct bt_row *row = bt_bind_row(b, "legumes", key, "ndfa");
    const struct bt_node high = bt_constant_named(
        s, row ? row->range.high : (double)NAN, BT_FRACTION,
        bt_bind_text(b, "share from the air that a hungry %s can reach", p->subject),
        "high end of its row", row);
    p->open_need = bt_named(
        s, NULL, bt_bind_text(b, "whole need of %s", p->subject),
        bt_legume_need(s, p->draw, p->uptake, bt_mul(s, high, partner), p->recovery));
}

static void bind_open_need(struct bt_binding *b, struct bt_plot *p)
{
    struct bt_sheet *s = b->sheet;
    const struct bt_node none = bt_constant(s, 0, BT_MASS_PER_AREA);
    p->passed_on = none;
    if (is_legume(p)) {
        bind_fixation(b, p);
        return;
    }
    struct bt_node need = bt_need(s, p->uptake, none, p->recovery);
    if (p->perennial) {
        const struct bt_node recycled =
            bt_bind_handbook(b, "crops", p->planting->crop, "recycled",
                             "share recycled in the plant", p->name);
        const struct bt_leaf lean = {
            .id = bt_bind_text(b, "plantings/%s/lean", p->id),
            .label = bt_bind_text(
                b, "lack of recycling in the plant (0 none, 1 whole) of %s", p->subject),
            .range = {.low = 0,
                      .likely = 0.5,
                      .high = 1,
                      .ends = BT_BOUNDS,
                      .form = BT_FORM_UNIFORM},
            .limit_low = 0,
            .limit_high = 1,
            .unit = "",
            .source = "JUDGEMENT",
            .seen = BT_JUDGEMENT,
            .at = p->planting->at,
            .assumed = true
        };
        const struct bt_perennial plant = {p->subject, p->uptake, p->removed, recycled};
        need = bt_perennial_need(s, &plant, p->recovery, bt_leaf(s, &lean));
    }
    p->open_need = bt_named(s, NULL, bt_bind_text(b, "whole need of %s", p->subject), need);
}

/* ---- passing on ---- */

static struct bt_node companions_uptake(struct bt_binding *b, const struct bt_plot *legume)
{
    struct bt_node *arg = bt_arena_alloc(b->arena, (b->n_plots + 1) * sizeof *arg);
    size_t n = 0;
    for (size_t j = 0; j < b->n_plots; j++) {
        const struct bt_plot *q = &b->plot[j];
        if (q->in_account && !is_legume(q) && bt_plots_meet(legume, q))
            arg[n++] = q->uptake;
    }
    const char *label = bt_bind_text(b, "uptake of what grows with %s", legume->subject);
    return bt_named(b->sheet, NULL, label, bt_sum(b->sheet, n, arg, BT_MASS_PER_AREA));
}

/* What leaves with the harvest cannot be passed on too. The handbook's limit is far below
 * what stays; a figure of the garden's own need not be. */
static struct bt_node held_to_what_stays(struct bt_binding *b, const struct bt_plot *legume,
                                         struct bt_node limit, struct bt_node passed)
{
    static const double NEAR_ALL = 0.9;
    struct bt_sheet *s = b->sheet;
    const struct bt_legume_ledger *l = &legume->ledger;
    const struct bt_node out = bt_div(s, l->harvested, l->plant_n);
    if (bt_likely(s, limit) + bt_likely(s, out) < NEAR_ALL)
        return passed;
    const struct bt_node stays = bt_named(
        s, NULL,
        bt_bind_text(b, "fixed nitrogen of %s that is not harvested", legume->subject),
        bt_mul(s, l->fixed, bt_rest(s, out)));
    return bt_min(s, passed, stays);
}

static void pass_on(struct bt_binding *b, struct bt_plot *legume)
{
    struct bt_sheet *s = b->sheet;
    const struct bt_node companions = companions_uptake(b, legume);
    struct bt_node passed = bt_constant(s, 0, BT_MASS_PER_AREA);
    const bool company = bt_likely(s, companions) > 0;
    if (company) {
        const struct bt_node tau = bt_bind_handbook(
            b, "intercrops", "any", "transfer",
            "share of the neighbours' nitrogen that legumes pass on", NULL);
        const struct bt_node limit =
            bt_bind_handbook(b, "intercrops", "any", "transfer_limit",
                             "most of its fixed nitrogen a legume passes on", NULL);
        passed = bt_passed_on(s, tau, companions, limit, legume->ledger.fixed);
        passed = held_to_what_stays(b, legume, limit, passed);
    }
    passed = bt_named(
        s, bt_bind_text(b, "passed on/%s", legume->id),
        bt_bind_text(b, "nitrogen that %s passes on while growing", legume->subject),
        passed);
    bt_legume_pass_on(s, legume->subject, &legume->ledger, passed);
    if (!company)
        return;
    for (size_t j = 0; j < b->n_plots; j++) {
        struct bt_plot *q = &b->plot[j];
        if (!q->in_account || is_legume(q) || !bt_plots_meet(legume, q))
            continue;
        const struct bt_node part = bt_div(s, q->uptake, companions);
        q->passed_on = bt_add(s, q->passed_on, bt_mul(s, passed, part));
    }
}

/* ---- needs as lines ---- */

/* Share of the whole need that falls between the account's ends. */
static struct bt_node in_account(struct bt_binding *b, const struct bt_plot *p,
                                 struct bt_node whole)
{
    const double share = p->taken_by_end - p->taken_before;
    if (share > 0.9995)
        return whole;
    const char *label =
        bt_bind_text(b, "share of its uptake that %s does from %s to %s", p->subject,
                     bt_date_words(b->arena, b->start), bt_date_words(b->arena, b->end));
    return bt_mul(b->sheet, whole,
                  bt_constant_named(b->sheet, share, BT_FRACTION, label,
                                    "from its dates and uptake curve (docs/model.md, Time)",
                                    NULL));
}

static void add_need_line(struct bt_binding *b, struct bt_plot *p)
{
    struct bt_sheet *s = b->sheet;
    struct bt_node whole = p->open_need;
    if (!is_legume(p)) {
        const struct bt_node passed = bt_div(s, p->passed_on, p->recovery);
        if (bt_likely(s, p->passed_on) > 0)
            whole =
                bt_sub(s, p->open_need,
                       bt_named(s, NULL,
                                bt_bind_text(b, "need of %s that legumes meet", p->subject),
                                passed));
    }
    p->need = bt_named(s, bt_bind_text(b, "need/%s", p->id),
                       bt_bind_text(b, "need of %s", p->subject), in_account(b, p, whole));
    const struct bt_node taken = is_legume(p)
                                     ? bt_mul(s, p->uptake, bt_rest(s, p->share_fixed))
                                     : bt_mul(s, whole, p->recovery);
    p->taken = bt_named(s, NULL,
                        bt_bind_text(b, "nitrogen that %s takes from the soil", p->subject),
                        in_account(b, p, taken));
    p->by_date = bt_arena_alloc(b->arena, b->n_dates * sizeof *p->by_date);
    const double whole_share = p->taken_by_end - p->taken_before;
    for (size_t k = 0; k < b->n_dates; k++)
        p->by_date[k] = (bt_plot_share(b, p, b->date[k]) - p->taken_before) / whole_share;
}

static int by_sowing(const void *x, const void *y)
{
    const struct bt_plot *a = *(struct bt_plot *const *)x, *b = *(struct bt_plot *const *)y;
    if (a->in_ground != b->in_ground)
        return a->in_ground < b->in_ground ? -1 : 1;
    return (a > b) - (a < b);
}

/* One crop after another: each is charged what its roots do not catch, though the next may
 * catch part of it. No source tells how much, so it is said and not counted. */
static void note_succession(struct bt_binding *b)
{
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *p = &b->plot[i];
        for (size_t j = 0; p->in_account && j < b->n_plots; j++) {
            const struct bt_plot *q = &b->plot[j];
            if (!q->in_account || q->in_ground < p->ended || q->in_ground <= p->in_ground)
                continue;
            bt_bind_understood(
                b,
                bt_bind_text(
                    b,
                    "Of what %s must find in the soil, about %.0f %% is nitrogen "
                    "that its roots do not catch. What grows after it (%s) may catch "
                    "part of that; nothing of it is counted, so the need of the bed "
                    "leans to the high side.",
                    p->subject, 100 * (1 - bt_likely(b->sheet, p->recovery)), q->subject));
            break;
        }
    }
}

void bt_bind_needs(struct bt_binding *b)
{
    note_succession(b);
    struct bt_plot **order = bt_arena_alloc(b->arena, (b->n_plots + 1) * sizeof *order);
    size_t n = 0;
    for (size_t i = 0; i < b->n_plots; i++)
        if (b->plot[i].in_account)
            order[n++] = &b->plot[i];
    qsort(order, n, sizeof *order, by_sowing);
    for (size_t i = 0; i < n; i++)
        bind_open_need(b, order[i]);
    bt_bind_settle_tie_ups(b);
    for (size_t i = 0; i < n; i++)
        if (is_legume(order[i]))
            pass_on(b, order[i]);
    for (size_t i = 0; i < n; i++)
        add_need_line(b, order[i]);
}
