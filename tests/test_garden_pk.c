/* Phosphate and potash from a garden folder to the finding: which of advice, word and
 * figure counts, what stays unknown, loads, years in stock, and the messages that name a
 * slip. */
#include "law_garden.h"

#include "report/fertility.h"

#define BEDS      "bed,length,width,depth,texture\nA1,8 ft,4 ft,10 in,sandy loam\n"
#define PLANTINGS "bed,crop,plants,in_ground,ended\nA1,tomato,4,2026-05-20,2026-09-20\n"
#define TESTS                                                                              \
    "sample,date,beds,depth,ph,phosphorus,phosphorus_method,phosphorus_rating,potassium,"  \
    "potassium_method,potassium_rating,advised,advised_p2o5,advised_k2o,advised_n,lead\n"

struct pk {
    bool known, is_full;
    enum bt_need_by need_by;
    char rating[32];
    enum bt_pk_word word;
    struct bt_spread required, supply, shortfall, beside[BT_BESIDES];
    bool has[BT_BESIDES];
    int first_season, longest;
};

struct garden {
    struct bt_arena *arena;
    struct pk p, k;
    char *messages, *sentences, *cautions;
    size_t n_errors;
};

static struct pk pk_of(const struct bt_account_finding *x)
{
    const struct bt_stock *s = x->account->stock;
    struct pk out = {.known = x->account->known,
                     .is_full = s->is_full,
                     .need_by = s->need_by,
                     .word = bt_pk_word_of(x),
                     .required = x->required,
                     .supply = x->supply,
                     .shortfall = x->shortfall,
                     .first_season = s->first_season,
                     .longest = bt_longest_stock(x)};
    snprintf(out.rating, sizeof out.rating, "%s", s->rating ? s->rating : "");
    memcpy(out.beside, x->beside, sizeof out.beside);
    memcpy(out.has, s->has, sizeof out.has);
    return out;
}

static void keep(void *context, const struct bt_run *run, const struct bt_finding *f)
{
    struct garden *g = context;
    (void)run;
    g->p = pk_of(&f->account[BT_P2O5]);
    g->k = pk_of(&f->account[BT_K2O]);
    for (size_t i = 0; i < f->budget->n_understood; i++)
        g->sentences =
            bt_arena_format(g->arena, "%s%s\n", g->sentences, f->budget->understood[i]);
    for (size_t i = 0; i < f->budget->n_cautions; i++)
        g->cautions =
            bt_arena_format(g->arena, "%s%s\n", g->cautions, f->budget->caution[i]->when);
}

static void put_file(struct garden *g, const char *folder, const char *name,
                     const char *text)
{
    FILE *f = fopen(bt_arena_format(g->arena, "%s/%s", folder, name), "wb");
    assert_non_null(f);
    fputs(text, f);
    fclose(f);
}

struct texts {
    const char *beds, *plantings, *tests, *materials, *applications, *measures, *ratings;
};

static void remove_all(struct garden *g, const char *folder)
{
    static const char *const files[] = {
        "garden.csv",     "beds.csv",           "plantings.csv",
        "soil_tests.csv", "materials.csv",      "applications.csv",
        "measures.csv",   "tables/ratings.csv", "tables"};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++)
        remove(bt_arena_format(g->arena, "%s/%s", folder, files[i]));
    rmdir(folder);
}

/* The answer of a garden made of these files; NULL leaves plain ones. */
static struct garden answer(struct texts t)
{
    struct garden g = {.arena = bt_arena_new(1 << 16, law_no_memory, NULL),
                       .messages = "",
                       .sentences = "",
                       .cautions = ""};
    const char *where = getenv("TMPDIR");
    char *folder =
        bt_arena_format(g.arena, "%s/bedtally-pk-XXXXXX", where ? where : "/tmp");
    assert_non_null(mkdtemp(folder));
    put_file(&g, folder, "garden.csv",
             "setting,value\nunits,us\nseason,2026\nseason_start,2026-05-01\n"
             "season_end,2026-09-30\nas_of,2026-09-30\nwarmth,temperate\n");
    put_file(&g, folder, "beds.csv", t.beds ? t.beds : BEDS);
    put_file(&g, folder, "plantings.csv", t.plantings ? t.plantings : PLANTINGS);
    if (t.tests)
        put_file(&g, folder, "soil_tests.csv",
                 bt_arena_format(g.arena, TESTS "%s", t.tests));
    if (t.materials)
        put_file(&g, folder, "materials.csv", t.materials);
    if (t.applications)
        put_file(&g, folder, "applications.csv", t.applications);
    if (t.measures)
        put_file(&g, folder, "measures.csv", t.measures);
    if (t.ratings) {
        assert_int_equal(mkdir(bt_arena_format(g.arena, "%s/tables", folder), 0700), 0);
        put_file(&g, folder, "tables/ratings.csv", t.ratings);
    }
    const struct bt_run_options o = {
        .folder = folder,
        .garden = {.units = -1},
        .chance = { .samples = 2048,  .seed = 1},
        .threads = 1
    };
    const struct bt_bed_sink sink = {keep, &g};
    struct bt_run run;
    if (bt_run_open(g.arena, &o, &run))
        bt_run_budget(&run, &o, &sink);
    for (size_t i = 0; i < bt_diag_kept(run.diag); i++)
        g.messages = bt_arena_format(g.arena, "%s%s\n", g.messages,
                                     bt_message_text(g.arena, bt_diag_get(run.diag, i)));
    g.n_errors = bt_diag_count(run.diag, BT_ERROR);
    bt_run_close(&run);
    remove_all(&g, folder);
    return g;
}

static void done(struct garden *g)
{
    bt_arena_free(g->arena);
}

static void says(const char *text, const char *part)
{
    if (!strstr(text, part))
        fail_msg("\"%s\" is not in:\n%s", part, text);
}

/* ---- which of them counts ---- */

static void figure_by_method(void **state)
{
    (void)state;
    struct garden g = answer((struct texts){
        .tests = "S,2026-03-20,A1,0-6 in,,158 ppm,Mehlich-3,,30 ppm,M3,,,,,,\n"});
    assert_string_equal(g.messages, "");
    assert_true(g.p.known && g.p.is_full);
    assert_string_equal(g.p.rating, "excessive");
    assert_int_equal(g.p.word, BT_PK_FULL);
    check_close(g.p.required.p95, 0, 0, "OC-03: P2O5 need 0");
    assert_int_equal(g.k.need_by, BT_BY_CONTENT);
    assert_string_equal(g.k.rating, "low");
    assert_int_equal(g.k.word, BT_PK_LOW);
    check_close(
        g.k.required.likely, 26, 1e-9,
        "K2O for heavy feeders on low soil; judgement between Delaware 22.4 and 28");
    says(g.cautions, "high phosphorus");
    done(&g);
}

/* The same figure, another extractant, another answer; none is assumed. */
static void method_is_asked(void **state)
{
    (void)state;
    struct garden olsen =
        answer((struct texts){.tests = "S,2026-03-20,A1,,,12 ppm,Olsen,,,,,,,,,\n"});
    struct garden morgan = answer(
        (struct texts){.tests = "S,2026-03-20,A1,,,12 ppm,modified Morgan,,,,,,,,,\n"});
    struct garden none =
        answer((struct texts){.tests = "S,2026-03-20,A1,,,12 ppm,,,,,,,,,,\n"});
    assert_string_equal(olsen.p.rating, "low");
    assert_string_equal(morgan.p.rating, "optimum");
    assert_false(none.p.known);
    assert_int_equal(none.p.word, BT_PK_NO_TEST);
    assert_int_equal(none.n_errors, 0);
    says(none.messages, "phosphorus_method: expected the method behind this figure");
    assert_false(none.k.known);
    assert_true(none.p.has[BT_REMOVAL]);
    done(&olsen);
    done(&morgan);
    done(&none);
}

static void advice_then_word_then_figure(void **state)
{
    (void)state;
    struct garden g =
        answer((struct texts){.tests = "S,2026-03-20,A1,0-6 in,,10 ppm,M3,VH,30 ppm,M3,L,"
                                       "5 lb 10-0-10 per 1000 sq ft,,,,\n"});
    assert_int_equal(g.p.need_by, BT_BY_ADVICE);
    assert_string_equal(g.p.rating, "very high");
    check_close(g.p.required.likely, 0, 0, "a nutrient at 0 in the product is advised 0");
    check_close(g.k.required.likely, 2.44, 2e-3,
                "OC-05: 5 lb of 10-10-10 per 1000 sq ft is 2.44 g/m2; arithmetic");
    says(g.messages, "phosphorus_rating: expected a word that fits the figure");
    says(g.sentences, "advised \"5 lb 10-0-10 per 1000 sq ft\"; rated VH; 10 ppm");
    done(&g);
    g = answer((struct texts){.tests = "S,2026-03-20,A1,,,10 ppm,M3,H,VH,,,,,,,\n"});
    assert_int_equal(g.p.need_by, BT_BY_WORD);
    assert_int_equal(g.k.need_by, BT_BY_WORD);
    assert_true(g.k.is_full);
    assert_int_equal(g.k.longest, -1); /* a letter alone: years are not known */
    done(&g);
    g = answer((struct texts){.tests = "S,2026-03-20,A1,,,10 ppm,M3,,,,,,0 lb/ac,,,\n"});
    says(g.messages,
         "advised_p2o5: expected something for a soil rated Mehlich-3, very low");
    done(&g);
}

static void newest_counts(void **state)
{
    (void)state;
    struct garden g =
        answer((struct texts){.tests = "new,2026-03-20,A1,,,10 ppm,M3,,,,,,,,,\n"
                                       "old,2021-03-20,A1,,,200 ppm,M3,,200 ppm,M3,,,,,,\n"
                                       "late,2026-10-20,A1,,,200 ppm,M3,,,,,,,,,\n"});
    assert_string_equal(g.p.rating, "very low");
    assert_string_equal(g.k.rating, "above optimum");
    done(&g);
}

/* ---- units and bounds ---- */

static void units(void **state)
{
    (void)state;
    static const struct {
        const char *test, *note;
    } row[] = {
        {"S,2026-03-20,A1,0-6 in,,35 mg/100 g P2O5,M3,,20 mg/100 g K2O,M3,,,,,,\n",
         "35 mg/100 g P2O5 is 153 ppm of P"                                                                          },
        {"S,2026-03-20,A1,0-6 in,,35 mg/100 g P2O5,M3,,20 mg/100 g K2O,M3,,,,,,\n",
         "20 mg/100 g K2O is 166 ppm of K"                                                                           },
        {"S,2026-03-20,A1,0-12 in,,36 lb/ac,M3,,,,,,,,,\n",                         "over 30 cm is 9.95 ppm"         },
        {"S,2026-03-20,A1,,,,,,280 lb/ac,M3,,,,,,\n",
         "(no depth given: a plow layer) is 139 ppm"                                                                 },
        {"S,2026-03-20,A1,,,20 mg/L,Olsen,,,,,,,,,\n",
         "20 mg/L by Olsen is read as 20 ppm"                                                                        },
        {"S,2026-03-20,A1,,,,,,,,,,12 lb P/ac,,,\n",                                "12 lb P/ac is 3.08 g/m2 of P2O5"},
        {"S,2026-03-20,A1,,,,,,,,,,,60 lb K/ac,,\n",                                "60 lb K/ac is 8.1 g/m2 of K2O"  },
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        struct garden g = answer((struct texts){.tests = row[i].test});
        says(g.messages, row[i].note);
        done(&g);
    }
    struct garden g =
        answer((struct texts){.tests = "S,2026-03-20,A1,,,20 mg/L,M3,,,,,,,,,\n"});
    says(g.messages, "mg/L is read only beside a method that measures soil by volume");
    assert_int_equal(g.n_errors, 1);
    done(&g);
}

static void bounds(void **state)
{
    (void)state;
    struct garden g = answer(
        (struct texts){.tests = "S,2026-03-20,A1,,,>120 ppm,M3,,<20 ppm,M3,,,,,,\n"});
    assert_string_equal(g.p.rating, "excessive");
    assert_string_equal(g.k.rating, "very low");
    says(g.sentences, "above 120 ppm of phosphorus");
    done(&g);
    g = answer((struct texts){.tests = "S,2026-03-20,A1,,,ND,M3,,trace,,,,,,,\n"});
    assert_string_equal(g.p.rating, "very low");
    assert_string_equal(g.k.rating, "very low");
    done(&g);
}

static void local_ratings_win(void **state)
{
    (void)state;
    static const char own[] =
        "key,quantity,likely,unit,scope,source,seen\n"
        "\"Mehlich-3, optimum\",limit_p,200,mg/kg,garden,local,practice\n"
        "\"CAL, class C\",limit_p,90,mg/kg,garden,local,practice\n"
        "\"CAL, class C\",p2o5_need,4,g/m2,garden,local,practice\n";
    struct garden g = answer(
        (struct texts){.ratings = own, .tests = "S,2026-03-20,A1,,,119 ppm,M3,,,,,,,,,\n"});
    assert_int_equal(g.n_errors, 0);
    assert_string_equal(g.p.rating, "above optimum");
    done(&g);
    g = answer(
        (struct texts){.ratings = own, .tests = "S,2026-03-20,A1,,,60 ppm,cal,,,,,,,,,\n"});
    assert_string_equal(g.p.rating, "class C");
    check_close(g.p.required.likely, 4, 1e-9, "the garden's own table");
    done(&g);
}

/* Crops of feeder classes share the rate by what they fill; a table of the garden's own
 * that names no class holds for all. The rates by class: judgement, between those printed.
 */
static void by_feeder_class(void **state)
{
    (void)state;
    static const char test[] = "S,2026-03-20,A1,,,20 ppm,M3,,,,,,,,,\n"; /* low */
    static const struct {
        const char *plantings;
        double want;
        const char *source;
    } row[] = {
        {"bed,crop,share,in_ground\nA1,cabbage,100 %,2026-05-05\n",   22.4,
         "Delaware, cole crops on low soil: 22.4 g/m2; read"                                                                        },
        {"bed,crop,share,in_ground\nA1,snap bean,100 %,2026-05-20\n", 9,
         "Texas, pinto bean on low soil: 9 g/m2; read"                                                                              },
        {"bed,crop,share,in_ground\nA1,cucumber,100 %,2026-05-20\n",  16.6,
         "garden set, low soil, for medium feeders; derived"                                                                        },
        {"bed,crop,share,in_ground\nA1,cabbage,75 %,2026-05-20\n"
         "A1,snap bean,25 %,2026-05-20\n",                   19.05, "three quarters of 22.4 and a quarter of 9; arithmetic"},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        struct garden g =
            answer((struct texts){.plantings = row[i].plantings, .tests = test});
        assert_int_equal(g.n_errors, 0);
        check_close(g.p.required.likely, row[i].want, 1e-6, row[i].source);
        done(&g);
    }
    struct garden g = answer((struct texts){
        .plantings = row[0].plantings,
        .tests = test,
        .ratings = "key,quantity,likely,unit,scope,source,seen\n"
                   "\"Mehlich-3, low\",p2o5_need,7,g/m2,garden,local,practice\n"});
    check_close(g.p.required.likely, 7, 1e-9, "the garden's own rate, for all classes");
    done(&g);
}

/* ---- supply, loads, years ---- */

static void additions_and_loads(void **state)
{
    (void)state;
    struct garden g = answer((struct texts){
        .tests = "S,2026-04-01,A1,0-6 in,,10 ppm,M3,,,,,,,,,\n",
        .plantings = "bed,crop,share,in_ground,ended,weighed,picked\n"
                     "A1,tomato,100 %,2026-05-20,2026-09-20,32 lb,fruit\n"
                     "A1,tomato,100 %,2020-05-20,2020-09-20,32 lb,fruit\n"
                     "A1,rye,100 %,2025-09-25,2026-04-25,,\n",
        .applications =
            "date,beds,material,amount\n2019-04-20,A1,triple superphosphate,1 lb\n"
            "2026-03-20,A1,triple superphosphate,1 lb\n"
            "2026-04-20,A1,triple superphosphate,1 lb\n"});
    const double lb_g_m2 = 453.59237 / (32 * 0.09290304);
    const double dose = lb_g_m2 * 0.46; /* P2O5 of triple superphosphate */
    check_close(g.p.supply.likely, dose, 0.03,
                "one dose, what lay before the sample left out");
    check_close(g.p.beside[BT_LOAD_ADDED].likely, 3 * dose, 0.03, "three doses on record");
    says(g.sentences, "spread before the soil was sampled");
    assert_int_equal(g.p.first_season, 2019);
    check_between(g.p.beside[BT_REMOVAL].likely, 1, 4, "32 lb of tomatoes, 0.5-0.8 g/kg");
    check_close(g.p.beside[BT_LOAD_REMOVED].likely, 2 * g.p.beside[BT_REMOVAL].likely, 1e-9,
                "two equal harvests; a cover takes nothing away");
    done(&g);
}

static void years(void **state)
{
    (void)state;
    struct garden g = answer(
        (struct texts){.tests = "S,2026-03-20,A1,0-6 in,,133 ppm,M3,,300 ppm,M3,,,,,,\n"});
    const struct bt_spread *fall = &g.p.beside[BT_YEARS_BY_FALL];
    const struct bt_spread *decline = &g.p.beside[BT_YEARS_BY_DECLINE];
    check_close(fall->likely, (133 - 68.5) / 3, 1e-6,
                "64.5 ppm over, 3 a year; arithmetic");
    check_close(fall->p05, (133 - 68.5) / 4, 0.03, "at 4 ppm a year; arithmetic");
    check_close(fall->p95, (133 - 68.5) / 2, 0.03, "at 2 ppm a year; arithmetic");
    check_close(decline->likely, log(133 / 68.5) / 0.06, 1e-6, "at 6 % a year; arithmetic");
    assert_int_equal(g.p.longest, fall->likely > g.p.beside[BT_YEARS_BY_REMOVAL].likely
                                      ? BT_YEARS_BY_FALL
                                      : BT_YEARS_BY_REMOVAL);
    assert_true(g.k.has[BT_YEARS_BY_REMOVAL]);
    assert_false(g.k.has[BT_YEARS_BY_FALL]);
    done(&g);
    g = answer((struct texts){.tests = "S,2026-03-20,A1,,,60 ppm,M3,,,,,,,,,\n"});
    assert_int_equal(g.p.longest, -1);
    done(&g);
}

static void no_test(void **state)
{
    (void)state;
    struct garden g = answer((struct texts){
        .applications = "date,beds,material,amount\n2026-04-20,A1,bone meal,1 lb\n"});
    assert_false(g.p.known || g.k.known);
    assert_int_equal(g.p.word, BT_PK_NO_TEST);
    assert_true(g.p.supply.likely > 0 && g.p.beside[BT_REMOVAL].likely > 0);
    assert_string_equal(g.p.rating, "");
    done(&g);
}

static void ph_and_lead(void **state)
{
    (void)state;
    struct garden g = answer((struct texts){
        .plantings = "bed,crop,plants,in_ground\nA1,snap bean,60,2026-05-20\n",
        .tests = "S,2026-03-20,A1,,5.2,,,,,,,,,,,150 ppm\n"});
    says(g.sentences, "pH 5.2 (S); the crops here want 6.0 to 7.0.");
    says(g.sentences, "lime or sulfur");
    says(g.sentences, "Lead (S): 150 ppm");
    says(g.cautions, "acid legume");
    says(g.cautions, "contaminated soil");
    done(&g);
    g = answer((struct texts){.tests = "S,2026-03-20,A1,,6.4,,,,,,,,,,,20 ppm\n"});
    says(g.sentences, "6.0 to 6.8, and have it");
    assert_null(strstr(g.cautions, "contaminated soil"));
    assert_null(strstr(g.cautions, "acid legume"));
    done(&g);
}

/* ---- slips ---- */

static void slips(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        struct texts texts;
        const char *says;
        size_t n_errors;
    } row[] = {
        {"2 lb 10-10-10 per square foot",
         {.tests = "S,2026-03-20,A1,,,,,,,,,2 lb 10-10-10 per square foot,,,,\n"},
         "per square foot where per 100 (or 1,000) square feet was meant?", 1},
        {"3 lb N per 100 sq ft",
         {.tests = "S,2026-03-20,A1,,,,,,,,,,,,3 lb/100 sq ft,\n"},
         "per 100 square feet where per 1,000 was meant?",                  1},
        {"a rate per acre typed per 1,000 sq ft",
         {.tests = "S,2026-03-20,A1,,,,,,,,,,200 lb/1000 sq ft,,,\n"},
         "per 1,000 square feet where per acre was meant?",                 1},
        {"2 lb of 10-10-10 spread per square foot",
         {.applications =
              "date,beds,material,amount\n2026-05-01,A1,balanced fertiliser,2 lb/sq ft\n"},
         "per square foot where per 100 (or 1,000) square feet was meant?", 0},
        {"10,000 lb for 10 lb",
         {.applications =
              "date,beds,material,amount\n2026-05-01,A1,balanced fertiliser,10000 lb\n"},
         "ten or a thousand times too much?",                               0},
        {"50 cu ft taken as 17 yards",
         {.applications =
              "date,beds,material,amount\n2026-05-01,A1,yard compost,17 cu yd\n"},
         "a cubic yard is 27 cubic feet, not 3",                            0},
        {"a yard of 3 cubic feet",
         {.measures = "measure,amount\nyard,3 cu ft\n"},
         "expected 27 cu ft in a cubic yard",                               0},
        {"an acre of 4,840 sq ft",
         {.beds = "bed,length,width,area\nA1,66 ft,66 ft,484 sq ft\n"},
         "an acre is 43,560 sq ft or 4,840 sq yd",                          1},
        {"urea 34-0-0",
         {.materials = "material,like,label\nmy urea,urea,34-0-0\n"},
         "34 % is ammonium nitrate",                                        0},
        {"an element label",
         {.materials = "material,like,label,p\nbag,balanced fertiliser,12-5-14,5 %\n"},
         "this label counts the element",                                   0},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        struct garden g = answer(row[i].texts);
        if (!strstr(g.messages, row[i].says) || g.n_errors != row[i].n_errors)
            fail_msg("%s: %zu errors, and not \"%s\" in:\n%s", row[i].name, g.n_errors,
                     row[i].says, g.messages);
        done(&g);
    }
}

/* What is right is not doubted. */
static void no_false_alarm(void **state)
{
    (void)state;
    struct garden g = answer((struct texts){
        .tests = "S,2026-03-20,A1,0-6 in,6.5,30 ppm,Mehlich-3,M,60 ppm,Mehlich-3,medium,"
                 "2 lb 10-10-10 per 100 sq ft,,,,\n",
        .materials = "material,like,label\nmy urea,urea,46-0-0\nmeal,bone meal,3-15-0\n",
        .applications =
            "date,beds,material,amount\n2026-05-01,A1,my urea,2 oz\n"
            "2026-05-01,A1,meal,1 lb\n2026-05-01,A1,rock phosphate,10 lb/100 sq ft\n"
            "2026-05-01,A1,yard compost,2 cu ft\n"});
    assert_string_equal(g.messages, "");
    assert_int_equal(g.p.need_by, BT_BY_ADVICE);
    check_close(g.p.required.likely, 9.76, 1e-3, "2 lb of 10 % per 100 sq ft; arithmetic");
    done(&g);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figure_by_method),
        cmocka_unit_test(method_is_asked),
        cmocka_unit_test(advice_then_word_then_figure),
        cmocka_unit_test(newest_counts),
        cmocka_unit_test(units),
        cmocka_unit_test(bounds),
        cmocka_unit_test(local_ratings_win),
        cmocka_unit_test(by_feeder_class),
        cmocka_unit_test(additions_and_loads),
        cmocka_unit_test(years),
        cmocka_unit_test(no_test),
        cmocka_unit_test(ph_and_lead),
        cmocka_unit_test(slips),
        cmocka_unit_test(no_false_alarm),
    };
    return cmocka_run_group_tests_name("garden_pk", tests, NULL, NULL) != 0;
}
