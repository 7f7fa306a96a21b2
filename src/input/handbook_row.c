/* A row of a row table: one quantity of one key, checked cell by cell. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "input/handbook_book.h"

#define MOST_QUANTITIES 64

/* What is being read. */
struct reading {
    struct bt_book_run *run;
    const struct bt_book_file *f;
    size_t i; /* row of the file */
    struct bt_book_table *t;
    const struct bt_book_quantity *q; /* NULL: not one that the program knows */
    struct bt_row row;
};

static const char *text_of(const struct reading *r, size_t column)
{
    return bt_book_cell(r->f, r->i, column).text;
}

static bool refuse(struct reading *r, size_t column, const char *expected, const char *hint)
{
    return bt_book_refuse(r->run, r->f, r->i, column,
                          (struct bt_message){.expected = expected, .hint = hint});
}

static bool read_number(struct reading *r, size_t column, bool *out_given, double *out)
{
    const char *t = text_of(r, column);
    *out_given = *t != '\0';
    if (!*t)
        return true;
    char *end = NULL;
    const double v = strtod(t, &end);
    if (t[strspn(t, "0123456789+-.eE")] != '\0' || *end != '\0' || !isfinite(v))
        return refuse(r, column, "a number with a point, and no unit", NULL);
    *out = v;
    return true;
}

/* A word's place in a list ended by NULL; its length when it is not there. */
static size_t place_of(const char *const *word, const char *text)
{
    size_t i = 0;
    while (word[i] && strcmp(word[i], text) != 0)
        i++;
    return i;
}

static bool read_quantity(struct reading *r)
{
    const size_t table = r->f->which;
    const char *name = text_of(r, BT_HB_QUANTITY);
    if (!*name)
        return refuse(r, BT_HB_QUANTITY, "what the row states, such as n_uptake", NULL);
    r->row.quantity = name;
    r->q = bt_book_quantity(table, name);
    if (r->q)
        return true;
    const char *oxide = bt_book_oxide(name);
    if (oxide)
        return refuse(r, BT_HB_QUANTITY, oxide,
                      "phosphate and potash are given as P2O5, K2O");
    const char *known[MOST_QUANTITIES];
    const size_t n = bt_book_quantity_names(table, MOST_QUANTITIES, known);
    return bt_diag_add(
        r->run->diag,
        (struct bt_message){
            .weight = BT_WARNING,
            .at = bt_book_cell(r->f, r->i, BT_HB_QUANTITY).at,
            .field = "quantity",
            .expected = bt_arena_format(r->run->arena,
                                        "a quantity that %s.csv is asked for", r->t->name),
            .found = name,
            .hint = bt_text_nearest(r->run->arena, name, n, known)});
}

/* bt_units_read, remembered. */
static bool unit_of(struct bt_book_run *run, const char *text, struct bt_unit *out)
{
    const size_t place = bt_names_get(&run->unit_place, text);
    if (place != BT_NO_NAME) {
        *out = run->read_unit[place];
        return true;
    }
    if (!bt_units_read(run->units, run->arena, text, 0, NULL, out))
        return false;
    run->read_unit = bt_arena_grow(run->arena, run->read_unit, &run->unit_capacity,
                                   run->n_read_units, sizeof *out);
    run->read_unit[run->n_read_units] = *out;
    bt_names_set(run->arena, &run->unit_place, text, run->n_read_units++);
    return true;
}

static bool read_unit(struct reading *r)
{
    struct bt_unit *unit = &r->row.unit;
    const char *text = text_of(r, BT_HB_UNIT);
    *unit = (struct bt_unit){.factor = 1, .text = ""};
    if (*text && strcmp(text, "1") != 0 && !unit_of(r->run, text, unit)) {
        const char *expected =
            r->q ? bt_units_accepted(r->run->arena, r->q->dim) : "a unit";
        return refuse(r, BT_HB_UNIT, expected, "the unit is not one of tables/units.csv");
    }
    const bool element = unit->species && (strcmp(unit->species, "P") == 0 ||
                                           strcmp(unit->species, "K") == 0);
    if (element && strncmp(r->row.quantity, "limit_", 6) != 0)
        return refuse(r, BT_HB_UNIT, "an amount of P2O5 or K2O",
                      "turn the element into its oxide");
    if (!r->q || bt_dim_same(unit->dim, r->q->dim) ||
        (r->q->or_number && bt_dim_same(unit->dim, BT_FRACTION)))
        return true;
    return refuse(
        r, BT_HB_UNIT, bt_units_accepted(r->run->arena, r->q->dim),
        bt_arena_format(r->run->arena, "%s is another kind of quantity", r->row.quantity));
}

/* `bounds` or `p05-p95`, then perhaps a shape: "p05-p95 triangular". */
static bool read_ends(struct reading *r, enum bt_ends *out, enum bt_form *out_form)
{
    static const char usual[] = "p05-p95";
    const char *text = text_of(r, BT_HB_ENDS);
    const size_t left = bt_range_words(text, out_form, out);
    if (left == 0 ||
        (left == sizeof usual - 1 && *out == BT_P05_P95 && strncmp(text, usual, left) == 0))
        return true;
    return refuse(r, BT_HB_ENDS,
                  "bounds or p05-p95, and perhaps a shape after it, or nothing",
                  "shapes are pert, triangular, uniform, lognormal and normal");
}

static double inside(const struct reading *r, double value)
{
    const struct bt_unit *u = &r->row.unit;
    return value * u->factor + (r->q && r->q->difference ? 0 : u->offset);
}

static bool read_range(struct reading *r)
{
    double low = 0, likely = 0, high = 0;
    bool has_low = false, has_likely = false, has_high = false;
    enum bt_ends ends = BT_P05_P95;
    enum bt_form form = BT_FORM_AUTO;
    bool ok = read_number(r, BT_HB_LOW, &has_low, &low);
    ok = read_number(r, BT_HB_LIKELY, &has_likely, &likely) && ok;
    ok = read_number(r, BT_HB_HIGH, &has_high, &high) && ok;
    ok = read_ends(r, &ends, &form) && ok;
    ok = read_unit(r) && ok;
    if (!ok)
        return false;
    if (has_low != has_high || (!has_low && !has_likely))
        return refuse(r, BT_HB_LIKELY, "likely alone, low and high, or all three", NULL);
    if (has_low && has_likely && !(low <= likely && likely <= high))
        return refuse(r, BT_HB_LIKELY, "low, likely and high in rising order", NULL);
    if (has_low && !(low <= high))
        return refuse(r, BT_HB_HIGH, "a high end that is not below the low one", NULL);
    if (!has_low)
        r->row.range = bt_range_exact(inside(r, likely));
    else if (!has_likely)
        r->row.range = bt_range_two(inside(r, low), inside(r, high), ends);
    else
        r->row.range =
            bt_range_of(inside(r, low), inside(r, likely), inside(r, high), ends);
    r->row.range = bt_range_shaped(r->row.range, form);
    return true;
}

/* The basis of a row of numbers. */
static bool read_basis(struct reading *r)
{
    r->row.basis = text_of(r, BT_HB_BASIS);
    if (!r->q)
        return true;
    const char *const *word = bt_book_basis_words(r->q);
    if (!word)
        return *r->row.basis == '\0' ||
               refuse(r, BT_HB_BASIS, "an empty cell: this quantity has no basis", NULL);
    return word[place_of(word, r->row.basis)] ||
           refuse(r, BT_HB_BASIS, bt_book_listed(r->run->arena, word),
                  "what was measured decides how the figure is used");
}

/* A row whose answer is a word; what a `follows` names is looked up once all rows are
 * there. */
static bool read_word(struct reading *r)
{
    static const int empty[] = {BT_HB_LOW, BT_HB_LIKELY, BT_HB_HIGH, BT_HB_UNIT,
                                BT_HB_ENDS};
    bool ok = true;
    for (size_t i = 0; i < sizeof empty / sizeof *empty; i++)
        if (*text_of(r, (size_t)empty[i]))
            ok = refuse(r, (size_t)empty[i], "an empty cell: the word stands in basis",
                        NULL);
    const char *text = text_of(r, BT_HB_BASIS);
    const char *const *word = bt_book_basis_words(r->q);
    r->row.unit = (struct bt_unit){.factor = 1, .text = ""};
    r->row.basis = "";
    r->row.word = text;
    if (word ? word[place_of(word, text)] != NULL : *text != '\0')
        return ok;
    return refuse(r, BT_HB_BASIS,
                  word ? bt_book_listed(r->run->arena, word) : "the key of a stand-in",
                  NULL);
}

static bool read_scope(struct reading *r)
{
    static const char *const word[] = {"garden", "bed", NULL};
    const size_t place = place_of(word, text_of(r, BT_HB_SCOPE));
    r->row.scope = place == 1 ? BT_SCOPE_BED : BT_SCOPE_GARDEN;
    return word[place] || refuse(r, BT_HB_SCOPE, "garden or bed",
                                 "garden: one figure for all beds; bed: each bed its own");
}

static bool read_parent(struct reading *r)
{
    bool given = false;
    double *correlation = &r->row.rank_correlation;
    const char *parent = text_of(r, BT_HB_PARENT);
    r->row.parent = *parent ? parent : NULL;
    if (!read_number(r, BT_HB_RANK_CORRELATION, &given, correlation))
        return false;
    if (given != (r->row.parent != NULL))
        return refuse(r, given ? BT_HB_PARENT : BT_HB_RANK_CORRELATION,
                      "parent and rank_correlation, both or neither", NULL);
    return (*correlation > -1 && *correlation < 1) ||
           refuse(r, BT_HB_RANK_CORRELATION, "a number between -1 and 1", NULL);
}

static size_t add_key(struct bt_arena *a, struct bt_book_table *t, const char *name,
                      const char *tidy)
{
    t->key = bt_arena_grow(a, t->key, &t->key_capacity, t->n_keys, sizeof *t->key);
    t->key_name =
        bt_arena_grow(a, t->key_name, &t->name_capacity, t->n_keys, sizeof *t->key_name);
    t->key[t->n_keys] =
        (struct bt_book_key){.name = name, .tidy = tidy, .follows = BT_NO_NAME};
    t->key_name[t->n_keys] = name;
    bt_names_set(a, &t->exact, name, t->n_keys);
    bt_names_set(a, &t->tidy, tidy, t->n_keys);
    return t->n_keys++;
}

/* In the tables built in a new spelling is a new key; a garden's own row means the key that
 * its spelling finds. */
static size_t key_for(struct reading *r)
{
    const char *name = text_of(r, BT_HB_KEY);
    const char *tidy = bt_text_key(r->run->arena, name);
    const size_t key = r->run->layer > 0
                           ? bt_names_find_any_number(r->run->arena, &r->t->tidy, tidy)
                           : bt_names_get(&r->t->tidy, tidy);
    return key != BT_NO_NAME ? key : add_key(r->run->arena, r->t, name, tidy);
}

/* Puts the row in the place of the one it overrides, or at the end. */
static bool keep(struct reading *r)
{
    struct bt_arena *a = r->run->arena;
    struct bt_book_table *t = r->t;
    const size_t key = key_for(r);
    struct bt_row *kept = bt_arena_alloc(a, sizeof *kept);
    *kept = r->row;
    kept->key = t->key[key].name;
    const size_t old = bt_book_find_row(t, key, kept->quantity);
    if (old != BT_NO_NAME && t->layer[old] == r->run->layer)
        return refuse(r, BT_HB_QUANTITY, "each quantity of a key once",
                      bt_arena_format(a, "%s of \"%s\" stands in line %u already",
                                      kept->quantity, kept->key, t->row[old]->at.line));
    const size_t place = old == BT_NO_NAME ? t->n_rows++ : old;
    kept->instead_of = old == BT_NO_NAME ? NULL : t->row[old];
    t->row = bt_arena_grow(a, t->row, &t->row_capacity, place, sizeof *t->row);
    t->layer = bt_arena_grow(a, t->layer, &t->layer_capacity, place, sizeof *t->layer);
    t->row[place] = kept;
    t->layer[place] = r->run->layer;
    if (old == BT_NO_NAME) {
        struct bt_book_key *k = &t->key[key];
        k->row = bt_arena_grow(a, k->row, &k->capacity, k->n_rows, sizeof *k->row);
        k->row[k->n_rows++] = place;
    }
    return true;
}

static void read_row(struct reading *r)
{
    const struct bt_cell notes = bt_book_cell(r->f, r->i, BT_HB_NOTES);
    r->row = (struct bt_row){.table = r->t->name,
                             .basis = "",
                             .notes = notes.text,
                             .at = r->f->csv.row[r->i].at,
                             .local = r->run->layer > 0};
    bool ok = bt_book_filled(r->run, r->f, r->i, BT_HB_KEY, "the name the row is about");
    ok = read_scope(r) && ok;
    ok = bt_book_read_source(r->run, r->f, r->i, BT_HB_SOURCE, &r->row.source) && ok;
    ok = bt_book_read_seen(r->run, r->f, r->i, BT_HB_SEEN, &r->row.seen) && ok;
    ok = read_parent(r) && ok;
    if (!read_quantity(r))
        return;
    if (r->q && r->q->basis == BT_BASIS_WORD) {
        ok = read_word(r) && ok;
    } else {
        ok = read_basis(r) && ok;
        ok = read_range(r) && ok;
    }
    if (ok)
        keep(r);
}

void bt_book_read_rows(struct bt_book_run *run, const struct bt_book_file *f)
{
    struct reading r = {.run = run, .f = f, .t = &run->book->table[f->which]};
    for (r.i = 0; r.i < f->csv.n_rows; r.i++)
        read_row(&r);
}
