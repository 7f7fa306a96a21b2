#include "report/origin.h"

#include <string.h>

#include "base/date.h"
#include "base/text.h"

bool bt_deed_is_inside(const struct bt_application *x)
{
    return x->taken_from || (x->own && x->own->made_here && x->own->made_here_share > 0.5);
}

bool bt_deed_in_season(const struct bt_garden *g, const struct bt_application *x)
{
    int year, month, dom;
    bt_civil(g->season_end, &year, &month, &dom);
    return x->date.known && x->date.day > bt_day(year - 1, month, dom == 29 ? 28 : dom) &&
           x->date.day <= g->season_end;
}

const struct bt_application *bt_line_addition(const struct bt_budget *b,
                                              const struct bt_line *line)
{
    (void)b;
    return line->from ? NULL : line->addition;
}

static bool is_water(const struct bt_line *line)
{
    const char *last = strrchr(line->id, '/');
    return last && (bt_text_starts(last + 1, "water from") ||
                    bt_text_starts(last + 1, "rain and dust"));
}

enum bt_origin bt_line_origin(const struct bt_budget *b, const struct bt_line *line)
{
    if (!line->origin)
        return is_water(line) ? BT_FROM_WATER : BT_FROM_SOIL;
    const struct bt_application *x = bt_line_addition(b, line);
    if (line->from && line->from->legume)
        return BT_FROM_LEGUMES;
    if (line->from || !x)
        return BT_FROM_GROWTH;
    if (bt_deed_is_inside(x))
        return BT_FROM_INSIDE;
    return bt_deed_in_season(b->garden, x) ? BT_FROM_BOUGHT : BT_FROM_BEFORE;
}

static const char *const labels[BT_ORIGINS] = {
    [BT_FROM_SOIL] = "nitrogen there is from the soil itself",
    [BT_FROM_WATER] = "nitrogen there is from water, rain and dust",
    [BT_FROM_LEGUMES] = "nitrogen there is from legumes that grew here",
    [BT_FROM_GROWTH] = "nitrogen there is from other plants that grew here",
    [BT_FROM_BEFORE] = "nitrogen there is from additions of earlier seasons",
    [BT_FROM_INSIDE] = "nitrogen there is from what was moved or made inside the garden",
    [BT_FROM_BOUGHT] = "nitrogen there is from what was brought in"};

bool bt_gap_nodes(const struct bt_budget *b, struct bt_gap *out)
{
    struct bt_sheet *s = b->sheet;
    const struct bt_account *x = NULL;
    for (size_t k = 0; k < b->n_accounts; k++)
        if (b->account[k].nutrient == BT_N)
            x = &b->account[k];
    if (!x || !x->known)
        return false;
    struct bt_node *some =
        bt_arena_alloc(bt_sheet_arena(s), (x->n_lines + 1) * sizeof *some);
    for (int origin = 0; origin < BT_ORIGINS; origin++) {
        size_t n = 0;
        for (size_t k = 0; k < x->n_lines; k++) {
            const struct bt_line *line = &x->line[k];
            const bool is_only_planned =
                (line->planned || line->advised) && bt_line_addition(b, line);
            if (line->side == BT_SUPPLY && !is_only_planned &&
                bt_line_origin(b, line) == (enum bt_origin)origin)
                some[n++] = line->node;
        }
        out->of[origin] =
            bt_named(s, NULL, labels[origin], bt_sum(s, n, some, BT_MASS_PER_AREA));
    }
    out->already = bt_named(s, NULL, "already there before anything was brought in",
                            bt_sum(s, BT_FROM_BOUGHT, out->of, BT_MASS_PER_AREA));
    out->gap = bt_named(s, NULL, "gap before anything was brought in",
                        bt_sub(s, x->required, out->already));
    return true;
}
