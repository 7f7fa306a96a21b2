/* The main path: handbook, garden, then bed by bed worksheet, draws, findings. */
#ifndef BT_RUN_H
#define BT_RUN_H

#include "chance/chance.h"
#include "input/garden.h"

struct bt_run_options {
    const char *folder;
    const char *tables_dir; /* --tables, or NULL */
    const char *bed;        /* --bed, or NULL for all */
    struct bt_garden_options garden;
    struct bt_chance_options chance;
    int threads; /* 0: as many as there are processors */
};

/* What a run knows before and after the beds. */
struct bt_run {
    struct bt_arena *arena;
    struct bt_diag *diag;
    struct bt_units *units; /* bt_run_close releases it */
    struct bt_handbook *handbook;
    struct bt_garden *garden;
    struct bt_chance_options chance; /* samples as used */
    struct bt_total_finding total[BT_NUTRIENTS];
};

/* Called for every bed, in the order of beds.csv; the finding and its budget are gone
 * afterwards. */
struct bt_bed_sink {
    void (*bed)(void *context, const struct bt_run *run, const struct bt_finding *finding);
    void *context;
};

/* Handbook and garden only. False when there are errors (all in run->diag). */
bool bt_run_open(struct bt_arena *a, const struct bt_run_options *o, struct bt_run *run);
/* Called by bt_run_check for every bed whose worksheet could be built. */
struct bt_check_sink {
    void (*bed)(void *context, const struct bt_run *run, const struct bt_budget *budget);
    void *context;
};

/* Builds every bed's worksheet, draws nothing, but says how ranges are read that do not fit
 * as stated; `sink` may be NULL. False when there are errors. */
bool bt_run_check(struct bt_run *run, const struct bt_run_options *o,
                  const struct bt_check_sink *sink);
/* For samples = BT_SAMPLES_AUTO: doubles from BT_SAMPLES_USUAL until, in every bed asked
 * for, twice the sampling error of the tightest balance's mean, P5 and P95 is below a
 * hundredth of its range P5 to P95, at most BT_SAMPLES_MOST. Sets run->chance.samples;
 * leaves other settings alone and says nothing about the data. `out_worst`: what was
 * reached, the largest of those errors as a share of its range. */
void bt_run_settle(struct bt_run *run, const struct bt_run_options *o, double *out_worst);
/* The answer. False when there are errors. */
bool bt_run_budget(struct bt_run *run, const struct bt_run_options *o,
                   const struct bt_bed_sink *sink);
void bt_run_close(struct bt_run *run);

#endif
