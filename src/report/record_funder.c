/* For a funder: deeds, need and gap, cost, texts for the form, blanks for what only people
 * can count. */
#include "report/answer.h"
#include "report/record.h"

static const char *figure(const struct bt_desk_of *t, const struct bt_bed *bed,
                          const struct bt_spread *s)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_on_bed on = bt_on_bed(t->show, bed);
    const char *ends =
        bt_ends_text(a, s->p05 * on.per_g_m2, s->p95 * on.per_g_m2, BT_FIGURES_FIRST);
    const char *text = bt_figures_short(a, s->likely * on.per_g_m2, BT_FIGURES_FIRST);
    return *ends ? bt_arena_format(a, "%s (%s)", text, ends) : text;
}

/* The figure or "not known", for beds whose need cannot be said. */
static struct bt_doc_cell cell(const struct bt_desk_of *t, const struct bt_record_bed *b,
                               const struct bt_spread *s)
{
    return bt_cell_text(b->has_gap ? figure(t, b->bed, s) : "not known");
}

/* The likely value of a bed [g], as bt_on_bed counts it. */
static double grams(const struct bt_record_bed *b, const struct bt_spread *s)
{
    return b->has_gap ? s->likely * b->bed->area_m2 : 0;
}

static struct bt_doc_cell total(const struct bt_desk_of *t, double g)
{
    struct bt_arena *a = t->record->kept;
    const double shown =
        g * bt_units_factor_to(t->show->units, a, t->show->us_units ? "oz" : "g");
    return bt_cell_number(bt_figures_short(a, shown, BT_FIGURES_FIRST), shown);
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
    double sum_g[4] = {0};
    bt_doc_heading(t->doc, 2, "What the beds need and what was there");
    struct bt_doc_table *table = bt_doc_table(
        t->doc, "Nitrogen of the season on each bed: likely, and nine times in ten between",
        5, columns);
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        const struct bt_spread *const s[] = {&b->account[BT_N].required, &b->already,
                                             &b->gap, &b->of[BT_FROM_BOUGHT]};
        struct bt_doc_cell row[5] = {bt_cell_text(bt_bed_title(t->record->kept, b->bed))};
        for (int i = 0; i < 4; i++) {
            const double g = grams(b, s[i]);
            row[i + 1] = cell(t, b, s[i]);
            sum_g[i] += i == 2 && g < 0 ? 0 : g; /* what one has too much feeds no other */
        }
        bt_doc_row(t->doc, table, row);
    }
    const struct bt_doc_cell sum[] = {bt_cell_text("All beds, likely"), total(t, sum_g[0]),
                                      total(t, sum_g[1]), total(t, sum_g[2]),
                                      total(t, sum_g[3])};
    bt_doc_sum(t->doc, table, sum);
    bt_doc_note(
        t->doc,
        "A gap below zero is a surplus; the last row adds up the gaps alone, for "
        "what one bed has too much does not feed another. What was brought in "
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
    double sum_g[BT_FROM_BOUGHT] = {0};
    struct bt_doc_table *table = bt_doc_table(
        t->doc, "What was already there, by where it comes from", COLUMNS, columns);
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        struct bt_doc_cell row[COLUMNS] = {bt_cell_text(b->bed->id)};
        for (int i = 0; i < BT_FROM_BOUGHT; i++) {
            row[i + 1] = cell(t, b, &b->of[i]);
            sum_g[i] += grams(b, &b->of[i]);
        }
        bt_doc_row(t->doc, table, row);
    }
    struct bt_doc_cell sum[COLUMNS] = {bt_cell_text("All beds, likely")};
    for (int i = 0; i < BT_FROM_BOUGHT; i++)
        sum[i + 1] = total(t, sum_g[i]);
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
