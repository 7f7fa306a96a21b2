/* Soil-test ratings: into which class a figure falls under the extractant that drew it out
 * of the soil, and what a laboratory's word or letter means. The same figure under another
 * extractant is another answer, so none is ever assumed. Classes and their needs are rows
 * of table ratings, "Mehlich-3, low"; those of key "any" serve for a word alone. */
#ifndef BT_INPUT_RATINGS_H
#define BT_INPUT_RATINGS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "input/handbook.h"

/* Which columns of a class speak of the nutrient. */
struct bt_rated {
    const char *limit; /* "limit_p": the content that the class does not pass */
    const char *need;  /* "p2o5_need" */
};
extern const struct bt_rated bt_rated_p, bt_rated_k;

/* Oxide or ion per element, of the atomic masses: (2 P + 5 O) / 2 P, (2 K + O) / 2 K, (N +
 * 3 O) / N. */
#define BT_P2O5_PER_P 2.2914
#define BT_K2O_PER_K  1.2046
#define BT_NO3_PER_N  4.427

/* The extractant that somebody named ("M3", "mehlich iii"), as the table spells it; NULL
 * when the table has none of that name. */
const char *bt_extractant(struct bt_arena *a, const struct bt_handbook *h,
                          const char *written);
/* Those that have classes for the nutrient, as one text: "Mehlich-3, Bray P1, Olsen". */
const char *bt_extractants(struct bt_arena *a, const struct bt_handbook *h,
                           const struct bt_rated *rated);

/* Key of the class with the lowest limit that the content [g/g] does not pass; above all
 * limits the first class without one. NULL when the extractant says nothing of the
 * nutrient. */
const char *bt_class_of_content(const struct bt_handbook *h, const char *extractant,
                                const struct bt_rated *rated, double content_frac);
/* The rows of the limits by which the above is decided, up to `most` of them. */
size_t bt_class_limits(const struct bt_handbook *h, const char *extractant,
                       const struct bt_rated *rated, size_t most,
                       const struct bt_row **out);
/* Key of the class that a word or letter names ("VH", "above optimum"): the extractant's
 * own where it has it (it may be NULL), else that of `any`. NULL for a word of no scale. */
const char *bt_class_of_word(struct bt_arena *a, const struct bt_handbook *h,
                             const char *extractant, const struct bt_rated *rated,
                             const char *word);
/* The row of the highest class whose need is above nothing: its limit is the line above
 * which nothing is needed. NULL when there is none. */
const struct bt_row *bt_rating_line(const struct bt_handbook *h, const char *extractant,
                                    const struct bt_rated *rated);

/* The rate of a class for a feeder class, "light", "medium" or "heavy": the class's own,
 * else that of `any`, else the rate for all. The garden's own rate is never passed over for
 * one built in. NULL when the class has no rate. */
const struct bt_row *bt_rate_for_feeder(struct bt_arena *a, const struct bt_handbook *h,
                                        const char *key, const struct bt_rated *rated,
                                        const char *feeder);

/* "low" of "Mehlich-3, low". */
const char *bt_class_category(const char *key);
/* For sentences: the class with its extractant, "Mehlich-3, low"; one of `any` without. */
const char *bt_class_said(const char *key);
/* Where it stands: very low 0, low 1, medium 2, optimum 3, above optimum 4, very high and
 * excessive 5; high, which is one or the other of its neighbours, 3.5. -1 for a category of
 * a local scale. */
double bt_category_rank(const char *category);

#endif
