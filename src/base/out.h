/* Output with a sticky error: write freely, ask once at the end. A file is written beside
 * its target and renamed when it is whole, so a target is never half written. */
#ifndef BT_BASE_OUT_H
#define BT_BASE_OUT_H

#include <stdbool.h>
#include <stdio.h>

#include "base/arena.h"

struct bt_out {
    FILE *f;
    bool failed;
    int error;          /* errno of the first failure */
    const char *target; /* NULL for a stream that is not ours */
    char *temporary;
};

/* A stream that the caller owns (stdout). */
struct bt_out bt_out_stream(FILE *f);
/* A file to be written whole. With `force` false an existing target is refused (EEXIST). On
 * failure `failed` is set and `error` says why. */
struct bt_out bt_out_file(struct bt_arena *a, const char *target, bool force);

/* The file that a path leads to when it is a link, there or not; else the path itself. */
const char *bt_out_behind(struct bt_arena *a, const char *path);

void bt_put(struct bt_out *o, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void bt_put_bytes(struct bt_out *o, const void *bytes, size_t n);

/* Flushes; for a file: closes it and renames it to the target, or removes it if anything
 * failed. True when all that was written has arrived. */
bool bt_out_done(struct bt_out *o);

#endif
