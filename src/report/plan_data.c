/* What to add, for machines: JSON, and the plan file with the columns of applications. */
#include <csv.h>
#include <jansson.h>
#include <math.h>
#include <string.h>

#include "base/date.h"
#include "report/made_with.h"
#include "report/plan.h"

static const char SCHEMA[] = "bedtally-plan-1";
static const size_t DUMP = JSON_COMPACT | JSON_REAL_PRECISION(10) | JSON_ENCODE_ANY;

/* ---- values ---- */

static json_t *number(double value)
{
    return isfinite(value) ? json_real(value == 0 ? 0 : value) : json_null();
}

static json_t *text(const char *value)
{
    json_t *made = value ? json_string(value) : NULL;
    return made ? made : json_null();
}

static json_t *texts(size_t n, const char *const *value)
{
    json_t *array = json_array();
    for (size_t k = 0; k < n; k++)
        json_array_append_new(array, text(value[k]));
    return array;
}

static void set(json_t *o, const char *key, json_t *value)
{
    json_object_set_new(o, key, value);
}

static json_t *three(const struct bt_spread *s)
{
    json_t *o = json_object();
    set(o, "likely", number(s->likely));
    set(o, "p05", number(s->p05));
    set(o, "p95", number(s->p95));
    return o;
}

static void put_json(struct bt_out *o, json_t *value)
{
    char *dumped = json_dumps(value, DUMP);
    json_decref(value);
    if (!dumped) {
        o->failed = true;
        return;
    }
    bt_put_bytes(o, dumped, strlen(dumped));
    free(dumped);
}

/* ---- JSON ---- */

static json_t *addition(const struct bt_show *w, const struct bt_addition *x)
{
    json_t *o = json_object();
    set(o, "material", text(x->material->name));
    set(o, "date", text(bt_date_iso(w->arena, x->day)));
    set(o, "when", text(x->stage));
    set(o, "amount_kg", number(x->measured.mass_g / 1000));
    set(o, "measure", text(x->measured.text));
    set(o, "rates", text(x->rates));
    set(o, "rounding", number(x->measured.rounding_frac));
    set(o, "n_available", three(&x->n_available));
    set(o, "n_g_m2", number(x->n_g_m2));
    set(o, "n_next_season_g_m2", number(x->next_n_g_m2));
    set(o, "p2o5_g_m2", number(x->p2o5_g_m2));
    set(o, "k2o_g_m2", number(x->k2o_g_m2));
    set(o, "cost", number(x->cost));
    return o;
}

static json_t *plan(const struct bt_show *w, const struct bt_plan *p)
{
    json_t *o = json_object(), *additions = json_array();
    for (size_t i = 0; i < p->n_additions; i++)
        json_array_append_new(additions, addition(w, &p->addition[i]));
    set(o, "enough", number(p->enough));
    set(o, "feasible", json_boolean(p->feasible));
    set(o, "chance", number(p->chance));
    set(o, "chance_error", number(p->chance_error));
    set(o, "chance_season", number(p->chance_season));
    set(o, "additions", additions);
    set(o, "cost", p->n_unpriced > 0 ? json_null() : number(p->cost));
    set(o, "p2o5_g_m2", number(p->p2o5_g_m2));
    set(o, "k2o_g_m2", number(p->k2o_g_m2));
    set(o, "n_next_season_g_m2", number(p->next_n_g_m2));
    set(o, "surplus_g_m2", number(p->surplus_g_m2));
    set(o, "chance_surplus", number(p->chance_surplus));
    set(o, "chance_left_over_limit", number(p->chance_left_over_limit));
    set(o, "lacking", texts(p->n_lacking, p->lacking));
    set(o, "stopped_by", texts(p->n_stopped_by, p->stopped_by));
    return o;
}

static json_t *why_not(const struct bt_bed_plan *p)
{
    json_t *array = json_array();
    for (size_t i = 0; i < p->n_materials; i++) {
        if (!p->material[i].reason)
            continue;
        json_t *o = json_object();
        set(o, "material", text(p->material[i].material->name));
        set(o, "reason", text(p->material[i].reason));
        set(o, "p2o5_per_n", number(p->material[i].p2o5_per_n));
        set(o, "k2o_per_n", number(p->material[i].k2o_per_n));
        json_array_append_new(array, o);
    }
    return array;
}

static json_t *costs(const struct bt_bed_plan *p)
{
    json_t *o = json_object();
    for (size_t i = 0; i < p->n_materials; i++)
        set(o, p->material[i].material->name, number(p->material[i].cost_per_kg_n));
    return o;
}

static json_t *cautions(const struct bt_bed_plan *p)
{
    json_t *array = json_array();
    for (size_t i = 0; i < p->n_cautions; i++) {
        json_t *o = json_object();
        set(o, "rule", text(p->caution[i]->rule));
        set(o, "source", text(p->caution[i]->source));
        set(o, "seen", text(bt_seen_word(p->caution[i]->seen)));
        json_array_append_new(array, o);
    }
    return array;
}

void bt_report_plan_json_begin(struct bt_out *o, const struct bt_show *w,
                               const struct bt_garden *g)
{
    json_t *head = json_object();
    set(head, "schema", text(SCHEMA));
    bt_made_with_set(head, w);
    set(head, "garden", text(g->name));
    set(head, "season", json_integer(g->season));
    set(head, "enough", number(g->enough));
    set(head, "currency", text(g->currency));
    char *dumped = json_dumps(head, DUMP);
    json_decref(head);
    if (!dumped) {
        o->failed = true;
        return;
    }
    bt_put_bytes(o, dumped, strlen(dumped) - 1); /* left open for the beds */
    free(dumped);
    bt_put(o, ",\"beds\":[");
}

void bt_report_plan_json_bed(struct bt_out *o, const struct bt_show *w,
                             const struct bt_bed_plan *p, bool first)
{
    json_t *bed = p->n_plans > 0 ? plan(w, &p->plan[p->wished]) : json_object();
    json_t *levels = json_array();
    for (size_t i = 0; i < p->n_plans; i++)
        json_array_append_new(levels, plan(w, &p->plan[i]));
    if (p->n_plans == 0) {
        set(bed, "feasible", json_boolean(p->chance_without >= p->garden->enough));
        set(bed, "chance", number(p->chance_without));
        set(bed, "additions", json_array());
    }
    set(bed, "bed", text(p->bed->id));
    set(bed, "verdict", text(p->verdict));
    set(bed, "aside", text(p->aside));
    set(bed, "purpose", text(p->purpose));
    set(bed, "chance_without", number(p->chance_without));
    set(bed, "counts_from", text(bt_date_iso(w->arena, p->from)));
    set(bed, "chance_before", number(p->chance_before));
    set(bed, "too_late_before", json_boolean(p->too_late));
    set(bed, "chosen_by", text(p->by_cost ? "cost" : "least P2O5 and K2O beyond need"));
    set(bed, "levels", levels);
    set(bed, "why_not", why_not(p));
    set(bed, "cost_per_kg_available_n", costs(p));
    set(bed, "warnings", texts(p->n_warnings, p->warning));
    set(bed, "cautions", cautions(p));
    bt_put(o, first ? "\n" : ",\n");
    put_json(o, bed);
}

void bt_report_plan_json_end(struct bt_out *o, size_t n,
                             const struct bt_shopping_line *line)
{
    json_t *array = json_array();
    for (size_t i = 0; i < n; i++) {
        json_t *l = json_object();
        set(l, "material", text(line[i].material->name));
        set(l, "wanted_kg", number(line[i].wanted_g / 1000));
        set(l, "on_hand_kg", number(line[i].on_hand_g / 1000));
        set(l, "buy_kg", number(line[i].buy_g / 1000));
        set(l, "packages", line[i].packages > 0 ? number(line[i].packages) : json_null());
        set(l, "cost", number(line[i].cost));
        json_array_append_new(array, l);
    }
    bt_put(o, "\n],\"shopping\":");
    put_json(o, array);
    bt_put(o, "}\n");
}

/* ---- the plan file ---- */

static void put_cell(struct bt_out *o, const struct bt_show *w, const char *cell, bool last)
{
    if (*cell && strchr("=+-@\t\r", *cell)) /* a spreadsheet would run it */
        cell = bt_arena_format(w->arena, "'%s", cell);
    const size_t n = strlen(cell), room = 2 * n + 2;
    char *quoted = bt_arena_alloc(w->arena, room);
    bt_put_bytes(o, quoted, csv_write(quoted, room, cell, n));
    bt_put(o, last ? "\r\n" : ",");
}

void bt_report_plan_csv_begin(struct bt_out *o)
{
    bt_put(o, "date,beds,material,amount,placement,status,note,note_run\r\n");
}

static const char *placement_word(enum bt_placement p)
{
    return p == BT_SURFACE ? "surface" : p == BT_WATERED ? "watered" : "dug-in";
}

void bt_report_plan_csv_bed(struct bt_out *o, const struct bt_show *w,
                            const struct bt_bed_plan *p)
{
    if (p->n_plans == 0)
        return;
    const struct bt_plan *x = &p->plan[p->wished];
    for (size_t i = 0; i < x->n_additions; i++) {
        const struct bt_addition *a = &x->addition[i];
        put_cell(o, w, bt_date_iso(w->arena, a->day), false);
        put_cell(o, w, p->bed->id, false);
        put_cell(o, w, a->material->name, false);
        put_cell(o, w, a->measured.amount, false);
        put_cell(o, w, placement_word(a->material->placement), false);
        put_cell(o, w, "planned", false);
        put_cell(o, w, bt_arena_format(w->arena, "%s, %s", a->measured.text, a->stage),
                 false);
        put_cell(o, w, bt_made_with_text(w), true);
    }
}
