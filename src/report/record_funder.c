/* For a funder: deeds, need and gap, cost, texts for the form, blanks for what only people
 * can count. */
#include "report/answer.h"
#include "report/record.h"

/* "0.63 (-0.62 to 3.1)" */
static const char *with_ends(struct bt_arena *a, const struct bt_spread *s, double shown)
{
    const char *ends = bt_ends_text(a, s->p05 * shown, s->p95 * shown, BT_FIGURES_FIRST);
    const char *text = bt_figures_short(a, s->likely * shown, BT_FIGURES_FIRST);
    return *ends ? bt_arena_format(a, "%s (%s)", text, ends) : text;
}

static const char *figure(const struct bt_desk_of *t, const struct bt_bed *bed,
                          const struct bt_spread *s)
{
    return with_ends(t->record->kept, s, bt_on_bed(t->show, bed).per_g_m2);
}

/* The figure or "not known", for beds whose need cannot be said. */
static struct bt_doc_cell cell(const struct bt_desk_of *t, const struct bt_record_bed *b,
                               const struct bt_spread *s)
{
    return bt_cell_text(b->has_gap ? figure(t, b->bed, s) : "not known");
}

static struct bt_doc_cell total(const struct bt_desk_of *t, int what)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_spread s = bt_record_sum(t->record, (enum bt_record_sum)what);
    return bt_cell_text(with_ends(
        a, &s, bt_units_factor_to(t->show->units, a, t->show->us_units ? "oz" : "g")));
}

static void put_need(const struct bt_desk_of *t)
{
    const char *unit = t->show->us_units ? "oz N" : "g N";
    const struct bt_doc_column columns[] = {
        {"Bed",                      "",   false},
        {"Needed",                   unit, false},
        {"Already there",            unit, false},
        {"Gap",                      unit, false},
        {"From what was brought in", unit, false}
    };
    bt_doc_heading(t->doc, 2, "What the beds need and what was there");
    struct bt_doc_table *table = bt_doc_table(
        t->doc, "Nitrogen of the season on each bed: likely, and nine times in ten between",
        5, columns);
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        const struct bt_spread *const s[] = {&b->account[BT_N].required, &b->already,
                                             &b->gap, &b->of[BT_FROM_BOUGHT]};
        struct bt_doc_cell row[5] = {bt_cell_text(bt_bed_title(t->record->kept, b->bed))};
        for (int i = 0; i < 4; i++)
            row[i + 1] = cell(t, b, s[i]);
        bt_doc_row(t->doc, table, row);
    }
    const struct bt_doc_cell sum[] = {bt_cell_text("All beds"), total(t, BT_SUM_NEEDED),
                                      total(t, BT_SUM_ALREADY), total(t, BT_SUM_GAP),
                                      total(t, BT_SUM_ORIGIN + BT_FROM_BOUGHT)};
    bt_doc_sum(t->doc, table, sum);
    bt_doc_note(
        t->doc,
        "A gap below zero is a surplus; the last row adds up the gaps alone, draw by draw, "
        "for what one bed has too much does not feed another. What was brought in "
        "counts with what it releases this season; below zero it ties nitrogen up.");
}

static void put_there(const struct bt_desk_of *t)
{
    const char *unit = t->show->us_units ? "oz N" : "g N";
    enum { COLUMNS = BT_FROM_BOUGHT + 1 };
    const struct bt_doc_column columns[COLUMNS] = {
        {"Bed",                        "",   false},
        {"Soil",                       unit, false},
        {"Water, rain and dust",       unit, false},
        {"Legumes grown here",         unit, false},
        {"Other plants grown here",    unit, false},
        {"Additions of earlier years", unit, false},
        {"Moved or made inside",       unit, false}
    };
    struct bt_doc_table *table = bt_doc_table(
        t->doc, "What was already there, by where it comes from", COLUMNS, columns);
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        struct bt_doc_cell row[COLUMNS] = {bt_cell_text(b->bed->id)};
        for (int i = 0; i < BT_FROM_BOUGHT; i++)
            row[i + 1] = cell(t, b, &b->of[i]);
        bt_doc_row(t->doc, table, row);
    }
    struct bt_doc_cell sum[COLUMNS] = {bt_cell_text("All beds")};
    for (int i = 0; i < BT_FROM_BOUGHT; i++)
        sum[i + 1] = total(t, BT_SUM_ORIGIN + i);
    bt_doc_sum(t->doc, table, sum);
}

void bt_record_funder(const struct bt_desk_of *t)
{
    bt_record_put_justification(t);
    bt_record_put_deeds(t);
    bt_record_put_cost(t);
    bt_record_put_purchases(t);
    put_need(t);
    put_there(t);
    bt_record_put_not_bought(t);
    bt_record_put_harvests(t);
    bt_record_put_tests(t);
    bt_doc_heading(t->doc, 2, "To be filled in");
    const char *mass = t->show->us_units ? "Pounds" : "Kilograms";
    struct bt_arena *a = t->record->kept;
    bt_doc_blank(t->doc, bt_arena_format(a, "%s harvested in the whole season", mass));
    bt_doc_blank(t->doc, bt_arena_format(a, "%s given away, and to whom", mass));
    bt_doc_blank(t->doc, "People reached");
    bt_doc_blank(t->doc, "Hours of volunteers");
    bt_doc_blank(t->doc, "Donations in money or kind that are not listed above");
}
