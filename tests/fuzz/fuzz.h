/* What the fuzz targets share: an arena that ends the program when memory is out, the
 * units, and a check that says what was broken before it aborts. */
#ifndef BT_TESTS_FUZZ_H
#define BT_TESTS_FUZZ_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "input/decode.h"
#include "input/garden.h"
#include "input/handbook.h"

static inline void fuzz_expect(bool truth, const char *text, const char *file, int line)
{
    if (truth)
        return;
    fprintf(stderr, "%s:%d: not so: %s\n", file, line, text);
    abort();
}
#define EXPECT(truth) fuzz_expect((truth), #truth, __FILE__, __LINE__)

/* The name is libFuzzer's. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t n); /* NOLINT */

static inline void fuzz_no_memory(void *context)
{
    (void)context;
    abort();
}

static inline struct bt_arena *fuzz_arena(void)
{
    struct bt_arena *a = bt_arena_new(1 << 14, fuzz_no_memory, NULL);
    EXPECT(a);
    return a;
}

/* The embedded units and handbook, read once; they live as long as the program. */
struct fuzz_book {
    struct bt_arena *arena;
    struct bt_units *units;
    struct bt_handbook *handbook;
};

static inline const struct fuzz_book *fuzz_book(void)
{
    static struct fuzz_book book;
    if (book.arena)
        return &book;
    size_t n = 0;
    book.arena = fuzz_arena();
    struct bt_diag *d = bt_diag_new(book.arena);
    const char *table = bt_embedded_table("units", &n);
    book.units = bt_units_new(book.arena, d, table, n);
    EXPECT(book.units);
    book.handbook = bt_handbook_load(book.arena, d, book.units, NULL, NULL);
    EXPECT(book.handbook);
    return &book;
}

/* Every message can be printed and says where it is: a file at least, and a line when it
 * is about what stands in it. */
static inline void fuzz_check_messages(struct bt_arena *a, const struct bt_diag *d)
{
    for (size_t i = 0; i < bt_diag_kept(d); i++) {
        const struct bt_message *m = bt_diag_get(d, i);
        EXPECT(m->at.file && *m->at.file);
        EXPECT(m->at.column == 0 || m->at.line > 0);
        EXPECT(!m->found || m->at.line > 0 || (m->field && strcmp(m->field, "file") == 0));
        const struct bt_mark mark = bt_arena_mark(a);
        EXPECT(*bt_message_text(a, m));
        bt_arena_release(a, mark);
    }
}

#endif
