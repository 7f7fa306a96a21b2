#include "command/options.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "chance/chance.h"
#include "command/command.h"
#include "report/doc.h"

#define N(a) (sizeof(a) / sizeof *(a))

enum kind { FLAG, TEXT, YEAR, COUNT, SIZE, SEED, DATE, WORD, PERCENT };

static const char *const units_words[] = {"metric", "us",
                                          NULL}; /* in the order of the values */
static const char *const format_words[] = {"text", "csv", "json", NULL};
static const char *const text_json_words[] = {"text", "", "json", NULL};
static const char *const reader_words[] = {"funder", "file", "sign", "volunteers", NULL};

#define AT(field) offsetof(struct bt_options, field)
static const struct option {
    enum bt_option_bit bit;
    const char *name;
    const char *value; /* as help names it; NULL for a flag, or for its words */
    enum kind kind;
    size_t at;
    double lowest, highest;
    const char *const *words; /* in the order of the values; "" is no value of this one */
    const char *expected;     /* NULL: one of the words */
    const char *help;
} table[] = {
    {BT_OPT_FROM,             "--from",          "NAME",          TEXT,    AT(from),          0,    0,       NULL,
     "the name of a worked example",                                                                                                                          "copy this worked example"                                            },
    {BT_OPT_BED,              "--bed",           "B",             TEXT,    AT(bed),           0,    0,       NULL,            "a bed of beds.csv",
     "open this bed: its lines, its season, what was assumed"                                                                                                                                                                       },
    {BT_OPT_ALL,              "--all",           NULL,            FLAG,    AT(all),           0,    0,       NULL,            NULL,                           "open everything"                                                     },
    {BT_OPT_PLAN,             "--plan",          "FILE",          TEXT,    AT(plan),          0,    0,       NULL,
     "a file with the columns of applications.csv",                                                                                                           "count these additions too"                                           },
    {BT_OPT_SEASON,           "--season",        "YEAR",          YEAR,    AT(season),        1900, 2200,    NULL,
     "a year from 1900 to 2200",                                                                                                                              "the season to look at (else the garden's own)"                       },
    {BT_OPT_ON,               "--on",            "DATE",          DATE,    AT(on),            0,    0,       NULL,            "a date like 2026-06-12",
     "the day up to which rows without status count as done"                                                                                                                                                                        },
    {BT_OPT_ENOUGH,           "--enough",        "PCT",           PERCENT, AT(enough),        1,    99,      NULL,
     "a chance from 1 % to 99 %",                                                                                                                             "the chance with which the need should be covered"                    },
    {BT_OPT_SAMPLES,          "--samples",       "N|auto",        SIZE,    AT(samples),       256,  1048576, NULL,
     "a whole number from 256 to 1048576, or auto",                                                                                                           "draws per bed (16384); auto: as many as it takes"                    },
    {BT_OPT_SEED,             "--seed",          "N",             SEED,    AT(seed),          0,    0,       NULL,
     "a whole number from 0 to 18446744073709551615",                                                                                                         "start of the draws (1)"                                              },
    {BT_OPT_UNITS,            "--units",         "us|metric",     WORD,    AT(units),         0,    0,       units_words,
     "us or metric",                                                                                                                                          "what is printed (else the garden's own)"                             },
    {BT_OPT_FORMAT,           "--format",        "text|csv|json", WORD,    AT(format),        0,    0,       format_words,
     "text, csv or json",                                                                                                                                     "how the answer is written (text)"                                    },
    {BT_OPT_FORMAT_TEXT_JSON, "--format",        NULL,            WORD,    AT(format),        0,    0,       text_json_words,
     NULL,                                                                                                                                                    "how the answer is written (text)"                                    },
    {BT_OPT_TABLES,           "--tables",        "DIR",           TEXT,    AT(tables),        0,    0,       NULL,
     "a folder with handbook tables",                                                                                                                         "rows of these tables replace the handbook's"                         },
    {BT_OPT_THREADS,          "--threads",       "N",             COUNT,   AT(threads),       1,    1024,    NULL,
     "a whole number from 1 to 1024",                                                                                                                         "beds worked on at a time (else one a processor)"                     },
    {BT_OPT_GARDEN,           "--garden",        "DIR",           TEXT,    AT(garden),        0,    0,       NULL,
     "the folder of a garden",                                                                                                                                "the garden's own tables count too"                                   },
    {BT_OPT_SEARCH,           "--search",        "WORD",          TEXT,    AT(search),        0,    0,       NULL,            "a word to look for",
     "everything in which WORD occurs"                                                                                                                                                                                              },
    {BT_OPT_OUT,              "-o",              "FILE",          TEXT,    AT(out),           0,    0,       NULL,            "a file that is not there yet",
     "write the plan, or the report, there"                                                                                                                                                                                         },
    {BT_OPT_FROM_HANDBOOK,    "--from-handbook", NULL,            FLAG,    AT(from_handbook), 0,    0,       NULL,
     NULL,                                                                                                                                                    "choose among the handbook's materials too"                           },
    {BT_OPT_IF,               "--if",            "CHANGE",        TEXT,    AT(changed),       0,    0,       NULL,
     "a change that `bedtally legumes` lists",                                                                                                                "as if this were changed: 'picked dry', 'x 2'"                        },
    {BT_OPT_AS,               "--as",            NULL,            WORD,    AT(as),            0,    0,       bt_doc_words,    NULL,
     "what the file is, where its ending does not say (-o - is the screen)"                                                                                                                                                         },
    {BT_OPT_FOR,              "--for",           "READER",        WORD,    AT(reader),        0,    0,       reader_words,
     "funder, file, sign or volunteers",                                                                                                                      "for a funder, the file, a sign, or volunteers"                       },
    {BT_OPT_WITH,             "--with",          "PARTS",         TEXT,    AT(with),          0,    0,       NULL,
     "plan, legumes, or plan,legumes",                                                                                                                        "put the plan (as advice) or the legumes in full into the record"     },
    {BT_OPT_AGAINST,          "--against",       "DIR",           TEXT,    AT(against),       0,    0,       NULL,
     "the folder of a garden",                                                                                                                                "put into the record what differs in this other version"              },
    {BT_OPT_FORCE,            "--force",         NULL,            FLAG,    AT(force),         0,    0,       NULL,            NULL,
     "replace the file if it is there"                                                                                                                                                                                              },
    {BT_OPT_FIX,              "--fix",           "OUT",           TEXT,    AT(fix),           0,    0,       NULL,
     "a folder that is not there yet",                                                                                                                        "write a cleaned copy of the files there, with a list of every change"},
    {BT_OPT_HELP,             "--help",          NULL,            FLAG,    AT(help),          0,    0,       NULL,            NULL,                           "this page"                                                           },
};

/* A whole number of digits alone: strtoull would take a sign and leading blanks too. */
static bool whole(const char *text, uint64_t *out)
{
    const size_t length = strlen(text);
    if (length == 0 || strspn(text, "0123456789") != length)
        return false;
    errno = 0;
    *out = strtoull(text, NULL, 10);
    return errno == 0;
}

static bool read_date(const char *text, struct bt_date *out)
{
    static const char form[] = "0000-00-00";
    int part[3] = {0, 0, 0};
    size_t k = 0;
    if (strlen(text) != N(form) - 1)
        return false;
    for (size_t i = 0; form[i]; i++) {
        const bool digit = text[i] >= '0' && text[i] <= '9';
        if (digit != (form[i] == '0') || (!digit && text[i] != '-'))
            return false;
        if (digit)
            part[k] = 10 * part[k] + (text[i] - '0');
        else
            k++;
    }
    if (!bt_civil_is_real(part[0], part[1], part[2]))
        return false;
    *out = (struct bt_date){.known = true, .day = bt_day(part[0], part[1], part[2])};
    return true;
}

/* `80`, `80 %`, `80%`. A bare number is in percent, and so 0.8 is refused rather than
 * guessed at. */
static bool read_percent(const char *text, const struct option *o, double *out)
{
    char *end = NULL;
    if (*text < '0' || *text > '9' || text[strspn(text, "0123456789. %")] != '\0')
        return false;
    const double percent = strtod(text, &end);
    while (*end == ' ')
        end++;
    if (*end == '%')
        end++;
    if (*end || !(percent >= o->lowest && percent <= o->highest))
        return false;
    *out = percent / 100;
    return true;
}

static bool read_word(const char *text, const struct option *o, int *out)
{
    for (int i = 0; o->words[i]; i++) {
        if (*text && bt_text_is(o->words[i], text)) {
            *out = i;
            return true;
        }
    }
    return false;
}

static bool set(const struct option *o, const char *text, struct bt_options *out)
{
    void *field = (char *)out + o->at;
    uint64_t n = 0;
    switch (o->kind) {
    case FLAG: *(bool *)field = true; return true;
    case TEXT: *(const char **)field = text; return *text != '\0';
    case DATE: return read_date(text, field);
    case WORD: return read_word(text, o, field);
    case PERCENT: return read_percent(text, o, field);
    case SEED: return whole(text, field);
    case YEAR:
    case COUNT:
    case SIZE: break;
    }
    if (o->bit == BT_OPT_SAMPLES && bt_text_is(text, "auto")) {
        *(size_t *)field = BT_SAMPLES_AUTO;
        return true;
    }
    if (!whole(text, &n) || (double)n < o->lowest || (double)n > o->highest)
        return false;
    if (o->kind == SIZE)
        *(size_t *)field = (size_t)n;
    else
        *(int *)field = (int)n;
    return true;
}

/* The option called by the first `length` bytes of `text`, of those in `bits`; NULL for
 * none.
 */
static const struct option *find(const char *text, size_t length, unsigned bits)
{
    for (size_t i = 0; i < N(table); i++)
        if ((table[i].bit & bits) && strlen(table[i].name) == length &&
            strncmp(table[i].name, text, length) == 0)
            return &table[i];
    return NULL;
}

/* What it takes, for messages. */
static const char *expected(struct bt_arena *a, const struct option *o)
{
    return o->expected || !o->words ? o->expected : bt_text_listed(a, o->words);
}

/* What it takes, for help: the words with strokes between them where there is no name. */
static const char *value_name(struct bt_arena *a, const struct option *o)
{
    const char *name = o->value ? o->value : "";
    for (size_t i = 0; !o->value && o->words && o->words[i]; i++)
        if (*o->words[i])
            name = bt_arena_format(a, "%s%s%s", name, *name ? "|" : "", o->words[i]);
    return name;
}

static bool wrong(struct bt_diag *d, const char *field, const char *expected,
                  const char *found, const char *hint)
{
    return bt_diag_add(d, (struct bt_message){.weight = BT_ERROR,
                                              .field = field,
                                              .expected = expected,
                                              .found = found,
                                              .hint = hint});
}

static bool unknown(struct bt_arena *a, struct bt_diag *d, const struct bt_command *c,
                    const char *name)
{
    const char *names[N(table)];
    size_t n = 0;
    for (size_t i = 0; i < N(table); i++)
        if (table[i].bit & (c->options | BT_OPT_HELP))
            names[n++] = table[i].name;
    const char *near = bt_text_nearest(a, name, n, names);
    if (!near)
        near = bt_arena_format(a, "bedtally %s --help lists them", c->name);
    return wrong(d, name, bt_arena_format(a, "an option of `bedtally %s`", c->name), NULL,
                 near);
}

/* One option and, if it takes one, its value; *i moves on to the last word used. False when
 * it is not known, so that nobody knows whether a value follows. */
static bool read_one(struct bt_arena *a, struct bt_diag *d, const struct bt_command *c,
                     char **argv, int *i, struct bt_options *out)
{
    const char *word = argv[*i];
    const char *equals = strchr(word, '=');
    const size_t length = equals ? (size_t)(equals - word) : strlen(word);
    const char *value = equals ? equals + 1 : NULL;
    const unsigned bits = c->options | BT_OPT_HELP;
    const struct option *o =
        strcmp(word, "-h") == 0 ? find("--help", 6, bits) : find(word, length, bits);
    if (!o)
        return unknown(a, d, c, bt_arena_text_n(a, word, length));
    if (o->kind == FLAG) {
        if (value)
            wrong(d, o->name, "no value", value, NULL);
        else
            set(o, "", out);
        return true;
    }
    if (!value && argv[*i + 1])
        value = argv[++*i];
    if (!value)
        wrong(d, o->name, expected(a, o), NULL,
              bt_arena_format(a, "%s %s", o->name, value_name(a, o)));
    else if (!set(o, value, out))
        wrong(d, o->name, expected(a, o), value, NULL);
    return true;
}

bool bt_options_read(struct bt_arena *a, struct bt_diag *d, const struct bt_command *c,
                     int argc, char **argv, struct bt_options *out)
{
    *out = (struct bt_options){
        .samples = BT_SAMPLES_USUAL, .seed = 1, .units = -1, .as = -1, .reader = -1};
    bool only_args = false, all_known = true;
    for (int i = 0; i < argc; i++) {
        const char *word = argv[i];
        if (!only_args && strcmp(word, "--") == 0)
            only_args = true;
        else if (!only_args && word[0] == '-' && word[1])
            all_known &= read_one(a, d, c, argv, &i, out);
        else if (out->n_args < c->most_args)
            out->arg[out->n_args++] = word;
        else if (all_known)
            wrong(d, "arguments", bt_arena_format(a, "no more than %s", c->args), word,
                  NULL);
    }
    if (out->help)
        return true;
    if (out->n_args < c->least_args)
        wrong(d, "arguments", c->args, NULL,
              bt_arena_format(a, "bedtally %s --help", c->name));
    return bt_diag_count(d, BT_ERROR) == 0;
}

void bt_options_help(struct bt_arena *a, struct bt_out *o, unsigned bits)
{
    for (size_t i = 0; i < N(table); i++) {
        if (!(table[i].bit & bits))
            continue;
        const int room = 24 - (int)strlen(table[i].name);
        bt_put(o, "  %s %-*s %s\n", table[i].name, room - 1, value_name(a, &table[i]),
               table[i].help);
    }
}
