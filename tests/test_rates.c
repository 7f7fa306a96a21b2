/* The gap between what a crop must find and what an ordinary soil gives it in time, against
 * the rates that guides advise: 18 crops, each alone. The table stands in docs/checks.md
 * and is made here: a run with BEDTALLY_UPDATE=1 writes it anew. */
#include "law_garden.h"

static const double LB_AC_G_M2 = 0.112085; /* 453.59237 g / 4046.8564 m2 */

/* Usual sowing or planting dates near Boston; days are the handbook's. */
static const struct rate_case {
    const char *crop;
    int month, day;
    bool outside; /* of 0.4 .. 1.4: said why in docs/checks.md */
} cases[] = {
    {"sweet corn",    5, 10, false},
    {"summer squash", 5, 20, true },
    {"winter squash", 5, 25, false},
    {"cucumber",      5, 25, false},
    {"tomato",        5, 18, false},
    {"pepper",        5, 25, false},
    {"potato",        4, 25, false},
    {"cabbage",       5, 1,  false},
    {"broccoli",      4, 25, false},
    {"lettuce",       5, 1,  false},
    {"spinach",       4, 15, false},
    {"beet",          5, 1,  false},
    {"carrot",        5, 1,  false},
    {"radish",        4, 25, false},
    {"onion",         4, 20, false},
    {"leek",          5, 10, true },
    {"celery",        5, 15, false},
    {"sunflower",     5, 15, false},
};
enum { N_CASES = sizeof cases / sizeof *cases };

struct rate_row {
    int days;
    double required_g_m2, soil_g_m2, gap_g_m2, rate_g_m2, ratio;
};

static double handbook_likely(const struct bt_run *run, const char *crop,
                              const char *quantity)
{
    const struct bt_row *row = bt_handbook_follow(run->handbook, "crops", crop, quantity);
    if (!row)
        fail_msg("no %s of %s", quantity, crop);
    return row->range.likely;
}

/* `expected` is a stated yield, or ""; `own_rows` a table of crops of the garden's own, or
 * NULL. */
static void rate_with(struct law *l, const struct rate_case *c, const char *expected,
                      const char *own_rows, struct rate_row *out)
{
    const int sown = law_day(c->month, c->day), may = law_day(5, 1);
    const struct law_text t = {
        .settings = "warmth,temperate\nmean_temperature,11 degC\n"
                    "temperature_half_range,12.2 degC\n",
        .start = sown < may ? sown : may,
        .season_end = law_day(10, 20),
        .beds = "bed,length,width,texture\nA,10 m,10 m,loam\n",
        .plantings = bt_arena_format(l->arena,
                                     "bed,crop,share,in_ground,expected,rest\n"
                                     "A,%s,100 %%,%s,%s,compost\n",
                                     c->crop, bt_date_iso(l->arena, sown), expected),
        .own_table = own_rows ? "crops.csv" : NULL,
        .own_rows = own_rows,
        .soil_tests =
            "sample,date,beds,depth,organic_matter\nS,2026-04-01,A,0-15 cm,2.5 %\n"};
    const struct law_answer a = law_run(l, &t);
    const struct bt_run_options o = law_options(l, &t, BT_BLOCK, 1);
    struct bt_run run;
    law_must(bt_run_open(l->arena, &o, &run), &run);
    out->days = (int)lround(handbook_likely(&run, c->crop, "days"));
    out->rate_g_m2 = handbook_likely(&run, c->crop, "n_rate_advised");
    bt_run_close(&run);
    assert_true(sown + out->days <= t.season_end);
    out->required_g_m2 = a.bed[0].required.likely;
    out->gap_g_m2 = -a.bed[0].tightest.likely;
    out->soil_g_m2 = out->required_g_m2 - out->gap_g_m2;
    out->ratio = out->gap_g_m2 / out->rate_g_m2;
}

static double lb_ac(double g_m2)
{
    return g_m2 / LB_AC_G_M2;
}

static const char *table_of(struct law *l, const struct rate_row *row, double mean)
{
    const char *text = "| crop | in the ground | days | must find | soil gives in time | "
                       "gap | guides advise | "
                       "gap / rate |\n|---|---|---|---|---|---|---|---|\n";
    for (size_t i = 0; i < N_CASES; i++) {
        const struct rate_row *r = &row[i];
        text = bt_arena_format(
            l->arena, "%s| %s | %s | %d | %.0f | %.0f | %.0f | %.0f | %.2f%s |\n", text,
            cases[i].crop, bt_date_words(l->arena, law_day(cases[i].month, cases[i].day)),
            r->days, lb_ac(r->required_g_m2), lb_ac(r->soil_g_m2), lb_ac(r->gap_g_m2),
            lb_ac(r->rate_g_m2), r->ratio, cases[i].outside ? " *" : "");
    }
    return bt_arena_format(l->arena, "%s| mean of %d crops | | | | | | | %.2f |\n", text,
                           N_CASES, mean);
}

static const char PAGE[] = "docs/checks.md";
static const char BEGIN[] = "<!-- rates: made by tests/test_rates.c -->\n";
static const char END[] = "<!-- end of rates -->\n";

static char *read_page(struct law *l)
{
    FILE *f = fopen(PAGE, "rb");
    assert_non_null(f);
    char *text = bt_arena_zero(l->arena, 1 << 16);
    const size_t n = fread(text, 1, (1 << 16) - 1, f);
    fclose(f);
    assert_true(n > 0);
    return text;
}

/* The page's table is the one made now. */
static void keep_in_step(struct law *l, const char *table)
{
    char *page = read_page(l);
    char *begin = strstr(page, BEGIN), *end = strstr(page, END);
    assert_true(begin && end && begin < end);
    begin += strlen(BEGIN);
    const size_t n = (size_t)(end - begin);
    if (n == strlen(table) && memcmp(begin, table, n) == 0)
        return;
    if (getenv("BEDTALLY_UPDATE")) {
        const char *whole =
            bt_arena_format(l->arena, "%.*s%s%s", (int)(begin - page), page, table, end);
        FILE *f = fopen(PAGE, "wb");
        assert_non_null(f);
        fputs(whole, f);
        assert_int_equal(fclose(f), 0);
        return;
    }
    fail_msg("the table in %s is not that of today (BEDTALLY_UPDATE=1 writes it):\n%s",
             PAGE, table);
}

static void gap_against_advised_rates(void **state)
{
    struct law *l = *state;
    struct rate_row row[N_CASES];
    double sum = 0;
    for (size_t i = 0; i < N_CASES; i++) {
        rate_with(l, &cases[i], "", NULL, &row[i]);
        sum += row[i].ratio;
        if (cases[i].outside != (row[i].ratio < 0.4 || row[i].ratio > 1.4))
            print_error("%s: gap / rate %.2f\n", cases[i].crop, row[i].ratio);
    }
    keep_in_step(l, table_of(l, row, sum / N_CASES));
    check_between(sum / N_CASES, 0.75, 1.05,
                  "A7: mean of gap / advised rate; rates partly memory");
    for (size_t i = 0; i < N_CASES; i++)
        assert_int_equal(cases[i].outside, row[i].ratio < 0.4 || row[i].ratio > 1.4);
}

/* What docs/checks.md says of the two that lie outside. */
static void why_two_lie_outside(void **state)
{
    struct law *l = *state;
    const struct rate_case squash = {"summer squash", 5, 20, true},
                           leek = {"leek", 5, 10, true};
    struct rate_row row;
    rate_with(l, &squash, "2.24 kg/m2", NULL, &row);
    check_close(row.ratio, 0.98, 0.03,
                "summer squash at the yield of fields, 2.24; memory");
    rate_with(
        l, &leek, "",
        "key,quantity,low,likely,high,unit,ends,basis,scope,parent,rank_correlation,source,"
        "seen,notes\n"
        "leek,recovery,0.4,0.6,0.75,,p05-p95,,bed,,,JUDGEMENT,judgement,as medium roots\n",
        &row);
    check_close(row.ratio, 1.1, 0.03, "leek with the catch of medium roots; judgement");
}

int main(void)
{
    const struct CMUnitTest t[] = {LAW_TEST(gap_against_advised_rates),
                                   LAW_TEST(why_two_lie_outside)};
    return cmocka_run_group_tests_name("advised rates", t, NULL, NULL) != 0;
}
