/* Single sums: one question of a grower answered without a garden, from keys and values
 * typed as `rate="0.1 lb N/100 sq ft"`. A sum is a row of a table (its keys, what each
 * takes and means, how it is built, an example); dispatch, help and docs/sums.md are made
 * from it. Building is arithmetic on a worksheet, by the same equations as the budget's, so
 * ranges and the working come with it. */
#ifndef BT_PLAN_SUM_H
#define BT_PLAN_SUM_H

#include <stdint.h>

#include "chance/chance.h"
#include "input/quantity.h"
#include "worksheet/sheet.h"

/* What a key takes, or-ed. */
enum bt_sum_takes {
    BT_TAKES_SHARE = 1 << 0,
    BT_TAKES_MASS = 1 << 1,
    BT_TAKES_RATE = 1 << 2,    /* mass per area */
    BT_TAKES_PER_ROW = 1 << 3, /* mass per length of row */
    BT_TAKES_DENSITY = 1 << 4,
    BT_TAKES_LENGTH = 1 << 5,
    BT_TAKES_AREA = 1 << 6, /* `4 x 8 ft` too */
    BT_TAKES_VOLUME = 1 << 7,
    BT_TAKES_PERCENT = 1 << 8, /* a bare number is in percent */
    BT_TAKES_NUMBER = 1 << 9,  /* a bare number is right */
    BT_TAKES_WORD = 1 << 10,   /* one of `words` */
    BT_TAKES_NAME = 1 << 11,   /* a key of the handbook table `words` */
    BT_TAKES_LABEL = 1 << 12,  /* 5-10-10 */
    BT_TAKES_MANY = 1 << 13,   /* may be numbered: credit1, credit2 ... */
    BT_NEEDED = 1 << 14
};

struct bt_sum_key {
    const char *name;
    unsigned takes;
    const char *words;   /* `yes|no`, or a table's name */
    const char *meaning; /* a line for help */
};

struct bt_desk;

struct bt_sum {
    const char *name;
    const char *summary;          /* a line for the list */
    const char *rule;             /* the arithmetic in words */
    const char *source;           /* ids of sources.csv, or "arithmetic" */
    const struct bt_sum_key *key; /* ended by a NULL name */
    const char *example;          /* what follows the name on a command line */
    void (*build)(struct bt_desk *w);
};

/* All sums, in the order in which they are listed. */
size_t bt_sums(const struct bt_sum *const **out);
/* NULL, with a message that has the nearest names, when there is none such. */
const struct bt_sum *bt_sum_find(struct bt_arena *a, struct bt_diag *d, const char *name);
/* "a mass (lb, oz, kg, g), ..." : what a key takes, for help. */
const char *bt_sum_takes_text(struct bt_arena *a, const struct bt_sum_key *key);

struct bt_sum_given {
    const struct bt_sum_key *key;
    int nth;                   /* 1 for a key without number */
    const char *name;          /* as it is called in the answer: "rate", "credit2" */
    const char *text;          /* as typed */
    const char *word;          /* WORD, NAME: the word or the table's own spelling */
    double label[3];           /* LABEL: shares */
    const char *species, *per; /* of the unit, or NULL */
    struct bt_unit unit;
    bool has_node;
    struct bt_node node;
};

struct bt_sum_result {
    const char *name;
    struct bt_node node;
    const char *unit;        /* in which it is shown */
    double unit_factor;      /* inside = shown * unit_factor */
    struct bt_spread spread; /* inside units; all alike where nothing varies */
    bool varies;
};

struct bt_sum_answer {
    const struct bt_sum *sum;
    struct bt_sheet *sheet;
    size_t n_given;
    const struct bt_sum_given *given;
    size_t n_results;
    struct bt_sum_result *result;
    size_t n_notes;
    const char *const *note; /* sentences: what was taken, what to mind */
    const char *source;      /* the rule's, then those of handbook figures used */
    size_t n_pages; /* named quantities worth a page, results first, with their spreads */
    const struct bt_node *page;
    const struct bt_spread *page_spread;
};

struct bt_sum_means {
    struct bt_arena *arena;
    struct bt_diag *diag;
    const struct bt_units *units;
    const struct bt_handbook *book;
    struct bt_chance_options chance;
    int us_units; /* 1 US, 0 metric, -1 as the values were typed */
};

/* Works a sum out from `n` texts `key=value`. False, with messages, when a key, a value or
 * what they come to is not right. Everything is allocated in m->arena. */
bool bt_sum_work(const struct bt_sum_means *m, const struct bt_sum *sum, size_t n,
                 const char *const *typed, struct bt_sum_answer *out);

#endif
