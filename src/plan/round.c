#include "plan/round.h"

#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"

static const double M3_PER_L = 1e-3;
static const double TEASPOONS_A_CUP = 48;

/* One way to measure: so many steps of so much. */
struct step {
    const char *one, *many; /* "cup", "cups" */
    double unit_g;          /* mass of one */
    double step;            /* unit-free: rounded to this part of one */
    bool is_weight;         /* what is said is the weight itself */
};

/* ---- numbers ---- */

/* "2 1/2", "3/4", "12": quarters and halves as fractions, else three figures. */
static const char *count_text(struct bt_arena *a, double n)
{
    static const char *const quarters[] = {"", "1/4", "1/2", "3/4"};
    const double fours = round(n * 4);
    if (fabs(fours - n * 4) > 1e-6 || n >= 1000)
        return bt_arena_format(a, "%s", bt_figures_short(a, n, 3));
    const double whole = floor(fours / 4);
    const size_t rest = (size_t)(fours - 4 * whole);
    if (rest == 0)
        return bt_arena_format(a, "%.0f", whole);
    return whole > 0 ? bt_arena_format(a, "%.0f %s", whole, quarters[rest])
                     : quarters[rest];
}

static const char *figures(struct bt_arena *a, double x)
{
    if (x >= 100)
        return bt_arena_format(a, "%.0f", x);
    return x >= 10 ? bt_arena_format(a, "%s", bt_figures_short(a, x, 3))
                   : bt_arena_format(a, "%s", bt_figures_short(a, x, 2));
}

const char *bt_weight_text(struct bt_arena *a, bool us_units, double mass_g)
{
    if (us_units)
        return mass_g < 1.5 * BT_G_PER_LB
                   ? bt_arena_format(a, "%s oz", figures(a, mass_g / BT_G_PER_OZ))
                   : bt_arena_format(a, "%s lb", figures(a, mass_g / BT_G_PER_LB));
    return mass_g < 1000 ? bt_arena_format(a, "%s g", figures(a, mass_g))
                         : bt_arena_format(a, "%s kg", figures(a, mass_g / 1000));
}

const char *bt_package_text(struct bt_arena *a, bool us_units, const struct bt_candidate *c)
{
    const struct bt_quantity *typed = c->own ? &c->own->package : NULL;
    if (typed && typed->presence == BT_GIVEN && *typed->unit.text &&
        strstr(typed->cell.text, typed->unit.text))
        return typed->cell.text;
    return bt_weight_text(a, us_units, c->package_g);
}

/* ---- ways to measure ---- */

/* A cup of this material: the handbook's own figure where it has one, for a pint is not a
 * pound. NaN when not known. */
static double cup_g(const struct bt_rounding *r, const struct bt_candidate *c,
                    struct bt_arena *a)
{
    const char *name = bt_arena_format(a, "cup of %s", c->key);
    const double weighed = bt_row_likely(r->handbook, "measures", name, "mass");
    return isfinite(weighed) && !(c->own && bt_is_number(&c->own->density))
               ? weighed
               : BT_M3_PER_CUP * c->density_g_m3;
}

/* The largest of the garden's own measures of which at least two are needed. */
static bool own_measure(const struct bt_rounding *r, const struct bt_candidate *c,
                        double asked_g, struct step *out)
{
    double best_g = 0;
    for (size_t i = 0; i < r->garden->n_measures; i++) {
        const struct bt_measure *m = &r->garden->measure[i];
        const double one_g = m->mass_g > 0 ? 0 : m->volume_m3 * c->density_g_m3;
        if (one_g > best_g && asked_g >= 2 * one_g) {
            best_g = one_g;
            *out = (struct step){m->name, NULL, one_g, 0.5, false};
        }
    }
    return best_g > 0;
}

static struct step bulky_step(const struct bt_rounding *r, const struct bt_candidate *c,
                              double asked_g)
{
    struct step own;
    const double bucket_m3 = bt_row_likely(r->handbook, "measures", "bucket", "volume");
    const double bucket_g = bucket_m3 * c->density_g_m3;
    const double litre_g = M3_PER_L * c->density_g_m3;
    if (own_measure(r, c, asked_g, &own))
        return own;
    if (r->us_units && bucket_g > 0 && asked_g >= bucket_g / 2)
        return (struct step){"bucket", "buckets", bucket_g, 0.5, false};
    if (r->us_units)
        return (struct step){"quart", "quarts", 4 * BT_M3_PER_CUP * c->density_g_m3, 0.5,
                             false};
    const double litres = asked_g / litre_g;
    return (struct step){"L", "L", litre_g, litres < 10 ? 0.5 : litres < 50 ? 1 : 5, false};
}

static struct step fine_step(struct bt_arena *a, const struct bt_rounding *r,
                             const struct bt_candidate *c, double asked_g)
{
    const double one_cup_g = cup_g(r, c, a);
    const double spoon_g = one_cup_g / BT_TABLESPOONS_PER_CUP;
    if (!r->us_units) {
        const double step_g = asked_g < 50 ? 1 : asked_g < 200 ? 5 : 10;
        return asked_g < 1000 ? (struct step){"g", "g", 1, step_g, true}
                              : (struct step){"kg", "kg", 1000, 0.05, true};
    }
    if (one_cup_g > 0 && asked_g < 0.5 * one_cup_g)
        return (struct step){"tablespoon", "tablespoons", spoon_g, 0.5, false};
    if (one_cup_g > 0 && asked_g < 2 * one_cup_g)
        return (struct step){"tablespoon", "tablespoons", spoon_g, 1, false};
    if (one_cup_g > 0 && asked_g < 8 * one_cup_g)
        return (struct step){"cup", "cups", one_cup_g, 0.25, false};
    if (asked_g < BT_G_PER_LB)
        return (struct step){"oz", "oz", BT_G_PER_OZ,
                             asked_g < 4 * BT_G_PER_OZ ? 0.25 : 0.5, true};
    return (struct step){"lb", "lb", BT_G_PER_LB, asked_g < 10 * BT_G_PER_LB ? 0.25 : 1,
                         true};
}

/* ---- rounding ---- */

/* The cell of a plan file: volumes as volumes, so that the doubt about the density counts.
 */
static const char *cell_of(struct bt_arena *a, const struct bt_rounding *r,
                           const struct bt_candidate *c, double mass_g, double volume_m3)
{
    if (!c->by_volume)
        return r->us_units ? bt_arena_format(a, "%s oz",
                                             bt_figures_short(a, mass_g / BT_G_PER_OZ, 6))
                           : bt_arena_format(a, "%s g", bt_figures_short(a, mass_g, 6));
    return r->us_units
               ? bt_arena_format(a, "%s cu ft",
                                 bt_figures_short(a, volume_m3 / BT_M3_PER_CUBIC_FOOT, 6))
               : bt_arena_format(a, "%s L", bt_figures_short(a, volume_m3 / M3_PER_L, 6));
}

/* "1/2 cup and 2 tablespoons": nobody counts out ten spoons. */
static const char *spoons_text(struct bt_arena *a, double n)
{
    enum { SPOONS_A_QUARTER = 4 };
    const double quarters = floor(n / SPOONS_A_QUARTER + 1e-9);
    const double rest = n - quarters * SPOONS_A_QUARTER;
    const char *cups = bt_arena_format(a, "%s cup%s", count_text(a, quarters / 4),
                                       quarters > 4 ? "s" : "");
    if (rest < 0.1)
        return cups;
    return bt_arena_format(a, "%s and %s tablespoon%s", cups, count_text(a, rest),
                           rest > 1 ? "s" : "");
}

static bool is_metric(const struct step *s)
{
    return strcmp(s->one, "L") == 0 || strcmp(s->one, "g") == 0 ||
           strcmp(s->one, "kg") == 0;
}

static const char *step_text(struct bt_arena *a, const struct step *s, double n)
{
    if (strcmp(s->one, "tablespoon") == 0 && n >= 4)
        return spoons_text(a, n);
    const char *count = is_metric(s) ? bt_arena_format(a, "%s", bt_figures_short(a, n, 4))
                                     : count_text(a, n);
    if (n <= 1 + 1e-9)
        return bt_arena_format(a, "%s %s", count, s->one);
    if (s->many)
        return bt_arena_format(a, "%s %s", count, s->many);
    return bt_arena_format(a, "%s %ss", count, s->one);
}

/* What else it comes to: the weight of a measure, the spoons of a weight. */
static const char *beside(struct bt_arena *a, const struct bt_rounding *r,
                          const struct bt_candidate *c, const struct step *s, double mass_g)
{
    if (!s->is_weight)
        return bt_arena_format(a, " (about %s)", bt_weight_text(a, r->us_units, mass_g));
    const double volume_m3 = mass_g / c->density_g_m3;
    if (r->us_units || !isfinite(volume_m3))
        return "";
    return volume_m3 < M3_PER_L
               ? bt_arena_format(a, " (about %s mL)", figures(a, volume_m3 * 1e6))
               : bt_arena_format(a, " (about %s L)", figures(a, volume_m3 * 1e3));
}

static struct bt_measured measured(struct bt_arena *a, const struct bt_rounding *r,
                                   const struct bt_candidate *c, double asked_g,
                                   const struct step *s, double steps)
{
    const double n = steps * s->step;
    struct bt_measured m = {.mass_g = n * s->unit_g};
    m.volume_m3 = m.mass_g / c->density_g_m3;
    m.rounding_frac = asked_g > 0 ? m.mass_g / asked_g - 1 : 0;
    m.text = bt_arena_format(a, "%s%s", step_text(a, s, n), beside(a, r, c, s, m.mass_g));
    m.amount = cell_of(a, r, c, m.mass_g, m.volume_m3);
    return m;
}

/* From the usual way to measure an amount to ever smaller measures, and at last its weight.
 */
enum { USUAL, SMALL, WEIGHT, WAYS };

static struct step small_step(struct bt_arena *a, const struct bt_rounding *r,
                              const struct bt_candidate *c, double asked_g)
{
    const double quart_g = 4 * BT_M3_PER_CUP * c->density_g_m3;
    if (!r->us_units)
        return c->by_volume
                   ? (struct step){"L", "L", M3_PER_L * c->density_g_m3, 0.1, false}
                   : (struct step){"g", "g", 1, 1, true};
    if (c->by_volume && asked_g >= 2 * quart_g)
        return (struct step){"quart", "quarts", quart_g, 0.5, false};
    if (c->by_volume)
        return (struct step){"cup", "cups", BT_M3_PER_CUP * c->density_g_m3, 0.5, false};
    return (struct step){"teaspoon", "teaspoons", cup_g(r, c, a) / TEASPOONS_A_CUP, 0.5,
                         false};
}

static struct step weight_step(const struct bt_rounding *r, double asked_g)
{
    if (r->us_units)
        return (struct step){"oz", "oz", BT_G_PER_OZ,
                             asked_g < 4 * BT_G_PER_OZ ? 0.05 : 0.25, true};
    return (struct step){"g", "g", 1, asked_g < 10 ? 0.1 : 1, true};
}

static struct step step_for(struct bt_arena *a, const struct bt_rounding *r,
                            const struct bt_candidate *c, double asked_g, int way)
{
    if (way == WEIGHT)
        return weight_step(r, asked_g);
    if (way == SMALL)
        return small_step(a, r, c, asked_g);
    return c->by_volume ? bulky_step(r, c, asked_g) : fine_step(a, r, c, asked_g);
}

static double steps_of(const struct step *s, double asked_g, double most_g)
{
    const double one_g = s->step * s->unit_g;
    double steps = round(asked_g / one_g);
    if (steps < 1 && asked_g > 0)
        steps = 1;
    return steps * one_g > most_g * (1 + 1e-9) ? floor(most_g / one_g * (1 + 1e-9)) : steps;
}

struct bt_measured bt_measure_out(struct bt_arena *a, const struct bt_rounding *r,
                                  const struct bt_candidate *c, double asked_g,
                                  double most_g)
{
    const double limit = bt_row_likely(r->handbook, "soils", "any", "rounding_limit");
    struct bt_measured m = {0};
    for (int way = USUAL; way < WAYS; way++) {
        const struct step s = step_for(a, r, c, asked_g, way);
        if (!(s.unit_g > 0))
            continue; /* its density is not known */
        m = measured(a, r, c, asked_g, &s, steps_of(&s, asked_g, most_g));
        m.way = way;
        if (!(fabs(m.rounding_frac) > limit))
            break;
    }
    return m;
}

struct bt_measured bt_measure_step(struct bt_arena *a, const struct bt_rounding *r,
                                   const struct bt_candidate *c, double asked_g,
                                   const struct bt_measured *from, bool up)
{
    static const double HAIR = 1e-6;
    const double limit = bt_row_likely(r->handbook, "soils", "any", "rounding_limit");
    struct bt_measured m = *from;
    for (int way = from->way; way < WAYS; way++) {
        const struct step s = step_for(a, r, c, asked_g, way);
        if (!(s.unit_g > 0))
            continue;
        const double at = from->mass_g / (s.step * s.unit_g);
        const double steps = up ? floor(at + HAIR) + 1 : ceil(at - HAIR) - 1;
        m = measured(a, r, c, asked_g, &s, steps < 0 ? 0 : steps);
        m.way = way;
        if (!(fabs(m.rounding_frac) > limit))
            return m;
    }
    return up ? *from : m;
}

/* ---- rates ---- */

static const char * and (struct bt_arena * a, const char *so_far, const char *more)
{
    return bt_arena_format(a, "%s; %s", so_far, more);
}

/* The step in which a cook would take so many cups, and how many of it. */
static struct step kitchen_step(double cups, double *out_n)
{
    const double tablespoons = BT_TABLESPOONS_PER_CUP * cups;
    const struct step s =
        tablespoons < 2 ? (struct step){"teaspoon", "teaspoons", 0, 0.25, false}
        : cups < 2      ? (struct step){"tablespoon", "tablespoons", 0, 0.5, false}
                        : (struct step){"cup", "cups", 0, 0.25, false};
    *out_n = tablespoons < 2 ? 3 * tablespoons : cups < 2 ? tablespoons : cups;
    *out_n = round(*out_n / s.step) * s.step;
    return s;
}

/* "0.14 oz (about 1 1/4 teaspoons) a pot" */
static const char *pot_text(struct bt_arena *a, const struct bt_rounding *r,
                            const struct bt_candidate *c, double mass_g)
{
    const struct step weight = {.is_weight = true};
    double n;
    const struct step s = kitchen_step(mass_g / cup_g(r, c, a), &n);
    const char *in_spoons = !r->us_units ? beside(a, r, c, &weight, mass_g)
                            : n > 0 ? bt_arena_format(a, " (about %s)", step_text(a, &s, n))
                                    : "";
    return bt_arena_format(a, "%s%s a pot", bt_weight_text(a, r->us_units, mass_g),
                           in_spoons);
}

const char *bt_measure_rates(struct bt_arena *a, const struct bt_rounding *r,
                             const struct bt_candidate *c, const struct bt_bed *bed,
                             const struct bt_planting *planting, double mass_g)
{
    const bool us = r->us_units;
    if (bed->kind == BT_POTS && bed->pots > 0)
        return pot_text(a, r, c, mass_g / bed->pots);
    const double area = us ? 100 * BT_M2_PER_SQUARE_FOOT : 1;
    const char *text =
        bt_arena_format(a, "%s per %s", bt_weight_text(a, us, mass_g / bed->area_m2 * area),
                        us ? "100 sq ft" : "m2");
    if (!planting)
        return text;
    const double row_m = planting->rows.presence == BT_GIVEN
                             ? planting->rows.rows * planting->rows.length_m
                             : 0;
    const double plants = bt_planting_count(r->handbook, planting);
    const double length = us ? 10 * BT_M_PER_FOOT : 1;
    if (row_m > 0)
        text = and(a, text,
                   bt_arena_format(a, "%s per %s of row",
                                   bt_weight_text(a, us, mass_g / row_m * length),
                                   us ? "10 ft" : "m"));
    if (planting->plants.group && planting->plants.groups > 1)
        text = and(a, text,
                   bt_arena_format(a, "%s a %s",
                                   bt_weight_text(a, us, mass_g / planting->plants.groups),
                                   planting->plants.group));
    else if (plants >= 1 && plants <= 60)
        text =
            and(a, text,
                bt_arena_format(a, "%s a plant", bt_weight_text(a, us, mass_g / plants)));
    return text;
}
