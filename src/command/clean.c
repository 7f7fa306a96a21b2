#include "command/clean.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "base/text.h"

struct cleaning {
    struct bt_arena *arena;
    struct bt_fixes *fixes;
    const struct bt_diag *diag;
    const char *from, *out;
    const char *failed; /* the first file that could not be written */
    int error;
    size_t n_changes;
};

static void fail(struct cleaning *c, const char *file, int error)
{
    if (c->error)
        return;
    c->failed = file;
    c->error = error ? error : EIO;
}

static void close_file(struct cleaning *c, struct bt_out *o, const char *file)
{
    if (!bt_out_done(o))
        fail(c, file, o->error);
}

/* ---- tables as they were read ---- */

static bool needs_quotes(const char *text)
{
    const size_t n = strlen(text);
    return n > 0 &&
           (text[strcspn(text, ",\"\r\n")] || text[0] == ' ' || text[n - 1] == ' ');
}

static void put_cell(struct bt_out *o, const char *text)
{
    if (!needs_quotes(text)) {
        bt_put(o, "%s", text);
        return;
    }
    bt_put(o, "\"");
    for (const char *s = text; *s; s++)
        bt_put(o, *s == '"' ? "\"\"" : "%c", *s);
    bt_put(o, "\"");
}

static void put_row(struct bt_out *o, const struct bt_row_cells *row)
{
    for (size_t i = 0; i < row->n; i++) {
        if (i)
            bt_put(o, ",");
        put_cell(o, row->cell[i].text);
    }
    bt_put(o, "\n");
}

static void write_table(struct cleaning *c, const struct bt_fixed_file *f, const char *path)
{
    struct bt_out o = bt_out_file(c->arena, path, false);
    put_row(&o, &f->csv.header);
    for (size_t r = 0; r < f->csv.n_rows; r++)
        put_row(&o, &f->csv.row[r]);
    close_file(c, &o, path);
}

/* ---- files as they are ---- */

static void copy_file(struct cleaning *c, const char *from, const char *to)
{
    char bytes[8192];
    FILE *in = fopen(from, "rb");
    if (!in) {
        fail(c, from, errno);
        return;
    }
    struct bt_out o = bt_out_file(c->arena, to, false);
    for (size_t n = fread(bytes, 1, sizeof bytes, in); n > 0;
         n = fread(bytes, 1, sizeof bytes, in))
        bt_put_bytes(&o, bytes, n);
    if (ferror(in))
        fail(c, from, EIO);
    (void)fclose(in);
    close_file(c, &o, to);
}

static const struct bt_fixed_file *read_as(const struct cleaning *c, const char *path)
{
    for (size_t i = 0; i < c->fixes->n_files; i++)
        if (strcmp(c->fixes->file[i].csv.file, path) == 0)
            return &c->fixes->file[i];
    return NULL;
}

static bool is_csv(const char *name)
{
    const size_t n = strlen(name);
    return n > 4 && name[0] != '.' && bt_text_is(name + n - 4, ".csv");
}

/* The CSV files of one folder, below `out` under the same names. */
static void write_folder(struct cleaning *c, const char *from, const char *to)
{
    DIR *folder = opendir(from);
    if (folder && mkdir(to, 0777) != 0)
        fail(c, to, errno);
    for (struct dirent *e = folder ? readdir(folder) : NULL; e && !c->error;
         e = readdir(folder)) {
        if (!is_csv(e->d_name))
            continue;
        const char *path = bt_arena_format(c->arena, "%s/%s", from, e->d_name);
        const char *copy = bt_arena_format(c->arena, "%s/%s", to, e->d_name);
        const struct bt_fixed_file *f = read_as(c, path);
        if (f)
            write_table(c, f, copy);
        else
            copy_file(c, path, copy);
    }
    if (folder)
        (void)closedir(folder);
}

/* ---- the list ---- */

/* The file's name without the garden's folder. */
static const char *short_name(const struct cleaning *c, const char *file)
{
    const size_t n = strlen(c->from);
    return strncmp(file, c->from, n) == 0 && file[n] == '/' ? file + n + 1 : file;
}

static void put_changes(struct cleaning *c, struct bt_out *o)
{
    for (size_t i = 0; i < c->fixes->n; i++) {
        const struct bt_fix *x = &c->fixes->fix[i];
        c->n_changes++;
        bt_put(o, "%s:%u:%u: ", short_name(c, x->at.file), x->at.line, x->at.column);
        if (x->to)
            bt_put(o, "\"%s\" became \"%s\": %s\n", x->from, x->to, x->why);
        else
            bt_put(o, "left out, %s: %s\n", x->why, x->from);
    }
}

/* Signs, encodings and line ends, by file. */
static void put_forms(struct cleaning *c, struct bt_out *o)
{
    for (size_t i = 0; i < bt_diag_kept(c->diag); i++) {
        const struct bt_message *m = bt_diag_get(c->diag, i);
        if (m->weight != BT_NOTE || !m->field || strncmp(m->field, "read ", 5) != 0)
            continue;
        c->n_changes++;
        bt_put(o, "%s: %s; written as UTF-8 with commas and points\n",
               short_name(c, m->at.file), m->field);
    }
}

static void put_lost(struct cleaning *c, struct bt_out *o)
{
    for (size_t i = 0; i < c->fixes->n_files; i++) {
        const struct bt_csv *csv = &c->fixes->file[i].csv;
        for (size_t k = 0; k < csv->n_lost; k++)
            bt_put(o, "%s:%u: not in the copy, for its double quotes do not match: %s\n",
                   short_name(c, csv->file), csv->lost[k].line, csv->lost[k].text);
    }
}

static void put_errors(struct cleaning *c, struct bt_out *o)
{
    for (size_t i = 0; i < bt_diag_kept(c->diag); i++) {
        struct bt_message m = *bt_diag_get(c->diag, i);
        const struct bt_mark mark = bt_arena_mark(c->arena);
        if (m.weight == BT_ERROR) {
            m.at.file = m.at.file ? short_name(c, m.at.file) : NULL;
            bt_put(o, "%s\n", bt_message_text(c->arena, &m));
        }
        bt_arena_release(c->arena, mark);
    }
}

static void put_unread(struct cleaning *c, struct bt_out *o)
{
    if (c->fixes->n_unread > 0)
        bt_put(o, "\nNot read:\n\n");
    for (size_t i = 0; i < c->fixes->n_unread; i++) {
        const struct bt_unread *x = &c->fixes->unread[i];
        bt_put(o, "%s", short_name(c, x->at.file));
        if (x->at.line > 0)
            bt_put(o, ":%u:%u: %s", x->at.line, x->at.column, x->name);
        bt_put(o, ": %s\n", x->hint);
    }
}

static void write_list(struct cleaning *c)
{
    const char *path = bt_arena_format(c->arena, "%s/CHANGES.txt", c->out);
    struct bt_out o = bt_out_file(c->arena, path, false);
    bt_put(&o,
           "Every change between %s and this copy of its CSV files.\n"
           "Lines and columns are those of the files that were read; nothing there was "
           "touched.\nBlank lines, blanks around cells and other ways of quoting are not "
           "listed.\n\n",
           c->from);
    put_forms(c, &o);
    put_changes(c, &o);
    if (c->n_changes == 0)
        bt_put(&o, "There is none.\n");
    if (bt_diag_count(c->diag, BT_ERROR)) {
        bt_put(&o, "\nStill to be put right, here as there:\n\n");
        put_lost(c, &o);
        put_errors(c, &o);
    }
    put_unread(c, &o);
    close_file(c, &o, path);
}

enum bt_status_code bt_clean_write(struct bt_arena *a, struct bt_fixes *fixes,
                                   const struct bt_diag *diag, const char *from,
                                   const char *out, struct bt_out *o)
{
    struct cleaning c = {.arena = a, .fixes = fixes, .diag = diag, .out = out};
    struct stat tables;
    size_t n = strlen(from);
    while (n > 1 && from[n - 1] == '/')
        n--;
    c.from = bt_arena_text_n(a, from, n);
    bt_fixes_apply(fixes);
    write_folder(&c, c.from, out);
    const char *own = bt_arena_format(a, "%s/tables", c.from);
    if (!c.error && stat(own, &tables) == 0 && S_ISDIR(tables.st_mode))
        write_folder(&c, own, bt_arena_format(a, "%s/tables", out));
    if (!c.error)
        write_list(&c);
    if (c.error) {
        fprintf(stderr, "bedtally: cannot write %s: %s\n", c.failed, strerror(c.error));
        return BT_MACHINE_FAILED;
    }
    bt_put(o, "\nA cleaned copy is in %s; its CHANGES.txt lists %zu change%s.\n", out,
           c.n_changes, c.n_changes == 1 ? "" : "s");
    return BT_DONE_WELL;
}
