/* garden.csv: one setting a row. What depends on dates is settled when all files are read.
 */
#include "input/garden_read.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* ---- reading ---- */

static int setting_named(struct bt_gr *g, const char *name)
{
    const char *const *known;
    const size_t n = bt_garden_settings(&known);
    const char *key = bt_text_key(g->arena, name);
    for (size_t i = 0; i < n; i++)
        if (strcmp(key, bt_text_key(g->arena, known[i])) == 0)
            return (int)i;
    return -1;
}

static void unknown_setting(struct bt_gr *g, const struct bt_cell *cell)
{
    const char *const *known;
    const size_t n = bt_garden_settings(&known);
    const char *near = bt_text_nearest(g->arena, cell->text, n, known);
    bt_gr_error(g, cell, "setting", "one of the settings of garden.csv",
                near ? bt_arena_format(g->arena, "did you mean %s?", near) : NULL);
}

static void keep_setting(struct bt_gr *g, const struct bt_gfile *f, size_t row)
{
    const struct bt_cell name = bt_gfile_cell(f, row, BT_COL_SETTING);
    const char *key = bt_text_key(g->arena, name.text);
    const int i = setting_named(g, name.text);
    if (!*name.text) {
        bt_gr_error(g, &name, "setting", "the name of a setting", NULL);
    } else if (i < 0) {
        if (bt_text_starts(key, "note") || bt_text_starts(key, "my "))
            return;
        g->settings_lost = true; /* it may be the one that others hang on */
        unknown_setting(g, &name);
    } else if (g->setting[i].text) {
        bt_gr_error(g, &name, "setting", "each setting once",
                    bt_arena_format(g->arena, "it stands in line %u already",
                                    g->setting[i].at.line));
    } else {
        g->setting[i] = bt_gfile_cell(f, row, BT_COL_VALUE);
    }
}

/* The typed text of a setting, NULL when blank or not there. */
static const char *setting_text(struct bt_gr *g, int i)
{
    const char *text = g->setting[i].text;
    return text && *text ? bt_gr_tidy(g->arena, text) : NULL;
}

static int setting_word(struct bt_gr *g, int i, const struct bt_words *words)
{
    const char *const *known;
    int place = -1;
    bt_garden_settings(&known);
    if (setting_text(g, i))
        bt_read_word(&g->cells, &g->setting[i], known[i], words->n, words->word, &place);
    return place;
}

static void setting_quantity(struct bt_gr *g, int i, struct bt_accept accept,
                             struct bt_quantity *out)
{
    const char *const *known;
    bt_garden_settings(&known);
    accept.column = known[i];
    *out = (struct bt_quantity){.presence = BT_BLANK};
    if (setting_text(g, i))
        bt_gr_quantity(g, &g->setting[i], &accept, out);
}

static void read_season_year(struct bt_gr *g)
{
    const char *text = setting_text(g, BT_SET_SEASON);
    char *end = NULL;
    const long year = text ? strtol(text, &end, 10) : 0;
    if (text && (*end || year < 1900 || year > 2200))
        bt_gr_error(g, &g->setting[BT_SET_SEASON], "season", "a year such as 2026", NULL);
    else
        g->garden->season = (int)year;
}

static void read_warmth(struct bt_gr *g)
{
    struct bt_garden *b = g->garden;
    const int warmth = setting_word(g, BT_SET_WARMTH, &bt_words_warmth);
    b->warmth_given = warmth >= 0;
    b->warmth = bt_words_warmth.word[warmth >= 0 ? warmth : 1];
    const struct bt_accept degrees = bt_accept_dims(1, &BT_TEMPERATURE, -30, 40);
    setting_quantity(g, BT_SET_MEAN_TEMPERATURE, degrees, &b->mean_temperature);
    const struct bt_accept difference =
        bt_accept_dims(1, &BT_TEMPERATURE, -HUGE_VAL, HUGE_VAL);
    struct bt_quantity *half = &b->temperature_half_range;
    setting_quantity(g, BT_SET_HALF_RANGE, difference, half);
    if (half->presence ==
        BT_GIVEN) { /* a difference has no zero point: 20 F are 11 degrees C */
        half->range.low -= half->unit.offset;
        half->range.likely -= half->unit.offset;
        half->range.high -= half->unit.offset;
    }
}

void bt_garden_read_settings(struct bt_gr *g, const struct bt_gfile *f)
{
    struct bt_garden *b = g->garden;
    for (size_t r = 0; r < f->csv.n_rows; r++)
        if (!bt_gfile_row_blank(f, r))
            keep_setting(g, f, r);
    const int us = setting_word(g, BT_SET_UNITS, &bt_words_units);
    b->units_given = us >= 0;
    b->us_units = us == 1;
    b->month_first = us == 1;
    g->cells.month_first = b->month_first;
    g->cells.order_unknown = us < 0;
    g->cells.order_excused = us < 0 && (setting_text(g, BT_SET_UNITS) || g->settings_lost);
    if (!setting_text(g, BT_SET_UNITS) && f->csv.n_rows > 0)
        bt_gr_note(g, f->csv.header.at, "units are not set: printed in metric");
    if (g->options->units >= 0)
        b->us_units = g->options->units == 1;
    b->name = setting_text(g, BT_SET_NAME);
    b->place = setting_text(g, BT_SET_PLACE);
    b->prepared_by = setting_text(g, BT_SET_PREPARED_BY);
    b->grant = setting_text(g, BT_SET_GRANT);
    b->funder = setting_text(g, BT_SET_FUNDER);
    b->currency = setting_text(g, BT_SET_CURRENCY);
    b->organic_only = setting_word(g, BT_SET_ALLOWED, &bt_words_allowed) == 1;
    read_season_year(g);
    read_warmth(g);
    setting_quantity(g, BT_SET_LEFT_LIMIT,
                     bt_accept_dims(1, &BT_MASS_PER_AREA, 0, HUGE_VAL), &b->left_limit);
    struct bt_quantity enough = {.presence = BT_BLANK};
    if (setting_text(g, BT_SET_ENOUGH))
        bt_gr_share(g, &g->setting[BT_SET_ENOUGH], "enough", NULL, &enough);
    b->enough = 0.8;
    if (enough.presence == BT_GIVEN) {
        b->enough = enough.range.likely;
        if (!(b->enough > 0 && b->enough < 1))
            bt_gr_error(g, &g->setting[BT_SET_ENOUGH], "enough",
                        "a chance between 0 and 100 %", NULL);
    }
}

/* ---- month and day ---- */

static int month_named(const char *text)
{
    static const char *const name[] = {"january",   "february", "march",    "april",
                                       "may",       "june",     "july",     "august",
                                       "september", "october",  "november", "december"};
    const size_t n = strlen(text);
    for (int m = 0; m < 12; m++)
        if (n >= 3 && n <= strlen(name[m]) && bt_text_starts(name[m], text))
            return m + 1;
    return 0;
}

/* `15 April`, `15-Apr`, `April 15`, `04-15`, `4/15` (in the garden's order). False: none of
 * these. */
static bool month_and_day(const struct bt_gr *g, const char *text, int *month, int *day)
{
    char word[12];
    int a, b, end = 0;
    const bool in_words =
        (sscanf(text, "%2d%*1[ -]%11[A-Za-z]%n", &a, word, &end) == 2 && !text[end]) ||
        (sscanf(text, "%11[A-Za-z] %2d%n", word, &a, &end) == 2 && !text[end]);
    if (in_words) {
        *day = a;
        *month = month_named(word);
    } else if (sscanf(text, "%2d-%2d%n", &a, &b, &end) == 2 && !text[end]) {
        *month = a;
        *day = b;
    } else if (sscanf(text, "%2d/%2d%n", &a, &b, &end) == 2 && !text[end] &&
               !(g->cells.order_unknown && a <= 12 && b <= 12 && a != b)) {
        *month = g->garden->month_first ? a : b;
        *day = g->garden->month_first ? b : a;
    } else {
        return false;
    }
    return bt_civil_is_real(2024, *month, *day); /* a leap year: 29 February is a day */
}

/* ---- the season ---- */

/* A bound of the season as typed: month and day, and the year when it has one (else 0). */
struct bound {
    bool given;
    int year, month, day;
};

static struct bound read_bound(struct bt_gr *g, int setting, const char *name, int month,
                               int day)
{
    struct bound b = {false, 0, month, day};
    const char *text = setting_text(g, setting);
    struct bt_date date;
    if (!text)
        return b;
    int m, d;
    if (month_and_day(g, text, &m, &d))
        return (struct bound){true, 0, m, d};
    if (!bt_gr_date(g, &g->setting[setting], name, &date) || !date.known)
        return b;
    if (date.width_d > 0) {
        bt_gr_error(g, &g->setting[setting], name, "a day, such as 15 April or 2026-04-15",
                    NULL);
        return b;
    }
    b.given = true;
    bt_civil(date.day, &b.year, &b.month, &b.day);
    return b;
}

static int day_in(int year, const struct bound *b)
{
    const bool leap_lost = !bt_civil_is_real(year, b->month, b->day);
    return bt_day(year, b->month, leap_lost ? 28 : b->day);
}

static void later(int *newest, bool *any, const struct bt_date *d)
{
    if (d->known && (!*any || d->day > *newest)) {
        *newest = d->day;
        *any = true;
    }
}

/* The newest planting, reading or deed on record. */
static struct bt_date newest_row(const struct bt_garden *b)
{
    struct bt_date newest = {0};
    for (size_t i = 0; i < b->n_plantings; i++)
        later(&newest.day, &newest.known, &b->planting[i].in_ground);
    for (size_t i = 0; i < b->n_applications; i++)
        later(&newest.day, &newest.known, &b->application[i].date);
    for (size_t i = 0; i < b->n_tests; i++)
        later(&newest.day, &newest.known, &b->test[i].date);
    return newest;
}

static bool crosses(const struct bound *start, const struct bound *end)
{
    if (start->year && end->year)
        return end->year > start->year;
    return day_in(2024, end) <= day_in(2024, start);
}

/* The season that a day lies in or, between seasons, the next one; over New Year by the
 * year it starts in. */
static int season_at(int year, int month, int dom, const struct bound *start,
                     const struct bound *end)
{
    if (!crosses(start, end))
        return year;
    const bool after = month > end->month || (month == end->month && dom > end->day);
    return after ? year : year - 1;
}

/* The year typed: as such, else with a bound. */
static int typed_year(const struct bt_garden *b, const struct bound *start,
                      const struct bound *end)
{
    if (b->season || start->year)
        return b->season ? b->season : start->year;
    return end->year ? end->year - crosses(start, end) : 0;
}

static int year_by_rows(struct bt_gr *g, const struct bt_date *as_of,
                        const struct bound *start, const struct bound *end)
{
    const struct bt_pos at = {.file =
                                  bt_arena_format(g->arena, "%s/garden.csv", g->folder)};
    struct bt_date last = *as_of;
    int month, dom, year = 0;
    if (!as_of->known)
        last = newest_row(g->garden);
    if (!last.known && (g->cells.date_missed || g->dates_lost || g->settings_lost))
        return 0; /* there are dates, and they have their messages */
    if (!last.known) {
        bt_diag_add(g->diag,
                    (struct bt_message){.weight = BT_ERROR,
                                        .at = at,
                                        .field = "season",
                                        .expected = "a year such as 2026, as no row of the "
                                                    "garden has a date"});
        return 0;
    }
    bt_civil(last.day, &year, &month, &dom);
    year = season_at(year, month, dom, start, end);
    const char *words = bt_date_words(g->arena, last.day);
    if (crosses(start, end))
        bt_gr_note(g, at,
                   bt_arena_format(g->arena, "season is not set: that of %s%s",
                                   as_of->known ? "" : "the newest row, ", words));
    else if (as_of->known)
        bt_gr_note(g, at,
                   bt_arena_format(g->arena, "season is not set: %d, the year of %s", year,
                                   words));
    else
        bt_gr_note(g, at,
                   bt_arena_format(g->arena,
                                   "season is not set: %d, the year of the newest row",
                                   year));
    return year;
}

/* Typed years keep their distance from the typed season when another one is asked for; a
 * bound without a year is that of the season's year or, over New Year, of the next. */
static void set_bounds(struct bt_garden *b, int typed, const struct bound *start,
                       const struct bound *end)
{
    const int year = b->season ? b->season : 2000; /* the error is on record */
    b->season_start =
        day_in(start->year && typed ? year + start->year - typed : year, start);
    b->season_end = day_in(end->year && typed ? year + end->year - typed : year, end);
    if (b->season_end > b->season_start)
        return;
    if (!end->year)
        b->season_end = day_in(year + 1, end);
    else if (!start->year && start->given)
        b->season_start = day_in(year + end->year - typed - 1, start);
}

/* `season,2026` beside bounds of 2024 is a slip in one of them. */
static void other_year(struct bt_gr *g, int typed, const struct bound *start,
                       const struct bound *end)
{
    const struct bt_cell *cell = &g->setting[BT_SET_SEASON];
    const int first = start->year ? start->year : end->year - 1;
    const int last = end->year ? end->year : start->year + 1;
    if (!g->garden->season || !(start->year || end->year) ||
        (typed >= first && typed <= last))
        return;
    bt_gr_warn(g, cell, "season",
               bt_arena_format(g->arena, "the year of season_start or season_end, %d",
                               start->year ? start->year : end->year),
               "the days of season_start and season_end count");
}

/* Half a year or more of cold: docs/model.md, "What it does not know". */
static void says_north(struct bt_gr *g)
{
    const struct bt_garden *b = g->garden;
    int year, month, dom;
    bt_civil(b->season_start + (b->season_end - b->season_start) / 2, &year, &month, &dom);
    if (b->season_end <= b->season_start || (month > 3 && month < 11))
        return;
    bt_gr_note(
        g, (struct bt_pos){.file = bt_arena_format(g->arena, "%s/garden.csv", g->folder)},
        "the middle of this season lies in November to March: the soil is reckoned as cold "
        "then, as in the north. For a garden in the south, where that is summer, what the "
        "soil, compost and meals release is put too low");
}

static void set_season(struct bt_gr *g, const struct bt_date *as_of)
{
    struct bt_garden *b = g->garden;
    const struct bound start = read_bound(g, BT_SET_SEASON_START, "season_start", 5, 1);
    const struct bound end = read_bound(g, BT_SET_SEASON_END, "season_end", 9, 30);
    const int typed = typed_year(b, &start, &end);
    other_year(g, typed, &start, &end);
    b->season = g->options->season ? g->options->season
                : typed            ? typed
                                   : year_by_rows(g, as_of, &start, &end);
    set_bounds(b, typed, &start, &end);
    if (b->season == 0)
        return; /* what is said of a season hangs on its year */
    says_north(g);
    /* a season_end that is not given can still lie before a far season_start */
    const bool end_typed = setting_text(g, BT_SET_SEASON_END) != NULL;
    if (b->season_end <= b->season_start)
        bt_gr_error(
            g, &g->setting[end_typed ? BT_SET_SEASON_END : BT_SET_SEASON_START],
            end_typed ? "season_end" : "season_start",
            end_typed ? "a day after season_start"
                      : bt_arena_format(g->arena, "a day before the season's end, %s",
                                        bt_date_iso(g->arena, b->season_end)),
            end_typed ? NULL : "season is set to another year, or season_end is missing");
    if (!start.given && !end.given)
        bt_gr_note(
            g,
            (struct bt_pos){.file = bt_arena_format(g->arena, "%s/garden.csv", g->folder)},
            bt_arena_format(g->arena,
                            "season_start and season_end are not set: 1 May to 30 "
                            "September %d",
                            b->season));
    else if (bt_garden_over_new_year(b))
        bt_gr_note(
            g,
            (struct bt_pos){.file = bt_arena_format(g->arena, "%s/garden.csv", g->folder)},
            bt_arena_format(g->arena,
                            "the season runs over New Year, %s: it is printed as %s, and "
                            "--season %d is this one",
                            bt_garden_period(g->arena, b),
                            bt_garden_season_name(g->arena, b), b->season));
}

/* ---- up to which day things are done ---- */

/* The last dated deed that is marked done, and the last reading: both have happened. */
static int last_done(const struct bt_gr *g, bool *out_any)
{
    const struct bt_garden *b = g->garden;
    int newest = 0;
    bool any = false;
    for (size_t i = 0; i < b->n_plantings; i++)
        if (g->planting_status_given[i] && b->planting[i].status == BT_DONE)
            later(&newest, &any, &b->planting[i].in_ground);
    for (size_t i = 0; i < b->n_applications; i++)
        if (g->application_status_given[i] && b->application[i].status == BT_DONE)
            later(&newest, &any, &b->application[i].date);
    for (size_t i = 0; i < b->n_tests; i++)
        if (b->test[i].date.day <= b->season_end) /* else a slip of the year */
            later(&newest, &any, &b->test[i].date);
    *out_any = any;
    return newest;
}

static void set_as_of(struct bt_gr *g, const struct bt_date *typed)
{
    struct bt_garden *b = g->garden;
    bool any;
    if (typed->known) {
        b->as_of = typed->day;
        return;
    }
    const int done = last_done(g, &any);
    const bool by_deed = any && done > b->season_start;
    b->as_of = by_deed ? done : b->season_start;
    if (b->season == 0)
        return;
    bt_gr_note(
        g, (struct bt_pos){.file = bt_arena_format(g->arena, "%s/garden.csv", g->folder)},
        bt_arena_format(
            g->arena,
            "as_of is not set: rows without a status are done up to %s, %s, and "
            "planned after it",
            bt_date_iso(g->arena, b->as_of),
            by_deed ? "the last deed or reading on record"
                    : "the first day of the season"));
}

static enum bt_status by_date(const struct bt_garden *b, const struct bt_date *d)
{
    return !d->known || d->day <= b->as_of ? BT_DONE : BT_PLANNED;
}

void bt_garden_settle(struct bt_gr *g)
{
    struct bt_garden *b = g->garden;
    struct bt_date as_of = g->options->on;
    if (!as_of.known && setting_text(g, BT_SET_AS_OF))
        bt_gr_date(g, &g->setting[BT_SET_AS_OF], "as_of", &as_of);
    set_season(g, &as_of);
    set_as_of(g, &as_of);
    for (size_t i = 0; i < b->n_plantings; i++)
        if (!g->planting_status_given[i])
            b->planting[i].status = by_date(b, &b->planting[i].in_ground);
    for (size_t i = 0; i < b->n_applications; i++)
        if (!g->application_status_given[i] && !b->application[i].is_advice)
            b->application[i].status = by_date(b, &b->application[i].date);
    const struct bt_cell *typed = &g->cells.by_order;
    if (typed->text)
        bt_gr_note(g, typed->at,
                   bt_arena_format(g->arena, "dates are read %s first: %s is %s",
                                   b->month_first ? "month" : "day", typed->text,
                                   bt_date_words(g->arena, g->cells.by_order_day)));
}
