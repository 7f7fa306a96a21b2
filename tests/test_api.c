/* The public interface, used as a stranger would: its header alone. Run from the project's
 * folder. */
#include <string.h>

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
        cmocka_unit_test(version),
    };
    return cmocka_run_group_tests_name("api", t, NULL, NULL) != 0;
}
