/* CSV: cells with their places, recovery after broken records, limits, files that cannot be
 * read. Expected values are by RFC 4180 and by the rules in src/input/csv.h. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "check.h"
#include "input/csv.h"

static struct bt_arena *arena(void)
{
    return bt_arena_new(64, NULL, NULL);
}

/* "ROW> text@line:column|...\n" for the header and every row. */
static char *drawn(struct bt_arena *a, const struct bt_csv *csv)
{
    char *s = bt_arena_text(a, "");
    for (size_t i = 0; i <= csv->n_rows; i++) {
        const struct bt_row_cells *row = i ? &csv->row[i - 1] : &csv->header;
        s = bt_arena_format(a, "%s%u>", s, row->at.row);
        for (size_t k = 0; k < row->n; k++) {
            const struct bt_cell *c = &row->cell[k];
            assert_int_equal(c->at.field, k + 1);
            assert_int_equal(c->at.row, row->at.row);
            s = bt_arena_format(a, "%s%s%s@%u:%u", s, k ? "|" : " ", c->text, c->at.line,
                                c->at.column);
        }
        s = bt_arena_format(a, "%s\n", s);
    }
    return s;
}

static char *messages(struct bt_arena *a, const struct bt_diag *d)
{
    char *s = bt_arena_text(a, "");
    for (size_t i = 0; i < bt_diag_kept(d); i++)
        s = bt_arena_format(a, "%s%s\n", s, bt_message_text(a, bt_diag_get(d, i)));
    return s;
}

#define INCH_HINT                                                                          \
    "\n  hint: write inch marks as in, or the whole cell in double quotes with each of "   \
    "its "                                                                                 \
    "own doubled\n"
#define AS_THEY_STAND "\n  hint: the double quotes in this line were read as they stand\n"
#define COMMA_HINT    "\n  hint: a cell that holds a comma must stand in double quotes\n"

/* clang-format off */
/* `want` NULL: cannot be read at all. */
static struct row {
    const char *name, *bytes, *want, *messages;
    size_t n; /* 0: strlen(bytes) */
} rows[] = {
    {"plain", "a,b\n1,2\n3,4\n", "1> a@1:1|b@1:3\n2> 1@2:1|2@2:3\n3> 3@3:1|4@3:3\n", "", 0},
    {"no final line end", "a,b\n1,2", "1> a@1:1|b@1:3\n2> 1@2:1|2@2:3\n", "", 0},
    {"header alone", "a,b\n", "1> a@1:1|b@1:3\n", "", 0},
    {"CRLF is one line end", "a,b\r\n1,2\r\n3,4", "1> a@1:1|b@1:3\n2> 1@2:1|2@2:3\n3> 3@3:1|4@3:3\n",
     "", 0},
    {"CR alone is a line end", "a,b\r1,2\r3,4\r", "1> a@1:1|b@1:3\n2> 1@2:1|2@2:3\n3> 3@3:1|4@3:3\n",
     "", 0},
    {"line ends mixed", "a\r1\n2\r\n3", "1> a@1:1\n2> 1@2:1\n3> 2@3:1\n4> 3@4:1\n", "", 0},
    {"byte order mark", "\xEF\xBB\xBF" "a,b\n1,2\n", "1> a@1:1|b@1:3\n2> 1@2:1|2@2:3\n", "", 0},
    {"byte order mark before a quote", "\xEF\xBB\xBF\"a\",b\n", "1> a@1:1|b@1:5\n", "", 0},
    {"columns count characters", "a,b,c\n\xC3\xA4\xC3\xB6,\xE2\x82\xAC" "5,x\n",
     "1> a@1:1|b@1:3|c@1:5\n2> \xC3\xA4\xC3\xB6@2:1|\xE2\x82\xAC" "5@2:4|x@2:7\n", "", 0},
    {"a field begins where its text does", "a,b\n  1 ,\t2\n", "1> a@1:1|b@1:3\n2> 1@2:3|2@2:7\n", "",
     0},
    {"a blank field begins after the comma", "a,b,c\n1,  ,3\n",
     "1> a@1:1|b@1:3|c@1:5\n2> 1@2:1|@2:3|3@2:6\n", "", 0},
    {"no-break spaces are trimmed", "a,b\n\xC2\xA0" "1\xE2\x80\xAF,2\n",
     "1> a@1:1|b@1:3\n2> 1@2:1|2@2:5\n", "", 0},
    {"blanks inside quotes are trimmed too", "a\n\"  1  \"\n", "1> a@1:1\n2> 1@2:1\n", "", 0},
    {"quoted commas and doubled quotes", "a,b\n\"Bean, pole\",\"the \"\"Wonder\"\"\"\n",
     "1> a@1:1|b@1:3\n2> Bean, pole@2:1|the \"Wonder\"@2:14\n", "", 0},
    {"a quoted line end is no row", "a,b\n\"x\r\ny\",2\n3,4\n",
     "1> a@1:1|b@1:3\n2> x\r\ny@2:1|2@3:4\n3> 3@4:1|4@4:3\n", "", 0},
    {"an empty quoted cell", "a,b\n\"\",2\n", "1> a@1:1|b@1:3\n2> @2:1|2@2:4\n", "", 0},
    {"empty rows are left out and counted", "a,b\n,,,\n\n   \n1,2\n\r\n , \n3,4\n",
     "1> a@1:1|b@1:3\n5> 1@5:1|2@5:3\n8> 3@8:1|4@8:3\n", "", 0},
    {"lines before the header may be empty", "\n,,\na,b\n1,2\n", "3> a@3:1|b@3:3\n4> 1@4:1|2@4:3\n",
     "", 0},
    {"columns without a name at the end", "a,b,,,\n1,2,,,\n1,2,,,,,\n",
     "1> a@1:1|b@1:3\n2> 1@2:1|2@2:3\n3> 1@3:1|2@3:3\n", "", 0},
    {"a short row is filled up", "a,b,c\n1\n", "1> a@1:1|b@1:3|c@1:5\n2> 1@2:1|@2:2|@2:2\n", "", 0},
    {"a long row", "a,b\n1,2,,x,y\n3,4\n", "1> a@1:1|b@1:3\n2> 1@2:1|2@2:3\n3> 3@3:1|4@3:3\n",
     "t.csv:2:6: error: row: expected 2 cells, as in the header, found \"x\" (row 2, column D)"
     COMMA_HINT, 0},
    {"bare inch marks are read as they stand", "bed,len,dep\nHerb,4'6\",10\"\nB,1,2\n",
     "1> bed@1:1|len@1:5|dep@1:9\n2> Herb@2:1|4'6\"@2:6|10\"@2:11\n3> B@3:1|1@3:3|2@3:5\n",
     "t.csv:2:1: note: record: found \"Herb,4'6\",10\"\" (row 2)" AS_THEY_STAND, 0},
    {"bare inch marks at the end of the file", "a,b\n1,10\"", "1> a@1:1|b@1:3\n2> 1@2:1|10\"@2:3\n",
     "t.csv:2:1: note: record: found \"1,10\"\" (row 2)" AS_THEY_STAND, 0},
    {"text after a closing quote", "a,b\n\"Old\" trough,5\n3,4\n", "1> a@1:1|b@1:3\n3> 3@3:1|4@3:3\n",
     "t.csv:2:1: error: record: expected nothing after the closing double quote, found \"\"Old\" "
     "trough,5\" (row 2, column A)" INCH_HINT, 0},
    {"an inch mark beside a quoted cell", "a,b\n\"x, y\",4'6\"\n3,4\n",
     "1> a@1:1|b@1:3\n3> 3@3:1|4@3:3\n",
     "t.csv:2:8: error: record: expected no double quote inside a cell that has none around it, "
     "found \"4'6\"\" (row 2, column B)" INCH_HINT, 0},
    {"a quote never closed loses one line", "a,b\n1,\"x\n3,4\n5,6\n",
     "1> a@1:1|b@1:3\n3> 3@3:1|4@3:3\n4> 5@4:1|6@4:3\n",
     "t.csv:2:3: error: record: expected a double quote that closes again, found \"\"x\" (row 2, "
     "column B)" INCH_HINT, 0},
    {"a quote closed by a later line", "a,b\n1,\"x\n3,\"4\"\n5,6\n",
     "1> a@1:1|b@1:3\n3> 3@3:1|4@3:3\n4> 5@4:1|6@4:3\n",
     "t.csv:2:3: error: record: expected a double quote that closes again, found \"\"x\" (row 2, "
     "column B)" INCH_HINT, 0},
    {"the line of the record is blamed", "a,b\n\"x\ny\",4\"\n5,6\n",
     "1> a@1:1|b@1:3\n3> y\"@3:1|4\"@3:4\n4> 5@4:1|6@4:3\n",
     "t.csv:2:1: error: record: expected no double quote inside a cell that has none around it, "
     "found \"\"x\" (row 2)" INCH_HINT
     "t.csv:3:1: note: record: found \"y\",4\"\" (row 3)" AS_THEY_STAND, 0},
    {"a broken header", "a,\"b\"c\n1,2\n", NULL,
     "t.csv:1:3: error: record: expected nothing after the closing double quote, found \"\"b\"c\" "
     "(row 1, column B)" INCH_HINT, 0},
    {"a control character", "a,b\n1,x\x07y\n3,4\n", "1> a@1:1|b@1:3\n3> 3@3:1|4@3:3\n",
     "t.csv:2:3: error: record: expected text without control characters, found \"the character "
     "0x07\" (row 2, column B)\n  hint: type the cell again\n", 0},
    {"a control character beyond ASCII", "a,b\n\xC2\x85,2\n3,4\n", "1> a@1:1|b@1:3\n3> 3@3:1|4@3:3\n",
     "t.csv:2:1: error: record: expected text without control characters, found \"the character "
     "0x85\" (row 2, column A)\n  hint: type the cell again\n", 0},
    {"a NUL byte", "a,b\n1,\0\n", NULL,
     "t.csv:2:3: error: file: expected text in UTF-8, found \"a NUL byte\"\n  hint: this is not "
     "text; save the table again as CSV UTF-8\n", 8},
    {"UTF-16, low byte first", "\xFF\xFE" "a\0,\0b\0\n\0" "1\0,\0\xBD\0\n", "1> a@1:1|b@1:3\n2> 1@2:1|\xC2\xBD@2:3\n",
     "t.csv:1: note: read as UTF-16 (\"Unicode text\")\n", 18},
    {"UTF-16, high byte first", "\xFE\xFF\0a\0\r\0\n\x26\x03", "1> a@1:1\n2> \xE2\x98\x83@2:1\n",
     "t.csv:1: note: read as UTF-16 (\"Unicode text\")\n", 10},
    {"UTF-16 without a mark", "a\0,\0b\0\n\0" "1\0,\0" "2\0\n", "1> a@1:1|b@1:3\n2> 1@2:1|2@2:3\n",
     "t.csv:1: note: read as UTF-16 (\"Unicode text\"), though it has no mark\n", 16},
    {"UTF-16 beyond its first plane", "\xFF\xFE" "a\0\n\0\x3C\xD8\x31\xDF", "1> a@1:1\n2> \xF0\x9F\x8C\xB1@2:1\n",
     "t.csv:1: note: read as UTF-16 (\"Unicode text\")\n", 10},
    {"UTF-16, half a pair", "\xFF\xFE" "a\0\n\0\x00\xDC" "b\0", NULL,
     "t.csv:2:1: error: file: expected text in UTF-8, found \"half a character of UTF-16\"\n  hint: save "
     "the file again as CSV UTF-8\n", 10},
    {"UTF-16, an odd byte", "\xFF\xFE" "a\0\n\0" "1", NULL,
     "t.csv:2:1: error: file: expected text in UTF-8, found \"a character cut off at the end\"\n  hint: save "
     "the file again as CSV UTF-8\n", 7},
    {"Windows-1252", "a,b\r\nx,1\xBD\x80\r\n", "1> a@1:1|b@1:3\n2> x@2:1|1\xC2\xBD\xE2\x82\xAC@2:3\n",
     "t.csv:2:4: note: read as Windows-1252 (\"ANSI\"); this is its first character: \xC2\xBD\n", 0},
    {"a byte that Windows-1252 has not", "a\n\xBD\n\x81\n", NULL,
     "t.csv:3:1: error: file: expected text in UTF-8, found \"the byte 0x81\"\n  hint: save the file "
     "again as CSV UTF-8\n", 0},
    {"UTF-8 and something else", "a\n\xC2\xBD\n\xBD\n", NULL,
     "t.csv:3:1: error: file: expected text in UTF-8, found \"the byte 0xBD\"\n  hint: the file has "
     "characters in UTF-8 and in another encoding; look at this one and save the file again as CSV "
     "UTF-8\n", 0},
    {"a character cut off", "a\n\xE2\x82", NULL,
     "t.csv:2:1: error: file: expected text in UTF-8, found \"a character cut off at the end\"\n  hint: "
     "the file is not whole\n", 0},
    {"semicolons", "Beet;Breite;Note\n1;2;a, b\n", "1> Beet@1:1|Breite@1:6|Note@1:13\n2> 1@2:1|2@2:3|a, b@2:5\n",
     "t.csv:1: note: read with semicolons between the cells\n", 0},
    {"semicolons and decimal commas", "Beet;Breite\n1;2,5\n", "1> Beet@1:1|Breite@1:6\n2> 1@2:1|2,5@2:3\n",
     "t.csv:1: note: read with semicolons between the cells, and with decimal commas\n", 0},
    {"a line that names the sign", "sep=;\r\na;b\r\n1,5;2\r\n", "1> a@2:1|b@2:3\n2> 1,5@3:1|2@3:5\n",
     "t.csv:2: note: read with semicolons between the cells, and with decimal commas\n", 0},
    {"the sign named against the looks", "sep=,\na;b,c\n", "1> a;b@2:1|c@2:5\n", "", 0},
    {"tabs", "bed\tcrop\nA\tcorn, late\n \tx\n", "1> bed@1:1|crop@1:5\n2> A@2:1|corn, late@2:3\n3> @3:1|x@3:3\n",
     "t.csv:1: note: read with tabs between the cells\n", 0},
    {"lists in cells are no columns", "beds,crop\nA1; A2; A3,corn\nB1; B2; B3,kale\n",
     "1> beds@1:1|crop@1:6\n2> A1; A2; A3@2:1|corn@2:12\n3> B1; B2; B3@3:1|kale@3:12\n", "", 0},
    {"one column of lists", "beds\nA1; A2\nB1; B2\n", "1> beds@1:1\n2> A1; A2@2:1\n3> B1; B2@3:1\n", "", 0},
    {"nothing in the file", "", NULL,
     "t.csv: error: header: expected a first row with the names of the columns\n", 0},
    {"nothing but blanks", " \r\n,,\n", NULL,
     "t.csv: error: header: expected a first row with the names of the columns\n", 0},
};
/* clang-format on */

static void read_row(void **state)
{
    const struct row *row = *state;
    struct bt_arena *a = arena();
    struct bt_diag *d = bt_diag_new(a);
    struct bt_csv csv;
    const size_t n = row->n ? row->n : strlen(row->bytes);
    const bool ok = bt_csv_read_bytes(a, d, row->bytes, n, "t.csv", &csv);
    assert_string_equal(messages(a, d), row->messages);
    assert_int_equal(ok, row->want != NULL);
    if (ok)
        assert_string_equal(drawn(a, &csv), row->want);
    bt_arena_free(a);
}

/* --- limits --- */

/* Copies the characters without the NUL. */
static void put(char *to, const char *from)
{
    while (*from)
        *to++ = *from++;
}

static char *filled(struct bt_arena *a, const char *before, char c, size_t n,
                    const char *after)
{
    char *s = bt_arena_alloc(a, strlen(before) + n + strlen(after) + 1);
    memcpy(s, before, strlen(before) + 1);
    memset(s + strlen(before), c, n);
    memcpy(s + strlen(before) + n, after, strlen(after) + 1);
    return s;
}

static void long_cells(void **state)
{
    (void)state;
    struct bt_arena *a = arena();
    struct bt_diag *d = bt_diag_new(a);
    struct bt_csv csv;
    const char *most = filled(a, "a,b\n", 'x', 1000, ",2\n");
    assert_true(bt_csv_read_bytes(a, d, most, strlen(most), "t.csv", &csv));
    assert_int_equal(strlen(csv.row[0].cell[0].text), 1000);
    assert_int_equal(bt_diag_kept(d), 0);
    const char *more = filled(a, "a,b\n1,", 'x', 1001, "\n3,4\n");
    assert_true(bt_csv_read_bytes(a, d, more, strlen(more), "t.csv", &csv));
    assert_int_equal(csv.n_rows, 1);
    assert_string_equal(
        messages(a, d),
        "t.csv:2:3: error: record: expected at most 1,000 bytes in a cell, found "
        "\"xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx...\" (row 2, column B)\n");
    bt_arena_free(a);
}

/* A quote that swallows more than a cell may hold is given up there, not at the end of the
 * file. */
static void swallowing_quote(void **state)
{
    (void)state;
    struct bt_arena *a = arena();
    struct bt_diag *d = bt_diag_new(a);
    struct bt_csv csv;
    const char *text = filled(a, "a,b\n1,\"x\n", '\n', 3000, "3,4\n");
    assert_true(bt_csv_read_bytes(a, d, text, strlen(text), "t.csv", &csv));
    assert_int_equal(csv.n_rows, 1);
    assert_int_equal(csv.row[0].at.line, 3003);
    assert_int_equal(csv.row[0].at.row, 3003);
    assert_string_equal(
        messages(a, d),
        "t.csv:2:3: error: record: expected at most 1,000 bytes in a cell, found "
        "\"\"x\" (row 2, column B)\n  hint: is the double quote at its beginning "
        "never closed?\n");
    bt_arena_free(a);
}

/* All records broken in turn: each is found, and reading stays linear. */
static void many_broken(void **state)
{
    (void)state;
    struct bt_arena *a = arena();
    struct bt_diag *d = bt_diag_new(a);
    struct bt_csv csv;
    char *text = filled(a, "a,b\n", ' ', 400000, "");
    for (size_t i = 0; i < 50000; i++)
        put(text + 4 + 8 * i, i % 2 ? "\"x\"y,12\n" : "\"xy,123\n");
    assert_true(bt_csv_read_bytes(a, d, text, strlen(text), "t.csv", &csv));
    assert_int_equal(csv.n_rows, 0);
    assert_int_equal(bt_diag_count(d, BT_ERROR), 50000);
    bt_arena_free(a);
}

static void many_rows(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(1 << 20, NULL, NULL);
    struct bt_diag *d = bt_diag_new(a);
    struct bt_csv csv;
    const size_t n = 1000001;
    char *text = bt_arena_alloc(a, 2 * n + 3);
    put(text, "a\n");
    for (size_t i = 0; i < n; i++)
        put(text + 2 + 2 * i, "1\n");
    assert_true(bt_csv_read_bytes(a, d, text, 2 * n, "t.csv", &csv));
    assert_int_equal(csv.n_rows, 1000000);
    assert_false(bt_csv_read_bytes(a, d, text, 2 * n + 2, "t.csv", &csv));
    assert_string_equal(messages(a, d),
                        "t.csv:1000002:1: error: file: expected at most 1 million "
                        "rows and 16 million cells (row 1000002)\n");
    bt_arena_free(a);
}

/* --- files --- */

static void file_message(const char *path, bool want, const char *text)
{
    struct bt_arena *a = arena();
    struct bt_diag *d = bt_diag_new(a);
    struct bt_csv csv;
    assert_int_equal(bt_csv_read_file(a, d, path, "beds.csv", &csv), want);
    assert_string_equal(messages(a, d), text);
    if (want)
        assert_string_equal(drawn(a, &csv), "1> bed@1:1\n2> A1@2:1\n");
    bt_arena_free(a);
}

static void write_file(const char *path, const char *text, off_t length)
{
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_not_equal(fputs(text, f), EOF);
    assert_int_equal(fclose(f), 0);
    if (length)
        assert_int_equal(truncate(path, length), 0);
}

static void files(void **state)
{
    (void)state;
    char folder[] = "/tmp/bedtally-test-XXXXXX", path[64];
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/beds.csv", folder);
    file_message(
        path, false,
        "beds.csv: error: file: expected a CSV file that can be read, found \"no such "
        "file\"\n");
    file_message(
        folder, false,
        "beds.csv: error: file: expected a CSV file that can be read, found \"a folder\"\n"
        "  hint: name the CSV file itself\n");
    write_file(path, "bed\r\nA1\r\n", 0);
    file_message(path, true, "");
    write_file(path, "bed\nA1\n", ((off_t)64 << 20) + 1);
    file_message(
        path, false,
        "beds.csv: error: file: expected at most 64 MB\n  hint: split the file, or move "
        "what is not needed elsewhere\n");
    assert_int_equal(chmod(path, 0), 0);
    if (access(path, R_OK) != 0) /* root may read everything */
        file_message(
            path, false,
            "beds.csv: error: file: expected a CSV file that can be read, found \"no "
            "permission to read it\"\n");
    assert_int_equal(unlink(path), 0);
    assert_int_equal(rmdir(folder), 0);
}

/* No byte string may crash the reader, and what it takes is inside the limits. A fixed walk
 * through short texts made of the bytes that matter. */
static void all_short_texts(void **state)
{
    (void)state;
    static const char bytes[] = {'"', ',', '\r', '\n', 'x', ' ', '\xC3'};
    const size_t base = sizeof bytes;
    for (size_t code = 0; code < 16807; code++) { /* 7^5 */
        struct bt_arena *a = bt_arena_new(1 << 14, NULL, NULL);
        struct bt_diag *d = bt_diag_new(a);
        struct bt_csv csv;
        char text[7] = "h\n";
        size_t rest = code;
        for (size_t i = 2; i < 7; i++, rest /= base)
            text[i] = bytes[rest % base];
        if (bt_csv_read_bytes(a, d, text, sizeof text, "t.csv", &csv))
            for (size_t i = 0; i < csv.n_rows; i++) {
                assert_int_equal(csv.row[i].n, csv.header.n);
                assert_true(csv.row[i].at.line >= 2 && csv.row[i].at.line <= 8);
                assert_true(csv.row[i].at.row <= csv.row[i].at.line);
            }
        else
            assert_true(bt_diag_count(d, BT_ERROR) > 0);
        bt_arena_free(a);
    }
}

int main(void)
{
    enum { N = sizeof rows / sizeof *rows };
    struct CMUnitTest t[N + 6];
    for (size_t i = 0; i < N; i++)
        t[i] = (struct CMUnitTest){rows[i].name, read_row, NULL, NULL, &rows[i]};
    t[N] = (struct CMUnitTest)cmocka_unit_test(long_cells);
    t[N + 1] = (struct CMUnitTest)cmocka_unit_test(swallowing_quote);
    t[N + 2] = (struct CMUnitTest)cmocka_unit_test(many_broken);
    t[N + 3] = (struct CMUnitTest)cmocka_unit_test(many_rows);
    t[N + 4] = (struct CMUnitTest)cmocka_unit_test(files);
    t[N + 5] = (struct CMUnitTest)cmocka_unit_test(all_short_texts);
    return cmocka_run_group_tests_name("csv", t, NULL, NULL) != 0;
}
