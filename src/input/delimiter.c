#include "input/delimiter.h"

#include <stdbool.h>
#include <string.h>

#include "base/text.h"

enum { LINES = 40, SIGNS = 3 };
static const char signs[SIGNS] = {',', ';', '\t'};

/* How often each sign stands in the first lines that are not empty. */
struct counts {
    size_t n_lines;
    unsigned of[SIGNS][LINES];
};

static bool is_end(char c)
{
    return c == '\n' || c == '\r';
}

static int sign_of(char c)
{
    for (int k = 0; k < SIGNS; k++)
        if (signs[k] == c)
            return k;
    return -1;
}

/* One line: what stands in quotes that begin a cell does not count. Returns its end. */
static size_t count_line(const char *s, size_t from, size_t n, unsigned of[SIGNS],
                         bool *out_empty)
{
    bool begins = true, quoted = false;
    size_t i = from;
    *out_empty = true;
    for (; i < n && !is_end(s[i]); i++) {
        const int sign = quoted ? -1 : sign_of(s[i]);
        const bool blank = s[i] == ' ' || s[i] == '\t';
        if (s[i] == '"' && (quoted || begins))
            quoted = !quoted;
        if (sign >= 0)
            of[sign]++;
        begins = sign >= 0 || (begins && blank);
        *out_empty = *out_empty && (sign >= 0 || blank);
    }
    return i;
}

static void count(const char *s, size_t n, struct counts *c)
{
    for (size_t i = 0; i < n && c->n_lines < LINES; i++) {
        unsigned of[SIGNS] = {0, 0, 0};
        bool empty;
        i = count_line(s, i, n, of, &empty);
        for (int k = 0; k < SIGNS && !empty; k++)
            c->of[k][c->n_lines] = of[k];
        c->n_lines += !empty;
    }
}

/* Most lines that have the sign equally often. */
static size_t evenness(const struct counts *c, int sign)
{
    size_t most = 0;
    for (size_t i = 0; i < c->n_lines; i++) {
        size_t same = 0;
        for (size_t k = 0; k < c->n_lines; k++)
            same += c->of[sign][i] > 0 && c->of[sign][k] == c->of[sign][i];
        most = same > most ? same : most;
    }
    return most;
}

/* Lists such as `A1; A2` stand in cells too: a sign that the first line has not is none. */
static char most_even(const struct counts *c)
{
    int best = 0;
    for (int k = 1; k < SIGNS && c->n_lines > 0; k++) {
        if (c->of[k][0] == 0)
            continue;
        const size_t even = evenness(c, k), best_even = evenness(c, best);
        if (even > best_even || (even == best_even && c->of[k][0] > c->of[best][0]))
            best = k;
    }
    return signs[best];
}

struct bt_delimiter bt_delimiter_of(const char *text, size_t n)
{
    struct counts c = {0};
    if (n >= 6 && strncmp(text + 1, "ep=", 3) == 0 && (text[0] == 's' || text[0] == 'S') &&
        strchr(",;\t|", text[4]) && is_end(text[5])) {
        const bool two = n > 6 && text[5] == '\r' && text[6] == '\n';
        return (struct bt_delimiter){text[4], two ? 7 : 6};
    }
    count(text, n, &c);
    return (struct bt_delimiter){most_even(&c), 0};
}

const char *bt_delimiter_name(char sign)
{
    return sign == ';'    ? "semicolons"
           : sign == '\t' ? "tabs"
           : sign == '|'  ? "strokes"
                          : "commas";
}
