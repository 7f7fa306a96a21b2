/* Private to the season_*.c files: what they share while the worksheet of one bed is built.
 */
#ifndef BT_MODEL_SEASON_BIND_H
#define BT_MODEL_SEASON_BIND_H

#include "model/budget.h"
#include "model/caution.h"
#include "model/legume.h"
#include "model/mixed.h"
#include "model/residue.h"
#include "model/time.h"

/* When a pool of nitrogen becomes available, as shares of the pool that add up to at
 * most 1. */
struct bt_release {
    int from;       /* day of placement */
    double at_once; /* share there on that day */
    double by_rate; /* share released first-order at `rate_per_d` from then on */
    double rate_per_d;
    double by_warmth; /* share released as the soil is warm, all of it in one full season */
    double evenly;    /* share that comes day by day from `from` to `until` */
    int until;
};

/* One planting of the bed, in any season. */
struct bt_plot {
    const struct bt_planting *planting;
    const char *subject; /* "pole bean"; "pole bean 2" where the bed has had it before */
    const char *name;    /* "pole bean": of what is the same for both, as of the handbook */
    const char *id;      /* "A1/pole bean" */
    bool perennial, is_cover;
    bool by_warmth; /* its time counts by the warmth of the soil, not by days */
    int in_ground, ended, full_end; /* full_end: when its uptake would be done */
    double early_share;             /* of the uptake when pulled early, or of a full stand
                                       of a cover; 1 else */
    double midpoint, steepness;
    double count;                    /* plants; 0 when a share was typed */
    double density, weight, ceiling; /* unit-free, as in mixed.h */
    bool in_account;                 /* takes up something between the account's ends */
    double taken_before;             /* share of its uptake before the account starts */
    double taken_by_end;             /* ... and by its end */
    struct bt_node relative_yield, yield, uptake, removed, recovery;
    bool is_picked;           /* there is a harvest, of whatever season, on record */
    struct bt_node harvest;   /* what is carried off, g/m2 fresh; where is_picked */
    struct bt_node residue_n; /* g/m2 that stays after harvest, shoots */
    bool has_nodes;
    struct bt_node open_need; /* need without anything passed on */
    struct bt_node passed_on; /* from legumes; a constant 0 when nothing */
    struct bt_node need,
        taken; /* need line's node; N taken from the soil, in the account */
    struct bt_legume_ledger ledger;
    struct bt_node share_fixed, draw;
    struct bt_node share_alone; /* share fixed without company, where there is company */
    bool has_share_alone;
    double *by_date;
};

/* A supply line that may go below zero: held to what there is once the pool is known. */
struct bt_tie_up {
    const char *id, *label;
    struct bt_node net;
    struct bt_release release;
    enum bt_status status;
    bool is_advice;
    const char *origin; /* these four as in struct bt_line */
    int came;
    const struct bt_application *addition;
    const struct bt_planting *from;
};

/* Nitrogen tied up so far, g/m2 and not above zero. */
struct bt_tied {
    bool any;
    struct bt_node sum;
};

struct bt_binding {
    struct bt_arena *arena;
    struct bt_diag *diag;
    const struct bt_handbook *book;
    const struct bt_garden *garden;
    size_t bed_index;
    const struct bt_bed *bed;
    struct bt_sheet *sheet;
    const char *leaves_of; /* bed whose leaves of scope bed are bound; NULL for this one */
    bool failed;

    struct bt_clock clock;
    double full_season; /* 25 C days from 1 May to 30 September, which the field rules speak
                           of */
    int start, end;     /* of the account */
    int season;         /* year in which the season ends (bt_garden_season_year) */
    int winter_year;    /* year of the first of January before the season's summer */
    const struct bt_soil_test
        *reset; /* the nitrate test that starts the account, or NULL */
    const struct bt_soil_test *om_test; /* newest with organic matter, or NULL */
    size_t n_dates;
    int *date;

    size_t n_plots;
    struct bt_plot *plot;
    struct bt_node shift;        /* rain and watering of the season */
    struct bt_node bulk_density; /* of the soil as it lies */
    /* Against the organic-matter rule's: by texture, as of a soil at the rule's limit; as
     * it lies. */
    struct bt_node density_ratio, layer_ratio;
    struct bt_node om_already; /* share of old total N that the organic-matter line pays */
    struct bt_node start_nitrate; /* reading or default, g/m2 */
    struct bt_node compost_om;    /* of this season, spread before the sample; g/m2 */
    bool has_om_line;

    size_t n_lines, lines_cap;
    struct bt_line *line;
    struct bt_tied surface_tied[2]; /* by what lies on top: of this season, of the last */
    size_t n_tie_ups, tie_ups_cap;
    struct bt_tie_up *tie_up;
    size_t n_understood, understood_cap;
    const char **understood;
    size_t n_assumed, assumed_cap;
    struct bt_assumption *assumed;
    double guide_rate_g_m2, beyond_soil_g_m2;
    size_t n_read, read_cap;
    const struct bt_row **read;
    struct bt_caution_words words; /* those that apply */
    size_t n_alerts, alerts_cap;
    struct bt_alert *alert;
};

/* ---- leaves (season_leaf.c) ---- */
const struct bt_row *bt_bind_row(struct bt_binding *b, const char *table, const char *key,
                                 const char *quantity); /* missing: message, b->failed */
/* What is decided or timed by a row that makes no leaf rests on its source too: keeps it in
 * bt_budget's `read`. NULL is passed over. */
void bt_bind_read(struct bt_binding *b, const struct bt_row *row);
/* The word of a word row, or NULL; kept as above. */
const char *bt_bind_word(struct bt_binding *b, const char *table, const char *key,
                         const char *quantity);
double bt_bind_likely(struct bt_binding *b, const char *table, const char *key,
                      const char *quantity); /* likely value of the row, NaN when missing */
/* A leaf from a handbook row, labelled "<what> of <subject>" (subject NULL: just what). */
struct bt_node bt_bind_handbook(struct bt_binding *b, const char *table, const char *key,
                                const char *quantity, const char *what,
                                const char *subject);
struct bt_node bt_bind_leaf_of(struct bt_binding *b, const struct bt_row *row,
                               const char *what, const char *subject, bool assumed);
/* A leaf from the user's own cell. `id` "plantings/A1/sweet corn/weighed". */
struct bt_node bt_bind_stated(struct bt_binding *b, const struct bt_quantity *q,
                              const char *id, const char *label);
bool bt_given(const struct bt_quantity *q); /* a number is there */

const char *bt_bind_text(struct bt_binding *b, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void bt_bind_understood(struct bt_binding *b, const char *sentence);
void bt_bind_assumed(struct bt_binding *b, const char *sentence);
void bt_bind_assumed_leaf(struct bt_binding *b, const struct bt_leaf *leaf);
void bt_bind_caution(struct bt_binding *b, const char *when_word);

/* ---- what can hurt (season_alerts.c) ---- */
void bt_bind_alert(struct bt_binding *b, struct bt_alert alert);
void bt_bind_waits(struct bt_binding *b); /* from raw manure to picking */
/* The caution words of what was spread and of what grows. */
void bt_bind_material_cautions(struct bt_binding *b);

/* ---- residues (season_residues.c) ---- */
struct bt_pan_line bt_bind_pan_line(struct bt_binding *b);
/* Net nitrogen of what lies on top, of what it would be dug in. Of all that lies on a bed
 * in a season only one layer touches the soil: `tied` holds what those before tied up and
 * takes this one in; NULL where it stands alone. */
struct bt_node bt_bind_on_surface(struct bt_binding *b, const char *subject,
                                  struct bt_node net, struct bt_node given_share,
                                  struct bt_tied *tied);
/* What becomes of the residue, where the grower does not say too: covers are dug in, the
 * rest is cleared away. */
enum bt_rest bt_plot_rest(const struct bt_plot *p);
/* What the residue gives in next season's account [g/m2]; false when nothing of it is
 * there.
 */
bool bt_bind_next_season(struct bt_binding *b, const struct bt_plot *p,
                         struct bt_node *out);

/* ---- time (season_time.c) ---- */
bool bt_bind_time(struct bt_binding *b);
/* Share of the pool released by the morning after `day`. */
double bt_released(const struct bt_binding *b, const struct bt_release *r, int day);
size_t bt_date_index(const struct bt_binding *b,
                     int day); /* of the last date not after the day */

/* ---- lines (season_lines.c) ---- */
/* Adds the supply lines of a pool: what comes in the account, and what came before its
 * start and is still there (times `kept` if not NULL, e.g. what survives a winter). Nothing
 * before a reset. */
struct bt_pool {
    const char *id, *label; /* "soil organic matter", "nitrogen from straw" */
    struct bt_node node;    /* g/m2, the whole pool */
    struct bt_release release;
    const struct bt_node *kept;
    int kept_from; /* what was released before this day had been taken up; 0 for nothing */
    bool keep_before_reset; /* too young for the nitrate test to have seen */
    enum bt_status status;
    bool is_advice;
    const char *origin; /* these four as in struct bt_line */
    int came;
    const struct bt_application *addition;
    const struct bt_planting *from;
};
void bt_bind_supply(struct bt_binding *b, const struct bt_pool *pool);
/* The same for a pool that may be negative: kept until the pools are known. */
void bt_bind_tie_up(struct bt_binding *b, const struct bt_pool *pool);
void bt_bind_settle_tie_ups(struct bt_binding *b);
/* Mineral nitrogen in the soil on a date without tie-up: supply lines less the needs
 * (nothing passed on) of what was sown before `sown_before`. */
struct bt_node bt_bind_pool_at(struct bt_binding *b, int day, int sown_before);

/* ---- parts, in the order of season.c ---- */
void bt_bind_plots(
    struct bt_binding *b); /* season_ground.c: density, company, yield, uptake */
/* From when to when a planting of any bed stands. */
void bt_bind_stay(struct bt_binding *b, const struct bt_planting *x, int *out_from,
                  int *out_to);
void bt_bind_additions_before_sample(struct bt_binding *b); /* season_additions.c */
void bt_bind_soil(struct bt_binding *b);                    /* season_soil.c */
void bt_bind_additions(struct bt_binding *b);               /* season_additions.c */
void bt_bind_residues(struct bt_binding *b);                /* season_residues.c */
void bt_bind_needs(struct bt_binding *b); /* season_needs.c: legumes, passing on, needs */
/* season_legumes.c: what is asked about each legume of the account, in its order. */
const struct bt_legume_facts *bt_bind_legumes(struct bt_binding *b, size_t *out_n);
double bt_plot_share(const struct bt_binding *b, const struct bt_plot *p,
                     int day); /* F by a day */
bool bt_plot_stands(const struct bt_plot *p, int day);
bool bt_plots_meet(const struct bt_plot *a, const struct bt_plot *b);
/* N taken out of this bed as plant material ("yarrow, from A6"), g/m2, for one planting. */
bool bt_bind_taken_out(struct bt_binding *b, const struct bt_plot *p, struct bt_node *out);
/* Nitrogen of an application as it comes, g/m2 of this bed (or of `per_area_m2`, for what
 * leaves). */
bool bt_bind_application_n(struct bt_binding *b, const struct bt_application *x,
                           double area_m2, struct bt_node *out_dry, struct bt_node *out_n);
/* The same for any content that table materials or the garden's own analysis holds. */
struct bt_content {
    const char *quantity;          /* "p2o5" */
    const char *what;              /* "phosphate content" */
    const char *total;             /* "total phosphate" */
    const struct bt_quantity *own; /* the garden's own figure, or NULL */
};
bool bt_bind_application_of(struct bt_binding *b, const struct bt_application *x,
                            double area_m2, const struct bt_content *c,
                            struct bt_node *out_dry, struct bt_node *out_total);
/* "18 April", with the year when it is not the season's. */
const char *bt_bind_day(struct bt_binding *b, const struct bt_application *x);
double bt_bind_spread_area_m2(const struct bt_binding *b, const struct bt_application *x);
/* "dairy compost", as the garden calls it. */
const char *bt_bind_material_label(const struct bt_application *x);
/* All the ground an application was spread on. */
double bt_bind_spread_area_m2(const struct bt_binding *b, const struct bt_application *x);
/* A figure of a material: the garden's own where it is given, else the handbook's. */
struct bt_node bt_bind_own_or_table(struct bt_binding *b, const struct bt_application *x,
                                    const struct bt_quantity *own, const char *quantity,
                                    const char *what, bool *out_dry_basis);
/* Share of mineral nitrogen that survives the winter before the season of `year`, by soil
 * and by what stands on it; `but` is not counted as standing (NULL: all count).
 * season_residues.c */
struct bt_node bt_bind_winter_kept(struct bt_binding *b, const struct bt_plot *but,
                                   int year);
bool bt_bind_is_on_bed(const struct bt_binding *b, const struct bt_application *x);

#endif
