/* Some threads that share a list of tasks. What follows a task is done in the order of the
 * list, so that results do not depend on who was quicker. Threads wait asleep: on a busy
 * machine nothing is burnt. They work in the caller's locale. */
#ifndef BT_BASE_CREW_H
#define BT_BASE_CREW_H

#include <stddef.h>

enum { BT_CREW_MOST = 64 }; /* threads */

struct bt_crew_work {
    /* Task i, on thread number `thread` (0 .. threads - 1). Must not leave by longjmp. */
    void (*run)(void *context, size_t i, int thread);
    /* After task i and after `then` of task i - 1; one at a time. */
    void (*then)(void *context, size_t i);
    void *context;
};

/* Tasks 0 .. n - 1 by at most `threads` threads, the caller being one of them (fewer when
 * the system gives no more). Returns when all are done. */
void bt_crew(int threads, size_t n, const struct bt_crew_work *work);
/* How many processors there are, at least 1 and at most BT_CREW_MOST. */
int bt_crew_processors(void);

#endif
