/* Memory: alignment, mark and release, growth, and what happens when there is none. */
#include <string.h>

#include "base/arena.h"
#include "check.h"

struct escape {
    jmp_buf back;
    size_t calls;
};

static void jump(void *context)
{
    struct escape *e = context;
    e->calls++;
    longjmp(e->back, 1);
}

/* A piece of 64 bytes makes nearly every request a new piece: more of the code is reached.
 */
static size_t chunk_sizes[] = {1, 64, 4096, 1 << 20};

static void aligned_and_apart(void **state)
{
    const size_t chunk = *(const size_t *)*state;
    struct bt_arena *a = bt_arena_new(chunk, NULL, NULL);
    assert_non_null(a);
    unsigned char *block[200];
    for (size_t i = 0; i < 200; i++) {
        block[i] = bt_arena_alloc(a, i);
        assert_int_equal((uintptr_t)block[i] % 64, 0);
        memset(block[i], (int)i, i);
    }
    for (size_t i = 0; i < 200; i++)
        for (size_t j = 0; j < i; j++)
            assert_int_equal(block[i][j], i);
    bt_arena_free(a);
}

static void zeroed(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(4096, NULL, NULL);
    const struct bt_mark mark = bt_arena_mark(a);
    memset(bt_arena_alloc(a, 300), 0xff, 300);
    bt_arena_release(a, mark);
    const unsigned char *z = bt_arena_zero(a, 300); /* the same bytes again */
    for (size_t i = 0; i < 300; i++)
        assert_int_equal(z[i], 0);
    bt_arena_free(a);
}

static void release_gives_back(void **state)
{
    const size_t chunk = *(const size_t *)*state;
    struct bt_arena *a = bt_arena_new(chunk, NULL, NULL);
    char *kept = bt_arena_text(a, "kept");
    const struct bt_mark mark = bt_arena_mark(a);
    const void *first = bt_arena_alloc(a, 32);
    for (int i = 0; i < 50; i++)
        bt_arena_alloc(a, 1000);
    bt_arena_release(a, mark);
    if (chunk >= 4096) /* in one piece the place is used again */
        assert_ptr_equal(bt_arena_alloc(a, 32), first);
    assert_string_equal(kept, "kept");
    bt_arena_free(a);
}

static void texts(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(64, NULL, NULL);
    assert_string_equal(bt_arena_text_n(a, "bean and squash", 4), "bean");
    assert_string_equal(bt_arena_text(a, ""), "");
    assert_string_equal(bt_arena_format(a, "%s: %d", "beds", 8), "beds: 8");
    char long_text[5000];
    memset(long_text, 'x', sizeof long_text - 1);
    long_text[sizeof long_text - 1] = '\0';
    assert_string_equal(bt_arena_format(a, "%s", long_text), long_text);
    bt_arena_free(a);
}

static void grows(void **state)
{
    const size_t chunk = *(const size_t *)*state;
    struct bt_arena *a = bt_arena_new(chunk, NULL, NULL);
    int *item = NULL;
    size_t capacity = 0;
    for (size_t i = 0; i < 10000; i++) {
        item = bt_arena_grow(a, item, &capacity, i, sizeof *item);
        assert_true(capacity > i);
        item[i] = (int)i;
    }
    for (size_t i = 0; i < 10000; i++)
        assert_int_equal(item[i], i);
    assert_ptr_equal(bt_arena_grow(a, item, &capacity, 5, sizeof *item), item);
    bt_arena_free(a);
}

/* Work that asks the system many times. */
static size_t work(struct bt_arena *a)
{
    size_t capacity = 0;
    char **list = NULL;
    for (size_t i = 0; i < 400; i++) {
        list = bt_arena_grow(a, list, &capacity, i, sizeof *list);
        list[i] = bt_arena_format(a, "line %zu", i);
    }
    return strlen(list[399]);
}

static void nth_request_fails(void **state)
{
    (void)state;
    struct escape e = {.calls = 0};
    volatile size_t n = 0;
    volatile size_t length = 0;
    while (!length && n < 1000) {
        n++;
        struct bt_arena *volatile a = bt_arena_new(64, jump, &e);
        bt_arena_fail_at(a, n);
        if (setjmp(e.back) == 0)
            length = work(a);
        bt_arena_free(a); /* whatever happened, nothing leaks */
    }
    assert_int_equal(length, 8);
    assert_true(n > 40); /* each of them failed once */
    assert_int_equal(e.calls, n - 1);
}

/* An arena beside another goes with it, has its handler and is counted with it. */
static void beside(void **state)
{
    (void)state;
    struct escape e = {.calls = 0};
    struct bt_arena *volatile a = bt_arena_new(64, jump, &e);
    struct bt_arena *volatile b = bt_arena_beside(a);
    char *kept = bt_arena_text(a, "kept");
    const struct bt_mark mark = bt_arena_mark(b);
    for (int i = 0; i < 100; i++)
        bt_arena_alloc(b, 100);
    bt_arena_release(b, mark);
    assert_string_equal(kept, "kept");
    bt_arena_fail_at(a, 1);
    if (setjmp(e.back) == 0)
        bt_arena_alloc(b, 1000);
    bt_arena_fail_at(b, 1);
    if (setjmp(e.back) == 0)
        bt_arena_beside(a);
    assert_int_equal(e.calls, 2);
    assert_non_null(bt_arena_beside(b));
    bt_arena_free(a);
}

static void too_much(void **state)
{
    (void)state;
    static const size_t sizes[] = {SIZE_MAX, SIZE_MAX / 2, SIZE_MAX - 64};
    struct escape e = {.calls = 0};
    struct bt_arena *a = bt_arena_new(64, jump, &e);
    volatile size_t i = 0;
    for (i = 0; i < 3; i++)
        if (setjmp(e.back) == 0)
            bt_arena_alloc(a, sizes[i]);
    size_t capacity = 0;
    if (setjmp(e.back) == 0)
        bt_arena_grow(a, NULL, &capacity, SIZE_MAX / 8, 16);
    assert_int_equal(e.calls, 4);
    assert_string_equal(bt_arena_text(a, "still good"), "still good");
    bt_arena_free(a);
}

int main(void)
{
    void *const small = &chunk_sizes[0];
    void *const piece = &chunk_sizes[1];
    void *const page = &chunk_sizes[2];
    void *const large = &chunk_sizes[3];
    const struct CMUnitTest t[] = {
        {"aligned and apart, 1 byte a piece",   aligned_and_apart,  NULL, NULL, small},
        {"aligned and apart, 64 bytes a piece", aligned_and_apart,  NULL, NULL, piece},
        {"aligned and apart, large pieces",     aligned_and_apart,  NULL, NULL, large},
        cmocka_unit_test(zeroed),
        {"release gives back, small pieces",    release_gives_back, NULL, NULL, piece},
        {"release gives back, pages",           release_gives_back, NULL, NULL, page },
        {"release gives back, one piece",       release_gives_back, NULL, NULL, large},
        cmocka_unit_test(texts),
        {"grows, small pieces",                 grows,              NULL, NULL, piece},
        {"grows, one piece",                    grows,              NULL, NULL, large},
        cmocka_unit_test(nth_request_fails),
        cmocka_unit_test(beside),
        cmocka_unit_test(too_much),
    };
    return cmocka_run_group_tests_name("base_arena", t, NULL, NULL) != 0;
}
