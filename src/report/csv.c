/* CSV of a budget: one row a line of each bed. */
#include <math.h>

#include "report/answer.h"
#include "report/csv_put.h"
#include "report/made_with.h"

static void put_number(struct bt_out *o, double value)
{
    if (isfinite(value))
        bt_put(o, ",%.10g", value == 0 ? 0 : value);
    else
        bt_put(o, ",");
}

void bt_report_csv_begin(struct bt_out *o)
{
    bt_put(o, "bed,nutrient,side,id,label,likely,mean,p05,p50,p95,in_time,unit,run\r\n");
}

static void put_line(struct bt_out *o, const struct bt_show *w, const struct bt_finding *f,
                     const struct bt_account_finding *x, const struct bt_line_finding *line)
{
    bt_csv_put(o, w->arena, f->budget->bed->id);
    bt_put(o, ",%s,%s,", bt_nutrient_text(x->account->nutrient),
           line->line->side == BT_DEMAND ? "demand" : "supply");
    bt_csv_put(o, w->arena, line->line->id);
    bt_put(o, ",");
    bt_csv_put(o, w->arena, line->line->label);
    const struct bt_spread *s = &line->total;
    put_number(o, s->likely);
    put_number(o, s->mean);
    put_number(o, s->p05);
    put_number(o, s->p50);
    put_number(o, s->p95);
    put_number(o, s->likely * line->in_time_share);
    bt_put(o, ",g/m2,");
    bt_csv_put(o, w->arena, bt_made_with_text(w));
    bt_put(o, "\r\n");
}

void bt_report_csv_bed(struct bt_out *o, const struct bt_show *w,
                       const struct bt_finding *f)
{
    for (size_t k = 0; k < f->budget->n_accounts; k++)
        for (size_t i = 0; i < f->account[k].n_lines; i++)
            put_line(o, w, f, &f->account[k], &f->account[k].line[i]);
}
