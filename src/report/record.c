/* The documents of a record: which sections each reader gets, in which order. */
#include "report/record.h"

#include <string.h>

#include "base/date.h"
#include "report/answer.h"
#include "report/page.h"

const char *const bt_audience_words[] = {"record", "funder",     "file",
                                         "sign",   "volunteers", NULL};

static const char *title_of(struct bt_arena *a, const struct bt_garden *g,
                            enum bt_audience audience)
{
    static const char *const what[BT_AUDIENCES] = {[BT_FOR_RECORD] = "season record",
                                                   [BT_FOR_FUNDER] =
                                                       "materials and nutrients",
                                                   [BT_FOR_FILE] = "full file",
                                                   [BT_FOR_SIGN] = "beds",
                                                   [BT_FOR_VOLUNTEERS] = "jobs"};
    const char *name = g->name && *g->name ? g->name : "The garden";
    return bt_arena_format(a, "%s: %s %s", bt_text_shown(a, name), what[audience],
                           bt_garden_season_name(a, g));
}

static void put_garden(const struct bt_desk_of *t)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    double area_m2 = 0;
    for (size_t k = 0; k < t->record->n_beds; k++)
        area_m2 += t->record->bed[k].bed->area_m2;
    bt_doc_heading(t->doc, 1, t->doc->title);
    const char *text = bt_arena_format(
        a, "%zu %s, %s; season %s; deeds up to %s.", t->record->n_beds,
        t->record->n_beds == 1 ? "bed" : "beds", bt_area_text(t->show, area_m2),
        bt_garden_period(a, g), bt_garden_day(a, g, g->as_of));
    if (g->place && *g->place)
        text = bt_arena_format(a, "%s Place: %s.", text, g->place);
    if (g->prepared_by && *g->prepared_by)
        text = bt_arena_format(a, "%s Prepared by %s.", text, g->prepared_by);
    if (g->grant && *g->grant)
        text = bt_arena_format(a, "%s Grant: %s.", text, g->grant);
    if (g->funder && *g->funder)
        text = bt_arena_format(a, "%s Funder: %s.", text, g->funder);
    bt_doc_paragraph(t->doc, text);
}

/* The beds at a glance. */
static void put_glance(const struct bt_desk_of *t)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_doc_column columns[] = {
        {"Bed",                           "",  false},
        {"Nitrogen",                      "",  false},
        {"Chance of a visible shortfall", "",  false},
        {"Chance of too much left",       "",  false},
        {"Needed",                        "N", false},
        {"To have",                       "N", false}
    };
    struct bt_doc_table *table = bt_doc_table(t->doc, "The beds at a glance", 6, columns);
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        const struct bt_record_account *x = &b->account[BT_N];
        const struct bt_on_bed on = bt_on_bed(t->show, b->bed);
        const struct bt_doc_cell row[] = {
            bt_cell_text(bt_bed_title(a, b->bed)),
            bt_cell_text(bt_word_text(x->word)),
            bt_cell_text(bt_chance_text(a, x->chance_of_visible_shortfall)),
            bt_cell_text(bt_chance_text(a, x->chance_left_over_limit)),
            bt_cell_text(bt_arena_format(
                a, "%s %s",
                bt_figures_short(a, x->required.likely * on.per_g_m2, BT_FIGURES_FIRST),
                on.unit)),
            bt_cell_text(bt_arena_format(
                a, "%s %s",
                bt_figures_short(a, x->supply.likely * on.per_g_m2, BT_FIGURES_FIRST),
                on.unit))};
        bt_doc_row(t->doc, table, row);
    }
}

static void put_method(const struct bt_desk_of *t)
{
    bt_doc_heading(t->doc, 2, "How it was worked out");
    if (t->audience == BT_FOR_RECORD || t->audience == BT_FOR_FUNDER)
        bt_doc_paragraph(t->doc,
                         "Additions count here once they are done; what is only planned is "
                         "left out, so a bed may stand otherwise in the full file.");
    bt_doc_paragraph(
        t->doc,
        "For each bed the nitrogen that the crops must find in the soil (harvest times "
        "uptake, "
        "over the share that roots catch) is set against what soil organic matter, soil "
        "nitrate, "
        "composts and other additions, residues, water, rain and legumes make available, "
        "date by "
        "date through the season. Every figure that is not exactly known is a range, from "
        "the "
        "garden's own records where there are any and from published sources else. All "
        "ranges are "
        "drawn many times together, so that each answer is a chance. These are planning "
        "figures, "
        "not soil-test advice and not a nutrient management plan; where law, laboratory or "
        "extension service say otherwise, they are right.");
}

static const struct bt_texts *texts_of(const struct bt_record *r, size_t bed, size_t offset)
{
    return (const struct bt_texts *)(const void *)((const char *)&r->bed[bed] + offset);
}

static bool said_before(const struct bt_record *r, size_t bed, size_t offset,
                        const char *text)
{
    for (size_t k = 0; k < bed; k++) {
        const struct bt_texts *x = texts_of(r, k, offset);
        for (size_t i = 0; i < x->n; i++)
            if (strcmp(text, x->text[i]) == 0)
                return true;
    }
    return false;
}

/* Assumptions, what to measure and cautions of all beds, each once. */
static void put_each_once(const struct bt_desk_of *t, const char *title, size_t offset)
{
    const struct bt_record *r = t->record;
    bool any = false;
    for (size_t k = 0; k < r->n_beds; k++) {
        const struct bt_texts *x = texts_of(r, k, offset);
        for (size_t i = 0; i < x->n; i++) {
            if (said_before(r, k, offset, x->text[i]))
                continue;
            if (!any)
                bt_doc_heading(t->doc, 2, title);
            any = true;
            bt_doc_item(t->doc, x->text[i]);
        }
    }
}

/* What an assumption is of and what it is: "yield of a full stand of kale: 1 to 2 kg/m2"
 * into "yield of a full stand" and "kale". False for those of no subject. */
static bool split_assumed(struct bt_arena *a, const char *text, const char **out_what,
                          const char **out_of)
{
    const char *end = strchr(text, ':'), *of = NULL;
    for (const char *at = strstr(text, " of "); at && end && at < end;
         at = strstr(at + 1, " of "))
        of = at;
    if (!of)
        return false;
    *out_what = bt_arena_text_n(a, text, (size_t)(of - text));
    *out_of = bt_arena_text_n(a, of + strlen(" of "), (size_t)(end - of) - strlen(" of "));
    return true;
}

/* For a funder: which figures were assumed, of what, without their ranges. */
static void put_assumed_briefly(const struct bt_desk_of *t)
{
    const struct bt_record *r = t->record;
    struct bt_arena *a = r->kept;
    struct bt_texts all = {0}, what = {0};
    for (size_t k = 0; k < r->n_beds; k++)
        for (size_t i = 0; i < r->bed[k].assumed.n; i++)
            bt_record_keep_once(t->record, &all, r->bed[k].assumed.text[i]);
    if (all.n == 0)
        return;
    bt_doc_heading(t->doc, 2, "What was assumed");
    bt_doc_paragraph(t->doc, "These were not measured here; the usual range was taken from "
                             "published sources or, where there was none, from judgement. "
                             "The garden's full file gives each range.");
    for (size_t i = 0; i < all.n; i++) {
        const char *key, *of, *other, *names = "";
        if (!split_assumed(a, all.text[i], &key, &of)) {
            const char *end = strchr(all.text[i], ':');
            const char *text =
                end ? bt_arena_text_n(a, all.text[i], (size_t)(end - all.text[i]))
                    : all.text[i];
            const size_t before = what.n;
            bt_record_keep_once(t->record, &what, text);
            if (what.n > before)
                bt_doc_item(t->doc, text);
            continue;
        }
        const size_t before = what.n;
        bt_record_keep_once(t->record, &what, key);
        if (what.n == before)
            continue;
        for (size_t k = i; k < all.n; k++)
            if (split_assumed(a, all.text[k], &other, &of) && strcmp(other, key) == 0)
                names = bt_arena_format(a, "%s%s%s", names, *names ? ", " : "", of);
        bt_doc_item(t->doc, bt_arena_format(a, "%s: %s", key, names));
    }
}

static void put_measure(const struct bt_desk_of *t)
{
    enum { NAMED = 5 };
    struct bt_arena *a = t->record->kept;
    struct bt_doubt_part part;
    if (!bt_doubt_measure(t->record->doubt, 0, &part))
        return;
    bt_doc_heading(t->doc, 2, "What to measure next");
    bt_doc_paragraph(t->doc,
                     "Doubt is counted as the square of a range's width: what takes away a "
                     "third of it makes the range about a fifth narrower.");
    for (size_t k = 0; k < NAMED && bt_doubt_measure(t->record->doubt, k, &part); k++)
        bt_doc_item(t->doc, bt_arena_format(
                                a, "%s (bed %s): takes away about %s of the doubt",
                                part.text, part.bed, bt_percent_text(a, part.share_frac)));
}

/* What was worked out beside the beds. */
static void put_parts(const struct bt_desk_of *t)
{
    const struct bt_doc *const part[] = {t->record->legumes, t->record->plan,
                                         t->record->compared};
    for (size_t k = 0; k < sizeof part / sizeof *part; k++)
        if (part[k])
            bt_doc_append(t->doc, part[k]);
}

static void put_record(const struct bt_desk_of *t)
{
    put_garden(t);
    bt_record_put_alerts(t);
    bt_record_put_summary(t);
    put_glance(t);
    bt_record_put_deeds(t);
    bt_record_put_cost(t);
    bt_record_put_purchases(t);
    bt_record_put_harvests(t);
    bt_record_put_not_bought(t);
    bt_record_put_tests(t);
    for (size_t k = 0; k < t->record->n_beds; k++)
        bt_record_put_bed(t, &t->record->bed[k]);
    put_parts(t);
    bt_doc_page(t->doc);
    if (t->audience == BT_FOR_FILE)
        put_measure(t);
    else
        put_each_once(t, "What was assumed", offsetof(struct bt_record_bed, assumed));
    put_each_once(t, "Mind", offsetof(struct bt_record_bed, cautions));
    bt_record_count_mentions(t->record, &t->record->of_cautions);
    if (t->audience == BT_FOR_FILE)
        bt_record_count_mentions(t->record, &t->record->of_measuring);
    put_method(t);
    bt_record_put_sources(t);
}

struct bt_doc *bt_record_document(struct bt_record *r, const struct bt_show *w,
                                  enum bt_audience audience)
{
    const struct bt_desk_of t = {r, w,
                                 bt_doc_new(r->kept, title_of(r->kept, r->garden, audience),
                                            bt_audience_words[audience], r->version),
                                 audience};
    switch (audience) {
    case BT_FOR_FUNDER:
        put_garden(&t);
        bt_record_funder(&t);
        put_assumed_briefly(&t);
        put_method(&t);
        bt_record_put_sources(&t);
        break;
    case BT_FOR_SIGN: bt_record_sign(&t); break;
    case BT_FOR_VOLUNTEERS: bt_record_volunteers(&t); break;
    case BT_FOR_RECORD:
    case BT_FOR_FILE:
    case BT_AUDIENCES: put_record(&t); break;
    }
    return t.doc;
}
