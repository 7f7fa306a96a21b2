#include "model/caution.h"

#include <string.h>

#include "base/text.h"
#include "input/ratings.h"

void bt_caution_word(struct bt_caution_words *w, const char *word)
{
    if (bt_has_caution_word(w, word))
        return;
    w->word = bt_arena_grow(w->arena, w->word, &w->capacity, w->n, sizeof *w->word);
    w->word[w->n++] = word;
}

bool bt_has_caution_word(const struct bt_caution_words *w, const char *word)
{
    for (size_t i = 0; i < w->n; i++)
        if (bt_text_is(w->word[i], word))
            return true;
    return false;
}

/* The next part of a list with its blanks cut off; NULL at the end. */
static const char *next_part(struct bt_arena *a, const char **rest, char separator)
{
    const char *from = *rest + strspn(*rest, " ");
    if (!*from)
        return NULL;
    const char *end = strchr(from, separator);
    size_t n = end ? (size_t)(end - from) : strlen(from);
    *rest = end ? end + 1 : from + n;
    while (n > 0 && from[n - 1] == ' ')
        n--;
    return bt_arena_text_n(a, from, n);
}

void bt_caution_words_of(struct bt_caution_words *w, const struct bt_handbook *h,
                         const char *table, const char *key)
{
    const char *list = key ? bt_handbook_word(h, table, key, "cautions") : NULL;
    for (const char *word; list && (word = next_part(w->arena, &list, ';'));)
        bt_caution_word(w, word);
}

bool bt_calls_for(struct bt_arena *a, const struct bt_handbook *h, const char *table,
                  const char *key, const char *word)
{
    struct bt_caution_words w = {.arena = a};
    bt_caution_words_of(&w, h, table, key);
    return bt_has_caution_word(&w, word);
}

static bool is_of_season(const struct bt_garden *g, const struct bt_planting *p)
{
    return !(p->ended.known && p->ended.day < g->season_start) &&
           !(p->in_ground.known && p->in_ground.day > g->season_end);
}

static bool is_of(const struct bt_soil_test *t, size_t bed)
{
    for (size_t k = 0; k < t->n_beds; k++)
        if (t->bed[k] == bed)
            return true;
    return false;
}

static const char *newest_extractant(struct bt_arena *a, const struct bt_handbook *h,
                                     const struct bt_garden *g, size_t bed)
{
    const struct bt_soil_test *best = NULL;
    for (size_t i = 0; i < g->n_tests; i++) {
        const struct bt_soil_test *t = &g->test[i];
        if (t->phosphorus_method && is_of(t, bed) &&
            (!best || t->date.day >= best->date.day))
            best = t;
    }
    return best ? bt_extractant(a, h, best->phosphorus_method) : NULL;
}

void bt_caution_words_of_bed(struct bt_caution_words *w, const struct bt_handbook *h,
                             const struct bt_garden *g, size_t bed)
{
    for (size_t i = 0; i < g->n_plantings; i++) {
        const struct bt_planting *p = &g->planting[i];
        if (p->bed_index != bed || !is_of_season(g, p))
            continue;
        bt_caution_words_of(w, h, "crops", p->crop);
        if (p->legume)
            bt_caution_word(w, "legume");
    }
    const char *extractant = newest_extractant(w->arena, h, g, bed);
    if (extractant)
        bt_caution_word(w, extractant);
    if (g->organic_only)
        bt_caution_word(w, "organic growing");
}

bool bt_is_word_of(struct bt_arena *a, const char *when, const char *word)
{
    for (const char *part; (part = next_part(a, &when, '+'));)
        if (bt_text_is(part, word))
            return true;
    return false;
}

static bool applies(const struct bt_caution_words *w, const char *when)
{
    for (const char *word; (word = next_part(w->arena, &when, '+'));)
        if (!bt_has_caution_word(w, word))
            return false;
    return true;
}

const struct bt_caution *const *bt_cautions_that_apply(const struct bt_caution_words *w,
                                                       const struct bt_handbook *h,
                                                       size_t *out_n)
{
    const struct bt_caution *all;
    const size_t n_all = bt_handbook_cautions(h, &all);
    const struct bt_caution **list = bt_arena_alloc(w->arena, (n_all + 1) * sizeof *list);
    size_t n = 0;
    for (size_t i = 0; i < n_all; i++)
        if (applies(w, all[i].when))
            list[n++] = &all[i];
    *out_n = n;
    return list;
}
