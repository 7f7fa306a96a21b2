/* One page of working, as lines; private to the room. */
#ifndef BT_REPORT_WHY_PAGE_H
#define BT_REPORT_WHY_PAGE_H

#include "report/working.h"

enum { BT_WHY_LINES = 13 }; /* a page is never longer */

size_t bt_why_page_lines(const struct bt_show *w, const struct bt_why *y,
                         struct bt_node page, char ***out_lines);

#endif
