/* applications.csv and the plan file: what was or will be put where and when. Rows with
 * `every` or several years become single applications. */
#include "input/garden_read.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

/* ---- dates ---- */

static size_t refuse(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                     const char *expected, const char *hint)
{
    bt_gr_error(g, cell, column, expected, hint);
    return 1; /* the row still counts once, so that the rest of it is looked at */
}

/* The dates of a row with `every`; at least one. */
static size_t repeat(struct bt_gr *g, const struct bt_gfile *f, size_t row, double every_d,
                     struct bt_date **date)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_AP_EVERY);
    const struct bt_cell end = bt_gfile_cell(f, row, BT_AP_UNTIL);
    struct bt_date until;
    if (!*end.text)
        return refuse(g, &end, "until", "the last day of a row with every", NULL);
    if (!bt_gr_date(g, &end, "until", &until) || !until.known)
        return 1;
    const struct bt_date first = (*date)[0];
    const int step = (int)lround(every_d);
    if (step < 1)
        return refuse(g, &cell, "every", "at least one day", NULL);
    if (until.day < first.day)
        return refuse(g, &end, "until", "a day after the row's date", NULL);
    const int n = (until.day - first.day) / step + 1;
    if (n > BT_PART_LIMIT)
        return refuse(g, &cell, "every",
                      bt_arena_format(g->arena,
                                      "at most %d applications a row, this makes %d",
                                      BT_PART_LIMIT, n),
                      NULL);
    *date = bt_arena_alloc(g->arena, (size_t)n * sizeof **date);
    for (int k = 0; k < n; k++)
        (*date)[k] = (struct bt_date){true, first.day + k * step, first.width_d};
    return (size_t)n;
}

/* All dates of a row; 0 with a message when it has none. */
static size_t dates_of(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                       struct bt_date **date)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_AP_DATE);
    const struct bt_cell every_cell = bt_gfile_cell(f, row, BT_AP_EVERY);
    const struct bt_cell until = bt_gfile_cell(f, row, BT_AP_UNTIL);
    struct bt_quantity every;
    size_t n = 0;
    bt_gfile_quantity(g, f, row, BT_AP_EVERY, bt_accept_dims(1, &BT_TIME, 0, HUGE_VAL),
                      &every);
    if (!*cell.text) {
        bt_gr_error(g, &cell, "date", "the day, month or year it was or will be put on",
                    NULL);
        return 0;
    }
    if (!bt_read_dates(&g->cells, &cell, "date", &n, date) || n == 0)
        return 0;
    if (n > BT_PART_LIMIT)
        return refuse(g, &cell, "date",
                      bt_arena_format(g->arena, "at most %d dates a row", BT_PART_LIMIT),
                      NULL);
    if (every.presence == BT_GIVEN && n > 1)
        return refuse(g, &every_cell, "every", "nothing beside several years in date",
                      NULL);
    if (every.presence == BT_GIVEN)
        return repeat(g, f, row, every.range.likely, date);
    if (*until.text && !*every_cell.text)
        bt_gr_error(g, &until, "until",
                    "nothing, or every as well: every 2 weeks until that day", NULL);
    return n;
}

/* ---- material and amount ---- */

static bool read_material(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                          struct bt_application *x)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_AP_MATERIAL);
    if (!*cell.text)
        return bt_gr_error(g, &cell, "material", "the name of a material", NULL);
    x->written = bt_gr_tidy(g->arena, cell.text);
    x->own = bt_gr_own_material(g, cell.text);
    if (x->own) {
        x->material = x->own->like;
        return true;
    }
    x->material = bt_handbook_key(g->handbook, "materials", cell.text);
    return x->material ||
           bt_gr_unknown(
               g, "materials", &cell, "material",
               "give it a row in materials.csv, with the material of the handbook that it "
               "follows in `like`");
}

static bool is_counted_per(const char *per)
{
    return strcmp(per, "plant") == 0 || strcmp(per, "mound") == 0 ||
           strcmp(per, "pot") == 0;
}

static void read_amount(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                        struct bt_application *x)
{
    const struct bt_dim dims[] = {BT_MASS, BT_VOLUME, BT_LENGTH, BT_MASS_PER_AREA};
    struct bt_accept a = bt_accept_dims(4, dims, 0, HUGE_VAL);
    struct bt_quantity *q = &x->amount;
    bt_gr_accept_measures(g, &a);
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_AP_AMOUNT);
    if (!*cell.text) {
        bt_gr_error(g, &cell, "amount", "an amount, none, or not recorded",
                    "as 3 buckets, 40 lb, 0.5 in, 2 lb/100 sq ft or 1/2 cup/plant");
        return;
    }
    struct bt_beside beside = {0, x->written, x->material, x->own};
    for (size_t i = 0; i < x->n_beds; i++)
        beside.area_m2 += g->garden->bed[x->bed[i]].area_m2;
    a.column = f->column[BT_AP_AMOUNT];
    a.header_unit = f->header_unit[BT_AP_AMOUNT];
    if (!bt_gr_amount(g, &cell, &a, &beside, q) || q->presence != BT_GIVEN)
        return;
    const bool per_bed_area =
        bt_dim_same(q->unit.dim, BT_LENGTH) || bt_dim_same(q->unit.dim, BT_MASS_PER_AREA);
    if (q->unit.per && (per_bed_area || !is_counted_per(q->unit.per))) {
        bt_gr_error(g, &q->cell, "amount", "a weight or volume per plant, mound or pot",
                    NULL);
        q->presence = BT_BLANK;
        return;
    }
    bt_gr_measure(g, q, "amount", x->written, x->material, &x->measure_working);
}

/* ---- a row ---- */

/* Ordinal of this material among the rows of its beds, and the id; both the same for all
 * parts. */
static void identify(struct bt_gr *g, struct bt_application *x, const char *beds)
{
    const char *name = bt_text_key(g->arena, bt_deed_label(x));
    size_t highest = 0;
    for (int pass = 0; pass < 2;
         pass++) /* find the highest, then write it to all its beds */
        for (size_t i = 0; i < x->n_beds; i++) {
            const char *key = bt_arena_format(g->arena, "%zu/%s", x->bed[i], name);
            const size_t last = bt_names_get(&g->applications, key);
            if (pass == 1)
                bt_names_set(g->arena, &g->applications, key, highest + 1);
            else if (last != BT_NO_NAME && last > highest)
                highest = last;
        }
    x->ordinal = (unsigned)highest + 1;
    x->id = bt_arena_format(g->arena, "%s/%s %u", beds, x->written, x->ordinal);
}

static void read_taken_from(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                            struct bt_application *x)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_AP_TAKEN_FROM);
    x->taken_from_index = BT_NO_NAME;
    if (!*cell.text)
        return;
    x->taken_from_index = bt_gr_one_bed(g, &cell, "taken_from");
    if (x->taken_from_index != BT_NO_NAME)
        x->taken_from = &g->garden->bed[x->taken_from_index];
}

static void keep(struct bt_gr *g, const struct bt_application *x, bool status_given)
{
    struct bt_garden *b = g->garden;
    b->application = bt_arena_grow(g->arena, b->application, &g->application_capacity,
                                   b->n_applications, sizeof *b->application);
    g->application_status_given =
        bt_arena_grow(g->arena, g->application_status_given, &g->status_capacity,
                      b->n_applications, sizeof *g->application_status_given);
    b->application[b->n_applications] = *x;
    g->application_status_given[b->n_applications++] = status_given;
}

static void read_application(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                             bool is_advice)
{
    struct bt_application x = {.is_advice = is_advice, .at = f->csv.row[row].at};
    const struct bt_cell beds = bt_gfile_cell(f, row, BT_AP_BEDS);
    struct bt_date *date = NULL;
    const size_t n = dates_of(g, f, row, &date);
    const bool has_beds = bt_gr_beds(g, &beds, "beds", &x.n_beds, &x.bed);
    const bool has_material = read_material(g, f, row, &x);
    read_amount(g, f, row, &x);
    x.placement = (enum bt_placement)(
        bt_gfile_word(g, f, row, BT_AP_PLACEMENT, &bt_words_placement) + 1);
    read_taken_from(g, f, row, &x);
    const int status = bt_gfile_word(g, f, row, BT_AP_STATUS, &bt_words_status);
    x.status = status == 1 || (status < 0 && is_advice) ? BT_PLANNED : BT_DONE;
    if (n == 0 || !has_beds || !has_material || x.n_beds == 0)
        return;
    identify(g, &x, bt_gr_tidy(g->arena, beds.text));
    x.n_parts = (unsigned)n;
    for (size_t k = 0; k < n; k++) {
        x.date = date[k];
        x.part = (unsigned)k + 1;
        keep(g, &x, status >= 0);
    }
}

void bt_garden_read_applications(struct bt_gr *g, const struct bt_gfile *f, bool is_advice)
{
    for (size_t r = 0; r < f->csv.n_rows; r++)
        if (!bt_gfile_row_blank(f, r))
            read_application(g, f, r, is_advice);
}
