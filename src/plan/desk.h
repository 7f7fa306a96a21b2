/* The desk at which a sum is built: what was typed, as nodes; the handbook's figures, as
 * leaves; results and remarks. Internal to the sums of this room. */
#ifndef BT_PLAN_DESK_H
#define BT_PLAN_DESK_H

#include "plan/sum.h"

enum { BT_MOST_RESULTS = 48, BT_MOST_NOTES = 24, BT_MOST_NTH = 9 };

struct bt_desk {
    const struct bt_sum_means *means;
    struct bt_arena *arena;
    const struct bt_handbook *book;
    const struct bt_sum *sum;
    struct bt_sheet *sheet;
    size_t n_given;
    struct bt_sum_given *given;
    bool us_units;
    size_t n_results;
    struct bt_sum_result result[BT_MOST_RESULTS];
    size_t n_notes;
    const char *note[BT_MOST_NOTES];
    bool failed;
};

/* ---- what was typed (desk.c) ---- */
const struct bt_sum_given *bt_desk_nth(const struct bt_desk *w, const char *key, int nth);
bool bt_desk_has(const struct bt_desk *w, const char *key);
/* The node of a key that was given; `nth` from 1. */
struct bt_node bt_desk_node(struct bt_desk *w, const char *key);
struct bt_node bt_desk_node_nth(struct bt_desk *w, const char *key, int nth);
/* A key in words, for the working: "row spacing", "N content 2". */
const char *bt_desk_label(struct bt_desk *w, const char *key);
/* ... or a figure of the handbook, labelled as the key. */
struct bt_node bt_desk_or_book(struct bt_desk *w, const char *key, const char *table,
                               const char *table_key, const char *quantity);
/* ... or a plain share. */
struct bt_node bt_desk_or_share(struct bt_desk *w, const char *key, double share);
/* The word of a key, NULL when it was not given. */
const char *bt_desk_word(const struct bt_desk *w, const char *key);
bool bt_desk_is(const struct bt_desk *w, const char *key, const char *word);
bool bt_desk_dim(const struct bt_desk *w, struct bt_node n, struct bt_dim dim);

/* ---- the handbook (desk.c) ---- */
/* A leaf; a missing row is a message and fails the sum. */
struct bt_node bt_desk_book(struct bt_desk *w, const char *table, const char *key,
                            const char *quantity, const char *label);
const struct bt_row *bt_desk_row(struct bt_desk *w, const char *table, const char *key,
                                 const char *quantity);
struct bt_node bt_desk_leaf(struct bt_desk *w, const struct bt_row *row, const char *label);

/* ---- chemistry (desk_species.c) ---- */
/* The node of what was given, as the form wanted (N, P2O5, K2O, P, K, NO3): oxides from
 * elements and back, NO3-N from NO3. A form of another element is a message. */
struct bt_node bt_desk_as(struct bt_desk *w, const struct bt_sum_given *g,
                          const char *form);
/* A node that is in one form, in another of the same element. */
struct bt_node bt_desk_form(struct bt_desk *w, struct bt_node n, const char *from,
                            const char *to);

/* ---- what it comes to (desk.c) ---- */
struct bt_node bt_desk_named(struct bt_desk *w, const char *label, struct bt_node n);
/* A result; `unit` NULL for one that suits its dimension and size. A plain number has the
 * unit "". */
void bt_desk_result(struct bt_desk *w, const char *name, struct bt_node n,
                    const char *unit);
/* The same of a mass on an area and per area, whichever of them `n` is. `area` may be NULL.
 */
void bt_desk_result_both(struct bt_desk *w, const char *name, struct bt_node n,
                         const struct bt_node *area);
/* The same with the value of `area`, when it was given. */
void bt_desk_put(struct bt_desk *w, const char *name, struct bt_node n);
void bt_desk_note(struct bt_desk *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* A message at a key (NULL: the sum as a whole); the sum fails. */
void bt_desk_refuse(struct bt_desk *w, const char *key, const char *expected,
                    const char *hint);
const char *bt_desk_text(struct bt_desk *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* ---- reading (desk_read.c) ---- */
/* Reads all texts into w->given; false with messages. */
bool bt_desk_read(struct bt_desk *w, size_t n, const char *const *typed);

/* ---- units of results (desk_unit.c) ---- */
/* A unit for a node: as somebody typed it for that dimension, else one that suits. */
const char *bt_desk_unit(const struct bt_desk *w, struct bt_node n);
double bt_desk_factor(const struct bt_desk *w, const char *unit); /* inside = shown * it */
bool bt_desk_typed_us(const struct bt_desk *w);

/* ---- nutrients of a product (desk_product.c) ---- */
enum { BT_FORMS = 3 };
extern const char *const bt_form_name[BT_FORMS]; /* N, P2O5, K2O */
struct bt_contents {
    bool has[BT_FORMS];
    struct bt_node share[BT_FORMS];
};
/* From a label, from n, p2o5, k2o, or from the handbook's material `like`; `prefix` goes
 * before the keys ("from_", ""). Nothing given leaves all false. */
struct bt_contents bt_desk_contents(struct bt_desk *w, const char *prefix);
int bt_form_of(const char *species); /* its place, -1 when it is none of them */

/* ---- guard rails (guard.c) ---- */
/* Refuses a rate of a nutrient per area that no guide rate of the handbook comes near, and
 * names the slip that would bring it there. `g` is what was typed, `n` its mass per area in
 * the form `form`. False when it was refused. */
bool bt_desk_guard(struct bt_desk *w, const struct bt_sum_given *g, struct bt_node n,
                   int form);
/* Refuses a figure per area above the handbook's `quantity` of soils, any. `what` it is of,
 * "N from water"; `key` is the one to look at. False when it was refused. */
bool bt_desk_guard_figure(struct bt_desk *w, const char *key, struct bt_node n,
                          const char *quantity, const char *what);

#endif
