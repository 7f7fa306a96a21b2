/* Things named in cells: beds, materials, entries of the handbook. */
#include "input/garden_read.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* ---- beds ---- */

struct chosen {
    size_t n, capacity;
    size_t *bed;
};

double bt_garden_area_m2(const struct bt_garden *g, size_t n, const size_t *bed)
{
    double area_m2 = 0;
    for (size_t k = 0; k < n; k++)
        area_m2 += g->bed[bed[k]].area_m2;
    return area_m2;
}

const struct bt_bed *bt_garden_bed_named(struct bt_arena *scratch,
                                         const struct bt_garden *g, const char *written)
{
    const struct bt_mark mark = bt_arena_mark(scratch);
    const char *key = bt_text_key(scratch, written);
    const struct bt_bed *found = NULL, *by_name = NULL;
    for (size_t i = 0; i < g->n_beds && !found; i++) {
        const struct bt_bed *b = &g->bed[i];
        if (strcmp(bt_text_key(scratch, b->id), key) == 0)
            found = b;
        else if (!by_name && b->name && strcmp(bt_text_key(scratch, b->name), key) == 0)
            by_name = b;
    }
    bt_arena_release(scratch, mark);
    return found ? found : by_name;
}

static void add_bed(struct bt_gr *g, struct chosen *c, size_t bed)
{
    c->bed = bt_arena_grow(g->arena, c->bed, &c->capacity, c->n, sizeof *c->bed);
    c->bed[c->n++] = bed;
}

static bool choose(struct bt_gr *g, struct chosen *c, const char *name)
{
    const size_t before = c->n;
    const struct bt_scratch s = bt_gr_scratch(g);
    const char *key = bt_text_key(g->arena, name);
    const size_t bed = bt_names_get(&g->beds, key);
    const size_t first = bt_names_get(&g->groups, key);
    const size_t n_all = strcmp(key, "all") == 0 ? g->garden->n_beds : 0;
    bt_gr_release(g, &s);
    if (bed != BT_NO_NAME)
        add_bed(g, c, bed);
    for (size_t i = first; i != BT_NO_NAME; i = g->next_of_group[i])
        add_bed(g, c, i);
    for (size_t i = 0; i < n_all; i++)
        add_bed(g, c, i);
    return c->n > before;
}

static int by_index(const void *x, const void *y)
{
    const size_t a = *(const size_t *)x, b = *(const size_t *)y;
    return (a > b) - (a < b);
}

/* In the order of beds.csv, each once. */
static void order(struct chosen *c)
{
    size_t n = 0;
    if (c->n == 0)
        return;
    qsort(c->bed, c->n, sizeof *c->bed, by_index);
    for (size_t i = 0; i < c->n; i++)
        if (n == 0 || c->bed[n - 1] != c->bed[i])
            c->bed[n++] = c->bed[i];
    c->n = n;
}

void bt_gr_index_beds(struct bt_gr *g)
{
    const struct bt_garden *b = g->garden;
    g->next_of_group = bt_arena_alloc(g->arena, (b->n_beds + 1) * sizeof *g->next_of_group);
    for (size_t i = b->n_beds; i-- > 0;) { /* backwards, so that lists run forwards */
        g->next_of_group[i] = BT_NO_NAME;
        if (!b->bed[i].group)
            continue;
        const char *key = bt_text_key(g->arena, b->bed[i].group);
        g->next_of_group[i] = bt_names_get(&g->groups, key);
        bt_names_set(g->arena, &g->groups, key, i);
    }
}

/* `the beds are A1, A2, B1`; NULL when there are too many to say. */
static const char *beds_there(struct bt_gr *g)
{
    static const size_t MOST = 12;
    const struct bt_garden *b = g->garden;
    const char *list = "";
    for (size_t i = 0; i < b->n_beds; i++)
        list = bt_arena_format(g->arena, "%s%s%s", list, i ? ", " : "", b->bed[i].id);
    return b->n_beds > 0 && b->n_beds <= MOST
               ? bt_arena_format(g->arena, "the beds are %s", list)
               : NULL;
}

static bool unknown_bed(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                        const char *name)
{
    const struct bt_garden *b = g->garden;
    const struct bt_cell part = {name, cell->at};
    const char *hint = bt_gr_several_beds(g, column, name);
    const char **names = bt_arena_alloc(g->arena, (2 * b->n_beds + 1) * sizeof *names);
    size_t n = 0;
    for (size_t i = 0; i < b->n_beds; i++)
        names[n++] = b->bed[i].id;
    for (size_t i = 0; i < b->n_beds; i++)
        if (b->bed[i].group)
            names[n++] = b->bed[i].group;
    const char *near = hint ? NULL : bt_text_nearest(g->arena, name, n, names);
    if (near)
        hint = bt_arena_format(g->arena, "did you mean %s?", near);
    return bt_gr_error(g, &part, column, "a bed or group of beds.csv",
                       hint ? hint : beds_there(g));
}

bool bt_gr_beds(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                size_t *out_n, const size_t **out)
{
    struct chosen c = {0};
    char **part;
    bool ok = true;
    *out_n = 0;
    *out = NULL;
    if (g->beds_lost)
        return false;
    const size_t n = bt_text_split(g->arena, cell->text, ';', &part);
    if (n == 0)
        return bt_gr_error(g, cell, column,
                           "a bed, several with semicolons, a group, or all", NULL);
    for (size_t i = 0; i < n; i++)
        if (!choose(g, &c, part[i]))
            ok = unknown_bed(g, cell, column, part[i]);
    order(&c);
    *out_n = c.n;
    *out = c.bed;
    return ok;
}

size_t bt_gr_one_bed(struct bt_gr *g, const struct bt_cell *cell, const char *column)
{
    const size_t *bed;
    size_t n;
    if (!bt_gr_beds(g, cell, column, &n, &bed))
        return BT_NO_NAME;
    if (n == 1)
        return bed[0];
    bt_gr_error(g, cell, column, "one bed", "give each bed a row of its own");
    return BT_NO_NAME;
}

/* ---- materials and crops ---- */

char *bt_gr_squeezed(struct bt_arena *a, const char *written)
{
    char *key = bt_text_key(a, written);
    size_t n = 0;
    for (const char *t = key; *t; t++)
        if (*t != ' ')
            key[n++] = *t;
    key[n] = '\0';
    return key;
}

/* As typed in materials.csv, else the same letters with other blanks between them. */
const struct bt_material *bt_gr_own_material(const struct bt_gr *g, const char *written)
{
    const struct bt_mark mark = bt_arena_mark(g->arena);
    size_t i =
        bt_names_find_any_number(g->arena, &g->materials, bt_text_key(g->arena, written));
    if (i == BT_NO_NAME)
        i = bt_names_find_any_number(g->arena, &g->squeezed_materials,
                                     bt_gr_squeezed(g->arena, written));
    bt_arena_release(g->arena, mark);
    return i == BT_NO_NAME ? NULL : &g->garden->material[i];
}

/* "crop", "material": a row of the table in the singular. */
static const char *one_of(const char *table)
{
    return strcmp(table, "crops") == 0 ? "crop" : "material";
}

struct names {
    size_t n, capacity;
    const char **name;
};

static void add_name(struct bt_gr *g, struct names *all, const char *name)
{
    all->name =
        bt_arena_grow(g->arena, all->name, &all->capacity, all->n, sizeof *all->name);
    all->name[all->n++] = name;
}

/* Among the garden's own materials, the handbook's names and all their spellings. */
static const char *nearest_names(struct bt_gr *g, const char *table, const char *written)
{
    const char *const *keys;
    const char **spelling;
    const struct bt_garden *b = g->garden;
    const bool own = strcmp(table, "materials") == 0;
    const size_t n = bt_handbook_keys(g->handbook, table, &keys);
    struct names all = {0};
    for (size_t i = 0; own && i < b->n_materials; i++)
        add_name(g, &all, b->material[i].name);
    for (size_t i = 0; i < n; i++)
        add_name(g, &all, keys[i]);
    for (size_t i = 0; i < n; i++) {
        const size_t m =
            bt_handbook_spellings(g->handbook, g->arena, table, keys[i], &spelling);
        for (size_t k = 0; k < m; k++)
            add_name(g, &all, spelling[k]);
    }
    return bt_text_nearest(g->arena, written, all.n, all.name);
}

bool bt_gr_unknown(struct bt_gr *g, const char *table, const struct bt_cell *cell,
                   const char *column, const char *way_out)
{
    if (g->materials_lost && strcmp(table, "materials") == 0)
        return false;
    const char *near = nearest_names(g, table, cell->text);
    const char *hint = way_out;
    if (near)
        hint = bt_arena_format(g->arena, "did you mean %s?%s%s", near,
                               way_out ? " Otherwise " : "", way_out ? way_out : "");
    return bt_gr_error(g, cell, column,
                       bt_arena_format(g->arena, "a %s of the handbook", one_of(table)),
                       hint);
}

/* `Bean, pole`, as catalogues sort them, is a pole bean. */
static const char *turned_round(struct bt_gr *g, const char *table,
                                const struct bt_cell *written, const char *column)
{
    const char *comma = strchr(written->text, ',');
    if (!comma || strchr(comma + 1, ','))
        return NULL;
    const char *key = bt_handbook_key(
        g->handbook, table,
        bt_arena_format(g->arena, "%s %.*s", comma + 1 + strspn(comma + 1, " "),
                        (int)(comma - written->text), written->text));
    if (!key)
        return NULL;
    bt_gr_note(
        g, written->at,
        bt_arena_format(g->arena, "%s %s is read as %s", column, written->text, key));
    bt_fixes_add(g->cells.fixes, written->at, written->text, key, "a name turned round");
    return key;
}

const char *bt_gr_handbook_key(struct bt_gr *g, const char *table,
                               const struct bt_cell *written, const struct bt_cell *like,
                               const char *column)
{
    const char *own = bt_handbook_key(g->handbook, table, written->text);
    if (!own)
        own = turned_round(g, table, written, column);
    if (!*like->text) {
        if (!own)
            bt_gr_unknown(g, table, written, column,
                          bt_arena_format(g->arena,
                                          "name in the column `like` the %s of the "
                                          "handbook that it follows",
                                          one_of(table)));
        return own;
    }
    const char *key = bt_handbook_key(g->handbook, table, like->text);
    if (!key)
        bt_gr_unknown(g, table, like, "like", NULL);
    return key ? key : own;
}
