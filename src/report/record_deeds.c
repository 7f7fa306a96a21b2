/* What was put on the beds, for what, what it cost; receipts and gifts; what was picked. */
#include <math.h>
#include <string.h>

#include "base/date.h"
#include "base/text.h"
#include "report/handbook.h"
#include "report/record.h"

/* ---- single additions ---- */

static const char *name_of(const struct bt_application *x)
{
    return x->own ? x->own->name : x->written;
}

bool bt_deed_in_season(const struct bt_garden *g, const struct bt_application *x)
{
    int year, month, dom;
    bt_civil(g->season_end, &year, &month, &dom);
    return x->date.known && x->date.day > bt_day(year - 1, month, dom == 29 ? 28 : dom) &&
           x->date.day <= g->season_end;
}

bool bt_deed_sums(const struct bt_record *r, const struct bt_application *x,
                  struct bt_record_share *out)
{
    bool any = false;
    *out = (struct bt_record_share){.at = x->at};
    for (size_t k = 0; k < r->n_shares; k++) {
        const struct bt_record_share *s = &r->share[k];
        if (s->at.line != x->at.line || s->part != x->part ||
            !bt_text_is(s->at.file, x->at.file))
            continue;
        any = true;
        out->fresh_g += s->fresh_g;
        out->total_n_g += s->total_n_g;
        out->available_n_g += s->available_n_g;
        out->available_p2o5_g += s->available_p2o5_g;
        out->source = out->source ? out->source : s->source;
        out->seen = s->seen;
    }
    return any;
}

const char *bt_deed_beds(const struct bt_desk_of *t, const struct bt_application *x)
{
    struct bt_arena *a = t->record->kept;
    const char *text = "";
    for (size_t k = 0; k < x->n_beds; k++)
        text = bt_arena_format(a, "%s%s%s", text, k ? ", " : "",
                               t->record->garden->bed[x->bed[k]].id);
    return text;
}

static const char *kind_of(const struct bt_desk_of *t, const struct bt_application *x)
{
    const char *key = x->own && x->own->like ? x->own->like : x->material;
    const char *kind =
        key ? bt_handbook_word(t->record->handbook, "materials", key, "kind") : NULL;
    return kind ? kind : "other";
}

static const char *purpose(const struct bt_desk_of *t, const struct bt_application *x)
{
    static const char *const text[][2] = {
        {"compost", "nitrogen and organic matter"                     },
        {"manure",  "nitrogen and organic matter"                     },
        {"mulch",   "cover for the soil"                              },
        {"residue", "nitrogen and organic matter of plants grown here"},
        {"meal",    "nitrogen while the crop grows"                   },
        {"mineral", "nutrients while the crop grows"                  }
    };
    const char *kind = kind_of(t, x);
    if (x->placement == BT_FILLING)
        return "filling of the bed";
    if (x->placement == BT_SURFACE && !bt_text_is(kind, "meal") &&
        !bt_text_is(kind, "mineral"))
        return "cover for the soil";
    for (size_t k = 0; k < sizeof text / sizeof *text; k++)
        if (bt_text_is(kind, text[k][0]))
            return text[k][1];
    return "soil improvement";
}

static double spread_area_m2(const struct bt_desk_of *t, const struct bt_application *x)
{
    double area_m2 = 0;
    for (size_t k = 0; k < x->n_beds; k++)
        area_m2 += t->record->garden->bed[x->bed[k]].area_m2;
    return area_m2;
}

/* Volume of the addition [m3]; NaN when it was not measured by volume. */
static double volume_m3(const struct bt_desk_of *t, const struct bt_application *x)
{
    const struct bt_dim dim = x->amount.unit.dim;
    if (x->amount.presence != BT_GIVEN || x->amount.unit.per)
        return (double)NAN;
    if (bt_dim_same(dim, BT_VOLUME))
        return x->amount.range.likely;
    return bt_dim_same(dim, BT_LENGTH) ? x->amount.range.likely * spread_area_m2(t, x)
                                       : (double)NAN;
}

static const char *working(const struct bt_desk_of *t, const struct bt_application *x,
                           const struct bt_record_share *s)
{
    struct bt_arena *a = t->record->kept;
    const char *text = x->measure_working
                           ? x->measure_working
                           : bt_arena_format(a, "%s, as measured", x->amount.cell.text);
    if (bt_dim_same(x->amount.unit.dim, BT_LENGTH))
        text = bt_arena_format(a, "%s deep over %s", x->amount.cell.text,
                               bt_area_text(t->show, spread_area_m2(t, x)));
    if (isfinite(s->fresh_g) && s->fresh_g > 0 && !bt_dim_same(x->amount.unit.dim, BT_MASS))
        text = bt_arena_format(a, "%s, weighing about %s", text,
                               bt_garden_mass_text(t->show, s->fresh_g, BT_FIGURES_FIRST));
    return text;
}

/* ---- money ---- */

const char *bt_money(const struct bt_desk_of *t, double money)
{
    const char *currency = t->record->garden->currency;
    if (!isfinite(money))
        return "";
    if (!currency || !*currency)
        return bt_arena_format(t->record->kept, "%.2f", money);
    const bool is_sign = !((currency[0] >= 'A' && currency[0] <= 'Z') ||
                           (currency[0] >= 'a' && currency[0] <= 'z'));
    return bt_arena_format(t->record->kept, is_sign ? "%s%.2f" : "%s %.2f", currency,
                           money);
}

/* How many of the amount priced were used; NaN when the two cannot be compared. */
static double times(const struct bt_desk_of *t, const struct bt_application *x,
                    const struct bt_record_share *s, const struct bt_quantity *priced)
{
    if (priced->presence != BT_GIVEN || !(priced->range.likely > 0))
        return (double)NAN;
    if (bt_dim_same(priced->unit.dim, BT_VOLUME))
        return volume_m3(t, x) / priced->range.likely;
    return s->fresh_g > 0 ? s->fresh_g / priced->range.likely : (double)NAN;
}

static double given(const struct bt_quantity *q)
{
    return q->presence == BT_GIVEN ? q->range.likely : 0;
}

/* A receipt of the material whose amount can be compared, the newest before the deed. */
static const struct bt_purchase *receipt_for(const struct bt_desk_of *t,
                                             const struct bt_application *x,
                                             const struct bt_record_share *s)
{
    const struct bt_garden *g = t->record->garden;
    const struct bt_purchase *best = NULL;
    for (size_t i = 0; i < g->n_purchases; i++) {
        const struct bt_purchase *p = &g->purchase[i];
        const bool same = strcmp(bt_text_key(t->record->kept, p->material),
                                 bt_text_key(t->record->kept, name_of(x))) == 0;
        const bool in_time = !p->date.known || p->date.day <= x->date.day;
        if (same && in_time && p->paid.presence == BT_GIVEN &&
            isfinite(times(t, x, s, &p->amount)) &&
            (!best || p->date.day >= best->date.day))
            best = p;
    }
    return best;
}

struct bt_cost bt_deed_cost(const struct bt_desk_of *t, const struct bt_application *x)
{
    struct bt_arena *a = t->record->kept;
    struct bt_record_share s;
    struct bt_cost cost = {.unit_cost = "", .from = ""};
    bt_deed_sums(t->record, x, &s);
    if (bt_deed_is_inside(x))
        return cost;
    const struct bt_purchase *p = receipt_for(t, x, &s);
    if (p) {
        const double paid = given(&p->paid) + given(&p->delivery);
        cost.known = true;
        cost.money = paid * times(t, x, &s, &p->amount);
        cost.unit_cost =
            bt_arena_format(a, "%s for %s", bt_money(t, paid), p->amount.cell.text);
        cost.from = p->receipt    ? bt_arena_format(a, "receipt %s", p->receipt)
                    : p->supplier ? p->supplier
                                  : "purchases.csv";
        return cost;
    }
    if (!x->own || x->own->price.presence != BT_GIVEN)
        return cost;
    const double packages = times(t, x, &s, &x->own->package);
    cost.unit_cost = bt_arena_format(a, "%s for %s", bt_money(t, given(&x->own->price)),
                                     x->own->package.cell.text);
    cost.from = "price in materials.csv";
    cost.known = isfinite(packages);
    cost.money = given(&x->own->price) * packages;
    return cost;
}

/* ---- the table of additions ---- */

static bool is_shown(const struct bt_desk_of *t, const struct bt_application *x,
                     bool inside)
{
    const bool done = x->status == BT_DONE && !x->is_advice;
    return bt_deed_in_season(t->record->garden, x) && bt_deed_is_inside(x) == inside &&
           (done || t->audience == BT_FOR_FILE);
}

static void deed_row(const struct bt_desk_of *t, struct bt_doc_table *table,
                     const struct bt_application *x, double *total)
{
    struct bt_arena *a = t->record->kept;
    struct bt_record_share s;
    bt_deed_sums(t->record, x, &s);
    const struct bt_cost c = bt_deed_cost(t, x);
    *total += c.known ? c.money : 0;
    const bool inside = bt_deed_is_inside(x);
    const char *factor = s.source
                             ? bt_arena_format(a, "%s (%s)", s.source, bt_seen_word(s.seen))
                             : "own figures";
    const char *status = x->status == BT_DONE && !x->is_advice ? "" : " (planned)";
    const struct bt_doc_cell row[] = {
        bt_cell_text(bt_arena_format(a, "%s%s", name_of(x), status)),
        bt_cell_text(bt_date_iso(a, x->date.day)),
        bt_cell_text(bt_deed_beds(t, x)),
        bt_cell_text(x->amount.cell.text),
        bt_cell_text(working(t, x, &s)),
        bt_cell_text(purpose(t, x)),
        bt_cell_text(inside         ? x->taken_from
                                          ? bt_arena_format(a, "from bed %s", x->taken_from->id)
                                          : "made here"
                     : *c.unit_cost ? bt_arena_format(a, "%s (%s)", c.unit_cost, c.from)
                                    : "no price on record"),
        c.known ? bt_cell_number(bt_money(t, c.money), c.money) : bt_cell_text(""),
        bt_cell_text(bt_garden_mass_text(t->show, s.available_n_g, BT_FIGURES_FIRST)),
        bt_cell_text(factor)};
    bt_doc_row(t->doc, table, row);
}

static size_t deeds(const struct bt_desk_of *t, bool inside)
{
    const struct bt_garden *g = t->record->garden;
    const struct bt_doc_column columns[] = {
        {"Item",                              "",       false},
        {"Date",                              "",       false},
        {"Beds",                              "",       false},
        {"Quantity",                          "",       false},
        {"How it was worked out",             "",       false},
        {"Purpose",                           "",       false},
        {inside ? "Where from" : "Unit cost", "",       false},
        {"Total",                             "",       true },
        {"N it gives this season",            "likely", false},
        {"Source of that factor",             "",       false}
    };
    size_t n = 0;
    double total = 0;
    struct bt_doc_table *table = NULL;
    for (size_t i = 0; i < g->n_applications; i++) {
        if (!is_shown(t, &g->application[i], inside))
            continue;
        if (n++ == 0)
            table = bt_doc_table(t->doc,
                                 inside ? "Moved or made inside the garden" : "Brought in",
                                 10, columns);
        deed_row(t, table, &g->application[i], &total);
    }
    if (n && !inside) {
        struct bt_doc_cell sum[10];
        for (int k = 0; k < 10; k++)
            sum[k] = bt_cell_text("");
        sum[0] = bt_cell_text("Total where a price is on record");
        sum[7] = bt_cell_number(bt_money(t, total), total);
        bt_doc_sum(t->doc, table, sum);
    }
    return n;
}

void bt_record_put_deeds(const struct bt_desk_of *t)
{
    bt_doc_heading(t->doc, 2, "What was put on the beds");
    size_t n = deeds(t, false);
    n += deeds(t, true);
    if (n == 0)
        bt_doc_paragraph(t->doc, "Nothing was added this season.");
}

/* ---- cost per bed, per area, per unit of available N ---- */

static double bed_cost(const struct bt_desk_of *t, size_t bed, double *available_g)
{
    const struct bt_garden *g = t->record->garden;
    double money = 0;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        const struct bt_cost c = bt_deed_cost(t, x);
        if (!bt_deed_in_season(g, x) || x->status != BT_DONE || x->is_advice || !c.known)
            continue;
        struct bt_record_share all;
        bt_deed_sums(t->record, x, &all);
        for (size_t k = 0; k < t->record->n_shares; k++) {
            const struct bt_record_share *s = &t->record->share[k];
            if (s->bed != bed || s->at.line != x->at.line || s->part != x->part ||
                !bt_text_is(s->at.file, x->at.file) || !(all.fresh_g > 0))
                continue;
            money += c.money * s->fresh_g / all.fresh_g;
            *available_g += s->available_n_g;
        }
    }
    return money;
}

void bt_record_put_cost(const struct bt_desk_of *t)
{
    const struct bt_record *r = t->record;
    struct bt_arena *a = r->kept;
    const bool us = t->show->us_units;
    const double per_area_m2 = us ? 100 / bt_units_factor_to(t->show->units, a, "sq ft")
                                  : 1; /* 100 sq ft, or 1 m2 */
    const double unit_g = 1 / bt_units_factor_to(t->show->units, a, us ? "lb" : "kg");
    const struct bt_doc_column columns[] = {
        {"Bed",                                                                          "", false},
        {"Cost",                                                                         "", true },
        {us ? "Per 100 sq ft" : "Per m2",                                                "", true },
        {us ? "Per lb of N available this season" : "Per kg of N available this season", "",
         true                                                                                     }
    };
    struct bt_doc_table *table = NULL;
    double money = 0, nitrogen_g = 0, area_m2 = 0;
    for (size_t k = 0; k < r->n_beds; k++) {
        const struct bt_record_bed *b = &r->bed[k];
        double g = 0;
        const double m = bed_cost(t, b->number, &g);
        if (!(m > 0))
            continue;
        if (!table)
            table = bt_doc_table(t->doc, "Cost of bought materials, by bed", 4, columns);
        const double per = m / b->bed->area_m2 * per_area_m2;
        const double each = g > 0 ? m / g * unit_g : (double)NAN;
        const struct bt_doc_cell row[] = {
            bt_cell_text(b->bed->id), bt_cell_number(bt_money(t, m), m),
            bt_cell_number(bt_money(t, per), per),
            g > 0 ? bt_cell_number(bt_money(t, each), each) : bt_cell_text("none")};
        bt_doc_row(t->doc, table, row);
        money += m;
        nitrogen_g += g;
        area_m2 += b->bed->area_m2;
    }
    if (!table)
        return;
    const double per = money / area_m2 * per_area_m2;
    const double each = nitrogen_g > 0 ? money / nitrogen_g * unit_g : (double)NAN;
    const struct bt_doc_cell sum[] = {
        bt_cell_text("These beds"), bt_cell_number(bt_money(t, money), money),
        bt_cell_number(bt_money(t, per), per),
        nitrogen_g > 0 ? bt_cell_number(bt_money(t, each), each) : bt_cell_text("none")};
    bt_doc_sum(t->doc, table, sum);
}

/* ---- receipts ---- */

static struct bt_doc_cell money_cell(const struct bt_desk_of *t,
                                     const struct bt_quantity *q)
{
    return q->presence == BT_GIVEN
               ? bt_cell_number(bt_money(t, q->range.likely), q->range.likely)
               : bt_cell_text("");
}

void bt_record_put_purchases(const struct bt_desk_of *t)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    if (g->n_purchases == 0)
        return;
    const struct bt_doc_column columns[] = {
        {"Date",           "", false},
        {"Supplier",       "", false},
        {"Receipt",        "", false},
        {"Item",           "", false},
        {"Quantity",       "", false},
        {"Paid",           "", true },
        {"Delivery",       "", true },
        {"Donated, worth", "", true }
    };
    bt_doc_heading(t->doc, 2, "Receipts and gifts");
    struct bt_doc_table *table = bt_doc_table(t->doc, "", 8, columns);
    double paid = 0, delivery = 0, donated = 0;
    for (size_t i = 0; i < g->n_purchases; i++) {
        const struct bt_purchase *p = &g->purchase[i];
        paid += given(&p->paid);
        delivery += given(&p->delivery);
        donated += given(&p->donated_value);
        const struct bt_doc_cell row[] = {
            bt_cell_text(p->date.known ? bt_date_iso(a, p->date.day) : ""),
            bt_cell_text(p->supplier),
            bt_cell_text(p->receipt),
            bt_cell_text(p->material),
            bt_cell_text(p->amount.cell.text),
            money_cell(t, &p->paid),
            money_cell(t, &p->delivery),
            money_cell(t, &p->donated_value)};
        bt_doc_row(t->doc, table, row);
    }
    const struct bt_doc_cell sum[] = {bt_cell_text("Total"),
                                      bt_cell_text(""),
                                      bt_cell_text(""),
                                      bt_cell_text(""),
                                      bt_cell_text(""),
                                      bt_cell_number(bt_money(t, paid), paid),
                                      bt_cell_number(bt_money(t, delivery), delivery),
                                      bt_cell_number(bt_money(t, donated), donated)};
    bt_doc_sum(t->doc, table, sum);
}

/* ---- harvests ---- */

void bt_record_put_harvests(const struct bt_desk_of *t)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    const double unit_g =
        1 / bt_units_factor_to(t->show->units, a, t->show->us_units ? "lb" : "kg");
    const char *unit = t->show->us_units ? "lb" : "kg";
    if (g->n_harvests == 0)
        return;
    const struct bt_doc_column columns[] = {
        {"Crop",      "",   false},
        {"Went to",   "",   false},
        {"Harvested", unit, true }
    };
    bt_doc_heading(t->doc, 2, "What was harvested");
    struct bt_doc_table *table = bt_doc_table(t->doc, "Weighed in the season", 3, columns);
    bool *done = bt_arena_zero(a, g->n_harvests + 1);
    double total_g = 0;
    for (size_t i = 0; i < g->n_harvests; i++) {
        const struct bt_harvest *h = &g->harvest[i];
        double sum_g = 0;
        for (size_t j = i; j < g->n_harvests && !done[i]; j++) {
            const struct bt_harvest *k = &g->harvest[j];
            const char *to = k->to ? k->to : "", *first = h->to ? h->to : "";
            if (done[j] || !bt_text_is(k->crop, h->crop) || !bt_text_is(to, first))
                continue;
            const bool in_season =
                k->date.day >= g->season_start && k->date.day <= g->season_end;
            sum_g += in_season ? k->amount.range.likely : 0;
            done[j] = j > i;
        }
        if (done[i] || !(sum_g > 0))
            continue;
        done[i] = true;
        total_g += sum_g;
        const struct bt_doc_cell row[] = {
            bt_cell_text(h->crop), bt_cell_text(h->to ? h->to : "not said"),
            bt_cell_number(bt_figures_short(a, sum_g / unit_g, BT_FIGURES),
                           sum_g / unit_g)};
        bt_doc_row(t->doc, table, row);
    }
    const struct bt_doc_cell sum[] = {
        bt_cell_text("All"), bt_cell_text(""),
        bt_cell_number(bt_figures_short(a, total_g / unit_g, BT_FIGURES),
                       total_g / unit_g)};
    bt_doc_sum(t->doc, table, sum);
}
