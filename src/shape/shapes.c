/* Makes the tables that draws read: standard quantile functions as cubic pieces that meet
 * with equal slopes. The outermost piece, where a slope or the value itself may be
 * infinite, passes through points inside it instead. All memory is taken at once, so that a
 * mark released after a bed never takes a table with it. */
#include "shape/range.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>

#include "base/text.h"
#include "shape/standard.h"
#include "shape/table.h"

enum { MODES = 257, REMEMBERED = 1024, NOTED = 1024 };

/* Key of a remembered fit; `flags` holds ends, form and has_likely. */
struct fit_key {
    double low, likely, high, limit_low, limit_high;
    uint64_t flags;
};

struct fit {
    struct fit_key key;
    bool is_set, fits;
    enum bt_fit_note note;
    struct bt_law law;
};

struct bt_shapes {
    double (*pert)[BT_TABLE_CELLS][4]; /* a table a mode, filled when asked for */
    bool has_pert[MODES];
    double (*normal)[4];
    double (*normal_cdf)[4];
    bool has_normal, has_normal_cdf;
    struct fit *fit; /* by hash, the newest stays */
    size_t n_noted;
    uint64_t *noted;
};

struct bt_shapes *bt_shapes_new(struct bt_arena *a)
{
    struct bt_shapes *s = bt_arena_zero(a, sizeof *s);
    s->pert = bt_arena_alloc(a, MODES * sizeof *s->pert);
    s->normal = bt_arena_alloc(a, BT_TABLE_CELLS * sizeof *s->normal);
    s->normal_cdf = bt_arena_alloc(a, BT_CDF_CELLS * sizeof *s->normal_cdf);
    s->fit = bt_arena_zero(a, REMEMBERED * sizeof *s->fit);
    s->noted = bt_arena_alloc(a, NOTED * sizeof *s->noted);
    return s;
}

/* ---- pieces ------------------------------------------------------------------------- */

struct knot {
    double value, slope;
};

/* Slopes are for a step of one cell. */
static void hermite(struct knot a, struct knot b, double c[4])
{
    c[0] = a.value;
    c[1] = a.slope;
    c[2] = 3 * (b.value - a.value) - 2 * a.slope - b.slope;
    c[3] = 2 * (a.value - b.value) + a.slope + b.slope;
}

/* The piece beyond the last knot, going outward: value and slope at the knot, and two
 * values at the distances w[0] < w[1] <= 1 of a cell. */
static void outward(struct knot k, const double w[2], const double value[2], double c[4])
{
    double bend[2];
    for (int j = 0; j < 2; j++)
        bend[j] = (value[j] - k.value - k.slope * w[j]) / (w[j] * w[j]);
    c[0] = k.value;
    c[1] = k.slope;
    c[3] = (bend[1] - bend[0]) / (w[1] - w[0]);
    c[2] = bend[0] - c[3] * w[0];
}

/* The same cubic seen from the other end of the cell. */
static void reversed(const double c[4], double out[4])
{
    out[0] = c[0] + c[1] + c[2] + c[3];
    out[1] = -(c[1] + 2 * c[2] + 3 * c[3]);
    out[2] = c[2] + 3 * c[3];
    out[3] = -c[3];
}

/* Where cell k of a half begins, k = 1 .. BT_TABLE_HALF - 1; the last one is 1/2. */
static double cell_start(int k)
{
    const int octave = (k - 1) / BT_TABLE_PARTS, part = (k - 1) % BT_TABLE_PARTS;
    return ldexp(1 + (double)part / BT_TABLE_PARTS, octave - BT_TABLE_OCTAVES - 1);
}

/* A quantile function seen from one end: its value at the chance v, and dvalue/dv. */
typedef struct knot quantile_at(double mode, double v);

static struct knot stepped(struct knot k, double step)
{
    return (struct knot){k.value, k.slope * step};
}

/* One half of a table, from its end to the middle. `w`: where the outermost piece is met,
 * as fractions of its width from the inside. */
static void fill_half(quantile_at *at, double mode, const double w[2],
                      double c[BT_TABLE_HALF][4])
{
    const double first = cell_start(1);
    struct knot k = at(mode, first);
    double value[2], piece[4];
    for (int j = 0; j < 2; j++)
        value[j] = at(mode, first * (1 - w[j])).value;
    outward(stepped(k, -first), w, value, piece);
    reversed(piece, c[0]);
    for (int i = 1; i < BT_TABLE_HALF - 1; i++) {
        const double step = cell_start(i + 1) - cell_start(i);
        const struct knot next = at(mode, cell_start(i + 1));
        hermite(stepped(k, step), stepped(next, step), c[i]);
        k = next;
    }
    const double middle[4] = {k.value, 0, 0, 0};
    memcpy(c[BT_TABLE_HALF - 1], middle, sizeof middle);
}

/* ---- PERT --------------------------------------------------------------------------- */

static struct knot pert_at(double mode, double v)
{
    const double z = bt_pert_quantile(mode, v);
    const double density = bt_pert_density(mode, z);
    return (struct knot){z, density > 0 ? 1 / density : 0};
}

/* The upper half is the lower half of the mirrored shape, mirrored back. */
const double (*bt_shapes_pert(struct bt_shapes *s, unsigned mode_256))[4]
{
    static const double met[2] = {0.5, 1};
    double(*table)[4] = s->pert[mode_256];
    if (!s->has_pert[mode_256]) {
        const double mode = mode_256 / 256.0;
        fill_half(pert_at, mode, met, table);
        fill_half(pert_at, 1 - mode, met, table + BT_TABLE_HALF);
        for (int i = BT_TABLE_HALF; i < BT_TABLE_CELLS; i++)
            for (int k = 0; k < 4; k++)
                table[i][k] = (k == 0) - table[i][k];
        s->has_pert[mode_256] = true;
    }
    return (const double(*)[4])table;
}

/* ---- normal ------------------------------------------------------------------------- */

static struct knot normal_at(double mode, double v)
{
    const double z = gsl_cdf_ugaussian_Pinv(v);
    (void)mode;
    return (struct knot){z, 1 / gsl_ran_ugaussian_pdf(z)};
}

const double (*bt_shapes_normal(struct bt_shapes *s))[4]
{
    static const double met[2] = {0.5, 0.75}; /* the end itself is infinite */
    double(*table)[4] = s->normal;
    if (!s->has_normal) {
        fill_half(normal_at, 0, met, table);
        for (int i = 0; i < BT_TABLE_HALF; i++)
            for (int k = 0; k < 4; k++)
                table[BT_TABLE_HALF + i][k] = -table[i][k];
        s->has_normal = true;
    }
    return (const double(*)[4])table;
}

static struct knot normal_cdf_knot(int i)
{
    const double z = (i - BT_CDF_CELLS / 2.0) / BT_CDF_CELLS_PER_SD;
    return (struct knot){gsl_cdf_ugaussian_P(z),
                         gsl_ran_ugaussian_pdf(z) / BT_CDF_CELLS_PER_SD};
}

const double (*bt_shapes_normal_cdf(struct bt_shapes *s))[4]
{
    double(*table)[4] = s->normal_cdf;
    if (!s->has_normal_cdf) {
        for (int i = 0; i < BT_CDF_CELLS; i++)
            hermite(normal_cdf_knot(i), normal_cdf_knot(i + 1), table[i]);
        s->has_normal_cdf = true;
    }
    return (const double(*)[4])table;
}

/* ---- remembered fits ---------------------------------------------------------------- */

/* The place of a key: where it is, or where it may be put. The newest take the place of
 * others. */
static struct fit *place_of(struct fit *fits, const struct fit_key *key)
{
    const uint64_t hash = bt_bytes_hash(key, sizeof *key);
    for (uint64_t k = 0; k < 8; k++) {
        struct fit *f = &fits[(hash + k) % REMEMBERED];
        if (!f->is_set || memcmp(&f->key, key, sizeof *key) == 0)
            return f;
    }
    return &fits[hash % REMEMBERED];
}

bool bt_shapes_law(struct bt_shapes *s, const struct bt_range *r, double limit_low,
                   double limit_high, struct bt_law *out_law, enum bt_fit_note *out_note)
{
    const struct fit_key key = {
        r->low,
        r->likely,
        r->high,
        limit_low,
        limit_high,
        (uint64_t)r->ends | (uint64_t)r->form << 8 | (uint64_t)r->has_likely << 16};
    struct fit *f = place_of(s->fit, &key);
    if (!f->is_set || memcmp(&f->key, &key, sizeof key) != 0) {
        f->key = key;
        f->fits = bt_law_fit(r, limit_low, limit_high, &f->law, &f->note);
        f->is_set = true;
    }
    *out_law = f->law;
    *out_note = f->note;
    return f->fits;
}

bool bt_shapes_first_time(struct bt_shapes *s, uint64_t key)
{
    for (size_t i = 0; i < s->n_noted; i++)
        if (s->noted[i] == key)
            return false;
    if (s->n_noted < NOTED)
        s->noted[s->n_noted++] = key;
    return true;
}
