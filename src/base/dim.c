#include "base/dim.h"

bool bt_dim_same(struct bt_dim a, struct bt_dim b)
{
    return a.g == b.g && a.m == b.m && a.d == b.d && a.k == b.k;
}

struct bt_dim bt_dim_mul(struct bt_dim a, struct bt_dim b)
{
    return (struct bt_dim){(signed char)(a.g + b.g), (signed char)(a.m + b.m),
                           (signed char)(a.d + b.d), (signed char)(a.k + b.k)};
}

struct bt_dim bt_dim_div(struct bt_dim a, struct bt_dim b)
{
    return (struct bt_dim){(signed char)(a.g - b.g), (signed char)(a.m - b.m),
                           (signed char)(a.d - b.d), (signed char)(a.k - b.k)};
}
