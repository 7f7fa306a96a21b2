/* What every test program includes: cmocka with the headers it needs, in the order it needs
 * them, and a comparison of doubles that names its source. */
#ifndef BT_TESTS_CHECK_H
#define BT_TESTS_CHECK_H

/* clang-format off */
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <setjmp.h>
#include <cmocka.h>
/* clang-format on */

#include <math.h>

/* `got` lies within `rel` of `want`, relative to `want` (absolute when `want` is 0). NaN
 * fails. `source` says where `want` comes from and is printed on failure. */
static inline void check_close_at(double got, double want, double rel, const char *source,
                                  const char *file, int line)
{
    const double room = want == 0.0 ? rel : rel * fabs(want);
    if (!(fabs(got - want) <= room)) {
        print_error("got %.10g, want %.10g within %g [%s]\n", got, want, rel, source);
        _fail(file, line);
    }
}
#define check_close(got, want, rel, source)                                                \
    check_close_at((got), (want), (rel), (source), __FILE__, __LINE__)

/* `got` lies in low .. high. NaN fails. */
static inline void check_between_at(double got, double low, double high, const char *source,
                                    const char *file, int line)
{
    if (!(got >= low && got <= high)) {
        print_error("got %.10g, want %.10g .. %.10g [%s]\n", got, low, high, source);
        _fail(file, line);
    }
}
#define check_between(got, low, high, source)                                              \
    check_between_at((got), (low), (high), (source), __FILE__, __LINE__)

#endif
