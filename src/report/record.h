/* The record of a season: what is kept of each bed while the run goes by, and the documents
 * made of it for those who read them. A bed's finding is gone after its callback, so all
 * that a document may say is copied in bt_record_add; nothing is computed twice. */
#ifndef BT_REPORT_RECORD_H
#define BT_REPORT_RECORD_H

#include "chance/chance.h"
#include "report/doc.h"
#include "report/doubt.h"
#include "report/number.h"
#include "report/origin.h"
#include "report/verdict.h"

/* For whom a document is. */
enum bt_audience {
    BT_FOR_RECORD, /* what was done and how the beds stand */
    BT_FOR_FUNDER, /* deeds alone, with cost and justification */
    BT_FOR_FILE,   /* everything, what to measure and what is planned too */
    BT_FOR_SIGN,
    BT_FOR_VOLUNTEERS,
    BT_AUDIENCES
};
/* "funder" and so on, NULL-ended; in the order of the enum, "record" first. */
extern const char *const bt_audience_words[];

struct bt_record_line {
    const char *label;
    enum bt_side side;
    enum bt_origin origin; /* supply */
    bool planned;          /* or advised */
    struct bt_spread total;
};

struct bt_record_account {
    bool there; /* the budget has the account */
    bool known;
    enum bt_word word;
    struct bt_spread required, supply, balance, tightest, shortfall, surplus, left;
    double chance_of_shortfall, chance_of_visible_shortfall, chance_left_over_limit;
    double left_limit_g_m2;
    int tightest_date;
    size_t n_lines;
    struct bt_record_line *line;
    const char *rating; /* P2O5, K2O: class of the soil, or NULL */
    bool is_full;
    int first_season, last_season;
    bool has[BT_BESIDES];
    struct bt_spread beside[BT_BESIDES];
};

struct bt_record_legume {
    const char *name;
    struct bt_spread plant_n, share_fixed, fixed, out, passed, left;
    double met_frac;   /* of its neighbours' need; 0 without neighbours */
    bool from_nothing; /* what is passed on may be nothing at all */
};

/* A list of texts. */
struct bt_texts {
    size_t n, capacity;
    const char **text;
};

/* One addition on one bed, by the worksheet: fresh mass, nutrients in it and what of them
 * counts in the season, all at the likely values [g on the bed]. */
struct bt_record_share {
    struct bt_pos at; /* of the row of applications.csv */
    unsigned part;
    size_t bed; /* number in the garden */
    double fresh_g, total_n_g, available_n_g, available_p2o5_g;
    double fresh_low_g, fresh_high_g;
    const char *source; /* of the availability used, with its mark; or NULL */
};

struct bt_record_bed {
    const struct bt_bed *bed;
    size_t number; /* in the garden */
    struct bt_record_account account[BT_NUTRIENTS];
    const char *action;
    double planned_frac;
    bool has_gap;
    struct bt_spread of[BT_ORIGINS]; /* N g/m2: what there is, by where it comes from */
    struct bt_spread already;        /* all of it but what was brought in */
    struct bt_spread gap;            /* need less that */
    size_t n_legumes;
    struct bt_record_legume *legume;
    struct bt_texts alerts; /* what can hurt; first what whoever picks must know */
    size_t n_for_pickers;
    struct bt_texts plantings, understood, assumed, checks, cautions, measure, doubt;
    const char *nitrate_note;
};

/* What is summed over the beds, draw by draw [g of N]. */
enum bt_record_sum {
    BT_SUM_ORIGIN,                               /* the first of BT_ORIGINS */
    BT_SUM_ALREADY = BT_SUM_ORIGIN + BT_ORIGINS, /* ... but what was brought in */
    BT_SUM_GAP,    /* the gaps alone: what one bed has too much feeds no other */
    BT_SUM_NEEDED, /* of the beds whose gap is known */
    BT_RECORD_SUMS
};

/* Sources of what only some readers are told: counted when it is written. */
struct bt_record_mentions {
    size_t n, capacity;
    struct bt_record_mention {
        const char *id;
        enum bt_seen seen;
    } * mention;
};

/* A source that figures of this run came from. */
struct bt_record_source {
    const char *id;
    size_t n[BT_JUDGEMENT + 1]; /* figures by their mark */
};

struct bt_record {
    struct bt_arena *kept;
    const struct bt_garden *garden;
    const struct bt_handbook *handbook;
    struct bt_chance_options chance;
    struct bt_shapes *shapes;
    const char *version;
    size_t n_beds, bed_capacity;
    struct bt_record_bed *bed;
    size_t n_shares, share_capacity;
    struct bt_record_share *share;
    size_t n_sources, source_capacity;
    struct bt_record_source *source;
    struct bt_record_mentions of_cautions, of_measuring;
    double *sum_g[BT_RECORD_SUMS]; /* whole columns of draws; NULL before the first bed */
    double sum_likely_g[BT_RECORD_SUMS];
    size_t n_stated; /* figures that are the grower's own */
    struct bt_total_finding total[BT_NUTRIENTS];
    struct bt_verdict *verdict;
    struct bt_doubt *doubt;
    /* record_parts.h; NULL when they were not asked for */
    struct bt_doc *plan, *legumes, *compared;
    struct bt_doc_table *plan_table; /* of all beds */
    struct bt_texts plan_cautions;   /* each once */
};

/* `kept` must not be released between beds. */
struct bt_record *bt_record_new(struct bt_arena *kept, const struct bt_garden *g,
                                const struct bt_handbook *h,
                                const struct bt_chance_options *o, const char *version);
void bt_record_add(struct bt_record *r, const struct bt_show *w,
                   const struct bt_finding *f);
/* The document for somebody, once all beds and the totals are there. */
struct bt_doc *bt_record_document(struct bt_record *r, const struct bt_show *w,
                                  enum bt_audience audience);

/* ---- shared by the files of this header ---- */

struct bt_desk_of { /* what the makers of sections pass around */
    struct bt_record *record;
    const struct bt_show *show;
    struct bt_doc *doc;
    enum bt_audience audience;
};

/* record_collect.c: a copy of the text into a list, once. */
void bt_record_keep_once(struct bt_record *r, struct bt_texts *list, const char *text);

/* record_collect.c: the sum over the beds [g], 0 where none has a gap that is known. */
struct bt_spread bt_record_sum(const struct bt_record *r, enum bt_record_sum what);

/* record_source.c: the leaves below the lines of a bed and what is said beside them, into
 * the list of sources; those below all that is worked out of its legumes; a single one. */
void bt_record_add_sources(struct bt_record *r, const struct bt_budget *b);
void bt_record_add_legume_sources(struct bt_record *r, const struct bt_budget *b);
void bt_record_add_source(struct bt_record *r, const char *id, enum bt_seen seen);
/* What the doubt shown of an account says can be measured: how far off that usually is. */
void bt_record_mention_gauges(struct bt_record *r, const struct bt_budget *b,
                              const struct bt_account_finding *x);
void bt_record_count_mentions(struct bt_record *r, const struct bt_record_mentions *m);
void bt_record_put_sources(const struct bt_desk_of *t);

/* record_bed.c: what can hurt, bed by bed; nothing where there is none. */
void bt_record_put_alerts(const struct bt_desk_of *t);

/* record_deeds.c: additions, what they were for and what they cost. */
struct bt_cost {
    bool known;
    bool is_gift;     /* `money` is what it is worth; nothing was paid */
    double money;     /* of what was used, unit-free */
    double quantity;  /* unit-free: how many of `unit` were used; NaN when not known */
    const char *unit; /* "cu yd", "40 lb" */
    double each;      /* unit-free: money for one of them; NaN when there is no price */
    const char *from; /* receipt, supplier or materials.csv, "" */
};
struct bt_cost bt_deed_cost(const struct bt_desk_of *t, const struct bt_application *x);
/* How it came into the garden. */
enum bt_way_in { BT_WAY_BOUGHT, BT_WAY_GIVEN, BT_WAY_INSIDE };
enum bt_way_in bt_deed_way(const struct bt_desk_of *t, const struct bt_application *x);
/* Sum of a share over its beds; NULL when the worksheet has none. */
bool bt_deed_sums(const struct bt_record *r, const struct bt_application *x,
                  struct bt_record_share *out);
const char *bt_deed_beds(const struct bt_desk_of *t, const struct bt_application *x);
const char *bt_money(const struct bt_desk_of *t, double money);
const char *bt_deed_name(const struct bt_application *x);
/* Whether it was done in the season. */
bool bt_deed_counts(const struct bt_desk_of *t, const struct bt_application *x);
double bt_deed_volume_m3(const struct bt_desk_of *t, const struct bt_application *x);
void bt_record_put_deeds(const struct bt_desk_of *t);
void bt_record_put_cost(const struct bt_desk_of *t);
void bt_record_put_purchases(const struct bt_desk_of *t);
void bt_record_put_harvests(const struct bt_desk_of *t);

/* record_bed.c */
void bt_record_put_bed(const struct bt_desk_of *t, const struct bt_record_bed *b);
/* record_soil.c */
void bt_record_put_tests(const struct bt_desk_of *t);
void bt_record_put_not_bought(const struct bt_desk_of *t);
/* record_words.c: the summary, and the texts for a form, counted. */
void bt_record_put_summary(const struct bt_desk_of *t);
void bt_record_put_justification(const struct bt_desk_of *t);
/* record_funder.c, record_sign.c, record_volunteers.c */
void bt_record_funder(const struct bt_desk_of *t);
void bt_record_sign(const struct bt_desk_of *t);
void bt_record_volunteers(const struct bt_desk_of *t);

#endif
