#include "report/sum.h"

#include <string.h>

#include "report/page.h"
#include "report/why_page.h"

/* ---- the list, help, docs ---- */

void bt_report_sums(struct bt_out *o)
{
    const struct bt_sum *const *sum;
    const size_t n = bt_sums(&sum);
    bt_put(o, "Sums that need no garden: bedtally sum NAME key=value ...\n\n");
    for (size_t i = 0; i < n; i++)
        bt_put(o, "  %-14s %s\n", sum[i]->name, sum[i]->summary);
    bt_put(
        o,
        "\n  bedtally sum NAME --help   its keys, and an example\n"
        "Values take any unit (lb/1000 sq ft, g/m2 ...) and any range (2..4 lb): then the\n"
        "answer is a range too. Quote what has blanks: rate='0.1 lb/100 sq ft'.\n");
}

static const char *marks(struct bt_arena *a, const struct bt_sum_key *k)
{
    return bt_arena_format(a, "%s%s", k->name, k->takes & BT_TAKES_MANY ? "1..9" : "");
}

void bt_report_sum_help(struct bt_out *o, const struct bt_show *w, const struct bt_sum *sum)
{
    struct bt_arena *a = w->arena;
    bt_put(o, "bedtally sum %s: %s\n\n", sum->name, sum->summary);
    bt_put_wrapped(o, a, "", sum->rule);
    bt_put(o, "\nkeys (* must be given):\n");
    for (const struct bt_sum_key *k = sum->key; k->name; k++) {
        const char *first = bt_arena_format(a, "  %-20s %s", marks(a, k),
                                            k->takes & BT_NEEDED ? "* " : "  ");
        bt_put_wrapped(o, a, first,
                       bt_arena_format(a, "%s: %s", k->meaning, bt_sum_takes_text(a, k)));
    }
    bt_put(o, "\nexample:\n");
    bt_put(o, "  bedtally sum %s %s\n", sum->name, sum->example);
}

void bt_report_sums_docs(struct bt_out *o, const struct bt_show *w)
{
    const struct bt_sum *const *sum;
    const size_t n = bt_sums(&sum);
    bt_put(o,
           "# Single sums\n\n"
           "`bedtally sum NAME key=value ...` works one sum out without a garden, by the\n"
           "equations the budget uses, and shows the working and the sources. Values take "
           "any\nunit and any range (`2..4 lb`, `2..3..4 lb`); then the answer is a range. "
           "`--format\njson` gives an object of the schema `bedtally-sum-1`. This page is "
           "made from the\nprogram's own table and held to it by a test.\n");
    for (size_t i = 0; i < n; i++) {
        bt_put(o, "\n## %s\n\n%s. %s\n\n", sum[i]->name, sum[i]->summary, sum[i]->rule);
        bt_put(o, "| key | takes | meaning |\n|---|---|---|\n");
        for (const struct bt_sum_key *k = sum[i]->key; k->name; k++)
            bt_put(o, "| `%s`%s | %s | %s |\n", marks(w->arena, k),
                   k->takes & BT_NEEDED ? " (needed)" : "", bt_sum_takes_text(w->arena, k),
                   k->meaning);
        bt_put(o, "\n    bedtally sum %s %s\n", sum[i]->name, sum[i]->example);
    }
}

/* ---- an answer ---- */

/* "2.2 per lb" for a price, else the number and its unit. */
static const char *with_unit(struct bt_arena *a, const char *number, const char *unit)
{
    if (strncmp(unit, "1/", 2) == 0)
        return bt_arena_format(a, "%s per %s", number, unit + 2);
    return *unit ? bt_arena_format(a, "%s %s", number, unit) : number;
}

static void put_results(struct bt_out *o, const struct bt_show *w,
                        const struct bt_sum_answer *x)
{
    struct bt_arena *a = w->arena;
    enum { COLUMNS = 3 };
    struct bt_grid grid = bt_grid_new(a, COLUMNS, 0);
    for (size_t i = 0; i < x->n_results; i++) {
        const struct bt_sum_result *r = &x->result[i];
        const char *ends = bt_ends_text(a, r->spread.p05 / r->unit_factor,
                                        r->spread.p95 / r->unit_factor, BT_FIGURES);
        const char *const row[COLUMNS] = {
            r->name,
            with_unit(a, bt_figures_short(a, r->spread.likely / r->unit_factor, BT_FIGURES),
                      r->unit),
            *ends ? bt_arena_format(a, "9 times in 10 %s", ends) : ""};
        bt_grid_row(&grid, row);
    }
    bt_grid_write(o, &grid, 2);
}

/* A node that has two names has its page under the first. */
static bool put_second_name(struct bt_out *o, const struct bt_show *w,
                            const struct bt_sheet *s, struct bt_node n)
{
    const struct bt_node_info *x = bt_sheet_node(s, n);
    const struct bt_node_info *first = x;
    while (first->op == BT_OP_SAME)
        first = bt_sheet_node(s, first->arg[0]);
    if (first == x || !first->label)
        return false;
    bt_put(o, "\n%s: that is, %s\n", bt_text_shown(w->arena, x->label),
           bt_text_shown(w->arena, first->label));
    return true;
}

static void put_working(struct bt_out *o, const struct bt_show *w,
                        const struct bt_sum_answer *x)
{
    const struct bt_budget only_sheet = {.sheet = x->sheet};
    const struct bt_why why = {.budget = &only_sheet,
                               .n = x->n_pages,
                               .node = x->page,
                               .spread = x->page_spread,
                               .with_units = true};
    for (size_t i = 0; i < x->n_pages; i++) {
        char **line;
        if (put_second_name(o, w, x->sheet, x->page[i]))
            continue;
        const size_t n = bt_why_page_lines(w, &why, x->page[i], &line);
        bt_put(o, "\n");
        for (size_t k = 0; k < n; k++)
            bt_put(o, "%s\n", line[k]);
    }
}

void bt_report_sum(struct bt_out *o, const struct bt_show *w,
                   const struct bt_sum_answer *answer)
{
    struct bt_arena *a = w->arena;
    bt_put(o, "%s: %s\n", answer->sum->name, answer->sum->summary);
    put_results(o, w, answer);
    for (size_t i = 0; i < answer->n_notes; i++)
        bt_put_wrapped(o, a, "  - ", bt_text_shown(a, answer->note[i]));
    if (answer->n_pages > 0)
        bt_put(o, "\nWorking (> has a page of its own here)\n");
    put_working(o, w, answer);
    bt_put(o, "\n");
    bt_put_wrapped(o, a, "", bt_arena_format(a, "Rule: %s", answer->sum->rule));
    bt_put_wrapped(o, a, "", bt_arena_format(a, "Source: %s", answer->source));
}
