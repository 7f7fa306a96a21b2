/* For a funder: deeds, need and gap, cost, texts for the form, blanks for what only people
 * can count. */
#include "report/record.h"

#include "report/answer.h"

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

static const char *bought(const struct bt_desk_of *t, const struct bt_record_bed *b)
{
    double g_m2 = 0;
    const struct bt_record_account *x = &b->account[BT_N];
    for (size_t k = 0; k < x->n_lines; k++)
        if (x->line[k].side == BT_SUPPLY && x->line[k].origin == BT_FROM_BOUGHT &&
            !x->line[k].planned)
            g_m2 += x->line[k].total.likely;
    const struct bt_on_bed on = bt_on_bed(t->show, b->bed);
    return bt_figures_short(t->record->kept, g_m2 * on.per_g_m2, BT_FIGURES_FIRST);
}

static void put_need(const struct bt_desk_of *t)
{
    const char *unit = t->show->us_units ? "oz N" : "g N";
    const struct bt_doc_column columns[] = {
        {"Bed",                      "",   false},
        {"Needed",                   unit, false},
        {"Already there",            unit, false},
        {"Gap",                      unit, false},
        {"From what was brought in", unit, true }
    };
    bt_doc_heading(t->doc, 2, "What the beds need and what was there");
    struct bt_doc_table *table = bt_doc_table(
        t->doc, "Nitrogen of the season on each bed: likely, and nine times in ten between",
        5, columns);
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        const struct bt_doc_cell row[] = {
            bt_cell_text(bt_bed_title(t->record->kept, b->bed)),
            bt_cell_text(figure(t, b->bed, &b->account[BT_N].required)),
            bt_cell_text(figure(t, b->bed, &b->already)),
            bt_cell_text(figure(t, b->bed, &b->gap)), bt_cell_text(bought(t, b))};
        bt_doc_row(t->doc, table, row);
    }
    bt_doc_note(t->doc,
                "Already there: soil organic matter, soil nitrate, water, rain, plant "
                "remains, additions of earlier years, and what was moved or made inside "
                "the garden. A gap below zero "
                "is a surplus. What was brought in counts with what it releases this "
                "season; below zero it ties nitrogen up.");
}

void bt_record_funder(const struct bt_desk_of *t)
{
    bt_record_put_justification(t);
    bt_record_put_deeds(t);
    bt_record_put_cost(t);
    bt_record_put_purchases(t);
    put_need(t);
    bt_record_put_not_bought(t);
    bt_record_put_harvests(t);
    bt_record_put_tests(t);
    bt_doc_heading(t->doc, 2, "To be filled in");
    bt_doc_blank(t->doc, t->show->us_units ? "Pounds harvested" : "Kilograms harvested");
    bt_doc_blank(t->doc, "Pounds or kilograms given away, and to whom");
    bt_doc_blank(t->doc, "People reached");
    bt_doc_blank(t->doc, "Hours of volunteers");
    bt_doc_blank(t->doc, "Donations in kind, and their worth");
}
