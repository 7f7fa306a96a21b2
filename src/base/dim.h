/* Dimensions: what kind of quantity a number is. Inside the program every number is in
 * grams, metres, days and kelvins (differences), so a dimension is four small powers. */
#ifndef BT_BASE_DIM_H
#define BT_BASE_DIM_H

#include <stdbool.h>

struct bt_dim {
    signed char g;
    signed char m;
    signed char d;
    signed char k;
};

#define BT_FRACTION      ((struct bt_dim){0, 0, 0, 0})  /* g/g, m2/m2, a share, a count */
#define BT_MASS          ((struct bt_dim){1, 0, 0, 0})  /* g */
#define BT_MASS_PER_AREA ((struct bt_dim){1, -2, 0, 0}) /* g/m2 */
#define BT_DENSITY       ((struct bt_dim){1, -3, 0, 0}) /* g/m3 */
#define BT_LENGTH        ((struct bt_dim){0, 1, 0, 0})  /* m */
#define BT_AREA          ((struct bt_dim){0, 2, 0, 0})  /* m2 */
#define BT_VOLUME        ((struct bt_dim){0, 3, 0, 0})  /* m3 */
#define BT_PER_AREA      ((struct bt_dim){0, -2, 0, 0}) /* plants per m2 */
#define BT_PER_LENGTH    ((struct bt_dim){0, -1, 0, 0}) /* plants per m of row */
#define BT_TIME          ((struct bt_dim){0, 0, 1, 0})  /* d */
#define BT_PER_TIME      ((struct bt_dim){0, 0, -1, 0}) /* 1/d */
#define BT_TEMPERATURE   ((struct bt_dim){0, 0, 0, 1})  /* K, or degrees C as typed */

bool bt_dim_same(struct bt_dim a, struct bt_dim b);
struct bt_dim bt_dim_mul(struct bt_dim a, struct bt_dim b);
struct bt_dim bt_dim_div(struct bt_dim a, struct bt_dim b);

#endif
