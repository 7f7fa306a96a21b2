/* From `key=value` to leaves: the readers of garden cells read the values, so a sum takes
 * every spelling a garden file takes. */
#include "plan/desk.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "input/number.h"

static bool refuse(struct bt_desk *w, const char *field, const char *expected,
                   const char *found, const char *hint)
{
    w->failed = true;
    return bt_diag_add(w->means->diag, (struct bt_message){.weight = BT_ERROR,
                                                           .field = field,
                                                           .expected = expected,
                                                           .found = found,
                                                           .hint = hint});
}

/* ---- keys ---- */

static const char *key_list(struct bt_desk *w)
{
    const char *list = "";
    for (const struct bt_sum_key *k = w->sum->key; k->name; k++)
        list = bt_desk_text(w, "%s%s%s%s", list, *list ? ", " : "", k->name,
                            k->takes & BT_TAKES_MANY ? "1..9" : "");
    return list;
}

static bool unknown_key(struct bt_desk *w, const char *name)
{
    const char *names[64];
    size_t n = 0;
    for (const struct bt_sum_key *k = w->sum->key; k->name && n < 64; k++)
        names[n++] = k->name;
    const char *near = bt_text_nearest(w->arena, name, n, names);
    return refuse(w, "key",
                  bt_desk_text(w, "a key of the sum %s (%s)", w->sum->name, key_list(w)),
                  name, near);
}

/* The key called `name`, its number split off; NULL when there is none. */
static const struct bt_sum_key *find_key(struct bt_desk *w, const char *name, int *out_nth)
{
    const char *tidy = bt_text_key(w->arena, name);
    const size_t n = strlen(tidy);
    *out_nth = 1;
    for (const struct bt_sum_key *k = w->sum->key; k->name; k++) {
        const char *key = bt_text_key(w->arena, k->name);
        if (strcmp(key, tidy) == 0)
            return k;
        if (n > 1 && (k->takes & BT_TAKES_MANY) && tidy[n - 1] >= '1' &&
            tidy[n - 1] <= '9' && strlen(key) == n - 1 && strncmp(key, tidy, n - 1) == 0) {
            *out_nth = tidy[n - 1] - '0';
            return k;
        }
    }
    return NULL;
}

/* ---- quantities ---- */

static struct bt_accept accept_of(struct bt_desk *w, const struct bt_sum_given *g)
{
    static const struct {
        unsigned takes;
        struct bt_dim dim;
    } dims[] = {
        {BT_TAKES_SHARE,   {0, 0, 0, 0} },
        {BT_TAKES_MASS,    {1, 0, 0, 0} },
        {BT_TAKES_RATE,    {1, -2, 0, 0}},
        {BT_TAKES_PER_ROW, {1, -1, 0, 0}},
        {BT_TAKES_DENSITY, {1, -3, 0, 0}},
        {BT_TAKES_LENGTH,  {0, 1, 0, 0} },
        {BT_TAKES_AREA,    {0, 2, 0, 0} },
        {BT_TAKES_VOLUME,  {0, 3, 0, 0} },
    };
    struct bt_accept a = {.column = g->name, .lowest = 0, .highest = HUGE_VAL};
    const unsigned takes = g->key->takes;
    for (size_t i = 0; i < sizeof dims / sizeof *dims && a.n_dims < 6; i++)
        if (takes & dims[i].takes)
            a.dims[a.n_dims++] = dims[i].dim;
    a.bare_percent = takes & BT_TAKES_PERCENT;
    a.bare_number = takes & BT_TAKES_NUMBER;
    if (a.n_dims == 1 && (takes & BT_TAKES_SHARE) && !a.bare_number)
        a.highest = 1;
    if (takes & (BT_TAKES_MASS | BT_TAKES_VOLUME | BT_TAKES_DENSITY))
        a.n_measures = bt_handbook_keys(w->book, "measures", &a.measures);
    return a;
}

/* The nearest unit that is accepted, for a unit that is not known. */
static const char *near_unit(struct bt_desk *w, const struct bt_accept *accept,
                             const char *text)
{
    char **part;
    const char *list = "";
    while (*text && !bt_is_letter(*text) && *text != '%')
        text++;
    for (size_t i = 0; i < accept->n_dims; i++)
        list = bt_desk_text(w, "%s,%s", list, bt_units_accepted(w->arena, accept->dims[i]));
    const size_t n = bt_text_split(w->arena, list, ',', &part);
    const char **name = bt_arena_alloc(w->arena, (n + 1) * sizeof *name);
    for (size_t i = 0; i < n; i++)
        name[i] = part[i];
    return bt_text_nearest(w->arena, text, n, name);
}

/* The reader's message, with the nearest unit where the unit was the trouble. */
static void pass_on(struct bt_desk *w, const struct bt_diag *d,
                    const struct bt_accept *accept, const char *text)
{
    for (size_t i = 0; i < bt_diag_kept(d); i++) {
        struct bt_message m = *bt_diag_get(d, i);
        if (m.weight == BT_ERROR && m.hint && strstr(m.hint, "is not a unit")) {
            const char *near = near_unit(w, accept, text);
            if (near)
                m.hint = bt_desk_text(w, "%s; near it: %s", m.hint, near);
        }
        if (m.weight == BT_ERROR)
            w->failed = true;
        if (m.weight == BT_NOTE && m.hint)
            bt_desk_note(w, "%s=%s: %s", accept->column, text, m.hint);
        else
            bt_diag_add(w->means->diag, m);
    }
}

static bool read_one(struct bt_desk *w, const struct bt_accept *accept, const char *text,
                     struct bt_quantity *out)
{
    struct bt_reader r = {
        .arena = w->arena, .diag = bt_diag_new(w->arena), .units = w->means->units};
    const struct bt_cell cell = {.text = text};
    bool ok = bt_read_quantity(&r, &cell, accept, out);
    pass_on(w, r.diag, accept, text);
    if (ok && out->presence == BT_NONE) {
        *out = (struct bt_quantity){
            .presence = BT_GIVEN,
            .unit = {.dim = accept->dims[0], .factor = 1, .text = ""}
        };
        return true;
    }
    if (ok && (out->presence != BT_GIVEN || out->bound == BT_ABOVE))
        ok = refuse(w, accept->column, "a value, or a range low..high", text, NULL);
    if (ok && out->bound == BT_BELOW) /* below x is 0..x */
        out->range = bt_range_two(0, out->range.likely, BT_BOUNDS);
    return ok;
}

static struct bt_node stated(struct bt_desk *w, const char *name,
                             const struct bt_quantity *q, bool is_share)
{
    const bool is_percent = !*q->unit.text && q->unit.factor < 1;
    const struct bt_leaf leaf = {
        .id = bt_desk_text(w, "given/%s", name),
        .label = bt_desk_label(w, name),
        .dim = q->unit.dim,
        .range = q->range,
        .limit_low = 0,
        .limit_high = is_share && bt_dim_same(q->unit.dim, BT_FRACTION) ? 1 : HUGE_VAL,
        .unit = is_percent ? "%" : q->unit.text,
        .unit_factor = q->unit.factor,
        .source = "stated",
        .seen = BT_READ};
    return bt_leaf(w->sheet, &leaf);
}

/* What one of a measure holds. */
static bool measure_node(struct bt_desk *w, const char *measure, struct bt_node *out)
{
    const struct bt_row *row = bt_handbook_row(w->book, "measures", measure, "volume");
    if (!row)
        row = bt_handbook_row(w->book, "measures", measure, "mass");
    if (!row)
        return refuse(w, measure, "a measure that the handbook knows", NULL, NULL);
    *out = bt_desk_leaf(w, row, bt_desk_text(w, "what a %s holds", measure));
    return true;
}

static bool make_node(struct bt_desk *w, struct bt_sum_given *g,
                      const struct bt_accept *accept, const struct bt_quantity *q)
{
    const bool is_share = !(g->key->takes & BT_TAKES_NUMBER);
    g->unit = q->unit;
    g->species = q->unit.species;
    g->per = q->unit.per;
    g->has_node = true;
    g->node = stated(w, g->name, q, is_share && accept->n_dims == 1);
    const bool is_measure_below =
        g->per && (g->key->takes & BT_TAKES_DENSITY) &&
        bt_handbook_row(w->book, "measures", g->per, "volume") != NULL;
    struct bt_node one = {0};
    if (q->unit.measure) {
        if (!measure_node(w, q->unit.measure, &one))
            return false;
        const struct bt_dim dim = bt_sheet_node(w->sheet, one)->dim;
        bool fits = false;
        for (size_t i = 0; i < accept->n_dims; i++)
            fits |= bt_dim_same(accept->dims[i], dim);
        if (!fits)
            return refuse(w, g->name, bt_units_accepted(w->arena, accept->dims[0]), g->text,
                          bt_desk_text(w, "a %s is known by %s", q->unit.measure,
                                       bt_dim_same(dim, BT_MASS) ? "mass" : "volume"));
        g->node = bt_desk_named(w, bt_desk_text(w, "%s in all", g->name),
                                bt_mul(w->sheet, g->node, one));
    } else if (is_measure_below) {
        if (!measure_node(w, g->per, &one))
            return false;
        g->node = bt_desk_named(w, bt_desk_text(w, "%s as typed", g->name),
                                bt_div(w->sheet, g->node, one));
    }
    return true;
}

/* Place of the sign in `4 x 8 ft`, `20 ft x 25 ft`, `4x8 ft`; NULL when there is none. */
static const char *times_sign(const char *plain)
{
    for (const char *p = strchr(plain, 'x'); p; p = strchr(p + 1, 'x')) {
        const char before = p > plain ? p[-1] : 'a';
        const bool apart = before == ' ' && p[1] == ' ';
        const bool tight = bt_is_digit(before) && bt_is_digit(p[1]);
        if (apart || tight || ((before == '\'' || before == '"') && p[1] != 'a'))
            return p;
    }
    return NULL;
}

/* The unit of the second side stands for a first one without. */
static const char *with_unit(struct bt_desk *w, const char *side, const char *other)
{
    for (const char *c = side; *c; c++)
        if (bt_is_letter(*c) || *c == '\'' || *c == '"')
            return side;
    while (*other && !bt_is_letter(*other) && *other != '\'' && *other != '"')
        other++;
    return bt_desk_text(w, "%s %s", side, other);
}

static bool read_sides(struct bt_desk *w, struct bt_sum_given *g, const char *plain,
                       const char *sign)
{
    static const struct bt_accept length = {
        .n_dims = 1, .dims = {{0, 1, 0, 0}}, .highest = HUGE_VAL};
    struct bt_accept accept = length;
    struct bt_quantity side[2];
    const bool is_area = g->key->takes & BT_TAKES_AREA;
    const char *left = bt_arena_text_n(w->arena, plain, (size_t)(sign - plain));
    const char *right = sign + 1;
    accept.column = g->name;
    if (!read_one(w, &accept, right, &side[1]))
        return false;
    if (is_area)
        left = with_unit(w, left, right);
    else
        accept =
            (struct bt_accept){.column = g->name, .bare_number = true, .highest = HUGE_VAL};
    if (!read_one(w, &accept, left, &side[0]))
        return false;
    const struct bt_node a =
        stated(w, bt_desk_text(w, "%s, %s", g->name, is_area ? "one side" : "how many"),
               &side[0], false);
    const struct bt_node b =
        stated(w, bt_desk_text(w, "%s, %s", g->name, is_area ? "other side" : "of each"),
               &side[1], false);
    g->unit = side[1].unit;
    g->has_node = true;
    g->node = bt_desk_named(w, g->name, bt_mul(w->sheet, a, b));
    return true;
}

/* `18 in across`: a round piece of ground. */
static bool read_round(struct bt_desk *w, struct bt_sum_given *g, const char *across)
{
    static const double QUARTER_OF_PI = 0.78539816339744831;
    const struct bt_accept accept = {
        .column = g->name, .n_dims = 1, .dims = {{0, 1, 0, 0}}, .highest = HUGE_VAL};
    struct bt_quantity q;
    if (!read_one(w, &accept, across, &q))
        return false;
    const struct bt_node d = stated(w, bt_desk_text(w, "%s, across", g->name), &q, false);
    const struct bt_node round =
        bt_constant_named(w->sheet, QUARTER_OF_PI, BT_FRACTION, "circle in its square",
                          "a quarter of pi", NULL);
    g->unit = q.unit;
    g->has_node = true;
    g->node = bt_desk_named(w, g->name, bt_mul(w->sheet, bt_mul(w->sheet, d, d), round));
    return true;
}

/* What stands before a last `across` or `round`; NULL when neither is there. */
static const char *before_across(struct bt_desk *w, const char *plain)
{
    static const char *const words[] = {" across", " round"};
    const size_t n = strlen(plain);
    for (size_t i = 0; i < 2; i++) {
        const size_t k = strlen(words[i]);
        if (n > k && bt_text_is(plain + n - k, words[i]))
            return bt_arena_text_n(w->arena, plain, n - k);
    }
    return NULL;
}

static bool read_whole(struct bt_desk *w, struct bt_sum_given *g)
{
    const char *plain = bt_plain(w->arena, g->text);
    const unsigned takes = g->key->takes;
    const bool is_area = takes & BT_TAKES_AREA;
    const bool may_be_sides =
        is_area || ((takes & BT_TAKES_LENGTH) && !(takes & BT_TAKES_MASS));
    const char *sign = may_be_sides ? times_sign(plain) : NULL;
    const char *across = is_area ? before_across(w, plain) : NULL;
    if (across)
        return read_round(w, g, across);
    if (sign)
        return read_sides(w, g, plain, sign);
    const struct bt_accept accept = accept_of(w, g);
    struct bt_quantity q;
    return read_one(w, &accept, g->text, &q) && make_node(w, g, &accept, &q);
}

/* Place of the sign in `4 x 8 ft + 4 x 4 ft`, not of the one in `32 +- 2 sq ft`. */
static const char *plus_sign(const char *plain)
{
    const char *p = strchr(plain, '+');
    while (p && p[1] == '-')
        p = strchr(p + 1, '+');
    return p;
}

/* Several pieces of ground, added up. */
static bool read_pieces(struct bt_desk *w, struct bt_sum_given *g, const char *plain)
{
    struct bt_node total = {0};
    int n = 0;
    for (const char *plus = ""; plus; plain = plus ? plus + 1 : plain) {
        plus = plus_sign(plain);
        struct bt_sum_given piece = *g;
        piece.name = bt_desk_text(w, "%s %d", g->name, ++n);
        piece.text =
            plus ? bt_arena_text_n(w->arena, plain, (size_t)(plus - plain)) : plain;
        if (bt_text_blank(piece.text))
            return refuse(w, g->name, "a piece of ground on each side of the +", g->text,
                          NULL);
        if (!read_whole(w, &piece))
            return false;
        total = n == 1 ? piece.node : bt_add(w->sheet, total, piece.node);
        g->unit = piece.unit;
    }
    g->has_node = true;
    g->node = bt_desk_named(w, g->name, total);
    return true;
}

static bool read_quantity(struct bt_desk *w, struct bt_sum_given *g)
{
    const char *plain = bt_plain(w->arena, g->text);
    if ((g->key->takes & BT_TAKES_AREA) && plus_sign(plain))
        return read_pieces(w, g, plain);
    return read_whole(w, g);
}

/* ---- words, names and labels ---- */

static bool read_word(struct bt_desk *w, struct bt_sum_given *g)
{
    char **word;
    const size_t n = bt_text_split(w->arena, g->key->words, '|', &word);
    const char *tidy = bt_text_key(w->arena, g->text), *list = "";
    const char **name = bt_arena_alloc(w->arena, (n + 1) * sizeof *name);
    for (size_t i = 0; i < n; i++) {
        if (strcmp(bt_text_key(w->arena, word[i]), tidy) == 0) {
            g->word = word[i];
            return true;
        }
        name[i] = word[i];
        list = bt_desk_text(w, "%s%s%s", list, i ? ", " : "", word[i]);
    }
    return refuse(w, g->name, bt_desk_text(w, "one of %s", list), g->text,
                  bt_text_nearest(w->arena, g->text, n, name));
}

static bool read_name(struct bt_desk *w, struct bt_sum_given *g)
{
    const char *const *keys;
    g->word = bt_handbook_key(w->book, g->key->words, g->text);
    if (g->word)
        return true;
    const size_t n = bt_handbook_keys(w->book, g->key->words, &keys);
    return refuse(w, g->name, bt_desk_text(w, "a name in the handbook's %s", g->key->words),
                  g->text, bt_text_nearest(w->arena, g->text, n, keys));
}

static bool read_label(struct bt_desk *w, struct bt_sum_given *g)
{
    const char *text = bt_plain(w->arena, g->text);
    double sum = 0;
    bool ok = true;
    for (int i = 0; i < 3 && ok; i++) {
        ok = bt_decimal(&text, false, &g->label[i]);
        sum += g->label[i];
        g->label[i] /= 100;
        ok = ok && (i == 2 ? *text == '\0' : *text == '-');
        text += ok && i < 2;
    }
    return (ok && sum <= 100) ||
           refuse(w, g->name, "three numbers as on the bag, N-P2O5-K2O, like 5-10-10",
                  g->text, ok ? "they are percents and come to more than 100" : NULL);
}

static bool read_given(struct bt_desk *w, struct bt_sum_given *g)
{
    if (bt_text_blank(g->text))
        return refuse(w, g->name, bt_sum_takes_text(w->arena, g->key), NULL, NULL);
    if (g->key->takes & BT_TAKES_WORD)
        return read_word(w, g);
    if (g->key->takes & BT_TAKES_NAME)
        return read_name(w, g);
    return g->key->takes & BT_TAKES_LABEL ? read_label(w, g) : read_quantity(w, g);
}

/* ---- the line ---- */

static bool split(struct bt_desk *w, const char *typed)
{
    const char *equals = strchr(typed, '=');
    if (!equals)
        return refuse(w, "key", "key=value", typed,
                      bt_desk_text(w, "the keys are %s", key_list(w)));
    const char *name = bt_arena_text_n(w->arena, typed, (size_t)(equals - typed));
    int nth;
    const struct bt_sum_key *key = find_key(w, name, &nth);
    if (!key)
        return unknown_key(w, name);
    if (bt_desk_nth(w, key->name, nth))
        return refuse(w, name, "each key once", typed, NULL);
    const bool is_numbered = key->takes & BT_TAKES_MANY;
    w->given[w->n_given++] = (struct bt_sum_given){
        .key = key,
        .nth = nth,
        .name = is_numbered ? bt_desk_text(w, "%s%d", key->name, nth) : key->name,
        .text = equals + 1};
    return true;
}

bool bt_desk_read(struct bt_desk *w, size_t n, const char *const *typed)
{
    w->given = bt_arena_zero(w->arena, (n + 1) * sizeof *w->given);
    for (size_t i = 0; i < n; i++)
        (void)split(w, typed[i]);
    for (const struct bt_sum_key *k = w->sum->key; k->name; k++)
        if ((k->takes & BT_NEEDED) && !bt_desk_nth(w, k->name, 1))
            refuse(w, k->name, bt_sum_takes_text(w->arena, k), NULL, k->meaning);
    for (size_t i = 0; i < w->n_given; i++)
        (void)read_given(w, &w->given[i]);
    return !w->failed;
}
