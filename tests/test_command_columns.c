/* The README.txt of a new folder describes exactly the columns that the reader knows. */
#include <string.h>

#include "check.h"
#include "command/columns.h"
#include "input/garden.h"

static void every_column_described(void **state)
{
    (void)state;
    size_t files = 0, columns = 0;
    for (; bt_column_files[files]; files++) {
        const char *const *column = NULL;
        const size_t n = bt_garden_columns(bt_column_files[files], &column);
        assert_true(n > 1);
        assert_non_null(bt_column_file_meaning(bt_column_files[files]));
        for (size_t i = 0; i < n; i++, columns++)
            if (!bt_column_meaning(bt_column_files[files], column[i]))
                fail_msg("%s.csv: %s is not described", bt_column_files[files], column[i]);
    }
    assert_int_equal(files, 10);
    assert_true(columns > 80);
}

static void every_setting_described(void **state)
{
    (void)state;
    const char *const *setting = NULL;
    const size_t n = bt_garden_settings(&setting);
    assert_true(n > 10);
    for (size_t i = 0; i < n; i++)
        if (!bt_column_meaning("settings", setting[i]))
            fail_msg("setting %s is not described", setting[i]);
    assert_null(bt_column_meaning("settings", "no such setting"));
    assert_null(bt_column_meaning("beds", "no such column"));
}

int main(void)
{
    const struct CMUnitTest t[] = {
        cmocka_unit_test(every_column_described),
        cmocka_unit_test(every_setting_described),
    };
    return cmocka_run_group_tests_name("command_columns", t, NULL, NULL) != 0;
}
