/* What the garden itself has put, or will put, on a bed, against the limits of a plan. */
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "plan/amend_work.h"

static bool is_on_bed(const struct bt_work *w, const struct bt_application *x)
{
    for (size_t k = 0; k < x->n_beds; k++)
        if (x->bed[k] == w->bed_index)
            return true;
    return false;
}

static double line_of(const struct bt_work *w, const struct bt_application *x)
{
    const struct bt_account *account = &w->base.account[BT_N];
    const char *name =
        bt_arena_format(w->arena, "%s, %s", x->own ? x->own->name : x->written,
                        bt_date_words(w->arena, x->date.day));
    double sum_g_m2 = 0;
    for (size_t k = 0; k < account->n_lines; k++)
        if (account->line[k].side == BT_SUPPLY &&
            strncmp(account->line[k].label, name, strlen(name)) == 0)
            sum_g_m2 += bt_likely(w->base.sheet, account->line[k].node);
    return sum_g_m2;
}

double bt_work_dose_there(const struct bt_work *w, int day)
{
    enum { WEEK_D = 7 };
    const struct bt_garden *g = w->m->garden;
    double sum_g_m2 = 0;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        if (x->material && is_on_bed(w, x) && abs(x->date.day - day) <= WEEK_D &&
            bt_is_quick(w->m->book, x->material))
            sum_g_m2 += line_of(w, x);
    }
    return sum_g_m2;
}

/* How deep an amount lies; 0 where that cannot be said. */
static double depth_of(const struct bt_work *w, const struct bt_application *x)
{
    const struct bt_garden *g = w->m->garden;
    const struct bt_dim dim = x->amount.unit.dim;
    const double amount = x->amount.range.likely;
    const double density_g_m3 =
        x->own && bt_is_number(&x->own->density)
            ? x->own->density.range.likely
            : bt_row_likely(w->m->book, "materials", x->material, "density");
    double area_m2 = 0;
    for (size_t k = 0; k < x->n_beds; k++)
        area_m2 += g->bed[x->bed[k]].area_m2;
    if (!bt_is_number(&x->amount) || x->amount.unit.per)
        return 0;
    if (bt_dim_same(dim, BT_LENGTH))
        return amount;
    if (bt_dim_same(dim, BT_VOLUME))
        return amount / area_m2;
    return bt_dim_same(dim, BT_MASS) && density_g_m3 > 0 ? amount / density_g_m3 / area_m2
                                                         : 0;
}

double bt_work_depth_there(const struct bt_work *w, bool is_mulch)
{
    enum { YEAR_D = 365 };
    const struct bt_garden *g = w->m->garden;
    double sum_m = 0;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        const char *kind =
            x->material ? bt_handbook_word(w->m->book, "materials", x->material, "kind")
                        : NULL;
        if (kind && is_on_bed(w, x) && x->date.day > g->season_end - YEAR_D &&
            x->date.day <= g->season_end &&
            (is_mulch ? bt_text_is(kind, "mulch") || bt_text_is(kind, "residue")
                      : bt_text_is(kind, "compost") || bt_text_is(kind, "manure")))
            sum_m += depth_of(w, x);
    }
    return sum_m;
}
