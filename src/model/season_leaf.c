/* From a handbook row or a cell to a leaf of the worksheet. The names of leaves are made
 * here: the same name is the same draws in every bed. */
#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/text.h"
#include "model/season_bind.h"

const char *bt_bind_text(struct bt_binding *b, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const char *text = bt_arena_vformat(b->arena, format, args);
    va_end(args);
    return text;
}

static void keep(struct bt_binding *b, const char *text, size_t *n, size_t *cap,
                 const char ***list)
{
    for (size_t i = 0; i < *n; i++)
        if (strcmp((*list)[i], text) == 0)
            return;
    *list = bt_arena_grow(b->arena, *list, cap, *n, sizeof **list);
    (*list)[(*n)++] = text;
}

void bt_bind_understood(struct bt_binding *b, const char *sentence)
{
    keep(b, sentence, &b->n_understood, &b->understood_cap, &b->understood);
}

static bool reads_the_same(const struct bt_assumption *a, const struct bt_assumption *b)
{
    if (!a->leaf || !b->leaf)
        return a->sentence && b->sentence && strcmp(a->sentence, b->sentence) == 0;
    const struct bt_leaf *x = a->leaf, *y = b->leaf;
    return strcmp(x->label, y->label) == 0 && x->seen == y->seen &&
           x->range.low == y->range.low && x->range.likely == y->range.likely &&
           x->range.high == y->range.high;
}

static void keep_assumption(struct bt_binding *b, struct bt_assumption x)
{
    for (size_t i = 0; i < b->n_assumed; i++)
        if (reads_the_same(&b->assumed[i], &x))
            return;
    b->assumed = bt_arena_grow(b->arena, b->assumed, &b->assumed_cap, b->n_assumed,
                               sizeof *b->assumed);
    b->assumed[b->n_assumed++] = x;
}

void bt_bind_assumed(struct bt_binding *b, const char *sentence)
{
    keep_assumption(b, (struct bt_assumption){.sentence = sentence});
}

void bt_bind_assumed_leaf(struct bt_binding *b, const struct bt_leaf *leaf)
{
    keep_assumption(b, (struct bt_assumption){.leaf = leaf});
}

void bt_bind_caution(struct bt_binding *b, const char *when_word)
{
    bt_caution_word(&b->words, when_word);
}

bool bt_given(const struct bt_quantity *q)
{
    return q->presence == BT_GIVEN && !q->word && q->bound != BT_NOT_DETECTED;
}

const struct bt_row *bt_bind_row(struct bt_binding *b, const char *table, const char *key,
                                 const char *quantity)
{
    const struct bt_row *row = bt_handbook_follow(b->book, table, key, quantity);
    if (row)
        return row;
    bt_diag_add(
        b->diag,
        (struct bt_message){
            .weight = BT_ERROR,
            .at = b->bed->at,
            .field = bt_bind_text(b, "tables/%s.csv", table),
            .expected = bt_bind_text(b, "a row %s for \"%s\"", quantity, key),
            .hint = "add the row to tables/ in the garden folder, with its source"});
    b->failed = true;
    return NULL;
}

void bt_bind_read(struct bt_binding *b, const struct bt_row *row)
{
    for (size_t i = 0; i < b->n_read; i++)
        if (b->read[i] == row)
            return;
    if (!row)
        return;
    b->read = bt_arena_grow(b->arena, b->read, &b->read_cap, b->n_read, sizeof *b->read);
    b->read[b->n_read++] = row;
}

const char *bt_bind_word(struct bt_binding *b, const char *table, const char *key,
                         const char *quantity)
{
    const struct bt_row *row = bt_handbook_follow(b->book, table, key, quantity);
    bt_bind_read(b, row);
    return row ? row->word : NULL;
}

double bt_bind_likely(struct bt_binding *b, const char *table, const char *key,
                      const char *quantity)
{
    const struct bt_row *row = bt_bind_row(b, table, key, quantity);
    bt_bind_read(b, row);
    return row ? row->range.likely : (double)NAN;
}

/* Shares lie in 0..1; what a material gives may be below zero; all else is not negative. */
static void limits_of(const char *quantity, struct bt_dim dim, double *out_low,
                      double *out_high)
{
    static const char *const numbers[] = {"company_factor", "below_ground_factor",
                                          "mixing_gain", "om_factor", "c_n"};
    static const char *const signed_ones[] = {"net_n", "n_available_1", "n_available_2",
                                              "n_available_3"};
    *out_low = 0;
    *out_high = bt_dim_same(dim, BT_FRACTION) ? 1 : HUGE_VAL;
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        if (strcmp(quantity, numbers[i]) == 0)
            *out_high = HUGE_VAL;
    for (size_t i = 0; i < sizeof signed_ones / sizeof *signed_ones; i++)
        if (strcmp(quantity, signed_ones[i]) == 0)
            *out_low = -HUGE_VAL;
}

static const char *label_of(struct bt_binding *b, const char *what, const char *subject)
{
    return subject ? bt_bind_text(b, "%s of %s", what, subject) : what;
}

/* One name for the garden, or one a bed, as the row's scope says. */
static const char *id_of(struct bt_binding *b, const struct bt_row *row)
{
    const char *of = b->leaves_of ? b->leaves_of : b->bed->id;
    const char *bed = row->scope == BT_SCOPE_BED ? bt_bind_text(b, "/%s", of) : "";
    return bt_bind_text(b, "%s/%s/%s%s", row->table, row->key, row->quantity, bed);
}

/* `parent` is key/quantity in the same table; keys hold no slash. */
static const char *parent_id(struct bt_binding *b, const struct bt_row *row)
{
    const char *slash = row->parent ? strrchr(row->parent, '/') : NULL;
    if (!slash)
        return NULL;
    const char *key = bt_arena_text_n(b->arena, row->parent, (size_t)(slash - row->parent));
    const struct bt_row *parent = bt_handbook_row(b->book, row->table, key, slash + 1);
    return parent ? id_of(b, parent) : NULL;
}

struct bt_node bt_bind_leaf_of(struct bt_binding *b, const struct bt_row *row,
                               const char *what, const char *subject, bool assumed)
{
    if (!row)
        return bt_share(b->sheet, 0); /* b->failed is set: the sheet is thrown away */
    struct bt_leaf leaf = {.label = label_of(b, what, subject),
                           .dim = row->unit.dim,
                           .range = row->range,
                           .unit = row->unit.text,
                           .unit_factor = row->unit.factor,
                           .source = row->source,
                           .seen = row->seen,
                           .notes = row->notes,
                           .at = row->at,
                           .assumed = assumed,
                           .rank_correlation = row->rank_correlation};
    leaf.id = id_of(b, row);
    leaf.parent = parent_id(b, row);
    limits_of(row->quantity, row->unit.dim, &leaf.limit_low, &leaf.limit_high);
    return bt_leaf(b->sheet, &leaf);
}

struct bt_node bt_bind_handbook(struct bt_binding *b, const char *table, const char *key,
                                const char *quantity, const char *what, const char *subject)
{
    return bt_bind_leaf_of(b, bt_bind_row(b, table, key, quantity), what, subject, false);
}

/* A bound is a range too: below x is 0..x, above x is x and up to half as much again
 * (ours). */
static struct bt_range range_of(const struct bt_quantity *q)
{
    const double x = q->range.likely;
    if (q->bound == BT_BELOW)
        return bt_range_two(0, x, BT_BOUNDS);
    if (q->bound == BT_ABOVE)
        return bt_range_of(x, x * 1.2, x * 1.5, BT_BOUNDS);
    return q->range;
}

struct bt_node bt_bind_stated(struct bt_binding *b, const struct bt_quantity *q,
                              const char *id, const char *label)
{
    struct bt_leaf leaf = {.id = id,
                           .label = label,
                           .dim = q->unit.dim,
                           .range = range_of(q),
                           .unit = q->unit.text,
                           .unit_factor = q->unit.factor,
                           .source = "stated",
                           .seen = BT_READ,
                           .at = q->cell.at};
    const char *quantity = strrchr(id, '/');
    limits_of(quantity ? quantity + 1 : id, leaf.dim, &leaf.limit_low, &leaf.limit_high);
    return bt_leaf(b->sheet, &leaf);
}
