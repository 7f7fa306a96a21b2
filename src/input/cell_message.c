#include "input/cell_read.h"

#include <string.h>

#include "base/text.h"

bool bt_cell_refuse(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                    const char *expected, const char *hint)
{
    return bt_diag_add(r->diag, (struct bt_message){.weight = BT_ERROR,
                                                    .at = cell->at,
                                                    .field = column,
                                                    .expected = expected,
                                                    .found = cell->text,
                                                    .hint = hint});
}

bool bt_cell_note(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                  const char *what)
{
    return bt_diag_add(r->diag, (struct bt_message){.weight = BT_NOTE,
                                                    .at = cell->at,
                                                    .field = column,
                                                    .found = cell->text,
                                                    .hint = what});
}

void bt_cell_fix(struct bt_reader *r, const struct bt_cell *cell, const char *to,
                 const char *why)
{
    bt_fixes_add(r->fixes, cell->at, cell->text, to, why);
}

/* The first few of a list, with commas. */
static const char *listed(struct bt_arena *a, size_t n, const char *const *words,
                          size_t most)
{
    const char *list = "";
    for (size_t i = 0; i < n && i < most; i++)
        list = bt_arena_format(a, "%s%s%s", list, i ? ", " : "", words[i]);
    return n > most ? bt_arena_format(a, "%s ...", list) : list;
}

const char *bt_cell_expected(struct bt_reader *r, const struct bt_accept *accept)
{
    struct bt_arena *a = r->arena;
    const char *units = "";
    for (size_t i = 0; i < accept->n_dims; i++)
        units = bt_arena_format(a, "%s%s%s", units, i ? "; " : "",
                                bt_units_accepted(a, accept->dims[i]));
    const char *text = "a number without a unit";
    if (accept->n_dims && accept->bare_percent)
        text = bt_arena_format(a, "a number in percent, or with its unit (%s)", units);
    else if (accept->n_dims && (accept->bare_number || accept->header_unit))
        text = bt_arena_format(a, "a number, alone or with its unit (%s)", units);
    else if (accept->n_dims)
        text = bt_arena_format(a, "a number and its unit (%s)", units);
    if (accept->n_measures)
        text = bt_arena_format(a, "%s or a measure (%s)", text,
                               listed(a, accept->n_measures, accept->measures, 6));
    if (accept->n_words)
        text = bt_arena_format(a, "%s, or %s", text,
                               listed(a, accept->n_words, accept->words, 12));
    return text;
}

bool bt_accepts(const struct bt_accept *accept, struct bt_dim dim)
{
    for (size_t i = 0; i < accept->n_dims; i++)
        if (bt_dim_same(accept->dims[i], dim))
            return true;
    return false;
}

bool bt_cell_is_typed(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                      const char *expected)
{
    const char *text = cell->text;
    if (text[0] == '=')
        return bt_cell_refuse(
            r, cell, column, expected,
            "a formula that was not worked out; save the sheet with its values");
    if (text[0] != '#')
        return true;
    return bt_cell_refuse(r, cell, column, expected,
                          text[1] == '#'
                              ? "the spreadsheet's column was too narrow; widen it and "
                                "save again"
                              : "an error of the spreadsheet; correct the cell there, or "
                                "leave it blank when it is not known");
}

enum bt_stand_in bt_cell_stand_in(struct bt_arena *a, const char *plain)
{
    static const struct {
        const char *word; /* as bt_text_key leaves it */
        enum bt_stand_in is;
    } words[] = {
        {"none",            BT_STANDS_NONE        },
        {"not recorded",    BT_STANDS_NOT_RECORDED},
        {"nd",              BT_STANDS_NOT_DETECTED},
        {"n.d.",            BT_STANDS_NOT_DETECTED},
        {"n/d",             BT_STANDS_NOT_DETECTED},
        {"n.d",             BT_STANDS_NOT_DETECTED},
        {"bdl",             BT_STANDS_NOT_DETECTED},
        {"b.d.l.",          BT_STANDS_NOT_DETECTED},
        {"bld",             BT_STANDS_NOT_DETECTED},
        {"<dl",             BT_STANDS_NOT_DETECTED},
        {"<lod",            BT_STANDS_NOT_DETECTED},
        {"<mdl",            BT_STANDS_NOT_DETECTED},
        {"<loq",            BT_STANDS_NOT_DETECTED},
        {"<rl",             BT_STANDS_NOT_DETECTED},
        {"tr",              BT_STANDS_NOT_DETECTED},
        {"tr.",             BT_STANDS_NOT_DETECTED},
        {"trace",           BT_STANDS_NOT_DETECTED},
        {"not detected",    BT_STANDS_NOT_DETECTED},
        {"below detection", BT_STANDS_NOT_DETECTED},
        {"n/a",             BT_STANDS_NOT_KNOWN   },
        {"na",              BT_STANDS_NOT_KNOWN   },
        {"?",               BT_STANDS_NOT_KNOWN   },
        {"unknown",         BT_STANDS_NOT_KNOWN   },
        {"not known",       BT_STANDS_NOT_KNOWN   },
        {"not tested",      BT_STANDS_NOT_KNOWN   },
        {"not determined",  BT_STANDS_NOT_KNOWN   },
        {"n.b.",            BT_STANDS_NOT_KNOWN   }, /* not determined, in German */
        {"k.a.",            BT_STANDS_NOT_KNOWN   }, /* not stated */
        {"nan",             BT_STANDS_NOT_KNOWN   },
        {"null",            BT_STANDS_NOT_KNOWN   },
        {"tbd",             BT_STANDS_NOT_KNOWN   },
        {"",                BT_STANDS_NOT_KNOWN   }, /* nothing but dashes */
    };
    const char *key = bt_text_key(a, plain);
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(key, words[i].word) == 0)
            return words[i].is;
    return BT_NO_STAND_IN;
}

/* `#DIV/0!`, `#N/A`, `#WERT!`, `#NAME?`, `#NV`: nothing was worked out; not `#####`, a
 * figure that was not shown. */
static bool is_sheet_error(const char *text)
{
    const size_t n = strlen(text);
    return n > 2 && text[0] == '#' && text[1] != '#' &&
           (text[n - 1] == '!' || text[n - 1] == '?' || strcmp(text, "#N/A") == 0 ||
            strcmp(text, "#NV") == 0);
}

bool bt_cell_is_sheet_error(struct bt_reader *r, const struct bt_cell *cell,
                            const char *column, const char *plain)
{
    if (!is_sheet_error(plain))
        return false;
    bt_diag_add(r->diag,
                (struct bt_message){.weight = BT_WARNING,
                                    .at = cell->at,
                                    .field = column,
                                    .found = cell->text,
                                    .hint = "an error of the spreadsheet: taken as not "
                                            "known; the figure may be on the sheet it "
                                            "was worked out from"});
    bt_cell_fix(r, cell, "", "an error of the spreadsheet: a blank cell");
    return true;
}

static void say_not_known(struct bt_reader *r, const struct bt_cell *cell,
                          const char *column)
{
    (void)bt_cell_note(r, cell, column, "taken as not known");
    bt_cell_fix(r, cell, "", "not known: a blank cell");
}

bool bt_cell_presence(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                      const char *plain, enum bt_presence *out)
{
    const enum bt_stand_in is = bt_cell_stand_in(r->arena, plain);
    *out = BT_BLANK;
    if (*plain == '\0')
        return true;
    if (is == BT_STANDS_NONE)
        *out = BT_NONE;
    else if (is == BT_STANDS_NOT_RECORDED)
        *out = BT_NOT_RECORDED;
    else if (is == BT_STANDS_NOT_KNOWN)
        say_not_known(r, cell, column);
    else
        return false;
    return true;
}

bool bt_cell_drop(const char **text, const char *word)
{
    if (!bt_text_starts(*text, word))
        return false;
    *text += strlen(word);
    while (**text == ' ')
        (*text)++;
    return true;
}

bool bt_cell_drop_about(struct bt_arena *a, const char **text)
{
    static const char *const before[] = {
        "~",    "about ", "approximately ", "approx. ", "approx ",
        "ca. ", "ca ",    "circa ",         "around ",  "roughly "};
    static const char *const behind[] = {"(guess)",     "(guessed)", "(estimate)",
                                         "(estimated)", "(est)",     "(est.)",
                                         "(approx)",    "?"};
    bool found = false;
    for (size_t i = 0; i < sizeof before / sizeof *before && !found; i++)
        found = bt_cell_drop(text, before[i]);
    for (size_t i = 0; i < sizeof behind / sizeof *behind; i++) {
        const size_t n = strlen(*text), m = strlen(behind[i]);
        if (n > m && bt_text_is(*text + n - m, behind[i])) {
            *text = bt_plain(a, bt_arena_text_n(a, *text, n - m));
            return true;
        }
    }
    return found;
}
