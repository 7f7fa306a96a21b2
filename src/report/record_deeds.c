/* What was put on the beds, for what, what it cost; receipts and gifts; what was picked. */
#include <math.h>
#include <string.h>

#include "base/date.h"
#include "base/text.h"
#include "report/handbook.h"
#include "report/record.h"

/* ---- single additions ---- */

const char *bt_deed_name(const struct bt_application *x)
{
    return x->own ? x->own->name : x->written;
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

static double area_of(const struct bt_desk_of *t, const struct bt_application *x)
{
    return bt_garden_area_m2(t->record->garden, x->n_beds, x->bed);
}

/* Volume of the addition [m3]; NaN when it was not measured by volume. */
double bt_deed_volume_m3(const struct bt_desk_of *t, const struct bt_application *x)
{
    const struct bt_dim dim = x->amount.unit.dim;
    if (x->amount.presence != BT_GIVEN || x->amount.unit.per)
        return (double)NAN;
    if (bt_dim_same(dim, BT_VOLUME))
        return x->amount.range.likely;
    return bt_dim_same(dim, BT_LENGTH) ? x->amount.range.likely * area_of(t, x)
                                       : (double)NAN;
}

/* What stands before " = " of a measure's working: "3 wheelbarrows (6 buckets each)". */
static const char *as_measured(struct bt_arena *a, const struct bt_application *x)
{
    const char *equals = x->measure_working ? strstr(x->measure_working, " = ") : NULL;
    return equals ? bt_arena_text_n(a, x->measure_working,
                                    (size_t)(equals - x->measure_working))
                  : x->amount.cell.text;
}

/* "90 gal", "341 L" */
static const char *volume_text(const struct bt_desk_of *t, double m3)
{
    struct bt_arena *a = t->record->kept;
    const char *unit = t->show->us_units ? "gal" : "L";
    return bt_arena_format(
        a, "%s %s",
        bt_figures_short(a, m3 * bt_units_factor_to(t->show->units, a, unit),
                         BT_FIGURES_FIRST),
        unit);
}

static const char *working(const struct bt_desk_of *t, const struct bt_application *x,
                           const struct bt_record_share *s)
{
    struct bt_arena *a = t->record->kept;
    const bool is_weight = bt_dim_same(x->amount.unit.dim, BT_MASS);
    const double m3 = bt_deed_volume_m3(t, x);
    const char *text = x->measure_working
                           ? as_measured(a, x)
                           : bt_arena_format(a, "%s, as measured", x->amount.cell.text);
    if (bt_dim_same(x->amount.unit.dim, BT_LENGTH))
        text = bt_arena_format(a, "%s%s over %s", x->amount.cell.text,
                               strchr(x->amount.cell.text, '/') ? "" : " deep",
                               bt_area_text(t->show, area_of(t, x)));
    if (isfinite(m3))
        text = bt_arena_format(a, "%s, about %s", text, volume_text(t, m3));
    const char *weight = bt_garden_mass_text(t->show, s->fresh_g, BT_FIGURES_FIRST);
    if (s->fresh_g > 0 && !strstr(text, weight) && (!is_weight || x->measure_working))
        text = bt_arena_format(a, "%s, weighing about %s", text, weight);
    return text;
}

/* ---- the table of additions ---- */

bool bt_deed_counts(const struct bt_desk_of *t, const struct bt_application *x)
{
    return bt_deed_in_season(t->record->garden, x) && x->status == BT_DONE && !x->is_advice;
}

/* After the ways in: the table of what is not done. */
enum { WAY_PLANNED = BT_WAY_INSIDE + 1 };

static bool is_shown(const struct bt_desk_of *t, const struct bt_application *x, int way)
{
    if (!bt_deed_in_season(t->record->garden, x))
        return false;
    if (!bt_deed_counts(t, x))
        return way == WAY_PLANNED && t->audience == BT_FOR_FILE;
    return (int)bt_deed_way(t, x) == way;
}

static const char *nitrogen(const struct bt_desk_of *t, const struct bt_record_share *s)
{
    struct bt_arena *a = t->record->kept;
    const char *mass =
        bt_garden_mass_text(t->show, fabs(s->available_n_g), BT_FIGURES_FIRST);
    if (s->available_n_g < 0)
        mass = bt_arena_format(a, "ties up %s", mass);
    return s->source ? bt_arena_format(a, "%s (%s)", mass, s->source)
                     : bt_arena_format(a, "%s (the garden's own figures)", mass);
}

static const char *where_from(const struct bt_desk_of *t, const struct bt_application *x,
                              const struct bt_cost *c)
{
    struct bt_arena *a = t->record->kept;
    if (bt_deed_is_inside(x))
        return x->taken_from ? bt_arena_format(a, "bed %s", x->taken_from->id)
                             : "made here";
    return *c->from ? c->from : "no price on record";
}

/* Enough figures that quantity times unit cost is the total to the cent. */
enum { DEED_COLUMNS = 11, EACH_COLUMN = 3, MONEY_COLUMN = 4, QUANTITY_FIGURES = 4 };

/* Without the columns of money, where nothing is paid. */
static size_t without_money(void *cells, size_t size)
{
    char *at = cells;
    memmove(at + EACH_COLUMN * size, at + (MONEY_COLUMN + 1) * size,
            (DEED_COLUMNS - MONEY_COLUMN - 1) * size);
    return DEED_COLUMNS - 2;
}

static void deed_row(const struct bt_desk_of *t, struct bt_doc_table *table,
                     const struct bt_application *x, double *total)
{
    struct bt_arena *a = t->record->kept;
    struct bt_record_share s;
    bt_deed_sums(t->record, x, &s);
    const struct bt_cost c = bt_deed_cost(t, x);
    const struct bt_doc_cell none = bt_cell_text("");
    *total += c.known ? c.money : 0;
    struct bt_doc_cell row[DEED_COLUMNS] = {
        bt_cell_text(bt_arena_format(a, "%s%s", bt_deed_name(x),
                                     x->is_advice ? " (from the plan file)" : "")),
        isfinite(c.quantity)
            ? bt_cell_number(bt_figures_short(a, c.quantity, QUANTITY_FIGURES), c.quantity)
            : bt_cell_text(x->amount.cell.text),
        bt_cell_text(isfinite(c.quantity) ? c.unit : ""),
        isfinite(c.each) ? bt_cell_number(bt_money(t, c.each), c.each) : none,
        c.known ? bt_cell_number(bt_money(t, c.money), c.money) : none,
        bt_cell_text(where_from(t, x, &c)),
        bt_cell_text(bt_deed_beds(t, x)),
        bt_cell_text(bt_date_iso(a, x->date.day)),
        bt_cell_text(purpose(t, x)),
        bt_cell_text(working(t, x, &s)),
        bt_cell_text(nitrogen(t, &s))};
    if (table->n_columns < DEED_COLUMNS)
        (void)without_money(row, sizeof *row);
    bt_doc_row(t->doc, table, row);
}

static size_t deeds(const struct bt_desk_of *t, int way)
{
    static const struct {
        const char *caption, *each, *from, *sum;
    } say[] = {
        [BT_WAY_BOUGHT] = {"Brought in",                      "Unit cost",    "Price from",
                           "Total where a price is on record"                                                   },
        [BT_WAY_GIVEN] = {"Given to the garden",             "Worth of one", "Given by",
                           "Worth in all"                                                                       },
        [BT_WAY_INSIDE] = {"Moved or made inside the garden", "",             "Where from",                   ""},
        [WAY_PLANNED] = {"Planned, not done",               "Unit cost",    "Price or place it comes from",
                           "Total of what is planned, where a price is on record"                               }
    };
    const struct bt_garden *g = t->record->garden;
    struct bt_doc_column columns[DEED_COLUMNS] = {
        {"Item",                                    "", false},
        {"Quantity",                                "", true },
        {"Unit",                                    "", false},
        {say[way].each,                             "", true },
        {"Total",                                   "", true },
        {say[way].from,                             "", false},
        {"Bed",                                     "", false},
        {"Date",                                    "", false},
        {"Purpose",                                 "", false},
        {"How the quantity was worked out",         "", false},
        {"N it gives this season, likely (source)", "", false}
    };
    const size_t n_columns = way == BT_WAY_INSIDE ? without_money(columns, sizeof *columns)
                                                  : (size_t)DEED_COLUMNS;
    size_t n = 0;
    double total = 0;
    struct bt_doc_table *table = NULL;
    for (size_t i = 0; i < g->n_applications; i++) {
        if (!is_shown(t, &g->application[i], way))
            continue;
        if (n++ == 0)
            table = bt_doc_table(t->doc, say[way].caption, n_columns, columns);
        deed_row(t, table, &g->application[i], &total);
    }
    if (total > 0) {
        struct bt_doc_cell sum[DEED_COLUMNS];
        for (int k = 0; k < DEED_COLUMNS; k++)
            sum[k] = bt_cell_text("");
        sum[0] = bt_cell_text(say[way].sum);
        sum[MONEY_COLUMN] = bt_cell_number(bt_money(t, total), total);
        bt_doc_sum(t->doc, table, sum);
    }
    return n;
}

void bt_record_put_deeds(const struct bt_desk_of *t)
{
    bt_doc_heading(t->doc, 2, "What was put on the beds");
    size_t n = 0;
    for (int way = BT_WAY_BOUGHT; way <= WAY_PLANNED; way++)
        n += deeds(t, way);
    if (n == 0)
        bt_doc_paragraph(t->doc, "Nothing was added this season.");
    else
        bt_doc_note(t->doc,
                    "Each row is one addition on one day. Straw and other low-nitrogen "
                    "material ties nitrogen up while it rots and gives it back later. In "
                    "brackets: the source of the figure for how much becomes available, "
                    "and how it is known (see Sources).");
}

/* ---- harvests ---- */

static bool in_season(const struct bt_garden *g, const struct bt_harvest *h)
{
    return h->date.day >= g->season_start && h->date.day <= g->season_end;
}

static const char *went_to(const struct bt_harvest *h)
{
    return h->to && *h->to ? h->to : "not said";
}

/* By crop and by where it went; `by_crop` false: by where it went alone. */
static void harvest_table(const struct bt_desk_of *t, bool by_crop)
{
    const struct bt_garden *g = t->record->garden;
    struct bt_arena *a = t->record->kept;
    const char *unit = t->show->us_units ? "lb" : "kg";
    const double per_g = bt_units_factor_to(t->show->units, a, unit);
    const struct bt_doc_column columns[] = {
        {"Crop",      "",   false},
        {"Went to",   "",   false},
        {"Harvested", unit, true }
    };
    struct bt_doc_table *table =
        bt_doc_table(t->doc, by_crop ? "Weighed, by crop" : "Weighed, by where it went",
                     by_crop ? 3 : 2, by_crop ? columns : columns + 1);
    bool *done = bt_arena_zero(a, g->n_harvests + 1);
    double total_g = 0;
    for (size_t i = 0; i < g->n_harvests; i++) {
        const struct bt_harvest *h = &g->harvest[i];
        double sum_g = 0;
        for (size_t j = i; j < g->n_harvests && !done[i]; j++) {
            const struct bt_harvest *k = &g->harvest[j];
            if (done[j] || !in_season(g, k) || !bt_text_is(went_to(k), went_to(h)) ||
                (by_crop && !bt_text_is(k->crop, h->crop)))
                continue;
            sum_g += k->amount.range.likely;
            done[j] = j > i;
        }
        if (done[i] || !(sum_g > 0))
            continue;
        const double shown = sum_g * per_g;
        const struct bt_doc_cell row[] = {
            bt_cell_text(h->crop), bt_cell_text(went_to(h)),
            bt_cell_number(bt_figures_short(a, shown, BT_FIGURES), shown)};
        total_g += sum_g;
        bt_doc_row(t->doc, table, by_crop ? row : row + 1);
    }
    const double shown = total_g * per_g;
    const struct bt_doc_cell sum[] = {
        bt_cell_text("All"), bt_cell_text(by_crop ? "" : "All"),
        bt_cell_number(bt_figures_short(a, shown, BT_FIGURES), shown)};
    bt_doc_sum(t->doc, table, by_crop ? sum : sum + 1);
}

void bt_record_put_harvests(const struct bt_desk_of *t)
{
    const struct bt_garden *g = t->record->garden;
    bool any = false;
    for (size_t i = 0; i < g->n_harvests; i++)
        any |= in_season(g, &g->harvest[i]);
    if (!any)
        return;
    bt_doc_heading(t->doc, 2,
                   bt_arena_format(t->record->kept, "What was harvested up to %s",
                                   bt_date_words(t->record->kept, g->as_of)));
    harvest_table(t, true);
    harvest_table(t, false);
}
