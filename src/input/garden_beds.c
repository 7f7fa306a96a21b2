/* beds.csv: how large each bed is and what it is filled with; and the lookup of beds by
 * name. */
#include "input/garden_read.h"

#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/pi.h"
#include "base/text.h"
#include "input/cell_read.h"
#include "input/number.h"

#define DEEPEST_M      2.0    /* a deeper bed is a slip of the unit */
#define LARGEST_M2     1000.0 /* a larger one is a field, or a slip */
#define AREAS_AGREE    0.05   /* of one another: rounding in the cells */
#define SQ_FT_IN_SQ_YD 9.0

double bt_pot_area_m2(double volume_m3, double depth_m)
{
    if (depth_m > 0)
        return volume_m3 / depth_m;
    /* A cylinder as high as wide: volume = pi/4 d^3, area = pi/4 d^2 = cbrt(pi/4)
     * volume^(2/3). */
    return cbrt(BT_PI / 4) * cbrt(volume_m3) * cbrt(volume_m3);
}

/* ---- the area ---- */

struct sizes {
    struct bt_quantity length, width, area, less, planted, pots, pot_volume;
    bool round;
    bool readable; /* every size that is typed, and every column of them */
    const struct bt_gfile *file;
    size_t row;
};

static bool given(const struct bt_quantity *q)
{
    return q->presence == BT_GIVEN;
}

static struct bt_cell cell_of(const struct sizes *z, int column)
{
    return bt_gfile_cell(z->file, z->row, column);
}

/* From length and width, 0 when they do not say; `working` as typed. */
static double sides_m2(struct bt_gr *g, const struct sizes *z, const char **working)
{
    const double length = z->length.range.likely, width = z->width.range.likely;
    const struct bt_cell cell = cell_of(z, BT_BED_WIDTH);
    if (!given(&z->length))
        return 0;
    if (!z->round && !given(&z->width))
        return 0;
    const char *l = bt_gr_typed(g, z->file, BT_BED_LENGTH, &z->length);
    if (!z->round) {
        *working = bt_arena_format(g->arena, "%s x %s", l,
                                   bt_gr_typed(g, z->file, BT_BED_WIDTH, &z->width));
        return length * width;
    }
    if (given(&z->width) && fabs(width - length) > AREAS_AGREE * length)
        bt_gr_error(g, &cell, "width",
                    "nothing, or the length again: a round bed has its diameter "
                    "as length",
                    NULL);
    *working = bt_arena_format(g->arena, "round, %s across", l);
    return BT_PI / 4 * length * length;
}

/* The whole bed, or one pot. */
static double whole_m2(struct bt_gr *g, const struct sizes *z, const char **working)
{
    const double sides = sides_m2(g, z, working);
    const double typed = given(&z->area) ? z->area.range.likely : 0;
    const struct bt_cell cell = cell_of(z, BT_BED_AREA);
    if (typed > 0 && sides > 0 && fabs(typed - sides) > AREAS_AGREE * sides)
        bt_gr_error(g, &cell, "area",
                    bt_arena_format(g->arena, "what length and width make, %s = %s m2",
                                    *working, bt_figures_short(g->arena, sides, 3)),
                    fabs(sides - SQ_FT_IN_SQ_YD * typed) < AREAS_AGREE * sides
                        ? "nine times too small: an acre is 43,560 sq ft or 4,840 sq yd"
                        : "leave one of the two blank; `less` takes a part off");
    if (typed > 0 && !(sides > 0))
        *working = bt_gr_typed(g, z->file, BT_BED_AREA, &z->area);
    return typed > 0 ? typed : sides;
}

static double less_m2(struct bt_gr *g, const struct sizes *z, double area,
                      const char **working)
{
    const struct bt_cell cell = cell_of(z, BT_BED_LESS);
    if (!given(&z->less))
        return area;
    if (z->less.range.likely >= area) {
        bt_gr_error(g, &cell, "less", "an area smaller than the bed",
                    bt_arena_format(g->arena, "the bed is %s", *working));
        return area;
    }
    *working = bt_arena_format(g->arena, "%s less %s", *working,
                               bt_gr_typed(g, z->file, BT_BED_LESS, &z->less));
    return area - z->less.range.likely;
}

static double planted_m2(struct bt_gr *g, const struct sizes *z, double area,
                         const char **working)
{
    const struct bt_cell cell = cell_of(z, BT_BED_PLANTED);
    if (!given(&z->planted))
        return area;
    const bool is_area = bt_dim_same(z->planted.unit.dim, BT_AREA);
    const double part = is_area ? z->planted.range.likely : area * z->planted.range.likely;
    if (!(part > 0) || part > area * (1 + AREAS_AGREE)) {
        bt_gr_error(g, &cell, "planted", "a part of the bed, as 60 % or an area",
                    bt_arena_format(g->arena, "the bed is %s", *working));
        return area;
    }
    *working = bt_arena_format(g->arena, "%s, of which %s is planted", *working,
                               bt_gr_typed(g, z->file, BT_BED_PLANTED, &z->planted));
    return part;
}

static double pots_m2(struct bt_gr *g, const struct sizes *z, struct bt_bed *bed,
                      const char **working)
{
    const struct bt_cell pots = cell_of(z, BT_BED_POTS);
    bed->pots = given(&z->pots) ? z->pots.range.likely : 0;
    bed->pot_volume_m3 = given(&z->pot_volume) ? z->pot_volume.range.likely : 0;
    if (!(bed->pots > 0)) {
        if (z->readable)
            bt_gr_error(g, &pots, "pots", "how many pots there are", NULL);
        bed->pots = 1;
    }
    const double depth_m = given(&bed->depth) ? bed->depth.range.likely : 0;
    double one = whole_m2(g, z, working);
    if (!(one > 0) && bed->pot_volume_m3 > 0) {
        one = bt_pot_area_m2(bed->pot_volume_m3, depth_m);
        *working = bt_gr_typed(g, z->file, BT_BED_POT_VOLUME, &z->pot_volume);
        if (!(depth_m > 0) && !g->noted_pot_shape) {
            bt_gr_note(g, bed->at,
                       "pots without a depth are taken to be as high as they are wide");
            g->noted_pot_shape = true;
        }
    }
    *working = bt_arena_format(g->arena, "%s pots of %s",
                               bt_figures_short(g->arena, bed->pots, 6), *working);
    return one * bed->pots;
}

static void set_area(struct bt_gr *g, const struct sizes *z, struct bt_bed *bed)
{
    const char *working = "";
    const struct bt_cell name = cell_of(z, BT_BED_BED);
    double area =
        bed->kind == BT_POTS ? pots_m2(g, z, bed, &working) : whole_m2(g, z, &working);
    if (!(area > 0)) {
        if (z->readable) /* else the cell has its message */
            bt_gr_error(g, &name, "bed",
                        bed->kind == BT_POTS
                            ? "a bed of pots with pot_volume, or the size of one pot"
                            : "a bed with length and width, or area",
                        z->round ? "a round bed has its diameter as length" : NULL);
        bed->area_m2 = 1;
        bed->area_working = "";
        return;
    }
    area = less_m2(g, z, area, &working);
    area = planted_m2(g, z, area, &working);
    if (area > LARGEST_M2)
        bt_gr_warn(g, &name, "bed",
                   bt_arena_format(g->arena, "a bed of at most %s m2, this one has %.0f",
                                   bt_figures_short(g->arena, LARGEST_M2, 6), area),
                   "look at the units of length and width");
    bed->area_m2 = area;
    bed->area_working = working;
}

/* ---- texture ---- */

static const char *texture(struct bt_gr *g, const struct bt_gfile *f, size_t row)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_BED_TEXTURE);
    if (!*cell.text ||
        bt_cell_stand_in(g->arena, bt_plain(g->arena, cell.text)) == BT_STANDS_NOT_KNOWN)
        return NULL;
    const char *key = bt_handbook_key(g->handbook, "soils", cell.text);
    if (key && bt_handbook_row(g->handbook, "soils", key, "bulk_density"))
        return key;
    const char *const *keys;
    const size_t n = bt_handbook_keys(g->handbook, "soils", &keys);
    const char *list = NULL;
    for (size_t i = 0; i < n; i++)
        if (bt_handbook_row(g->handbook, "soils", keys[i], "bulk_density"))
            list = bt_arena_format(g->arena, "%s%s%s", list ? list : "", list ? ", " : "",
                                   keys[i]);
    bt_gr_error(g, &cell, "texture",
                list ? bt_arena_format(g->arena, "one of %s", list)
                     : "a texture of table soils",
                NULL);
    return NULL;
}

/* ---- a row ---- */

static void read_sizes(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                       struct sizes *z)
{
    const struct bt_accept length = bt_accept_dims(1, &BT_LENGTH, 0, HUGE_VAL);
    const struct bt_accept volume = bt_accept_dims(1, &BT_VOLUME, 0, HUGE_VAL);
    struct bt_accept count = bt_accept_dims(0, NULL, 0, HUGE_VAL);
    count.bare_number = true;
    *z = (struct sizes){.file = f, .row = row};
    bool ok = bt_gfile_quantity(g, f, row, BT_BED_LENGTH, length, &z->length);
    ok &= bt_gfile_quantity(g, f, row, BT_BED_WIDTH, length, &z->width);
    ok &= bt_gfile_area(g, f, row, BT_BED_AREA, &z->area);
    ok &= bt_gfile_area(g, f, row, BT_BED_LESS, &z->less);
    ok &= bt_gfile_quantity(g, f, row, BT_BED_POTS, count, &z->pots);
    ok &= bt_gfile_quantity(g, f, row, BT_BED_POT_VOLUME, volume, &z->pot_volume);
    z->round = bt_gfile_word(g, f, row, BT_BED_SHAPE, &bt_words_shape) == 1;
    ok &= bt_gfile_part(g, f, row, BT_BED_PLANTED, &z->planted);
    const bool sized = f->place[BT_BED_AREA] >= 0 ||
                       (f->place[BT_BED_LENGTH] >= 0 && f->place[BT_BED_WIDTH] >= 0);
    z->readable = ok && (sized || f->n_unknown == 0);
}

static void check_name(struct bt_gr *g, const struct bt_gfile *f, size_t row)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_BED_BED);
    const char *key = bt_text_key(g->arena, cell.text);
    if (!*key)
        bt_gr_error(g, &cell, "bed", "a name for the bed", NULL);
    else if (strchr(cell.text, ';'))
        bt_gr_error(g, &cell, "bed", "a name without a semicolon",
                    "other files list several beds with semicolons");
    else if (strcmp(key, "all") == 0)
        bt_gr_error(g, &cell, "bed", "another name: `all` stands for every bed", NULL);
    if (!*key)
        return;
    const size_t place = bt_names_get(&g->beds, key);
    if (place == BT_NO_NAME)
        bt_names_set(g->arena, &g->beds, key, g->garden->n_beds);
    else
        bt_gr_error(g, &cell, "bed", "each bed once",
                    bt_arena_format(g->arena, "it stands in line %u already",
                                    g->garden->bed[place].at.line));
}

static void read_bed(struct bt_gr *g, const struct bt_gfile *f, size_t row)
{
    struct bt_garden *b = g->garden;
    struct bt_bed *bed = &b->bed[b->n_beds];
    struct sizes z;
    check_name(g, f, row);
    *bed = (struct bt_bed){.at = bt_gfile_cell(f, row, BT_BED_BED).at};
    const char *id = bt_gfile_text(g, f, row, BT_BED_BED);
    const char *name = bt_gfile_text(g, f, row, BT_BED_NAME);
    bed->id = id ? id : "";
    bed->name = name ? name : "";
    bed->group = bt_gfile_text(g, f, row, BT_BED_GROUP);
    bt_gfile_quantity(g, f, row, BT_BED_DEPTH, bt_accept_dims(1, &BT_LENGTH, 0, DEEPEST_M),
                      &bed->depth);
    read_sizes(g, f, row, &z);
    const int kind = bt_gfile_word(g, f, row, BT_BED_KIND, &bt_words_kind);
    const bool has_pots = given(&z.pots) || given(&z.pot_volume);
    bed->kind = kind >= 0 ? (enum bt_bed_kind)kind : has_pots ? BT_POTS : BT_GROUND;
    if (has_pots && bed->kind != BT_POTS) {
        const struct bt_cell cell = bt_gfile_cell(f, row, BT_BED_KIND);
        bt_gr_error(g, &cell, "kind", "pots, as pots or pot_volume are given", NULL);
        bed->kind = BT_POTS;
    }
    bed->texture = texture(g, f, row);
    set_area(g, &z, bed);
    if (id)
        b->n_beds++;
}

/* A group with the name of a bed would be two things in one cell. */
static void check_groups(struct bt_gr *g, const struct bt_gfile *f)
{
    for (size_t r = 0; r < f->csv.n_rows; r++) {
        const struct bt_cell cell = bt_gfile_cell(f, r, BT_BED_GROUP);
        const char *key = bt_text_key(g->arena, cell.text);
        if (*key && (bt_names_get(&g->beds, key) != BT_NO_NAME || strcmp(key, "all") == 0))
            bt_gr_error(g, &cell, "group", "a name that no bed has", NULL);
    }
}

void bt_garden_read_beds(struct bt_gr *g, const struct bt_gfile *f)
{
    struct bt_garden *b = g->garden;
    b->bed = bt_arena_zero(g->arena, (f->csv.n_rows + 1) * sizeof *b->bed);
    for (size_t r = 0; r < f->csv.n_rows; r++)
        if (!bt_gfile_row_blank(f, r))
            read_bed(g, f, r);
    check_groups(g, f);
    bt_gr_index_beds(g);
    if (b->n_beds == 0 && !g->beds_lost)
        bt_diag_add(g->diag, (struct bt_message){.weight = BT_ERROR,
                                                 .at = {.file = f->csv.file},
                                                 .field = "bed",
                                                 .expected = "at least one bed"});
}
