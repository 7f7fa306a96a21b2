/* A document as a list of blocks, decided once and rendered by each writer (HTML, Markdown,
 * CSV, JSON). All wording and rounding is done before a text gets here; a writer only lays
 * out. Nothing in a block is markup: what somebody typed comes out as text. */
#ifndef BT_REPORT_DOC_H
#define BT_REPORT_DOC_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/out.h"

enum bt_block_kind {
    BT_BLOCK_HEADING,
    BT_BLOCK_PARAGRAPH,
    BT_BLOCK_NOTE, /* set apart: a caution, a word of method */
    BT_BLOCK_LIST,
    BT_BLOCK_TICKS,  /* a list with a box to tick before each item */
    BT_BLOCK_BLANKS, /* labels, each with room to write */
    BT_BLOCK_TABLE,
    BT_BLOCK_CHART,
    BT_BLOCK_PAGE /* what follows begins a page in print */
};

enum bt_cell_kind { BT_CELL_TEXT, BT_CELL_NUMBER, BT_CELL_BLANK };

/* A cell: what is shown and, of a number, what it is in the column's unit. */
struct bt_doc_cell {
    enum bt_cell_kind kind;
    const char *text;
    double value; /* unit-free: in the unit of its column */
};

struct bt_doc_column {
    const char *name;
    const char *unit; /* "" when its cells are texts or plain numbers */
    bool is_number;   /* set to the right */
};

struct bt_doc_table {
    const char *caption;
    size_t n_columns;
    const struct bt_doc_column *column;
    size_t n_rows, capacity;
    struct bt_doc_cell *cell; /* n_rows * n_columns */
    bool *is_sum;             /* per row: a total */
    size_t sum_capacity;
    bool for_writing; /* empty rows to be filled in by hand */
};

/* A part of a stacked bar; below zero it lies left of the line. */
struct bt_doc_segment {
    const char *label;
    const char *text; /* "1.13 oz" */
    double value;     /* unit-free: in the chart's unit */
};

struct bt_doc_bar {
    const char *label;
    const char *text; /* "3.13 oz, 9 times in 10 between 1.11 and 6.13" */
    size_t n_segments;
    const struct bt_doc_segment *segment;
    bool has_range;
    double low, high; /* unit-free: in the chart's unit */
};

struct bt_doc_chart {
    const char *title;
    const char *description; /* says in words what the picture shows */
    const char *unit;
    size_t n_bars;
    const struct bt_doc_bar *bar;
};

struct bt_block {
    enum bt_block_kind kind;
    unsigned level; /* headings: 1 the document's title, then 2, 3 */
    const char *text;
    size_t n_items, capacity;
    const char **item;
    struct bt_doc_table *table;
    const struct bt_doc_chart *chart;
};

struct bt_doc {
    struct bt_arena *arena; /* everything of the document lives here */
    const char *title;
    const char *audience; /* "record", "funder", "file", "sign", "volunteers" */
    const char *version;
    size_t n, capacity;
    struct bt_block *block;
};

struct bt_doc *bt_doc_new(struct bt_arena *a, const char *title, const char *audience,
                          const char *version);

/* Texts are kept, not copied: they must live as long as the document. */
void bt_doc_heading(struct bt_doc *d, unsigned level, const char *text);
void bt_doc_paragraph(struct bt_doc *d, const char *text);
void bt_doc_note(struct bt_doc *d, const char *text);
void bt_doc_page(struct bt_doc *d);
/* Adds to the list (ticks, blanks) that stands last, or begins one. */
void bt_doc_item(struct bt_doc *d, const char *text);
void bt_doc_tick(struct bt_doc *d, const char *text);
void bt_doc_blank(struct bt_doc *d, const char *label);
void bt_doc_chart(struct bt_doc *d, const struct bt_doc_chart *chart);

/* Adds the blocks of another document, but no table without rows. */
void bt_doc_append(struct bt_doc *d, const struct bt_doc *part);

/* A table without rows; `column` is kept. */
struct bt_doc_table *bt_doc_table(struct bt_doc *d, const char *caption, size_t n_columns,
                                  const struct bt_doc_column *column);
/* Adds a row of n_columns cells, which are copied. */
void bt_doc_row(struct bt_doc *d, struct bt_doc_table *t, const struct bt_doc_cell *cells);
void bt_doc_sum(struct bt_doc *d, struct bt_doc_table *t, const struct bt_doc_cell *cells);

struct bt_doc_cell bt_cell_text(const char *text); /* NULL or "": nothing there */
struct bt_doc_cell bt_cell_number(const char *text, double value);
struct bt_doc_cell bt_cell_blank(void);

/* ---- writers ---- */

enum bt_doc_format {
    BT_DOC_HTML,
    BT_DOC_MARKDOWN,
    BT_DOC_CSV,
    BT_DOC_JSON,
    BT_DOC_FORMATS
};

/* What each is called: the ending of its files, and what --as takes. */
extern const char *const bt_doc_words[BT_DOC_FORMATS + 1];
/* ".html, .md, .csv or .json" */
char *bt_doc_endings(struct bt_arena *a);

/* By the ending of a file name or the name itself; false when it is none of them. */
bool bt_doc_format_of(const char *name, enum bt_doc_format *out);

void bt_doc_write(struct bt_out *o, const struct bt_doc *d, enum bt_doc_format format);

/* One self-contained page that is XML as well. */
void bt_doc_html(struct bt_out *o, const struct bt_doc *d);
void bt_doc_markdown(struct bt_out *o, const struct bt_doc *d);
/* RFC 4180, all rows equally long; texts that a spreadsheet would work out are guarded. */
void bt_doc_csv(struct bt_out *o, const struct bt_doc *d);
/* docs/schema/report.json */
void bt_doc_json(struct bt_out *o, const struct bt_doc *d);

#endif
