/* JSON read back and compared; CSV word for word; both with names that mean harm. */
#include "report/made_with.h"
#include "test_report_fixture.h"

#include <jansson.h>

static const struct bt_total_finding *totals(void)
{
    static struct bt_total_finding t[BT_NUTRIENTS];
    t[BT_N] =
        (struct bt_total_finding){.area_m2 = AREA_M2, .required = spread_of(52.3, 10)};
    return t;
}

static json_t *read_back(struct fixture *f, size_t n_beds)
{
    bt_report_json_begin(&f->out, &f->show, &f->garden);
    for (size_t k = 0; k < n_beds; k++)
        bt_report_json_bed(&f->out, &f->show, &f->finding, k == 0);
    bt_report_json_end(&f->out, totals());
    json_error_t error;
    json_t *root = json_loads(written(f), JSON_REJECT_DUPLICATES, &error);
    if (!root)
        print_error("%s at %d\n", error.text, error.position);
    assert_non_null(root);
    return root;
}

static json_t *at(json_t *o, const char *key)
{
    json_t *value = json_object_get(o, key);
    if (!value)
        print_error("no key %s\n", key);
    assert_non_null(value);
    return value;
}

/* The keys of an object, in order, with a blank between. */
static void check_keys(struct fixture *f, json_t *o, const char *want)
{
    char *keys = bt_arena_text(f->arena, "");
    const char *key;
    json_t *value;
    json_object_foreach(o, key, value) keys =
        bt_arena_format(f->arena, "%s%s%s", keys, *keys ? " " : "", key);
    assert_string_equal(keys, want);
}

static void json_has_the_agreed_keys(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    json_t *root = read_back(f, 2);
    check_keys(f, root,
               "schema version tables samples seed local garden season beds total");
    assert_string_equal(json_string_value(at(root, "schema")), "bedtally-budget-1");
    assert_int_equal(json_integer_value(at(root, "season")), 2026);
    assert_int_equal(json_integer_value(at(root, "samples")), 16384);
    assert_int_equal(json_array_size(at(root, "beds")), 2);
    json_t *bed = json_array_get(at(root, "beds"), 0);
    check_keys(f, bed, "bed name area_m2 N understood assumed alerts cautions");
    json_t *n = at(bed, "N");
    check_keys(f, n,
               "word lines required supply balance tightest shortfall surplus left "
               "chance_left_over_limit chance_of_shortfall chance_of_visible_shortfall "
               "chance_error course drivers measure");
    check_keys(f, json_array_get(at(n, "lines"), 0),
               "line label side likely mean p05 p50 p95 in_time");
    check_keys(f, at(n, "required"), "likely mean p05 p25 p50 p75 p95");
    check_keys(f, at(n, "tightest"), "likely mean p05 p25 p50 p75 p95 date chance error");
    check_keys(f, at(at(n, "tightest"), "error"), "mean p05 p95");
    check_keys(f, json_array_get(at(n, "course"), 0), "date have need");
    check_keys(f, json_array_get(at(n, "drivers"), 0),
               "leaf share_of_variance low_effect high_effect");
    check_keys(f, at(root, "total"), "area_m2 N");
    json_decref(root);
    fixture_free(f);
}

static void json_holds_the_findings_numbers(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    json_t *root = read_back(f, 1);
    json_t *bed = json_array_get(at(root, "beds"), 0);
    json_t *n = at(bed, "N");
    json_t *line = json_array_get(at(n, "lines"), 2);
    const char *source = "the fixture";
    assert_string_equal(json_string_value(at(n, "word")), "short");
    assert_string_equal(json_string_value(at(line, "line")), "need/A1/sweet corn");
    assert_string_equal(json_string_value(at(line, "side")), "demand");
    check_close(json_real_value(at(line, "p95")), 20.1, 1e-9, source);
    check_close(json_real_value(at(at(line, "in_time"), "likely")), 15.6 * 0.9, 1e-9,
                source);
    assert_string_equal(json_string_value(at(at(n, "tightest"), "date")), "2026-08-07");
    check_close(json_real_value(at(at(n, "tightest"), "chance")), 0.8, 1e-9, source);
    check_close(json_real_value(at(bed, "area_m2")), AREA_M2, 1e-9, source);
    check_close(json_real_value(at(at(at(at(root, "total"), "N"), "required"), "likely")),
                52.3, 1e-9, source);
    json_decref(root);
    fixture_free(f);
}

static void json_has_null_for_the_unknown(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    f->finding.account[BT_N].required.p05 = (double)NAN;
    f->finding.account[BT_N].left.mean = HUGE_VAL;
    f->finding.account[BT_N].driver = NULL;
    f->budget.n_accounts = 2;
    f->budget.account[1] = f->budget.account[BT_N];
    f->budget.account[1].nutrient = BT_P2O5;
    f->budget.account[1].known = false;
    f->finding.account[1] = f->finding.account[BT_N];
    f->finding.account[1].account = &f->budget.account[1];
    json_t *root = read_back(f, 1);
    assert_null(strstr(f->text, "nan"));
    assert_null(strstr(f->text, "inf"));
    json_t *bed = json_array_get(at(root, "beds"), 0);
    assert_true(json_is_null(at(at(at(bed, "N"), "required"), "p05")));
    assert_true(json_is_null(at(at(at(bed, "N"), "left"), "mean")));
    assert_null(json_object_get(at(bed, "N"), "drivers")); /* not worked out: absent */
    assert_true(json_is_null(at(at(bed, "P2O5"), "required")));
    assert_true(json_is_null(at(at(bed, "P2O5"), "chance_of_shortfall")));
    assert_true(json_is_object(at(at(bed, "P2O5"), "supply")));
    assert_null(json_object_get(bed, "K2O"));
    assert_null(json_object_get(at(bed, "P2O5"), "left"));
    json_decref(root);
    fixture_free(f);
}

static void json_has_ten_figures(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    f->finding.account[BT_N].supply.mean = 1.0 / 3;
    f->finding.account[BT_N].supply.likely = -0.0;
    json_t *root = read_back(f, 1);
    assert_non_null(strstr(f->text, "\"supply\":{\"likely\":0.0,\"mean\":0.3333333333,"));
    json_decref(root);
    fixture_free(f);
}

static const char hostile[] = "=A1\",\"x\u202E\u05E9 <script>'\\";

static void json_keeps_any_name(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    f->bed.name = hostile;
    f->line[0].label = hostile;
    json_t *root = read_back(f, 1);
    json_t *bed = json_array_get(at(root, "beds"), 0);
    assert_string_equal(json_string_value(at(bed, "name")), hostile);
    json_t *line = json_array_get(at(at(bed, "N"), "lines"), 0);
    assert_string_equal(json_string_value(at(line, "label")), hostile);
    json_decref(root);
    fixture_free(f);
}

static void csv_is_one_row_a_line(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    f->finding.account[BT_N].line[3].total.p05 = (double)NAN;
    bt_report_csv_begin(&f->out);
    bt_report_csv_bed(&f->out, &f->show, &f->finding);
    const char *run = bt_made_with_text(&f->show);
    assert_memory_equal(run, "Bedtally 0.1.0; 16384 draws, seed 7; tables ", 43);
    assert_string_equal(
        written(f),
        bt_arena_format(
            f->arena,
            "bed,nutrient,side,id,label,likely,mean,p05,p50,p95,in_time,unit,run\r\n"
            "\"A1\",N,supply,\"supply/A1/soil organic matter\",\"soil organic matter\","
            "6.6,6.6,4.1,6.6,9.1,4.95,g/m2,\"%s\"\r\n"
            "\"A1\",N,supply,\"supply/A1/dairy compost\",\"dairy compost\","
            "1.5,1.5,1.5,1.5,1.5,1.5,g/m2,\"%s\"\r\n"
            "\"A1\",N,demand,\"need/A1/sweet corn\",\"need of sweet corn\","
            "15.6,15.6,11.1,15.6,20.1,14.04,g/m2,\"%s\"\r\n"
            "\"A1\",N,demand,\"need/A1/pole bean\",\"need of pole bean\","
            "2,2,,2,2.75,1.6,g/m2,\"%s\"\r\n",
            run, run, run, run));
    fixture_free(f);
}

static void csv_runs_no_formula(void **state)
{
    (void)state;
    static const struct {
        const char *label, *cell;
    } rows[] = {
        {"=cmd|' /C calc'!A0", "\"'=cmd|' /C calc'!A0\""  },
        {"+1",                 "\"'+1\""                  },
        {"-1",                 "\"'-1\""                  },
        {"@SUM(1)",            "\"'@SUM(1)\""             },
        {"say \"ah\", twice",  "\"say \"\"ah\"\", twice\""},
        {"\u05E9\u05E2",       "\"\u05E9\u05E2\""         },
        {"plain - text",       "\"plain - text\""         },
    };
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        struct fixture *f = fixture_new(true, true);
        f->line[0].label = rows[k].label;
        bt_report_csv_bed(&f->out, &f->show, &f->finding);
        char *want = bt_arena_format(f->arena, ",%s,6.6,", rows[k].cell);
        assert_non_null(strstr(written(f), want));
        fixture_free(f);
    }
}

static void a_full_disk_is_noticed(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    FILE *full = fopen("/dev/full", "w");
    assert_non_null(full);
    struct bt_out out = bt_out_stream(full);
    bt_report_json_begin(&out, &f->show, &f->garden);
    bt_report_json_bed(&out, &f->show, &f->finding, true);
    bt_report_json_end(&out, totals());
    assert_false(bt_out_done(&out));
    fclose(full);
    fixture_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(json_has_the_agreed_keys),
        cmocka_unit_test(json_holds_the_findings_numbers),
        cmocka_unit_test(json_has_null_for_the_unknown),
        cmocka_unit_test(json_has_ten_figures),
        cmocka_unit_test(json_keeps_any_name),
        cmocka_unit_test(csv_is_one_row_a_line),
        cmocka_unit_test(csv_runs_no_formula),
        cmocka_unit_test(a_full_disk_is_noticed),
    };
    return cmocka_run_group_tests_name("report: JSON and CSV", tests, NULL, NULL) != 0;
}
