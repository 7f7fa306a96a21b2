/* Which rules of table cautions apply: one way for the budget, the plan and the record. A
 * rule is looked up by the words in its `when`; the words come from what is there: the
 * `cautions` rows of materials and crops, the crops' kinds, the extractant of the soil
 * test, and what the model itself finds ("over-application"). */
#ifndef BT_MODEL_CAUTION_H
#define BT_MODEL_CAUTION_H

#include "input/garden.h"

struct bt_caution_words {
    struct bt_arena *arena;
    size_t n, capacity;
    const char **word;
};

/* Once; the text must live as long as the words. */
void bt_caution_word(struct bt_caution_words *w, const char *word);
bool bt_has_caution_word(const struct bt_caution_words *w, const char *word);
/* Those of a key of table materials or crops. */
void bt_caution_words_of(struct bt_caution_words *w, const struct bt_handbook *h,
                         const char *table, const char *key);
bool bt_calls_for(struct bt_arena *a, const struct bt_handbook *h, const char *table,
                  const char *key, const char *word);
/* One of the words of a rule's `when`. */
bool bt_is_word_of(struct bt_arena *a, const char *when, const char *word);
/* Those of a bed: its crops of this season ("legume" among them), the extractant by which
 * its phosphorus was last tested ("Mehlich-3"), and how the garden is grown. */
void bt_caution_words_of_bed(struct bt_caution_words *w, const struct bt_handbook *h,
                             const struct bt_garden *g, size_t bed);
/* The rules all of whose words are there, in table order; in the words' arena. */
const struct bt_caution *const *bt_cautions_that_apply(const struct bt_caution_words *w,
                                                       const struct bt_handbook *h,
                                                       size_t *out_n);

#endif
