/* The page of a bed's legumes on its way out; private to the room. */
#ifndef BT_REPORT_LEGUMES_PAGE_H
#define BT_REPORT_LEGUMES_PAGE_H

#include "report/legumes.h"

struct bt_legume_page {
    struct bt_out *o;
    const struct bt_show *w;
    const struct bt_legumes_page *p;
    struct bt_on_bed on;
    bool from_nothing; /* what is passed on may be nothing at all */
};

/* A mass per area as the page shows it; P5 and P95; a sentence. */
char *bt_legume_mass(const struct bt_legume_page *p, double mass_g_m2);
char *bt_legume_ends(const struct bt_legume_page *p, const struct bt_spread *s);
void bt_legume_say(const struct bt_legume_page *p, const char *sentence);

/* How many plants it would take; what changes the answer. */
void bt_put_legume_stands(const struct bt_legume_page *p,
                          const struct bt_legume_finding *f);
void bt_put_legume_changes(const struct bt_legume_page *p,
                           const struct bt_legume_finding *f);
/* What earlier years give; nothing is written when they give nothing. */
void bt_put_legume_carried(const struct bt_legume_page *p);
/* The names by which `why` opens the figures. */
void bt_put_legume_names(const struct bt_legume_page *p);

#endif
