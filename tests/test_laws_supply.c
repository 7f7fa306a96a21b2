/* Laws of supply, through the whole path: residues by the date they are cut, composts and
 * the sample of organic matter, nitrate tests that start the account, tie-up, water. */
#include "law_garden.h"

static const char BED[] = "bed,length,width,texture\nA,8 ft,4 ft,loam\n";
static const char PLANT_HEAD[] = "bed,crop,share,in_ground,ended,expected,picked,rest,"
                                 "frame,fresh,dry_matter,n_percent\n";
static const char SPREAD_HEAD[] = "date,beds,material,amount,placement\n";
static const char TEST_HEAD[] = "sample,date,beds,depth,organic_matter,nitrate_n\n";

/* 13 g/m2 of shoot nitrogen at 3.6 %: 361 g of dry matter, 2.257 kg fresh at 16 %. */
static const char *vetch(struct law *l, const char *sown, const char *cut, const char *rest)
{
    return bt_arena_format(
        l->arena, "%sA,hairy vetch,,%s,%s,,nothing,%s,1 m2,2.2569 kg,16 %%,3.6 %%\n",
        PLANT_HEAD, sown, cut, rest);
}

static double fast_and_slow(struct law *l, const struct law_text *t, const char *crop,
                            double *out_slow)
{
    const struct law_answer a = law_run(l, t);
    const char *slow = bt_arena_format(l->arena, "slow release of the residue of %s", crop);
    const char *fast = bt_arena_format(l->arena, "/residue of %s", crop);
    *out_slow = law_find(&a.bed[0], slow) ? law_likely(&a.bed[0], slow) : 0;
    return law_find(&a.bed[0], fast) ? law_likely(&a.bed[0], fast) : 0;
}

/* A3: turned in this spring; A4: turned in a spring earlier. */
static void vetch_this_spring_or_last(void **state)
{
    struct law *l = *state;
    double slow;
    struct law_text t = {.beds = BED,
                         .plantings = vetch(l, "2025-09-10", "2026-04-25", "dug-in")};
    check_close(fast_and_slow(l, &t, "hairy vetch", &slow), 6.64, 5e-3,
                "A3: 13 g at 3.6 % turned in on 25 April; derived");
    check_close(slow, 0, 0, "A3: the slow part is next season's");
    t.plantings = vetch(l, "2025-09-10", "2026-04-25", "left");
    check_close(fast_and_slow(l, &t, "hairy vetch", &slow), 3.32, 5e-3,
                "A3: left on the surface; derived");
    t.plantings = vetch(l, "2024-09-10", "2025-04-25", "dug-in");
    const double fast = fast_and_slow(l, &t, "hairy vetch", &slow);
    check_close(slow, 0.91, 6e-3, "A4: turned in a year earlier, roots 1.4; derived");
    check_between(fast, 0, 0.02, "A4: what came fast fed last season's crops; derived");
}

/* A5: bean vines turned in on 15 September of last year: what came before winter survives
 * in part. The review's 0.5 survives; the table, read later, has 0.4 on bare loam. */
static void vines_turned_in_before_winter(void **state)
{
    struct law *l = *state;
    double slow;
    /* 4.0 g/m2 at 2.4 %: 166.7 g of dry matter, 1.1111 kg fresh at 15 %. */
    const struct law_text t = {
        .beds = BED,
        .plantings =
            bt_arena_format(l->arena,
                            "%sA,snap bean,,2025-07-10,2025-09-15,,nothing,dug-in,1 m2,"
                            "1.1111 kg,15 %%,2.4 %%\n",
                            PLANT_HEAD)};
    const double fast = fast_and_slow(l, &t, "snap bean", &slow);
    check_close(fast, 1.31 * 0.4, 2e-2, "A5: fast 1.31, kept 0.4; derived");
    check_between(fast + slow, 0.6, 0.95, "A5: 0.86 with 0.5 kept; derived");
}

/* ---- composts and the sample of organic matter ---- */

static struct law_answer with_compost(struct law *l, const char *compost,
                                      const char *sampled)
{
    const struct law_text t = {
        .beds = BED,
        .plantings = bt_arena_format(
            l->arena, "%sA,sweet corn,100 %%,2026-05-10,2026-08-03,,fruit,,,,,\n",
            PLANT_HEAD),
        .soil_tests =
            bt_arena_format(l->arena, "%sS,%s,A,0-15 cm,4 %%,\n", TEST_HEAD, sampled),
        .applications =
            compost ? bt_arena_format(l->arena, "%s%s,A,dairy compost,1 in,dug-in\n",
                                      SPREAD_HEAD, compost)
                    : NULL};
    return law_run(l, &t);
}

/* A10, and 13.08 of A2: one inch of dairy compost, T = 145.3. */
static void compost_by_its_date(void **state)
{
    struct law *l = *state;
    const struct law_answer now = with_compost(l, "2026-05-01", "2026-04-01");
    check_close(law_likely(&now.bed[0], "dairy compost"), 13.08, 5e-3,
                "A2: one inch of dairy compost this spring; derived");
    const struct law_answer after = with_compost(l, "2025-05-01", "2026-04-01");
    check_close(law_likely(&after.bed[0], "dairy compost"), 4.36, 6e-3,
                "A10: a year old, organic matter sampled after; derived");
    const struct law_answer before = with_compost(l, "2025-05-01", "2025-04-01");
    check_close(law_likely(&before.bed[0], "dairy compost"), 7.26, 6e-3,
                "A10: a year old, sampled before; derived");
    const struct law_answer two = with_compost(l, "2024-05-01", "2026-04-01");
    check_close(law_likely(&two.bed[0], "dairy compost"), 1.45, 6e-3,
                "A10: two years old; derived");
}

/* Earlier compost that the sample has seen raises supply by its excess only. */
static void earlier_compost_adds_the_excess(void **state)
{
    struct law *l = *state;
    const double plain = with_compost(l, NULL, "2026-04-01").bed[0].supply.likely;
    const double with = with_compost(l, "2025-05-01", "2026-04-01").bed[0].supply.likely;
    check_close(with - plain, 145.3 * 0.03, 6e-3, "145.3 g . (0.05 - 0.02)");
    const double fourth = with_compost(l, "2023-05-01", "2026-04-01").bed[0].supply.likely;
    check_close(fourth, plain, 1e-9, "the fourth year gives less than organic matter pays");
}

/* A11: 4 % sampled a week after digging in one inch is 2.29 % without it. */
static void sample_just_after_compost(void **state)
{
    struct law *l = *state;
    const char *name[] = {"organic matter without this season's compost"};
    static double x[1][BT_BLOCK];
    const struct law_text t = {
        .beds = BED,
        .plantings = bt_arena_format(
            l->arena, "%sA,sweet corn,100 %%,2026-05-20,2026-08-10,,fruit,,,,,\n",
            PLANT_HEAD),
        .soil_tests =
            bt_arena_format(l->arena, "%sS,2026-05-08,A,0-15 cm,4 %%,\n", TEST_HEAD),
        .applications = bt_arena_format(
            l->arena, "%s2026-05-01,A,dairy compost,1 in,dug-in\n", SPREAD_HEAD)};
    law_draw(l, &t, "A", 1, name, x);
    for (size_t i = 0; i < BT_BLOCK; i++)
        assert_true(x[0][i] >= 0 && x[0][i] < 0.04);
    const double full = law_likely(&with_compost(l, "2026-05-01", "2026-04-01").bed[0],
                                   "soil organic matter");
    const struct law_answer a = law_run(l, &t);
    check_close(law_likely(&a.bed[0], "soil organic matter") / full, 2.29 / 4, 2e-2,
                "A11: 2.29 of 4 %; derived");
    check_close(law_likely(&a.bed[0], "dairy compost"), 13.08, 5e-3,
                "and keeps its own line");
}

/* ---- nitrate tests ---- */

static const char BOSTON[] = "mean_temperature,11 degC\ntemperature_half_range,12.2 degC\n";

/* Sole sweet corn from 10 May to 3 August, where its account ends. */
static struct law_text corn_until_harvest(struct law *l, const char *om,
                                          const char *nitrate)
{
    return (struct law_text){
        .settings = BOSTON,
        .beds = BED,
        .plantings = bt_arena_format(
            l->arena, "%sA,sweet corn,100 %%,2026-05-10,2026-08-03,,fruit,,,,,\n",
            PLANT_HEAD),
        .soil_tests = bt_arena_format(
            l->arena, "%sS,2026-04-01,A,0-15 cm,%s,\n%s", TEST_HEAD, om,
            nitrate ? bt_arena_format(l->arena, "J,2026-06-14,A,0-30 cm,,%s\n", nitrate)
                    : ""),
        .season_end = law_day(8, 3)};
}

/* A12. The table's release per 1 % is 2.2 (the review's 2.24) and its loam weighs 1.3
 * (1.33): organic matter to come is 3.2 instead of 3.32, and rain brings 0.2. */
static void june_test_starts_the_account(void **state)
{
    struct law *l = *state;
    struct law_text t = corn_until_harvest(l, "4 %", "20 ppm");
    t.plantings = bt_arena_format(
        l->arena, "%sA,sweet corn,100 %%,2026-05-10,2026-08-03,,fruit,,,,,\n",
        vetch(l, "2025-09-10", "2026-04-25", "dug-in"));
    t.applications = bt_arena_format(l->arena, "%s2026-05-01,A,dairy compost,1 in,dug-in\n",
                                     SPREAD_HEAD);
    const struct law_answer a = law_run(l, &t);
    const struct law_bed *b = &a.bed[0];
    assert_int_equal(b->date[0], law_day(6, 14));
    check_close(law_likely(b, "soil nitrate"), 7.80, 1e-6, "A12: reading; derived");
    check_close(law_likely(b, "soil organic matter"), 3.32, 0.06,
                "A12: organic matter; derived");
    check_close(law_likely(b, "residue of hairy vetch"), 0.66, 0.1, "A12: vetch; derived");
    check_close(law_likely(b, "dairy compost"), 1.18, 0.05, "A12: compost; derived");
    check_close(law_likely(b, "need/A/sweet corn"), 13.19, 5e-3, "A12: corn; derived");
    check_between(b->balance.likely, -0.6, 0.4, "A12: balance -0.2; derived");
    check_close(law_at(b, law_day(6, 14), 1), 7.80, 1e-6,
                "nothing but the reading is there");
}

static double break_even_ppm(struct law *l, const char *om)
{
    struct law_text t = corn_until_harvest(l, om, "10 ppm");
    const double low = law_run(l, &t).bed[0].balance.likely;
    t = corn_until_harvest(l, om, "40 ppm");
    const double high = law_run(l, &t).bed[0].balance.likely;
    assert_true(low < 0 && high > 0);
    return 10 + 30 * -low / (high - low);
}

/* A13: the June reading with which sweet corn just breaks even. Published critical
 * readings: 25 to 30 ppm (read). */
static void break_even_reading(void **state)
{
    struct law *l = *state;
    const double thin = break_even_ppm(l, "2.5 %"), rich = break_even_ppm(l, "4 %");
    check_close(thin, 28.5, 0.05, "A13: 2.5 % organic matter; derived");
    check_close(rich, 25.3, 0.05, "A13: 4 % organic matter; derived");
    check_between(thin, 22, 32, "A13 against the published critical reading");
    check_between(rich, 22, 32, "A13 against the published critical reading");
}

/* What came and went before the test is in the reading: it changes nothing any more. */
static void before_the_test_is_in_the_reading(void **state)
{
    struct law *l = *state;
    struct law_text t = corn_until_harvest(l, "4 %", "20 ppm");
    const struct law_answer plain = law_run(l, &t);
    t.applications =
        bt_arena_format(l->arena, "%s2026-05-12,A,urea,15 g/m2,dug-in\n", SPREAD_HEAD);
    const struct law_answer early = law_run(l, &t);
    check_close(early.bed[0].balance.likely, plain.bed[0].balance.likely, 1e-12,
                "urea a month before the test");
    t.applications =
        bt_arena_format(l->arena, "%s2026-06-05,A,urea,15 g/m2,dug-in\n", SPREAD_HEAD);
    const struct law_answer young = law_run(l, &t);
    check_close(young.bed[0].balance.likely - plain.bed[0].balance.likely, 15 * 0.46 * 0.94,
                1e-6, "urea nine days before: not nitrate yet");
    assert_non_null(strstr(young.bed[0].sentences, "less than three weeks"));
    t.applications = NULL;
    t.plantings = bt_arena_format(
        l->arena, "%sA,radish,100 %%,2026-04-20,2026-05-05,,root,,,,,\n", t.plantings);
    const struct law_answer after = law_run(l, &t);
    check_close(after.bed[0].balance.likely, plain.bed[0].balance.likely, 1e-12,
                "a radish that was out before the test");
}

/* ---- tie-up ---- */

static struct law_answer with_mulch(struct law *l, const char *rows)
{
    const struct law_text t = {
        .beds = BED,
        .plantings = bt_arena_format(
            l->arena, "%sA,sweet corn,100 %%,2026-05-10,2026-08-03,,fruit,,,,,\n",
            PLANT_HEAD),
        .soil_tests =
            bt_arena_format(l->arena, "%sS,2026-04-01,A,0-15 cm,4 %%,\n", TEST_HEAD),
        .applications = rows ? bt_arena_format(l->arena, "%s%s", SPREAD_HEAD, rows) : NULL};
    return law_run(l, &t);
}

/* A little straw dug in takes its 5 g/kg, on the surface a tenth; much straw takes what
 * there is and no more. */
static void straw_takes_what_there_is(void **state)
{
    struct law *l = *state;
    const struct law_answer few = with_mulch(l, "2026-05-08,A,straw,0.1 kg/m2,dug-in\n");
    check_close(law_likely(&few.bed[0], "straw"), -0.1 * 0.88 * 5, 2e-3,
                "5 g/kg of dry straw");
    const struct law_answer top = with_mulch(l, "2026-05-08,A,straw,0.1 kg/m2,surface\n");
    check_close(law_likely(&top.bed[0], "straw"), -0.1 * 0.88 * 5 * 0.1, 2e-3,
                "a tenth on the surface");
    const struct law_answer much = with_mulch(l, "2026-05-08,A,straw,20 kg/m2,dug-in\n");
    const double there = law_at(&much.bed[0], law_day(5, 8), 0);
    assert_true(there > 1 && there < 4);
    check_close(law_likely(&much.bed[0], "straw"), -there, 2e-3, "all there is on the day");
    for (size_t k = 0; k < much.bed[0].n_dates; k++)
        assert_true(law_at(&much.bed[0], much.bed[0].date[k], 1) >= -1e-9);
}

/* Two rows of straw cannot take the same nitrogen twice. */
static void two_rows_tie_up_once(void **state)
{
    struct law *l = *state;
    const struct law_answer two =
        with_mulch(l, "2026-05-08,A,straw,20 kg/m2,dug-in\n"
                      "2026-05-08,A,wood chips,20 kg/m2,dug-in\n");
    const double taken =
        -law_likely(&two.bed[0], "straw") - law_likely(&two.bed[0], "wood chips");
    check_close(taken, law_at(&two.bed[0], law_day(5, 8), 0), 2e-3, "all there is, once");
    for (size_t k = 0; k < two.bed[0].n_dates; k++)
        assert_true(law_at(&two.bed[0], two.bed[0].date[k], 1) >= -1e-9);
}

/* Two inches of wood chips dug in: 2 g/kg of dry wood, held by what there is. */
static void wood_chips(void **state)
{
    struct law *l = *state;
    const char *free = "net nitrogen of wood chips, 8 May, without a limit";
    static double x[1][BT_BLOCK];
    const struct law_text t = {
        .beds = BED,
        .plantings = bt_arena_format(
            l->arena, "%sA,sweet corn,100 %%,2026-05-10,2026-08-03,,fruit,,,,,\n",
            PLANT_HEAD),
        .applications = bt_arena_format(
            l->arena, "%s2026-05-08,A,wood chips,10 kg/m2,dug-in\n", SPREAD_HEAD)};
    law_draw(l, &t, "A", 1, &free, x);
    size_t giving = 0; /* the high end, nothing tied up, is a P95 */
    for (size_t i = 0; i < BT_BLOCK; i++) {
        check_between(x[0][i], -60, 6,
                      "review 10: 10 kg/m2 dry -20 (0 to -50), not -114; derived");
        giving += x[0][i] > 0;
    }
    assert_true(giving < BT_BLOCK / 10);
    const struct law_answer a = law_run(l, &t);
    assert_true(law_likely(&a.bed[0], "wood chips") < -0.5);
    assert_true(law_likely(&a.bed[0], "wood chips") > -5);
}

/* Half of what straw dug in last year tied up comes back, not more. */
static void tie_up_is_paid_back(void **state)
{
    struct law *l = *state;
    const struct law_answer a = with_mulch(l, "2025-05-08,A,straw,0.1 kg/m2,dug-in\n");
    check_close(law_likely(&a.bed[0], "straw"), 0.1 * 0.88 * 5 * 0.5, 6e-3, "half of it");
    const struct law_answer much = with_mulch(l, "2025-05-08,A,straw,20 kg/m2,dug-in\n");
    check_between(law_likely(&much.bed[0], "straw"), 0.3, 1.5,
                  "half of what a soil can have lost");
}

/* On top only what touches the soil ties up: under 0.5 g/m2 (Cochran and others 1980;
 * read), however thick, however many kinds, and half of it comes back the season after. */
static void thick_mulch_on_top(void **state)
{
    struct law *l = *state;
    static const char *const rows[] = {"A,straw,4 in,surface\n", "A,straw,8 in,surface\n",
                                       "A,wood chips,3 in,surface\n",
                                       "A,shredded leaves,3 in,surface\n"};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *now = bt_arena_format(l->arena, "2026-05-08,%s", rows[i]);
        const struct law_answer a = with_mulch(l, now);
        const struct law_line *line = law_find(&a.bed[0], "supply/A/");
        for (size_t k = 0; k < a.bed[0].n_lines; k++)
            if (strstr(a.bed[0].line[k].id, ", 8 May"))
                line = &a.bed[0].line[k];
        check_close(line->total.likely, -0.25, 2e-3, rows[i]);
        assert_true(line->total.p05 >= -0.5);
        const struct law_answer next =
            with_mulch(l, bt_arena_format(l->arena, "2025-05-08,%s", rows[i]));
        check_close(law_likely(&next.bed[0], "8 May 2025"), 0.125, 1e-2, rows[i]);
        assert_non_null(strstr(next.bed[0].sentences, "is taken to come back"));
    }
    const struct law_answer two = with_mulch(l, "2026-05-08,A,straw,4 in,surface\n"
                                                "2026-05-08,A,wood chips,3 in,surface\n");
    check_close(law_likely(&two.bed[0], "8 May"), -0.25, 2e-3,
                "one layer touches the soil");
}

/* Mulch with nitrogen to give: 3..5..7 % of it the season after (SEO2006, derived), halved
 * each year, whether it lay on top or was dug in; what the organic-matter line pays comes
 * off once a sample has seen it. */
static void mulch_in_later_seasons(void **state)
{
    struct law *l = *state;
    const double n =
        1000 * 0.2 * 0.032; /* of 1 kg/m2 fresh clippings, 80 % water, 3.2 % N */
    static const struct {
        const char *row, *line;
        double share; /* of what they held */
        const char *why;
    } later[] = {
        {"2025-05-20,A,grass clippings,1 kg/m2,surface\n",
         "slow release of grass clippings",                                                   0.05,
         "5 % of what they held, Seo and others 2006; derived"                                                                                              },
        {"2025-05-20,A,grass clippings,1 kg/m2,dug-in\n",  "slow release of grass clippings",
         0.03,                                                                                       "less the 2 % that organic matter pays, as a compost's"},
        {"2024-05-20,A,grass clippings,1 kg/m2,surface\n",
         "slow release of grass clippings",                                                   0.005, "half of 5 %, less the same"                           },
        {"2025-05-20,A,grass hay,0.4961 kg/m2,surface\n",  "slow release of grass hay",       0.05,
         "hay, 1.5 % N, at the break-even: as much nitrogen"                                                                                                },
    };
    for (size_t i = 0; i < sizeof later / sizeof *later; i++) {
        const struct law_answer a = with_mulch(l, later[i].row);
        check_close(law_likely(&a.bed[0], later[i].line), later[i].share * n, 1e-2,
                    later[i].why);
    }
    const struct law_answer late =
        with_mulch(l, "2025-09-20,A,grass clippings,1 kg/m2,dug-in\n");
    const double quick = 200 * 0.875 * (0.032 - 0.015), by_autumn = 1 - exp(-0.046 * 10);
    check_close(law_likely(&late.bed[0], "kept over winter"), quick * (1 - by_autumn) * 0.4,
                1e-2, "what came after the season's end, kept in part; derived");
}

/* ---- water ---- */

static double from_water(struct law *l, const char *nitrate, const char *amount)
{
    const struct law_text t = {
        .beds = BED,
        .plantings = bt_arena_format(
            l->arena, "%sA,sweet corn,100 %%,2026-05-10,2026-08-03,,fruit,,,,,\n",
            PLANT_HEAD),
        .water = bt_arena_format(l->arena,
                                 "source,nitrate,beds,amount,from,to\n"
                                 "well,%s,A,%s,2026-06-01,2026-09-01\n",
                                 nitrate, amount)};
    return law_likely(&law_run(l, &t).bed[0], "water from well");
}

static void nitrate_in_water(void **state)
{
    struct law *l = *state;
    const double n = from_water(l, "5 ppm NO3-N", "12 in");
    check_close(n, 12 * 0.0254 * 5, 1e-9,
                "12 in of 5 mg/L NO3-N: 1.52 g/m2, review 14; derived");
    check_close(from_water(l, "5 mg/L NO3-N", "304.8 mm"), n, 1e-9, "the same in metric");
    check_close(from_water(l, "5 ppm NO3", "12 in"), n * 14.0067 / 62.0049, 1e-4,
                "ppm of nitrate: 0.226 of it is N; arithmetic");
    const double m2 = 32 * 0.09290304;
    check_close(from_water(l, "5 ppm NO3-N",
                           bt_arena_format(l->arena, "%.6f m3", 12 * 0.0254 * m2)),
                n, 1e-5, "the same by volume on the bed");
    check_close(from_water(l, "5 ppm NO3-N", "7 mm/week"), 92 * 1e-3 * 5, 1e-3,
                "92 days at 7 mm a week");
}

/* A season from September to April counts what is spread in both of its years, whichever
 * of them names it. */
static void season_over_new_year(void **state)
{
    static const int named[] = {2026, 2027, -1};
    struct law *l = *state;
    struct law_text t = {
        .beds = BED,
        .start = law_day(9, 15),
        .season_end = bt_day(2027, 4, 30),
        .plantings = bt_arena_format(
            l->arena, "%sA,kale,,2026-09-20,2027-04-20,,leaf,left,,,,\n", PLANT_HEAD),
        .applications = bt_arena_format(l->arena,
                                        "%s2026-09-01,A,dairy compost,3 cm,dug-in\n"
                                        "2027-01-10,A,blood meal,300 g,dug-in\n"
                                        "2026-03-01,A,yard compost,3 cm,dug-in\n",
                                        SPREAD_HEAD)};
    double meal = 0, compost = 0, need = 0;
    for (size_t i = 0; i < sizeof named / sizeof *named; i++) {
        t.named = named[i];
        const struct law_answer a = law_run(l, &t);
        const struct law_bed *b = &a.bed[0];
        assert_non_null(law_find(b, "dairy compost, 1 September 2026"));
        assert_non_null(law_find(b, "blood meal, 10 January 2027"));
        assert_non_null(law_find(b, "yard compost, 1 March 2026"));
        if (i > 0) {
            check_close(law_likely(b, "blood meal, 10 January 2027"), meal, 1e-12, "equal");
            check_close(law_likely(b, "dairy compost, 1 September 2026"), compost, 1e-12,
                        "equal");
            check_close(b->required.likely, need, 1e-12, "equal");
        }
        meal = law_likely(b, "blood meal, 10 January 2027");
        compost = law_likely(b, "dairy compost, 1 September 2026");
        need = b->required.likely;
    }
    check_between(meal, 1, 100, "300 g of 10 to 15 % on 2.97 m2; derived");
}

int main(void)
{
    const struct CMUnitTest t[] = {
        LAW_TEST(vetch_this_spring_or_last),
        LAW_TEST(vines_turned_in_before_winter),
        LAW_TEST(compost_by_its_date),
        LAW_TEST(earlier_compost_adds_the_excess),
        LAW_TEST(sample_just_after_compost),
        LAW_TEST(june_test_starts_the_account),
        LAW_TEST(break_even_reading),
        LAW_TEST(before_the_test_is_in_the_reading),
        LAW_TEST(straw_takes_what_there_is),
        LAW_TEST(two_rows_tie_up_once),
        LAW_TEST(wood_chips),
        LAW_TEST(tie_up_is_paid_back),
        LAW_TEST(thick_mulch_on_top),
        LAW_TEST(mulch_in_later_seasons),
        LAW_TEST(nitrate_in_water),
        LAW_TEST(season_over_new_year),
    };
    return cmocka_run_group_tests_name("laws of supply", t, NULL, NULL) != 0;
}
