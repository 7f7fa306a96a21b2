/* Several beds written otherwise than with semicolons: `A1, A2`, `1-8`, `1+2`. They are not
 * read, as a bed may have such a name, but spelled out for whoever typed them. */
#include "input/garden_read.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "input/number.h"

#define MOST_NAMED 40 /* beds of a range that are spelled out */

static bool is_known(struct bt_gr *g, const char *name)
{
    const char *key = bt_text_key(g->arena, name);
    return bt_names_get(&g->beds, key) != BT_NO_NAME ||
           bt_names_get(&g->groups, key) != BT_NO_NAME;
}

/* ---- lists ---- */

/* The text with `,`, `&`, `+`, a stroke and `and` made semicolons. */
static const char *with_semicolons(struct bt_arena *a, const char *text)
{
    char *s = bt_arena_text(a, text);
    for (char *c = s; *c; c++) {
        if (strchr(",&+/", *c))
            *c = ';';
        else if (c > s && c[-1] == ' ' && bt_text_starts(c, "and "))
            memcpy(c, ";  ", 3);
    }
    return s;
}

static const char *as_list(struct bt_gr *g, const char *name)
{
    char **part;
    const size_t n = bt_text_split(g->arena, with_semicolons(g->arena, name), ';', &part);
    size_t known = 0;
    const char *list = "";
    for (size_t i = 0; i < n; i++) {
        known += is_known(g, part[i]);
        list = bt_arena_format(g->arena, "%s%s%s", list, i ? "; " : "", part[i]);
    }
    return n > 1 && known > 0 ? list : NULL;
}

/* ---- ranges ---- */

/* "A" and 12 of "A12"; false when no number of up to four digits ends it. */
static bool numbered(const char *name, size_t *out_letters, int *out_number)
{
    size_t n = strlen(name);
    size_t first = n;
    while (first > 0 && bt_is_digit(name[first - 1]))
        first--;
    *out_letters = first;
    *out_number = n - first <= 4 ? atoi(name + first) : 0;
    return first < n && n - first <= 4;
}

/* Where the first name of `A1-A8`, `1..8`, `1 to 8` ends; *after is where the last begins.
 */
static const char *joint_of(const char *text, const char **after)
{
    static const char *const joints[] = {"..", "-", "to ", "through ", "thru "};
    for (const char *c = text + (*text != '\0'); *c; c++)
        for (size_t i = 0; i < sizeof joints / sizeof *joints; i++) {
            const bool is_word = bt_is_letter(*joints[i]);
            if (!bt_text_starts(c, joints[i]) || (is_word && c[-1] != ' '))
                continue;
            *after = c + strlen(joints[i]);
            return c;
        }
    return NULL;
}

/* The beds from..to of a range, as beds.csv has them: `1; 2; 3`. */
static const char *as_range(struct bt_gr *g, const char *name)
{
    const struct bt_garden *b = g->garden;
    const char *plain = bt_plain(g->arena, name), *after = NULL;
    const char *end = joint_of(plain, &after);
    size_t letters, last_letters, named = 0;
    int from, to;
    if (!end)
        return NULL;
    const char *first =
        bt_plain(g->arena, bt_arena_text_n(g->arena, plain, (size_t)(end - plain)));
    const char *last = bt_plain(g->arena, after);
    if (!is_known(g, first) || !numbered(first, &letters, &from) ||
        !numbered(last, &last_letters, &to) || to <= from)
        return NULL;
    const char *head = bt_text_key(g->arena, bt_arena_text_n(g->arena, first, letters));
    const char *own = bt_text_key(g->arena, bt_arena_text_n(g->arena, last, last_letters));
    if (last_letters > 0 && strcmp(head, own) != 0)
        return NULL;
    const char *list = "";
    for (size_t i = 0; i < b->n_beds && named <= MOST_NAMED; i++) {
        size_t n;
        int number;
        if (!numbered(b->bed[i].id, &n, &number) || number < from || number > to ||
            strcmp(head,
                   bt_text_key(g->arena, bt_arena_text_n(g->arena, b->bed[i].id, n))) != 0)
            continue;
        list = bt_arena_format(g->arena, "%s%s%s", list, named ? "; " : "", b->bed[i].id);
        named++;
    }
    return named > 1 && named <= MOST_NAMED ? list : NULL;
}

const char *bt_gr_several_beds(struct bt_gr *g, const char *column, const char *name)
{
    const char *list = as_list(g, name);
    const bool is_range = !list;
    if (!list)
        list = as_range(g, name);
    if (!list)
        return NULL;
    if (strcmp(column, "beds") != 0)
        return bt_arena_format(g->arena, "one bed a row: copy the row for each of %s",
                               list);
    return bt_arena_format(g->arena,
                           is_range
                               ? "a range of beds is spelled out: %s; or give the beds "
                                 "a name for them all in the column group of beds.csv"
                               : "several beds are listed with semicolons: %s",
                           list);
}
