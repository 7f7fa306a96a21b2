/* soil_tests.csv: readings of the soil in the lab's own words and units. A lab's other
 * columns pass through unread. */
#include "input/garden_read.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/number.h"
#include "input/ratings.h"

/* What labs print beside or instead of a figure. */
static const char *const ratings[] = {
    "VL",   "L",         "M",         "H",       "VH",         "EH",       "very low",
    "low",  "medium",    "moderate",  "optimum", "sufficient", "adequate", "above optimum",
    "high", "very high", "excessive", "full",    "trace"};
#define N_RATINGS (sizeof ratings / sizeof *ratings)

/* What was turned into a content is shown as one from then on. */
static void show_as(struct bt_quantity *q, const char *unit, double factor)
{
    q->unit.text = unit;
    q->unit.factor = factor;
}

/* ---- mass per area, such as lb/ac ---- */

static double handbook_figure(const struct bt_gr *g, const char *quantity)
{
    const struct bt_row *row = bt_handbook_row(g->handbook, "soils", "any", quantity);
    return row ? row->range.likely : 0;
}

static const char *bound_word(const struct bt_quantity *q)
{
    return q->bound == BT_BELOW ? "below " : q->bound == BT_ABOVE ? "above " : "";
}

/* mg/kg = mass per area / (bulk density . depth sampled), at the density of field rules. */
static void from_area(struct bt_gr *g, const struct bt_soil_test *t, const char *column,
                      struct bt_quantity *q)
{
    const double density_g_m3 = handbook_figure(g, "reference_bulk_density");
    const bool has_depth =
        t->depth.presence == BT_GIVEN && t->depth.bottom_m > t->depth.top_m;
    const double depth_m =
        has_depth ? t->depth.bottom_m - t->depth.top_m : handbook_figure(g, "plow_depth");
    if (!(density_g_m3 > 0 && depth_m > 0)) {
        bt_gr_error(g, &q->cell, column, "ppm or mg/kg",
                    "tables/soils.csv has no reference_bulk_density or plow_depth to turn "
                    "a weight per "
                    "area with");
        q->presence = BT_BLANK;
        return;
    }
    q->range = bt_range_scaled(q->range, 1 / (density_g_m3 * depth_m));
    q->unit.dim = BT_FRACTION;
    show_as(q, "ppm", 1e-6);
    bt_gr_note(g, q->cell.at,
               bt_arena_format(
                   g->arena, "%s %s over %.0f cm%s is %s%s ppm", column, q->cell.text,
                   100 * depth_m, has_depth ? "" : " (no depth given: a plow layer)",
                   bound_word(q), bt_figures_short(g->arena, 1e6 * q->range.likely, 3)));
}

/* mg/L of soil, where the method says so: a litre of ground dry soil weighs about a
 * kilogram, so it is read as mg/kg, as such laboratories' own classes are. */
static void from_volume(struct bt_gr *g, const char *column, const char *method,
                        struct bt_quantity *q)
{
    static const double GROUND_SOIL_G_M3 = 1e6;
    if (!bt_gr_is_per_volume(g, method)) {
        bt_gr_error(g, &q->cell, column, "ppm, mg/kg or mg/100 g",
                    "mg/L is read only beside a method that measures soil by volume: "
                    "Olsen, Morgan, or one with mg/L behind its name");
        q->presence = BT_BLANK;
        return;
    }
    q->range = bt_range_scaled(q->range, 1 / GROUND_SOIL_G_M3);
    q->unit.dim = BT_FRACTION;
    show_as(q, "ppm", 1e-6);
    bt_gr_note(g, q->cell.at,
               bt_arena_format(g->arena, "%s %s by %s is read as %s ppm", column,
                               q->cell.text, method,
                               bt_figures_short(g->arena, 1e6 * q->range.likely, 3)));
}

/* ---- nutrients ---- */

/* What a column means and in which other forms it may come. */
struct nutrient {
    int column;
    const char *form;  /* as the column means it: "P" */
    const char *other; /* "P2O5" */
    double other_per_form;
};

static bool species_is(const struct bt_quantity *q, const char *species)
{
    return q->unit.species && strcmp(q->unit.species, species) == 0;
}

static void to_form(struct bt_gr *g, const char *column, const struct nutrient *n,
                    struct bt_quantity *q)
{
    if (!q->unit.species || species_is(q, n->form) ||
        (n->column == BT_ST_NITRATE_N && species_is(q, "N")))
        return;
    if (!species_is(q, n->other)) {
        bt_gr_error(g, &q->cell, column,
                    bt_arena_format(g->arena, "%s, or %s", n->form, n->other), NULL);
        q->presence = BT_BLANK;
        return;
    }
    q->range = bt_range_scaled(q->range, 1 / n->other_per_form);
    show_as(q, "ppm", 1e-6);
    bt_gr_note(g, q->cell.at,
               bt_arena_format(
                   g->arena, "%s %s is %s%s ppm of %s", column, q->cell.text, bound_word(q),
                   bt_figures_short(g->arena, 1e6 * q->range.likely, 3), n->form));
}

/* `120 lb/A VH`, `158 ppm (M)`: the figure without its rating, and the rating. */
static const char *cut_rating(struct bt_gr *g, const char *text, const char **out_rating)
{
    char *s = bt_arena_text(g->arena, bt_gr_tidy(g->arena, text));
    size_t n = strlen(s);
    *out_rating = NULL;
    if (n == 0 || !strpbrk(s, "0123456789"))
        return s;
    if (s[n - 1] == ')')
        s[--n] = '\0';
    for (size_t i = 0; i < N_RATINGS; i++) {
        const size_t m = strlen(ratings[i]);
        const bool long_enough = n > m + 1 && strchr(" (", s[n - m - 1]) != NULL;
        if (!long_enough || !bt_text_is(s + n - m, ratings[i]))
            continue;
        *out_rating = ratings[i];
        size_t end = n - m;
        while (end > 0 && strchr(" (", s[end - 1]))
            end--;
        return bt_arena_text_n(g->arena, s, end);
    }
    return bt_gr_tidy(g->arena, text);
}

/* A figure below nothing is what instruments print near their limit. */
static bool below_detection(struct bt_gr *g, const char *column, const struct bt_cell *cell,
                            struct bt_quantity *out)
{
    if (cell->text[0] != '-' || !isdigit((unsigned char)cell->text[1]))
        return false;
    bt_gr_warn(g, cell, column, "a reading of 0 or more", "taken as below detection");
    bt_fixes_add(g->cells.fixes, cell->at, cell->text, "ND", "below detection");
    *out = (struct bt_quantity){
        .presence = BT_GIVEN,
        .bound = BT_NOT_DETECTED,
        .range = bt_range_exact(0),
        .unit = {.dim = BT_FRACTION, .factor = 1, .text = ""},
        .cell = *cell
    };
    return true;
}

static const char *read_nutrient(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                                 const struct nutrient *n, const struct bt_soil_test *t,
                                 struct bt_quantity *out)
{
    const char *rating = NULL;
    const struct bt_dim dims[] = {BT_FRACTION, BT_MASS_PER_AREA, BT_DENSITY};
    const bool is_nitrate = n->column == BT_ST_NITRATE_N;
    struct bt_accept a = bt_accept_dims(is_nitrate ? 2 : 3, dims, 0, HUGE_VAL);
    const char *column = f->column[n->column];
    const struct bt_cell cell = bt_gfile_cell(f, row, n->column);
    a.column = column;
    a.header_unit = f->header_unit[n->column];
    a.n_words = is_nitrate ? 0 : N_RATINGS;
    a.words = ratings;
    *out = (struct bt_quantity){.presence = BT_BLANK, .cell = cell};
    if (below_detection(g, column, &cell, out))
        return rating;
    const struct bt_cell figure = {cut_rating(g, cell.text, &rating), cell.at};
    if (!bt_gr_quantity(g, &figure, &a, out) || out->presence != BT_GIVEN)
        return rating;
    out->cell = cell;
    if (out->word)
        return out->word;
    if (bt_dim_same(out->unit.dim, BT_MASS_PER_AREA))
        from_area(g, t, column, out);
    else if (bt_dim_same(out->unit.dim, BT_DENSITY))
        from_volume(g, column,
                    n->column == BT_ST_PHOSPHORUS ? t->phosphorus_method
                                                  : t->potassium_method,
                    out);
    if (out->presence == BT_GIVEN)
        to_form(g, column, n, out);
    return rating;
}

static void read_nutrients(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                           struct bt_soil_test *t)
{
    static const struct nutrient nitrate = {BT_ST_NITRATE_N, "NO3-N", "NO3", BT_NO3_PER_N};
    static const struct nutrient phosphorus = {BT_ST_PHOSPHORUS, "P", "P2O5",
                                               BT_P2O5_PER_P};
    static const struct nutrient potassium = {BT_ST_POTASSIUM, "K", "K2O", BT_K2O_PER_K};
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_ST_NITRATE_N);
    t->phosphorus_method = bt_gfile_text(g, f, row, BT_ST_PHOSPHORUS_METHOD);
    t->potassium_method = bt_gfile_text(g, f, row, BT_ST_POTASSIUM_METHOD);
    (void)read_nutrient(g, f, row, &nitrate, t, &t->nitrate_n);
    t->phosphorus_rating = read_nutrient(g, f, row, &phosphorus, t, &t->phosphorus);
    t->potassium_rating = read_nutrient(g, f, row, &potassium, t, &t->potassium);
    const char *p = bt_gfile_text(g, f, row, BT_ST_PHOSPHORUS_RATING);
    const char *k = bt_gfile_text(g, f, row, BT_ST_POTASSIUM_RATING);
    t->phosphorus_rating = p ? p : t->phosphorus_rating;
    t->potassium_rating = k ? k : t->potassium_rating;
    const struct bt_cell date = bt_gfile_cell(f, row, BT_ST_DATE);
    if (t->nitrate_n.presence == BT_GIVEN && !t->date.known && !*date.text)
        bt_gr_error(g, &cell, "date", "the day on which a sample for nitrate was taken",
                    "nitrate changes by the week: a reading without a day cannot be used");
}

/* ---- a row ---- */

/* The beds of a sample; a sample named like a bed or group is of that one. */
static bool read_beds(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                      struct bt_soil_test *t)
{
    const struct bt_cell beds = bt_gfile_cell(f, row, BT_ST_BEDS);
    const struct bt_cell sample = bt_gfile_cell(f, row, BT_ST_SAMPLE);
    const char *key = bt_text_key(g->arena, sample.text);
    const bool named = bt_names_get(&g->beds, key) != BT_NO_NAME ||
                       bt_names_get(&g->groups, key) != BT_NO_NAME;
    if (!*beds.text && named)
        return bt_gr_beds(g, &sample, "sample", &t->n_beds, &t->bed);
    if (f->place[BT_ST_BEDS] < 0) {
        if (!g->noted_no_beds && !g->beds_lost) /* once, as it is the same for every row */
            bt_gr_error(g, &sample, "column",
                        "beds, or samples that are named like beds or groups", NULL);
        g->noted_no_beds = true;
        return false;
    }
    return bt_gr_beds(g, &beds, "beds", &t->n_beds, &t->bed);
}

static void read_test(struct bt_gr *g, const struct bt_gfile *f, size_t row)
{
    struct bt_garden *b = g->garden;
    struct bt_soil_test *t = &b->test[b->n_tests];
    *t = (struct bt_soil_test){.at = f->csv.row[row].at};
    const char *sample = bt_gfile_text(g, f, row, BT_ST_SAMPLE);
    const struct bt_cell depth = bt_gfile_cell(f, row, BT_ST_DEPTH);
    struct bt_accept ph = bt_accept_dims(0, NULL, 0, 14);
    ph.bare_number = true;
    const bool has_beds = read_beds(g, f, row, t);
    bt_gfile_date(g, f, row, BT_ST_DATE, &t->date);
    bt_gr_layer(g, &depth, "depth", f->header_unit[BT_ST_DEPTH], &t->depth);
    bt_gfile_percent(g, f, row, BT_ST_ORGANIC_MATTER, 1, &t->organic_matter);
    bt_gr_doubt_percent(g, &t->organic_matter, "organic_matter",
                        bt_handbook_row(g->handbook, "soils", "any", "organic_matter"));
    bt_gfile_quantity(g, f, row, BT_ST_PH, ph, &t->ph);
    read_nutrients(g, f, row, t);
    const struct bt_accept metal = bt_accept_dims(1, &BT_FRACTION, 0, 1);
    bt_gfile_quantity(g, f, row, BT_ST_LEAD, metal, &t->lead);
    bt_gfile_quantity(g, f, row, BT_ST_ARSENIC, metal, &t->arsenic);
    bt_gfile_quantity(g, f, row, BT_ST_CADMIUM, metal, &t->cadmium);
    bt_gr_read_advice(g, f, row, t);
    bt_gr_check_fertility(g, t);
    t->sample = sample ? sample : bt_arena_format(g->arena, "line %u", t->at.line);
    if (has_beds && t->n_beds > 0)
        b->n_tests++;
}

void bt_garden_read_tests(struct bt_gr *g, const struct bt_gfile *f)
{
    struct bt_garden *b = g->garden;
    b->test = bt_arena_zero(g->arena, (f->csv.n_rows + 1) * sizeof *b->test);
    for (size_t r = 0; r < f->csv.n_rows; r++)
        if (!bt_gfile_row_blank(f, r))
            read_test(g, f, r);
}
