/* Cells that hold counts, rows of a length, layers and words. */
#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/cell_read.h"
#include "input/quantity.h"
#include "input/unit_text.h"

#define MOST_PLANTS 1e6

static const char expected_count[] = "a count such as 40 or 8 mounds x 5";
static const char expected_rows[] = "rows and their length, such as 2 x 20 ft or 20 ft";

/* Where the first factor of `8 mounds x 5` or `2 rows of 20 ft` ends; *after is where the
 * second begins. NULL when there is one factor only. */
static const char *times(const char *plain, const char **after)
{
    for (const char *p = plain; *p; p++) {
        const bool free = p > plain && (p[-1] == ' ' || bt_is_digit(p[-1]));
        const size_t n = !free                                 ? 0
                         : *p == 'x' || *p == 'X' || *p == '*' ? 1
                         : bt_text_starts(p, "of ")            ? 2
                                                               : 0;
        *after = p + n;
        while (n && **after == ' ')
            (*after)++;
        if (n && (bt_is_digit(**after) || **after == '.'))
            return p;
    }
    return NULL;
}

/* `8 mounds`: a number and the words after it, trimmed. */
struct factor {
    double value;
    const char *word;
    const char *group; /* "mound", "pot", "row" or NULL */
};

static bool read_factor(struct bt_arena *a, const char *s, size_t n, struct factor *out)
{
    enum bt_number_fault fault = BT_NUMBER_FINE;
    const char *text = bt_plain(a, bt_arena_text_n(a, s, n));
    if (!bt_number(&text, &out->value, &fault))
        return false;
    out->word = bt_plain(a, text);
    out->group = bt_unit_per_word(a, out->word);
    if (out->group &&
        (strcmp(out->group, "plant") == 0 || strcmp(out->group, "season") == 0)) {
        out->word = strcmp(out->group, "plant") == 0 ? "" : out->word;
        out->group = NULL;
    }
    static const char *const single[] = {"each", "plants each", "ea",
                                         "ea.",  "pcs",         "pieces"};
    for (size_t i = 0; i < sizeof single / sizeof *single; i++)
        if (bt_text_is(out->word, single[i]))
            out->word = "";
    if (bt_text_is(out->word, "doz") || bt_text_is(out->word, "doz.") ||
        bt_text_is(out->word, "dozen")) {
        out->value *= 12;
        out->word = "";
    }
    return out->group || out->word[0] == '\0';
}

static bool is_count(double v)
{
    return v >= 1 && v <= MOST_PLANTS && floor(v) == v;
}

/* Two factors in either order, the groups first where no word says which. */
static bool take_product(struct factor f[2], struct bt_count *out)
{
    const bool swapped = f[1].group && !f[0].group;
    if (f[0].group && f[1].group)
        return false;
    out->groups = f[swapped].value;
    out->each = f[!swapped].value;
    out->group = f[swapped].group;
    return is_count(out->groups) && is_count(out->each);
}

/* One factor: plants, or pots with a plant in each. */
static bool take_single(const struct factor *f, struct bt_count *out, const char **hint)
{
    const bool pots = f->group && strcmp(f->group, "pot") == 0;
    if (f->group && !pots) {
        *hint = "write how many plants there are in each, as in 8 mounds x 5";
        return false;
    }
    out->groups = pots ? f->value : 1;
    out->each = pots ? 1 : f->value;
    out->group = f->group;
    return is_count(f->value);
}

static bool take_count(struct bt_reader *r, const char *plain, struct bt_count *out,
                       const char **hint)
{
    struct factor f[2] = {{.value = 0}, {.value = 0}};
    const char *after = NULL, *end = times(plain, &after);
    const size_t first = end ? (size_t)(end - plain) : strlen(plain);
    *hint = NULL;
    if (!read_factor(r->arena, plain, first, &f[0]) ||
        (end && !read_factor(r->arena, after, strlen(after), &f[1])))
        return false;
    if (!end && f[0].value == 0) {
        out->presence = BT_NONE;
        return true;
    }
    out->presence = BT_GIVEN;
    return end ? take_product(f, out) : take_single(&f[0], out, hint);
}

/* `1..2`, `2 rows of 8 ft`: what to write instead; NULL for nothing. */
static const char *count_hint(struct bt_reader *r, const char *plain)
{
    struct factor rows;
    struct bt_unit unit;
    struct bt_scan s;
    const char *after = NULL, *end = times(plain, &after);
    if (end && read_factor(r->arena, plain, (size_t)(end - plain), &rows) &&
        bt_scan(r, after, &s) && s.n == 1 &&
        bt_units_read(r->units, r->arena, s.unit, 0, NULL, &unit) &&
        bt_dim_same(unit.dim, BT_LENGTH))
        return bt_arena_format(r->arena,
                               "rows of a length belong in the column rows: %s x %s",
                               bt_figures_short(r->arena, rows.value, 10), after);
    if (!end && bt_scan(r, plain, &s) && s.n > 1)
        return bt_arena_format(r->arena, "write one number, the likeliest, such as %.0f",
                               ceil((s.value[0] + s.value[s.n - 1]) / 2));
    return NULL;
}

bool bt_read_count(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                   struct bt_count *out)
{
    const struct bt_count blank = {.presence = BT_BLANK, .cell = *cell};
    const char *plain = bt_cell_plain(r, cell, column), *hint = NULL;
    *out = blank;
    if (!plain)
        return false;
    if (bt_cell_presence(r, cell, column, plain, &out->presence))
        return true;
    if (!bt_cell_is_typed(r, cell, column, expected_count) ||
        !bt_cell_is_no_date(r, cell, column, expected_count, plain))
        return false;
    const bool about = bt_cell_drop_about(r->arena, &plain);
    if (!take_count(r, plain, out, &hint)) {
        *out = blank;
        return bt_cell_refuse(r, cell, column, expected_count,
                              hint ? hint : count_hint(r, plain));
    }
    if (about || strchr(plain, ',') || strstr(plain, "doz")) {
        const char *total = bt_arena_format(
            r->arena, "%s", bt_figures_short(r->arena, out->groups * out->each, 10));
        (void)bt_cell_note(r, cell, column,
                           bt_arena_format(r->arena, "read as %s plants in all", total));
        if (!out->group)
            bt_cell_fix(r, cell, total, "a count written plainly");
    }
    return true;
}

bool bt_read_rows(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                  struct bt_rows *out)
{
    const struct bt_rows blank = {.presence = BT_BLANK, .cell = *cell};
    const struct bt_accept length = {.column = column,
                                     .n_dims = 1,
                                     .dims = {BT_LENGTH},
                                     .lowest = 0,
                                     .highest = HUGE_VAL};
    const char *plain = bt_plain(r->arena, cell->text), *after = NULL;
    struct factor rows = {.value = 1};
    *out = blank;
    if (bt_cell_presence(r, cell, column, plain, &out->presence))
        return true;
    const char *end = times(plain, &after);
    if (end && (!read_factor(r->arena, plain, (size_t)(end - plain), &rows) ||
                (rows.group && strcmp(rows.group, "row") != 0) || !is_count(rows.value)))
        return bt_cell_refuse(r, cell, column, expected_rows, NULL);
    const struct bt_cell each = {end ? after : plain, cell->at};
    struct bt_quantity q;
    if (!bt_read_quantity(r, &each, &length, &q))
        return false;
    if (q.presence != BT_GIVEN || q.bound != BT_EXACTLY || !bt_range_is_exact(&q.range) ||
        q.range.low <= 0)
        return bt_cell_refuse(r, cell, column, expected_rows, NULL);
    out->presence = BT_GIVEN;
    out->rows = rows.value;
    out->length_m = q.range.likely;
    return true;
}

bool bt_read_layer_in(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                      const char *header_unit, struct bt_layer *out)
{
    static const char expected[] = "a layer such as 0-6 in or 6 in";
    const struct bt_accept length = {.column = column,
                                     .n_dims = 1,
                                     .dims = {BT_LENGTH},
                                     .header_unit = header_unit,
                                     .lowest = 0,
                                     .highest = HUGE_VAL};
    const char *text = cell->text;
    struct bt_quantity q;
    *out = (struct bt_layer){.presence = BT_BLANK, .cell = *cell};
    (void)bt_cell_drop(&text, "top ");
    const struct bt_cell depth = {text, cell->at};
    if (!bt_read_quantity(r, &depth, &length, &q))
        return false;
    const bool single = bt_range_is_exact(&q.range);
    if (q.presence == BT_GIVEN &&
        (q.bound != BT_EXACTLY || (q.range.has_likely && !single) || q.range.high <= 0))
        return bt_cell_refuse(r, cell, column, expected, NULL);
    out->presence = q.presence;
    if (q.presence == BT_GIVEN) {
        out->top_m = single ? 0 : q.range.low;
        out->bottom_m = q.range.high;
    }
    return true;
}

bool bt_read_layer(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                   struct bt_layer *out)
{
    return bt_read_layer_in(r, cell, column, NULL, out);
}

/* What people write for our words; said, not read, as each has a meaning beside ours. */
static const struct synonym {
    const char *column, *written, *word;
} synonyms[] = {
    {"placement", "mulch",         "surface"                                   },
    {"placement", "mulched",       "surface"                                   },
    {"placement", "top",           "surface"                                   },
    {"placement", "on top",        "surface"                                   },
    {"placement", "top dressed",   "surface"                                   },
    {"placement", "top dressing",  "surface"                                   },
    {"placement", "side dressed",  "surface"                                   },
    {"placement", "broadcast",     "surface, or dug-in"                        },
    {"placement", "mixed in",      "dug-in"                                    },
    {"placement", "mixed",         "dug-in"                                    },
    {"placement", "worked in",     "dug-in"                                    },
    {"placement", "tilled in",     "dug-in"                                    },
    {"placement", "tilled",        "dug-in"                                    },
    {"placement", "incorporated",  "dug-in"                                    },
    {"placement", "raked in",      "dug-in"                                    },
    {"placement", "buried",        "dug-in, or hole"                           },
    {"placement", "planting hole", "hole"                                      },
    {"placement", "in hole",       "hole"                                      },
    {"placement", "drench",        "watered"                                   },
    {"placement", "fertigation",   "watered"                                   },
    {"placement", "fill",          "filling"                                   },
    {"units",     "imperial",      "us (feet, pounds, US gallons)"             },
    {"units",     "english",       "us (feet, pounds, US gallons)"             },
    {"units",     "american",      "us (feet, pounds, US gallons)"             },
    {"units",     "usa",           "us (feet, pounds, US gallons)"             },
    {"units",     "customary",     "us (feet, pounds, US gallons)"             },
    {"units",     "si",            "metric"                                    },
    {"rest",      "composted",     "compost"                                   },
    {"rest",      "removed",       "off-site, or compost"                      },
    {"rest",      "pulled",        "off-site, or compost"                      },
    {"rest",      "mulch",         "left"                                      },
    {"rest",      "chopped",       "left"                                      },
    {"rest",      "tilled",        "dug-in"                                    },
    {"rest",      "turned under",  "dug-in"                                    },
    {"kind",      "raised",        "ground, or mix (less than half of it soil)"},
    {"kind",      "raised bed",    "ground, or mix (less than half of it soil)"},
    {"kind",      "container",     "pots"                                      },
    {"kind",      "containers",    "pots"                                      },
    {"kind",      "pot",           "pots"                                      },
    {"status",    "finished",      "done"                                      },
    {"status",    "plan",          "planned"                                   },
    {"status",    "to do",         "planned"                                   },
    {"warmth",    "cold",          "cool"                                      },
    {"warmth",    "hot",           "warm"                                      },
    {"warmth",    "mild",          "temperate"                                 },
};

static const char *synonym_of(struct bt_arena *a, const char *column, const char *key)
{
    for (size_t i = 0; i < sizeof synonyms / sizeof *synonyms; i++)
        if (strcmp(synonyms[i].column, column) == 0 &&
            strcmp(synonyms[i].written, key) == 0)
            return bt_arena_format(
                a, strpbrk(synonyms[i].word, ",(") ? "perhaps %s" : "perhaps \"%s\"",
                synonyms[i].word);
    return NULL;
}

bool bt_read_word(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                  size_t n, const char *const *words, int *out)
{
    struct bt_arena *a = r->arena;
    const char *plain = bt_plain(a, cell->text), *list = "";
    const char *key = bt_text_key(a, plain);
    *out = -1;
    if (*plain == '\0')
        return true;
    for (size_t i = 0; i < n; i++) {
        if (strcmp(key, bt_text_key(a, words[i])) == 0) {
            *out = (int)i;
            return true;
        }
        list = bt_arena_format(a, "%s%s%s", list, i ? ", " : "", words[i]);
    }
    if (bt_cell_stand_in(a, plain) == BT_STANDS_NOT_KNOWN)
        return bt_cell_note(r, cell, column, "taken as not known");
    const char *hint = synonym_of(a, column, key);
    const char *near = hint ? NULL : bt_text_nearest(a, plain, n, words);
    if (near)
        hint = bt_arena_format(a, "perhaps %s", near);
    return bt_cell_refuse(r, cell, column, bt_arena_format(a, "one of %s", list), hint);
}
