/* Files as people, laboratories and spreadsheets leave them, all invented: what is read of
 * each, and every message, word for word. tests/messy/<file>.csv is read as the garden file
 * named in the list below; tests/messy/<file>.<kind>.expected holds its messages and its
 * readings. BEDTALLY_UPDATE=1 writes those anew, to be read before they are kept. The
 * handbook is the one that is built in. */
#include "garden_fixture.h"

#define FOLDER "tests/messy"

/* clang-format off */
static const struct row {
    const char *title, *kind;
    const char *beds; /* names of the beds there are, with strokes; NULL: A1|A2|B1 */
    const char *settings; /* "us" or "metric" */
} rows[] = {
    {"01_beds_utf8_bom_crlf", "beds", NULL, "us"},
    {"02_beds_semicolon_decimal_comma", "beds", NULL, "metric"},
    {"02_beds_semicolon_decimal_comma", "soil_tests", "Beet 1 Kohl|Beet 2 Bohnen|Beet 3, Rand", "metric"},
    {"03_plantings_trailing_empty", "plantings", "Bed A - corn and beans|Bed B - salad mix|Bed C - roots", "us"},
    {"04_soiltests_units_in_cells", "soil_tests", "Bed A|Bed B|Bed C|Bed D|Bed E|Bed F", "us"},
    {"05_materials_ranges_fractions", "materials", NULL, "us"},
    {"06_beds_feet_inches_quotes", "beds", NULL, "us"},
    {"07_materials_windows1252", "materials", NULL, "us"},
    {"08_plantings_quoted_newlines", "plantings", "Bed A|Bed B|Bed C", "us"},
    {"09_soiltests_title_unit_total_rows", "soil_tests", "E1|E2|E3|W1|W2", "us"},
    {"10_materials_thousands_nbsp_money", "materials", NULL, "us"},
    {"10_materials_thousands_nbsp_money", "purchases", NULL, "us"},
    {"11_plantings_cr_only_mangled_ranges", "plantings", "Bed A|Bed B|Bed C", "us"},
    {"11_plantings_cr_only_mangled_ranges", "plantings", "Bed A|Bed B|Bed C", "asked"},
    {"12_soiltest_utf16le_tabs", "soil_tests", "Bed A|Bed B|Bed C", "us"},
#include "messy_family.h"
};
/* clang-format on */

/* ---- readings ---- */

struct page {
    struct bt_arena *a;
    const char *text;
};

static void put_text(struct page *p, const char *text)
{
    p->text = bt_arena_format(p->a, "%s%s", p->text, text);
}

/* ", name value" with the bound and the range, nothing when blank. */
static void put_quantity(struct page *p, const char *name, const struct bt_quantity *q,
                         double unit, const char *unit_name)
{
    static const char *const bounds[] = {"", ">", "<", "ND "};
    if (q->presence == BT_BLANK)
        return;
    put_text(p, bt_arena_format(p->a, ", %s ", name));
    if (q->presence != BT_GIVEN)
        put_text(p, q->presence == BT_NONE ? "none" : "not recorded");
    else if (q->word)
        put_text(p, q->word);
    else if (q->range.low == q->range.high)
        put_text(p, bt_arena_format(p->a, "%s%.6g%s", bounds[q->bound],
                                    q->range.likely / unit, unit_name));
    else
        put_text(p, bt_arena_format(p->a, "%.6g..%.6g%s", q->range.low / unit,
                                    q->range.high / unit, unit_name));
}

static void put_word(struct page *p, const char *name, const char *word)
{
    if (word)
        put_text(p, bt_arena_format(p->a, ", %s %s", name, word));
}

static void put_date(struct page *p, const char *name, const struct bt_date *d)
{
    if (d->known)
        put_text(p, bt_arena_format(p->a, d->width_d ? ", %s %s +- %d d" : ", %s %s", name,
                                    bt_date_iso(p->a, d->day), d->width_d / 2));
}

static void put_beds(struct page *p, const struct bt_garden *g)
{
    for (size_t i = 0; i < g->n_beds; i++) {
        const struct bt_bed *b = &g->bed[i];
        put_text(p, bt_arena_format(p->a, "%s: %.5g m2 = %s", b->id, b->area_m2,
                                    b->area_working));
        put_quantity(p, "depth", &b->depth, 0.01, " cm");
        put_word(p, "group", b->group);
        put_text(p, "\n");
    }
}

static void put_plantings(struct page *p, const struct bt_garden *g)
{
    for (size_t i = 0; i < g->n_plantings; i++) {
        const struct bt_planting *x = &g->planting[i];
        put_text(p, bt_arena_format(p->a, "%s: %s", x->bed->id, x->written));
        put_word(p, "as", x->crop);
        put_word(p, "variety", x->variety);
        if (x->plants.presence == BT_GIVEN)
            put_text(
                p, bt_arena_format(p->a, ", %g plants", x->plants.groups * x->plants.each));
        put_quantity(p, "spacing", &x->spacing, 0.01, " cm");
        put_quantity(p, "expected", &x->expected, 1, " g");
        put_date(p, "in ground", &x->in_ground);
        put_date(p, "ended", &x->ended);
        put_text(p, "\n");
    }
}

static void put_tests(struct page *p, const struct bt_garden *g)
{
    for (size_t i = 0; i < g->n_tests; i++) {
        const struct bt_soil_test *t = &g->test[i];
        put_text(p, t->sample);
        put_date(p, "of", &t->date);
        if (t->depth.presence == BT_GIVEN)
            put_text(p, bt_arena_format(p->a, ", %.3g to %.3g cm", 100 * t->depth.top_m,
                                        100 * t->depth.bottom_m));
        put_quantity(p, "pH", &t->ph, 1, "");
        put_quantity(p, "organic matter", &t->organic_matter, 0.01, " %");
        put_quantity(p, "NO3-N", &t->nitrate_n, 1e-6, " ppm");
        put_quantity(p, "P", &t->phosphorus, 1e-6, " ppm");
        put_word(p, "rated", t->phosphorus_rating);
        put_word(p, "by", t->phosphorus_method);
        put_quantity(p, "K", &t->potassium, 1e-6, " ppm");
        put_word(p, "rated", t->potassium_rating);
        put_word(p, "by", t->potassium_method);
        put_text(p, "\n");
    }
}

static void put_materials(struct page *p, const struct bt_garden *g)
{
    for (size_t i = 0; i < g->n_materials; i++) {
        const struct bt_material *m = &g->material[i];
        const bool mass = bt_dim_same(m->on_hand.unit.dim, BT_MASS);
        const bool packed = bt_dim_same(m->package.unit.dim, BT_MASS);
        put_text(p, m->name);
        put_quantity(p, "N", &m->n, 0.01, " %");
        put_quantity(p, "P2O5", &m->p2o5, 0.01, " %");
        put_quantity(p, "K2O", &m->k2o, 0.01, " %");
        put_quantity(p, "moisture", &m->moisture, 0.01, " %");
        put_quantity(p, "on hand", &m->on_hand, mass ? 1 : 0.001, mass ? " g" : " L");
        put_quantity(p, "price", &m->price, 1, "");
        put_quantity(p, "package", &m->package, packed ? 1 : 0.001, packed ? " g" : " L");
        put_text(p, "\n");
    }
}

static void put_applications(struct page *p, const struct bt_garden *g)
{
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        put_text(p, x->written);
        for (size_t k = 0; k < x->n_beds; k++)
            put_text(p, bt_arena_format(p->a, k ? "+%s" : " on %s", g->bed[x->bed[k]].id));
        put_date(p, "on", &x->date);
        put_quantity(p, "amount", &x->amount, 1, "");
        put_text(p, "\n");
    }
}

static void put_waters(struct page *p, const struct bt_garden *g)
{
    for (size_t i = 0; i < g->n_waters; i++) {
        put_text(p, g->water[i].source);
        put_quantity(p, "nitrate-N", &g->water[i].nitrate, 1, " g/m3");
        put_quantity(p, "amount", &g->water[i].amount, 1, "");
        put_date(p, "from", &g->water[i].from);
        put_text(p, "\n");
    }
}

static void put_purchases(struct page *p, const struct bt_garden *g)
{
    for (size_t i = 0; i < g->n_purchases; i++) {
        const struct bt_purchase *x = &g->purchase[i];
        put_text(p, x->material ? x->material : "?");
        put_quantity(p, "amount", &x->amount, 1, "");
        put_quantity(p, "paid", &x->paid, 1, "");
        put_date(p, "on", &x->date);
        put_text(p, "\n");
    }
}

static const char *readings(struct bt_arena *a, const struct bt_garden *g, const char *kind)
{
    struct page p = {a, ""};
    const struct {
        const char *kind;
        void (*put)(struct page *p, const struct bt_garden *g);
    } kinds[] = {
        {"beds",         put_beds        },
        {"plantings",    put_plantings   },
        {"soil_tests",   put_tests       },
        {"materials",    put_materials   },
        {"applications", put_applications},
        {"water",        put_waters      },
        {"purchases",    put_purchases   },
    };
    for (size_t i = 0; i < COUNT(kinds); i++)
        if (strcmp(kinds[i].kind, kind) == 0)
            kinds[i].put(&p, g);
    return p.text;
}

/* ---- one file ---- */

static const char *beds_file(struct bt_arena *a, const char *beds)
{
    const char *s = "bed,length,width\n";
    for (const char *b = beds; *b; b += strcspn(b, "|"), b += *b == '|')
        s = bt_arena_format(a, "%s\"%.*s\",8 ft,4 ft\n", s, (int)strcspn(b, "|"), b);
    return s;
}

static void make_garden(struct fixture *x, const struct row *row, const char *folder)
{
    const char *beds = beds_file(x->arena, row->beds ? row->beds : "A1|A2|B1");
    const bool asked = strcmp(row->settings, "asked") == 0;
    const char *units = asked ? "" : bt_arena_format(x->arena, "units,%s\n", row->settings);
    fixture_write(x, folder, "garden.csv",
                  bt_arena_format(x->arena,
                                  "setting,value\n%sseason,2025\nseason_start,2025-05-01\n"
                                  "season_end,2025-09-30\nas_of,2025-06-15\n",
                                  units));
    fixture_write(x, folder, "beds.csv", beds);
    fixture_write(x, folder, "plantings.csv", "bed,crop,plants,in_ground\n");
}

/* Messages on the file alone. */
static const char *said(struct fixture *x, const char *path)
{
    const char *all = "";
    for (size_t i = 0; i < bt_diag_kept(x->diag); i++) {
        struct bt_message m = *bt_diag_get(x->diag, i);
        if (!m.at.file || strcmp(m.at.file, path) != 0)
            continue;
        m.at.file = strrchr(path, '/') + 1;
        all = bt_arena_format(x->arena, "%s%s\n", all, bt_message_text(x->arena, &m));
    }
    return all;
}

static const char *whole_file(struct bt_arena *a, const char *path)
{
    FILE *f = fopen(path, "rb");
    char *text = bt_arena_zero(a, 1 << 16);
    if (!f)
        return NULL;
    text[fread(text, 1, (1 << 16) - 1, f)] = '\0';
    fclose(f);
    return text;
}

static struct fixture real_handbook(void)
{
    struct fixture x = {.arena = bt_arena_new(1 << 18, fixture_no_memory, NULL)};
    size_t n;
    const char *units = bt_embedded_table("units", &n);
    x.diag = bt_diag_new(x.arena);
    x.units = bt_units_new(x.arena, x.diag, units, n);
    x.handbook = bt_handbook_load(x.arena, x.diag, x.units, NULL, NULL);
    assert_non_null(x.handbook);
    return x;
}

static void copy(struct fixture *x, const char *from, const char *to)
{
    FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
    (void)x;
    assert_non_null(in);
    assert_non_null(out);
    for (int c = getc(in); c != EOF; c = getc(in))
        putc(c, out);
    fclose(in);
    assert_int_equal(fclose(out), 0);
}

static void messy(void **state)
{
    const struct row *row = *state;
    struct fixture x = real_handbook();
    struct bt_arena *a = x.arena;
    char folder[] = "/tmp/bedtally-test-XXXXXX";
    const struct bt_garden_options options = {.units = -1};
    assert_non_null(mkdtemp(folder));
    make_garden(&x, row, folder);
    const char *path = bt_arena_format(a, "%s/%s.csv", folder, row->kind);
    copy(&x, bt_arena_format(a, "%s/%s.csv", FOLDER, row->title), path);
    const struct bt_garden *g =
        bt_garden_load(a, x.diag, x.units, x.handbook, folder, &options);
    fixture_remove(&x, folder);
    const char *got = bt_arena_format(a, "%s\n%s", said(&x, path),
                                      g ? readings(a, g, row->kind) : "nothing\n");
    const bool asked = strcmp(row->settings, "asked") == 0;
    const char *name = bt_arena_format(a, "%s.%s%s.expected", row->title, row->kind,
                                       asked ? ".asked" : "");
    if (getenv("BEDTALLY_UPDATE"))
        fixture_write(&x, FOLDER, name, got);
    const char *expected = whole_file(a, bt_arena_format(a, "%s/%s", FOLDER, name));
    if (!expected || strcmp(got, expected) != 0)
        fprintf(stderr, "--- %s says ---\n%s", name, got);
    assert_non_null(expected);
    assert_string_equal(got, expected);
    fixture_free(&x);
}

int main(void)
{
    static struct CMUnitTest t[COUNT(rows)];
    size_t n = 0;
    ROWS(rows, messy, title)
    return _cmocka_run_group_tests("messy", t, n, NULL, NULL) != 0;
}
