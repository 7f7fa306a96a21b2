/* What a soil test says beside nutrients, passed on: pH with what the crops want, lead. No
 * rate of lime or sulfur is worked out: that takes the laboratory's own buffer test. */
#include <math.h>
#include <string.h>

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

static void bind_lead(struct bt_binding *b)
{
    const struct bt_soil_test *test = bt_bind_newest(b, tells_lead);
    if (!test)
        return;
    const double lead = test->lead.range.likely;
    const bool watch = lead >= bt_bind_likely(b, "soils", "any", "lead_watch");
    bt_bind_understood(
        b, bt_bind_text(b, "Lead (%s): %s, as the laboratory gives it%s.", test->sample,
                        test->lead.cell.text,
                        watch ? "; see the cautions"
                              : "; ask whether that is total lead or an extract's"));
    if (watch)
        bt_bind_caution(b, "contaminated soil");
}

void bt_bind_ph_and_lead(struct bt_binding *b)
{
    bind_ph(b);
    bind_lead(b);
}
