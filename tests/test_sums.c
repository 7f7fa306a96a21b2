/* The sums against what was printed: published worked examples and the arithmetic of cases,
 * run through the same entry point as `bedtally sum`. Rows that cannot be run say why, and
 * are counted. Where print has a slip, the row wants the right figure. tests/check_sums.sh
 * runs the same rows through the program, ratios of two rows too. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "input/csv.h"
#include "plan/sum.h"

#include "check.h"

enum {
    ID,
    KIND,
    SUM,
    GIVEN,
    RESULT,
    WANT,
    UNIT,
    TOLERANCE,
    PRINTED,
    SEEN,
    SOURCE,
    LOCATOR,
    NOTE,
    COLUMNS
};
enum { MOST_ROWS = 600 };

struct bench {
    struct bt_arena *arena;
    struct bt_diag *diag;
    struct bt_units *units;
    struct bt_handbook *book;
};

static struct bench bench; /* read once, in main */

static void no_memory(void *context)
{
    (void)context;
    abort();
}

static void open_bench(void)
{
    size_t n;
    bench.arena = bt_arena_new((size_t)1 << 20, no_memory, NULL);
    bench.diag = bt_diag_new(bench.arena);
    const char *table = bt_embedded_table("units", &n);
    bench.units = bt_units_new(bench.arena, bench.diag, table, n);
    bench.book = bt_handbook_load(bench.arena, bench.diag, bench.units, NULL, NULL);
}

/* Works a sum out from one text, keys parted by `;`. */
static bool work(struct bt_diag *d, const char *name, const char *given,
                 struct bt_sum_answer *out)
{
    const struct bt_sum_means means = {
        .arena = bench.arena,
        .diag = d,
        .units = bench.units,
        .book = bench.book,
        .chance = {.samples = 4096, .seed = 1},
        .us_units = -1
    };
    char **part;
    const struct bt_sum *sum = bt_sum_find(bench.arena, d, name);
    const size_t n = bt_text_split(bench.arena, given, ';', &part);
    const char **typed = bt_arena_alloc(bench.arena, (n + 1) * sizeof *typed);
    for (size_t i = 0; i < n; i++)
        typed[i] = part[i];
    return sum && bt_sum_work(&means, sum, n, typed, out);
}

static void print_messages(const struct bt_diag *d)
{
    for (size_t i = 0; i < bt_diag_kept(d); i++)
        print_error("%s\n", bt_message_text(bench.arena, bt_diag_get(d, i)));
}

static const struct bt_sum_result *result_of(const struct bt_sum_answer *x,
                                             const char *name)
{
    for (size_t i = 0; i < x->n_results; i++)
        if (strcmp(x->result[i].name, name) == 0)
            return &x->result[i];
    for (size_t i = 0; i < x->n_results; i++)
        print_error("  there is: %s\n", x->result[i].name);
    fail_msg("no result \"%s\"", name);
    return NULL;
}

/* Inside units of one `unit`. */
static double factor_of(const char *unit, struct bt_dim dim)
{
    struct bt_unit read;
    if (!*unit)
        return 1;
    assert_true(bt_units_read(bench.units, bench.arena, unit, 0, NULL, &read));
    assert_true(bt_dim_same(read.dim, dim));
    return read.factor;
}

static void published_row(void **state)
{
    const struct bt_cell *c = *state;
    struct bt_diag *d = bt_diag_new(bench.arena);
    struct bt_sum_answer x;
    const bool is_worked = work(d, c[SUM].text, c[GIVEN].text, &x);
    if (strcmp(c[RESULT].text, "refused") == 0) {
        assert_false(is_worked);
        assert_true(bt_diag_kept(d) > 0);
        assert_non_null(
            strstr(bt_message_text(bench.arena, bt_diag_get(d, 0)), c[WANT].text));
        return;
    }
    if (!is_worked) {
        print_messages(d);
        fail_msg("%s: refused", c[ID].text);
    }
    const struct bt_sum_result *r = result_of(&x, c[RESULT].text);
    const double factor = factor_of(c[UNIT].text, bt_sheet_node(x.sheet, r->node)->dim);
    char source[400];
    (void)snprintf(source, sizeof source, "%s: %s, %s, %s; printed %s%s%s", c[ID].text,
                   c[SOURCE].text, c[LOCATOR].text, c[SEEN].text, c[PRINTED].text,
                   *c[NOTE].text ? "; " : "", c[NOTE].text);
    check_close(r->spread.likely / factor, strtod(c[WANT].text, NULL),
                strtod(c[TOLERANCE].text, NULL) / 100, source);
}

static size_t n_not_run, n_slips;

/* Every row's source stands in the list of sources. */
static void sources_are_listed(void **state)
{
    static const char list[] = "tests/published/example_sources.csv";
    const struct bt_csv *rows = *state;
    struct bt_csv sources;
    assert_true(bt_csv_read_file(bench.arena, bench.diag, list, list, &sources));
    for (size_t i = 0; i < rows->n_rows; i++) {
        bool found = false;
        for (size_t k = 0; k < sources.n_rows && !found; k++)
            found =
                strcmp(sources.row[k].cell[0].text, rows->row[i].cell[SOURCE].text) == 0;
        if (!found)
            fail_msg("%s: %s is not in %s", rows->row[i].cell[ID].text,
                     rows->row[i].cell[SOURCE].text, list);
    }
}

static size_t add_rows(const char *path, struct CMUnitTest *test, size_t n)
{
    struct bt_csv *csv = bt_arena_zero(bench.arena, sizeof *csv);
    if (!bt_csv_read_file(bench.arena, bench.diag, path, path, csv) ||
        csv->header.n != COLUMNS) {
        printf("%s cannot be read\n", path);
        exit(1);
    }
    test[n++] =
        (struct CMUnitTest){"sources_are_listed", sources_are_listed, NULL, NULL, csv};
    for (size_t i = 0; i < csv->n_rows && n < MOST_ROWS; i++) {
        struct bt_cell *c = csv->row[i].cell;
        if (!*c[SUM].text) {
            printf("not run: %s: %s\n", c[ID].text, c[NOTE].text);
            n_not_run++;
            continue;
        }
        if (strcmp(c[SUM].text, "ratio") == 0)
            continue;
        n_slips += strncmp(c[NOTE].text, "printed", 7) == 0;
        test[n++] = (struct CMUnitTest){c[ID].text, published_row, NULL, NULL, c};
    }
    return n;
}

int main(void)
{
    static struct CMUnitTest test[MOST_ROWS];
    open_bench();
    if (!bench.book)
        return 1;
    size_t n = add_rows("tests/published/examples.csv", test, 0);
    n = add_rows("tests/published/cases.csv", test, n);
    printf("%zu figures run, %zu of them where print has a slip; %zu not run\n", n - 2,
           n_slips, n_not_run);
    const int failed = _cmocka_run_group_tests("sums", test, n, NULL, NULL);
    bt_units_free(bench.units);
    bt_arena_free(bench.arena);
    return failed != 0;
}
