/* Elements and oxides, nitrate and its nitrogen: the factors follow from atomic masses and
 * stand in tables/soils.csv. No range check catches a mix-up of the two forms, so a form
 * that was typed is never passed over. */
#include "plan/desk.h"

#include <string.h>

static const struct pair {
    const char *element, *form, *quantity, *label;
} pairs[] = {
    {"P", "P2O5", "p2o5_of_p", "P2O5 for each P"   },
    {"K", "K2O",  "k2o_of_k",  "K2O for each K"    },
    {"N", "NO3",  "no3_of_n",  "nitrate for each N"},
};

/* NO3-N and NH4-N are nitrogen. */
static const char *element_of(const char *form)
{
    return strcmp(form, "NO3-N") == 0 || strcmp(form, "NH4-N") == 0 ? "N" : form;
}

static bool is_pair(const struct pair *p, const char *from, const char *to)
{
    return (strcmp(p->element, from) == 0 && strcmp(p->form, to) == 0) ||
           (strcmp(p->form, from) == 0 && strcmp(p->element, to) == 0);
}

struct bt_node bt_desk_form(struct bt_desk *w, struct bt_node n, const char *from,
                            const char *to)
{
    from = element_of(from);
    to = element_of(to);
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        if (!is_pair(&pairs[i], from, to))
            continue;
        const struct bt_node factor =
            bt_desk_book(w, "soils", "any", pairs[i].quantity, pairs[i].label);
        const bool up = strcmp(pairs[i].element, from) == 0;
        return up ? bt_mul(w->sheet, n, factor) : bt_div(w->sheet, n, factor);
    }
    return n;
}

struct bt_node bt_desk_as(struct bt_desk *w, const struct bt_sum_given *g, const char *form)
{
    if (!g->species || strcmp(element_of(g->species), form) == 0)
        return g->node;
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        if (is_pair(&pairs[i], element_of(g->species), form)) {
            bt_desk_note(w, "%s=%s is of %s and was turned into %s", g->name, g->text,
                         g->species, form);
            return bt_desk_named(w, bt_desk_text(w, "%s as %s", g->name, form),
                                 bt_desk_form(w, g->node, g->species, form));
        }
    bt_desk_refuse(w, g->key->name, bt_desk_text(w, "a figure of %s", form),
                   bt_desk_text(w, "%s is something else", g->species));
    return g->node;
}
