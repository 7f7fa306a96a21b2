#include "plan/desk.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/text.h"

const char *bt_desk_text(struct bt_desk *w, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const char *text = bt_arena_vformat(w->arena, format, args);
    va_end(args);
    return text;
}

/* ---- what was typed ---- */

const struct bt_sum_given *bt_desk_nth(const struct bt_desk *w, const char *key, int nth)
{
    for (size_t i = 0; i < w->n_given; i++)
        if (w->given[i].nth == nth && strcmp(w->given[i].key->name, key) == 0)
            return &w->given[i];
    return NULL;
}

bool bt_desk_has(const struct bt_desk *w, const char *key)
{
    return bt_desk_nth(w, key, 1) != NULL;
}

struct bt_node bt_desk_node_nth(struct bt_desk *w, const char *key, int nth)
{
    const struct bt_sum_given *g = bt_desk_nth(w, key, nth);
    assert(g && g->has_node);
    return g->node;
}

struct bt_node bt_desk_node(struct bt_desk *w, const char *key)
{
    return bt_desk_node_nth(w, key, 1);
}

/* Keys are short; in the working they have words. */
static const struct words {
    const char *key, *words;
} key_words[] = {
    {"c_n",            "C:N"                                      },
    {"microbe_c_n",    "C:N of microbes"                          },
    {"carbon_use",     "share of the carbon that microbes keep"   },
    {"ndfa",           "share of plant N that comes from the air" },
    {"ph",             "pH"                                       },
    {"n_price",        "price of N"                               },
    {"dry",            "dry weight"                               },
    {"fresh",          "fresh weight"                             },
    {"n_available",    "share of its N that counts"               },
    {"ammonium_n",     "ammonium N"                               },
    {"nitrate_n",      "nitrate N"                                },
    {"shoot_n",        "shoot N"                                  },
    {"need_n",         "N wanted per area"                        },
    {"need_p2o5",      "P2O5 wanted per area"                     },
    {"need_k2o",       "K2O wanted per area"                      },
    {"p2o5_available", "share of P2O5 that counts"                },
    {"k2o_available",  "share of K2O that counts"                 },
    {"available",      "share that counts"                        },
    {"released",       "share of organic N that is released"      },
    {"kept",           "share of ammonium N that is kept"         },
    {"decomposed",     "share that rots"                          },
    {"equivalent",     "calcium carbonate equivalent"             },
    {"fine",           "share fine enough to act"                 },
    {"per_ppm",        "rate for each ppm"                        },
    {"recovery",       "share the roots catch"                    },
    {"transfer",       "share of the companions' uptake passed on"},
};

static const struct bt_sum_key *key_called(const struct bt_desk *w, const char *name)
{
    for (const struct bt_sum_key *k = w->sum->key; k->name; k++)
        if (strcmp(k->name, name) == 0)
            return k;
    return NULL;
}

const char *bt_desk_label(struct bt_desk *w, const char *name)
{
    static const char *const element[][2] = {
        {"n",    "N"   },
        {"c",    "C"   },
        {"p2o5", "P2O5"},
        {"k2o",  "K2O" }
    };
    const size_t n = strlen(name);
    const struct bt_sum_key *key = key_called(w, name);
    const char *nth = "";
    char *text = bt_arena_text(w->arena, name);
    if (!key && n > 1 && name[n - 1] >= '1' && name[n - 1] <= '9') { /* `amount2` */
        text[n - 1] = '\0';
        key = key_called(w, text);
        nth = bt_desk_text(w, " %c", name[n - 1]);
    }
    const bool is_content = key && (key->takes & BT_TAKES_SHARE);
    for (size_t i = 0; i < sizeof key_words / sizeof *key_words; i++)
        if (strcmp(text, key_words[i].key) == 0)
            return bt_desk_text(w, "%s%s", key_words[i].words, nth);
    for (size_t i = 0; i < sizeof element / sizeof *element; i++)
        if (strcmp(text, element[i][0]) == 0)
            return bt_desk_text(w, "%s %s%s", element[i][1],
                                is_content ? "content" : "wanted", nth);
    for (char *c = text; *c; c++)
        if (*c == '_')
            *c = ' ';
    return bt_desk_text(w, "%s%s", text, nth);
}

struct bt_node bt_desk_or_book(struct bt_desk *w, const char *key, const char *table,
                               const char *table_key, const char *quantity)
{
    return bt_desk_has(w, key)
               ? bt_desk_node(w, key)
               : bt_desk_book(w, table, table_key, quantity, bt_desk_label(w, key));
}

struct bt_node bt_desk_or_share(struct bt_desk *w, const char *key, double share)
{
    if (bt_desk_has(w, key))
        return bt_desk_node(w, key);
    return bt_constant_named(w->sheet, share, BT_FRACTION, bt_desk_label(w, key),
                             "taken, since it was not given", NULL);
}

const char *bt_desk_word(const struct bt_desk *w, const char *key)
{
    const struct bt_sum_given *g = bt_desk_nth(w, key, 1);
    return g ? g->word : NULL;
}

bool bt_desk_is(const struct bt_desk *w, const char *key, const char *word)
{
    const char *given = bt_desk_word(w, key);
    return given && strcmp(given, word) == 0;
}

bool bt_desk_dim(const struct bt_desk *w, struct bt_node n, struct bt_dim dim)
{
    return bt_dim_same(bt_sheet_node(w->sheet, n)->dim, dim);
}

/* ---- the handbook ---- */

const struct bt_row *bt_desk_row(struct bt_desk *w, const char *table, const char *key,
                                 const char *quantity)
{
    const struct bt_row *row = bt_handbook_follow(w->book, table, key, quantity);
    if (row)
        return row;
    bt_diag_add(w->means->diag,
                (struct bt_message){
                    .weight = BT_ERROR,
                    .field = w->sum->name,
                    .expected = bt_desk_text(w,
                                             "a figure for the %s of %s, which the "
                                             "handbook (%s) does not have",
                                             quantity, key, table),
                    .hint = bt_desk_text(w, "bedtally sum %s --help says how to give it",
                                         w->sum->name)});
    w->failed = true;
    return NULL;
}

/* Shares lie in 0..1, save those that are no parts; what a material gives may be negative.
 */
static void limits(const struct bt_row *row, double *low, double *high)
{
    static const char *const numbers[] = {
        "company_factor", "below_ground_factor", "c_n", "p2o5_of_p", "k2o_of_k", "no3_of_n",
        "lime_ph",        "microbe_c_n"};
    *low = strncmp(row->quantity, "n_available", 11) == 0 ||
                   strcmp(row->quantity, "net_n") == 0
               ? -HUGE_VAL
               : 0;
    *high = bt_dim_same(row->unit.dim, BT_FRACTION) ? 1 : HUGE_VAL;
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        if (strcmp(row->quantity, numbers[i]) == 0)
            *high = HUGE_VAL;
}

struct bt_node bt_desk_leaf(struct bt_desk *w, const struct bt_row *row, const char *label)
{
    struct bt_leaf leaf = {.label = label,
                           .dim = row->unit.dim,
                           .range = row->range,
                           .unit = row->unit.text,
                           .unit_factor = row->unit.factor,
                           .source = row->source,
                           .seen = row->seen,
                           .notes = row->notes,
                           .at = row->at,
                           .assumed = true};
    leaf.id = bt_desk_text(w, "%s/%s/%s", row->table, row->key, row->quantity);
    limits(row, &leaf.limit_low, &leaf.limit_high);
    return bt_leaf(w->sheet, &leaf);
}

struct bt_node bt_desk_book(struct bt_desk *w, const char *table, const char *key,
                            const char *quantity, const char *label)
{
    const struct bt_row *row = bt_desk_row(w, table, key, quantity);
    return row ? bt_desk_leaf(w, row, label) : bt_share(w->sheet, 1);
}

/* ---- what it comes to ---- */

struct bt_node bt_desk_named(struct bt_desk *w, const char *label, struct bt_node n)
{
    const struct bt_node named = bt_named(w->sheet, NULL, label, n);
    const struct bt_node_info *x = bt_sheet_node(w->sheet, named);
    if (!x->leaf && !x->unit) {
        const char *unit = bt_desk_unit(w, named);
        bt_shown_in(w->sheet, named, unit, bt_desk_factor(w, unit));
    }
    return named;
}

void bt_desk_result(struct bt_desk *w, const char *name, struct bt_node n, const char *unit)
{
    assert(w->n_results < BT_MOST_RESULTS);
    if (!bt_sheet_node(w->sheet, n)->leaf)
        n = bt_named(w->sheet, NULL, name, n);
    if (!unit)
        unit = bt_desk_unit(w, n);
    const double factor = bt_desk_factor(w, unit);
    if (!bt_sheet_node(w->sheet, n)->leaf && !bt_sheet_node(w->sheet, n)->unit)
        bt_shown_in(w->sheet, n, unit, factor);
    w->result[w->n_results++] = (struct bt_sum_result){
        .name = name, .node = n, .unit = unit, .unit_factor = factor};
}

void bt_desk_result_both(struct bt_desk *w, const char *name, struct bt_node n,
                         const struct bt_node *area)
{
    const bool per_area = bt_desk_dim(w, n, BT_MASS_PER_AREA);
    if (!area) {
        bt_desk_result(w, per_area ? bt_desk_text(w, "%s per area", name) : name, n, NULL);
        return;
    }
    const char *per = bt_desk_text(w, "%s per area", name);
    n = bt_desk_named(w, per_area ? per : name, n);
    const struct bt_node other =
        per_area ? bt_mul(w->sheet, n, *area) : bt_div(w->sheet, n, *area);
    bt_desk_result(w, name, per_area ? other : n, NULL);
    bt_desk_result(w, per, per_area ? n : other, NULL);
}

void bt_desk_put(struct bt_desk *w, const char *name, struct bt_node n)
{
    const struct bt_node area = bt_desk_has(w, "area") ? bt_desk_node(w, "area") : n;
    bt_desk_result_both(w, name, n, bt_desk_has(w, "area") ? &area : NULL);
}

void bt_desk_note(struct bt_desk *w, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const char *text = bt_arena_vformat(w->arena, format, args);
    va_end(args);
    for (size_t i = 0; i < w->n_notes; i++)
        if (strcmp(w->note[i], text) == 0)
            return;
    if (w->n_notes < BT_MOST_NOTES)
        w->note[w->n_notes++] = text;
}

void bt_desk_refuse(struct bt_desk *w, const char *key, const char *expected,
                    const char *hint)
{
    const struct bt_sum_given *g = key ? bt_desk_nth(w, key, 1) : NULL;
    bt_diag_add(w->means->diag, (struct bt_message){.weight = BT_ERROR,
                                                    .field = key ? key : w->sum->name,
                                                    .expected = expected,
                                                    .found = g ? g->text : NULL,
                                                    .hint = hint});
    w->failed = true;
}
