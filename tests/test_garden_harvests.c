/* Weights and receipts: whose they are, what they take the place of. */
#include "garden_fixture.h"

static const double POUND_G = 453.59237, YARD_M3 = 0.764554857984;
static const char *const SAID = "design: files of the garden";

#define TWO_SOWINGS                                                                        \
    "bed,crop,plants,in_ground,ended,expected,weighed\n"                                   \
    "A1,sweet corn,12,2026-05-10,2026-06-10,3 lb,\n"                                       \
    "A1,sweet corn,12,2026-05-20,2026-06-12,,5 lb\n"                                       \
    "A2,sweet corn,12,2026-05-10,,4 lb,\n"

static void oldest_standing(void **state)
{
    (void)state;
    struct loaded l =
        load((struct files){.plantings = TWO_SOWINGS,
                            .harvests = "date,bed,crop,amount,to\n"
                                        "2026-06-08,A1,sweet corn,2 lb,pantry\n"
                                        "2026-06-09,A1,Sweet Corn,1 lb 8 oz,\n"
                                        "2026-06-11,A1,sweet corn,7 lb,\n"
                                        "2026-06-09,A2,sweet corn,1 lb,\n"});
    assert_int_equal(l.g->n_harvests, 4);
    const size_t whose[] = {0, 0, 1, 2};
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(l.g->harvest[i].planting, whose[i]);
    /* ended: the sum takes the place of what was expected */
    assert_int_equal(l.g->planting[0].weighed.presence, BT_GIVEN);
    check_close(l.g->planting[0].weighed.range.likely, 3.5 * POUND_G, 1e-9, SAID);
    /* typed: wins, with a warning */
    check_close(l.g->planting[1].weighed.range.likely, 5 * POUND_G, 1e-9, SAID);
    assert_int_equal(bt_diag_count(l.x.diag, BT_WARNING), 1);
    /* still standing: what was picked so far says nothing of the season */
    assert_int_equal(l.g->planting[2].weighed.presence, BT_BLANK);
    fixture_free(&l.x);
}

static void other_season(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .plantings =
            "bed,crop,plants,in_ground,ended\nA1,sweet corn,12,2025-05-10,2026-06-01\n",
        .harvests = "date,bed,crop,amount\n2025-08-08,A1,sweet corn,2 lb\n"
                    "2026-05-20,A1,sweet corn,1 lb\n"});
    check_close(l.g->planting[0].weighed.range.likely, POUND_G, 1e-9, SAID);
    fixture_free(&l.x);
}

static void nobodys(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .harvests = "date,bed,crop,amount\n2026-05-01,A1,sweet corn,2 lb\n"});
    assert_true(l.g->harvest[0].planting == SIZE_MAX);
    assert_int_equal(bt_diag_count(l.x.diag, BT_WARNING), 1);
    fixture_free(&l.x);
}

static void receipts(void **state)
{
    (void)state;
    struct loaded l = load((struct files){
        .purchases = "date,supplier,receipt,material,amount,paid,delivery,donated_value\n"
                     "2026-04-25,town yard,412,compost,2 cu yd,\"$1,068.50\",25 USD,\n"
                     ",a neighbour,,compost,,,,30\n"});
    const struct bt_purchase *p = l.g->purchase;
    assert_int_equal(l.g->n_purchases, 2);
    assert_string_equal(p[0].receipt, "412");
    check_close(p[0].amount.range.likely, 2 * YARD_M3, 1e-9, SAID);
    check_close(p[0].paid.range.likely, 1068.5, 1e-12, SAID);
    check_close(p[0].delivery.range.likely, 25, 1e-12, SAID);
    assert_int_equal(p[1].paid.presence, BT_BLANK);
    check_close(p[1].donated_value.range.likely, 30, 1e-12, SAID);
    fixture_free(&l.x);
}

int main(void)
{
    const struct CMUnitTest t[] = {
        cmocka_unit_test(oldest_standing),
        cmocka_unit_test(other_season),
        cmocka_unit_test(nobodys),
        cmocka_unit_test(receipts),
    };
    return cmocka_run_group_tests(t, NULL, NULL);
}
