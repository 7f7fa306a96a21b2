/* The handbook as a garden meets it: a grower's list of plants is read without one unknown;
 * every figure of a budget leads to a row and its source; the worked examples' files are
 * what datapackage.json says they are. */
#include "book_page.h"

#include <dirent.h>
#include <jansson.h>
#include <sys/stat.h>
#include <unistd.h>

#include "report/handbook.h"
#include "run.h"

#define N(a) (sizeof(a) / sizeof *(a))

struct desk {
    struct bt_arena *arena;
    json_t *package;
};

static int open_desk(void **state)
{
    struct desk *d = calloc(1, sizeof *d);
    json_error_t error;
    *state = d;
    d->arena = bt_arena_new(1 << 18, book_no_memory, NULL);
    d->package = json_load_file("tables/datapackage.json", 0, &error);
    return d->package ? 0 : -1;
}

static int close_desk(void **state)
{
    struct desk *d = *state;
    json_decref(d->package);
    bt_arena_free(d->arena);
    free(d);
    return 0;
}

static void write_file(struct bt_arena *a, const char *folder, const char *name,
                       const char *text)
{
    FILE *f = fopen(bt_arena_format(a, "%s/%s", folder, name), "wb");
    assert_non_null(f);
    fputs(text, f);
    assert_int_equal(fclose(f), 0);
}

static void remove_garden(struct bt_arena *a, const char *folder)
{
    static const char *const file[] = {"garden.csv", "beds.csv", "plantings.csv",
                                       "applications.csv"};
    for (size_t i = 0; i < N(file); i++)
        remove(bt_arena_format(a, "%s/%s", folder, file[i]));
    assert_int_equal(rmdir(folder), 0);
}

/* ---- a grower's list ---- */

/* As somebody writes such a list: capitals, plurals, names of kinds and varieties. */
static const char *const plants[] = {
    "Alyssum",       "Thyme",      "Oregano",        "Sage",        "Rosemary",
    "Dill",          "Cilantro",   "Chives",         "Mint",        "Catmint",
    "Borage",        "Yarrow",     "Tansy",          "Nasturtiums", "Marigolds",
    "Petunias",      "Geraniums",  "Zinnias",        "Sunflowers",  "Parsley",
    "Arugula",       "Scallions",  "Mustard greens", "Buckwheat",   "Rye",
    "Oats",          "Sweet corn", "Pole beans",     "Bush beans",  "Pumpkins",
    "Winter squash", "Zucchini",   "Cucumbers",      "Tomatoes",    "Peppers",
    "Eggplant",      "Kale",       "Lettuce",        "Carrots",     "Beets",
    "Radishes",      "Onions",     "Peas",           "Potatoes"};

static void a_growers_list_is_understood(void **state)
{
    struct desk *d = *state;
    struct bt_arena *a = d->arena;
    assert_int_equal(N(plants), 44);
    char folder[] = "/tmp/bedtally-list-XXXXXX";
    assert_non_null(mkdtemp(folder));
    const char *beds = "bed,length,width,texture\n", *rows = "bed,crop,share,in_ground\n";
    for (size_t i = 0; i < N(plants); i++) {
        beds = bt_arena_format(a, "%sB%zu,8 ft,4 ft,loam\n", beds, i);
        rows = bt_arena_format(a, "%sB%zu,%s,100 %%,2026-05-10\n", rows, i, plants[i]);
    }
    write_file(a, folder, "garden.csv",
               "setting,value\nunits,us\nseason,2026\nseason_start,2026-05-01\n"
               "season_end,2026-09-30\nas_of,2026-05-15\n");
    write_file(a, folder, "beds.csv", beds);
    write_file(a, folder, "plantings.csv", rows);
    const struct bt_run_options o = {
        .folder = folder, .garden = {.units = -1}, .chance = {.samples = 256}};
    struct bt_run run;
    const bool read = bt_run_open(a, &o, &run);
    const bool built = read && bt_run_check(&run, &o, NULL);
    remove_garden(a, folder);
    if (!built || bt_diag_count(run.diag, BT_WARNING))
        bt_diag_print(stderr, run.diag, BT_WARNING);
    assert_true(built);
    assert_int_equal(bt_diag_count(run.diag, BT_WARNING), 0);
    assert_int_equal(run.garden->n_plantings, N(plants));
    for (size_t i = 0; i < N(plants); i++)
        assert_non_null(run.garden->planting[i].crop);
    bt_run_close(&run);
}

/* ---- every figure leads to its source ---- */

struct walk {
    struct bt_arena *arena;
    size_t n_rows, n_stated, n_lost;
};

static void lost(struct walk *w, const struct bt_budget *b, const char *id, const char *why)
{
    print_error("%s, %s: %s\n", b->bed->id, id, why);
    w->n_lost++;
}

/* What the handbook command is asked with: table, key and quantity of the leaf. */
static bool shown(const struct bt_run *run, struct bt_arena *a, const struct bt_row *r)
{
    const struct bt_show show = {
        .arena = a, .units = run->units, .handbook = run->handbook};
    char *text = NULL;
    size_t length = 0;
    FILE *f = open_memstream(&text, &length);
    struct bt_out out = bt_out_stream(f);
    const struct bt_book_out to = {&out, &show, BT_BOOK_TEXT};
    const bool there = bt_report_book_key(&to, r->table, r->key, r->quantity);
    fclose(f);
    const struct bt_source *s = bt_handbook_source(run->handbook, r->source);
    const bool found = there && s && strstr(text, r->source) &&
                       strstr(text, bt_book_value_text(a, r)) &&
                       strstr(text, bt_seen_word(r->seen));
    free(text);
    return found;
}

static void follow_row(struct walk *w, const struct bt_run *run, const struct bt_budget *b,
                       const char *id, const struct bt_row *r)
{
    const struct bt_mark mark = bt_arena_mark(w->arena);
    if (!shown(run, w->arena, r))
        lost(w, b, id, "the handbook does not show its row and source");
    bt_arena_release(w->arena, mark);
    w->n_rows++;
}

/* Two scales of the model are in no table: they run from -1 to 1 and from 0 to 1 by
 * definition, and docs/model.md says what for. Their source is the project's judgement. */
static bool is_scale(const struct bt_leaf *leaf)
{
    const char *last = strrchr(leaf->id, '/');
    return strcmp(leaf->source, "JUDGEMENT") == 0 && last &&
           (strcmp(last, "/season") == 0 || strcmp(last, "/lean") == 0);
}

static void follow_leaf(struct walk *w, const struct bt_run *run, const struct bt_budget *b,
                        const struct bt_leaf *leaf)
{
    if (leaf->source && strcmp(leaf->source, "stated") == 0) {
        if (!leaf->at.file || leaf->at.line < 2)
            lost(w, b, leaf->id, "stated, but not where");
        w->n_stated++;
        return;
    }
    const struct bt_row *r = bt_handbook_row_of(run->handbook, leaf->id);
    if (!leaf->source || !bt_handbook_source(run->handbook, leaf->source))
        lost(w, b, leaf->id, "its source is not listed");
    else if (!r && is_scale(leaf))
        return;
    else if (!r)
        lost(w, b, leaf->id, "no row of the handbook");
    else if (strcmp(r->source, leaf->source) != 0)
        lost(w, b, leaf->id, "its row has another source");
    else
        follow_row(w, run, b, leaf->id, r);
}

static void walk_bed(void *context, const struct bt_run *run, const struct bt_budget *b)
{
    struct walk *w = context;
    const size_t n = bt_sheet_size(b->sheet);
    for (uint32_t i = 0; i < n; i++) {
        const struct bt_node_info *x = bt_sheet_node(b->sheet, (struct bt_node){i});
        if (x->op == BT_OP_LEAF)
            follow_leaf(w, run, b, x->leaf);
        else if (x->row)
            follow_row(w, run, b, x->label ? x->label : x->row->quantity, x->row);
    }
}

static void every_figure_has_its_source(void **state)
{
    static const char *const examples[] = {"three-sisters", "demonstration-garden",
                                           "kitchen-garden-metric"};
    struct desk *d = *state;
    size_t n_rows = 0, n_stated = 0;
    for (size_t i = 0; i < N(examples); i++) {
        struct walk w = {.arena = bt_arena_beside(d->arena)};
        const struct bt_run_options o = {
            .folder = bt_arena_format(d->arena, "worked-examples/%s", examples[i]),
            .garden = {.units = -1},
            .chance = {.samples = 256}};
        struct bt_run run;
        const bool read = bt_run_open(d->arena, &o, &run);
        if (!read)
            bt_diag_print(stderr, run.diag, BT_ERROR);
        assert_true(read);
        assert_true(bt_run_check(&run, &o, &(struct bt_check_sink){walk_bed, &w}));
        bt_run_close(&run);
        assert_int_equal(w.n_lost, 0);
        assert_true(w.n_rows > 20);
        n_rows += w.n_rows;
        n_stated += w.n_stated;
    }
    print_message("followed to a row: %zu figures; stated by the grower: %zu\n", n_rows,
                  n_stated);
    assert_true(n_rows > 300 && n_stated > 20);
}

/* ---- the files of the worked examples ---- */

static json_t *fields_of(const struct desk *d, const char *file)
{
    size_t i;
    json_t *r;
    const char *path = bt_arena_format(d->arena, "garden/%s", file);
    json_array_foreach(json_object_get(d->package, "resources"), i, r)
    {
        const char *p = json_string_value(json_object_get(r, "path"));
        if (p && strcmp(p, path) == 0)
            return json_object_get(json_object_get(r, "schema"), "fields");
    }
    return NULL;
}

/* `length (ft)` is the column length. */
static bool is_column(const char *head, const char *name)
{
    const size_t n = strlen(name);
    return strncmp(head, name, n) == 0 &&
           (head[n] == '\0' || strncmp(head + n, " (", 2) == 0);
}

static bool is_own(const char *head)
{
    return strncmp(head, "note", 4) == 0 || strncmp(head, "my_", 3) == 0;
}

static void check_columns(const struct bt_csv *csv, json_t *fields)
{
    for (size_t c = 0; c < csv->header.n; c++) {
        const char *head = csv->header.cell[c].text;
        size_t i;
        json_t *field;
        bool known = is_own(head);
        json_array_foreach(fields, i, field) known =
            known || is_column(head, json_string_value(json_object_get(field, "name")));
        if (!known)
            fail_msg("%s: %s is no column of tables/datapackage.json", csv->file, head);
    }
}

static size_t check_required(const struct bt_csv *csv, json_t *fields)
{
    size_t i, n = 0;
    json_t *field;
    json_array_foreach(fields, i, field)
    {
        const json_t *constraints = json_object_get(field, "constraints");
        const char *name = json_string_value(json_object_get(field, "name"));
        size_t c = 0;
        if (!json_is_true(json_object_get(constraints, "required")))
            continue;
        while (c < csv->header.n && !is_column(csv->header.cell[c].text, name))
            c++;
        if (c == csv->header.n)
            fail_msg("%s: no column %s", csv->file, name);
        for (size_t r = 0; r < csv->n_rows; r++)
            if (c >= csv->row[r].n || !*csv->row[r].cell[c].text)
                fail_msg("%s:%u: %s is required", csv->file, csv->row[r].at.line, name);
        n++;
    }
    return n;
}

static size_t check_folder(struct desk *d, const char *folder)
{
    DIR *dir = opendir(folder);
    size_t n = 0, n_required = 0;
    assert_non_null(dir);
    for (const struct dirent *e = readdir(dir); e; e = readdir(dir)) {
        const size_t length = strlen(e->d_name);
        if (length < 5 || strcmp(e->d_name + length - 4, ".csv") != 0)
            continue;
        struct bt_csv csv;
        const char *path = bt_arena_format(d->arena, "%s/%s", folder, e->d_name);
        json_t *fields = fields_of(d, e->d_name);
        if (!fields)
            fail_msg("%s: no such file in tables/datapackage.json", path);
        assert_true(bt_csv_read_file(d->arena, bt_diag_new(d->arena), path, path, &csv));
        check_columns(&csv, fields);
        n_required += check_required(&csv, fields);
        n++;
    }
    closedir(dir);
    assert_true(n_required > n);
    return n;
}

static void examples_are_as_the_package_says(void **state)
{
    struct desk *d = *state;
    DIR *dir = opendir("worked-examples");
    size_t n = 0;
    assert_non_null(dir);
    for (const struct dirent *e = readdir(dir); e; e = readdir(dir)) {
        struct stat is;
        const char *folder = bt_arena_format(d->arena, "worked-examples/%s", e->d_name);
        if (e->d_name[0] == '.' || stat(folder, &is) != 0 || !S_ISDIR(is.st_mode))
            continue;
        assert_true(check_folder(d, folder) >= 3);
        n++;
    }
    closedir(dir);
    assert_true(n >= 3);
}

/* ---- the reader requires the same ---- */

static const struct sample {
    const char *file, *header, *row;
} samples[] = {
    {"beds.csv",         "bed,length,width,texture",  "A,8 ft,4 ft,loam"               },
    {"plantings.csv",    "bed,crop,share,in_ground",  "A,kale,100 %,2026-05-10"        },
    {"applications.csv", "date,beds,material,amount", "2026-05-01,A,yard compost,40 lb"},
};

/* The sample's row with one column blank. */
static const char *blanked(struct bt_arena *a, const struct sample *x, const char *column)
{
    char **head = NULL, **cell = NULL;
    const size_t n = bt_text_split(a, x->header, ',', &head);
    assert_int_equal(bt_text_split(a, x->row, ',', &cell), n);
    const char *row = "";
    for (size_t c = 0; c < n; c++)
        row = bt_arena_format(a, "%s%s%s", row, c ? "," : "",
                              strcmp(head[c], column) == 0 ? "" : cell[c]);
    return row;
}

/* Reads the samples with this column of this file blank: is there an error that names
 * it? */
static bool is_refused(struct bt_arena *a, const struct sample *blank, const char *column)
{
    char folder[] = "/tmp/bedtally-list-XXXXXX";
    assert_non_null(mkdtemp(folder));
    write_file(a, folder, "garden.csv",
               "setting,value\nunits,us\nseason,2026\nseason_start,2026-05-01\n"
               "season_end,2026-09-30\n");
    for (size_t k = 0; k < N(samples); k++)
        write_file(a, folder, samples[k].file,
                   bt_arena_format(a, "%s\n%s\n", samples[k].header,
                                   &samples[k] == blank ? blanked(a, blank, column)
                                                        : samples[k].row));
    const struct bt_run_options o = {.folder = folder, .garden = {.units = -1}};
    struct bt_run run;
    const bool read = bt_run_open(a, &o, &run);
    remove_garden(a, folder);
    bool said = false;
    for (size_t k = 0; k < bt_diag_kept(run.diag); k++) {
        const struct bt_message *m = bt_diag_get(run.diag, k);
        said = said || (m->weight == BT_ERROR && m->field && strcmp(m->field, column) == 0);
    }
    bt_run_close(&run);
    return !read && said;
}

static void the_reader_requires_the_same(void **state)
{
    struct desk *d = *state;
    size_t n = 0;
    for (size_t f = 0; f < N(samples); f++) {
        size_t i;
        json_t *field;
        json_array_foreach(fields_of(d, samples[f].file), i, field)
        {
            const json_t *constraints = json_object_get(field, "constraints");
            const char *name = json_string_value(json_object_get(field, "name"));
            if (!json_is_true(json_object_get(constraints, "required")))
                continue;
            if (!is_refused(d->arena, &samples[f], name))
                fail_msg("%s: %s may be blank", samples[f].file, name);
            n++;
        }
    }
    assert_int_equal(n, 7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_growers_list_is_understood),
        cmocka_unit_test(every_figure_has_its_source),
        cmocka_unit_test(examples_are_as_the_package_says),
        cmocka_unit_test(the_reader_requires_the_same),
    };
    return cmocka_run_group_tests_name("handbook and gardens", tests, open_desk,
                                       close_desk) != 0;
}
