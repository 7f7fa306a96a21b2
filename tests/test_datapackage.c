/* tables/datapackage.json, docs/files.md, the tables and the readers' own lists of columns
 * say the same: the columns, their order, the settings, the words that may be typed. */
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/diag.h"
#include "base/text.h"
#include "input/csv.h"
#include "input/garden.h"
#include "input/handbook.h"
#include "input/handbook_quantity.h"

#include "check.h"

#define PACKAGE "tables/datapackage.json"
#define PAGE    "docs/files.md"
#define MOST    64

struct desk {
    struct bt_arena *arena;
    json_t *package;
    char *page;
};

struct list {
    size_t n;
    const char *name[MOST];
};

static void no_memory(void *context)
{
    (void)context;
    abort();
}

static char *whole_file(struct bt_arena *a, const char *path)
{
    FILE *f = fopen(path, "rb");
    if (!f)
        return NULL;
    char *text = NULL;
    size_t n = 0, capacity = 0, got = 1;
    while (got > 0) {
        text = bt_arena_grow(a, text, &capacity, n + 4096, 1);
        got = fread(text + n, 1, 4096, f);
        n += got;
    }
    fclose(f);
    text[n] = '\0';
    return text;
}

static int open_desk(void **state)
{
    struct desk *k = calloc(1, sizeof *k);
    *state = k;
    k->arena = bt_arena_new(1 << 16, no_memory, NULL);
    json_error_t error;
    k->package = json_load_file(PACKAGE, 0, &error);
    if (!k->package)
        print_error("%s:%d: %s\n", PACKAGE, error.line, error.text);
    k->page = whole_file(k->arena, PAGE);
    return k->package && k->page ? 0 : -1;
}

static int close_desk(void **state)
{
    struct desk *k = *state;
    json_decref(k->package);
    bt_arena_free(k->arena);
    free(k);
    return 0;
}

static void add(struct list *l, const char *name)
{
    assert_true(l->n < MOST);
    assert_non_null(name);
    l->name[l->n++] = name;
}

static void same(const char *where, const struct list *got, const struct list *want)
{
    for (size_t i = 0; i < got->n || i < want->n; i++) {
        const char *g = i < got->n ? got->name[i] : "(nothing)";
        const char *w = i < want->n ? want->name[i] : "(nothing)";
        if (strcmp(g, w) != 0)
            fail_msg("%s: number %zu is %s, and should be %s", where, i + 1, g, w);
    }
}

static struct list of_reader(size_t n, const char *const *column)
{
    struct list l = {0};
    for (size_t i = 0; i < n; i++)
        add(&l, column[i]);
    return l;
}

/* ---- the package ---- */

static json_t *resource(const struct desk *k, const char *path)
{
    size_t i;
    json_t *r;
    json_array_foreach(json_object_get(k->package, "resources"), i, r)
    {
        const char *p = json_string_value(json_object_get(r, "path"));
        if (p && strcmp(p, path) == 0)
            return r;
    }
    fail_msg("%s: no resource %s", PACKAGE, path);
    return NULL;
}

/* The names of objects in an array, or its own texts. */
static struct list names(const json_t *array)
{
    struct list l = {0};
    size_t i;
    json_t *e;
    json_array_foreach(array, i, e)
    {
        add(&l, json_string_value(json_is_string(e) ? e : json_object_get(e, "name")));
    }
    return l;
}

static const json_t *fields(const struct desk *k, const char *path)
{
    return json_object_get(json_object_get(resource(k, path), "schema"), "fields");
}

/* ---- the page ---- */

/* What follows the heading that holds `text` and `also`, up to the next heading; NULL for
 * none. */
static const char *section(const struct desk *k, const char *text, bool of_tables)
{
    for (const char *line = k->page; line; line = strchr(line, '\n')) {
        line += *line == '\n';
        const char *end = strchr(line, '\n');
        if (!end)
            return NULL;
        const char *heading =
            *line == '#' ? bt_arena_text_n(k->arena, line, (size_t)(end - line)) : NULL;
        if (!heading || !strstr(heading, text) ||
            of_tables != (strstr(heading, "in `tables`") != NULL))
            continue;
        const char *next = strstr(end, "\n#");
        return bt_arena_text_n(k->arena, end, next ? (size_t)(next - end) : strlen(end));
    }
    return NULL;
}

static const char *section_of_file(const struct desk *k, const char *name, bool of_tables)
{
    const char *s = section(k, bt_arena_format(k->arena, "`%s.csv`", name), of_tables);
    if (!s)
        fail_msg("%s: no section for %s.csv", PAGE, name);
    return s;
}

/* The first cells of the table in a section, which stand between backticks. */
static struct list first_cells(const struct desk *k, const char *s)
{
    struct list l = {0};
    for (const char *row = strstr(s, "\n| `"); row; row = strstr(row + 1, "\n| `")) {
        const char *from = row + 4;
        add(&l, bt_arena_text_n(k->arena, from, strcspn(from, "`")));
    }
    return l;
}

/* The row of a column, without its first cell. */
static const char *row_of(const struct desk *k, const char *s, const char *column)
{
    const char *row = strstr(s, bt_arena_format(k->arena, "\n| `%s` |", column));
    assert_non_null(row);
    row += strlen(column) + 6;
    return bt_arena_text_n(k->arena, row, strcspn(row, "\n"));
}

static void words_in_row(const struct desk *k, const char *s, const char *column,
                         const struct list *words)
{
    const char *row = row_of(k, s, column);
    for (size_t i = 0; i < words->n; i++)
        if (!strstr(row, bt_arena_format(k->arena, "`%s`", words->name[i])))
            fail_msg("%s: the row of %s does not name the word %s", PAGE, column,
                     words->name[i]);
}

/* ---- tests ---- */

static const char *const garden_files[] = {
    "garden",       "beds",     "plantings", "soil_tests", "water", "materials",
    "applications", "measures", "harvests",  "purchases",  NULL};

static void garden_columns(void **state)
{
    const struct desk *k = *state;
    for (size_t f = 0; garden_files[f]; f++) {
        const char *const *column = NULL;
        const size_t n = bt_garden_columns(garden_files[f], &column);
        const struct list reader = of_reader(n, column);
        const char *path = bt_arena_format(k->arena, "garden/%s.csv", garden_files[f]);
        const struct list package = names(fields(k, path));
        const struct list page = first_cells(k, section_of_file(k, garden_files[f], false));
        assert_true(n > 1);
        same(path, &package, &reader);
        same(bt_arena_format(k->arena, "%s, %s.csv", PAGE, garden_files[f]), &page,
             &reader);
    }
}

static void garden_words(void **state)
{
    const struct desk *k = *state;
    size_t n_wordy = 0;
    for (size_t f = 0; garden_files[f]; f++) {
        const char *path = bt_arena_format(k->arena, "garden/%s.csv", garden_files[f]);
        const char *s = section_of_file(k, garden_files[f], false);
        size_t i;
        json_t *field;
        json_array_foreach(fields(k, path), i, field)
        {
            const char *column = json_string_value(json_object_get(field, "name"));
            const char *const *word = NULL;
            const size_t n = bt_garden_words(garden_files[f], column, &word);
            const struct list reader = of_reader(n, word);
            const struct list package = names(json_object_get(field, "words"));
            same(bt_arena_format(k->arena, "words of %s, %s", path, column), &package,
                 &reader);
            words_in_row(k, s, column, &reader);
            n_wordy += n > 0;
        }
    }
    assert_true(n_wordy > 5);
}

static void settings(void **state)
{
    const struct desk *k = *state;
    const char *const *setting = NULL;
    const size_t n = bt_garden_settings(&setting);
    const struct list reader = of_reader(n, setting);
    const json_t *said = json_object_get(resource(k, "garden/garden.csv"), "settings");
    const struct list package = names(said);
    const char *s = section(k, "The settings", false);
    assert_non_null(s);
    const struct list page = first_cells(k, s);
    assert_true(n > 5);
    same("settings in " PACKAGE, &package, &reader);
    same("settings in " PAGE, &page, &reader);
    for (size_t i = 0; i < n; i++) {
        const char *const *word = NULL;
        const size_t n_words = bt_garden_words("garden", setting[i], &word);
        const struct list words = of_reader(n_words, word);
        const struct list listed = names(json_object_get(json_array_get(said, i), "words"));
        same(setting[i], &listed, &words);
        words_in_row(k, s, setting[i], &words);
    }
}

/* The header row of a table as built in. */
static struct list header_of(const struct desk *k, const char *name)
{
    size_t n = 0;
    struct bt_csv csv;
    struct list l = {0};
    const char *bytes = bt_embedded_table(name, &n);
    if (!bytes)
        fail_msg("tables/%s.csv is not there", name);
    assert_true(bt_csv_read_bytes(k->arena, bt_diag_new(k->arena), bytes, n, name, &csv));
    for (size_t i = 0; i < csv.header.n; i++)
        add(&l, csv.header.cell[i].text);
    return l;
}

static void table_columns(void **state)
{
    const struct desk *k = *state;
    for (size_t f = 0; f < BT_BOOK_FILES; f++) {
        const struct bt_book_layout *layout = bt_book_layout(f);
        const struct list reader = of_reader(layout->n_columns, layout->column);
        const char *path = bt_arena_format(k->arena, "%s.csv", layout->name);
        const struct list package = names(fields(k, path));
        const struct list page = first_cells(k, section_of_file(k, layout->name, true));
        const struct list table = header_of(k, layout->name);
        same(path, &package, &reader);
        same(bt_arena_format(k->arena, "%s, %s in tables", PAGE, path), &page, &reader);
        same(bt_arena_format(k->arena, "header of tables/%s", path), &table, &reader);
        size_t i;
        json_t *field;
        json_array_foreach(fields(k, path), i, field)
        {
            const json_t *constraints = json_object_get(field, "constraints");
            const bool needed = json_is_true(json_object_get(constraints, "required"));
            if (needed != ((layout->needed >> i & 1U) != 0))
                fail_msg("%s: is %s required?", path, package.name[i]);
        }
    }
    const struct list units = header_of(k, "units");
    const struct list package = names(fields(k, "units.csv"));
    const struct list page = first_cells(k, section_of_file(k, "units", true));
    same("units.csv in " PACKAGE, &package, &units);
    same("units.csv in " PAGE, &page, &units);
}

/* Nothing in the package or on the page that no reader knows. */
static void nothing_else(void **state)
{
    const struct desk *k = *state;
    size_t n_garden = 0, n_sections = 0;
    while (garden_files[n_garden])
        n_garden++;
    const json_t *all = json_object_get(k->package, "resources");
    assert_int_equal(json_array_size(all), n_garden + BT_BOOK_FILES + 1);
    for (const char *s = strstr(k->page, "\n## `"); s; s = strstr(s + 1, "\n## `"))
        n_sections++;
    /* the eight row tables share one */
    assert_int_equal(n_sections, n_garden + 1 + (BT_BOOK_FILES - BT_ROW_TABLES) + 1);
}

static bool is_text(const json_t *object, const char *key)
{
    const char *text = json_string_value(json_object_get(object, key));
    return text && !bt_text_blank(text);
}

/* What the open standard asks of a package: names, paths, fields with a type; each
 * described. */
static void the_standard_is_kept(void **state)
{
    static const char *const types[] = {"string", "number", NULL};
    const struct desk *k = *state;
    size_t i, j, n_same = 0;
    json_t *r, *field;
    assert_true(is_text(k->package, "name"));
    json_array_foreach(json_object_get(k->package, "resources"), i, r)
    {
        const char *name = json_string_value(json_object_get(r, "name"));
        assert_true(is_text(r, "path") && is_text(r, "title"));
        assert_non_null(name);
        assert_int_equal(name[strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789-._")],
                         '\0');
        for (size_t other = 0; other < i; other++)
            n_same +=
                strcmp(name,
                       json_string_value(json_object_get(
                           json_array_get(json_object_get(k->package, "resources"), other),
                           "name"))) == 0;
        json_array_foreach(json_object_get(json_object_get(r, "schema"), "fields"), j,
                           field)
        {
            const char *type = json_string_value(json_object_get(field, "type"));
            if (!is_text(field, "name") || !is_text(field, "description") || !type ||
                (strcmp(type, types[0]) != 0 && strcmp(type, types[1]) != 0))
                fail_msg("%s: field %zu is not whole", name, j + 1);
        }
    }
    assert_int_equal(n_same, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(garden_columns), cmocka_unit_test(garden_words),
        cmocka_unit_test(settings),       cmocka_unit_test(table_columns),
        cmocka_unit_test(nothing_else),   cmocka_unit_test(the_standard_is_kept),
    };
    return cmocka_run_group_tests_name("datapackage", tests, open_desk, close_desk) != 0;
}
