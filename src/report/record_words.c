/* The record in words: a summary, and texts for a form, written from the numbers and
 * counted. They say what was done; what should be done is not theirs to say. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "report/answer.h"
#include "report/page.h"
#include "report/record.h"

enum { SHORT_TEXT = 500, LEAST_WORDS = 150, MOST_WORDS = 200, SENTENCES = 20, NAMED = 6 };

static const char *join(struct bt_arena *a, size_t n, const char *const *text)
{
    const char *all = "";
    for (size_t k = 0; k < n; k++)
        all = bt_arena_format(a, "%s%s%s", all,
                              k == 0       ? ""
                              : k + 1 == n ? " and "
                                           : ", ",
                              text[k]);
    return all;
}

/* ---- facts of the whole garden ---- */

struct facts {
    double area_m2, need_g, already_g, gap_g, bought_g, money, left_g;
    bool any_bought, any_priced, all_priced, keeps_low;
    size_t n_items, n_inside, n_grown, n_legumes, n_full;
    const char *item[NAMED], *inside[NAMED], *grown[NAMED], *legume[NAMED], *full[NAMED];
    double harvest_g;
};

/* Adds a name once; what does not fit is left out. */
static void name_once(const char **list, size_t *n, const char *name)
{
    for (size_t k = 0; k < *n; k++)
        if (bt_text_is(list[k], name))
            return;
    if (*n < NAMED)
        list[(*n)++] = name;
}

static const char *name_of(const struct bt_application *x)
{
    return x->own ? x->own->name : x->written;
}

static bool counts(const struct bt_desk_of *t, const struct bt_application *x)
{
    return bt_deed_in_season(t->record->garden, x) && x->status == BT_DONE && !x->is_advice;
}

/* All of one material that was brought in, as "town compost (about 610 lb)". */
static const char *item_text(const struct bt_desk_of *t, const struct bt_application *of)
{
    const struct bt_garden *g = t->record->garden;
    double fresh_g = 0;
    for (size_t i = 0; i < g->n_applications; i++) {
        struct bt_record_share s;
        const struct bt_application *x = &g->application[i];
        if (counts(t, x) && bt_deed_is_inside(x) == bt_deed_is_inside(of) &&
            bt_text_is(name_of(x), name_of(of)) && bt_deed_sums(t->record, x, &s))
            fresh_g += s.fresh_g;
    }
    struct bt_arena *a = t->record->kept;
    const char *name = bt_text_shown(a, name_of(of));
    return isfinite(fresh_g) && fresh_g > 0
               ? bt_arena_format(a, "%s (about %s)", name,
                                 bt_garden_mass_text(t->show, fresh_g, BT_FIGURES_FIRST))
               : name;
}

static void of_deeds(const struct bt_desk_of *t, struct facts *f)
{
    const struct bt_garden *g = t->record->garden;
    f->all_priced = true;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        if (!counts(t, x))
            continue;
        if (bt_deed_is_inside(x)) {
            name_once(f->inside, &f->n_inside, item_text(t, x));
            continue;
        }
        struct bt_record_share s;
        const struct bt_cost c = bt_deed_cost(t, x);
        name_once(f->item, &f->n_items, item_text(t, x));
        bt_deed_sums(t->record, x, &s);
        f->bought_g += s.available_n_g;
        f->any_bought = true;
        f->any_priced |= c.known;
        f->all_priced &= c.known;
        f->money += c.known ? c.money : 0;
    }
}

static void of_beds(const struct bt_desk_of *t, struct facts *f)
{
    const double seldom = 1 - t->record->garden->enough;
    f->keeps_low = true;
    for (size_t k = 0; k < t->record->n_beds; k++) {
        const struct bt_record_bed *b = &t->record->bed[k];
        const struct bt_record_account *x = &b->account[BT_N];
        const double area_m2 = b->bed->area_m2;
        bool bought = false;
        f->area_m2 += area_m2;
        f->need_g += x->required.likely * area_m2;
        f->already_g += b->already.likely * area_m2;
        f->gap_g += b->gap.likely > 0 ? b->gap.likely * area_m2 : 0;
        for (size_t i = 0; i < x->n_lines; i++)
            bought |= x->line[i].side == BT_SUPPLY && x->line[i].origin == BT_FROM_BOUGHT;
        f->keeps_low &= !bought || x->chance_left_over_limit < seldom;
        if (!bought && x->word == BT_MORE_THAN_ENOUGH)
            name_once(f->full, &f->n_full, bt_text_shown(t->record->kept, b->bed->id));
        for (size_t i = 0; i < b->n_legumes; i++) {
            name_once(f->legume, &f->n_legumes, b->legume[i].name);
            f->left_g += b->legume[i].left.likely * area_m2;
        }
    }
}

static struct facts facts_of(const struct bt_desk_of *t)
{
    const struct bt_garden *g = t->record->garden;
    struct facts f = {0};
    of_deeds(t, &f);
    of_beds(t, &f);
    for (size_t i = 0; i < g->n_plantings; i++) {
        const struct bt_planting *p = &g->planting[i];
        const bool now = !p->ended.known || p->ended.day > g->season_start;
        if (now && !(p->in_ground.known && p->in_ground.day > g->season_end) &&
            !(p->picked & BT_PICKED_NOTHING))
            name_once(f.grown, &f.n_grown, bt_text_shown(t->record->kept, p->written));
    }
    for (size_t i = 0; i < g->n_harvests; i++)
        if (g->harvest[i].date.day >= g->season_start &&
            g->harvest[i].date.day <= g->season_end)
            f.harvest_g += g->harvest[i].amount.range.likely;
    return f;
}

/* ---- sentences and their choice ---- */

struct sentence {
    const char *text;
    int rank; /* 1 is needed most */
};

struct choice {
    struct bt_arena *arena;
    size_t n;
    struct sentence sentence[SENTENCES];
    bool taken[SENTENCES];
};

static void say(struct choice *c, int rank, const char *text)
{
    if (c->n < SENTENCES)
        c->sentence[c->n++] = (struct sentence){text, rank};
}

/* Characters as a form counts them. */
static size_t characters(const char *text)
{
    size_t n = 0;
    for (; *text; text++)
        n += ((unsigned char)*text & 0xC0u) != 0x80u;
    return n;
}

static size_t words(const char *text)
{
    size_t n = 0;
    for (const char *at = text + strspn(text, " "); *at; at += strspn(at, " ")) {
        n++;
        at += strcspn(at, " ");
    }
    return n;
}

static const char *taken_text(const struct choice *c)
{
    const char *text = "";
    for (size_t k = 0; k < c->n; k++)
        if (c->taken[k])
            text = bt_arena_format(c->arena, "%s%s%s", text, *text ? " " : "",
                                   c->sentence[k].text);
    return text;
}

/* As many sentences as fit, the most needed first, each whole, in the order of the text. */
static const char *choose(struct choice *c, size_t most, size_t (*measure)(const char *))
{
    memset(c->taken, 0, sizeof c->taken);
    for (int rank = 1; rank < 10; rank++)
        for (size_t k = 0; k < c->n; k++) {
            if (c->sentence[k].rank != rank)
                continue;
            c->taken[k] = true;
            if (measure(taken_text(c)) > most)
                c->taken[k] = false;
        }
    return taken_text(c);
}

static const char *mass(const struct bt_desk_of *t, double g)
{
    return bt_garden_mass_text(t->show, g, BT_FIGURES_FIRST);
}

/* "14 and 21 oz", after "between". */
static const char *range_text(const struct bt_desk_of *t, const struct bt_spread *s)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_garden_unit in = bt_garden_unit(t->show, s->likely);
    return bt_arena_format(
        a, "%s and %s %s", bt_figures_short(a, s->p05 * in.per_g, BT_FIGURES_FIRST),
        bt_figures_short(a, s->p95 * in.per_g, BT_FIGURES_FIRST), in.unit);
}

static const char *garden_name(const struct bt_desk_of *t)
{
    const char *name = t->record->garden->name;
    return name && *name ? bt_text_shown(t->record->kept, name) : "Our garden";
}

static const char *beds_words(const struct bt_desk_of *t, const struct facts *f)
{
    return bt_arena_format(t->record->kept, "%zu %s (%s)", t->record->n_beds,
                           t->record->n_beds == 1 ? "bed" : "beds",
                           bt_area_text(t->show, f->area_m2));
}

/* What was brought in, shared by both texts. */
static void say_bought(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    if (!f->any_bought) {
        say(c, 2, "Nothing was bought for the soil this season.");
        return;
    }
    const char *gives =
        f->bought_g > 0
            ? bt_arena_format(a, ", which together give about %s of it this season",
                              mass(t, f->bought_g))
            : "";
    say(c, 2,
        bt_arena_format(a, "We brought in %s%s.", join(a, f->n_items, f->item), gives));
    if (f->any_priced)
        say(c, 3,
            bt_arena_format(a, "%s cost %s.",
                            f->all_priced ? "These materials"
                                          : "Those with a price on record",
                            bt_money(t, f->money)));
}

static void say_not_bought(struct choice *c, const struct bt_desk_of *t,
                           const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    if (f->n_full && f->any_bought)
        say(c, 4,
            bt_arena_format(a,
                            "Nothing was bought for %s %s, where there is more than enough "
                            "already.",
                            f->n_full == 1 ? "bed" : "beds", join(a, f->n_full, f->full)));
    if (f->any_bought && f->keeps_low)
        say(c, 4,
            "In each bed that got bought material, little is likely to be left over for "
            "autumn rain to wash into water.");
}

static void say_harvest(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    if (f->harvest_g > 0)
        say(c, 5,
            bt_arena_format(t->record->kept, "So far %s of produce was weighed in.",
                            bt_garden_mass_text(t->show, f->harvest_g, BT_FIGURES)));
}

static const char *short_text(const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    struct choice c = {.arena = a};
    say(&c, 1,
        bt_arena_format(a, "%s grows food on %s.", garden_name(t), beds_words(t, f)));
    say(&c, 1,
        bt_arena_format(
            a,
            "The crops need about %s of nitrogen this season; soil, plant remains and "
            "the garden's own material give about %s.",
            mass(t, f->need_g), mass(t, f->already_g)));
    say_bought(&c, t, f);
    say_not_bought(&c, t, f);
    say_harvest(&c, t, f);
    return choose(&c, SHORT_TEXT, characters);
}

static void say_plants(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    say(c, 1,
        bt_arena_format(a, "%s grows %s%s on %s.", garden_name(t),
                        join(a, f->n_grown, f->grown),
                        f->n_grown == NAMED ? " among others" : "", beds_words(t, f)));
    say(c, 6,
        "Crops with too little nitrogen yield less, and what is too much is money lost and "
        "can wash into water, so we worked out what each bed needs before counting what it "
        "got.");
}

static void say_balance(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_spread *need = &t->record->total[BT_N].required;
    say(c, 1,
        bt_arena_format(
            a,
            "This season the crops need about %s of nitrogen (nine times in ten "
            "between %s).",
            mass(t, f->need_g), range_text(t, need)));
    say(c, 1,
        bt_arena_format(
            a,
            "Soil, water, plant remains and the garden's own material give about %s; "
            "bed by bed, about %s was missing before anything was bought.",
            mass(t, f->already_g), mass(t, f->gap_g)));
    if (f->n_inside)
        say(c, 5,
            bt_arena_format(a, "From inside the garden we used %s, at no cost.",
                            join(a, f->n_inside, f->inside)));
    if (f->n_legumes)
        say(c, 5,
            bt_arena_format(
                a,
                "The %s took nitrogen from the air; about %s of it stays in the soil "
                "for what grows after.",
                join(a, f->n_legumes, f->legume), mass(t, f->left_g)));
}

static const char *long_text(const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    struct choice c = {.arena = a};
    say_plants(&c, t, f);
    say_balance(&c, t, f);
    say_bought(&c, t, f);
    say_not_bought(&c, t, f);
    say_harvest(&c, t, f);
    say(&c, 6,
        bt_arena_format(
            a,
            "The figures come from measured beds, %s and %zu published sources, each "
            "of which is listed with this record.",
            t->record->garden->n_tests ? "the garden's own soil tests"
                                       : "the garden's own planting records",
            t->record->n_sources));
    say(&c, 7,
        "Where something was not measured, the usual range was taken and is named as an "
        "assumption, so a reader can see what a test would change.");
    say(&c, 8,
        "Bought material and material moved inside the garden are kept apart in the "
        "tables.");
    say(&c, 8,
        "Every quantity can be worked out again from the garden's own notes, and the "
        "working "
        "is kept on file for anyone who asks.");
    say(&c, 9,
        "The tables that follow give, for each bed, the need, what was already there, the "
        "gap, and what was put on, with date, quantity and purpose.");
    return choose(&c, MOST_WORDS, words);
}

void bt_record_put_justification(const struct bt_desk_of *t)
{
    const struct facts f = facts_of(t);
    struct bt_arena *a = t->record->kept;
    const char *brief = short_text(t, &f), *full = long_text(t, &f);
    bt_doc_heading(t->doc, 2, "In up to 500 characters");
    bt_doc_paragraph(t->doc, brief);
    bt_doc_note(t->doc, bt_arena_format(a, "%zu characters.", characters(brief)));
    bt_doc_heading(t->doc, 2, "In 150 to 200 words");
    bt_doc_paragraph(t->doc, full);
    const size_t n = words(full);
    bt_doc_note(t->doc,
                bt_arena_format(a, "%zu words%s.", n,
                                n < LEAST_WORDS ? ": there was no more to say" : ""));
}

/* ---- the summary of the record ---- */

void bt_record_put_summary(const struct bt_desk_of *t)
{
    static const enum bt_word order[] = {BT_SHORT, BT_PROBABLY_SHORT, BT_CANT_SAY,
                                         BT_ENOUGH, BT_MORE_THAN_ENOUGH};
    struct bt_arena *a = t->record->kept;
    const struct facts f = facts_of(t);
    bt_doc_heading(t->doc, 2, "In a few words");
    for (size_t w = 0; w < sizeof order / sizeof *order; w++) {
        const char *beds = "";
        for (size_t k = 0; k < t->record->n_beds; k++)
            if (t->record->bed[k].account[BT_N].word == order[w])
                beds = bt_arena_format(a, "%s%s%s", beds, *beds ? ", " : "",
                                       t->record->bed[k].bed->id);
        if (*beds)
            bt_doc_item(t->doc, bt_arena_format(a, "Nitrogen, %s: %s.",
                                                bt_word_text(order[w]), beds));
    }
    bt_doc_item(
        t->doc,
        bt_arena_format(a,
                        "All beds together need about %s N (9 times in 10 between %s) and "
                        "have about %s (between %s).",
                        mass(t, f.need_g), range_text(t, &t->record->total[BT_N].required),
                        mass(t, t->record->total[BT_N].supply.likely),
                        range_text(t, &t->record->total[BT_N].supply)));
    char **sentence;
    const size_t n = bt_verdict_sentences(t->record->verdict, t->show, &sentence);
    for (size_t k = 0; k < n; k++)
        bt_doc_item(t->doc, bt_arena_text(a, sentence[k]));
}
