#include "command/columns.h"

#include <string.h>

#include "input/garden.h"

#define N(a) (sizeof(a) / sizeof *(a))

const char *const bt_column_files[] = {
    "garden",       "beds",     "plantings", "soil_tests", "water", "materials",
    "applications", "measures", "harvests",  "purchases",  NULL};

/* clang-format off */
static const struct meaning {
    const char *file, *column, *text;
} meanings[] = {
    {"garden", NULL, "one row a setting"},
    {"garden", "setting", "which one; all of them are below"},
    {"garden", "value", "what it is set to"},
    {"settings", "name", "of the garden"},
    {"settings", "units", "what is printed; cells may be typed in either"},
    {"settings", "season", "the year to look at"},
    {"settings", "season_start", "first day of the season: 2026-03-15"},
    {"settings", "season_end", "its last day"},
    {"settings", "as_of", "rows without status count as done up to this day, as planned after it"},
    {"settings", "place", "a town, for the reader; nothing is worked out from it"},
    {"settings", "warmth", "of the summers"},
    {"settings", "mean_temperature", "instead of warmth: of the year, 11 degC or 52 degF"},
    {"settings", "temperature_half_range", "half the way from coldest to warmest month, 12 degC"},
    {"settings", "allowed", "what may be added"},
    {"settings", "enough", "the chance with which the need should be covered: 80 %"},
    {"settings", "left_limit", "nitrogen left in the soil in autumn that is too much: 60 kg/ha"},
    {"settings", "currency", "of prices"},
    {"settings", "prepared_by", "who wrote this down"},
    {"settings", "grant", "for reports"},
    {"settings", "funder", "for reports"},

    {"beds", NULL, "one row a bed"},
    {"beds", "bed", "what the other files call it: A1"},
    {"beds", "name", "what people call it"},
    {"beds", "group", "beds of one group can be named together in other files"},
    {"beds", "length", "12 ft, 4'6\", 3.6 m"},
    {"beds", "width", "across; of a round bed length alone is its diameter"},
    {"beds", "shape", "rectangle when left blank"},
    {"beds", "area", "instead of length and width: 48 sq ft"},
    {"beds", "less", "area to take off for paths and posts: 6 sq ft"},
    {"beds", "planted", "the part that is planted: 75 %; everything else is of that part"},
    {"beds", "kind", "ground; mix: filled with less than half mineral soil; pots"},
    {"beds", "pots", "how many"},
    {"beds", "pot_volume", "of one: 5 gal"},
    {"beds", "depth", "how deep the bed is loose or filled: 10 in"},
    {"beds", "texture", "of the soil; the names are below"},

    {"plantings", NULL, "one row a crop from sowing or planting to its end"},
    {"plantings", "bed", "from beds.csv"},
    {"plantings", "crop", "the names known are below; a garden's own name goes with `like`"},
    {"plantings", "like", "the crop of the handbook that this plant grows like: small flower"},
    {"plantings", "variety", "for the reader"},
    {"plantings", "role", "why it is there, for the reader: trap crop, scent"},
    {"plantings", "plants", "40, or 8 mounds x 5, or 2 rows x 12"},
    {"plantings", "rows", "2 x 20 ft of row, where plants were not counted"},
    {"plantings", "spacing", "in the row: 8 in"},
    {"plantings", "share", "of the bed on ground of its own: 25 %; where nothing is counted"},
    {"plantings", "among", "the crop it grows among"},
    {"plantings", "in_ground", "sown or planted: 2026-05-20"},
    {"plantings", "ended", "pulled or cut down; blank when it still stands or is not known"},
    {"plantings", "expected", "the season's harvest: 12 lb, 20..30 lb, or a word"},
    {"plantings", "weighed", "the harvest when it is over"},
    {"plantings", "picked", "what is taken; two words may stand together: green; dry"},
    {"plantings", "rest", "what becomes of the remains"},
    {"plantings", "frame", "area of a trial cut: 4 sq ft"},
    {"plantings", "fresh", "weight of that cut: 3.2 lb"},
    {"plantings", "dry_matter", "dry share of it: 18 %"},
    {"plantings", "n_percent", "nitrogen in the dry matter, from a lab: 3.1 %"},
    {"plantings", "inoculated", "legumes: were they given their bacteria, or grown here before"},
    {"plantings", "status", "blank goes by as_of"},

    {"soil_tests", NULL, "one row a sample"},
    {"soil_tests", "sample", "the lab's or your name for it"},
    {"soil_tests", "date", "taken on"},
    {"soil_tests", "beds", "from which: A1; A2, or a group"},
    {"soil_tests", "depth", "0-6 in"},
    {"soil_tests", "organic_matter", "4.2 %"},
    {"soil_tests", "ph", "6.5"},
    {"soil_tests", "nitrate_n", "18 ppm; from its date on it takes the place of what was reckoned"},
    {"soil_tests", "phosphorus", "34 ppm, or the lab's letter"},
    {"soil_tests", "phosphorus_method", "how it was drawn out of the soil: Mehlich-3, Olsen"},
    {"soil_tests", "phosphorus_rating", "the lab's word: low, H"},
    {"soil_tests", "potassium", "120 ppm, or the lab's letter"},
    {"soil_tests", "potassium_method", "as for phosphorus"},
    {"soil_tests", "potassium_rating", "as for phosphorus"},
    {"soil_tests", "advised", "as printed: 5 lb 10-0-10 per 1000 sq ft"},
    {"soil_tests", "advised_n", "2 lb/1000 sq ft"},
    {"soil_tests", "advised_p2o5", "of phosphate"},
    {"soil_tests", "advised_k2o", "of potash"},
    {"soil_tests", "lead", "ppm; shown first where it is above its level"},
    {"soil_tests", "arsenic", "as for lead"},
    {"soil_tests", "cadmium", "as for lead"},

    {"water", NULL, "one row a source or a watering"},
    {"water", "source", "well, town, butt"},
    {"water", "date", "of the test"},
    {"water", "nitrate", "8 ppm NO3-N or 35 ppm NO3: say which"},
    {"water", "beds", "which were watered from it"},
    {"water", "amount", "1 in/week, 11 in, 6500 gal; none for a bed that is never watered"},
    {"water", "from", "first day"},
    {"water", "to", "last day"},

    {"materials", NULL, "one row a material that the handbook has not, or that was tested"},
    {"materials", "material", "your name for it"},
    {"materials", "like", "the material of the handbook that it follows; the names are below"},
    {"materials", "label", "as on the bag: 3-4-4"},
    {"materials", "n", "total nitrogen: 1.4 %"},
    {"materials", "ammonium_n", "of that: as ammonium"},
    {"materials", "nitrate_n", "of that: as nitrate"},
    {"materials", "p2o5", "phosphate"},
    {"materials", "k2o", "potash"},
    {"materials", "p", "phosphorus, where the lab gives the element"},
    {"materials", "k", "potassium, where the lab gives the element"},
    {"materials", "basis", "of the percentages"},
    {"materials", "moisture", "40 %"},
    {"materials", "c_n", "carbon to nitrogen: 14"},
    {"materials", "density", "24 lb/bucket, 600 kg/m3"},
    {"materials", "package", "40 lb, 1.5 cu ft"},
    {"materials", "price", "of one package"},
    {"materials", "on_hand", "how much there is"},
    {"materials", "made_here", "made from this garden's own growth; a part: 60 %"},
    {"materials", "allowed_organic", "by the rules the garden keeps"},

    {"applications", NULL, "one row a thing spread, dug in or poured"},
    {"applications", "date", "on which"},
    {"applications", "beds", "A1; A2, or a group"},
    {"applications", "material", "from materials.csv or the handbook"},
    {"applications", "amount", "40 lb, 2 in, 3 wheelbarrows, 1/2 cup/plant; shared among the beds"},
    {"applications", "placement", "where it went; filling: the bed was filled with it"},
    {"applications", "taken_from", "the bed it was cut from"},
    {"applications", "every", "2 weeks: the same again"},
    {"applications", "until", "to this day"},
    {"applications", "status", "blank goes by as_of"},

    {"measures", NULL, "one row a measure of your own"},
    {"measures", "measure", "wheelbarrow"},
    {"measures", "amount", "7 buckets, 6 cu ft, 30 lb"},
    {"harvests", NULL, "one row each time something was picked and weighed"},
    {"harvests", "date", "the day"},
    {"harvests", "bed", "where it grew"},
    {"harvests", "crop", "as in plantings.csv"},
    {"harvests", "amount", "a weight, 3 lb 4 oz, 1.5 kg"},
    {"harvests", "to", "who got it: volunteers, food pantry; free text"},
    {"purchases", NULL, "one row a material on a receipt, or a gift"},
    {"purchases", "date", "of the receipt"},
    {"purchases", "supplier", "who sold or gave it"},
    {"purchases", "receipt", "its number, or where it is kept"},
    {"purchases", "material", "as in materials.csv"},
    {"purchases", "amount", "2 bags, 1 cu yd, 50 lb"},
    {"purchases", "paid", "for the material, 76.00; blank for a gift"},
    {"purchases", "delivery", "what bringing it cost"},
    {"purchases", "donated_value", "what a gift would have cost"},
};
/* clang-format on */

static const char *meaning(const char *file, const char *column)
{
    for (size_t i = 0; i < N(meanings); i++) {
        const struct meaning *m = &meanings[i];
        if (strcmp(m->file, file) != 0)
            continue;
        if (column ? m->column && strcmp(m->column, column) == 0 : !m->column)
            return m->text;
    }
    return NULL;
}

const char *bt_column_file_meaning(const char *file)
{
    return meaning(file, NULL);
}

const char *bt_column_meaning(const char *file, const char *column)
{
    return meaning(file, column);
}

static void put_words(struct bt_out *o, const char *file, const char *column)
{
    const char *const *word = NULL;
    const size_t n = bt_garden_words(file, column, &word);
    for (size_t i = 0; i < n; i++)
        bt_put(o, "%s%s", i ? ", " : "  (words: ", word[i]);
    bt_put(o, "%s\n", n ? ")" : "");
}

static void put_columns(struct bt_out *o, const char *file)
{
    const char *const *column = NULL;
    const size_t n = bt_garden_columns(file, &column);
    bt_put(o, "%s.csv: %s\n", file, bt_column_file_meaning(file));
    for (size_t i = 0; i < n; i++) {
        const char *text = bt_column_meaning(file, column[i]);
        bt_put(o, "  %-18s %s", column[i], text ? text : "");
        put_words(o, file, column[i]);
    }
    bt_put(o, "\n");
}

static void put_settings(struct bt_out *o)
{
    const char *const *setting = NULL;
    const size_t n = bt_garden_settings(&setting);
    bt_put(o, "The settings of garden.csv:\n");
    for (size_t i = 0; i < n; i++) {
        const char *text = bt_column_meaning("settings", setting[i]);
        bt_put(o, "  %-22s %s", setting[i], text ? text : "");
        put_words(o, "garden", setting[i]);
    }
    bt_put(o, "\n");
}

/* Names as a paragraph of lines no longer than a page is wide. `quantity`: those alone that
 * have it; NULL for all. */
static void put_names(struct bt_out *o, const struct bt_handbook *h, const char *title,
                      const char *table, const char *quantity)
{
    const char *const *key = NULL;
    const size_t n = bt_handbook_keys(h, table, &key);
    size_t column = 0;
    bt_put(o, "%s:\n ", title);
    for (size_t i = 0; i < n; i++) {
        if (quantity && !bt_handbook_row(h, table, key[i], quantity))
            continue;
        const size_t width = strlen(key[i]) + 2;
        if (column > 0 && column + width > 88) {
            bt_put(o, "\n ");
            column = 0;
        }
        bt_put(o, " %s;", key[i]);
        column += width;
    }
    bt_put(o, "\n\n");
}

void bt_columns_readme(struct bt_out *o, const struct bt_handbook *handbook)
{
    bt_put(
        o,
        "This folder describes a garden. Open the .csv files in any spreadsheet and save "
        "them\n"
        "as CSV again. Only garden.csv, beds.csv and plantings.csv must be there; every\n"
        "column but the first may be missing, in any order; a column of your own begins\n"
        "with note or my_.\n\n"
        "  A unit stands in the cell (12 ft, 40 lb, 18 ppm) or in the header: length "
        "(ft).\n"
        "  A range is typed 2..4 lb; with a likely value 2..3..4 lb.\n"
        "  A blank cell means not known: the handbook's usual range is taken, and listed.\n"
        "  none means there is none; not recorded means there was some.\n"
        "  A date is 2026-06-12; spring 2022 or 2021 will do for long ago.\n\n");
    for (size_t i = 0; bt_column_files[i]; i++) {
        put_columns(o, bt_column_files[i]);
        if (i == 0)
            put_settings(o);
    }
    put_names(o, handbook, "Crops known", "crops", NULL);
    put_names(o, handbook, "Materials known", "materials", NULL);
    put_names(o, handbook, "Textures known", "soils", "bulk_density");
    put_names(o, handbook, "Measures known", "measures", NULL);
}
