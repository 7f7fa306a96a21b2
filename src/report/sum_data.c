/* Answers of single sums for other programs: JSON and CSV. */
#include <string.h>

#include "report/csv_put.h"
#include "report/json_put.h"
#include "report/made_with.h"
#include "report/sum.h"

static const char SCHEMA[] = "bedtally-sum-1";
static json_t *results(const struct bt_sum_answer *x)
{
    json_t *array = json_array();
    for (size_t i = 0; i < x->n_results; i++) {
        const struct bt_sum_result *r = &x->result[i];
        json_t *o = json_object();
        json_object_set_new(o, "name", bt_json_text(r->name));
        json_object_set_new(o, "value", bt_json_number(r->spread.likely / r->unit_factor));
        json_object_set_new(o, "unit", bt_json_text(r->unit));
        json_object_set_new(o, "p05", bt_json_number(r->spread.p05 / r->unit_factor));
        json_object_set_new(o, "p95", bt_json_number(r->spread.p95 / r->unit_factor));
        json_array_append_new(array, o);
    }
    return array;
}

void bt_report_sum_json(struct bt_out *o, const struct bt_show *w,
                        const struct bt_sum_answer *x)
{
    json_t *answer = json_object(), *given = json_object(), *notes = json_array();
    for (size_t i = 0; i < x->n_given; i++)
        json_object_set_new(given, x->given[i].name, bt_json_text(x->given[i].text));
    for (size_t i = 0; i < x->n_notes; i++)
        json_array_append_new(notes, bt_json_text(x->note[i]));
    json_object_set_new(answer, "schema", json_string(SCHEMA));
    bt_made_with_set(answer, w);
    json_object_set_new(answer, "sum", bt_json_text(x->sum->name));
    json_object_set_new(answer, "given", given);
    json_object_set_new(answer, "results", results(x));
    json_object_set_new(answer, "notes", notes);
    json_object_set_new(answer, "source", bt_json_text(x->source));
    bt_json_put(o, answer);
    bt_put(o, "\n");
}

void bt_report_sum_csv(struct bt_out *o, const struct bt_show *w,
                       const struct bt_sum_answer *x)
{
    bt_put(o, "sum,name,value,unit,p05,p95,run\r\n");
    for (size_t i = 0; i < x->n_results; i++) {
        const struct bt_sum_result *r = &x->result[i];
        bt_csv_put(o, w->arena, x->sum->name);
        bt_put(o, ",");
        bt_csv_put(o, w->arena, r->name);
        bt_put(o, ",%.10g,", r->spread.likely / r->unit_factor);
        bt_csv_put(o, w->arena, r->unit);
        bt_put(o, ",%.10g,%.10g,", r->spread.p05 / r->unit_factor,
               r->spread.p95 / r->unit_factor);
        bt_csv_put(o, w->arena, bt_made_with_text(w));
        bt_put(o, "\r\n");
    }
}
