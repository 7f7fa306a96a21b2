/* The public interface, used as a stranger would: its header alone. Run from the project's
 * folder. */
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <gsl/gsl_errno.h>

#include "bedtally/bedtally.h"
#include "check.h"

static const char garden[] = "worked-examples/three-sisters";

/* Sums of means are means of sums: the lines of a bed must add up to its account. */
static void lines_add_up(struct bedtally *b, size_t bed)
{
    struct bedtally_account account;
    assert_true(bedtally_bed_account(b, bed, BEDTALLY_N, &account));
    const size_t n = bedtally_bed_lines(b, bed, BEDTALLY_N);
    assert_true(n > 1);
    double need = 0, supply = 0, in_time = 0;
    struct bedtally_line line;
    for (size_t i = 0; i < n; i++) {
        assert_true(bedtally_bed_line(b, bed, BEDTALLY_N, i, &line));
        assert_true(strlen(line.id) > 0 && strlen(line.label) > 0);
        const double sign = line.side == BEDTALLY_SUPPLY ? 1 : -1;
        *(line.side == BEDTALLY_SUPPLY ? &supply : &need) += line.total_g_m2.mean;
        in_time += sign * line.in_time_g_m2.mean;
    }
    assert_false(bedtally_bed_line(b, bed, BEDTALLY_N, n, &line));
    check_close(need, account.required_g_m2.mean, 1e-9, "by definition");
    check_close(supply, account.supply_g_m2.mean, 1e-9, "by definition");
    check_close(supply - need, account.balance_g_m2.mean, 1e-7, "by definition");
    /* The lowest of each draw is at most what the draw has on any one date. */
    assert_true(account.tightest_g_m2.mean <= in_time + 1e-9);
    check_between(account.chance_of_visible_shortfall, 0, account.chance_of_shortfall,
                  "by definition");
    check_between(account.tightest_month, 1, 12, "a date");
}

static void computes(void **state)
{
    (void)state;
    const struct bedtally_options options = {.samples = 1024, .seed = 7, .threads = 2};
    struct bedtally *b = bedtally_open(garden, &options);
    assert_non_null(b);
    assert_int_equal(bedtally_beds(b), 0); /* nothing before it is computed */
    assert_true(bedtally_compute(b));
    assert_false(bedtally_out_of_memory(b));
    assert_true(bedtally_beds(b) > 0);
    for (size_t bed = 0; bed < bedtally_beds(b); bed++) {
        double area_m2 = 0;
        assert_non_null(bedtally_bed(b, bed, &area_m2));
        assert_true(area_m2 > 0);
        lines_add_up(b, bed);
    }
    double area_m2 = 1;
    struct bedtally_account account;
    assert_null(bedtally_bed(b, bedtally_beds(b), &area_m2));
    check_close(area_m2, 0, 0, "no such bed");
    assert_false(bedtally_bed_account(b, bedtally_beds(b), BEDTALLY_N, &account));
    assert_false(bedtally_bed_account(b, 0, (enum bedtally_nutrient)99, &account));
    bedtally_close(b);
}

static void same_seed_same_answer(void **state)
{
    (void)state;
    struct bedtally_options options = {.samples = 1024, .seed = 7, .threads = 1};
    struct bedtally_account one = {0}, two = {0}, three = {0};
    struct bedtally *b = bedtally_open(garden, &options);
    assert_true(bedtally_compute(b) && bedtally_bed_account(b, 0, BEDTALLY_N, &one));
    assert_true(bedtally_compute(b) && bedtally_bed_account(b, 0, BEDTALLY_N, &two));
    bedtally_close(b);
    options.seed = 8;
    b = bedtally_open(garden, &options);
    assert_true(bedtally_compute(b) && bedtally_bed_account(b, 0, BEDTALLY_N, &three));
    bedtally_close(b);
    check_close(two.balance_g_m2.mean, one.balance_g_m2.mean, 0,
                "equal seeds, equal draws");
    assert_true(three.balance_g_m2.mean < one.balance_g_m2.mean ||
                three.balance_g_m2.mean > one.balance_g_m2.mean);
    check_close(three.balance_g_m2.likely, one.balance_g_m2.likely, 0,
                "likely is not drawn");
}

static void tells_what_is_wrong(void **state)
{
    (void)state;
    struct bedtally *b = bedtally_open("no such folder", NULL);
    assert_non_null(b);
    assert_false(bedtally_compute(b));
    assert_int_equal(bedtally_beds(b), 0);
    const size_t n = bedtally_messages(b);
    size_t errors = 0;
    for (size_t i = 0; i < n; i++) {
        enum bedtally_weight weight = BEDTALLY_NOTE;
        const char *text = bedtally_message(b, i, &weight);
        assert_non_null(text);
        errors += weight == BEDTALLY_ERROR && strstr(text, "no such folder") != NULL;
    }
    assert_true(errors > 0);
    assert_null(bedtally_message(b, n, NULL));
    bedtally_close(b);
    bedtally_close(NULL);
}

/* ---- other ways of writing numbers ---- */

static bool has_comma(void)
{
    return strcmp(localeconv()->decimal_point, ",") == 0;
}

/* A locale of our own with a comma, for no machine needs to have one. */
static bool make_comma_locale(const char *folder)
{
    char path[64], command[200];
    snprintf(path, sizeof path, "%s/comma", folder);
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fputs("LC_NUMERIC\ndecimal_point \",\"\nthousands_sep \".\"\ngrouping 3;3\n"
          "END LC_NUMERIC\n",
          f);
    fclose(f);
    snprintf(command, sizeof command, "localedef -c -i %s %s/made >/dev/null 2>&1", path,
             folder);
    (void)!system(command); /* warns of all that is left out, and says so in its status */
    setenv("LOCPATH", folder, 1);
    return setlocale(LC_NUMERIC, "made") && has_comma();
}

static bool set_comma_locale(const char *folder)
{
    static const char *const installed[] = {"de_DE.UTF-8", "de_DE.utf8",  "fr_FR.UTF-8",
                                            "de_DE",       "nl_NL.UTF-8", "pl_PL.UTF-8"};
    for (size_t i = 0; i < sizeof installed / sizeof *installed; i++)
        if (setlocale(LC_NUMERIC, installed[i]) && has_comma())
            return true;
    return make_comma_locale(folder);
}

static struct bedtally_account first_account(int threads, char *out_message, size_t size)
{
    const struct bedtally_options options = {.samples = 512, .seed = 7, .threads = threads};
    struct bedtally_account x = {0};
    struct bedtally *b = bedtally_open(garden, &options);
    assert_non_null(b);
    assert_true(bedtally_compute(b) && bedtally_bed_account(b, 0, BEDTALLY_N, &x));
    *out_message = '\0';
    for (size_t i = 0; i < bedtally_messages(b); i++) {
        const size_t n = strlen(out_message);
        snprintf(out_message + n, size - n, "%s\n", bedtally_message(b, i, NULL));
    }
    bedtally_close(b);
    return x;
}

/* A program that shows its numbers with a comma gets the same answer, and keeps its comma.
 */
static void comma_locale(void **state)
{
    (void)state;
    static char with_point[20000], with_comma[20000];
    char folder[] = "/tmp/bt-locale-XXXXXX", command[64];
    assert_non_null(mkdtemp(folder));
    const struct bedtally_account want = first_account(2, with_point, sizeof with_point);
    const bool there = set_comma_locale(folder);
    struct bedtally_account got = {0};
    bool still = false, wrong_folder = true;
    if (there) {
        got = first_account(2, with_comma, sizeof with_comma);
        struct bedtally *b = bedtally_open("no such folder", NULL);
        wrong_folder = bedtally_compute(b);
        (void)bedtally_message(b, 0, NULL);
        bedtally_close(b);
        still = has_comma();
    }
    setlocale(LC_NUMERIC, "C");
    snprintf(command, sizeof command, "rm -r %s", folder);
    assert_int_equal(system(command), 0);
    if (!there) {
        print_message("no locale with a comma is installed and localedef made none\n");
        skip();
    }
    assert_true(still);
    assert_false(wrong_folder);
    check_close(got.balance_g_m2.p05, want.balance_g_m2.p05, 0, "the same garden");
    check_close(got.required_g_m2.mean, want.required_g_m2.mean, 0, "the same garden");
    assert_string_equal(with_comma, with_point);
}

/* As many draws as can be asked for are those of the program, not what is left when a
 * number overflows. Nothing is drawn here: the garden has errors. */
static void most_samples(void **state)
{
    (void)state;
    const struct bedtally_options options = {.samples = SIZE_MAX, .seed = 1};
    struct bedtally *b = bedtally_open("no such folder", &options);
    assert_non_null(b);
    assert_int_equal(bedtally_samples(b), 1048576);
    bedtally_close(b);
    b = bedtally_open("no such folder", &(struct bedtally_options){.samples = 1000});
    assert_int_equal(bedtally_samples(b), 1024);
    bedtally_close(b);
}

static void version(void **state)
{
    (void)state;
    const char *v = bedtally_version();
    assert_int_equal(strspn(v, "0123456789."), strlen(v));
    assert_non_null(strchr(v, '.'));
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest t[] = {
        cmocka_unit_test(computes),
        cmocka_unit_test(same_seed_same_answer),
        cmocka_unit_test(tells_what_is_wrong),
        cmocka_unit_test(comma_locale),
        cmocka_unit_test(most_samples),
        cmocka_unit_test(version),
    };
    return cmocka_run_group_tests_name("api", t, NULL, NULL) != 0;
}
