/* Two versions of a garden, bed by bed: shared by `compare` and `report --against`. */
#ifndef BT_COMMAND_VERSIONS_H
#define BT_COMMAND_VERSIONS_H

#include "command/front.h"
#include "report/compare.h"

struct bt_versions {
    struct bt_front *first;
    struct bt_run *second;
    const char *bed; /* id of the only one asked for, or NULL */
    /* The comparison is gone after the call. */
    void (*put)(void *context, const struct bt_compared_bed *b);
    void *context;
};

/* Opens the second garden in the way of the first; bt_run_close must follow. False when it
 * has errors, which are in its own list. */
bool bt_versions_open(struct bt_arena *a, const struct bt_front *first, const char *folder,
                      struct bt_run *second);
/* Every bed of both, those of the first garden first. False when a worksheet cannot be
 * built. */
bool bt_versions_each(const struct bt_versions *v);

#endif
