/* Phosphate and potash in words: low, ok, FULL, no test; the opened bed's part; the
 * sentences of the first screen. docs/reading.md explains the words. */
#ifndef BT_REPORT_FERTILITY_H
#define BT_REPORT_FERTILITY_H

#include "report/number.h"

enum bt_pk_word { BT_PK_LOW, BT_PK_OK, BT_PK_FULL, BT_PK_NO_TEST };

/* FULL: nothing is needed and the soil is rated above what crops use. Low: rated below
 * optimum, and likelier than not what is added falls visibly short of the need. */
enum bt_pk_word bt_pk_word_of(const struct bt_account_finding *x);
const char *bt_pk_word_text(enum bt_pk_word word); /* "FULL" */
const char *bt_pk_word_painted(const struct bt_show *w, enum bt_pk_word word);

/* The account in an opened bed. Only for accounts with a stock. */
void bt_put_fertility(struct bt_out *o, const struct bt_show *w, const struct bt_finding *f,
                      const struct bt_account_finding *x);

/* "16 to 25 years", and which of the ways gives the longest; -1 when none does. */
int bt_longest_stock(const struct bt_account_finding *x);
const char *bt_beside_key(enum bt_beside which); /* "by_fall", as in JSON */

/* The garden's beds in two or three sentences. Texts are kept in `kept`. */
struct bt_fertility;
struct bt_fertility *bt_fertility_new(struct bt_arena *kept);
void bt_fertility_add(struct bt_fertility *t, const struct bt_show *w,
                      const struct bt_finding *f);
void bt_fertility_write(struct bt_out *o, const struct bt_show *w,
                        const struct bt_fertility *t);

#endif
