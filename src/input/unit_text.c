#include "input/unit_text.h"

#include <string.h>

#include "base/text.h"
#include "input/number.h"

/* Species as people write them after a unit, hyphens made blanks; longer ones before
 * shorter. */
static const struct species {
    const char *written, *name;
} species[] = {
    {"nitrate nitrogen",  "NO3-N"},
    {"ammonium nitrogen", "NH4-N"},
    {"nitrate n",         "NO3-N"},
    {"ammonium n",        "NH4-N"},
    {"no3 n",             "NO3-N"},
    {"nh4 n",             "NH4-N"},
    {"no3n",              "NO3-N"},
    {"n no3",             "NO3-N"},
    {"nitrate",           "NO3"  },
    {"no3",               "NO3"  },
    {"phosphate",         "P2O5" },
    {"p2o5",              "P2O5" },
    {"potash",            "K2O"  },
    {"k2o",               "K2O"  },
    {"phosphorus",        "P"    },
    {"potassium",         "K"    },
    {"nitrogen",          "N"    },
    {"n",                 "N"    },
    {"p",                 "P"    },
    {"k",                 "K"    },
};

static const struct per {
    const char *written, *name;
} per[] = {
    {"plant",  "plant" },
    {"mound",  "mound" },
    {"hill",   "mound" },
    {"pot",    "pot"   },
    {"row",    "row"   },
    {"season", "season"},
};

/* Points after letters, `^` and hyphens gone; one stroke for ` per `. */
static char *tidy(struct bt_arena *a, const char *text)
{
    char *s = bt_plain(a, text);
    size_t n = 0;
    for (size_t i = 0; s[i]; i++) {
        const bool point = s[i] == '.' && i > 0 && bt_is_letter(s[i - 1]);
        /* ` per ` shrinks to its stroke */
        if ((i == 0 || s[i - 1] == ' ') && bt_text_starts(s + i, "per ")) {
            i += 3;
            s[n++] = '/';
        } else if (point) {
            s[n++] = ' ';
        } else if (s[i] != '^') {
            s[n++] = s[i];
        }
    }
    s[n] = '\0';
    return s;
}

/* Outer blanks gone, inner runs and hyphens before letters one blank. */
static char *squeezed(struct bt_arena *a, const char *from, size_t length)
{
    char *s = bt_arena_text_n(a, from, length);
    for (char *c = s; *c; c++)
        if (*c == '-' && c > s && bt_is_letter(c[1]))
            *c = ' ';
    return bt_plain(a, s);
}

/* Cuts a last word (or words) off; false when it is not there or stands alone. */
static bool cut_last(char *side, const char *word)
{
    const size_t n = strlen(side), m = strlen(word);
    if (n < m + 2 || side[n - m - 1] != ' ' || !bt_text_is(side + n - m, word))
        return false;
    side[n - m - 1] = '\0';
    return true;
}

static struct bt_unit_side side_of(struct bt_arena *a, const char *from, size_t length)
{
    struct bt_unit_side out = {.count = 1};
    char *s = squeezed(a, from, length);
    for (size_t i = 0; i < sizeof species / sizeof *species && !out.species; i++)
        if (cut_last(s, species[i].written))
            out.species = species[i].name;
    if (out.species && !cut_last(s, "as"))
        (void)cut_last(s, "of");
    (void)cut_last(s, "of row");
    out.whole = s;
    const char *rest = s;
    enum bt_number_fault fault = BT_NUMBER_FINE;
    if (bt_is_digit(*s) && bt_number(&rest, &out.count, &fault))
        while (*rest == ' ')
            rest++;
    out.name = rest;
    return out;
}

bool bt_unit_text_read(struct bt_arena *a, const char *text, struct bt_unit_text *out)
{
    char *s = tidy(a, text);
    const char *stroke = strchr(s, '/');
    *out = (struct bt_unit_text){.tidy = bt_plain(a, text), .has_right = stroke != NULL};
    out->left = side_of(a, s, stroke ? (size_t)(stroke - s) : strlen(s));
    if (!stroke)
        return out->left.name[0] != '\0';
    out->right = side_of(a, stroke + 1, strlen(stroke + 1));
    return !strchr(stroke + 1, '/') && out->right.name[0] != '\0';
}

/* Equal as keys, or `name` is the plural of `word`. */
static bool is_word(struct bt_arena *a, const char *name, const char *word)
{
    const char *n = bt_text_key(a, name), *w = bt_text_key(a, word);
    const size_t length = strlen(w);
    if (length == 0 || strncmp(n, w, length - 1) != 0)
        return false;
    const char *ending = n + length - 1;
    const char last = w[length - 1];
    if (*ending == last)
        return ending[1] == '\0' || strcmp(ending + 1, "s") == 0 ||
               strcmp(ending + 1, "es") == 0;
    return last == 'y' && strcmp(ending, "ies") == 0;
}

const char *bt_unit_word(struct bt_arena *a, const char *name, size_t n,
                         const char *const *words)
{
    for (size_t i = 0; i < n; i++)
        if (is_word(a, name, words[i]) || is_word(a, words[i], name))
            return words[i];
    return NULL;
}

const char *bt_unit_per_word(struct bt_arena *a, const char *name)
{
    for (size_t i = 0; i < sizeof per / sizeof *per; i++)
        if (is_word(a, name, per[i].written))
            return per[i].name;
    return NULL;
}
