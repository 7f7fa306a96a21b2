/* Any bytes as a CSV file, plain and as each of the garden's files. What is read is a
 * table of UTF-8 texts inside the limits, in the order of its lines; what is not has an
 * error. The last byte chooses the file. */
#include "fuzz.h"
#include "input/layout.h"

static void check_cell(const struct bt_cell *c)
{
    const size_t n = strlen(c->text);
    EXPECT(n <= 4000);
    for (size_t i = 0; i < n;) {
        const size_t length = bt_utf8_length(c->text + i, n - i);
        EXPECT(length > 0);
        i += length;
    }
    EXPECT(c->at.line > 0 && c->at.row > 0 && c->at.field > 0);
}

static void check_table(const struct bt_csv *csv)
{
    unsigned line = csv->header.at.line;
    EXPECT(line > 0);
    for (size_t r = 0; r < csv->n_rows; r++) {
        const struct bt_row_cells *row = &csv->row[r];
        EXPECT(row->n == csv->header.n);
        EXPECT(row->at.line > line || (r == 0 && row->at.line >= line));
        line = row->at.line;
        for (size_t i = 0; i < row->n; i++)
            check_cell(&row->cell[i]);
    }
}

static void read_plain(const char *bytes, size_t n)
{
    struct bt_arena *a = fuzz_arena();
    struct bt_diag *d = bt_diag_new(a);
    struct bt_csv csv;
    if (bt_csv_read_bytes(a, d, bytes, n, "t.csv", &csv))
        check_table(&csv);
    else
        EXPECT(bt_diag_count(d, BT_ERROR) > 0);
    fuzz_check_messages(a, d);
    bt_arena_free(a);
}

static void read_laid_out(const char *bytes, size_t n, unsigned which)
{
    static const char *const names[] = {"garden", "beds",      "plantings",    "soil_tests",
                                        "water",  "materials", "applications", "measures"};
    struct bt_arena *a = fuzz_arena();
    struct bt_diag *d = bt_diag_new(a);
    struct bt_fixes fixes = {.arena = bt_arena_beside(a)};
    struct bt_layout how = {.units = fuzz_book()->units, .fixes = &fixes};
    struct bt_csv csv;
    how.file.name = names[which % (sizeof names / sizeof *names)];
    how.file.n_columns = bt_garden_columns(how.file.name, &how.file.column);
    if (bt_csv_records(a, d, bytes, n, "t.csv", &csv) &&
        bt_layout_apply(a, d, &how, &csv)) {
        check_table(&csv);
        bt_fixes_apply(&fixes);
    } else {
        EXPECT(bt_diag_count(d, BT_ERROR) > 0);
    }
    fuzz_check_messages(a, d);
    bt_arena_free(a);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t n) /* NOLINT: its name */
{
    /* a block of its very size, so that a byte too far is seen */
    char *bytes = malloc(n ? n : 1);
    EXPECT(bytes);
    if (n)
        memcpy(bytes, data, n);
    read_plain(bytes, n);
    read_laid_out(bytes, n, n ? data[n - 1] : 0);
    free(bytes);
    return 0;
}
