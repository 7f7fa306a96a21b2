/* What the additions cost: prices of receipts and of materials.csv, by bed, by area, by
 * nitrogen; receipts and gifts. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "base/text.h"
#include "report/record.h"

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
        return bt_deed_volume_m3(t, x) / priced->range.likely;
    return s->fresh_g > 0 ? s->fresh_g / priced->range.likely : (double)NAN;
}

static double given(const struct bt_quantity *q)
{
    return q->presence == BT_GIVEN ? q->range.likely : 0;
}

/* A receipt (or gift) of the material whose amount can be compared, the newest before the
 * deed. */
static const struct bt_purchase *receipt_for(const struct bt_desk_of *t,
                                             const struct bt_application *x,
                                             const struct bt_record_share *s, bool gift)
{
    const struct bt_garden *g = t->record->garden;
    const struct bt_purchase *best = NULL;
    const char *name = bt_text_key(t->record->kept, bt_deed_name(x));
    for (size_t i = 0; i < g->n_purchases; i++) {
        const struct bt_purchase *p = &g->purchase[i];
        const bool same = strcmp(bt_text_key(t->record->kept, p->material), name) == 0;
        const bool in_time = !p->date.known || p->date.day <= x->date.day;
        const bool right = gift ? given(&p->donated_value) > 0 && !(given(&p->paid) > 0)
                                : p->paid.presence == BT_GIVEN;
        if (same && in_time && right && isfinite(times(t, x, s, &p->amount)) &&
            (!best || p->date.day >= best->date.day))
            best = p;
    }
    return best;
}

/* "3 wheelbarrows" into 3 and "wheelbarrows"; NaN where it is not a plain number and a unit
 * ("1 1/2 cups"). */
static double typed_number(const struct bt_quantity *q, const char **out_unit)
{
    const char *text = q->cell.text ? q->cell.text : "";
    const size_t digits = strspn(text, "0123456789.");
    const char *unit = text + digits + strspn(text + digits, " ");
    *out_unit = unit;
    const bool is_word = (*unit >= 'a' && *unit <= 'z') || (*unit >= 'A' && *unit <= 'Z');
    return digits > 0 && is_word ? strtod(text, NULL) : (double)NAN;
}

/* Money by one of the unit typed where that comes to whole cents, else by the lot. */
static void set_price(struct bt_cost *c, const struct bt_quantity *priced, double money,
                      double lots)
{
    static const double CENTS = 100, ROUNDING = 1e-6; /* unit-free */
    const char *unit;
    const double number = typed_number(priced, &unit), each = money / number;
    const bool whole = isfinite(number) && each >= 1 &&
                       fabs(each * CENTS - round(each * CENTS)) < ROUNDING;
    c->known = true;
    c->money = money * lots;
    c->each = whole ? each : money;
    c->quantity = whole ? lots * number : lots;
    c->unit = whole ? unit : priced->cell.text;
}

static const char *receipt_text(struct bt_arena *a, const struct bt_purchase *p)
{
    const char *from = p->receipt && *p->receipt
                           ? bt_arena_format(a, "receipt %s", p->receipt)
                       : p->supplier && *p->supplier ? p->supplier
                                                     : "purchases.csv";
    return given(&p->delivery) > 0 ? bt_arena_format(a, "%s, with delivery", from) : from;
}

struct bt_cost bt_deed_cost(const struct bt_desk_of *t, const struct bt_application *x)
{
    struct bt_arena *a = t->record->kept;
    struct bt_record_share s;
    struct bt_cost cost = {.each = (double)NAN, .from = ""};
    cost.quantity = typed_number(&x->amount, &cost.unit);
    bt_deed_sums(t->record, x, &s);
    if (bt_deed_is_inside(x))
        return cost;
    const struct bt_purchase *p = receipt_for(t, x, &s, false);
    const struct bt_purchase *gift = p ? NULL : receipt_for(t, x, &s, true);
    if (p) {
        set_price(&cost, &p->amount, given(&p->paid) + given(&p->delivery),
                  times(t, x, &s, &p->amount));
        cost.from = receipt_text(a, p);
    } else if (x->own && x->own->price.presence == BT_GIVEN) {
        const double lots = times(t, x, &s, &x->own->package);
        cost.from = "price in materials.csv";
        if (isfinite(lots))
            set_price(&cost, &x->own->package, given(&x->own->price), lots);
    } else if (gift) {
        set_price(&cost, &gift->amount, given(&gift->donated_value),
                  times(t, x, &s, &gift->amount));
        cost.is_gift = true;
        cost.from = receipt_text(a, gift);
    }
    return cost;
}

enum bt_way_in bt_deed_way(const struct bt_desk_of *t, const struct bt_application *x)
{
    return bt_deed_is_inside(x)         ? BT_WAY_INSIDE
           : bt_deed_cost(t, x).is_gift ? BT_WAY_GIVEN
                                        : BT_WAY_BOUGHT;
}

/* ---- cost per bed, per area, per unit of available N ---- */

struct bed_cost {
    double money; /* of all that was bought */
    double for_n; /* ... of what gives nitrogen this season */
    double n_g;   /* nitrogen that gives */
    double area_m2;
};

static bool is_share_of(const struct bt_record_share *s, const struct bt_application *x,
                        const struct bt_record_bed *b)
{
    return s->bed == b->number && s->at.line == x->at.line && s->part == x->part &&
           bt_text_is(s->at.file, x->at.file);
}

static void add_share(struct bed_cost *sum, const struct bt_record_share *s, double money)
{
    sum->money += money;
    if (!(s->available_n_g > 0))
        return;
    sum->for_n += money;
    sum->n_g += s->available_n_g;
}

static struct bed_cost bed_cost(const struct bt_desk_of *t, const struct bt_record_bed *b)
{
    const struct bt_garden *g = t->record->garden;
    struct bed_cost sum = {.area_m2 = b->bed->area_m2};
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        const struct bt_cost c = bt_deed_cost(t, x);
        struct bt_record_share all;
        if (!bt_deed_counts(t, x) || !c.known || c.is_gift)
            continue;
        bt_deed_sums(t->record, x, &all);
        for (size_t k = 0; k < t->record->n_shares; k++) {
            const struct bt_record_share *s = &t->record->share[k];
            if (is_share_of(s, x, b) && all.fresh_g > 0)
                add_share(&sum, s, c.money * s->fresh_g / all.fresh_g);
        }
    }
    return sum;
}

static void cost_row(const struct bt_desk_of *t, struct bt_doc_table *table,
                     const char *name, const struct bed_cost *c)
{
    struct bt_arena *a = t->record->kept;
    const bool us = t->show->us_units;
    const double area = us ? 100 / bt_units_factor_to(t->show->units, a, "sq ft")
                           : 1; /* 100 sq ft, or 1 m2 */
    const double unit_g = 1 / bt_units_factor_to(t->show->units, a, us ? "lb" : "kg");
    const double per = c->money / c->area_m2 * area;
    const double each = c->n_g > 0 ? c->for_n / c->n_g * unit_g : (double)NAN;
    const struct bt_doc_cell row[] = {
        bt_cell_text(name), bt_cell_number(bt_money(t, c->money), c->money),
        bt_cell_number(bt_money(t, per), per),
        c->n_g > 0 ? bt_cell_number(bt_money(t, each), each) : bt_cell_text("none")};
    bt_doc_row(t->doc, table, row);
}

void bt_record_put_cost(const struct bt_desk_of *t)
{
    const struct bt_record *r = t->record;
    const bool us = t->show->us_units;
    const struct bt_doc_column columns[] = {
        {"Bed",                                                                          "", false},
        {"Cost",                                                                         "", true },
        {us ? "Per 100 sq ft" : "Per m2",                                                "", true },
        {us ? "Per lb of N available this season" : "Per kg of N available this season", "",
         true                                                                                     }
    };
    struct bt_doc_table *table = NULL;
    struct bed_cost all = {0};
    size_t n = 0;
    for (size_t k = 0; k < r->n_beds; k++) {
        const struct bed_cost c = bed_cost(t, &r->bed[k]);
        if (!(c.money > 0))
            continue;
        if (n++ == 0)
            table = bt_doc_table(t->doc, "Cost of what was bought, by bed", 4, columns);
        cost_row(t, table, r->bed[k].bed->id, &c);
        all.money += c.money;
        all.for_n += c.for_n;
        all.n_g += c.n_g;
        all.area_m2 += c.area_m2;
    }
    if (n == 0)
        return;
    if (n > 1) {
        cost_row(t, table, "These beds", &all);
        table->is_sum[table->n_rows - 1] = true;
    }
    bt_doc_note(t->doc, "The last column holds what was bought to feed the crops, without "
                        "cover material. Compost is dear by that measure: it also brings "
                        "organic matter, phosphate and potash, and goes on giving nitrogen "
                        "for years.");
}

/* ---- receipts ---- */

static struct bt_doc_cell money_cell(const struct bt_desk_of *t,
                                     const struct bt_quantity *q)
{
    return q->presence == BT_GIVEN
               ? bt_cell_number(bt_money(t, q->range.likely), q->range.likely)
               : bt_cell_text("");
}

/* What of the money paid is in the beds. */
static void put_used(const struct bt_desk_of *t, double paid)
{
    const struct bt_garden *g = t->record->garden;
    double used = 0;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_cost c = bt_deed_cost(t, &g->application[i]);
        if (bt_deed_counts(t, &g->application[i]) && c.known && !c.is_gift)
            used += c.money;
    }
    if (used > 0 && paid > used + 0.005)
        bt_doc_note(
            t->doc,
            bt_arena_format(t->record->kept,
                            "%s was paid in all, delivery included; %s of it is in what "
                            "was put on the beds this season. The rest is on hand or "
                            "was used elsewhere.",
                            bt_money(t, paid), bt_money(t, used)));
}

/* The purchase that comes next by date, in file order where they have the same. */
static const struct bt_purchase *next_purchase(const struct bt_garden *g, bool *done)
{
    size_t next = SIZE_MAX;
    for (size_t i = 0; i < g->n_purchases; i++)
        if (!done[i] &&
            (next == SIZE_MAX || g->purchase[i].date.day < g->purchase[next].date.day))
            next = i;
    done[next] = true;
    return &g->purchase[next];
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
    bool *done = bt_arena_zero(a, g->n_purchases + 1);
    for (size_t i = 0; i < g->n_purchases; i++) {
        const struct bt_purchase *p = next_purchase(g, done);
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
    put_used(t, paid + delivery);
}
