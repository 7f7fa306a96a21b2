/* Two versions of a garden, bed by bed, in words and as JSON. */
#include "report/compare.h"

#include <string.h>

#include "base/date.h"
#include "report/answer.h"
#include "report/field.h"
#include "report/json_put.h"
#include "report/made_with.h"
#include "report/page.h"
#include "report/working.h"

enum { INPUTS_SHOWN = 24 };

/* ---- in words ---- */

void bt_report_compare_begin(struct bt_out *o, const struct bt_show *w, const char *first,
                             const char *second)
{
    bt_put(o, "  first:  %s\n  second: %s\n", bt_text_shown(w->arena, first),
           bt_text_shown(w->arena, second));
    bt_put_wrapped(
        o, w->arena, "  ",
        "Differences are second less first, draw by draw: the luck of the season is "
        "the same in both.");
}

static bool is_nothing(const struct bt_spread *s)
{
    return s->likely == 0 && s->mean == 0 && s->sd == 0;
}

static void put_difference(struct bt_grid *g, const struct bt_show *w,
                           const struct bt_on_bed *on, const char *label,
                           const struct bt_spread *s)
{
    struct bt_arena *a = w->arena;
    const double k = on->per_g_m2; /* unit-free */
    const char *const row[] = {label, bt_figures_short(a, s->p50 * k, BT_FIGURES),
                               is_nothing(s)
                                   ? "no difference"
                                   : bt_ends_text(a, s->p05 * k, s->p95 * k, BT_FIGURES)};
    bt_grid_row(g, row);
}

static void put_chances(struct bt_out *o, const struct bt_show *w,
                        const struct bt_account_difference *x)
{
    struct bt_arena *a = w->arena;
    if (x->chance_second_better <= 0 && x->chance_first_better <= 0) {
        bt_put_wrapped(o, a, "    ", "Neither is less short than the other in any draw.");
    } else {
        bt_put_wrapped(
            o, a, "    ",
            bt_arena_format(
                a,
                "Chance that the second is less short: %s; that the first is: %s. "
                "A shortfall that shows: %s in the first, %s in the second.",
                bt_chance_text(a, x->chance_second_better),
                bt_chance_text(a, x->chance_first_better),
                bt_chance_text(a, x->chance_short[0]),
                bt_chance_text(a, x->chance_short[1])));
    }
    if (x->has_left && !is_nothing(&x->left))
        bt_put_wrapped(
            o, a, "    ",
            bt_arena_format(
                a, "Chance that the second leaves less for the rain to wash out: %s.",
                bt_chance_text(a, x->chance_less_left)));
}

static void put_account(struct bt_out *o, const struct bt_show *w, const struct bt_bed *bed,
                        const struct bt_account_difference *x)
{
    struct bt_arena *a = w->arena;
    const struct bt_on_bed on = bt_on_bed(w, bed);
    struct bt_grid g = bt_grid_new(a, 3, 1u << 1);
    const char *const head[] = {
        bt_arena_format(a, "%s %s %s", on.unit, bt_nutrient_text(x->nutrient), on.where),
        "middle", "9 times in 10 between"};
    bt_grid_row(&g, head);
    put_difference(&g, w, &on, "to have", &x->supply);
    if (x->known) {
        put_difference(&g, w, &on, "needed", &x->required);
        put_difference(&g, w, &on, "the leanest balance", &x->tightest);
        put_difference(&g, w, &on, "the balance at the end", &x->balance);
    }
    if (x->has_left)
        put_difference(&g, w, &on, "left in the soil at the end", &x->left);
    bt_grid_write(o, &g, 2);
    if (x->known)
        put_chances(o, w, x);
    else
        bt_put_wrapped(o, a, "    ", "What is needed is not known in both.");
}

char *bt_compare_input_text(const struct bt_show *w, const struct bt_comparison *c,
                            const struct bt_input_difference *d, int side)
{
    struct bt_arena *a = w->arena;
    if (d->where == (side ? BT_IN_FIRST : BT_IN_SECOND))
        return bt_arena_text(a, "-");
    const struct bt_sheet *sheet = c->budget[side]->sheet;
    const double *x = d->value[side];
    const struct bt_as own = bt_shown_as(sheet, d->node[side]);
    const struct bt_as as =
        bt_in_field(w, bt_sheet_node(sheet, d->node[side])->dim, x[2], own);
    const int figures = bt_field_figures(as, own);
    char *shown = bt_figures_short(a, x[1] * as.per_inside, figures);
    if (x[0] < x[2])
        shown = bt_arena_format(
            a, "%s (%s)", shown,
            bt_ends_text(a, x[0] * as.per_inside, x[2] * as.per_inside, figures));
    return *as.unit ? bt_arena_format(a, "%s %s", shown, as.unit) : shown;
}

char *bt_compare_planting_text(const struct bt_show *w, const struct bt_planting *x,
                               double count)
{
    struct bt_arena *a = w->arena;
    if (!x)
        return bt_arena_text(a, "-");
    char *shown = bt_arena_text(a, "not counted");
    if (count > 0)
        shown = bt_arena_format(a, "%s plants", bt_figures_short(a, count, 4));
    else if (x->plants.presence == BT_NONE)
        shown = bt_arena_text(a, "no plants");
    else if (x->share.presence == BT_GIVEN)
        shown =
            bt_arena_format(a, "%s of the bed", bt_percent_text(a, x->share.range.likely));
    if (x->in_ground.known)
        shown =
            bt_arena_format(a, "%s, from %s", shown, bt_date_words(a, x->in_ground.day));
    if (x->ended.known)
        shown = bt_arena_format(a, "%s to %s", shown, bt_date_words(a, x->ended.day));
    return shown;
}

char *bt_compare_planting_name(const struct bt_show *w,
                               const struct bt_planting_difference *d)
{
    const struct bt_planting *x = d->planting[0], *y = d->planting[1];
    char *name = bt_arena_text(w->arena, bt_text_shown(w->arena, (x ? x : y)->written));
    if (!x || !y)
        return name;
    if (x->picked != y->picked)
        name = bt_arena_format(w->arena, "%s, what is picked", name);
    if (x->rest != y->rest)
        name = bt_arena_format(w->arena, "%s, where its residue goes", name);
    if (x->inoculated != y->inoculated)
        name = bt_arena_format(w->arena, "%s, whether inoculated", name);
    return name;
}

static void put_inputs(struct bt_out *o, const struct bt_show *w,
                       const struct bt_comparison *c)
{
    struct bt_arena *a = w->arena;
    if (c->n_inputs + c->n_plantings == 0) {
        bt_put(o, "  Everything that goes in is the same.\n");
        return;
    }
    bt_put(o, "  what is not the same\n");
    struct bt_grid g = bt_grid_new(a, 3, 0);
    const char *const head[] = {"", "first", "second"};
    bt_grid_row(&g, head);
    size_t n = 0;
    for (size_t k = 0; k < c->n_plantings; k++) {
        const struct bt_planting_difference *d = &c->planting[k];
        const char *const row[] = {
            bt_compare_planting_name(w, d),
            bt_compare_planting_text(w, d->planting[0], d->count[0]),
            bt_compare_planting_text(w, d->planting[1], d->count[1])};
        bt_grid_row(&g, row);
    }
    for (int later = 0; later < 2; later++)
        for (size_t k = 0; k < c->n_inputs; k++) {
            if (c->input[k].follows != (later != 0) || n++ >= INPUTS_SHOWN)
                continue;
            const char *const row[] = {bt_text_shown(a, c->input[k].label),
                                       bt_compare_input_text(w, c, &c->input[k], 0),
                                       bt_compare_input_text(w, c, &c->input[k], 1)};
            bt_grid_row(&g, row);
        }
    bt_grid_write(o, &g, 4);
    if (n > INPUTS_SHOWN)
        bt_put(o, "    and %zu more (--format json has all)\n", n - INPUTS_SHOWN);
}

void bt_report_compare_bed(struct bt_out *o, const struct bt_show *w,
                           const struct bt_compared_bed *b)
{
    bt_put_title(o, w, bt_bed_title(w->arena, b->bed));
    if (!b->comparison) {
        bt_put(o, "  only in the %s\n", b->where == BT_IN_FIRST ? "first" : "second");
        return;
    }
    for (size_t k = 0; k < b->comparison->n_accounts; k++)
        put_account(o, w, b->bed, &b->comparison->account[k]);
    put_inputs(o, w, b->comparison);
}

void bt_report_compare_end(struct bt_out *o, const struct bt_show *w,
                           const struct bt_handbook *second)
{
    bt_put(o, "\n  %zu draws a bed, the same for both.\n", w->samples);
    bt_report_made_with_two(o, w, second);
}

/* ---- as JSON ---- */

static const char SCHEMA[] = "bedtally-compare-1";
static json_t *account(const struct bt_account_difference *x)
{
    json_t *o = json_object();
    json_object_set_new(o, "supply", bt_json_spread(&x->supply, 1));
    json_object_set_new(o, "required",
                        x->known ? bt_json_spread(&x->required, 1) : json_null());
    json_object_set_new(o, "tightest",
                        x->known ? bt_json_spread(&x->tightest, 1) : json_null());
    json_object_set_new(o, "balance",
                        x->known ? bt_json_spread(&x->balance, 1) : json_null());
    if (x->has_left)
        json_object_set_new(o, "left", bt_json_spread(&x->left, 1));
    if (!x->known)
        return o;
    json_object_set_new(o, "chance_second_better", bt_json_number(x->chance_second_better));
    json_object_set_new(o, "chance_first_better", bt_json_number(x->chance_first_better));
    if (x->has_left)
        json_object_set_new(o, "chance_less_left", bt_json_number(x->chance_less_left));
    json_object_set_new(o, "chance_of_visible_shortfall_first",
                        bt_json_number(x->chance_short[0]));
    json_object_set_new(o, "chance_of_visible_shortfall_second",
                        bt_json_number(x->chance_short[1]));
    return o;
}

static json_t *side_of(const struct bt_comparison *c, const struct bt_input_difference *d,
                       int side)
{
    if (d->where == (side ? BT_IN_FIRST : BT_IN_SECOND))
        return json_null();
    const struct bt_as as = bt_shown_as(c->budget[side]->sheet, d->node[side]);
    json_t *o = json_object();
    json_object_set_new(o, "low", bt_json_number(d->value[side][0] * as.per_inside));
    json_object_set_new(o, "likely", bt_json_number(d->value[side][1] * as.per_inside));
    json_object_set_new(o, "high", bt_json_number(d->value[side][2] * as.per_inside));
    json_object_set_new(o, "unit", bt_json_text(as.unit));
    return o;
}

void bt_report_compare_json_begin(struct bt_out *o, const struct bt_show *w,
                                  const struct bt_garden *first,
                                  const struct bt_garden *second,
                                  const struct bt_handbook *second_book)
{
    json_t *head = json_object();
    json_object_set_new(head, "schema", json_string(SCHEMA));
    bt_made_with_set(head, w);
    json_object_set_new(head, "second_tables", bt_made_with_tables(w->arena, second_book));
    json_object_set_new(head, "first", bt_json_text(first->name));
    json_object_set_new(head, "second", bt_json_text(second->name));
    json_object_set_new(head, "first_season", json_integer(first->season));
    json_object_set_new(head, "second_season", json_integer(second->season));
    bt_json_put_head(o, head);
}

void bt_report_compare_json_bed(struct bt_out *o, const struct bt_show *w,
                                const struct bt_compared_bed *b, bool first)
{
    json_t *bed = json_object();
    const struct bt_comparison *c = b->comparison;
    json_object_set_new(bed, "bed", bt_json_text(b->bed->id));
    json_object_set_new(bed, "in",
                        json_string(b->where == BT_IN_BOTH    ? "both"
                                    : b->where == BT_IN_FIRST ? "first"
                                                              : "second"));
    json_t *inputs = json_array();
    for (size_t k = 0; c && k < c->n_accounts; k++)
        json_object_set_new(bed, bt_nutrient_text(c->account[k].nutrient),
                            account(&c->account[k]));
    for (size_t k = 0; c && k < c->n_inputs; k++) {
        json_t *d = json_object();
        json_object_set_new(d, "input", bt_json_text(c->input[k].label));
        json_object_set_new(d, "first", side_of(c, &c->input[k], 0));
        json_object_set_new(d, "second", side_of(c, &c->input[k], 1));
        json_array_append_new(inputs, d);
    }
    json_t *plantings = json_array();
    for (size_t k = 0; c && k < c->n_plantings; k++) {
        const struct bt_planting_difference *d = &c->planting[k];
        json_t *one = json_object();
        json_object_set_new(one, "planting", bt_json_text(bt_compare_planting_name(w, d)));
        json_object_set_new(
            one, "first",
            bt_json_text(bt_compare_planting_text(w, d->planting[0], d->count[0])));
        json_object_set_new(
            one, "second",
            bt_json_text(bt_compare_planting_text(w, d->planting[1], d->count[1])));
        json_array_append_new(plantings, one);
    }
    json_object_set_new(bed, "plantings", plantings);
    json_object_set_new(bed, "inputs", inputs);
    bt_put(o, first ? "\n" : ",\n");
    bt_json_put(o, bed);
}

void bt_report_compare_json_end(struct bt_out *o)
{
    bt_put(o, "\n]}\n");
}
