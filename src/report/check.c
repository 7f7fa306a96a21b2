/* The check page: what was understood and what each blank was taken as. No draws. */
#include "base/date.h"
#include "report/answer.h"
#include "report/check_beds.h"
#include "report/field.h"
#include "report/page.h"

void bt_report_check_begin(struct bt_out *o, const struct bt_show *w,
                           const struct bt_garden *g)
{
    struct bt_arena *a = w->arena;
    bt_put(o, w->colour ? "\033[1m%s\033[0m\n" : "%s\n",
           g->name && *g->name ? bt_text_shown(a, g->name) : "The garden");
    if (g->season)
        bt_put(o, "  season %s: %s to %s; deeds up to %s\n", bt_garden_season_name(a, g),
               bt_date_iso(a, g->season_start), bt_date_iso(a, g->season_end),
               bt_date_iso(a, g->as_of));
    else
        bt_put(o, "  season: not known before what is wrong is put right\n");
    bt_put(o, "  dates like 5/6 are %s; answers are in %s\n",
           !g->units_given  ? "not read, as no units are set"
           : g->month_first ? "read month first"
                            : "read day first",
           w->us_units ? "ounces and square feet" : "grams and square metres");
    bt_put(o, "  soil warmth: %s%s\n", g->warmth && *g->warmth ? g->warmth : "not known",
           g->warmth_given ? "" : " (not given, so assumed)");
    bt_put(o, "  read: %zu bed%s, %zu planting%s, %zu soil test%s, %zu addition%s\n",
           g->n_beds, g->n_beds == 1 ? "" : "s", g->n_plantings,
           g->n_plantings == 1 ? "" : "s", g->n_tests, g->n_tests == 1 ? "" : "s",
           g->n_applications, g->n_applications == 1 ? "" : "s");
}

static const char *count_text(struct bt_arena *a, const struct bt_planting *p)
{
    if (p->plants.presence == BT_GIVEN && p->plants.group)
        return bt_arena_format(a, "%s = %s", bt_text_shown(a, p->plants.cell.text),
                               bt_figures_short(a, p->plants.groups * p->plants.each, 6));
    if (p->plants.presence == BT_GIVEN)
        return bt_arena_format(a, "%s",
                               bt_figures_short(a, p->plants.groups * p->plants.each, 6));
    if (p->rows.presence == BT_GIVEN)
        return bt_arena_format(a, "%s of row", bt_text_shown(a, p->rows.cell.text));
    if (p->share.presence == BT_GIVEN)
        return bt_arena_format(a, "share %s", bt_percent_text(a, p->share.range.likely));
    return "";
}

/* A date as far as it is known: `spring 2022` is not a day. */
static const char *date_text(struct bt_arena *a, const struct bt_date *d,
                             const char *unknown)
{
    if (!d->known)
        return unknown;
    return d->width_d > 1 ? bt_arena_format(a, "about %s", bt_date_iso(a, d->day))
                          : bt_date_iso(a, d->day);
}

static void put_plantings(struct bt_out *o, const struct bt_show *w,
                          const struct bt_budget *b)
{
    struct bt_arena *a = w->arena;
    struct bt_grid grid = bt_grid_new(a, 5, 0);
    const char *const head[] = {"planting", "plants", "full stand it counts as",
                                "in the ground", NULL};
    bt_grid_row(&grid, head);
    for (size_t i = 0; i < b->n_plantings; i++) {
        const struct bt_planting_facts *x = &b->planting[i];
        const struct bt_planting *p = x->planting;
        const char *const row[] = {
            bt_text_shown(a, p->written), count_text(a, p),
            bt_area_text(w, x->stand_area_m2),
            bt_arena_format(a, "%s to %s", date_text(a, &p->in_ground, "?"),
                            date_text(a, &p->ended, "its usual end")),
            p->status == BT_PLANNED ? "planned" : ""};
        bt_grid_row(&grid, row);
    }
    bt_grid_write(o, &grid, 2);
}

void bt_check_head(struct bt_out *o, const struct bt_show *w, const struct bt_budget *b)
{
    struct bt_arena *a = w->arena;
    put_plantings(o, w, b);
    for (size_t k = 0; k < b->n_alerts; k++)
        bt_put_wrapped(o, a, "  mind: ", bt_text_shown(a, b->alert[k].text));
    for (size_t k = 0; k < b->n_understood; k++)
        bt_put_wrapped(o, a, "  understood: ", bt_text_shown(a, b->understood[k]));
}

const char *bt_check_size(const struct bt_show *w, const struct bt_bed *bed)
{
    const char *working =
        bed->area_working && *bed->area_working
            ? bt_arena_format(w->arena, " = %s", bt_text_shown(w->arena, bed->area_working))
            : "";
    return bt_arena_format(w->arena, "%s%s", bt_area_text(w, bed->area_m2), working);
}

void bt_report_check_bed(struct bt_out *o, const struct bt_show *w,
                         const struct bt_budget *b)
{
    struct bt_arena *a = w->arena;
    bt_put_title(
        o, w,
        bt_arena_format(a, "%s: %s", bt_bed_title(a, b->bed), bt_check_size(w, b->bed)));
    bt_check_head(o, w, b);
    const char *const *assumed = bt_assumed_texts(w, b);
    for (size_t k = 0; k < b->n_assumed; k++)
        bt_put_wrapped(o, a, "  blank, taken as: ", bt_text_shown(a, assumed[k]));
    const char *check = bt_rate_check_text(w, b);
    if (check)
        bt_put_wrapped(o, a, "  does it look right? ", check);
}

void bt_report_check_end(struct bt_out *o, const struct bt_diag *d)
{
    const size_t errors = bt_diag_count(d, BT_ERROR);
    const size_t warnings = bt_diag_count(d, BT_WARNING);
    const size_t notes = bt_diag_count(d, BT_NOTE);
    if (errors + warnings == 0)
        bt_put(o, "\nNo problem found");
    else
        bt_put(o, "\n%zu error%s, %zu warning%s", errors, errors == 1 ? "" : "s", warnings,
               warnings == 1 ? "" : "s");
    if (notes)
        bt_put(o, "; %zu note%s", notes, notes == 1 ? "" : "s");
    bt_put(o, errors ? ". There is no answer before the errors are put right.\n" : ".\n");
}
