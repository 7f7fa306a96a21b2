/* What is kept of a bed while the run goes by. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "report/answer.h"
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

static const char *material(const struct bt_application *x)
{
    return x->own ? x->own->name : x->written;
}

bool bt_deed_is_inside(const struct bt_application *x)
{
    return x->taken_from || (x->own && x->own->made_here && x->own->made_here_share > 0.5);
}

/* The addition that a supply line comes from, or NULL. */
static const struct bt_application *addition_of(const struct bt_budget *b,
                                                const struct bt_line *line)
{
    if (!line->origin || line->from)
        return NULL;
    for (size_t i = 0; i < b->garden->n_applications; i++) {
        const struct bt_application *x = &b->garden->application[i];
        if (x->date.day == line->came && bt_text_starts(line->origin, material(x)))
            return x;
    }
    return NULL;
}

static enum bt_origin origin_of(const struct bt_budget *b, const struct bt_line *line)
{
    if (!line->origin)
        return BT_FROM_SOIL;
    const struct bt_application *x = addition_of(b, line);
    if (line->from || !x)
        return BT_FROM_GROWTH;
    if (bt_deed_is_inside(x))
        return BT_FROM_INSIDE;
    return bt_deed_in_season(b->garden, x) ? BT_FROM_BOUGHT : BT_FROM_BEFORE;
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
            .origin = line->side == BT_SUPPLY ? origin_of(b, line) : BT_FROM_SOIL,
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

/* The handbook's figure that says how much of an addition's nitrogen counts. */
static void factor_of(struct bt_record *r, const struct bt_budget *b, const char *name,
                      struct bt_record_share *to)
{
    const size_t n = bt_sheet_size(b->sheet);
    for (size_t i = 0; i < n && !to->source; i++) {
        const struct bt_leaf *leaf =
            bt_sheet_node(b->sheet, (struct bt_node){(uint32_t)i})->leaf;
        if (!leaf || !leaf->label || !leaf->source || bt_text_is(leaf->source, "stated"))
            continue;
        const bool tells = strstr(leaf->label, "available in season 1") ||
                           strstr(leaf->label, "net nitrogen");
        const size_t length = strlen(leaf->label), tail = strlen(name);
        if (tells && length > tail && strcmp(leaf->label + length - tail, name) == 0) {
            to->source = bt_arena_text(r->kept, leaf->source);
            to->seen = leaf->seen;
        }
    }
}

/* What of an account comes from the addition, in g/m2 at the likely values. */
static double available(const struct bt_budget *b, const struct bt_account_finding *x,
                        const struct bt_application *of)
{
    double sum_g_m2 = 0;
    for (size_t k = 0; x && k < x->n_lines; k++) {
        const struct bt_line *line = x->line[k].line;
        if (line->side != BT_SUPPLY || !line->origin || line->from)
            continue;
        const struct bt_application *y = addition_of(b, line);
        if (y && y->at.line == of->at.line && y->part == of->part &&
            bt_text_is(y->at.file, of->at.file))
            sum_g_m2 += x->line[k].total.likely;
    }
    return sum_g_m2;
}

static void keep_share(struct bt_record *r, const struct bt_show *w,
                       const struct bt_finding *f, size_t number,
                       const struct bt_application *x)
{
    const struct bt_budget *b = f->budget;
    struct bt_arena *a = w->arena;
    const char *name = material(x);
    const char *day = bt_date_words(a, x->date.day);
    const double area_m2 = b->bed->area_m2;
    struct bt_record_share share = {.at = x->at,
                                    .part = x->part,
                                    .bed = number,
                                    .fresh_g = (double)NAN,
                                    .total_n_g = (double)NAN};
    struct bt_node node;
    if (find_label(b->sheet, bt_arena_format(a, "%s as spread, %s", name, day), &node))
        share.fresh_g = bt_likely(b->sheet, node) * area_m2;
    if (find_label(b->sheet, bt_arena_format(a, "total nitrogen of %s, %s", name, day),
                   &node))
        share.total_n_g = bt_likely(b->sheet, node) * area_m2;
    share.available_n_g = available(b, bt_account_of(f, BT_N), x) * area_m2;
    share.available_p2o5_g = available(b, bt_account_of(f, BT_P2O5), x) * area_m2;
    factor_of(r, b, name, &share);
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

static void keep_gap(struct bt_record *r, const struct bt_show *w,
                     const struct bt_finding *f, struct bt_record_bed *to)
{
    const struct bt_account_finding *x = bt_account_of(f, BT_N);
    const struct bt_record_account *account = &to->account[BT_N];
    if (!x)
        return;
    struct bt_sheet *s = f->budget->sheet;
    struct bt_node *there = bt_arena_alloc(w->arena, (x->n_lines + 1) * sizeof *there);
    size_t n = 0;
    for (size_t k = 0; k < x->n_lines; k++)
        if (x->line[k].line->side == BT_SUPPLY &&
            account->line[k].origin != BT_FROM_BOUGHT && !account->line[k].planned)
            there[n++] = x->line[k].line->node;
    struct bt_node node[2];
    node[0] = bt_named(s, NULL, "supply without what was brought in",
                       bt_sum(s, n, there, BT_MASS_PER_AREA));
    node[1] = bt_named(s, NULL, "gap before anything was brought in",
                       bt_sub(s, x->account->required, node[0]));
    const struct bt_spread *spread =
        bt_chance_nodes(w->arena, r->shapes, f->budget, &r->chance, 2, node);
    to->already = spread[0];
    to->gap = spread[1];
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
            .met_frac = x->transfer_of_companions,
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
    keep_cautions(r, w, b, to);
    keep_all(r, &to->understood, b->n_understood, b->understood);
    keep_all(r, &to->assumed, b->n_assumed, b->assumed);
    keep_all(r, &to->checks, b->n_checks, b->check);
    to->nitrate_note = b->nitrate_note ? bt_arena_text(r->kept, b->nitrate_note) : NULL;
    bt_record_add_sources(r, b);
    bt_verdict_add(r->verdict, f);
    bt_doubt_add(r->doubt, w, f);
}
