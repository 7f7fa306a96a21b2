/* What can hurt is said first: raw manure too near a picking, doses that burn, metals; and
 * the rules of table cautions that go with what is there, and no others. */
#include "amend_fixture.h"

#include "model/budget.h"

#define BED     "bed,length,width,depth,texture\nA1,5 m,1.2 m,25 cm,loam\n"
#define ROWS    "bed,crop,share,in_ground,ended,picked\n"
#define SPREAD  "date,beds,material,amount,placement,status\n"
#define LETTUCE ROWS "A1,lettuce,1,2026-05-01,2026-06-20,leaf\n"

/* All that a bed's budget says of harm, and the `when` of its cautions, one a line. */
struct said {
    struct law *law;
    const char *alerts, *whens;
};

static void take(void *context, const struct bt_run *run, const struct bt_budget *b)
{
    struct said *s = context;
    struct bt_arena *a = s->law->arena;
    (void)run;
    for (size_t i = 0; i < b->n_alerts; i++)
        s->alerts = bt_arena_format(a, "%s%s\n", s->alerts, b->alert[i].text);
    for (size_t i = 0; i < b->n_cautions; i++)
        s->whens = bt_arena_format(a, "%s[%s]\n", s->whens, b->caution[i]->when);
}

/* As of a day of the season. */
static struct said said_of(struct law *l, struct law_text t, int as_of)
{
    struct said s = {l, "", ""};
    struct bt_run run;
    t.beds = BED;
    law_write_all(l, &t);
    struct bt_run_options o = law_options(l, &t, BT_BLOCK, 1);
    o.garden.on = (struct bt_date){.known = true, .day = as_of};
    law_must(bt_run_open(l->arena, &o, &run), &run);
    law_must(bt_run_check(&run, &o, &(struct bt_check_sink){take, &s}), &run);
    bt_run_close(&run);
    return s;
}

static void says_nothing_of(const char *text, const char *part)
{
    if (strstr(text, part))
        fail_msg("did not expect \"%s\" in \"%s\"", part, text);
}

static struct said manured(struct law *l, const char *plantings, const char *rows)
{
    return said_of(
        l,
        (struct law_text){.plantings = plantings,
                          .applications = bt_arena_format(l->arena, SPREAD "%s", rows)},
        law_day(6, 1));
}

/* 15 April and 120 days (CORNELL-GAP, read) are 13 August. */
static void spread_manure_dates_the_picking(void **state)
{
    struct law *l = *state;
    struct said s = manured(l, LETTUCE, "2026-04-15,A1,poultry manure,1 cm,dug-in,done\n");
    must_say(s.alerts, "lettuce: not to be picked before 13 August (poultry manure of 15 "
                       "April).");
    must_say(s.alerts, "local rule");
    must_say(s.whens, "[raw manure]");
    /* the later of two counts; what is planned says so */
    s = manured(l, LETTUCE,
                "2026-04-15,A1,cow manure,1 cm,dug-in,done\n"
                "2026-06-05,A1,horse manure,1 cm,surface,planned\n");
    must_say(s.alerts, "before 3 October (horse manure planned for 5 June)");
    /* off the ground 90 days, read: 15 April and 90 days are 14 July */
    s = manured(l, ROWS "A1,sweet corn,1,2026-05-01,2026-08-10,fruit\n",
                "2026-04-15,A1,cow manure,1 cm,dug-in,done\n");
    must_say(s.alerts, "sweet corn: not to be picked before 14 July");
    /* what was heat-treated is the maker's to say */
    s = manured(l, LETTUCE, "2026-04-15,A1,dried poultry manure,1 kg,dug-in,done\n");
    must_say(s.alerts, "unless its maker says that it was heat-treated");
    must_say(s.whens, "[dried manure]");
    says_nothing_of(s.whens, "[raw manure]");
}

static void no_manure_no_date(void **state)
{
    struct law *l = *state;
    /* compost; early enough; after the last picking; not eaten; over by now */
    static const char *const none[][2] = {
        {LETTUCE,                                               "2026-04-15,A1,dairy compost,1 cm,dug-in,done\n"},
        {LETTUCE,                                               "2025-11-01,A1,cow manure,1 cm,dug-in,done\n"   },
        {LETTUCE,                                               "2026-07-01,A1,cow manure,1 cm,dug-in,planned\n"},
        {ROWS "A1,buckwheat,1,2026-05-01,2026-06-20,nothing\n",
         "2026-04-15,A1,cow manure,1 cm,dug-in,done\n"                                                          },
        {ROWS "A1,leek,1,2026-06-01,2026-09-25,\n",
         "2026-04-15,A1,cow manure,1 cm,dug-in,done\n"                                                          },
    };
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        const struct said s = manured(l, none[i][0], none[i][1]);
        says_nothing_of(s.alerts, "not to be picked");
    }
}

static void a_burning_dose_is_said(void **state)
{
    struct law *l = *state;
    struct said s = manured(l, LETTUCE, "2026-04-25,A1,urea,500 g,dug-in,done\n");
    must_say(s.alerts, "in one dose; it can burn");
    must_say(s.whens, "[over-application]");
    must_say(s.whens, "[ammonia burn]");
    must_say(s.whens, "[urea]");
    says_nothing_of(s.whens, "overfed fruit");
    s = manured(l, ROWS "A1,tomato,1,2026-05-20,2026-09-25,fruit\n",
                "2026-05-15,A1,urea,500 g,dug-in,done\n");
    must_say(s.whens, "[over-application + overfed fruit]");
    s = manured(l, LETTUCE, "2026-04-25,A1,poultry manure,2.5 cm,dug-in,done\n");
    must_say(s.alerts, "in one dose; it can burn");
    must_say(s.whens, "[heavy manure]");
    s = manured(l, LETTUCE, "2026-04-25,A1,urea,30 g,dug-in,done\n");
    says_nothing_of(s.alerts, "burn");
    says_nothing_of(s.whens, "over-application");
}

static struct said tested(struct law *l, const char *row)
{
    return said_of(
        l,
        (struct law_text){.plantings = LETTUCE,
                          .soil_tests = bt_arena_format(
                              l->arena,
                              "sample,date,beds,phosphorus_method,lead,arsenic,cadmium\ns,"
                              "2026-04-01,A1,%s\n",
                              row)},
        law_day(6, 1));
}

/* 200 and 100 mg/kg (EPA-PB, read), 22 by modified Morgan (UMASS-REP, read), 16 and 2.5
 * (NY-SCO, memory). */
static void metals_are_said(void **state)
{
    struct law *l = *state;
    struct said s = tested(l, ",450 ppm,,");
    must_say(s.alerts, "lead in the soil 450 ppm (sample s), above 200 mg/kg");
    must_say(s.alerts, "(here: lettuce)");
    must_say(s.whens, "[lead]");
    must_say(s.whens, "[contaminated soil]");
    says_nothing_of(s.whens, "arsenic");
    says_nothing_of(s.whens, "cadmium");
    s = tested(l, ",150 ppm,,");
    must_say(s.alerts, "above 100 mg/kg");
    must_say(s.alerts, "other sources");
    s = tested(l, ",60 ppm,9 ppm,1 ppm");
    assert_string_equal(s.alerts, "");
    says_nothing_of(s.whens, "lead");
    s = tested(l, "modified Morgan,60 ppm,,");
    must_say(s.alerts, "above 22 mg/kg ask for total lead");
    must_say(s.whens, "[lead by extract]");
    s = tested(l, ",,40 ppm,6 ppm");
    must_say(s.alerts, "arsenic in the soil 40 ppm");
    must_say(s.alerts, "cadmium in the soil 6 ppm");
    must_say(s.whens, "[arsenic]");
    must_say(s.whens, "[cadmium]");
    says_nothing_of(s.whens, "[lead");
}

/* Herbicide carry-over is asked of hay, straw, manure of grazing animals, clippings and
 * their composts (NCSU-HERB, read); biosolids of all that holds them. */
static void rules_go_with_what_is_there(void **state)
{
    struct law *l = *state;
    static const char *const sprayed[] = {
        "horse manure", "horse compost", "grass clippings", "cow manure",
        "straw",        "grass hay",     "yard compost"};
    static const char *const clean[] = {"poultry manure", "urea", "food compost",
                                        "feather meal", "shredded leaves"};
    const char *rows = ROWS "A1,tomato,1,2026-05-20,2026-09-25,fruit\n";
    for (size_t i = 0; i < sizeof sprayed / sizeof *sprayed; i++) {
        const struct said s = manured(
            l, rows,
            bt_arena_format(l->arena, "2026-05-10,A1,%s,1 kg,surface,done\n", sprayed[i]));
        must_say(s.whens, "[herbicide residue]");
        must_say(s.whens, "[herbicide residue + tomato family]");
        says_nothing_of(s.whens, "[herbicide residue + legume]");
    }
    for (size_t i = 0; i < sizeof clean / sizeof *clean; i++)
        says_nothing_of(
            manured(
                l, rows,
                bt_arena_format(l->arena, "2026-05-10,A1,%s,1 kg,surface,done\n", clean[i]))
                .whens,
            "herbicide");
    must_say(manured(l, rows, "2026-05-10,A1,biosolids compost,1 kg,surface,done\n").whens,
             "[biosolids]");
}

/* The plan speaks by the same rule: of what it chose. */
static void the_plan_speaks_likewise(void **state)
{
    struct law_text t = {.beds = BED,
                         .plantings = "bed,crop,share,in_ground\nA1,cabbage,1,2026-05-20\n",
                         .soil_tests = "sample,date,beds,depth,organic_matter\n"
                                       "s,2026-04-20,A1,0-20 cm,2 %\n",
                         .materials = "material,like,package,price\nu,urea,10 kg,12\n"};
    struct amended x = amended_of(*state, &t, law_day(4, 25), false);
    const struct bt_bed_plan *p = &x.bed[0];
    const char *whens = "";
    assert_true(wished_plan(p)->n_additions > 0);
    for (size_t i = 0; i < p->n_cautions; i++)
        whens = bt_arena_format(((struct law *)*state)->arena, "%s[%s]", whens,
                                p->caution[i]->when);
    must_say(whens, "[urea]");
    must_say(whens, "[near water]");
    says_nothing_of(whens, "salt");
    says_nothing_of(whens, "overfed");
    assert_true(p->n_cautions <= 4);
    amended_close(&x);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        LAW_TEST(spread_manure_dates_the_picking), LAW_TEST(no_manure_no_date),
        LAW_TEST(a_burning_dose_is_said),          LAW_TEST(metals_are_said),
        LAW_TEST(rules_go_with_what_is_there),     LAW_TEST(the_plan_speaks_likewise),
    };
    return cmocka_run_group_tests_name("picking", tests, NULL, NULL) != 0;
}
