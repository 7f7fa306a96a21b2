/* The soil of a bed so rich that it lies loose, what is cut and carried to another bed,
 * crops one after another, perennials in their first season. */
#include "legume_garden.h"

#include <gsl/gsl_errno.h>

#define PLANTS "bed,crop,plants,share,in_ground,ended,picked,rest\n"

static struct law_text rich(struct law *l, const char *texture, const char *om)
{
    return (struct law_text){
        .beds =
            bt_arena_format(l->arena, "bed,length,width,texture\nA,10 m,1 m,%s\n", texture),
        .plantings = PLANTS "A,tomato,5,,2026-05-20,2026-09-25,fruit,compost\n",
        .soil_tests = bt_arena_format(
            l->arena, "sample,date,beds,depth,organic_matter\nS,2026-04-01,A,0-15 cm,%s\n",
            om)};
}

static double line_of(struct law *l, const char *texture, const char *om, const char *part)
{
    const struct law_text t = rich(l, texture, om);
    return law_likely(&law_run(l, &t).bed[0], part);
}

/* Adams 1973 (recalled): densities of 0.244 and 1.64 by volume. 12 against 5 %: 0.763. The
 * forest soils of Europe, 1511 - 81.1 times the root of g C/kg (read), 58 % carbon: 0.777.
 */
static void rich_soil_lies_loose(void **state)
{
    struct law *l = *state;
    const double at_5 = line_of(l, "loam", "5 %", "soil nitrate");
    check_close(at_5, 3e-6 * 1.3e6 * 0.3, 1e-6, "up to 5 % the texture's density; derived");
    check_close(line_of(l, "loam", "3 %", "soil nitrate"), at_5, 1e-9, "the same below");
    const double at_12 = line_of(l, "loam", "12 %", "soil nitrate");
    const double usual = 0.05 / 0.244 + 0.95 / 1.64, loose = 0.12 / 0.244 + 0.88 / 1.64;
    check_close(at_12 / at_5, usual / loose, 1e-6, "Adams 1973; recalled");
    check_close(at_12 / at_5,
                (1511 - 81.1 * sqrt(0.12 * 580)) / (1511 - 81.1 * sqrt(0.05 * 580)), 0.03,
                "forest soils of Europe; read");
    check_close(at_12, line_of(l, "rich garden soil", "12 %", "soil nitrate"), 0.02,
                "the row of rich garden soil, 1.0");
}

/* Above the limit no less, and no more, than at it. */
static void richer_is_never_poorer(void **state)
{
    struct law *l = *state;
    static const char *const om[] = {"2 %", "4 %", "5 %", "5.1 %", "8 %", "12 %", "30 %"};
    double before = 0;
    for (size_t i = 0; i < sizeof om / sizeof *om; i++) {
        const double n = line_of(l, "loam", om[i], "soil organic matter");
        assert_true(n >= before * (1 - 1e-12));
        before = n;
    }
    check_close(before, line_of(l, "loam", "5 %", "soil organic matter"), 1e-9,
                "held at the limit");
    check_close(line_of(l, "sand", "3 %", "soil organic matter") /
                    line_of(l, "loam", "3 %", "soil organic matter"),
                1.6 / 1.3, 1e-6, "by the mass of the layer; derived");
}

static size_t warnings_of_moves(struct law *l, const char *amount)
{
    const struct law_text t = {
        .beds = "bed,length,width,texture\nfrom,10 ft,4 ft,loam\nto,10 ft,4 ft,loam\n",
        .plantings = PLANTS "from,comfrey,8,,2022-04-01,,nothing,standing\n"
                            "to,tomato,5,,2026-05-20,2026-09-25,fruit,compost\n",
        .applications =
            bt_arena_format(l->arena,
                            "date,beds,material,amount,placement,taken_from,status\n"
                            "2026-06-10,to,comfrey leaves,10 lb,surface,from,done\n"
                            "2026-08-10,to,comfrey leaves,%s,surface,from,done\n",
                            amount)};
    return law_run(l, &t).n_warnings;
}

/* 40 sq ft of comfrey grow 12 to 41 lb. */
static void no_more_taken_than_grown(void **state)
{
    struct law *l = *state;
    assert_int_equal(warnings_of_moves(l, "20 lb"), 0);
    assert_int_equal(warnings_of_moves(l, "200 lb"), 1);
}

static void one_after_another_is_told(void **state)
{
    struct law *l = *state;
    struct law_text t = {.beds = "bed,length,width,texture\nA,10 m,1 m,loam\n",
                         .plantings =
                             PLANTS "A,radish,,100 %,2026-05-01,2026-05-31,root,compost\n"
                                    "A,radish,,100 %,2026-06-01,2026-07-01,root,compost\n"
                                    "A,kale,16,,2026-07-10,2026-09-30,leaf,compost\n"};
    const struct law_answer two = law_run(l, &t);
    assert_non_null(strstr(two.bed[0].sentences, "may catch part of that"));
    t.plantings = PLANTS "A,kale,16,,2026-05-10,2026-09-30,leaf,compost\n"
                         "A,radish,,50 %,2026-05-10,2026-06-10,root,compost\n";
    const struct law_answer mixed = law_run(l, &t);
    assert_null(strstr(mixed.bed[0].sentences, "may catch part of that"));
}

/* Midwest guide (derived): 5.6 g/m2 for a new asparagus bed, 9.0 for an old one. */
static void a_new_bed_is_a_young_one(void **state)
{
    struct law *l = *state;
    struct law_text t = {.beds = "bed,length,width,texture\nA,10 m,1 m,loam\n",
                         .plantings =
                             PLANTS "A,asparagus,20,,2020-04-15,,nothing,standing\n"};
    const double old = law_likely(&law_run(l, &t).bed[0], "need/A/asparagus");
    t.plantings = PLANTS "A,asparagus,20,,2026-05-01,,nothing,standing\n";
    const struct law_answer first = law_run(l, &t);
    check_close(law_likely(&first.bed[0], "need/A/asparagus") / old, 5.6 / 9.0, 0.01,
                "MW-ASP; derived");
    assert_non_null(strstr(first.bed[0].sentences, "in its first season"));
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        LAW_TEST(rich_soil_lies_loose),     LAW_TEST(richer_is_never_poorer),
        LAW_TEST(no_more_taken_than_grown), LAW_TEST(one_after_another_is_told),
        LAW_TEST(a_new_bed_is_a_young_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
