/* The public interface over the main path: keeps what a finding says after the finding is
 * gone. */
#include "bedtally/bedtally.h"

#include <locale.h>
#include <setjmp.h>
#include <stdlib.h>

#include "base/date.h"
#include "run.h"

struct kept_account {
    bool known;
    struct bedtally_account account;
    size_t n_lines;
    struct bedtally_line *line;
};

struct kept_bed {
    const char *id;
    double area_m2;
    struct kept_account account[BT_NUTRIENTS];
};

struct bedtally {
    struct bt_arena *arena;
    struct bt_run_options options;
    struct bt_run run;
    bool opened; /* without errors */
    bool out_of_memory;
    jmp_buf back;  /* where a call goes on when there is no memory */
    locale_t pure; /* numbers with a point, whatever the caller's locale has */
    size_t n_beds, capacity;
    struct kept_bed *bed;
};

static void no_memory(void *context)
{
    struct bedtally *b = context;
    b->out_of_memory = true;
    longjmp(b->back, 1);
}

static size_t samples_of(const struct bedtally_options *o)
{
    if (o->samples == 0)
        return BT_SAMPLES_USUAL;
    return o->samples < BT_SAMPLES_MOST ? o->samples : BT_SAMPLES_MOST;
}

static struct bt_run_options run_options(const struct bedtally_options *o)
{
    static const struct bedtally_options usual = {.seed = 1};
    const struct bedtally_options *from = o ? o : &usual;
    return (struct bt_run_options){
        .tables_dir = from->tables_dir,
        .garden = {.season = from->season, .plan = from->plan, .units = -1},
        .chance = {.samples = samples_of(from),                      .seed = from->seed             },
        .threads = from->threads,
    };
}

static const char *copied(struct bt_arena *a, const char *text)
{
    return text ? bt_arena_text(a, text) : NULL;
}

/* False when there is no memory. */
static bool open_garden(struct bedtally *b, const char *folder,
                        const struct bedtally_options *options)
{
    if (setjmp(b->back) != 0)
        return false;
    b->options = run_options(options);
    b->options.folder = bt_arena_text(b->arena, folder);
    b->options.tables_dir = copied(b->arena, b->options.tables_dir);
    b->options.garden.plan = copied(b->arena, b->options.garden.plan);
    b->opened = bt_run_open(b->arena, &b->options, &b->run);
    return true;
}

struct bedtally *bedtally_open(const char *folder, const struct bedtally_options *options)
{
    struct bedtally *b = calloc(1, sizeof *b);
    if (!b)
        return NULL;
    b->pure = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    b->arena = b->pure ? bt_arena_new(1 << 18, no_memory, b) : NULL;
    if (b->arena) {
        const locale_t own = uselocale(b->pure);
        const bool opened = open_garden(b, folder, options);
        (void)uselocale(own);
        if (opened)
            return b;
    }
    bedtally_close(b);
    return NULL;
}

void bedtally_close(struct bedtally *b)
{
    if (!b)
        return;
    bt_run_close(&b->run);
    bt_arena_free(b->arena);
    if (b->pure)
        freelocale(b->pure);
    free(b);
}

static struct bedtally_spread spread_of(const struct bt_spread *s, double share)
{
    return (struct bedtally_spread){s->likely * share, s->mean * share, s->p05 * share,
                                    s->p50 * share, s->p95 * share};
}

static struct bedtally_account account_of(const struct bt_account_finding *x)
{
    struct bedtally_account out = {
        .required_g_m2 = spread_of(&x->required, 1),
        .supply_g_m2 = spread_of(&x->supply, 1),
        .balance_g_m2 = spread_of(&x->balance, 1),
        .tightest_g_m2 = spread_of(&x->tightest, 1),
        .shortfall_g_m2 = spread_of(&x->shortfall, 1),
        .left_g_m2 = spread_of(&x->left, 1),
        .chance_of_shortfall = x->chance_of_shortfall,
        .chance_of_visible_shortfall = x->chance_of_visible_shortfall,
        .chance_error = x->chance_error,
    };
    bt_civil(x->tightest_date, &out.tightest_year, &out.tightest_month, &out.tightest_day);
    return out;
}

static void keep_account(struct bt_arena *a, const struct bt_account_finding *x,
                         struct kept_account *out)
{
    out->known = x->account->known;
    out->account = account_of(x);
    out->n_lines = x->n_lines;
    out->line = bt_arena_zero(a, (x->n_lines + 1) * sizeof *out->line);
    for (size_t i = 0; i < x->n_lines; i++) {
        const struct bt_line_finding *l = &x->line[i];
        out->line[i] = (struct bedtally_line){
            .id = bt_arena_text(a, l->line->id),
            .label = bt_arena_text(a, l->line->label),
            .side = l->line->side == BT_SUPPLY ? BEDTALLY_SUPPLY : BEDTALLY_NEED,
            .total_g_m2 = spread_of(&l->total, 1),
            .in_time_g_m2 = spread_of(&l->total, l->in_time_share),
        };
    }
}

static void keep_bed(void *context, const struct bt_run *run, const struct bt_finding *f)
{
    struct bedtally *b = context;
    (void)run;
    b->bed = bt_arena_grow(b->arena, b->bed, &b->capacity, b->n_beds, sizeof *b->bed);
    struct kept_bed *bed = &b->bed[b->n_beds++];
    *bed = (struct kept_bed){.id = bt_arena_text(b->arena, f->budget->bed->id),
                             .area_m2 = f->budget->bed->area_m2};
    for (size_t i = 0; i < f->budget->n_accounts; i++)
        keep_account(b->arena, &f->account[i],
                     &bed->account[f->account[i].account->nutrient]);
}

static bool compute(struct bedtally *b)
{
    if (!b->opened || b->out_of_memory || setjmp(b->back) != 0)
        return false;
    const struct bt_bed_sink sink = {keep_bed, b};
    return bt_run_budget(&b->run, &b->options, &sink);
}

bool bedtally_compute(struct bedtally *b)
{
    const locale_t own = uselocale(b->pure);
    b->n_beds = 0;
    const bool ok = compute(b);
    (void)uselocale(own);
    return ok;
}

size_t bedtally_samples(const struct bedtally *b)
{
    return b->run.chance.samples;
}

bool bedtally_out_of_memory(const struct bedtally *b)
{
    return b->out_of_memory;
}

size_t bedtally_messages(const struct bedtally *b)
{
    return bt_diag_kept(b->run.diag);
}

static const char *message(struct bedtally *b, size_t i, enum bedtally_weight *out_weight)
{
    if (i >= bt_diag_kept(b->run.diag) || setjmp(b->back) != 0)
        return NULL;
    const struct bt_message *m = bt_diag_get(b->run.diag, i);
    if (out_weight)
        *out_weight = m->weight == BT_ERROR     ? BEDTALLY_ERROR
                      : m->weight == BT_WARNING ? BEDTALLY_WARNING
                                                : BEDTALLY_NOTE;
    return bt_message_text(b->arena, m);
}

const char *bedtally_message(struct bedtally *b, size_t i, enum bedtally_weight *out_weight)
{
    const locale_t own = uselocale(b->pure);
    const char *text = message(b, i, out_weight);
    (void)uselocale(own);
    return text;
}

size_t bedtally_beds(const struct bedtally *b)
{
    return b->n_beds;
}

const char *bedtally_bed(const struct bedtally *b, size_t bed, double *out_area_m2)
{
    if (out_area_m2)
        *out_area_m2 = bed < b->n_beds ? b->bed[bed].area_m2 : 0;
    return bed < b->n_beds ? b->bed[bed].id : NULL;
}

static const struct kept_account *account(const struct bedtally *b, size_t bed,
                                          enum bedtally_nutrient nutrient)
{
    static const enum bt_nutrient of[] = {
        [BEDTALLY_N] = BT_N, [BEDTALLY_P2O5] = BT_P2O5, [BEDTALLY_K2O] = BT_K2O};
    if (bed >= b->n_beds || (size_t)nutrient >= sizeof of / sizeof *of)
        return NULL;
    return &b->bed[bed].account[of[nutrient]];
}

bool bedtally_bed_account(const struct bedtally *b, size_t bed,
                          enum bedtally_nutrient nutrient, struct bedtally_account *out)
{
    const struct kept_account *k = account(b, bed, nutrient);
    if (!k || !k->known)
        return false;
    *out = k->account;
    return true;
}

size_t bedtally_bed_lines(const struct bedtally *b, size_t bed,
                          enum bedtally_nutrient nutrient)
{
    const struct kept_account *k = account(b, bed, nutrient);
    return k ? k->n_lines : 0;
}

bool bedtally_bed_line(const struct bedtally *b, size_t bed,
                       enum bedtally_nutrient nutrient, size_t line,
                       struct bedtally_line *out)
{
    const struct kept_account *k = account(b, bed, nutrient);
    if (!k || line >= k->n_lines)
        return false;
    *out = k->line[line];
    return true;
}

const char *bedtally_version(void)
{
    return BT_VERSION;
}
