/* Household measures: what a wheelbarrow holds by the garden's own measures.csv, a bag by
 * the material's package, a bucket by the handbook. A measure may be so many of another; a
 * ring is refused. */
#include "input/garden_read.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"

#define DEEPEST 16 /* measures of measures */

/* Words for what a material is sold in. */
static const char *const package_words[] = {"bag",  "package", "packet", "sack", "box",
                                            "bale", "bottle",  "jug",    "pail", "tub"};

static bool is_package_word(struct bt_arena *a, const char *word)
{
    const char *key = bt_text_key(a, word);
    for (size_t i = 0; i < sizeof package_words / sizeof *package_words; i++)
        if (strcmp(key, package_words[i]) == 0)
            return true;
    return false;
}

/* Spellings of the handbook's bucket that begin with a number, and so must be known here.
 */
static const char *const sized_buckets[] = {"5-gal bucket", "5-gallon bucket"};

/* ---- names that may stand as units ---- */

static void add_name(struct bt_gr *g, const char *name)
{
    g->measure_name = bt_arena_grow(g->arena, g->measure_name, &g->measure_name_capacity,
                                    g->n_measure_names, sizeof *g->measure_name);
    g->measure_name[g->n_measure_names++] = name;
}

/* "bale of straw" may be typed as "bale" where the material says the rest. */
static void add_with_head(struct bt_gr *g, const char *name)
{
    const char *of = strstr(name, " of ");
    struct bt_unit unit;
    add_name(g, name);
    if (!of)
        return;
    const char *head = bt_arena_text_n(g->arena, name, (size_t)(of - name));
    if (!bt_units_read(g->units, g->arena, head, 0, NULL,
                       &unit)) /* a cup is a unit already */
        add_name(g, head);
}

/* The garden's own names first: the first that fits is the one that is meant. */
static void collect_names(struct bt_gr *g, const struct bt_gfile *f)
{
    const char *const *keys;
    for (size_t r = 0; f && r < f->csv.n_rows; r++) {
        const char *name = bt_gfile_text(g, f, r, BT_ME_MEASURE);
        if (name)
            add_with_head(g, name);
    }
    const size_t n = bt_handbook_keys(g->handbook, "measures", &keys);
    for (size_t i = 0; i < n; i++)
        add_with_head(g, keys[i]);
    for (size_t i = 0; i < sizeof package_words / sizeof *package_words; i++)
        add_name(g, package_words[i]);
    for (size_t i = 0; i < sizeof sized_buckets / sizeof *sized_buckets; i++)
        add_name(g, sized_buckets[i]);
}

void bt_gr_accept_measures(const struct bt_gr *g, struct bt_accept *a)
{
    a->n_measures = g->n_measure_names;
    a->measures = g->measure_name;
}

/* ---- what a measure holds ---- */

/* What one measure is: a mass (g) or a volume (m3) with its spread, and how it was found.
 */
struct held {
    bool known;
    struct bt_dim dim;
    struct bt_range range;
    const char *working;      /* " = 14 buckets", or "" */
    const struct bt_row *row; /* of the handbook, or NULL */
};

static struct held of_handbook(struct bt_gr *g, const char *name)
{
    static const char *const quantity[] = {"volume", "mass"};
    for (int i = 0; i < 2; i++) {
        const struct bt_row *row =
            bt_handbook_row(g->handbook, "measures", name, quantity[i]);
        if (row)
            return (struct held){true, i == 0 ? BT_VOLUME : BT_MASS, row->range, "", row};
    }
    return (struct held){0};
}

static struct held of_own(struct bt_gr *g, const char *name)
{
    const struct bt_garden *b = g->garden;
    const size_t i = bt_names_get(&g->measures, bt_text_key(g->arena, name));
    if (i == BT_NO_NAME)
        return (struct held){0};
    const struct bt_measure *m = &b->measure[i];
    if (m->mass_g > 0)
        return (struct held){true, BT_MASS, bt_range_exact(m->mass_g), m->working, NULL};
    return (struct held){m->volume_m3 > 0, BT_VOLUME, bt_range_exact(m->volume_m3),
                         m->working, NULL};
}

static struct held of_package(struct bt_gr *g, const char *name, const char *material)
{
    const struct bt_material *own = material ? bt_gr_own_material(g, material) : NULL;
    if (!own || own->package.presence != BT_GIVEN || !is_package_word(g->arena, name))
        return (struct held){0};
    return (struct held){true, own->package.unit.dim, own->package.range,
                         bt_arena_format(g->arena, " of %s", own->package.cell.text), NULL};
}

/* The most particular answer: of this material before of any; the garden's before the
 * handbook's. */
static struct held hold(struct bt_gr *g, const char *name, const char *material,
                        const char *key)
{
    const char *whose[] = {material, key, NULL};
    struct held h = of_package(g, name, material);
    for (int i = 0; i < 2 && !h.known; i++)
        if (whose[i])
            h = of_own(g, bt_arena_format(g->arena, "%s of %s", name, whose[i]));
    if (!h.known)
        h = of_own(g, name);
    for (int i = 0; i < 2 && !h.known; i++)
        if (whose[i])
            h = of_handbook(g, bt_arena_format(g->arena, "%s of %s", name, whose[i]));
    if (h.known)
        return h;
    const char *spelled = bt_handbook_key(g->handbook, "measures", name);
    return of_handbook(g, spelled ? spelled : name);
}

static void note_read(struct bt_gr *g, const struct bt_row *row)
{
    struct bt_garden *b = g->garden;
    for (size_t i = 0; i < b->n_read; i++)
        if (b->read[i] == row)
            return;
    b->read =
        bt_arena_grow(g->arena, b->read, &g->read_capacity, b->n_read, sizeof *b->read);
    b->read[b->n_read++] = row;
}

static struct bt_range times(struct bt_range a, struct bt_range b)
{
    if (bt_range_is_exact(&b))
        return bt_range_scaled(a, b.likely);
    if (bt_range_is_exact(&a))
        return bt_range_scaled(b, a.likely);
    /* Both spread: the relative spreads add as squares, as of independent figures. */
    struct bt_range r = bt_range_scaled(a, b.likely);
    const double down = hypot(1 - a.low / a.likely, 1 - b.low / b.likely);
    const double up = hypot(a.high / a.likely - 1, b.high / b.likely - 1);
    r.low = r.likely * (1 - (down < 1 ? down : 1));
    r.high = r.likely * (1 + up);
    r.ends = BT_P05_P95;
    return r;
}

/* In the units that the garden prints. */
static const char *amount_text(struct bt_gr *g, struct bt_dim dim, double inside)
{
    static const struct {
        struct bt_dim dim;
        const char *us, *metric;
    } units[] = {
        {{0, 3, 0, 0},  "cu ft",        "L"   },
        {{1, 0, 0, 0},  "lb",           "kg"  },
        {{0, 1, 0, 0},  "in",           "cm"  },
        {{1, -2, 0, 0}, "lb/100 sq ft", "g/m2"},
    };
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        const char *unit = g->garden->us_units ? units[i].us : units[i].metric;
        if (bt_dim_same(dim, units[i].dim))
            return bt_arena_format(
                g->arena, "%s %s",
                bt_figures_short(g->arena,
                                 inside * bt_units_factor_to(g->units, g->arena, unit), 3),
                unit);
    }
    return bt_arena_format(g->arena, "%s g/m2", bt_figures_short(g->arena, inside, 3));
}

static bool unknown_measure(struct bt_gr *g, const struct bt_quantity *q,
                            const char *column, const char *material)
{
    const char *name = q->unit.measure;
    const char *hint =
        is_package_word(g->arena, name)
            ? bt_arena_format(g->arena,
                              "say in the column package of materials.csv what a %s of %s "
                              "holds, or in measures.csv",
                              name, material ? material : "it")
            : bt_arena_format(g->arena, "say in measures.csv what a %s holds", name);
    return bt_gr_error(g, &q->cell, column, "a measure whose content is known", hint);
}

static void settle(struct bt_gr *g, struct bt_quantity *q, const struct held *h,
                   const char **out_working)
{
    q->range = times(q->range, h->range);
    q->unit.dim = bt_dim_mul(q->unit.dim, h->dim); /* `1 bag/100 sq ft` keeps its area */
    if (out_working)
        *out_working = bt_arena_format(
            g->arena, "%s%s = %s", bt_gr_tidy(g->arena, q->cell.text),
            h->working ? h->working : "", amount_text(g, q->unit.dim, q->range.likely));
    q->unit.measure = NULL;
}

/* A volume in cups where a cup of this material has a known weight. */
static bool weigh(struct bt_gr *g, struct bt_quantity *q, const char *material,
                  const char *key, const char **out_working)
{
    const char *whose[] = {material, key};
    struct bt_unit cup;
    if (!bt_dim_same(q->unit.dim, BT_VOLUME) ||
        !bt_units_read(g->units, g->arena, "cup", 0, NULL, &cup))
        return true;
    for (int i = 0; i < 2; i++) {
        if (!whose[i])
            continue;
        const char *name = bt_arena_format(g->arena, "cup of %s", whose[i]);
        struct held h = of_own(g, name);
        h = h.known ? h : of_handbook(g, name);
        if (!h.known || !bt_dim_same(h.dim, BT_MASS))
            continue;
        q->range = bt_range_scaled(q->range, 1 / cup.factor);
        q->unit.dim = BT_FRACTION; /* so many cups */
        h.working = bt_arena_format(g->arena, ", a %s being %s", name,
                                    amount_text(g, BT_MASS, h.range.likely));
        settle(g, q, &h, out_working);
        return true;
    }
    return true;
}

bool bt_gr_measure(struct bt_gr *g, struct bt_quantity *q, const char *column,
                   const char *material, const char *key, const char **out_working)
{
    if (out_working)
        *out_working = NULL;
    if (q->presence != BT_GIVEN || q->word)
        return true;
    if (!q->unit.measure)
        return weigh(g, q, material, key, out_working);
    const struct held h = hold(g, q->unit.measure, material, key);
    if (!h.known) {
        unknown_measure(g, q, column, material);
        q->presence = BT_BLANK;
        return false;
    }
    if (h.row)
        note_read(g, h.row);
    settle(g, q, &h, out_working);
    return true;
}

/* ---- measures.csv ---- */

/* Rows as typed, before they are resolved. */
struct typed {
    struct bt_pair amount;
    struct bt_cell name;
    bool done, busy;
};

static void measure_value(struct bt_measure *m, struct bt_dim dim, double inside)
{
    m->mass_g = bt_dim_same(dim, BT_MASS) ? inside : 0;
    m->volume_m3 = bt_dim_same(dim, BT_VOLUME) ? inside : 0;
}

static void resolve(struct bt_gr *g, struct typed *t, size_t i, int depth)
{
    struct bt_measure *m = &g->garden->measure[i];
    struct bt_quantity *q = &t[i].amount.first;
    const struct bt_quantity *part[] = {q, &t[i].amount.second};
    const struct bt_beside nothing = {0};
    if (t[i].done || q->presence != BT_GIVEN)
        return;
    if (t[i].busy || depth > DEEPEST) {
        bt_gr_error(g, &q->cell, "amount", "a measure that does not hold itself",
                    bt_arena_format(g->arena, "%s goes round in a ring", m->name));
        q->presence = BT_BLANK;
        return;
    }
    t[i].busy = true;
    const char *text = bt_gr_tidy(g->arena, q->cell.text);
    for (int k = 0; k < 2; k++) {
        const char *measure = part[k]->unit.measure;
        const size_t j = measure
                             ? bt_names_get(&g->measures, bt_text_key(g->arena, measure))
                             : BT_NO_NAME;
        if (j != BT_NO_NAME)
            resolve(g, t, j, depth + 1);
        if (j != BT_NO_NAME && t[j].amount.first.presence != BT_GIVEN)
            q->presence = BT_BLANK; /* has its own message */
    }
    bt_gr_pair_agrees(g, &t[i].amount, "amount", &nothing);
    if (q->presence == BT_GIVEN && bt_gr_measure(g, q, "amount", NULL, NULL, NULL))
        measure_value(m, q->unit.dim, q->range.likely);
    bt_gr_check_measure(g, m, &q->cell);
    m->working = bt_arena_format(g->arena, " (%s each)", text);
    t[i].busy = false;
    t[i].done = true;
}

static void read_row(struct bt_gr *g, const struct bt_gfile *f, size_t row, struct typed *t)
{
    struct bt_garden *b = g->garden;
    const struct bt_dim dims[] = {BT_MASS, BT_VOLUME};
    struct bt_accept a = bt_accept_dims(2, dims, 0, HUGE_VAL);
    bt_gr_accept_measures(g, &a);
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_ME_MEASURE);
    const struct bt_cell amount = bt_gfile_cell(f, row, BT_ME_AMOUNT);
    if (!*cell.text) {
        bt_gr_error(g, &cell, "measure", "the name of a measure", NULL);
        return;
    }
    const char *key = bt_text_key(g->arena, cell.text);
    const size_t same = bt_names_get(&g->measures, key);
    if (same != BT_NO_NAME) {
        bt_gr_error(g, &cell, "measure", "each measure once",
                    bt_arena_format(g->arena, "it stands in line %u already",
                                    t[same].name.at.line));
        return;
    }
    if (!*amount.text)
        bt_gr_error(g, &amount, "amount",
                    "what the measure holds, as 2 cu ft, 40 lb or 7 buckets", NULL);
    bt_names_set(g->arena, &g->measures, key, b->n_measures);
    t[b->n_measures].name = cell;
    b->measure[b->n_measures].name = bt_gr_tidy(g->arena, cell.text);
    a.column = f->column[BT_ME_AMOUNT];
    a.header_unit = f->header_unit[BT_ME_AMOUNT];
    bt_gr_pair(g, &amount, &a, &t[b->n_measures].amount);
    b->n_measures++;
}

void bt_garden_read_measures(struct bt_gr *g, const struct bt_gfile *f)
{
    struct bt_garden *b = g->garden;
    collect_names(g, f);
    if (!f)
        return;
    b->measure = bt_arena_zero(g->arena, (f->csv.n_rows + 1) * sizeof *b->measure);
    struct typed *t = bt_arena_zero(g->arena, (f->csv.n_rows + 1) * sizeof *t);
    for (size_t r = 0; r < f->csv.n_rows; r++)
        if (!bt_gfile_row_blank(f, r))
            read_row(g, f, r, t);
    for (size_t i = 0; i < b->n_measures; i++)
        resolve(g, t, i, 0);
}
