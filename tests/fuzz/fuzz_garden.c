/* Any bytes as the files of a garden folder, split at lines `== name`: read with the real
 * handbook, every bed's worksheet built. No garden without an error; what was read is
 * inside the limits; a cleaned copy can be made. */
#include "fuzz.h"

#include <dirent.h>
#include <math.h>
#include <sys/stat.h>
#include <unistd.h>

#include "input/garden_view.h"
#include "model/season.h"

static const char *folder(void)
{
    static char path[] = "/tmp/bedtally-fuzz-XXXXXX";
    static bool made;
    if (!made)
        EXPECT(mkdtemp(path));
    made = true;
    return path;
}

static void remove_files(const char *path)
{
    DIR *d = opendir(path);
    EXPECT(d);
    for (struct dirent *e = readdir(d); e; e = readdir(d)) {
        char file[400];
        if (e->d_name[0] == '.')
            continue;
        snprintf(file, sizeof file, "%s/%s", path, e->d_name);
        (void)unlink(file);
    }
    closedir(d);
}

static void write_file(const char *path, const char *name, const uint8_t *data, size_t n)
{
    char file[400];
    snprintf(file, sizeof file, "%s/%s.csv", path, name);
    FILE *f = fopen(file, "wb");
    EXPECT(f);
    EXPECT(fwrite(data, 1, n, f) == n);
    EXPECT(fclose(f) == 0);
}

/* The names that a `== ` line may give; other text there makes no file. */
static const char *file_named(const uint8_t *data, size_t n)
{
    static const char *const names[] = {
        "garden",    "beds",     "plantings", "soil_tests", "water",
        "materials", "measures", "harvests",  "purchases",  "applications"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strlen(names[i]) == n && memcmp(names[i], data, n) == 0)
            return names[i];
    return NULL;
}

static void split(const char *path, const uint8_t *data, size_t n)
{
    const char *name = NULL;
    size_t began = 0;
    for (size_t i = 0; i <= n; i++) {
        const bool mark =
            i + 3 < n && memcmp(data + i, "== ", 3) == 0 && (i == 0 || data[i - 1] == '\n');
        if (!mark && i < n)
            continue;
        if (name)
            write_file(path, name, data + began, i - began);
        if (i == n)
            return;
        size_t end = i + 3;
        while (end < n && data[end] != '\n')
            end++;
        name = file_named(data + i + 3, end - i - 3);
        began = end < n ? end + 1 : n;
        i = began - 1;
        if (began == n)
            return;
    }
}

static void check_garden(const struct bt_garden *g)
{
    for (size_t i = 0; i < g->n_beds; i++) {
        EXPECT(isfinite(g->bed[i].area_m2) && g->bed[i].area_m2 > 0);
        EXPECT(g->bed[i].id && *g->bed[i].id);
    }
    for (size_t i = 0; i < g->n_plantings; i++)
        EXPECT(g->planting[i].bed_index < g->n_beds);
    for (size_t i = 0; i < g->n_tests; i++)
        for (size_t k = 0; k < g->test[i].n_beds; k++)
            EXPECT(g->test[i].bed[k] < g->n_beds);
    EXPECT(g->season_start <= g->season_end);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t n) /* NOLINT: its name */
{
    const struct fuzz_book *book = fuzz_book();
    struct bt_arena *a = fuzz_arena();
    struct bt_diag *d = bt_diag_new(a);
    struct bt_fixes fixes = {.arena = bt_arena_beside(a)};
    const struct bt_garden_options options = {.units = -1, .fixes = &fixes};
    remove_files(folder());
    split(folder(), data, n);
    const struct bt_garden *g =
        bt_garden_load(a, d, book->units, book->handbook, folder(), &options);
    EXPECT(g || bt_diag_count(d, BT_ERROR) > 0);
    if (g && bt_diag_count(d, BT_ERROR) == 0) {
        check_garden(g);
        const struct bt_garden_index *index = bt_garden_index_new(a, g);
        struct bt_arena *beds = bt_arena_beside(a);
        for (size_t i = 0; i < g->n_beds; i++) {
            struct bt_budget budget;
            const struct bt_mark mark = bt_arena_mark(beds);
            (void)bt_season_build(beds, d, book->handbook, bt_garden_view(beds, index, i),
                                  i, &budget);
            bt_arena_release(beds, mark);
        }
    }
    fuzz_check_messages(a, d);
    bt_fixes_apply(&fixes);
    bt_arena_free(a);
    return 0;
}
