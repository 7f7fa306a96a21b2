#include "chance/course.h"

#include <math.h>
#include <stdbool.h>

#include "chance/add_columns.h"
#include "shape/kernel.h"

static void add_line(struct bt_course_date *date, const struct bt_sheet *sheet,
                     const struct bt_sampler *s, const struct bt_line *line, double share)
{
    const double weight = line->side == BT_DEMAND ? -share : share;
    const double likely = bt_likely(sheet, line->node);
    date->likely += weight * likely;
    if (!bt_program_varies(s->program, line->node)) {
        date->fixed += weight * likely;
    } else if (share != 0) {
        date->column[date->n] = bt_program_column(s->program, line->node);
        date->weight[date->n++] = weight;
    }
}

struct bt_course bt_course_new(struct bt_arena *a, const struct bt_sheet *sheet,
                               const struct bt_sampler *s, const struct bt_account *account)
{
    struct bt_course c = {.n_dates = account->n_dates, .likely = HUGE_VAL};
    c.date = bt_arena_zero(a, c.n_dates * sizeof *c.date);
    c.times_lowest = bt_arena_zero(a, c.n_dates * sizeof *c.times_lowest);
    c.times_short = bt_arena_zero(a, c.n_dates * sizeof *c.times_short);
    for (size_t t = 0; t < c.n_dates; t++) {
        struct bt_course_date *date = &c.date[t];
        date->column = bt_arena_alloc(a, account->n_lines * sizeof *date->column);
        date->weight = bt_arena_alloc(a, account->n_lines * sizeof *date->weight);
        for (size_t k = 0; k < account->n_lines; k++)
            add_line(date, sheet, s, &account->line[k], account->line[k].by_date[t]);
        c.likely = date->likely < c.likely ? date->likely : c.likely;
    }
    return c;
}

BT_KERNEL static void lowest_of(size_t n_dates, const struct bt_course_date *date,
                                double *restrict lowest, double *restrict which)
{
    double at[BT_BLOCK];
    for (int i = 0; i < BT_BLOCK; i++) {
        lowest[i] = HUGE_VAL;
        which[i] = 0;
    }
    for (size_t t = 0; t < n_dates; t++) {
        const double number = (double)t;
        bt_add_columns(date[t].fixed, date[t].n, date[t].column, date[t].weight, at);
        for (int i = 0; i < BT_BLOCK; i++) {
            which[i] = at[i] < lowest[i] ? number : which[i];
            lowest[i] = at[i] < lowest[i] ? at[i] : lowest[i];
        }
    }
}

void bt_course_block(struct bt_course *c, double *out_lowest)
{
    double which[BT_BLOCK];
    lowest_of(c->n_dates, c->date, out_lowest, which);
    for (int i = 0; i < BT_BLOCK; i++) {
        c->times_lowest[(size_t)which[i]]++;
        c->times_short[(size_t)which[i]] += out_lowest[i] < 0;
    }
}

static size_t sum(size_t n, const size_t *times)
{
    size_t total = 0;
    for (size_t t = 0; t < n; t++)
        total += times[t];
    return total;
}

enum { SELDOM = 20 }; /* short less often than once in so many draws */

size_t bt_course_tightest(const struct bt_course *c, double *out_share)
{
    const bool falls_short =
        SELDOM * sum(c->n_dates, c->times_short) > sum(c->n_dates, c->times_lowest);
    const size_t *times = falls_short ? c->times_short : c->times_lowest;
    size_t tightest = 0;
    for (size_t t = 1; t < c->n_dates; t++)
        if (times[t] > times[tightest])
            tightest = t;
    const size_t all = sum(c->n_dates, times);
    *out_share = all ? (double)times[tightest] / (double)all : 0;
    return tightest;
}
