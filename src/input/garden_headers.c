/* The header of a garden file: which of its columns are ours, what is said of the others,
 * and what cannot be read without a column that is not there. One cause has one message:
 * what hangs on it stays silent. */
#include "input/garden_read.h"

#include <string.h>

#include "base/text.h"
#include "input/heading.h"

/* ---- columns that must be there ---- */

/* Without these no row of the file says anything. */
static const struct needed {
    const char *file, *column;
} needed[] = {
    {"garden",       "setting" },
    {"garden",       "value"   },
    {"beds",         "bed"     },
    {"plantings",    "bed"     },
    {"plantings",    "crop"    },
    {"materials",    "material"},
    {"applications", "date"    },
    {"applications", "beds"    },
    {"applications", "material"},
    {"applications", "amount"  },
    {"measures",     "measure" },
    {"measures",     "amount"  },
};

#define N(a) (sizeof(a) / sizeof *(a))

/* Those that are missing, with commas; NULL for none. */
static const char *missing_columns(struct bt_gr *g, const struct bt_gfile *f)
{
    const char *list = NULL;
    for (size_t i = 0; i < N(needed); i++) {
        bool there = strcmp(needed[i].file, f->name) != 0;
        for (size_t c = 0; c < f->n_columns && !there; c++)
            there = f->place[c] >= 0 && strcmp(f->column[c], needed[i].column) == 0;
        if (!there)
            list = bt_arena_format(g->arena, "%s%s%s", list ? list : "", list ? ", " : "",
                                   needed[i].column);
    }
    return list;
}

static bool lacks(const struct bt_gfile *f, int column)
{
    return f->place[column] < 0;
}

/* Of the columns that are not read one may have been what other files or rows need. */
static void excuse(struct bt_gr *g, const struct bt_gfile *f, bool lost)
{
    const bool in_doubt = lost || f->n_unknown > 0;
    if (strcmp(f->name, "beds") == 0) {
        g->beds_lost |= lost;
    } else if (strcmp(f->name, "materials") == 0) {
        g->materials_lost |= lost;
    } else if (strcmp(f->name, "garden") == 0) {
        g->settings_lost |= lost;
    } else if (strcmp(f->name, "plantings") == 0) {
        g->plantings_lost |= lost;
        g->dates_lost |= lost || (in_doubt && lacks(f, BT_PL_IN_GROUND));
        g->stands_lost |= in_doubt && lacks(f, BT_PL_PLANTS) && lacks(f, BT_PL_ROWS) &&
                          lacks(f, BT_PL_SHARE);
    } else if (strcmp(f->name, "applications") == 0) {
        g->dates_lost |= lost;
    }
}

/* ---- columns that are not ours ---- */

/* `length (ft)`: the name before the bracket and the unit inside it, NULL when there is
 * none. */
static void split_header(struct bt_arena *a, const char *text, const char **out_name,
                         const char **out_unit)
{
    const char *open = strrchr(text, '(');
    const char *close = open ? strchr(open, ')') : NULL;
    *out_unit = NULL;
    *out_name = text;
    if (!open || !close || close[1] || open == text || close == open + 1)
        return;
    *out_name = bt_arena_text_n(a, text, (size_t)(open - text));
    *out_unit = bt_arena_text_n(a, open + 1, (size_t)(close - open - 1));
}

static int column_named(struct bt_arena *a, const struct bt_gfile *f, const char *name)
{
    const char *key = bt_text_key(a, name);
    for (size_t c = 0; c < f->n_columns; c++)
        if (strcmp(key, bt_text_key(a, f->column[c])) == 0)
            return (int)c;
    return -1;
}

static bool is_free(struct bt_arena *a, const char *name)
{
    const char *key = bt_text_key(a, name);
    return bt_text_starts(key, "note") || bt_text_starts(key, "my ");
}

static bool column_filled(const struct bt_gfile *f, size_t field)
{
    for (size_t r = 0; r < f->csv.n_rows; r++)
        if (field < f->csv.row[r].n && *f->csv.row[r].cell[field].text)
            return true;
    return false;
}

/* The garden file that has such a column; NULL when none or only a vague name. */
static const char *other_file(struct bt_gr *g, const char *name)
{
    static const char *const files[] = {"soil_tests", "plantings", "beds", "applications",
                                        "materials"};
    for (size_t i = 0; i < sizeof files / sizeof *files && strlen(name) > 3; i++) {
        struct bt_known_file file = {.name = files[i]};
        struct bt_heading h;
        file.n_columns = bt_garden_columns(files[i], &file.column);
        bt_heading_read(g->arena, &file, g->units, name, &h);
        if (h.column >= 0)
            return files[i];
    }
    return NULL;
}

/* What people call our columns without its being certain that they mean them. */
static const struct may_be {
    const char *file, *spelling, *hint;
} may_be[] = {
    {"beds",         "soil",      "what the soil is, `loam`, belongs in the column texture"},
    {"beds",         "soil type", "what the soil is, `loam`, belongs in the column texture"},
    {"beds",         "height",    "how deep the bed is filled belongs in the column depth" },
    {"applications", "how",       "where it was put belongs in the column placement"       },
    {"applications", "method",    "where it was put belongs in the column placement"       },
    {"applications", "where",
     "where it was put belongs in the column placement, which "
     "bed in beds"                                                                         },
    {"applications", "rate",
     "a rate such as 2 lb/100 sq ft belongs in the column "
     "amount"                                                                              },
    {"plantings",    "date",
     "is it in_ground (sown or set out) or ended (pulled or "
     "dug in)?"                                                                            },
    {"plantings",    "count",     "how many plants there are belongs in the column plants" },
    {"plantings",    "quantity",  "how many plants there are belongs in the column plants" },
    {"plantings",    "number",    "how many plants there are belongs in the column plants" },
    {"plantings",    "amount",    "how many plants there are belongs in the column plants" },
    {"plantings",    "harvested", "is it a day (ended), or a weight (weighed)?"            },
    {"plantings",    "harvest",   "is it a day (ended), or a weight (expected, weighed)?"  },
    {"plantings",    "yield",
     "a weight hoped for belongs in expected, one brought in "
     "in weighed"                                                                          },
    {"harvests",     "weight",    "the weight belongs in the column amount"                },
    {"purchases",    "cost",      "what was paid belongs in the column paid"               },
    {"purchases",    "price",     "what was paid belongs in the column paid"               },
};

static const char *may_be_hint(struct bt_gr *g, const struct bt_gfile *f, const char *name)
{
    const char *key = bt_text_key(g->arena, name);
    for (size_t i = 0; i < N(may_be); i++)
        if (strcmp(may_be[i].file, f->name) == 0 && strcmp(may_be[i].spelling, key) == 0)
            return may_be[i].hint;
    return NULL;
}

/* `missing`: the columns without which the file is not read, NULL for none. */
static const char *unknown_hint(struct bt_gr *g, const struct bt_gfile *f, const char *name,
                                const char *missing)
{
    static const char own[] = "for columns of your own begin the name with note or my_";
    const char *near = bt_text_nearest(g->arena, name, f->n_columns, f->column);
    const char *first = may_be_hint(g, f, name);
    const char *other = near || first ? NULL : other_file(g, name);
    if (!first && near)
        first = bt_arena_format(g->arena, "did you mean %s?", near);
    if (!first && missing)
        first = bt_arena_format(
            g->arena, "is it %s, without which the file cannot be read?", missing);
    if (!first && other)
        return bt_arena_format(g->arena, "it belongs in %s.csv", other);
    if (!first)
        return own;
    const bool ended = first[strlen(first) - 1] == '?';
    return bt_arena_format(g->arena, ended ? "%s F%s" : "%s; f%s", first, own + 1);
}

/* What laboratories report beside what is read here; near one of our names by letters only.
 */
static bool is_other_reading(struct bt_arena *a, const char *name)
{
    static const char *const readings[] = {
        "calcium", "magnesium", "sodium",    "sulfur", "sulphur",  "boron",    "zinc",
        "iron",    "copper",    "manganese", "nickel", "aluminum", "aluminium"};
    const char *key = bt_text_key(a, name);
    for (size_t i = 0; i < N(readings); i++)
        if (strcmp(key, readings[i]) == 0)
            return true;
    return false;
}

/* `Nitrate` where nothing is called nitrate_n is a slip that costs a reading; beside the
 * column itself it is another of the lab's. */
static void near_column(struct bt_gr *g, const struct bt_gfile *f,
                        const struct bt_cell *head, const char *near)
{
    for (size_t c = 0; c < f->n_columns; c++) {
        const char *quoted = bt_arena_format(g->arena, "\"%s\"", f->column[c]);
        if (!bt_text_starts(near, quoted) || f->place[c] >= 0)
            continue;
        const char *nitrate = strcmp(f->column[c], "nitrate_n") == 0
                                  ? " (with ppm NO3 in the cells where it is not of "
                                    "nitrogen)"
                                  : "";
        const char *hint = bt_arena_format(g->arena, "it is not read; did you mean %s%s?",
                                           f->column[c], nitrate);
        bt_fixes_unread(g->options->fixes, (struct bt_unread){head->at, head->text, hint});
        bt_gr_warn(g, head, "column",
                   bt_arena_format(g->arena, "one of the columns of %s.csv", f->name),
                   hint);
        return;
    }
    bt_gr_note(g, head->at,
               bt_arena_format(g->arena, "the column \"%s\" is not read; near it are %s",
                               head->text, near));
}

/* The columns of a lab stay unread, but one that looks like a slip of ours is pointed out.
 */
static void unknown_column(struct bt_gr *g, struct bt_gfile *f, const struct bt_cell *head,
                           const char *missing)
{
    const char *name, *unit;
    split_header(g->arena, head->text, &name, &unit);
    if (strcmp(f->name, "soil_tests") == 0) {
        const char *near = bt_text_nearest(g->arena, name, f->n_columns, f->column);
        if (near && strlen(name) > 3 && !is_other_reading(g->arena, name))
            near_column(g, f, head, near);
        return;
    }
    bt_gr_error(g, head, "column",
                bt_arena_format(g->arena, "one of the columns of %s.csv", f->name),
                unknown_hint(g, f, name, missing));
}

/* Finds our columns and leaves the others, with what they are, in `unknown`. */
static void find_columns(struct bt_gr *g, struct bt_gfile *f, bool *unknown)
{
    for (size_t c = 0; c < f->n_columns; c++) {
        f->place[c] = -1;
        f->header_unit[c] = NULL;
    }
    for (size_t i = 0; i < f->csv.header.n; i++) {
        const struct bt_cell *head = &f->csv.header.cell[i];
        const char *name, *unit;
        split_header(g->arena, head->text, &name, &unit);
        const int c = column_named(g->arena, f, name);
        if (!*head->text) {
            if (column_filled(f, i))
                bt_gr_error(g, head, "column", "a name over a column that holds something",
                            NULL);
        } else if (c >= 0 && f->place[c] >= 0) {
            bt_gr_error(g, head, "column", "each column once", NULL);
        } else if (c >= 0) {
            f->place[c] = (int)i;
            f->header_unit[c] = unit;
        } else if (!is_free(g->arena, name)) {
            unknown[i] = true;
            f->n_unknown += strcmp(f->name, "soil_tests") != 0;
        }
    }
}

void bt_gfile_place_columns(struct bt_gr *g, struct bt_gfile *f)
{
    bool *unknown = bt_arena_zero(g->arena, (f->csv.header.n + 1) * sizeof *unknown);
    find_columns(g, f, unknown);
    const char *missing = missing_columns(g, f);
    for (size_t i = 0; i < f->csv.header.n; i++)
        if (unknown[i])
            unknown_column(g, f, &f->csv.header.cell[i], missing);
    excuse(g, f, missing != NULL);
    if (!missing)
        return;
    if (f->n_unknown == 0)
        bt_diag_add(g->diag, (struct bt_message){
                                 .weight = BT_ERROR,
                                 .at = f->csv.header.at,
                                 .field = "column",
                                 .expected = bt_arena_format(
                                     g->arena, "%s, without which %s.csv cannot be read",
                                     missing, f->name)});
    f->csv.n_rows = 0;
}
