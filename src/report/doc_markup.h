/* Inside the room: markup through libxml2's writer, which escapes; nothing is escaped by
 * hand. Every element has its full end tag, except those that HTML leaves empty. */
#ifndef BT_REPORT_DOC_MARKUP_H
#define BT_REPORT_DOC_MARKUP_H

#include <libxml/xmlwriter.h>

#include "report/doc.h"

struct bt_markup {
    xmlTextWriterPtr writer;
    struct bt_arena *arena;
    struct bt_out *out;
};

/* `...` are pairs of attribute and value, ended by NULL. */
void bt_markup_open(struct bt_markup *m, const char *element, ...)
    __attribute__((sentinel));
void bt_markup_close(struct bt_markup *m);
/* An element that HTML leaves without an end. */
void bt_markup_void(struct bt_markup *m, const char *element, ...)
    __attribute__((sentinel));
/* Control characters and turning marks become `?`. */
void bt_markup_text(struct bt_markup *m, const char *text);
/* "auto" for a text with letters that run from right to left, else NULL: its `dir`. */
const char *bt_markup_direction(const char *text);
/* An element that holds a text alone. */
void bt_markup_leaf(struct bt_markup *m, const char *element, const char *text, ...)
    __attribute__((sentinel));

/* The style of a page, piece by piece, NULL at the end; in doc_style.c. */
extern const char *const bt_doc_style[];

/* A chart as a figure: a picture with title and description, and its key in words. `nth`
 * makes ids that are unique on the page. */
void bt_markup_chart(struct bt_markup *m, const struct bt_doc_chart *c, size_t nth);

enum { BT_CHART_COLOURS = 8 };

#endif
