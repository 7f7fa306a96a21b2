/* Any text as a unit: what is read has a finite factor above nothing, and its tidied text
 * is read as the same. */
#include "fuzz.h"

#include <math.h>

#include "base/dim.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t n) /* NOLINT: its name */
{
    static const char *const measures[] = {"bucket", "wheelbarrow", "5-gal bucket"};
    if (n > 1000)
        return -1;
    struct bt_arena *a = fuzz_arena();
    const char *text = bt_arena_text_n(a, (const char *)data, n);
    const struct bt_units *units = fuzz_book()->units;
    struct bt_unit unit, again;
    for (size_t k = 0; k <= 3; k += 3)
        if (bt_units_read(units, a, text, k, measures, &unit)) {
            EXPECT(isfinite(unit.factor) && unit.factor > 0);
            EXPECT(isfinite(unit.offset));
            EXPECT(unit.text);
            EXPECT(bt_units_read(units, a, unit.text, k, measures, &again));
            EXPECT(bt_dim_same(unit.dim, again.dim));
            EXPECT(fabs(unit.factor - again.factor) <= 1e-12 * unit.factor);
        }
    bt_arena_free(a);
    return 0;
}
