/* The budget of one bed, from its rows to its worksheet, in the order of docs/model.md. */
#include "model/season.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "model/season_bind.h"
#include "model/season_pk.h"

/* In pots each plant has its own: the neediest one gives the word. */
static void keep_neediest(struct bt_binding *b)
{
    size_t neediest = 0;
    double most = -1;
    for (size_t i = 0; i < b->n_plots; i++)
        if (b->plot[i].in_account && bt_likely(b->sheet, b->plot[i].uptake) > most) {
            most = bt_likely(b->sheet, b->plot[i].uptake);
            neediest = i;
        }
    for (size_t i = 0; i < b->n_plots; i++)
        if (i != neediest)
            b->plot[i].in_account = b->plot[i].has_nodes = false;
    if (b->n_plots > 0)
        bt_bind_understood(
            b, bt_bind_text(b,
                            "Pots: the account is that of one pot with the neediest "
                            "plant, %s; what drains takes its nitrate along.",
                            b->plot[neediest].subject));
    bt_bind_caution(b, "pots");
}

static void add_demand(struct bt_binding *b)
{
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *p = &b->plot[i];
        if (!p->in_account)
            continue;
        b->line =
            bt_arena_grow(b->arena, b->line, &b->lines_cap, b->n_lines, sizeof *b->line);
        const struct bt_node_info *x = bt_sheet_node(b->sheet, p->need);
        b->line[b->n_lines++] = (struct bt_line){.id = x->id,
                                                 .label = x->label,
                                                 .side = BT_DEMAND,
                                                 .node = p->need,
                                                 .by_date = p->by_date,
                                                 .planting = p->planting};
    }
}

static struct bt_node total(struct bt_binding *b, enum bt_side side, const char *label)
{
    struct bt_node *arg = bt_arena_alloc(b->arena, (b->n_lines + 1) * sizeof *arg);
    size_t n = 0;
    for (size_t i = 0; i < b->n_lines; i++)
        if (b->line[i].side == side)
            arg[n++] = b->line[i].node;
    const char *id = bt_bind_text(b, "%s/%s", label, b->bed->id);
    return bt_named(b->sheet, id, label, bt_sum(b->sheet, n, arg, BT_MASS_PER_AREA));
}

/* What stays behind: supply less what was really taken, not below zero. */
static struct bt_node left_in_soil(struct bt_binding *b, struct bt_node supply)
{
    struct bt_node *arg = bt_arena_alloc(b->arena, (b->n_plots + 1) * sizeof *arg);
    size_t n = 0;
    for (size_t i = 0; i < b->n_plots; i++)
        if (b->plot[i].in_account)
            arg[n++] = b->plot[i].taken;
    const struct bt_node taken = bt_named(b->sheet, NULL, "nitrogen taken from the soil",
                                          bt_sum(b->sheet, n, arg, BT_MASS_PER_AREA));
    const struct bt_node left = bt_max(b->sheet, bt_sub(b->sheet, supply, taken),
                                       bt_constant(b->sheet, 0, BT_MASS_PER_AREA));
    return bt_named(b->sheet, bt_bind_text(b, "left/%s", b->bed->id), "left in the soil",
                    left);
}

static struct bt_account nitrogen_account(struct bt_binding *b)
{
    struct bt_account a = {
        .nutrient = BT_N, .known = true, .n_dates = b->n_dates, .date = b->date};
    a.required = total(b, BT_DEMAND, "required");
    a.supply = total(b, BT_SUPPLY, "supply");
    a.balance = bt_named(b->sheet, bt_bind_text(b, "balance/%s", b->bed->id), "balance",
                         bt_sub(b->sheet, a.supply, a.required));
    a.left = left_in_soil(b, a.supply);
    a.n_lines = b->n_lines;
    a.line = b->line;
    const struct bt_quantity *own = &b->garden->left_limit;
    a.left_limit_g_m2 =
        bt_given(own) ? own->range.likely : bt_bind_likely(b, "soils", "any", "left_limit");
    return a;
}

static const struct bt_planting_facts *facts(struct bt_binding *b, size_t *out_n)
{
    struct bt_planting_facts *f = bt_arena_zero(b->arena, (b->n_plots + 1) * sizeof *f);
    size_t n = 0;
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *p = &b->plot[i];
        if (!p->in_account)
            continue;
        f[n++] = (struct bt_planting_facts){.planting = p->planting,
                                            .density = p->density,
                                            .stand_area_m2 = p->density * b->bed->area_m2,
                                            .relative_yield = p->relative_yield,
                                            .uptake = p->uptake,
                                            .recovery = p->recovery,
                                            .required = p->need,
                                            .is_legume = p->planting->legume != NULL,
                                            .plant_n = p->ledger.plant_n,
                                            .ndfa = p->share_fixed,
                                            .fixed = p->ledger.fixed,
                                            .harvested = p->ledger.fixed_harvested,
                                            .transfer = p->ledger.passed_on,
                                            .residue = p->ledger.fixed_left,
                                            .draw = p->draw};
    }
    *out_n = n;
    return f;
}

/* Recommended rates hold an ordinary soil supply: beside the sum, never in it. */
static void check_against_rates(struct bt_binding *b, const struct bt_account *a)
{
    double rate_g_m2 = 0;
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *p = &b->plot[i];
        const struct bt_row *row =
            bt_handbook_follow(b->book, "crops", p->planting->crop, "n_rate_advised");
        if (!p->in_account || b->reset)
            continue;
        if (!row)
            return; /* no rate to compare with */
        bt_bind_read(b, row);
        rate_g_m2 += row->range.likely * bt_likely(b->sheet, p->relative_yield);
    }
    double soil_g_m2 = 0;
    for (size_t i = 0; i < a->n_lines; i++)
        if (strstr(a->line[i].id, "/soil ") || strstr(a->line[i].id, "/rain"))
            soil_g_m2 += bt_likely(b->sheet, a->line[i].node);
    if (rate_g_m2 <= 0)
        return;
    b->guide_rate_g_m2 = rate_g_m2;
    b->beyond_soil_g_m2 = fmax(0, bt_likely(b->sheet, a->required) - soil_g_m2);
}

/* Marks what a node rests on. Nodes refer to earlier ones only, so one pass from the end
 * does. */
static bool *rests_on(struct bt_binding *b, const struct bt_account *a)
{
    bool *used = bt_arena_zero(b->arena, bt_sheet_size(b->sheet) * sizeof *used);
    if (a->known)
        used[a->balance.i] = true;
    if (a->nutrient == BT_N)
        used[a->left.i] = true;
    for (size_t i = 0; i < b->n_plots && a->nutrient == BT_N; i++)
        if (b->plot[i].in_account && b->plot[i].planting->legume)
            used[b->plot[i].ledger.fixed_left.i] = true;
    for (size_t i = bt_sheet_size(b->sheet); i-- > 0;) {
        const struct bt_node_info *x =
            bt_sheet_node(b->sheet, (struct bt_node){(uint32_t)i});
        for (size_t k = 0; used[i] && k < x->n_args; k++)
            used[x->arg[k].i] = true;
    }
    return used;
}

/* Every leaf that stands in for a blank, and that the answer rests on, is named as assumed.
 */
static void list_assumed_leaves(struct bt_binding *b, const struct bt_account *a)
{
    const bool *used = rests_on(b, a);
    for (size_t i = 0; i < bt_sheet_size(b->sheet); i++) {
        const struct bt_leaf *leaf =
            bt_sheet_node(b->sheet, (struct bt_node){(uint32_t)i})->leaf;
        if (leaf && leaf->assumed && used[i])
            bt_bind_assumed_leaf(b, leaf);
    }
}

bool bt_season_build(struct bt_arena *a, struct bt_diag *d, const struct bt_handbook *h,
                     const struct bt_garden *g, size_t bed, struct bt_budget *out)
{
    struct bt_binding b = {.arena = a,
                           .diag = d,
                           .book = h,
                           .garden = g,
                           .bed_index = bed,
                           .bed = &g->bed[bed],
                           .sheet = bt_sheet_new(a),
                           .words = {.arena = a}};
    if (!bt_bind_time(&b))
        return false;
    bt_bind_plots(&b);
    if (b.failed)
        return false;
    if (b.bed->kind == BT_POTS)
        keep_neediest(&b);
    bt_bind_additions_before_sample(&b);
    bt_bind_soil(&b);
    bt_bind_additions(&b);
    bt_bind_residues(&b);
    bt_bind_needs(&b);
    add_demand(&b);
    if (b.failed)
        return false;
    *out = (struct bt_budget){.garden = g, .bed = b.bed, .sheet = b.sheet, .n_accounts = 1};
    out->account[BT_N] = nitrogen_account(&b);
    out->planting = facts(&b, &out->n_plantings);
    out->legume = bt_bind_legumes(&b, &out->n_legumes);
    check_against_rates(&b, &out->account[BT_N]);
    bt_bind_pk(&b, out);
    for (size_t k = 0; k < out->n_accounts; k++)
        if (k == BT_N || bt_pk_matters(&out->account[k]))
            list_assumed_leaves(&b, &out->account[k]);
    bt_bind_caution(&b, "general");
    bt_bind_material_cautions(&b);
    bt_bind_waits(&b);
    out->handbook = h;
    out->caution = bt_cautions_that_apply(&b.words, h, &out->n_cautions);
    out->alert = b.alert;
    out->n_alerts = b.n_alerts;
    out->understood = b.understood;
    out->n_understood = b.n_understood;
    out->assumed = b.assumed;
    out->n_assumed = b.n_assumed;
    out->read = b.read;
    out->n_read = b.n_read;
    out->guide_rate_g_m2 = b.guide_rate_g_m2;
    out->beyond_soil_g_m2 = b.beyond_soil_g_m2;
    return !b.failed;
}
