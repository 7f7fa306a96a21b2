#include "report/doc_markup.h"

#include <stdarg.h>

#include "report/page.h"

#define X(text) ((const xmlChar *)(text))

static void check(struct bt_markup *m, int status)
{
    if (status < 0)
        m->out->failed = true;
}

static void attributes(struct bt_markup *m, va_list pairs)
{
    for (const char *name = va_arg(pairs, const char *); name;
         name = va_arg(pairs, const char *)) {
        const char *value = va_arg(pairs, const char *);
        if (value)
            check(m, xmlTextWriterWriteAttribute(m->writer, X(name),
                                                 X(bt_text_shown(m->arena, value))));
    }
}

void bt_markup_open(struct bt_markup *m, const char *element, ...)
{
    va_list pairs;
    check(m, xmlTextWriterStartElement(m->writer, X(element)));
    va_start(pairs, element);
    attributes(m, pairs);
    va_end(pairs);
}

void bt_markup_close(struct bt_markup *m)
{
    check(m, xmlTextWriterFullEndElement(m->writer));
}

void bt_markup_void(struct bt_markup *m, const char *element, ...)
{
    va_list pairs;
    check(m, xmlTextWriterStartElement(m->writer, X(element)));
    va_start(pairs, element);
    attributes(m, pairs);
    va_end(pairs);
    check(m, xmlTextWriterEndElement(m->writer));
}

void bt_markup_text(struct bt_markup *m, const char *text)
{
    check(m, xmlTextWriterWriteString(m->writer, X(bt_text_shown(m->arena, text))));
}

void bt_markup_leaf(struct bt_markup *m, const char *element, const char *text, ...)
{
    va_list pairs;
    check(m, xmlTextWriterStartElement(m->writer, X(element)));
    va_start(pairs, text);
    attributes(m, pairs);
    va_end(pairs);
    bt_markup_text(m, text);
    bt_markup_close(m);
}
