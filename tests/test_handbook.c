/* The handbook's loader, on a small handbook of this test's own: what is found by which
 * spelling and what overrides what. */
#include <string.h>

#include "test_handbook.h"

static struct bt_handbook *load_clean(struct bench *b, const char *dir,
                                      const char *garden_dir)
{
    struct bt_handbook *h = load(b, dir, garden_dir);
    assert_string_equal(messages(b), "");
    assert_non_null(h);
    return h;
}

static const struct bt_table *table_of(const struct bt_handbook *h, const char *name)
{
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(h, &t);
    for (size_t i = 0; i < n; i++)
        if (strcmp(t[i].name, name) == 0)
            return &t[i];
    fail_msg("no table %s", name);
    return NULL;
}

/* ---- what stands in it ---- */

static void rows_are_read(void **state)
{
    (void)state;
    struct bench *b = new_bench();
    const struct bt_handbook *h = load_clean(b, NULL, NULL);
    const char *arithmetic = "1 kg = 1000 g; percent and g/kg are shares";

    const struct bt_row *r = bt_handbook_row(h, "crops", "sweet corn", "yield");
    assert_non_null(r);
    check_close(r->range.low, 1000, 1e-12, arithmetic);
    check_close(r->range.likely, 1500, 1e-12, arithmetic);
    check_close(r->range.high, 2000, 1e-12, arithmetic);
    assert_true(r->range.has_likely);
    assert_int_equal(r->range.ends, BT_P05_P95);
    assert_int_equal(r->scope, BT_SCOPE_BED);
    assert_int_equal(r->seen, BT_READ);
    assert_string_equal(r->unit.text, "kg/m2");
    assert_null(r->parent);
    assert_string_equal(r->at.file, "tables/crops.csv");
    assert_int_equal(r->at.line, 2);
    assert_false(r->local);

    r = bt_handbook_row(h, "crops", "sweet corn", "n_uptake");
    assert_non_null(r);
    check_close(r->range.likely, 0.005, 1e-12, arithmetic);
    assert_int_equal(r->range.ends, BT_BOUNDS);
    assert_int_equal(r->scope, BT_SCOPE_GARDEN);
    assert_int_equal(r->seen, BT_DERIVED);
    assert_string_equal(r->parent, "sweet corn/yield");
    check_close(r->rank_correlation, -0.4, 1e-12, "as typed");
    assert_string_equal(r->notes, "from 3, 4");

    r = bt_handbook_row(h, "crops", "sweet corn", "stand");
    assert_non_null(r);
    assert_true(bt_range_is_exact(&r->range));
    check_close(r->range.likely, 4, 1e-12, "as typed");

    r = bt_handbook_row(h, "crops", "sweet corn", "days");
    assert_non_null(r);
    assert_false(r->range.has_likely);
    check_close(r->range.likely, 80, 1e-12, "middle of 70 and 90");

    r = bt_handbook_row(h, "materials", "compost", "n_available_1");
    assert_non_null(r);
    assert_string_equal(r->basis, "of_total");
    assert_string_equal(r->parent, "compost/n");
    assert_null(bt_handbook_row(h, "materials", "compost", "c_n"));
    assert_null(bt_handbook_row(h, "material", "compost", "n"));
    free_bench(b);
}

static void temperatures_and_their_differences(void **state)
{
    (void)state;
    struct bench *b = new_bench();
    const struct bt_handbook *h = load_clean(b, NULL, NULL);
    const struct bt_row *mean = bt_handbook_row(h, "soils", "warm", "mean_temperature");
    const struct bt_row *half =
        bt_handbook_row(h, "soils", "warm", "temperature_half_range");
    assert_non_null(mean);
    assert_non_null(half);
    check_close(mean->range.likely, 17, 1e-9, "by definition: 62.6 F is 17 C");
    check_close(half->range.likely, 10, 1e-9, "by definition: 18 F are 10 K");
    free_bench(b);
}

static void spellings(void **state)
{
    (void)state;
    static const struct {
        const char *table, *written, *want;
    } row[] = {
        {"crops",         "sweet corn",      "sweet corn"   },
        {"crops",         "Sweet_Corn",      "sweet corn"   },
        {"crops",         "  SWEET   corn ", "sweet corn"   },
        {"crops",         "maize",           "sweet corn"   },
        {"crops",         "Maize",           "sweet corn"   },
        {"crops",         "corn on the cob", "sweet corn"   },
        {"crops",         "tomatoes",        "tomato"       },
        {"crops",         "Tomatos",         "tomato"       },
        {"crops",         "grasses",         "grass"        },
        {"crops",         "masses",          "mass"         },
        {"crops",         "ma",              "mas"          },
        {"crops",         "sweet corn cob",  NULL           },
        {"crops",         "",                NULL           },
        {"crops",         "s",               NULL           },
        {"crops",         "wood chips",      NULL           },
        {"materials",     "wood chip",       "wood chips"   },
        {"measures",      "bales of straw",  "bale of straw"},
        {"measures",      "bales",           NULL           },
        {"no such table", "maize",           NULL           },
    };
    struct bench *b = new_bench();
    const struct bt_handbook *h = load_clean(b, NULL, NULL);
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const char *got = bt_handbook_key(h, row[i].table, row[i].written);
        if (row[i].want)
            assert_string_equal(got ? got : row[i].written, row[i].want);
        else
            assert_null(got);
    }
    assert_null(bt_handbook_key(h, "crops", NULL));
    const struct bt_row *r = bt_handbook_row(h, "crops", "Maize", "yield");
    assert_non_null(r);
    assert_string_equal(r->key, "sweet corn");
    free_bench(b);
}

static void stand_ins(void **state)
{
    (void)state;
    struct bench *b = new_bench();
    const struct bt_handbook *h = load_clean(b, NULL, NULL);
    const struct bt_row *own = bt_handbook_follow(h, "crops", "flour corn", "yield");
    const struct bt_row *lent = bt_handbook_follow(h, "crops", "blue corn", "n_uptake");
    assert_non_null(own);
    assert_string_equal(own->key, "flour corn");
    assert_non_null(lent);
    assert_string_equal(lent->key, "sweet corn");
    assert_null(bt_handbook_row(h, "crops", "blue corn", "n_uptake"));
    assert_null(bt_handbook_follow(h, "crops", "blue corn", "recovery"));
    assert_string_equal(bt_handbook_word(h, "crops", "blue corn", "form"), "tall");
    assert_string_equal(bt_handbook_word(h, "crops", "blue corn", "follows"), "flour corn");
    assert_null(bt_handbook_word(h, "crops", "tomato", "form"));
    assert_null(bt_handbook_word(h, "crops", "tomato", "yield"));
    free_bench(b);
}

static void lists(void **state)
{
    (void)state;
    struct bench *b = new_bench();
    const struct bt_handbook *h = load_clean(b, NULL, NULL);
    const char *const *key = NULL;
    const struct bt_caution *c = NULL;
    assert_int_equal(bt_handbook_keys(h, "crops", &key), 7);
    assert_string_equal(key[0], "sweet corn");
    assert_string_equal(key[2], "blue corn");
    assert_int_equal(bt_handbook_keys(h, "legumes", &key), 0);
    assert_int_equal(bt_handbook_keys(h, "no such table", &key), 0);
    assert_int_equal(bt_handbook_cautions(h, &c), 1);
    assert_string_equal(c[0].when, "manure");
    assert_string_equal(c[0].number, "120");
    assert_int_equal(c[0].seen, BT_READ);
    assert_string_equal(bt_handbook_source(h, "TEST-1")->title, "A bulletin");
    assert_null(bt_handbook_source(h, "test-1"));
    assert_null(bt_handbook_source(h, NULL));
    assert_int_equal(table_of(h, "crops")->n_rows, 12);
    assert_int_equal(table_of(h, "legumes")->n_rows, 0);
    assert_true(table_of(h, "crops")->checksum != 0);
    assert_true(table_of(h, "legumes")->checksum == 0);
    assert_string_equal(bt_seen_word(BT_JUDGEMENT), "judgement");
    free_bench(b);
}

/* ---- rows of one's own ---- */

static void own_rows_override(void **state)
{
    (void)state;
    write_file("t/crops.csv", ROW_HEADER "Maize,yield,,3,,kg/m2,,,bed,,,local,practice,\n"
                                         "oca,yield,,2,,kg/m2,,,bed,,,TEST-2,read,\n");
    write_file("g/crops.csv", "source,key,quantity,likely,unit,scope,seen\n"
                              "MINE,ocas,yield,2.5,kg/m2,bed,judgement\n");
    write_file("t/aliases.csv", "table,alias,key\ncrops,new potato,oca\n");
    write_file("t/sources.csv", "id,title\nMINE,My notebook\nTEST-2,The second edition\n");
    struct bench *b = new_bench();
    const struct bt_handbook *plain = load_clean(b, NULL, NULL);
    const struct bt_handbook *t = load_clean(b, "t", "not there");
    const struct bt_handbook *h = load_clean(b, "t", "g");

    const struct bt_row *r = bt_handbook_row(h, "crops", "sweet corn", "yield");
    assert_non_null(r);
    check_close(r->range.likely, 3000, 1e-12, "the row of folder t");
    assert_true(r->local);
    assert_string_equal(r->key, "sweet corn");
    assert_string_equal(r->source, "local");
    assert_non_null(bt_handbook_source(h, "local"));
    assert_string_equal(r->at.file, "t/crops.csv");
    assert_false(bt_handbook_row(h, "crops", "sweet corn", "n_uptake")->local);

    r = bt_handbook_row(h, "crops", "new potatoes", "yield");
    assert_non_null(r);
    check_close(r->range.likely, 2500, 1e-12, "the row of folder g");
    assert_string_equal(r->key, "oca");
    assert_string_equal(bt_handbook_source(h, r->source)->title, "My notebook");
    assert_string_equal(bt_handbook_source(h, "TEST-2")->title, "The second edition");

    assert_int_equal(table_of(h, "crops")->n_rows, table_of(plain, "crops")->n_rows + 1);
    assert_ptr_equal(table_of(h, "crops")->row[0],
                     bt_handbook_row(h, "crops", "sweet corn", "yield"));
    assert_true(table_of(plain, "crops")->checksum != table_of(t, "crops")->checksum);
    assert_true(table_of(t, "crops")->checksum != table_of(h, "crops")->checksum);
    assert_true(table_of(plain, "materials")->checksum ==
                table_of(h, "materials")->checksum);
    assert_true(table_of(plain, "aliases")->checksum != table_of(h, "aliases")->checksum);
    free_bench(b);
}

static void a_row_may_choose_its_shape(void **state)
{
    (void)state;
    write_file("t/crops.csv", ROW_HEADER
               "tomato,yield,2,3,4,kg/m2,triangular,,bed,,,local,practice,\n"
               "grass,yield,1,,4,kg/m2,p05-p95 lognormal,,bed,,,local,practice,\n"
               "mas,yield,1,2,4,kg/m2,bounds normal,,bed,,,local,practice,\n");
    struct bench *b = new_bench();
    const struct bt_handbook *h = load_clean(b, "t", NULL);
    const struct bt_row *r = bt_handbook_row(h, "crops", "tomato", "yield");
    assert_int_equal(r->range.form, BT_FORM_TRIANGULAR);
    assert_int_equal(r->range.ends, BT_P05_P95);
    r = bt_handbook_row(h, "crops", "grass", "yield");
    assert_int_equal(r->range.form, BT_FORM_LOGNORMAL);
    check_close(r->range.likely, 2000, 1e-12, "geometric middle");
    r = bt_handbook_row(h, "crops", "mas", "yield");
    assert_int_equal(r->range.form, BT_FORM_TRUNCATED_NORMAL);
    assert_int_equal(r->range.ends, BT_BOUNDS);
    free_bench(b);
}

static void same_bytes_same_checksum(void **state)
{
    (void)state;
    write_file("t/crops.csv",
               ROW_HEADER "tomato,yield,,3,,kg/m2,,,bed,,,local,practice,\n");
    struct bench *b = new_bench();
    const struct bt_handbook *first = load_clean(b, "t", NULL);
    const struct bt_handbook *second = load_clean(b, "t", NULL);
    write_file("t/crops.csv",
               ROW_HEADER "tomato,yield,,4,,kg/m2,,,bed,,,local,practice,\n");
    const struct bt_handbook *third = load_clean(b, "t", NULL);
    assert_true(table_of(first, "crops")->checksum == table_of(second, "crops")->checksum);
    assert_true(table_of(first, "crops")->checksum != table_of(third, "crops")->checksum);
    free_bench(b);
}

static void other_files_are_pointed_out(void **state)
{
    (void)state;
    write_file("t/crop.csv", "nothing\n");
    write_file("t/units.csv", "nothing\n");
    struct bench *b = new_bench();
    assert_non_null(load(b, "t", NULL));
    assert_int_equal(bt_diag_count(b->diag, BT_ERROR), 0);
    assert_string_equal(
        messages(b),
        "t/crop.csv: warning: file: expected the name of a table; this file is not read, "
        "found "
        "\"crop.csv\"\n"
        "  hint: \"crops.csv\"\n"
        "t/units.csv: warning: file: expected the name of a table; this file is not read, "
        "found \"units.csv\"\n"
        "  hint: the units are built in and cannot be changed here\n");
    free_bench(b);
}

static void no_such_folder(void **state)
{
    (void)state;
    struct bench *b = new_bench();
    assert_null(load(b, "not there", NULL));
    assert_string_equal(messages(b),
                        "not there: error: tables: expected a folder with tables, "
                        "found \"No such file or directory\"\n");
    free_bench(b);
}

/* A handbook built in is looked at as hard as a folder, and may not name the source
 * `local`. */
static const char *find_wrong(const char *name, size_t *out_n)
{
    static const char rows[] = ROW_HEADER "oca,yield,,2,,kg/m2,,,bed,,,local,read,\n";
    if (strcmp(name, "crops") != 0)
        return find_small(name, out_n);
    *out_n = sizeof rows - 1;
    return rows;
}

static void built_in_mistake(void **state)
{
    (void)state;
    struct bench *b = new_bench();
    assert_null(bt_handbook_load_from(b->arena, b->diag, b->units, find_wrong, NULL, NULL));
    assert_non_null(strstr(messages(b),
                           "tables/crops.csv:2:29: error: source: expected an id "
                           "listed in sources.csv, found \"local\""));
    free_bench(b);
}

/* Many keys: the index grows, and each is found again. */
static const char *many;
static const char *find_many(const char *name, size_t *out_n)
{
    if (strcmp(name, "crops") != 0)
        return find_small(name, out_n);
    *out_n = strlen(many);
    return many;
}

static void many_keys(void **state)
{
    (void)state;
    enum { KEYS = 3000, LINE = 80 };
    struct bench *b = new_bench();
    char *text = bt_arena_alloc(b->arena, sizeof ROW_HEADER + (size_t)KEYS * LINE);
    size_t n = (size_t)sprintf(text, "%s", ROW_HEADER);
    n += (size_t)sprintf(text + n, "sweet corn,yield,,1,,kg/m2,,," BEDS);
    for (int i = 0; i < KEYS; i++)
        n += (size_t)sprintf(text + n, "plant %d x,yield,,%d,,g/m2,,," BEDS, i, i);
    many = text;
    const struct bt_handbook *h =
        bt_handbook_load_from(b->arena, b->diag, b->units, find_many, NULL, NULL);
    assert_string_equal(messages(b), "");
    assert_non_null(h);
    for (int i = 0; i < KEYS; i++) {
        const char *key = bt_arena_format(b->arena, "Plant %d x", i);
        const struct bt_row *r = bt_handbook_row(h, "crops", key, "yield");
        assert_non_null(r);
        check_close(r->range.likely, i, 1e-12, "as typed");
    }
    free_bench(b);
}

int main(void)
{
    const struct CMUnitTest fixed[] = {
        cmocka_unit_test(rows_are_read),
        cmocka_unit_test(temperatures_and_their_differences),
        cmocka_unit_test(spellings),
        cmocka_unit_test(stand_ins),
        cmocka_unit_test(lists),
        cmocka_unit_test_setup_teardown(own_rows_override, enter_folder, leave_folder),
        cmocka_unit_test_setup_teardown(a_row_may_choose_its_shape, enter_folder,
                                        leave_folder),
        cmocka_unit_test_setup_teardown(same_bytes_same_checksum, enter_folder,
                                        leave_folder),
        cmocka_unit_test_setup_teardown(other_files_are_pointed_out, enter_folder,
                                        leave_folder),
        cmocka_unit_test(no_such_folder),
        cmocka_unit_test(built_in_mistake),
        cmocka_unit_test(many_keys),
    };
    return cmocka_run_group_tests_name("handbook", fixed, NULL, NULL) != 0;
}
