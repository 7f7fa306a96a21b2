/* The record in words: a summary, and texts for a form, written from the numbers and
 * counted. They say what was done; what should be done is not theirs to say. */
#include <math.h>
#include <string.h>

#include "base/date.h"
#include "base/text.h"
#include "report/answer.h"
#include "report/page.h"
#include "report/record.h"

enum { SHORT_TEXT = 500, LEAST_WORDS = 150, MOST_WORDS = 200, SENTENCES = 24, NAMED = 6 };

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

/* Names, each once; the first few are said, the others counted. */
struct names {
    size_t n, capacity;
    const char **name;
};

struct facts {
    double area_m2, need_g, already_g, gap_g, bought_g, money, given, left_g, harvest_g;
    size_t n_lacking;
    bool any_bought, any_priced, all_priced, keeps_low;
    struct names item, gift, inside, grown, legume, full, full_p2o5;
};

static void name_once(struct bt_arena *a, struct names *to, const char *name)
{
    for (size_t k = 0; k < to->n; k++)
        if (bt_text_is(to->name[k], name))
            return;
    to->name = bt_arena_grow(a, to->name, &to->capacity, to->n, sizeof *to->name);
    to->name[to->n++] = name;
}

/* "lettuce, kale and 5 more" */
static const char *list_of(struct bt_arena *a, const struct names *x, const char *more)
{
    if (x->n <= NAMED + 1)
        return join(a, x->n, x->name);
    const char *name[NAMED + 1];
    memcpy(name, x->name, NAMED * sizeof *name);
    name[NAMED] = bt_arena_format(a, "%zu %s", x->n - NAMED, more);
    return join(a, NAMED + 1, name);
}

/* All of one material, as "town compost (about 610 lb)". */
static const char *item_text(const struct bt_desk_of *t, const struct bt_application *of)
{
    const struct bt_garden *g = t->record->garden;
    const enum bt_way_in way = bt_deed_way(t, of);
    double fresh_g = 0;
    for (size_t i = 0; i < g->n_applications; i++) {
        struct bt_record_share s;
        const struct bt_application *x = &g->application[i];
        if (bt_deed_counts(t, x) && bt_text_is(bt_deed_name(x), bt_deed_name(of)) &&
            bt_deed_way(t, x) == way && bt_deed_sums(t->record, x, &s))
            fresh_g += s.fresh_g;
    }
    struct bt_arena *a = t->record->kept;
    const char *name = bt_text_shown(a, bt_deed_name(of));
    return fresh_g > 0
               ? bt_arena_format(a, "%s (about %s)", name,
                                 bt_garden_mass_text(t->show, fresh_g, BT_FIGURES_FIRST))
               : name;
}

/* What was given, on a bed or not. */
static void of_gifts(const struct bt_desk_of *t, struct facts *f)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    for (size_t i = 0; i < g->n_purchases; i++) {
        const struct bt_purchase *p = &g->purchase[i];
        const char *name = bt_text_shown(a, p->material);
        bool is_put_on = false;
        if (p->donated_value.presence != BT_GIVEN)
            continue;
        f->given += p->donated_value.range.likely;
        for (size_t k = 0; k < f->gift.n; k++)
            is_put_on |= bt_text_starts(f->gift.name[k], name);
        if (!is_put_on)
            name_once(a, &f->gift, name);
    }
}

static void of_deeds(const struct bt_desk_of *t, struct facts *f)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    f->all_priced = true;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        struct bt_record_share s;
        if (!bt_deed_counts(t, x))
            continue;
        const enum bt_way_in way = bt_deed_way(t, x);
        struct names *list = way == BT_WAY_INSIDE  ? &f->inside
                             : way == BT_WAY_GIVEN ? &f->gift
                                                   : &f->item;
        name_once(a, list, item_text(t, x));
        if (way != BT_WAY_INSIDE && bt_deed_sums(t->record, x, &s))
            f->bought_g += s.available_n_g;
        if (way != BT_WAY_BOUGHT)
            continue;
        const struct bt_cost c = bt_deed_cost(t, x);
        f->any_bought = true;
        f->any_priced |= c.known;
        f->all_priced &= c.known;
        f->money += c.known ? c.money : 0;
    }
    of_gifts(t, f);
}

static void of_bed(const struct bt_desk_of *t, struct facts *f,
                   const struct bt_record_bed *b)
{
    struct bt_arena *a = t->record->kept;
    const double seldom = 1 - t->record->garden->enough, area_m2 = b->bed->area_m2;
    const struct bt_record_account *x = &b->account[BT_N], *p2o5 = &b->account[BT_P2O5];
    const char *id = bt_text_shown(a, b->bed->id);
    bool brought = false;
    for (size_t i = 0; i < x->n_lines; i++)
        brought |= x->line[i].side == BT_SUPPLY && x->line[i].origin == BT_FROM_BOUGHT;
    f->area_m2 += area_m2;
    if (b->has_gap) {
        f->need_g += x->required.likely * area_m2;
        f->already_g += b->already.likely * area_m2;
        f->gap_g += b->gap.likely > 0 ? b->gap.likely * area_m2 : 0;
        f->n_lacking += b->gap.likely > 0;
    }
    f->keeps_low &= !brought || x->chance_left_over_limit < seldom;
    if (!brought && x->word == BT_MORE_THAN_ENOUGH)
        name_once(a, &f->full, id);
    if (!brought && p2o5->there && p2o5->known && p2o5->is_full)
        name_once(a, &f->full_p2o5, id);
    for (size_t i = 0; i < b->n_legumes; i++) {
        name_once(a, &f->legume, bt_text_shown(a, b->legume[i].name));
        f->left_g += b->legume[i].left.likely * area_m2;
    }
}

static struct facts facts_of(const struct bt_desk_of *t)
{
    const struct bt_garden *g = t->record->garden;
    struct facts f = {.keeps_low = true};
    of_deeds(t, &f);
    for (size_t k = 0; k < t->record->n_beds; k++)
        of_bed(t, &f, &t->record->bed[k]);
    for (size_t i = 0; i < g->n_plantings; i++) {
        const struct bt_planting *p = &g->planting[i];
        const bool now = !p->ended.known || p->ended.day > g->season_start;
        if (now && !(p->in_ground.known && p->in_ground.day > g->season_end) &&
            !(p->picked & BT_PICKED_NOTHING))
            name_once(t->record->kept, &f.grown,
                      bt_text_shown(t->record->kept, p->written));
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
    if (!name || !*name)
        return "Our garden";
    char *shown = bt_arena_text(t->record->kept, bt_text_shown(t->record->kept, name));
    if (*shown >= 'a' && *shown <= 'z')
        *shown = (char)(*shown - 'a' + 'A'); /* it begins a sentence */
    return shown;
}

static const char *beds_words(const struct bt_desk_of *t, const struct facts *f)
{
    return bt_arena_format(t->record->kept, "%zu %s (%s)", t->record->n_beds,
                           t->record->n_beds == 1 ? "bed" : "beds",
                           bt_area_text(t->show, f->area_m2));
}

static void say_bought(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    if (!f->any_bought) {
        say(c, 2, "Nothing was bought for the soil this season.");
        return;
    }
    const char *cost = "";
    if (f->any_priced)
        cost = bt_arena_format(a, " for %s%s", bt_money(t, f->money),
                               f->all_priced ? "" : ", as far as a price is on record");
    say(c, 2,
        bt_arena_format(a, "We %s %s%s.", f->any_priced ? "bought" : "brought in",
                        list_of(a, &f->item, "more"), cost));
}

/* What all that was brought in gives. */
static void say_gives(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    if (f->bought_g > 0)
        say(c, 3,
            bt_arena_format(a,
                            "What was brought in gives about %s of nitrogen this season.",
                            mass(t, f->bought_g)));
}

static void say_given(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    const char *worth =
        f->given > 0 ? bt_arena_format(a, ", worth %s", bt_money(t, f->given)) : "";
    if (f->gift.n > 0)
        say(c, 4,
            bt_arena_format(a, "We were given %s%s.", list_of(a, &f->gift, "more"), worth));
}

static void say_not_bought(struct choice *c, const struct bt_desk_of *t,
                           const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    if (f->full.n > 0 && f->any_bought)
        say(c, 4,
            bt_arena_format(a,
                            "Nothing was bought for %s %s, where there is more than enough "
                            "already.",
                            f->full.n == 1 ? "bed" : "beds", list_of(a, &f->full, "more")));
    if (f->full_p2o5.n > 0)
        say(c, 6,
            bt_arena_format(a,
                            "No phosphate was brought in for %s %s, where the soil test is "
                            "already very high.",
                            f->full_p2o5.n == 1 ? "bed" : "beds",
                            list_of(a, &f->full_p2o5, "more")));
    if (f->any_bought && f->keeps_low)
        say(c, 4,
            "In each bed that got material from outside, little is likely to be left over "
            "for "
            "autumn rain to wash into water.");
}

static void say_harvest(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    const char *unit = t->show->us_units ? "lb" : "kg";
    const double shown = f->harvest_g * bt_units_factor_to(t->show->units, a, unit);
    if (f->harvest_g > 0)
        say(c, 5,
            bt_arena_format(a, "By %s %s %s of produce had been harvested.",
                            bt_date_words(a, t->record->garden->as_of),
                            bt_figures_short(a, shown, BT_FIGURES_FIRST), unit));
}

/* "on all 8 beds ", "on 4 of the 8 beds "; nothing where there is one bed alone. */
static const char *on_beds(const struct bt_desk_of *t, size_t n)
{
    const size_t all = t->record->n_beds;
    struct bt_arena *a = t->record->kept;
    if (all == 1)
        return "";
    return n == all ? bt_arena_format(a, "on all %zu beds ", n)
                    : bt_arena_format(a, "on %zu of the %zu beds ", n, all);
}

/* " (nine times in ten between 1.5 and 14 oz)" */
static const char *gap_range(const struct bt_desk_of *t)
{
    const struct bt_spread gap = bt_record_sum(t->record, BT_SUM_GAP);
    return gap.p95 > gap.p05
               ? bt_arena_format(t->record->kept, " (nine times in ten between %s)",
                                 range_text(t, &gap))
               : "";
}

static const char *short_text(const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    struct choice c = {.arena = a};
    const char *lack = f->n_lacking == 0 ? ""
                                         : bt_arena_format(a, "; %sabout %s was missing%s",
                                                           on_beds(t, f->n_lacking),
                                                           mass(t, f->gap_g), gap_range(t));
    say(&c, 1,
        bt_arena_format(a, "%s grows food on %s.", garden_name(t), beds_words(t, f)));
    if (f->need_g > 0)
        say(&c, 1,
            bt_arena_format(a,
                            "The crops need about %s of nitrogen this season. Soil, water, "
                            "plant remains and the garden's own material give about %s%s.",
                            mass(t, f->need_g), mass(t, f->already_g), lack));
    say_bought(&c, t, f);
    say_gives(&c, t, f);
    say_not_bought(&c, t, f);
    say_given(&c, t, f);
    say_harvest(&c, t, f);
    return choose(&c, SHORT_TEXT, characters);
}

static void say_plants(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    say(c, 1,
        bt_arena_format(a, "%s grows %s on %s.", garden_name(t),
                        f->grown.n > 0 ? list_of(a, &f->grown, "other crops") : "food",
                        beds_words(t, f)));
    say(c, 6,
        "Crops with too little nitrogen yield less, and what is too much is money lost and "
        "can wash into water, so we worked out what each bed needs.");
}

static void say_balance(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    const struct bt_spread *need = &t->record->total[BT_N].required;
    if (!(f->need_g > 0))
        return;
    say(c, 1,
        bt_arena_format(
            a,
            "This season the crops need about %s of nitrogen (nine times in ten "
            "between %s).",
            mass(t, f->need_g), range_text(t, need)));
    const char *lack =
        f->n_lacking == 0
            ? "that covers the likely need."
            : bt_arena_format(a,
                              "%sthat is too little, and about %s%s was missing before "
                              "anything was brought in.",
                              on_beds(t, f->n_lacking), mass(t, f->gap_g), gap_range(t));
    say(c, 1,
        bt_arena_format(a,
                        "Soil, water, plant remains and the garden's own material give "
                        "about %s; %s",
                        mass(t, f->already_g), lack));
}

static void say_own(struct choice *c, const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    if (f->inside.n > 0)
        say(c, 5,
            bt_arena_format(a, "From inside the garden we used %s, at no cost.",
                            list_of(a, &f->inside, "more")));
    if (f->legume.n > 0 && f->left_g > 0)
        say(c, 5,
            bt_arena_format(a,
                            "The %s %s nitrogen from the air; about %s of it stays in the "
                            "soil for what grows after.",
                            list_of(a, &f->legume, "more"),
                            f->legume.n == 1 ? "takes" : "take", mass(t, f->left_g)));
}

static const char *long_text(const struct bt_desk_of *t, const struct facts *f)
{
    struct bt_arena *a = t->record->kept;
    struct choice c = {.arena = a};
    say_plants(&c, t, f);
    say_balance(&c, t, f);
    say_bought(&c, t, f);
    say_gives(&c, t, f);
    say_given(&c, t, f);
    say_own(&c, t, f);
    say_not_bought(&c, t, f);
    say_harvest(&c, t, f);
    say(&c, 6,
        bt_arena_format(a,
                        "The figures come from measured beds, %s and the sources listed "
                        "with this record, each marked by how it is known.",
                        t->record->garden->n_tests ? "the garden's own soil tests"
                                                   : "the garden's own planting records"));
    say(&c, 7,
        "Where something was not measured, the usual range was taken and is named as an "
        "assumption, so a reader can see what a test would change.");
    say(&c, 8,
        "Bought material and material moved inside the garden are kept apart in the "
        "tables.");
    say(&c, 8,
        "Every quantity can be worked out again from the garden's own notes, and the "
        "working is kept on file for anyone who asks.");
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
    static const enum bt_word order[] = {BT_SHORT,  BT_PROBABLY_SHORT,   BT_CANT_SAY,
                                         BT_ENOUGH, BT_MORE_THAN_ENOUGH, BT_NO_CROP};
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
