#include "plan/choose.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <string.h>

#include <glpk.h>

/* Everything is checked before GLPK is called: a wrong argument would end the program. */

static const double NOTHING =
    1e-7; /* below this a shortage, an amount or a price is none */

/* ---- checking ----------------------------------------------------------------------- */

static bool row_is_sound(const struct bt_choice_model *m, const struct bt_choice_row *r)
{
    if (!r->name || !r->gives || !isfinite(r->bound))
        return false;
    if (r->kind == BT_CHOICE_SOFT && !(r->dear > 0 && isfinite(r->dear)))
        return false;
    if (!(r->weight >= 0) || !isfinite(r->weight))
        return false;
    for (size_t j = 0; j < m->n_columns; j++)
        if (!isfinite(r->gives[j]))
            return false;
    return true;
}

static bool is_sound(const struct bt_choice_model *m)
{
    enum { MOST = 100000 }; /* far more than a garden has; ints stay ints */
    if (m->n_columns > MOST || m->n_rows > MOST || !(m->let_off >= 0) ||
        !(m->let_off_lesser >= 0))
        return false;
    for (size_t j = 0; j < m->n_columns; j++)
        if (!m->name[j] || !isfinite(m->cost[j]) || m->cost[j] < 0 || !(m->most[j] >= 0))
            return false;
    for (size_t i = 0; i < m->n_rows; i++)
        if (!row_is_sound(m, &m->row[i]))
            return false;
    return true;
}

/* ---- building ----------------------------------------------------------------------- */

/* Columns 1 .. n are those of the model, then one a row: the shortage of a need, the excess
 * over a soft limit, or nothing (held at 0) for a hard one. Rows 1 .. n_rows are those of
 * the model; the last is the weighted sum of shortages. */
struct program {
    glp_prob *p;
    const struct bt_choice_model *m;
    int n, rows;
};

static int helper_column(const struct program *g, size_t row)
{
    return g->n + 1 + (int)row;
}

static double weight_of(const struct bt_choice_row *r)
{
    return r->weight > 0 ? r->weight : 1;
}

static void set_row(struct program *g, size_t i, int *index, double *value)
{
    const struct bt_choice_row *r = &g->m->row[i];
    const int at = (int)i + 1;
    int n = 0;
    for (size_t j = 0; j < g->m->n_columns; j++)
        if (r->gives[j] != 0) {
            index[++n] = (int)j + 1;
            value[n] = r->gives[j];
        }
    if (r->kind != BT_CHOICE_LIMIT) {
        index[++n] = helper_column(g, i);
        value[n] = r->kind == BT_CHOICE_NEED ? 1 : -1;
    }
    glp_set_mat_row(g->p, at, n, index, value);
    if (r->kind == BT_CHOICE_NEED)
        glp_set_row_bnds(g->p, at, GLP_LO, r->bound, 0);
    else
        glp_set_row_bnds(g->p, at, GLP_UP, 0, r->bound);
}

static void set_columns(struct program *g, const double *most)
{
    for (size_t j = 0; j < g->m->n_columns; j++) {
        const int at = (int)j + 1;
        if (!isfinite(most[j]))
            glp_set_col_bnds(g->p, at, GLP_LO, 0, 0);
        else if (most[j] > 0)
            glp_set_col_bnds(g->p, at, GLP_DB, 0, most[j]);
        else
            glp_set_col_bnds(g->p, at, GLP_FX, 0, 0);
    }
    for (size_t i = 0; i < g->m->n_rows; i++)
        glp_set_col_bnds(g->p, helper_column(g, i),
                         g->m->row[i].kind == BT_CHOICE_LIMIT ? GLP_FX : GLP_LO, 0, 0);
}

static struct program build(struct bt_arena *a, const struct bt_choice_model *m,
                            const double *most)
{
    struct program g = {glp_create_prob(), m, (int)m->n_columns, (int)m->n_rows + 1};
    glp_set_obj_dir(g.p, GLP_MIN);
    glp_add_rows(g.p, g.rows);
    glp_add_cols(g.p, g.n + (int)m->n_rows);
    set_columns(&g, most);
    const size_t cells = m->n_columns + m->n_rows + 2;
    int *index = bt_arena_alloc(a, cells * sizeof *index);
    double *value = bt_arena_alloc(a, cells * sizeof *value);
    for (size_t i = 0; i < m->n_rows; i++)
        set_row(&g, i, index, value);
    int n = 0;
    for (size_t i = 0; i < m->n_rows; i++)
        if (m->row[i].kind == BT_CHOICE_NEED) {
            index[++n] = helper_column(&g, i);
            value[n] = weight_of(&m->row[i]);
        }
    glp_set_mat_row(g.p, g.rows, n, index, value);
    glp_set_row_bnds(g.p, g.rows, GLP_FR, 0, 0);
    return g;
}

static bool run(struct program *g)
{
    glp_smcp how;
    glp_init_smcp(&how);
    how.msg_lev = GLP_MSG_OFF;
    glp_adv_basis(g->p, 0); /* the same beginning every time: the same answer */
    return glp_simplex(g->p, &how) == 0 && glp_get_status(g->p) == GLP_OPT;
}

static void aim_at_shortage(struct program *g)
{
    for (int j = 1; j <= g->n + (int)g->m->n_rows; j++)
        glp_set_obj_coef(g->p, j, 0);
    for (size_t i = 0; i < g->m->n_rows; i++)
        if (g->m->row[i].kind == BT_CHOICE_NEED)
            glp_set_obj_coef(g->p, helper_column(g, i), weight_of(&g->m->row[i]));
}

/* Shortages may not grow any more; now the cost counts. */
static void aim_at_cost(struct program *g, double short_sum)
{
    for (int j = 1; j <= g->n; j++)
        glp_set_obj_coef(g->p, j, g->m->cost[j - 1]);
    for (size_t i = 0; i < g->m->n_rows; i++) {
        const struct bt_choice_row *r = &g->m->row[i];
        glp_set_obj_coef(g->p, helper_column(g, i),
                         r->kind == BT_CHOICE_SOFT ? r->dear : 0);
    }
    /* No room for a shortage that would make it cheaper; a hair for the arithmetic. */
    glp_set_row_bnds(g->p, g->rows, GLP_UP, 0, short_sum * (1 + 1e-9));
}

/* ---- reading the answer ---- */

static void note_fights(const struct program *g, struct bt_choice *out)
{
    for (size_t i = 0; i < g->m->n_rows; i++)
        out->fights[i] = g->m->row[i].kind == BT_CHOICE_LIMIT &&
                         fabs(glp_get_row_dual(g->p, (int)i + 1)) > NOTHING;
    for (size_t j = 0; j < g->m->n_columns; j++)
        out->column_full[j] =
            isfinite(g->m->most[j]) && glp_get_col_dual(g->p, (int)j + 1) < -NOTHING;
}

static void read_answer(const struct program *g, struct bt_choice *out)
{
    out->cost = glp_get_obj_val(g->p);
    for (size_t j = 0; j < g->m->n_columns; j++) {
        const double x = glp_get_col_prim(g->p, (int)j + 1);
        out->x[j] = x > NOTHING ? x : 0;
        out->reduced[j] = glp_get_col_dual(g->p, (int)j + 1);
    }
    for (size_t i = 0; i < g->m->n_rows; i++) {
        const struct bt_choice_row *r = &g->m->row[i];
        const double at = glp_get_row_prim(g->p, (int)i + 1);
        out->price[i] = glp_get_row_dual(g->p, (int)i + 1);
        out->binds[i] = fabs(at - r->bound) <= 1e-6 * (1 + fabs(r->bound));
        out->shortage[i] = 0;
        if (r->kind == BT_CHOICE_NEED) {
            const double lack = glp_get_col_prim(g->p, helper_column(g, i));
            out->shortage[i] = lack > NOTHING ? lack : 0;
        }
    }
}

static struct bt_choice room_for(struct bt_arena *a, const struct bt_choice_model *m)
{
    return (struct bt_choice){
        .x = bt_arena_zero(a, (m->n_columns + 1) * sizeof(double)),
        .shortage = bt_arena_zero(a, (m->n_rows + 1) * sizeof(double)),
        .price = bt_arena_zero(a, (m->n_rows + 1) * sizeof(double)),
        .binds = bt_arena_zero(a, (m->n_rows + 1) * sizeof(bool)),
        .fights = bt_arena_zero(a, (m->n_rows + 1) * sizeof(bool)),
        .column_full = bt_arena_zero(a, (m->n_columns + 1) * sizeof(bool)),
        .reduced = bt_arena_zero(a, (m->n_columns + 1) * sizeof(double)),
    };
}

/* ---- solving ---- */

static bool solve(struct bt_arena *a, const struct bt_choice_model *m, const double *most,
                  const char *write_to, struct bt_choice *out)
{
    *out = room_for(a, m);
    if (m->n_columns == 0) {
        for (size_t i = 0; i < m->n_rows; i++)
            if (m->row[i].kind == BT_CHOICE_NEED && m->row[i].bound > 0)
                out->short_sum +=
                    weight_of(&m->row[i]) * (out->shortage[i] = m->row[i].bound);
        return write_to == NULL;
    }
    const int printing = glp_term_out(GLP_OFF);
    struct program g = build(a, m, most);
    aim_at_shortage(&g);
    bool ok = run(&g);
    if (ok) {
        const double lack = glp_get_obj_val(g.p);
        out->short_sum = lack > NOTHING ? lack : 0;
        note_fights(&g, out);
        aim_at_cost(&g, out->short_sum);
        ok = run(&g);
    }
    if (ok)
        read_answer(&g, out);
    if (ok && write_to)
        ok = glp_write_lp(g.p, NULL, write_to) == 0;
    glp_delete_prob(g.p);
    glp_term_out(printing);
    return ok;
}

bool bt_choose(struct bt_arena *a, const struct bt_choice_model *m, struct bt_choice *out)
{
    return is_sound(m) && solve(a, m, m->most, NULL, out);
}

bool bt_choose_write(struct bt_arena *a, const struct bt_choice_model *m, const char *file)
{
    struct bt_choice unused;
    return is_sound(m) && solve(a, m, m->most, file, &unused);
}

/* ---- fewest ---- */

static size_t group_of(const struct bt_choice_model *m, size_t column)
{
    return m->group ? m->group[column] : column;
}

/* How much a group gives to the needs in all: those that give least go first. */
static double given_by(const struct bt_choice_model *m, const struct bt_choice *c,
                       size_t group)
{
    double sum = 0;
    for (size_t i = 0; i < m->n_rows; i++)
        for (size_t j = 0; m->row[i].kind == BT_CHOICE_NEED && j < m->n_columns; j++)
            if (group_of(m, j) == group)
                sum += m->row[i].gives[j] * c->x[j];
    return sum;
}

/* The used group that gives least and was not tried yet; n_columns when there is none. */
static size_t next_group(const struct bt_choice_model *m, const struct bt_choice *c,
                         const bool *tried)
{
    size_t best = m->n_columns;
    double least = HUGE_VAL;
    for (size_t j = 0; j < m->n_columns; j++) {
        const size_t group = group_of(m, j);
        if (c->x[j] <= NOTHING || tried[j])
            continue;
        const double given = given_by(m, c, group);
        if (given < least) {
            least = given;
            best = group;
        }
    }
    return best;
}

/* Shortages of needs, and of those that weigh less than 1. */
struct lack {
    double of_needs, of_lesser;
};

static struct lack lack_of(const struct bt_choice_model *m, const struct bt_choice *c)
{
    struct lack l = {0, 0};
    for (size_t i = 0; i < m->n_rows; i++)
        if (m->row[i].kind == BT_CHOICE_NEED)
            *(weight_of(&m->row[i]) < 1 ? &l.of_lesser : &l.of_needs) += c->shortage[i];
    return l;
}

/* What may be lacking with a group less. */
static struct lack allowed(const struct bt_choice_model *m, const struct bt_choice *c)
{
    struct lack l = lack_of(m, c);
    l.of_needs += NOTHING * (1 + l.of_needs);
    l.of_lesser += NOTHING * (1 + l.of_lesser);
    for (size_t i = 0; i < m->n_rows; i++) {
        const struct bt_choice_row *r = &m->row[i];
        if (r->kind != BT_CHOICE_NEED || !(r->bound > 0))
            continue;
        if (weight_of(r) < 1)
            l.of_lesser += m->let_off_lesser * r->bound;
        else
            l.of_needs += m->let_off * r->bound;
    }
    return l;
}

bool bt_choose_fewest(struct bt_arena *a, const struct bt_choice_model *m, double slack,
                      double at_least, struct bt_choice *out)
{
    if (!bt_choose(a, m, out))
        return false;
    const double most_cost = out->cost * (1 + slack) + at_least;
    const struct lack most_lack = allowed(m, out);
    double *most = bt_arena_alloc(a, (m->n_columns + 1) * sizeof *most);
    bool *tried = bt_arena_zero(a, (m->n_columns + 1) * sizeof *tried);
    memcpy(most, m->most, m->n_columns * sizeof *most);
    for (size_t group = next_group(m, out, tried); group < m->n_columns;
         group = next_group(m, out, tried)) {
        struct bt_choice without;
        for (size_t j = 0; j < m->n_columns; j++)
            if (group_of(m, j) == group) {
                most[j] = 0;
                tried[j] = true;
            }
        const bool ok = solve(a, m, most, NULL, &without);
        const struct lack lack = lack_of(m, &without);
        if (ok && lack.of_needs <= most_lack.of_needs &&
            lack.of_lesser <= most_lack.of_lesser && without.cost <= most_cost) {
            memcpy(without.fights, out->fights, m->n_rows * sizeof *out->fights);
            memcpy(without.column_full, out->column_full,
                   m->n_columns * sizeof *out->column_full);
            *out = without;
            continue;
        }
        for (size_t j = 0; j < m->n_columns; j++)
            if (group_of(m, j) == group)
                most[j] = m->most[j];
    }
    return true;
}

/* ---- packages ---- */

static bool packages_are_sound(size_t n, const double *size, const double *price,
                               double wanted)
{
    for (size_t k = 0; k < n; k++)
        if (!(size[k] > 0) || !isfinite(size[k]) || !(price[k] >= 0) || !isfinite(price[k]))
            return false;
    return n > 0 && n < 1000 && isfinite(wanted);
}

bool bt_choose_packages(struct bt_arena *a, size_t n, const double *size,
                        const double *price, double wanted, double *out_count)
{
    if (!packages_are_sound(n, size, price, wanted))
        return false;
    for (size_t k = 0; k < n; k++)
        out_count[k] = 0;
    if (wanted <= 0)
        return true;
    const int printing = glp_term_out(GLP_OFF);
    glp_prob *p = glp_create_prob();
    int *index = bt_arena_alloc(a, (n + 1) * sizeof *index);
    double *value = bt_arena_alloc(a, (n + 1) * sizeof *value);
    glp_set_obj_dir(p, GLP_MIN);
    glp_add_rows(p, 1);
    glp_add_cols(p, (int)n);
    for (size_t k = 0; k < n; k++) {
        const int at = (int)k + 1;
        index[at] = at;
        value[at] = size[k] / wanted; /* shares of what is wanted: the same scale always */
        glp_set_col_kind(p, at, GLP_IV);
        glp_set_col_bnds(p, at, GLP_DB, 0, ceil(wanted / size[k] - 1e-9) + 1);
        /* Among equal prices the least of it. */
        glp_set_obj_coef(p, at, price[k] + 1e-6 * size[k] / wanted);
    }
    glp_set_row_bnds(p, 1, GLP_LO, 1 - 1e-9, 0);
    glp_set_mat_row(p, 1, (int)n, index, value);
    glp_iocp how;
    glp_init_iocp(&how);
    how.msg_lev = GLP_MSG_OFF;
    how.presolve = GLP_ON;
    const bool ok = glp_intopt(p, &how) == 0 && glp_mip_status(p) == GLP_OPT;
    for (size_t k = 0; ok && k < n; k++)
        out_count[k] = round(glp_mip_col_val(p, (int)k + 1));
    glp_delete_prob(p);
    glp_term_out(printing);
    return ok;
}
