/* The handbook: ranges with their source, read from tables/ (embedded at build time) and
 * overridden row by row by `--tables DIR` and the garden's own tables/. docs/handbook.md
 * describes the rows. */
#ifndef BT_INPUT_HANDBOOK_H
#define BT_INPUT_HANDBOOK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/diag.h"
#include "base/dim.h"
#include "input/units.h"
#include "shape/range.h"

enum bt_seen { BT_READ, BT_MEMORY, BT_PRACTICE, BT_DERIVED, BT_JUDGEMENT };
enum bt_scope { BT_SCOPE_GARDEN, BT_SCOPE_BED };

/* One row of a table. Rows whose quantity is a word (form, kind, feeder, roots, follows)
 * carry the word in `word` and no range. */
struct bt_row {
    const char *table;     /* "crops" */
    const char *key;       /* "sweet corn" */
    const char *quantity;  /* "n_uptake" */
    struct bt_range range; /* inside units */
    struct bt_unit unit;   /* as in the table */
    const char
        *basis; /* availability rows: of_total, of_organic, mineral, in_crop; else "" */
    const char *word; /* word rows; else NULL */
    enum bt_scope scope;
    const char *parent; /* "key/quantity" of the leaf it follows, or NULL */
    double rank_correlation;
    const char *source; /* id in sources.csv */
    enum bt_seen seen;
    const char *notes;
    struct bt_pos at;
    bool local; /* from --tables or the garden's tables/ */
    const struct bt_row
        *instead_of; /* the row that a local one took the place of, or NULL */
};

struct bt_source {
    const char *id, *authors, *title, *year, *address;
};

struct bt_table {
    const char *name;  /* "crops" */
    uint64_t checksum; /* of the bytes read, local rows included */
    size_t n_rows;
    const struct bt_row *const *row;
};

struct bt_caution {
    const char *topic;
    const char *when; /* words, all of which must be there: "high phosphorus + Olsen" */
    const char *rule, *number, *unit, *jurisdiction, *source, *notes;
    enum bt_seen seen;
    bool of_garden; /* said once for the garden, not for each bed */
};

struct bt_handbook;

/* Loads the embedded tables, then `tables_dir` (NULL for none), then `garden_tables_dir`
 * (NULL for none, or a folder that need not exist). NULL, with messages, when anything is
 * wrong. */
struct bt_handbook *bt_handbook_load(struct bt_arena *a, struct bt_diag *d,
                                     const struct bt_units *units, const char *tables_dir,
                                     const char *garden_tables_dir);
/* The same with other tables in place of those built in: `find` gives the bytes of a table
 * by name, NULL for none. For tests and for whoever brings a handbook of their own. */
typedef const char *bt_table_finder(const char *name, size_t *out_n);
struct bt_handbook *bt_handbook_load_from(struct bt_arena *a, struct bt_diag *d,
                                          const struct bt_units *units,
                                          bt_table_finder *find, const char *tables_dir,
                                          const char *garden_tables_dir);

/* The row, or NULL. `key` may be any spelling in aliases.csv. */
const struct bt_row *bt_handbook_row(const struct bt_handbook *h, const char *table,
                                     const char *key, const char *quantity);
/* The same, following the key's `follows` row to its stand-in when it has no row of its
 * own. */
const struct bt_row *bt_handbook_follow(const struct bt_handbook *h, const char *table,
                                        const char *key, const char *quantity);
/* The word of a word row (`form` of `sweet corn`), or NULL; follows stand-ins. */
const char *bt_handbook_word(const struct bt_handbook *h, const char *table,
                             const char *key, const char *quantity);
/* The table's own spelling of what somebody wrote (case, plural, aliases), or NULL. */
const char *bt_handbook_key(const struct bt_handbook *h, const char *table,
                            const char *written);
/* All keys of a table, in table order. */
size_t bt_handbook_keys(const struct bt_handbook *h, const char *table,
                        const char *const **out_keys);

/* The eight row tables, then sources, aliases and cautions, which have a checksum but no
 * rows here; a checksum is 0 for a table that nobody gave. */
size_t bt_handbook_tables(const struct bt_handbook *h, const struct bt_table **out);
const struct bt_source *bt_handbook_source(const struct bt_handbook *h, const char *id);
/* All of them; the first is `local`, which a garden's own rows may name. */
size_t bt_handbook_sources(const struct bt_handbook *h, const struct bt_source **out);
/* Other spellings of a key of a row table, tidied (bt_text_key) and sorted; in `a`. */
size_t bt_handbook_spellings(const struct bt_handbook *h, struct bt_arena *a,
                             const char *table, const char *key, const char ***out);
/* The key's stand-in, NULL when it has none. */
const char *bt_handbook_stand_in(const struct bt_handbook *h, const char *table,
                                 const char *key);
/* The row that a worksheet's leaf is made from, by the leaf's id: `table/key/quantity`,
 * with or without `/bed`. NULL when it is no handbook row. */
const struct bt_row *bt_handbook_row_of(const struct bt_handbook *h, const char *leaf_id);
size_t bt_handbook_cautions(const struct bt_handbook *h, const struct bt_caution **out);

/* The embedded text of a table ("units", "crops" ...), NULL when there is none. Defined by
 * the generated build/embedded.c. */
const char *bt_embedded_table(const char *name, size_t *out_n);

const char *bt_seen_word(enum bt_seen seen); /* "read" ... */

#endif
