/* Soil tests over time, and what was not bought because they were high. */
#include <string.h>

#include "base/date.h"
#include "report/answer.h"
#include "report/record.h"

static const char *beds_text(const struct bt_desk_of *t, size_t n, const size_t *bed)
{
    struct bt_arena *a = t->record->kept;
    const char *text = "";
    for (size_t k = 0; k < n; k++)
        text = bt_arena_format(a, "%s%s%s", text, k ? ", " : "",
                               t->record->garden->bed[bed[k]].id);
    return text;
}

static const char *typed(const struct bt_quantity *q)
{
    return q->presence == BT_BLANK || !q->cell.text ? "" : q->cell.text;
}

static const char *element(struct bt_arena *a, const struct bt_quantity *q,
                           const char *method, const char *rating)
{
    const char *text = typed(q);
    if (method && *text)
        text = bt_arena_format(a, "%s, %s", text, method);
    if (rating && *rating)
        text = *text ? bt_arena_format(a, "%s (%s)", text, rating) : rating;
    return text;
}

static void put_test(const struct bt_desk_of *t, struct bt_doc_table *table,
                     const struct bt_soil_test *s)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_doc_cell row[] = {
        bt_cell_text(s->date.known ? bt_date_iso(a, s->date.day) : "not dated"),
        bt_cell_text(s->sample),
        bt_cell_text(beds_text(t, s->n_beds, s->bed)),
        bt_cell_text(s->depth.cell.text ? s->depth.cell.text : ""),
        bt_cell_text(typed(&s->organic_matter)),
        bt_cell_text(typed(&s->ph)),
        bt_cell_text(typed(&s->nitrate_n)),
        bt_cell_text(
            element(a, &s->phosphorus, s->phosphorus_method, s->phosphorus_rating)),
        bt_cell_text(element(a, &s->potassium, s->potassium_method, s->potassium_rating))};
    bt_doc_row(t->doc, table, row);
}

/* A row to be filled in for each sample that will be drawn again. */
static void put_blank_tests(const struct bt_desk_of *t, struct bt_doc_table *table)
{
    enum { COLUMNS = 9 };
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    struct bt_doc_cell row[COLUMNS];
    size_t n = 0;
    for (int k = 0; k < COLUMNS; k++)
        row[k] = bt_cell_blank();
    row[0] = bt_cell_text("after (to come):");
    for (size_t i = 0; i < g->n_tests; i++) {
        const struct bt_soil_test *s = &g->test[i];
        const char *beds = beds_text(t, s->n_beds, s->bed);
        bool again = !*typed(&s->organic_matter) && !*typed(&s->phosphorus);
        for (size_t k = 0; k < i && !again; k++)
            again = strcmp(beds, beds_text(t, g->test[k].n_beds, g->test[k].bed)) == 0;
        if (again)
            continue;
        row[1] = bt_cell_text(bt_arena_text(a, s->sample));
        row[2] = bt_cell_text(beds);
        bt_doc_row(t->doc, table, row);
        n++;
    }
    row[1] = row[2] = bt_cell_blank();
    if (n == 0)
        bt_doc_row(t->doc, table, row);
}

void bt_record_put_tests(const struct bt_desk_of *t)
{
    const struct bt_garden *g = t->record->garden;
    const struct bt_doc_column columns[] = {
        {"Date",           "", false},
        {"Sample",         "", false},
        {"Beds",           "", false},
        {"Depth",          "", false},
        {"Organic matter", "", false},
        {"pH",             "", false},
        {"Nitrate-N",      "", false},
        {"Phosphorus",     "", false},
        {"Potassium",      "", false}
    };
    bt_doc_heading(t->doc, 2, "The soil, before and after");
    if (g->n_tests == 0)
        bt_doc_paragraph(t->doc, "No soil test is on record.");
    struct bt_doc_table *table = bt_doc_table(
        t->doc, "Soil tests, oldest first, as the laboratory reported them", 9, columns);
    /* by date: few enough to look for the next each time */
    bool *done = bt_arena_zero(t->record->kept, g->n_tests + 1);
    for (size_t n = 0; n < g->n_tests; n++) {
        size_t next = SIZE_MAX;
        for (size_t i = 0; i < g->n_tests; i++)
            if (!done[i] &&
                (next == SIZE_MAX || g->test[i].date.day < g->test[next].date.day))
                next = i;
        done[next] = true;
        put_test(t, table, &g->test[next]);
    }
    put_blank_tests(t, table);
}

/* Beds whose account satisfies the question, as one text; "" for none. */
static const char *beds_full(const struct bt_desk_of *t, enum bt_nutrient nutrient)
{
    struct bt_arena *a = t->record->kept;
    const char *text = "";
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        const struct bt_record_account *x = &b->account[nutrient];
        bool bought = false;
        for (size_t i = 0; i < x->n_lines; i++)
            bought |= x->line[i].origin == BT_FROM_BOUGHT && x->line[i].side == BT_SUPPLY;
        const bool enough = nutrient == BT_N ? x->word == BT_MORE_THAN_ENOUGH : x->is_full;
        if (x->there && x->known && enough && !bought)
            text = bt_arena_format(a, "%s%s%s", text, *text ? ", " : "", b->bed->id);
    }
    return text;
}

void bt_record_put_not_bought(const struct bt_desk_of *t)
{
    struct bt_arena *a = t->record->kept;
    bool any = false;
    bt_doc_heading(t->doc, 2, "What was not bought");
    for (int n = 0; n < BT_NUTRIENTS; n++) {
        const char *beds = beds_full(t, (enum bt_nutrient)n);
        if (!*beds)
            continue;
        any = true;
        bt_doc_item(t->doc,
                    n == BT_N
                        ? bt_arena_format(a,
                                          "Nothing was brought in for nitrogen on %s: what "
                                          "soil, plant remains and the garden itself give "
                                          "is more than enough there.",
                                          beds)
                        : bt_arena_format(a,
                                          "No %s was brought in for %s: by the soil test "
                                          "there is so much that crops would not use more.",
                                          n == BT_P2O5 ? "phosphate" : "potash", beds));
    }
    if (!any)
        bt_doc_paragraph(t->doc,
                         "Nothing was left out on account of a high test: no bed without "
                         "bought material is rated that high.");
}
