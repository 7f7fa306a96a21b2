/* The legumes as JSON and CSV. The keys are a promise: docs/legumes.md and the schema's
 * number change with them. */
#include <math.h>
#include <string.h>

#include "report/answer.h"
#include "report/csv_put.h"
#include "report/json_put.h"
#include "report/legumes.h"
#include "report/made_with.h"
#include "report/verdict.h"

static const char SCHEMA[] = "bedtally-legumes-1";

/* "passed_on": the key of a quantity in JSON and CSV. */
static const char *legume_key(enum bt_legume_quantity q)
{
    static const char *const key[] = {[BT_LEGUME_PLANT_N] = "plant_n",
                                      [BT_LEGUME_SHARE_FIXED] = "share_fixed",
                                      [BT_LEGUME_FIXED] = "fixed",
                                      [BT_LEGUME_OUT] = "out_with_harvest",
                                      [BT_LEGUME_PASSED_ON] = "passed_on",
                                      [BT_LEGUME_LEFT] = "left_in_residue",
                                      [BT_LEGUME_OUT_SHARE] = "out_with_harvest_share",
                                      [BT_LEGUME_PASSED_SHARE] = "passed_on_share",
                                      [BT_LEGUME_LEFT_SHARE] = "left_in_residue_share",
                                      [BT_LEGUME_DRAW] = "draw",
                                      [BT_LEGUME_MET] = "neighbours_need_met",
                                      [BT_LEGUME_SPARED] = "spared",
                                      [BT_LEGUME_NON_FIXER] = "substitution_non_fixer",
                                      [BT_LEGUME_NET] = "fixed_less_harvested",
                                      [BT_LEGUME_NET_CLEARED] = "fixed_less_taken_off",
                                      [BT_LEGUME_RESIDUE_NOW] = "residue_this_season",
                                      [BT_LEGUME_NEXT_SEASON] = "residue_next_season",
                                      [BT_LEGUME_LATER] = "residue_later"};
    return key[q];
}

static const char *changed_key(enum bt_changed q)
{
    static const char *const key[] = {[BT_CHANGED_FIXED] = "fixed",
                                      [BT_CHANGED_PASSED_ON] = "passed_on",
                                      [BT_CHANGED_LATER] = "residue_later",
                                      [BT_CHANGED_NET] = "fixed_less_harvested",
                                      [BT_CHANGED_REQUIRED] = "required"};
    return key[q];
}

static const char *const part_key[BT_PARTS] = {"a_tenth", "half", "all"};

static json_t *node_spread(const struct bt_budget *b, struct bt_node n,
                           const struct bt_spread *s)
{
    json_t *o = json_object();
    json_object_set_new(o, "label", bt_json_text(bt_sheet_node(b->sheet, n)->label));
    bt_json_set_spread(o, s, 1);
    return o;
}

static json_t *chances(const double *chance)
{
    json_t *o = json_object();
    for (int p = 0; p < BT_PARTS; p++)
        json_object_set_new(o, part_key[p], bt_json_number(chance[p]));
    return o;
}

/* ---- a legume ---- */

static json_t *neighbours(const struct bt_show *w, const struct bt_budget *b,
                          const struct bt_legume_finding *f)
{
    json_t *list = json_array();
    for (size_t k = 0; k < f->facts->n_neighbours; k++) {
        const struct bt_neighbour_finding *x = &f->neighbour[k];
        json_t *o = json_object();
        json_object_set_new(
            o, "crop", bt_json_text(bt_planting_subject(w->arena, x->facts->planting)));
        json_object_set_new(o, "whole_need",
                            node_spread(b, x->facts->whole_need, &x->whole_need));
        json_object_set_new(o, "met", node_spread(b, x->facts->met, &x->met));
        json_object_set_new(o, "met_share",
                            node_spread(b, x->facts->met_share, &x->met_share));
        json_object_set_new(o, "chance_met", chances(x->chance));
        json_array_append_new(list, o);
    }
    return list;
}

static json_t *stands(const struct bt_legume_finding *f)
{
    json_t *list = json_array();
    for (size_t k = 0; k < f->n_stands; k++) {
        const struct bt_stand_finding *s = &f->stand[k];
        json_t *o = json_object();
        const double none = (double)NAN;
        json_object_set_new(o, "part", bt_json_number(s->part_frac));
        json_object_set_new(o, "how", json_string(s->in_place ? "in place" : "added"));
        json_object_set_new(o, "stand", bt_json_number(s->exists ? s->stand : none));
        json_object_set_new(o, "times", bt_json_number(s->exists ? s->times : none));
        json_object_set_new(o, "p05", bt_json_number(s->low));
        json_object_set_new(o, "p95", bt_json_number(s->high));
        json_object_set_new(o, "chance_none", bt_json_number(s->chance_none));
        json_array_append_new(list, o);
    }
    return list;
}

static json_t *changes(const struct bt_legume_finding *f)
{
    json_t *list = json_array();
    for (size_t k = 0; k < f->n_changes; k++) {
        const struct bt_change_finding *c = &f->change[k];
        json_t *o = json_object();
        json_object_set_new(o, "if", bt_json_text(c->change.name));
        for (int q = 0; q < BT_CHANGEDS; q++)
            json_object_set_new(o, changed_key((enum bt_changed)q),
                                c->has[q] ? bt_json_spread(&c->difference[q], 1)
                                          : json_null());
        json_array_append_new(list, o);
    }
    return list;
}

static json_t *transfer(const struct bt_legume_finding *f)
{
    json_t *o = json_object();
    json_object_set_new(o, "low", bt_json_number(f->transfer->range.low));
    json_object_set_new(o, "likely", bt_json_number(f->transfer->range.likely));
    json_object_set_new(o, "high", bt_json_number(f->transfer->range.high));
    json_object_set_new(o, "source", bt_json_text(f->transfer->source));
    json_object_set_new(o, "seen", json_string(bt_seen_word(f->transfer->seen)));
    json_object_set_new(o, "own", json_boolean(f->transfer_is_own));
    return o;
}

static json_t *legume(const struct bt_show *w, const struct bt_budget *b,
                      const struct bt_legume_finding *f)
{
    json_t *o = json_object();
    json_object_set_new(o, "crop",
                        bt_json_text(bt_planting_subject(w->arena, f->facts->planting)));
    json_object_set_new(o, "stand", bt_json_number(f->facts->density));
    json_object_set_new(o, "plants", f->count > 0 ? bt_json_number(f->count) : json_null());
    for (int q = 0; q < BT_LEGUME_QUANTITIES; q++)
        json_object_set_new(o, legume_key((enum bt_legume_quantity)q),
                            f->facts->has[q]
                                ? node_spread(b, f->facts->node[q], &f->spread[q])
                                : json_null());
    json_object_set_new(o, "neighbours", neighbours(w, b, f));
    if (f->facts->n_neighbours > 0)
        json_object_set_new(o, "chance_met", chances(f->chance));
    if (f->transfer)
        json_object_set_new(o, "transfer", transfer(f));
    json_object_set_new(o, "how_many", stands(f));
    json_object_set_new(o, "changes", changes(f));
    return o;
}

/* ---- the document ---- */

void bt_report_legumes_json_begin(struct bt_out *o, const struct bt_show *w,
                                  const struct bt_garden *g)
{
    json_t *head = json_object();
    json_object_set_new(head, "schema", json_string(SCHEMA));
    bt_made_with_set(head, w);
    json_object_set_new(head, "garden", bt_json_text(g->name));
    json_object_set_new(head, "season", json_integer(g->season));
    bt_json_put_head(o, head);
}

static json_t *carried(const struct bt_finding *f)
{
    json_t *list = json_array();
    const struct bt_account_finding *x = bt_account_of(f, BT_N);
    for (size_t k = 0; x && k < x->n_lines; k++) {
        const struct bt_line *line = x->line[k].line;
        if (!bt_is_carried(f->budget->garden, line))
            continue;
        json_t *o = json_object();
        json_object_set_new(o, "from", bt_json_text(line->origin));
        json_object_set_new(o, "line", bt_json_text(line->id));
        json_object_set_new(o, "label", bt_json_text(line->label));
        bt_json_set_spread(o, &x->line[k].total, 1);
        json_array_append_new(list, o);
    }
    return list;
}

static json_t *verdict(const struct bt_show *w, const struct bt_finding *f)
{
    struct bt_verdict *v = bt_verdict_new(w->arena);
    bt_verdict_add(v, f);
    char **sentence;
    const size_t n = bt_verdict_sentences(v, w, &sentence);
    json_t *list = json_array();
    for (size_t k = 0; k < n; k++) {
        json_t *o = json_object();
        json_object_set_new(o, "word", bt_json_text(bt_verdict_word(v, k)));
        json_object_set_new(o, "sentence", bt_json_text(sentence[k]));
        json_array_append_new(list, o);
    }
    return list;
}

void bt_report_legumes_json_bed(struct bt_out *o, const struct bt_show *w,
                                const struct bt_legumes_page *p, bool first)
{
    const struct bt_budget *b = p->finding->budget;
    json_t *bed = json_object();
    json_object_set_new(bed, "bed", bt_json_text(b->bed->id));
    json_object_set_new(bed, "area_m2", bt_json_number(b->bed->area_m2));
    json_object_set_new(bed, "verdict", verdict(w, p->finding));
    json_t *list = json_array();
    for (size_t i = 0; i < p->legumes->n; i++)
        json_array_append_new(list, legume(w, b, &p->legumes->legume[i]));
    json_object_set_new(bed, "legumes", list);
    json_object_set_new(bed, "carried_over", carried(p->finding));
    bt_put(o, first ? "\n" : ",\n");
    bt_json_put(o, bed);
}

void bt_report_legumes_json_end(struct bt_out *o)
{
    bt_put(o, "\n]}\n");
}

/* ---- CSV ---- */

static void put_field(struct bt_out *o, const struct bt_show *w, const char *value)
{
    bt_csv_put(o, w->arena, value);
    bt_put(o, ",");
}

static void put_spread(struct bt_out *o, const struct bt_spread *s, const char *unit,
                       const char *run)
{
    const double x[] = {s->likely, s->mean, s->p05, s->p50, s->p95};
    for (size_t k = 0; k < sizeof x / sizeof *x; k++)
        if (isfinite(x[k]))
            bt_put(o, "%.10g,", x[k] == 0 ? 0 : x[k]);
        else
            bt_put(o, ",");
    bt_put(o, "%s,%s\r\n", unit, run);
}

void bt_report_legumes_csv_begin(struct bt_out *o)
{
    bt_put(o, "bed,legume,quantity,of,likely,mean,p05,p50,p95,unit,run\r\n");
}

static void put_begin(struct bt_out *o, const struct bt_show *w, const struct bt_budget *b,
                      const struct bt_legume_finding *f, const char *quantity,
                      const char *of)
{
    put_field(o, w, b->bed->id);
    put_field(o, w, bt_planting_subject(w->arena, f->facts->planting));
    put_field(o, w, quantity);
    put_field(o, w, of);
}

static void csv_legume(struct bt_out *o, const struct bt_show *w, const struct bt_budget *b,
                       const struct bt_legume_finding *f)
{
    const char *run = bt_arena_format(w->arena, "\"%s\"", bt_made_with_text(w));
    for (int q = 0; q < BT_LEGUME_QUANTITIES; q++) {
        if (!f->facts->has[q])
            continue;
        const struct bt_dim dim = bt_sheet_node(b->sheet, f->facts->node[q])->dim;
        put_begin(o, w, b, f, legume_key((enum bt_legume_quantity)q), "");
        put_spread(o, &f->spread[q], bt_dim_same(dim, BT_FRACTION) ? "" : "g/m2", run);
    }
    for (size_t k = 0; k < f->facts->n_neighbours; k++) {
        put_begin(o, w, b, f, "need_met_share",
                  bt_planting_subject(w->arena, f->facts->neighbour[k].planting));
        put_spread(o, &f->neighbour[k].met_share, "", run);
    }
    for (size_t k = 0; k < f->n_changes; k++)
        for (int q = 0; q < BT_CHANGEDS; q++) {
            if (!f->change[k].has[q])
                continue;
            put_begin(
                o, w, b, f,
                bt_arena_format(w->arena, "change of %s", changed_key((enum bt_changed)q)),
                f->change[k].change.name);
            put_spread(o, &f->change[k].difference[q], "g/m2", run);
        }
}

void bt_report_legumes_csv_bed(struct bt_out *o, const struct bt_show *w,
                               const struct bt_legumes_page *p)
{
    for (size_t i = 0; i < p->legumes->n; i++)
        csv_legume(o, w, p->finding->budget, &p->legumes->legume[i]);
}
