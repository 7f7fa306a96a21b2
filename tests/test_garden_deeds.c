/* What the readers of soil tests, water, materials and applications understand, in inside
 * units: grams, metres, days. Values are arithmetic from the cells unless a row says
 * otherwise. The handbook is a small invented one. */
#include "check.h"

#include "base/text.h"
#include "garden_fixture.h"

static const double FOOT_M = 0.3048;
static const double POUND_G = 453.59237;
static const double GALLON_M3 = 231 * 0.0254 * 0.0254 * 0.0254;

/* ---- soil tests and water ---- */

static const struct test_row {
    const char *name, *cells; /* depth,nitrate_n,phosphorus,potassium */
    double nitrate, p, k;     /* ppm; -1 blank */
} tests[] = {
    {"ppm",                   "0-6 in,18 ppm,28 ppm,165 ppm",                        18,                               28,                         165},
    {"mg/kg with species",    "0-6 in,18 mg/kg NO3-N,28 mg/kg P,165 mg/kg K",        18,                               28,                         165},
    {"nitrate and oxides",    "0-6 in,44.27 ppm NO3,22.914 ppm P2O5,12.046 ppm K2O", 10,                               10,
     10                                                                                                                                               },
    {"mg per 100 g of oxide", "0-6 in,,35 mg/100g P2O5,20 mg/100g K2O",              -1,                               350 / 2.2914,
     200 / 1.2046                                                                                                                                     },
 /* 1 lb/ac = 0.112085 g/m2; over 17 cm at 1.33 g/cm3 a square metre of soil is 226.1 kg
  */
    {"lb/ac without a depth", ",,120 lb/A VH,314 lb/ac",                             -1,                               120 * 0.1120851 / 226.1e-3,
     314 * 0.1120851 / 226.1e-3                                                                                                                       },
    {"lb/ac over a foot",     "0-12 in,40 lb/ac,,",                                  40 * 0.1120851 / (1.33 * 0.3048), -1,                         -1 },
};

static void check_ppm(const struct bt_quantity *q, double want, const char *name)
{
    if (want < 0)
        assert_int_equal(q->presence, BT_BLANK);
    else
        check_close(1e6 * q->range.likely, want, 1e-5, name);
}

static void soil_test_units(void **state)
{
    const struct test_row *r = *state;
    char text[256];
    snprintf(
        text, sizeof text,
        "sample,date,beds,depth,nitrate_n,phosphorus,potassium\ns,2026-06-01,north,%s\n",
        r->cells);
    struct loaded l = load((struct files){.soil_tests = text});
    const struct bt_soil_test *t = &l.g->test[0];
    assert_int_equal(t->n_beds, 2);
    check_ppm(&t->nitrate_n, r->nitrate, r->name);
    check_ppm(&t->phosphorus, r->p, r->name);
    check_ppm(&t->potassium, r->k, r->name);
    fixture_free(&l.x);
}

static void soil_test_words(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .soil_tests =
            "sample,date,organic_matter,ph,phosphorus,phosphorus_rating,potassium,lead,"
            "advised,advised_n,pH CEC\n"
            "A1,2026-03-01,3.8,6.4,VH,,>400 ppm (H),80 ppm,5 lb 10-0-10 per 1000 sq ft,,7\n"
            "B1,2026-03-01,~8.9 %,,28 ppm,M,ND,,by the bag,2 lb/1000 sq ft,\n"});
    const struct bt_soil_test *a = &l.g->test[0], *b = &l.g->test[1];
    const double rate = 5 * POUND_G / (1000 * FOOT_M * FOOT_M);
    assert_int_equal(a->bed[0], 0); /* a sample named like a bed */
    assert_int_equal(b->bed[0], 2);
    check_close(a->organic_matter.range.likely, 0.038, 1e-12, "3.8 bare is percent");
    check_close(a->ph.range.likely, 6.4, 1e-12, "ph");
    assert_string_equal(a->phosphorus.word, "VH");
    assert_string_equal(a->phosphorus_rating, "VH");
    assert_int_equal(a->potassium.bound, BT_ABOVE);
    assert_string_equal(a->potassium_rating, "H");
    check_close(a->lead.range.likely, 80e-6, 1e-12, "lead");
    assert_string_equal(a->advised, "5 lb 10-0-10 per 1000 sq ft");
    check_close(a->advised_n.range.likely, 0.1 * rate, 1e-9, "10 % of 5 lb/1000 sq ft");
    assert_int_equal(a->advised_p2o5.presence, BT_GIVEN);
    check_close(a->advised_p2o5.range.likely, 0, 1e-12, "a 0 is advised 0");
    assert_string_equal(b->phosphorus_rating, "M");
    assert_int_equal(b->potassium.bound, BT_NOT_DETECTED);
    assert_int_equal(b->advised_p2o5.presence, BT_BLANK);
    check_close(b->advised_n.range.likely, 0.4 * rate, 1e-9, "2 lb/1000 sq ft");
    fixture_free(&l.x);
}

static void water_analyses(void **state)
{
    (void)state;
    struct loaded l =
        load((struct files){.water = "source,date,nitrate,beds,amount,from,to\n"
                                     "well,2026-04-01,10 ppm NO3-N,,,,\n"
                                     "well,2026-08-01,44.27 mg/L NO3,,,,\n"
                                     "well,,,north,6 in,2026-06-01,2026-07-15\n"
                                     "well,,,A1,1 in/week,2026-08-05,2026-09-01\n"
                                     "well,,,B1,100 gal,2026-03-01,\n"
                                     "rain,,none,A2,20 mm,,\n"});
    const struct bt_water *w = l.g->water;
    assert_int_equal(l.g->n_waters, 6);
    assert_int_equal(w[0].n_beds, 0);
    check_close(w[0].nitrate.range.likely, 10, 1e-9, "1 ppm is 1 g/m3");
    check_close(w[1].nitrate.range.likely, 10, 1e-9, "44.27 mg/L of nitrate hold 10 of N");
    check_close(w[2].nitrate.range.likely, 10, 1e-9, "typed once");
    check_close(w[3].nitrate.range.likely, 10, 1e-9, "the newer one");
    assert_true(w[3].nitrate.cell.at.line == 3 && w[2].nitrate.cell.at.line == 2);
    assert_int_equal(w[4].nitrate.cell.at.line, 2);
    check_close(w[2].amount.range.likely, 6 * 0.0254, 1e-9, "6 in");
    check_close(w[3].amount.range.likely, 0.0254 / 7, 1e-9, "1 in a week");
    check_close(w[4].amount.range.likely, 100 * GALLON_M3, 1e-9, "100 gal");
    assert_int_equal(w[5].nitrate.presence, BT_NONE);
    fixture_free(&l.x);
}

/* ---- materials, measures, applications ---- */

static void materials(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .materials = "material,like,label,n,p2o5,p,k,basis,moisture,density,package,price,"
                     "on_hand,made_here\n"
                     "my meal,blood meal,12-1-0.5,13 %,,,,,,,40 lb,$24.50,2 bags,no\n"
                     "heap,yard compost,,1.2,,0.3 %,0.5 %,dry,45,40 lb/bucket,,,3 "
                     "wheelbarrows,60 %\n"
                     "straw,,,,,,,,,,1 bale,9,,yes\n"});
    const struct bt_material *m = l.g->material;
    assert_string_equal(m[0].like, "blood meal");
    check_close(m[0].n.range.likely, 0.13, 1e-12, "the cell before the label");
    check_close(m[0].p2o5.range.likely, 0.01, 1e-12, "label");
    check_close(m[0].k2o.range.likely, 0.005, 1e-12, "label");
    check_close(m[0].package.range.likely, 40 * POUND_G, 1e-9, "40 lb");
    check_close(m[0].price.range.likely, 24.5, 1e-12, "price");
    check_close(m[0].on_hand.range.likely, 80 * POUND_G, 1e-9, "2 bags of 40 lb");
    assert_false(m[0].made_here);
    check_close(m[1].p2o5.range.likely, 0.003 * 2.2914, 1e-9,
                "P to P2O5 (derived: atomic masses)");
    check_close(m[1].k2o.range.likely, 0.005 * 1.2046, 1e-9,
                "K to K2O (derived: atomic masses)");
    assert_true(m[1].dry_basis);
    check_close(m[1].density.range.likely, 40 * POUND_G / 0.019, 1e-9,
                "40 lb in a 19 L bucket");
    check_close(m[1].made_here_share, 0.6, 1e-12, "60 %");
    check_close(m[1].on_hand.range.likely, 0.24, 1e-9, "three wheelbarrows of 80 L");
    assert_string_equal(m[2].like, "straw");
    check_close(m[2].package.range.likely, 18000, 1e-9, "a bale of straw of the handbook");
    check_close(m[2].made_here_share, 1, 0, "yes");
    fixture_free(&l.x);
}

static const struct amount_row {
    const char *name, *material, *amount;
    double want; /* g, m3, m or g/m2 */
    struct bt_dim dim;
    const char *per;
} amounts[] = {
    {"a depth",                                   "yard compost", "1 in",            0.0254,         {0, 1, 0, 0}, NULL   },
    {"a mass",                                    "blood meal",   "2 lb",            2 * 453.59237,  {1, 0, 0, 0}, NULL   },
    {"litres per area",                           "yard compost", "3 L/m2",          0.003,          {0, 1, 0, 0}, NULL   },
    {"a rate",
     "blood meal",                                                "2 lb/100 sq ft",
     2 * 453.59237 / 9.290304,
     {1, -2, 0, 0},
     NULL                                                                                                                 },
    {"a measure of the handbook",                 "yard compost", "2 buckets",       0.038,          {0, 3, 0, 0}, NULL   },
    {"a measure of the garden",
     "yard compost",                                              "2 wheelbarrows",
     2 * 7 * 0.019,
     {0, 3, 0, 0},
     NULL                                                                                                                 },
    {"a measure of a measure",
     "yard compost",                                              "1 trailer",
     10 * 7 * 0.019,
     {0, 3, 0, 0},
     NULL                                                                                                                 },
    {"a measure of this material",                "straw",        "2 bales",         36000,          {1, 0, 0, 0}, NULL   },
    {"a package",                                 "my meal",      "1/2 bag",         20 * 453.59237, {1, 0, 0, 0}, NULL   },
    {"packages per area",
     "my meal",                                                   "1 bag/100 sq ft",
     40 * 453.59237 / 9.290304,
     {1, -2, 0, 0},
     NULL                                                                                                                 },
    {"a cup of known weight",                     "blood meal",   "2 cups",          300,            {1, 0, 0, 0}, NULL   },
    {"by the handbook's name of an own material",
     "my meal",                                                   "1 cup",
     150,                                                                                            {1, 0, 0, 0},
     NULL                                                                                                                 },
    {"tablespoons are parts of a cup",            "blood meal",   "8 tbsp",          75,             {1, 0, 0, 0}, NULL   },
    {"a cup of anything else",
     "yard compost",                                              "2 cups",
     2 * 231 * 0.0254 * 0.0254 * 0.0254 / 16,
     {0, 3, 0, 0},
     NULL                                                                                                                 },
    {"per plant",                                 "blood meal",   "1/2 cup/plant",   75,             {1, 0, 0, 0}, "plant"},
    {"per mound",                                 "yard compost", "1 bucket/mound",  0.019,          {0, 3, 0, 0}, "mound"},
};

static void amount_of(void **state)
{
    const struct amount_row *r = *state;
    char text[256];
    snprintf(text, sizeof text, "date,beds,material,amount\n2026-05-01,A1,%s,%s\n",
             r->material, r->amount);
    struct loaded l = load((struct files){
        .applications = text,
        .materials = "material,like,package\nmy meal,blood meal,40 lb\n",
        .measures = "measure,amount\ntrailer,10 wheelbarrows\nwheelbarrow,7 buckets\n"});
    const struct bt_quantity *q = &l.g->application[0].amount;
    assert_int_equal(q->presence, BT_GIVEN);
    check_close(q->range.likely, r->want, 1e-9, r->name);
    assert_true(bt_dim_same(q->unit.dim, r->dim));
    assert_null(q->unit.measure);
    if (r->per)
        assert_string_equal(q->unit.per, r->per);
    else
        assert_null(q->unit.per);
    fixture_free(&l.x);
}

static void measures_show_their_working(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .applications =
            "date,beds,material,amount\n2026-05-01,A1,yard compost,2 wheelbarrows\n"
            "2026-05-01,A1,blood meal,2 cups\n2026-05-01,A1,my meal,3 bags\n",
        .materials = "material,like,package\nmy meal,blood meal,40 lb\n",
        .measures = "measure,amount\nwheelbarrow,7 buckets\n"});
    const struct bt_application *a = l.g->application;
    assert_string_equal(a[0].measure_working,
                        "2 wheelbarrows (7 buckets each) = 9.39 cu ft");
    assert_string_equal(a[1].measure_working,
                        "2 cups, a cup of blood meal being 0.331 lb = 0.661 lb");
    assert_string_equal(a[2].measure_working, "3 bags of 40 lb = 120 lb");
    fixture_free(&l.x);
}

static void measures_keep_their_spread(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .applications =
            "date,beds,material,amount\n2026-05-01,A1,yard compost,2 wheelbarrows\n"
            "2026-05-01,A1,yard compost,2..3..4 wheelbarrows\n"});
    const struct bt_range *r = &l.g->application[0].amount.range;
    check_close(r->low, 0.12, 1e-9, "2 x 60 L");
    check_close(r->likely, 0.16, 1e-9, "2 x 80 L");
    check_close(r->high, 0.24, 1e-9, "2 x 120 L");
    const struct bt_range *both = &l.g->application[1].amount.range;
    check_close(both->likely, 0.24, 1e-9, "3 x 80 L");
    check_close(both->high, 0.24 * (1 + sqrt(1.0 / 9 + 0.25)), 1e-9,
                "spreads add as squares");
    fixture_free(&l.x);
}

static void rows_are_split(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .applications =
            "date,beds,material,amount,placement,taken_from,every,until,status\n"
            "2026-06-01,north,urea,1 oz,watered,,1 week,2026-06-29,\n"
            "2024..2026,A1,yard compost,1 in,dug in,,,,done\n"
            "2026-05-01,A1;B1,urea,1 oz,hole,,,,\n"
            "2026-06-10,A1,yarrow tops,20 lb,surface,B1,,,\n"});
    const struct bt_application *a = l.g->application;
    assert_int_equal(l.g->n_applications, 5 + 3 + 1 + 1);
    for (unsigned k = 0; k < 5; k++) {
        assert_int_equal(a[k].date.day, bt_day(2026, 6, 1) + 7 * (int)k);
        assert_int_equal(a[k].part, k + 1);
        assert_int_equal(a[k].n_parts, 5);
        assert_int_equal(a[k].ordinal, 1);
        assert_int_equal(a[k].status, k <= 2 ? BT_DONE : BT_PLANNED); /* as of 15 June */
        assert_int_equal(a[k].n_beds, 2);
        assert_string_equal(a[k].id, "north/urea 1");
    }
    assert_int_equal(a[5].n_parts, 3);
    assert_int_equal(a[6].date.width_d, 365); /* 2025 */
    assert_int_equal(a[7].status, BT_DONE);
    assert_int_equal(a[5].placement, BT_DUG_IN);
    assert_int_equal(a[8].ordinal, 2); /* the second urea of A1 */
    assert_ptr_equal(a[9].taken_from, &l.g->bed[2]);
    assert_string_equal(a[9].material, "yarrow tops");
    fixture_free(&l.x);
}

static void advice_stands_apart(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .applications = "date,beds,material,amount\n2026-05-02,A1,urea,1 oz\n",
        .plan = "date,beds,material,amount\n2026-05-03,A1,urea,2 oz\n"});
    const struct bt_application *a = l.g->application;
    assert_int_equal(l.g->n_applications, 2);
    assert_false(a[0].is_advice);
    assert_int_equal(a[0].status, BT_DONE);
    assert_true(a[1].is_advice);
    assert_int_equal(a[1].status, BT_PLANNED);
    assert_int_equal(a[1].ordinal, 2);
    fixture_free(&l.x);
}

int main(void)
{
    static struct CMUnitTest t[100];
    size_t n = 0;
    ROWS(tests, soil_test_units, name);
    PLAIN(soil_test_words);
    PLAIN(water_analyses);
    PLAIN(materials);
    ROWS(amounts, amount_of, name);
    PLAIN(measures_show_their_working);
    PLAIN(measures_keep_their_spread);
    PLAIN(rows_are_split);
    PLAIN(advice_stands_apart);
    return _cmocka_run_group_tests("garden_deeds", t, n, NULL, NULL) != 0;
}
