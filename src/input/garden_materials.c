/* materials.csv: what is spread, with its own analysis where there is one. */
#include "input/garden_read.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/ratings.h"

#define MOST_N 0.60 /* nothing that is spread holds more */

/* ---- analysis ---- */

/* An oxide column, or its element column times the factor; both is a question. */
struct oxide {
    int column, element;
    double per_element;
};

static void read_oxide(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                       struct oxide of, struct bt_quantity *out)
{
    const int oxide = of.column, element = of.element;
    const double factor = of.per_element;
    struct bt_quantity as_element;
    const struct bt_cell cell = bt_gfile_cell(f, row, element);
    bt_gfile_percent(g, f, row, oxide, 1, out);
    bt_gfile_percent(g, f, row, element, 1, &as_element);
    if (as_element.presence != BT_GIVEN)
        return;
    if (out->presence == BT_GIVEN) {
        bt_gr_error(g, &cell, f->column[element],
                    bt_arena_format(g->arena, "either %s or %s", f->column[element],
                                    f->column[oxide]),
                    bt_arena_format(g->arena,
                                    "they say the same thing twice: %s is %s times %.4f",
                                    f->column[oxide], f->column[element], factor));
        return;
    }
    *out = as_element;
    out->range = bt_range_scaled(as_element.range, factor);
}

static void from_label(struct bt_quantity *q, const struct bt_cell *label, double fraction)
{
    if (q->presence != BT_BLANK)
        return;
    *q = (struct bt_quantity){
        .presence = BT_GIVEN,
        .range = bt_range_exact(fraction),
        .unit = {.dim = BT_FRACTION, .factor = 1, .text = ""},
        .cell = *label
    };
}

static void read_analysis(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                          struct bt_material *m)
{
    const struct bt_cell label = bt_gfile_cell(f, row, BT_MA_LABEL);
    double figure[3];
    bt_gfile_percent(g, f, row, BT_MA_N, MOST_N, &m->n);
    bt_gfile_percent(g, f, row, BT_MA_AMMONIUM_N, MOST_N, &m->ammonium_n);
    bt_gfile_percent(g, f, row, BT_MA_NITRATE_N, MOST_N, &m->nitrate_n);
    read_oxide(g, f, row, (struct oxide){BT_MA_P2O5, BT_MA_P, BT_P2O5_PER_P}, &m->p2o5);
    read_oxide(g, f, row, (struct oxide){BT_MA_K2O, BT_MA_K, BT_K2O_PER_K}, &m->k2o);
    const int basis = bt_gfile_word(g, f, row, BT_MA_BASIS, &bt_words_basis);
    m->dry_basis = basis == 1;
    if (*label.text && bt_gr_label(g, &label, "label", figure)) {
        if (m->dry_basis)
            bt_gr_error(g, &label, "label", "no label beside basis dry",
                        "a label counts the material as it is: fill n, p2o5, k2o from the "
                        "analysis");
        if (figure[0] > MOST_N)
            bt_gr_error(g, &label, "label", "at most 60 % N", NULL);
        bt_gr_check_label(g, &label, &m->n, figure[0], 1, "nitrogen");
        bt_gr_check_label(g, &label, &m->p2o5, figure[1], BT_P2O5_PER_P, "phosphate");
        bt_gr_check_label(g, &label, &m->k2o, figure[2], BT_K2O_PER_K, "potash");
        from_label(&m->n, &label, figure[0]);
        from_label(&m->p2o5, &label, figure[1]);
        from_label(&m->k2o, &label, figure[2]);
    }
    bt_gfile_percent(g, f, row, BT_MA_MOISTURE, 1, &m->moisture);
    if (m->moisture.presence == BT_GIVEN && m->moisture.range.likely < 0.015 &&
        m->moisture.range.likely > 0)
        bt_gr_warn(
            g, &m->moisture.cell, "moisture", "a share of water in percent",
            bt_arena_format(g->arena, "this reads as %s %%; 0.6 of the weight is 60 %%",
                            bt_figures_short(g->arena, 100 * m->moisture.range.likely, 2)));
}

/* A tenth of what the handbook gives is a share of one typed where percent is meant. */
static void doubt_shares(struct bt_gr *g, const struct bt_gfile *f,
                         const struct bt_material *m)
{
    const struct {
        const struct bt_quantity *typed;
        int column;
        const char *quantity;
    } part[] = {
        {&m->n,          BT_MA_N,          "n"         },
        {&m->ammonium_n, BT_MA_AMMONIUM_N, "ammonium_n"},
        {&m->nitrate_n,  BT_MA_NITRATE_N,  "nitrate_n" },
        {&m->p2o5,       BT_MA_P2O5,       "p2o5"      },
        {&m->k2o,        BT_MA_K2O,        "k2o"       },
    };
    for (size_t i = 0; m->like && i < sizeof part / sizeof *part; i++)
        bt_gr_doubt_percent(
            g, part[i].typed, f->column[part[i].column],
            bt_handbook_follow(g->handbook, "materials", m->like, part[i].quantity));
}

/* Analyses of wet materials come on both bases, and they differ by a factor of two. */
static void ask_for_basis(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                          const struct bt_material *m)
{
    const struct bt_cell n = bt_gfile_cell(f, row, BT_MA_N);
    const char *kind =
        m->like ? bt_handbook_word(g->handbook, "materials", m->like, "kind") : NULL;
    const bool wet = kind && (bt_text_is(kind, "compost") || bt_text_is(kind, "manure") ||
                              bt_text_is(kind, "mulch") || bt_text_is(kind, "residue"));
    if (wet && m->n.presence == BT_GIVEN && *n.text &&
        !*bt_gfile_cell(f, row, BT_MA_BASIS).text)
        bt_gr_warn(
            g, &n, "basis", "as-is or dry beside an analysis",
            bt_arena_format(g->arena,
                            "the analysis of %s is taken as-is, water included; many "
                            "labs print it on dry matter",
                            m->name));
}

/* ---- packages and money ---- */

void bt_gfile_money(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                    struct bt_quantity *out)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, column);
    struct bt_accept a = bt_accept_dims(0, NULL, 0, HUGE_VAL);
    const char *t = cell.text;
    a.column = f->column[column];
    a.bare_number = true;
    /* a formula is not its last figure, and brackets mean money owed */
    const bool whole = *t == '=' || *t == '#' || *t == '(';
    while (!whole && *t && !isdigit((unsigned char)*t) && *t != '.' && *t != '-')
        t++;
    size_t n = strlen(t);
    while (!whole && n > 0 && !isdigit((unsigned char)t[n - 1]) && t[n - 1] != '.')
        n--;
    const struct bt_cell figure = {n ? bt_arena_text_n(g->arena, t, n) : cell.text,
                                   cell.at};
    *out = (struct bt_quantity){.presence = BT_BLANK};
    bt_gr_quantity(g, &figure, &a, out);
    out->cell = cell;
}

static void read_packages(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                          struct bt_material *m)
{
    const struct bt_dim dims[] = {BT_MASS, BT_VOLUME};
    struct bt_accept a = bt_accept_dims(2, dims, 0, HUGE_VAL);
    bt_gr_accept_measures(g, &a);
    const struct bt_beside beside = {.key = m->like, .own = m};
    const struct bt_cell package = bt_gfile_cell(f, row, BT_MA_PACKAGE);
    a.column = f->column[BT_MA_PACKAGE];
    a.header_unit = f->header_unit[BT_MA_PACKAGE];
    bt_gr_amount(g, &package, &a, &beside, &m->package);
    bt_gr_measure(g, &m->package, "package", NULL, m->like, NULL);
    bt_gfile_money(g, f, row, BT_MA_PRICE, &m->price);
}

/* When the material is known by its name, so that its own packages are. */
static void read_on_hand(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                         struct bt_material *m)
{
    const struct bt_dim dims[] = {BT_MASS, BT_VOLUME};
    const struct bt_beside beside = {0, m->name, m->like, m};
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_MA_ON_HAND);
    struct bt_accept a = bt_accept_dims(2, dims, 0, HUGE_VAL);
    bt_gr_accept_measures(g, &a);
    a.column = f->column[BT_MA_ON_HAND];
    a.header_unit = f->header_unit[BT_MA_ON_HAND];
    bt_gr_amount(g, &cell, &a, &beside, &m->on_hand);
    bt_gr_measure(g, &m->on_hand, "on_hand", m->name, m->like, NULL);
}

/* `40 lb/cu ft`, or a weight per measure, `24 lb/bucket`. */
static void read_density(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                         struct bt_material *m)
{
    const struct bt_dim dims[] = {BT_DENSITY, BT_MASS};
    struct bt_accept a = bt_accept_dims(2, dims, 0, HUGE_VAL);
    struct bt_quantity *q = &m->density;
    bt_gr_accept_measures(g, &a);
    if (!bt_gfile_quantity(g, f, row, BT_MA_DENSITY, a, q) || q->presence != BT_GIVEN ||
        bt_dim_same(q->unit.dim, BT_DENSITY))
        return;
    const char *measure = q->unit.per ? q->unit.per : q->unit.measure;
    struct bt_quantity one = {.presence = BT_GIVEN,
                              .range = bt_range_exact(1),
                              .unit = {.measure = measure},
                              .cell = q->cell};
    if (!measure) {
        bt_gr_error(g, &q->cell, "density",
                    "a weight per volume, as 40 lb/cu ft or 24 lb/bucket", NULL);
    } else if (bt_gr_measure(g, &one, "density", NULL, NULL, NULL)) {
        if (bt_dim_same(one.unit.dim, BT_VOLUME) && one.range.likely > 0) {
            q->range = bt_range_scaled(q->range, 1 / one.range.likely);
            q->unit.dim = BT_DENSITY;
            q->unit.per = NULL;
            q->unit.measure = NULL;
            return;
        }
        bt_gr_error(g, &q->cell, "density", "a weight per measure of volume", NULL);
    }
    q->presence = BT_BLANK;
}

static void read_made_here(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                           struct bt_material *m)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_MA_MADE_HERE);
    struct bt_quantity share;
    if (!*cell.text || bt_text_is(cell.text, "no"))
        return;
    m->made_here = true;
    m->made_here_share = 1;
    if (bt_text_is(cell.text, "yes"))
        return;
    if (!isdigit((unsigned char)cell.text[0]) && cell.text[0] != '.') {
        bt_gr_error(g, &cell, "made_here",
                    "yes, no, or the part that is made here, as 60 %", NULL);
        return;
    }
    if (!bt_gr_share(g, &cell, "made_here", NULL, &share))
        return;
    if (share.range.likely > 1)
        bt_gr_error(g, &cell, "made_here", "a part of at most 100 %", NULL);
    else
        m->made_here_share = share.range.likely;
    m->made_here = m->made_here_share > 0;
}

/* ---- a row ---- */

static bool known_already(struct bt_gr *g, const struct bt_cell *name)
{
    const size_t same = bt_names_get(&g->materials, bt_text_key(g->arena, name->text));
    if (same != BT_NO_NAME)
        bt_gr_error(g, name, "material", "each material once",
                    bt_arena_format(g->arena, "it stands in line %u already",
                                    g->garden->material[same].at.line));
    return same != BT_NO_NAME;
}

static void read_material(struct bt_gr *g, const struct bt_gfile *f, size_t row)
{
    struct bt_garden *b = g->garden;
    struct bt_material *m = &b->material[b->n_materials];
    const struct bt_cell name = bt_gfile_cell(f, row, BT_MA_MATERIAL);
    const struct bt_cell like = bt_gfile_cell(f, row, BT_MA_LIKE);
    *m = (struct bt_material){.at = name.at};
    if (!*name.text)
        bt_gr_error(g, &name, "material", "the name of a material", NULL);
    if (!*name.text || known_already(g, &name))
        return;
    m->name = bt_gr_tidy(g->arena, name.text);
    m->like = bt_gr_handbook_key(g, "materials", &name, &like, "material");
    read_analysis(g, f, row, m);
    ask_for_basis(g, f, row, m);
    doubt_shares(g, f, m);
    bt_gfile_quantity(
        g, f, row, BT_MA_C_N,
        (struct bt_accept){.bare_number = true, .lowest = 0, .highest = HUGE_VAL}, &m->c_n);
    read_density(g, f, row, m);
    read_packages(g, f, row, m);
    read_made_here(g, f, row, m);
    m->allowed_organic = bt_gfile_word(g, f, row, BT_MA_ALLOWED_ORGANIC, &bt_words_yes_no);
    bt_names_set(g->arena, &g->materials, bt_text_key(g->arena, m->name), b->n_materials);
    const char *squeezed = bt_gr_squeezed(g->arena, m->name);
    if (bt_names_get(&g->squeezed_materials, squeezed) == BT_NO_NAME)
        bt_names_set(g->arena, &g->squeezed_materials, squeezed, b->n_materials);
    b->n_materials++;
    read_on_hand(g, f, row, m);
}

void bt_garden_read_materials(struct bt_gr *g, const struct bt_gfile *f)
{
    struct bt_garden *b = g->garden;
    b->material = bt_arena_zero(g->arena, (f->csv.n_rows + 1) * sizeof *b->material);
    for (size_t r = 0; r < f->csv.n_rows; r++)
        if (!bt_gfile_row_blank(f, r))
            read_material(g, f, r);
}
