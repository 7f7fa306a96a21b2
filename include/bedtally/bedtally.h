/* Bedtally's library: whether each bed of a mixed vegetable garden will have enough
 * nitrogen this season, when it would run short and how sure that is.
 *
 *     struct bedtally *b = bedtally_open("our-garden", NULL);
 *     if (b && bedtally_compute(b))
 *         for (size_t bed = 0; bed < bedtally_beds(b); bed++) { ... }
 *     bedtally_close(b);
 *
 * The library prints nothing, never exits and keeps nothing outside the handle; two handles
 * may be used in two threads. Whatever locale the program has set, numbers are read and
 * written with a point; the locale is left as it was. It looks at every status of the GNU
 * Scientific Library itself: a program should call gsl_set_error_handler_off() once before,
 * since GSL's own handler ends the program.
 *
 * Masses per area are in g per m2 of bed (1 g/m2 = 10 kg/ha), shares and chances 0 to 1.
 * All texts belong to the handle. */
#ifndef BEDTALLY_BEDTALLY_H
#define BEDTALLY_BEDTALLY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

struct bedtally;

struct bedtally_options {
    const char
        *tables_dir;  /* handbook tables whose rows replace the built-in ones, or NULL */
    const char *plan; /* file of planned additions, or NULL */
    int season;       /* year; 0 for the garden's own */
    int threads;      /* 0 for as many as there are processors */
    size_t samples;   /* draws, in 256s, 1,048,576 at most; 0 for 16,384 */
    uint64_t seed;    /* as it is, 0 too */
};

/* Reads the garden folder. `options` may be NULL: then 16,384 draws from seed 1. NULL only
 * when there is no memory; a garden with errors opens, and its messages say what they are.
 */
struct bedtally *bedtally_open(const char *folder, const struct bedtally_options *options);
/* Frees everything. NULL is allowed. */
void bedtally_close(struct bedtally *b);

/* Works out all beds. False when the garden has errors or memory ran out; see the messages.
 */
bool bedtally_compute(struct bedtally *b);
/* How many draws that takes, a bed. */
size_t bedtally_samples(const struct bedtally *b);
/* True once a call on this handle ran out of memory. */
bool bedtally_out_of_memory(const struct bedtally *b);

enum bedtally_weight { BEDTALLY_ERROR, BEDTALLY_WARNING, BEDTALLY_NOTE };

/* What there is to say about the data, by 0 .. n - 1: "FILE:LINE:COLUMN: error: ..." NULL
 * beyond. */
size_t bedtally_messages(const struct bedtally *b);
const char *bedtally_message(struct bedtally *b, size_t i,
                             enum bedtally_weight *out_weight);

enum bedtally_nutrient { BEDTALLY_N, BEDTALLY_P2O5, BEDTALLY_K2O };
enum bedtally_side { BEDTALLY_SUPPLY, BEDTALLY_NEED };

struct bedtally_spread {
    double likely; /* at the likely values of everything that goes in */
    double mean;
    double p05, p50, p95; /* of the draws */
};

struct bedtally_line {
    const char *id;    /* "need/A1/sweet corn" */
    const char *label; /* "need of sweet corn" */
    enum bedtally_side side;
    struct bedtally_spread total_g_m2;   /* the season's */
    struct bedtally_spread in_time_g_m2; /* there, or needed, by the tightest date */
};

struct bedtally_account {
    struct bedtally_spread required_g_m2, supply_g_m2;
    struct bedtally_spread balance_g_m2;   /* supply less required, at the season's end */
    struct bedtally_spread tightest_g_m2;  /* the lowest balance of the season */
    struct bedtally_spread shortfall_g_m2; /* 0 where the tightest balance is above 0 */
    struct bedtally_spread left_g_m2;      /* left in the soil at the end; nitrogen only */
    int tightest_year, tightest_month, tightest_day;
    double chance_of_shortfall;
    double
        chance_of_visible_shortfall; /* more than a tenth of what is required is missing */
    double chance_error;             /* standard error of the latter */
};

/* After bedtally_compute. Beds stand in the order of beds.csv. */
size_t bedtally_beds(const struct bedtally *b);
/* What other files call the bed, and its area; NULL and 0 beyond the last. */
const char *bedtally_bed(const struct bedtally *b, size_t bed, double *out_area_m2);
/* False when the bed has no account of that nutrient, or its need is not known. */
bool bedtally_bed_account(const struct bedtally *b, size_t bed,
                          enum bedtally_nutrient nutrient, struct bedtally_account *out);
size_t bedtally_bed_lines(const struct bedtally *b, size_t bed,
                          enum bedtally_nutrient nutrient);
bool bedtally_bed_line(const struct bedtally *b, size_t bed,
                       enum bedtally_nutrient nutrient, size_t line,
                       struct bedtally_line *out);

/* "0.1.0" */
const char *bedtally_version(void);

#ifdef __cplusplus
}
#endif

#endif
