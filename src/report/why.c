/* The working: the column of lines of a bed, and for each named quantity a page that says
 * how it comes about: names, figures, what they are and where they come from. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "report/answer.h"
#include "report/origin.h"
#include "report/page.h"
#include "report/spread.h"
#include "report/why_page.h"

/* ---- which pages ---- */

struct walk {
    struct bt_arena *arena;
    const struct bt_sheet *sheet;
    bool *seen;
    size_t n, capacity;
    struct bt_node *page;
};

static void visit(struct walk *t, struct bt_node n)
{
    if (t->seen[n.i])
        return;
    t->seen[n.i] = true;
    if (bt_has_page(t->sheet, n)) {
        t->page = bt_arena_grow(t->arena, t->page, &t->capacity, t->n, sizeof *t->page);
        t->page[t->n++] = n;
    }
    struct bt_node *operand;
    const size_t n_operands = bt_operands(t->arena, t->sheet, n, &operand);
    for (size_t k = 0; k < n_operands; k++)
        visit(t, operand[k]);
}

/* Every named quantity once, those of the lines first. */
static size_t all_pages(const struct bt_show *w, const struct bt_budget *b,
                        struct bt_node **out)
{
    struct walk t = {.arena = w->arena, .sheet = b->sheet};
    t.seen = bt_arena_zero(w->arena, bt_sheet_size(b->sheet) * sizeof *t.seen);
    for (size_t k = 0; k < b->n_accounts; k++) {
        const struct bt_account *x = &b->account[k];
        if (x->known)
            visit(&t, x->balance);
        for (size_t i = 0; i < x->n_lines; i++)
            visit(&t, x->line[i].node);
        if (x->known && x->nutrient == BT_N)
            visit(&t, x->left);
    }
    for (size_t i = 0; i < b->n_plantings; i++) {
        const struct bt_planting_facts *p = &b->planting[i];
        visit(&t, p->uptake);
        if (!p->is_legume)
            continue;
        visit(&t, p->harvested);
        visit(&t, p->transfer);
        visit(&t, p->residue);
        visit(&t, p->draw);
    }
    for (size_t i = 0; i < b->n_legumes; i++) {
        const struct bt_legume_facts *l = &b->legume[i];
        for (int q = 0; q < BT_LEGUME_QUANTITIES; q++)
            if (l->has[q])
                visit(&t, l->node[q]);
        for (size_t k = 0; k < l->n_neighbours; k++)
            visit(&t, l->neighbour[k].met_share);
    }
    *out = t.page;
    return t.n;
}

static bool find(const struct bt_budget *b, const char *name, struct bt_node *out)
{
    for (size_t k = 0; k < b->n_accounts; k++)
        for (size_t i = 0; i < b->account[k].n_lines; i++) {
            const struct bt_line *line = &b->account[k].line[i];
            if (bt_text_is(line->label, name) || bt_text_is(line->id, name)) {
                *out = line->node;
                return true;
            }
        }
    return bt_sheet_find(b->sheet, name, out);
}

bool bt_report_why_nodes(const struct bt_show *w, const struct bt_budget *b,
                         const char *name, size_t *out_n, struct bt_node **out_node)
{
    if (!name) {
        *out_n = all_pages(w, b, out_node);
        return true;
    }
    struct bt_node page;
    struct bt_gap gap;
    (void)bt_gap_nodes(b, &gap); /* what a report says of the bed can be opened too */
    *out_n = 0;
    if (!find(b, name, &page))
        return false;
    struct bt_node *operand;
    const size_t n = bt_operands(w->arena, b->sheet, page, &operand);
    struct bt_node *node = bt_arena_alloc(w->arena, (n + 1) * sizeof *node);
    node[(*out_n)++] = page;
    for (size_t k = 0; k < n; k++)
        if (bt_sheet_node(b->sheet, operand[k])->n_args > 0)
            node[(*out_n)++] = operand[k];
    *out_node = node;
    return true;
}

/* ---- what is shown ---- */

void bt_report_why_lines(struct bt_out *o, const struct bt_show *w,
                         const struct bt_finding *f)
{
    const struct bt_budget *b = f->budget;
    for (size_t k = 0; k < b->n_accounts; k++) {
        const struct bt_account_finding *x = &f->account[k];
        bt_put(o, "%s: %s\n", bt_bed_title(w->arena, b->bed),
               bt_nutrient_title(x->account->nutrient));
        bt_put_lines(o, w, f, x, false);
        bt_put(o, "\n");
    }
    const char *line =
        b->n_accounts && b->account[0].n_lines ? b->account[0].line[0].label : "LINE";
    bt_put(o, "How a line comes about: bedtally why %s %s %s\n",
           bt_shell_word(w->arena, b->garden->folder), bt_shell_word(w->arena, b->bed->id),
           bt_shell_word(w->arena, line));
}

bool bt_report_why_page(struct bt_out *o, const struct bt_show *w, const struct bt_why *y,
                        const char *name)
{
    struct bt_node *page;
    size_t n = 1;
    struct bt_node one;
    if (name) {
        if (!find(y->budget, name, &one))
            return false;
        page = &one;
    } else {
        n = all_pages(w, y->budget, &page);
    }
    for (size_t k = 0; k < n; k++) {
        char **line;
        const size_t n_lines = bt_why_page_lines(w, y, page[k], &line);
        for (size_t i = 0; i < n_lines; i++)
            bt_put(o, "%s\n", line[i]);
        if (k + 1 < n)
            bt_put(o, "\n");
    }
    return true;
}

void bt_report_why_unknown(struct bt_out *o, const struct bt_show *w,
                           const struct bt_budget *b, const char *name)
{
    struct bt_arena *a = w->arena;
    const size_t size = bt_sheet_size(b->sheet);
    const char **label = bt_arena_alloc(a, (size + 1) * sizeof *label);
    size_t n = 0, n_begin = 0;
    char *begin = bt_arena_text(a, "");
    for (size_t i = 0; i < size; i++) {
        const struct bt_node_info *x =
            bt_sheet_node(b->sheet, (struct bt_node){(uint32_t)i});
        if (!x->label)
            continue;
        label[n++] = x->label;
        if (!bt_text_starts(x->label, name) && !bt_text_starts(x->id, name))
            continue;
        if (n_begin < BT_WHY_LINES)
            begin = bt_arena_format(a, "%s%s\"%s\"", begin, n_begin ? ", " : "",
                                    bt_text_shown(a, x->label));
        n_begin++;
    }
    const char *shown = bt_text_shown(a, name);
    if (n_begin > 0) {
        bt_put_wrapped(o, a, "",
                       bt_arena_format(a, "bedtally why: %zu names begin with \"%s\": %s%s",
                                       n_begin, shown, begin,
                                       n_begin > BT_WHY_LINES ? ", ..." : ""));
    } else {
        const char *near = bt_text_nearest(a, name, n, label);
        bt_put_wrapped(
            o, a, "",
            bt_arena_format(a, "bedtally why: nothing in bed %s is called \"%s\"%s%s",
                            bt_text_shown(a, b->bed->id), shown, near ? "; near it: " : "",
                            near ? bt_text_shown(a, near) : ""));
    }
    bt_put(o, "All lines: bedtally why %s %s; every quantity: add --all\n",
           bt_shell_word(a, b->garden->folder), bt_shell_word(a, b->bed->id));
}
