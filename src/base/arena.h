/* The memory of one run. Everything a run allocates lives in one arena and is freed with
 * it; a mark taken before a bed and released after it keeps memory flat. Out of memory
 * leaves by the handler, which must not return: no other function tests for it. */
#ifndef BT_BASE_ARENA_H
#define BT_BASE_ARENA_H

#include <stdarg.h>
#include <stddef.h>

struct bt_arena;

struct bt_mark {
    void *chunk;
    size_t used;
};

/* A new arena that takes memory from the system in pieces of `chunk_size` bytes.
 * `oom(context)` is called when there is no more and must not return (exit, longjmp). NULL
 * when even the first piece cannot be had. */
struct bt_arena *bt_arena_new(size_t chunk_size, void (*oom)(void *context), void *context);
void bt_arena_free(struct bt_arena *a);

/* Leaves by the handler: for memory that something else could not get. */
_Noreturn void bt_arena_leave(struct bt_arena *a);

/* A second arena with the same chunk size and handler, freed with the first: for what comes
 * and goes (marks) beside what stays. */
struct bt_arena *bt_arena_beside(struct bt_arena *a);

/* `size` bytes aligned to 64, never NULL. `bt_arena_zero` sets them to 0. */
void *bt_arena_alloc(struct bt_arena *a, size_t size);
void *bt_arena_zero(struct bt_arena *a, size_t size);

/* Copies of text, ended by NUL, at any address. */
char *bt_arena_text(struct bt_arena *a, const char *text);
char *bt_arena_text_n(struct bt_arena *a, const char *text, size_t length);
char *bt_arena_format(struct bt_arena *a, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
char *bt_arena_vformat(struct bt_arena *a, const char *format, va_list args)
    __attribute__((format(printf, 2, 0)));

/* `items` grown so that it holds at least `n + 1` items of `size` bytes; *capacity is kept
 * by the caller and starts at 0. Returns the array, moved or not. */
void *bt_arena_grow(struct bt_arena *a, void *items, size_t *capacity, size_t n,
                    size_t size);

/* What was allocated after the mark is given back by the release. */
struct bt_mark bt_arena_mark(struct bt_arena *a);
void bt_arena_release(struct bt_arena *a, struct bt_mark mark);

/* For tests: of the pieces asked of the system from now on, the nth (from 1) is refused as
 * if there were no memory; 0 for none. Arenas beside each other count together. */
void bt_arena_fail_at(struct bt_arena *a, size_t nth);

#endif
