/* A date text taken apart into numbers and words. Internal to the readers of dates and
 * cells. */
#ifndef BT_INPUT_DATE_TEXT_H
#define BT_INPUT_DATE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#define BT_DATE_TOKENS 4

struct bt_date_token {
    const char *word; /* NULL for a number */
    size_t n;         /* characters of the word, or digits of the number */
    int number;
    char joint; /* before it: `-`, `/`, `.`, `,` or a blank; 0 at the beginning */
};

/* Numbers and words with single marks between; a time of day at the end and the `th` of
 * `12th` are left out. 0 when there is anything else, or more than BT_DATE_TOKENS. */
size_t bt_date_tokens(const char *plain, struct bt_date_token token[BT_DATE_TOKENS]);

/* A number of four digits that can be a year. */
bool bt_date_is_year(const struct bt_date_token *t);
/* The month that a word names, 1 to 12; 0 for none, as for any number. */
int bt_date_month(const struct bt_date_token *t);

#endif
