/* Ranges as people and handbooks state them, and the law that each becomes. Also the
 * standard shapes that all laws of one form share. Source of the rules: docs/model.md,
 * "Ranges". */
#ifndef BT_SHAPE_RANGE_H
#define BT_SHAPE_RANGE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

/* What the ends of a range are. A bulletin's usual range and a grower's own are P5 to P95.
 */
enum bt_ends { BT_P05_P95, BT_BOUNDS };

/* AUTO: PERT where there is a likely value, uniform for two bounds, PERT with the middle
 * likely for two P5..P95 ends, lognormal for two positive P5..P95 ends more than four times
 * apart. */
enum bt_form {
    BT_FORM_AUTO,
    BT_FORM_CONSTANT,
    BT_FORM_UNIFORM,
    BT_FORM_TRIANGULAR,
    BT_FORM_PERT,
    BT_FORM_LOGNORMAL,
    BT_FORM_TRUNCATED_NORMAL
};

struct bt_range {
    double low;
    double likely;
    double high;
    bool has_likely; /* false: two ends only; `likely` is then the middle (geometric for
                        lognormal) */
    enum bt_ends ends;
    enum bt_form form;
};

/* Ends with a likely value between them; two ends alone, whose middle is geometric where
 * AUTO will make them a lognormal; an exact value. */
struct bt_range bt_range_exact(double value);
struct bt_range bt_range_two(double low, double high, enum bt_ends ends);
struct bt_range bt_range_of(double low, double likely, double high, enum bt_ends ends);
/* The range with a chosen form; where there is no likely value the middle becomes that of
 * the form: geometric for a lognormal, else the arithmetic one. */
struct bt_range bt_range_shaped(struct bt_range r, enum bt_form form);
/* Reads the words that may stand behind a range ("triangular", "pert", "uniform",
 * "lognormal", "normal", "bounds"; any case, in any order, each after a blank or alone),
 * and returns how many bytes of `text` stand before them: a second shape is left standing.
 * Without a word nothing is changed. */
size_t bt_range_words(const char *text, enum bt_form *form, enum bt_ends *ends);
/* The word of a form; "" for AUTO and CONSTANT. */
const char *bt_form_word(enum bt_form form);
bool bt_range_is_exact(const struct bt_range *r);
/* The form that AUTO stands for; CONSTANT for equal ends. */
enum bt_form bt_range_form(const struct bt_range *r);
struct bt_range bt_range_scaled(struct bt_range r, double factor);

/* A law that can be drawn from: low + width . z, z from the standard shape of its mode on
 * [0, 1] (PERT), or a closed form. `low` and `width` are the true ends of the law, not P5
 * and P95. */
struct bt_law {
    enum bt_form form;
    double low;
    double width;
    double mode;       /* mode as a fraction of the width; PERT: rounded to 256ths */
    unsigned mode_256; /* PERT: the same in 256ths, the key of the shape */
    double mu, sigma;  /* lognormal: of ln x; truncated normal: of the parent */
    double clamp_low, clamp_high; /* physical limits; -+HUGE_VAL where there are none */
    bool is_cut;   /* lognormal, normal: cut off at the limits; else what is beyond lies on
                      them */
    double likely; /* kept as stated */
};

/* What happened in a fit, for the user. */
enum bt_fit_note {
    BT_FIT_PLAIN,        /* as stated */
    BT_FIT_END_ON_LIMIT, /* an end lies on a physical limit and is that limit */
    BT_FIT_CLAMPED,      /* the fit passes a limit by up to 2 % and is clamped there */
    BT_FIT_END_MOVED,    /* the fit would pass a limit by more: that end became the limit */
    BT_FIT_LIFTED        /* an end lies on a limit, and the law seldom comes near it: its P5
                            (or P95) is more than three tenths of the range away */
};

/* The law of a range between two physical limits (-+HUGE_VAL for none). Never refuses a
 * range with finite low <= likely <= high inside the limits; returns false for any other.
 * P5..P95 ends are met exactly, the likely value to 1/512 of the width (PERT). A lognormal
 * and a truncated normal have two parameters, which two P5..P95 ends take up: their likely
 * value counts only where an end lies on a limit or the ends are bounds, at which they are
 * then cut. Where one cannot be (lognormal: an end at or below 0, or more than 2 % beyond a
 * limit; normal: more than nine tenths cut off) the law is a PERT. */
bool bt_law_fit(const struct bt_range *r, double limit_low, double limit_high,
                struct bt_law *out_law, enum bt_fit_note *out_note);

/* Quantile of the law at 0 < p < 1, exact (GSL), for printing and tests; not for drawing.
 */
double bt_law_quantile(const struct bt_law *law, double p);
/* Chance that the law before clamping lies below x. */
double bt_law_below(const struct bt_law *law, double x);
/* Of the law as drawn, clamped at its limits. */
double bt_law_mean(const struct bt_law *law);
double bt_law_sd(const struct bt_law *law);

enum { BT_CDF_CELLS = 512, BT_CDF_CELLS_PER_SD = 32 };

/* The standard PERT shapes on [0, 1], as tables of shape/table.h: one a mode fraction, made
 * when first asked for and shared by all laws. Not safe to ask from two threads. */
struct bt_shapes;
struct bt_shapes *bt_shapes_new(struct bt_arena *a);
/* bt_law_fit, remembered: most ranges of a garden come back in every bed. */
bool bt_shapes_law(struct bt_shapes *s, const struct bt_range *r, double limit_low,
                   double limit_high, struct bt_law *out_law, enum bt_fit_note *out_note);
/* True the first time it is asked for a key: a note about a leaf is given once a run, not
 * once a bed. */
bool bt_shapes_first_time(struct bt_shapes *s, uint64_t key);
/* Coefficients c[cell][4], BT_TABLE_CELLS cells; bt_table_at reads them. */
const double (*bt_shapes_pert(struct bt_shapes *s, unsigned mode_256))[4];
/* The standard normal quantile as such a table; and its inverse, the distribution function,
 * with 512 even cells over -8 .. 8. */
const double (*bt_shapes_normal(struct bt_shapes *s))[4];
const double (*bt_shapes_normal_cdf(struct bt_shapes *s))[4];

#endif
