/* For tests/check_faults.sh, put before the C library (LD_PRELOAD): the NTH request for
 * memory and all after it are refused, or with ONCE set that one alone, whoever asks: the
 * program or a library below it. */
#include <errno.h>
#include <stddef.h>
#include <stdlib.h>

extern void *__libc_malloc(size_t n); /* NOLINT: glibc's own names */
extern void *__libc_calloc(size_t n, size_t size);
extern void *__libc_realloc(void *p, size_t n);

static long count, nth = -1;

__attribute__((constructor)) static void start(void)
{
    const char *text = getenv("NTH");
    nth = text ? strtol(text, NULL, 10) : -1;
    count = 0;
}

static int refused(void)
{
    if (nth < 0)
        return 0;
    const long k = __atomic_add_fetch(&count, 1, __ATOMIC_RELAXED);
    const int is_refused = getenv("ONCE") ? k == nth : k >= nth;
    if (is_refused)
        errno = ENOMEM;
    return is_refused;
}

void *malloc(size_t n)
{
    return refused() ? NULL : __libc_malloc(n);
}

void *calloc(size_t n, size_t size)
{
    return refused() ? NULL : __libc_calloc(n, size);
}

void *realloc(void *p, size_t n)
{
    return refused() ? NULL : __libc_realloc(p, n);
}
