#include "input/ratings.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/text.h"

#define N(a) (sizeof(a) / sizeof *(a))

const struct bt_rated bt_rated_p = {"limit_p", "p2o5_need"};
const struct bt_rated bt_rated_k = {"limit_k", "k2o_need"};

/* ---- names of extractants ---- */

/* Letters and digits alone, in lower case: "Mehlich-III" is "mehlichiii". */
static const char *squeezed(struct bt_arena *a, const char *text, size_t n)
{
    char *s = bt_arena_text_n(a, text, n);
    size_t k = 0;
    for (size_t i = 0; s[i]; i++) {
        const int lower = (tolower)((unsigned char)s[i]); /* the function, not the macro */
        if (isalnum(lower))
            s[k++] = (char)lower;
    }
    s[k] = '\0';
    return s;
}

/* What laboratories call the extractants, squeezed. */
static const struct {
    const char *written, *name;
} other_names[] = {
    {"m3",                     "mehlich3"       },
    {"m1",                     "mehlich1"       },
    {"mehlichiii",             "mehlich3"       },
    {"mehlichi",               "mehlich1"       },
    {"doubleacid",             "mehlich1"       },
    {"bray",                   "brayp1"         },
    {"bray1",                  "brayp1"         },
    {"p1",                     "brayp1"         },
    {"braykurtzp1",            "brayp1"         },
    {"weakbray",               "brayp1"         },
    {"olsenp",                 "olsen"          },
    {"bicarbonate",            "olsen"          },
    {"bicarb",                 "olsen"          },
    {"sodiumbicarbonate",      "olsen"          },
    {"nahco3",                 "olsen"          },
    {"modmorgan",              "modifiedmorgan" },
    {"modifiedmorgans",        "modifiedmorgan" },
    {"morgans",                "morgan"         },
    {"nh4oac",                 "ammoniumacetate"},
    {"1nnh4oac",               "ammoniumacetate"},
    {"neutralammoniumacetate", "ammoniumacetate"},
};

static const char *comma_of(const char *key)
{
    const char *last = NULL;
    for (const char *c = strstr(key, ", "); c; c = strstr(c + 2, ", "))
        last = c;
    return last;
}

static const char *extractant_of(struct bt_arena *a, const char *key)
{
    const char *comma = comma_of(key);
    return comma ? bt_arena_text_n(a, key, (size_t)(comma - key)) : "";
}

/* `mg/L` beside the name says how the laboratory measures, not what with. */
static size_t without_unit(const char *written)
{
    const char *unit = strstr(written, "mg/");
    size_t n = unit ? (size_t)(unit - written) : strlen(written);
    while (n > 0 && strchr(" (,", written[n - 1]))
        n--;
    return n;
}

const char *bt_extractant(struct bt_arena *a, const struct bt_handbook *h,
                          const char *written)
{
    const char *const *key;
    const size_t n = bt_handbook_keys(h, "ratings", &key);
    const char *name = squeezed(a, written, without_unit(written));
    for (size_t k = 0; k < N(other_names); k++)
        if (strcmp(name, other_names[k].written) == 0)
            name = other_names[k].name;
    for (size_t i = 0; i < n; i++) {
        const char *own = extractant_of(a, key[i]);
        if (*own && strcmp(own, "any") != 0 &&
            strcmp(squeezed(a, own, strlen(own)), name) == 0)
            return own;
    }
    return NULL;
}

/* ---- classes ---- */

/* The i-th key when it is a class of the extractant with a need for the nutrient, NULL
 * else; its limit, endless when it has none. */
static const char *class_at(const struct bt_handbook *h, const char *key,
                            const char *extractant, const struct bt_rated *rated,
                            double *out_limit)
{
    const char *comma = comma_of(key);
    const size_t n = strlen(extractant);
    if (!comma || (size_t)(comma - key) != n || strncmp(key, extractant, n) != 0 ||
        !bt_handbook_row(h, "ratings", key, rated->need))
        return NULL;
    const struct bt_row *limit = bt_handbook_row(h, "ratings", key, rated->limit);
    *out_limit = limit ? limit->range.likely : HUGE_VAL;
    return key;
}

const char *bt_extractants(struct bt_arena *a, const struct bt_handbook *h,
                           const struct bt_rated *rated)
{
    const char *const *key;
    const size_t n = bt_handbook_keys(h, "ratings", &key);
    const char *list = "";
    const char *last = "any";
    for (size_t i = 0; i < n; i++) {
        const char *own = extractant_of(a, key[i]);
        double limit;
        if (strcmp(own, last) == 0 || strcmp(own, "any") == 0 ||
            !class_at(h, key[i], own, rated, &limit))
            continue;
        list = bt_arena_format(a, "%s%s%s", list, *list ? ", " : "", own);
        last = own;
    }
    return list;
}

size_t bt_class_limits(const struct bt_handbook *h, const char *extractant,
                       const struct bt_rated *rated, size_t most, const struct bt_row **out)
{
    const char *const *key;
    const size_t n = bt_handbook_keys(h, "ratings", &key);
    size_t found = 0;
    for (size_t i = 0; i < n && found < most; i++) {
        double limit;
        const char *own = class_at(h, key[i], extractant, rated, &limit);
        const struct bt_row *row =
            own ? bt_handbook_row(h, "ratings", own, rated->limit) : NULL;
        if (row)
            out[found++] = row;
    }
    return found;
}

const char *bt_class_of_content(const struct bt_handbook *h, const char *extractant,
                                const struct bt_rated *rated, double content_frac)
{
    const char *const *key;
    const size_t n = bt_handbook_keys(h, "ratings", &key);
    const char *best = NULL;
    double lowest = HUGE_VAL;
    /* A figure on the limit belongs to the class, whatever the last bit of the machine. */
    const double content = content_frac * (1 - 1e-12);
    for (size_t i = 0; i < n; i++) {
        double limit;
        const char *own = class_at(h, key[i], extractant, rated, &limit);
        if (own && content <= limit && (!best || limit < lowest)) {
            best = own;
            lowest = limit;
        }
    }
    return best;
}

const struct bt_row *bt_rating_line(const struct bt_handbook *h, const char *extractant,
                                    const struct bt_rated *rated)
{
    const char *const *key;
    const size_t n = bt_handbook_keys(h, "ratings", &key);
    const struct bt_row *line = NULL;
    for (size_t i = 0; i < n; i++) {
        double limit;
        const char *own = class_at(h, key[i], extractant, rated, &limit);
        if (!own || !isfinite(limit) ||
            !(bt_handbook_row(h, "ratings", own, rated->need)->range.likely > 0))
            continue;
        if (!line || limit > line->range.likely)
            line = bt_handbook_row(h, "ratings", own, rated->limit);
    }
    return line;
}

/* ---- words ---- */

static const struct {
    const char *written, *category;
} words[] = {
    {"VL",             "very low"     },
    {"very low",       "very low"     },
    {"trace",          "very low"     },
    {"L",              "low"          },
    {"low",            "low"          },
    {"M",              "medium"       },
    {"medium",         "medium"       },
    {"moderate",       "medium"       },
    {"O",              "optimum"      },
    {"optimum",        "optimum"      },
    {"sufficient",     "optimum"      },
    {"adequate",       "optimum"      },
    {"satisfactory",   "optimum"      },
    {"H",              "high"         },
    {"high",           "high"         },
    {"above optimum",  "above optimum"},
    {"VH",             "very high"    },
    {"very high",      "very high"    },
    {"abundant",       "very high"    },
    {"EH",             "excessive"    },
    {"extremely high", "excessive"    },
    {"excessive",      "excessive"    },
    {"full",           "excessive"    },
};

const char *bt_class_of_word(struct bt_arena *a, const struct bt_handbook *h,
                             const char *extractant, const struct bt_rated *rated,
                             const char *word)
{
    const char *category = NULL;
    for (size_t i = 0; i < N(words) && !category; i++)
        if (bt_text_is(word, words[i].written))
            category = words[i].category;
    if (!category)
        category = bt_text_key(a, word); /* of a local scale */
    const char *const of[] = {extractant, "any"};
    for (size_t i = 0; i < N(of); i++) {
        const char *key = of[i] ? bt_arena_format(a, "%s, %s", of[i], category) : NULL;
        if (key && bt_handbook_row(h, "ratings", key, rated->need))
            return key;
    }
    return NULL;
}

const char *bt_class_category(const char *key)
{
    const char *comma = comma_of(key);
    return comma ? comma + 2 : key;
}

const char *bt_class_said(const char *key)
{
    return bt_text_starts(key, "any, ") ? bt_class_category(key) : key;
}

const struct bt_row *bt_rate_for_feeder(struct bt_arena *a, const struct bt_handbook *h,
                                        const char *key, const struct bt_rated *rated,
                                        const char *feeder)
{
    const char *quantity = bt_arena_format(a, "%s_%s", rated->need, feeder);
    const char *any = bt_arena_format(a, "any, %s", bt_class_category(key));
    const struct bt_row *all = bt_handbook_row(h, "ratings", key, rated->need);
    const struct bt_row *own = bt_handbook_row(h, "ratings", key, quantity);
    if (!own)
        own = bt_handbook_row(h, "ratings", any, quantity);
    const bool passed_over = all && own && all->local && !own->local;
    return own && all && all->range.likely > 0 && !passed_over ? own : all;
}

double bt_category_rank(const char *category)
{
    static const struct {
        const char *category;
        double rank;
    } ranks[] = {
        {"very low",      0  },
        {"low",           1  },
        {"medium",        2  },
        {"optimum",       3  },
        {"high",          3.5},
        {"above optimum", 4  },
        {"very high",     5  },
        {"excessive",     5  },
    };
    for (size_t i = 0; i < N(ranks); i++)
        if (bt_text_is(category, ranks[i].category))
            return ranks[i].rank;
    return -1;
}
