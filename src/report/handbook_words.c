/* What the handbook's tables, quantities, ends and sources are, in words. */
#include <string.h>

#include "input/handbook_quantity.h"
#include "report/handbook.h"
#include "report/number.h"

#define N(a) (sizeof(a) / sizeof *(a))

/* clang-format off */
static const struct meaning {
    const char *name, *text;
} tables[] = {
    {"crops", "what crops, herbs, flowers and covers yield, take up and carry off"},
    {"legumes", "what legumes hold, fix from the air and leave"},
    {"intercrops", "what growing together changes"},
    {"materials", "composts, manures, mulches, green stuff, meals, fertilisers"},
    {"residues", "what crop remains give, and what a winter leaves"},
    {"soils", "densities, what organic matter gives, warmth, what is taken when untested"},
    {"ratings", "limits and needs by soil-test category"},
    {"measures", "buckets, bales, cups and the like"},
    {"sources", "where the figures come from"},
    {"aliases", "other spellings of the names"},
    {"cautions", "rules that are shown where they apply"},
}, quantities[] = {
    {"yield", "usual harvest of a full stand of its own"},
    {"yield_poor", "what counts as a poor harvest"},
    {"yield_good", "what counts as a good harvest"},
    {"n_uptake", "nitrogen in the whole plant above ground, per fresh harvest"},
    {"n_removed", "nitrogen in what is carried off, per fresh harvest"},
    {"p2o5_removed", "phosphate in what is carried off, per fresh harvest"},
    {"k2o_removed", "potash in what is carried off, per fresh harvest"},
    {"stand", "plants of a full stand at usual spacing"},
    {"in_row", "usual distance in the row"},
    {"recovery", "share of the available nitrogen that the roots catch"},
    {"recycled", "share of the uptake that a perennial draws back for next year"},
    {"competitive_weight", "how it holds its own beside others; a tall cereal is 1"},
    {"days", "from planting to its usual end"},
    {"first_pick", "from planting to its first picking"},
    {"picked_from", "day of the year from which a perennial is picked"},
    {"picked_to", "day of the year to which a perennial is picked"},
    {"eaten", "whether the eaten part is near the ground"},
    {"stand_warmth", "days at 25 C that a full stand of a cover takes to grow"},
    {"cautions", "words of the rules it calls for"},
    {"uptake_midpoint", "share of its days at which half its uptake is done"},
    {"uptake_steepness", "how suddenly it takes up; larger is more sudden"},
    {"residue_n", "nitrogen in the dry matter of what stays behind"},
    {"n_rate_advised", "fertiliser rate that guides print; shown beside the need, never in it"},
    {"ph", "pH that suits it"},
    {"form", "growth form, which decides how it competes"},
    {"feeder", "trade class"},
    {"roots", "rooting class"},
    {"follows", "the entry that speaks where this one has no figure"},
    {"shoot_n", "nitrogen in the shoots of a full stand"},
    {"below_ground_factor", "nitrogen of the whole plant over that of its shoots"},
    {"ndfa", "share of the plant's nitrogen that comes from the air"},
    {"harvest_index_green", "share of the shoots' nitrogen in green pods or peas picked"},
    {"harvest_index_dry", "share of the shoots' nitrogen in dry seed"},
    {"uninoculated_factor", "what is left of fixation when its bacteria may be missing"},
    {"company_factor", "share from the air in company over that alone"},
    {"nitrate_zero", "soil nitrate at sowing at which fixation stops"},
    {"nitrate_reference", "soil nitrate at which the usual share was measured"},
    {"ndfa_limit", "the most that comes from the air"},
    {"mixing_gain", "the most that a mixture yields over its parts grown alone"},
    {"thinning", "how much a thinned stand falls back; 1 is in step with its plants"},
    {"transfer", "share of the companions' nitrogen passed on while growing"},
    {"transfer_limit", "the most of what is fixed that is passed on while growing"},
    {"kind", "how the program treats it"},
    {"placement", "where it usually goes"},
    {"moisture", "water, of the weight as it comes"},
    {"n", "total nitrogen"},
    {"ammonium_n", "ammonium nitrogen"},
    {"nitrate_n", "nitrate nitrogen"},
    {"p2o5", "phosphate"},
    {"k2o", "potash"},
    {"c_n", "carbon to nitrogen"},
    {"density", "weight of a volume as used or laid"},
    {"n_available_1", "nitrogen that plants can have in the first season"},
    {"n_available_2", "the same in the second season"},
    {"n_available_3", "the same in the third season"},
    {"p2o5_available", "phosphate that plants can have in the first season"},
    {"k2o_available", "potash that plants can have in the first season"},
    {"surface_factor", "share of it that counts when it lies on top"},
    {"release_rate", "share released a day, first-order"},
    {"net_n", "nitrogen given (below zero: tied up) when dug in, per dry matter"},
    {"ammonium_kept", "ammonium kept when dug in within a day"},
    {"ammonium_kept_surface", "ammonium kept when it lies on top"},
    {"salt_index", "salt index, sodium nitrate 100"},
    {"pan_slope", "nitrogen released per nitrogen above the break-even"},
    {"break_even_n", "nitrogen in the dry matter at which residue gives none"},
    {"pan_cap", "the most that residue gives, per dry matter"},
    {"pan_floor", "the most that residue ties up, per dry matter"},
    {"slow_release", "share of residue nitrogen that comes a season later, halving each year"},
    {"tie_up_surface_most", "most that all that lies on top ties up in a season"},
    {"tie_up_surface", "share of the tie-up that counts when residue lies on top"},
    {"payback", "share of what was tied up that comes back next season"},
    {"haulm_over_winter", "share of dry haulm's nitrogen that is there next spring"},
    {"winter_kept", "share of the autumn's nitrogen that is there in spring"},
    {"dry_matter", "dry share of fresh residue"},
    {"bulk_density_om", "organic matter up to which the texture tells the weight of the soil"},
    {"organic_density", "weight of organic matter by itself, as it lies in soil"},
    {"mineral_density", "weight of mineral soil without organic matter"},
    {"first_season", "share of an old plant's uptake in the season it is planted"},
    {"bulk_density", "weight of the soil in place"},
    {"om_factor", "what organic matter of a mix releases over that of soil"},
    {"om_release", "nitrogen released a season per 1 % organic matter of the plow layer"},
    {"mean_temperature", "of the year's air"},
    {"temperature_half_range", "half the way from coldest to warmest month"},
    {"soil_above_air", "how much warmer the soil is than the air, over a year"},
    {"response_a", "of the temperature response: a in log10 k = a - b/T"},
    {"response_b", "of the temperature response: b"},
    {"damping_depth", "of the yearly wave of warmth"},
    {"depth", "at which soil warmth is taken"},
    {"coldest_day", "of the year"},
    {"highest", "warmth above which release rises no more"},
    {"zero_below", "warmth below which nothing is released"},
    {"linear_to", "warmth up to which release falls straight to nothing"},
    {"om_limit", "organic matter above which no more is credited"},
    {"organic_matter", "of the soil, when it was not tested"},
    {"om_release_share", "share of old total nitrogen that the organic-matter line pays a year"},
    {"plow_layer_mass", "soil of the plow layer"},
    {"plow_depth", "of the layer that field rules speak of"},
    {"reference_bulk_density", "that field rules speak of"},
    {"nitrate_default", "nitrate nitrogen at the start, when it was not tested"},
    {"nitrate_default_covered", "the same under a living cover"},
    {"deposition", "nitrogen in rain and dust over a season"},
    {"left_limit", "nitrogen left in the soil at the end above which leaching is a worry"},
    {"single_dose_limit", "the most nitrogen to give at one time"},
    {"compost_mineral_share", "mineral share of a compost's nitrogen"},
    {"compost_organic_matter", "organic share of a compost's dry matter"},
    {"nitrate_depth", "depth that a nitrate sample should have"},
    {"limit_p", "the category's upper end, P"},
    {"limit_k", "the category's upper end, K"},
    {"p2o5_need", "phosphate to give at that category"},
    {"k2o_need", "potash to give at that category"},
    {"p2o5_need_light", "phosphate to give light feeders at that category"},
    {"p2o5_need_heavy", "phosphate to give heavy feeders at that category"},
    {"k2o_need_light", "potash to give light feeders at that category"},
    {"k2o_need_heavy", "potash to give heavy feeders at that category"},
    {"sidedress_day", "share of its days at which to feed it while it grows"},
    {"sidedress_day_2", "the same for a second time"},
    {"decomposed", "share of the carbon that decomposes in the time looked at"},
    {"carbon_use", "share of decomposed carbon that becomes microbe"},
    {"microbe_c_n", "carbon to nitrogen of microbes"},
    {"om_nitrogen", "nitrogen of the soil's organic matter"},
    {"p2o5_of_p", "phosphate in one part phosphorus"},
    {"k2o_of_k", "potash in one part potassium"},
    {"no3_of_n", "nitrate in one part nitrogen"},
    {"lime_ph", "pH of the lime formula at which no acidity is left"},
    {"ph_legume", "pH that legumes are limed to"},
    {"ph_fixation", "pH below which the bacteria of legumes can be held back"},
    {"ash_ph_limit", "pH from which no wood ash is given"},
    {"compost_depth_limit", "compost to lay in a year on a bed in use, at most"},
    {"compost_depth_usual", "the same where no soil test asks for phosphate"},
    {"mulch_depth_limit", "mulch to lay in a year, at most"},
    {"feed_until", "share of a crop's uptake after which no quick nitrogen is planned for it"},
    {"guide_excess", "times the rate of guides above which a plan's nitrogen is cautioned"},
    {"mulch_wait", "days from sowing or planting until mulch may lie, or ash be spread"},
    {"rounding_limit", "most by which rounding to a measure may change an amount"},
    {"build_up_limit", "phosphate or potash to give in a season, in harvests' worth of it"},
    {"yearly_dose_limit", "nitrogen to give in a year before testing the soil"},
    {"highest_rate_n", "nitrogen above which a rate is taken for a slip"},
    {"highest_rate_p2o5", "phosphate above which a rate is taken for a slip"},
    {"highest_rate_k2o", "potash above which a rate is taken for a slip"},
    {"highest_rate_lime", "lime above which a rate is taken for a slip"},
    {"deepest_layer", "layer above which a depth is taken for a slip"},
    {"highest_yield", "times a good harvest above which a weight is taken for a slip"},
    {"lead_watch", "lead in soil from which to be careful where there is other lead"},
    {"lead_limit", "lead in soil above which to be careful"},
    {"lead_watch_extract", "lead by modified Morgan above which to ask for total lead"},
    {"arsenic_watch", "arsenic in soil above which to be careful"},
    {"cadmium_watch", "cadmium in soil above which to be careful"},
    {"manure_wait", "from raw manure to picking what touches soil or splash"},
    {"manure_wait_off_ground", "the same for what touches neither"},
    {"first_pick_share", "share of a crop's shortest days at which it may be picked first"},
    {"p_fall", "yearly fall of soil phosphorus without phosphate"},
    {"p_fall_share", "the same as a share"},
    {"test_error", "error of a test, as a share of its reading"},
    {"test_error_least", "error of a test, at the least"},
    {"limit_n", "upper end of a class of nitrate readings"},
    {"critical_n", "nitrate reading above which no nitrogen is needed"},
    {"n_need", "nitrogen to give in a class of nitrate readings"},
    {"n_per_ppm", "nitrogen to give for each ppm below the critical reading"},
    {"n_per_yield", "nitrogen that a harvest needs, per volume"},
    {"volume", "of the measure, level full"},
    {"mass", "of the measure, level full"},
};
/* clang-format on */

static const char *meaning(size_t n, const struct meaning *list, const char *name)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(list[i].name, name) == 0)
            return list[i].text;
    return NULL;
}

const char *bt_book_table_meaning(const char *table)
{
    return meaning(N(tables), tables, table);
}

const char *bt_book_quantity_meaning(const char *quantity)
{
    return meaning(N(quantities), quantities, quantity);
}

double bt_book_in_unit(const struct bt_row *row, double inside)
{
    bool difference = false;
    for (size_t t = 0; t < BT_ROW_TABLES; t++) {
        const struct bt_book_quantity *q = strcmp(bt_book_layout(t)->name, row->table) == 0
                                               ? bt_book_quantity(t, row->quantity)
                                               : NULL;
        difference = difference || (q && q->difference);
    }
    const double offset = difference ? 0 : row->unit.offset;
    return (inside - offset) / row->unit.factor;
}

const char *bt_book_value_text(struct bt_arena *a, const struct bt_row *row)
{
    enum { FIGURES = 6 }; /* more than any row has */
    const struct bt_range *r = &row->range;
    if (row->word)
        return row->word;
    const char *unit = row->unit.text ? row->unit.text : "";
    const char *likely = bt_figures_short(a, bt_book_in_unit(row, r->likely), FIGURES);
    const char *gap = *unit ? " " : "";
    if (bt_range_is_exact(r))
        return bt_arena_format(a, "%s%s%s", likely, gap, unit);
    const char *low = bt_figures_short(a, bt_book_in_unit(row, r->low), FIGURES);
    const char *high = bt_figures_short(a, bt_book_in_unit(row, r->high), FIGURES);
    if (!r->has_likely)
        return bt_arena_format(a, "%s .. %s%s%s", low, high, gap, unit);
    return bt_arena_format(a, "%s .. %s .. %s%s%s", low, likely, high, gap, unit);
}

const char *bt_book_ends_text(struct bt_arena *a, const struct bt_row *row)
{
    if (row->word)
        return "";
    if (bt_range_is_exact(&row->range))
        return "one figure";
    const char *shape = bt_form_word(row->range.form);
    return bt_arena_format(a, "%s%s%s",
                           row->range.ends == BT_BOUNDS ? "never outside the ends"
                                                        : "9 times in 10 between the ends",
                           *shape ? ", " : "", shape);
}

const char *bt_book_source_text(const struct bt_show *w, const char *id)
{
    const struct bt_source *s = bt_handbook_source(w->handbook, id);
    if (!s)
        return "not listed";
    const char *address = *s->address ? bt_arena_format(w->arena, " (%s)", s->address) : "";
    return bt_arena_format(w->arena, "%s%s%s%s%s%s", s->authors, *s->authors ? ": " : "",
                           s->title, *s->year ? ", " : "", s->year, address);
}

const char *bt_book_local_text(struct bt_arena *a, const struct bt_row *row)
{
    if (!row->local)
        return NULL;
    const char *where =
        bt_arena_format(a, "local, %s:%u", row->at.file ? row->at.file : "?", row->at.line);
    if (!row->instead_of)
        return bt_arena_format(a, "%s, a row that the handbook has not", where);
    return bt_arena_format(a, "%s, in place of %s (%s, %s)", where,
                           bt_book_value_text(a, row->instead_of), row->instead_of->source,
                           bt_seen_word(row->instead_of->seen));
}
