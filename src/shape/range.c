/* Ranges as stated: an exact value, two ends, or two ends and a likely value. */
#include "shape/range.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

enum { LOGNORMAL_RATIO = 4 }; /* docs/model.md, "Ranges": our judgement */

struct bt_range bt_range_exact(double value)
{
    return (struct bt_range){.low = value,
                             .likely = value,
                             .high = value,
                             .has_likely = true,
                             .ends = BT_BOUNDS,
                             .form = BT_FORM_CONSTANT};
}

struct bt_range bt_range_of(double low, double likely, double high, enum bt_ends ends)
{
    return (struct bt_range){.low = low,
                             .likely = likely,
                             .high = high,
                             .has_likely = true,
                             .ends = ends,
                             .form = BT_FORM_AUTO};
}

struct bt_range bt_range_two(double low, double high, enum bt_ends ends)
{
    struct bt_range r = bt_range_of(low, low + (high - low) / 2, high, ends);
    r.has_likely = false;
    if (bt_range_form(&r) == BT_FORM_LOGNORMAL)
        r.likely = sqrt(low) * sqrt(high);
    return r;
}

enum bt_form bt_range_form(const struct bt_range *r)
{
    if (bt_range_is_exact(r))
        return BT_FORM_CONSTANT;
    if (r->form != BT_FORM_AUTO)
        return r->form;
    if (r->has_likely)
        return BT_FORM_PERT;
    if (r->ends == BT_BOUNDS)
        return BT_FORM_UNIFORM;
    return r->low > 0 && r->high > LOGNORMAL_RATIO * r->low ? BT_FORM_LOGNORMAL
                                                            : BT_FORM_PERT;
}

struct bt_range bt_range_shaped(struct bt_range r, enum bt_form form)
{
    if (form == BT_FORM_AUTO || bt_range_is_exact(&r))
        return r;
    r.form = form;
    if (!r.has_likely)
        r.likely = form == BT_FORM_LOGNORMAL && r.low > 0 ? sqrt(r.low) * sqrt(r.high)
                                                          : r.low + (r.high - r.low) / 2;
    return r;
}

/* ---- words -------------------------------------------------------------------------- */

static const struct word {
    const char *text;
    enum bt_form form; /* AUTO: a word of the ends */
} words[] = {
    {"triangular", BT_FORM_TRIANGULAR      },
    {"pert",       BT_FORM_PERT            },
    {"uniform",    BT_FORM_UNIFORM         },
    {"lognormal",  BT_FORM_LOGNORMAL       },
    {"normal",     BT_FORM_TRUNCATED_NORMAL},
    {"bounds",     BT_FORM_AUTO            },
};

/* The word that ends the first `length` bytes, with a blank or nothing before it. */
static const struct word *last_word(const char *text, size_t length)
{
    for (size_t k = 0; k < sizeof words / sizeof words[0]; k++) {
        const size_t n = strlen(words[k].text);
        if (length < n || (length > n && text[length - n - 1] != ' '))
            continue;
        char word[16] = "";
        memcpy(word, text + length - n, n);
        if (bt_text_is(word, words[k].text))
            return &words[k];
    }
    return NULL;
}

size_t bt_range_words(const char *text, enum bt_form *form, enum bt_ends *ends)
{
    size_t length = strlen(text);
    bool has_shape = false;
    for (const struct word *w = last_word(text, length); w; w = last_word(text, length)) {
        if (w->form != BT_FORM_AUTO && has_shape)
            break; /* two shapes: which was meant? */
        if (w->form == BT_FORM_AUTO)
            *ends = BT_BOUNDS;
        else
            *form = w->form;
        has_shape = has_shape || w->form != BT_FORM_AUTO;
        length -= strlen(w->text);
        while (length > 0 && text[length - 1] == ' ')
            length--;
    }
    return length;
}

const char *bt_form_word(enum bt_form form)
{
    for (size_t k = 0; k < sizeof words / sizeof words[0]; k++)
        if (words[k].form == form && form != BT_FORM_AUTO)
            return words[k].text;
    return "";
}

bool bt_range_is_exact(const struct bt_range *r)
{
    return r->form == BT_FORM_CONSTANT || !(r->low < r->high);
}

struct bt_range bt_range_scaled(struct bt_range r, double factor)
{
    const double low = r.low * factor;
    const double high = r.high * factor;
    r.low = factor < 0 ? high : low;
    r.high = factor < 0 ? low : high;
    r.likely *= factor;
    return r;
}
