/* Amounts in measures that people own: published amounts, and rounding that never passes a
 * ceiling. */
#include "amend_fixture.h"

#define LB          453.59237
#define CUBIC_FOOT  0.028316846592
#define SQUARE_FOOT 0.09290304

struct kitchen {
    struct law *law;
    struct amended x;
    struct bt_rounding how;
};

/* A garden with one material, and how it is measured. */
static struct kitchen kitchen_of(void **state, const char *settings, const char *materials)
{
    const struct law_text t = {
        .settings = settings,
        .beds = "bed,length,width,depth,texture\nA1,10 ft,10 ft,10 in,loam\n",
        .plantings = "bed,crop,share,in_ground\nA1,carrot,1,2026-05-05\n",
        .materials = materials};
    struct kitchen k = {.law = *state, .x = amended_of(*state, &t, law_day(4, 25), false)};
    k.how = (struct bt_rounding){k.x.run.garden, k.x.run.handbook, true};
    return k;
}

static const struct bt_candidate *first_of(struct kitchen *k)
{
    const struct bt_candidate *c;
    assert_true(bt_amend_candidates(k->x.amend, &c) > 0);
    return c;
}

/* ---- published amounts ---- */

/* OC-05a: 500 sq ft at 2 lb N per 1000 sq ft is 1.0 lb N, so 5 lb of 20-2-2. */
static void five_pounds(void **state)
{
    struct kitchen k =
        kitchen_of(state, "", "material,like,label\ngarden,mineral fertiliser,20-2-2\n");
    const struct bt_candidate *c = first_of(&k);
    const double n_g = 2.0 / 1000 * 500 * LB;
    check_close(n_g / c->n_frac, 5 * LB, 1e-9, "OC-05a, Aberdeen News 2009, arithmetic");
    const struct bt_measured m =
        bt_measure_out(k.law->arena, &k.how, c, n_g / c->n_frac, HUGE_VAL);
    check_close(m.mass_g, 5 * LB, 0.001, "OC-05a: 5 lb");
    must_say(m.text, "5 lb");
    must_say(m.amount, "80 oz");
    amended_close(&k.x);
}

/* OC-05b: 5 lb of 10-10-10 per 1000 sq ft on 32 sq ft is 73 g of product, 7.3 g of each; in
 * feather meal, of which 75 % is released, 81 g. */
static void organic_equivalent(void **state)
{
    struct kitchen k =
        kitchen_of(state, "", "material,like,n,basis\nmeal,feather meal,12 %,as-is\n");
    const struct bt_candidate *c = first_of(&k);
    const double product_g = 5 * LB / 1000 * 32;
    check_close(product_g, 73, 0.01, "OC-05b, arithmetic");
    check_close(product_g * 0.1, 7.3, 0.01, "OC-05b, arithmetic");
    check_close(product_g * 0.1 / c->n_frac, 60, 0.01, "OC-05b: 60 g at face value");
    check_close(product_g * 0.1 / c->n_frac / 0.75, 81, 0.01, "OC-05b: 81 g at 75 %");
    k.how.us_units = false;
    const struct bt_measured m = bt_measure_out(k.law->arena, &k.how, c, 80.6, HUGE_VAL);
    check_close(m.mass_g, 80, 1e-9, "to 5 g");
    check_close(m.rounding_frac, 80 / 80.6 - 1, 1e-9, "by hand");
    amended_close(&k.x);
}

/* OC-13: an inch on 100 sq ft is 8.33 cubic feet, 12.5 level 5-gallon buckets; at 25 lb a
 * bucket 37 lb a cubic foot. */
static void buckets(void **state)
{
    static const char *const source = "OC-13, Wisconsin and a supplier, read; arithmetic";
    struct kitchen k =
        kitchen_of(state, "", "material,like,density\nheap,dairy compost,37.4 lb/ft3\n");
    const struct bt_candidate *c = first_of(&k);
    const double inch_m3 = 100 * SQUARE_FOOT * 0.0254;
    check_close(inch_m3 / CUBIC_FOOT, 8.33, 0.001, source);
    const struct bt_measured m =
        bt_measure_out(k.law->arena, &k.how, c, inch_m3 * c->density_g_m3, HUGE_VAL);
    check_close(m.mass_g / (25 * LB), 12.5, 0.01, source);
    must_say(m.text, "12 1/2 buckets");
    amended_close(&k.x);
}

/* OC-14: 42 lb of horse manure on 64 sq ft (65 lb per 100 sq ft) is less than one 50 lb bag
 * of 5 dollars. */
static void one_bag(void **state)
{
    struct kitchen k =
        kitchen_of(state, "", "material,like,package,price\nstable,horse manure,50 lb,5\n");
    const struct bt_candidate *c = first_of(&k);
    const double wanted_g = 65.0 / 100 * 64 * LB;
    check_close(wanted_g, 42 * LB, 0.01, "OC-14, Wisconsin rate, read; arithmetic");
    struct bt_addition a = {.material = c, .measured.mass_g = wanted_g};
    struct bt_bed_plan p = {.n_plans = 1};
    p.plan[0] = (struct bt_plan){.n_additions = 1, .addition = &a};
    struct bt_shopping *s = bt_shopping_new(k.law->arena, k.x.amend);
    bt_shopping_add(s, &p);
    const struct bt_shopping_line *line;
    assert_int_equal(bt_shopping_list(k.law->arena, s, &line), 1);
    check_close(line[0].packages, 1, 0,
                "OC-14: one 50 lb bag meets all but two of the rules");
    check_close(line[0].cost, 5, 1e-9, "OC-14: 5 dollars a bag");
    check_close(wanted_g * 0.007, 132, 0.02,
                "OC-14: total N at 0.7 % of the state rate, 132 g");
    amended_close(&k.x);
}

/* A pint is not a pound: a cup of urea weighs 181 g, of 10-10-10 227 g. */
static void pints_and_pounds(void **state)
{
    struct kitchen k =
        kitchen_of(state, "", "material,like\nurea,urea\ngrade,balanced fertiliser\n");
    const struct bt_candidate *c = first_of(&k);
    struct bt_measured m = bt_measure_out(k.law->arena, &k.how, &c[0], 181, HUGE_VAL);
    must_say(m.text, "1 cup");
    check_close(m.mass_g, 181, 0.005, "measures table: 1.6 lb a quart, CROPIDEAS, read");
    m = bt_measure_out(k.law->arena, &k.how, &c[1], 227, HUGE_VAL);
    must_say(m.text, "1 cup");
    check_close(m.mass_g, 227, 0.005, "measures table: half a pound, UMD-FERT, read");
    amended_close(&k.x);
}

/* ---- rounding ---- */

static void never_past_a_ceiling(void **state)
{
    struct kitchen k =
        kitchen_of(state, "", "material,like\nmeal,blood meal\nheap,dairy compost\n");
    const struct bt_candidate *c = first_of(&k);
    for (int us = 0; us <= 1; us++) {
        k.how.us_units = us;
        for (double asked_g = 3; asked_g < 1e5; asked_g *= 1.37) {
            for (size_t i = 0; i < 2; i++) {
                const struct bt_measured free =
                    bt_measure_out(k.law->arena, &k.how, &c[i], asked_g, HUGE_VAL);
                const struct bt_measured held =
                    bt_measure_out(k.law->arena, &k.how, &c[i], asked_g, asked_g);
                assert_true(held.mass_g <= asked_g * (1 + 1e-6));
                assert_true(free.mass_g > 0);
                check_close(free.rounding_frac, free.mass_g / asked_g - 1, 1e-9,
                            "what is said of the rounding is what was done");
                const struct bt_measured up =
                    bt_measure_step(k.law->arena, &k.how, &c[i], asked_g, &free, true);
                /* Up, unless a quarter too much is reached already. */
                assert_true(up.mass_g > free.mass_g || asked_g < 12 ||
                            free.rounding_frac > 0.2);
                check_between(up.rounding_frac, -1, 0.25 + (asked_g < 12 ? 0.25 : 0),
                              "rounding_limit, judgement: a quarter at most");
                check_between(free.rounding_frac, -0.25, 0.25,
                              "rounding_limit, judgement: a quarter at most");
            }
        }
    }
    amended_close(&k.x);
}

static void own_measures(void **state)
{
    struct kitchen k =
        kitchen_of(state, "", "material,like,density\nheap,dairy compost,650 kg/m3\n");
    struct bt_measure own[] = {
        {.name = "wheelbarrow", .volume_m3 = 0.12},
        {.name = "pail",        .volume_m3 = 0.01}
    };
    struct bt_garden g = *k.x.run.garden;
    g.measure = own;
    g.n_measures = 2;
    k.how.garden = &g;
    const struct bt_candidate *c = first_of(&k);
    struct bt_measured m = bt_measure_out(k.law->arena, &k.how, c, 0.30 * 650e3, HUGE_VAL);
    must_say(m.text, "2 1/2 wheelbarrows");
    m = bt_measure_out(k.law->arena, &k.how, c, 0.052 * 650e3, HUGE_VAL);
    must_say(m.text, "5 pails");
    amended_close(&k.x);
}

static void rates(void **state)
{
    struct kitchen k = kitchen_of(state, "", "material,like\nmeal,blood meal\n");
    struct bt_bed bed = {.area_m2 = 100 * SQUARE_FOOT};
    struct bt_planting p = {
        .plants = {.presence = BT_GIVEN, .groups = 8, .each = 5}
    };
    p.plants.group = "mound";
    const struct bt_candidate *c = first_of(&k);
    const char *text =
        bt_measure_rates(k.law->arena, &k.how, c, &bed, &p, 8 * 28.349523125);
    must_say(text, "8 oz per 100 sq ft");
    must_say(text, "1 oz a mound");
    p = (struct bt_planting){
        .rows = {.presence = BT_GIVEN, .rows = 2, .length_m = 6.096}
    };
    text = bt_measure_rates(k.law->arena, &k.how, c, &bed, &p, 8 * 28.349523125);
    must_say(text, "2 oz per 10 ft of row");
    bed.kind = BT_POTS;
    bed.pots = 4;
    text = bt_measure_rates(k.law->arena, &k.how, c, &bed, NULL, 8 * 28.349523125);
    must_say(text, "2 oz (about 1/");
    must_say(text, " a pot");
    text = bt_measure_rates(k.law->arena, &k.how, c, &bed, NULL, 4 * 3.94 / 3);
    must_say(text, "(about ");
    must_say(text, "teaspoon");
    k.how.us_units = false;
    bed = (struct bt_bed){.area_m2 = 6};
    text = bt_measure_rates(k.law->arena, &k.how, c, &bed, NULL, 600);
    must_say(text, "100 g per m2");
    amended_close(&k.x);
}

#define LAW(test) cmocka_unit_test_setup_teardown(test, law_setup, law_teardown)

int main(void)
{
    const struct CMUnitTest tests[] = {
        LAW(five_pounds),      LAW(organic_equivalent),   LAW(buckets),      LAW(one_bag),
        LAW(pints_and_pounds), LAW(never_past_a_ceiling), LAW(own_measures), LAW(rates),
    };
    return cmocka_run_group_tests_name("amend_measure", tests, NULL, NULL) != 0;
}
