/* libcsv gives cells without places, and is dead after its first error. So it is fed byte
 * by byte where a callback can run, which tells where it runs, and in one call through what
 * begins and ends nothing; and a new parser starts after a broken record. */
#include "input/csv.h"

#include <csv.h>
#include <stdlib.h>
#include <string.h>

#include "input/csv_bytes.h"
#include "input/csv_rows.h"
#include "input/decode.h"
#include "input/delimiter.h"

#define MOST_CELL_BYTES ((size_t)1000)
#define MOST_RAW_BYTES                                                                     \
    (2 * MOST_CELL_BYTES + 2) /* every byte a doubled quote, and the quotes */
#define MOST_ROWS  ((size_t)1000000)
#define MOST_SHOWN ((size_t)40)
#define MOST_ROOM  ((size_t)200000) /* cells or rows for which room is made at once */

#define STRICT  (CSV_STRICT | CSV_STRICT_FINI | CSV_APPEND_NULL | CSV_EMPTY_IS_NULL)
#define LENIENT (CSV_APPEND_NULL | CSV_EMPTY_IS_NULL)

enum trouble { FINE, TORN, LONG, CONTROL, FULL }; /* the last ends the reading */

/* A place in the bytes, and what an editor and a spreadsheet call it. */
struct place {
    size_t i;
    unsigned line, column, row;
};

struct reader {
    struct bt_arena *arena;
    struct bt_diag *diag;
    struct bt_csv *out;
    const char *bytes;
    size_t n;
    char delimiter;
    bool plain[256]; /* bytes that begin and end nothing, wherever they stand */

    struct place now;    /* of the byte being fed */
    struct place record; /* where the record began */
    struct place field;  /* where the field began: its first byte that is not blank */
    bool in_record;      /* something other than blanks and line ends was seen */
    bool field_waits;    /* the next byte begins a field */
    bool field_blank;    /* only blanks so far */
    bool field_quoted;
    bool row_ended; /* set by the callback of a row */
    enum trouble trouble;

    char *text;                 /* all cells of the file, each ended by NUL */
    size_t text_n, record_text; /* bytes kept; those kept before this record */
    size_t n_cells, cell_capacity, record_cells;
    struct bt_cell *cell;
    size_t row_capacity;
};

static bool is_end(char c)
{
    return c == '\n' || c == '\r';
}

static bool is_blank(const struct reader *r, char c)
{
    return (c == ' ' || c == '\t') && c != r->delimiter;
}

static struct bt_pos position(const struct reader *r, struct place p, unsigned field)
{
    return (struct bt_pos){r->out->file, p.line, p.column, p.row, field};
}

static unsigned field_number(const struct reader *r)
{
    return (unsigned)(r->n_cells - r->record_cells) + 1;
}

/* Length of the blank character at `s`, no-break spaces included; 0 when it is none. */
static size_t blank_length(const char *s, size_t n)
{
    if (n > 0 && (s[0] == ' ' || s[0] == '\t' || is_end(s[0])))
        return 1;
    if (n > 1 && memcmp(s, "\xC2\xA0", 2) == 0)
        return 2;
    return n > 2 && (memcmp(s, "\xE2\x80\xAF", 3) == 0 || memcmp(s, "\xE2\x80\x89", 3) == 0)
               ? 3
               : 0;
}

static bool is_print_ascii(char c)
{
    return c > ' ' && c < 0x7F;
}

/* Keeps the text without its outer blanks. It fits: a cell and its NUL take no more room
 * than the cell and its delimiter took in the file. */
static const char *keep(struct reader *r, const char *s, size_t n)
{
    const bool trimmed = n > 0 && is_print_ascii(s[0]) && is_print_ascii(s[n - 1]);
    for (size_t k = trimmed ? 0 : blank_length(s, n); k; k = blank_length(s, n)) {
        s += k;
        n -= k;
    }
    for (size_t k = 1; !trimmed && k <= 3 && k <= n;)
        if (blank_length(s + n - k, k) == k) {
            n -= k;
            k = 1;
        } else {
            k++;
        }
    if (n == 0)
        return "";
    char *copy = r->text + r->text_n;
    memcpy(copy, s, n);
    copy[n] = '\0';
    r->text_n += n + 1;
    return copy;
}

static void add_cell(struct reader *r, const char *text, struct bt_pos at)
{
    r->cell =
        bt_arena_grow(r->arena, r->cell, &r->cell_capacity, r->n_cells, sizeof *r->cell);
    r->cell[r->n_cells++] = (struct bt_cell){text, at};
}

static void on_field(void *s, size_t n, void *context)
{
    struct reader *r = context;
    if (n > MOST_CELL_BYTES)
        r->trouble = LONG;
    else if (r->n_cells >= BT_CSV_MOST_CELLS)
        r->trouble = FULL;
    if (r->trouble != FINE)
        return;
    add_cell(r, s ? keep(r, s, n) : "", position(r, r->field, field_number(r)));
    r->field_waits = true;
}

static void on_row(int end, void *context)
{
    (void)end;
    struct reader *r = context;
    r->row_ended = true;
    if (r->trouble != FINE)
        return;
    const size_t n = r->n_cells - r->record_cells;
    bool empty = true;
    for (size_t i = 0; i < n; i++)
        empty = empty && r->cell[r->record_cells + i].text[0] == '\0';
    struct bt_csv *out = r->out;
    if (empty) {
        r->n_cells = r->record_cells;
    } else if (out->n_rows > MOST_ROWS) { /* a million and a header */
        r->trouble = FULL;
    } else {
        out->row = bt_arena_grow(r->arena, out->row, &r->row_capacity, out->n_rows,
                                 sizeof *out->row);
        out->row[out->n_rows++] = (struct bt_row_cells){n, NULL, position(r, r->record, 0),
                                                        position(r, r->now, 0)};
    }
    r->record_cells = r->n_cells;
    r->record_text = r->text_n;
}

/* Notes where a record and a field begin: now, if anything waits to. */
static void begin(struct reader *r)
{
    if (!r->field_waits)
        return;
    if (!r->in_record)
        r->record = r->now;
    r->field = r->now;
    r->field_waits = false;
    r->field_blank = true;
    r->field_quoted = false;
}

/* The same before a byte is fed; a field begins at its first byte that is not blank. */
static void before(struct reader *r, char c)
{
    begin(r);
    if (r->field_blank && !is_blank(r, c) && !is_end(c) && c != r->delimiter) {
        r->field = r->now;
        r->field_blank = false;
        r->field_quoted = c == '"';
    }
    if (!is_blank(r, c) && !is_end(c))
        r->in_record = true;
}

/* Moves on by one byte; CR, LF and CRLF are one line end, and a spreadsheet row where no
 * cell is open. */
static void after(struct reader *r, char c)
{
    const bool second_half = c == '\n' && r->now.i > 0 && r->bytes[r->now.i - 1] == '\r';
    if (is_end(c) && (r->row_ended || !r->in_record)) {
        r->now.row += !second_half;
        r->in_record = false;
        r->field_waits = true;
    }
    r->row_ended = false;
    if (is_end(c)) {
        r->now.line += !second_half;
        r->now.column = 1;
    } else if (((unsigned char)c & 0xC0U) != 0x80U) {
        r->now.column++;
    }
    r->now.i++;
}

static bool is_control(const char *s)
{
    const unsigned char c = (unsigned char)s[0];
    return (c < 0x20 && c != '\t' && c != '\n' && c != '\r') || c == 0x7F ||
           (c == 0xC2 && (unsigned char)s[1] < 0xA0);
}

/* Feeds one byte. False at trouble. */
static bool feed_byte(struct reader *r, struct csv_parser *p)
{
    const char c = r->bytes[r->now.i];
    before(r, c);
    if (is_control(r->bytes + r->now.i))
        r->trouble = CONTROL;
    else if (r->now.i - r->field.i > MOST_RAW_BYTES)
        r->trouble = LONG;
    if (r->trouble == FINE && csv_parse(p, &c, 1, on_field, on_row, r) != 1)
        r->trouble = TORN;
    if (r->trouble != FINE)
        return false;
    after(r, c);
    return true;
}

static size_t run_length(const struct reader *r, size_t end)
{
    size_t i = r->now.i;
    while (i < end && r->plain[(unsigned char)r->bytes[i]])
        i++;
    return i - r->now.i;
}

/* Feeds `n` plain bytes in one call: no callback can run in them. False at trouble. */
static bool feed_run(struct reader *r, struct csv_parser *p, size_t n)
{
    const char *s = r->bytes + r->now.i;
    begin(r);
    size_t blanks = 0;
    while (r->field_blank && blanks < n && is_blank(r, s[blanks]))
        blanks++;
    if (r->field_blank && blanks < n) {
        r->field = r->now;
        r->field.i += blanks;
        r->field.column += (unsigned)blanks;
        r->field_blank = false;
        r->field_quoted = false;
    }
    r->in_record = r->in_record || blanks < n;
    if (r->now.i + n - r->field.i > MOST_RAW_BYTES)
        r->trouble = LONG;
    else if (csv_parse(p, s, n, on_field, on_row, r) != n)
        r->trouble = TORN;
    if (r->trouble != FINE)
        return false;
    unsigned characters = 0;
    for (size_t i = 0; i < n; i++)
        characters += ((unsigned char)s[i] & 0xC0U) != 0x80U;
    r->now.column += characters;
    r->now.i += n;
    return true;
}

/* Feeds the bytes up to `end`. False at the first record that cannot be read. */
static bool feed(struct reader *r, struct csv_parser *p, size_t end)
{
    while (r->now.i < end) {
        const size_t n = run_length(r, end);
        if (n > 0 ? !feed_run(r, p, n) : !feed_byte(r, p))
            return false;
    }
    /* Only after a clean parse: after an error this would deliver half a row. */
    if (csv_fini(p, on_field, on_row, r) != 0)
        r->trouble = TORN;
    return r->trouble == FINE;
}

/* Out of memory inside libcsv looks like a parse error; a cell is never so long that it
 * matters. */
static bool parse(struct reader *r, size_t end, unsigned char options)
{
    struct csv_parser p;
    if (csv_init(&p, options) != 0)
        return false;
    csv_set_delim(&p, (unsigned char)r->delimiter);
    r->in_record = r->row_ended = false;
    r->field_waits = true;
    r->trouble = FINE;
    const bool ok = feed(r, &p, end);
    csv_free(&p);
    return ok;
}

/* One byte past the line that begins at `from`, its line end included. */
static size_t line_end(const struct reader *r, size_t from)
{
    while (from < r->n && !is_end(r->bytes[from]))
        from++;
    if (from + 1 < r->n && r->bytes[from] == '\r' && r->bytes[from + 1] == '\n')
        from++;
    return from < r->n ? from + 1 : r->n;
}

static bool a_field_begins_with_quote(const struct reader *r, size_t from, size_t end)
{
    bool begins = true;
    for (size_t i = from; i < end; i++) {
        const char c = r->bytes[i];
        if (begins && c == '"')
            return true;
        begins = c == r->delimiter || (begins && is_blank(r, c));
    }
    return false;
}

/* The beginning of what stands at `from`, up to the line's end. */
static const char *shown(const struct reader *r, size_t from)
{
    size_t end = line_end(r, from);
    while (end > from && is_end(r->bytes[end - 1]))
        end--;
    if (end - from <= MOST_SHOWN)
        return bt_arena_text_n(r->arena, r->bytes + from, end - from);
    end = from + MOST_SHOWN;
    while (((unsigned char)r->bytes[end] & 0xC0U) == 0x80U)
        end--;
    return bt_arena_format(r->arena, "%.*s...", (int)(end - from), r->bytes + from);
}

static void keep_lost(struct reader *r)
{
    struct bt_csv *out = r->out;
    size_t end = line_end(r, r->record.i);
    while (end > r->record.i && is_end(r->bytes[end - 1]))
        end--;
    out->lost = bt_arena_grow(r->arena, out->lost, &out->lost_capacity, out->n_lost,
                              sizeof *out->lost);
    out->lost[out->n_lost++] = (struct bt_lost_line){
        r->record.line,
        bt_arena_text_n(r->arena, r->bytes + r->record.i, end - r->record.i)};
}

static void report(struct reader *r, bool at_end)
{
    struct bt_message m = {.weight = BT_ERROR, .field = "record"};
    /* The record's line is to blame, whatever the quote swallowed after it. */
    const bool same_line = r->field.line == r->record.line;
    const struct place blamed = same_line ? r->field : r->record;
    m.at = position(r, blamed, same_line ? field_number(r) : 0);
    m.found = shown(r, blamed.i);
    if (r->trouble == LONG) {
        m.expected = "at most 1,000 bytes in a cell";
        m.hint =
            r->field_quoted ? "is the double quote at its beginning never closed?" : NULL;
    } else if (r->trouble == CONTROL) {
        const unsigned char c =
            (unsigned char)r->bytes[r->now.i + (r->bytes[r->now.i] == '\xC2')];
        m.expected = "text without control characters";
        m.found = bt_arena_format(r->arena, "the character 0x%02X", (unsigned)c);
        m.hint = "type the cell again";
    } else if (r->bytes[r->field.i] == '=') {
        m.expected = "no double quote inside a cell that has none around it";
        m.hint = "a formula that keeps a text; save the sheet with its values";
    } else if (r->now.line != r->field.line || at_end) {
        m.expected = "a double quote that closes again";
        m.hint =
            "write inch marks as in, or the whole cell in double quotes with each of its "
            "own doubled";
    } else {
        m.expected = r->field_quoted
                         ? "nothing after the closing double quote"
                         : "no double quote inside a cell that has none around it";
        m.hint =
            "write inch marks as in, or the whole cell in double quotes with each of its "
            "own doubled";
    }
    bt_diag_add(r->diag, m);
    keep_lost(r);
}

static void forget_record(struct reader *r)
{
    r->n_cells = r->record_cells;
    r->text_n = r->record_text;
    r->now = r->record;
}

/* After a broken record: forgets what was read of it, says so, and stands at the next line.
 */
static void recover(struct reader *r)
{
    const bool at_end = r->now.i >= r->n;
    const size_t end = line_end(r, r->record.i);
    const bool inch_marks =
        r->trouble == TORN && !a_field_begins_with_quote(r, r->record.i, end);
    if (!inch_marks)
        report(r, at_end);
    forget_record(r);
    if (inch_marks) {
        bt_diag_add(r->diag, (struct bt_message){
                                 BT_NOTE, position(r, r->record, 0), "record", NULL,
                                 shown(r, r->record.i),
                                 "the double quotes in this line were read as they stand"});
        if (parse(r, end, LENIENT) || r->trouble >= FULL)
            return;
        report(r, false);
        forget_record(r);
    }
    r->now.i = end;
    r->now.line++;
    r->now.row++;
    r->now.column = 1;
}

/* Room for as many cells and rows as there can be, so that they need not move: growing
 * would cost more than counting. Beyond a limit they do grow. */
static void make_room(struct reader *r)
{
    size_t cells = 1, rows = 1;
    for (size_t i = 0; i < r->n; i++) {
        const size_t end = is_end(r->bytes[i]);
        rows += end;
        cells += end + (r->bytes[i] == r->delimiter);
    }
    r->cell_capacity = cells < MOST_ROOM ? cells : MOST_ROOM;
    r->cell = bt_arena_alloc(r->arena, r->cell_capacity * sizeof *r->cell);
    r->row_capacity = rows < MOST_ROOM ? rows : MOST_ROOM;
    r->out->row = bt_arena_alloc(r->arena, r->row_capacity * sizeof *r->out->row);
}

static struct reader begin_reading(struct bt_arena *a, struct bt_diag *d, const char *bytes,
                                   size_t n, struct bt_csv *out)
{
    struct reader r = {.arena = a, .diag = d, .out = out, .bytes = bytes, .n = n};
    const struct bt_delimiter delimiter = bt_delimiter_of(bytes, n);
    /* A spreadsheet shows no row for a line `sep=`. */
    r.now = (struct place){delimiter.skip, delimiter.skip ? 2 : 1, 1, 1};
    r.delimiter = out->delimiter = delimiter.sign;
    r.text = bt_arena_alloc(a, n + 2);
    make_room(&r);
    for (size_t i = ' '; i < 256; i++)
        r.plain[i] =
            i != 0x7F && i != 0xC2; /* a control character may begin with the last */
    r.plain['\t'] = true;
    r.plain['"'] = r.plain[(unsigned char)r.delimiter] = false;
    return r;
}

bool bt_csv_records(struct bt_arena *a, struct bt_diag *d, const char *bytes, size_t n,
                    const char *shown_as, struct bt_csv *out)
{
    *out = (struct bt_csv){.file = bt_arena_text(a, shown_as)};
    if (!bt_decode(a, d, out->file, &bytes, &n))
        return false;
    struct reader r = begin_reading(a, d, bytes, n, out);
    while (!parse(&r, n, STRICT)) {
        if (r.trouble < FULL)
            recover(&r);
        if (r.trouble == FULL)
            (void)bt_diag_add(
                d, (struct bt_message){BT_ERROR, position(&r, r.record, 0), "file",
                                       "at most 1 million rows and 16 million cells", NULL,
                                       NULL});
        /* Without a header another row must not be taken for it; its message was given. */
        if (r.trouble >= FULL || out->n_rows == 0)
            return false;
    }
    if (out->n_rows == 0)
        return bt_diag_add(d, (struct bt_message){.weight = BT_ERROR,
                                                  .at = {.file = out->file},
                                                  .field = "header",
                                                  .expected =
                                                      "a first row with the names of the "
                                                      "columns"});
    /* Rows are laid out now that the cells no longer move. */
    for (size_t i = 0, first = 0; i < out->n_rows; first += out->row[i].n, i++)
        out->row[i].cell = r.cell + first;
    out->decimal_comma = bt_csv_has_decimal_commas(out);
    bt_csv_say_delimiter(a, d, out);
    return true;
}

bool bt_csv_read_bytes(struct bt_arena *a, struct bt_diag *d, const char *bytes, size_t n,
                       const char *shown_as, struct bt_csv *out)
{
    return bt_csv_records(a, d, bytes, n, shown_as, out) && bt_csv_set_header(a, d, out, 0);
}

bool bt_csv_read_file(struct bt_arena *a, struct bt_diag *d, const char *path,
                      const char *shown_as, struct bt_csv *out)
{
    const char *bytes = NULL;
    size_t n = 0;
    *out = (struct bt_csv){.file = shown_as};
    return bt_bytes_read(a, d, path, shown_as, &bytes, &n) &&
           bt_csv_read_bytes(a, d, bytes, n, shown_as, out);
}
