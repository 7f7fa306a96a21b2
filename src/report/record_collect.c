/* What is kept of a bed while the run goes by. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "chance/columns.h"
#include "chance/sampler.h"
#include "report/answer.h"
#include "report/field.h"
#include "report/record.h"

struct bt_record *bt_record_new(struct bt_arena *kept, const struct bt_garden *g,
                                const struct bt_handbook *h,
                                const struct bt_chance_options *o, const char *version)
{
    struct bt_record *r = bt_arena_zero(kept, sizeof *r);
    r->kept = kept;
    r->garden = g;
    r->handbook = h;
    r->chance = *o;
    r->shapes = bt_shapes_new(kept);
    r->version = version;
    r->verdict = bt_verdict_new(kept);
    r->doubt = bt_doubt_new(kept);
    for (size_t k = 0; k < g->n_read; k++)
        bt_record_add_source(r, g->read[k]->source, g->read[k]->seen);
    return r;
}

static void keep(struct bt_record *r, struct bt_texts *list, const char *text)
{
    list->text =
        bt_arena_grow(r->kept, list->text, &list->capacity, list->n, sizeof *list->text);
    list->text[list->n++] = bt_arena_text(r->kept, text);
}

void bt_record_keep_once(struct bt_record *r, struct bt_texts *list, const char *text)
{
    for (size_t k = 0; k < list->n; k++)
        if (strcmp(list->text[k], text) == 0)
            return;
    keep(r, list, text);
}

static void keep_all(struct bt_record *r, struct bt_texts *list, size_t n,
                     const char *const *text)
{
    for (size_t k = 0; k < n; k++)
        keep(r, list, text[k]);
}

static void keep_stock(struct bt_record *r, struct bt_record_account *to,
                       const struct bt_account_finding *x)
{
    const struct bt_stock *s = x->account->stock;
    if (!s)
        return;
    to->rating = s->rating ? bt_arena_text(r->kept, s->rating) : NULL;
    to->is_full = s->is_full;
    to->first_season = s->first_season;
    to->last_season = s->last_season;
    for (int k = 0; k < BT_BESIDES; k++) {
        to->has[k] = s->has[k];
        to->beside[k] = x->beside[k];
    }
}

static void keep_account(struct bt_record *r, const struct bt_budget *b,
                         const struct bt_account_finding *x, struct bt_record_account *to)
{
    *to = (struct bt_record_account){
        .there = true,
        .known = x->account->known,
        .word = x->word,
        .required = x->required,
        .supply = x->supply,
        .balance = x->balance,
        .tightest = x->tightest,
        .shortfall = x->shortfall,
        .surplus = x->surplus,
        .left = x->left,
        .chance_of_shortfall = x->chance_of_shortfall,
        .chance_of_visible_shortfall = x->chance_of_visible_shortfall,
        .chance_left_over_limit = x->chance_left_over_limit,
        .left_limit_g_m2 = x->account->left_limit_g_m2,
        .tightest_date = x->tightest_date,
        .n_lines = x->n_lines,
    };
    to->line = bt_arena_zero(r->kept, (x->n_lines + 1) * sizeof *to->line);
    for (size_t k = 0; k < x->n_lines; k++) {
        const struct bt_line *line = x->line[k].line;
        to->line[k] = (struct bt_record_line){
            .label = bt_arena_text(r->kept, line->label),
            .side = line->side,
            .origin = line->side == BT_SUPPLY ? bt_line_origin(b, line) : BT_FROM_SOIL,
            .planned = line->planned || line->advised,
            .total = x->line[k].total,
        };
    }
    keep_stock(r, to, x);
}

/* ---- additions ---- */

static bool find_label(const struct bt_sheet *s, const char *label, struct bt_node *out)
{
    const size_t n = bt_sheet_size(s);
    for (size_t i = 0; i < n; i++) {
        const struct bt_node_info *info = bt_sheet_node(s, (struct bt_node){(uint32_t)i});
        if (info->label && strcmp(info->label, label) == 0) {
            *out = (struct bt_node){(uint32_t)i};
            return true;
        }
    }
    return false;
}

/* Whether a handbook's figure says how much of an addition's nitrogen counts. */
static bool is_factor(const struct bt_row *row)
{
    static const char *const quantity[] = {"n_available_1", "net_n", "pan_slope",
                                           "break_even_n", "release_rate"};
    for (size_t k = 0; k < sizeof quantity / sizeof *quantity; k++)
        if (bt_text_is(row->quantity, quantity[k]))
            return true;
    return false;
}

/* The sources of such figures below a line. */
static void factor_of(struct bt_record *r, const struct bt_budget *b, struct bt_node line,
                      struct bt_record_share *to)
{
    bool *below = bt_arena_zero(bt_sheet_arena(b->sheet), bt_sheet_size(b->sheet) + 1);
    below[line.i] = true;
    for (size_t i = line.i + 1; i-- > 0;) {
        const struct bt_node_info *info =
            bt_sheet_node(b->sheet, (struct bt_node){(uint32_t)i});
        if (!below[i])
            continue;
        for (size_t k = 0; k < info->n_args; k++)
            below[info->arg[k].i] = true;
        const struct bt_row *row = info->row ? info->row
                                   : info->leaf
                                       ? bt_handbook_row_of(r->handbook, info->leaf->id)
                                       : NULL;
        if (!row || !is_factor(row) || !row->source)
            continue;
        const char *one =
            bt_arena_format(r->kept, "%s, %s", row->source, bt_seen_word(row->seen));
        if (to->source && strstr(to->source, one))
            continue;
        to->source = to->source ? bt_arena_format(r->kept, "%s; %s", to->source, one) : one;
    }
}

/* What of an account comes from the addition, in g/m2 at the likely values. */
static double available(const struct bt_budget *b, const struct bt_account_finding *x,
                        const struct bt_application *of, struct bt_node *out_line)
{
    double sum_g_m2 = 0;
    for (size_t k = 0; x && k < x->n_lines; k++) {
        const struct bt_line *line = x->line[k].line;
        if (line->side != BT_SUPPLY || !line->origin || line->from)
            continue;
        const struct bt_application *y = bt_line_addition(b, line);
        if (y && y->at.line == of->at.line && y->part == of->part &&
            bt_text_is(y->at.file, of->at.file)) {
            sum_g_m2 += x->line[k].total.likely;
            *out_line = line->node;
        }
    }
    return sum_g_m2;
}

static void keep_share(struct bt_record *r, const struct bt_show *w,
                       const struct bt_finding *f, size_t number,
                       const struct bt_application *x)
{
    const struct bt_budget *b = f->budget;
    struct bt_arena *a = w->arena;
    const char *name = bt_deed_name_on(a, b->garden, number, x);
    const char *day = bt_garden_day(a, b->garden, x->date.day);
    const double area_m2 = b->bed->area_m2;
    struct bt_record_share share = {.at = x->at,
                                    .part = x->part,
                                    .bed = number,
                                    .fresh_g = (double)NAN,
                                    .total_n_g = (double)NAN};
    struct bt_node node, line = {UINT32_MAX}, other;
    if (find_label(b->sheet, bt_arena_format(a, "%s as spread, %s", name, day), &node))
        share.fresh_g = bt_likely(b->sheet, node) * area_m2;
    if (find_label(b->sheet, bt_arena_format(a, "total nitrogen of %s, %s", name, day),
                   &node))
        share.total_n_g = bt_likely(b->sheet, node) * area_m2;
    share.available_n_g = available(b, bt_account_of(f, BT_N), x, &line) * area_m2;
    share.available_p2o5_g = available(b, bt_account_of(f, BT_P2O5), x, &other) * area_m2;
    if (line.i != UINT32_MAX)
        factor_of(r, b, line, &share);
    r->share =
        bt_arena_grow(r->kept, r->share, &r->share_capacity, r->n_shares, sizeof *r->share);
    r->share[r->n_shares++] = share;
}

static void keep_shares(struct bt_record *r, const struct bt_show *w,
                        const struct bt_finding *f, size_t number)
{
    const struct bt_garden *g = f->budget->garden;
    for (size_t i = 0; i < g->n_applications; i++)
        for (size_t k = 0; k < g->application[i].n_beds; k++)
            if (g->application[i].bed[k] == number)
                keep_share(r, w, f, number, &g->application[i]);
}

/* ---- the gap before anything was brought in ---- */

static void add_to_sums(struct bt_record *r, const struct bt_columns *c, double area_m2)
{
    for (int k = 0; k < BT_RECORD_SUMS; k++) {
        const bool above = k == BT_SUM_GAP;
        if (!r->sum_g[k])
            r->sum_g[k] = bt_arena_zero(r->kept, c->samples * sizeof *r->sum_g[k]);
        for (size_t i = 0; i < c->samples; i++)
            r->sum_g[k][i] += above && c->x[k][i] < 0 ? 0 : c->x[k][i] * area_m2;
        r->sum_likely_g[k] += above && c->likely[k] < 0 ? 0 : c->likely[k] * area_m2;
    }
}

struct bt_spread bt_record_sum(const struct bt_record *r, enum bt_record_sum what)
{
    const size_t samples = bt_sample_count(&r->chance);
    if (!r->sum_g[what])
        return bt_spread_exact(0);
    return bt_spread_of(bt_summary_room_new(r->kept, samples), samples, r->sum_g[what],
                        r->sum_likely_g[what]);
}

static void keep_gap(struct bt_record *r, const struct bt_show *w,
                     const struct bt_finding *f, struct bt_record_bed *to)
{
    struct bt_gap gap;
    struct bt_node node[BT_RECORD_SUMS];
    to->has_gap = bt_gap_nodes(f->budget, &gap);
    if (!to->has_gap)
        return;
    memcpy(node, gap.of, sizeof gap.of);
    node[BT_SUM_ALREADY] = gap.already;
    node[BT_SUM_GAP] = gap.gap;
    node[BT_SUM_NEEDED] = bt_account_of(f, BT_N)->account->required;
    const struct bt_columns c = bt_columns_of(w->arena, r->shapes, f->budget->sheet,
                                              &r->chance, BT_RECORD_SUMS, node);
    struct bt_summary_room *room = bt_summary_room_new(w->arena, c.samples);
    for (size_t k = 0; k < BT_ORIGINS; k++)
        to->of[k] = bt_column_spread(room, &c, k);
    to->already = bt_column_spread(room, &c, BT_SUM_ALREADY);
    to->gap = bt_column_spread(room, &c, BT_SUM_GAP);
    add_to_sums(r, &c, f->budget->bed->area_m2);
}

/* ---- legumes, plantings, doubt ---- */

static void keep_legumes(struct bt_record *r, const struct bt_finding *f,
                         struct bt_record_bed *to)
{
    const struct bt_budget *b = f->budget;
    to->legume = bt_arena_zero(r->kept, (b->n_plantings + 1) * sizeof *to->legume);
    for (size_t i = 0; f->planting && i < b->n_plantings; i++) {
        const struct bt_planting_spread *x = &f->planting[i];
        if (!b->planting[i].is_legume)
            continue;
        to->legume[to->n_legumes++] = (struct bt_record_legume){
            .name = bt_arena_text(r->kept, b->planting[i].planting->written),
            .plant_n = x->plant_n,
            .share_fixed = x->ndfa,
            .fixed = x->fixed,
            .out = x->harvested,
            .passed = x->transfer,
            .left = x->residue,
            .met_frac = bt_met_share(f, i),
            .from_nothing = bt_may_pass_nothing(b->sheet),
        };
    }
}

static void keep_plantings(struct bt_record *r, const struct bt_show *w,
                           const struct bt_budget *b, struct bt_record_bed *to)
{
    for (size_t i = 0; i < b->n_plantings; i++) {
        const struct bt_planting_facts *p = &b->planting[i];
        keep(r, &to->plantings,
             bt_arena_format(
                 w->arena, "%s: counts as %s of a full stand, %s of its yield",
                 p->planting->written, bt_area_text(w, p->stand_area_m2),
                 bt_percent_text(w->arena, bt_likely(b->sheet, p->relative_yield))));
    }
}

static void keep_doubt(struct bt_record *r, const struct bt_show *w,
                       const struct bt_finding *f, struct bt_record_bed *to)
{
    enum { NAMED = 4 };
    const struct bt_account_finding *x = bt_account_of(f, BT_N);
    struct bt_arena *a = w->arena;
    for (size_t k = 0; x && k < x->n_gauges && k < NAMED; k++) {
        const struct bt_leaf *leaf =
            bt_sheet_node(f->budget->sheet, x->gauge[k].leaf)->leaf;
        keep(r, &to->measure,
             bt_arena_format(a, "%s. It would cut the range by about %s.",
                             bt_measure_text(a, leaf),
                             bt_percent_text(a, x->gauge[k].spread_cut_frac)));
    }
    for (size_t k = 0; x && k < x->n_drivers && k < NAMED; k++) {
        const struct bt_node_info *node =
            bt_sheet_node(f->budget->sheet, x->driver[k].leaf);
        if (x->driver[k].share_of_variance >= 0.01)
            keep(r, &to->doubt,
                 bt_arena_format(a, "%s: %s", node->label ? node->label : node->id,
                                 bt_percent_text(a, x->driver[k].share_of_variance)));
    }
}

static void keep_cautions(struct bt_record *r, const struct bt_show *w,
                          const struct bt_budget *b, struct bt_record_bed *to)
{
    for (size_t k = 0; k < b->n_cautions; k++) {
        const struct bt_caution *c = b->caution[k];
        const char *where = c->jurisdiction && *c->jurisdiction
                                ? bt_arena_format(w->arena, "%s; ", c->jurisdiction)
                                : "";
        keep(r, &to->cautions,
             bt_arena_format(w->arena, "%s (%s%s, %s)", c->rule, where, c->source,
                             bt_seen_word(c->seen)));
    }
}

static void keep_alerts(struct bt_record *r, const struct bt_budget *b,
                        struct bt_record_bed *to)
{
    for (int dose = 0; dose < 2; dose++) {
        for (size_t k = 0; k < b->n_alerts; k++)
            if ((b->alert[k].kind == BT_ALERT_DOSE) == (dose == 1))
                keep(r, &to->alerts, b->alert[k].text);
        to->n_for_pickers = dose ? to->n_for_pickers : to->alerts.n;
    }
}

void bt_record_add(struct bt_record *r, const struct bt_show *w, const struct bt_finding *f)
{
    const struct bt_budget *b = f->budget;
    r->bed = bt_arena_grow(r->kept, r->bed, &r->bed_capacity, r->n_beds, sizeof *r->bed);
    struct bt_record_bed *to = &r->bed[r->n_beds++];
    *to =
        (struct bt_record_bed){.bed = b->bed, .number = (size_t)(b->bed - r->garden->bed)};
    for (size_t k = 0; k < b->n_accounts; k++)
        keep_account(r, b, &f->account[k], &to->account[f->account[k].account->nutrient]);
    const struct bt_account_finding *x = bt_account_of(f, BT_N);
    to->action = bt_arena_text(r->kept, x ? bt_action_text(w, f, x, BT_FIGURES_FIRST) : "");
    to->planned_frac = x ? bt_planned_share(x) : 0;
    keep_shares(r, w, f, to->number);
    keep_gap(r, w, f, to);
    keep_legumes(r, f, to);
    keep_plantings(r, w, b, to);
    keep_doubt(r, w, f, to);
    keep_alerts(r, b, to);
    keep_cautions(r, w, b, to);
    keep_all(r, &to->understood, b->n_understood, b->understood);
    keep_all(r, &to->assumed, b->n_assumed, bt_assumed_texts(w, b));
    const char *check = bt_rate_check_text(w, b);
    if (check)
        keep(r, &to->checks, check);
    to->nitrate_note = b->nitrate_note ? bt_arena_text(r->kept, b->nitrate_note) : NULL;
    bt_record_add_sources(r, b);
    bt_record_mention_gauges(r, b, x);
    bt_verdict_add(r->verdict, f);
    bt_doubt_add(r->doubt, w, f);
}
