/* Laws of shared ground and of time, through the whole path: how crops divide a bed, and
 * that a crop is fed only by what is there while it grows. */
#include "law_garden.h"

static const char BED[] = "bed,length,width,texture\nA,8 ft,4 ft,loam\n";
static const char OM_4[] =
    "sample,date,beds,depth,organic_matter\nS,2026-04-01,A,0-15 cm,4 %\n";

/* Thinning 1 and a gain of 1.2: the terms in which A8 and A9 are worked. */
static const char ROWS_HEAD[] = "key,quantity,low,likely,high,unit,ends,basis,scope,parent,"
                                "rank_correlation,source,seen,notes\n";

static const char *plain_mixing(struct law *l, double gain)
{
    return bt_arena_format(
        l->arena,
        "%sany,thinning,,1,,,,,garden,,,JUDGEMENT,judgement,test\n"
        "with legume,mixing_gain,,%g,,,,,garden,,,JUDGEMENT,judgement,test\n"
        "with vine,mixing_gain,,%g,,,,,garden,,,JUDGEMENT,judgement,test\n"
        "other,mixing_gain,,%g,,,,,garden,,,JUDGEMENT,judgement,test\n",
        ROWS_HEAD, gain, gain, gain);
}

/* Counts that make the given shares of a full stand on a field of 200 m2: corn 4, pole bean
 * 7.5 and summer squash 1.7 plants a m2. */
static const char FIELD[] = "bed,length,width,texture\nA,20 m,10 m,loam\n";

static const char *three(struct law *l, double corn, double bean, double squash)
{
    return bt_arena_format(l->arena,
                           "bed,crop,plants,in_ground,ended,picked\n"
                           "A,sweet corn,%.0f,2026-05-10,2026-08-10,fruit\n"
                           "A,pole bean,%.0f,2026-05-10,2026-08-10,green\n"
                           "A,summer squash,%.0f,2026-05-10,2026-08-10,fruit\n",
                           corn * 4 * 200, bean * 7.5 * 200, squash * 1.7 * 200);
}

static const struct mixed_case {
    double d[3], want[3];
    const char *source;
} mixed[] = {
    {{0.6, 0.2, 0.4}, {0.600, 0.200, 0.400}, "review 5, first row; derived" },
    {{0.6, 0.6, 0.4}, {0.600, 0.386, 0.214}, "A8; derived"                  },
    {{0.6, 0.6, 1.0}, {0.493, 0.296, 0.411}, "A9; derived"                  },
    {{1.0, 0.4, 0.5}, {0.805, 0.193, 0.201}, "review 5, fourth row; derived"},
    {{0.5, 0.3, 0.2}, {0.500, 0.300, 0.200}, "review 5, fifth row; derived" },
};

static void relative_yields_of_a_folder(void **state)
{
    struct law *l = *state;
    for (size_t i = 0; i < sizeof mixed / sizeof *mixed; i++) {
        const struct mixed_case *c = &mixed[i];
        const struct law_text t = {.beds = FIELD,
                                   .plantings = three(l, c->d[0], c->d[1], c->d[2]),
                                   .own_table = "intercrops.csv",
                                   .own_rows = plain_mixing(l, 1.2)};
        const struct law_answer a = law_run(l, &t);
        const char *const crop[] = {"sweet corn", "pole bean", "summer squash"};
        for (int k = 0; k < 3; k++) {
            const struct law_plant *p = law_plant(&a.bed[0], crop[k]);
            check_close(p->density, c->d[k], 1e-4, "density by count");
            check_close(p->relative_yield, c->want[k], 3e-3, c->source);
        }
    }
}

/* In every draw: together no more than mixing gains, none above its ceiling, none below
 * zero. */
static void relative_yields_keep_their_bounds(void **state)
{
    struct law *l = *state;
    static const double d[][3] = {
        {0.6, 0.6, 0.4 },
        {0.6, 0.6, 1.0 },
        {1.0, 0.4, 0.5 },
        {0.3, 0.3, 0.2 },
        {1.5, 0.1, 0.05}
    };
    const char *name[] = {"share of a full stand's yield of sweet corn",
                          "share of a full stand's yield of pole bean",
                          "share of a full stand's yield of summer squash",
                          "most that mixing gains, with legume"};
    static double x[4][BT_BLOCK];
    for (size_t i = 0; i < sizeof d / sizeof *d; i++) {
        const struct law_text t = {.beds = FIELD,
                                   .plantings = three(l, d[i][0], d[i][1], d[i][2])};
        const double sum_d = d[i][0] + d[i][1] + d[i][2];
        double ceiling[3], ceilings = 0;
        for (int k = 0; k < 3; k++) {
            ceiling[k] = d[i][k] / (0.6 + 0.4 * d[i][k]); /* thinning 0.6 */
            ceilings += ceiling[k];
        }
        law_draw(l, &t, "A", ceilings > 1 ? 4 : 3, name, x);
        for (size_t n = 0; n < BT_BLOCK; n++) {
            const double most = ceilings > 1 ? fmax(1, x[3][n]) : ceilings;
            assert_true(x[0][n] + x[1][n] + x[2][n] <= most + 1e-9);
            for (int k = 0; k < 3; k++)
                assert_true(x[k][n] >= 0 && x[k][n] <= ceiling[k] + 1e-9);
        }
        assert_true(sum_d > 0);
    }
}

/* Separate ground up to the whole bed is worth its share, whatever grows on the rest. */
static void shares_up_to_the_bed_stay(void **state)
{
    struct law *l = *state;
    static const double share[][3] = {
        {50, 30, 20},
        {60, 40, 0 },
        {10, 10, 10},
        {34, 33, 33}
    };
    for (size_t i = 0; i < sizeof share / sizeof *share; i++) {
        const double *s = share[i];
        const struct law_text t = {
            .beds = BED,
            .plantings =
                bt_arena_format(l->arena,
                                "bed,crop,share,in_ground,ended,picked\n"
                                "A,sweet corn,%g %%,2026-05-10,2026-08-10,fruit\n"
                                "A,pole bean,%g %%,2026-05-10,2026-08-10,green\n"
                                "A,summer squash,%g %%,2026-05-10,2026-08-10,fruit\n",
                                s[0], s[1], s[2])};
        const struct law_answer a = law_run(l, &t);
        for (size_t k = 0; k < a.bed[0].n_plants; k++)
            check_close(a.bed[0].plant[k].relative_yield, s[k] / 100, 1e-12,
                        "typed shares");
    }
}

static void order_in_the_bed_does_not_matter(void **state)
{
    struct law *l = *state;
    static const char *const row[] = {"A,sweet corn,9,2026-05-10,2026-08-10,fruit\n",
                                      "A,pole bean,14,2026-05-24,2026-08-25,green\n",
                                      "A,summer squash,2,2026-05-24,2026-09-05,fruit\n"};
    static const int order[][3] = {
        {0, 1, 2},
        {2, 1, 0},
        {1, 2, 0}
    };
    struct law_answer a[3];
    for (int i = 0; i < 3; i++) {
        const struct law_text t = {
            .beds = BED,
            .plantings =
                bt_arena_format(l->arena, "bed,crop,plants,in_ground,ended,picked\n%s%s%s",
                                row[order[i][0]], row[order[i][1]], row[order[i][2]]),
            .soil_tests = OM_4};
        a[i] = law_run(l, &t);
        check_close(a[i].bed[0].required.mean, a[0].bed[0].required.mean, 1e-12,
                    "required");
        check_close(a[i].bed[0].supply.mean, a[0].bed[0].supply.mean, 1e-12, "supply");
        check_close(a[i].bed[0].tightest.mean, a[0].bed[0].tightest.mean, 1e-11,
                    "tightest");
        check_close(a[i].bed[0].left.mean, a[0].bed[0].left.mean, 1e-11, "left");
        for (int k = 0; k < 3; k++)
            check_close(a[i].bed[0].plant[k].relative_yield,
                        law_plant(&a[0].bed[0], a[i].bed[0].plant[k].crop)->relative_yield,
                        1e-12, "share of a full stand's yield");
    }
}

/* ---- shares and plants ---- */

static struct law_answer by_shares(struct law *l, const char *own)
{
    const struct law_text t = {.beds = FIELD,
                               .plantings =
                                   "bed,crop,share,in_ground,ended,picked\n"
                                   "A,sweet corn,50 %,2026-05-10,2026-08-10,fruit\n"
                                   "A,pole bean,30 %,2026-05-10,2026-08-10,green\n"
                                   "A,summer squash,20 %,2026-05-10,2026-08-10,fruit\n",
                               .soil_tests = OM_4,
                               .own_table = own ? "intercrops.csv" : NULL,
                               .own_rows = own};
    return law_run(l, &t);
}

static struct law_answer by_plants(struct law *l, const char *own)
{
    const struct law_text t = {.beds = FIELD,
                               .plantings = three(l, 0.5, 0.3, 0.2),
                               .soil_tests = OM_4,
                               .own_table = own ? "intercrops.csv" : NULL,
                               .own_rows = own};
    return law_run(l, &t);
}

/* Without growth into the gaps the two ways of typing are one. With it, plants that stand
 * over the whole bed and not in blocks of their own grow into their neighbours' room: a
 * quarter more at most. */
static void shares_and_plants_agree(void **state)
{
    struct law *l = *state;
    const char *own = plain_mixing(l, 1.2);
    const struct law_answer s = by_shares(l, own), p = by_plants(l, own);
    check_close(p.bed[0].required.likely, s.bed[0].required.likely, 1e-6, "no thinning");
    check_close(p.bed[0].tightest.likely, s.bed[0].tightest.likely, 1e-5, "no thinning");
    const struct law_answer hs = by_shares(l, NULL), hp = by_plants(l, NULL);
    check_between(hp.bed[0].required.likely / hs.bed[0].required.likely, 1, 1.3,
                  "by plants against by shares, handbook's thinning");
}

/* ---- succession ---- */

/* Crops that follow each other are no company: both as if alone. */
static void succession_is_not_overlap(void **state)
{
    struct law *l = *state;
    const char *head = "bed,crop,share,in_ground,ended,picked,rest\n";
    const char *radish = "A,radish,100 %,2026-05-05,2026-06-05,root,compost\n";
    const char *kale = "A,kale,100 %,2026-06-20,2026-09-25,leaf,compost\n";
    struct law_text t = {.beds = BED, .soil_tests = OM_4};
    t.plantings = bt_arena_format(l->arena, "%s%s", head, radish);
    const struct law_answer first = law_run(l, &t);
    t.plantings = bt_arena_format(l->arena, "%s%s", head, kale);
    const struct law_answer second = law_run(l, &t);
    t.plantings = bt_arena_format(l->arena, "%s%s%s", head, radish, kale);
    const struct law_answer both = law_run(l, &t);
    check_close(both.bed[0].required.likely,
                first.bed[0].required.likely + second.bed[0].required.likely, 1e-12,
                "needs add up");
    for (size_t i = 0; i < 2; i++)
        check_close(both.bed[0].plant[i].relative_yield, 1, 1e-12, "a full stand each");
    /* Until the radish is out, the bed is that of the radish alone. */
    check_close(law_at(&both.bed[0], law_day(6, 5), 0),
                law_at(&first.bed[0], law_day(6, 5), 0), 1e-9,
                "the radish sees its own weeks");
    assert_true(first.bed[0].tightest.likely < first.bed[0].balance.likely);
}

/* A bed emptied on 10 June: what comes in July covers nothing of it. */
static void july_does_not_cover_june(void **state)
{
    struct law *l = *state;
    struct law_text t = {.beds = BED,
                         .soil_tests = OM_4,
                         .plantings =
                             "bed,crop,share,in_ground,ended,picked,rest\n"
                             "A,lettuce,100 %,2026-05-01,2026-06-10,leaf,compost\n"};
    const struct law_answer plain = law_run(l, &t);
    assert_true(plain.bed[0].shortfall.likely > 1);
    assert_int_equal(plain.bed[0].tightest_date, law_day(6, 10));
    t.applications =
        "date,beds,material,amount,placement\n2026-07-01,A,urea,40 g/m2,dug-in\n";
    const struct law_answer july = law_run(l, &t);
    check_close(july.bed[0].shortfall.mean, plain.bed[0].shortfall.mean, 1e-12,
                "urea in July");
    assert_true(july.bed[0].balance.likely > plain.bed[0].balance.likely + 10);
    t.applications =
        "date,beds,material,amount,placement\n2026-05-05,A,urea,40 g/m2,dug-in\n";
    assert_true(law_run(l, &t).bed[0].shortfall.mean < 0.2 * plain.bed[0].shortfall.mean);
}

/* ---- plants that are not whole crops ---- */

/* Pumpkins pulled on 10 July after catching beetles are not a crop of pumpkins. */
static void a_trap_crop_takes_its_part(void **state)
{
    struct law *l = *state;
    static const char rows[] = "bed,crop,share,in_ground,ended,expected,picked,rest\n"
                               "A,pumpkin,100 %%,2026-05-20,%s,%s,%s,%s\n";
    struct law_text t = {.beds = BED, .soil_tests = OM_4};
    t.plantings = bt_arena_format(l->arena, rows, "2026-09-12", "", "fruit", "compost");
    const struct law_answer whole = law_run(l, &t);
    t.plantings = bt_arena_format(l->arena, rows, "2026-07-10", "", "nothing", "dug-in");
    const struct law_answer pulled = law_run(l, &t);
    const double part = pulled.bed[0].required.likely / whole.bed[0].required.likely;
    check_between(part, 0.02, 0.35, "51 of 115 days of a crop that takes up late");
    check_close(law_at(&pulled.bed[0], law_day(7, 10), -1), pulled.bed[0].required.likely,
                1e-9, "nothing more once it is pulled");
    assert_true(law_likely(&pulled.bed[0], "residue of pumpkin") >= 0);
    /* With a harvest on record the same dates are those of an early crop, and whole. */
    t.plantings =
        bt_arena_format(l->arena, rows, "2026-07-10", "2.5 kg/m2", "fruit", "compost");
    check_close(law_run(l, &t).bed[0].required.likely, whole.bed[0].required.likely, 1e-9,
                "a stated harvest is taken as it is");
}

/* A perennial's need lies between what leaves with nothing lost in the plant and its whole
 * uptake; its tops stand and are nobody's residue. */
static void a_perennial_recycles(void **state)
{
    struct law *l = *state;
    const struct law_text t = {.beds = BED,
                               .soil_tests = OM_4,
                               .plantings =
                                   "bed,crop,share,in_ground,ended,picked,rest\n"
                                   "A,asparagus,100 %,2022-04-20,,leaf,standing\n"};
    const char *name[] = {"need of asparagus", "uptake of asparagus",
                          "nitrogen that leaves with the harvest of asparagus",
                          "share the roots of asparagus catch",
                          "share recycled in the plant of asparagus"};
    static double x[5][BT_BLOCK];
    law_draw(l, &t, "A", 5, name, x);
    for (size_t i = 0; i < BT_BLOCK; i++) {
        const double most = x[1][i] / x[3][i];
        const double least = (x[2][i] + (1 - x[4][i]) * (x[1][i] - x[2][i])) / x[3][i];
        assert_true(x[0][i] <= most * (1 + 1e-12) && x[0][i] >= least * (1 - 1e-12));
    }
    const struct law_answer a = law_run(l, &t);
    check_between(a.bed[0].required.likely, 5.4, 14.5, "A21: ends 5.4 and 14.5; derived");
    assert_null(law_find(&a.bed[0], "residue"));
    assert_null(law_find(&a.bed[0], "slow release"));
}

/* ---- beds that are not ground ---- */

static void a_filled_bed_has_its_filling(void **state)
{
    struct law *l = *state;
    struct law_text t = {.beds = "bed,length,width,kind,depth\nA,8 ft,4 ft,mix,12 in\n",
                         .plantings = "bed,crop,plants,in_ground,ended,picked,rest\n"
                                      "A,tomato,3,2026-05-18,2026-09-20,fruit,compost\n"};
    const struct law_answer open = law_run(l, &t);
    assert_non_null(law_find(&open.bed[0], "soil organic matter"));
    t.applications = "date,beds,material,amount,placement\n"
                     "2026-04-20,A,yard compost,6 in,filling\n";
    const struct law_answer filled = law_run(l, &t);
    assert_null(law_find(&filled.bed[0], "soil organic matter"));
    assert_true(fabs(law_likely(&filled.bed[0], "yard compost")) > 1);
    assert_non_null(strstr(filled.bed[0].sentences, "Filled bed"));
    /* Compost that is merely dug in leaves the line where it was. */
    t.applications = "date,beds,material,amount,placement\n"
                     "2026-04-20,A,yard compost,1 in,dug-in\n";
    assert_non_null(law_find(&law_run(l, &t).bed[0], "soil organic matter"));
}

/* Each plant has its own pot: a second kind in other pots takes nothing from the neediest,
 * and twice as many pots change nothing in one. */
static void pots_stand_alone(void **state)
{
    struct law *l = *state;
    static const char beds[] = "bed,kind,pots,pot_volume\nA,pots,%d,20 L\n";
    struct law_text t = {.beds = bt_arena_format(l->arena, beds, 6),
                         .plantings =
                             "bed,crop,plants,in_ground,ended,picked,rest\n"
                             "A,tomato,6 pots x 1,2026-05-18,2026-09-20,fruit,compost\n"};
    const struct law_answer alone = law_run(l, &t);
    t.plantings = "bed,crop,plants,in_ground,ended,picked,rest\n"
                  "A,tomato,3 pots x 1,2026-05-18,2026-09-20,fruit,compost\n"
                  "A,basil,3 pots x 1,2026-05-18,2026-09-20,leaf,compost\n";
    const struct law_answer two = law_run(l, &t);
    assert_true(alone.bed[0].required.likely > 1);
    check_close(two.bed[0].required.likely, alone.bed[0].required.likely, 1e-12,
                "the neediest pot gives the word");
    assert_int_equal(two.bed[0].n_plants, 1);
    t.beds = bt_arena_format(l->arena, beds, 12);
    t.plantings = "bed,crop,plants,in_ground,ended,picked,rest\n"
                  "A,tomato,12 pots x 1,2026-05-18,2026-09-20,fruit,compost\n";
    check_close(law_run(l, &t).bed[0].balance.likely, alone.bed[0].balance.likely, 1e-9,
                "more pots of the same");
}

int main(void)
{
    const struct CMUnitTest t[] = {
        LAW_TEST(relative_yields_of_a_folder),
        LAW_TEST(relative_yields_keep_their_bounds),
        LAW_TEST(shares_up_to_the_bed_stay),
        LAW_TEST(order_in_the_bed_does_not_matter),
        LAW_TEST(shares_and_plants_agree),
        LAW_TEST(succession_is_not_overlap),
        LAW_TEST(july_does_not_cover_june),
        LAW_TEST(a_trap_crop_takes_its_part),
        LAW_TEST(a_perennial_recycles),
        LAW_TEST(a_filled_bed_has_its_filling),
        LAW_TEST(pots_stand_alone),
    };
    return cmocka_run_group_tests_name("laws of ground and time", t, NULL, NULL) != 0;
}
