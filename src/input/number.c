#include "input/number.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LONGEST 60 /* characters of a number; nobody measured more digits */

bool bt_decimal(const char **text, bool sign, double *out)
{
    const char *s = *text;
    if (sign && (*s == '-' || *s == '+'))
        s++;
    const char *digits = s;
    while (bt_is_digit(*s))
        s++;
    size_t n_digits = (size_t)(s - digits);
    if (*s == '.' && bt_is_digit(s[1])) {
        const char *behind = ++s;
        while (bt_is_digit(*s))
            s++;
        n_digits += (size_t)(s - behind);
    }
    if (n_digits == 0)
        return false;
    if (*s == 'e' || *s == 'E') {
        const char *e = s + 1 + (s[1] == '-' || s[1] == '+');
        const char *exponent = e;
        while (bt_is_digit(*e))
            e++;
        if (e > exponent && !bt_is_letter(*e))
            s = e;
    }
    /* strtod sees only what was checked above, so none of its other spellings. */
    char copy[LONGEST + 1];
    const size_t n = (size_t)(s - *text);
    if (n > LONGEST)
        return false;
    memcpy(copy, *text, n);
    copy[n] = '\0';
    char *end = NULL;
    *out = strtod(copy, &end);
    if (*end != '\0')
        return false;
    *text = s;
    return true;
}

static size_t run_of_digits(const char *s)
{
    size_t n = 0;
    while (bt_is_digit(s[n]))
        n++;
    return n;
}

/* `1,200` or `1,200,000.5`: value, moved past; FINE when there is no comma. */
static enum bt_number_fault with_commas(const char **text, double *out)
{
    const char *s = *text;
    char copy[LONGEST + 1];
    size_t n = run_of_digits(s);
    const bool grouped = n >= 1 && n <= 3 && s[0] != '0';
    if (s[n] == '.') { /* `1.250,5` */
        const size_t more = run_of_digits(s + n + 1);
        return more && s[n + 1 + more] == ',' && bt_is_digit(s[n + 2 + more])
                   ? BT_NUMBER_COMMA
                   : BT_NUMBER_FINE;
    }
    if (s[n] != ',' || !bt_is_digit(s[n + 1]))
        return BT_NUMBER_FINE;
    if (!grouped)
        return BT_NUMBER_COMMA;
    memcpy(copy, s, n);
    s += n;
    while (*s == ',' && bt_is_digit(s[1])) {
        if (run_of_digits(s + 1) != 3 || n + 3 >= LONGEST)
            return BT_NUMBER_COMMA;
        memcpy(copy + n, s + 1, 3);
        n += 3;
        s += 4;
    }
    if (*s == '.') {
        const size_t more = run_of_digits(s + 1);
        if (n + 1 + more >= LONGEST)
            return BT_NUMBER_HUGE;
        memcpy(copy + n, s, 1 + more);
        n += 1 + more;
        s += 1 + more;
    }
    copy[n] = '\0';
    const char *read = copy;
    if (!bt_decimal(&read, false, out) || *read)
        return BT_NUMBER_COMMA;
    *text = s;
    return BT_NUMBER_THOUSANDS;
}

/* Whole numbers of at most six digits on both sides of a stroke, `3/4`; moved past. */
static bool fraction(const char **text, unsigned long *over, unsigned long *under)
{
    const char *s = *text;
    const size_t n = run_of_digits(s);
    const size_t m = n && s[n] == '/' ? run_of_digits(s + n + 1) : 0;
    const char next = m ? s[n + 1 + m] : ' ';
    if (m == 0 || n > 6 || m > 6 || next == '/' || next == '.' || next == ',')
        return false;
    *over = strtoul(s, NULL, 10);
    *under = strtoul(s + n + 1, NULL, 10);
    *text = s + n + 1 + m;
    return true;
}

/* After the whole number at *text: ` 1/2` or `-1/2`; adds it and moves on. */
static enum bt_number_fault mixed(const char **text, double *value)
{
    const char *s = *text;
    const char join = *s;
    unsigned long over = 0, under = 0;
    if ((join != ' ' && join != '-') || !bt_is_digit(*++s) || !fraction(&s, &over, &under))
        return BT_NUMBER_NONE;
    if (under == 0)
        return BT_NUMBER_ZERO;
    /* `1-3/4` is no range, which would run downwards; `0-1/2` is one. */
    if (over >= under || (join == '-' && *value < 1))
        return BT_NUMBER_NONE;
    *value += (double)over / (double)under;
    *text = s;
    return join == '-' ? BT_NUMBER_HYPHEN : BT_NUMBER_FINE;
}

/* A group of three digits set apart by a blank or a mark, which might be thousands. */
static bool group_follows(const char *s)
{
    return (*s == ' ' || *s == '\'') && run_of_digits(s + 1) == 3 && s[4] != '/' &&
           s[4] != '.' && s[4] != '"';
}

static enum bt_number_fault unsigned_number(const char **text, double *out)
{
    const char *s = *text;
    const size_t whole = run_of_digits(s);
    unsigned long over = 0, under = 0;
    enum bt_number_fault fault = with_commas(&s, out);
    if (fault != BT_NUMBER_FINE) {
        *text = s;
        return fault;
    }
    if (fraction(&s, &over, &under)) {
        *out = under ? (double)over / (double)under : 0;
        *text = s;
        return under ? BT_NUMBER_FINE : BT_NUMBER_ZERO;
    }
    if (!bt_decimal(&s, false, out))
        return run_of_digits(s) > LONGEST / 2 ? BT_NUMBER_HUGE : BT_NUMBER_NONE;
    const bool is_whole = (size_t)(s - *text) == whole;
    if (is_whole && whole <= 3 && group_follows(s))
        return BT_NUMBER_GROUPS;
    if (is_whole)
        fault = mixed(&s, out);
    if (fault == BT_NUMBER_ZERO)
        return fault;
    *text = s;
    return fault == BT_NUMBER_NONE ? BT_NUMBER_FINE : fault;
}

bool bt_number(const char **text, double *out, enum bt_number_fault *out_fault)
{
    const char *s = *text;
    const bool negative = *s == '-';
    s += negative;
    *out_fault = unsigned_number(&s, out);
    if (*out_fault == BT_NUMBER_FINE && !isfinite(*out))
        *out_fault = BT_NUMBER_HUGE;
    if (*out_fault != BT_NUMBER_FINE && *out_fault != BT_NUMBER_THOUSANDS &&
        *out_fault != BT_NUMBER_HYPHEN)
        return false;
    if (negative)
        *out = -*out;
    *text = s;
    return true;
}
