/* What the front doors show: the first screen, an opened bed, JSON, CSV, the check page and
 * the working of a line. Everything is written through struct bt_out (ask bt_out_done once
 * at the end), nothing is computed that a finding does not hold, and all wording and
 * rounding is decided in this room (words.h, number.h), so that two screens never say two
 * things. docs/reading.md explains the words to those who read them. */
#ifndef BT_REPORT_REPORT_H
#define BT_REPORT_REPORT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/diag.h"
#include "base/out.h"
#include "chance/finding.h"
#include "input/garden.h"
#include "input/handbook.h"
#include "input/units.h"

/* How things are shown. The front door decides: unicode when the locale is UTF-8, colour on
 * a terminal with NO_COLOR unset. Colour never says anything that the words do not. */
struct bt_show {
    struct bt_arena
        *arena; /* for texts on their way out; may be released between two calls */
    const struct bt_units *units;
    const struct bt_handbook *handbook;
    bool us_units; /* ounces on the bed and square feet; else grams and square metres */
    bool unicode;  /* bars of block characters; else ASCII */
    bool colour;
    const char *version; /* of the program; with what the answer is worked out: */
    size_t samples;
    uint64_t seed;
    bool *said; /* by number of the caution: the garden's rules that were shown; or NULL */
};

/* ---- text ---- */

/* The first screen. A bed's finding is gone after its callback, so a screen keeps a
 * headline of each bed and, over all beds, what to measure and what was assumed. `kept`
 * holds them and must not be an arena that is released between beds (a run's arena is: make
 * one for the screen). */
struct bt_screen;
struct bt_screen *bt_report_screen_new(struct bt_arena *kept);
void bt_report_screen_add(struct bt_screen *s, const struct bt_show *w,
                          const struct bt_finding *f);
/* One line a bed, worst first; the legumes' verdict; the best thing to measure; the three
 * assumptions that matter most. */
void bt_report_screen_write(struct bt_out *o, const struct bt_show *w,
                            const struct bt_screen *s, const struct bt_garden *g);

/* One opened bed (`--bed B`, and each bed of `--all`). */
void bt_report_bed(struct bt_out *o, const struct bt_show *w, const struct bt_finding *f);
/* The garden's totals, after the beds of `--all`, and with what the answer was worked out.
 */
void bt_report_total(struct bt_out *o, const struct bt_show *w, const struct bt_garden *g,
                     const struct bt_total_finding total[BT_NUTRIENTS]);
/* The closing line of every page: version, draws, seed, checksum of the tables. */
void bt_report_made_with(struct bt_out *o, const struct bt_show *w);

/* ---- for machines ---- */

/* JSON as docs/reading.md describes it: begin, then each bed, then end. Only one bed is in
 * memory at a time. `first` is true for the first bed. */
void bt_report_json_begin(struct bt_out *o, const struct bt_show *w,
                          const struct bt_garden *g);
void bt_report_json_bed(struct bt_out *o, const struct bt_show *w,
                        const struct bt_finding *f, bool first);
void bt_report_json_end(struct bt_out *o,
                        const struct bt_total_finding total[BT_NUTRIENTS]);

/* CSV: a header, then one row a line of each bed; g/m2; safe to open in a spreadsheet. */
void bt_report_csv_begin(struct bt_out *o);
void bt_report_csv_bed(struct bt_out *o, const struct bt_show *w,
                       const struct bt_finding *f);

/* ---- check ---- */

/* What was understood: the garden, then each bed with its area, plantings, dates and what
 * each blank was taken as, then how many problems there are (the problems themselves go to
 * stderr, from bt_diag_print). Needs worksheets only, no draws. */
void bt_report_check_begin(struct bt_out *o, const struct bt_show *w,
                           const struct bt_garden *g);
/* The additions, a line each or for all beds that got the same on one day: what was typed
 * and what it comes to. `bed`: those of one alone, NULL: all. */
void bt_report_check_additions(struct bt_out *o, const struct bt_show *w,
                               const struct bt_garden *g, const char *bed);
void bt_report_check_bed(struct bt_out *o, const struct bt_show *w,
                         const struct bt_budget *b);
void bt_report_check_end(struct bt_out *o, const struct bt_diag *d);

/* ---- the working ---- */

/* `why BED`: the column of lines with totals. */
void bt_report_why_lines(struct bt_out *o, const struct bt_show *w,
                         const struct bt_finding *f);

/* The named inner quantities that appear on the page of `name` (an id, a label or a unique
 * beginning), or on all pages when `name` is NULL: those whose spreads bt_report_why_page
 * wants, got with bt_chance_nodes. In w->arena. False when there is no such name, or
 * several begin so. */
bool bt_report_why_nodes(const struct bt_show *w, const struct bt_budget *b,
                         const char *name, size_t *out_n, struct bt_node **out_node);

struct bt_why {
    const struct bt_budget *budget;
    size_t n; /* nodes with a spread; 0 shows pages without ranges of inner quantities */
    const struct bt_node *node;
    const struct bt_spread *spread;
    bool with_units; /* figures with their units rather than in grams, metres and days */
};

/* `why BED LINE`: one page, at most 13 lines. False (and nothing written) as above. `why
 * BED --all`: `name` NULL, every named quantity once, lines first. */
bool bt_report_why_page(struct bt_out *o, const struct bt_show *w, const struct bt_why *y,
                        const char *name);

/* For stderr after a false: the nearest names, or those that begin so, and how to list all.
 */
void bt_report_why_unknown(struct bt_out *o, const struct bt_show *w,
                           const struct bt_budget *b, const char *name);

#endif
