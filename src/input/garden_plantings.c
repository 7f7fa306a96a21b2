/* plantings.csv: what grows where, how much of it, from when to when, and what became of
 * it. */
#include "input/garden_read.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

#define FOLLOWS_LIMIT 8 /* stand-ins of stand-ins */

double bt_planting_count(const struct bt_handbook *h, const struct bt_planting *p)
{
    if (p->plants.presence == BT_GIVEN)
        return p->plants.groups * p->plants.each;
    if (p->rows.presence != BT_GIVEN)
        return 0;
    const struct bt_row *row =
        p->crop ? bt_handbook_follow(h, "crops", p->crop, "in_row") : NULL;
    const double in_row_m = p->spacing.presence == BT_GIVEN ? p->spacing.range.likely
                            : row                           ? row->range.likely
                                                            : 0;
    return in_row_m > 0 ? p->rows.rows * p->rows.length_m / in_row_m : 0;
}

/* ---- the crop ---- */

static const char *legume_of(const struct bt_handbook *h, const char *crop)
{
    for (int i = 0; crop && i < FOLLOWS_LIMIT; i++) {
        const char *key = bt_handbook_key(h, "legumes", crop);
        if (key)
            return key;
        crop = bt_handbook_word(h, "crops", crop, "follows");
    }
    return NULL;
}

static void read_crop(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                      struct bt_planting *p)
{
    const struct bt_cell crop = bt_gfile_cell(f, row, BT_PL_CROP);
    const struct bt_cell like = bt_gfile_cell(f, row, BT_PL_LIKE);
    const char *text = bt_gfile_text(g, f, row, BT_PL_CROP);
    p->written = text ? text : "";
    if (!text) {
        bt_gr_error(g, &crop, "crop", "the name of a crop", NULL);
        return;
    }
    p->crop = bt_gr_handbook_key(g, "crops", &crop, &like, "crop");
    p->legume = legume_of(g->handbook, p->crop);
}

static const char *name_in_bed(struct bt_gr *g, const struct bt_planting *p)
{
    return bt_arena_format(g->arena, "%zu/%s", p->bed_index,
                           bt_text_key(g->arena, p->written));
}

/* Ordinal and id, by name as typed in this bed; n_same is filled when all are read. */
static void identify(struct bt_gr *g, struct bt_planting *p)
{
    const char *key = name_in_bed(g, p);
    const size_t before = bt_names_get(&g->plantings, key);
    p->ordinal = before == BT_NO_NAME ? 1 : (unsigned)before + 1;
    bt_names_set(g->arena, &g->plantings, key, p->ordinal);
    p->id = bt_arena_format(g->arena, "%s/%s %u", p->bed->id, p->written, p->ordinal);
}

static void count_same(struct bt_gr *g)
{
    struct bt_garden *b = g->garden;
    for (size_t i = 0; i < b->n_plantings; i++) {
        struct bt_planting *p = &b->planting[i];
        const struct bt_scratch s = bt_gr_scratch(g);
        p->n_same = (unsigned)bt_names_get(&g->plantings, name_in_bed(g, p));
        bt_gr_release(g, &s);
    }
}

/* ---- how many ---- */

/* `10 x 30 in`: the distance in the row. */
static const char *in_row(struct bt_gr *g, const char *text)
{
    const char *first, *second;
    return bt_gr_split_by_x(g, text, &first, &second) ? bt_gr_lend_unit(g, first, second)
                                                      : text;
}

static void read_spacing(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                         struct bt_planting *p)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_PL_SPACING);
    struct bt_accept a = bt_accept_dims(1, &BT_LENGTH, 0, HUGE_VAL);
    const char *first, *second;
    a.column = "spacing";
    a.header_unit = f->header_unit[BT_PL_SPACING];
    struct bt_cell figure = cell;
    if (bt_gr_two_figures(g, cell.text, &first, &second))
        figure.text =
            bt_arena_format(g->arena, "%s (%s)", in_row(g, first), in_row(g, second));
    else
        figure.text = in_row(g, cell.text);
    bt_gr_quantity(g, &figure, &a, &p->spacing);
    p->spacing.cell = cell;
    if (p->spacing.presence == BT_GIVEN && !(p->spacing.range.likely > 0)) {
        bt_gr_error(g, &cell, "spacing", "a distance above 0", NULL);
        p->spacing.presence = BT_BLANK;
    }
}

static void read_stand(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                       struct bt_planting *p)
{
    const struct bt_cell plants = bt_gfile_cell(f, row, BT_PL_PLANTS);
    const struct bt_cell rows = bt_gfile_cell(f, row, BT_PL_ROWS);
    const struct bt_scratch s = bt_gr_scratch(g);
    bool ok = bt_gr_count(g, &plants, "plants", &p->plants);
    ok &= bt_gr_rows(g, &rows, "rows", &p->rows);
    bt_gr_release(g, &s);
    read_spacing(g, f, row, p);
    ok &= bt_gfile_share(g, f, row, BT_PL_SHARE, &p->share);
    p->size_refused = !ok;
    p->among = bt_gfile_text(g, f, row, BT_PL_AMONG);
}

/* ---- dates and harvest ---- */

static void read_time(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                      struct bt_planting *p)
{
    const struct bt_cell ended = bt_gfile_cell(f, row, BT_PL_ENDED);
    bt_gfile_date(g, f, row, BT_PL_IN_GROUND, &p->in_ground);
    bt_gfile_date(g, f, row, BT_PL_ENDED, &p->ended);
    if (!p->in_ground.known || !p->ended.known)
        return;
    const int earliest = p->in_ground.day - p->in_ground.width_d / 2;
    const int latest = p->ended.day + (p->ended.width_d + 1) / 2;
    if (latest < earliest) {
        bt_gr_error(g, &ended, "ended",
                    bt_arena_format(g->arena, "a day after in_ground, %s",
                                    bt_date_iso(g->arena, p->in_ground.day)),
                    bt_arena_format(g->arena,
                                    "a harvest before the plant: %s in %s would end before "
                                    "it is in the ground",
                                    p->written, p->bed->id));
        p->ended.known = false;
    }
}

/* `5 lb/plant`: times the plants of the row. */
static void spread_by_plant(struct bt_gr *g, const struct bt_planting *p,
                            const char *column, struct bt_quantity *q)
{
    if (q->presence != BT_GIVEN || q->word || !q->unit.per)
        return;
    const double count = bt_planting_count(g->handbook, p);
    if (strcmp(q->unit.per, "plant") == 0 && count > 0) {
        q->range = bt_range_scaled(q->range, count);
        q->unit.per = NULL;
        return;
    }
    bt_gr_error(g, &q->cell, column,
                "a weight, a weight per area, or per plant where plants are counted", NULL);
    q->presence = BT_BLANK;
}

static void read_harvest(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                         struct bt_planting *p)
{
    const struct bt_dim dims[] = {BT_MASS, BT_MASS_PER_AREA};
    struct bt_accept a = bt_accept_dims(2, dims, 0, HUGE_VAL);
    bt_gfile_quantity(g, f, row, BT_PL_WEIGHED, a, &p->weighed);
    a.n_words = bt_words_yield.n;
    a.words = bt_words_yield.word;
    bt_gfile_quantity(g, f, row, BT_PL_EXPECTED, a, &p->expected);
    spread_by_plant(g, p, "weighed", &p->weighed);
    spread_by_plant(g, p, "expected", &p->expected);
}

static void read_picked(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                        struct bt_planting *p)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, BT_PL_PICKED);
    char **part;
    const size_t n = bt_text_split(g->arena, cell.text, ';', &part);
    for (size_t i = 0; i < n; i++) {
        const struct bt_cell word = {part[i], cell.at};
        int place = -1;
        bt_read_word(&g->cells, &word, "picked", bt_words_picked.n, bt_words_picked.word,
                     &place);
        if (place >= 0)
            p->picked |= 1u << place;
    }
    if ((p->picked & BT_PICKED_NOTHING) && p->picked != BT_PICKED_NOTHING) {
        bt_gr_error(g, &cell, "picked", "nothing alone, or what is picked", NULL);
        p->picked = BT_PICKED_UNKNOWN;
    }
}

static void read_sample(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                        struct bt_planting *p)
{
    const struct bt_cell fresh = bt_gfile_cell(f, row, BT_PL_FRESH);
    bt_gfile_area(g, f, row, BT_PL_FRAME, &p->frame);
    bt_gfile_quantity(g, f, row, BT_PL_FRESH, bt_accept_dims(1, &BT_MASS, 0, HUGE_VAL),
                      &p->fresh);
    bt_gfile_percent(g, f, row, BT_PL_DRY_MATTER, 1, &p->dry_matter);
    bt_gfile_percent(g, f, row, BT_PL_N_PERCENT, 0.2, &p->n_percent);
    const char *key = p->legume ? p->legume : p->crop;
    if (key)
        bt_gr_doubt_percent(g, &p->n_percent, "n_percent",
                            bt_handbook_follow(g->handbook, p->legume ? "legumes" : "crops",
                                               key, "residue_n"));
    bt_gr_doubt_percent(
        g, &p->dry_matter, "dry_matter",
        bt_handbook_row(g->handbook, "residues", "green residue", "dry_matter"));
    const bool has_frame = p->frame.presence == BT_GIVEN && p->frame.range.likely > 0;
    if (p->fresh.presence == BT_GIVEN && !has_frame) {
        bt_gr_error(g, &fresh, "fresh", "a weight beside the area it was cut from",
                    "fill frame: the ground that was cut, as 1 sq ft or 50 cm x 50 cm");
        p->fresh.presence = BT_BLANK;
    }
}

/* ---- a row ---- */

static bool read_planting(struct bt_gr *g, const struct bt_gfile *f, size_t row,
                          struct bt_planting *p, bool *out_status_given)
{
    const struct bt_cell bed = bt_gfile_cell(f, row, BT_PL_BED);
    *p = (struct bt_planting){.at = bt_gfile_cell(f, row, BT_PL_CROP).at,
                              .among_at = bt_gfile_cell(f, row, BT_PL_AMONG).at};
    p->bed_index = bt_gr_one_bed(g, &bed, "bed");
    const bool has_bed = p->bed_index != BT_NO_NAME;
    p->bed = has_bed ? &g->garden->bed[p->bed_index] : &g->no_bed;
    read_crop(g, f, row, p);
    p->variety = bt_gfile_text(g, f, row, BT_PL_VARIETY);
    p->role = bt_gfile_text(g, f, row, BT_PL_ROLE);
    read_stand(g, f, row, p);
    read_time(g, f, row, p);
    read_harvest(g, f, row, p);
    read_picked(g, f, row, p);
    p->rest = (enum bt_rest)(bt_gfile_word(g, f, row, BT_PL_REST, &bt_words_rest) + 1);
    read_sample(g, f, row, p);
    p->inoculated = bt_gfile_word(g, f, row, BT_PL_INOCULATED, &bt_words_yes_no);
    const int status = bt_gfile_word(g, f, row, BT_PL_STATUS, &bt_words_status);
    *out_status_given = status >= 0;
    p->status = status == 1 ? BT_PLANNED : BT_DONE;
    return has_bed && p->crop;
}

void bt_garden_read_plantings(struct bt_gr *g, const struct bt_gfile *f)
{
    struct bt_garden *b = g->garden;
    const size_t n = f->csv.n_rows + 1;
    b->planting = bt_arena_zero(g->arena, n * sizeof *b->planting);
    g->planting_status_given =
        bt_arena_zero(g->arena, n * sizeof *g->planting_status_given);
    for (size_t r = 0; r < f->csv.n_rows; r++) {
        if (bt_gfile_row_blank(f, r))
            continue;
        struct bt_planting *p = &b->planting[b->n_plantings];
        if (!read_planting(g, f, r, p, &g->planting_status_given[b->n_plantings]))
            continue;
        identify(g, p);
        b->n_plantings++;
    }
    count_same(g);
}
