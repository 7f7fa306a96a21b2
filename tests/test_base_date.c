/* Days against the calendar. */
#include "base/date.h"
#include "check.h"

static struct row {
    const char *name;
    int year, month, day_of_month;
    int want_day, want_of_year;
    const char *source;
} rows[] = {
    {"the epoch",                  1970, 1,  1,  0,       1,   "POSIX, by definition"                        },
    {"the day before it",          1969, 12, 31, -1,      365, "derived: a common year has 365 days"         },
    {"a leap day of a 400th year", 2000, 2,  29, 11016,   60,
     "derived: 30 years of 365 + 7 leap days + 31 + 28"                                                      },
    {"the day after",              2000, 3,  1,  11017,   61,  "derived"                                     },
    {"1900 was no leap year",      1900, 3,  1,  -25508,  60,
     "derived: 1970-01-01 less 25,508 days"                                                                  },
    {"the first Gregorian day",    1582, 10, 15, -141427, 288,
     "Julian day 2299160.5 less 2440587.5 (memory)"                                                          },
    {"end of 32-bit seconds",      2038, 1,  19, 24855,   19,
     "memory: 2^31 s is 24,855 days and some"                                                                },
    {"J2000",                      2000, 1,  1,  10957,   1,   "Julian day 2451544.5 less 2440587.5 (memory)"},
    {"last of a leap year",        2024, 12, 31, 20088,   366, "derived: 2025-01-01 is day 20089"            },
    {"in a season",                2026, 6,  12, 20616,   163, "derived: 20454 + 31+28+31+30+31 + 11"        },
    {"year 1",                     1,    1,  1,  -719162, 1,   "memory: Rata Die 1 is day -719162"           },
};

static void known_day(void **state)
{
    const struct row *r = *state;
    int y, m, d;
    if (bt_day(r->year, r->month, r->day_of_month) != r->want_day)
        print_error("[%s]\n", r->source);
    assert_int_equal(bt_day(r->year, r->month, r->day_of_month), r->want_day);
    bt_civil(r->want_day, &y, &m, &d);
    assert_int_equal(y, r->year);
    assert_int_equal(m, r->month);
    assert_int_equal(d, r->day_of_month);
    assert_int_equal(bt_day_of_year(r->want_day), r->want_of_year);
}

/* Every day from year 1 to 2500 follows the one before and comes back as itself. */
static void every_day(void **state)
{
    (void)state;
    int day = bt_day(1, 1, 1), of_year = 0, last_year = 0;
    for (int y = 1; y <= 2500; y++)
        for (int m = 1; m <= 12; m++)
            for (int d = 1; bt_civil_is_real(y, m, d); d++, day++) {
                int y2, m2, d2;
                of_year = y == last_year ? of_year + 1 : 1;
                last_year = y;
                bt_civil(day, &y2, &m2, &d2);
                if (bt_day(y, m, d) != day || y2 != y || m2 != m || d2 != d ||
                    bt_day_of_year(day) != of_year)
                    fail_msg("%d-%d-%d is not day %d", y, m, d, day);
            }
    /* 400 years have 146,097 days (memory): 1..2400 is six such cycles. */
    assert_int_equal(bt_day(2401, 1, 1) - bt_day(1, 1, 1), 6 * 146097);
}

static void real_dates(void **state)
{
    (void)state;
    assert_true(bt_civil_is_real(2024, 2, 29));
    assert_true(bt_civil_is_real(2000, 2, 29));
    assert_false(bt_civil_is_real(2026, 2, 29));
    assert_false(bt_civil_is_real(1900, 2, 29));
    assert_false(bt_civil_is_real(2026, 4, 31));
    assert_false(bt_civil_is_real(2026, 0, 1));
    assert_false(bt_civil_is_real(2026, 13, 1));
    assert_false(bt_civil_is_real(2026, 1, 0));
    assert_false(bt_civil_is_real(0, 1, 1));
}

static void written(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(64, NULL, NULL);
    const int day = bt_day(2026, 6, 2);
    assert_string_equal(bt_date_iso(a, day), "2026-06-02");
    assert_string_equal(bt_date_words(a, day), "2 June");
    assert_string_equal(bt_date_words(a, bt_day(2026, 12, 31)), "31 December");
    bt_arena_free(a);
}

int main(void)
{
    enum { N = sizeof rows / sizeof rows[0] };
    struct CMUnitTest t[N + 3];
    for (size_t i = 0; i < N; i++)
        t[i] = (struct CMUnitTest){rows[i].name, known_day, NULL, NULL, &rows[i]};
    t[N] = (struct CMUnitTest)cmocka_unit_test(every_day);
    t[N + 1] = (struct CMUnitTest)cmocka_unit_test(real_dates);
    t[N + 2] = (struct CMUnitTest)cmocka_unit_test(written);
    return cmocka_run_group_tests_name("base_date", t, NULL, NULL) != 0;
}
