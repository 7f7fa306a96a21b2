/* What a product holds: from its label, from an analysis typed, or from the handbook. */
#include "plan/desk.h"

#include <math.h>
#include <string.h>

const char *const bt_form_name[BT_FORMS] = {"N", "P2O5", "K2O"};
static const char *const quantity[BT_FORMS] = {"n", "p2o5", "k2o"};

int bt_form_of(const char *species)
{
    static const struct {
        const char *species;
        int form;
    } known[] = {
        {"N",     0},
        {"NO3-N", 0},
        {"NH4-N", 0},
        {"NO3",   0},
        {"P2O5",  1},
        {"P",     1},
        {"K2O",   2},
        {"K",     2}
    };
    for (size_t i = 0; species && i < sizeof known / sizeof *known; i++)
        if (strcmp(known[i].species, species) == 0)
            return known[i].form;
    return -1;
}

static const char *element[BT_FORMS] = {"N", "P", "K"};

/* A label counts oxides, in a few countries elements; that is said, never guessed. */
static void from_label(struct bt_desk *w, const char *prefix, const struct bt_sum_given *g,
                       struct bt_contents *out)
{
    const bool elements = bt_desk_is(w, "labelled", "elements");
    for (int i = 0; i < BT_FORMS; i++) {
        const struct bt_leaf leaf = {
            .id = bt_desk_text(w, "given/%sgrade/%s", prefix, quantity[i]),
            .label = bt_desk_text(w, "%s in %s", elements ? element[i] : bt_form_name[i],
                                  g->text),
            .dim = BT_FRACTION,
            .range = bt_range_exact(g->label[i]),
            .limit_high = 1,
            .unit = "%",
            .unit_factor = 0.01,
            .source = "stated"};
        out->share[i] = bt_leaf(w->sheet, &leaf);
        out->has[i] = true;
        if (elements && i > 0)
            out->share[i] =
                bt_desk_named(w, bt_desk_text(w, "%s in %s", bt_form_name[i], g->text),
                              bt_desk_form(w, out->share[i], element[i], bt_form_name[i]));
    }
}

static void from_handbook(struct bt_desk *w, const char *material, struct bt_contents *out)
{
    for (int i = 0; i < BT_FORMS; i++) {
        const struct bt_row *row =
            bt_handbook_follow(w->book, "materials", material, quantity[i]);
        if (out->has[i] || !row)
            continue;
        out->has[i] = true;
        out->share[i] =
            bt_desk_leaf(w, row, bt_desk_text(w, "%s in %s", bt_form_name[i], material));
    }
}

/* A label that the handbook's range for that material does not hold is worth a word. */
static void compare(struct bt_desk *w, const char *material, const struct bt_contents *c)
{
    for (int i = 0; i < BT_FORMS; i++) {
        const struct bt_row *row =
            bt_handbook_follow(w->book, "materials", material, quantity[i]);
        const double got = c->has[i] ? bt_likely(w->sheet, c->share[i]) : 0;
        if (row && c->has[i] &&
            (got < row->range.low - 0.01 || got > row->range.high + 0.01))
            bt_desk_note(w,
                         "the handbook has %s at %.3g..%.3g %% %s (%s), not %.3g %%: is it "
                         "the right bag?",
                         material, 100 * row->range.low, 100 * row->range.high,
                         bt_form_name[i], row->source, 100 * got);
    }
}

struct bt_contents bt_desk_contents(struct bt_desk *w, const char *prefix)
{
    struct bt_contents c = {0};
    const struct bt_sum_given *label =
        bt_desk_nth(w, bt_desk_text(w, "%sgrade", prefix), 1);
    const char *material = bt_desk_word(w, bt_desk_text(w, "%slike", prefix));
    if (label)
        from_label(w, prefix, label, &c);
    for (int i = 0; i < BT_FORMS; i++) {
        const struct bt_sum_given *g =
            bt_desk_nth(w, bt_desk_text(w, "%s%s", prefix, quantity[i]), 1);
        if (!g || !g->has_node)
            continue;
        c.has[i] = true;
        c.share[i] = bt_desk_as(w, g, bt_form_name[i]);
    }
    if (material) {
        compare(w, material, &c);
        if (!label)
            from_handbook(w, material, &c);
    }
    return c;
}
