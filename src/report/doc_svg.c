/* Charts: stacked bars with ranges, as a picture whose words can be selected. Each part has
 * a number of its own in the bar and in the key, so that colour says nothing alone. Blanks
 * follow the texts for readers that know no pictures and show the texts one after another.
 */
#include <math.h>
#include <string.h>

#include "report/doc_markup.h"
#include "report/number.h"

enum { WIDTH = 520, LEFT = 8, RIGHT = 16, ROW = 84, BAR = 26, TOP = 36, AXIS = 54 };
enum { LETTER = 7 }; /* the width of a small letter or figure, amply */

/* The name of SVG's elements (no address: nothing is fetched). Programs that take a picture
 * out of the page need it, and its size, because some lose the viewBox. */
static const char SVG_NAME[] = "http:"
                               "//www.w3.org/2000/svg";

static const char *const colour[BT_CHART_COLOURS] = {
    "#0072b2", "#e69f00", "#2fae87", "#d58bb4", "#7cc4ee", "#e8752a", "#f0e442", "#a8a8a8"};

static const double LEAST_NUMBERED =
    15; /* unit-free: a narrower part has no room for one */

struct scale {
    double low, high, step; /* unit-free: in the chart's unit */
};

/* 1, 2 or 5 times a power of ten, so that the axis has three to seven marks. */
static double step_of(double span)
{
    const double rough = span / 5;
    const double power = pow(10, floor(log10(rough)));
    const double lead = rough / power;
    return power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
}

static struct scale scale_of(const struct bt_doc_chart *c)
{
    struct scale s = {0, 0, 1};
    for (size_t b = 0; b < c->n_bars; b++) {
        double below = 0, above = 0;
        for (size_t k = 0; k < c->bar[b].n_segments; k++) {
            const double v = c->bar[b].segment[k].value;
            below += v < 0 ? v : 0;
            above += v > 0 ? v : 0;
        }
        if (c->bar[b].has_range) {
            below = c->bar[b].low < below ? c->bar[b].low : below;
            above = c->bar[b].high > above ? c->bar[b].high : above;
        }
        s.low = below < s.low ? below : s.low;
        s.high = above > s.high ? above : s.high;
    }
    if (!(s.high > s.low))
        s.high = s.low + 1;
    s.step = step_of(s.high - s.low);
    const double margin = (s.high - s.low) / 50;
    s.low -= s.low < 0 ? margin : 0;
    s.high += s.high > 0 ? margin : 0;
    return s;
}

struct picture {
    struct bt_markup *m;
    struct scale scale;
    double height; /* unit-free: of the picture */
};

static double x_of(const struct picture *p, double value)
{
    return LEFT +
           (value - p->scale.low) / (p->scale.high - p->scale.low) * (WIDTH - LEFT - RIGHT);
}

static const char *place(const struct picture *p, double value)
{
    return bt_arena_format(p->m->arena, "%.1f", value);
}

static void draw_line(const struct picture *p, const char *class, const double at[4])
{
    bt_markup_open(p->m, "line", "class", class, "x1", place(p, at[0]), "y1",
                   place(p, at[1]), "x2", place(p, at[2]), "y2", place(p, at[3]), "stroke",
                   "#777", NULL);
    bt_markup_close(p->m);
}

static void draw_text(const struct picture *p, const char *text, const char *anchor,
                      double x, double y)
{
    bt_markup_leaf(p->m, "text", text, "class", "quiet", "font-size", "12", "x",
                   place(p, x), "y", place(p, y), "text-anchor", anchor, NULL);
    bt_markup_text(p->m, " ");
}

static void draw_range(const struct picture *p, double low, double high, double y)
{
    draw_line(p, "range", (double[]){low, y, high, y});
    draw_line(p, "range", (double[]){low, y - 5, low, y + 5});
    draw_line(p, "range", (double[]){high, y - 5, high, y + 5});
}

static void draw_axis(const struct picture *p)
{
    const struct scale *s = &p->scale;
    const double y = p->height - AXIS;
    for (long k = lround(ceil(s->low / s->step)); (double)k * s->step <= s->high; k++) {
        const double x = x_of(p, (double)k * s->step);
        const bool is_zero = k == 0;
        const char *text =
            is_zero ? "0" : bt_figures_short(p->m->arena, (double)k * s->step, 3);
        const double half = (double)(LETTER * strlen(text)) / 2;
        draw_line(p, is_zero ? "axis" : "grid", (double[]){x, 4, x, y + 4});
        draw_text(p, text, "middle", fmin(fmax(x, half), WIDTH - half), y + 19);
    }
    draw_line(p, "axis", (double[]){LEFT, y, WIDTH - RIGHT, y});
}

/* What the scale and the lines below the bars mean. */
static void draw_legend(const struct picture *p, const struct bt_doc_chart *c)
{
    const double y = p->height - 8;
    bool has_range = false;
    for (size_t b = 0; b < c->n_bars; b++)
        has_range |= c->bar[b].has_range;
    draw_text(p, bt_arena_format(p->m->arena, "scale in %s", c->unit), "end", WIDTH - RIGHT,
              y);
    if (!has_range)
        return;
    draw_range(p, LEFT, LEFT + 30, y - 4);
    draw_text(p, "9 times in 10 between the ends", "start", LEFT + 38, y);
}

/* The parts too narrow for a number have theirs above them, with a line between. */
struct outside {
    double centre; /* unit-free: of the part */
    size_t number;
};

static void draw_part(const struct picture *p, const struct bt_doc_segment *s,
                      size_t number, const double at[3])
{
    const size_t c = (number - 1) % BT_CHART_COLOURS;
    const double left = at[0] < at[1] ? at[0] : at[1];
    const double width = fabs(at[1] - at[0]);
    struct bt_arena *a = p->m->arena;
    bt_markup_open(p->m, "rect", "class", "part", "x", place(p, left), "y", place(p, at[2]),
                   "width", place(p, width), "height", place(p, BAR), "fill", colour[c],
                   NULL);
    bt_markup_leaf(p->m, "title", bt_arena_format(a, "%s: %s", s->label, s->text), NULL);
    bt_markup_close(p->m);
    if (width < LEAST_NUMBERED)
        return;
    bt_markup_leaf(p->m, "text", bt_arena_format(a, "%zu", number), "class",
                   c == 0 ? "under c0" : "under", "font-size", "12", "fill",
                   c == 0 ? "#fff" : "#000", "x", place(p, left + width / 2), "y",
                   place(p, at[2] + BAR - 8), "text-anchor", "middle", NULL);
    bt_markup_text(p->m, " ");
}

static void insert(struct outside *list, size_t n, struct outside x)
{
    for (; n > 0 && list[n - 1].centre > x.centre; n--)
        list[n] = list[n - 1];
    list[n] = x;
}

/* From left to right, none on another, the last still in the picture. */
static void draw_outside(const struct picture *p, const struct outside *list, size_t n,
                         double y)
{
    double free = 0;
    for (size_t k = 0; k < n; k++) {
        const char *text = bt_arena_format(p->m->arena, "%zu", list[k].number);
        const double half = (double)(LETTER * strlen(text)) / 2;
        const double last = WIDTH - (double)(n - k) * 2 * LETTER;
        const double x = fmin(fmax(list[k].centre, free + half), last);
        draw_line(p, "to", (double[]){x, y - 4, list[k].centre, y + 1});
        bt_markup_leaf(p->m, "text", text, "class", "small", "font-size", "11", "x",
                       place(p, x), "y", place(p, y - 6), "text-anchor", "middle", NULL);
        bt_markup_text(p->m, " ");
        free = x + half + 3;
    }
}

static void draw_bar(const struct picture *p, const struct bt_doc_bar *b, size_t row,
                     size_t first)
{
    const double y = TOP + (double)row * ROW;
    double above = 0, below = 0;
    struct outside *narrow =
        bt_arena_alloc(p->m->arena, (b->n_segments + 1) * sizeof *narrow);
    size_t n = 0;
    bt_markup_leaf(p->m, "text", b->label, "x", place(p, LEFT), "y", place(p, y - 20),
                   NULL);
    bt_markup_text(p->m, " ");
    for (size_t k = 0; k < b->n_segments; k++) {
        double *end = b->segment[k].value < 0 ? &below : &above;
        const double from = x_of(p, *end);
        *end += b->segment[k].value;
        const double to = x_of(p, *end);
        draw_part(p, &b->segment[k], first + k, (double[]){from, to, y});
        if (fabs(to - from) < LEAST_NUMBERED)
            insert(narrow, n++, (struct outside){(from + to) / 2, first + k});
    }
    draw_outside(p, narrow, n, y);
    if (b->has_range)
        draw_range(p, x_of(p, b->low), x_of(p, b->high), y + BAR + 9);
}

static void put_key(struct bt_markup *m, const struct bt_doc_bar *b, size_t first)
{
    bt_markup_leaf(m, "p", bt_arena_format(m->arena, "%s: %s", b->label, b->text), NULL);
    if (b->n_segments == 0)
        return;
    bt_markup_open(m, "ul", "class", "key", NULL);
    for (size_t k = 0; k < b->n_segments; k++) {
        const size_t number = first + k;
        bt_markup_open(m, "li", NULL);
        bt_markup_leaf(m, "b", bt_arena_format(m->arena, "%zu", number), "class",
                       bt_arena_format(m->arena, "c%zu", (number - 1) % BT_CHART_COLOURS),
                       NULL);
        bt_markup_text(m, " ");
        bt_markup_leaf(
            m, "span",
            bt_arena_format(m->arena, "%s: %s", b->segment[k].label, b->segment[k].text),
            NULL);
        bt_markup_close(m);
    }
    bt_markup_close(m);
}

void bt_markup_chart(struct bt_markup *m, const struct bt_doc_chart *c, size_t nth)
{
    struct picture p = {m, scale_of(c), TOP + (double)c->n_bars * ROW - 34 + AXIS};
    const char *title = bt_arena_format(m->arena, "t%zu", nth);
    const char *description = bt_arena_format(m->arena, "d%zu", nth);
    bt_markup_open(m, "figure", NULL);
    bt_markup_leaf(m, "figcaption", c->title, NULL);
    bt_markup_open(m, "div", NULL);
    bt_markup_open(m, "svg", "viewBox",
                   bt_arena_format(m->arena, "0 0 %d %.0f", WIDTH, p.height), "role", "img",
                   "aria-labelledby",
                   bt_arena_format(m->arena, "%s %s", title, description), "font-family",
                   "sans-serif", "font-size", "14", "xmlns", SVG_NAME, "width",
                   bt_arena_format(m->arena, "%d", WIDTH), "height",
                   bt_arena_format(m->arena, "%.0f", p.height), NULL);
    bt_markup_leaf(m, "title", c->title, "id", title, NULL);
    bt_markup_leaf(m, "desc", c->description, "id", description, NULL);
    bt_markup_text(m, " ");
    draw_axis(&p);
    draw_legend(&p, c);
    size_t first = 1;
    for (size_t b = 0; b < c->n_bars; b++) {
        draw_bar(&p, &c->bar[b], b, first);
        first += c->bar[b].n_segments;
    }
    bt_markup_close(m);
    bt_markup_close(m);
    first = 1;
    for (size_t b = 0; b < c->n_bars; b++) {
        put_key(m, &c->bar[b], first);
        first += c->bar[b].n_segments;
    }
    bt_markup_close(m);
}
