/* JSON of a budget, one object a bed, so that memory does not grow with beds. The keys are
 * a promise: docs/reading.md and the schema's number change with them. */
#include <inttypes.h>
#include <jansson.h>
#include <math.h>

#include "base/date.h"
#include "base/text.h"
#include "report/answer.h"
#include "report/doubt.h"
#include "report/fertility.h"
#include "report/field.h"
#include "report/handbook.h"
#include "report/made_with.h"

static const char SCHEMA[] = "bedtally-budget-1";

/* Ten figures: more would print the last bit of the machine's own exp and log. */
static const size_t DUMP = JSON_COMPACT | JSON_REAL_PRECISION(10) | JSON_ENCODE_ANY;

/* ---- values ---- */

static json_t *number(double value)
{
    return isfinite(value) ? json_real(value == 0 ? 0 : value) : json_null();
}

/* Null for no text; also for bytes that are no UTF-8, which the reader of cells does not
 * let in. */
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

static json_t *date(const struct bt_show *w, int day)
{
    return json_string(bt_date_iso(w->arena, day));
}

/* likely, mean, p05, p50, p95, times `factor`. */
static json_t *five(const struct bt_spread *s, double factor)
{
    json_t *o = json_object();
    json_object_set_new(o, "likely", number(s->likely * factor));
    json_object_set_new(o, "mean", number(s->mean * factor));
    json_object_set_new(o, "p05", number(s->p05 * factor));
    json_object_set_new(o, "p50", number(s->p50 * factor));
    json_object_set_new(o, "p95", number(s->p95 * factor));
    return o;
}

static json_t *seven(const struct bt_spread *s)
{
    json_t *o = json_object();
    json_object_set_new(o, "likely", number(s->likely));
    json_object_set_new(o, "mean", number(s->mean));
    json_object_set_new(o, "p05", number(s->p05));
    json_object_set_new(o, "p25", number(s->p25));
    json_object_set_new(o, "p50", number(s->p50));
    json_object_set_new(o, "p75", number(s->p75));
    json_object_set_new(o, "p95", number(s->p95));
    return o;
}

static int put_piece(const char *bytes, size_t n, void *out)
{
    bt_put_bytes(out, bytes, n);
    return 0;
}

static void dump(struct bt_out *o, json_t *value)
{
    if (json_dump_callback(value, put_piece, o, DUMP) != 0)
        o->failed = true;
    json_decref(value);
}

static void dump_key(struct bt_out *o, const char *key, json_t *value)
{
    bt_put(o, "\"%s\":", key);
    dump(o, value);
}

/* ---- an account ---- */

static json_t *line_object(const struct bt_line_finding *x)
{
    json_t *o = five(&x->total, 1);
    json_t *line = json_object();
    json_object_set_new(line, "line", text(x->line->id));
    json_object_set_new(line, "label", text(x->line->label));
    json_object_set_new(line, "side",
                        json_string(x->line->side == BT_DEMAND ? "demand" : "supply"));
    json_object_update(line, o);
    json_decref(o);
    json_object_set_new(line, "in_time", five(&x->total, x->in_time_share));
    return line;
}

static json_t *course(const struct bt_show *w, const struct bt_account_finding *x)
{
    json_t *array = json_array();
    for (size_t t = 0; t < x->account->n_dates; t++) {
        json_t *o = json_object();
        json_object_set_new(o, "date", date(w, x->account->date[t]));
        json_object_set_new(o, "have", number(x->have[t]));
        json_object_set_new(o, "need", number(x->need[t]));
        json_array_append_new(array, o);
    }
    return array;
}

static json_t *drivers(const struct bt_finding *f, const struct bt_account_finding *x)
{
    json_t *array = json_array();
    for (size_t k = 0; k < x->n_drivers; k++) {
        json_t *o = json_object();
        json_object_set_new(o, "leaf",
                            text(bt_sheet_node(f->budget->sheet, x->driver[k].leaf)->id));
        json_object_set_new(o, "share_of_variance", number(x->driver[k].share_of_variance));
        json_object_set_new(o, "low_effect", number(x->driver[k].low_effect));
        json_object_set_new(o, "high_effect", number(x->driver[k].high_effect));
        json_array_append_new(array, o);
    }
    return array;
}

static json_t *gauges(const struct bt_show *w, const struct bt_finding *f,
                      const struct bt_account_finding *x)
{
    json_t *array = json_array();
    for (size_t k = 0; k < x->n_gauges; k++) {
        const struct bt_gauge_finding *g = &x->gauge[k];
        const struct bt_node_info *node = bt_sheet_node(f->budget->sheet, g->leaf);
        json_t *o = json_object();
        json_object_set_new(o, "leaf", text(node->id));
        json_object_set_new(o, "how", text(bt_measure_text(w->arena, node->leaf)));
        json_object_set_new(o, "spread_cut", number(g->spread_cut_frac));
        json_object_set_new(o, "loss_avoided", number(g->loss_avoided));
        json_array_append_new(array, o);
    }
    return array;
}

/* Null for what hangs on a need that is not known. */
static json_t *if_known(const struct bt_account_finding *x, json_t *value)
{
    if (x->account->known)
        return value;
    json_decref(value);
    return json_null();
}

static void set_lines(json_t *o, const struct bt_account_finding *x)
{
    json_t *lines = json_array();
    for (size_t k = 0; k < x->n_lines; k++)
        json_array_append_new(lines, line_object(&x->line[k]));
    json_object_set_new(o, "lines", lines);
}

static json_t *tightest(const struct bt_show *w, const struct bt_account_finding *x)
{
    json_t *o = seven(&x->tightest);
    json_object_set_new(o, "date", date(w, x->tightest_date));
    json_object_set_new(o, "chance", number(x->tightest_date_chance));
    json_t *error = json_object();
    json_object_set_new(error, "mean", number(x->tightest_error.mean));
    json_object_set_new(error, "p05", number(x->tightest_error.p05));
    json_object_set_new(error, "p95", number(x->tightest_error.p95));
    json_object_set_new(o, "error", error);
    return o;
}

static void set_rating(json_t *o, const struct bt_account_finding *x)
{
    static const char *const by[] = {
        [BT_BY_ADVICE] = "advice", [BT_BY_WORD] = "word", [BT_BY_CONTENT] = "figure"};
    const struct bt_stock *s = x->account->stock;
    json_object_set_new(o, "word", text(bt_pk_word_text(bt_pk_word_of(x))));
    json_object_set_new(o, "rating", text(s ? s->rating : NULL));
    json_object_set_new(o, "need_by",
                        text(s && s->need_by != BT_BY_NOTHING ? by[s->need_by] : NULL));
}

/* What stands beside the sum; years are null where nothing says how much is in stock. */
static void set_stock(json_t *o, const struct bt_account_finding *x)
{
    const struct bt_stock *s = x->account->stock;
    json_t *loads = json_object();
    json_object_set_new(loads, "from", json_integer(s->first_season));
    json_object_set_new(loads, "to", json_integer(s->last_season));
    json_object_set_new(loads, "added", five(&x->beside[BT_LOAD_ADDED], 1));
    json_object_set_new(loads, "removed", five(&x->beside[BT_LOAD_REMOVED], 1));
    json_object_set_new(o, "removal", five(&x->beside[BT_REMOVAL], 1));
    json_object_set_new(o, "loads", loads);
    const int longest = bt_longest_stock(x);
    json_t *years = longest >= 0 ? json_object() : json_null();
    for (int k = BT_YEARS_BY_REMOVAL; longest >= 0 && k < BT_BESIDES; k++)
        json_object_set_new(years, bt_beside_key((enum bt_beside)k),
                            s->has[k] ? five(&x->beside[k], 1) : json_null());
    if (longest >= 0)
        json_object_set_new(years, "longest", text(bt_beside_key((enum bt_beside)longest)));
    json_object_set_new(o, "years_in_stock", years);
}

static json_t *account_object(const struct bt_show *w, const struct bt_finding *f,
                              const struct bt_account_finding *x)
{
    json_t *o = json_object();
    const bool is_n = x->account->nutrient == BT_N;
    if (is_n)
        json_object_set_new(o, "word", if_known(x, json_string(bt_word_text(x->word))));
    else
        set_rating(o, x);
    set_lines(o, x);
    json_object_set_new(o, "required", if_known(x, seven(&x->required)));
    json_object_set_new(o, "supply", seven(&x->supply));
    json_object_set_new(o, "balance", if_known(x, seven(&x->balance)));
    json_object_set_new(o, "tightest", if_known(x, tightest(w, x)));
    json_object_set_new(o, "shortfall", if_known(x, seven(&x->shortfall)));
    json_object_set_new(o, "surplus", if_known(x, seven(&x->surplus)));
    if (is_n) {
        json_object_set_new(o, "left", if_known(x, seven(&x->left)));
        json_object_set_new(o, "chance_left_over_limit",
                            if_known(x, number(x->chance_left_over_limit)));
    }
    json_object_set_new(o, "chance_of_shortfall",
                        if_known(x, number(x->chance_of_shortfall)));
    json_object_set_new(o, "chance_of_visible_shortfall",
                        if_known(x, number(x->chance_of_visible_shortfall)));
    json_object_set_new(o, "chance_error", if_known(x, number(x->chance_error)));
    json_object_set_new(o, "course", course(w, x));
    if (x->account->stock)
        set_stock(o, x);
    if (x->driver) /* absent when they were not worked out */
        json_object_set_new(o, "drivers", drivers(f, x));
    if (x->gauge)
        json_object_set_new(o, "measure", gauges(w, f, x));
    return o;
}

/* ---- the document ---- */

/* A checksum of each table that the answer rests on: the units are one too. */
/* The rows that took the place of the handbook's. */
static json_t *local_rows(const struct bt_show *w)
{
    struct bt_book_rows rows = {0};
    json_t *array = json_array();
    bt_book_rows_local(&rows, w);
    for (size_t k = 0; k < rows.n; k++)
        json_array_append_new(array, bt_book_row_json(w, rows.row[k], rows.of[k]));
    return array;
}

void bt_report_json_begin(struct bt_out *o, const struct bt_show *w,
                          const struct bt_garden *g)
{
    json_t *head = json_object();
    json_object_set_new(head, "schema", json_string(SCHEMA));
    bt_made_with_set(head, w);
    json_object_set_new(head, "local", local_rows(w));
    json_object_set_new(head, "garden", text(g->name));
    json_object_set_new(head, "season", json_integer(g->season));
    const char *key;
    json_t *value;
    bt_put(o, "{");
    json_object_foreach(head, key, value)
    {
        dump_key(o, key, json_incref(value));
        bt_put(o, ",");
    }
    json_decref(head);
    bt_put(o, "\n\"beds\":[");
}

void bt_report_json_bed(struct bt_out *o, const struct bt_show *w,
                        const struct bt_finding *f, bool first)
{
    const struct bt_budget *b = f->budget;
    json_t *bed = json_object();
    json_object_set_new(bed, "bed", text(b->bed->id));
    json_object_set_new(bed, "name", text(b->bed->name ? b->bed->name : ""));
    json_object_set_new(bed, "area_m2", number(b->bed->area_m2));
    for (size_t k = 0; k < b->n_accounts; k++) {
        const struct bt_account_finding *x = &f->account[k];
        json_object_set_new(bed, bt_nutrient_text(x->account->nutrient),
                            account_object(w, f, x));
    }
    json_object_set_new(bed, "understood", texts(b->n_understood, b->understood));
    json_object_set_new(bed, "assumed", texts(b->n_assumed, bt_assumed_texts(w, b)));
    json_t *cautions = json_array();
    for (size_t k = 0; k < b->n_cautions; k++)
        json_array_append_new(cautions, text(b->caution[k]->rule));
    json_object_set_new(bed, "cautions", cautions);
    bt_put(o, first ? "\n" : ",\n");
    dump(o, bed);
}

void bt_report_json_end(struct bt_out *o, const struct bt_total_finding total[BT_NUTRIENTS])
{
    json_t *all = json_object();
    json_object_set_new(all, "area_m2", number(total[BT_N].area_m2));
    for (int k = 0; k < BT_NUTRIENTS; k++) {
        const struct bt_total_finding *t = &total[k];
        if (!(t->area_m2 > 0))
            continue;
        json_t *account = json_object();
        json_object_set_new(account, "required", seven(&t->required));
        json_object_set_new(account, "supply", seven(&t->supply));
        json_object_set_new(account, "balance", seven(&t->balance));
        json_object_set_new(account, "shortfall", seven(&t->shortfall));
        json_object_set_new(account, "surplus", seven(&t->surplus));
        if (k == BT_N)
            json_object_set_new(account, "left", seven(&t->left));
        json_object_set_new(all, bt_nutrient_text((enum bt_nutrient)k), account);
    }
    bt_put(o, "\n],\n\"total\":");
    dump(o, all);
    bt_put(o, "}\n");
}
