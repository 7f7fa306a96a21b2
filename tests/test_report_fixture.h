/* A garden, a bed and a finding with invented numbers, for the tests of the report room:
 * corn and beans in one bed of 32 sq ft. Nothing here comes from a publication. */
#ifndef BT_TESTS_REPORT_FIXTURE_H
#define BT_TESTS_REPORT_FIXTURE_H

#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "report/report.h"

#define AREA_M2 2.97289728 /* 32 sq ft */

enum { N_DATES = 4, N_LINES = 4, N_PLANTINGS = 2, N_DRIVERS = 4 };

struct fixture {
    struct bt_arena *arena, *kept;
    struct bt_units *units;
    struct bt_show show;
    struct bt_garden garden;
    struct bt_bed bed;
    struct bt_planting planting[N_PLANTINGS];
    struct bt_sheet *sheet;
    int date[N_DATES];
    double have[N_DATES], need[N_DATES];
    double by_date[N_LINES][N_DATES];
    struct bt_line line[N_LINES];
    struct bt_line_finding line_finding[N_LINES];
    struct bt_planting_facts facts[N_PLANTINGS];
    struct bt_planting_spread spread[N_PLANTINGS];
    struct bt_driver driver[N_DRIVERS];
    struct bt_gauge_finding gauge[2];
    struct bt_caution caution;
    const struct bt_caution *cautions[1];
    struct bt_budget budget;
    struct bt_finding finding;
    char *text;
    size_t length;
    struct bt_out out;
};

static inline void no_memory(void *context)
{
    (void)context;
    abort();
}

/* Spread with the middle at `m` and 9 in 10 within `m` -+ `w`. */
static inline struct bt_spread spread_of(double m, double w)
{
    return (struct bt_spread){.likely = m,
                              .mean = m,
                              .sd = w / 1.645,
                              .p05 = m - w,
                              .p25 = m - 0.41 * w,
                              .p50 = m,
                              .p75 = m + 0.41 * w,
                              .p95 = m + w};
}

static inline struct bt_node leaf_of(struct fixture *f, const char *id, const char *label,
                                     struct bt_range range, struct bt_unit unit,
                                     const char *source, bool assumed)
{
    return bt_leaf(f->sheet, &(struct bt_leaf){
                                 .id = id,
                                 .label = label,
                                 .dim = unit.dim,
                                 .range = range,
                                 .limit_low = 0,
                                 .limit_high = HUGE_VAL,
                                 .unit = unit.text,
                                 .unit_factor = unit.factor,
                                 .source = source,
                                 .seen = BT_READ,
                                 .at = {.file = "plantings.csv", .line = 2},
                                 .assumed = assumed
    });
}

/* need of sweet corn = (uptake of sweet corn - passed on) / share the roots catch; uptake =
 * yield . N content. Soil = lesser of (organic matter, limit) . release. */
static inline void build_sheet(struct fixture *f)
{
    struct bt_sheet *s = f->sheet = bt_sheet_new(f->arena);
    const struct bt_unit g_m2 = {BT_MASS_PER_AREA, 1, 0, "g/m2", NULL, NULL, NULL};
    const struct bt_unit kg_m2 = {BT_MASS_PER_AREA, 1000, 0, "kg/m2", NULL, NULL, NULL};
    const struct bt_unit g_kg = {BT_FRACTION, 1e-3, 0, "g/kg", NULL, NULL, NULL};
    const struct bt_unit percent = {BT_FRACTION, 0.01, 0, "%", NULL, NULL, NULL};
    const struct bt_unit share = {BT_FRACTION, 1, 0, "", NULL, NULL, NULL};
    const struct bt_node yield =
        leaf_of(f, "crops/sweet corn/yield/A1", "yield of sweet corn",
                bt_range_of(1000, 1500, 2000, BT_BOUNDS), kg_m2, "INVENTED-1", true);
    const struct bt_node content =
        leaf_of(f, "crops/sweet corn/n_uptake", "uptake per harvest of sweet corn",
                bt_range_of(0.007, 0.008, 0.009, BT_BOUNDS), g_kg, "INVENTED-1", false);
    const struct bt_node recovery =
        leaf_of(f, "crops/sweet corn/recovery", "share the roots catch of sweet corn",
                bt_range_of(0.5, 0.75, 0.9, BT_BOUNDS), share, "INVENTED-2", false);
    const struct bt_node passed =
        leaf_of(f, "passed", "nitrogen passed on by pole bean",
                bt_range_of(0, 0.3, 0.9, BT_BOUNDS), g_m2, "INVENTED-2", false);
    const struct bt_node uptake = bt_named(
        s, "uptake/A1/sweet corn", "uptake of sweet corn", bt_mul(s, yield, content));
    f->line[2].node = bt_named(s, "need/A1/sweet corn", "need of sweet corn",
                               bt_div(s, bt_sub(s, uptake, passed), recovery));
    f->line[3].node =
        bt_named(s, "need/A1/pole bean", "need of pole bean",
                 bt_constant_named(s, 2, BT_MASS_PER_AREA, "open need of pole bean",
                                   "2 by hand", NULL));
    const struct bt_node om =
        leaf_of(f, "soils/any/organic_matter/A1", "organic matter of the soil",
                bt_range_of(0.02, 0.03, 0.05, BT_BOUNDS), percent, "INVENTED-2", true);
    const struct bt_node release =
        leaf_of(f, "soils/temperate/om_release", "release per percent",
                bt_range_of(1.1, 2.2, 3.6, BT_BOUNDS), g_m2, "INVENTED-2", false);
    const struct bt_node held = bt_min(s, om, bt_share(s, 0.05));
    f->line[0].node = bt_named(
        s, "supply/A1/soil organic matter", "soil organic matter",
        bt_mul(s,
               bt_div(s, held, bt_constant_named(s, 0.01, BT_FRACTION, "1 %", NULL, NULL)),
               release));
    f->line[1].node =
        leaf_of(f, "applications/A1/dairy compost 1/amount", "amount of dairy compost",
                bt_range_exact(1.5), g_m2, "stated", false);
    const struct bt_node supply[] = {f->line[0].node, f->line[1].node};
    const struct bt_node needs[] = {f->line[2].node, f->line[3].node};
    struct bt_account *x = &f->budget.account[BT_N];
    x->supply = bt_named(s, "supply/A1", "supply", bt_sum(s, 2, supply, BT_MASS_PER_AREA));
    x->required =
        bt_named(s, "required/A1", "required", bt_sum(s, 2, needs, BT_MASS_PER_AREA));
    x->balance = bt_named(s, "balance/A1", "balance", bt_sub(s, x->supply, x->required));
    x->left = bt_named(s, "left/A1", "left in the soil", bt_max(s, x->balance, passed));
    f->driver[0] = (struct bt_driver){yield, 0.5, 2.1, -2.3};
    f->driver[1] = (struct bt_driver){om, 0.25, -1.2, 1.4};
    f->driver[2] = (struct bt_driver){release, 0.15, -1, 1.1};
    f->driver[3] = (struct bt_driver){recovery, 0.05, -0.6, 0.6};
    f->gauge[0] = (struct bt_gauge_finding){BT_GAUGE_HARVEST, yield, 0.25, 0.8};
    f->gauge[1] = (struct bt_gauge_finding){BT_GAUGE_ORGANIC_MATTER, om, 0.1, 0};
    f->facts[0] = (struct bt_planting_facts){.planting = &f->planting[0],
                                             .density = 0.5,
                                             .stand_area_m2 = 0.5 * AREA_M2,
                                             .relative_yield = bt_share(s, 0.62),
                                             .uptake = uptake,
                                             .recovery = recovery,
                                             .required = f->line[2].node};
    f->facts[1] = (struct bt_planting_facts){.planting = &f->planting[1],
                                             .density = 0.75,
                                             .stand_area_m2 = 0.75 * AREA_M2,
                                             .relative_yield = bt_share(s, 0.5),
                                             .uptake = f->line[3].node,
                                             .recovery = recovery,
                                             .required = f->line[3].node,
                                             .is_legume = true,
                                             .plant_n = f->line[3].node,
                                             .ndfa = bt_share(s, 0.4),
                                             .fixed = f->line[3].node,
                                             .harvested = passed,
                                             .transfer = passed,
                                             .residue = passed,
                                             .draw = passed};
}

static inline void fill_finding(struct fixture *f)
{
    static const char *const ids[] = {"supply/A1/soil organic matter",
                                      "supply/A1/dairy compost", "need/A1/sweet corn",
                                      "need/A1/pole bean"};
    static const char *const labels[] = {"soil organic matter", "dairy compost",
                                         "need of sweet corn", "need of pole bean"};
    const double likely[] = {6.6, 1.5, 15.6, 2};
    const double wide[] = {2.5, 0, 4.5, 0.75};
    const double in_time[] = {0.75, 1, 0.9, 0.8};
    struct bt_account *account = &f->budget.account[BT_N];
    struct bt_account_finding *x = &f->finding.account[BT_N];
    for (size_t k = 0; k < N_LINES; k++) {
        f->line[k].id = ids[k];
        f->line[k].label = labels[k];
        f->line[k].side = k < 2 ? BT_SUPPLY : BT_DEMAND;
        f->line[k].by_date = f->by_date[k];
        f->line_finding[k] =
            (struct bt_line_finding){.line = &f->line[k],
                                     .total = spread_of(likely[k], wide[k]),
                                     .in_time_share = in_time[k]};
    }
    f->line[1].planned = true;
    const double have[] = {0, 3, 6, 8.1}, need[] = {0, 2, 14, 17.6};
    const int dates[] = {bt_day(2026, 5, 1), bt_day(2026, 6, 15), bt_day(2026, 8, 7),
                         bt_day(2026, 9, 30)};
    memcpy(f->have, have, sizeof have);
    memcpy(f->need, need, sizeof need);
    memcpy(f->date, dates, sizeof dates);
    account->nutrient = BT_N;
    account->known = true;
    account->n_dates = N_DATES;
    account->date = f->date;
    account->n_lines = N_LINES;
    account->line = f->line;
    account->left_limit_g_m2 = 7;
    *x = (struct bt_account_finding){.account = account,
                                     .n_lines = N_LINES,
                                     .line = f->line_finding,
                                     .required = spread_of(17.6, 5),
                                     .supply = spread_of(8.1, 2.5),
                                     .balance = spread_of(-9.5, 5.5),
                                     .tightest = spread_of(-10, 5.5),
                                     .shortfall = spread_of(10, 5.5),
                                     .surplus = spread_of(0, 0),
                                     .left = spread_of(1.25, 0.75),
                                     .tightest_date = dates[2],
                                     .tightest_date_chance = 0.8,
                                     .chance_of_shortfall = 0.9971,
                                     .chance_of_visible_shortfall = 0.9612,
                                     .chance_error = 0.0015,
                                     .chance_left_over_limit = 0,
                                     .have = f->have,
                                     .need = f->need,
                                     .n_drivers = N_DRIVERS,
                                     .driver = f->driver,
                                     .n_gauges = 2,
                                     .gauge = f->gauge,
                                     .word = BT_SHORT};
    f->spread[0] = (struct bt_planting_spread){.uptake = spread_of(12, 3),
                                               .required = spread_of(15.6, 4.5)};
    f->spread[1] = (struct bt_planting_spread){.uptake = spread_of(5, 1),
                                               .required = spread_of(2, 0.75),
                                               .plant_n = spread_of(5, 1),
                                               .ndfa = spread_of(0.4, 0.15),
                                               .fixed = spread_of(2, 1),
                                               .harvested = spread_of(1, 0.5),
                                               .transfer = spread_of(0.3, 0.3),
                                               .residue = spread_of(0.7, 0.4),
                                               .draw = spread_of(4, 1.5),
                                               .transfer_of_companions = 0.02};
}

static const char *const understood[] = {"sweet corn: 12 plants"};
static const struct bt_assumption assumed[] = {
    {.sentence = "yield of sweet corn: 1 to 2 kg/m2 (read)"}};

static inline struct fixture *fixture_new(bool us_units, bool unicode)
{
    struct bt_arena *a = bt_arena_new(1 << 16, no_memory, NULL);
    struct fixture *f = bt_arena_zero(a, sizeof *f);
    size_t n;
    f->arena = a;
    f->kept = bt_arena_new(1 << 12, no_memory, NULL);
    const char *table = bt_embedded_table("units", &n);
    f->units = bt_units_new(a, bt_diag_new(a), table, n);
    assert_non_null(f->units);
    f->show = (struct bt_show){.arena = a,
                               .units = f->units,
                               .us_units = us_units,
                               .unicode = unicode,
                               .version = "0.1.0",
                               .samples = 16384,
                               .seed = 7};
    f->garden = (struct bt_garden){.folder = "my garden",
                                   .enough = 0.8,
                                   .name = "Three Beds",
                                   .us_units = us_units,
                                   .season = 2026,
                                   .season_start = bt_day(2026, 5, 1),
                                   .season_end = bt_day(2026, 9, 30),
                                   .as_of = bt_day(2026, 5, 20),
                                   .warmth = "temperate",
                                   .units_given = true,
                                   .month_first = us_units,
                                   .n_beds = 1,
                                   .n_plantings = 2};
    f->bed = (struct bt_bed){.id = "A1",
                             .name = "by the shed",
                             .area_m2 = AREA_M2,
                             .kind = BT_GROUND,
                             .area_working = "8 ft x 4 ft"};
    for (size_t i = 0; i < N_PLANTINGS; i++)
        f->planting[i] = (struct bt_planting){
            .bed = &f->bed,
            .crop = i ? "pole bean" : "sweet corn",
            .written = i ? "pole beans" : "sweet corn",
            .legume = i ? "pole bean" : NULL,
            .plants = {.presence = BT_GIVEN,
                       .groups = 6,
                       .each = i ? 4 : 2,
                       .group = "mound"                        },
            .in_ground = { true,         bt_day(2026, 5, i ? 30 : 20), 0}
        };
    f->planting[0].plants.cell.text = "6 mounds x 2";
    f->planting[1].plants.cell.text = "6 mounds x 4";
    f->caution = (struct bt_caution){.topic = "water",
                                     .when = "general",
                                     .rule = "Keep the mulch off the stems",
                                     .jurisdiction = "",
                                     .source = "INVENTED-1",
                                     .seen = BT_JUDGEMENT};
    f->cautions[0] = &f->caution;
    f->budget = (struct bt_budget){.garden = &f->garden,
                                   .bed = &f->bed,
                                   .n_accounts = 1,
                                   .n_plantings = N_PLANTINGS,
                                   .planting = f->facts,
                                   .n_understood = 1,
                                   .understood = understood,
                                   .n_assumed = 1,
                                   .assumed = assumed,
                                   .n_cautions = 1,
                                   .caution = f->cautions};
    build_sheet(f);
    f->budget.sheet = f->sheet;
    f->finding.budget = &f->budget;
    f->finding.planting = f->spread;
    fill_finding(f);
    f->out = bt_out_stream(open_memstream(&f->text, &f->length));
    return f;
}

/* What was written so far. */
static inline const char *written(struct fixture *f)
{
    assert_true(bt_out_done(&f->out));
    return f->text;
}

static inline void fixture_free(struct fixture *f)
{
    struct bt_arena *a = f->arena;
    fclose(f->out.f);
    free(f->text);
    bt_units_free(f->units);
    bt_arena_free(f->kept);
    bt_arena_free(a);
}

#endif
