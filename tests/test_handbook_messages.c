/* Each mistake that a table can hold, with the full text of its message. */
#include <string.h>

#include "test_handbook.h"

/* clang-format off */
static struct mistake {
    const char *name, *file, *text, *want; /* NULL: see a_mistake */
} mistakes[] = {
    {"unknown column", "t/crops.csv", "key,quantity,likley,unit,scope,source,seen\n",
     "t/crops.csv:1:14: error: header: expected a column of crops.csv, found \"likley\" (row 1, "
     "column C)\n  hint: \"likely\"\n"},
    {"double column", "t/crops.csv", "key,quantity,key,scope,source,seen\n",
     "t/crops.csv:1:14: error: header: expected each column once, found \"key\" (row 1, column "
     "C)\n"},
    {"missing column", "t/crops.csv", "key,quantity,likely,scope,source\n",
     "t/crops.csv:1:1: error: header: expected a column \"seen\" (row 1)\n"},
    {"duplicate", "t/crops.csv",
     ROW_HEADER "tomato,yield,,3,,kg/m2,,," BEDS "Tomatoes,yield,,4,,kg/m2,,," BEDS,
     "t/crops.csv:3:10: error: quantity: expected each quantity of a key once, found \"yield\" "
     "(row 3, column B)\n  hint: yield of \"tomato\" stands in line 2 already\n"},
    {"no key", "t/crops.csv", ROW_HEADER ",yield,,3,,kg/m2,,," BEDS,
     "t/crops.csv:2:1: error: key: expected the name the row is about (row 2, column A)\n"},
    {"no quantity", "t/crops.csv", ROW_HEADER "tomato,,,3,,kg/m2,,," BEDS,
     "t/crops.csv:2:8: error: quantity: expected what the row states, such as n_uptake (row 2, "
     "column B)\n"},
    {"no source, mark, scope", "t/crops.csv", ROW_HEADER "tomato,yield,,3,,kg/m2,,,,,,,,\n",
     "t/crops.csv:2:26: error: scope: expected garden or bed (row 2, column I)\n"
     "  hint: garden: one figure for all beds; bed: each bed its own\n"
     "t/crops.csv:2:29: error: source: expected an id listed in sources.csv, or local (row 2, "
     "column L)\n"
     "t/crops.csv:2:30: error: seen: expected read, memory, practice, derived or judgement (row "
     "2, column M)\n"},
    {"unknown source", "t/crops.csv", ROW_HEADER "tomato,yield,,3,,kg/m2,,,bed,,,TEST-3,read,\n",
     "t/crops.csv:2:32: error: source: expected an id listed in sources.csv, or local, found "
     "\"TEST-3\" (row 2, column L)\n  hint: \"TEST-1\", \"TEST-2\"\n"},
    {"unknown unit", "t/crops.csv", ROW_HEADER "tomato,days,,70,,dys,,," BEDS, NULL},
    {"another dimension", "t/crops.csv", ROW_HEADER "tomato,yield,,3,,kg/m3,,," BEDS, NULL},
    {"no dimension", "t/crops.csv", ROW_HEADER "tomato,yield,,3,,,,," BEDS, NULL},
    {"not rising", "t/crops.csv", ROW_HEADER "tomato,yield,3,2,4,kg/m2,,," BEDS,
     "t/crops.csv:2:16: error: likely: expected low, likely and high in rising order, found "
     "\"2\" (row 2, column D)\n"},
    {"high below low", "t/crops.csv", ROW_HEADER "tomato,yield,3,,2,kg/m2,,," BEDS,
     "t/crops.csv:2:17: error: high: expected a high end that is not below the low one, found "
     "\"2\" (row 2, column E)\n"},
    {"one end", "t/crops.csv", ROW_HEADER "tomato,yield,3,4,,kg/m2,,," BEDS,
     "t/crops.csv:2:16: error: likely: expected likely alone, low and high, or all three, found "
     "\"4\" (row 2, column D)\n"},
    {"no number", "t/crops.csv", ROW_HEADER "tomato,yield,,,,kg/m2,,," BEDS,
     "t/crops.csv:2:15: error: likely: expected likely alone, low and high, or all three (row 2, "
     "column D)\n"},
    {"not a number", "t/crops.csv", ROW_HEADER "tomato,yield,,3 kg,,kg/m2,,," BEDS,
     "t/crops.csv:2:15: error: likely: expected a number with a point, and no unit, found \"3 "
     "kg\" (row 2, column D)\n"},
    {"endless", "t/crops.csv", ROW_HEADER "tomato,yield,,1e999,,kg/m2,,," BEDS,
     "t/crops.csv:2:15: error: likely: expected a number with a point, and no unit, found "
     "\"1e999\" (row 2, column D)\n"},
    {"other ends", "t/crops.csv", ROW_HEADER "tomato,yield,1,,2,kg/m2,p10-p90,," BEDS,
     "t/crops.csv:2:25: error: ends: expected bounds or p05-p95, and perhaps a shape after it, or "
     "nothing, found \"p10-p90\" (row 2, column G)\n  hint: shapes are pert, triangular, uniform, "
     "lognormal and normal\n"},
    {"two shapes", "t/crops.csv", ROW_HEADER "tomato,yield,1,,2,kg/m2,bounds pert normal,," BEDS,
     "t/crops.csv:2:25: error: ends: expected bounds or p05-p95, and perhaps a shape after it, or "
     "nothing, found \"bounds pert normal\" (row 2, column G)\n  hint: shapes are pert, triangular, "
     "uniform, lognormal and normal\n"},
    {"availability without basis", "t/materials.csv",
     ROW_HEADER "compost,n_available_2,,3,,%,,,garden,,,TEST-1,read,\n",
     "t/materials.csv:2:30: error: basis: expected of_total, of_organic, mineral or in_crop (row "
     "2, column H)\n  hint: what was measured decides how the figure is used\n"},
    {"availability on a wrong basis", "t/materials.csv",
     ROW_HEADER "compost,k2o_available,,80,,%,,dry,garden,,,TEST-1,read,\n",
     "t/materials.csv:2:31: error: basis: expected of_total, of_organic, mineral or in_crop, "
     "found \"dry\" (row 2, column H)\n  hint: what was measured decides how the figure is "
     "used\n"},
    {"analysis without basis", "t/materials.csv",
     ROW_HEADER "compost,p2o5,,1,,%,,,garden,,,TEST-1,read,\n",
     "t/materials.csv:2:21: error: basis: expected dry or as-is (row 2, column H)\n"
     "  hint: what was measured decides how the figure is used\n"},
    {"a basis too many", "t/crops.csv", ROW_HEADER "tomato,yield,,3,,kg/m2,,dry," BEDS,
     "t/crops.csv:2:25: error: basis: expected an empty cell: this quantity has no basis, found "
     "\"dry\" (row 2, column H)\n"},
    {"unknown word", "t/crops.csv", ROW_HEADER "tomato,roots,,,,,,long," BEDS,
     "t/crops.csv:2:19: error: basis: expected deep, medium, shallow or perennial, found "
     "\"long\" (row 2, column H)\n"},
    {"word beside a number", "t/crops.csv", ROW_HEADER "tomato,roots,,2,,,,deep," BEDS,
     "t/crops.csv:2:15: error: likely: expected an empty cell: the word stands in basis, found "
     "\"2\" (row 2, column D)\n"},
    {"stand-in that is not there", "t/crops.csv",
     ROW_HEADER "tomato,follows,,,,,,swete corn," BEDS,
     "t/crops.csv:2:1: error: follows: expected another key of crops.csv, found \"swete corn\" "
     "(row 2)\n  hint: \"sweet corn\"\n"},
    {"stand-in of itself", "t/crops.csv", ROW_HEADER "tomato,follows,,,,,,tomatoes," BEDS,
     "t/crops.csv:2:1: error: follows: expected another key of crops.csv, found \"tomatoes\" "
     "(row 2)\n  hint: \"tomato\"\n"},
    {"stand-ins in a ring", "t/crops.csv", ROW_HEADER "sweet corn,follows,,,,,,blue corn," BEDS,
     "t/crops.csv:2:1: error: follows: expected stand-ins that do not lead back to where they "
     "began, found \"blue corn\" (row 2)\n"},
    {"parent that is not there", "t/crops.csv",
     ROW_HEADER "tomato,days,,70,,d,,,bed,tomato/n_uptake,0.5,TEST-1,read,\n",
     "t/crops.csv:2:1: error: parent: expected key/quantity of another row of this table, found "
     "\"tomato/n_uptake\" (row 2)\n"},
    {"parents in a ring", "t/crops.csv",
     ROW_HEADER "sweet corn,yield,,3,,kg/m2,,,bed,sweet corn/n_uptake,0.5,TEST-1,read,\n",
     "t/crops.csv:2:1: error: parent: expected parents that do not lead back to the row, found "
     "\"sweet corn/n_uptake\" (row 2)\n"
     "tables/crops.csv:3:1: error: parent: expected parents that do not lead back to the row, "
     "found \"sweet corn/yield\" (row 3)\n"},
    {"a row that follows one that follows", "t/crops.csv",
     ROW_HEADER "tomato,days,,70,,d,,,bed,tomato/stand,0.5,TEST-1,read,\n"
                "tomato,stand,,3,,plants/m2,,,bed,tomato/yield,0.5,TEST-1,read,\n",
     "t/crops.csv:2:1: error: parent: expected a row that follows no other itself, found "
     "\"tomato/stand\" (row 2)\n"},
    {"a row of ours follows one that follows", "t/crops.csv",
     ROW_HEADER "sweet corn,yield,,3,,kg/m2,,,bed,sweet corn/days,0.5,TEST-1,read,\n",
     "t/crops.csv:2:1: error: parent: expected nothing, because sweet corn/n_uptake follows this "
     "row, found \"sweet corn/days\" (row 2)\n"},
    {"parent without correlation", "t/crops.csv",
     ROW_HEADER "tomato,days,,70,,d,,,bed,tomato/yield,,TEST-1,read,\n",
     "t/crops.csv:2:39: error: rank_correlation: expected parent and rank_correlation, both or "
     "neither (row 2, column K)\n"},
    {"correlation of 1", "t/crops.csv",
     ROW_HEADER "tomato,days,,70,,d,,,bed,tomato/yield,1,TEST-1,read,\n",
     "t/crops.csv:2:39: error: rank_correlation: expected a number between -1 and 1, found \"1\" "
     "(row 2, column K)\n"},
    {"element", "t/crops.csv", ROW_HEADER "tomato,k_removed,,2,,g/kg,,,garden,,,TEST-1,read,\n",
     "t/crops.csv:2:8: error: quantity: expected k2o_removed, found \"k_removed\" (row 2, column "
     "B)\n  hint: phosphate and potash are given as P2O5, K2O\n"},
    {"unknown quantity", "t/crops.csv", ROW_HEADER "tomato,yeild,,2,,kg/m2,,," BEDS,
     "t/crops.csv:2:8: warning: quantity: expected a quantity that crops.csv is asked for, found "
     "\"yeild\" (row 2, column B)\n  hint: \"yield\"\n"},
    {"alias of nothing", "t/aliases.csv", "table,alias,key\ncrops,Paradeiser,tomatoe\n",
     "t/aliases.csv:2:18: error: key: expected a key of crops.csv, found \"tomatoe\" (row 2, "
     "column C)\n  hint: \"tomato\"\n"},
    {"alias that is a key", "t/aliases.csv", "table,alias,key\ncrops,Blue Corn,sweet corn\n",
     "t/aliases.csv:2:7: error: alias: expected a spelling that is not itself a key of the "
     "table, found \"Blue Corn\" (row 2, column B)\n"},
    {"alias twice", "t/aliases.csv",
     "table,alias,key\ncrops,pomo d'oro,tomato\ncrops,Pomo-d'oro,sweet corn\n",
     "t/aliases.csv:3:7: error: alias: expected each spelling once in a table, found "
     "\"Pomo-d'oro\" (row 3, column B)\n  hint: it stands in line 2 already\n"},
    {"alias of no table", "t/aliases.csv", "table,alias,key\ncrop,corn,sweet corn\n",
     "t/aliases.csv:2:1: error: table: expected crops, legumes, intercrops, materials, residues, "
     "soils, ratings or measures, found \"crop\" (row 2, column A)\n"},
    {"source without title", "t/sources.csv", "id,title\nMINE,\n",
     "t/sources.csv:2:6: error: title: expected what the source is called (row 2, column B)\n"},
    {"source twice", "t/sources.csv", "id,title\nMINE,One\nMINE,Two\n",
     "t/sources.csv:3:1: error: id: expected an id that no other source has, found \"MINE\" (row "
     "3, column A)\n"},
    {"source called local", "t/sources.csv", "id,title\nlocal,One\n",
     "t/sources.csv:2:1: error: id: expected an id that no other source has, found \"local\" "
     "(row 2, column A)\n"},
    {"caution without rule", "t/cautions.csv", "when,rule,source,seen\nhay,,TEST-1,read\n",
     "t/cautions.csv:2:5: error: rule: expected the rule, as a sentence (row 2, column B)\n"},
    {"caution twice", "t/cautions.csv",
     "when,rule,source,seen\nmanure,Wait before picking.,TEST-1,read\n",
     "t/cautions.csv:2:8: error: rule: expected each rule once, found \"Wait before picking.\" "
     "(row 2, column B)\n  hint: it stands in tables/cautions.csv, line 2 already\n"},
};

/* clang-format on */

/* Where a message lists units, what it lists is the units' own affair. */
static void check_beginning(const char *got, const char *beginning, const char *end)
{
    if (strncmp(got, beginning, strlen(beginning)) != 0 || !strstr(got, end))
        fail_msg("got: %s", got);
}

static void a_mistake(void **state)
{
    const struct mistake *m = *state;
    void *folder = NULL;
    assert_int_equal(enter_folder(&folder), 0);
    write_file(m->file, m->text);
    struct bench *b = new_bench();
    const struct bt_handbook *h = load(b, "t", NULL);
    const char *got = messages(b);
    const bool warning = strstr(got, ": error: ") == NULL;
    if (m->want)
        assert_string_equal(got, m->want);
    else if (strcmp(m->name, "unknown unit") == 0)
        check_beginning(got, "t/crops.csv:2:18: error: unit: expected ",
                        ", found \"dys\" (row 2, column F)\n"
                        "  hint: the unit is not one of tables/units.csv\n");
    else
        check_beginning(got, "t/crops.csv:2:18: error: unit: expected ",
                        "  hint: yield is another kind of quantity\n");
    assert_true(warning ? h != NULL : h == NULL);
    free_bench(b);
    assert_int_equal(leave_folder(&folder), 0);
}

int main(void)
{
    enum { N = sizeof mistakes / sizeof *mistakes };
    struct CMUnitTest each[N];
    for (size_t i = 0; i < N; i++)
        each[i] =
            (struct CMUnitTest){mistakes[i].name, a_mistake, NULL, NULL, &mistakes[i]};
    return cmocka_run_group_tests_name("messages of the handbook", each, NULL, NULL) != 0;
}
