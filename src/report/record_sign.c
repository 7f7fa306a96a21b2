/* Signs: one for the garden, one for each bed, a page each. */
#include "report/record.h"

#include "base/date.h"
#include "base/text.h"
#include "report/answer.h"
#include "report/page.h"

static const char *growing(const struct bt_desk_of *t, size_t bed)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    const char *text = "";
    for (size_t i = 0; i < g->n_plantings; i++) {
        const struct bt_planting *p = &g->planting[i];
        const bool over = p->ended.known && p->ended.day <= g->season_start;
        if (p->bed_index != bed || over ||
            (p->in_ground.known && p->in_ground.day > g->season_end))
            continue;
        text = bt_arena_format(a, "%s%s%s", text, *text ? ", " : "",
                               bt_text_shown(a, p->written));
    }
    return text;
}

static const char *stand(enum bt_word word)
{
    static const char *const text[] = {
        [BT_SHORT] = "The crops here are short of nitrogen this season.",
        [BT_PROBABLY_SHORT] = "The crops here are probably short of nitrogen this season.",
        [BT_ENOUGH] = "The crops here have enough nitrogen this season.",
        [BT_MORE_THAN_ENOUGH] =
            "There is more nitrogen here than this season's crops need.",
        [BT_CANT_SAY] = "Whether the crops here have enough nitrogen cannot be said yet."};
    return text[word];
}

static void put_given(const struct bt_desk_of *t, size_t bed)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        bool here = false;
        for (size_t k = 0; k < x->n_beds; k++)
            here |= x->bed[k] == bed;
        if (here && x->status == BT_DONE && !x->is_advice && bt_deed_in_season(g, x))
            bt_doc_item(t->doc, bt_arena_format(
                                    a, "%s, %s, on %s", bt_text_shown(a, x->written),
                                    x->amount.cell.text, bt_date_words(a, x->date.day)));
    }
}

static void put_sign(const struct bt_desk_of *t, const struct bt_record_bed *b)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_record_account *x = &b->account[BT_N];
    bt_doc_page(t->doc);
    bt_doc_heading(t->doc, 2, bt_bed_title(a, b->bed));
    bt_doc_paragraph(t->doc,
                     bt_arena_format(a, "Growing here: %s.", growing(t, b->number)));
    bt_doc_paragraph(t->doc, stand(x->word));
    bt_doc_paragraph(
        t->doc,
        bt_arena_format(
            a, "They need about %s; there is about %s to have.",
            bt_mass_text(t->show, b->bed, x->required.likely, "nitrogen", BT_FIGURES_FIRST),
            bt_mass_text(t->show, b->bed, x->supply.likely, "nitrogen", BT_FIGURES_FIRST)));
    for (size_t k = 0; k < b->n_legumes; k++)
        bt_doc_paragraph(
            t->doc,
            bt_arena_format(a, "The %s takes about %s of its nitrogen from the air.",
                            bt_text_shown(a, b->legume[k].name),
                            bt_percent_text(a, b->legume[k].share_fixed.likely)));
    put_given(t, b->number);
}

void bt_record_sign(const struct bt_desk_of *t)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_garden *g = t->record->garden;
    bt_doc_heading(t->doc, 1,
                   bt_text_shown(a, g->name && *g->name ? g->name : "The garden"));
    bt_doc_paragraph(t->doc,
                     bt_arena_format(a,
                                     "Season %d. Plants need nitrogen, which comes from "
                                     "the soil, from compost, and with the help of "
                                     "beans and clover from the air.",
                                     g->season));
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        bt_doc_item(t->doc, bt_arena_format(a, "%s: %s", bt_bed_title(a, b->bed),
                                            bt_word_text(b->account[BT_N].word)));
    }
    for (size_t k = 0; k < t->record->n_beds; k++)
        put_sign(t, &t->record->bed[k]);
}
