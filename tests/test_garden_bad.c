/* Bad gardens and what is said of them, word for word. A case is a folder in
 * tests/bad/garden whose files take the place of those of tests/garden/plain; beside it
 * stands <case>.err with all errors and warnings. Cases whose name begins with "notes" have
 * the notes too. BEDTALLY_UPDATE=1 writes the .err files anew, to be read before they are
 * kept. The handbook is a small invented one. */
#include "check.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "garden_fixture.h"

#define CASES "tests/bad/garden"
#define MOST  200

static char names[MOST][64];

static char *text_of(struct bt_arena *a, const char *path)
{
    FILE *f = fopen(path, "rb");
    if (!f)
        return NULL;
    char *text = bt_arena_zero(a, 65536);
    const size_t n = fread(text, 1, 65535, f);
    fclose(f);
    text[n] = '\0';
    return text;
}

/* Every message down to `least`, a line or two each, the folder's name taken off. */
static const char *messages(struct fixture *x, const char *folder, enum bt_weight least)
{
    const char *all = "";
    const size_t n = strlen(folder) + 1;
    for (size_t i = 0; i < bt_diag_kept(x->diag); i++) {
        struct bt_message m = *bt_diag_get(x->diag, i);
        if (m.weight > least)
            continue;
        if (m.at.file && strncmp(m.at.file, folder, n - 1) == 0 && strlen(m.at.file) >= n)
            m.at.file += n;
        all = bt_arena_format(x->arena, "%s%s\n", all, bt_message_text(x->arena, &m));
    }
    return all;
}

static void bad_garden(void **state)
{
    const char *name = *state;
    struct fixture x = fixture_new();
    char folder[] = "/tmp/bedtally-test-XXXXXX";
    assert_non_null(mkdtemp(folder));
    const char *own = bt_arena_format(x.arena, "%s/%s", CASES, name);
    fixture_copy(&x, "tests/garden/plain", folder);
    fixture_copy(&x, own, folder);
    const char *expected = text_of(x.arena, bt_arena_format(x.arena, "%s.err", own));
    const struct bt_garden_options options = {.units = -1};
    (void)bt_garden_load(x.arena, x.diag, x.units, x.handbook, folder, &options);
    const bool notes = strncmp(name, "notes", 5) == 0;
    const char *got = messages(&x, folder, notes ? BT_NOTE : BT_WARNING);
    fixture_remove(&x, folder);
    if (getenv("BEDTALLY_UPDATE")) {
        fixture_write(&x, CASES, bt_arena_format(x.arena, "%s.err", name), got);
        expected = got;
    }
    if (!expected || strcmp(got, expected) != 0)
        fprintf(stderr, "--- %s says ---\n%s", name, got);
    assert_non_null(expected);
    assert_string_equal(got, expected);
    fixture_free(&x);
}

static int by_name(const void *a, const void *b)
{
    return strcmp(a, b);
}

int main(void)
{
    static struct CMUnitTest t[MOST];
    size_t n = 0;
    DIR *folder = opendir(CASES);
    for (struct dirent *e = folder ? readdir(folder) : NULL; e && n < MOST;
         e = readdir(folder))
        if (e->d_name[0] != '.' && !strchr(e->d_name, '.') &&
            strlen(e->d_name) < sizeof names[0])
            memcpy(names[n++], e->d_name, strlen(e->d_name) + 1);
    if (folder)
        closedir(folder);
    if (n == 0) {
        print_error("no case in %s: run from the top of the sources\n", CASES);
        return 1;
    }
    qsort(names, n, sizeof names[0], by_name);
    for (size_t i = 0; i < n; i++)
        t[i] = (struct CMUnitTest){names[i], bad_garden, NULL, NULL, names[i]};
    return _cmocka_run_group_tests("garden_bad", t, n, NULL, NULL) != 0;
}
