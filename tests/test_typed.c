/* Cells as people type them that once gave a wrong answer and no word about it: what is
 * said now, and what is counted. The handbook is the real one. */
#include "law_garden.h"

#include "base/text.h"

static const char BED[] = "bed,length,width\nA1,8 ft,4 ft\nA2,8 ft,4 ft\n";
static const char CORN[] =
    "bed,crop,plants,in_ground,expected\nA1,sweet corn,12,2026-05-10,\n";

static void must_say(const char *all, const char *part)
{
    if (!strstr(all, part))
        fprintf(stderr, "not said: %s\nsaid:\n%s", part, all);
    assert_non_null(strstr(all, part));
}

static void must_not_say(const char *all, const char *part)
{
    if (strstr(all, part))
        fprintf(stderr, "said: %s\nin:\n%s", part, all);
    assert_null(strstr(all, part));
}

/* ---- one cell, one message ---- */

enum place { APPLICATION, MATERIAL, TEST, PLANTING };

static const struct said {
    const char *name;
    enum place place;
    const char *head, *row;
    const char *want; /* NULL: nothing but notes */
} said[] = {
    {"a label over 100",                                     MATERIAL,    "material,like,label",                 "urea,,120-0-0",
     "together they cannot come to more"                                                                                                                                                           },
    {"a label that became a date",                           MATERIAL,    "material,like,label",                 "urea,,2003-04-04",
     "made a date of the label"                                                                                                                                                                    },
    {"a label beside another n",                             MATERIAL,    "material,like,label,n",               "blood meal,,12-0-0,1",
     "the column counts, the label does not"                                                                                                                                                       },
    {"a label beside the same n",                            MATERIAL,    "material,like,label,n",
     "blood meal,,12-0-0,12",                                                                                                                                    NULL                              },
    {"nitrogen as a share of one",                           MATERIAL,    "material,like,n",                     "blood meal,,0.12",
     "write 12 %"                                                                                                                                                                                  },
    {"nitrogen as a share of one under a header in percent", MATERIAL,
     "material,like,n (%)",                                                                                      "blood meal,,0.12",                             "write 12 %"                      },
    {"so little, and it is said so",                         MATERIAL,    "material,like,n",                     "blood meal,,0.12 %",
     NULL                                                                                                                                                                                          },
    {"organic matter as a share of one",                     TEST,        "sample,date,beds,organic_matter",
     "S1,2026-04-20,A1,0.04",                                                                                                                                    "write 4 %"                       },
    {"organic matter in percent",                            TEST,        "sample,date,beds,organic_matter",
     "S1,2026-04-20,A1,4",                                                                                                                                       NULL                              },
    {"a yard deep",                                          APPLICATION, "date,beds,material,amount",
     "2026-05-01,A1,yard compost,1 yd",                                                                                                                          "a yard of compost is 1 cu yd"    },
    {"yards",                                                APPLICATION, "date,beds,material,amount",
     "2026-05-01,A1,yard compost,2 yards",                                                                                                                       "a yard of compost is 1 cu yd"    },
    {"a yard in the header",                                 APPLICATION, "date,beds,material,amount (yard)",
     "2026-05-01,A1,yard compost,1",                                                                                                                             "a yard of compost is 1 cu yd"    },
    {"cubic yards",                                          APPLICATION, "date,beds,material,amount",
     "2026-05-01,A1,yard compost,0.2 cu yd",                                                                                                                     NULL                              },
    {"a metre deep",                                         APPLICATION, "date,beds,material,amount",
     "2026-05-01,A1,yard compost,1 m",                                                                                                                           "is that a depth?"                },
    {"a metre of filling",                                   APPLICATION, "date,beds,material,amount,placement",
     "2026-05-01,A1,yard compost,1 m,filling",                                                                                                                   NULL                              },
    {"a foot",                                               APPLICATION, "date,beds,material,amount",           "2026-05-01,A1,straw,12 in",                    NULL                              },
    {"a meal by volume",                                     APPLICATION, "date,beds,material,amount",
     "2026-05-20,A1,feather meal,5 gal",                                                                                                                         "in one dose of feather meal"     },
    {"a meal by the bucket",                                 APPLICATION, "date,beds,material,amount",
     "2026-05-20,A1,feather meal,3 buckets",                                                                                                                     "in one dose of feather meal"     },
    {"a meal as a layer",                                    APPLICATION, "date,beds,material,amount",
     "2026-05-20,A1,feather meal,3 in",                                                                                                                          "in one dose of feather meal"     },
    {"a meal by the plant",                                  APPLICATION, "date,beds,material,amount",
     "2026-05-20,A1,feather meal,10 cups/plant",                                                                                                                 "look at the amount for one plant"},
    {"a spoon by the plant",                                 APPLICATION, "date,beds,material,amount",
     "2026-05-20,A1,feather meal,1 tbsp/plant",                                                                                                                  NULL                              },
    {"tons of compost",                                      APPLICATION, "date,beds,material,amount",
     "2026-05-20,A1,dairy compost,500 tons",                                                                                                                     "look at the amount"              },
    {"a foot of poultry manure",                             APPLICATION, "date,beds,material,amount",
     "2026-05-20,A1,poultry manure,12 in",                                                                                                                       "that works this season"          },
    {"an inch of compost",                                   APPLICATION, "date,beds,material,amount",
     "2026-05-20,A1,dairy compost,1 in",                                                                                                                         NULL                              },
    {"a plant's share before there is one",                  APPLICATION, "date,beds,material,amount",
     "2026-05-01,A1,feather meal,1 oz/plant",                                                                                                                    "none stands there on that day"   },
    {"tons of corn",                                         PLANTING,    "bed,crop,plants,in_ground,expected",
     "A1,sweet corn,20,2026-05-10,5000 lb",                                                                                                                      "times that: look at the weight"  },
    {"tons of corn an acre",                                 PLANTING,    "bed,crop,plants,in_ground,weighed",
     "A1,sweet corn,20,2026-05-10,50 kg/m2",                                                                                                                     "times that: look at the weight"  },
    {"a good harvest",                                       PLANTING,    "bed,crop,plants,in_ground,expected",
     "A1,sweet corn,20,2026-05-10,12 lb",                                                                                                                        NULL                              },
    {"three large tomatoes",                                 PLANTING,    "bed,crop,plants,in_ground,expected",
     "A1,tomato,3,2026-05-10,60 lb",                                                                                                                             NULL                              },
    {"planted a century ago",                                PLANTING,    "bed,crop,plants,in_ground",
     "A1,sweet corn,20,1926-05-10",                                                                                                                              "a day near the season 2026"      },
    {"asparagus of long ago",                                PLANTING,    "bed,crop,plants,in_ground",
     "A1,asparagus,5,1996-05-10",                                                                                                                                NULL                              },
    {"spread a century ago",                                 APPLICATION, "date,beds,material,amount",
     "1926-05-01,A1,yard compost,1 in",                                                                                                                          "a day near the season 2026"      },
    {"a sample of the future",                               TEST,        "sample,date,beds,organic_matter",
     "S1,2036-04-20,A1,4",                                                                                                                                       "a day near the season 2026"      },
    {"a column that is nearly one",                          TEST,        "sample,date,beds,Nitrate",
     "S1,2026-04-20,A1,20 ppm",                                                                                                                                  "did you mean nitrate_n"          },
    {"another column of a laboratory",                       TEST,        "sample,date,beds,Calcium",
     "S1,2026-04-20,A1,900",                                                                                                                                     NULL                              },
    {"dry matter as a share of one",                         PLANTING,
     "bed,crop,plants,in_ground,frame,fresh,dry_matter",                                                         "A1,hairy vetch,,2026-04-10,1 sq ft,1 lb,0.15", "write 15 %"                      },
};

static void one_message(void **state, const struct said *r)
{
    struct law *l = *state;
    const char *text = bt_arena_format(l->arena, "%s\n%s\n", r->head, r->row);
    struct law_text t = {.beds = BED, .plantings = CORN};
    if (r->place == APPLICATION)
        t.applications = text;
    else if (r->place == MATERIAL)
        t.materials = text;
    else if (r->place == TEST)
        t.soil_tests = text;
    else
        t.plantings = text;
    const char *all = law_messages(l, &t);
    if (r->want) {
        must_say(all, r->want);
    } else {
        must_not_say(all, "warning");
        must_not_say(all, "error");
    }
}

static void messages(void **state)
{
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        print_message("  %s\n", said[i].name);
        one_message(state, &said[i]);
    }
}

/* Beside the right file nothing is said of others. */
static void file_under_another_name(void **state)
{
    static const char *const names[] = {"applications.xlsx", "applications.csv.txt",
                                        "Applications.csv", "applications (1).csv"};
    struct law *l = *state;
    struct law_text t = {.beds = BED, .plantings = CORN};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        t.applications = NULL;
        law_write(l, names[i], "date\n");
        const char *all = law_messages(l, &t);
        must_say(all, "expected a file named applications.csv");
        must_say(all, names[i]);
        t.applications = "date,beds,material,amount\n";
        must_not_say(law_messages(l, &t), "a file named");
        law_write(l, names[i], NULL);
    }
}

/* ---- what is counted ---- */

/* The garden's own blood meal, however it is spelled: all of its 20 %, not the handbook's.
 */
static void own_material_first(void **state)
{
    static const char *const typed[] = {"Blood meal", "Bloodmeal", "blood-meal",
                                        "BLOOD MEALS", "blood_meal"};
    struct law *l = *state;
    double first = 0;
    for (size_t i = 0; i < sizeof typed / sizeof *typed; i++) {
        const struct law_text t = {
            .beds = BED,
            .plantings = CORN,
            .materials = "material,like,n\nBlood meal,,20 %\n",
            .applications = bt_arena_format(
                l->arena, "date,beds,material,amount\n2026-06-01,A1,%s,300 g\n", typed[i])};
        const struct law_answer a = law_run(l, &t);
        const double got = law_likely(law_bed(&a, "A1"), "Blood meal, 1 June");
        if (i == 0)
            first = got;
        check_close(got, first, 1e-12, typed[i]);
    }
}

/* The same on one bed on one day: two lines with names of their own, which add up. */
static void twice_a_day(void **state)
{
    struct law *l = *state;
    const struct law_text t = {
        .beds = BED,
        .plantings = CORN,
        .applications = "date,beds,material,amount\n2026-05-01,all,yard compost,0.5 in\n"
                        "2026-05-01,A1,yard compost,6 cu ft\n"};
    const struct law_answer a = law_run(l, &t);
    const struct law_bed *a1 = law_bed(&a, "A1"), *a2 = law_bed(&a, "A2");
    const double layer = law_likely(a1, "/yard compost 1, 1 May");
    const double heap = law_likely(a1, "/yard compost 2, 1 May");
    check_close(law_likely(a2, "/yard compost, 1 May"), layer, 1e-9, "the same layer");
    check_close(heap / layer, 6 / (32 * 0.5 / 12), 1e-9,
                "6 cu ft against 1.33; arithmetic");
}

static void empty_season(void **state)
{
    struct law *l = *state;
    const struct law_text t = {.beds = BED, .plantings = CORN};
    const struct law_answer a = law_run(l, &t);
    assert_int_equal(law_bed(&a, "A2")->word, BT_NO_CROP);
    assert_true(law_bed(&a, "A1")->word != BT_NO_CROP);
}

int main(void)
{
    const struct CMUnitTest t[] = {
        LAW_TEST(messages),           LAW_TEST(file_under_another_name),
        LAW_TEST(own_material_first), LAW_TEST(twice_a_day),
        LAW_TEST(empty_season),
    };
    return cmocka_run_group_tests_name("cells as typed", t, NULL, NULL) != 0;
}
