/* The handbook on show: its tables, a table, the rows of a key, what a search finds, the
 * garden's own rows, the words that garden files take. Texts for people; CSV with the
 * columns of the tables themselves, so that what is printed can be put into a garden's own
 * tables; JSON with the source of each row spelled out. Everything is written through
 * struct bt_out. */
#ifndef BT_REPORT_HANDBOOK_H
#define BT_REPORT_HANDBOOK_H

#include "report/page.h"

enum bt_book_format { BT_BOOK_TEXT, BT_BOOK_CSV, BT_BOOK_JSON };

/* Where the answer goes and how it is written. */
struct bt_book_out {
    struct bt_out *out;
    const struct bt_show *w;
    enum bt_book_format format;
};

/* The marks that rows have, as a grid: a row a table and one for all, with how many rows of
 * each mark. The head stands in row 0. In w->arena. */
struct bt_grid bt_book_counts(const struct bt_show *w);

/* What stands in the handbook: the tables with their rows by mark, and what else can be
 * asked. */
void bt_report_book_tables(const struct bt_book_out *to);

/* A table (one of the eight row tables, sources, aliases, cautions): its keys with their
 * main quantities; CSV and JSON: all its rows. False, and nothing written, when there is no
 * such table. */
bool bt_report_book_table(const struct bt_book_out *to, const char *table);

/* The rows of a key, those of its stand-ins included; of one quantity when `quantity` is
 * not NULL. `table` NULL looks in all row tables. In sources it is an id, in cautions a
 * topic or the word for when it applies. False, and nothing written, when nothing is
 * found. */
bool bt_report_book_key(const struct bt_book_out *to, const char *table, const char *key,
                        const char *quantity);

/* Everything in which each word of `words` occurs: keys, other spellings, quantities,
 * notes, sources, cautions; in one table when `table` is not NULL. False when nothing was
 * found; `none` is then said. */
bool bt_report_book_search(const struct bt_book_out *to, const char *table,
                           const char *words);

/* The rows that --tables or the garden's own tables put in place of the handbook's. */
void bt_report_book_local(const struct bt_book_out *to);
/* The same at the end of an answer: a title and the first of them; nothing when there are
 * none. `folder` is the garden's. */
void bt_report_local(struct bt_out *o, const struct bt_show *w, const char *folder);

/* The words that may be typed in the columns of the garden's files; of one file, or of one
 * column, when they are not NULL. False, and nothing written, when there is no such file or
 * column. */
bool bt_report_book_words(const struct bt_book_out *to, const char *file,
                          const char *column);

/* What may have been meant by a word that is no table, key, source ...: the nearest names,
 * or NULL. `table` NULL: of all. */
const char *bt_book_nearest(const struct bt_show *w, const char *table, const char *word);

/* ---- shared by the files of this header ---- */

/* Rows on their way out. `of` is the key that was asked for, which differs from the row's
 * where a stand-in speaks. */
struct bt_book_rows {
    size_t n, row_capacity, of_capacity;
    const struct bt_row **row;
    const char **of;
};
void bt_book_rows_add(struct bt_book_rows *rows, struct bt_arena *a,
                      const struct bt_row *row, const char *of);
/* All rows of a key, then those that its stand-ins have and it has not. */
void bt_book_rows_of(struct bt_book_rows *rows, const struct bt_show *w, const char *table,
                     const char *key, const char *quantity);
/* CSV and JSON of rows; `with_table` puts the table's name before the columns. */
void bt_book_rows_write(const struct bt_book_out *to, const struct bt_book_rows *rows,
                        bool with_table);
/* A grid with a head in row 0: columns of text, CSV, or a JSON array called `name`. */
void bt_book_list_write(const struct bt_book_out *to, const struct bt_grid *grid,
                        const char *name);

/* What a table, a quantity is, in a line; NULL when it is not described. */
const char *bt_book_table_meaning(const char *table);
const char *bt_book_quantity_meaning(const char *quantity);
/* "0.8 .. 1.1 .. 1.7 kg/m2" in the unit of the table; the word of a word row. */
const char *bt_book_value_text(struct bt_arena *a, const struct bt_row *row);
/* "9 times in 10 between the ends, triangular" and the like; "" for a word. */
const char *bt_book_ends_text(struct bt_arena *a, const struct bt_row *row);
/* A source, a rule as text. */
void bt_book_put_source(const struct bt_book_out *to, const struct bt_source *s);
void bt_book_put_caution(const struct bt_book_out *to, const struct bt_caution *c);
/* A figure of the row, in the unit of the table. */
double bt_book_in_unit(const struct bt_row *row, double inside);
/* "Heckman and others: Title, 2007", with the address. */
const char *bt_book_source_text(const struct bt_show *w, const char *id);
/* "local, our-garden/tables/crops.csv:2" and what it replaces; NULL for one of ours. */
const char *bt_book_local_text(struct bt_arena *a, const struct bt_row *row);

/* Rows of the garden's own tables, in the order of the tables. */
void bt_book_rows_local(struct bt_book_rows *rows, const struct bt_show *w);
/* A row as JSON, new: its place, figures, unit, source, mark. `of` as in bt_book_rows. */
struct json_t;
struct json_t *bt_book_row_json(const struct bt_show *w, const struct bt_row *row,
                                const char *of);

#endif
