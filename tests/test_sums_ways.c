/* How sums behave: ranges, units, refusals that name the slip, JSON, the page of docs held
 * to the table, and every example of the table. */
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "report/sum.h"

#include "check.h"

#define N(a) (sizeof(a) / sizeof *(a))

struct bench {
    struct bt_arena *arena;
    struct bt_diag *diag;
    struct bt_units *units;
    struct bt_handbook *book;
};

static void no_memory(void *context)
{
    (void)context;
    abort();
}

static int set_up(void **state)
{
    size_t n;
    struct bench *b = calloc(1, sizeof *b);
    b->arena = bt_arena_new((size_t)1 << 20, no_memory, NULL);
    b->diag = bt_diag_new(b->arena);
    const char *table = bt_embedded_table("units", &n);
    b->units = bt_units_new(b->arena, b->diag, table, n);
    b->book = bt_handbook_load(b->arena, b->diag, b->units, NULL, NULL);
    *state = b;
    return b->book ? 0 : -1;
}

static int tear_down(void **state)
{
    struct bench *b = *state;
    bt_units_free(b->units);
    bt_arena_free(b->arena);
    free(b);
    return 0;
}

/* Keys parted by `;`. `d` gets the messages. */
static bool work(struct bench *b, struct bt_diag *d, const char *name, const char *given,
                 struct bt_sum_answer *out)
{
    const struct bt_sum_means means = {
        .arena = b->arena,
        .diag = d,
        .units = b->units,
        .book = b->book,
        .chance = {.samples = 16384, .seed = 1},
        .us_units = -1
    };
    char **part;
    const struct bt_sum *sum = bt_sum_find(b->arena, d, name);
    const size_t n = bt_text_split(b->arena, given, ';', &part);
    const char **typed = bt_arena_alloc(b->arena, (n + 1) * sizeof *typed);
    for (size_t i = 0; i < n; i++)
        typed[i] = part[i];
    return sum && bt_sum_work(&means, sum, n, typed, out);
}

static struct bt_sum_answer worked(struct bench *b, const char *name, const char *given)
{
    struct bt_diag *d = bt_diag_new(b->arena);
    struct bt_sum_answer x = {0};
    if (!work(b, d, name, given, &x)) {
        for (size_t i = 0; i < bt_diag_kept(d); i++)
            print_error("%s\n", bt_message_text(b->arena, bt_diag_get(d, i)));
        fail_msg("%s %s: refused", name, given);
    }
    return x;
}

static const struct bt_sum_result *result_of(const struct bt_sum_answer *x,
                                             const char *name)
{
    for (size_t i = 0; i < x->n_results; i++)
        if (strcmp(x->result[i].name, name) == 0)
            return &x->result[i];
    fail_msg("no result \"%s\"", name);
    return NULL;
}

/* ---- ranges ---- */

static void a_range_gives_a_range(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x =
        worked(b, "product", "rate=2..4 g N/m2; content=10 %; area=10 m2");
    const struct bt_sum_result *r = result_of(&x, "product");
    assert_true(r->varies);
    check_close(r->spread.likely, 300, 1e-12, "3 g/m2 over a tenth, on 10 m2");
    check_close(r->spread.p05, 200, 0.02, "a range counts as P5 to P95");
    check_close(r->spread.p95, 400, 0.02, "a range counts as P5 to P95");
}

static void an_exact_figure_has_no_range(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x = worked(b, "product", "rate=3 g N/m2; content=10 %");
    const struct bt_sum_result *r = result_of(&x, "product for it");
    assert_false(r->varies);
    check_close(r->spread.p05, r->spread.p95, 1e-15, "by definition");
}

/* The same figure twice is one figure: what comes along keeps the ratio of the label. */
static void one_leaf_moves_together(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x =
        worked(b, "product", "rate=2..4 g N; grade=10-5-0; available=40..80 %");
    const struct bt_sum_result *product = result_of(&x, "product"),
                               *along = result_of(&x, "P2O5 that comes along");
    check_close(along->spread.p95 / product->spread.p95, 0.05, 1e-12, "the label");
}

static void fates_add_up(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x =
        worked(b, "fixed",
               "legume=pole bean; share=40; harvest_share=30..50 %; companions=12 g/m2");
    const double fixed = result_of(&x, "N fixed per area")->spread.mean;
    const double fates =
        result_of(&x, "fixed N out with the harvest per area")->spread.mean +
        result_of(&x, "fixed N passed on per area")->spread.mean +
        result_of(&x, "fixed N left in residue and roots per area")->spread.mean;
    check_close(fates, fixed, 1e-9, "what is fixed goes somewhere");
}

/* ---- the budget's own equations and rows ---- */

static void compost_bed_of_the_handbook(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x =
        worked(b, "compost", "amount=1/2 in; area=4 x 8 ft; like=dairy compost");
    static const char source[] = "materials research, section 7, derived";
    check_close(result_of(&x, "compost as spread")->spread.likely, 24500, 0.005, source);
    check_close(result_of(&x, "total N")->spread.likely, 216, 0.005, source);
    check_close(result_of(&x, "P2O5")->spread.likely, 189, 0.005, source);
    check_close(result_of(&x, "K2O")->spread.likely, 270, 0.005, source);
    check_close(result_of(&x, "N of the first season")->spread.likely, 19.4, 0.02, source);
}

static void organic_matter_by_the_budgets_rule(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x =
        worked(b, "organic-matter", "organic_matter=3 %; release=20 lb/ac");
    const double lb_ac = 453.59237 / 4046.8564224;
    check_close(result_of(&x, "N released per area")->spread.likely, 60 * lb_ac, 1e-9,
                "3 % at 20 lb/ac a percent, soil research, derived");
    const struct bt_sum_answer held =
        worked(b, "organic-matter", "organic_matter=13 %; release=20 lb/ac");
    check_close(result_of(&held, "N released per area")->spread.likely, 100 * lb_ac, 1e-9,
                "held at 5 %, judgement");
}

static void cover_by_the_line(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x = worked(b, "cover", "biomass=3 t/ha; n=3 %");
    check_close(result_of(&x, "available N per area")->spread.likely, 3.9375, 1e-9,
                "0.875 (3 % - 1.5 %) of 300 g/m2, PNW 636, derived");
}

static void side_dressing_forms(void **state)
{
    static const struct {
        const char *given;
        double want_lb_ac;
        const char *source;
    } row[] = {
        {"nitrate=18 ppm NO3-N; form=line",                                               56,    "8 (25 - 18), Iowa, read"         },
        {"nitrate=30 ppm NO3-N; form=line",                                               0,     "above the critical reading"      },
        {"nitrate=10 ppm NO3-N; form=steps; manured=yes",                                 160,   "Rutgers table, read"             },
        {"nitrate=26 ppm NO3-N; form=steps; manured=yes",                                 0,     "Rutgers table, read"             },
        {"nitrate=15 ppm NO3-N; form=steps; manured=no",                                  160,   "Rutgers table, read"             },
        {"nitrate=31 ppm NO3-N; form=steps; manured=no",                                  0,     "Rutgers table, read"             },
        {"nitrate=20 ppm NO3-N; form=refill; critical=25 ppm; depth=12 in; density=1.3 "
         "g/cm3",                                                                17.67, "5 x 0.2266 x 1.3 x 12, derived"  },
        {"nitrate=12 ppm NO3-N; form=yield; yield=120 bu/ac",                             123,
         "1.1 x 120 - 0.75 x 12, Penn State, read"                                                                                 },
        {"nitrate=12 ppm NO3-N; form=yield; yield=120 bu/ac; manured=yes; after=soybean",
         78,                                                                                     "132 - 4.5 x 12, Penn State, read"},
        {"nitrate=21 ppm NO3-N; form=yield; yield=120 bu/ac",                             0,
         "nothing from 21 ppm up, Penn State, read"                                                                                },
    };
    struct bench *b = *state;
    const double lb_ac = 453.59237 / 4046.8564224;
    for (size_t i = 0; i < N(row); i++) {
        const struct bt_sum_answer x = worked(b, "sidedress", row[i].given);
        check_close(result_of(&x, "N to side-dress per area")->spread.likely / lb_ac,
                    row[i].want_lb_ac, 1e-3, row[i].source);
    }
}

/* ---- refusals ---- */

static void refusals_name_the_slip(void **state)
{
    static const struct {
        const char *sum, *given, *expected, *hint; /* parts of the texts */
    } row[] = {
        {"product",      "rate=3 lb N/100 sq ft; grade=10-10-10",                     "at most 60 g N/m2",
         "per 1000 sq ft?"                                                                                                              },
        {"carried",      "amount=2 lb/sq ft; grade=10-10-10",                         "at most 60 g N/m2",
         "per 100 sq ft?"                                                                                                               },
        {"product",      "rate=100 lb N/1000 sq ft; grade=28-14-5",                   "at most 60 g N/m2",
         "per ac?"                                                                                                                      },
        {"product",      "rate=240 lb P/ac; grade=0-46-0",                            "at most 60 g P2O5/m2",
         "of the oxide"                                                                                                                 },
        {"spread",       "rate=5 kg N/m2; area=1 m2",                                 "at most 60 g N/m2",             "g, not kg?"     },
        {"plan",         "n=3 lb/100 sq ft; first=46-0-0",                            "at most 60 g N/m2",             "per 1000 sq ft?"},
        {"lime",         "rate=50 lb/sq ft; equivalent=70",                           "lime of at most 2200 g/m2",
         "per 1000 sq ft?"                                                                                                              },
        {"balance",      "need=3 lb/100 sq ft; credit1=1 lb/1000 sq ft",
         "a need of at most 75 g/m2",                                                                                  "per 1000 sq ft?"},
        {"demand",       "crop=sweet corn; yield=120 kg/m2",                          "uptake of at most 75 g/m2",
         "per 100 m2?"                                                                                                                  },
        {"cover",        "biomass=300 t/ha; n=3 %",                                   "N in the cover of at most 60",
         "decimal point"                                                                                                                },
        {"irrigation",   "nitrate=2000 ppm NO3-N; depth=24 in",                       "N from water of at most 60",
         "decimal point"                                                                                                                },
        {"irrigation",   "nitrate=20 ppm; depth=24 in",                               "NO3-N or NO3",                  "a fifth"        },
        {"soil-nitrate", "nitrate=20 ppm; depth=12 in",                               "NO3-N or NO3",                  "a fifth"        },
        {"oxide",        "label=12-5-14",                                             "oxides or elements",            "Australia"      },
        {"compost",      "n=1.5 %; amount=1 cu yd",                                   "as-is or dry",                  "dw"             },
        {"product",      "rate=1 lb; grad=10-10-10",                                  "a key of the sum product",      "grade"          },
        {"product",      "rate=1 lbs/acree; grade=10-10-10",                          "lb/ac",                         "near it"        },
        {"product",      "rate=1; grade=10-10-10",                                    "a number and its unit",         "write the unit" },
        {"product",      "rate=1 lb P2O5; nutrient=N; grade=10-10-10",                "a figure of N",                 "P2O5"           },
        {"product",      "rate=1 lb N; grade=0-0-60",                                 "a product that holds N",        ""               },
        {"product",      "rate=1 lb N; grade=10-10",                                  "N-P2O5-K2O",                    ""               },
        {"product",      "rate=1 lb N; grade=60-30-20",                               "N-P2O5-K2O",                    "more than 100"  },
        {"product",      "grade=10-10-10",                                            "a mass",                        "nutrient wanted"},
        {"product",      "rate=1 lb N; rate=2 lb N; grade=10-10-10",                  "each key once",                 ""               },
        {"product",      "1 lb N",                                                    "key=value",                     "rate"           },
        {"manure",       "n=21 lb/ton; ammonium_n=1 kg/1000 L; kept=50; released=25",
         "all per volume",                                                                                             ""               },
        {"manure",       "n=21 lb/ton",                                               "share of organic N",            "like"           },
        {"layer",        "area=10 sq ft",                                             "two of area, depth and volume", ""               },
        {"fixed",        "legume=pole been",                                          "legumes",                       "pole bean"      },
        {"soil-test",    "reading=280 lb K/ac; target=340 lb K2O/ac",
         "the form of the reading",                                                                                    ""               },
        {"acid-lime",    "acidity=1.2; ph=6.7; target=6.0",                           "a pH below",                    ""               },
        {"land-ratio",   "mixed1=1 t/ha; sole1=2 t/ha; mixed2=1 t/ha",                "sole one",                      ""               },
        {"layer",        "volume=1 cu yd; depth=0 in",                                "figures above 0",               ""               },
        {"plan",         "n=1 lb/1000 sq ft; p2o5=1 lb; first=10-10-10",              "all needs per area",            ""               },
        {"plan",         "first=10-10-10",                                            "at least one need",             ""               },
        {"prodct",       "rate=1 lb",                                                 "the name of a sum",             "product"        },
    };
    struct bench *b = *state;
    for (size_t i = 0; i < N(row); i++) {
        struct bt_diag *d = bt_diag_new(b->arena);
        struct bt_sum_answer x;
        if (work(b, d, row[i].sum, row[i].given, &x))
            fail_msg("%s %s: was not refused", row[i].sum, row[i].given);
        assert_true(bt_diag_count(d, BT_ERROR) >= 1);
        const struct bt_message *m = bt_diag_get(d, 0);
        const char *text = bt_message_text(b->arena, m);
        if (!strstr(text, row[i].expected) || !strstr(text, row[i].hint))
            fail_msg("%s %s: %s", row[i].sum, row[i].given, text);
    }
}

/* High, but within twice the guides: a word, no refusal. */
static void a_high_rate_is_remarked(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x = worked(b, "product", "rate=40 g N/m2; grade=10-10-10");
    assert_true(x.n_notes >= 1);
    assert_non_null(strstr(x.note[0], "above every rate"));
}

static void a_wrong_label_is_remarked(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x =
        worked(b, "product", "rate=1 lb N; grade=34-0-0; like=urea");
    bool found = false;
    for (size_t i = 0; i < x.n_notes; i++)
        found |= strstr(x.note[i], "right bag") != NULL;
    assert_true(found);
}

static void unsafe_water_is_remarked(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x =
        worked(b, "irrigation", "nitrate=20 ppm NO3-N; depth=24 in");
    assert_true(x.n_notes == 1 && strstr(x.note[0], "drink"));
    const struct bt_sum_answer safe =
        worked(b, "irrigation", "nitrate=20 ppm NO3; depth=24 in");
    for (size_t i = 0; i < safe.n_notes; i++)
        assert_null(strstr(safe.note[i], "drink"));
}

/* ---- writers ---- */

static char *written(FILE *f)
{
    const long n = ftell(f);
    char *text = calloc(1, (size_t)n + 1);
    rewind(f);
    assert_int_equal(fread(text, 1, (size_t)n, f), (size_t)n);
    (void)fclose(f);
    return text;
}

static struct bt_show show_of(const struct bench *b)
{
    return (struct bt_show){.arena = b->arena, .units = b->units, .handbook = b->book};
}

static void json_is_whole(void **state)
{
    struct bench *b = *state;
    const struct bt_sum_answer x =
        worked(b, "irrigation", "nitrate=15..25 ppm NO3-N; depth=24 in; area=4 x 8 ft");
    struct bt_out o = bt_out_stream(tmpfile());
    const struct bt_show w = show_of(b);
    bt_report_sum_json(&o, &w, &x);
    char *text = written(o.f);
    json_t *j = json_loads(text, 0, NULL);
    assert_non_null(j);
    assert_string_equal(json_string_value(json_object_get(j, "schema")), "bedtally-sum-1");
    assert_string_equal(json_string_value(json_object_get(j, "sum")), "irrigation");
    assert_string_equal(
        json_string_value(json_object_get(json_object_get(j, "given"), "depth")), "24 in");
    assert_true(json_is_string(json_object_get(j, "source")));
    const json_t *results = json_object_get(j, "results");
    assert_int_equal(json_array_size(results), x.n_results);
    for (size_t i = 0; i < json_array_size(results); i++) {
        const json_t *r = json_array_get(results, i);
        const double low = json_number_value(json_object_get(r, "p05")),
                     likely = json_number_value(json_object_get(r, "value")),
                     high = json_number_value(json_object_get(r, "p95"));
        assert_true(json_is_string(json_object_get(r, "unit")));
        assert_true(low <= likely && likely <= high);
    }
    json_decref(j);
    free(text);
}

/* Every example of the table works, has a working and a source, and shows on a page. */
static void examples_of_the_table_run(void **state)
{
    struct bench *b = *state;
    const struct bt_sum *const *sum;
    const size_t n = bt_sums(&sum);
    const struct bt_show show = show_of(b);
    for (size_t i = 0; i < n; i++) {
        char *given = bt_arena_text(b->arena, sum[i]->example);
        bool quoted = false;
        for (char *c = given; *c; c++) { /* as a shell parts it */
            if (*c == '\'')
                quoted = !quoted;
            if (*c == '\'' || (*c == ' ' && !quoted))
                *c = *c == '\'' ? '\t' : ';';
        }
        char *to = given;
        for (const char *c = given; *c; c++)
            if (*c != '\t')
                *to++ = *c;
        *to = '\0';
        const struct bt_sum_answer x = worked(b, sum[i]->name, given);
        const bool has_working = strcmp(sum[i]->name, "convert") != 0;
        assert_true(x.n_results > 0 && *x.source && (x.n_pages > 0) == has_working);
        struct bt_out o = bt_out_stream(tmpfile());
        bt_report_sum(&o, &show, &x);
        assert_false(o.failed);
        char *text = written(o.f);
        assert_true((strstr(text, "Working") != NULL) == has_working);
        assert_null(strstr(text, "not known"));
        free(text);
    }
}

static void help_names_every_key(void **state)
{
    struct bench *b = *state;
    const struct bt_sum *const *sum;
    const size_t n = bt_sums(&sum);
    const struct bt_show show = show_of(b);
    for (size_t i = 0; i < n; i++) {
        struct bt_out o = bt_out_stream(tmpfile());
        bt_report_sum_help(&o, &show, sum[i]);
        char *text = written(o.f);
        for (const struct bt_sum_key *k = sum[i]->key; k->name; k++)
            assert_non_null(strstr(text, k->name));
        assert_non_null(strstr(text, sum[i]->example));
        free(text);
    }
}

/* With BEDTALLY_UPDATE set the page is written anew. */
static void docs_are_the_table(void **state)
{
    struct bench *b = *state;
    const struct bt_show show = show_of(b);
    struct bt_out o = bt_out_stream(tmpfile());
    bt_report_sums_docs(&o, &show);
    char *want = written(o.f);
    FILE *f = fopen("docs/sums.md", getenv("BEDTALLY_UPDATE") ? "w+" : "r");
    assert_non_null(f);
    if (getenv("BEDTALLY_UPDATE"))
        assert_true(fputs(want, f) >= 0);
    assert_int_equal(fseek(f, 0, SEEK_END), 0);
    char *got = written(f);
    if (strcmp(want, got) != 0)
        fail_msg("docs/sums.md is not the table's page; BEDTALLY_UPDATE=1 writes it");
    free(got);
    free(want);
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(a_range_gives_a_range),
        cmocka_unit_test(an_exact_figure_has_no_range),
        cmocka_unit_test(one_leaf_moves_together),
        cmocka_unit_test(fates_add_up),
        cmocka_unit_test(compost_bed_of_the_handbook),
        cmocka_unit_test(organic_matter_by_the_budgets_rule),
        cmocka_unit_test(cover_by_the_line),
        cmocka_unit_test(side_dressing_forms),
        cmocka_unit_test(refusals_name_the_slip),
        cmocka_unit_test(a_high_rate_is_remarked),
        cmocka_unit_test(a_wrong_label_is_remarked),
        cmocka_unit_test(unsafe_water_is_remarked),
        cmocka_unit_test(json_is_whole),
        cmocka_unit_test(examples_of_the_table_run),
        cmocka_unit_test(help_names_every_key),
        cmocka_unit_test(docs_are_the_table),
    };
    return cmocka_run_group_tests_name("sums_ways", test, set_up, tear_down) != 0;
}
