#include "command/report_parts.h"

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "chance/legumes.h"
#include "command/target.h"
#include "command/versions.h"

static bool refuse(struct bt_arena *a, const char *field, const char *expected,
                   const char *found)
{
    (void)bt_refuse(a, field, expected, found, NULL);
    return false;
}

/* "plan, legumes" into the two. */
static bool read_words(struct bt_arena *a, const char *text, struct bt_report_parts *out)
{
    for (const char *at = text; *at; at += strspn(at, ", ")) {
        const size_t n = strcspn(at, ", ");
        const char *word = bt_arena_text_n(a, at, n);
        if (bt_text_is(word, "plan"))
            out->plan = true;
        else if (bt_text_is(word, "legumes"))
            out->legumes = true;
        else if (n > 0)
            return refuse(a, "--with", "plan, legumes, or plan,legumes", word);
        at += n;
    }
    return true;
}

bool bt_report_parts_read(struct bt_arena *a, const struct bt_options *o,
                          enum bt_audience audience, struct bt_report_parts *out)
{
    const bool whole = audience == BT_FOR_RECORD || audience == BT_FOR_FILE;
    *out = (struct bt_report_parts){.plan = audience == BT_FOR_FILE,
                                    .legumes = audience == BT_FOR_FILE,
                                    .against = o->against,
                                    .deeds_alone = audience == BT_FOR_RECORD ||
                                                   audience == BT_FOR_FUNDER};
    if (!whole && (o->with || o->against))
        return refuse(a, o->with ? "--with" : "--against",
                      audience == BT_FOR_FUNDER
                          ? "the record or --for file: a funder's version holds deeds, no "
                            "advice and no second version"
                          : "the record or --for file",
                      bt_audience_words[audience]);
    if (o->with && !read_words(a, o->with, out))
        return false;
    return out->plan || !o->from_handbook ||
           refuse(a, "--from-handbook", "--with plan or --for file beside it", NULL);
}

void bt_report_leave_plans_out(struct bt_garden *g)
{
    size_t n = 0;
    for (size_t i = 0; i < g->n_applications; i++)
        if (g->application[i].status == BT_DONE && !g->application[i].is_advice)
            g->application[n++] = g->application[i];
    g->n_applications = n;
}

/* ---- legumes ---- */

/* Texts on their way into a record must stay. */
static struct bt_show lasting(const struct bt_front *f, const struct bt_record *r)
{
    struct bt_show w = f->show;
    w.arena = r->kept;
    return w;
}

void bt_report_legumes_part(struct bt_front *f, struct bt_record *r,
                            const struct bt_run *run, const struct bt_finding *finding)
{
    struct bt_arena *work = bt_front_arena(1u << 18);
    const struct bt_show w = lasting(f, r);
    const struct bt_legumes_question question = {
        .handbook = run->handbook,
        .budget = finding->budget,
        .bed = (size_t)(finding->budget->bed - run->garden->bed),
        .shapes = r->shapes,
        .chance = run->chance};
    const struct bt_legumes_finding legumes = bt_legumes_find(work, &question);
    bt_record_legumes_bed(r, &w, &(struct bt_legumes_page){finding, &legumes, false});
    bt_arena_free(work);
}

/* ---- the plan ---- */

struct plan_part {
    struct bt_record *record;
    struct bt_show show;
    struct bt_shopping *shopping;
};

static void keep_plan(void *context, const struct bt_bed_plan *plan)
{
    struct plan_part *p = context;
    bt_shopping_add(p->shopping, plan);
    bt_record_plan_bed(p->record, &p->show, plan);
}

bool bt_report_plan_part(struct bt_front *f, struct bt_record *r, bool from_handbook)
{
    const struct bt_amend_options how = {.from_handbook = from_handbook,
                                         .us_units = f->show.us_units,
                                         .chance = f->run.chance};
    struct bt_amend *m = bt_amend_new(f->run.arena, f->run.handbook, f->run.garden, &how);
    struct plan_part p = {r, lasting(f, r), bt_shopping_new(f->run.arena, m)};
    const struct bt_plan_sink sink = {keep_plan, &p};
    const struct bt_shopping_line *line;
    bt_record_plan_begin(r, &p.show);
    if (!bt_amend_garden(m, f->run.arena, f->run.diag, NULL, &sink))
        return false;
    const size_t n = bt_shopping_list(r->kept, p.shopping, &line);
    bt_record_plan_end(r, &p.show, n, line);
    return true;
}

/* ---- another version ---- */

struct compare_part {
    struct bt_record *record;
    struct bt_show show;
};

static void keep_compared(void *context, const struct bt_compared_bed *b)
{
    struct compare_part *p = context;
    bt_record_compare_bed(p->record, &p->show, b);
}

bool bt_report_compare_part(struct bt_front *f, struct bt_record *r,
                            const struct bt_report_parts *parts, const char *first)
{
    struct bt_run second = {0};
    struct compare_part p = {r, lasting(f, r)};
    bool ok = bt_versions_open(f->run.arena, f, parts->against, &second);
    if (ok && parts->deeds_alone)
        bt_report_leave_plans_out(second.garden);
    if (ok) {
        bt_record_compare_begin(r, first, parts->against, second.handbook);
        ok = bt_versions_each(&(struct bt_versions){f, &second, NULL, keep_compared, &p});
    }
    if (second.diag)
        bt_diag_print(stderr, second.diag, BT_WARNING);
    bt_run_close(&second);
    return ok;
}
