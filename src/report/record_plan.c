/* The plan in a record: advice, set apart from what was done. */
#include <math.h>
#include <string.h>

#include "base/date.h"
#include "report/answer.h"
#include "report/page.h"
#include "report/record_parts.h"

enum { COLUMNS = 10 };

static const char *placement_text(const struct bt_addition *x)
{
    switch (x->placement) {
    case BT_SURFACE: return "lay on top";
    case BT_WATERED: return "water in";
    default: return "dig in";
    }
}

void bt_record_plan_begin(struct bt_record *r, const struct bt_show *w)
{
    struct bt_arena *a = r->kept;
    const struct bt_garden *g = r->garden;
    const char *mass = w->us_units ? "oz" : "g";
    const struct bt_doc_column columns[COLUMNS] = {
        {"Bed",                                         "",   false},
        {"When",                                        "",   false},
        {"Material",                                    "",   false},
        {"How much",                                    "",   false},
        {"How",                                         "",   false},
        {"Rate",                                        "",   false},
        {"N it would give this season, likely (range)", mass, false},
        {"P2O5",                                        mass, true },
        {"K2O",                                         mass, true },
        {"Cost",                                        "",   true }
    };
    r->plan = bt_doc_new(a, "", "", r->version);
    bt_doc_page(r->plan);
    bt_doc_heading(r->plan, 2, "Advice: what could still be added");
    bt_doc_note(
        r->plan,
        "This is the program's advice, not a record of work. Nothing of it was done "
        "and nothing of it counts in any other figure of this record. It is no "
        "soil-test advice: where your laboratory, extension service, local law or a "
        "licensed planner says otherwise, they are right.");
    bt_doc_paragraph(
        r->plan,
        bt_arena_format(a,
                        "Worked out from %s on so that the need for nitrogen is covered on "
                        "every date that can still be helped with a chance of %s.",
                        bt_date_words(a, bt_first_day(g)), bt_chance_text(a, g->enough)));
    r->plan_table = bt_doc_table(r->plan, "What to add, bed by bed", COLUMNS, columns);
}

static void add_row(struct bt_record *r, const char *table, const char *key,
                    const char *quantity)
{
    const struct bt_row *row = bt_handbook_follow(r->handbook, table, key, quantity);
    if (row)
        bt_record_add_source(r, row->source, row->seen);
}

/* The sources of what is known of a material, of a measure it is given in, and of when the
 * crop it feeds is fed. */
static void add_sources(struct bt_record *r, const struct bt_addition *x)
{
    static const char *const of_material[] = {"n",
                                              "p2o5",
                                              "k2o",
                                              "moisture",
                                              "density",
                                              "ammonium_n",
                                              "n_available_1",
                                              "n_available_2",
                                              "p2o5_available",
                                              "k2o_available",
                                              "net_n",
                                              "release_rate",
                                              "placement",
                                              "kind"};
    static const char *const of_crop[] = {"days", "sidedress_day", "sidedress_day_2"};
    const char *key = x->material->key;
    for (size_t k = 0; key && k < sizeof of_material / sizeof *of_material; k++)
        add_row(r, "materials", key, of_material[k]);
    for (size_t k = 0; x->planting && k < sizeof of_crop / sizeof *of_crop; k++)
        add_row(r, "crops", x->planting->crop, of_crop[k]);
    if (key && strstr(x->measured.text, "cup"))
        add_row(r, "measures", bt_arena_format(r->kept, "cup of %s", key), "mass");
    if (strstr(x->measured.text, "bucket"))
        add_row(r, "measures", "bucket", "volume");
}

/* The limits that every plan is held to. */
static void add_limits(struct bt_record *r, const struct bt_bed *bed)
{
    static const char *const limit[] = {"single_dose_limit",   "yearly_dose_limit",
                                        "compost_depth_usual", "compost_depth_limit",
                                        "mulch_depth_limit",   "build_up_limit"};
    for (size_t k = 0; k < sizeof limit / sizeof *limit; k++) {
        const bool own = bed->texture &&
                         bt_handbook_follow(r->handbook, "soils", bed->texture, limit[k]);
        add_row(r, "soils", own ? bed->texture : "any", limit[k]);
    }
}

static void put_addition(struct bt_record *r, const struct bt_show *w,
                         const struct bt_bed_plan *p, const struct bt_addition *x)
{
    struct bt_arena *a = r->kept;
    const struct bt_desk_of t = {r, w, r->plan, BT_FOR_FILE};
    const struct bt_on_bed on = bt_on_bed(w, p->bed);
    const double k = on.per_g_m2; /* unit-free */
    const char *ends =
        bt_ends_text(a, x->n_available.p05 * k, x->n_available.p95 * k, BT_FIGURES_FIRST);
    const char *likely = bt_figures_short(a, x->n_available.likely * k, BT_FIGURES_FIRST);
    const bool priced = isfinite(x->cost);
    const struct bt_doc_cell row[COLUMNS] = {
        bt_cell_text(p->bed->id),
        bt_cell_text(bt_arena_format(a, "%s (%s)", bt_date_words(a, x->day), x->stage)),
        bt_cell_text(bt_arena_text(a, x->material->name)),
        bt_cell_text(bt_arena_format(a, "%s%s", x->measured.text, bt_all_pots(a, p->bed))),
        bt_cell_text(placement_text(x)),
        bt_cell_text(bt_arena_text(a, x->rates)),
        bt_cell_text(*ends ? bt_arena_format(a, "%s (%s)", likely, ends) : likely),
        bt_cell_number(bt_figures_short(a, x->p2o5_g_m2 * k, BT_FIGURES_FIRST),
                       x->p2o5_g_m2 * k),
        bt_cell_number(bt_figures_short(a, x->k2o_g_m2 * k, BT_FIGURES_FIRST),
                       x->k2o_g_m2 * k),
        priced ? bt_cell_number(bt_money(&t, x->cost), x->cost)
               : bt_cell_text("no price on record")};
    bt_doc_row(r->plan, r->plan_table, row);
    add_sources(r, x);
}

/* What the plan comes to, or why there is none. */
static const char *outcome(const struct bt_record *r, const struct bt_bed_plan *p,
                           const struct bt_plan *plan)
{
    struct bt_arena *a = r->kept;
    if (p->verdict)
        return bt_arena_text(a, p->verdict);
    if (!plan || plan->n_additions == 0)
        return bt_arena_format(a,
                               "no plan: nothing that may be used here would help in time. "
                               "Need covered: %s as things stand.",
                               bt_chance_text(a, p->chance_without));
    return bt_arena_format(
        a, "need covered%s%s: %s as things stand, %s with it (wished: %s).%s",
        p->too_late ? " from " : " on every date",
        p->too_late ? bt_arena_format(a, "%s on", bt_date_words(a, p->from)) : "",
        bt_chance_text(a, p->chance_without), bt_chance_text(a, plan->chance),
        bt_chance_text(a, plan->enough),
        plan->feasible ? ""
                       : " No plan within the limits reaches the wish; this is the "
                         "nearest that was found.");
}

void bt_record_plan_bed(struct bt_record *r, const struct bt_show *w,
                        const struct bt_bed_plan *p)
{
    struct bt_arena *a = r->kept;
    const struct bt_plan *plan = p->n_plans > 0 ? &p->plan[p->wished] : NULL;
    for (size_t k = 0; plan && k < plan->n_additions; k++)
        put_addition(r, w, p, &plan->addition[k]);
    if (plan && plan->n_additions > 0)
        add_limits(r, p->bed);
    bt_doc_item(r->plan,
                bt_arena_format(a, "%s: %s", bt_bed_title(a, p->bed), outcome(r, p, plan)));
    if (p->aside)
        bt_doc_item(r->plan, bt_arena_format(a, "%s: %s", p->bed->id, p->aside));
    for (size_t k = 0; plan && plan->n_additions > 0 && k < plan->n_stopped_by; k++)
        bt_doc_item(r->plan, bt_arena_format(a, "%s: %s by: %s", p->bed->id,
                                             plan->feasible ? "held" : "stopped",
                                             plan->stopped_by[k]));
    for (size_t k = 0; k < p->n_warnings; k++)
        bt_doc_item(r->plan, bt_arena_format(a, "%s: %s", p->bed->id, p->warning[k]));
    for (size_t k = 0; k < p->n_cautions; k++) {
        const struct bt_caution *c = p->caution[k];
        bt_record_keep_once(
            r, &r->plan_cautions,
            bt_arena_format(a, "%s (%s, %s)", c->rule, c->source, bt_seen_word(c->seen)));
        bt_record_add_source(r, c->source, c->seen);
    }
}

/* "2 packages of 25 lb", "12 lb" */
static const char *buy_text(const struct bt_record *r, const struct bt_show *w,
                            const struct bt_shopping_line *l)
{
    struct bt_arena *a = r->kept;
    if (!(l->buy_g > 0))
        return "nothing to buy";
    if (l->material->own && l->material->own->made_here)
        return "from the garden itself";
    if (!(l->packages > 0))
        return bt_arena_format(a, "%s (no package known)",
                               bt_weight_text(a, w->us_units, l->buy_g));
    return bt_arena_format(a, "%.0f %s of %s", l->packages,
                           l->packages > 1 ? "packages" : "package",
                           bt_package_text(a, w->us_units, l->material));
}

void bt_record_plan_end(struct bt_record *r, const struct bt_show *w, size_t n,
                        const struct bt_shopping_line *line)
{
    struct bt_arena *a = r->kept;
    const struct bt_desk_of t = {r, w, r->plan, BT_FOR_FILE};
    const struct bt_doc_column columns[] = {
        {"Material",     "", false},
        {"For the beds", "", false},
        {"On hand",      "", false},
        {"To buy",       "", false},
        {"Cost",         "", true }
    };
    struct bt_doc_table *table =
        bt_doc_table(r->plan, "What would have to be bought for it", 5, columns);
    for (size_t k = 0; k < n; k++) {
        const struct bt_shopping_line *l = &line[k];
        const struct bt_doc_cell row[] = {
            bt_cell_text(bt_arena_text(a, l->material->name)),
            bt_cell_text(bt_weight_text(a, w->us_units, l->wanted_g)),
            bt_cell_text(l->on_hand_g > 0 ? bt_weight_text(a, w->us_units, l->on_hand_g)
                                          : ""),
            bt_cell_text(buy_text(r, w, l)),
            isfinite(l->cost) ? bt_cell_number(bt_money(&t, l->cost), l->cost)
                              : bt_cell_text("no price on record")};
        bt_doc_row(r->plan, table, row);
    }
    if (r->plan_cautions.n > 0)
        bt_doc_heading(r->plan, 3, "Careful, if the advice is followed");
    for (size_t k = 0; k < r->plan_cautions.n; k++)
        bt_doc_item(r->plan, r->plan_cautions.text[k]);
}
