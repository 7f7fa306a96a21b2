/* Phosphate and potash of one bed: accounts beside that of nitrogen. */
#ifndef BT_MODEL_SEASON_PK_H
#define BT_MODEL_SEASON_PK_H

#include "input/ratings.h"
#include "model/season_bind.h"

/* Fills account[BT_P2O5] and account[BT_K2O] of `out`, once the plots and the soil are
 * bound; says how each need was found. */
void bt_bind_pk(struct bt_binding *b, struct bt_budget *out);
/* There is a need, so that it matters what was assumed of the additions. */
bool bt_pk_matters(const struct bt_account *a);

/* season_feeders.c: the rate [g/m2] of a class of table ratings for what the bed grows, by
 * the feeder classes of its crops, each weighed by how much of the bed it fills. `word` is
 * "phosphate" or "potash". */
struct bt_node bt_bind_rate(struct bt_binding *b, const char *key,
                            const struct bt_rated *rated, const char *word);

/* The newest soil test of the bed for which `tells` is true; NULL when there is none.
 * season_ph.c passes on what else a test says: pH, with what the crops want, and lead. */
typedef bool bt_test_tells(const struct bt_soil_test *t);
const struct bt_soil_test *bt_bind_newest(const struct bt_binding *b, bt_test_tells *tells);
void bt_bind_ph_and_lead(struct bt_binding *b);

#endif
