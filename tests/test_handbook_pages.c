/* The handbook on show: every table, every quantity, every row; what a search finds; what
 * garden files may say; local rows named wherever they count. */
#include "book_page.h"

#include <jansson.h>
#include <sys/stat.h>
#include <unistd.h>

#include "input/garden.h"
#include "input/handbook_quantity.h"
#include "report/handbook.h"

#define N(a) (sizeof(a) / sizeof *(a))

struct desk {
    struct book_desk k;
    struct bt_show w;
    char *text;
    size_t length;
    struct bt_out out;
    struct bt_book_out to;
};

static void open_page(struct desk *d, enum bt_book_format format)
{
    free(d->text);
    d->text = NULL;
    FILE *f = open_memstream(&d->text, &d->length);
    assert_non_null(f);
    d->out = bt_out_stream(f);
    d->to = (struct bt_book_out){&d->out, &d->w, format};
}

static const char *page(struct desk *d)
{
    assert_true(bt_out_done(&d->out));
    fclose(d->out.f);
    return d->text;
}

static struct desk *desk_new(const char *own)
{
    struct desk *d = calloc(1, sizeof *d);
    d->k = book_open(NULL, own);
    if (!d->k.book)
        bt_diag_print(stderr, d->k.diag, BT_NOTE);
    assert_non_null(d->k.book);
    d->w = (struct bt_show){.arena = bt_arena_beside(d->k.arena),
                            .units = d->k.units,
                            .handbook = d->k.book,
                            .unicode = true};
    return d;
}

static void desk_free(struct desk *d)
{
    free(d->text);
    book_close(&d->k);
    free(d);
}

static int open_desk(void **state)
{
    *state = desk_new(NULL);
    return 0;
}

static int close_desk(void **state)
{
    desk_free(*state);
    return 0;
}

static void has(const char *text, const char *part)
{
    if (!strstr(text, part))
        fail_msg("no \"%s\" in\n%s", part, text);
}

static void has_not(const char *text, const char *part)
{
    if (strstr(text, part))
        fail_msg("\"%s\" in\n%s", part, text);
}

/* ---- meanings ---- */

static void all_is_described(void **state)
{
    (void)state;
    for (size_t t = 0; t < BT_BOOK_FILES; t++)
        assert_non_null(bt_book_table_meaning(bt_book_layout(t)->name));
    for (size_t t = 0; t < BT_ROW_TABLES; t++) {
        const char *name[64];
        const size_t n = bt_book_quantity_names(t, N(name), name);
        for (size_t i = 0; i < n; i++)
            if (!bt_book_quantity_meaning(name[i]))
                fail_msg("%s of %s is not described", name[i], bt_book_layout(t)->name);
    }
}

/* ---- counts ---- */

static const char *cell(const struct bt_grid *g, size_t row, size_t column)
{
    return g->cell[row * g->n_columns + column];
}

/* Counted again from the text of the tables, where `seen` is the column but one. */
static void counts_are_those_of_the_tables(void **state)
{
    struct desk *d = *state;
    const struct bt_grid g = bt_book_counts(&d->w);
    size_t n_all = 0;
    for (size_t r = 1; r + 1 < g.n_rows; r++) {
        size_t n = 0, mark[BT_JUDGEMENT + 1] = {0};
        struct bt_csv csv;
        const char *bytes = bt_embedded_table(cell(&g, r, 0), &n);
        assert_true(bt_csv_read_bytes(d->k.arena, d->k.diag, bytes, n, "t", &csv));
        const size_t seen =
            strcmp(cell(&g, r, 0), "cautions") == 0 ? BT_CA_SEEN : BT_HB_SEEN;
        for (size_t i = 0; i < csv.n_rows; i++)
            for (int m = 0; m <= BT_JUDGEMENT; m++)
                mark[m] +=
                    strcmp(csv.row[i].cell[seen].text, bt_seen_word((enum bt_seen)m)) == 0;
        for (size_t m = 0; m <= BT_JUDGEMENT; m++)
            assert_int_equal(strtoul(cell(&g, r, 3 + m), NULL, 10), mark[m]);
        assert_int_equal(strtoul(cell(&g, r, 2), NULL, 10), csv.n_rows);
        n_all += csv.n_rows;
    }
    assert_int_equal(strtoul(cell(&g, g.n_rows - 1, 2), NULL, 10), n_all);
}

static void page_of_counts_is_in_step(void **state)
{
    struct desk *d = *state;
    const struct bt_grid g = bt_book_counts(&d->w);
    const char *text = "```\n";
    for (size_t r = 0; r < g.n_rows; r++)
        text = bt_arena_format(d->k.arena, "%s%s\n", text, bt_grid_line(&g, r, 2));
    text = bt_arena_format(d->k.arena, "%s```\n", text);
    book_in_step(d->k.arena, "docs/handbook.md", "counts", "tests/test_handbook_pages.c",
                 text);
    open_page(d, BT_BOOK_TEXT);
    bt_report_book_tables(&d->to);
    const char *shown = page(d);
    for (size_t r = 0; r < g.n_rows; r++)
        has(shown, bt_grid_line(&g, r, 2));
}

/* docs/handbook.md says of each quarrel what was taken: `table/key/quantity` = figures. */
static void page_of_quarrels_is_in_step(void **state)
{
    struct desk *d = *state;
    const char *text = book_whole_file(d->k.arena, "docs/handbook.md");
    size_t n = 0;
    for (const char *at = strstr(text, "` = "); at; at = strstr(at + 1, "` = ")) {
        const char *from = at;
        while (from > text && from[-1] != '`')
            from--;
        const char *id = bt_arena_text_n(d->k.arena, from, (size_t)(at - from));
        const struct bt_row *r = bt_handbook_row_of(d->k.book, id);
        if (!r)
            fail_msg("docs/handbook.md: no row %s", id);
        const char *value = bt_book_value_text(d->k.arena, r);
        const size_t length = strcspn(at + 4, "\n");
        if (strlen(value) != length || strncmp(value, at + 4, length) != 0)
            fail_msg("docs/handbook.md: %s is %s", id, value);
        n++;
    }
    assert_true(n >= 35);
}

/* ---- rows ---- */

static void a_key_tells_all(void **state)
{
    struct desk *d = *state;
    const struct bt_row *r = bt_handbook_row(d->k.book, "crops", "sweet corn", "n_uptake");
    const struct bt_source *s = bt_handbook_source(d->k.book, r->source);
    open_page(d, BT_BOOK_TEXT);
    assert_true(bt_report_book_key(&d->to, "crops", "corn", NULL));
    const char *text = page(d);
    has(text, "sweet corn, in crops\n");
    has(text, "also written: corn, ");
    has(text, bt_book_value_text(d->k.arena, r));
    has(text, "9 times in 10 between the ends");
    has(text, bt_arena_format(d->k.arena, "%s, %s", r->source, bt_seen_word(r->seen)));
    has(text, bt_arena_text_n(d->k.arena, r->notes, strcspn(r->notes, ",;")));
    has(text, s->authors);
    has(text, s->year);
    has_not(text, "local");
}

static void a_stand_in_speaks(void **state)
{
    struct desk *d = *state;
    open_page(d, BT_BOOK_TEXT);
    assert_true(bt_report_book_key(&d->to, NULL, "thymes", NULL));
    const char *text = page(d);
    has(text, "what it has not is taken from: woody herb");
    has(text, "\n  From woody herb\n");
    open_page(d, BT_BOOK_JSON);
    assert_true(bt_report_book_key(&d->to, "crops", "thyme", "n_uptake"));
    json_t *root = json_loads(page(d), 0, NULL);
    json_t *row = json_array_get(json_object_get(root, "rows"), 0);
    assert_int_equal(json_array_size(json_object_get(root, "rows")), 1);
    assert_string_equal(json_string_value(json_object_get(row, "key")), "thyme");
    assert_string_equal(json_string_value(json_object_get(row, "stand_in")), "woody herb");
    assert_string_equal(json_string_value(json_object_get(row, "unit")), "g/kg");
    assert_true(json_is_string(json_object_get(json_object_get(row, "source"), "authors")));
    json_decref(root);
}

/* Every key of every table, and every row, is found by the words that name it. */
static void every_row_can_be_opened(void **state)
{
    struct desk *d = *state;
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(d->k.book, &t);
    size_t rows = 0;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < t[i].n_rows; k++) {
            const struct bt_mark mark = bt_arena_mark(d->w.arena);
            const struct bt_row *r = t[i].row[k];
            struct bt_book_rows found = {0};
            bt_book_rows_of(&found, &d->w, r->table, r->key, r->quantity);
            assert_int_equal(found.n, 1);
            assert_ptr_equal(found.row[0], r);
            assert_non_null(bt_handbook_source(d->k.book, r->source));
            const char *id =
                bt_arena_format(d->w.arena, "%s/%s/%s", r->table, r->key, r->quantity);
            assert_ptr_equal(bt_handbook_row_of(d->k.book, id), r);
            id = bt_arena_format(d->w.arena, "%s/A1", id);
            assert_ptr_equal(bt_handbook_row_of(d->k.book, id), r);
            bt_arena_release(d->w.arena, mark);
            rows++;
        }
    assert_true(rows > 1000);
    assert_null(bt_handbook_row_of(d->k.book, "crops/sweet corn"));
    assert_null(bt_handbook_row_of(d->k.book, "plantings/A1/sweet corn 1/weighed"));
}

static void sources_and_cautions_open(void **state)
{
    struct desk *d = *state;
    open_page(d, BT_BOOK_TEXT);
    assert_true(bt_report_book_key(&d->to, "sources", "pnw636", NULL));
    const char *text = page(d);
    has(text, "Sullivan");
    has(text, "break_even_n");
    open_page(d, BT_BOOK_TEXT);
    assert_true(bt_report_book_key(&d->to, NULL, "PNW636", NULL));
    has(page(d), "Sullivan");
    open_page(d, BT_BOOK_TEXT);
    assert_true(bt_report_book_key(&d->to, "cautions", "raw manure", NULL));
    has(page(d), "120");
    open_page(d, BT_BOOK_TEXT);
    assert_true(bt_report_book_key(&d->to, "cautions", "tomato family", NULL));
    has(page(d), "herbicide");
}

/* ---- what comes out goes in ---- */

static void same_row(const struct bt_row *a, const struct bt_row *b)
{
    const double room = 1e-9;
    assert_string_equal(a->key, b->key);
    assert_string_equal(a->quantity, b->quantity);
    assert_string_equal(a->source, b->source);
    assert_string_equal(a->basis, b->basis);
    assert_int_equal(a->seen, b->seen);
    assert_int_equal(a->scope, b->scope);
    assert_string_equal(a->parent ? a->parent : "", b->parent ? b->parent : "");
    assert_string_equal(a->word ? a->word : "", b->word ? b->word : "");
    if (a->word)
        return;
    assert_int_equal(a->range.ends, b->range.ends);
    assert_int_equal(a->range.has_likely, b->range.has_likely);
    check_close(b->range.low, a->range.low, room, a->key);
    check_close(b->range.likely, a->range.likely, room, a->key);
    check_close(b->range.high, a->range.high, room, a->key);
}

static void make_folder(char folder[])
{
    assert_non_null(mkdtemp(folder));
}

static void write_file(struct desk *d, const char *folder, const char *name,
                       const char *text)
{
    FILE *f = fopen(bt_arena_format(d->k.arena, "%s/%s.csv", folder, name), "wb");
    assert_non_null(f);
    fputs(text, f);
    assert_int_equal(fclose(f), 0);
}

static void remove_folder(struct desk *d, const char *folder)
{
    for (size_t t = 0; t < BT_BOOK_FILES; t++)
        remove(bt_arena_format(d->k.arena, "%s/%s.csv", folder, bt_book_layout(t)->name));
    assert_int_equal(rmdir(folder), 0);
}

/* The CSV of a table, put among a garden's own, is that table again, every row local. */
static void csv_is_a_table(void **state)
{
    struct desk *d = *state;
    char folder[] = "/tmp/bedtally-book-XXXXXX";
    make_folder(folder);
    for (size_t t = 0; t < BT_ROW_TABLES; t++) {
        open_page(d, BT_BOOK_CSV);
        assert_true(bt_report_book_table(&d->to, bt_book_layout(t)->name));
        write_file(d, folder, bt_book_layout(t)->name, page(d));
    }
    struct desk *other = desk_new(folder);
    remove_folder(d, folder);
    const struct bt_table *ours = NULL, *theirs = NULL;
    bt_handbook_tables(d->k.book, &ours);
    bt_handbook_tables(other->k.book, &theirs);
    for (size_t t = 0; t < BT_ROW_TABLES; t++) {
        assert_int_equal(ours[t].n_rows, theirs[t].n_rows);
        assert_true(ours[t].checksum != theirs[t].checksum);
        for (size_t r = 0; r < ours[t].n_rows; r++) {
            same_row(ours[t].row[r], theirs[t].row[r]);
            assert_true(theirs[t].row[r]->local);
            assert_non_null(theirs[t].row[r]->instead_of);
        }
    }
    desk_free(other);
}

static void json_of_all_is_whole(void **state)
{
    static const char *const lists[] = {"sources", "aliases", "cautions"};
    struct desk *d = *state;
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(d->k.book, &t);
    for (size_t i = 0; i < n; i++) {
        open_page(d, BT_BOOK_JSON);
        assert_true(bt_report_book_table(&d->to, t[i].name));
        json_t *root = json_loads(page(d), JSON_REJECT_DUPLICATES, NULL);
        assert_non_null(root);
        assert_string_equal(json_string_value(json_object_get(root, "schema")),
                            "bedtally-handbook-1");
        bool list = false;
        for (size_t k = 0; k < N(lists); k++)
            list = list || strcmp(lists[k], t[i].name) == 0;
        const size_t got =
            json_array_size(json_object_get(root, list ? t[i].name : "rows"));
        assert_true(list ? got > 10 : got == t[i].n_rows);
        json_decref(root);
    }
}

/* ---- search ---- */

static const char *found(struct desk *d, const char *table, const char *words)
{
    open_page(d, BT_BOOK_TEXT);
    const bool any = bt_report_book_search(&d->to, table, words);
    const char *text = page(d);
    assert_int_equal(any, *text != '\0');
    return text;
}

static void search_looks_everywhere(void **state)
{
    struct desk *d = *state;
    has(found(d, NULL, "Sweet Corn"), "crops  sweet corn");
    has(found(d, NULL, "courgette"), "summer squash  also written courgette");
    has(found(d, NULL, "heckman"), "HECK-2007");
    has(found(d, NULL, "raw manure harvest"), "120 days");
    has(found(d, NULL, "break-even"), "break_even_n");
    has_not(found(d, "legumes", "vetch"), "crops");
    const struct bt_row *r = bt_handbook_row(d->k.book, "crops", "snap bean", "n_removed");
    has(found(d, NULL, bt_arena_text_n(d->k.arena, r->notes, strcspn(r->notes, ","))),
        "snap bean  n_removed");
    assert_string_equal(found(d, NULL, "no such word at all"), "");
    assert_string_equal(found(d, NULL, "  "), "");
}

static void unknown_words_get_the_nearest(void **state)
{
    struct desk *d = *state;
    has(bt_book_nearest(&d->w, NULL, "cropz"), "crops");
    has(bt_book_nearest(&d->w, "crops", "tomatto"), "tomato");
    has(bt_book_nearest(&d->w, "sources", "HECK-2077"), "HECK-2007");
    assert_null(bt_book_nearest(&d->w, NULL, "qqqqqqqq"));
    open_page(d, BT_BOOK_TEXT);
    assert_false(bt_report_book_key(&d->to, NULL, "tomatto", NULL));
    assert_false(bt_report_book_key(&d->to, "crops", "tomato", "n_uptak"));
    assert_false(bt_report_book_table(&d->to, "cropz"));
    assert_false(bt_report_book_words(&d->to, "bedz", NULL));
    assert_string_equal(page(d), "");
}

/* ---- words of garden files ---- */

static void words_are_all_there(void **state)
{
    static const char *const files[] = {"garden", "beds",      "plantings",    "soil_tests",
                                        "water",  "materials", "applications", "measures"};
    struct desk *d = *state;
    open_page(d, BT_BOOK_CSV);
    assert_true(bt_report_book_words(&d->to, NULL, NULL));
    const char *text = page(d);
    size_t n_words = 0;
    for (size_t f = 0; f < N(files); f++) {
        const char *const *column = NULL;
        const size_t n =
            f == 0 ? bt_garden_settings(&column) : bt_garden_columns(files[f], &column);
        for (size_t c = 0; c < n; c++) {
            const char *const *word = NULL;
            const size_t m = bt_garden_words(files[f], column[c], &word);
            for (size_t i = 0; i < m; i++)
                has(text, bt_arena_format(d->k.arena, "%s,%s,%s\r\n", files[f], column[c],
                                          word[i]));
            n_words += m;
        }
    }
    assert_true(n_words > 20);
    const char *const *key = NULL;
    const size_t n = bt_handbook_keys(d->k.book, "crops", &key);
    for (size_t i = 0; i < n; i++)
        has(text, bt_arena_format(d->k.arena, "plantings,crop,%s\r\n", key[i]));
    has(text, "applications,material,wood chips\r\n");
    has(text, "beds,texture,silt loam\r\n");
    has(text, "soil_tests,phosphorus_method,Mehlich-3\r\n");
    open_page(d, BT_BOOK_TEXT);
    assert_true(bt_report_book_words(&d->to, "applications", "placement"));
    has(page(d), "dug-in; surface; hole; mound; watered; filling");
}

/* ---- local rows ---- */

static const char own_crops[] =
    "key,quantity,low,likely,high,unit,basis,scope,source,seen,notes\n"
    "corn,yield,1,1.4,1.9,kg/m2,,bed,local,practice,our own scale\n"
    "teosinte,follows,,,,,sweet corn,garden,local,practice,\n";

static void local_rows_are_named(void **state)
{
    struct desk *d = *state;
    char folder[] = "/tmp/bedtally-book-XXXXXX";
    make_folder(folder);
    write_file(d, folder, "crops", own_crops);
    struct desk *own = desk_new(folder);
    const char *where = bt_arena_format(d->k.arena, "local, %s/crops.csv:2", folder);
    const char *instead = bt_arena_format(
        d->k.arena, "in place of %s",
        bt_book_value_text(d->k.arena,
                           bt_handbook_row(d->k.book, "crops", "sweet corn", "yield")));
    open_page(own, BT_BOOK_TEXT);
    assert_true(bt_report_book_key(&own->to, "crops", "sweet corn", "yield"));
    const char *text = page(own);
    has(text, where);
    has(text, instead);
    has(text, "our own scale");
    open_page(own, BT_BOOK_TEXT);
    bt_report_local(&own->out, &own->w, "our garden");
    text = page(own);
    has(text, "crops, sweet corn, yield: 1 .. 1.4 .. 1.9 kg/m2");
    has(text, "teosinte");
    has(text, "a row that the handbook has not");
    open_page(own, BT_BOOK_JSON);
    bt_report_book_local(&own->to);
    json_t *root = json_loads(page(own), 0, NULL);
    assert_int_equal(json_array_size(json_object_get(root, "rows")), 2);
    json_decref(root);
    open_page(d, BT_BOOK_TEXT);
    bt_report_local(&d->out, &d->w, "our garden");
    assert_string_equal(page(d), "");
    remove_folder(d, folder);
    desk_free(own);
}

/* A garden's own rows are checked as ours are. */
static void bad_local_rows_are_refused(void **state)
{
    static const char *const bad[] = {
        "key,quantity,likely,unit,scope,source,seen\nkale,yield,2,kg/m2,bed,local,\n",
        "key,quantity,likely,unit,scope,source,seen\nkale,yield,2,kg/m2,bed,nobody,read\n",
        "key,quantity,likely,unit,scope,source,seen\nkale,yield,2,kg,bed,local,read\n",
        "key,quantity,likely,unit,scope,source,seen\nkale,yield,2,kg/m2,,local,read\n",
        ("key,quantity,low,likely,high,unit,scope,source,seen\n"
         "kale,yield,3,2,4,kg/m2,bed,local,read\n"),
    };
    struct desk *d = *state;
    for (size_t i = 0; i < N(bad); i++) {
        char folder[] = "/tmp/bedtally-book-XXXXXX";
        make_folder(folder);
        write_file(d, folder, "crops", bad[i]);
        struct book_desk k = book_open(folder, NULL);
        if (k.book)
            print_error("taken:\n%s", bad[i]);
        assert_null(k.book);
        assert_int_equal(bt_diag_count(k.diag, BT_ERROR), 1);
        remove_folder(d, folder);
        book_close(&k);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_is_described),
        cmocka_unit_test(counts_are_those_of_the_tables),
        cmocka_unit_test(page_of_counts_is_in_step),
        cmocka_unit_test(page_of_quarrels_is_in_step),
        cmocka_unit_test(a_key_tells_all),
        cmocka_unit_test(a_stand_in_speaks),
        cmocka_unit_test(every_row_can_be_opened),
        cmocka_unit_test(sources_and_cautions_open),
        cmocka_unit_test(csv_is_a_table),
        cmocka_unit_test(json_of_all_is_whole),
        cmocka_unit_test(search_looks_everywhere),
        cmocka_unit_test(unknown_words_get_the_nearest),
        cmocka_unit_test(words_are_all_there),
        cmocka_unit_test(local_rows_are_named),
        cmocka_unit_test(bad_local_rows_are_refused),
    };
    return cmocka_run_group_tests_name("handbook pages", tests, open_desk, close_desk) != 0;
}
