#include "input/handbook_names.h"

#include <string.h>

#include "base/text.h"

#define FEWEST_SLOTS ((size_t)64)

static struct bt_name_slot *slot_of(const struct bt_names *names, const char *text,
                                    uint64_t hash)
{
    for (size_t i = (size_t)hash & (names->n_slots - 1);;
         i = (i + 1) & (names->n_slots - 1)) {
        struct bt_name_slot *s = &names->slot[i];
        if (!s->text || (s->hash == hash && strcmp(s->text, text) == 0))
            return s;
    }
}

size_t bt_names_get(const struct bt_names *names, const char *text)
{
    if (names->n == 0)
        return BT_NO_NAME;
    const struct bt_name_slot *s = slot_of(names, text, bt_text_hash(text));
    return s->text ? s->value : BT_NO_NAME;
}

/* At most half the slots are ever taken, so that a search always ends. */
static void make_room(struct bt_arena *a, struct bt_names *names)
{
    if (2 * (names->n + 1) <= names->n_slots)
        return;
    const struct bt_names old = *names;
    names->n_slots = old.n_slots ? 2 * old.n_slots : FEWEST_SLOTS;
    names->slot = bt_arena_zero(a, names->n_slots * sizeof *names->slot);
    for (size_t i = 0; i < old.n_slots; i++)
        if (old.slot[i].text)
            *slot_of(names, old.slot[i].text, old.slot[i].hash) = old.slot[i];
}

void bt_names_set(struct bt_arena *a, struct bt_names *names, const char *text,
                  size_t value)
{
    make_room(a, names);
    const uint64_t hash = bt_text_hash(text);
    struct bt_name_slot *s = slot_of(names, text, hash);
    names->n += s->text == NULL;
    *s = (struct bt_name_slot){text, hash, value};
}

/* `text` with `cut` bytes before `at` gone and `add` in their place. */
static const char *changed(struct bt_arena *a, const char *text, size_t at, size_t cut,
                           const char *add)
{
    return bt_arena_format(a, "%.*s%s%s", (int)(at - cut), text, add, text + at);
}

size_t bt_names_find_any_number(struct bt_arena *scratch, const struct bt_names *names,
                                const char *tidy)
{
    static const struct {
        const char *ending, *instead;
    } rule[] = {
        {"s",   ""  },
        {"es",  ""  },
        {"ies", "y" },
        {"",    "s" },
        {"",    "es"}
    };
    size_t found = bt_names_get(names, tidy);
    if (found != BT_NO_NAME)
        return found;
    /* Of `bales of straw` it is the first noun that is counted. */
    const char *of = strstr(tidy, " of ");
    const size_t ends[] = {strlen(tidy), of ? (size_t)(of - tidy) : 0};
    for (size_t i = 0; i < 2 * (sizeof rule / sizeof *rule); i++) {
        const size_t end = ends[i % 2];
        const size_t cut = strlen(rule[i / 2].ending);
        if (end <= cut || strncmp(tidy + end - cut, rule[i / 2].ending, cut) != 0)
            continue;
        const size_t other =
            bt_names_get(names, changed(scratch, tidy, end, cut, rule[i / 2].instead));
        if (other != BT_NO_NAME && found != BT_NO_NAME && other != found)
            return BT_NO_NAME;
        found = other != BT_NO_NAME ? other : found;
    }
    return found;
}
