/* CSV of a budget: one row a line of each bed. */
#include <csv.h>
#include <math.h>
#include <string.h>

#include "report/answer.h"
#include "report/made_with.h"

static void put_field(struct bt_out *o, const struct bt_show *w, const char *text)
{
    const size_t n = strlen(text);
    const size_t room = 2 * n + 2; /* every byte a quote, and two around */
    char *quoted = bt_arena_alloc(w->arena, room);
    bt_put_bytes(o, quoted, csv_write(quoted, room, text, n));
}

/* A spreadsheet runs a cell that begins with one of these as a formula; an apostrophe makes
 * it text. */
static void put_text(struct bt_out *o, const struct bt_show *w, const char *text)
{
    const char *shown = text ? text : "";
    if (*shown && strchr("=+-@\t\r", *shown))
        shown = bt_arena_format(w->arena, "'%s", shown);
    put_field(o, w, shown);
}

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
    put_text(o, w, f->budget->bed->id);
    bt_put(o, ",%s,%s,", bt_nutrient_text(x->account->nutrient),
           line->line->side == BT_DEMAND ? "demand" : "supply");
    put_text(o, w, line->line->id);
    bt_put(o, ",");
    put_text(o, w, line->line->label);
    const struct bt_spread *s = &line->total;
    put_number(o, s->likely);
    put_number(o, s->mean);
    put_number(o, s->p05);
    put_number(o, s->p50);
    put_number(o, s->p95);
    put_number(o, s->likely * line->in_time_share);
    bt_put(o, ",g/m2,");
    put_text(o, w, bt_made_with_text(w));
    bt_put(o, "\r\n");
}

void bt_report_csv_bed(struct bt_out *o, const struct bt_show *w,
                       const struct bt_finding *f)
{
    for (size_t k = 0; k < f->budget->n_accounts; k++)
        for (size_t i = 0; i < f->account[k].n_lines; i++)
            put_line(o, w, f, &f->account[k], &f->account[k].line[i]);
}
