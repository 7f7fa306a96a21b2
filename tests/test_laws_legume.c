/* Laws of legumes among other crops, and a whole mixed bed against the same bed worked by
 * hand, through the whole path. */
#include "law_garden.h"

static const char BED[] = "bed,length,width,texture\nA,8 ft,4 ft,loam\n";
static const char OM_4[] =
    "sample,date,beds,depth,organic_matter\nS,2026-04-01,A,0-15 cm,4 %\n";
static const char HEAD[] = "bed,crop,share,in_ground,ended,picked,rest,inoculated\n";
static const char CORN[] = "A,sweet corn,60 %,2026-05-10,2026-08-03,fruit,compost,\n";
static const char BEAN[] = "A,pole bean,40 %,2026-05-24,2026-08-25,green,compost,yes\n";

static struct law_answer grown(struct law *l, const char *rows, const char *tests)
{
    const struct law_text t = {.beds = BED,
                               .plantings = bt_arena_format(l->arena, "%s%s", HEAD, rows),
                               .soil_tests = tests};
    return law_run_with(l, &t, 4096, 1);
}

/* Beside corn a bean fixes a little more and passes a little on; the corn's need falls by
 * just what it is passed. */
static void bean_beside_corn(void **state)
{
    struct law *l = *state;
    const struct law_answer alone = grown(l, BEAN, OM_4);
    const struct law_answer corn = grown(l, CORN, OM_4);
    const struct law_answer both =
        grown(l, bt_arena_format(l->arena, "%s%s", CORN, BEAN), OM_4);
    const struct law_plant *sole = law_plant(&alone.bed[0], "pole bean");
    const struct law_plant *mixed = law_plant(&both.bed[0], "pole bean");
    const struct law_plant *host = law_plant(&both.bed[0], "sweet corn");
    check_close(sole->spread.transfer.p95, 0, 0, "nobody to pass anything on to");
    check_close(mixed->relative_yield, sole->relative_yield, 1e-12, "separate ground");
    check_close(
        mixed->spread.ndfa.likely / sole->spread.ndfa.likely, 1.05, 0.06,
        "company factor of beans, 0.83..1.05..1.16, on a pool the corn draws on; read");
    const double passed = mixed->spread.transfer.likely;
    assert_true(passed > 0);
    check_close(corn.bed[0].required.likely - host->spread.required.likely,
                passed / host->recovery, 1e-9, "what is passed on comes off the uptake");
    assert_true(mixed->spread.transfer_of_companions > 0 &&
                mixed->spread.transfer_of_companions < 0.1);
    /* Together they ask for more than the corn did alone: a bean is no source. */
    assert_true(both.bed[0].required.likely > corn.bed[0].required.likely);
    assert_true(mixed->spread.draw.likely > passed * 3);
}

/* The richer the soil in nitrate at sowing, the less is fixed; a bean stops before a pea.
 */
static void nitrate_lowers_fixation(void **state)
{
    struct law *l = *state;
    static const char *const reading[] = {"3 ppm", "12 ppm", "20 ppm", "50 ppm", "120 ppm"};
    double before[2] = {1, 1};
    for (size_t i = 0; i < sizeof reading / sizeof *reading; i++) {
        const char *tests = bt_arena_format(
            l->arena, "sample,date,beds,depth,nitrate_n\nN,2026-05-01,A,0-30 cm,%s\n",
            reading[i]);
        const char *crop[] = {"pole bean", "pea"};
        for (int k = 0; k < 2; k++) {
            const struct law_answer a =
                grown(l,
                      bt_arena_format(
                          l->arena, "A,%s,100 %%,2026-05-02,2026-07-20,green,compost,yes\n",
                          crop[k]),
                      tests);
            const double share = law_plant(&a.bed[0], crop[k])->spread.ndfa.mean;
            assert_true(i == 0 || share < before[k]);
            before[k] = share;
            if (i == 4 && k == 0)
                check_between(share, 0, 0.01,
                              "120 ppm of 468 kg/ha stop a bean; judgement");
        }
    }
    assert_true(before[0] < before[1]);
}

/* Compost and vetch before the bean count as well as a reading does (A17: 178 kg/ha leave
 * 0.25 of 0.38 . 1.14; here with the bean's own nitrate limit). */
static void the_pool_at_sowing_counts(void **state)
{
    struct law *l = *state;
    struct law_text t = {.beds = BED,
                         .soil_tests = OM_4,
                         .plantings =
                             bt_arena_format(l->arena, "%s%s%s", HEAD, CORN, BEAN)};
    const double poor = law_plant(&law_run(l, &t).bed[0], "pole bean")->spread.ndfa.likely;
    t.applications = "date,beds,material,amount,placement\n"
                     "2026-05-01,A,dairy compost,1 in,dug-in\n";
    const double fed = law_plant(&law_run(l, &t).bed[0], "pole bean")->spread.ndfa.likely;
    assert_true(fed < poor * 0.9);
    /* So does what comes between a nitrate test and sowing. */
    t.soil_tests = "sample,date,beds,depth,organic_matter,nitrate_n\n"
                   "S,2026-04-01,A,0-15 cm,4 %,\nN,2026-05-01,A,0-30 cm,,3 ppm\n";
    t.applications = NULL;
    const double read = law_plant(&law_run(l, &t).bed[0], "pole bean")->spread.ndfa.likely;
    t.applications = "date,beds,material,amount,placement\n"
                     "2026-05-02,A,dairy compost,1 in,dug-in\n";
    assert_true(law_plant(&law_run(l, &t).bed[0], "pole bean")->spread.ndfa.likely <
                read * 0.9);
    t.soil_tests = OM_4;
    /* What comes after sowing does not. */
    t.applications = "date,beds,material,amount,placement\n"
                     "2026-06-20,A,urea,20 g/m2,dug-in\n";
    check_close(law_plant(&law_run(l, &t).bed[0], "pole bean")->spread.ndfa.likely, poor,
                1e-9, "urea in June");
}

static struct law_answer inoculated(struct law *l, const char *word)
{
    return grown(
        l,
        bt_arena_format(
            l->arena, "A,pole bean,100 %%,2026-05-24,2026-08-25,green,compost,%s\n", word),
        OM_4);
}

/* Yes is the full share. No is what is there by itself; a blank is the same range and named
 * as assumed. */
static void inoculated_yes_no_blank(void **state)
{
    struct law *l = *state;
    const struct law_answer yes = inoculated(l, "yes"), no = inoculated(l, "no"),
                            blank = inoculated(l, "");
    const struct law_plant *y = law_plant(&yes.bed[0], "pole bean"),
                           *n = law_plant(&no.bed[0], "pole bean"),
                           *b = law_plant(&blank.bed[0], "pole bean");
    check_close(n->spread.ndfa.likely / y->spread.ndfa.likely, 0.75, 1e-9,
                "uninoculated beans 0.4..0.75..1; judgement from a read set");
    check_close(b->spread.ndfa.mean, n->spread.ndfa.mean, 1e-12, "not known is no promise");
    assert_non_null(strstr(blank.bed[0].sentences, "bacteria"));
    assert_null(strstr(no.bed[0].sentences, "bacteria"));
    assert_null(strstr(yes.bed[0].sentences, "bacteria"));
    assert_true(n->spread.required.likely > y->spread.required.likely);
}

/* A hungry bean fixes more: the need that counts is never above its draw. */
static void need_is_never_above_the_draw(void **state)
{
    struct law *l = *state;
    static const char *const name[] = {"need of pole bean",
                                       "draw of pole bean on the soil"};
    static double x[2][BT_BLOCK];
    const struct law_text t = {.beds = BED,
                               .soil_tests = OM_4,
                               .plantings =
                                   bt_arena_format(l->arena, "%s%s%s", HEAD, CORN, BEAN)};
    law_draw(l, &t, "A", 2, name, x);
    size_t less = 0;
    for (size_t i = 0; i < BT_BLOCK; i++) {
        assert_true(x[0][i] >= 0 && x[0][i] <= x[1][i] * (1 + 1e-12));
        less += x[0][i] < x[1][i] * 0.999;
    }
    assert_true(less > BT_BLOCK / 2);
}

/* ---- the bed worked by hand ---- */

static struct law_text the_bed(struct law *l)
{
    const double m2 = 32 * 0.09290304;
    return (struct law_text){
        .settings = "mean_temperature,11 degC\ntemperature_half_range,12.2 degC\n",
        .beds = BED,
        .plantings = bt_arena_format(
            l->arena,
            "bed,crop,plants,share,in_ground,ended,picked,rest,frame,fresh,dry_matter,n_"
            "percent,"
            "inoculated\n"
            "A,hairy vetch,,100 %%,2025-09-10,2026-04-25,nothing,dug-in,1 m2,2.2569 kg,16 "
            "%%,"
            "3.6 %%,\n"
            "A,sweet corn,%.0f,,2026-05-10,2026-08-03,fruit,compost,,,,,\n"
            "A,pole bean,%.0f,,2026-06-01,2026-08-30,green,compost,,,,,yes\n"
            "A,summer squash,%.0f,,2026-05-20,2026-08-28,fruit,compost,,,,,\n",
            0.6 * 4 * m2, 0.6 * 7.5 * m2, 0.4 * 1.7 * m2),
        .soil_tests = OM_4,
        .water = "source,nitrate,beds,amount,from,to\n"
                 "well,5 ppm NO3-N,A,12 in,2026-05-15,2026-09-15\n",
        .applications = "date,beds,material,amount,placement\n"
                        "2026-05-01,A,dairy compost,1 in,dug-in\n"
                        "2026-06-15,A,grass clippings,1 in,surface\n"};
}

static const struct bed_line {
    const char *line;
    double by_hand, low, high;
    const char *why;
} by_hand[] = {
    {"soil organic matter", 8.8,  8.0,  9.2,
     "2.2 g/m2 per 1 % on loam of 1.3, where 2.24 on 1.33"      },
    {"soil nitrate",        1.2,  0.7,  1.2,
     "default under a living cover, 2 ppm where 3 were taken"   },
    {"dairy compost",       13.1, 12.9, 13.3, "the same figures"},
    {"grass clippings",     7.5,  3.5,  9.0,
     "as laid 170 kg/m3 and 80 % moist, where 200 and 78 %"     },
    {"hairy vetch",         6.6,  6.5,  6.7,  "the same figures"},
    {"water from well",     1.5,  1.5,  1.55, "the same figures"},
    {"rain and dust",       0.33, 0.25, 0.35, "0.3"             },
};

/* A24, by hand and read off the review, all derived. The review works at its own densities;
 * here 7 corn, 13 beans and 2 squash are counted. Later readings let thinned plants grow
 * larger, raised the gain of mixing with a legume to 1.3 (corn 0.67, beans 0.40, squash
 * 0.23 of a full stand where it had 0.60, 0.39, 0.21), lowered clippings to 170 kg/m3 and
 * the nitrate under a living cover to 2 ppm, and let beans stop fixing at 250 kg/ha of
 * mineral nitrogen, where it had 350: so less is fixed here. Sign and size must hold. */
static void bed_of_three_by_hand(void **state)
{
    struct law *l = *state;
    const struct law_text t = the_bed(l);
    const struct law_answer a = law_run_with(l, &t, 8192, 1);
    const struct law_bed *b = &a.bed[0];
    for (size_t i = 0; i < sizeof by_hand / sizeof *by_hand; i++)
        check_between(law_likely(b, by_hand[i].line), by_hand[i].low, by_hand[i].high,
                      by_hand[i].why);
    check_between(b->required.likely, 15.8, 19.4, "A24: R 17.6");
    check_between(b->supply.likely, 34, 43, "A24: S 39.0");
    check_between(b->balance.likely, 15, 26, "A24: end +21.4");
    check_between(b->left.likely, 20, 32, "A24: left 27.5");
    check_between(b->required.mean, b->required.likely, 24, "demand is skewed");
    check_between(b->chance_of_shortfall, 0, 0.12, "A24: chance in time 0.03");
    check_between(law_at(b, law_day(6, 12), 0), 14, 22, "12 June +18.4");
    check_between(law_at(b, law_day(7, 10), 0), 12, 21, "10 July +17.1");
    check_between(law_at(b, law_day(8, 7), 0), 11, 20, "7 August +16.5");
    const struct law_plant *bean = law_plant(b, "pole bean");
    check_between(bean->spread.fixed.likely, 0.5, 1.5, "fixed by the beans 1.14");
    check_between(bean->spread.transfer.likely, 0.05, 0.2, "reaches the others 0.17");
    assert_int_equal(b->word, BT_MORE_THAN_ENOUGH);
}

static struct law_answer the_bed_with(struct law *l, bool vetch, bool rest)
{
    struct law_text t = the_bed(l);
    if (!vetch) { /* the first row after the header */
        const char *row = strstr(t.plantings, "A,hairy vetch");
        t.plantings = bt_arena_format(l->arena, "%.*s%s", (int)(row - t.plantings),
                                      t.plantings, strchr(row, '\n') + 1);
    }
    if (!rest)
        t.applications = t.water = NULL;
    return law_run_with(l, &t, 8192, 1);
}

/* The same bed with less: from enough to short as things are left out. The review's +1.8
 * and -0.8 with vetch, and -4.4 and -7.0 with nothing, hold the 1.5 of the water. */
static void bed_of_three_with_less(void **state)
{
    struct law *l = *state;
    const struct law_bed vetch = the_bed_with(l, true, false).bed[0];
    check_between(vetch.balance.likely, -3.5, 1.8, "A24: vetch only, end +1.8 with water");
    check_between(vetch.tightest.likely, -5, 0,
                  "A24: vetch only, tightest -0.8 with water");
    check_between(vetch.chance_of_shortfall, 0.55, 0.95, "A24: 0.65 in time with water");
    assert_true(vetch.tightest_date >= law_day(7, 15) &&
                vetch.tightest_date <= law_day(9, 1));
    const struct law_bed bare = the_bed_with(l, false, false).bed[0];
    check_between(bare.balance.likely, -10, -5, "A24: nothing, end -4.4 with water");
    check_between(bare.tightest.likely, -12, -6, "A24: nothing, tightest -7.0 with water");
    check_between(bare.chance_of_shortfall, 0.95, 1, "A24: 0.98 in time");
    assert_int_equal(bare.word, BT_SHORT);
    const struct law_bed fed = the_bed_with(l, false, true).bed[0];
    check_between(fed.chance_of_shortfall, 0.05, 0.4, "A24: no vetch, 0.12 in time");
}

int main(void)
{
    const struct CMUnitTest t[] = {
        LAW_TEST(bean_beside_corn),
        LAW_TEST(nitrate_lowers_fixation),
        LAW_TEST(the_pool_at_sowing_counts),
        LAW_TEST(inoculated_yes_no_blank),
        LAW_TEST(need_is_never_above_the_draw),
        LAW_TEST(bed_of_three_by_hand),
        LAW_TEST(bed_of_three_with_less),
    };
    return cmocka_run_group_tests_name("laws of legumes", t, NULL, NULL) != 0;
}
