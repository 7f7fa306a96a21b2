/* The equations of src/model against published worked figures, handbook arithmetic and the
 * checks of an agronomist's review (rows A..). A point estimate is n = 1: the equations are
 * called with constants. Each row prints its source when it fails. */
#include "check.h"

#include <string.h>

#include "base/date.h"
#include "model/amendment.h"
#include "model/demand.h"
#include "model/legume.h"
#include "model/mixed.h"
#include "model/residue.h"
#include "model/soil.h"
#include "model/time.h"

struct bench {
    struct bt_arena *a;
    struct bt_sheet *s;
};

static void out_of_memory(void *context)
{
    (void)context;
    fail_msg("out of memory");
}

static int setup(void **state)
{
    struct bench *b = test_malloc(sizeof *b);
    b->a = bt_arena_new(1 << 16, out_of_memory, NULL);
    b->s = bt_sheet_new(b->a);
    *state = b;
    return 0;
}

static int teardown(void **state)
{
    struct bench *b = *state;
    bt_arena_free(b->a);
    test_free(b);
    return 0;
}

static struct bt_node area(struct bench *b, double g_m2)
{
    return bt_constant(b->s, g_m2, BT_MASS_PER_AREA);
}

static struct bt_node part(struct bench *b, double share)
{
    return bt_share(b->s, share);
}

static struct bt_node metres(struct bench *b, double m)
{
    return bt_constant(b->s, m, BT_LENGTH);
}

static struct bt_node density(struct bench *b, double g_cm3)
{
    return bt_constant(b->s, g_cm3 * 1e6, BT_DENSITY);
}

#define VALUE(node) bt_likely(b->s, (node))

static const double LB_AC_G_M2 = 0.112085; /* 453.59237 g / 4046.8564 m2 */
static const double LB_100FT2_G_M2 = 48.8243;
static const double IN_M = 0.0254;

/* A1: the same rate in three units. Arithmetic. */
static void rate_units(void **state)
{
    (void)state;
    check_close(1 / LB_100FT2_G_M2, 0.02048, 5e-4,
                "A1: 1 g/m2 in lb/100 sq ft; arithmetic");
    check_close(0.1 * LB_100FT2_G_M2, 4.882, 5e-4,
                "A1: 0.1 lb/100 sq ft in g/m2; arithmetic");
    check_close(32 * 0.09290304, 2.973, 5e-4, "A1: 1 g/m2 on 32 sq ft, g; arithmetic");
}

/* ---- soil ---- */

static double om_release(struct bench *b, double om, double release, double bd_ratio,
                         double depth)
{
    const struct bt_node held = bt_organic_matter_held(b->s, part(b, om), part(b, 0.05));
    return VALUE(bt_organic_matter_release(b->s, held, area(b, release), part(b, bd_ratio),
                                           part(b, depth)));
}

static void organic_matter(void **state)
{
    struct bench *b = *state;
    /* 2.0 million lb/ac . 3 % . 5 % N . 2 % a year = 60 lb N/ac: as 20 lb/ac per 1 %. */
    const double from_mass_lb_ac = 2.0e6 * 0.03 * 0.05 * 0.02;
    check_close(om_release(b, 0.03, 20 * LB_AC_G_M2, 1, 1) / LB_AC_G_M2, from_mass_lb_ac,
                1e-9, "Kansas State soil organic matter note (KSU-SOM), 60 lb N/ac; read");
    check_close(om_release(b, 0.05, 2.24, 1, 1), 11.2, 1e-3, "A23: 5 %, bulk density 1.33");
    check_close(om_release(b, 0.05, 2.24, 1.0 / 1.33, 1), 8.4, 5e-3,
                "A23: bulk density 1.0");
    check_close(om_release(b, 0.05, 2.24, 0.6 / 1.33, 1), 5.1, 1e-2,
                "A23: bulk density 0.6");
    check_close(om_release(b, 0.089, 2.24, 1, 1), 11.2, 1e-3, "A23: held above the limit");
    const struct bt_node layer = bt_constant(b->s, 225e3, BT_MASS_PER_AREA);
    const double om = VALUE(
        bt_organic_matter_without(b->s, part(b, 0.04), area(b, 3840), layer, part(b, 1)));
    check_close(om * 100, 2.29, 3e-3,
                "A11: 4 % tested just after 3.84 kg/m2 of compost matter");
}

static double in_layer_lb_ac(struct bench *b, double ppm, double g_cm3, double inches)
{
    return VALUE(bt_in_layer(b->s, part(b, ppm * 1e-6), density(b, g_cm3),
                             metres(b, inches * IN_M))) /
           LB_AC_G_M2;
}

static void nitrate_and_water(void **state)
{
    struct bench *b = *state;
    check_close(in_layer_lb_ac(b, 1, 1.33, 6.67), 2.0, 1e-2,
                "A22; Ohio, Iowa: ppm x 2; read");
    check_close(in_layer_lb_ac(b, 1, 1.33, 12), 3.6, 1e-2, "A22: 12 in; derived");
    check_close(in_layer_lb_ac(b, 1, 1.3, 12), 3.5, 2e-2,
                "UC: 35 lb/ac for 10 ppm a foot; read");
    check_close(VALUE(bt_in_layer(b->s, part(b, 1e-6), density(b, 1.3), metres(b, 0.3))),
                0.39, 1e-9, "review finding 7: 0.39 g/m2 per ppm; arithmetic");
    const double foot_10ppm = VALUE(
        bt_water_nitrogen(b->s, metres(b, 12 * IN_M), bt_constant(b->s, 10, BT_DENSITY)));
    check_close(foot_10ppm / LB_AC_G_M2, 27, 0.01,
                "10 ppm = 27 lb per acre-foot (UC ANR); read");
    const double two_feet_20ppm = VALUE(
        bt_water_nitrogen(b->s, metres(b, 24 * IN_M), bt_constant(b->s, 20, BT_DENSITY)));
    check_close(two_feet_20ppm / LB_AC_G_M2, 109, 0.005,
                "20 ppm, 24 in = 109 lb/ac (UC ANR); read");
}

/* ---- time ---- */

/* Boston: air normals 11.0 and 12.2 C (memory); the rest as tables/soils.csv. */
static const struct bt_climate BOSTON = {.mean_degc = 11.0,
                                         .half_range_degc = 12.2,
                                         .soil_above_air_degc = 1,
                                         .depth_m = 0.10,
                                         .damping_depth_m = 2.24,
                                         .coldest_day = 25,
                                         .response_a = 6.16,
                                         .response_b = 2299,
                                         .zero_below_degc = 0,
                                         .linear_to_degc = 5,
                                         .highest_degc = 35};

static void warmth(void **state)
{
    struct bench *b = *state;
    static const double weekly[16] = {4.4,  9.1,  14.2, 19.7, 25.6, 31.8, 38.2, 45.0,
                                      51.9, 58.9, 66.1, 73.1, 80.1, 87.0, 93.6, 100};
    const int first = bt_day(2025, 5, 15);
    const struct bt_clock k =
        bt_clock_new(b->a, &BOSTON, bt_day(2025, 1, 1), bt_day(2026, 1, 1));
    const double whole = bt_clock_between(&k, first, first + 112);
    for (int week = 1; week <= 16; week++)
        check_between(100 * bt_clock_between(&k, first, first + 7 * week) / whole,
                      weekly[week - 1] - 0.11, weekly[week - 1] + 0.11,
                      "handbook test vector, Boston, 16 weeks from 15 May; derived there");
    check_close(bt_soil_temperature_degc(&BOSTON, 105), 9.25, 2e-3,
                "soil at 10 cm, day 105");
    check_close(bt_soil_temperature_degc(&BOSTON, 196), 23.33, 2e-3,
                "soil at 10 cm, day 196");
    check_close(bt_clock_between(&k, bt_day(2025, 1, 1), bt_day(2026, 1, 1)), 171, 0.01,
                "25 C days a year, Boston preset; derived there");
    const double season = bt_clock_between(&k, bt_day(2025, 5, 1), bt_day(2025, 10, 1));
    const double corn = bt_clock_between(&k, bt_day(2025, 5, 10), bt_day(2025, 8, 3));
    check_between(corn / season, 0.555, 0.575, "A6: 10 May to 3 August 0.56");
    const double early = bt_clock_between(&k, bt_day(2025, 5, 1), bt_day(2025, 6, 10));
    check_between(early / season, 0.195, 0.205, "A6: 1 May to 10 June 0.20");
}

static void uptake_curve(void **state)
{
    (void)state;
    check_close(bt_uptake_share(35.0 / 85, 0.55, 12), 0.161, 5e-3,
                "A12: corn on day 35 of 85");
    check_close(bt_uptake_share(-0.1, 0.55, 12), 0, 0,
                "nothing before it is in the ground");
    check_close(bt_uptake_share(1.5, 0.55, 12), 1, 0, "held after harvest");
    check_close(bt_released_share(0.046, 50), 1 - exp(-2.3), 1e-12, "first order");
}

/* ---- composts, residues ---- */

static void composts(void **state)
{
    struct bench *b = *state;
    /* One inch, 650 kg/m3, 45 % moisture, 1.6 % N. */
    const struct bt_node fresh = area(b, 650e3 * IN_M);
    const struct bt_node dry = bt_dry_matter(b->s, fresh, part(b, 0.45));
    const struct bt_node total = bt_mul(b->s, dry, part(b, 0.016));
    check_close(VALUE(total), 145.3, 1e-3, "A2: total N of an inch of dairy compost");
    const struct bt_node a1 = part(b, 0.09), mu = part(b, 0.068);
    check_close(VALUE(bt_compost_available(b->s, total, a1)), 13.08, 1e-3,
                "A2: no analysis");
    const struct bt_node usual = bt_mul(b->s, total, mu),
                         poor = bt_mul(b->s, total, part(b, 0.02));
    check_close(VALUE(bt_compost_analysed(b->s, total, usual, a1, mu)), 13.08, 1e-3,
                "A2: mineral 6.8 % of the total gives the same");
    check_close(VALUE(bt_compost_analysed(b->s, total, poor, a1, mu)), 6.27, 2e-3,
                "A2: mineral 2 %");
    const struct bt_node second = part(b, 0.05), omega = part(b, 0.02), none = part(b, 0);
    check_close(VALUE(bt_later_available(b->s, total, second, omega)), 4.36, 1e-3,
                "A10: a year old, organic matter sampled after");
    check_close(VALUE(bt_later_available(b->s, total, second, none)), 7.26, 1e-3,
                "A10: sampled before");
    check_close(VALUE(bt_later_available(b->s, total, part(b, 0.03), omega)), 1.45, 3e-3,
                "review finding 6: two years ago");
    /* materials.md section 7: 4 x 8 ft, half an inch of dairy compost. */
    const double bed_m2 = 32 * 0.09290304;
    check_close(VALUE(bt_dry_matter(b->s, area(b, 650e3 * 0.5 * IN_M), part(b, 0.45))) *
                    bed_m2,
                13500, 2e-3, "compost bed: dry matter 13.5 kg");
    check_close(VALUE(bt_compost_available(b->s, bt_mul(b->s, total, part(b, 0.5)), a1)) *
                    bed_m2,
                19, 0.03, "compost bed: 19 g available in the first year");
}

static const struct bt_pan_line LINE = {0.875, 0.015, -0.005, 0.020, NULL};

static double available(struct bench *b, double n_g_m2, double n_frac)
{
    const struct bt_node n = part(b, n_frac);
    const struct bt_node pan = bt_pan_per_dry_matter(b->s, n, &LINE);
    return VALUE(bt_residue_available(b->s, "x", area(b, n_g_m2), n, pan));
}

static void pan_line(void **state)
{
    struct bench *b = *state;
    check_close(available(b, 1, 0.020), 0.219, 2e-3, "A19: 2.0 % N");
    check_close(available(b, 1, 0.025), 0.350, 2e-3, "A19: 2.5 % N");
    check_close(available(b, 1, 0.040), 0.500, 2e-3, "A19: 4.0 % N, at the cap");
    check_close(available(b, 13, 0.036), 6.64, 2e-3, "A3: vetch 13 g at 3.6 %");
    check_close(available(b, 11.7, 0.035), 5.9, 1e-2, "A20: broccoli residue");
    check_close(available(b, 7.15, 0.0125), -1.3, 0.05, "A20: corn stover dug in");
    /* W1: 3 ton/ac dry matter at 3.5 % N gives 105 lb/ac (PNW 636 rule: 35 lb/ton); read.
     */
    const double dm_g_m2 = 3 * 2000 * LB_AC_G_M2;
    check_close(available(b, dm_g_m2 * 0.035, 0.035) / LB_AC_G_M2, 105, 1e-6,
                "W1, PNW 636; read");
    check_close(available(b, dm_g_m2 * 0.035, 0.035) * 10, 118, 5e-3, "W1: 118 kg/ha");
}

static void surface_and_tie_up(void **state)
{
    struct bench *b = *state;
    const struct bt_surface top = {"straw", part(b, 0.5), part(b, 0.1), area(b, 0.5)};
    check_close(VALUE(bt_on_surface(b->s, area(b, 6.64), &top)), 3.32, 1e-9,
                "A3: vetch on the surface");
    check_close(VALUE(bt_on_surface(b->s, area(b, -2), &top)), -0.2, 1e-9,
                "surface tie-up a tenth");
    check_close(VALUE(bt_on_surface(b->s, area(b, -20), &top)), -0.5, 1e-9,
                "under 0.5 g/m2, Cochran and others 1980; read");
    check_close(VALUE(bt_tie_up_held(b->s, area(b, -20), area(b, 6))), -6, 1e-9,
                "tie-up never exceeds what is there");
    check_close(VALUE(bt_tie_up_held(b->s, area(b, -2), area(b, 6))), -2, 1e-9,
                "nor is less");
    check_close(VALUE(bt_tie_up_held(b->s, area(b, 3), area(b, 6))), 3, 1e-9,
                "nor holds a gift");
    check_close(VALUE(bt_tie_up_held(b->s, area(b, -3), area(b, -6))), 0, 1e-9,
                "an empty pool");
    const struct bt_node n = area(b, 13 * 1.4), share = part(b, 0.05), none = part(b, 0);
    check_close(VALUE(bt_slow_release(b->s, n, share, 1, none)), 0.91, 1e-3,
                "A4: vetch turned in a year earlier");
    check_close(VALUE(bt_slow_release(b->s, n, part(b, 0.03), 1, none)), 0.55, 1e-2,
                "A4: low");
    check_close(VALUE(bt_slow_release(b->s, n, part(b, 0.07), 1, none)), 1.27, 1e-2,
                "A4: high");
    check_close(VALUE(bt_slow_release(b->s, n, share, 2, none)), 0.455, 1e-3,
                "halved a year");
    /* A5: vines 4.0 g at 2.4 % N, mid September, half survives the winter; 0.05 slow. */
    const double fast = available(b, 4.0, 0.024);
    check_close(0.5 * fast + VALUE(bt_slow_release(b->s, area(b, 4.0), share, 1, none)),
                0.86, 1e-2, "A5");
    /* A14: clippings 35.8 g N: 13 % found in the crop / recovery 0.6 against the line on
     * top. */
    check_close(35.8 * 0.13 / 0.6, 7.75, 2e-3, "A14: from 15N in the crop");
    check_close(14e-3 * 1118 * 0.5, 7.82, 2e-3, "A14: from the line");
}

/* Sunn hemp: dry matter x N content against published shoot N, eight pairs (SUNNHEMP2011,
 * read; 11 %, as the published figures are means of products). */
static void sunn_hemp(void **state)
{
    struct bench *b = *state;
    static const struct {
        double dm_mg_ha, n_g_kg, published_kg_ha;
    } row[] = {
        {4.0, 15.6, 62.9 },
        {2.0, 11.5, 21.5 },
        {4.5, 26.5, 116.7},
        {6.6, 13.8, 90.7 },
        {0.8, 35.4, 27.6 },
        {1.6, 25.8, 40.3 },
        {3.2, 16.8, 48.9 },
        {3.3, 17.0, 52.7 }
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const struct bt_node n = part(b, row[i].n_g_kg / 1000);
        const double kg_ha = VALUE(bt_uptake(b->s, area(b, row[i].dm_mg_ha * 100), n)) * 10;
        check_close(kg_ha, row[i].published_kg_ha, 0.11, "W2a-h: SUNNHEMP2011; read");
    }
}

/* ---- demand ---- */

static void demand(void **state)
{
    struct bench *b = *state;
    const struct bt_node none = area(b, 0);
    const struct bt_node corn =
        bt_uptake(b->s, area(b, 1100), part(b, 0.010)); /* 1.1 kg/m2, 10 g/kg */
    check_close(VALUE(corn), 11, 1e-12,
                "sweet corn demand 11 g/m2 (crops.md); derived there");
    const double need = VALUE(bt_need(b->s, corn, none, part(b, 0.7)));
    check_close(need, 15.7, 2e-3, "crops.md check table: 15.7; derived there");
    check_close(need - VALUE(corn), 4.7, 5e-3, "A15: corn in balance leaves 4.7");
    const struct bt_node fern = bt_uptake(b->s, area(b, 250), part(b, 0.032));
    const struct bt_node e = part(b, 0.55);
    const struct bt_perennial asparagus = {"asparagus", fern, area(b, 0.825), part(b, 0.7)};
    check_close(VALUE(bt_perennial_need(b->s, &asparagus, e, part(b, 1))), 14.5, 5e-3,
                "A21: nothing recycled");
    check_close(VALUE(bt_perennial_need(b->s, &asparagus, e, part(b, 0))), 5.4, 1e-2,
                "A21: r 0.7 recycled");
}

static void recovery_shift(void **state)
{
    struct bench *b = *state;
    const struct bt_row row = {.range = bt_range_of(0.45, 0.70, 0.80, BT_P05_P95)};
    check_close(VALUE(bt_recovery(b->s, part(b, 0), &row)), 0.70, 1e-12,
                "likely at no shift");
    check_close(VALUE(bt_recovery(b->s, part(b, -1), &row)), 0.45, 1e-12, "low at -1");
    check_close(VALUE(bt_recovery(b->s, part(b, 1), &row)), 0.80, 1e-12, "high at 1");
    check_close(VALUE(bt_recovery(b->s, part(b, -0.5), &row)), 0.575, 1e-12,
                "straight between");
    check_close(VALUE(bt_recovery(b->s, part(b, -9), &row)), 0.05, 1e-12,
                "held at the floor");
}

/* ---- mixed ground ---- */

static void mixed_ground(void **state)
{
    struct bench *b = *state;
    const struct bt_stand a8[] = {
        {0.6, 1,   0.6},
        {0.6, 0.6, 0.6},
        {0.4, 0.5, 0.4}
    };
    static const double want8[] = {0.600, 0.386, 0.214}, want9[] = {0.493, 0.296, 0.411};
    static const double wider[] = {0.600, 0.450, 0.250};
    double got[3];
    bt_relative_yields(3, a8, 1.2, got);
    for (size_t i = 0; i < 3; i++) {
        check_close(got[i], want8[i], 2e-3, "A8");
        const struct bt_node gain = part(b, 1.2);
        check_close(VALUE(bt_relative_yield(b->s, gain, 3, a8, i)), got[i], 1e-12,
                    "as a node it is the same");
    }
    bt_relative_yields(3, a8, 1.3, got);
    for (size_t i = 0; i < 3; i++)
        check_close(got[i], wider[i], 2e-3, "A8 with a gain of 1.3 (more-mixed)");
    const struct bt_stand a9[] = {
        {0.6, 1,   0.6},
        {0.6, 0.6, 0.6},
        {1,   0.5, 1  }
    };
    bt_relative_yields(3, a9, 1.2, got);
    for (size_t i = 0; i < 3; i++)
        check_close(got[i], want9[i], 2e-3, "A9");
    /* A25: 16 pole beans on 32 sq ft at 9 a square metre; 0.72 at the later 7.5. */
    const double bed_m2 = 32 * 0.09290304;
    check_close(16 / (bed_m2 * 9), 0.60, 5e-3, "A25");
    check_close(16 / (bed_m2 * 7.5), 0.72, 5e-3, "A25 with the stand of more-mixed");
    check_close(bt_thinned_ceiling(0.5, 0.33), 0.75, 3e-3,
                "maize at half density made 0.75 of the growth (Tanzania trial); read");
    check_close(bt_thinned_ceiling(1, 0.33), 1, 1e-12, "a full stand is a full stand");
}

static void mixed_ground_laws(void **state)
{
    struct bench *b = *state;
    struct bt_stand s[] = {
        {0.6, 1,   0.7 },
        {0.6, 0.6, 0.75},
        {0.4, 0.5, 0.5 },
        {0.0, 0.5, 0.0 }
    };
    double y[4], z[4];
    for (double gain = 0.5; gain < 2.5; gain += 0.125) {
        bt_relative_yields(4, s, gain, y);
        double sum = 0;
        for (size_t i = 0; i < 4; i++) {
            sum += y[i];
            assert_true(y[i] <= s[i].ceiling + 1e-12);
        }
        assert_true(sum <= fmin(gain, 1.95) + 1e-12);
        const struct bt_stand turned[] = {s[2], s[0], s[1]};
        bt_relative_yields(3, turned, gain, z);
        check_close(z[0], y[2], 1e-12,
                    "order does not matter; nor does a kind with no plants");
        check_close(z[1], y[0], 1e-12, "order does not matter");
        for (size_t i = 0; i < 3; i++)
            check_close(VALUE(bt_relative_yield(b->s, part(b, gain), 4, s, i)), y[i], 1e-9,
                        "the curve in the gain is the water-filling");
    }
    const struct bt_stand typed[] = {
        {0.5, 1,   0.5},
        {0.3, 0.6, 0.3},
        {0.2, 0.5, 0.2}
    };
    bt_relative_yields(3, typed, 1.0, y);
    for (size_t i = 0; i < 3; i++)
        check_close(y[i], typed[i].density, 1e-12, "separate shares up to 1 stay as typed");
}

/* ---- legumes ---- */

static double keeps(struct bench *b, double nmin_kg_ha, double n0_kg_ha)
{
    return VALUE(bt_nitrate_keeps(b->s, area(b, nmin_kg_ha / 10), area(b, n0_kg_ha / 10),
                                  area(b, 5)));
}

static void fixation(void **state)
{
    struct bench *b = *state;
    check_close(keeps(b, 20 * 3.9, 350), 0.91, 5e-3,
                "eq. 6: 20 mg/kg keeps 91 %; derived there");
    check_close(keeps(b, 50 * 3.9, 350), 0.52, 1e-2, "eq. 6: 50 mg/kg keeps 52 %");
    check_close(keeps(b, 90 * 3.9, 350), 0, 1e-12, "eq. 6: 90 mg/kg keeps nothing");
    /* W9: 50 kg nitrate N, N0 380, from zero: -13 % against -15 % measured (VOISIN2002,
     * JENSEN1986). */
    check_close(1 - (380.0 - 50) / 380, 0.13, 0.02, "W9; both read");
    const struct bt_node one = part(b, 1), limit = part(b, 0.95);
    const struct bt_node at_178 =
        bt_nitrate_keeps(b->s, area(b, 17.8), area(b, 35), area(b, 5));
    check_close(
        VALUE(bt_share_fixed(b->s, part(b, 0.38), part(b, 1.14), at_178, one, limit)), 0.25,
        0.01, "A17");
    const struct bt_node bean =
        bt_nitrate_keeps(b->s, area(b, 17.8), area(b, 25), area(b, 5));
    check_close(VALUE(bt_share_fixed(b->s, part(b, 0.38), part(b, 1.05), bean, one, limit)),
                0.14, 0.03, "A17 with the Phaseolus figures of more-mixed");
    check_close(VALUE(bt_share_fixed(b->s, part(b, 0.9), part(b, 1.16), one, one, limit)),
                0.95, 1e-12, "never above the limit");
    check_close(VALUE(bt_passed_on(b->s, part(b, 0.03), area(b, 9.04), part(b, 0.15),
                                   area(b, 1.14))),
                0.17, 0.01, "A18");
    const struct bt_node u = area(b, 5.4), e = part(b, 0.6);
    const struct bt_node draw = bt_legume_draw(b->s, u, part(b, 0.35), e);
    check_close(VALUE(draw), 5.9, 1e-2, "A16: draw of a bean");
    check_between(VALUE(bt_legume_need(b->s, draw, u, part(b, 0.56), e)), 3.95, 4.05,
                  "A16: need of a bean 4.0");
}

static void fates(void **state)
{
    struct bench *b = *state;
    /* W13: 85 kg/ha shoot N, R 1.32, Ndfa 0.38, harvest index 0.40 (constructed in the
     * handbook). */
    struct bt_legume_ledger l = bt_legume_fates(b->s, "bean", area(b, 8.5), part(b, 1.32),
                                                part(b, 0.38), area(b, 8.5 * 0.40));
    check_close(VALUE(l.fixed) * 10, 42.6, 2e-3, "W13: fixed");
    check_close(VALUE(l.harvested) * 10, 34, 2e-3, "W13: harvested");
    check_close((VALUE(l.fixed) - VALUE(l.harvested)) * 10, 8.6, 1e-2, "W13: net");
    check_close(VALUE(l.left) * 10, 78.2, 2e-3, "W13: residue and roots");
    bt_legume_pass_on(b->s, "bean", &l, area(b, 0.2));
    check_close(VALUE(l.fixed_harvested) + VALUE(l.passed_on) + VALUE(l.fixed_left),
                VALUE(l.fixed), 1e-12, "the fates of what is fixed add up");
    check_close(VALUE(bt_legume_draw(b->s, area(b, 8.5), part(b, 0.38), part(b, 1))) * 10,
                52.7, 2e-3, "finding 9e: drawn on the shoot basis 52.7");
    /* W3, W5, W8, W11: harvested N, and shoot N from what was fixed in it. */
    check_close(3000 * 0.020, 60, 1e-12, "W3: pulse grain 3 t/ha x 20 g/kg; read");
    check_close(144 / 0.74, 195, 3e-3, "W5: pea shoot N; inputs read");
    check_close(59.0 / 87, 0.68, 5e-3, "W7a: cowpea in company; inputs read");
    check_close(73.0 / 82, 0.89, 5e-3, "W7b: cowpea in company; inputs read");
    check_close(163.3 / 0.846, 193, 3e-3, "W8a: bean shoot N; inputs read");
    check_close(161.3 / 0.904, 178, 5e-3, "W8b: bean shoot N; inputs read");
    check_close(140.3 / 0.971, 144.5, 3e-3, "W8c: bean shoot N; inputs read");
    check_close(349 / 6.25, 56, 5e-3, "W11: protein to N exported; input read");
}

/* ---- the whole sum, by hand ---- */

/* A12: sole corn, 20 ppm on day 35, 4 % organic matter, vetch turned in 50 days before,
 * compost. */
static void reset_by_test(void **state)
{
    struct bench *b = *state;
    const double f = bt_uptake_share(35.0 / 85, 0.55, 12);
    const double reading =
        VALUE(bt_in_layer(b->s, part(b, 20e-6), density(b, 1.3), metres(b, 0.3)));
    const double om = om_release(b, 0.04, 2.24, 1, 1) * 0.370;
    const double vetch = 6.64 * (1 - bt_released_share(0.046, 50));
    const double compost = 145.3 * (0.09 - 0.068) * 0.370;
    const double need =
        VALUE(bt_need(b->s, area(b, 11 * (1 - f)), area(b, 0), part(b, 0.70)));
    check_close(reading, 7.80, 1e-9, "A12: reading");
    check_close(om, 3.32, 2e-3, "A12: organic matter still to come");
    check_close(vetch, 0.66, 2e-2, "A12: vetch still to come");
    check_close(compost, 1.18, 1e-2, "A12: compost still to come");
    check_close(need, 13.19, 2e-3, "A12: what corn still needs");
    check_between(reading + om + vetch + compost - need, -0.3, -0.1, "A12: balance -0.2");
}

/* A13: the June reading at which sweet corn breaks even; published critical level 25 to 30
 * ppm (Univ. of Delaware and others, read), general 25. */
static void break_even_reading(void **state)
{
    struct bench *b = *state;
    static const double om[] = {0.025, 0.04}, want_ppm[] = {28.5, 25.3};
    for (size_t i = 0; i < 2; i++) {
        const double f = bt_uptake_share(35.0 / 85, 0.55, 12);
        const double gap =
            VALUE(bt_need(b->s, area(b, 11 * (1 - f)), area(b, 0), part(b, 0.70))) -
            om_release(b, om[i], 2.24, 1, 1) * 0.370;
        const double per_ppm =
            VALUE(bt_in_layer(b->s, part(b, 1e-6), density(b, 1.3), metres(b, 0.3)));
        check_close(gap / per_ppm, want_ppm[i], 0.01, "A13");
        check_between(gap / per_ppm, 22, 32, "A13 against the published critical level");
    }
}

/* A24: the bed of the review's section 3 at its likely values; legume by its draw, as
 * there. */
static void bed_by_hand(void **state)
{
    struct bench *b = *state;
    const struct bt_node u_corn = area(b, 11 * 0.600), u_bean = area(b, 9.0 * 0.386),
                         u_squash = area(b, 11.4 * 0.214);
    const struct bt_node companions = bt_add(b->s, u_corn, u_squash);
    const struct bt_node nmin = area(b, 17.8);
    const struct bt_node ndfa = bt_share_fixed(
        b->s, part(b, 0.38), part(b, 1.14),
        bt_nitrate_keeps(b->s, nmin, area(b, 35), area(b, 5)), part(b, 1), part(b, 0.95));
    const struct bt_legume_ledger l = bt_legume_fates(
        b->s, "bean", u_bean, part(b, 1.32), ndfa, bt_mul(b->s, u_bean, part(b, 0.4)));
    const struct bt_node t =
        bt_passed_on(b->s, part(b, 0.03), companions, part(b, 0.15), l.fixed);
    check_close(VALUE(l.fixed), 1.14, 0.02, "A24: fixed");
    check_close(VALUE(t), 0.17, 0.03, "A24: passed on");
    const struct bt_node t_corn = bt_mul(b->s, t, bt_div(b->s, u_corn, companions));
    const struct bt_node t_squash = bt_sub(b->s, t, t_corn);
    const struct bt_node r_corn = bt_need(b->s, u_corn, t_corn, part(b, 0.70));
    const struct bt_node r_squash = bt_need(b->s, u_squash, t_squash, part(b, 0.60));
    const struct bt_node r_bean = bt_legume_draw(b->s, u_bean, ndfa, part(b, 0.60));
    const double required = VALUE(r_corn) + VALUE(r_squash) + VALUE(r_bean);
    check_close(required, 17.6, 0.01, "A24: required");
    const double water = VALUE(
        bt_water_nitrogen(b->s, metres(b, 12 * IN_M), bt_constant(b->s, 5, BT_DENSITY)));
    const double supply =
        om_release(b, 0.04, 2.2, 1, 1) +
        VALUE(bt_in_layer(b->s, part(b, 3e-6), density(b, 1.3), metres(b, 0.3))) +
        145.3 * 0.09 + 7.5 + available(b, 13, 0.036) + water + 0.33;
    check_close(supply, 39.0, 0.01, "A24: supply");
    check_close(supply - required, 21.4, 0.015, "A24: end balance");
    const double taken =
        VALUE(u_corn) + VALUE(u_squash) - VALUE(t) + VALUE(u_bean) * (1 - VALUE(ndfa));
    check_close(supply - taken, 27.5, 0.02, "A24: left in the soil");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rate_units),
        cmocka_unit_test_setup_teardown(organic_matter, setup, teardown),
        cmocka_unit_test_setup_teardown(nitrate_and_water, setup, teardown),
        cmocka_unit_test_setup_teardown(warmth, setup, teardown),
        cmocka_unit_test(uptake_curve),
        cmocka_unit_test_setup_teardown(composts, setup, teardown),
        cmocka_unit_test_setup_teardown(pan_line, setup, teardown),
        cmocka_unit_test_setup_teardown(surface_and_tie_up, setup, teardown),
        cmocka_unit_test_setup_teardown(sunn_hemp, setup, teardown),
        cmocka_unit_test_setup_teardown(demand, setup, teardown),
        cmocka_unit_test_setup_teardown(recovery_shift, setup, teardown),
        cmocka_unit_test_setup_teardown(mixed_ground, setup, teardown),
        cmocka_unit_test_setup_teardown(mixed_ground_laws, setup, teardown),
        cmocka_unit_test_setup_teardown(fixation, setup, teardown),
        cmocka_unit_test_setup_teardown(fates, setup, teardown),
        cmocka_unit_test_setup_teardown(reset_by_test, setup, teardown),
        cmocka_unit_test_setup_teardown(break_even_reading, setup, teardown),
        cmocka_unit_test_setup_teardown(bed_by_hand, setup, teardown),
    };
    return cmocka_run_group_tests_name("model", tests, NULL, NULL) != 0;
}
