#include "base/diag.h"

#include <string.h>

#define KEPT_OF_EACH_WEIGHT 1000

struct bt_diag {
    struct bt_arena *arena;
    size_t n;
    size_t capacity;
    struct bt_message *message;
    size_t count[BT_NOTE + 1]; /* kept or not */
    size_t kept[BT_NOTE + 1];
};

struct bt_diag *bt_diag_new(struct bt_arena *a)
{
    struct bt_diag *d = bt_arena_zero(a, sizeof *d);
    d->arena = a;
    return d;
}

static const char *copied(struct bt_arena *a, const char *text)
{
    return text ? bt_arena_text(a, text) : NULL;
}

bool bt_diag_add(struct bt_diag *d, struct bt_message m)
{
    d->count[m.weight]++;
    if (d->kept[m.weight] < KEPT_OF_EACH_WEIGHT) {
        d->kept[m.weight]++;
        m.at.file = copied(d->arena, m.at.file);
        m.field = copied(d->arena, m.field);
        m.expected = copied(d->arena, m.expected);
        m.found = copied(d->arena, m.found);
        m.hint = copied(d->arena, m.hint);
        d->message = bt_arena_grow(d->arena, d->message, &d->capacity, d->n, sizeof m);
        d->message[d->n++] = m;
    }
    return m.weight != BT_ERROR;
}

size_t bt_diag_count(const struct bt_diag *d, enum bt_weight weight)
{
    return d->count[weight];
}

size_t bt_diag_kept(const struct bt_diag *d)
{
    return d->n;
}

const struct bt_message *bt_diag_get(const struct bt_diag *d, size_t i)
{
    return &d->message[i];
}

/* "FILE:LINE:COL: ", as much of it as is known. */
static char *place(struct bt_arena *a, const struct bt_pos *at)
{
    if (!at->file)
        return bt_arena_text(a, "");
    if (at->line && at->column)
        return bt_arena_format(a, "%s:%u:%u: ", at->file, at->line, at->column);
    if (at->line)
        return bt_arena_format(a, "%s:%u: ", at->file, at->line);
    return bt_arena_format(a, "%s: ", at->file);
}

/* " (row 3, column B)": where a spreadsheet shows it. */
static char *sheet_place(struct bt_arena *a, const struct bt_pos *at)
{
    char letters[8] = "";
    size_t i = sizeof letters - 1;
    for (unsigned f = at->field; f > 0 && i > 0; f = (f - 1) / 26)
        letters[--i] = (char)('A' + (f - 1) % 26);
    if (at->row && at->field)
        return bt_arena_format(a, " (row %u, column %s)", at->row, &letters[i]);
    if (at->row)
        return bt_arena_format(a, " (row %u)", at->row);
    if (at->field)
        return bt_arena_format(a, " (column %s)", &letters[i]);
    return bt_arena_text(a, "");
}

char *bt_message_text(struct bt_arena *a, const struct bt_message *m)
{
    static const char *const word[] = {"error", "warning", "note"};
    const char *expected =
        m->expected ? bt_arena_format(a, "expected %s", m->expected) : "";
    const char *found = m->found ? bt_arena_format(a, "found \"%s\"", m->found) : "";
    const char *between = *expected && *found ? ", " : "";
    const char *colon = m->field && (*expected || *found) ? ": " : "";
    const char *hint = m->hint ? bt_arena_format(a, "\n  hint: %s", m->hint) : "";
    return bt_arena_format(a, "%s%s: %s%s%s%s%s%s%s", place(a, &m->at), word[m->weight],
                           m->field ? m->field : "", colon, expected, between, found,
                           sheet_place(a, &m->at), hint);
}

void bt_diag_print(FILE *out, const struct bt_diag *d, enum bt_weight least)
{
    for (size_t i = 0; i < d->n; i++) {
        if (d->message[i].weight > least)
            continue;
        const struct bt_mark mark = bt_arena_mark(d->arena);
        fprintf(out, "%s\n", bt_message_text(d->arena, &d->message[i]));
        bt_arena_release(d->arena, mark);
    }
    size_t lost = 0;
    for (size_t w = BT_ERROR; w <= (size_t)least; w++)
        lost += d->count[w] - d->kept[w];
    if (lost)
        fprintf(out, "%zu more not shown\n", lost);
}
