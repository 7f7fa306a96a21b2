/* What the name over a column means: its own spelling, others that people and laboratories
 * use, with the unit and the method that stand in it. */
#ifndef BT_INPUT_HEADING_H
#define BT_INPUT_HEADING_H

#include "input/units.h"

/* A garden file and its columns, as the layout knows it. */
struct bt_known_file {
    const char *name; /* "beds" */
    size_t n_columns;
    const char *const *column;
};

struct bt_heading {
    int column;         /* among the known ones; -1 for none */
    bool exact;         /* spelled as we spell it */
    const char *unit;   /* "ft", "ppm P2O5"; NULL for none */
    const char *method; /* "Mehlich-3"; NULL for none */
};

/* Always sets *out. Without `units` a unit stands in brackets only. */
void bt_heading_read(struct bt_arena *a, const struct bt_known_file *file,
                     const struct bt_units *units, const char *text,
                     struct bt_heading *out);

/* Does this text alone, over or under a header, say a unit? Also those that no column of
 * ours takes, as "1:1" and "% of CEC"; *out_known tells the others. */
bool bt_heading_is_unit(struct bt_arena *a, const struct bt_units *units, const char *text,
                        bool *out_known);

#endif
