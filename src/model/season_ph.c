/* What a soil test says beside nutrients, passed on: pH with what the crops want, lead. No
 * rate of lime or sulfur is worked out: that takes the laboratory's own buffer test. */
#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/ratings.h"
#include "model/season_pk.h"

static bool tells_ph(const struct bt_soil_test *t)
{
    return bt_given(&t->ph);
}

static bool tells_lead(const struct bt_soil_test *t)
{
    return t->lead.presence == BT_GIVEN && !t->lead.word;
}

/* What a crop wants: its own row, else that of legumes, else that of most vegetables. */
static const struct bt_row *wanted_by(struct bt_binding *b, const struct bt_planting *x)
{
    const struct bt_row *own = bt_handbook_follow(b->book, "crops", x->crop, "ph");
    if (own)
        return own;
    return bt_bind_row(b, "soils", "any", x->legume ? "ph_legume" : "ph");
}

struct target {
    double low, high; /* unit-free: pH */
    const char *list; /* "cabbage 6.5 to 7.2, potato 5.2 to 6.5" */
    bool has_legume;
};

static struct target target_of(struct bt_binding *b)
{
    struct target t = {.low = 0, .high = 14, .list = ""};
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *p = &b->plot[i];
        const struct bt_row *row = p->in_account ? wanted_by(b, p->planting) : NULL;
        if (!row)
            continue;
        bt_bind_read(b, row);
        t.low = fmax(t.low, row->range.low);
        t.high = fmin(t.high, row->range.high);
        t.has_legume |= p->planting->legume != NULL;
        if (!strstr(t.list, p->planting->written))
            t.list = bt_bind_text(b, "%s%s%s %.1f to %.1f", t.list, *t.list ? ", " : "",
                                  p->planting->written, row->range.low, row->range.high);
    }
    return t;
}

static void bind_ph(struct bt_binding *b)
{
    const struct bt_soil_test *test = bt_bind_newest(b, tells_ph);
    if (!test)
        return;
    const double ph = test->ph.range.likely;
    const struct target t = target_of(b);
    const char *wanted = "";
    if (*t.list && t.low <= t.high)
        wanted = bt_bind_text(b, "; the crops here want %.1f to %.1f%s", t.low, t.high,
                              ph >= t.low && ph <= t.high ? ", and have it" : "");
    else if (*t.list)
        wanted = bt_bind_text(b, "; the crops here differ: %s", t.list);
    bt_bind_understood(b,
                       bt_bind_text(b,
                                    "pH %.1f (%s)%s. How much lime or sulfur, if "
                                    "any, is the laboratory's business: it takes its own "
                                    "test.",
                                    ph, test->sample, wanted));
    if (t.has_legume && ph < bt_bind_likely(b, "soils", "any", "ph_fixation"))
        bt_bind_caution(b, "acid legume");
}

/* ---- metals ---- */

/* Leaves and roots carry the soil that sticks to them: those that grow here. */
static const char *low_crops(struct bt_binding *b)
{
    const char *list = "";
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_planting *p = b->plot[i].planting;
        const char *form = bt_handbook_word(b->book, "crops", p->crop, "form");
        const bool low = form && (bt_text_is(form, "leafy") || bt_text_is(form, "root") ||
                                  bt_text_is(form, "herb"));
        if (b->plot[i].in_account && low && !(p->picked & BT_PICKED_NOTHING) &&
            !strstr(list, p->written))
            list = bt_bind_text(b, "%s%s%s", list, *list ? ", " : "", p->written);
    }
    return *list ? bt_bind_text(b, " (here: %s)", list) : "";
}

/* A figure above its level: said first, with what the sources advise; the cautions that go
 * with it follow on the page. */
static void metal_alert(struct bt_binding *b, const char *what, double level_frac,
                        const char *level_of)
{
    const char *brief = bt_bind_text(
        b,
        "%s, above %s mg/kg: wash all that is picked, mulch, prefer fruiting crops to "
        "leaves and roots%s, or grow in a raised bed of clean soil",
        what, bt_figures_short(b->arena, level_frac * 1e6, 3), low_crops(b));
    bt_bind_alert(b, (struct bt_alert){
                         .kind = BT_ALERT_METAL,
                         .brief = brief,
                         .text = bt_bind_text(
                             b,
                             "%s. That level is %s; it is no rule for gardens. Ask the "
                             "laboratory whether the figure is the total or an extract's, "
                             "and the local health or extension service what holds there.",
                             brief, level_of)});
    bt_bind_caution(b, "contaminated soil");
}

static bool by_modified_morgan(struct bt_binding *b, const struct bt_soil_test *test)
{
    const char *by = test->phosphorus_method
                         ? bt_extractant(b->arena, b->book, test->phosphorus_method)
                         : NULL;
    return by && bt_text_is(by, "modified Morgan");
}

static void extract_alert(struct bt_binding *b, const char *what, double level_frac)
{
    const char *brief = bt_bind_text(
        b, "%s by modified Morgan, an estimate: above %s mg/kg ask for total lead", what,
        bt_figures_short(b->arena, level_frac * 1e6, 3));
    bt_bind_alert(b, (struct bt_alert){
                         .kind = BT_ALERT_METAL,
                         .brief = brief,
                         .text = bt_bind_text(b,
                                              "%s. Until it is known wash all that is "
                                              "picked and prefer fruiting crops to leaves "
                                              "and roots%s.",
                                              brief, low_crops(b))});
    bt_bind_caution(b, "lead by extract");
}

static const char *figure_of(struct bt_binding *b, const char *metal,
                             const struct bt_quantity *q, const struct bt_soil_test *test)
{
    return bt_bind_text(b, "%s in the soil %s (sample %s)", metal, q->cell.text,
                        test->sample);
}

static void bind_lead(struct bt_binding *b)
{
    const struct bt_soil_test *test = bt_bind_newest(b, tells_lead);
    if (!test)
        return;
    const double lead = test->lead.range.likely;
    const bool extract = by_modified_morgan(b, test);
    const double limit = bt_bind_likely(b, "soils", "any", "lead_limit");
    const double watch =
        bt_bind_likely(b, "soils", "any", extract ? "lead_watch_extract" : "lead_watch");
    const char *what = figure_of(b, "lead", &test->lead, test);
    if (extract && lead >= watch)
        extract_alert(b, what, watch);
    else if (lead >= limit)
        metal_alert(b, what, limit, "that of federal guidance for the soil of homes (USA)");
    else if (lead >= watch)
        metal_alert(b, what, watch,
                    "that of federal guidance for the soil of homes (USA) where there are "
                    "other sources of lead");
    if (lead >= watch)
        bt_bind_caution(b, "lead");
    bt_bind_understood(
        b,
        bt_bind_text(b, "Lead (%s): %s, as the laboratory gives it%s.", test->sample,
                     test->lead.cell.text,
                     lead >= watch ? "; see the cautions"
                                   : "; ask whether that is total lead or an extract's"));
}

static bool tells_arsenic(const struct bt_soil_test *t)
{
    return t->arsenic.presence == BT_GIVEN && !t->arsenic.word;
}

static bool tells_cadmium(const struct bt_soil_test *t)
{
    return t->cadmium.presence == BT_GIVEN && !t->cadmium.word;
}

static void bind_other(struct bt_binding *b, const char *metal, const char *watch,
                       const struct bt_soil_test *test, const struct bt_quantity *q)
{
    const double level = bt_bind_likely(b, "soils", "any", watch);
    bt_bind_understood(
        b, bt_bind_text(b, "%s in the soil (%s): %s, as the laboratory gives it.", metal,
                        test->sample, q->cell.text));
    if (q->range.likely < level)
        return;
    metal_alert(b, figure_of(b, metal, q, test), level,
                "a residential clean-up aim (New York State, recalled)");
    bt_bind_caution(b, metal);
}

void bt_bind_ph_and_lead(struct bt_binding *b)
{
    const struct bt_soil_test *arsenic = bt_bind_newest(b, tells_arsenic);
    const struct bt_soil_test *cadmium = bt_bind_newest(b, tells_cadmium);
    bind_ph(b);
    bind_lead(b);
    if (arsenic)
        bind_other(b, "arsenic", "arsenic_watch", arsenic, &arsenic->arsenic);
    if (cadmium)
        bind_other(b, "cadmium", "cadmium_watch", cadmium, &cadmium->cadmium);
}
