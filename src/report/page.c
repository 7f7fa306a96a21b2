#include "report/page.h"

#include <math.h>
#include <string.h>

/* The next code point; bytes that are no UTF-8 count as one unknown character each. */
static unsigned next_point(const char **at)
{
    const unsigned char *s = (const unsigned char *)*at;
    size_t extra = s[0] >= 0xF0 ? 3 : s[0] >= 0xE0 ? 2 : s[0] >= 0xC2 ? 1 : 0;
    unsigned point = extra == 3   ? s[0] & 7u
                     : extra == 2 ? s[0] & 15u
                     : extra == 1 ? s[0] & 31u
                                  : s[0];
    for (size_t k = 1; k <= extra; k++) {
        if ((s[k] & 0xC0u) != 0x80u) {
            extra = 0;
            point = 0xFFFD;
            break;
        }
        point = point << 6 | (s[k] & 63u);
    }
    if (extra == 0 && s[0] >= 0x80)
        point = 0xFFFD;
    *at += extra + 1;
    return point;
}

struct span {
    unsigned first, last;
};

static bool within(unsigned point, size_t n, const struct span *spans)
{
    for (size_t k = 0; k < n; k++)
        if (point >= spans[k].first && point <= spans[k].last)
            return true;
    return false;
}

static size_t point_width(unsigned point)
{
    static const struct span none[] = {
        {0x0300, 0x036F},
        {0x0591, 0x05BD},
        {0x064B, 0x065F},
        {0x200B, 0x200F},
        {0x20D0, 0x20FF},
        {0xFE00, 0xFE0F},
        {0xFE20, 0xFE2F},
        {0xFEFF, 0xFEFF}
    };
    static const struct span two[] = {
        {0x1100,  0x115F },
        {0x2E80,  0xA4CF },
        {0xAC00,  0xD7A3 },
        {0xF900,  0xFAFF },
        {0xFE30,  0xFE6F },
        {0xFF00,  0xFF60 },
        {0xFFE0,  0xFFE6 },
        {0x1F300, 0x1FAFF}
    };
    if (point < 0x300)
        return 1;
    if (within(point, sizeof none / sizeof none[0], none))
        return 0;
    return within(point, sizeof two / sizeof two[0], two) ? 2 : 1;
}

size_t bt_text_width(const char *text)
{
    size_t width = 0;
    while (*text) {
        if (text[0] == '\033' && text[1] == '[') {
            text += strcspn(text, "m");
            text += *text == 'm';
            continue;
        }
        width += point_width(next_point(&text));
    }
    return width;
}

const char *bt_text_shown(struct bt_arena *a, const char *text)
{
    /* directional embeddings, overrides and isolates; line and paragraph separators */
    static const struct span turning[] = {
        {0x202A, 0x202E},
        {0x2066, 0x2069},
        {0x2028, 0x2029}
    };
    char *shown = bt_arena_alloc(a, strlen(text) + 1);
    size_t n = 0;
    for (const char *at = text; *at;) {
        const char *start = at;
        const unsigned point = next_point(&at);
        const bool control =
            point < 0x20 || (point >= 0x7F && point < 0xA0) || point == 0xFFFD;
        if (control || within(point, sizeof turning / sizeof turning[0], turning)) {
            shown[n++] = '?';
            continue;
        }
        memcpy(shown + n, start, (size_t)(at - start));
        n += (size_t)(at - start);
    }
    shown[n] = '\0';
    return shown;
}

const char *bt_shell_word(struct bt_arena *a, const char *text)
{
    const char *shown = bt_text_shown(a, text ? text : "");
    const size_t plain =
        strspn(shown, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                      "0123456789_./-");
    if (*shown && shown[plain] == '\0')
        return shown;
    char *word = bt_arena_text(a, "'");
    for (const char *at = shown; *at;) {
        const size_t n = strcspn(at, "'");
        word = bt_arena_format(a, "%s%.*s%s", word, (int)n, at, at[n] ? "'\\''" : "");
        at += n + (at[n] != '\0');
    }
    return bt_arena_format(a, "%s'", word);
}

/* ---- columns ---- */

struct bt_grid bt_grid_new(struct bt_arena *a, size_t n_columns, unsigned right)
{
    return (struct bt_grid){.arena = a, .n_columns = n_columns, .right = right};
}

void bt_grid_row(struct bt_grid *g, const char *const *cells)
{
    const size_t n = g->n_columns;
    g->cell =
        bt_arena_grow(g->arena, g->cell, &g->capacity, g->n_rows, n * sizeof *g->cell);
    for (size_t k = 0; k < n; k++)
        g->cell[g->n_rows * n + k] = cells[k] ? cells[k] : "";
    g->n_rows++;
}

static size_t column_width(const struct bt_grid *g, size_t column)
{
    size_t widest = 0;
    for (size_t r = 0; r < g->n_rows; r++) {
        const size_t width = bt_text_width(g->cell[r * g->n_columns + column]);
        widest = width > widest ? width : widest;
    }
    return widest;
}

static char *blanks(struct bt_arena *a, size_t n)
{
    return bt_arena_format(a, "%*s", (int)n, "");
}

static char *set_line(const struct bt_grid *g, const size_t *width, size_t row,
                      size_t indent)
{
    char *line = blanks(g->arena, indent);
    size_t owed = 0; /* blanks not written yet, so that no line ends in one */
    for (size_t k = 0; k < g->n_columns; k++) {
        const char *cell = g->cell[row * g->n_columns + k];
        const size_t fill = width[k] - bt_text_width(cell);
        const bool right = (g->right >> k & 1u) != 0;
        if (*cell) {
            line = bt_arena_format(g->arena, "%s%*s%s", line,
                                   (int)(owed + (right ? fill : 0)), "", cell);
            owed = right ? 0 : fill;
        } else {
            owed += width[k];
        }
        owed += width[k] > 0 ? 2 : 0;
    }
    return line;
}

static size_t *widths(const struct bt_grid *g)
{
    size_t *width = bt_arena_alloc(g->arena, g->n_columns * sizeof *width);
    for (size_t k = 0; k < g->n_columns; k++)
        width[k] = column_width(g, k);
    return width;
}

char *bt_grid_line(const struct bt_grid *g, size_t row, size_t indent)
{
    return set_line(g, widths(g), row, indent);
}

void bt_grid_write(struct bt_out *o, const struct bt_grid *g, size_t indent)
{
    const size_t *width = widths(g);
    for (size_t r = 0; r < g->n_rows; r++)
        bt_put(o, "%s\n", set_line(g, width, r, indent));
}

/* ---- sentences ---- */

size_t bt_wrapped(struct bt_arena *a, const char *first, const char *text,
                  char ***out_lines)
{
    char **lines = NULL;
    size_t n = 0, capacity = 0;
    const char *hanging = blanks(a, bt_text_width(first));
    char *line = bt_arena_text(a, first);
    bool empty = true;
    while (*text) {
        size_t length = strcspn(text, " ");
        while (text[length] == ' ' && text[length + 1] == '%') /* "13 %" is one word */
            length += 1 + strcspn(text + length + 1, " ");
        char *word = bt_arena_text_n(a, text, length);
        if (!empty && bt_text_width(line) + 1 + bt_text_width(word) > BT_PAGE_WIDTH) {
            lines = bt_arena_grow(a, lines, &capacity, n, sizeof *lines);
            lines[n++] = line;
            line = bt_arena_text(a, hanging);
            empty = true;
        }
        line = bt_arena_format(a, "%s%s%s", line, empty ? "" : " ", word);
        empty = false;
        text += length;
        text += strspn(text, " ");
    }
    lines = bt_arena_grow(a, lines, &capacity, n, sizeof *lines);
    lines[n++] = line;
    *out_lines = lines;
    return n;
}

void bt_put_wrapped(struct bt_out *o, struct bt_arena *a, const char *first,
                    const char *text)
{
    char **lines;
    const size_t n = bt_wrapped(a, first, text, &lines);
    for (size_t k = 0; k < n; k++)
        bt_put(o, "%s\n", lines[k]);
}

void bt_put_title(struct bt_out *o, const struct bt_show *w, const char *title)
{
    bt_put(o, w->colour ? "\n\033[1m%s\033[0m\n" : "\n%s\n", title);
}

/* ---- bars ---- */

static double held(double share)
{
    return share > 0 ? share < 1 ? share : 1 : 0; /* 0 for a number that is none */
}

/* Where the text now ends; the room is the caller's. */
static char *add(char *end, const char *more)
{
    const size_t n = strlen(more);
    memcpy(end, more, n + 1);
    return end + n;
}

char *bt_bar(const struct bt_show *w, double share, size_t width)
{
    static const char *const eighth[] = {"",       "\u258F", "\u258E", "\u258D",
                                         "\u258C", "\u258B", "\u258A", "\u2589"};
    char *bar = bt_arena_zero(w->arena, 3 * width + 4);
    if (!w->unicode) {
        memset(bar, '#', (size_t)lround(held(share) * (double)width));
        return bar;
    }
    const size_t eighths = (size_t)lround(8 * held(share) * (double)width);
    char *end = bar;
    for (size_t k = 0; k < eighths / 8; k++)
        end = add(end, "\u2588");
    add(end, eighth[eighths % 8]);
    return bar;
}

static size_t cell_at(struct bt_axis axis, double x, size_t width)
{
    const double share = held((x - axis.low) / (axis.high - axis.low));
    const size_t cell = (size_t)(share * (double)width);
    return cell < width ? cell : width - 1;
}

char *bt_band(const struct bt_show *w, struct bt_axis axis, double low, double likely,
              double high, size_t width)
{
    char *band = bt_arena_zero(w->arena, 3 * width + 1);
    if (!(axis.high > axis.low) || !isfinite(low) || !isfinite(high) || !isfinite(likely))
        return band;
    const size_t from = cell_at(axis, low, width);
    const size_t to = cell_at(axis, high, width);
    const size_t mark = cell_at(axis, likely, width);
    char *end = band;
    for (size_t k = 0; k < width && (k <= to || k <= mark); k++) {
        const bool in = k >= from && k <= to;
        if (k == mark)
            end = add(end, w->unicode ? "\u2588" : "#");
        else if (in)
            end = add(end, w->unicode ? "\u2591" : "-");
        else
            end = add(end, " ");
    }
    return band;
}
