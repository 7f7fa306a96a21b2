/* What a laboratory advises, of soil_tests.csv: the sentence as printed, a product or a
 * nutrient with its rate, and the three columns of rates beside it. */
#include "input/garden_read.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/number.h"
#include "input/ratings.h"

/* ---- the sentence ---- */

/* `5 lb 10-0-10 per 1000 sq ft`, `3 lb N per 100 sq ft`: a rate of something, of which each
 * nutrient is a part. */
struct sentence {
    const char *amount, *area;
    const char *label;   /* of a product, or NULL */
    int nutrient;        /* 0 N, 1 P2O5, 2 K2O where there is no label */
    double per_nutrient; /* oxide per element, or 1 */
};

/* What follows the product or nutrient: "per 100 sq ft", "/ac". */
static const char *area_after(const char *rest)
{
    rest += strspn(rest, " ");
    if (bt_text_starts(rest, "per "))
        return rest + 4;
    return *rest == '/' ? rest + 1 : NULL;
}

static bool take(struct bt_gr *g, const char *plain, const char *what, size_t n,
                 struct sentence *out)
{
    const char *before =
        bt_gr_tidy(g->arena, bt_arena_text_n(g->arena, plain, (size_t)(what - plain)));
    const size_t m = strlen(before);
    out->area = area_after(what + n);
    if (m > 3 && bt_text_is(before + m - 3, " of"))
        before = bt_arena_text_n(g->arena, before, m - 3);
    out->amount = before;
    const bool is_one =
        !strpbrk(before, ";+&") && !strstr(before, ", ") && !strstr(before, " and ");
    return out->area && is_one && isdigit((unsigned char)*before);
}

static bool split_product(struct bt_gr *g, const char *plain, struct sentence *out)
{
    for (const char *t = plain; *t; t++) {
        double v[3];
        int end = 0;
        const bool starts = isdigit((unsigned char)*t) && (t == plain || t[-1] == ' ');
        if (!starts || sscanf(t, "%7lf-%7lf-%7lf%n", &v[0], &v[1], &v[2], &end) != 3)
            continue;
        out->label = bt_arena_text_n(g->arena, t, (size_t)end);
        return take(g, plain, t, (size_t)end, out);
    }
    return false;
}

static bool split_nutrient(struct bt_gr *g, const char *plain, struct sentence *out)
{
    static const struct {
        const char *word;
        int nutrient;
        double per_nutrient;
    } words[] = {
        {"nitrogen",  0, 1            },
        {"N",         0, 1            },
        {"P2O5",      1, 1            },
        {"phosphate", 1, 1            },
        {"P",         1, BT_P2O5_PER_P},
        {"K2O",       2, 1            },
        {"potash",    2, 1            },
        {"K",         2, BT_K2O_PER_K },
    };
    for (const char *t = plain; *t; t++)
        for (size_t i = 0; t > plain && t[-1] == ' ' && i < sizeof words / sizeof *words;
             i++) {
            const size_t n = strlen(words[i].word);
            if (!bt_text_starts(t, words[i].word) || !strchr(" /", t[n]) || !t[n])
                continue;
            out->nutrient = words[i].nutrient;
            out->per_nutrient = words[i].per_nutrient;
            return take(g, plain, t, n, out);
        }
    return false;
}

/* The column counts; one that says something else than the sentence is a question. */
static void compare(struct bt_gr *g, const char *column, const struct bt_cell *sentence,
                    double says_g_m2, const struct bt_quantity *q)
{
    static const double ROUNDING = 0.1, LIKE_TEN = 0.05;
    const double typed = q->range.likely;
    if (q->presence != BT_GIVEN || q->word || says_g_m2 < 0 ||
        fabs(says_g_m2 - typed) <= ROUNDING * fmax(says_g_m2, typed))
        return;
    const double times = typed > 0 ? says_g_m2 / typed : 0;
    const bool ten = fabs(times - 10) < 10 * LIKE_TEN || fabs(times - 0.1) < 0.1 * LIKE_TEN;
    bt_gr_warn(
        g, &q->cell, column,
        bt_arena_format(g->arena, "the rate of \"%s\" in advised, %s", sentence->text,
                        bt_gr_rate_text(g, says_g_m2)),
        bt_arena_format(g->arena, "this column comes to %s, and the column counts%s",
                        bt_gr_rate_text(g, typed),
                        ten ? "; per 100 square feet for per 1,000 in one of them?" : ""));
}

static bool read_sentence(struct bt_gr *g, const struct bt_cell *cell,
                          struct bt_soil_test *t)
{
    static const char *const column[] = {"advised_n", "advised_p2o5", "advised_k2o"};
    struct bt_quantity *out[] = {&t->advised_n, &t->advised_p2o5, &t->advised_k2o};
    const char *plain = bt_plain(g->arena, cell->text);
    struct sentence s = {0};
    double figure[3] = {-1, -1, -1}; /* of the rate; below 0 where nothing is said */
    struct bt_quantity rate;
    if (!split_product(g, plain, &s) && !split_nutrient(g, plain, &s))
        return false;
    struct bt_accept a = bt_accept_dims(1, &BT_MASS_PER_AREA, 0, HUGE_VAL);
    a.column = "advised";
    const struct bt_cell per = {bt_arena_format(g->arena, "%s/%s", s.amount, s.area),
                                cell->at};
    const struct bt_cell label = {s.label, cell->at};
    if (!bt_gr_quantity(g, &per, &a, &rate) || rate.presence != BT_GIVEN ||
        (s.label && !bt_gr_label(g, &label, "advised", figure)))
        return true; /* with its message */
    if (!s.label)
        figure[s.nutrient] = s.per_nutrient;
    for (int i = 0; i < 3; i++) {
        if (out[i]->presence != BT_BLANK) {
            compare(g, column[i], cell, rate.range.likely * figure[i], out[i]);
            continue;
        }
        if (figure[i] < 0)
            continue;
        *out[i] = rate;
        out[i]->range = bt_range_scaled(rate.range, figure[i]);
        out[i]->cell = *cell;
    }
    return true;
}

static void read_product(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                         struct bt_soil_test *t)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_ST_ADVISED);
    if (t->advised && !read_sentence(g, &cell, t))
        bt_gr_note(
            g, cell.at,
            bt_arena_format(g->arena,
                            "advised \"%s\" is kept as printed; no rate was read from "
                            "it. Rates go into advised_n, advised_p2o5 and "
                            "advised_k2o",
                            t->advised));
}

/* ---- the columns ---- */

static void show_as(struct bt_quantity *q, const char *unit, double factor)
{
    q->unit.text = unit;
    q->unit.factor = factor;
}

static bool species_is(const struct bt_quantity *q, const char *species)
{
    return q->unit.species && strcmp(q->unit.species, species) == 0;
}

/* `60 lb K/ac` where K2O is asked for. */
static void to_oxide(struct bt_gr *g, const char *column, const char *oxide,
                     const char *element, double oxide_per_element, struct bt_quantity *q)
{
    if (q->presence != BT_GIVEN || !q->unit.species || species_is(q, oxide))
        return;
    if (!species_is(q, element)) {
        bt_gr_error(g, &q->cell, column,
                    bt_arena_format(g->arena, "%s, or %s", oxide, element), NULL);
        q->presence = BT_BLANK;
        return;
    }
    q->range = bt_range_scaled(q->range, oxide_per_element);
    show_as(q, "g/m2", 1);
    bt_gr_note(g, q->cell.at,
               bt_arena_format(g->arena, "%s %s is %s g/m2 of %s", column, q->cell.text,
                               bt_figures_short(g->arena, q->range.likely, 3), oxide));
}

/* One message a row: a product brings all three. */
static void refuse_slips(struct bt_gr *g, struct bt_soil_test *t, struct bt_pos advised)
{
    static const struct {
        const char *column, *nutrient, *highest;
    } part[] = {
        {"advised_n",    "nitrogen",  "highest_rate_n"   },
        {"advised_p2o5", "phosphate", "highest_rate_p2o5"},
        {"advised_k2o",  "potash",    "highest_rate_k2o" }
    };
    struct bt_quantity *q[] = {&t->advised_n, &t->advised_p2o5, &t->advised_k2o};
    bool possible = true;
    for (int i = 0; i < 3 && possible; i++) {
        const bool as_product =
            t->advised && q[i]->cell.at.column == advised.column && advised.column > 0;
        possible = bt_gr_rate_is_possible(g, q[i], as_product ? "advised" : part[i].column,
                                          part[i].nutrient, part[i].highest);
    }
    for (int i = 0; i < 3 && !possible; i++)
        q[i]->presence = BT_BLANK;
}

void bt_gr_read_advice(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                       struct bt_soil_test *t)
{
    const struct bt_accept a = bt_accept_dims(1, &BT_MASS_PER_AREA, 0, HUGE_VAL);
    t->advised = bt_gfile_text(g, f, row, BT_ST_ADVISED);
    bt_gfile_quantity(g, f, row, BT_ST_ADVISED_N, a, &t->advised_n);
    bt_gfile_quantity(g, f, row, BT_ST_ADVISED_P2O5, a, &t->advised_p2o5);
    bt_gfile_quantity(g, f, row, BT_ST_ADVISED_K2O, a, &t->advised_k2o);
    to_oxide(g, "advised_p2o5", "P2O5", "P", BT_P2O5_PER_P, &t->advised_p2o5);
    to_oxide(g, "advised_k2o", "K2O", "K", BT_K2O_PER_K, &t->advised_k2o);
    read_product(g, f, row, t);
    refuse_slips(g, t, bt_gfile_cell(f, row, BT_ST_ADVISED).at);
}
