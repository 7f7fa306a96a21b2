/* Output: whole or not at all, and never a failure in silence. */
#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/out.h"
#include "check.h"

struct place {
    struct bt_arena *arena;
    char folder[32];
    char *target;
};

static int setup(void **state)
{
    struct place *p = calloc(1, sizeof *p);
    if (!p)
        return -1;
    *state = p;
    p->arena = bt_arena_new(64, NULL, NULL);
    strcpy(p->folder, "/tmp/bt-out-XXXXXX");
    if (!p->arena || !mkdtemp(p->folder))
        return -1;
    p->target = bt_arena_format(p->arena, "%s/answer.txt", p->folder);
    return 0;
}

static int teardown(void **state)
{
    struct place *p = *state;
    unlink(p->target);
    const int left = rmdir(p->folder); /* fails when a part file was left behind */
    bt_arena_free(p->arena);
    free(p);
    return left;
}

static char *content(struct place *p)
{
    char *text = bt_arena_zero(p->arena, 200);
    FILE *f = fopen(p->target, "rb");
    if (!f)
        return NULL;
    const size_t n = fread(text, 1, 199, f);
    text[n] = '\0';
    fclose(f);
    return text;
}

static size_t files_in(const char *folder)
{
    size_t n = 0;
    DIR *d = opendir(folder);
    assert_non_null(d);
    for (const struct dirent *e = readdir(d); e; e = readdir(d))
        n += e->d_name[0] != '.';
    closedir(d);
    return n;
}

static void written_whole(void **state)
{
    struct place *p = *state;
    struct bt_out o = bt_out_file(p->arena, p->target, false);
    assert_false(o.failed);
    bt_put(&o, "%s %d\n", "beds", 8);
    bt_put_bytes(&o, "a\0b", 3);
    assert_null(content(p)); /* not there before it is whole */
    assert_true(bt_out_done(&o));
    assert_memory_equal(content(p), "beds 8\na\0b", 10);
    assert_int_equal(files_in(p->folder), 1);
    struct stat s;
    assert_int_equal(stat(p->target, &s), 0);
    const mode_t mask = umask(0);
    umask(mask);
    assert_int_equal(s.st_mode & 0777, 0666 & ~mask); /* as any other file of the user */
}

static void existing_is_refused(void **state)
{
    struct place *p = *state;
    struct bt_out first = bt_out_file(p->arena, p->target, false);
    bt_put(&first, "first");
    assert_true(bt_out_done(&first));
    struct bt_out second = bt_out_file(p->arena, p->target, false);
    assert_true(second.failed);
    assert_int_equal(second.error, EEXIST);
    bt_put(&second, "second"); /* harmless */
    assert_false(bt_out_done(&second));
    assert_string_equal(content(p), "first");
    struct bt_out third = bt_out_file(p->arena, p->target, true);
    bt_put(&third, "third");
    assert_true(bt_out_done(&third));
    assert_string_equal(content(p), "third");
}

/* A failure half-way leaves the old file as it was and no part file. */
static void failure_keeps_the_old(void **state)
{
    struct place *p = *state;
    struct bt_out first = bt_out_file(p->arena, p->target, false);
    bt_put(&first, "old");
    assert_true(bt_out_done(&first));
    struct bt_out o = bt_out_file(p->arena, p->target, true);
    bt_put(&o, "half");
    FILE *whole = o.f;
    o.f = fopen("/dev/full", "wb");
    assert_non_null(o.f);
    setvbuf(o.f, NULL, _IONBF, 0);
    bt_put(&o, "the disk is full");
    assert_true(o.failed);
    assert_int_equal(o.error, ENOSPC);
    fclose(o.f);
    o.f = whole;
    bt_put(&o, "not written any more");
    assert_false(bt_out_done(&o));
    assert_string_equal(content(p), "old");
    assert_int_equal(files_in(p->folder), 1);
}

static void full_device(void **state)
{
    struct place *p = *state;
    struct bt_out o = bt_out_file(p->arena, "/dev/full", false);
    assert_false(o.failed);
    bt_put(&o, "buffered, so the failure shows only at the end");
    assert_false(bt_out_done(&o));
    assert_int_equal(o.error, ENOSPC);
    struct stat s;
    assert_int_equal(stat("/dev/full", &s), 0);
    assert_true(S_ISCHR(s.st_mode)); /* not replaced by a file */
    FILE *f = fopen("/dev/full", "wb");
    struct bt_out stream = bt_out_stream(f);
    bt_put(&stream, "x");
    assert_false(bt_out_done(&stream));
    assert_int_equal(stream.error, ENOSPC);
    fclose(f);
}

/* A file that came while another was written is not ours to replace. */
static void one_that_came_meanwhile(void **state)
{
    struct place *p = *state;
    struct bt_out o = bt_out_file(p->arena, p->target, false);
    bt_put(&o, "ours");
    assert_int_equal(files_in(p->folder), 0); /* an end now would leave nothing */
    FILE *other = fopen(p->target, "wb");
    assert_non_null(other);
    fputs("theirs", other);
    fclose(other);
    assert_false(bt_out_done(&o));
    assert_int_equal(o.error, EEXIST);
    assert_string_equal(content(p), "theirs");
    assert_int_equal(files_in(p->folder), 1);
}

static void mode_of(const char *path, mode_t mode)
{
    struct stat s;
    assert_int_equal(lstat(path, &s), 0);
    assert_true(S_ISREG(s.st_mode));
    assert_int_equal(s.st_mode & 07777, mode);
}

/* What is replaced keeps its mode; a link stays one. */
static void replaced_behind_a_link(void **state)
{
    struct place *p = *state;
    const char *way = bt_arena_format(p->arena, "%s/way", p->folder);
    const char *longer = bt_arena_format(p->arena, "%s/longer", p->folder);
    struct bt_out first = bt_out_file(p->arena, p->target, false);
    bt_put(&first, "first");
    assert_true(bt_out_done(&first));
    assert_int_equal(chmod(p->target, 0640), 0);
    assert_int_equal(symlink("answer.txt", way), 0);
    assert_int_equal(symlink(way, longer), 0);
    struct bt_out refused = bt_out_file(p->arena, longer, false);
    assert_int_equal(refused.error, EEXIST);
    assert_false(bt_out_done(&refused));
    struct bt_out second = bt_out_file(p->arena, longer, true);
    bt_put(&second, "second");
    assert_true(bt_out_done(&second));
    assert_string_equal(content(p), "second");
    mode_of(p->target, 0640);
    unlink(p->target);
    struct bt_out third = bt_out_file(p->arena, way, false); /* leads nowhere yet */
    bt_put(&third, "third");
    assert_true(bt_out_done(&third));
    assert_string_equal(content(p), "third");
    assert_int_equal(files_in(p->folder), 3);
    unlink(way);
    unlink(longer);
}

static void link_to_itself(void **state)
{
    struct place *p = *state;
    assert_int_equal(symlink("answer.txt", p->target), 0);
    struct bt_out o = bt_out_file(p->arena, p->target, true);
    bt_put(&o, "nowhere to go");
    assert_false(bt_out_done(&o));
    assert_int_equal(o.error, ELOOP);
    assert_int_equal(files_in(p->folder), 1);
}

static void no_such_folder(void **state)
{
    struct place *p = *state;
    struct bt_out o =
        bt_out_file(p->arena, bt_arena_format(p->arena, "%s/none/x", p->folder), false);
    assert_true(o.failed);
    assert_int_equal(o.error, ENOENT);
    assert_false(bt_out_done(&o));
    struct bt_out folder = bt_out_file(p->arena, p->folder, true);
    assert_int_equal(folder.error, EISDIR);
    assert_false(bt_out_done(&folder));
}

static void stream_stays_open(void **state)
{
    (void)state;
    FILE *f = tmpfile();
    struct bt_out o = bt_out_stream(f);
    bt_put(&o, "one");
    assert_true(bt_out_done(&o));
    bt_put(&o, "two");
    assert_true(bt_out_done(&o));
    assert_int_equal(ftell(f), 6);
    fclose(f);
}

int main(void)
{
    const struct CMUnitTest t[] = {
        cmocka_unit_test_setup_teardown(written_whole, setup, teardown),
        cmocka_unit_test_setup_teardown(existing_is_refused, setup, teardown),
        cmocka_unit_test_setup_teardown(failure_keeps_the_old, setup, teardown),
        cmocka_unit_test_setup_teardown(full_device, setup, teardown),
        cmocka_unit_test_setup_teardown(one_that_came_meanwhile, setup, teardown),
        cmocka_unit_test_setup_teardown(replaced_behind_a_link, setup, teardown),
        cmocka_unit_test_setup_teardown(link_to_itself, setup, teardown),
        cmocka_unit_test_setup_teardown(no_such_folder, setup, teardown),
        cmocka_unit_test(stream_stays_open),
    };
    return cmocka_run_group_tests_name("base_out", t, NULL, NULL) != 0;
}
