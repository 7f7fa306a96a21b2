/* Every number on its way to a reader: how many figures, which unit, which words. The only
 * place of the room that rounds, so the first screen, the opened bed and the working agree.
 */
#ifndef BT_REPORT_NUMBER_H
#define BT_REPORT_NUMBER_H

#include "base/figures.h"
#include "report/report.h"

enum { BT_FIGURES_FIRST = 2, BT_FIGURES = 3 }; /* the first screen; everywhere else */

/* "0.9 to 1.73": two ends with the same figures, "" when they are equal or not known. */
char *bt_ends_text(struct bt_arena *a, double low, double high, int figures);

/* "34 %"; "less than 1 %" and "more than 99 %" where rounding would say none or all. */
char *bt_percent_text(struct bt_arena *a, double share);
/* The same, with one figure below 1 %: "0.4 %", for the end of a range. */
char *bt_small_percent_text(struct bt_arena *a, double share);
/* "81 in 100", with the same care at both ends. */
char *bt_chance_text(struct bt_arena *a, double chance);

/* What a mass per area comes to on a bed (in one pot for pots), in ounces or grams. */
struct bt_on_bed {
    double per_g_m2;   /* unit-free: shown = g/m2 . per_g_m2 */
    const char *unit;  /* "oz", "g" */
    const char *where; /* "on this bed", "in each pot" */
};
struct bt_on_bed bt_on_bed(const struct bt_show *w, const struct bt_bed *bed);
/* "1.2 oz N on this bed" */
char *bt_mass_text(const struct bt_show *w, const struct bt_bed *bed, double mass_g_m2,
                   const char *nutrient, int figures);
/* Whatever the mass is of: "1.2 oz on this bed", "83 lb on this bed". */
char *bt_on_bed_text(const struct bt_show *w, const struct bt_bed *bed, double mass_g_m2,
                     int figures);
/* The unit for masses of a garden of which this is the largest. */
struct bt_garden_unit {
    double per_g; /* unit-free: shown = g . per_g */
    const char *unit;
};
struct bt_garden_unit bt_garden_unit(const struct bt_show *w, double largest_g);
/* Grams of a whole garden: "12.3 oz", "3.1 lb", "2.4 kg". */
char *bt_garden_mass_text(const struct bt_show *w, double mass_g, int figures);
char *bt_area_text(const struct bt_show *w, double area_m2); /* "32 sq ft", "2.97 m2" */

#endif
