/* What the readers of the garden files share: an opened file with its columns found, cells
 * by column, lookups of beds, materials and measures. Internal to the garden readers. */
#ifndef BT_INPUT_GARDEN_READ_H
#define BT_INPUT_GARDEN_READ_H

#include "input/garden.h"
#include "input/handbook_names.h"

#define BT_PART_LIMIT 400 /* single applications that one row may be split into */

/* Columns, in the order of the lists in garden_columns.c. */
enum { BT_COL_SETTING, BT_COL_VALUE, BT_GARDEN_COLS };
enum {
    BT_BED_BED,
    BT_BED_NAME,
    BT_BED_GROUP,
    BT_BED_LENGTH,
    BT_BED_WIDTH,
    BT_BED_SHAPE,
    BT_BED_AREA,
    BT_BED_LESS,
    BT_BED_PLANTED,
    BT_BED_KIND,
    BT_BED_POTS,
    BT_BED_POT_VOLUME,
    BT_BED_DEPTH,
    BT_BED_TEXTURE,
    BT_BED_COLS
};
enum {
    BT_PL_BED,
    BT_PL_CROP,
    BT_PL_LIKE,
    BT_PL_VARIETY,
    BT_PL_ROLE,
    BT_PL_PLANTS,
    BT_PL_ROWS,
    BT_PL_SPACING,
    BT_PL_SHARE,
    BT_PL_AMONG,
    BT_PL_IN_GROUND,
    BT_PL_ENDED,
    BT_PL_EXPECTED,
    BT_PL_WEIGHED,
    BT_PL_PICKED,
    BT_PL_REST,
    BT_PL_FRAME,
    BT_PL_FRESH,
    BT_PL_DRY_MATTER,
    BT_PL_N_PERCENT,
    BT_PL_INOCULATED,
    BT_PL_STATUS,
    BT_PL_COLS
};
enum {
    BT_ST_SAMPLE,
    BT_ST_DATE,
    BT_ST_BEDS,
    BT_ST_DEPTH,
    BT_ST_ORGANIC_MATTER,
    BT_ST_PH,
    BT_ST_NITRATE_N,
    BT_ST_PHOSPHORUS,
    BT_ST_PHOSPHORUS_METHOD,
    BT_ST_PHOSPHORUS_RATING,
    BT_ST_POTASSIUM,
    BT_ST_POTASSIUM_METHOD,
    BT_ST_POTASSIUM_RATING,
    BT_ST_ADVISED,
    BT_ST_ADVISED_N,
    BT_ST_ADVISED_P2O5,
    BT_ST_ADVISED_K2O,
    BT_ST_LEAD,
    BT_ST_ARSENIC,
    BT_ST_CADMIUM,
    BT_ST_COLS
};
enum {
    BT_WA_SOURCE,
    BT_WA_DATE,
    BT_WA_NITRATE,
    BT_WA_BEDS,
    BT_WA_AMOUNT,
    BT_WA_FROM,
    BT_WA_TO,
    BT_WA_COLS
};
enum {
    BT_MA_MATERIAL,
    BT_MA_LIKE,
    BT_MA_LABEL,
    BT_MA_N,
    BT_MA_AMMONIUM_N,
    BT_MA_NITRATE_N,
    BT_MA_P2O5,
    BT_MA_K2O,
    BT_MA_P,
    BT_MA_K,
    BT_MA_BASIS,
    BT_MA_MOISTURE,
    BT_MA_C_N,
    BT_MA_DENSITY,
    BT_MA_PACKAGE,
    BT_MA_PRICE,
    BT_MA_ON_HAND,
    BT_MA_MADE_HERE,
    BT_MA_ALLOWED_ORGANIC,
    BT_MA_COLS
};
enum {
    BT_AP_DATE,
    BT_AP_BEDS,
    BT_AP_MATERIAL,
    BT_AP_AMOUNT,
    BT_AP_PLACEMENT,
    BT_AP_TAKEN_FROM,
    BT_AP_EVERY,
    BT_AP_UNTIL,
    BT_AP_STATUS,
    BT_AP_COLS
};
enum {
    BT_SET_NAME,
    BT_SET_UNITS,
    BT_SET_SEASON,
    BT_SET_SEASON_START,
    BT_SET_SEASON_END,
    BT_SET_AS_OF,
    BT_SET_PLACE,
    BT_SET_WARMTH,
    BT_SET_MEAN_TEMPERATURE,
    BT_SET_HALF_RANGE,
    BT_SET_ALLOWED,
    BT_SET_ENOUGH,
    BT_SET_LEFT_LIMIT,
    BT_SET_CURRENCY,
    BT_SET_PREPARED_BY,
    BT_SET_GRANT,
    BT_SET_FUNDER,
    BT_SET_COUNT
};
enum { BT_ME_MEASURE, BT_ME_AMOUNT, BT_ME_COLS };
enum { BT_HA_DATE, BT_HA_BED, BT_HA_CROP, BT_HA_AMOUNT, BT_HA_TO, BT_HA_COLS };
enum {
    BT_PU_DATE,
    BT_PU_SUPPLIER,
    BT_PU_RECEIPT,
    BT_PU_MATERIAL,
    BT_PU_AMOUNT,
    BT_PU_PAID,
    BT_PU_DELIVERY,
    BT_PU_DONATED_VALUE,
    BT_PU_COLS
};

/* Words that columns accept, in the order of the enums in garden.h. */
struct bt_words {
    size_t n;
    const char *const *word;
};
extern const struct bt_words bt_words_shape, bt_words_kind, bt_words_yield, bt_words_picked,
    bt_words_rest, bt_words_yes_no, bt_words_status, bt_words_placement, bt_words_basis,
    bt_words_units, bt_words_warmth, bt_words_allowed;

/* The run of reading one garden. */
struct bt_gr {
    struct bt_arena *arena;
    struct bt_diag *diag;
    const struct bt_units *units;
    const struct bt_handbook *handbook;
    const struct bt_garden_options *options;
    const char *folder;
    struct bt_garden *garden;
    struct bt_reader cells;
    struct bt_cell
        setting[BT_SET_COUNT]; /* kept until the season is known; line 0: not there */

    /* plantings and applications whose status cell was filled */
    bool *planting_status_given;
    bool *application_status_given;
    size_t application_capacity;
    size_t status_capacity;
    size_t read_capacity;
    /* names that may stand as units of amounts, singular and plural */
    size_t n_measure_names;
    size_t measure_name_capacity;
    const char **measure_name;
    /* by name, as bt_text_key makes it */
    struct bt_names beds, materials, measures;
    struct bt_names squeezed_materials; /* the same without blanks: bloodmeal */
    struct bt_names groups;             /* group -> its first bed */
    size_t *next_of_group; /* bed -> next bed of its group, BT_NO_NAME at the end */
    struct bt_names plantings, applications; /* "<bed>/<name>" -> last ordinal */
    struct bt_names unit_texts;              /* texts of units that quantities keep */
    const char **unit_text;
    size_t unit_capacity;
    struct bt_bed no_bed; /* of rows whose bed is not known */
    bool noted_pot_shape;
    /* what cannot be had because a header or a setting is not understood, which has its
     * message: rows that need it stay silent */
    bool settings_lost, beds_lost, plantings_lost, materials_lost, dates_lost, stands_lost;
    size_t n_alone;     /* plantings taken as a full stand for want of a count */
    bool noted_no_beds; /* of soil tests without a column beds */
};

/* A file with its columns found. */
struct bt_gfile {
    const char *name; /* "beds" */
    struct bt_csv csv;
    const char *const *column;
    size_t n_columns;
    int place[32];               /* column -> field of a row, -1 when absent */
    const char *header_unit[32]; /* `length (ft)` -> "ft", or NULL */
    size_t n_unknown;            /* columns that are none of ours and have an error */
};

/* --- garden_file.c: files, cells, messages --- */

/* Opens a file of the folder and finds its columns. *out_there says whether it exists.
 * False when it is not there (no message) or cannot be read (message). */
bool bt_gfile_open(struct bt_gr *g, const char *name, struct bt_gfile *out,
                   bool *out_there);
/* The same for a path outside the folder (the plan). */
bool bt_gfile_open_path(struct bt_gr *g, const char *name, const char *path,
                        struct bt_gfile *out);
/* The cell of a column; empty, at the row's start, when there is none. */
struct bt_cell bt_gfile_cell(const struct bt_gfile *f, size_t row, int column);
/* True when nothing but free columns is filled. */
bool bt_gfile_row_blank(const struct bt_gfile *f, size_t row);
/* Outer blanks gone, runs of blanks made one. */
const char *bt_gr_tidy(struct bt_arena *a, const char *text);
/* The cell's text tidied (runs of blanks made one), NULL when blank. */
const char *bt_gfile_text(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                          int column);
/* Memory that is given back when what was done in between is not needed any more; it stays
 * when a message came in between, as messages live in the same arena. */
struct bt_scratch {
    struct bt_mark mark;
    size_t messages;
};
struct bt_scratch bt_gr_scratch(const struct bt_gr *g);
void bt_gr_release(struct bt_gr *g, const struct bt_scratch *s);
/* bt_read_quantity, leaving nothing in the arena but what `out` needs. */
bool bt_gr_one_figure(struct bt_gr *g, const struct bt_cell *cell,
                      const struct bt_accept *accept, struct bt_quantity *out);
/* The same for a cell that may have a second figure in brackets (second_figure.c). */
bool bt_gr_quantity(struct bt_gr *g, const struct bt_cell *cell,
                    const struct bt_accept *accept, struct bt_quantity *out);
/* A quantity; `accept` needs no column and no header_unit. */
bool bt_gfile_quantity(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                       struct bt_accept accept, struct bt_quantity *out);
bool bt_gfile_date(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                   struct bt_date *out);
int bt_gfile_word(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                  const struct bt_words *words); /* -1 blank or bad */

/* Messages. Each returns what bt_diag_add does. */
bool bt_gr_error(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                 const char *expected, const char *hint);
bool bt_gr_warn(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                const char *expected, const char *hint);
/* A sentence about what was understood. */
bool bt_gr_note(struct bt_gr *g, struct bt_pos at, const char *sentence);

/* A share typed in a column where bare numbers are allowed: `40 %`, `0.4`, `40`, `1/2`. */
bool bt_gr_share(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                 const char *header_unit, struct bt_quantity *out);
bool bt_gfile_share(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                    struct bt_quantity *out);
/* A column in percent: `3.8 %`, `3.8`; at most `highest` (a fraction). */
bool bt_gfile_percent(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                      double highest, struct bt_quantity *out);
/* A warning where a bare figure in percent lies far below `usual`, the handbook's row
 * (NULL: none): it may have been meant as a share of one. */
void bt_gr_doubt_percent(struct bt_gr *g, const struct bt_quantity *q, const char *column,
                         const struct bt_row *usual);
/* A part of a bed: a share or an area. */
bool bt_gfile_part(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                   struct bt_quantity *out);
/* A cell as typed, with the unit of its header: "8 ft". */
const char *bt_gr_typed(struct bt_gr *g, const struct bt_gfile *f, int column,
                        const struct bt_quantity *q);
/* An area: `32 sq ft` or two sides, `4 ft x 8 ft`. */
bool bt_gfile_area(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                   struct bt_quantity *out);
/* Empty `accept` with no limits. */
struct bt_accept bt_accept_dims(size_t n, const struct bt_dim *dims, double lowest,
                                double highest);
/* The parts of `4 ft x 8 ft`: text before and after a free-standing x; false when there is
 * none. */
bool bt_gr_split_by_x(struct bt_gr *g, const char *text, const char **out_first,
                      const char **out_second);
/* A label of three figures, `3-4-4`, as fractions; one that a spreadsheet made a date is
 * said so. */
bool bt_gr_label(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                 double out_fraction[3]);

/* The first of two figures with the unit of the second where it has none: `10 x 30 in`. */
const char *bt_gr_lend_unit(struct bt_gr *g, const char *first, const char *second);
bool bt_gr_date(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                struct bt_date *out);

/* --- garden_headers.c --- */

/* Finds the columns of an opened file. Where one is missing without which no row says
 * anything, its rows are taken out, with one message. */
void bt_gfile_place_columns(struct bt_gr *g, struct bt_gfile *f);

/* --- one reader a file; all messages go to g->diag --- */
void bt_garden_read_settings(struct bt_gr *g, const struct bt_gfile *f);
/* Season, as_of and what hangs on them, when all dates are known. */
void bt_garden_settle(struct bt_gr *g);
void bt_garden_read_beds(struct bt_gr *g, const struct bt_gfile *f);
void bt_garden_read_plantings(struct bt_gr *g, const struct bt_gfile *f);
void bt_garden_read_tests(struct bt_gr *g, const struct bt_gfile *f);
void bt_garden_read_water(struct bt_gr *g, const struct bt_gfile *f);
void bt_garden_read_measures(struct bt_gr *g, const struct bt_gfile *f); /* NULL: none */
void bt_garden_read_materials(struct bt_gr *g, const struct bt_gfile *f);
void bt_garden_read_applications(struct bt_gr *g, const struct bt_gfile *f, bool is_advice);
void bt_garden_read_harvests(struct bt_gr *g, const struct bt_gfile *f);
void bt_garden_read_purchases(struct bt_gr *g, const struct bt_gfile *f);
/* `$6.50`, `6.50 USD`, `1,200`: the figure alone. */
void bt_gfile_money(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                    struct bt_quantity *out);
/* Gives each weight to its planting and, where that has ended, puts their sum in the place
 * of what was expected. When the season is known. */
void bt_garden_settle_harvests(struct bt_gr *g);
/* What only shows when the files are looked at together. */
void bt_garden_check(struct bt_gr *g);

/* --- garden_fertility.c, garden_slips.c --- */

/* Phosphorus and potassium of a test: methods, words, and whether all it says agrees. */
void bt_gr_check_fertility(struct bt_gr *g, struct bt_soil_test *t);
/* Whether the method is one whose laboratories measure soil by volume, in mg/L. */
bool bt_gr_is_per_volume(struct bt_gr *g, const char *method);
/* False, with an error that names the likely slip, when the rate is beyond all guides;
 * `highest` is the row of table soils that says where that begins. */
bool bt_gr_rate_is_possible(struct bt_gr *g, const struct bt_quantity *q,
                            const char *column, const char *nutrient, const char *highest);
/* "146 g/m2, 30 lb/1000 sq ft": so that every reader knows the size. */
const char *bt_gr_rate_text(struct bt_gr *g, double rate_g_m2);
/* A label beside a figure of its own column: does one count the element? */
void bt_gr_check_label(struct bt_gr *g, const struct bt_cell *label,
                       const struct bt_quantity *own, double label_frac, double factor,
                       const char *oxide);
void bt_gr_check_measure(struct bt_gr *g, const struct bt_measure *m,
                         const struct bt_cell *cell);
/* The likely content of a material: the garden's own figure, else the handbook's, else 0.
 */
double bt_gr_content(const struct bt_gr *g, const struct bt_application *x,
                     const struct bt_quantity *own, const char *quantity);
/* garden_mass.c: what every addition comes to, when all files are read. */
void bt_garden_weigh(struct bt_gr *g);
/* Salts with the label of another, doses and layers beyond all sense. */
void bt_garden_check_slips(struct bt_gr *g);

/* --- garden_advice.c --- */

/* The advice of a test: as printed, and as rates of the three nutrients. */
void bt_gr_read_advice(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                       struct bt_soil_test *t);

/* --- second_figure.c --- */

/* What an amount is held against; area 0 and NULL for what is not known. */
struct bt_beside {
    double area_m2;      /* of all beds of the row */
    const char *written; /* the material, and its key of the handbook */
    const char *key;
    const struct bt_material *own;
};

/* A cell of one figure, or of two of which the second stands in brackets, `50 cu ft (1.85
 * cu yd)`. */
struct bt_pair {
    struct bt_quantity first, second; /* as read; second only with `two` */
    bool two, dry;                    /* dry: the second counts dry matter */
    const char *text;                 /* of the first */
    struct bt_cell cell;              /* of both */
};

/* Reads both figures; false, with an error and the first blank, when one is none. */
bool bt_gr_pair(struct bt_gr *g, const struct bt_cell *cell, const struct bt_accept *accept,
                struct bt_pair *out);
/* Holds the figures against each other. The first counts, with a note, when they agree
 * within a twentieth; else an error says by how much they differ, or that they cannot be
 * compared, and the first is made blank. A mass beside a volume is held against the
 * material's density, and far from it is a warning. True for a single figure. */
bool bt_gr_pair_agrees(struct bt_gr *g, struct bt_pair *pair, const char *column,
                       const struct bt_beside *beside);
/* Both: bt_gr_quantity for what is spread on beds, or is of a material. */
bool bt_gr_amount(struct bt_gr *g, const struct bt_cell *cell,
                  const struct bt_accept *accept, const struct bt_beside *beside,
                  struct bt_quantity *out);

/* The texts of both figures, tidied; false when no bracket with a figure ends the cell. */
bool bt_gr_two_figures(struct bt_gr *g, const char *text, const char **out_first,
                       const char **out_second);
/* bt_read_count, bt_read_rows and bt_read_layer_in with a second figure. */
bool bt_gr_count(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                 struct bt_count *out);
bool bt_gr_rows(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                struct bt_rows *out);
bool bt_gr_layer(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                 const char *header_unit, struct bt_layer *out);

/* --- garden_lookup.c --- */

/* Fills the lookup of groups, when all beds are read. */
void bt_gr_index_beds(struct bt_gr *g);

/* Beds named in a cell: one, several with `;`, a group, or `all`. False with a message. */
bool bt_gr_beds(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                size_t *out_n, const size_t **out);
/* Exactly one bed; BT_NO_NAME, with a message, when it is none or several. */
size_t bt_gr_one_bed(struct bt_gr *g, const struct bt_cell *cell, const char *column);
/* Advice for a cell that seems to name several beds without semicolons, `A1, A2` or `1-8`;
 * NULL when it does not (garden_bed_hint.c). */
const char *bt_gr_several_beds(struct bt_gr *g, const char *column, const char *name);
/* The key of a name without its blanks, so that `Blood-meal` and `bloodmeal` are one. */
char *bt_gr_squeezed(struct bt_arena *a, const char *written);
const struct bt_material *bt_gr_own_material(const struct bt_gr *g, const char *written);
/* Key of the handbook for what somebody wrote, by `like` where it is given. NULL with a
 * message. */
const char *bt_gr_handbook_key(struct bt_gr *g, const char *table,
                               const struct bt_cell *written, const struct bt_cell *like,
                               const char *column);

/* The message for a crop or material that nobody knows, with the nearest names. */
bool bt_gr_unknown(struct bt_gr *g, const char *table, const struct bt_cell *cell,
                   const char *column, const char *way_out);

/* --- garden_measures.c --- */

/* Lets a column take household and package measures as units. */
void bt_gr_accept_measures(const struct bt_gr *g, struct bt_accept *a);

/* Turns a quantity whose unit is a household or package measure (`2 wheelbarrows`) into g
 * or m3, in place, through the material's package, the garden's measures, then the
 * handbook's. `material` and `key` may be NULL. *out_working gets "2 wheelbarrows = 14
 * buckets = 0.28 m3", or NULL. False, with a message, when the measure is not known.
 * Quantities in plain units are left alone. */
bool bt_gr_measure(struct bt_gr *g, struct bt_quantity *q, const char *column,
                   const char *material, const char *key, const char **out_working);

#endif
