#define _DEFAULT_SOURCE /* madvise; NOLINT: the C library reads this name */
#include "base/arena.h"

#include <assert.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <sys/mman.h>

#define ALIGN     ((size_t)64)
#define HUGE_PAGE ((size_t)1 << 21)

struct chunk {
    struct chunk *next; /* older */
    size_t capacity;
    size_t used;
};

struct bt_arena {
    struct chunk *top;   /* newest */
    struct chunk *spare; /* released pieces of the usual size, to be used again: giving them
                            back would cost a page fault for every page, bed after bed */
    size_t chunk_size;
    void (*oom)(void *context);
    void *context;
    struct bt_arena *beside; /* freed with this one */
    struct bt_arena *first;  /* the one beside which this was made, or itself */
    size_t fail_at;          /* of the first, for tests: requests to the system left until
                                one fails; 0 for never */
};

static size_t up(size_t n)
{
    return (n + ALIGN - 1) & ~(ALIGN - 1);
}

void bt_arena_leave(struct bt_arena *a)
{
    if (a->oom)
        a->oom(a->context);
    abort(); /* the handler returned: nothing sensible is left */
}

/* What is large lies on huge pages where Linux gives them: one page fault for 512. */
static void *ask_system(size_t size)
{
    const bool is_large = size >= HUGE_PAGE;
    void *p = NULL;
    if (posix_memalign(&p, is_large ? HUGE_PAGE : ALIGN, size) != 0)
        return NULL;
#ifdef MADV_HUGEPAGE
    if (is_large)
        (void)madvise(p, size, MADV_HUGEPAGE); /* advice: that it fails does no harm */
#endif
    return p;
}

static struct chunk *chunk_new(struct bt_arena *a, size_t capacity)
{
    if (a->spare && capacity == a->chunk_size) {
        struct chunk *c = a->spare;
        a->spare = c->next;
        c->next = a->top;
        c->used = 0;
        return c;
    }
    if (a->first->fail_at && --a->first->fail_at == 0)
        return NULL;
    struct chunk *c = ask_system(up(sizeof *c) + capacity);
    if (c)
        *c = (struct chunk){.next = a->top, .capacity = capacity};
    return c;
}

static struct bt_arena *make(struct bt_arena like, struct bt_arena *first)
{
    struct bt_arena *a = malloc(sizeof *a);
    if (!a)
        return NULL;
    *a = like;
    a->first = first ? first : a;
    a->top = chunk_new(a, a->chunk_size);
    if (!a->top) {
        free(a);
        return NULL;
    }
    return a;
}

struct bt_arena *bt_arena_new(size_t chunk_size, void (*oom)(void *context), void *context)
{
    const struct bt_arena like = {
        .chunk_size = up(chunk_size ? chunk_size : 1), .oom = oom, .context = context};
    return make(like, NULL);
}

void bt_arena_free(struct bt_arena *a)
{
    if (!a)
        return;
    bt_arena_free(a->beside);
    bt_arena_release(a, (struct bt_mark){NULL, 0});
    while (a->spare) {
        struct chunk *next = a->spare->next;
        free(a->spare);
        a->spare = next;
    }
    free(a);
}

struct bt_arena *bt_arena_beside(struct bt_arena *a)
{
    const struct bt_arena like = {.chunk_size = a->chunk_size,
                                  .oom = a->oom,
                                  .context = a->context,
                                  .beside = a->beside};
    struct bt_arena *made = make(like, a->first);
    if (!made)
        bt_arena_leave(a);
    a->beside = made;
    return made;
}

void bt_arena_fail_at(struct bt_arena *a, size_t nth)
{
    a->first->fail_at = nth;
}

/* `size` bytes at a multiple of `align`, a power of 2 up to ALIGN. */
static void *take(struct bt_arena *a, size_t size, size_t align)
{
    /* Sizes no system can give are sent to the handler before they can overflow. */
    if (size > SIZE_MAX / 4)
        bt_arena_leave(a);
    struct chunk *c = a->top;
    size_t start = c ? (c->used + align - 1) & ~(align - 1) : 0;
    if (!c || start > c->capacity || size > c->capacity - start) {
        c = chunk_new(a, size > a->chunk_size ? up(size) : a->chunk_size);
        if (!c)
            bt_arena_leave(a);
        a->top = c;
        start = 0;
    }
    c->used = start + size;
    return (char *)c + up(sizeof *c) + start;
}

void *bt_arena_alloc(struct bt_arena *a, size_t size)
{
    return take(a, size ? size : 1, ALIGN);
}

void *bt_arena_zero(struct bt_arena *a, size_t size)
{
    return memset(bt_arena_alloc(a, size), 0, size);
}

char *bt_arena_text(struct bt_arena *a, const char *text)
{
    return bt_arena_text_n(a, text, strlen(text));
}

char *bt_arena_text_n(struct bt_arena *a, const char *text, size_t length)
{
    if (length == SIZE_MAX)
        bt_arena_leave(a);
    char *copy = take(a, length + 1, 1);
    memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

char *bt_arena_format(struct bt_arena *a, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    char *text = bt_arena_vformat(a, format, args);
    va_end(args);
    return text;
}

char *bt_arena_vformat(struct bt_arena *a, const char *format, va_list args)
{
    assert(format);
    va_list again;
    va_copy(again, args);
    const int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    if (length < 0) /* a text longer than INT_MAX, or no memory inside the C library */
        bt_arena_leave(a);
    char *text = take(a, (size_t)length + 1, 1);
    (void)vsnprintf(text, (size_t)length + 1, format, args);
    return text;
}

void *bt_arena_grow(struct bt_arena *a, void *items, size_t *capacity, size_t n,
                    size_t size)
{
    if (n < *capacity)
        return items;
    if (n > SIZE_MAX / 4 || (size && n + 1 > SIZE_MAX / 4 / size))
        bt_arena_leave(a);
    const size_t doubled = 2 * *capacity;
    size_t wanted = n + 1 > doubled ? n + 1 : doubled;
    if (wanted < 8)
        wanted = 8;
    if (size && wanted > SIZE_MAX / 4 / size)
        wanted = n + 1;
    void *grown = bt_arena_alloc(a, wanted * size);
    if (*capacity)
        memcpy(grown, items, *capacity * size);
    *capacity = wanted;
    return grown;
}

struct bt_mark bt_arena_mark(struct bt_arena *a)
{
    return (struct bt_mark){a->top, a->top->used};
}

/* Under the address sanitizer memory is really freed, so that use after release is seen. */
#if defined __SANITIZE_ADDRESS__
#define KEEP_SPARE false
#elif defined __has_feature
#if __has_feature(address_sanitizer)
#define KEEP_SPARE false
#endif
#endif
#ifndef KEEP_SPARE
#define KEEP_SPARE true
#endif

void bt_arena_release(struct bt_arena *a, struct bt_mark mark)
{
    while (a->top && a->top != mark.chunk) {
        struct chunk *older = a->top->next;
        if (KEEP_SPARE && a->top->capacity == a->chunk_size) {
            a->top->next = a->spare;
            a->spare = a->top;
        } else {
            free(a->top);
        }
        a->top = older;
    }
    if (a->top)
        a->top->used = mark.used;
}
