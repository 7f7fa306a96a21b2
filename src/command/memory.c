/* Some libraries crash, or leave things out, when there is no memory. Here they make the
 * program leave instead, as it does when its own arenas have no more. Only the program does
 * this: such settings hold for the whole process, and a library has no say over that. */
#include <errno.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <glpk.h>
#include <jansson.h>
#include <libxml/xmlmemory.h>
#include <udunits2.h>

#include "command/front.h"

static void *piece(size_t n)
{
    void *p = malloc(n ? n : 1);
    if (!p)
        bt_front_no_memory(NULL);
    return p;
}

static void *larger(void *old, size_t n)
{
    void *p = realloc(old, n ? n : 1);
    if (!p)
        bt_front_no_memory(NULL);
    return p;
}

static char *copy(const char *text)
{
    const size_t n = strlen(text) + 1;
    return memcpy(piece(n), text, n);
}

/* Called before the library goes on with what it has not got. */
static int units_say(const char *format, va_list args)
{
    (void)format;
    (void)args;
    if (ut_get_status() == UT_OS || errno == ENOMEM)
        bt_front_no_memory(NULL);
    return 0;
}

/* Called before the library aborts. */
static void planner_gives_up(void *context)
{
    if (errno == ENOMEM)
        bt_front_no_memory(context);
}

void bt_front_mind_memory(void)
{
    json_set_alloc_funcs(piece, free);
    (void)xmlMemSetup(free, piece, larger, copy);
    (void)ut_set_error_message_handler(units_say);
    static const int NO_MEMORY = 2;
    if (glp_init_env() == NO_MEMORY)
        bt_front_no_memory(NULL);
    glp_error_hook(planner_gives_up, NULL);
}
