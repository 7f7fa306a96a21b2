/* Text made plain, and the strict reader of numbers. Internal to the readers of units and
 * cells. */
#ifndef BT_INPUT_NUMBER_H
#define BT_INPUT_NUMBER_H

#include <stdbool.h>

#include "base/arena.h"

/* The text in the characters that the readers know: every blank one plain blank, dashes
 * `-`, prime and curly marks `'` and `"`, a fraction character as ` 1/2`, raised and
 * lowered digits after a letter as digits, the degree sign as `deg`, plus-minus as `+-`,
 * times as ` x `. Outer blanks are gone. What is not known stays, and is refused where it
 * is read. */
char *bt_plain(struct bt_arena *a, const char *text);

/* What was peculiar in a number that was read or refused. */
enum bt_number_fault {
    BT_NUMBER_FINE,
    BT_NUMBER_NONE,      /* no number stands here */
    BT_NUMBER_THOUSANDS, /* read; `1,200` has a thousands mark */
    BT_NUMBER_HYPHEN,    /* read; `1-1/2` was taken as one and a half */
    BT_NUMBER_COMMA,     /* refused: a decimal comma */
    BT_NUMBER_GROUPS,    /* refused: `1 500` or `1'000` */
    BT_NUMBER_ZERO,      /* refused: divided by nothing */
    BT_NUMBER_HUGE       /* refused: no number the machine holds */
};

/* A plain number at *text: digits, at most one point, an exponent; sign when `sign` is
 * allowed. On success *text is moved past it. Never hexadecimal, nan or inf. */
bool bt_decimal(const char **text, bool sign, double *out);

/* A number as people write it at *text: decimals, `1,200`, `3/4`, `1 1/2`, `1-1/2`. False
 * when it is refused; *text then stands where it stood. */
bool bt_number(const char **text, double *out, enum bt_number_fault *out_fault);

bool bt_is_digit(char c);
bool bt_is_letter(char c); /* ASCII */

#endif
