/* The program: one table of commands. */
#include <locale.h>
#include <stdio.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#include "base/text.h"
#include "command/command.h"
#include "command/front.h"
#include "command/help.h"
#include "command/target.h"

#define N(a) (sizeof(a) / sizeof *(a))

#define COMMON        (BT_OPT_SEASON | BT_OPT_ON | BT_OPT_PLAN | BT_OPT_UNITS | BT_OPT_TABLES)
#define ONE_AT_A_TIME (COMMON | BT_OPT_SAMPLES | BT_OPT_SEED)
#define DRAWN         (ONE_AT_A_TIME | BT_OPT_THREADS)

/* clang-format off */
static const struct bt_command commands[] = {
    {"new", "DIR [--from NAME]", "start a garden folder",
     "Makes the folder DIR with the files a garden is written in: garden.csv, beds.csv and\n"
     "plantings.csv with two rows each to write over, the others with their columns only, and\n"
     "a README.txt that says what each column holds and which words it takes. With --from it\n"
     "copies a worked example instead. A folder that has something in it is left alone. The rows\n"
     "are in US units unless --units says metric.",
     "  bedtally new our-garden && bedtally check our-garden",
     BT_OPT_FROM | BT_OPT_UNITS, 1, 1, bt_command_new},
    {"check", "DIR", "read everything, list every problem",
     "Reads the garden folder DIR and builds the account of every bed, but draws nothing: shows\n"
     "what was understood, what each blank was taken as, and every problem at once, with file,\n"
     "line and spreadsheet cell. Run it after typing and before trusting an answer. With --fix it\n"
     "also writes a cleaned copy of the files into a new folder, and there a list of every change.",
     "  bedtally check our-garden --bed A1\n"
     "  bedtally check our-garden --fix our-garden-clean",
     COMMON | BT_OPT_BED | BT_OPT_ALL | BT_OPT_FIX, 1, 1, bt_command_check},
    {"budget", "DIR", "will each bed have enough, and when not",
     "Works out what each bed of the garden folder DIR needs and what it has over the season.\n"
     "First one line a bed, the worst first: short, probably short, enough, more than enough or\n"
     "can't say, and what to do next. --bed B opens one bed, --all opens all of them: the lines\n"
     "with their ranges, the course of the season, what was assumed, the cautions that apply.\n"
     "The same garden and the same seed give the same answer, whatever the threads.",
     "  bedtally budget our-garden --bed A1\n"
     "  bedtally budget our-garden --format json >answer.json",
     DRAWN | BT_OPT_BED | BT_OPT_ALL | BT_OPT_ENOUGH | BT_OPT_FORMAT, 1, 1, bt_command_budget},
    {"legumes", "DIR", "do the beans feed the corn",
     "For each legume of the garden folder DIR: how much nitrogen it fixes and where that goes,\n"
     "what part of its neighbours' need it meets this season and how likely, what it leaves for\n"
     "later, how many plants it would take, and what changes the answer and by how much. Then\n"
     "what earlier years' plantings and additions give this season. Every figure opens with\n"
     "`bedtally why`; the page says by which name.",
     "  bedtally legumes our-garden --bed A1",
     DRAWN | BT_OPT_BED | BT_OPT_FORMAT, 1, 1, bt_command_legumes},
    {"compare", "DIR DIR", "two gardens, or two plans, on the same draws",
     "Works out both garden folders on the same draws, so that the luck of the season is the same\n"
     "in both, and shows what differs, bed by bed: the leanest balance, the supply, the need and\n"
     "what is left, each with its range; the chance that the second is less short; and which\n"
     "figures that went in are not the same. Two equal folders differ by exactly nothing.",
     "  cp -r our-garden more-beans && bedtally compare our-garden more-beans",
     ONE_AT_A_TIME | BT_OPT_BED | BT_OPT_FORMAT_TEXT_JSON, 2, 2, bt_command_compare},
    {"why", "DIR BED [LINE]", "the working of a bed, or of one line",
     "Shows where the figures of a bed come from. Without LINE: the column of its lines, which\n"
     "add up. With LINE, a line's name or the beginning of it: its working on one page, each\n"
     "figure with its range, its unit and its source. --all shows every page of the bed.",
     "  bedtally why our-garden A1 'soil organic matter'",
     ONE_AT_A_TIME | BT_OPT_ALL | BT_OPT_IF, 2, 3, bt_command_why},
    {"amend", "DIR [-o FILE]", "what to add, how much, when, and what it costs",
     "Works out for each bed of the garden folder DIR what to add this season so that its need\n"
     "for nitrogen is covered on every date with the wished chance, and nothing is overloaded:\n"
     "from the materials of materials.csv, in measures that you own, with the shopping list.\n"
     "--bed B or --all say why, what binds, what it takes to be surer, what was not chosen.\n"
     "With -o the plan is kept as a file for `budget --plan`; no file of yours is changed.",
     "  bedtally amend our-garden --bed A1\n"
     "  bedtally amend our-garden -o plan.csv && bedtally budget our-garden --plan plan.csv",
     (ONE_AT_A_TIME & ~(unsigned)BT_OPT_PLAN) | BT_OPT_BED | BT_OPT_ALL | BT_OPT_ENOUGH | BT_OPT_FORMAT |
         BT_OPT_OUT | BT_OPT_FROM_HANDBOOK,
     1, 1, bt_command_amend},
    {"sum", "[NAME [KEY=VALUE ...]]", "one sum on its own, no garden needed",
     "Without NAME lists the sums: products for a rate and area, layers to buckets and loads,\n"
     "compost and manure, cover crops, legumes, soil and water nitrate, lime, costs. With NAME\n"
     "and its keys works it out and shows the working and the sources; values take any unit and\n"
     "any range. `bedtally sum NAME --help` tells the keys.",
     "  bedtally sum product rate='0.1 lb N/100 sq ft' grade=18-6-12 area='4 x 8 ft'",
     BT_OPT_FORMAT | BT_OPT_UNITS | BT_OPT_SAMPLES | BT_OPT_SEED | BT_OPT_TABLES, 0, 40,
     bt_command_sum},
    {"report", "DIR -o FILE", "a record to keep, print or hand in",
     "Writes the record of the garden's season into FILE, which must not be there yet: a page\n"
     "(.html), text with tables (.md), a spreadsheet (.csv) or data (.json), by its ending. It\n"
     "holds what was done and bought, how each bed stands, what was assumed and every source.\n"
     "--for funder gives deeds, costs and texts for a form; --for file everything; --for sign a\n"
     "page for each bed; --for volunteers the jobs by date and sheets to fill in. --with plan\n"
     "puts in what could still be added, as advice apart from the deeds, and --with legumes\n"
     "where their nitrogen goes; --for file has both. --against DIR puts in what differs in\n"
     "another version of the garden.",
     "  bedtally report our-garden -o record.html\n"
     "  bedtally report our-garden --for funder -o request.md",
     DRAWN | BT_OPT_ENOUGH | BT_OPT_OUT | BT_OPT_AS | BT_OPT_FOR | BT_OPT_FORCE |
         BT_OPT_WITH | BT_OPT_AGAINST | BT_OPT_FROM_HANDBOOK,
     1, 1,
     bt_command_report},
    {"handbook", "[TABLE [KEY [QUANTITY]]]", "where the figures come from",
     "Shows the handbook: which tables there are and how their figures are known; a table; all\n"
     "figures of a key with their ranges, sources and notes. TABLE may be left out: `bedtally\n"
     "handbook tomato` shows what any table says. `handbook words` lists what may be typed in the\n"
     "columns of a garden's files, `handbook local` the rows that --tables or the garden's own\n"
     "tables put in place of ours, `handbook sources ID` a source. CSV has the columns of the\n"
     "tables, so that a row can be put into a garden's own tables and changed there.",
     "  bedtally handbook crops 'sweet corn'\n"
     "  bedtally handbook --search mulch",
     BT_OPT_TABLES | BT_OPT_GARDEN | BT_OPT_SEARCH | BT_OPT_FORMAT, 0, 3, bt_command_handbook},
};
/* clang-format on */

static const struct bt_command *find(const char *name)
{
    for (size_t i = 0; i < N(commands); i++)
        if (strcmp(commands[i].name, name) == 0)
            return &commands[i];
    return NULL;
}

static enum bt_status_code help(struct bt_arena *a, const struct bt_command *c)
{
    struct bt_out o = bt_out_stream(stdout);
    if (c)
        bt_help_command(a, &o, c);
    else
        bt_help_program(&o, N(commands), commands);
    return bt_front_written(&o);
}

static enum bt_status_code version(void)
{
    struct bt_out o = bt_out_stream(stdout);
    bt_put(&o, "bedtally %s\n", BT_VERSION);
    return bt_front_written(&o);
}

static enum bt_status_code unknown(struct bt_arena *a, const char *name)
{
    const char *names[N(commands) + 1] = {NULL};
    for (size_t i = 0; i < N(commands); i++)
        names[i] = commands[i].name;
    const char *near = bt_text_nearest(a, name, N(commands), names);
    return bt_refuse(a, "command", bt_text_listed(a, names), name,
                     near ? near : "bedtally --help");
}

static enum bt_status_code run(struct bt_arena *a, const struct bt_command *c, int argc,
                               char **argv)
{
    struct bt_options o;
    struct bt_diag *d = bt_diag_new(a);
    if (!bt_options_read(a, d, c, argc, argv, &o)) {
        bt_diag_print(stderr, d, BT_ERROR);
        return BT_WRONG_USE;
    }
    const bool has_own_page = c->run == bt_command_sum && o.n_args > 0;
    return o.help && !has_own_page ? help(a, c) : c->run(a, &o);
}

static enum bt_status_code dispatch(struct bt_arena *a, int argc, char **argv)
{
    if (argc < 2) {
        struct bt_out o = bt_out_stream(stderr);
        bt_help_program(&o, N(commands), commands);
        (void)bt_out_done(&o);
        return BT_WRONG_USE;
    }
    const char *first = argv[1];
    const bool asks_version = strcmp(first, "--version") == 0;
    const bool asks_help = strcmp(first, "--help") == 0 || strcmp(first, "-h") == 0;
    const bool asks_page = strcmp(first, "help") == 0; /* `help budget`, `budget --help` */
    const int most = asks_page ? 3 : 2;
    if ((asks_version || asks_help || asks_page) && argc > most)
        return bt_refuse(a, first,
                         most == 2 ? "nothing behind it" : "one command behind it",
                         argv[most], NULL);
    if (asks_version)
        return version();
    if (asks_help)
        return help(a, NULL);
    if (asks_page) {
        const struct bt_command *about = argc > 2 ? find(argv[2]) : NULL;
        return argc > 2 && !about ? unknown(a, argv[2]) : help(a, about);
    }
    const struct bt_command *c = find(first);
    return c ? run(a, c, argc - 2, argv + 2) : unknown(a, first);
}

int main(int argc, char **argv)
{
    /* Characters as the terminal has them; numbers stay with a point in every locale. */
    (void)setlocale(LC_CTYPE, "");
    gsl_set_error_handler_off(); /* the library looks at every status itself */
    bt_front_mind_memory();
    /* A chunk is a huge page: what a run of eight beds touches costs 900 page faults, not
     * 6,000, half its processor time. */
    struct bt_arena *a = bt_front_arena(1 << 21);
    const enum bt_status_code status = dispatch(a, argc, argv);
    bt_arena_free(a);
    return (int)status;
}
