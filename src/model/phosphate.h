/* Phosphate and potash: contents and loads in oxides, as bags and laboratories print them.
 * Equations take and return nodes and know neither bed nor table. docs/model.md, "Phosphate
 * and potash". */
#ifndef BT_MODEL_PHOSPHATE_H
#define BT_MODEL_PHOSPHATE_H

#include "worksheet/sheet.h"

/* Oxide in what was spread or carried off [g/m2] = mass [g/m2] . content. */
struct bt_node bt_oxide_in(struct bt_sheet *s, struct bt_node mass_g_m2,
                           struct bt_node content_frac);

/* Of that, what is as good as soluble fertiliser in the first season:
 *   oxide [g/m2] . share available */
struct bt_node bt_first_season(struct bt_sheet *s, struct bt_node oxide_g_m2,
                               struct bt_node available_frac);

/* Oxide per element, a plain number: 2.2914 for P, 1.2046 for K (atomic masses). */
struct bt_node bt_oxide_of(struct bt_sheet *s, struct bt_node element,
                           struct bt_node oxide_per_element);

/* What the sampled layer holds above the line where nothing is needed [g oxide/m2]:
 *   (test - line) . bulk density [g/m3] . depth [m] . oxide per element
 * By depth and density: twice ppm, in lb/ac, only at 17 cm (6.67 in) and 1.33 g/cm3. */
struct bt_excess {
    struct bt_node test_frac, line_frac; /* of the element */
    struct bt_node bulk_density_g_m3;
    struct bt_node depth_m;
    struct bt_node oxide_per_element;
};
struct bt_node bt_excess_oxide(struct bt_sheet *s, const struct bt_excess *x);

/* Seasons until harvests have carried off an excess: excess / removal of a season. A floor
 * as soil buffers what is taken. `least_g_m2` keeps a harvest near nothing from making it
 * endless. */
struct bt_node bt_years_by_removal(struct bt_sheet *s, struct bt_node excess_g_m2,
                                   struct bt_node removal_g_m2, double least_g_m2);

/* Years until a test has come down to the line at so much content a year. */
struct bt_node bt_years_by_fall(struct bt_sheet *s, struct bt_node test_frac,
                                struct bt_node line_frac, struct bt_node fall_per_year);

/* Years by an exponential fall: ln(test / line) / share a year, at the likely test. */
struct bt_node bt_years_by_decline(struct bt_sheet *s, double test_frac, double line_frac,
                                   struct bt_node share_per_year);

#endif
