/* Laws of the ledger, through the whole path: nitrogen that is fixed, moved or spread is
 * counted once, wherever it goes. */
#include "law_garden.h"

static const char ONE_BED[] = "bed,length,width,texture\nA,4 m,2 m,loam\n";
static const char OM_4[] =
    "sample,date,beds,depth,organic_matter\nS,2026-04-01,A,0-15 cm,4 %\n";

/* ---- what legumes fix ---- */

static const struct legume_case {
    const char *legume, *rest_of_row, *company;
} legumes[] = {
    {"pole bean",      "60 %,2026-05-28,2026-08-28,green,left,yes",   "sweet corn"},
    {"pole bean",      "60 %,2026-05-28,2026-08-28,dry,left,no",      "sweet corn"},
    {"snap bean",      "100 %,2026-05-28,2026-07-28,green,dug-in,",   NULL        },
    {"pea",            "50 %,2026-05-02,2026-07-05,green,left,",      "lettuce"   },
    {"faba bean",      "80 %,2026-05-02,2026-08-05,dry,left,yes",     "field corn"},
    {"white clover",   "100 %,2026-05-02,2026-09-20,nothing,left,",   "sweet corn"},
    {"crimson clover", "100 %,2026-05-02,2026-08-20,nothing,dug-in,", NULL        },
};

static void fixed_adds_up(struct law *l, const struct legume_case *c)
{
    const char *rows = bt_arena_format(
        l->arena, "bed,crop,share,in_ground,ended,picked,rest,inoculated\nA,%s,%s\n",
        c->legume, c->rest_of_row);
    if (c->company)
        rows = bt_arena_format(l->arena, "%sA,%s,40 %%,2026-05-10,2026-08-15,,,\n", rows,
                               c->company);
    const struct law_text t = {.beds = ONE_BED, .plantings = rows, .soil_tests = OM_4};
    const char *what[] = {"nitrogen fixed of %s",
                          "fixed nitrogen out with the harvest of %s",
                          "nitrogen that %s passes on while growing",
                          "fixed nitrogen left in residue and roots of %s",
                          "plant nitrogen of %s",
                          "nitrogen that leaves with the harvest of %s",
                          "nitrogen left in residue and roots of %s",
                          "share of nitrogen of %s from the air"};
    enum { FIXED, OUT, PASSED, LEFT, PLANT, HARVEST, REST, SHARE, N };
    const char *name[N];
    for (int i = 0; i < N; i++) {
        const char *at = strstr(what[i], "%s");
        name[i] = bt_arena_format(l->arena, "%.*s%s%s", (int)(at - what[i]), what[i],
                                  c->legume, at + 2);
    }
    static double x[N][BT_BLOCK];
    law_draw(l, &t, "A", N, name, x);
    for (size_t i = 0; i < BT_BLOCK; i++) {
        check_close(x[OUT][i] + x[PASSED][i] + x[LEFT][i], x[FIXED][i], 1e-12,
                    "fates of what is fixed, draw by draw");
        check_close(x[HARVEST][i] + x[REST][i], x[PLANT][i], 1e-12,
                    "fates of the plant's nitrogen");
        check_close(x[FIXED][i], x[PLANT][i] * x[SHARE][i], 1e-12,
                    "share fixed of the plant");
        assert_true(x[OUT][i] >= 0 && x[PASSED][i] >= 0 && x[LEFT][i] >= -1e-12);
        assert_true(x[FIXED][i] > 0 && x[FIXED][i] < x[PLANT][i]);
        assert_true(x[PASSED][i] <= 0.15 * x[FIXED][i] + 1e-12);
        assert_true(c->company || x[PASSED][i] == 0);
    }
}

static void fates_of_what_is_fixed(void **state)
{
    for (size_t i = 0; i < sizeof legumes / sizeof *legumes; i++)
        fixed_adds_up(*state, &legumes[i]);
}

/* ---- what is moved inside the garden ---- */

static const struct move_case {
    const char *what, *amount, *beds, *target;
    double target_m2;
} moves[] = {
    {"a mass on one bed",      "2 kg",           "T",   "T", 6},
    {"a mass on two beds",     "2 kg",           "T;V", "T", 6},
    {"a mass per area",        "0.3 kg/m2",      "T",   "T", 6},
    {"a depth on two beds",    "0.1 cm",         "T;V", "V", 3},
    {"a volume on two beds",   "0.005..0.01 m3", "T;V", "V", 3},
    {"so much for each plant", "0.3 kg/plant",   "T",   "T", 6},
};

static const char MOVE_BEDS[] = "bed,length,width,texture\nT,3 m,2 m,loam\n"
                                "V,2 m,1.5 m,loam\nY,4 m,3 m,loam\n";
static const char MOVE_PLANTS[] = "bed,crop,plants,in_ground,ended,picked,rest\n"
                                  "T,tomato,6,2026-05-18,2026-09-20,fruit,compost\n"
                                  "V,pepper,8,2026-05-20,2026-09-20,fruit,compost\n"
                                  "Y,yarrow,40,2023-05-01,,nothing,standing\n";

/* The nitrogen that a move takes from the yarrow bed is, draw by draw, what arrives. */
static void one_move(struct law *l, const struct move_case *c)
{
    const struct law_text t = {
        .beds = MOVE_BEDS,
        .plantings = MOVE_PLANTS,
        .applications = bt_arena_format(l->arena,
                                        "date,beds,material,amount,placement,taken_from\n"
                                        "2026-06-12,%s,yarrow tops,%s,surface,Y\n",
                                        c->beds, c->amount)};
    const char *arrives[] = {"total nitrogen of yarrow tops, 12 June"};
    const char *leaves[] = {"nitrogen that leaves with the harvest of yarrow"};
    static double in[1][BT_BLOCK], out[1][BT_BLOCK];
    law_draw(l, &t, c->target, 1, arrives, in);
    law_draw(l, &t, "Y", 1, leaves, out);
    /* The nitrogen per area is the same on all beds of a row. */
    const double spread_m2 = strchr(c->beds, ';') ? 9 : 6;
    for (size_t i = 0; i < BT_BLOCK; i++) {
        assert_true(in[0][i] > 0);
        in[0][i] *= spread_m2;
        out[0][i] *= 12;
    }
    law_same_draws(in[0], out[0], 1e-12, c->what);
}

static void moves_conserve(void **state)
{
    for (size_t i = 0; i < sizeof moves / sizeof *moves; i++)
        one_move(*state, &moves[i]);
}

/* What is taken away from a bed raises what its perennials must find and is not brought
 * into the garden twice: without `taken_from` the yarrow bed is as it was. */
static void what_is_taken_is_missing(void **state)
{
    struct law *l = *state;
    struct law_text t = {.beds = MOVE_BEDS, .plantings = MOVE_PLANTS};
    const char *head = "date,beds,material,amount,placement,taken_from\n";
    const struct law_answer without = law_run(l, &t);
    t.applications =
        bt_arena_format(l->arena, "%s2026-06-12,T,yarrow tops,2 kg,surface,Y\n", head);
    const struct law_answer moved = law_run(l, &t);
    t.applications =
        bt_arena_format(l->arena, "%s2026-06-12,T,yarrow tops,2 kg,surface,\n", head);
    const struct law_answer bought = law_run(l, &t);
    const double need = law_bed(&without, "Y")->required.likely;
    assert_true(law_bed(&moved, "Y")->required.likely > need * 1.01);
    check_close(law_bed(&bought, "Y")->required.likely, need, 0, "nothing left the border");
    check_close(law_bed(&bought, "T")->supply.likely, law_bed(&moved, "T")->supply.likely,
                0, "the tomatoes get the same");
    assert_true(law_bed(&moved, "T")->supply.likely >
                law_bed(&without, "T")->supply.likely + 0.1);
}

/* ---- size ---- */

static const char *sized(struct law *l, struct law_text *t, double f)
{
    t->beds = bt_arena_format(
        l->arena, "bed,length,width,texture\nA,%g m,2 m,loam\nB,%g m,1 m,loam\n", 4 * f,
        3 * f);
    t->plantings =
        bt_arena_format(l->arena,
                        "bed,crop,plants,share,in_ground,ended,expected,picked,rest\n"
                        "A,sweet corn,%g,,2026-05-10,2026-08-10,,fruit,dug-in\n"
                        "A,pole bean,%g,,2026-05-24,2026-09-01,,green,left\n"
                        "B,lettuce,,50 %%,2026-05-05,2026-06-20,,leaf,compost\n"
                        "B,carrot,,50 %%,2026-05-05,2026-08-20,%g..%g kg,root,compost\n",
                        24 * f, 30 * f, 3 * f, 7 * f);
    t->applications = bt_arena_format(
        l->arena,
        "date,beds,material,amount,placement\n"
        "2026-05-02,A;B,dairy compost,%g L,dug-in\n2026-05-30,A,straw,%g kg,surface\n"
        "2026-05-10,A,feather meal,20 g/plant,dug-in\n2026-06-01,B,urea,20 g/m2,dug-in\n",
        60 * f, 4 * f);
    t->water = bt_arena_format(l->arena,
                               "source,nitrate,beds,amount,from,to\n"
                               "well,8 ppm NO3-N,A;B,%g m3,2026-06-01,2026-09-01\n",
                               2 * f);
    return NULL;
}

static void same_spread(const struct bt_spread *x, const struct bt_spread *y, double factor,
                        const char *what)
{
    const double *a = &x->likely, *b = &y->likely;
    for (size_t i = 0; i < sizeof *x / sizeof *a; i++)
        check_close(b[i], a[i] * factor, 1e-11, what);
}

static void doubling_doubles(void **state)
{
    struct law *l = *state;
    struct law_text t = {.soil_tests = OM_4};
    sized(l, &t, 1);
    const struct law_answer one = law_run(l, &t);
    sized(l, &t, 2);
    const struct law_answer two = law_run(l, &t);
    for (size_t i = 0; i < 2; i++) {
        same_spread(&one.bed[i].required, &two.bed[i].required, 1, "required, g/m2");
        same_spread(&one.bed[i].supply, &two.bed[i].supply, 1, "supply, g/m2");
        same_spread(&one.bed[i].tightest, &two.bed[i].tightest, 1, "tightest, g/m2");
        same_spread(&one.bed[i].left, &two.bed[i].left, 1, "left, g/m2");
        check_close(two.bed[i].area_m2, 2 * one.bed[i].area_m2, 1e-12, "area");
    }
    check_close(two.total.area_m2, 2 * one.total.area_m2, 1e-12, "area of the garden");
    same_spread(&one.total.required, &two.total.required, 2, "required, g");
    same_spread(&one.total.supply, &two.total.supply, 2, "supply, g");
    same_spread(&one.total.shortfall, &two.total.shortfall, 2, "shortfall, g");
    same_spread(&one.total.left, &two.total.left, 2, "left, g");
    assert_true(one.total.required.likely > 10);
}

/* ---- order, company and threads ---- */

static const char *const bed_rows[] = {"A,4 m,2 m,loam\n", "B,3 m,1 m,sand\n",
                                       "C,5 m,1.2 m,\n", "D,2 m,2 m,clay loam\n",
                                       "E,6 m,1 m,loam\n"};
static const char *const plant_rows[] = {
    "A,sweet corn,24,,2026-05-10,2026-08-10,fruit,dug-in\n"
    "A,pole bean,30,,2026-05-24,2026-09-01,green,left\n",
    "B,lettuce,,50 %,2026-05-05,2026-06-20,leaf,compost\n",
    "C,carrot,,100 %,2026-05-05,2026-08-20,root,compost\n"
    "C,hairy vetch,,100 %,2025-09-15,2026-04-25,nothing,dug-in\n",
    "D,yarrow,20,,2024-05-01,,nothing,standing\n",
    "E,tomato,8,,2026-05-18,2026-09-25,fruit,compost\n"
    "E,basil,12,,2026-05-25,2026-09-20,leaf,compost\n"};

static struct law_text in_order(struct law *l, size_t n, const size_t *order,
                                const char *more)
{
    struct law_text t = {.soil_tests = "sample,date,beds,depth,organic_matter\n"
                                       "S,2026-04-01,A;B;E,0-15 cm,3..4..5 %\n",
                         .applications = "date,beds,material,amount,placement,taken_from\n"
                                         "2026-05-02,A;C;E,dairy compost,2 cm,dug-in,\n"
                                         "2026-06-12,E,yarrow tops,3 kg,surface,D\n"};
    t.beds = "bed,length,width,texture\n";
    t.plantings = "bed,crop,plants,share,in_ground,ended,picked,rest\n";
    if (more) {
        t.beds = bt_arena_format(l->arena, "%sN,9 m,3 m,silt\n", t.beds);
        t.plantings = bt_arena_format(l->arena, "%s%s", t.plantings, more);
    }
    for (size_t i = 0; i < n; i++) {
        t.beds = bt_arena_format(l->arena, "%s%s", t.beds, bed_rows[order[i]]);
        t.plantings = bt_arena_format(l->arena, "%s%s", t.plantings, plant_rows[order[i]]);
    }
    return t;
}

static void same_bits(const void *x, const void *y, size_t size, const char *bed,
                      const char *what)
{
    if (memcmp(x, y, size) != 0)
        fail_msg("%s of bed %s is not the same", what, bed);
}

static void same_bed(const struct law_bed *x, const struct law_bed *y)
{
    const size_t spread = sizeof x->required;
    assert_int_equal(x->n_lines, y->n_lines);
    for (size_t i = 0; i < x->n_lines; i++) {
        assert_string_equal(x->line[i].id, y->line[i].id);
        same_bits(&x->line[i].total, &y->line[i].total, spread, x->id, x->line[i].id);
        same_bits(x->line[i].by_date, y->line[i].by_date, x->n_dates * sizeof(double),
                  x->id, x->line[i].id);
    }
    same_bits(&x->required, &y->required, spread, x->id, "required");
    same_bits(&x->supply, &y->supply, spread, x->id, "supply");
    same_bits(&x->balance, &y->balance, spread, x->id, "balance");
    same_bits(&x->tightest, &y->tightest, spread, x->id, "tightest");
    same_bits(&x->shortfall, &y->shortfall, spread, x->id, "shortfall");
    same_bits(&x->surplus, &y->surplus, spread, x->id, "surplus");
    same_bits(&x->left, &y->left, spread, x->id, "left");
    same_bits(&x->chance_of_shortfall, &y->chance_of_shortfall, sizeof(double), x->id,
              "chance");
    assert_int_equal(x->tightest_date, y->tightest_date);
    assert_int_equal(x->word, y->word);
    assert_int_equal(x->n_plants, y->n_plants);
    for (size_t i = 0; i < x->n_plants; i++)
        same_bits(&x->plant[i].spread, &y->plant[i].spread, sizeof x->plant[i].spread,
                  x->id, x->plant[i].crop);
}

static void same_answer(const struct law_answer *x, const struct law_answer *y)
{
    for (size_t i = 0; i < x->n_beds; i++)
        same_bed(&x->bed[i], law_bed(y, x->bed[i].id));
}

static void order_changes_no_bit(void **state)
{
    struct law *l = *state;
    const size_t plain[] = {0, 1, 2, 3, 4}, mixed[] = {3, 0, 4, 2, 1};
    const struct law_text t = in_order(l, 5, plain, NULL), u = in_order(l, 5, mixed, NULL);
    const struct law_answer x = law_run_with(l, &t, 2048, 1),
                            y = law_run_with(l, &u, 2048, 1);
    assert_int_equal(x.n_beds, 5);
    assert_string_equal(y.bed[0].id, "D");
    same_answer(&x, &y);
}

static void another_bed_changes_no_bit(void **state)
{
    struct law *l = *state;
    const size_t plain[] = {0, 1, 2, 3, 4};
    const struct law_text t = in_order(l, 5, plain, NULL);
    const struct law_text u = in_order(l, 5, plain,
                                       "N,sweet corn,90,,2026-05-12,,fruit,left\nN,pole "
                                       "bean,60,,2026-05-25,,green,left\n");
    const struct law_answer x = law_run_with(l, &t, 2048, 1),
                            y = law_run_with(l, &u, 2048, 1);
    assert_int_equal(y.n_beds, 6);
    same_answer(&x, &y);
}

static void threads_change_no_bit(void **state)
{
    struct law *l = *state;
    const size_t plain[] = {0, 1, 2, 3, 4};
    const struct law_text t = in_order(l, 5, plain, NULL);
    const struct law_answer x = law_run_with(l, &t, 2048, 1);
    for (int threads = 2; threads <= 4; threads += 2) {
        const struct law_answer y = law_run_with(l, &t, 2048, threads);
        same_answer(&x, &y);
        same_bits(&x.total, &y.total, sizeof x.total, "all", "total");
    }
}

/* ---- nothing ---- */

static void same_account(const struct law_bed *x, const struct law_bed *y)
{
    const size_t spread = sizeof x->required;
    same_bits(&x->required, &y->required, spread, x->id, "required");
    same_bits(&x->supply, &y->supply, spread, x->id, "supply");
    same_bits(&x->balance, &y->balance, spread, x->id, "balance");
    same_bits(&x->tightest, &y->tightest, spread, x->id, "tightest");
    same_bits(&x->shortfall, &y->shortfall, spread, x->id, "shortfall");
    same_bits(&x->left, &y->left, spread, x->id, "left");
}

/* An addition of nothing. Its date is one that is looked at anyway, since every date looked
 * at is one more that can be the tightest. */
static void zero_additions_change_nothing(void **state)
{
    struct law *l = *state;
    static const char *const nothing[] = {
        "dairy compost,0 cm,dug-in",  "dairy compost,none,dug-in",
        "poultry manure,0 kg,dug-in", "straw,0 kg,dug-in",
        "straw,none,surface",         "grass clippings,0 L,surface",
        "wood chips,0 cm,dug-in",     "feather meal,0 g/m2,dug-in",
        "urea,0 g/plant,dug-in"};
    struct law_text t = {.beds = ONE_BED,
                         .plantings = "bed,crop,plants,in_ground,ended,picked\n"
                                      "A,sweet corn,24,2026-05-15,2026-08-10,fruit\n"
                                      "A,pole bean,20,2026-05-16,2026-08-20,green\n",
                         .soil_tests = OM_4};
    const struct law_answer plain = law_run(l, &t);
    for (size_t i = 0; i < sizeof nothing / sizeof *nothing; i++) {
        t.applications = bt_arena_format(
            l->arena, "date,beds,material,amount,placement\n2026-05-16,A,%s\n", nothing[i]);
        const struct law_answer with = law_run(l, &t);
        same_account(&plain.bed[0], &with.bed[0]);
    }
}

static void empty_plantings_change_nothing(void **state)
{
    struct law *l = *state;
    static const char *const nothing[] = {"summer squash", "pole bean", "hairy vetch"};
    const char *some = "bed,crop,plants,share,in_ground,ended,picked\n"
                       "A,sweet corn,24,,2026-05-15,2026-08-10,fruit\n"
                       "A,snap bean,20,,2026-05-16,2026-08-20,green\n";
    struct law_text t = {.beds = ONE_BED, .plantings = some, .soil_tests = OM_4};
    const struct law_answer plain = law_run(l, &t);
    for (size_t i = 0; i < sizeof nothing / sizeof *nothing; i++) {
        t.plantings = bt_arena_format(l->arena, "%sA,%s,,0 %%,2026-05-16,2026-08-10,\n",
                                      some, nothing[i]);
        const struct law_answer with = law_run(l, &t);
        same_account(&plain.bed[0], &with.bed[0]);
        for (size_t k = 0; k < with.bed[0].n_plants; k++)
            assert_true(with.bed[0].plant[k].spread.required.mean >= 0);
    }
}

/* `0` and `none` plants are no plants, not a bed full of them. */
static void no_plants_need_nothing(void **state)
{
    struct law *l = *state;
    static const char *const none[] = {"0", "none"};
    for (size_t i = 0; i < 2; i++) {
        const struct law_text t = {
            .beds = ONE_BED,
            .plantings = bt_arena_format(l->arena,
                                         "bed,crop,plants,in_ground,ended,picked\n"
                                         "A,sweet corn,%s,2026-05-15,2026-08-10,fruit\n",
                                         none[i])};
        check_close(law_run(l, &t).bed[0].required.p95, 0, 0, "nothing planted");
    }
}

/* ---- over the seasons ---- */

enum { SEASONS = 4 };

/* One kilogram of compost nitrogen followed from its spring on: each season's line is its
 * share of the decay series, and all seasons together never more than was spread. */
static void compost_over_seasons(void **state)
{
    struct law *l = *state;
    struct law_text t = {
        .beds = "bed,length,width,texture\nA,10 m,10 m,loam\n",
        .plantings =
            "bed,crop,in_ground,ended,picked\nA,lettuce,2026-06-01,2026-07-20,leaf\n",
        .materials =
            "material,like,n,basis,moisture\nour compost,dairy compost,2 %,dry,0 %\n",
        .applications = "date,beds,material,amount,placement\n"
                        "2026-05-01,A,our compost,50 kg,dug-in\n"};
    double released_g = 0, before_g = HUGE_VAL;
    const double share[SEASONS] = {0.09, 0.05, 0.03, 0.015}; /* tables, then halved */
    for (int k = 0; k < SEASONS; k++) {
        t.season = LAW_YEAR + k;
        /* Sampled before the compost: organic matter has not seen it. */
        t.soil_tests =
            "sample,date,beds,depth,organic_matter\nS,2026-04-01,A,0-15 cm,4 %\n";
        const double line_g = 100 * law_likely(&law_run(l, &t).bed[0], "our compost");
        check_close(line_g, 1000 * share[k], 6e-3,
                    "dairy compost, share of its N by season");
        assert_true(line_g < before_g);
        before_g = line_g;
        released_g += line_g;
    }
    assert_true(released_g + before_g < 1000); /* halved for ever: as much again at most */
}

/* With a sample taken after spreading, organic matter pays its share of the nitrogen and
 * the decay series the excess only: together the larger of the two, never the sum. */
static void compost_and_organic_matter(void **state)
{
    struct law *l = *state;
    struct law_text t = {
        .beds = "bed,length,width,texture\nA,10 m,10 m,loam\n",
        .plantings =
            "bed,crop,in_ground,ended,picked\nA,lettuce,2026-06-01,2026-07-20,leaf\n",
        .materials =
            "material,like,n,basis,moisture\nour compost,dairy compost,2 %,dry,0 %\n"};
    for (int k = 1; k < SEASONS; k++) {
        const double share[] = {0.09, 0.05, 0.03, 0.015}, already = 0.02;
        t.soil_tests =
            "sample,date,beds,depth,organic_matter\nS,2026-04-01,A,0-15 cm,4 %\n";
        t.applications = NULL;
        const double plain = law_run(l, &t).bed[0].supply.likely;
        t.applications = bt_arena_format(l->arena,
                                         "date,beds,material,amount,placement\n"
                                         "%d-05-01,A,our compost,50 kg,dug-in\n",
                                         LAW_YEAR - k);
        const double after = law_run(l, &t).bed[0].supply.likely;
        t.soil_tests = bt_arena_format(
            l->arena, "sample,date,beds,depth,organic_matter\nS,%d-04-01,A,0-15 cm,4 %%\n",
            LAW_YEAR - k);
        const double before = law_run(l, &t).bed[0].supply.likely;
        check_close(after - plain, 10 * fmax(0, share[k] - already), 6e-3,
                    "sampled after: the excess only");
        check_close(before - plain, 10 * share[k], 6e-3, "sampled before: in full");
    }
}

/* Nitrogen of a vetch: fast in its season, slow in the next, less each year, and never more
 * in all than it held. */
static void residue_over_seasons(void **state)
{
    struct law *l = *state;
    struct law_text t = {
        .beds = ONE_BED,
        .plantings =
            "bed,crop,in_ground,ended,picked,rest,frame,fresh,dry_matter,n_percent\n"
            "A,hairy vetch,2025-09-10,2026-04-25,nothing,dug-in,1 m2,2.257 kg,"
            "16 %,3.6 %\n"
            "A,sweet corn,2026-05-10,2026-08-03,fruit,compost,,,,\n"};
    double all = 0, before = HUGE_VAL;
    for (int k = 0; k < SEASONS; k++) {
        t.season = LAW_YEAR + k;
        const struct law_answer a = law_run(l, &t);
        const double now = law_likely(&a.bed[0], "hairy vetch");
        assert_true(now >= 0 && now < before);
        all += now;
        before = now > 0 ? now : before;
    }
    assert_true(all < 13 * 1.4);
}

/* ---- ranges ---- */

static double width(const struct bt_spread *x)
{
    return x->p95 - x->p05;
}

/* A sum has no corner and no quotient of what is widened: its spread follows its parts'. */
static void a_wider_range_never_narrows_a_sum(void **state)
{
    struct law *l = *state;
    static const char *const om[] = {"4 %", "3.9..4..4.1 %", "3.5..4..4.5 %", "3..4..5 %"};
    static const char *const harvest[] = {"8 kg", "7.5..8..8.5 kg", "6..8..10 kg",
                                          "4..8..12 kg"};
    double supply = 0, required = 0;
    for (size_t i = 0; i < 4; i++) {
        const struct law_text t = {
            .beds = ONE_BED,
            .plantings = bt_arena_format(l->arena,
                                         "bed,crop,plants,in_ground,ended,expected,picked\n"
                                         "A,sweet corn,24,2026-05-15,2026-08-10,%s,fruit\n",
                                         harvest[i]),
            .soil_tests = bt_arena_format(
                l->arena,
                "sample,date,beds,depth,organic_matter\nS,2026-04-01,A,0-15 cm,%s\n",
                om[i])};
        const struct law_answer a = law_run_with(l, &t, 4096, 1);
        assert_true(width(&a.bed[0].supply) >= supply);
        assert_true(width(&a.bed[0].required) >= required);
        assert_true(width(&a.bed[0].balance) >= fmax(supply, required) / 2);
        supply = width(&a.bed[0].supply);
        required = width(&a.bed[0].required);
    }
}

int main(void)
{
    const struct CMUnitTest t[] = {
        LAW_TEST(fates_of_what_is_fixed),
        LAW_TEST(moves_conserve),
        LAW_TEST(what_is_taken_is_missing),
        LAW_TEST(doubling_doubles),
        LAW_TEST(order_changes_no_bit),
        LAW_TEST(another_bed_changes_no_bit),
        LAW_TEST(threads_change_no_bit),
        LAW_TEST(zero_additions_change_nothing),
        LAW_TEST(empty_plantings_change_nothing),
        LAW_TEST(no_plants_need_nothing),
        LAW_TEST(compost_over_seasons),
        LAW_TEST(compost_and_organic_matter),
        LAW_TEST(residue_over_seasons),
        LAW_TEST(a_wider_range_never_narrows_a_sum),
    };
    return cmocka_run_group_tests_name("laws of the ledger", t, NULL, NULL) != 0;
}
