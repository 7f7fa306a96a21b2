/* The budget of one bed: its worksheet and, for each nutrient, the lines that add up. Built
 * by src/model/season.c, drawn by src/chance, shown by src/report. */
#ifndef BT_MODEL_BUDGET_H
#define BT_MODEL_BUDGET_H

#include <stdbool.h>
#include <stddef.h>

#include "input/garden.h"
#include "worksheet/sheet.h"

enum bt_nutrient { BT_N, BT_P2O5, BT_K2O, BT_NUTRIENTS };
enum bt_side { BT_SUPPLY, BT_DEMAND };

/* One line of an account: a season's total [g/m2] and the share of it that is there (or
 * needed) by each date of the account. Tie-up is a supply line below zero. */
struct bt_line {
    const char *id;    /* "need/A1/sweet corn", "supply/A1/soil organic matter" */
    const char *label; /* "need of sweet corn" */
    enum bt_side side;
    struct bt_node node;
    const double *by_date;              /* n_dates shares, 0 .. 1, rising */
    bool planned;                       /* rests on an addition that is only planned */
    bool advised;                       /* ... or on one from a plan file */
    const struct bt_planting *planting; /* demand lines: whose; else NULL */
    /* Supply lines that come from a planting or an addition: which ("hairy vetch, turned in
     * 25 April"), and the day on which that was sown or spread. NULL for soil, water, rain.
     */
    const char *origin;
    int came;
    const struct bt_application *addition; /* supply lines: whose; else NULL */
    const struct bt_planting *from;        /* supply lines: whose residue; else NULL */
};

/* What stands beside the sums of P2O5 and K2O. g/m2 of bed, or years; named nodes, each of
 * which `why` opens. */
enum bt_beside {
    BT_REMOVAL,      /* carried off by the season's harvests */
    BT_LOAD_ADDED,   /* over all seasons on record, in full, not only what is available */
    BT_LOAD_REMOVED, /* ... carried off over them */
    BT_YEARS_BY_REMOVAL, /* what is in stock above the line, by excess over removal */
    BT_YEARS_BY_FALL,    /* ... by the fall of tests, so much content a year */
    BT_YEARS_BY_DECLINE, /* ... so many percent a year */
    BT_BESIDES
};
enum bt_need_by { BT_BY_NOTHING, BT_BY_ADVICE, BT_BY_WORD, BT_BY_CONTENT };

struct bt_stock {
    enum bt_need_by need_by;
    const char *rating; /* class of the soil, "above optimum"; NULL when not known */
    bool is_full;       /* rated very high, or above what crops use and nothing is needed */
    bool is_below;      /* the soil is rated below optimum, or advice without a rating */
    int first_season, last_season; /* on record */
    bool has[BT_BESIDES];
    struct bt_node node[BT_BESIDES]; /* where `has` */
    double line_frac; /* content of the element above which nothing is needed */
};

/* The account of one nutrient in one bed.
 *   have(t) = sum supply_k by_date_k(t)    need(t) = sum demand_i by_date_i(t)
 *   tightest = min over dates of have - need; balance = at the last date */
struct bt_account {
    enum bt_nutrient nutrient;
    bool known; /* false: no need can be stated (P2O5, K2O without a test) */
    size_t n_dates;
    const int *date; /* days, rising; the first is the start of the account */
    size_t n_lines;
    const struct bt_line *line;
    struct bt_node required, supply, balance; /* sums over the lines */
    struct bt_node left;          /* left in the soil at the end [g/m2], N only */
    double left_limit_g_m2;       /* above which leaching is a worry */
    const struct bt_stock *stock; /* P2O5, K2O; NULL for N */
};

/* Facts about a planting that readers ask for beside the lines. */
struct bt_planting_facts {
    const struct bt_planting *planting;
    double density;       /* d: share of a full sole stand */
    double stand_area_m2; /* "counts as N sq ft of a full stand" */
    struct bt_node relative_yield, uptake, recovery, required;
    bool is_legume;
    struct bt_node plant_n, ndfa, fixed, harvested, transfer,
        residue;         /* legumes; g/m2 and share */
    struct bt_node draw; /* legumes: what the neighbours feel, g/m2 */
};

/* What is asked about a legume: named nodes, each of which `why` opens. g/m2 of bed, or a
 * share. */
enum bt_legume_quantity {
    BT_LEGUME_PLANT_N,     /* in the whole plant */
    BT_LEGUME_SHARE_FIXED, /* of that, from the air */
    BT_LEGUME_FIXED,
    BT_LEGUME_OUT, /* the three ways of what is fixed, which add up to it: with the harvest,
                    */
    BT_LEGUME_PASSED_ON, /* to the neighbours while it grows, */
    BT_LEGUME_LEFT,      /* in residue and roots */
    BT_LEGUME_OUT_SHARE, /* the same as shares of what is fixed */
    BT_LEGUME_PASSED_SHARE,
    BT_LEGUME_LEFT_SHARE,
    BT_LEGUME_DRAW,      /* what the neighbours feel of it in the ground */
    BT_LEGUME_MET,       /* share of its neighbours' need, taken together, that it meets */
    BT_LEGUME_SPARED,    /* plant N . (share fixed in company - alone) */
    BT_LEGUME_NON_FIXER, /* a substitution: how much more the bed would have to find if a
                            plant of equal uptake that fixes nothing stood in its place */
    BT_LEGUME_NET,       /* fixed less all that leaves with the harvest */
    BT_LEGUME_NET_CLEARED, /* ... and less the residue, where it is cleared off the bed */
    BT_LEGUME_RESIDUE_NOW, /* what its residue gives after it is cut, in this account */
    BT_LEGUME_NEXT_SEASON, /* what its residue gives in next season's account */
    BT_LEGUME_LATER,       /* both */
    BT_LEGUME_QUANTITIES
};

/* One that stands beside a legume and is none itself. */
struct bt_neighbour_facts {
    const struct bt_planting *planting;
    struct bt_node whole_need; /* with nothing passed on */
    struct bt_node met;        /* of that, by this legume while it grows */
    struct bt_node met_share;
};

struct bt_legume_facts {
    const struct bt_planting *planting;
    double density; /* share of a full sole stand */
    bool has[BT_LEGUME_QUANTITIES];
    struct bt_node node[BT_LEGUME_QUANTITIES]; /* where `has` */
    size_t n_neighbours;
    const struct bt_neighbour_facts *neighbour;
};

/* What stands in for something left blank: a sentence, or a leaf, whose figures the
 * reader's page puts into the reader's units. */
struct bt_assumption {
    const char *sentence;       /* NULL where there is a leaf */
    const struct bt_leaf *leaf; /* NULL where there is a sentence */
};

/* What can hurt somebody, or a bed, and is said before all else. */
enum bt_alert_kind { BT_ALERT_PICKING, BT_ALERT_METAL, BT_ALERT_DOSE };
struct bt_alert {
    enum bt_alert_kind kind;
    const char *brief; /* for a line of the first screen, without a full stop */
    const char *text;  /* sentences, the brief words first */
};

struct bt_budget {
    const struct bt_garden *garden;
    const struct bt_bed *bed;
    struct bt_sheet *sheet;
    size_t n_accounts;
    struct bt_account account[BT_NUTRIENTS];
    size_t n_plantings;
    const struct bt_planting_facts *planting;
    size_t n_legumes; /* those of the account */
    const struct bt_legume_facts *legume;
    size_t n_understood;
    const char *const *understood; /* sentences */
    size_t n_assumed;
    const struct bt_assumption *assumed;
    size_t n_alerts;
    const struct bt_alert *alert;
    size_t n_cautions;
    const struct bt_caution *const *caution;
    size_t n_read; /* rows of the handbook that decide or time something but are no leaf */
    const struct bt_row *const *read;
    /* Does it look right? What guides would advise on ordinary soil, and what the crops
     * need beyond what the soil gives; g N/m2, 0 and 0 where guides say nothing. */
    double guide_rate_g_m2, beyond_soil_g_m2;
    const char *nitrate_note;           /* "reset by the test of 12 June", or NULL */
    const struct bt_handbook *handbook; /* for what is asked after the draws; may be NULL */
};

#endif
