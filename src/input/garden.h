/* A garden folder as read: what stands in its files, in inside units, with positions.
 * Nothing is computed here beyond what a cell says; what a blank means is decided in
 * src/model/season.c. */
#ifndef BT_INPUT_GARDEN_H
#define BT_INPUT_GARDEN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/date.h"
#include "base/diag.h"
#include "input/fixes.h"
#include "input/handbook.h"
#include "input/quantity.h"

enum bt_bed_kind { BT_GROUND, BT_MIX, BT_POTS };

struct bt_bed {
    const char *id;   /* "A1": how other files name it */
    const char *name; /* "" when not given */
    const char *group;
    double area_m2; /* of the part that is planted; worked out from the cells */
    double pots;    /* number of pots, 0 for ground */
    double pot_volume_m3;
    enum bt_bed_kind kind;
    struct bt_quantity depth; /* how deep the bed is loose or filled */
    const char *texture;      /* key in table soils ("loam"), NULL when not given */
    const char *area_working; /* "8 ft x 4 ft", for `check` and `why` */
    struct bt_pos at;
};

enum bt_picked {
    BT_PICKED_UNKNOWN = 0,
    BT_PICKED_GREEN = 1,
    BT_PICKED_DRY = 2,
    BT_PICKED_LEAF = 4,
    BT_PICKED_ROOT = 8,
    BT_PICKED_FRUIT = 16,
    BT_PICKED_NOTHING = 32
};
enum bt_rest {
    BT_REST_UNKNOWN,
    BT_REST_LEFT,
    BT_REST_DUG_IN,
    BT_REST_COMPOST,
    BT_REST_OFF_SITE,
    BT_REST_STANDING
};
enum bt_status { BT_DONE, BT_PLANNED };

struct bt_planting {
    const struct bt_bed *bed;
    size_t bed_index;
    const char *crop; /* key in table crops: of what `like` names, else of the crop itself;
                         NULL only beside an error */
    const char *written; /* as typed, tidied: the subject in labels */
    const char *legume;  /* key in table legumes, NULL when it is none */
    const char *id;      /* "A1/sweet corn 1": bed, name as typed, ordinal; unique */
    unsigned ordinal; /* 1 for the first planting of this name in this bed, by file order */
    unsigned n_same;  /* how many of this name in this bed */
    const char *variety, *role;
    struct bt_count plants;
    struct bt_rows rows;
    struct bt_quantity spacing; /* first figure: in-row distance, m */
    struct bt_quantity share;   /* of the bed, 0..1 */
    bool size_refused;          /* plants, rows or share has an error of its own */
    const char *among;          /* crop as typed, NULL */
    struct bt_pos among_at;
    struct bt_date in_ground, ended;
    struct bt_quantity expected; /* of the season: g, g/m2, or a word poor/usual/good */
    struct bt_quantity weighed;  /* the same kinds, no words */
    unsigned picked;             /* of enum bt_picked, or-ed */
    enum bt_rest rest;
    struct bt_quantity frame;      /* m2 */
    struct bt_quantity fresh;      /* g cut in the frame */
    struct bt_quantity dry_matter; /* fraction of fresh */
    struct bt_quantity n_percent;  /* fraction of dry matter */
    int inoculated;                /* 1 yes, 0 no, -1 not known */
    enum bt_status status;
    struct bt_pos at; /* of the crop's cell */ /* of the crop's cell */
};

struct bt_soil_test {
    const char *sample;
    struct bt_date date;
    size_t n_beds;
    const size_t *bed; /* indices of beds */
    struct bt_layer depth;
    struct bt_quantity organic_matter; /* fraction */
    struct bt_quantity ph;
    struct bt_quantity nitrate_n;  /* mg/kg as a fraction (1e-6), always of NO3-N */
    struct bt_quantity phosphorus; /* element P, fraction; or word */
    const char *phosphorus_method;
    const char *phosphorus_rating;
    struct bt_quantity potassium;
    const char *potassium_method;
    const char *potassium_rating;
    struct bt_quantity lead, arsenic, cadmium;               /* mg/kg as a fraction */
    const char *advised;                                     /* as printed */
    struct bt_quantity advised_n, advised_p2o5, advised_k2o; /* g/m2 */
    struct bt_pos at;
};

struct bt_water {
    const char *source;
    struct bt_date date;
    struct bt_quantity nitrate; /* g N per m3, always as NO3-N */
    size_t n_beds;
    const size_t *bed;
    struct bt_quantity amount; /* m of depth, m3, or m per day (`1 in/week`) */
    struct bt_date from, until;
    struct bt_pos at;
};

struct bt_material {
    const char *name; /* as typed in materials.csv */
    const char *like; /* key in table materials, or NULL */
    struct bt_quantity n, ammonium_n, nitrate_n, p2o5,
        k2o; /* fractions, on `dry_basis` or as-is */
    bool dry_basis;
    struct bt_quantity moisture, c_n, density;
    struct bt_quantity package; /* g or m3 in one package */
    struct bt_quantity price;   /* money per package, currency in garden.csv */
    struct bt_quantity on_hand;
    bool made_here;
    double made_here_share; /* 0..1 */
    int allowed_organic;    /* 1, 0, -1 not said */
    struct bt_pos at;
};

enum bt_placement {
    BT_PLACE_UNKNOWN,
    BT_DUG_IN,
    BT_SURFACE,
    BT_HOLE,
    BT_MOUND,
    BT_WATERED,
    BT_FILLING
};

/* One application on one date (rows with `every` are split) over all beds it names. */
struct bt_application {
    struct bt_date date;
    size_t n_beds;
    const size_t *bed;
    const char *written;  /* material as typed */
    const char *id;       /* "A1/yard compost 2": beds, material, ordinal; parts of a split
                             row have the same one */
    const char *material; /* key in table materials, NULL when only the garden's own */
    const struct bt_material *own; /* row of materials.csv, or NULL */
    struct bt_quantity amount; /* g, m3, m (depth), g/m2, m3/m2; unit.per "plant", "mound",
                                  "pot"; measures already turned into m3 or g */
    const char *measure_working; /* "2 wheelbarrows = 14 buckets", or NULL */
    enum bt_placement placement;
    const struct bt_bed *taken_from; /* NULL: brought in or made outside a bed */
    size_t taken_from_index;
    unsigned ordinal; /* of this material in each of its beds, by file order */
    /* What it comes to at likely values (bt_garden_weigh), for the checks; 0: not known */
    double spread_g_m2, n_g_m2; /* in all, and the nitrogen in it */
    double depth_m;
    double counted;         /* unit-free: plants, mounds or pots that got it */
    unsigned part, n_parts; /* 2 of 5 for split rows */
    enum bt_status status;
    bool is_advice; /* from --plan FILE */
    struct bt_pos at;
};

struct bt_measure {
    const char *name;
    double volume_m3; /* 0 when it is a mass */
    double mass_g;
    const char *working;
};

/* What was picked on one day, weighed; goes to the oldest planting of that crop standing
 * that day. */
struct bt_harvest {
    struct bt_date date;
    size_t bed;
    const char *crop;          /* as typed */
    struct bt_quantity amount; /* g */
    const char *to;            /* who got it, or NULL */
    size_t planting;           /* its number, SIZE_MAX when none stood */
    struct bt_pos at;
};

struct bt_purchase {
    struct bt_date date;
    const char *supplier, *receipt;                   /* or NULL */
    const char *material;                             /* as typed */
    struct bt_quantity amount;                        /* g or m3 */
    struct bt_quantity paid, delivery, donated_value; /* money */
    struct bt_pos at;
};

struct bt_garden {
    const char *folder, *name, *place, *prepared_by, *grant, *funder, *currency;
    bool us_units; /* what is printed */
    bool units_given;
    int season;                   /* what it is called: a year (bt_garden_season_year) */
    int season_start, season_end; /* days */
    int as_of;                    /* day up to which a blank status is done */
    const char *warmth;           /* "cool", "temperate", "warm" */
    bool warmth_given;
    struct bt_quantity mean_temperature, temperature_half_range;
    bool organic_only;
    double enough;                 /* 0..1, default 0.8 */
    struct bt_quantity left_limit; /* g/m2 of N in the soil at the end */
    bool month_first;

    size_t n_beds;
    struct bt_bed *bed;
    size_t n_plantings;
    struct bt_planting *planting;
    size_t n_tests;
    struct bt_soil_test *test;
    size_t n_waters;
    struct bt_water *water;
    size_t n_materials;
    struct bt_material *material;
    size_t n_applications;
    struct bt_application *application;
    size_t n_measures;
    struct bt_measure *measure;
    size_t n_harvests;
    struct bt_harvest *harvest;
    size_t n_purchases;
    struct bt_purchase *purchase;
    size_t n_read; /* measures of the handbook that amounts were read with, each once */
    const struct bt_row **read;
};

/* The year that the sums of a season go by: the one in which it ends. `season` itself is
 * only what the season is called, which over New Year may be either of its years. */
int bt_garden_season_year(const struct bt_garden *g);
bool bt_garden_over_new_year(const struct bt_garden *g);
/* The same of the season that a day belongs to. */
int bt_season_of(const struct bt_garden *g, int day);
/* "2026", over New Year "2026/27"; "1 May to 30 September 2026", over New Year with both
 * years. In the arena. */
const char *bt_garden_season_name(struct bt_arena *a, const struct bt_garden *g);
const char *bt_garden_period(struct bt_arena *a, const struct bt_garden *g);
/* "12 May", with the year where it is not plain from the season. */
const char *bt_garden_day(struct bt_arena *a, const struct bt_garden *g, int day);

/* The material of an addition: the garden's own name for it, else as typed. */
const char *bt_deed_label(const struct bt_application *x);
/* The bed that a person means by `written`: its id, else its name, in any case and however
 * the words are parted. NULL when there is none. */
const struct bt_bed *bt_garden_bed_named(struct bt_arena *scratch,
                                         const struct bt_garden *g, const char *written);

/* How many additions of that name a bed has on one day; *out_place gets which of them
 * `upto` is, from 1. */
size_t bt_deeds_alike(const struct bt_garden *g, size_t bed, const char *label, int day,
                      const struct bt_application *upto, size_t *out_place);
/* "yard compost", or "yard compost 2" where the bed has it twice that day; and with the day
 * behind it, "yard compost 2, 12 May". No two additions of a bed have the same one. */
const char *bt_deed_name_on(struct bt_arena *a, const struct bt_garden *g, size_t bed,
                            const struct bt_application *x);
const char *bt_deed_subject(struct bt_arena *a, const struct bt_garden *g, size_t bed,
                            const struct bt_application *x);

struct bt_garden_options {
    int season;             /* 0: the garden's own */
    struct bt_date on;      /* as_of given on the command line */
    const char *plan;       /* file with the columns of applications, or NULL */
    int units;              /* -1 the garden's own, 0 metric, 1 US: what is printed */
    struct bt_fixes *fixes; /* gets what a cleaned copy needs; NULL when none is wanted */
};

/* Reads the folder. All problems of all files are in `d`; NULL only when garden.csv,
 * beds.csv or plantings.csv cannot be read at all. With errors the garden holds what could
 * be understood. */
struct bt_garden *bt_garden_load(struct bt_arena *a, struct bt_diag *d,
                                 const struct bt_units *units, const struct bt_handbook *h,
                                 const char *folder,
                                 const struct bt_garden_options *options);

/* The columns of a garden file, in the order of docs/files.md; `file` is its name without
 * .csv
 * ("beds"). 0 and NULL for a file that the garden does not know. The plan file has those of
 * "applications". */
size_t bt_garden_columns(const char *file, const char *const **out);
/* The settings that garden.csv may hold, one a row. */
size_t bt_garden_settings(const char *const **out);
/* The words that a column accepts, 0 when it takes no words. */
size_t bt_garden_words(const char *file, const char *column, const char *const **out);

/* What the listed beds measure together. */
double bt_garden_area_m2(const struct bt_garden *g, size_t n, const size_t *bed);

/* How many plants a planting has: `plants`, or row length over in-row distance (first
 * figure of `spacing`, else the handbook's likely in_row). 0 when nothing is counted. */
double bt_planting_count(const struct bt_handbook *h, const struct bt_planting *p);

/* The square metres that one pot of this volume covers: volume over depth when the depth is
 * given
 * (> 0), else those of a round pot as high as it is wide. */
double bt_pot_area_m2(double volume_m3, double depth_m);

#endif
