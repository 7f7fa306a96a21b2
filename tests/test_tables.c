/* The handbook's real tables, as built in: nothing refused, nothing doubted, nothing that
 * the model will ask for missing, every figure of the size that its quantity has. Prints
 * how many rows rest on what. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/diag.h"
#include "input/csv.h"
#include "input/handbook.h"
#include "input/units.h"

#include "check.h"
#include "test_tables.h"

#define N(a) (sizeof(a) / sizeof *(a))

/* The bench of all tests: read once. */
struct book {
    struct bt_arena *arena;
    struct bt_diag *diag;
    struct bt_units *units;
    const struct bt_handbook *h;
    size_t n_complaints;
};

static void no_memory(void *context)
{
    (void)context;
    abort();
}

static int read_tables(void **state)
{
    struct book *b = calloc(1, sizeof *b);
    size_t n = 0;
    *state = b;
    b->arena = bt_arena_new(1 << 20, no_memory, NULL);
    b->diag = bt_diag_new(b->arena);
    const char *table = bt_embedded_table("units", &n);
    b->units = table ? bt_units_new(b->arena, b->diag, table, n) : NULL;
    b->h = b->units ? bt_handbook_load(b->arena, b->diag, b->units, NULL, NULL) : NULL;
    return 0;
}

static int free_tables(void **state)
{
    struct book *b = *state;
    if (b->units)
        bt_units_free(b->units);
    bt_arena_free(b->arena);
    free(b);
    return 0;
}

/* What is wrong is printed, all of it; the test fails at its end. */
static struct book *begin(void **state)
{
    struct book *b = *state;
    b->n_complaints = 0;
    if (!b->h)
        fail_msg("the tables could not be read; see the first test");
    return b;
}

__attribute__((format(printf, 2, 3))) static void complain(struct book *b,
                                                           const char *format, ...)
{
    va_list args;
    va_start(args, format);
    print_error("%s\n", bt_arena_vformat(b->arena, format, args));
    va_end(args);
    b->n_complaints++;
}

static void end(struct book *b)
{
    assert_int_equal(b->n_complaints, 0);
}

static void complain_row(struct book *b, const struct bt_row *r, const char *what)
{
    complain(b, "%s:%u: %s of %s: %s", r->at.file, r->at.line, r->quantity, r->key, what);
}

/* ---- as read ---- */

static void nothing_is_refused(void **state)
{
    struct book *b = *state;
    for (size_t i = 0; i < bt_diag_kept(b->diag); i++)
        print_error("%s\n", bt_message_text(b->arena, bt_diag_get(b->diag, i)));
    assert_int_equal(bt_diag_count(b->diag, BT_ERROR), 0);
    assert_int_equal(bt_diag_count(b->diag, BT_WARNING), 0);
    assert_non_null(b->h);
}

static void all_tables_are_there(void **state)
{
    struct book *b = begin(state);
    const struct bt_table *t = NULL;
    const struct bt_caution *caution = NULL;
    const size_t n = bt_handbook_tables(b->h, &t);
    assert_int_equal(n, 11);
    for (size_t i = 0; i < n; i++)
        if (t[i].checksum == 0 || (i < 8 && t[i].n_rows == 0))
            complain(b, "tables/%s.csv: nothing there", t[i].name);
    if (bt_handbook_cautions(b->h, &caution) == 0)
        complain(b, "tables/cautions.csv: no rule");
    end(b);
}

static const struct bt_csv *csv_of(struct book *b, const char *name)
{
    struct bt_csv *csv = bt_arena_zero(b->arena, sizeof *csv);
    size_t n = 0;
    const char *bytes = bt_embedded_table(name, &n);
    if (bytes)
        assert_true(bt_csv_read_bytes(b->arena, b->diag, bytes, n, name, csv));
    return csv;
}

/* Looked at as text, so that it does not rest on the loader that it checks. */
static void columns_and_marks(void **state)
{
    static const char *const tables[] = {"crops",    "legumes", "intercrops", "materials",
                                         "residues", "soils",   "ratings",    "measures"};
    static const char *const columns[] = {
        "key",   "quantity", "low",    "likely",           "high",   "unit", "ends",
        "basis", "scope",    "parent", "rank_correlation", "source", "seen", "notes"};
    struct book *b = begin(state);
    for (size_t i = 0; i < N(tables); i++) {
        const struct bt_csv *csv = csv_of(b, tables[i]);
        if (csv->n_rows == 0)
            continue;
        assert_int_equal(csv->header.n, N(columns));
        for (size_t c = 0; c < N(columns); c++)
            assert_string_equal(csv->header.cell[c].text, columns[c]);
        for (size_t r = 0; r < csv->n_rows; r++) {
            const struct bt_cell *cell = csv->row[r].cell;
            for (size_t c = 8; c <= 12; c += c == 8 ? 3 : 1)
                if (!*cell[c].text)
                    complain(b, "%s:%u: no %s", tables[i], csv->row[r].at.line, columns[c]);
            const double low = strtod(cell[2].text, NULL),
                         high = strtod(cell[4].text, NULL);
            const double likely = *cell[3].text ? strtod(cell[3].text, NULL) : low;
            if (*cell[2].text && !(low <= likely && likely <= high))
                complain(b, "%s:%u: low, likely, high do not rise", tables[i],
                         csv->row[r].at.line);
        }
    }
    end(b);
}

/* ---- sources ---- */

static bool is_used(const struct book *b, const char *id)
{
    const struct bt_table *t = NULL;
    const struct bt_caution *c = NULL;
    const size_t n = bt_handbook_tables(b->h, &t),
                 n_cautions = bt_handbook_cautions(b->h, &c);
    for (size_t i = 0; i < n_cautions; i++)
        if (strcmp(c[i].source, id) == 0)
            return true;
    for (size_t i = 0; i < n; i++)
        for (size_t r = 0; r < t[i].n_rows; r++)
            if (strcmp(t[i].row[r]->source, id) == 0)
                return true;
    return false;
}

static void every_source_is_used(void **state)
{
    struct book *b = begin(state);
    const struct bt_csv *csv = csv_of(b, "sources");
    assert_true(csv->n_rows > 0);
    for (size_t i = 0; i < csv->n_rows; i++) {
        const char *id = csv->row[i].cell[0].text;
        assert_non_null(bt_handbook_source(b->h, id));
        if (!is_used(b, id))
            complain(b, "tables/sources.csv:%u: %s is not used", csv->row[i].at.line, id);
    }
    end(b);
}

/* What is judgement has no publication behind it, and the other way round. */
static void marks_fit_their_sources(void **state)
{
    struct book *b = begin(state);
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(b->h, &t);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < t[i].n_rows; k++) {
            const struct bt_row *r = t[i].row[k];
            const bool ours = strcmp(r->source, "JUDGEMENT") == 0;
            const bool practice = strcmp(r->source, "PRACTICE") == 0;
            if ((ours || practice) && (r->seen == BT_READ || r->seen == BT_MEMORY))
                complain_row(b, r, "marked as from a publication, and none is named");
            if (r->seen == BT_PRACTICE && !practice)
                complain_row(b, r, "marked as practice, but a source is named");
        }
    end(b);
}

static void notes_say_from_what(void **state)
{
    struct book *b = begin(state);
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(b->h, &t);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < t[i].n_rows; k++) {
            const struct bt_row *r = t[i].row[k];
            const bool ours = r->seen == BT_JUDGEMENT || r->seen == BT_DERIVED;
            if (ours && !r->word && !*r->notes)
                complain_row(b, r, "judged or derived, and the notes do not say from what");
        }
    end(b);
}

/* A draw follows its parent's draw, and that nobody's: chains are not worked out. */
static void parents_have_no_parents(void **state)
{
    struct book *b = begin(state);
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(b->h, &t);
    size_t n_parents = 0;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < t[i].n_rows; k++) {
            const struct bt_row *r = t[i].row[k];
            if (!r->parent)
                continue;
            const char *slash = strrchr(r->parent, '/');
            const struct bt_row *parent =
                slash ? bt_handbook_row(b->h, r->table,
                                        bt_arena_text_n(b->arena, r->parent,
                                                        (size_t)(slash - r->parent)),
                                        slash + 1)
                      : NULL;
            if (!parent || parent->word)
                complain_row(b, r, "its parent is no row with a figure");
            else if (parent->parent)
                complain_row(b, r, "its parent has a parent itself");
            else if (strcmp(slash + 1, parent->quantity) != 0)
                complain_row(b, r, "its parent is another quantity");
            n_parents++;
        }
    assert_true(n_parents > 10);
    end(b);
}

/* A leaf is named table/key/quantity and taken apart again at the slashes. */
static void keys_hold_no_slash(void **state)
{
    struct book *b = begin(state);
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(b->h, &t);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < t[i].n_rows; k++)
            if (strchr(t[i].row[k]->key, '/'))
                complain_row(b, t[i].row[k], "a slash in its key");
    end(b);
}

/* ---- size ---- */

static void figures_have_their_size(void **state)
{
    struct book *b = begin(state);
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(b->h, &t);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < t[i].n_rows; k++) {
            const struct bt_row *r = t[i].row[k];
            for (size_t s = 0; !r->word && s < N(sizes); s++)
                if (strcmp(sizes[s].table, r->table) == 0 &&
                    strcmp(sizes[s].quantity, r->quantity) == 0 &&
                    !(r->range.low >= sizes[s].least && r->range.high <= sizes[s].most))
                    complain(b, "%s:%u: %s of %s: %g..%g is not in %g..%g", r->at.file,
                             r->at.line, r->quantity, r->key, r->range.low, r->range.high,
                             sizes[s].least, sizes[s].most);
        }
    end(b);
}

static void scopes_are_right(void **state)
{
    struct book *b = begin(state);
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(b->h, &t);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < t[i].n_rows; k++) {
            const struct bt_row *r = t[i].row[k];
            for (size_t s = 0; s < N(scopes); s++)
                if (strcmp(scopes[s].table, r->table) == 0 &&
                    strcmp(scopes[s].quantity, r->quantity) == 0 &&
                    r->scope != scopes[s].scope)
                    complain_row(b, r,
                                 r->scope == BT_SCOPE_BED ? "scope should be garden"
                                                          : "scope should be bed");
        }
    end(b);
}

/* ---- what the model asks for ---- */

static void need(struct book *b, const char *table, const char *key, size_t n,
                 const char *const *quantity)
{
    for (size_t i = 0; i < n; i++)
        if (!bt_handbook_follow(b->h, table, key, quantity[i]))
            complain(b, "tables/%s.csv: %s has no %s, nor has a stand-in", table, key,
                     quantity[i]);
}

static void crops_are_whole(void **state)
{
    static const char *const needed[] = {"yield",
                                         "yield_poor",
                                         "yield_good",
                                         "n_uptake",
                                         "n_removed",
                                         "stand",
                                         "recovery",
                                         "competitive_weight",
                                         "days",
                                         "uptake_midpoint",
                                         "uptake_steepness",
                                         "residue_n",
                                         "form",
                                         "roots"};
    static const char *const in_rows[] = {"in_row"};
    struct book *b = begin(state);
    const char *const *key = NULL;
    const size_t n = bt_handbook_keys(b->h, "crops", &key);
    for (size_t i = 0; i < n; i++) {
        need(b, "crops", key[i], N(needed), needed);
        const char *form = bt_handbook_word(b->h, "crops", key[i], "form");
        if (form && strcmp(form, "cover") != 0) /* which is sown broadcast */
            need(b, "crops", key[i], N(in_rows), in_rows);
        const struct bt_row *up = bt_handbook_follow(b->h, "crops", key[i], "n_uptake");
        const struct bt_row *off = bt_handbook_follow(b->h, "crops", key[i], "n_removed");
        if (up && off && off->range.likely > up->range.likely)
            complain_row(b, off, "more is removed than the plant takes up");
        const struct bt_row *poor = bt_handbook_follow(b->h, "crops", key[i], "yield_poor");
        const struct bt_row *usual = bt_handbook_follow(b->h, "crops", key[i], "yield");
        const struct bt_row *good = bt_handbook_follow(b->h, "crops", key[i], "yield_good");
        if (poor && usual && good &&
            !(poor->range.likely <= usual->range.likely &&
              usual->range.likely <= good->range.likely))
            complain_row(b, usual, "poor, usual and good do not rise");
    }
    end(b);
}

static void legumes_are_whole(void **state)
{
    static const char *const needed[] = {
        "shoot_n",        "below_ground_factor", "ndfa",
        "residue_n",      "nitrate_zero",        "uninoculated_factor",
        "company_factor", "nitrate_reference",   "ndfa_limit"};
    struct book *b = begin(state);
    const char *const *key = NULL;
    const size_t n = bt_handbook_keys(b->h, "legumes", &key);
    for (size_t i = 0; i < n; i++) {
        need(b, "legumes", key[i], N(needed), needed);
        const char *crop = bt_handbook_key(b->h, "crops", key[i]);
        if (!crop || strcmp(crop, key[i]) != 0)
            complain(b, "tables/legumes.csv: %s is not a key of crops.csv", key[i]);
    }
    end(b);
}

static void materials_are_whole(void **state)
{
    static const char *const every[] = {"kind", "n"};
    static const char *const when_dry[] = {"moisture"};
    static const char *const compost[] = {"density", "n_available_1", "n_available_2"};
    static const char *const manure[] = {"density", "ammonium_n", "ammonium_kept",
                                         "ammonium_kept_surface", "n_available_1"};
    static const char *const mulch[] = {"density"};
    static const char *const meal[] = {"n_available_1", "release_rate"};
    static const char *const mineral[] = {"n_available_1"};
    struct book *b = begin(state);
    const char *const *key = NULL;
    const size_t n = bt_handbook_keys(b->h, "materials", &key);
    for (size_t i = 0; i < n; i++) {
        const char *kind = bt_handbook_word(b->h, "materials", key[i], "kind");
        const struct bt_row *r = bt_handbook_follow(b->h, "materials", key[i], "n");
        need(b, "materials", key[i], N(every), every);
        if (r && strcmp(r->basis, "dry") == 0)
            need(b, "materials", key[i], N(when_dry), when_dry);
        if (!kind || (r && r->range.high == 0)) /* nothing to be available */
            continue;
        if (strcmp(kind, "compost") == 0)
            need(b, "materials", key[i], N(compost), compost);
        else if (strcmp(kind, "manure") == 0)
            need(b, "materials", key[i], N(manure), manure);
        else if (strcmp(kind, "mulch") == 0)
            need(b, "materials", key[i], N(mulch), mulch);
        else if (strcmp(kind, "meal") == 0)
            need(b, "materials", key[i], N(meal), meal);
        else if (strcmp(kind, "mineral") == 0)
            need(b, "materials", key[i], N(mineral), mineral);
    }
    end(b);
}

static void rows_asked_for_are_there(void **state)
{
    struct book *b = begin(state);
    for (size_t i = 0; i < N(asked); i++) {
        const struct bt_row *r =
            bt_handbook_row(b->h, asked[i].table, asked[i].key, asked[i].quantity);
        if (!r)
            complain(b, "tables/%s.csv: no %s of %s", asked[i].table, asked[i].quantity,
                     asked[i].key);
    }
    end(b);
}

/* ---- names ---- */

static void names_are_found(void **state)
{
    static const struct {
        const char *table, *written, *want;
    } row[] = {
        {"crops",     "Sweet corn",   "sweet corn"   },
        {"crops",     "tomatoes",     "tomato"       },
        {"crops",     "courgettes",   "summer squash"},
        {"crops",     "zucchini",     "summer squash"},
        {"crops",     "Pole beans",   "pole bean"    },
        {"crops",     "green beans",  "snap bean"    },
        {"crops",     "hairy-vetch",  "hairy vetch"  },
        {"materials", "urea",         "urea"         },
        {"materials", "blood meal",   "blood meal"   },
        {"materials", "Blood_meal",   "blood meal"   },
        {"materials", "wood chip",    "wood chips"   },
        {"soils",     "Silt Loam",    "silt loam"    },
        {"measures",  "wheelbarrows", "wheelbarrow"  },
        {"measures",  "buckets",      "bucket"       },
    };
    struct book *b = begin(state);
    for (size_t i = 0; i < N(row); i++) {
        const char *got = bt_handbook_key(b->h, row[i].table, row[i].written);
        if (!got || strcmp(got, row[i].want) != 0)
            complain(b, "%s: \"%s\" is %s, not %s", row[i].table, row[i].written,
                     got ? got : "nothing", row[i].want);
    }
    end(b);
}

/* At least what the first worked examples are made of. */
static void enough_is_there(void **state)
{
    static const char *const crops[] = {"sweet corn",
                                        "field corn",
                                        "summer squash",
                                        "winter squash",
                                        "pumpkin",
                                        "cucumber",
                                        "tomato",
                                        "kale",
                                        "asparagus",
                                        "basil",
                                        "snap bean",
                                        "pole bean",
                                        "dry bean",
                                        "pea",
                                        "hairy vetch",
                                        "small flower",
                                        "leafy herb",
                                        "woody herb",
                                        "root or bulb herb",
                                        "grass cover",
                                        "legume cover"};
    static const char *const legumes[] = {"snap bean",   "pole bean",      "pea",
                                          "hairy vetch", "crimson clover", "white clover"};
    static const char *const materials[] = {
        "yard compost",    "food compost",   "dairy compost", "poultry compost",
        "cow manure",      "poultry manure", "straw",         "shredded leaves",
        "grass clippings", "wood chips",     "yarrow tops",   "blood meal",
        "feather meal",    "alfalfa meal",   "urea",          "ammonium sulfate"};
    static const struct {
        const char *table;
        size_t n;
        const char *const *key;
    } list[] = {
        {"crops",     N(crops),     crops    },
        {"legumes",   N(legumes),   legumes  },
        {"materials", N(materials), materials}
    };
    struct book *b = begin(state);
    for (size_t i = 0; i < N(list); i++)
        for (size_t k = 0; k < list[i].n; k++) {
            const char *got = bt_handbook_key(b->h, list[i].table, list[i].key[k]);
            if (!got || strcmp(got, list[i].key[k]) != 0)
                complain(b, "tables/%s.csv: no %s", list[i].table, list[i].key[k]);
        }
    end(b);
}

static void what_rests_on_what(void **state)
{
    struct book *b = begin(state);
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(b->h, &t);
    size_t all = 0;
    print_message("%-11s %6s", "table", "rows");
    for (int s = BT_READ; s <= BT_JUDGEMENT; s++)
        print_message(" %9s", bt_seen_word((enum bt_seen)s));
    print_message("\n");
    for (size_t i = 0; i < n && t[i].row; i++) {
        size_t count[BT_JUDGEMENT + 1] = {0};
        for (size_t k = 0; k < t[i].n_rows; k++)
            count[t[i].row[k]->seen]++;
        print_message("%-11s %6zu", t[i].name, t[i].n_rows);
        for (int s = BT_READ; s <= BT_JUDGEMENT; s++)
            print_message(" %9zu", count[s]);
        print_message("\n");
        all += t[i].n_rows;
    }
    assert_true(all > 0);
}

/* What a rule says in words for readers the model reads as a row: the same figure, from the
 * same source. */
static void rules_and_rows_agree(void **state)
{
    static const struct {
        const char *quantity, *topic, *unit, *in_words;
    } same[] = {
        {"manure_wait",            "raw manure", "d",     "120 days" },
        {"manure_wait_off_ground", "raw manure", "d",     "90 days"  },
        {"lead_limit",             "lead",       "mg/kg", "200 mg/kg"},
        {"lead_watch_extract",     "lead",       "mg/kg", "22 mg/kg" },
        {"arsenic_watch",          "arsenic",    "mg/kg", "16 mg/kg" },
        {"cadmium_watch",          "cadmium",    "mg/kg", "2.5 mg/kg"},
    };
    struct book *b = begin(state);
    const struct bt_caution *c;
    const size_t n = bt_handbook_cautions(b->h, &c);
    for (size_t k = 0; k < N(same); k++) {
        const struct bt_row *row = bt_handbook_row(b->h, "soils", "any", same[k].quantity);
        size_t n_agree = 0;
        assert_non_null(row);
        assert_string_equal(row->unit.text, same[k].unit);
        const double figure = strtod(same[k].in_words, NULL);
        check_close(row->range.likely / row->unit.factor, figure, 1e-9, same[k].quantity);
        for (size_t i = 0; i < n; i++)
            n_agree += strcmp(c[i].topic, same[k].topic) == 0 &&
                       strcmp(c[i].source, row->source) == 0 &&
                       strstr(c[i].rule, same[k].in_words);
        if (n_agree == 0)
            complain(b, "soils: no rule about %s says %s", same[k].topic, same[k].in_words);
    }
    end(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_refused),
        cmocka_unit_test(all_tables_are_there),
        cmocka_unit_test(columns_and_marks),
        cmocka_unit_test(every_source_is_used),
        cmocka_unit_test(marks_fit_their_sources),
        cmocka_unit_test(notes_say_from_what),
        cmocka_unit_test(parents_have_no_parents),
        cmocka_unit_test(keys_hold_no_slash),
        cmocka_unit_test(figures_have_their_size),
        cmocka_unit_test(scopes_are_right),
        cmocka_unit_test(crops_are_whole),
        cmocka_unit_test(legumes_are_whole),
        cmocka_unit_test(materials_are_whole),
        cmocka_unit_test(rows_asked_for_are_there),
        cmocka_unit_test(rules_and_rows_agree),
        cmocka_unit_test(names_are_found),
        cmocka_unit_test(enough_is_there),
        cmocka_unit_test(what_rests_on_what),
    };
    return cmocka_run_group_tests_name("tables", tests, read_tables, free_tables) != 0;
}
