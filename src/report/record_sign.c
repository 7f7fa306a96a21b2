/* Signs: one for the garden, one for each bed, a page each. */
#include "report/record.h"

#include "base/date.h"
#include "base/text.h"
#include "report/answer.h"
#include "report/page.h"

/* What stands here in the season, each crop once. */
static const char *growing(const struct bt_desk_of *t, size_t bed)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    struct bt_texts crops = {0};
    const char *text = "";
    for (size_t i = 0; i < g->n_plantings; i++) {
        const struct bt_planting *p = &g->planting[i];
        const bool over = p->ended.known && p->ended.day <= g->season_start;
        if (p->bed_index == bed && !over &&
            !(p->in_ground.known && p->in_ground.day > g->season_end))
            bt_record_keep_once(t->record, &crops, bt_text_shown(a, p->written));
    }
    for (size_t k = 0; k < crops.n; k++)
        text = bt_arena_format(a, "%s%s%s", text, k ? ", " : "", crops.text[k]);
    return text;
}

/* For the garden's own sign. */
static const char *in_short(enum bt_word word)
{
    static const char *const text[] = {[BT_SHORT] = "short of nitrogen",
                                       [BT_PROBABLY_SHORT] = "probably short of nitrogen",
                                       [BT_ENOUGH] = "enough nitrogen",
                                       [BT_MORE_THAN_ENOUGH] = "more than enough nitrogen",
                                       [BT_CANT_SAY] = "not known well enough yet to say",
                                       [BT_NO_CROP] = "no crop this season"};
    return text[word];
}

static const char *stand(enum bt_word word)
{
    static const char *const text[] = {
        [BT_SHORT] = "The crops here are short of nitrogen this season.",
        [BT_PROBABLY_SHORT] = "The crops here are probably short of nitrogen this season.",
        [BT_ENOUGH] = "The crops here have enough nitrogen this season.",
        [BT_MORE_THAN_ENOUGH] =
            "There is more nitrogen here than this season's crops need.",
        [BT_CANT_SAY] = "Whether the crops here have enough nitrogen cannot be said yet.",
        [BT_NO_CROP] = "No crop grows here this season."};
    return text[word];
}

static void put_given(const struct bt_desk_of *t, size_t bed)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    bool any = false;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        bool here = false;
        for (size_t k = 0; k < x->n_beds; k++)
            here |= x->bed[k] == bed;
        if (!here || !bt_deed_counts(t, x))
            continue;
        if (!any)
            bt_doc_paragraph(t->doc, "Put on this season:");
        any = true;
        bt_doc_item(t->doc, bt_arena_format(
                                a, "%s: %s of %s%s", bt_date_words(a, x->date.day),
                                x->amount.cell.text, bt_text_shown(a, x->written),
                                x->n_beds > 1 ? bt_arena_format(a, ", shared by beds %s",
                                                                bt_deed_beds(t, x))
                                              : ""));
    }
}

/* "2.3 oz of nitrogen", on the bed or in each pot. */
static const char *nitrogen(const struct bt_desk_of *t, const struct bt_record_bed *b,
                            double g_m2)
{
    const struct bt_on_bed on = bt_on_bed(t->show, b->bed);
    return bt_arena_format(
        t->record->kept, "%s %s of nitrogen",
        bt_figures_short(t->record->kept, g_m2 * on.per_g_m2, BT_FIGURES_FIRST), on.unit);
}

/* Whether an addition counts that is not done yet. */
static bool has_planned(const struct bt_record_account *x)
{
    for (size_t k = 0; k < x->n_lines; k++)
        if (x->line[k].side == BT_SUPPLY && x->line[k].planned &&
            (x->line[k].origin == BT_FROM_BOUGHT || x->line[k].origin == BT_FROM_INSIDE))
            return true;
    return false;
}

/* Enough over the season and short all the same: without a word it reads as a slip. */
static const char *why_short(const struct bt_record_account *x)
{
    const bool is_short = x->word == BT_SHORT || x->word == BT_PROBABLY_SHORT;
    if (!is_short || x->supply.likely < x->required.likely)
        return "";
    return x->tightest.likely < 0 ? " Not all of it comes when they need it."
                                  : " It may well be less than that, or come too late.";
}

static void put_sign(const struct bt_desk_of *t, const struct bt_record_bed *b)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_record_account *x = &b->account[BT_N];
    const char *crops = growing(t, b->number);
    bt_doc_page(t->doc);
    bt_doc_heading(t->doc, 2, bt_bed_title(a, b->bed));
    bt_doc_paragraph(t->doc, *crops ? bt_arena_format(a, "Growing here: %s.", crops)
                                    : "Nothing is on record as growing here.");
    for (size_t k = 0; k < b->n_for_pickers; k++)
        bt_doc_note(t->doc, bt_text_shown(a, b->alerts.text[k]));
    bt_doc_paragraph(t->doc, stand(x->word));
    if (x->known)
        bt_doc_paragraph(
            t->doc,
            bt_arena_format(
                a,
                "Over the season the crops need about %s%s. Soil, compost, plant "
                "remains, water and rain give about %s.%s%s",
                nitrogen(t, b, x->required.likely),
                b->bed->kind == BT_POTS ? " in each pot" : "",
                nitrogen(t, b, x->supply.likely), why_short(x),
                has_planned(x) ? " A part of that is planned and not put on yet." : ""));
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
                                     "Season %s. Plants need nitrogen, which comes from "
                                     "the soil, from compost, and with the help of "
                                     "beans and clover from the air.",
                                     bt_garden_season_name(a, g)));
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        bt_doc_item(t->doc, bt_arena_format(a, "%s: %s", bt_bed_title(a, b->bed),
                                            in_short(b->account[BT_N].word)));
    }
    for (size_t k = 0; k < t->record->n_beds; k++)
        put_sign(t, &t->record->bed[k]);
}
