/* Phosphate and potash of one bed: accounts beside that of nitrogen. */
#ifndef BT_MODEL_SEASON_PK_H
#define BT_MODEL_SEASON_PK_H

#include "model/season_bind.h"

/* Fills account[BT_P2O5] and account[BT_K2O] of `out`, once the plots and the soil are
 * bound; says how each need was found. */
void bt_bind_pk(struct bt_binding *b, struct bt_budget *out);
/* There is a need, so that it matters what was assumed of the additions. */
bool bt_pk_matters(const struct bt_account *a);

/* The newest soil test of the bed for which `tells` is true; NULL when there is none.
 * season_ph.c passes on what else a test says: pH, with what the crops want, and lead. */
typedef bool bt_test_tells(const struct bt_soil_test *t);
const struct bt_soil_test *bt_bind_newest(const struct bt_binding *b, bt_test_tells *tells);
void bt_bind_ph_and_lead(struct bt_binding *b);

#endif
