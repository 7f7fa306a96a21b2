/* What can hurt, said before all else: raw manure too near a picking, a dose that burns,
 * metals that a laboratory found. */
#include <string.h>

#include "base/date.h"
#include "base/text.h"
#include "model/picking.h"
#include "model/season_bind.h"
#include "model/season_pk.h"

void bt_bind_alert(struct bt_binding *b, struct bt_alert alert)
{
    b->alert =
        bt_arena_grow(b->arena, b->alert, &b->alerts_cap, b->n_alerts, sizeof *b->alert);
    b->alert[b->n_alerts++] = alert;
}

/* ---- raw manure and picking ---- */

enum rawness { NOT_RAW, DRIED, RAW };

static enum rawness rawness_of(struct bt_binding *b, const struct bt_application *x)
{
    struct bt_arena *a = b->arena;
    if (bt_calls_for(a, b->book, "materials", x->material, "raw manure"))
        return RAW;
    return bt_calls_for(a, b->book, "materials", x->material, "dried manure") ? DRIED
                                                                              : NOT_RAW;
}

/* One planting and the manure that keeps it longest from being picked. */
struct wait {
    const struct bt_planting *planting;
    struct bt_picking picking;
    const struct bt_application *manure; /* NULL for none */
    enum rawness rawness;
    int until;
};

static void wait_for(struct bt_binding *b, struct wait *w)
{
    const struct bt_garden *g = b->garden;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        const enum rawness rawness =
            bt_bind_is_on_bed(b, x) && x->date.known ? rawness_of(b, x) : NOT_RAW;
        const int day = x->date.day + x->date.width_d / 2;
        const int until = day + w->picking.wait_d;
        if (rawness == NOT_RAW || !bt_picked_too_soon(&w->picking, day) ||
            until <= g->as_of || (w->manure && until <= w->until))
            continue;
        w->manure = x;
        w->rawness = rawness;
        w->until = until;
    }
}

static const char *manure_words(struct bt_binding *b, const struct wait *w)
{
    const struct bt_application *x = w->manure;
    const bool planned = x->is_advice || x->status != BT_DONE;
    const char *name = bt_bind_material_label(x);
    return bt_bind_text(b, "%s %s %s", name, planned ? "planned for" : "of",
                        bt_bind_day(b, x));
}

/* "from 10 June on", "now". */
static const char *ready_words(struct bt_binding *b, int first)
{
    return first > b->garden->as_of
               ? bt_bind_text(b, "may be ready from %s on", bt_date_words(b->arena, first))
               : "may be ready by now";
}

static void alert_of(struct bt_binding *b, const struct wait *w, const char *crops,
                     int first)
{
    const char *crop = w->planting->crop;
    const char *wait = w->picking.off_ground ? "manure_wait_off_ground" : "manure_wait";
    bt_bind_read(b, bt_handbook_row(b->book, "soils", "any", wait));
    bt_bind_read(b, bt_handbook_follow(b->book, "crops", crop, "first_pick"));
    const char *until = bt_date_words(b->arena, w->until);
    const char *dried =
        w->rawness == DRIED ? ", unless its maker says that it was heat-treated" : "";
    const char *brief = bt_bind_text(b, "%s: not to be picked before %s (%s%s)", crops,
                                     until, manure_words(b, w), dried);
    bt_bind_alert(
        b,
        (struct bt_alert){
            .kind = BT_ALERT_PICKING,
            .brief = brief,
            .text = bt_bind_text(
                b,
                "%s. Raw manure lies %d days before what %s is picked; this %s. Where a "
                "local rule or your certifier says otherwise, that holds.",
                brief, w->picking.wait_d,
                w->picking.off_ground ? "grows off the ground" : "touches soil or splash",
                ready_words(b, first))});
}

/* Plantings that wait for the same manure equally long are told together. */
void bt_bind_waits(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    struct wait *wait = bt_arena_zero(b->arena, (g->n_plantings + 1) * sizeof *wait);
    size_t n = 0;
    for (size_t i = 0; i < g->n_plantings; i++) {
        if (g->planting[i].bed_index != b->bed_index || !g->planting[i].crop)
            continue;
        wait[n] = (struct wait){.planting = &g->planting[i],
                                .picking = bt_picking_of(b->book, g, i)};
        wait_for(b, &wait[n]);
        n += wait[n].manure != NULL;
    }
    for (size_t i = 0; i < n; i++) {
        const char *crops = "";
        int first = wait[i].picking.first;
        bool told = false;
        for (size_t k = 0; k < n; k++) {
            if (wait[k].manure != wait[i].manure || wait[k].until != wait[i].until)
                continue;
            told |= k < i;
            first = wait[k].picking.first < first ? wait[k].picking.first : first;
            if (!strstr(crops, wait[k].planting->written))
                crops = bt_bind_text(b, "%s%s%s", crops, *crops ? ", " : "",
                                     wait[k].planting->written);
        }
        if (!told)
            alert_of(b, &wait[i], crops, first);
    }
}

/* ---- words for cautions ---- */

/* What was or will be spread on this bed in the season and the one before. */
void bt_bind_material_cautions(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        const int season = bt_season_of(g, x->date.day);
        if (bt_bind_is_on_bed(b, x) && x->date.day < b->end && season <= g->season &&
            g->season - season <= 1)
            bt_caution_words_of(&b->words, b->book, "materials", x->material);
    }
    bt_caution_words_of_bed(&b->words, b->book, g, b->bed_index);
}
