/* The first screen, the opened bed and the check page, word for word, from invented
 * numbers. */
#include "test_report_fixture.h"

#include "report/answer.h"
#include "report/doubt.h"
#include "report/page.h"
#include "report/verdict.h"

/* ---- the first screen ---- */

static void the_first_screen(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    struct bt_screen *s = bt_report_screen_new(f->kept);
    bt_report_screen_add(s, &f->show, &f->finding);
    bt_report_screen_write(&f->out, &f->show, s, &f->garden);
    assert_string_equal(
        written(f),
        "Three Beds, 2026: nitrogen, worst bed first\n"
        "\n"
        "  Bed              Nitrogen  What next\n"
        "  A1, by the shed  short     short by about 1 oz N on this bed by 7 August; feed "
        "before then\n"
        "\n"
        "  Part of the supply is only planned so far: A1, by the shed (19 %).\n"
        "\n"
        "The legumes\n"
        "  The pole beans do not feed the sweet corn this season: what they pass on while "
        "growing is\n"
        "  about 2 % of what that one needs (9 times in 10 between 0 % and 4 %), and they "
        "take about\n"
        "  0.42 oz N from the ground they share. What they fixed and left in residue and "
        "roots, about\n"
        "  0.073 oz N, is for what grows after.\n"
        "\n"
        "The best thing to measure\n"
        "  The harvest of sweet corn: weigh what is picked. It would take away about 44 % "
        "of "
        "the\n"
        "  doubt.\n"
        "\n"
        "What was assumed and matters most\n"
        "  1. yield of sweet corn: taken as 20 to 41 lb/100 sq ft (50 % of the doubt)\n"
        "  2. organic matter of the soil: taken as 2 to 5 % (25 % of the doubt)\n"
        "\n"
        "  A bed opened: bedtally budget 'my garden' --bed BED\n"
        "  A figure explained: bedtally why 'my garden' BED\n");
    fixture_free(f);
}

/* Adds the fixture's bed under another name, word and chance. */
static void add_bed(struct fixture *f, struct bt_screen *s, const char *id,
                    enum bt_word word, double chance)
{
    struct bt_account_finding *x = &f->finding.account[BT_N];
    f->bed.id = bt_arena_text(f->arena, id);
    f->bed.name = "";
    x->word = word;
    x->chance_of_visible_shortfall = chance;
    bt_report_screen_add(s, &f->show, &f->finding);
    memset((char *)(uintptr_t)f->bed.id, '#', strlen(id)); /* nothing of the bed is kept */
}

static void the_worst_bed_stands_first(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    struct bt_account_finding *x = &f->finding.account[BT_N];
    struct bt_screen *s = bt_report_screen_new(f->kept);
    f->line[1].planned = false;
    f->finding.planting = NULL;
    x->tightest = spread_of(1, 6);
    add_bed(f, s, "B3", BT_CANT_SAY, 0.4);
    x->tightest = spread_of(3, 2);
    add_bed(f, s, "B4", BT_ENOUGH, 0.1);
    x->left = spread_of(9, 2);
    x->chance_left_over_limit = 0.9;
    add_bed(f, s, "B5", BT_MORE_THAN_ENOUGH, 0.01);
    x->chance_left_over_limit = 0.5;
    add_bed(f, s, "B6", BT_MORE_THAN_ENOUGH, 0.02);
    x->have[1] = 1; /* less than is needed from 15 June on */
    add_bed(f, s, "B1", BT_SHORT, 0.85);
    add_bed(f, s, "B2", BT_PROBABLY_SHORT, 0.6);
    x->shortfall.p50 = 0;
    add_bed(f, s, "B0", BT_SHORT, 0.95);
    bt_report_screen_write(&f->out, &f->show, s, &f->garden);
    const char *text = written(f);
    static const char want[] =
        "  Bed  Nitrogen          What next\n"
        "  B0   short             may run short by 7 August; feed before 15 June\n"
        "  B1   short             short by about 30 g N on this bed by 7 August; feed "
        "before 15 June\n"
        "  B2   probably short    short by about 30 g N on this bed by 7 August; feed "
        "before 15 June\n"
        "  B3   can't say         measure first: between 15 g N short and 21 to spare by 7 "
        "August\n"
        "  B4   enough            nothing to add; leanest about 7 August, about 8.9 g N to "
        "spare\n"
        "  B6   more than enough  nothing to add; about 27 g N left at the end\n"
        "  B5   more than enough  nothing to add; about 27 g N left at the end: "
        "sow something that takes it up\n";
    if (!strstr(text, want))
        print_error("%s", text);
    assert_non_null(strstr(text, want));
    /* the same in each of the five beds that hang on it: 1 - 0.75^2 */
    assert_non_null(strstr(
        text, "most of all in B3. It would take away\n  about 44 % of the doubt.\n"));
    assert_non_null(strstr(
        text,
        "  1. yield of sweet corn: taken as 1 to 2 kg/m2 in 5 beds (50 % of the doubt)\n"));
    fixture_free(f);
}

static void a_garden_without_beds_says_little(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    struct bt_screen *s = bt_report_screen_new(f->kept);
    f->garden.name = "";
    bt_report_screen_write(&f->out, &f->show, s, &f->garden);
    assert_string_equal(written(f), "The garden, 2026: nitrogen, worst bed first\n\n"
                                    "  Bed  Nitrogen  What next\n");
    fixture_free(f);
}

static void colour_adds_nothing_to_the_words(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    f->show.colour = true;
    for (int word = BT_SHORT; word <= BT_CANT_SAY; word++) {
        const char *painted = bt_word_painted(&f->show, (enum bt_word)word);
        assert_int_equal(painted[0], '\033');
        assert_non_null(strstr(painted, bt_word_text((enum bt_word)word)));
        assert_int_equal(bt_text_width(painted),
                         bt_text_width(bt_word_text((enum bt_word)word)));
    }
    fixture_free(f);
}

/* ---- the legumes' verdict ---- */

static const char *verdict_of(struct fixture *f, double low, double middle, double high)
{
    struct bt_planting_spread *x = &f->spread[1];
    x->transfer = (struct bt_spread){
        .likely = middle, .mean = middle, .p05 = low, .p50 = middle, .p95 = high};
    x->transfer_of_companions = middle / 15;
    struct bt_verdict *v = bt_verdict_new(f->kept);
    bt_verdict_add(v, &f->finding);
    char **sentence;
    assert_int_equal(bt_verdict_sentences(v, &f->show, &sentence), 1);
    return sentence[0];
}

/* Shares of a need of 15 g/m2; the verb must hold at the low end too. */
static void the_verdict_never_says_more_than_the_numbers(void **state)
{
    (void)state;
    static const struct {
        double low, middle, high;
        const char *says;
    } rows[] = {
        {0,   0.3,  1.4,
         "The pole beans do not feed the sweet corn this season: what they pass on while "
         "growing is about 2 % of what that one needs (9 times in 10 between 0 % and 9 %)"    },
        {0,   0.3,  1.6, "The pole beans cannot be counted on to feed the sweet corn"         },
        {0.2, 3,    6,   "The pole beans may feed the sweet corn in part this season"         },
        {3,   9,    12,  "The pole beans feed the sweet corn in part this season"             },
        {8,   10,   12,  "The pole beans feed the sweet corn for the greater part this season"},
        {14,  14.5, 15,
         "The pole beans feed the sweet corn this season: what they pass on while "
         "growing is about 97 % of what that one needs (9 times in 10 between 93 % and "
         "100 %)"                                                                             },
    };
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        struct fixture *f = fixture_new(true, true);
        const char *said = verdict_of(f, rows[k].low, rows[k].middle, rows[k].high);
        if (!strstr(said, rows[k].says))
            print_error("said: %s\n", said);
        assert_non_null(strstr(said, rows[k].says));
        fixture_free(f);
    }
}

static void a_legume_alone_feeds_nobody(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, true);
    f->planting[1].written = "crimson clover";
    f->planting[0].ended = (struct bt_date){true, bt_day(2026, 5, 29), 0};
    struct bt_verdict *v = bt_verdict_new(f->kept);
    bt_verdict_add(v, &f->finding);
    bt_verdict_add(v, &f->finding); /* two beds alike */
    char **sentence;
    assert_int_equal(bt_verdict_sentences(v, &f->show, &sentence), 1);
    assert_string_equal(
        sentence[0],
        "The crimson clover stands alone and feeds no neighbour. What it fixed and "
        "left in residue and roots, about 4.2 g N, is for what grows after.");
    fixture_free(f);
}

/* ---- what to measure ---- */

static void what_can_be_measured_is_said_how(void **state)
{
    (void)state;
    static const struct {
        const char *id, *label, *text;
    } rows[] = {
        {"soils/any/nitrate_default/A1",          "soil nitrate",
         "soil nitrate: a test of the top 30 cm (12 in)"                                                                  },
        {"materials/dairy compost/n",             "nitrogen of dairy compost",
         "dairy compost: an analysis of its nitrogen, ammonium and carbon"                                                },
        {"materials/dairy compost/n_available_1", "available share of dairy compost",
         "dairy compost: an analysis of its nitrogen, ammonium and carbon"                                                },
        {"materials/straw/moisture/A1",           "moisture of straw",
         "moisture of straw: weigh a bucketful fresh and dried"                                                           },
        {"plantings/A1/kale/expected",            "harvest of kale",
         "the harvest of kale: weigh what is picked"                                                                      },
        {"water/well/nitrate",                    "nitrate of well",                  "nitrate in the water: a water test"},
        {"crops/kale/residue_n",                  "nitrogen in residue of kale",
         "the nitrogen in what stays of kale: a plant test"                                                               },
        {"crops/kale/recovery",                   "share the roots catch",            NULL                                },
        {"n",                                     "n",                                NULL                                },
    };
    struct bt_arena *a = bt_arena_new(4096, no_memory, NULL);
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        const struct bt_leaf leaf = {.id = rows[k].id, .label = rows[k].label};
        char *text = bt_measure_text(a, &leaf);
        if (!rows[k].text) {
            assert_null(text);
            continue;
        }
        assert_non_null(text);
        assert_string_equal(text, rows[k].text);
    }
    bt_arena_free(a);
}

/* ---- the opened bed ---- */

static const char opened_bed[] =
    "A1, by the shed, 2.97 m2 (8 ft x 4 ft)\n"
    "\n"
    "Nitrogen: short\n"
    "  short by about 29.7 g N on this bed by 7 August; feed before then\n"
    "\n"
    "  g N on this bed                     likely  9 times in 10 between  by 7 August\n"
    "  to have\n"
    "    soil organic matter                 19.6  12.2 to 27.1                  14.7      "
    "    -#-\n"
    "    dairy compost (planned)             4.46                                4.46      "
    "   #\n"
    "    all there is to have                24.1  16.6 to 31.5                  19.2      "
    "    -#-\n"
    "  needed\n"
    "    need of sweet corn                  46.4  33 to 59.8                    41.7      "
    "       --#-\n"
    "    need of pole bean                   5.95  3.72 to 8.18                  4.76      "
    "  -#\n"
    "    all that is needed                  52.3  37.5 to 67.2                  46.5      "
    "       --#--\n"
    "  over or short, middle of all draws\n"
    "    leanest, about 7 August            -29.7  -46.1 to -13.4                      "
    "--#--\n"
    "    at the season's end                -28.2  -44.6 to -11.9                      "
    "--#--\n"
    "    left in the soil at the end         3.72  1.49 to 5.95                            "
    "  #-\n"
    "  1 g on this bed is 0.336 g/m2.\n"
    "\n"
    "  Chance of a shortfall on some date: more than 99 in 100; of one that shows in the "
    "crop\n"
    "  (over a tenth of the need): 96 in 100.\n"
    "  The leanest date is most often 7 August (80 in 100).\n"
    "  If it falls short, then seldom by more than 46.1 g N on this bed.\n"
    "  Chance that more than 20.8 g N on this bed is left for the winter rain to wash out: "
    "less\n"
    "  than 1 in 100.\n"
    "  19 % of the supply rests on what is only planned so far.\n"
    "\n"
    "The season, on average: what there has been to have, what was needed\n"
    "  g             to have              needed\n"
    "  1 May               0                   0\n"
    "  15 June          8.92  ####          5.95  ###\n"
    "  7 August         17.8  #######       41.6  ##################      short\n"
    "  30 September     24.1  ##########    52.3  ######################  short\n"
    "\n"
    "What the doubt comes from\n"
    "                                       share              if low  if high\n"
    "  yield of sweet corn                   50 %  ##########    +6.2     -6.8  assumed\n"
    "  organic matter of the soil            25 %  #####         -3.6     +4.2  assumed\n"
    "  release per percent                   15 %  ###             -3     +3.3\n"
    "  share the roots catch of sweet corn    5 %  #             -1.8     +1.8\n"
    "  If low, if high: what the leanest balance moves by when that figure lies in its "
    "lowest or\n"
    "  highest twentieth, g N on this bed.\n"
    "\n"
    "What to measure\n"
    "  - the harvest of sweet corn: weigh what is picked. It would cut the range by about "
    "25 %"
    "\n"
    "    and spare about 2.4 g N on this bed.\n"
    "  - organic matter of the soil: a laboratory test. It would cut the range by about 10 "
    "%.\n"
    "  Expected before it is done, with the usual error of such a figure. Spared is what "
    "would\n"
    "  else be added for nothing; what is missing counts 4 times as much.\n"
    "\n"
    "Nitrogen of the pole beans\n"
    "  g N on this bed                       likely  9 times in 10 between\n"
    "  in the whole plant                      14.9  11.9 to 17.8\n"
    "  fixed from the air                      5.95  2.97 to 8.92\n"
    "    of that, out with the harvest         2.97  1.49 to 4.46\n"
    "    of that, passed on while growing     0.892  0 to 1.78\n"
    "    of that, left in residue and roots    2.08  0.892 to 3.27\n"
    "  taken from the ground it shares         11.9  7.43 to 16.4\n"
    "  It takes 40 % of its nitrogen from the air (9 times in 10 between 25 % and 55 %) "
    "and "
    "meets\n"
    "  about 2 % of its neighbours' need.\n"
    "\n"
    "Plantings\n"
    "  sweet corn  counts as 1.49 m2 of a full stand  62 % of a full stand's yield\n"
    "  pole beans  counts as 2.23 m2 of a full stand  50 % of a full stand's yield\n"
    "\n"
    "Understood\n"
    "  - sweet corn: 12 plants\n"
    "\n"
    "What was assumed\n"
    "  - yield of sweet corn: 1 to 2 kg/m2 (read)\n"
    "\n"
    "Mind\n"
    "  - Keep the mulch off the stems (INVENTED-1, judgement)\n"
    "\n";

static void the_opened_bed(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    bt_report_bed(&f->out, &f->show, &f->finding);
    assert_string_equal(written(f), opened_bed);
    fixture_free(f);
}

static void the_opened_bed_in_ounces(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    bt_report_bed(&f->out, &f->show, &f->finding);
    const char *text = written(f);
    assert_non_null(
        strstr(text, "    need of sweet corn                  1.64  1.16 to 2.11"));
    assert_non_null(
        strstr(text, "  1 oz on this bed is 9.54 g/m2 or 0.195 lb/100 sq ft.\n"));
    assert_non_null(strstr(text, "\u2591\u2591\u2588\u2591"));
    assert_non_null(strstr(text, "  15 June         0.315  \u2588\u2588\u2588\u258A"));
    fixture_free(f);
}

static void an_account_without_a_test_says_so(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    f->budget.n_accounts = 2;
    f->budget.account[1] = f->budget.account[BT_N];
    f->budget.account[1].nutrient = BT_P2O5;
    f->budget.account[1].known = false;
    f->finding.account[1] = f->finding.account[BT_N];
    f->finding.account[1].account = &f->budget.account[1];
    bt_report_bed(&f->out, &f->show, &f->finding);
    assert_non_null(strstr(written(f), "\nPhosphate: no test, so no need can be stated\n"));
    fixture_free(f);
}

static void the_total(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    struct bt_total_finding t[BT_NUTRIENTS] = {
        {.area_m2 = AREA_M2,
         .required = spread_of(1000, 200),
         .supply = spread_of(500, 100),
         .balance = spread_of(-500, 220),
         .shortfall = spread_of(500, 220),
         .left = spread_of(30, 10)}
    };
    bt_report_total(&f->out, &f->show, &f->garden, t);
    assert_string_equal(written(f),
                        "Three Beds, all beds, 32 sq ft\n"
                        "  lb N                        likely  9 times in 10 between\n"
                        "  to have                       1.10  0.882 to 1.32\n"
                        "  needed                        2.20  1.76 to 2.65\n"
                        "  middle of all draws\n"
                        "    over at the season's end   -1.10  -1.59 to -0.617\n"
                        "    short, beds added up        1.10  0.617 to 1.59\n"
                        "    over, beds added up            0\n"
                        "    left in the soil          0.0661  0.0441 to 0.0882\n"
                        "\n");
    fixture_free(f);
}

/* ---- check ---- */

static void the_check_page(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    struct bt_diag *d = bt_diag_new(f->arena);
    f->planting[1].in_ground.width_d = 30;
    f->planting[0].ended = (struct bt_date){true, bt_day(2026, 9, 7), 0};
    bt_report_check_begin(&f->out, &f->show, &f->garden);
    bt_report_check_bed(&f->out, &f->show, &f->budget);
    bt_report_check_end(&f->out, d);
    bt_diag_add(d,
                (struct bt_message){.weight = BT_ERROR, .field = "a", .at = {.file = "b"}});
    bt_diag_add(d,
                (struct bt_message){.weight = BT_NOTE, .field = "a", .at = {.file = "b"}});
    bt_report_check_end(&f->out, d);
    assert_string_equal(
        written(f),
        "Three Beds\n"
        "  season 2026: 2026-05-01 to 2026-09-30; deeds up to 2026-05-20\n"
        "  dates like 5/6 are read month first; answers are in ounces and square feet\n"
        "  soil warmth: temperate (not given, so assumed)\n"
        "  read: 1 bed, 2 plantings, 0 soil tests, 0 additions\n"
        "\n"
        "A1, by the shed: 32 sq ft = 8 ft x 4 ft\n"
        "  planting    plants             full stand it counts as  in the ground\n"
        "  sweet corn  6 mounds x 2 = 12  16 sq ft                 2026-05-20 to "
        "2026-09-07\n"
        "  pole beans  6 mounds x 4 = 24  24 sq ft                 about 2026-05-30 to its "
        "usual end\n"
        "  understood: sweet corn: 12 plants\n"
        "  blank, taken as: yield of sweet corn: 1 to 2 kg/m2 (read)\n"
        "\n"
        "No problem found.\n"
        "\n"
        "1 error, 0 warnings; 1 note. There is no answer before the errors are put "
        "right.\n");
    fixture_free(f);
}

static void hostile_names_come_out_as_text(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    f->bed.name = "\"x\" \u202Eevil\033[2J \u05E9\u05E2\u05D5\u05E2\u05D9\u05EA %n%s";
    f->line[0].label = "soil %s\033]0;title\a";
    f->planting[1].written = "bean\u2067s";
    struct bt_screen *s = bt_report_screen_new(f->kept);
    bt_report_screen_add(s, &f->show, &f->finding);
    bt_report_screen_write(&f->out, &f->show, s, &f->garden);
    bt_report_bed(&f->out, &f->show, &f->finding);
    bt_report_check_bed(&f->out, &f->show, &f->budget);
    const char *text = written(f);
    assert_null(strchr(text, '\033'));
    assert_null(strchr(text, '\a'));
    assert_null(strstr(text, "\u202E"));
    assert_null(strstr(text, "\u2067"));
    assert_non_null(
        strstr(text, "A1, \"x\" ?evil?[2J \u05E9\u05E2\u05D5\u05E2\u05D9\u05EA %n%s"));
    assert_non_null(strstr(text, "soil %s?]0;title?"));
    fixture_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_first_screen),
        cmocka_unit_test(the_worst_bed_stands_first),
        cmocka_unit_test(a_garden_without_beds_says_little),
        cmocka_unit_test(colour_adds_nothing_to_the_words),
        cmocka_unit_test(the_verdict_never_says_more_than_the_numbers),
        cmocka_unit_test(a_legume_alone_feeds_nobody),
        cmocka_unit_test(what_can_be_measured_is_said_how),
        cmocka_unit_test(the_opened_bed),
        cmocka_unit_test(the_opened_bed_in_ounces),
        cmocka_unit_test(an_account_without_a_test_says_so),
        cmocka_unit_test(the_total),
        cmocka_unit_test(the_check_page),
        cmocka_unit_test(hostile_names_come_out_as_text),
    };
    return cmocka_run_group_tests_name("report: text", tests, NULL, NULL) != 0;
}
