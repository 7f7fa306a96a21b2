/* Crews: every task once, what follows in order, whatever the number of threads. */
#include "check.h"

#include <string.h>

#include "base/crew.h"

enum { MOST = 1000 };

struct list {
    int times[MOST];
    int thread[MOST];
    int threads;
    size_t order[MOST];
    size_t n_followed;
};

static void run(void *context, size_t i, int thread)
{
    struct list *l = context;
    volatile double sink = 0;
    for (size_t k = 0; k < (i % 7) * 1000; k++) /* some take longer */
        sink = sink + (double)k;
    l->times[i]++;
    l->thread[i] = thread;
}

static void then(void *context, size_t i)
{
    struct list *l = context;
    l->order[l->n_followed++] = i;
}

static void one(int threads, size_t n)
{
    static struct list l; /* too large for the stack of a test */
    memset(&l, 0, sizeof l);
    const struct bt_crew_work work = {run, then, &l};
    bt_crew(threads, n, &work);
    assert_int_equal(l.n_followed, n);
    for (size_t i = 0; i < MOST; i++) {
        assert_int_equal(l.times[i], i < n);
        if (i < n)
            assert_int_equal(l.order[i], i);
        assert_true(l.thread[i] >= 0 && l.thread[i] < (threads > 1 ? threads : 1));
    }
}

static void every_task_once_and_in_order(void **state)
{
    (void)state;
    static const size_t n[] = {0, 1, 2, 3, 17, MOST};
    for (size_t k = 0; k < sizeof n / sizeof n[0]; k++)
        for (int threads = 1; threads <= 9; threads += 2)
            one(threads, n[k]);
    one(2, MOST);
    one(0, 5);
    one(BT_CREW_MOST + 100, MOST);
}

static void at_least_one_processor(void **state)
{
    (void)state;
    assert_true(bt_crew_processors() >= 1 && bt_crew_processors() <= BT_CREW_MOST);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_task_once_and_in_order),
        cmocka_unit_test(at_least_one_processor),
    };
    return cmocka_run_group_tests_name("crews", tests, NULL, NULL) != 0;
}
