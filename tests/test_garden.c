/* What the readers of settings, beds and plantings understand, in inside units: grams,
 * metres, days. Values are arithmetic from the cells unless a row says otherwise. The
 * handbook is a small invented one. */
#include "check.h"

#include <sys/stat.h>

#include "base/text.h"
#include "garden_fixture.h"

static const double PI = 3.14159265358979323846;
static const double FOOT_M = 0.3048;
static const double POUND_G = 453.59237;

/* ---- beds ---- */

static const struct area_row {
    const char *name,
        *cells; /* length,width,shape,area,less,planted,kind,pots,pot_volume,depth */
    double want_m2;
} areas[] = {
    {"8 ft by 4 ft",                                       "8 ft,4 ft,,,,,,,,",               32 * 0.3048 * 0.3048           },
    {"feet and inches",                                    "\"6'0\"\"\",\"1'6\"\"\",,,,,,,,", 9 * 0.3048 * 0.3048            },
    {"round, the length across",                           "3 ft,,round,,,,,,,",
     3.14159265358979 / 4 * 9 * 0.3048 * 0.3048                                                                              },
    {"an area typed",                                      ",,,3.5 m2,,,,,,",                 3.5                            },
    {"an area as two sides",                               ",,,2 m x 1.5 m,,,,,,",            3                              },
    {"one unit for both sides",                            ",,,2 x 1.5 m,,,,,,",              3                              },
    {"area and sides that agree",                          "2 m,1.5 m,,3 m2,,,,,,",           3                              },
    {"a path taken off",                                   "2 m,1.5 m,,,0.5 m2,,,,,",         2.5                            },
    {"60 % of it planted",                                 "2 m,1.5 m,,,0.5 m2,60 %,,,,",     1.5                            },
    {"a typed part planted",                               "2 m,1.5 m,,,,1.2 m2,,,,",         1.2                            },
    {"half of it planted",                                 "2 m,1.5 m,,,,0.5,,,,",            1.5                            },
    {"pots with a depth",                                  ",,,,,,pots,6,20 L,25 cm",         6 * 0.02 / 0.25                },
    {"pots as high as wide: a cylinder of diameter 30 cm", ",,,,,,,4,21.205750 L,",
     4 * 3.14159265358979 / 4 * 0.09                                                                                         },
    {"pots of a typed width",                              "30 cm,,round,,,,pots,4,,",        4 * 3.14159265358979 / 4 * 0.09},
};

static void area_of_a_bed(void **state)
{
    const struct area_row *r = *state;
    char beds[512];
    snprintf(beds, sizeof beds,
             "bed,length,width,shape,area,less,planted,kind,pots,pot_volume,depth\nA1,%s\n",
             r->cells);
    struct loaded l = load((struct files){.beds = beds});
    check_close(l.g->bed[0].area_m2, r->want_m2, 1e-6, "geometry");
    fixture_free(&l.x);
}

static void bed_cells(void **state)
{
    (void)state;
    struct loaded l = load((struct files){0});
    const struct bt_bed *a1 = &l.g->bed[0];
    assert_int_equal(l.g->n_beds, 3);
    assert_string_equal(a1->id, "A1");
    assert_string_equal(a1->name, "Corn");
    assert_string_equal(a1->group, "north");
    assert_string_equal(a1->texture, "loam");
    assert_string_equal(a1->area_working, "8 ft x 4 ft");
    assert_int_equal(a1->kind, BT_GROUND);
    check_close(a1->depth.range.likely, 0.254, 1e-9, "10 in");
    assert_null(l.g->bed[1].texture);
    assert_int_equal(l.g->bed[2].depth.presence, BT_BLANK);
    fixture_free(&l.x);
}

/* ---- plantings ---- */

static void planting_cells(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .plantings =
            "bed,crop,like,variety,plants,rows,spacing,among,in_ground,ended,expected,"
            "picked,rest,"
            "frame,fresh,dry_matter,n_percent,inoculated,status\n"
            "A1,Maize,,dent,8 mounds x 2,,,,5/10/2026,,5 lb/plant,fruit,dug in,,,,,,\n"
            "A1,pole beans,,,16,,,sweet corn,2026-05-25,,poor,green; "
            "dry,left,,,,,yes,planned\n"
            "A2,calendula,small flower,,6,,,,2026-07-01,,,,,1 ft x 2 ft,2 lb,18,3.2 %,,\n"
            "A2,calendula,small flower,,,2 x 6 ft,6 x 12 "
            "in,,2026-05-01,2026-06-30,,,,,,,,,\n"
            "B1,yarrow,,,,,,,2023,,,nothing,standing,,,,,,\n"});
    const struct bt_planting *p = l.g->planting;
    assert_int_equal(l.g->n_plantings, 5);
    assert_string_equal(p[0].crop, "sweet corn");
    assert_string_equal(p[0].written, "Maize");
    assert_null(p[0].legume);
    check_close(bt_planting_count(l.x.handbook, &p[0]), 16, 1e-12, "8 x 2");
    check_close(p[0].expected.range.likely, 16 * 5 * POUND_G, 1e-9, "16 plants at 5 lb");
    assert_int_equal(p[0].in_ground.day, bt_day(2026, 5, 10));
    assert_int_equal(p[0].status, BT_DONE);
    assert_int_equal(p[0].rest, BT_REST_DUG_IN);
    assert_int_equal(p[0].inoculated, -1);
    assert_string_equal(p[1].legume, "pole bean");
    assert_string_equal(p[1].expected.word, "poor");
    assert_int_equal(p[1].picked, BT_PICKED_GREEN | BT_PICKED_DRY);
    assert_int_equal(p[1].inoculated, 1);
    assert_int_equal(p[1].status, BT_PLANNED);
    assert_string_equal(p[1].among, "sweet corn");
    assert_string_equal(p[2].crop, "small flower");
    assert_string_equal(p[2].id, "A2/calendula 1");
    assert_string_equal(p[3].id, "A2/calendula 2");
    assert_int_equal(p[3].n_same, 2);
    assert_int_equal(p[2].status, BT_PLANNED); /* after as_of */
    check_close(p[2].frame.range.likely, 2 * FOOT_M * FOOT_M, 1e-9, "1 ft x 2 ft");
    check_close(p[2].dry_matter.range.likely, 0.18, 1e-12, "18 %");
    check_close(p[2].n_percent.range.likely, 0.032, 1e-12, "3.2 %");
    check_close(bt_planting_count(l.x.handbook, &p[3]), 24, 1e-9, "2 rows of 6 ft at 6 in");
    assert_int_equal(p[4].picked, BT_PICKED_NOTHING);
    assert_int_equal(p[4].in_ground.width_d, 365);
    fixture_free(&l.x);
}

static void like_decides(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .plantings = "bed,crop,like,plants\nA1,lettuce,kale,6\nA1,lettuce,,6\n"});
    assert_string_equal(l.g->planting[0].crop, "kale");
    assert_string_equal(l.g->planting[1].crop, "lettuce");
    assert_string_equal(l.g->planting[0].written, "lettuce");
    assert_int_equal(l.g->planting[1].ordinal, 2);
    fixture_free(&l.x);
}

static const struct share_row {
    const char *typed;
    double want;
} shares[] = {
    {"40 %", 0.4},
    {"0.4",  0.4},
    {"40",   0.4},
    {"1/2",  0.5},
    {"1",    1  },
    {"100",  1  }
};

static void share_as_typed(void **state)
{
    const struct share_row *r = *state;
    char text[128];
    snprintf(text, sizeof text, "bed,crop,share\nA1,lettuce,%s\n", r->typed);
    struct loaded l = load((struct files){.plantings = text});
    check_close(l.g->planting[0].share.range.likely, r->want, 1e-12, "a share");
    fixture_free(&l.x);
}

/* ---- the season ---- */

static const struct season_row {
    const char *name, *settings;
    int season;
    struct bt_date on;
    int want_season, want_start[3], want_end[3], want_as_of[3];
} seasons[] = {
    {"all typed",
     "season,2026\nseason_start,2026-04-20\nseason_end,10 October\nas_of,2026-06-01\n",   0,
     {0},
     2026,                                                                                                 {2026, 4, 20},
     {2026, 10, 10},
     {2026, 6, 1}                                                                                                                                     },
    {"month and day in many forms",
     "season,2026\nseason_start,04-15\nseason_end,Oct 9\n",                               0,
     {0},
     2026,                                                                                                 {2026, 4, 15},
     {2026, 10, 9},
     {2026, 5, 20}                                                                                                                                    },
    {"as a spreadsheet leaves it",
     "season,2026\nseason_start,15-Apr\nseason_end,10/9\n",                               0,
     {0},
     2026,                                                                                                 {2026, 4, 15},
     {2026, 10, 9},
     {2026, 5, 20}                                                                                                                                    },
    {"defaults",                                                "",                       0,    {0}, 2026, {2026, 5, 1},  {2026, 9, 30}, {2026, 5, 20}},
    {"another season keeps month and day",
     "season,2026\nseason_start,2026-04-20\n",                                            2025,
     {0},
     2025,                                                                                                 {2025, 4, 20},
     {2025, 9, 30},
     {2026, 5, 20}                                                                                                                                    },
    {"across the new year",
     "season,2025\nseason_start,1 September\nseason_end,31 May\n",                        0,
     {0},
     2025,                                                                                                 {2025, 9, 1},
     {2026, 5, 31},
     {2026, 5, 20}                                                                                                                                    },
    {"both years typed, named by the first",
     "season,2026\nseason_start,2026-09-15\nseason_end,2027-04-30\nas_of,2026-09-15\n",   0,
     {0},
     2026,                                                                                                 {2026, 9, 15},
     {2027, 4, 30},
     {2026, 9, 15}                                                                                                                                    },
    {"both years typed, named by the second",
     "season,2027\nseason_start,2026-09-15\nseason_end,2027-04-30\nas_of,2026-09-15\n",   0,
     {0},
     2027,                                                                                                 {2026, 9, 15},
     {2027, 4, 30},
     {2026, 9, 15}                                                                                                                                    },
    {"both years typed, not named",
     "season_start,2026-09-15\nseason_end,2027-04-30\nas_of,2026-09-15\n",                0,
     {0},
     2026,                                                                                                 {2026, 9, 15},
     {2027, 4, 30},
     {2026, 9, 15}                                                                                                                                    },
    {"the season before one that is named by its second year",
     "season,2027\nseason_start,2026-09-15\nseason_end,2027-04-30\nas_of,2026-09-15\n",   2026,
     {0},
     2026,                                                                                                 {2025, 9, 15},
     {2026, 4, 30},
     {2026, 9, 15}                                                                                                                                    },
    {"the next of one that is not named",
     "season_start,2026-09-15\nseason_end,2027-04-30\nas_of,2026-09-15\n",                2027,
     {0},
     2027,                                                                                                 {2027, 9, 15},
     {2028, 4, 30},
     {2026, 9, 15}                                                                                                                                    },
    {"only the end has a year",
     "season_start,15 September\nseason_end,2027-04-30\nas_of,2026-09-15\n",              0,
     {0},
     2026,                                                                                                 {2026, 9, 15},
     {2027, 4, 30},
     {2026, 9, 15}                                                                                                                                    },
    {"named by the year of its end",
     "season,2027\nseason_start,15 September\nseason_end,2027-04-30\nas_of,2026-09-15\n", 0,
     {0},
     2027,                                                                                                 {2026, 9, 15},
     {2027, 4, 30},
     {2026, 9, 15}                                                                                                                                    },
    {"only the start has a year",
     "season,2027\nseason_start,2026-09-15\nseason_end,30 April\nas_of,2026-09-15\n",     0,
     {0},
     2027,                                                                                                 {2026, 9, 15},
     {2027, 4, 30},
     {2026, 9, 15}                                                                                                                                    },
    {"no year at all: the season that as_of lies in or before",
     "season_start,15 September\nseason_end,30 April\nas_of,2026-09-15\n",                0,
     {0},
     2026,                                                                                                 {2026, 9, 15},
     {2027, 4, 30},
     {2026, 9, 15}                                                                                                                                    },
    {"between two seasons: the next",
     "season_start,1 October\nseason_end,30 April\nas_of,2026-09-15\n",                   0,
     {0},
     2026,                                                                                                 {2026, 10, 1},
     {2027, 4, 30},
     {2026, 9, 15}                                                                                                                                    },
    {"the day given on the command line",
     "season,2026\nas_of,2026-06-01\n",                                                   0,
     {true, 20700, 0},
     2026,                                                                                                 {2026, 5, 1},
     {2026, 9, 30},
     {2026, 9, 4}                                                                                                                                     },
};

static void season_of(void **state)
{
    const struct season_row *r = *state;
    char garden[512];
    snprintf(garden, sizeof garden, "setting,value\nunits,us\n%s", r->settings);
    struct loaded l = load((struct files){
        .garden = garden,
        .season = r->season,
        .on = r->on,
        .plantings = "bed,crop,plants,in_ground,status\nA1,sweet corn,12,2026-05-20,done\n"
                     "A1,pole bean,8,2026-05-28,\n"});
    assert_int_equal(l.g->season, r->want_season);
    assert_int_equal(l.g->season_start,
                     bt_day(r->want_start[0], r->want_start[1], r->want_start[2]));
    assert_int_equal(l.g->season_end,
                     bt_day(r->want_end[0], r->want_end[1], r->want_end[2]));
    assert_int_equal(l.g->as_of,
                     bt_day(r->want_as_of[0], r->want_as_of[1], r->want_as_of[2]));
    fixture_free(&l.x);
}

static void settings(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .garden = "setting,value\nunits,metric\nseason,2026\nname,Plot 7\nwarmth,cool\n"
                  "mean_temperature,50 F\ntemperature_half_range,18 "
                  "F\nallowed,organic\nenough,90 %\n"
                  "left_limit,60 kg/ha\nnote,mine\n",
        .plantings = "bed,crop,plants,in_ground\nA1,sweet corn,12,10/5/2026\n"});
    const struct bt_garden *g = l.g;
    assert_string_equal(g->name, "Plot 7");
    assert_false(g->us_units);
    assert_false(g->month_first);
    assert_int_equal(g->planting[0].in_ground.day, bt_day(2026, 5, 10));
    assert_string_equal(g->warmth, "cool");
    check_close(g->mean_temperature.range.likely, 10, 1e-9, "50 F");
    check_close(g->temperature_half_range.range.likely, 10, 1e-9, "a difference of 18 F");
    assert_true(g->organic_only);
    check_close(g->enough, 0.9, 1e-12, "90 %");
    check_close(g->left_limit.range.likely, 6, 1e-9, "60 kg/ha");
    fixture_free(&l.x);
}

/* ---- files and columns ---- */

static const char *only_message(struct fixture *x)
{
    assert_int_equal(bt_diag_kept(x->diag), 1);
    return bt_message_text(x->arena, bt_diag_get(x->diag, 0));
}

static void missing_files(void **state)
{
    (void)state;
    struct fixture x = fixture_new();
    const struct bt_garden_options o = {.units = -1};
    assert_null(
        bt_garden_load(x.arena, x.diag, x.units, x.handbook, "tests/no-such-folder", &o));
    assert_string_equal(only_message(&x),
                        "tests/no-such-folder: error: folder: expected a garden "
                        "folder\n  hint: bedtally new makes one");
    fixture_free(&x);

    x = fixture_new();
    char folder[] = "/tmp/bedtally-test-XXXXXX";
    assert_non_null(mkdtemp(folder));
    fixture_write(&x, folder, "garden.csv", SETTINGS);
    fixture_write(&x, folder, "beds.csv", BEDS);
    fixture_write(&x, folder, "planting.csv", PLANTINGS);
    assert_null(bt_garden_load(x.arena, x.diag, x.units, x.handbook, folder, &o));
    assert_string_equal(
        only_message(&x),
        bt_arena_format(
            x.arena,
            "%s/plantings.csv: error: file: expected a file plantings.csv in the garden "
            "folder\n  hint: there is \"planting\"; names end in .csv",
            folder));
    fixture_remove(&x, folder);
    fixture_free(&x);
}

/* A folder with the name of a file stands for a file that is there and cannot be read. */
static void unreadable_file(void **state)
{
    (void)state;
    struct fixture x = fixture_new();
    const struct bt_garden_options o = {.units = -1};
    char folder[] = "/tmp/bedtally-test-XXXXXX";
    assert_non_null(mkdtemp(folder));
    fixture_write(&x, folder, "garden.csv", SETTINGS);
    fixture_write(&x, folder, "beds.csv", BEDS);
    const char *path = bt_arena_format(x.arena, "%s/plantings.csv", folder);
    assert_int_equal(mkdir(path, 0700), 0);
    assert_null(bt_garden_load(x.arena, x.diag, x.units, x.handbook, folder, &o));
    const char *text = only_message(&x);
    assert_true(bt_text_starts(text, bt_arena_format(x.arena, "%s: error: ", path)));
    rmdir(path);
    fixture_remove(&x, folder);
    fixture_free(&x);
}

static void columns_are_listed(void **state)
{
    (void)state;
    const char *const *out;
    assert_int_equal(bt_garden_columns("garden", &out), 2);
    assert_int_equal(bt_garden_columns("beds", &out), 14);
    assert_string_equal(out[13], "texture");
    assert_int_equal(bt_garden_columns("plantings", &out), 22);
    assert_int_equal(bt_garden_columns("soil_tests", &out), 20);
    assert_int_equal(bt_garden_columns("water", &out), 7);
    assert_int_equal(bt_garden_columns("materials", &out), 19);
    assert_int_equal(bt_garden_columns("applications", &out), 9);
    assert_int_equal(bt_garden_columns("measures", &out), 2);
    assert_int_equal(bt_garden_columns("harvests", &out), 5);
    assert_int_equal(bt_garden_columns("purchases", &out), 8);
    assert_int_equal(bt_garden_columns("weather", &out), 0);
    assert_null(out);
    assert_int_equal(bt_garden_settings(&out), 17);
    assert_int_equal(bt_garden_words("plantings", "rest", &out), 5);
    assert_string_equal(out[4], "standing");
    assert_int_equal(bt_garden_words("plantings", "bed", &out), 0);
}

/* A pot as high as wide, 30 cm: volume pi/4 d^3, area pi/4 d^2. */
static void pot_geometry(void **state)
{
    (void)state;
    check_close(bt_pot_area_m2(PI / 4 * 0.027, 0), PI / 4 * 0.09, 1e-12, "geometry");
    check_close(bt_pot_area_m2(0.02, 0.25), 0.08, 1e-12, "volume over depth");
}

static void order_of_beds_changes_nothing(void **state)
{
    (void)state;
    const char *rows[] = {"A1,north,8 ft,4 ft\n", "B1,south,10 ft,4 ft\n"};
    char beds[2][128];
    for (int i = 0; i < 2; i++)
        snprintf(beds[i], sizeof beds[i], "bed,group,length,width\n%s%s", rows[i],
                 rows[1 - i]);
    for (int i = 0; i < 2; i++) {
        struct loaded l = load((struct files){
            .beds = beds[i],
            .applications = "date,beds,material,amount\n2026-05-01,all,urea,1 oz\n"});
        assert_int_equal(l.g->application[0].n_beds, 2);
        assert_int_equal(l.g->planting[0].bed_index, i);
        assert_string_equal(l.g->planting[0].id, "A1/sweet corn 1");
        assert_string_equal(l.g->application[0].id, "all/urea 1");
        fixture_free(&l.x);
    }
}

int main(void)
{
    static struct CMUnitTest t[100];
    size_t n = 0;
    PLAIN(bed_cells);
    ROWS(areas, area_of_a_bed, name);
    PLAIN(planting_cells);
    PLAIN(like_decides);
    ROWS(shares, share_as_typed, typed);
    ROWS(seasons, season_of, name);
    PLAIN(settings);
    PLAIN(missing_files);
    PLAIN(unreadable_file);
    PLAIN(columns_are_listed);
    PLAIN(pot_geometry);
    PLAIN(order_of_beds_changes_nothing);
    return _cmocka_run_group_tests("garden", t, n, NULL, NULL) != 0;
}
