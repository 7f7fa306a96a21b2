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

/* Hebrew, Arabic and their kin: lead bytes D6 to DF, and E0 A0..A3, EF AC..BB. */
const char *bt_markup_direction(const char *text)
{
    for (const unsigned char *s = (const unsigned char *)text; *s; s++)
        if ((s[0] >= 0xD6 && s[0] <= 0xDF) ||
            (s[0] == 0xE0 && s[1] >= 0xA0 && s[1] <= 0xA3) ||
            (s[0] == 0xEF && s[1] >= 0xAC && s[1] <= 0xBB))
            return "auto";
    return NULL;
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
