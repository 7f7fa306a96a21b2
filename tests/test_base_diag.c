/* Messages: their exact text, their count, their order, and the room for many. */
#include <stdio.h>
#include <string.h>

#include "base/diag.h"
#include "check.h"

static struct row {
    const char *name;
    struct bt_message message;
    const char *want;
} rows[] = {
    {"all parts",
     {BT_ERROR,
      {"plantings.csv", 3, 9, 3, 2},
      "crop",
      "a crop of the handbook",
      "swet corn",
      "\"sweet corn\""},
     "plantings.csv:3:9: error: crop: expected a crop of the handbook, found \"swet corn\" "
     "(row 3, column B)\n  hint: \"sweet corn\""                                    },
    {"no hint",
     {BT_WARNING, {"beds.csv", 2, 1, 2, 1}, "length", "12 ft", "12", NULL},
     "beds.csv:2:1: warning: length: expected 12 ft, found \"12\" (row 2, column A)"},
    {"nothing found",
     {BT_ERROR, {"beds.csv", 1, 0, 1, 0}, "bed", "a column of that name", NULL, NULL},
     "beds.csv:1: error: bed: expected a column of that name (row 1)"               },
    {"nothing expected",
     {BT_NOTE, {"water.csv", 0, 0, 0, 0}, "beds", NULL, "A1", NULL},
     "water.csv: note: beds: found \"A1\""                                          },
    {"a remark alone",
     {BT_NOTE, {"garden.csv", 4, 1, 4, 27}, "as_of taken as today", NULL, NULL, NULL},
     "garden.csv:4:1: note: as_of taken as today (row 4, column AA)"                },
    {"an option has no file",
     {BT_ERROR, {NULL, 0, 0, 0, 0}, "--samples", "a whole number", "abc", NULL},
     "error: --samples: expected a whole number, found \"abc\""                     },
    {"no field",
     {BT_ERROR, {"garden.csv", 0, 0, 0, 0}, NULL, "a file that can be read", NULL, NULL},
     "garden.csv: error: expected a file that can be read"                          },
    {"columns past Z",
     {BT_ERROR, {NULL, 0, 0, 0, 703}, "x", NULL, NULL, NULL},
     "error: x (column AAA)"                                                        },
    {"column Z",
     {BT_ERROR, {NULL, 0, 0, 0, 26}, "x", NULL, NULL, NULL},
     "error: x (column Z)"                                                          },
    {"column AZ",
     {BT_ERROR, {NULL, 0, 0, 0, 52}, "x", NULL, NULL, NULL},
     "error: x (column AZ)"                                                         },
};

static void exact_text(void **state)
{
    const struct row *r = *state;
    struct bt_arena *a = bt_arena_new(64, NULL, NULL);
    assert_string_equal(bt_message_text(a, &r->message), r->want);
    bt_arena_free(a);
}

static struct bt_message simple(enum bt_weight weight, const char *field)
{
    return (struct bt_message){.weight = weight, .field = field};
}

static char *printed(struct bt_arena *a, const struct bt_diag *d, enum bt_weight least)
{
    FILE *f = tmpfile();
    assert_non_null(f);
    bt_diag_print(f, d, least);
    const size_t n = (size_t)ftell(f);
    char *text = bt_arena_zero(a, n + 1);
    rewind(f);
    assert_int_equal(fread(text, 1, n, f), n);
    fclose(f);
    return text;
}

static void weights(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(64, NULL, NULL);
    struct bt_diag *d = bt_diag_new(a);
    assert_string_equal(printed(a, d, BT_NOTE), "");
    assert_true(bt_diag_add(d, simple(BT_NOTE, "one")));
    assert_false(bt_diag_add(d, simple(BT_ERROR, "two")));
    assert_true(bt_diag_add(d, simple(BT_WARNING, "three")));
    assert_int_equal(bt_diag_count(d, BT_NOTE), 1);
    assert_int_equal(bt_diag_count(d, BT_WARNING), 1);
    assert_int_equal(bt_diag_count(d, BT_ERROR), 1);
    assert_string_equal(printed(a, d, BT_ERROR), "error: two\n");
    assert_string_equal(printed(a, d, BT_WARNING), "error: two\nwarning: three\n");
    assert_string_equal(printed(a, d, BT_NOTE), "note: one\nerror: two\nwarning: three\n");
    bt_arena_free(a);
}

static void texts_are_copied(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(64, NULL, NULL);
    struct bt_diag *d = bt_diag_new(a);
    char field[] = "bed", file[] = "beds.csv", found[] = "A1", expected[] = "x",
         hint[] = "y";
    bt_diag_add(d, (struct bt_message){
                       BT_ERROR, {file, 2, 1, 2, 1},
                        field, expected, found, hint
    });
    field[0] = file[0] = found[0] = expected[0] = hint[0] = '#';
    assert_string_equal(
        bt_message_text(a, bt_diag_get(d, 0)),
        "beds.csv:2:1: error: bed: expected x, found \"A1\" (row 2, column A)"
        "\n  hint: y");
    bt_arena_free(a);
}

static void many(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(1 << 16, NULL, NULL);
    struct bt_diag *d = bt_diag_new(a);
    for (int i = 0; i < 1500; i++)
        bt_diag_add(d, simple(BT_NOTE, "n"));
    for (int i = 0; i < 1001; i++)
        bt_diag_add(d, simple(BT_ERROR, "e"));
    assert_int_equal(bt_diag_count(d, BT_NOTE), 1500);
    assert_int_equal(bt_diag_count(d, BT_ERROR), 1001);
    assert_int_equal(bt_diag_kept(d), 2000); /* the errors were not crowded out */
    const char *errors = printed(a, d, BT_ERROR);
    assert_int_equal(strncmp(errors, "error: e\n", 9), 0);
    assert_non_null(strstr(errors, "\n1 more not shown\n"));
    assert_non_null(strstr(printed(a, d, BT_NOTE), "\n501 more not shown\n"));
    bt_arena_free(a);
}

int main(void)
{
    enum { N = sizeof rows / sizeof rows[0] };
    struct CMUnitTest t[N + 3];
    for (size_t i = 0; i < N; i++)
        t[i] = (struct CMUnitTest){rows[i].name, exact_text, NULL, NULL, &rows[i]};
    t[N] = (struct CMUnitTest)cmocka_unit_test(weights);
    t[N + 1] = (struct CMUnitTest)cmocka_unit_test(texts_are_copied);
    t[N + 2] = (struct CMUnitTest)cmocka_unit_test(many);
    return cmocka_run_group_tests_name("base_diag", t, NULL, NULL) != 0;
}
