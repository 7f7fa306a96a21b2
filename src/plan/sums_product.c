/* How much of a product, what it carries, plans of several, one instead of another. */
#include <string.h>

#include "plan/desk.h"
#include "plan/product.h"
#include "plan/sum_list.h"

#define PART (BT_TAKES_SHARE | BT_TAKES_PERCENT)

/* ---- product ---- */

static const struct bt_sum_key product_keys[] = {
    {"rate",        BT_TAKES_RATE | BT_TAKES_MASS | BT_TAKES_PER_ROW | BT_NEEDED, NULL,
     "nutrient wanted: per area, per row length, per plant (`2 g/plant`) or in all"                                                         },
    {"nutrient",    BT_TAKES_WORD,                                                "N|P2O5|K2O",      "which one, unless the rate says it"   },
    {"grade",       BT_TAKES_LABEL,                                               NULL,              "the bag's three numbers"              },
    {"content",     PART | BT_TAKES_DENSITY,                                      NULL,
     "or what it holds of that nutrient (46 %, 15 lb/ton, 2 lb/1000 gal)"                                                                   },
    {"like",        BT_TAKES_NAME,                                                "materials",       "or a material of the handbook"        },
    {"labelled",    BT_TAKES_WORD,                                                "oxides|elements", "what the bag counts (oxides)"         },
    {"available",   PART,                                                         NULL,
     "share that counts this season (all of it, or the handbook's)"                                                                         },
    {"area",        BT_TAKES_AREA,                                                NULL,              "ground it is for"                     },
    {"row",         BT_TAKES_LENGTH,                                              NULL,              "length of row it is for (`6 x 90 ft`)"},
    {"row_spacing", BT_TAKES_LENGTH,                                              NULL,              "ground beside the row that it feeds"  },
    {"plants",      BT_TAKES_NUMBER,                                              NULL,              "plants that share it"                 },
    {"density",     BT_TAKES_DENSITY,                                             NULL,              "to measure it by cups or buckets"     },
    {"bag",         BT_TAKES_MASS | BT_TAKES_VOLUME,                              NULL,              "what a bag holds"                     },
    {NULL,          0,                                                            NULL,              NULL                                   }
};

/* Which nutrient is asked for; N unless it is said. */
static int asked_form(struct bt_desk *w, const struct bt_sum_given *rate)
{
    static const char *const words[] = {"N", "P2O5", "K2O"};
    const char *word = bt_desk_word(w, "nutrient");
    for (int i = 0; word && i < BT_FORMS; i++)
        if (strcmp(word, words[i]) == 0)
            return i;
    const int form = rate ? bt_form_of(rate->species) : -1;
    if (form < 0)
        bt_desk_note(w, "nitrogen is meant, since no nutrient was named");
    return form < 0 ? 0 : form;
}

/* Content times what counts of it: given, or the handbook's share of the total. */
static struct bt_node counted_of(struct bt_desk *w, const char *key, const char *material,
                                 int form, struct bt_node content)
{
    static const char *const quantity[] = {"n_available_1", "p2o5_available",
                                           "k2o_available"};
    const char *label = bt_desk_text(w, "%s that counts in it", bt_form_name[form]);
    if (bt_desk_has(w, key))
        return bt_desk_named(w, label, bt_mul(w->sheet, content, bt_desk_node(w, key)));
    const struct bt_row *row =
        material ? bt_handbook_follow(w->book, "materials", material, quantity[form])
                 : NULL;
    if (row && strcmp(row->basis, "of_total") == 0 && row->range.low > 0)
        return bt_desk_named(
            w, label,
            bt_mul(w->sheet, content,
                   bt_desk_leaf(w, row,
                                bt_desk_text(w, "share of %s that counts of %s",
                                             bt_form_name[form], material))));
    if (row)
        bt_desk_note(w,
                     "taken at face value: what counts of %s goes by its analysis, see the "
                     "sum manure",
                     material);
    return content;
}

/* The content of the form asked for; false with a message. */
static bool content_of(struct bt_desk *w, const struct bt_contents *c, int form,
                       struct bt_node *out)
{
    if (bt_desk_has(w, "content"))
        *out = bt_desk_as(w, bt_desk_nth(w, "content", 1), bt_form_name[form]);
    else if (c->has[form])
        *out = c->share[form];
    else
        bt_desk_refuse(w, "grade", "the bag's grade, a content or a material (like)", NULL);
    if (!w->failed && !(bt_likely(w->sheet, *out) > 0))
        bt_desk_refuse(w, "grade",
                       bt_desk_text(w, "a product that holds %s", bt_form_name[form]),
                       NULL);
    return !w->failed;
}

/* The ground, given or by rows; false when it is not known. */
static bool ground_of(struct bt_desk *w, struct bt_node *out)
{
    if (bt_desk_has(w, "area")) {
        *out = bt_desk_node(w, "area");
        return true;
    }
    if (!bt_desk_has(w, "row") || !bt_desk_has(w, "row_spacing"))
        return false;
    *out = bt_desk_named(
        w, "ground of the rows",
        bt_mul(w->sheet, bt_desk_node(w, "row"), bt_desk_node(w, "row_spacing")));
    return true;
}

/* Need in all: *is_all false where ground, row or plants are not known. */
static struct bt_node need_in_all(struct bt_desk *w, const struct bt_sum_given *g,
                                  struct bt_node need, bool *is_all)
{
    struct bt_node ground;
    *is_all = true;
    if (bt_desk_dim(w, need, BT_MASS_PER_AREA)) {
        if (ground_of(w, &ground))
            return bt_desk_named(w, "nutrient", bt_mul(w->sheet, need, ground));
    } else if (!bt_desk_dim(w, need, BT_MASS)) { /* per row length */
        if (bt_desk_has(w, "row"))
            return bt_desk_named(w, "nutrient",
                                 bt_mul(w->sheet, need, bt_desk_node(w, "row")));
    } else if (g->per) { /* per plant */
        if (bt_desk_has(w, "plants"))
            return bt_desk_named(w, "nutrient",
                                 bt_mul(w->sheet, need, bt_desk_node(w, "plants")));
    } else {
        return need;
    }
    *is_all = false;
    return need;
}

/* From half a bucket up. */
static void put_buckets(struct bt_desk *w, struct bt_node volume)
{
    const struct bt_node n =
        bt_div(w->sheet, volume,
               bt_desk_book(w, "measures", "bucket", "volume", "what a bucket holds"));
    if (bt_likely(w->sheet, n) >= 0.5)
        bt_desk_result(w, "in buckets", n, "");
}

static void measures_of(struct bt_desk *w, struct bt_node product, const char *material)
{
    const bool is_mass = bt_desk_dim(w, product, BT_MASS);
    struct bt_node volume = product;
    bool has_volume = bt_desk_dim(w, product, BT_VOLUME);
    if (is_mass && bt_desk_has(w, "density")) {
        volume = bt_div(w->sheet, product, bt_desk_node(w, "density"));
        has_volume = true;
    } else if (is_mass && material &&
               bt_handbook_follow(w->book, "materials", material, "density")) {
        volume = bt_div(w->sheet, product,
                        bt_desk_book(w, "materials", material, "density",
                                     bt_desk_text(w, "density of %s", material)));
        has_volume = true;
    }
    if (has_volume && is_mass)
        bt_desk_result(w, "product by volume", volume, NULL);
    if (has_volume)
        put_buckets(w, volume);
    if (!bt_desk_has(w, "bag"))
        return;
    const struct bt_node bag = bt_desk_node(w, "bag");
    const bool by_mass = bt_desk_dim(w, bag, BT_MASS);
    if (by_mass ? is_mass : has_volume)
        bt_desk_result(w, "bags", bt_div(w->sheet, by_mass ? product : volume, bag), "");
    else
        bt_desk_refuse(w, "bag", "a bag measured like the product", "give its density too");
}

static void put_product(struct bt_desk *w, struct bt_node need, bool is_all,
                        struct bt_node content)
{
    const char *name = is_all ? "product" : "product for it";
    struct bt_node ground;
    const struct bt_node product =
        bt_desk_named(w, name, bt_product_for(w->sheet, need, content));
    bt_desk_result(w, name, product, NULL);
    if (!is_all)
        return;
    const struct bt_sum_given *rate = bt_desk_nth(w, "rate", 1);
    if (bt_desk_dim(w, rate->node, BT_MASS_PER_AREA) && ground_of(w, &ground))
        bt_desk_result(w, "product per area", bt_div(w->sheet, product, ground), NULL);
    if (bt_desk_has(w, "row"))
        bt_desk_result(w, "product per row length",
                       bt_div(w->sheet, product, bt_desk_node(w, "row")), NULL);
    if (bt_desk_has(w, "plants"))
        bt_desk_result(w, "product per plant",
                       bt_div(w->sheet, product, bt_desk_node(w, "plants")), NULL);
    measures_of(w, product, bt_desk_word(w, "like"));
}

static void put_along(struct bt_desk *w, const struct bt_contents *c, int form,
                      struct bt_node product)
{
    for (int i = 0; i < BT_FORMS; i++)
        if (i != form && c->has[i] && bt_likely(w->sheet, c->share[i]) > 0)
            bt_desk_result(w, bt_desk_text(w, "%s that comes along", bt_form_name[i]),
                           bt_carried_by(w->sheet, product, c->share[i]), NULL);
}

static void build_product(struct bt_desk *w)
{
    const struct bt_sum_given *g = bt_desk_nth(w, "rate", 1);
    const int form = asked_form(w, g);
    const struct bt_node need = bt_desk_as(w, g, bt_form_name[form]);
    const struct bt_contents c = bt_desk_contents(w, "");
    struct bt_node content = {0};
    bool is_all;
    if (w->failed || !content_of(w, &c, form, &content) || !bt_desk_guard(w, g, need, form))
        return;
    content = counted_of(w, "available", bt_desk_word(w, "like"), form, content);
    const struct bt_node all = need_in_all(w, g, need, &is_all);
    if (is_all)
        bt_desk_result(w, bt_desk_text(w, "%s wanted", bt_form_name[form]), all, NULL);
    put_product(w, all, is_all, content);
    const char *name = is_all ? "product" : "product for it";
    for (size_t i = 0; i < w->n_results; i++)
        if (strcmp(w->result[i].name, name) == 0) {
            put_along(w, &c, form, w->result[i].node);
            break;
        }
}

const struct bt_sum bt_sum_product = {
    "product",
    "how much of a product gives a nutrient",
    "Product is the nutrient wanted over what the product holds of it (and, where only a "
    "part "
    "counts this season, over that part).",
    "arithmetic",
    product_keys,
    "rate='0.1 lb N/100 sq ft' grade=18-6-12 area='4 x 8 ft' density='0.5 lb/cup'",
    build_product};

/* ---- carried ---- */

static const struct bt_sum_key carried_keys[] = {
    {"amount",   BT_TAKES_MASS | BT_TAKES_RATE | BT_TAKES_VOLUME | BT_NEEDED, NULL,
     "of the product: in all, or per area"                                                                                                    },
    {"grade",    BT_TAKES_LABEL,                                              NULL,              "the bag's three numbers"                    },
    {"n",        PART | BT_TAKES_DENSITY,                                     NULL,              "or what it holds of N"                      },
    {"p2o5",     PART | BT_TAKES_DENSITY,                                     NULL,              "and of P2O5 (`2 % P` is turned into it)"    },
    {"k2o",      PART | BT_TAKES_DENSITY,                                     NULL,              "and of K2O (`2 % K` is turned into it)"     },
    {"like",     BT_TAKES_NAME,                                               "materials",       "or a material of the handbook, as it comes" },
    {"labelled", BT_TAKES_WORD,                                               "oxides|elements", "what the bag counts (oxides)"               },
    {"density",  BT_TAKES_DENSITY,                                            NULL,              "for an amount by volume"                    },
    {"area",     BT_TAKES_AREA,                                               NULL,              "ground it is for"                           },
    {"into",     BT_TAKES_VOLUME,                                             NULL,              "or the volume of mix it goes into (`5 gal`)"},
    {NULL,       0,                                                           NULL,              NULL                                         }
};

/* The amount in the measure that a content asks for: mass, or volume for one per volume. */
static bool amount_for(struct bt_desk *w, struct bt_node content, struct bt_node *amount)
{
    const bool by_volume = bt_desk_dim(w, content, BT_DENSITY);
    const bool is_volume = bt_desk_dim(w, *amount, BT_VOLUME);
    if (by_volume == is_volume)
        return true;
    if (!bt_desk_has(w, "density")) {
        bt_desk_refuse(w, "density", "the density, to go from volume to mass", NULL);
        return false;
    }
    const struct bt_node density = bt_desk_node(w, "density");
    *amount = is_volume ? bt_desk_named(w, "mass", bt_mul(w->sheet, *amount, density))
                        : bt_desk_named(w, "volume", bt_div(w->sheet, *amount, density));
    return true;
}

static void put_carried(struct bt_desk *w, struct bt_node amount, struct bt_node content,
                        int form)
{
    static const char *const element[] = {"N", "P", "K"};
    const struct bt_node area = bt_desk_has(w, "area") ? bt_desk_node(w, "area") : amount;
    if (!amount_for(w, content, &amount))
        return;
    const struct bt_node carried = bt_carried_by(w->sheet, amount, content);
    if (bt_desk_dim(w, carried, BT_MASS_PER_AREA) &&
        !bt_desk_guard(w, bt_desk_nth(w, "amount", 1), carried, form))
        return;
    bt_desk_result_both(w, bt_form_name[form], carried,
                        bt_desk_has(w, "area") ? &area : NULL);
    if (bt_desk_has(w, "into") && bt_desk_dim(w, carried, BT_MASS))
        bt_desk_result(w, bt_desk_text(w, "%s per volume", bt_form_name[form]),
                       bt_div(w->sheet, carried, bt_desk_node(w, "into")), NULL);
    if (form > 0 && bt_likely(w->sheet, content) > 0)
        bt_desk_result(w, bt_desk_text(w, "that is, %s", element[form]),
                       bt_desk_form(w, carried, bt_form_name[form], element[form]), NULL);
}

static void build_carried(struct bt_desk *w)
{
    const struct bt_contents c = bt_desk_contents(w, "");
    if (!w->failed && !c.has[0] && !c.has[1] && !c.has[2])
        bt_desk_refuse(w, "grade", "the bag's grade, a content or a material (like)", NULL);
    for (int i = 0; i < BT_FORMS && !w->failed; i++)
        if (c.has[i])
            put_carried(w, bt_desk_node(w, "amount"), c.share[i], i);
}

const struct bt_sum bt_sum_carried = {
    "carried",
    "what nutrients an amount of product carries",
    "Amount times content, for each nutrient; P and K beside their oxides.",
    "arithmetic",
    carried_keys,
    "amount='50 kg' grade=13-10-15",
    build_carried};

/* ---- plan ---- */

#define WANTED (BT_TAKES_RATE | BT_TAKES_MASS)

static const struct bt_sum_key plan_keys[] = {
    {"n",          WANTED,                     NULL,              "N wanted, per area or in all"                },
    {"p2o5",       WANTED,                     NULL,              "P2O5 wanted (`40 lb P/ac` is turned into it)"},
    {"k2o",        WANTED,                     NULL,              "K2O wanted"                                  },
    {"first",      BT_TAKES_LABEL | BT_NEEDED, NULL,              "grade of the product that comes first"       },
    {"first_for",  BT_TAKES_WORD,              "N|P2O5|K2O",
     "which need it is to meet (its largest number)"                                                            },
    {"second",     BT_TAKES_LABEL,             NULL,              "grade of the second"                         },
    {"second_for", BT_TAKES_WORD,              "N|P2O5|K2O",      "and its need"                                },
    {"third",      BT_TAKES_LABEL,             NULL,              "grade of the third"                          },
    {"third_for",  BT_TAKES_WORD,              "N|P2O5|K2O",      "and its need"                                },
    {"labelled",   BT_TAKES_WORD,              "oxides|elements", "what the bags count (oxides)"                },
    {"area",       BT_TAKES_AREA,              NULL,              "ground it is for"                            },
    {NULL,         0,                          NULL,              NULL                                          }
};

struct needs {
    bool has[BT_FORMS];
    struct bt_node need[BT_FORMS]; /* still needed */
    struct bt_node over[BT_FORMS]; /* carried so far */
};

static int form_for(struct bt_desk *w, const char *step, const struct bt_sum_given *label,
                    const struct needs *n)
{
    const char *word = bt_desk_word(w, bt_desk_text(w, "%s_for", step));
    int best = -1;
    for (int i = 0; i < BT_FORMS; i++) {
        if (word && strcmp(word, bt_form_name[i]) == 0)
            return i;
        if (!word && n->has[i] && bt_likely(w->sheet, n->need[i]) > 0 &&
            label->label[i] > 0 && (best < 0 || label->label[i] > label->label[best]))
            best = i;
    }
    return best;
}

static struct bt_node label_share(struct bt_desk *w, const struct bt_sum_given *g, int form)
{
    static const char *const element[] = {"N", "P", "K"};
    const bool elements = form > 0 && bt_desk_is(w, "labelled", "elements");
    const char *held = elements ? element[form] : bt_form_name[form];
    const struct bt_leaf leaf = {
        .id = bt_desk_text(w, "given/%s/%s", g->name, bt_form_name[form]),
        .label = bt_desk_text(w, "%s in %s", held, g->text),
        .dim = BT_FRACTION,
        .range = bt_range_exact(g->label[form]),
        .limit_high = 1,
        .unit = "%",
        .unit_factor = 0.01,
        .source = "stated"};
    const struct bt_node n = bt_leaf(w->sheet, &leaf);
    if (!elements)
        return n;
    return bt_desk_named(w, bt_desk_text(w, "%s in %s", bt_form_name[form], g->text),
                         bt_desk_form(w, n, held, bt_form_name[form]));
}

static void put_step(struct bt_desk *w, const char *step, struct needs *n)
{
    const struct bt_sum_given *g = bt_desk_nth(w, step, 1);
    const int form = g ? form_for(w, step, g, n) : -1;
    if (!g)
        return;
    if (form < 0 || !n->has[form] || !(g->label[form] > 0)) {
        bt_desk_refuse(w, step, "a product that holds something still wanted",
                       bt_desk_text(w, "say for which need: %s_for=N", step));
        return;
    }
    const struct bt_node product = bt_desk_named(
        w, bt_desk_text(w, "%s product, %s for %s", step, g->text, bt_form_name[form]),
        bt_product_for(w->sheet, n->need[form], label_share(w, g, form)));
    const struct bt_node area = bt_desk_has(w, "area") ? bt_desk_node(w, "area") : product;
    bt_desk_result_both(w, bt_desk_text(w, "%s product", step), product,
                        bt_desk_has(w, "area") ? &area : NULL);
    for (int i = 0; i < BT_FORMS; i++) {
        if (!(g->label[i] > 0))
            continue;
        const struct bt_node carried =
            bt_desk_named(w, bt_desk_text(w, "%s in the %s product", bt_form_name[i], step),
                          bt_carried_by(w->sheet, product, label_share(w, g, i)));
        bt_desk_result(w, bt_desk_text(w, "%s in the %s product", bt_form_name[i], step),
                       carried, NULL);
        if (!n->has[i])
            continue;
        n->over[i] = bt_add(w->sheet, n->over[i], carried);
        n->need[i] = bt_desk_named(
            w, bt_desk_text(w, "%s still needed after the %s", bt_form_name[i], step),
            bt_still_needed(w->sheet, n->need[i], carried));
        if (i != form)
            bt_desk_result(
                w, bt_desk_text(w, "%s still needed after the %s", bt_form_name[i], step),
                n->need[i], NULL);
    }
}

/* Needs per area or in all, all in the same way; false with a message. */
static bool read_needs(struct bt_desk *w, struct needs *n, struct bt_node *wanted)
{
    static const char *const key[] = {"n", "p2o5", "k2o"};
    const struct bt_sum_given *first = NULL;
    for (int i = 0; i < BT_FORMS; i++) {
        const struct bt_sum_given *g = bt_desk_nth(w, key[i], 1);
        if (!g)
            continue;
        if (first && !bt_desk_dim(w, g->node, bt_sheet_node(w->sheet, first->node)->dim)) {
            bt_desk_refuse(w, key[i], "all needs per area, or all in all", NULL);
            return false;
        }
        first = first ? first : g;
        n->has[i] = true;
        wanted[i] = n->need[i] = bt_desk_as(w, g, bt_form_name[i]);
        n->over[i] = bt_constant(w->sheet, 0, bt_sheet_node(w->sheet, g->node)->dim);
        if (w->failed || !bt_desk_guard(w, g, n->need[i], i))
            return false;
    }
    if (!first)
        bt_desk_refuse(w, "n", "at least one need: n, p2o5 or k2o", NULL);
    return !w->failed;
}

static void build_plan(struct bt_desk *w)
{
    static const char *const step[] = {"first", "second", "third"};
    struct needs n = {0};
    struct bt_node wanted[BT_FORMS];
    if (!read_needs(w, &n, wanted))
        return;
    for (int i = 0; i < 3 && !w->failed; i++)
        put_step(w, step[i], &n);
    for (int i = 0; i < BT_FORMS && !w->failed; i++)
        if (n.has[i])
            bt_desk_result(w, bt_desk_text(w, "%s carried less wanted", bt_form_name[i]),
                           bt_sub(w->sheet, n.over[i], wanted[i]), NULL);
}

const struct bt_sum bt_sum_plan = {
    "plan",
    "two or three products that meet several needs in turn",
    "Each product in its turn meets what is still wanted of one nutrient; what it carries "
    "of "
    "the others comes off their need before the next. Take the scarcest first.",
    "arithmetic",
    plan_keys,
    "n='3 lb/1000 sq ft' p2o5='1 lb/1000 sq ft' first=11-55-0 second=21-0-0 area='25 x 25 "
    "ft'",
    build_plan};

/* ---- substitute ---- */

static const struct bt_sum_key substitute_keys[] = {
    {"amount",         BT_TAKES_MASS | BT_TAKES_RATE | BT_NEEDED, NULL,
     "of the product to be replaced"                                                                                                 },
    {"nutrient",       BT_TAKES_WORD,                             "N|P2O5|K2O", "which one must stay the same (N)"                   },
    {"from_grade",     BT_TAKES_LABEL,                            NULL,         "grade of the one replaced"                          },
    {"from_content",   PART,                                      NULL,         "or what it holds"                                   },
    {"from_like",      BT_TAKES_NAME,                             "materials",  "or a material of the handbook"                      },
    {"from_available", PART,                                      NULL,         "share of that which counts (all)"                   },
    {"to_grade",       BT_TAKES_LABEL,                            NULL,         "grade of the other"                                 },
    {"to_content",     PART,                                      NULL,         "or what it holds"                                   },
    {"to_like",        BT_TAKES_NAME,                             "materials",  "or a material of the handbook"                      },
    {"to_available",   PART,                                      NULL,         "share of that which counts (all, or the handbook's)"},
    {NULL,             0,                                         NULL,         NULL                                                 }
};

static bool counted(struct bt_desk *w, const char *side, int form, struct bt_node *out,
                    struct bt_contents *c)
{
    const char *content = bt_desk_text(w, "%scontent", side);
    *c = bt_desk_contents(w, side);
    if (bt_desk_has(w, content))
        *out = bt_desk_node(w, content);
    else if (c->has[form])
        *out = c->share[form];
    else
        bt_desk_refuse(w, content, "a grade, a content or a material", NULL);
    if (w->failed)
        return false;
    if (!(bt_likely(w->sheet, *out) > 0))
        bt_desk_refuse(w, content,
                       bt_desk_text(w, "a product that holds %s", bt_form_name[form]),
                       NULL);
    *out = counted_of(w, bt_desk_text(w, "%savailable", side),
                      bt_desk_word(w, bt_desk_text(w, "%slike", side)), form, *out);
    return !w->failed;
}

static void build_substitute(struct bt_desk *w)
{
    const struct bt_sum_given *g = bt_desk_nth(w, "amount", 1);
    const int form = asked_form(w, NULL);
    struct bt_node from = {0}, to = {0};
    struct bt_contents c_from, c_to;
    if (!counted(w, "from_", form, &from, &c_from) || !counted(w, "to_", form, &to, &c_to))
        return;
    const struct bt_node other =
        bt_desk_named(w, "amount of the other", bt_replacing(w->sheet, g->node, from, to));
    bt_desk_result(w, bt_desk_text(w, "%s that counts", bt_form_name[form]),
                   bt_mul(w->sheet, g->node, from), NULL);
    bt_desk_result(w, "amount of the other", other, NULL);
    for (int i = 0; i < BT_FORMS; i++)
        if (i != form && c_to.has[i])
            bt_desk_result(w, bt_desk_text(w, "%s the other brings", bt_form_name[i]),
                           bt_carried_by(w->sheet, other, c_to.share[i]), NULL);
}

const struct bt_sum bt_sum_substitute = {
    "substitute",
    "how much of one material replaces another",
    "Amount, content and share that counts of the one, over content and share of the "
    "other.",
    "arithmetic",
    substitute_keys,
    "amount='5 lb' from_grade=10-10-10 to_like='feather meal'",
    build_substitute};
