/* For a Saturday: jobs by date and bed with boxes to tick, blank sheets whose columns the
 * program reads back, the garden's measures, the beds that get no compost. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "base/text.h"
#include "plan/round.h"
#include "report/answer.h"
#include "report/page.h"
#include "report/record.h"

enum { BLANK_ROWS = 12 };

struct job {
    int day;
    size_t bed, order;
    const char *text;
};

struct jobs {
    struct bt_arena *arena;
    size_t n, capacity;
    struct job *job;
    size_t n_candidates; /* materials, for measuring out */
    const struct bt_candidate *candidate;
};

static void add(struct jobs *j, int day, size_t bed, const char *text)
{
    j->job = bt_arena_grow(j->arena, j->job, &j->capacity, j->n, sizeof *j->job);
    j->job[j->n] = (struct job){day, bed, j->n, text};
    j->n++;
}

static int earlier(const void *x, const void *y)
{
    const struct job *a = x, *b = y;
    if (a->day != b->day)
        return a->day < b->day ? -1 : 1;
    if (a->bed != b->bed)
        return a->bed < b->bed ? -1 : 1;
    return a->order < b->order ? -1 : a->order > b->order;
}

static const char *where(const struct bt_application *x)
{
    static const char *const text[] = {
        [BT_PLACE_UNKNOWN] = "",          [BT_DUG_IN] = ", dig it in",
        [BT_SURFACE] = ", lay it on top", [BT_HOLE] = ", into the planting holes",
        [BT_MOUND] = ", into the mounds", [BT_WATERED] = ", water it in",
        [BT_FILLING] = ", fill the bed"};
    return text[x->placement];
}

static const struct bt_candidate *candidate_of(const struct jobs *j,
                                               const struct bt_application *x)
{
    for (size_t k = 0; k < j->n_candidates; k++)
        if (bt_text_is(j->candidate[k].name, bt_deed_name(x)))
            return &j->candidate[k];
    return NULL;
}

/* What lies on one bed, in measures: "1 1/4 cups (about 6.6 oz)"; NULL when its weight is
 * not known. */
static const char *measured(const struct bt_desk_of *t, const struct jobs *j,
                            const struct bt_application *x, size_t bed)
{
    const struct bt_candidate *c = candidate_of(j, x);
    const struct bt_record *r = t->record;
    const struct bt_rounding how = {r->garden, r->handbook, t->show->us_units};
    for (size_t k = 0; k < r->n_shares; k++) {
        const struct bt_record_share *s = &r->share[k];
        if (s->bed != bed || s->at.line != x->at.line || s->part != x->part ||
            !bt_text_is(s->at.file, x->at.file) || !(s->fresh_g > 0))
            continue;
        const char *text = c ? bt_measure_out(j->arena, &how, c, s->fresh_g, HUGE_VAL).text
                             : bt_garden_mass_text(t->show, s->fresh_g, BT_FIGURES_FIRST);
        return bt_arena_format(j->arena, "%s%s", text,
                               bt_all_pots(j->arena, &r->garden->bed[bed]));
    }
    return NULL;
}

/* One job a bed. An amount that was typed in a measure stays as it was typed. */
static void add_application(const struct bt_desk_of *t, struct jobs *j,
                            const struct bt_application *x)
{
    struct bt_arena *a = j->arena;
    for (size_t k = 0; k < x->n_beds; k++) {
        const char *amount = measured(t, j, x, x->bed[k]);
        if (!amount)
            amount = x->n_beds == 1
                         ? x->amount.cell.text
                         : bt_arena_format(a, "the bed's share of %s", x->amount.cell.text);
        else if (x->n_beds == 1 && x->measure_working)
            amount = x->amount.cell.text;
        else if (x->n_beds == 1 && !strstr(amount, x->amount.cell.text))
            amount = bt_arena_format(a, "%s, or %s,", x->amount.cell.text, amount);
        add(j, x->date.day, x->bed[k],
            bt_arena_format(a, "Bed %s: put on %s of %s%s%s",
                            t->record->garden->bed[x->bed[k]].id, amount,
                            bt_text_shown(a, x->written), where(x),
                            x->is_advice ? " (from the plan)" : ""));
    }
}

static void add_planting(const struct bt_desk_of *t, struct jobs *j,
                         const struct bt_planting *p)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = j->arena;
    const char *crop = bt_text_shown(a, p->written);
    const char *plants = p->plants.cell.text ? p->plants.cell.text : "";
    const bool is_count = *plants && !plants[strspn(plants, "0123456789")];
    if (p->in_ground.known && p->in_ground.day > g->as_of &&
        p->in_ground.day <= g->season_end)
        add(j, p->in_ground.day, p->bed_index,
            bt_arena_format(a, "Bed %s: sow or plant %s%s%s%s", p->bed->id, crop,
                            *plants ? ", " : "", plants, is_count ? " plants" : ""));
    if (p->ended.known && p->ended.day > g->as_of && p->ended.day <= g->season_end)
        add(j, p->ended.day, p->bed_index,
            bt_arena_format(a, "Bed %s: clear %s%s", p->bed->id, crop,
                            p->picked & BT_PICKED_NOTHING ? "" : "; weigh what is picked"));
}

static void collect(const struct bt_desk_of *t, struct jobs *j)
{
    const struct bt_garden *g = t->record->garden;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        if ((x->status != BT_DONE || x->is_advice) && bt_deed_in_season(g, x))
            add_application(t, j, x);
    }
    for (size_t i = 0; i < g->n_plantings; i++)
        add_planting(t, j, &g->planting[i]);
}

static void put_jobs(const struct bt_desk_of *t, const struct jobs *of)
{
    struct bt_arena *a = t->record->kept;
    struct jobs j = *of;
    collect(t, &j);
    if (j.n)
        qsort(j.job, j.n, sizeof *j.job, earlier);
    bt_doc_heading(t->doc, 2, "Jobs by date");
    if (j.n == 0)
        bt_doc_paragraph(t->doc, "No job is planned in the garden's files.");
    for (size_t k = 0; k < j.n; k++) {
        if (k == 0 || j.job[k].day != j.job[k - 1].day)
            bt_doc_heading(t->doc, 3, bt_date_words(a, j.job[k].day));
        bt_doc_tick(t->doc, j.job[k].text);
    }
}

/* An empty table with the columns of a garden file. */
static void put_sheet(const struct bt_desk_of *t, const char *title, const char *file)
{
    const char *const *name = NULL;
    struct bt_arena *a = t->record->kept;
    const size_t n = bt_garden_columns(file, &name);
    struct bt_doc_column *column = bt_arena_zero(a, n * sizeof *column);
    struct bt_doc_cell *row = bt_arena_zero(a, n * sizeof *row);
    for (size_t k = 0; k < n; k++) {
        column[k] = (struct bt_doc_column){name[k], "", false};
        row[k] = bt_cell_blank();
    }
    bt_doc_page(t->doc);
    bt_doc_heading(t->doc, 2, title);
    bt_doc_paragraph(t->doc,
                     bt_arena_format(a,
                                     "The columns are those of %s.csv, so that this sheet "
                                     "can be typed in as it stands. Write each amount with "
                                     "its unit (%s) and each date with the year.",
                                     file,
                                     t->show->us_units ? "3 buckets, 2 lb, 6 oz"
                                                       : "3 buckets, 2 kg, 200 g"));
    struct bt_doc_table *table = bt_doc_table(t->doc, "", n, column);
    table->for_writing = true;
    for (int k = 0; k < BLANK_ROWS; k++)
        bt_doc_row(t->doc, table, row);
}

/* "town compost 26 lb, barn straw 3 lb": what a measure of each weighs. */
static const char *weights(const struct bt_desk_of *t, const struct jobs *j, double m3)
{
    struct bt_arena *a = t->record->kept;
    const char *text = "";
    for (size_t k = 0; m3 > 0 && k < j->n_candidates; k++) {
        const struct bt_candidate *c = &j->candidate[k];
        if (isfinite(c->density_g_m3))
            text = bt_arena_format(
                a, "%s%s%s %s", text, *text ? "; " : "", bt_text_shown(a, c->name),
                bt_garden_mass_text(t->show, c->density_g_m3 * m3, BT_FIGURES_FIRST));
    }
    return text;
}

static void put_measures(const struct bt_desk_of *t, const struct jobs *j)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    if (g->n_measures == 0)
        return;
    const char *unit = t->show->us_units ? "gal" : "L";
    const double per_m3 = bt_units_factor_to(t->show->units, a, unit);
    bt_doc_heading(t->doc, 2, "Our measures");
    const struct bt_doc_column columns[] = {
        {"Measure",          "", false},
        {"Holds",            "", false},
        {"One weighs about", "", false}
    };
    struct bt_doc_table *table = bt_doc_table(t->doc, "", 3, columns);
    for (size_t k = 0; k < g->n_measures; k++) {
        const struct bt_measure *m = &g->measure[k];
        const char *holds = bt_garden_mass_text(t->show, m->mass_g, BT_FIGURES_FIRST);
        if (m->volume_m3 > 0)
            holds = bt_arena_format(
                a, "%s %s", bt_figures_short(a, m->volume_m3 * per_m3, BT_FIGURES_FIRST),
                unit);
        const bool adds = m->working && *m->working && !strstr(m->working, holds);
        const struct bt_doc_cell row[] = {
            bt_cell_text(m->name),
            bt_cell_text(bt_arena_format(a, "%s%s", holds, adds ? m->working : "")),
            bt_cell_text(weights(t, j, m->volume_m3))};
        bt_doc_row(t->doc, table, row);
    }
}

static void put_no_compost(const struct bt_desk_of *t)
{
    struct bt_arena *a = t->record->kept;
    bool any = false;
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        const bool full = b->account[BT_P2O5].there && b->account[BT_P2O5].is_full;
        const bool enough = b->account[BT_N].word == BT_MORE_THAN_ENOUGH;
        if (!full && !enough)
            continue;
        if (!any)
            bt_doc_heading(t->doc, 2, "No compost on these beds");
        any = true;
        bt_doc_item(t->doc,
                    bt_arena_format(a, "%s: %s", bt_bed_title(a, b->bed),
                                    full && enough ? "phosphate is full and there is more "
                                                     "than enough nitrogen"
                                    : full         ? "phosphate is full"
                                                   : "more than enough nitrogen already"));
    }
}

void bt_record_volunteers(const struct bt_desk_of *t)
{
    struct bt_arena *a = t->record->kept;
    struct bt_candidate *candidate;
    struct jobs j = {.arena = a};
    j.n_candidates =
        bt_candidates(a, t->record->handbook, t->record->garden, false, &candidate);
    j.candidate = candidate;
    bt_doc_heading(t->doc, 1, t->doc->title);
    bt_record_put_alerts(t);
    put_jobs(t, &j);
    put_no_compost(t);
    put_measures(t, &j);
    put_sheet(t, "What we picked", "harvests");
    put_sheet(t, "What we put on", "applications");
}
