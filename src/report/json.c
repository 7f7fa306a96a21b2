/* JSON of a budget, one object a bed, so that memory does not grow with beds. The keys are
 * a promise: docs/reading.md and the schema's number change with them. */
#include "base/date.h"
#include "base/text.h"
#include "report/answer.h"
#include "report/doubt.h"
#include "report/fertility.h"
#include "report/field.h"
#include "report/handbook.h"
#include "report/json_put.h"
#include "report/made_with.h"

static const char SCHEMA[] = "bedtally-budget-1";

static json_t *date(const struct bt_show *w, int day)
{
    return json_string(bt_date_iso(w->arena, day));
}

static json_t *seven(const struct bt_spread *s)
{
    json_t *o = json_object();
    json_object_set_new(o, "likely", bt_json_number(s->likely));
    json_object_set_new(o, "mean", bt_json_number(s->mean));
    json_object_set_new(o, "p05", bt_json_number(s->p05));
    json_object_set_new(o, "p25", bt_json_number(s->p25));
    json_object_set_new(o, "p50", bt_json_number(s->p50));
    json_object_set_new(o, "p75", bt_json_number(s->p75));
    json_object_set_new(o, "p95", bt_json_number(s->p95));
    return o;
}

/* ---- an account ---- */

static json_t *line_object(const struct bt_line_finding *x)
{
    json_t *line = json_object();
    json_object_set_new(line, "line", bt_json_text(x->line->id));
    json_object_set_new(line, "label", bt_json_text(x->line->label));
    json_object_set_new(line, "side",
                        json_string(x->line->side == BT_DEMAND ? "demand" : "supply"));
    bt_json_set_spread(line, &x->total, 1);
    json_object_set_new(line, "in_time", bt_json_spread(&x->total, x->in_time_share));
    return line;
}

static json_t *course(const struct bt_show *w, const struct bt_account_finding *x)
{
    json_t *array = json_array();
    for (size_t t = 0; t < x->account->n_dates; t++) {
        json_t *o = json_object();
        json_object_set_new(o, "date", date(w, x->account->date[t]));
        json_object_set_new(o, "have", bt_json_number(x->have[t]));
        json_object_set_new(o, "need", bt_json_number(x->need[t]));
        json_array_append_new(array, o);
    }
    return array;
}

static json_t *drivers(const struct bt_finding *f, const struct bt_account_finding *x)
{
    json_t *array = json_array();
    for (size_t k = 0; k < x->n_drivers; k++) {
        json_t *o = json_object();
        json_object_set_new(
            o, "leaf",
            bt_json_text(bt_sheet_node(f->budget->sheet, x->driver[k].leaf)->id));
        json_object_set_new(o, "share_of_variance",
                            bt_json_number(x->driver[k].share_of_variance));
        json_object_set_new(o, "low_effect", bt_json_number(x->driver[k].low_effect));
        json_object_set_new(o, "high_effect", bt_json_number(x->driver[k].high_effect));
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
        json_object_set_new(o, "leaf", bt_json_text(node->id));
        json_object_set_new(o, "how", bt_json_text(bt_measure_text(w->arena, node->leaf)));
        json_object_set_new(o, "spread_cut", bt_json_number(g->spread_cut_frac));
        json_object_set_new(o, "loss_avoided", bt_json_number(g->loss_avoided));
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
    json_object_set_new(o, "chance", bt_json_number(x->tightest_date_chance));
    json_t *error = json_object();
    json_object_set_new(error, "mean", bt_json_number(x->tightest_error.mean));
    json_object_set_new(error, "p05", bt_json_number(x->tightest_error.p05));
    json_object_set_new(error, "p95", bt_json_number(x->tightest_error.p95));
    json_object_set_new(o, "error", error);
    return o;
}

static void set_rating(json_t *o, const struct bt_account_finding *x)
{
    static const char *const by[] = {
        [BT_BY_ADVICE] = "advice", [BT_BY_WORD] = "word", [BT_BY_CONTENT] = "figure"};
    const struct bt_stock *s = x->account->stock;
    json_object_set_new(o, "word", bt_json_text(bt_pk_word_text(bt_pk_word_of(x))));
    json_object_set_new(o, "rating", bt_json_text(s ? s->rating : NULL));
    json_object_set_new(
        o, "need_by",
        bt_json_text(s && s->need_by != BT_BY_NOTHING ? by[s->need_by] : NULL));
}

/* What stands beside the sum; years are null where nothing says how much is in stock. */
static void set_stock(json_t *o, const struct bt_account_finding *x)
{
    const struct bt_stock *s = x->account->stock;
    json_t *loads = json_object();
    json_object_set_new(loads, "from", json_integer(s->first_season));
    json_object_set_new(loads, "to", json_integer(s->last_season));
    json_object_set_new(loads, "added", bt_json_spread(&x->beside[BT_LOAD_ADDED], 1));
    json_object_set_new(loads, "removed", bt_json_spread(&x->beside[BT_LOAD_REMOVED], 1));
    json_object_set_new(o, "removal", bt_json_spread(&x->beside[BT_REMOVAL], 1));
    json_object_set_new(o, "loads", loads);
    const int longest = bt_longest_stock(x);
    json_t *years = longest >= 0 ? json_object() : json_null();
    for (int k = BT_YEARS_BY_REMOVAL; longest >= 0 && k < BT_BESIDES; k++)
        json_object_set_new(years, bt_beside_key((enum bt_beside)k),
                            s->has[k] ? bt_json_spread(&x->beside[k], 1) : json_null());
    if (longest >= 0)
        json_object_set_new(years, "longest",
                            bt_json_text(bt_beside_key((enum bt_beside)longest)));
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
                            if_known(x, bt_json_number(x->chance_left_over_limit)));
    }
    json_object_set_new(o, "chance_of_shortfall",
                        if_known(x, bt_json_number(x->chance_of_shortfall)));
    json_object_set_new(o, "chance_of_visible_shortfall",
                        if_known(x, bt_json_number(x->chance_of_visible_shortfall)));
    json_object_set_new(o, "chance_error", if_known(x, bt_json_number(x->chance_error)));
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
    json_object_set_new(head, "garden", bt_json_text(g->name));
    json_object_set_new(head, "season", json_integer(g->season));
    bt_json_put_head(o, head);
}

void bt_report_json_bed(struct bt_out *o, const struct bt_show *w,
                        const struct bt_finding *f, bool first)
{
    const struct bt_budget *b = f->budget;
    json_t *bed = json_object();
    json_object_set_new(bed, "bed", bt_json_text(b->bed->id));
    json_object_set_new(bed, "name", bt_json_text(b->bed->name ? b->bed->name : ""));
    json_object_set_new(bed, "area_m2", bt_json_number(b->bed->area_m2));
    for (size_t k = 0; k < b->n_accounts; k++) {
        const struct bt_account_finding *x = &f->account[k];
        json_object_set_new(bed, bt_nutrient_text(x->account->nutrient),
                            account_object(w, f, x));
    }
    json_object_set_new(bed, "understood", bt_json_texts(b->n_understood, b->understood));
    json_object_set_new(bed, "assumed",
                        bt_json_texts(b->n_assumed, bt_assumed_texts(w, b)));
    json_t *alerts = json_array();
    for (size_t k = 0; k < b->n_alerts; k++)
        json_array_append_new(alerts, bt_json_text(b->alert[k].text));
    json_object_set_new(bed, "alerts", alerts);
    json_t *cautions = json_array();
    for (size_t k = 0; k < b->n_cautions; k++)
        json_array_append_new(cautions, bt_json_text(b->caution[k]->rule));
    json_object_set_new(bed, "cautions", cautions);
    bt_put(o, first ? "\n" : ",\n");
    bt_json_put(o, bed);
}

void bt_report_json_end(struct bt_out *o, const struct bt_total_finding total[BT_NUTRIENTS])
{
    json_t *all = json_object();
    json_object_set_new(all, "area_m2", bt_json_number(total[BT_N].area_m2));
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
    bt_json_put(o, all);
    bt_put(o, "}\n");
}
