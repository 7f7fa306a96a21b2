/* What to add, for machines: JSON, and the plan file with the columns of applications. */

#include "base/date.h"
#include "report/csv_put.h"
#include "report/json_put.h"
#include "report/made_with.h"
#include "report/plan.h"

static const char SCHEMA[] = "bedtally-plan-1";
static void set(json_t *o, const char *key, json_t *value)
{
    json_object_set_new(o, key, value);
}

static json_t *three(const struct bt_spread *s)
{
    json_t *o = json_object();
    set(o, "likely", bt_json_number(s->likely));
    set(o, "p05", bt_json_number(s->p05));
    set(o, "p95", bt_json_number(s->p95));
    return o;
}

/* ---- JSON ---- */

static json_t *addition(const struct bt_show *w, const struct bt_addition *x)
{
    json_t *o = json_object();
    set(o, "material", bt_json_text(x->material->name));
    set(o, "date", bt_json_text(bt_date_iso(w->arena, x->day)));
    set(o, "when", bt_json_text(x->stage));
    set(o, "amount_kg", bt_json_number(x->measured.mass_g / 1000));
    set(o, "measure", bt_json_text(x->measured.text));
    set(o, "rates", bt_json_text(x->rates));
    set(o, "rounding", bt_json_number(x->measured.rounding_frac));
    set(o, "n_available", three(&x->n_available));
    set(o, "n_g_m2", bt_json_number(x->n_g_m2));
    set(o, "n_next_season_g_m2", bt_json_number(x->next_n_g_m2));
    set(o, "p2o5_g_m2", bt_json_number(x->p2o5_g_m2));
    set(o, "k2o_g_m2", bt_json_number(x->k2o_g_m2));
    set(o, "cost", bt_json_number(x->cost));
    return o;
}

static json_t *plan(const struct bt_show *w, const struct bt_plan *p)
{
    json_t *o = json_object(), *additions = json_array();
    for (size_t i = 0; i < p->n_additions; i++)
        json_array_append_new(additions, addition(w, &p->addition[i]));
    set(o, "enough", bt_json_number(p->enough));
    set(o, "feasible", json_boolean(p->feasible));
    set(o, "chance", bt_json_number(p->chance));
    set(o, "chance_error", bt_json_number(p->chance_error));
    set(o, "chance_season", bt_json_number(p->chance_season));
    set(o, "additions", additions);
    set(o, "cost", p->n_unpriced > 0 ? json_null() : bt_json_number(p->cost));
    set(o, "p2o5_g_m2", bt_json_number(p->p2o5_g_m2));
    set(o, "k2o_g_m2", bt_json_number(p->k2o_g_m2));
    set(o, "n_next_season_g_m2", bt_json_number(p->next_n_g_m2));
    set(o, "surplus_g_m2", bt_json_number(p->surplus_g_m2));
    set(o, "chance_surplus", bt_json_number(p->chance_surplus));
    set(o, "chance_left_over_limit", bt_json_number(p->chance_left_over_limit));
    set(o, "lacking", bt_json_texts(p->n_lacking, p->lacking));
    set(o, "stopped_by", bt_json_texts(p->n_stopped_by, p->stopped_by));
    return o;
}

static json_t *why_not(const struct bt_bed_plan *p)
{
    json_t *array = json_array();
    for (size_t i = 0; i < p->n_materials; i++) {
        if (!p->material[i].reason)
            continue;
        json_t *o = json_object();
        set(o, "material", bt_json_text(p->material[i].material->name));
        set(o, "reason", bt_json_text(p->material[i].reason));
        set(o, "p2o5_per_n", bt_json_number(p->material[i].p2o5_per_n));
        set(o, "k2o_per_n", bt_json_number(p->material[i].k2o_per_n));
        json_array_append_new(array, o);
    }
    return array;
}

static json_t *costs(const struct bt_bed_plan *p)
{
    json_t *o = json_object();
    for (size_t i = 0; i < p->n_materials; i++)
        set(o, p->material[i].material->name, bt_json_number(p->material[i].cost_per_kg_n));
    return o;
}

static json_t *cautions(const struct bt_bed_plan *p)
{
    json_t *array = json_array();
    for (size_t i = 0; i < p->n_cautions; i++) {
        json_t *o = json_object();
        set(o, "rule", bt_json_text(p->caution[i]->rule));
        set(o, "source", bt_json_text(p->caution[i]->source));
        set(o, "seen", bt_json_text(bt_seen_word(p->caution[i]->seen)));
        json_array_append_new(array, o);
    }
    return array;
}

void bt_report_plan_json_begin(struct bt_out *o, const struct bt_show *w,
                               const struct bt_garden *g)
{
    json_t *head = json_object();
    set(head, "schema", bt_json_text(SCHEMA));
    bt_made_with_set(head, w);
    set(head, "garden", bt_json_text(g->name));
    set(head, "season", json_integer(g->season));
    set(head, "enough", bt_json_number(g->enough));
    set(head, "currency", bt_json_text(g->currency));
    bt_json_put_head(o, head);
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
        set(bed, "chance", bt_json_number(p->chance_without));
        set(bed, "additions", json_array());
    }
    set(bed, "bed", bt_json_text(p->bed->id));
    set(bed, "verdict", bt_json_text(p->verdict));
    set(bed, "aside", bt_json_text(p->aside));
    set(bed, "purpose", bt_json_text(p->purpose));
    set(bed, "chance_without", bt_json_number(p->chance_without));
    set(bed, "counts_from", bt_json_text(bt_date_iso(w->arena, p->from)));
    set(bed, "chance_before", bt_json_number(p->chance_before));
    set(bed, "too_late_before", json_boolean(p->too_late));
    set(bed, "chosen_by",
        bt_json_text(p->by_cost ? "cost" : "least P2O5 and K2O beyond need"));
    set(bed, "levels", levels);
    set(bed, "why_not", why_not(p));
    set(bed, "cost_per_kg_available_n", costs(p));
    set(bed, "warnings", bt_json_texts(p->n_warnings, p->warning));
    set(bed, "cautions", cautions(p));
    bt_put(o, first ? "\n" : ",\n");
    bt_json_put(o, bed);
}

void bt_report_plan_json_end(struct bt_out *o, size_t n,
                             const struct bt_shopping_line *line)
{
    json_t *array = json_array();
    for (size_t i = 0; i < n; i++) {
        json_t *l = json_object();
        set(l, "material", bt_json_text(line[i].material->name));
        set(l, "wanted_kg", bt_json_number(line[i].wanted_g / 1000));
        set(l, "on_hand_kg", bt_json_number(line[i].on_hand_g / 1000));
        set(l, "buy_kg", bt_json_number(line[i].buy_g / 1000));
        set(l, "packages",
            line[i].packages > 0 ? bt_json_number(line[i].packages) : json_null());
        set(l, "cost", bt_json_number(line[i].cost));
        json_array_append_new(array, l);
    }
    bt_put(o, "\n],\"shopping\":");
    bt_json_put(o, array);
    bt_put(o, "}\n");
}

/* ---- the plan file ---- */

static void put_cell(struct bt_out *o, const struct bt_show *w, const char *cell, bool last)
{
    bt_csv_put(o, w->arena, cell);
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
        put_cell(o, w, placement_word(a->placement), false);
        put_cell(o, w, "planned", false);
        put_cell(o, w, bt_arena_format(w->arena, "%s, %s", a->measured.text, a->stage),
                 false);
        put_cell(o, w, bt_made_with_text(w), true);
    }
}
