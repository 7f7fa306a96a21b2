/* Output with a sticky error: write freely, ask once at the end. What is meant for a file
 * waits in memory until it is whole, goes beside its target and then takes its place, so a
 * target is never half written and a run that is ended leaves nothing behind. */
#ifndef BT_BASE_OUT_H
#define BT_BASE_OUT_H

#include <stdbool.h>
#include <stdio.h>

#include "base/arena.h"

struct bt_out {
    FILE *f;
    bool failed;
    int error;          /* errno of the first failure */
    const char *target; /* links followed; NULL for a stream that is not ours */
    char *temporary;    /* the file beside it; NULL for a device, which is written to */
    bool force;
    struct bt_out_waiting *waiting; /* what is to go into it */
};

/* A stream that the caller owns (stdout). */
struct bt_out bt_out_stream(FILE *f);
/* A file to be written whole. With `force` false an existing target is refused (EEXIST),
 * also one that came while this was written; with `force` it keeps its mode. A link stays a
 * link: what it leads to is written. On failure `failed` is set and `error` says why.
 * bt_out_done must follow. */
struct bt_out bt_out_file(struct bt_arena *a, const char *target, bool force);

/* The file that a path leads to when it is a link, there or not; else the path itself. */
const char *bt_out_behind(struct bt_arena *a, const char *path);

void bt_put(struct bt_out *o, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void bt_put_bytes(struct bt_out *o, const void *bytes, size_t n);

/* Flushes; for a file: writes it whole and puts it in the target's place, or leaves nothing
 * if anything failed. True when all that was written has arrived. */
bool bt_out_done(struct bt_out *o);

#endif
