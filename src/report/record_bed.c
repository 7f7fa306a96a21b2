/* A bed of the record: the plan in pictures and figures. */
#include <math.h>

#include "base/date.h"
#include "report/alert.h"
#include "report/answer.h"
#include "report/page.h"
#include "report/record.h"

enum { PARTS = 7 }; /* of a bar; smaller ones are put together */

static const double LEAST_SHOWN = 0.005; /* unit-free: of the longest bar */

/* What an account is drawn and written in. */
struct ruler {
    const struct bt_desk_of *t;
    struct bt_on_bed on;
    const char *nutrient;
    double full; /* unit-free: the longest bar */
};

static struct bt_arena *arena(const struct ruler *u)
{
    return u->t->record->kept;
}

static const char *amount(const struct ruler *u, double g_m2)
{
    return bt_arena_format(arena(u), "%s %s",
                           bt_figures_short(arena(u), g_m2 * u->on.per_g_m2, BT_FIGURES),
                           u->on.unit);
}

/* "1.11 to 6.13", for columns. */
static const char *ends_of(const struct ruler *u, const struct bt_spread *s)
{
    return bt_ends_text(arena(u), s->p05 * u->on.per_g_m2, s->p95 * u->on.per_g_m2,
                        BT_FIGURES);
}

/* "1.11 and 6.13", after "between". */
static const char *between(const struct ruler *u, const struct bt_spread *s)
{
    if (!*ends_of(u, s))
        return "";
    return bt_arena_format(arena(u), "%s and %s",
                           bt_figures_short(arena(u), s->p05 * u->on.per_g_m2, BT_FIGURES),
                           bt_figures_short(arena(u), s->p95 * u->on.per_g_m2, BT_FIGURES));
}

static const char *with_range(const struct ruler *u, const struct bt_spread *s)
{
    const char *ends = between(u, s);
    return *ends ? bt_arena_format(arena(u), "%s, 9 times in 10 between %s",
                                   amount(u, s->likely), ends)
                 : amount(u, s->likely);
}

/* ---- pictures ---- */

static void add_part(const struct ruler *u, struct bt_doc_segment *to, size_t *n,
                     const char *label, double g_m2)
{
    to[(*n)++] = (struct bt_doc_segment){label, amount(u, g_m2), g_m2 * u->on.per_g_m2};
}

/* The largest lines of a side, in their order, and the rest of them as one. */
static struct bt_doc_bar bar_of(const struct ruler *u, const struct bt_record_account *x,
                                enum bt_side side, const struct bt_spread *all)
{
    struct bt_doc_segment *part = bt_arena_zero(arena(u), (PARTS + 2) * sizeof *part);
    size_t n = 0;
    double rest_g_m2 = 0;
    for (size_t k = 0; k < x->n_lines; k++) {
        const double size = fabs(x->line[k].total.likely);
        size_t larger = 0;
        if (x->line[k].side != side)
            continue;
        for (size_t j = 0; j < x->n_lines; j++) {
            const double other = fabs(x->line[j].total.likely);
            larger +=
                x->line[j].side == side && (other > size || (j < k && !(other < size)));
        }
        if (larger < PARTS && size * u->on.per_g_m2 > LEAST_SHOWN * u->full)
            add_part(u, part, &n, x->line[k].label, x->line[k].total.likely);
        else
            rest_g_m2 += x->line[k].total.likely;
    }
    if (fabs(rest_g_m2) * u->on.per_g_m2 > LEAST_SHOWN * u->full)
        add_part(u, part, &n, "all others", rest_g_m2);
    return (struct bt_doc_bar){.label = side == BT_SUPPLY ? "To have" : "Needed",
                               .text = with_range(u, all),
                               .n_segments = n,
                               .segment = part,
                               .has_range = all->p95 > all->p05,
                               .low = all->p05 * u->on.per_g_m2,
                               .high = all->p95 * u->on.per_g_m2};
}

static void put_chart(const struct ruler *u, const struct bt_record_account *x)
{
    struct bt_arena *a = arena(u);
    struct bt_doc_bar *bar = bt_arena_zero(a, 2 * sizeof *bar);
    bar[0] = bar_of(u, x, BT_SUPPLY, &x->supply);
    bar[1] = bar_of(u, x, BT_DEMAND, &x->required);
    struct bt_doc_chart *chart = bt_arena_zero(a, sizeof *chart);
    chart->title =
        bt_arena_format(a, "%s of the season %s", bt_nutrient_title(BT_N), u->on.where);
    chart->description =
        bt_arena_format(a,
                        "Two bars, what there is to have over what is needed, in %s of "
                        "nitrogen. To have: %s. "
                        "Needed: %s. The line under a bar reaches over nine times in ten.",
                        u->on.unit, bar[0].text, bar[1].text);
    chart->unit = u->on.unit;
    chart->n_bars = 2;
    chart->bar = bar;
    bt_doc_chart(u->t->doc, chart);
}

static void put_legume(const struct ruler *u, const struct bt_record_legume *x)
{
    struct bt_arena *a = arena(u);
    const struct bt_spread *fate[] = {&x->out, &x->passed, &x->left};
    static const char *const label[] = {"out with the harvest", "passed on while growing",
                                        "left in residue and roots"};
    struct bt_doc_segment *part = bt_arena_zero(a, 3 * sizeof *part);
    for (int k = 0; k < 3; k++) {
        const bool from_nothing = k == 1 && x->from_nothing && fate[k]->p95 > 0;
        const char *text =
            from_nothing
                ? bt_arena_format(a, "%s, 19 times in 20 between nothing and %s",
                                  amount(u, fate[k]->likely), amount(u, fate[k]->p95))
                : with_range(u, fate[k]);
        part[k] = (struct bt_doc_segment){label[k], text, fate[k]->likely * u->on.per_g_m2};
    }
    struct bt_doc_bar *bar = bt_arena_zero(a, sizeof *bar);
    *bar = (struct bt_doc_bar){.label = "Fixed",
                               .text = with_range(u, &x->fixed),
                               .n_segments = 3,
                               .segment = part,
                               .has_range = x->fixed.p95 > x->fixed.p05,
                               .low = x->fixed.p05 * u->on.per_g_m2,
                               .high = x->fixed.p95 * u->on.per_g_m2};
    struct bt_doc_chart *chart = bt_arena_zero(a, sizeof *chart);
    chart->title = bt_arena_format(a, "Where the nitrogen goes that the %s fixes", x->name);
    chart->description = bt_arena_format(
        a,
        "One bar in three parts: %s of fixed nitrogen goes out with the harvest, %s passes "
        "to "
        "neighbours while growing, %s stays in residue and roots.",
        amount(u, x->out.likely), amount(u, x->passed.likely), amount(u, x->left.likely));
    chart->unit = u->on.unit;
    chart->n_bars = 1;
    chart->bar = bar;
    bt_doc_chart(u->t->doc, chart);
    const char *meets =
        x->met_frac > 0
            ? bt_arena_format(a, " and meets about %s of its neighbours' need this season",
                              bt_small_percent_text(a, x->met_frac))
            : "";
    bt_doc_paragraph(
        u->t->doc,
        bt_arena_format(a,
                        "The %s takes %s of its nitrogen from the air (9 times in 10 "
                        "between %s and %s)%s.",
                        x->name, bt_percent_text(a, x->share_fixed.likely),
                        bt_percent_text(a, x->share_fixed.p05),
                        bt_percent_text(a, x->share_fixed.p95), meets));
}

/* ---- figures ---- */

static void put_lines(const struct ruler *u, const struct bt_record_account *x)
{
    struct bt_arena *a = arena(u);
    const struct bt_doc_column columns[] = {
        {"Line",        "",                false  },
        {"Likely",      bt_arena_format(a, "%s %s", u->on.unit, u->nutrient), true},
        {"9 times in 10 between", u->on.unit,              true                    },
        {"Status",   "",   false}
    };
    struct bt_doc_table *t = bt_doc_table(
        u->t->doc, bt_arena_format(a, "%s, line by line", u->nutrient), 4, columns);
    for (int side = 0; side < 2; side++) {
        for (size_t k = 0; k < x->n_lines; k++) {
            const struct bt_record_line *line = &x->line[k];
            if (line->side != (side ? BT_DEMAND : BT_SUPPLY))
                continue;
            const double shown = line->total.likely * u->on.per_g_m2;
            const struct bt_doc_cell row[] = {
                bt_cell_text(line->label),
                bt_cell_number(bt_figures(a, shown, BT_FIGURES), shown),
                bt_cell_text(ends_of(u, &line->total)),
                bt_cell_text(line->planned ? "planned" : "")};
            bt_doc_row(u->t->doc, t, row);
        }
        const struct bt_spread *all = side ? &x->required : &x->supply;
        if (side && !x->known)
            continue;
        const double shown = all->likely * u->on.per_g_m2;
        const struct bt_doc_cell sum[] = {
            bt_cell_text(side ? "All that is needed" : "All there is to have"),
            bt_cell_number(bt_figures(a, shown, BT_FIGURES), shown),
            bt_cell_text(ends_of(u, all)), bt_cell_text("")};
        bt_doc_sum(u->t->doc, t, sum);
    }
}

static void put_chances(const struct ruler *u, const struct bt_record_account *x)
{
    struct bt_arena *a = arena(u);
    bt_doc_item(
        u->t->doc,
        bt_arena_format(a,
                        "Chance of a shortfall on some date: %s; of one that shows in "
                        "the crop (over a tenth of the need): %s. Leanest date: %s.",
                        bt_chance_text(a, x->chance_of_shortfall),
                        bt_chance_text(a, x->chance_of_visible_shortfall),
                        bt_date_words(a, x->tightest_date)));
    if (x->left_limit_g_m2 > 0)
        bt_doc_item(
            u->t->doc,
            bt_arena_format(a,
                            "Chance that more than %s is left at the end for rain to "
                            "wash out: %s.",
                            amount(u, x->left_limit_g_m2),
                            bt_chance_text(a, x->chance_left_over_limit)));
    bt_doc_item(u->t->doc,
                bt_arena_format(a,
                                "Balance at the season's end, middle of all draws: "
                                "%s, 9 times in 10 between %s.",
                                amount(u, x->balance.p50), between(u, &x->balance)));
}

static void put_beside(const struct ruler *u, const struct bt_record_account *x)
{
    static const char *const label[BT_BESIDES] = {
        [BT_REMOVAL] = "carried off by this season's harvests",
        [BT_LOAD_ADDED] = "added over the seasons on record",
        [BT_LOAD_REMOVED] = "carried off over the seasons on record",
        [BT_YEARS_BY_REMOVAL] = "seasons if harvests carry off as much as this season's",
        [BT_YEARS_BY_FALL] = "years if soil tests fall by as much as they usually do",
        [BT_YEARS_BY_DECLINE] = "years if soil tests fall by the usual percentage"};
    struct bt_arena *a = arena(u);
    for (int k = 0; k < BT_BESIDES; k++) {
        const struct bt_spread *s = &x->beside[k];
        if (!x->has[k])
            continue;
        if (k >= BT_YEARS_BY_REMOVAL)
            bt_doc_item(
                u->t->doc,
                bt_arena_format(a,
                                "%s above what is needed lasts about %s %s (9 times in 10 "
                                "between %s and %s)",
                                u->nutrient, bt_figures_short(a, s->p50, BT_FIGURES_FIRST),
                                label[k], bt_figures_short(a, s->p05, BT_FIGURES_FIRST),
                                bt_figures_short(a, s->p95, BT_FIGURES_FIRST)));
        else
            bt_doc_item(u->t->doc, bt_arena_format(a, "%s %s: %s", u->nutrient, label[k],
                                                   with_range(u, s)));
    }
}

/* "Phosphate is rated excessive, so nothing is needed. This season's additions give ..." */
static const char *mineral_text(const struct ruler *u, const char *title,
                                const struct bt_record_account *x)
{
    struct bt_arena *a = arena(u);
    const char *rated = x->rating ? bt_arena_format(a, "rated %s", x->rating)
                                  : "judged by the advice given";
    const char *needs =
        x->is_full ? ", so nothing is needed"
                   : bt_arena_format(a, ". Needed: %s",
                                     x->known ? with_range(u, &x->required) : "not known");
    const char *have = x->supply.likely > 0
                           ? bt_arena_format(a, "This season's additions give %s",
                                             with_range(u, &x->supply))
                           : "No addition of this season gives any";
    return bt_arena_format(a, "%s is %s%s. %s.", title, rated, needs, have);
}

static void put_minerals(const struct bt_desk_of *t, const struct bt_record_bed *b)
{
    struct bt_arena *a = t->record->kept;
    bt_doc_heading(t->doc, 3, bt_arena_format(a, "Phosphate and potash, %s", b->bed->id));
    for (int n = BT_P2O5; n <= BT_K2O; n++) {
        const struct bt_record_account *x = &b->account[n];
        const struct ruler u = {t, bt_on_bed(t->show, b->bed),
                                bt_nutrient_text((enum bt_nutrient)n), 0};
        const char *title = bt_nutrient_title((enum bt_nutrient)n);
        if (!x->there || (!x->known && !x->rating))
            bt_doc_item(
                t->doc,
                bt_arena_format(a, "%s: no test, so no need is stated and none is made up",
                                title));
        else
            bt_doc_item(t->doc, mineral_text(&u, title, x));
        if (x->there)
            put_beside(&u, x);
    }
}

static void put_texts(const struct bt_desk_of *t, const char *title,
                      const struct bt_texts *x)
{
    if (x->n == 0)
        return;
    bt_doc_heading(t->doc, 3, title);
    for (size_t k = 0; k < x->n; k++)
        bt_doc_item(t->doc, x->text[k]);
}

void bt_record_put_alerts(const struct bt_desk_of *t)
{
    struct bt_arena *a = t->record->kept;
    bool any = false;
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        for (size_t i = 0; i < b->alerts.n; i++) {
            if (!any)
                bt_doc_heading(t->doc, 2, bt_alert_title);
            any = true;
            bt_doc_item(t->doc, bt_arena_format(a, "%s: %s", bt_bed_title(a, b->bed),
                                                bt_text_shown(a, b->alerts.text[i])));
        }
    }
}

void bt_record_put_bed(const struct bt_desk_of *t, const struct bt_record_bed *b)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_record_account *x = &b->account[BT_N];
    struct ruler u = {t, bt_on_bed(t->show, b->bed), "N", 0};
    const double more =
        x->supply.likely > x->required.likely ? x->supply.likely : x->required.likely;
    u.full = more * u.on.per_g_m2;
    if (t->audience == BT_FOR_FILE)
        bt_doc_page(t->doc);
    bt_doc_heading(t->doc, 2, bt_bed_title(a, b->bed));
    bt_doc_paragraph(
        t->doc,
        bt_arena_format(
            a, "%s. Nitrogen: %s.%s", bt_area_text(t->show, b->bed->area_m2),
            bt_word_text(x->word),
            t->audience == BT_FOR_FILE ? bt_arena_format(a, " Next: %s.", b->action) : ""));
    put_chart(&u, x);
    put_chances(&u, x);
    put_lines(&u, x);
    for (size_t k = 0; k < b->n_legumes; k++)
        put_legume(&u, &b->legume[k]);
    put_minerals(t, b);
    put_texts(t, bt_arena_format(a, "What grows in %s", b->bed->id), &b->plantings);
    if (t->audience == BT_FOR_FILE) {
        put_texts(t, bt_arena_format(a, "Understood of %s", b->bed->id), &b->understood);
        put_texts(t, bt_arena_format(a, "Does %s look right?", b->bed->id), &b->checks);
        put_texts(t, bt_arena_format(a, "What to measure next in %s", b->bed->id),
                  &b->measure);
        put_texts(t, bt_arena_format(a, "What was assumed of %s", b->bed->id), &b->assumed);
        put_texts(t, bt_arena_format(a, "Where the doubt about %s comes from", b->bed->id),
                  &b->doubt);
    }
}
