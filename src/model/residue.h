/* Nitrogen from plant residues and mulches, and what raw ones tie up. docs/model.md,
 * "Residues". */
#ifndef BT_MODEL_RESIDUE_H
#define BT_MODEL_RESIDUE_H

#include "worksheet/sheet.h"

/* The line of plant-available nitrogen against nitrogen content. */
struct bt_pan_line {
    double slope; /* available N per dry matter for each unit of N above the break-even */
    double break_even_frac;      /* N content at which nothing is given or taken */
    double floor_frac, cap_frac; /* least and most, per dry matter */
    const struct bt_row *row;
};

/* Available nitrogen per dry matter [g/g] of material with this N content:
 *   slope . (N - break-even), between floor and cap */
struct bt_node bt_pan_per_dry_matter(struct bt_sheet *s, struct bt_node n_frac,
                                     const struct bt_pan_line *line);

/* Available nitrogen of a residue [g/m2] = its N / its N content . available per dry
 * matter. */
struct bt_node bt_residue_available(struct bt_sheet *s, const char *subject,
                                    struct bt_node residue_n_g_m2, struct bt_node n_frac,
                                    struct bt_node pan_frac);

/* What is laid on top takes part in the soil's nitrogen only where it touches the soil. */
struct bt_surface {
    const char *subject; /* "straw", "residue of pole bean" */
    struct bt_node given_share,
        taken_share;          /* of what digging in gives, of what it takes */
    struct bt_node most_g_m2; /* that the layer touching the soil ties up, however thick */
};

/* Net nitrogen from the surface [g/m2]:
 *   max(net, 0) . given_share + max(min(net, 0) . taken_share, -most) */
struct bt_node bt_on_surface(struct bt_sheet *s, struct bt_node net_g_m2,
                             const struct bt_surface *x);

/* Microbes cannot take more mineral nitrogen than there is: max(net, -max(pool, 0)). */
struct bt_node bt_tie_up_held(struct bt_sheet *s, struct bt_node net_g_m2,
                              struct bt_node pool_g_m2);

/* Slow release of an older residue in a season: N . share, halved for each season after the
 * first, less what the organic-matter line pays already: N . max(0, share / 2^(age-1) -
 * already). */
struct bt_node bt_slow_release(struct bt_sheet *s, struct bt_node n_g_m2,
                               struct bt_node share, unsigned age_seasons,
                               struct bt_node already_frac);

#endif
