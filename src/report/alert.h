/* What can hurt, and the rules that apply, on the pages of a bed. */
#ifndef BT_REPORT_ALERT_H
#define BT_REPORT_ALERT_H

#include "report/report.h"

/* Above a bed's figures; nothing when there is none. */
void bt_put_alerts(struct bt_out *o, const struct bt_show *w, const struct bt_budget *b);
/* A rule of the whole garden that this page has shown for an earlier bed; marks it. */
bool bt_was_said(const struct bt_show *w, const struct bt_caution *c);

extern const char *const bt_alert_title; /* of a section with what can hurt */

#endif
