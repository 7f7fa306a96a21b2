#include "report/json_put.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* More than ten figures would print the last bit of the machine's own exp and log. */
static const size_t DUMP = JSON_COMPACT | JSON_REAL_PRECISION(10) | JSON_ENCODE_ANY;

json_t *bt_json_number(double value)
{
    return isfinite(value) ? json_real(value == 0 ? 0 : value) : json_null();
}

json_t *bt_json_text(const char *value)
{
    json_t *made = value ? json_string(value) : NULL;
    return made ? made : json_null();
}

json_t *bt_json_texts(size_t n, const char *const *value)
{
    json_t *array = json_array();
    for (size_t k = 0; k < n; k++)
        json_array_append_new(array, bt_json_text(value[k]));
    return array;
}

void bt_json_set_spread(json_t *object, const struct bt_spread *s, double factor)
{
    json_object_set_new(object, "likely", bt_json_number(s->likely * factor));
    json_object_set_new(object, "mean", bt_json_number(s->mean * factor));
    json_object_set_new(object, "p05", bt_json_number(s->p05 * factor));
    json_object_set_new(object, "p50", bt_json_number(s->p50 * factor));
    json_object_set_new(object, "p95", bt_json_number(s->p95 * factor));
}

json_t *bt_json_spread(const struct bt_spread *s, double factor)
{
    json_t *o = json_object();
    bt_json_set_spread(o, s, factor);
    return o;
}

static int put_piece(const char *bytes, size_t n, void *out)
{
    bt_put_bytes(out, bytes, n);
    return 0;
}

void bt_json_put(struct bt_out *o, json_t *value)
{
    if (json_dump_callback(value, put_piece, o, DUMP) != 0)
        o->failed = true;
    json_decref(value);
}

void bt_json_put_head(struct bt_out *o, json_t *head)
{
    char *bytes = json_dumps(head, DUMP);
    json_decref(head);
    if (!bytes) {
        o->failed = true;
        return;
    }
    bt_put_bytes(o, bytes, strlen(bytes) - 1); /* the brace stays open */
    free(bytes);
    bt_put(o, ",\n\"beds\":[");
}
