/* What the readers of cells share: messages, words that stand for no number, the scan of
 * numbers with their unit text. Internal to quantity.c, counts.c and dates.c. */
#ifndef BT_INPUT_CELL_READ_H
#define BT_INPUT_CELL_READ_H

#include "input/number.h"
#include "input/quantity.h"

/* --- cell_message.c --- */

/* An error about a cell; always false. A note or warning; always true. */
bool bt_cell_refuse(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                    const char *expected, const char *hint);
bool bt_cell_note(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                  const char *what);

/* For a cleaned copy: the cell, or the part of it at hand, would be read the same written
 * so. */
void bt_cell_fix(struct bt_reader *r, const struct bt_cell *cell, const char *to,
                 const char *why);

/* A unit of that dimension may stand in the column. */
bool bt_accepts(const struct bt_accept *accept, struct bt_dim dim);

/* "a number and its unit (ft, in, yd, m, cm, mm)", with measures and words where they are
 * allowed. */
const char *bt_cell_expected(struct bt_reader *r, const struct bt_accept *accept);

/* Adds the error for what no cell of numbers or dates may hold: formulas that were not
 * worked out, errors of the spreadsheet, columns too narrow. True when there was none. */
bool bt_cell_is_typed(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                      const char *expected);

/* A figure that the spreadsheet could not work out, `#DIV/0!`: warned of, and not known. */
bool bt_cell_is_sheet_error(struct bt_reader *r, const struct bt_cell *cell,
                            const char *column, const char *plain);

/* Words that stand instead of a value. */
enum bt_stand_in {
    BT_NO_STAND_IN,
    BT_STANDS_NONE,
    BT_STANDS_NOT_RECORDED,
    BT_STANDS_NOT_KNOWN,
    BT_STANDS_NOT_DETECTED
};
enum bt_stand_in bt_cell_stand_in(struct bt_arena *a, const char *plain);

/* The same for cells that can be none, not recorded or not known, but not "not detected":
 * true when it was one, with *out set and the note given. */
bool bt_cell_presence(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                      const char *plain, enum bt_presence *out);

/* Takes `word` off the front of *text, with the blanks after it. */
bool bt_cell_drop(const char **text, const char *word);
/* Takes `~`, `about` and the like off the front, or a `(guess)` or `?` off the end. */
bool bt_cell_drop_about(struct bt_arena *a, const char **text);

/* --- marks.c --- */

/* The cell in plain text (bt_plain), its numbers without thousands marks and with decimal
 * points; what was taken so is noted. NULL after a refusal. */
const char *bt_cell_plain(struct bt_reader *r, const struct bt_cell *cell,
                          const char *column);

/* --- packs.c --- */

/* `2 x 40 lb`, `36 lb bag`, `1/2 inch deep`: the plain figure in *text, with a note. False,
 * with the error, when it is not said how many there are (`36 lb bags`). */
bool bt_cell_packs(struct bt_reader *r, const struct bt_cell *cell,
                   const struct bt_accept *accept, const char **text);

/* --- unit_hint.c --- */

/* What to say of a unit that does not belong in the column, or that is none; and of words
 * in place of a number, NULL for nothing. */
const char *bt_unit_misfit_hint(struct bt_arena *a, const struct bt_accept *accept,
                                const struct bt_unit *unit);
const char *bt_unit_unknown_hint(struct bt_reader *r, const struct bt_accept *accept,
                                 double value, const char *text);
const char *bt_unit_words_hint(struct bt_arena *a, const char *plain);

/* --- scan.c --- */

enum bt_scan_fault {
    BT_SCAN_FINE,
    BT_SCAN_NUMBER,   /* see `number` */
    BT_SCAN_UNITS,    /* `2 lb to 3 kg` */
    BT_SCAN_COMPOUND, /* `4'14"` */
    BT_SCAN_HYPHENS,  /* `2-3-4` */
    BT_SCAN_ORDER     /* `4..2` */
};

/* `2..3..4 lb`: n = 3, unit "lb". Values as typed; nothing is known yet about the unit,
 * save that the parts of `4 ft 6 in` were added up. */
struct bt_scan {
    size_t n;
    double value[3];
    const char *unit;
    bool thousands, hyphen; /* how a number was read, for the notes */
    enum bt_scan_fault fault;
    enum bt_number_fault number;
};

/* Scans plain text. False with a fault. */
bool bt_scan(struct bt_reader *r, const char *plain, struct bt_scan *out);
/* What to write instead, for the fault of a scan; NULL when there is nothing to say. */
const char *bt_scan_hint(struct bt_arena *a, const char *plain, const struct bt_scan *scan);

/* --- date_text.c --- */

/* Month 1..12 whose name (three letters or more, English) the n characters are; 0 for none.
 */
int bt_month(const char *text, size_t n);

/* Is this number or range a date now, by a spreadsheet's doing? Then what it probably was,
 * as "1/2 or 1-2"; NULL when it is no date. */
const char *bt_cell_was(struct bt_arena *a, const char *plain);
/* The error for it: false when the cell looks like a date. */
bool bt_cell_is_no_date(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                        const char *expected, const char *plain);

#endif
