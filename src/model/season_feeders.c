/* The rate of phosphate or potash by what a bed grows. Guides give hungry crops more and
 * beans less on the same soil; in a mixed bed each crop's rate counts for what it fills. */
#include <string.h>

#include "base/text.h"
#include "model/season_pk.h"

enum { LIGHT, MEDIUM, HEAVY, FEEDERS };
static const char *const feeder_name[FEEDERS] = {"light", "medium", "heavy"};

struct feeders {
    double stands[FEEDERS]; /* sum of densities */
    const char *who[FEEDERS];
    double sum;
};

static int feeder_of(struct bt_binding *b, const struct bt_planting *p)
{
    const char *word = bt_bind_word(b, "crops", p->crop, "feeder");
    for (int k = 0; word && k < FEEDERS; k++)
        if (bt_text_is(word, feeder_name[k]))
            return k;
    return MEDIUM;
}

static void add_plots(struct bt_binding *b, struct feeders *f, bool picked_only)
{
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *p = &b->plot[i];
        if (!p->in_account || !(p->density > 0) || (picked_only && !p->is_picked))
            continue;
        const int k = feeder_of(b, p->planting);
        f->stands[k] += p->density;
        f->sum += p->density;
        if (!strstr(f->who[k], p->planting->written))
            f->who[k] = bt_bind_text(b, "%s%s%s", f->who[k], *f->who[k] ? ", " : "",
                                     p->planting->written);
    }
}

/* Covers and flowers that nobody picks are not fed for; they count where nothing else
 * grows. */
static struct feeders feeders_of(struct bt_binding *b)
{
    struct feeders f = {
        .who = {"", "", ""}
    };
    add_plots(b, &f, true);
    if (!(f.sum > 0))
        add_plots(b, &f, false);
    return f;
}

static void say_feeders(struct bt_binding *b, const struct feeders *f, const char *word)
{
    static const double PERCENT = 100;
    const char *list = "";
    for (int k = FEEDERS - 1; k >= 0; k--)
        if (f->stands[k] > 0)
            list = bt_bind_text(b, "%s%s%s feeders %.0f %% (%s)", list, *list ? ", " : "",
                                feeder_name[k], PERCENT * f->stands[k] / f->sum, f->who[k]);
    bt_bind_assumed(b, bt_bind_text(b,
                                    "The %s rate is by feeder class, our judgement from "
                                    "published rates: %s.",
                                    word, list));
}

static struct bt_node rate_leaf(struct bt_binding *b, const struct bt_row *row,
                                const char *word, const char *key, int feeder)
{
    const bool by_class = feeder >= 0 && feeder != MEDIUM;
    const char *who =
        by_class ? bt_bind_text(b, " for %s feeders", feeder_name[feeder]) : "";
    return bt_bind_leaf_of(
        b, row,
        bt_bind_text(b, "%s rate%s on a soil rated %s", word, who, bt_class_said(key)),
        NULL, false);
}

struct bt_node bt_bind_rate(struct bt_binding *b, const char *key,
                            const struct bt_rated *rated, const char *word)
{
    const struct bt_row *all = bt_bind_row(b, "ratings", key, rated->need);
    const struct feeders f = feeders_of(b);
    const struct bt_row *row[FEEDERS] = {0};
    struct bt_node part[FEEDERS];
    size_t n = 0;
    bool by_class = false;
    for (int k = 0; all && k < FEEDERS; k++) {
        row[k] = bt_rate_for_feeder(b->arena, b->book, key, rated, feeder_name[k]);
        by_class |= f.stands[k] > 0 && row[k] != all;
    }
    if (!by_class)
        return rate_leaf(b, all, word, key, -1);
    say_feeders(b, &f, word);
    for (int k = 0; k < FEEDERS; k++) {
        if (!(f.stands[k] > 0))
            continue;
        const struct bt_node rate = rate_leaf(b, row[k], word, key, k);
        if (f.stands[k] >= f.sum)
            return rate;
        const struct bt_node share = bt_constant_named(
            b->sheet, f.stands[k] / f.sum, BT_FRACTION,
            bt_bind_text(b, "share of %s feeders in the bed", feeder_name[k]), f.who[k],
            NULL);
        part[n++] = bt_named(b->sheet, NULL,
                             bt_bind_text(b, "%s for %s feeders", word, feeder_name[k]),
                             bt_mul(b->sheet, share, rate));
    }
    return bt_sum(b->sheet, n, part, BT_MASS_PER_AREA);
}
