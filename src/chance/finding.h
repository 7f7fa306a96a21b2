/* What the draws say about one bed: spreads, chances, the course of the season. Plain
 * numbers; the report room turns them into words. */
#ifndef BT_CHANCE_FINDING_H
#define BT_CHANCE_FINDING_H

#include "chance/gauge.h"
#include "model/budget.h"

/* Of a sample: exact order statistics (type 7 between them), shifted moments. */
struct bt_spread {
    double likely; /* at the likely values, not from the sample */
    double mean, sd;
    double p05, p25, p50, p75, p95;
};

/* Standard errors of the sample's answers: of the quantiles by ranks, half the distance of
 * the values sqrt(n p (1 - p)) ranks below and above. */
struct bt_error {
    double mean, p05, p95;
};

struct bt_line_finding {
    const struct bt_line *line;
    struct bt_spread total; /* g/m2, the season's */
    double in_time_share;   /* by_date at the tightest date: in time = total * share */
};

/* The words of the first screen, by the chance of a shortfall that can be seen. */
enum bt_word {
    BT_SHORT,
    BT_PROBABLY_SHORT,
    BT_ENOUGH,
    BT_MORE_THAN_ENOUGH,
    BT_CANT_SAY,
    BT_NO_CROP /* nothing stands in the season, so nothing is needed */
};

/* How much of the doubt about an account's balance one leaf carries: first-order share of
 * the variance of the tightest balance, by given-data binning of the sample at hand
 * (handbook: no extra runs), and the mean balance in the lowest and highest twentieth of
 * the leaf against the overall mean. */
struct bt_driver {
    struct bt_node leaf;
    double share_of_variance;
    double low_effect, high_effect; /* g/m2 */
};

/* What a test, a weighing or a count would do for an account, expected before it is made
 * and allowing for its usual error (worth.h). An analysis that narrows several leaves
 * counts once; what it does by each is taken as independent. */
struct bt_gauge_finding {
    enum bt_gauge gauge;
    struct bt_node leaf;    /* of what it narrows, the weightiest */
    double spread_cut_frac; /* of the standard deviation of the tightest balance */
    double loss_avoided;    /* g/m2: 1 for each too much, more for each missing */
};

struct bt_account_finding {
    const struct bt_account *account;
    size_t n_lines;
    struct bt_line_finding *line;
    struct bt_spread required, supply, balance, tightest, shortfall, surplus,
        left;                            /* g/m2 */
    struct bt_spread beside[BT_BESIDES]; /* of account->stock, where it has them */
    struct bt_error tightest_error;
    int tightest_date;           /* the date most often the lowest, among draws that */
    double tightest_date_chance; /* fall short if one in twenty does; how often it is */
    double chance_of_shortfall;  /* tightest < 0 */
    double chance_of_visible_shortfall; /* shortfall > a tenth of what is required */
    double chance_error;                /* standard error of the latter */
    double chance_left_over_limit;
    double *have, *need; /* means at the account's dates, g/m2 */
    size_t n_drivers;
    struct bt_driver *driver; /* largest share first */
    size_t n_gauges;          /* of the leaves among the drivers that can be measured */
    struct bt_gauge_finding *gauge; /* largest cut first */
    enum bt_word word;
};

struct bt_finding {
    const struct bt_budget *budget;
    struct bt_account_finding account[BT_NUTRIENTS]; /* as many as the budget has */
    /* Spreads of what `budget->planting` names, in that order; NULL fields where it is no
     * legume. */
    struct bt_planting_spread *planting;
};

struct bt_planting_spread {
    struct bt_spread uptake, required;
    struct bt_spread plant_n, ndfa, fixed, harvested, transfer, residue,
        draw;                      /* legumes only */
    double transfer_of_companions; /* mean T over the mean uptake of what grows beside it */
};

/* The garden's totals [g], formed draw by draw in bed order. */
struct bt_total_finding {
    double area_m2;
    struct bt_spread required, supply, balance, shortfall, surplus, left;
};

#endif
