/* What a soil test says of phosphorus and potassium, looked at as a whole: a figure without
 * its method, a method or a word that no table knows, and a laboratory's advice, word and
 * figure that do not agree. */
#include "input/garden_read.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "input/number.h"
#include "input/ratings.h"

/* One nutrient of one test. */
struct side {
    const char *column, *method_column, *rating_column, *advised_column;
    const struct bt_rated *rated;
    struct bt_quantity *content;
    const struct bt_quantity *advised;
    const char *method, *rating;
    struct bt_pos at; /* of the test's row */
};

static bool is_figure(const struct bt_quantity *q)
{
    return q->presence == BT_GIVEN && !q->word;
}

static struct bt_cell cell_of(const struct side *s, const char *text)
{
    return (struct bt_cell){text, is_figure(s->content) ? s->content->cell.at : s->at};
}

/* The extractant; NULL, with a warning where the figure then cannot be read. */
static const char *method_of(struct bt_gr *g, const struct side *s)
{
    const char *known = bt_extractants(g->arena, g->handbook, s->rated);
    const bool other_way = s->rating || is_figure(s->advised);
    const char *extractant =
        s->method ? bt_extractant(g->arena, g->handbook, s->method) : NULL;
    const struct bt_cell cell = cell_of(s, s->method ? s->method : s->content->cell.text);
    if (!*known || !is_figure(s->content))
        return extractant;
    if (!s->method) {
        if (!other_way)
            bt_gr_warn(
                g, &cell, s->method_column,
                bt_arena_format(g->arena, "the method behind this figure: %s", known),
                "the same figure is low by one and very high by another; it stands "
                "on the laboratory's sheet. Without it the need is not known");
        return NULL;
    }
    if (!extractant)
        bt_gr_warn(
            g, &cell, s->method_column, known,
            s->rating
                ? bt_arena_format(g->arena, "the figure is not used; %s counts",
                                  s->rating_column)
                : bt_arena_format(g->arena,
                                  "the figure alone says nothing: write the laboratory's "
                                  "own word or letter for it (low, H) in %s",
                                  s->rating_column));
    else if (!bt_class_of_content(g->handbook, extractant, s->rated, 0))
        bt_gr_warn(g, &cell, s->method_column, known,
                   bt_arena_format(g->arena, "there are no ratings of %s by %s", s->column,
                                   extractant));
    else
        return extractant;
    return NULL;
}

static double need_of(const struct bt_gr *g, const struct side *s, const char *key)
{
    return bt_handbook_row(g->handbook, "ratings", key, s->rated->need)->range.likely;
}

/* Words of scales differ by a class between laboratories; by more, one is a slip. */
static void word_against_figure(struct bt_gr *g, const struct side *s, const char *of_word,
                                const char *of_figure)
{
    const double word = bt_category_rank(bt_class_category(of_word));
    const double figure = bt_category_rank(bt_class_category(of_figure));
    const struct bt_cell cell = cell_of(s, s->rating);
    if (word < 0 || figure < 0 || fabs(word - figure) <= 1)
        return;
    bt_gr_warn(g, &cell, s->rating_column,
               bt_arena_format(g->arena, "a word that fits the figure, %s (%s)",
                               s->content->cell.text, of_figure),
               "the laboratory's word counts before the figure; look at the unit, at the "
               "method, and whether it is P or P2O5, K or K2O");
}

static void advice_against(struct bt_gr *g, const struct side *s, const char *key)
{
    const double advised = s->advised->range.likely;
    const bool needs = need_of(g, s, key) > 0;
    const struct bt_cell cell = s->advised->cell;
    if ((advised > 0) == needs)
        return;
    /* A little to keep an optimum soil there is a matter of taste. */
    const double rank = bt_category_rank(bt_class_category(key));
    if (advised <= 0 && rank >= bt_category_rank("optimum"))
        return;
    bt_gr_warn(g, &cell, s->advised_column,
               bt_arena_format(g->arena, "%s for a soil rated %s",
                               needs ? "something" : "nothing", bt_class_said(key)),
               !needs && rank >= bt_category_rank("very high")
                   ? "ask the laboratory why: nothing is planned for a soil that is full"
                   : "the laboratory's advice counts first; ask the laboratory why");
}

static void check_side(struct bt_gr *g, const struct side *s)
{
    const char *extractant = method_of(g, s);
    const char *of_word = NULL, *of_figure = NULL;
    if (s->rating) {
        of_word = bt_class_of_word(g->arena, g->handbook, extractant, s->rated, s->rating);
        const struct bt_cell cell = cell_of(s, s->rating);
        if (!of_word && *bt_extractants(g->arena, g->handbook, s->rated))
            bt_gr_warn(g, &cell, s->rating_column,
                       "VL, L, M, optimum, H, VH, or such a word",
                       "this word is of no scale that is known here");
    }
    if (extractant && is_figure(s->content))
        of_figure = bt_class_of_content(g->handbook, extractant, s->rated,
                                        s->content->range.likely);
    if (of_word && of_figure)
        word_against_figure(g, s, of_word, of_figure);
    if (is_figure(s->advised) && (of_word || of_figure))
        advice_against(g, s, of_word ? of_word : of_figure);
}

void bt_gr_check_fertility(struct bt_gr *g, struct bt_soil_test *t)
{
    const struct side p = {"phosphorus",         "phosphorus_method",
                           "phosphorus_rating",  "advised_p2o5",
                           &bt_rated_p,          &t->phosphorus,
                           &t->advised_p2o5,     t->phosphorus_method,
                           t->phosphorus_rating, t->at};
    const struct side k = {"potassium",         "potassium_method",
                           "potassium_rating",  "advised_k2o",
                           &bt_rated_k,         &t->potassium,
                           &t->advised_k2o,     t->potassium_method,
                           t->potassium_rating, t->at};
    check_side(g, &p);
    check_side(g, &k);
}

/* ---- per volume ---- */

/* Extractants whose laboratories measure soil by the scoop, and others that say mg/L beside
 * their name. A litre of ground dry soil weighs about a kilogram. */
bool bt_gr_is_per_volume(struct bt_gr *g, const char *method)
{
    static const char *const scooped[] = {"Olsen", "Morgan"};
    if (!method)
        return false;
    const char *key = bt_extractant(g->arena, g->handbook, method);
    const char *plain = bt_plain(g->arena, method);
    for (size_t i = 0; key && i < sizeof scooped / sizeof *scooped; i++)
        if (strcmp(key, scooped[i]) == 0)
            return true;
    return strstr(plain, "mg/l") || strstr(plain, "mg/L") || strstr(plain, "mg/dm3");
}
