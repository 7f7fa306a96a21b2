/* The command line: what is taken, and the exact text of every refusal. */
#include <stdio.h>
#include <string.h>

#include "check.h"
#include "command/command.h"
#include "command/help.h"

static const struct bt_command budget = {
    .name = "budget",
    .args = "DIR",
    .summary = "the answer",
    .about = "About.",
    .example = "  an example",
    .options = BT_OPT_BED | BT_OPT_ALL | BT_OPT_SAMPLES | BT_OPT_SEED | BT_OPT_UNITS |
               BT_OPT_FORMAT | BT_OPT_ON | BT_OPT_SEASON | BT_OPT_ENOUGH | BT_OPT_THREADS |
               BT_OPT_PLAN | BT_OPT_TABLES,
    .least_args = 1,
    .most_args = 1,
};

#define MOST_WORDS 7

static bool read_line(struct bt_arena *a, struct bt_diag *d, const char *const *words,
                      struct bt_options *out)
{
    char *argv[MOST_WORDS + 1] = {NULL};
    int argc = 0;
    for (; argc < MOST_WORDS && words[argc]; argc++)
        argv[argc] = bt_arena_text(a, words[argc]);
    return bt_options_read(a, d, &budget, argc, argv, out);
}

static struct row {
    const char *words[MOST_WORDS];
    const char *want;
} refused[] = {
    {{"d", "--sampels", "9"},
     "error: --sampels: expected an option of `bedtally budget`\n  hint: \"--samples\"\n"                          },
    {{"d", "--xyzzy"},
     "error: --xyzzy: expected an option of `bedtally budget`\n"
     "  hint: bedtally budget --help lists them\n"                                                                 },
    {{"d", "--from", "x"},                       /* known, but another command's */
     "error: --from: expected an option of `bedtally budget`\n"
     "  hint: bedtally budget --help lists them\n"                                       },
    {{"d", "--samples", "abc"},
     "error: --samples: expected a whole number from 256 to 1048576, or auto, found "
     "\"abc\"\n"                                                                                                   },
    {{"d", "--samples=255"},
     "error: --samples: expected a whole number from 256 to 1048576, or auto, found "
     "\"255\"\n"                                                                                                   },
    {{"d", "--samples=1048577"},
     "error: --samples: expected a whole number from 256 to 1048576, or auto, found "
     "\"1048577\"\n"                                                                                               },
    {{"d", "--samples", "-512"},
     "error: --samples: expected a whole number from 256 to 1048576, or auto, found "
     "\"-512\"\n"                                                                                                  },
    {{"d", "--samples", "99999999999999999999"},
     "error: --samples: expected a whole number from 256 to 1048576, or auto, found "
     "\"99999999999999999999\"\n"                                                                                  },
    {{"d", "--samples"},
     "error: --samples: expected a whole number from 256 to 1048576, or auto\n  hint: "
     "--samples "
     "N|auto\n"                                                                                                    },
    {{"d", "--seed", "18446744073709551616"},
     "error: --seed: expected a whole number from 0 to 18446744073709551615, found "
     "\"18446744073709551616\"\n"                                                                                  },
    {{"d", "--season", "26"},
     "error: --season: expected a year from 1900 to 2200, found \"26\"\n"                                          },
    {{"d", "--on", "2026-02-30"},
     "error: --on: expected a date like 2026-06-12, found \"2026-02-30\"\n"                                        },
    {{"d", "--on", "6/12/2026"},
     "error: --on: expected a date like 2026-06-12, found \"6/12/2026\"\n"                                         },
    {{"d", "--on", "2026-0a-12"},
     "error: --on: expected a date like 2026-06-12, found \"2026-0a-12\"\n"                                        },
    {{"d", "--enough", "0.8"},
     "error: --enough: expected a chance from 1 % to 99 %, found \"0.8\"\n"                                        },
    {{"d", "--enough", "100%"},
     "error: --enough: expected a chance from 1 % to 99 %, found \"100%\"\n"                                       },
    {{"d", "--enough", "nan"},
     "error: --enough: expected a chance from 1 % to 99 %, found \"nan\"\n"                                        },
    {{"d", "--units", "imperial"},
     "error: --units: expected us or metric, found \"imperial\"\n"                                                 },
    {{"d", "--format", "xml"},
     "error: --format: expected text, csv or json, found \"xml\"\n"                                                },
    {{"d", "--threads", "0"},
     "error: --threads: expected a whole number from 1 to 1024, found \"0\"\n"                                     },
    {{"d", "--all=yes"},                         "error: --all: expected no value, found \"yes\"\n"                },
    {{"d", "--bed="},                            "error: --bed: expected a bed of beds.csv, found \"\"\n"          },
    {{"--all"},                                  "error: arguments: expected DIR\n  hint: bedtally budget --help\n"},
    {{"d", "e"},                                 "error: arguments: expected no more than DIR, found \"e\"\n"      },
    {{"d", "--units", "x", "--format", "y"},     /* all of them, not the first */
     "error: --units: expected us or metric, found \"x\"\n"
     "error: --format: expected text, csv or json, found \"y\"\n"      },
};

static void refuses(void **state)
{
    const struct row *r = *state;
    struct bt_arena *a = bt_arena_new(1 << 12, NULL, NULL);
    struct bt_diag *d = bt_diag_new(a);
    struct bt_options o;
    assert_false(read_line(a, d, r->words, &o));
    const char *got = "";
    for (size_t i = 0; i < bt_diag_kept(d); i++)
        got = bt_arena_format(a, "%s%s\n", got, bt_message_text(a, bt_diag_get(d, i)));
    assert_string_equal(got, r->want);
    bt_arena_free(a);
}

static void takes(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(1 << 12, NULL, NULL);
    struct bt_diag *d = bt_diag_new(a);
    struct bt_options o;

    assert_true(read_line(a, d, (const char *const[]){"d", NULL}, &o));
    assert_int_equal(o.samples, 16384);
    assert_int_equal(o.seed, 1);
    assert_int_equal(o.units, -1);
    assert_int_equal(o.format, BT_FORMAT_TEXT);
    assert_int_equal(o.season, 0);
    assert_int_equal(o.threads, 0);
    assert_false(o.on.known);
    assert_null(o.bed);
    check_close(o.enough, 0, 0, "not given");

    static const char *const one[] = {
        "--samples=512", "--seed", "18446744073709551615", "d", "--on=2026-06-12",
        "--all",         NULL};
    assert_true(read_line(a, d, one, &o));
    assert_string_equal(o.arg[0], "d");
    assert_int_equal(o.samples, 512);
    assert_true(o.seed == UINT64_MAX);
    assert_true(o.on.known);
    assert_int_equal(o.on.day, bt_day(2026, 6, 12));
    assert_true(o.all);

    static const char *const two[] = {"--units=US", "--format", "json", "--enough",
                                      "85 %",       "d",        NULL};
    assert_true(read_line(a, d, two, &o));
    assert_int_equal(o.units, 1);
    assert_int_equal(o.format, BT_FORMAT_JSON);
    check_close(o.enough, 0.85, 1e-15, "arithmetic");

    static const char *const three[] = {"--bed", "--all",        "--enough=62.5",
                                        "--",    "--odd-folder", NULL};
    assert_true(read_line(a, d, three, &o));
    assert_string_equal(o.bed, "--all"); /* a value is a value, whatever it looks like */
    assert_string_equal(o.arg[0], "--odd-folder");
    check_close(o.enough, 0.625, 1e-15, "arithmetic");

    static const char *const help[] = {"--help", NULL};
    assert_true(read_line(a, d, help, &o)); /* nothing is missed beside --help */
    assert_true(o.help);
    static const char *const h[] = {"d", "-h", NULL};
    assert_true(read_line(a, d, h, &o));
    assert_true(o.help);
    assert_int_equal(bt_diag_count(d, BT_ERROR), 0);
    bt_arena_free(a);
}

/* A page names every option that the command takes and none that it does not. */
static void page(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(1 << 12, NULL, NULL);
    FILE *f = tmpfile();
    struct bt_out o = bt_out_stream(f);
    bt_help_command(a, &o, &budget);
    assert_true(bt_out_done(&o));
    char *text = bt_arena_zero(a, 4096);
    rewind(f);
    assert_true(fread(text, 1, 4095, f) > 200);
    fclose(f);
    assert_non_null(strstr(text, "usage: bedtally budget DIR [options]\n"));
    assert_non_null(strstr(text, "\n  --samples N|auto         draws per bed (16384); "
                                 "auto: as many as it takes\n"));
    assert_non_null(strstr(text, "\n  --help                   this page\n"));
    assert_null(strstr(text, "--from"));
    bt_arena_free(a);
}

int main(void)
{
    enum { N = sizeof refused / sizeof refused[0] };
    struct CMUnitTest t[N + 2];
    for (size_t i = 0; i < N; i++)
        t[i] = (struct CMUnitTest){refused[i].words[refused[i].words[1] != NULL], refuses,
                                   NULL, NULL, &refused[i]};
    t[N] = (struct CMUnitTest)cmocka_unit_test(takes);
    t[N + 1] = (struct CMUnitTest)cmocka_unit_test(page);
    return cmocka_run_group_tests_name("command_options", t, NULL, NULL) != 0;
}
