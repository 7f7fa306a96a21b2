/* What the tests of the laws share: small gardens given as text, written to a folder of
 * their own, run through the whole path, and what their findings hold, copied so that it
 * outlives the run. */
#ifndef BT_TESTS_LAW_GARDEN_H
#define BT_TESTS_LAW_GARDEN_H

#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/date.h"
#include "chance/sampler.h"
#include "run.h"

struct law {
    struct bt_arena *arena;
    char *folder;
};

/* The files of a garden; NULL for one that is not there. `settings` are rows of garden.csv
 * that follow the usual ones; the header rows are part of the texts of all other files. */
struct law_text {
    const char *settings;
    const char *beds, *plantings, *soil_tests, *water, *materials, *applications;
    const char *own_table; /* "intercrops.csv": name of a table of the garden's own */
    const char *own_rows;  /* ... and its text */
    int season_end;        /* day; 0 for 30 September */
    int season;            /* on the command line; 0 for the garden's own */
    int start;             /* day; 0 for 1 May */
    int named;             /* what `season` says; 0 for LAW_YEAR, -1 for no such setting */
};

enum { LAW_YEAR = 2026 };

static inline int law_day(int month, int day)
{
    return bt_day(LAW_YEAR, month, day);
}

struct law_line {
    const char *id;
    enum bt_side side;
    struct bt_spread total;
    const double *by_date;
};

struct law_plant {
    const char *crop;
    bool is_legume;
    double density, relative_yield, recovery;
    struct bt_planting_spread spread;
};

struct law_bed {
    const char *id;
    double area_m2;
    size_t n_lines;
    struct law_line *line;
    size_t n_dates;
    int *date;
    struct bt_spread required, supply, balance, tightest, shortfall, surplus, left;
    int tightest_date;
    double chance_of_shortfall, chance_of_visible_shortfall, chance_left_over_limit;
    enum bt_word word;
    size_t n_plants;
    struct law_plant *plant;
    const char *sentences; /* what was understood and assumed, one a line */
};

struct law_answer {
    size_t n_beds;
    struct law_bed *bed;
    struct bt_total_finding total;
    size_t n_warnings;
};

static inline void law_no_memory(void *context)
{
    (void)context;
    abort();
}

static inline int law_setup(void **state)
{
    struct law *l = calloc(1, sizeof *l);
    if (!l)
        return -1;
    l->arena = bt_arena_new(1 << 16, law_no_memory, NULL);
    const char *tmp = getenv("TMPDIR");
    l->folder = bt_arena_format(l->arena, "%s/bedtally-law-XXXXXX", tmp ? tmp : "/tmp");
    *state = l;
    return mkdtemp(l->folder) ? 0 : -1;
}

static inline const char *law_path(struct law *l, const char *file)
{
    return bt_arena_format(l->arena, "%s/%s", l->folder, file);
}

static inline void law_write(struct law *l, const char *file, const char *text)
{
    const char *path = law_path(l, file);
    if (!text) {
        remove(path);
        return;
    }
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    fputs(text, f);
    assert_int_equal(fclose(f), 0);
}

static inline void law_write_table(struct law *l, const struct law_text *t)
{
    static const char *const tables[] = {"intercrops.csv", "crops.csv", "soils.csv",
                                         "legumes.csv", "residues.csv"};
    mkdir(law_path(l, "tables"), 0777);
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++) {
        const bool own = t->own_table && strcmp(t->own_table, tables[i]) == 0;
        law_write(l, bt_arena_format(l->arena, "tables/%s", tables[i]),
                  own ? t->own_rows : NULL);
    }
}

static inline void law_write_all(struct law *l, const struct law_text *t)
{
    const int end = t->season_end ? t->season_end : law_day(9, 30);
    const int start = t->start ? t->start : law_day(5, 1);
    const int named = t->named ? t->named : LAW_YEAR;
    const char *season = named < 0 ? "" : bt_arena_format(l->arena, "season,%d\n", named);
    law_write(l, "garden.csv",
              bt_arena_format(l->arena,
                              "setting,value\nname,a garden of the tests\nunits,metric\n"
                              "%sseason_start,%s\nseason_end,%s\n"
                              "as_of,%d-12-31\n%s",
                              season, bt_date_iso(l->arena, start),
                              bt_date_iso(l->arena, end), LAW_YEAR,
                              t->settings ? t->settings : ""));
    law_write(l, "beds.csv", t->beds);
    law_write(l, "plantings.csv", t->plantings);
    law_write(l, "soil_tests.csv", t->soil_tests);
    law_write(l, "water.csv", t->water);
    law_write(l, "materials.csv", t->materials);
    law_write(l, "applications.csv", t->applications);
    law_write_table(l, t);
}

static inline int law_teardown(void **state)
{
    struct law *l = *state;
    law_write_all(l, &(struct law_text){0});
    remove(law_path(l, "garden.csv"));
    rmdir(law_path(l, "tables"));
    rmdir(l->folder);
    bt_arena_free(l->arena);
    free(l);
    return 0;
}

/* ---- running ---- */

static inline void *law_copy(struct bt_arena *a, const void *from, size_t size)
{
    void *to = bt_arena_alloc(a, size);
    if (size)
        memcpy(to, from, size);
    return to;
}

struct law_sink {
    struct law *law;
    struct law_answer *answer;
    size_t most;
};

static inline void law_copy_lines(struct bt_arena *a, struct law_bed *to,
                                  const struct bt_account_finding *f)
{
    to->n_lines = f->n_lines;
    to->line = bt_arena_zero(a, (f->n_lines + 1) * sizeof *to->line);
    for (size_t i = 0; i < f->n_lines; i++) {
        const struct bt_line *line = f->line[i].line;
        to->line[i] = (struct law_line){
            .id = bt_arena_text(a, line->id),
            .side = line->side,
            .total = f->line[i].total,
            .by_date =
                law_copy(a, line->by_date, f->account->n_dates * sizeof *line->by_date)};
    }
}

static inline void law_copy_plants(struct bt_arena *a, struct law_bed *to,
                                   const struct bt_finding *f)
{
    const struct bt_budget *b = f->budget;
    to->n_plants = b->n_plantings;
    to->plant = bt_arena_zero(a, (b->n_plantings + 1) * sizeof *to->plant);
    for (size_t i = 0; i < b->n_plantings; i++) {
        const struct bt_planting_facts *x = &b->planting[i];
        to->plant[i] =
            (struct law_plant){.crop = bt_arena_text(a, x->planting->written),
                               .is_legume = x->is_legume,
                               .density = x->density,
                               .relative_yield = bt_likely(b->sheet, x->relative_yield),
                               .recovery = bt_likely(b->sheet, x->recovery),
                               .spread = f->planting[i]};
    }
}

static inline void law_take(void *context, const struct bt_run *run,
                            const struct bt_finding *f)
{
    struct law_sink *s = context;
    struct bt_arena *a = s->law->arena;
    (void)run;
    assert_true(s->answer->n_beds < s->most);
    const struct bt_account_finding *n = &f->account[BT_N];
    struct law_bed *to = &s->answer->bed[s->answer->n_beds++];
    *to = (struct law_bed){
        .id = bt_arena_text(a, f->budget->bed->id),
        .area_m2 = f->budget->bed->area_m2,
        .n_dates = n->account->n_dates,
        .date = law_copy(a, n->account->date, n->account->n_dates * sizeof(int)),
        .required = n->required,
        .supply = n->supply,
        .balance = n->balance,
        .tightest = n->tightest,
        .shortfall = n->shortfall,
        .surplus = n->surplus,
        .left = n->left,
        .tightest_date = n->tightest_date,
        .chance_of_shortfall = n->chance_of_shortfall,
        .chance_of_visible_shortfall = n->chance_of_visible_shortfall,
        .chance_left_over_limit = n->chance_left_over_limit,
        .word = n->word};
    law_copy_lines(a, to, n);
    law_copy_plants(a, to, f);
    char *all = bt_arena_text(a, "");
    for (size_t i = 0; i < f->budget->n_understood; i++)
        all = bt_arena_format(a, "%s%s\n", all, f->budget->understood[i]);
    for (size_t i = 0; i < f->budget->n_assumed; i++)
        all = bt_arena_format(a, "%s%s\n", all,
                              f->budget->assumed[i].leaf ? f->budget->assumed[i].leaf->label
                                                         : f->budget->assumed[i].sentence);
    to->sentences = all;
}

static inline struct bt_run_options law_options(struct law *l, const struct law_text *t,
                                                size_t samples, int threads)
{
    return (struct bt_run_options){
        .folder = l->folder,
        .garden = {.season = t->season, .units = -1},
        .chance = {.samples = samples,  .seed = 1  },
        .threads = threads
    };
}

/* Errors end the test; so does a garden that was not understood. */
static inline void law_must(bool done, const struct bt_run *run)
{
    if (!done)
        bt_diag_print(stderr, run->diag, BT_NOTE);
    assert_true(done);
}

static inline struct law_answer law_run_with(struct law *l, const struct law_text *t,
                                             size_t samples, int threads)
{
    law_write_all(l, t);
    const struct bt_run_options o = law_options(l, t, samples, threads);
    struct bt_run run;
    law_must(bt_run_open(l->arena, &o, &run), &run);
    struct law_answer answer = {0};
    struct law_sink sink = {l, &answer, run.garden->n_beds};
    answer.bed = bt_arena_zero(l->arena, (sink.most + 1) * sizeof *answer.bed);
    law_must(bt_run_budget(&run, &o, &(struct bt_bed_sink){law_take, &sink}), &run);
    answer.total = run.total[BT_N];
    answer.n_warnings = bt_diag_count(run.diag, BT_WARNING);
    bt_run_close(&run);
    return answer;
}

/* All that is said of the garden, errors included, without working anything out. */
static inline const char *law_messages(struct law *l, const struct law_text *t)
{
    law_write_all(l, t);
    const struct bt_run_options o = law_options(l, t, BT_BLOCK, 1);
    struct bt_run run;
    const char *all = "";
    (void)bt_run_open(l->arena, &o, &run);
    for (size_t i = 0; i < bt_diag_kept(run.diag); i++)
        all = bt_arena_format(l->arena, "%s%s\n", all,
                              bt_message_text(l->arena, bt_diag_get(run.diag, i)));
    bt_run_close(&run);
    return all;
}

/* One block of draws, enough where likely values are compared. */
static inline struct law_answer law_run(struct law *l, const struct law_text *t)
{
    return law_run_with(l, t, BT_BLOCK, 1);
}

/* ---- looking ---- */

static inline const struct law_bed *law_bed(const struct law_answer *a, const char *id)
{
    for (size_t i = 0; i < a->n_beds; i++)
        if (strcmp(a->bed[i].id, id) == 0)
            return &a->bed[i];
    fail_msg("no bed %s", id);
    return NULL;
}

static inline const struct law_line *law_find(const struct law_bed *b, const char *part)
{
    for (size_t i = 0; i < b->n_lines; i++)
        if (strstr(b->line[i].id, part))
            return &b->line[i];
    return NULL;
}

/* Likely value of all lines whose id holds `part`; at least one must be there. */
static inline double law_likely(const struct law_bed *b, const char *part)
{
    double sum = 0;
    bool any = false;
    for (size_t i = 0; i < b->n_lines; i++)
        if (strstr(b->line[i].id, part)) {
            sum += b->line[i].total.likely;
            any = true;
        }
    if (!any) {
        for (size_t i = 0; i < b->n_lines; i++)
            print_error("  %s %.4g\n", b->line[i].id, b->line[i].total.likely);
        fail_msg("no line with \"%s\" in %s", part, b->id);
    }
    return sum;
}

static inline const struct law_plant *law_plant(const struct law_bed *b, const char *crop)
{
    for (size_t i = 0; i < b->n_plants; i++)
        if (strcmp(b->plant[i].crop, crop) == 0)
            return &b->plant[i];
    fail_msg("no %s in %s", crop, b->id);
    return NULL;
}

/* have (sign 1) or need (sign -1) or their difference (0) on a day, at the likely values.
 */
static inline double law_at(const struct law_bed *b, int day, int sign)
{
    size_t k = 0;
    while (k + 1 < b->n_dates && b->date[k + 1] <= day)
        k++;
    double have = 0, need = 0;
    for (size_t i = 0; i < b->n_lines; i++) {
        const double x = b->line[i].total.likely * b->line[i].by_date[k];
        if (b->line[i].side == BT_SUPPLY)
            have += x;
        else
            need += x;
    }
    return sign > 0 ? have : sign < 0 ? need : have - need;
}

/* ---- draws ---- */

/* One block of draws of named nodes of one bed. */
struct law_draws {
    struct law *law;
    const char *bed;
    size_t n;
    const char *const *name; /* labels or ids */
    double (*out)[BT_BLOCK];
    bool done;
};

static inline void law_draw_bed(void *context, const struct bt_run *run,
                                const struct bt_budget *budget)
{
    struct law_draws *d = context;
    if (strcmp(budget->bed->id, d->bed) != 0)
        return;
    struct bt_arena *a = d->law->arena;
    struct bt_node *node = bt_arena_alloc(a, (d->n + 1) * sizeof *node);
    for (size_t i = 0; i < d->n; i++)
        if (!bt_sheet_find(budget->sheet, d->name[i], &node[i]))
            fail_msg("no node \"%s\" in %s", d->name[i], d->bed);
    struct bt_sampler s = bt_sampler_new(a, run->diag, bt_shapes_new(a), budget->sheet, 1,
                                         (struct bt_nodes){d->n, node});
    bt_sampler_block(&s, 0);
    for (size_t i = 0; i < d->n; i++)
        memcpy(d->out[i], bt_program_column(s.program, node[i]), sizeof d->out[i]);
    d->done = true;
}

static inline void law_draw(struct law *l, const struct law_text *t, const char *bed,
                            size_t n, const char *const *name, double (*out)[BT_BLOCK])
{
    law_write_all(l, t);
    const struct bt_run_options o = law_options(l, t, BT_BLOCK, 1);
    struct bt_run run;
    law_must(bt_run_open(l->arena, &o, &run), &run);
    struct law_draws d = {l, bed, n, name, out, false};
    law_must(bt_run_check(&run, &o, &(struct bt_check_sink){law_draw_bed, &d}), &run);
    bt_run_close(&run);
    assert_true(d.done);
}

/* Both are the same in every draw, within `rel` of the first. */
static inline void law_same_draws(const double *x, const double *y, double rel,
                                  const char *what)
{
    for (size_t i = 0; i < BT_BLOCK; i++)
        if (!(fabs(x[i] - y[i]) <= rel * fabs(x[i]) + 1e-15))
            fail_msg("%s: draw %zu is %.17g and %.17g", what, i, x[i], y[i]);
}

#define LAW_TEST(f) cmocka_unit_test_setup_teardown(f, law_setup, law_teardown)

#endif
