#include "base/crew.h"

#include <locale.h>
#include <pthread.h>
#include <unistd.h>

struct crew {
    const struct bt_crew_work *work;
    size_t n;
    locale_t locale;      /* the caller's, which threads do not inherit */
    pthread_mutex_t lock; /* over what follows */
    pthread_cond_t turn;  /* `followed` has grown */
    size_t next;          /* task to be taken */
    size_t followed;      /* tasks whose `then` is done */
};

struct member {
    struct crew *crew;
    int number;
    pthread_t thread;
};

static void *work(void *argument)
{
    const struct member *member = argument;
    struct crew *c = member->crew;
    pthread_mutex_lock(&c->lock);
    while (c->next < c->n) {
        const size_t i = c->next++;
        pthread_mutex_unlock(&c->lock);
        c->work->run(c->work->context, i, member->number);
        pthread_mutex_lock(&c->lock);
        while (c->followed != i)
            pthread_cond_wait(&c->turn, &c->lock);
        c->work->then(c->work->context, i);
        c->followed++;
        pthread_cond_broadcast(&c->turn);
    }
    pthread_mutex_unlock(&c->lock);
    return NULL;
}

static void *help(void *argument)
{
    const struct member *member = argument;
    (void)uselocale(member->crew->locale);
    return work(argument);
}

void bt_crew(int threads, size_t n, const struct bt_crew_work *w)
{
    struct crew c = {.work = w, .n = n, .locale = uselocale((locale_t)0)};
    struct member member[BT_CREW_MOST];
    int hired = 1;
    threads = threads < BT_CREW_MOST ? threads : BT_CREW_MOST;
    pthread_mutex_init(&c.lock, NULL);
    pthread_cond_init(&c.turn, NULL);
    member[0] = (struct member){.crew = &c};
    while (hired < threads && (size_t)hired < n) {
        member[hired] = (struct member){.crew = &c, .number = hired};
        if (pthread_create(&member[hired].thread, NULL, help, &member[hired]) != 0)
            break;
        hired++;
    }
    work(&member[0]);
    for (int k = 1; k < hired; k++)
        pthread_join(member[k].thread, NULL);
    pthread_cond_destroy(&c.turn);
    pthread_mutex_destroy(&c.lock);
}

int bt_crew_processors(void)
{
    const long n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1 : n < BT_CREW_MOST ? (int)n : BT_CREW_MOST;
}
