#include "report/check_beds.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "report/answer.h"
#include "report/field.h"
#include "report/page.h"

/* Beds of which the same is said. */
struct alike {
    const char *title; /* of the first */
    const char *names; /* of all, `1 to 4, 7` */
    const char *size, *head, *check;
    const char *last_name; /* of the run of neighbours that ends the names */
    size_t n, last, run;   /* beds; the place of the last; neighbours up to it */
    size_t n_assumed;
    const char **assumed;
};

struct bt_check_beds {
    struct bt_arena *arena;
    size_t n, capacity, n_beds;
    struct alike *alike;
};

struct bt_check_beds *bt_check_beds_new(struct bt_arena *kept)
{
    struct bt_check_beds *c = bt_arena_zero(kept, sizeof *c);
    c->arena = kept;
    return c;
}

static const char *head_text(struct bt_arena *a, const struct bt_show *w,
                             const struct bt_budget *b)
{
    char *text = NULL;
    size_t n = 0;
    FILE *f = open_memstream(&text, &n);
    if (!f)
        bt_arena_leave(a);
    struct bt_out o = bt_out_stream(f);
    bt_check_head(&o, w, b);
    if (fclose(f) != 0 || !text)
        bt_arena_leave(a);
    const char *kept = bt_arena_text(a, text);
    free(text);
    return kept;
}

static bool same(const struct alike *x, const struct alike *y)
{
    if (strcmp(x->size, y->size) != 0 || strcmp(x->head, y->head) != 0 ||
        strcmp(x->check, y->check) != 0 || x->n_assumed != y->n_assumed)
        return false;
    for (size_t k = 0; k < x->n_assumed; k++)
        if (strcmp(x->assumed[k], y->assumed[k]) != 0)
            return false;
    return true;
}

/* Two neighbours are listed, three or more become `1 to 3`. */
static const char *names_of(struct bt_arena *a, const struct alike *x)
{
    return x->run < 2 ? x->names
                      : bt_arena_format(a, "%s%s %s", x->names, x->run > 2 ? " to" : ",",
                                        x->last_name);
}

static void join(struct bt_arena *a, struct alike *x, const char *name, size_t place)
{
    x->n++;
    if (place != x->last + 1) {
        x->names = bt_arena_format(a, "%s, %s", names_of(a, x), name);
        x->run = 1;
    } else {
        x->run++;
    }
    x->last_name = name;
    x->last = place;
}

void bt_check_beds_add(struct bt_check_beds *c, const struct bt_show *w,
                       const struct bt_budget *b)
{
    struct bt_arena *a = c->arena;
    const char *const *assumed = bt_assumed_texts(w, b);
    const char *check = bt_rate_check_text(w, b);
    const char *name = bt_arena_text(a, bt_text_shown(a, b->bed->id));
    struct alike x = {.title = bt_arena_text(a, bt_bed_title(a, b->bed)),
                      .names = name,
                      .last_name = name,
                      .size = bt_arena_text(a, bt_check_size(w, b->bed)),
                      .head = head_text(a, w, b),
                      .check = bt_arena_text(a, check ? check : ""),
                      .n = 1,
                      .run = 1,
                      .last = c->n_beds,
                      .n_assumed = b->n_assumed};
    x.assumed = bt_arena_alloc(a, (b->n_assumed + 1) * sizeof *x.assumed);
    for (size_t k = 0; k < b->n_assumed; k++)
        x.assumed[k] = bt_arena_text(a, bt_text_shown(a, assumed[k]));
    const size_t place = c->n_beds++;
    for (size_t i = 0; i < c->n; i++)
        if (same(&c->alike[i], &x)) {
            join(a, &c->alike[i], name, place);
            return;
        }
    c->alike = bt_arena_grow(a, c->alike, &c->capacity, c->n, sizeof *c->alike);
    c->alike[c->n++] = x;
}

static bool assumes(const struct alike *x, const char *text)
{
    for (size_t k = 0; k < x->n_assumed; k++)
        if (strcmp(x->assumed[k], text) == 0)
            return true;
    return false;
}

/* Where there are several kinds of beds: is it assumed in all of them? */
static bool is_common(const struct bt_check_beds *c, const char *text)
{
    for (size_t i = 0; i < c->n; i++)
        if (!assumes(&c->alike[i], text))
            return false;
    return c->n > 1;
}

static void put_common(struct bt_out *o, const struct bt_show *w,
                       const struct bt_check_beds *c)
{
    bool any = false;
    for (size_t k = 0; c->n > 1 && k < c->alike[0].n_assumed; k++) {
        const char *text = c->alike[0].assumed[k];
        if (!is_common(c, text))
            continue;
        if (!any)
            bt_put_title(o, w, "In every bed");
        any = true;
        bt_put_wrapped(o, w->arena, "  blank, taken as: ", text);
    }
}

static void put_alike(struct bt_out *o, const struct bt_show *w,
                      const struct bt_check_beds *c, const struct alike *x)
{
    struct bt_arena *a = w->arena;
    if (x->n == 1) {
        bt_put_title(o, w, bt_arena_format(a, "%s: %s", x->title, x->size));
    } else {
        bt_put(o, "\n");
        bt_put_wrapped(o, a, w->colour ? "\033[1m" : "",
                       bt_arena_format(a, "%zu beds alike, %s: each %s%s", x->n,
                                       names_of(a, x), x->size,
                                       w->colour ? "\033[0m" : ""));
    }
    bt_put(o, "%s", x->head);
    for (size_t k = 0; k < x->n_assumed; k++)
        if (!is_common(c, x->assumed[k]))
            bt_put_wrapped(o, a, "  blank, taken as: ", x->assumed[k]);
    if (*x->check)
        bt_put_wrapped(o, a, "  does it look right? ", x->check);
}

void bt_check_beds_write(struct bt_out *o, const struct bt_show *w,
                         const struct bt_check_beds *c)
{
    put_common(o, w, c);
    for (size_t i = 0; i < c->n; i++)
        put_alike(o, w, c, &c->alike[i]);
    if (c->n < c->n_beds)
        bt_put(o, "\n  --all shows each bed by itself.\n");
}
