/* A date text taken apart into numbers and words. Internal to the readers of dates and
 * cells. */
#ifndef BT_INPUT_DATE_TEXT_H
#define BT_INPUT_DATE_TEXT_H

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

#endif
