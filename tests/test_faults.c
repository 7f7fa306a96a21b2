/* Memory that ends: the n-th piece of memory is refused until a run needs no more: the
 * first twenty one by one, then with growing steps; FAULTS=all tries each. Each time the
 * run leaves by the handler, from wherever it was. Each try is a process of its own, as the
 * program would be. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "run.h"

#define EXAMPLE "worked-examples/demonstration-garden"
#define CHUNK   ((size_t)1 << 16)
#define MOST    2000 /* tries; a run needs far fewer pieces */

enum { WELL = 0, NO_MEMORY = 3, BAD = 9 };

static void leave(void *context)
{
    (void)context;
    _exit(NO_MEMORY);
}

static void draw_nothing(void *context, const struct bt_run *run,
                         const struct bt_finding *finding)
{
    (void)run;
    (void)finding;
    ++*(size_t *)context;
}

/* The whole way from files to findings, the nth piece refused. */
static void run_with(size_t nth, bool draws)
{
    struct bt_arena *a = bt_arena_new(CHUNK, leave, NULL);
    struct bt_fixes fixes;
    struct bt_run run;
    size_t n = 0;
    if (!a)
        _exit(BAD);
    fixes = (struct bt_fixes){.arena = bt_arena_beside(a)};
    const struct bt_run_options o = {
        .folder = EXAMPLE,
        .garden = {.units = -1,    .fixes = &fixes},
        .chance = {.samples = 256, .seed = 1      },
        .threads = 1
    };
    const struct bt_bed_sink sink = {draw_nothing, &n};
    bt_arena_fail_at(a, nth);
    bool ok = bt_run_open(a, &o, &run);
    ok = ok && (draws ? bt_run_budget(&run, &o, &sink) : bt_run_check(&run, &o, NULL));
    _exit(ok ? WELL : BAD);
}

static int status_of(size_t nth, bool draws)
{
    int status = 0;
    (void)fflush(NULL);
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0)
        run_with(nth, draws);
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status)); /* no crash */
    return WEXITSTATUS(status);
}

static void each_piece_refused(bool draws)
{
    const char *faults = getenv("FAULTS");
    const bool each = faults && strcmp(faults, "all") == 0;
    size_t n = 1, tried = 1;
    int status = status_of(n, draws);
    while (status == NO_MEMORY && n < MOST) {
        n += each || n < 20 ? 1 : n / 8;
        status = status_of(n, draws);
        tried++;
    }
    assert_int_equal(status, WELL);
    assert_true(n > 10); /* else nothing was tried */
    print_message("%zu of %zu pieces of memory refused in turn\n", tried - 1, n - 1);
}

static void while_checking(void **state)
{
    (void)state;
    each_piece_refused(false);
}

static void while_drawing(void **state)
{
    (void)state;
    each_piece_refused(true);
}

int main(void)
{
    const struct CMUnitTest t[] = {cmocka_unit_test(while_checking),
                                   cmocka_unit_test(while_drawing)};
    return cmocka_run_group_tests_name("faults", t, NULL, NULL) != 0;
}
