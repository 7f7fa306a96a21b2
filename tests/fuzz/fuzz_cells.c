/* Any text as a cell. Accepted is inside the column's limits; refused has an error at the
 * cell's place; what a cleaned copy would hold is read as the same. The first byte chooses
 * the column. */
#include "fuzz.h"

#include <math.h>

static const char *const words[] = {"poor", "usual", "good", "VH"};
static const char *const measures[] = {"bucket", "wheelbarrow", "5-gal bucket"};

static struct bt_accept accept_of(unsigned which)
{
    const struct bt_accept all[] = {
        {.column = "length",       .n_dims = 1,                     .dims = {BT_LENGTH}, .highest = 1000                     },
        {                   .column = "amount",
         .n_dims = 4,
         .dims = {BT_MASS, BT_VOLUME, BT_LENGTH, BT_MASS_PER_AREA},
         .highest = HUGE_VAL,
         .n_measures = 3,
         .measures = measures},
        {                                                                                                                     .column = "n",
         .n_dims = 1,
         .dims = {BT_FRACTION},
         .bare_percent = true,
         .highest = 1},
        {                                                                                                                             .column = "phosphorus",
         .n_dims = 2,
         .dims = {BT_FRACTION, BT_MASS_PER_AREA},
         .highest = HUGE_VAL,
         .n_words = 4,
         .words = words},
        {                                                                                                                             .column = "ph",                        .bare_number = true,                                          .highest = 14                  },
        {.column = "price",     .bare_number = true,             .lowest = -HUGE_VAL,      .highest = 1e9},
        {                            .column = "mean_temperature",
         .n_dims = 1,
         .dims = {BT_TEMPERATURE},
         .lowest = -30,
         .highest = 40},
        {                                                                                                       .column = "length",
         .n_dims = 1,
         .dims = {BT_LENGTH},
         .header_unit = "ft",
         .highest = 1000},
    };
    return all[which % (sizeof all / sizeof *all)];
}

struct desk {
    struct bt_arena *arena;
    struct bt_diag *diag;
    struct bt_fixes fixes;
    struct bt_reader reader;
};

static struct desk desk_of(unsigned how)
{
    struct desk k = {.arena = fuzz_arena()};
    k.diag = bt_diag_new(k.arena);
    k.fixes.arena = bt_arena_beside(k.arena);
    k.reader = (struct bt_reader){.arena = k.arena,
                                  .diag = k.diag,
                                  .units = fuzz_book()->units,
                                  .month_first = (how & 8U) != 0,
                                  .decimal_comma = (how & 16U) != 0};
    return k;
}

static struct bt_cell cell_of(const char *text)
{
    return (struct bt_cell){
        text, {"t.csv", 3, 5, 3, 2}
    };
}

/* An error, and at the cell. */
static void check_refused(const struct desk *k, bool ok)
{
    EXPECT(ok || bt_diag_count(k->diag, BT_ERROR) > 0);
    EXPECT(!ok || bt_diag_count(k->diag, BT_ERROR) == 0);
    for (size_t i = 0; i < bt_diag_kept(k->diag); i++)
        EXPECT(bt_diag_get(k->diag, i)->at.line == 3);
    fuzz_check_messages(k->arena, k->diag);
}

static void check_quantity(const struct bt_quantity *q, const struct bt_accept *accept)
{
    const struct bt_range *r = &q->range;
    if (q->presence != BT_GIVEN || q->word || q->bound == BT_NOT_DETECTED)
        return;
    EXPECT(isfinite(r->low) && isfinite(r->likely) && isfinite(r->high));
    EXPECT(r->low <= r->likely && r->likely <= r->high);
    EXPECT(r->low >= accept->lowest && r->high <= accept->highest);
    EXPECT(q->unit.factor > 0 && isfinite(q->unit.factor));
}

static bool close_to(double a, double b)
{
    return fabs(a - b) <= 1e-9 * (fabs(a) + fabs(b)) + 1e-300;
}

/* The cleaned cell says the same, and nothing is left to clean. */
static void check_cleaned(const struct bt_quantity *q, const struct bt_accept *accept,
                          const char *clean)
{
    struct desk k = desk_of(0);
    const struct bt_cell cell = cell_of(clean);
    struct bt_quantity again;
    k.reader.fixes = &k.fixes;
    EXPECT(bt_read_quantity(&k.reader, &cell, accept, &again));
    EXPECT(again.presence == q->presence && again.bound == q->bound);
    EXPECT(close_to(again.range.low, q->range.low));
    EXPECT(close_to(again.range.high, q->range.high));
    EXPECT(k.fixes.n == 0);
    bt_arena_free(k.arena);
}

static void as_quantity(const char *text, unsigned how)
{
    const struct bt_accept accept = accept_of(how);
    const struct bt_cell cell = cell_of(text);
    struct desk k = desk_of(how);
    struct bt_quantity q;
    k.reader.fixes = &k.fixes;
    const bool ok = bt_read_quantity(&k.reader, &cell, &accept, &q);
    check_refused(&k, ok);
    check_quantity(&q, &accept);
    if (ok && k.fixes.n)
        check_cleaned(&q, &accept, k.fixes.fix[0].to);
    bt_arena_free(k.arena);
}

static void as_others(const char *text, unsigned how)
{
    const struct bt_cell cell = cell_of(text);
    struct desk k = desk_of(how);
    struct bt_count count;
    check_refused(&k, bt_read_count(&k.reader, &cell, "plants", &count));
    EXPECT(count.presence != BT_GIVEN || (count.groups >= 1 && count.each >= 1));
    bt_arena_free(k.arena);
    k = desk_of(how);
    struct bt_rows rows;
    check_refused(&k, bt_read_rows(&k.reader, &cell, "rows", &rows));
    EXPECT(rows.presence != BT_GIVEN || (rows.rows >= 1 && rows.length_m > 0));
    bt_arena_free(k.arena);
    k = desk_of(how);
    struct bt_layer layer;
    check_refused(&k, bt_read_layer(&k.reader, &cell, "depth", &layer));
    EXPECT(layer.presence != BT_GIVEN ||
           (layer.top_m >= 0 && layer.bottom_m >= layer.top_m));
    bt_arena_free(k.arena);
}

static void as_dates(const char *text, unsigned how)
{
    const struct bt_cell cell = cell_of(text);
    struct desk k = desk_of(how);
    struct bt_date date, *dates;
    size_t n;
    k.reader.fixes = &k.fixes;
    const bool ok = bt_read_date(&k.reader, &cell, "date", &date);
    check_refused(&k, ok);
    EXPECT(!date.known || (date.width_d >= 0 && date.width_d <= 366));
    if (ok && date.known && k.fixes.n) {
        struct desk again = desk_of(how);
        const struct bt_cell clean = cell_of(k.fixes.fix[0].to);
        struct bt_date same;
        EXPECT(bt_read_date(&again.reader, &clean, "date", &same));
        EXPECT(same.day == date.day && same.width_d == date.width_d);
        bt_arena_free(again.arena);
    }
    bt_arena_free(k.arena);
    k = desk_of(how);
    check_refused(&k, bt_read_dates(&k.reader, &cell, "date", &n, &dates));
    EXPECT(n <= 300);
    bt_arena_free(k.arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t n) /* NOLINT: its name */
{
    if (n < 1 || n > 1000)
        return -1;
    char *text = malloc(n);
    EXPECT(text);
    memcpy(text, data + 1, n - 1);
    text[n - 1] = '\0';
    const size_t length = strlen(text);
    bool is_text = true;
    for (size_t i = 0; i < length && is_text;) {
        const size_t k = bt_utf8_length(text + i, length - i);
        is_text = k > 0;
        i += k;
    }
    if (is_text) { /* the CSV reader lets nothing else through */
        as_quantity(text, data[0]);
        as_others(text, data[0]);
        as_dates(text, data[0]);
    }
    free(text);
    return 0;
}
