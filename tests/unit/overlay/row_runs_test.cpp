// What is said of a zone from the runs of its rows, against each of its cells judged by itself.

#include "overlay/row_runs.hpp"
#include "support/boats.hpp"
#include "support/zone_drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

namespace swingroom {
namespace {

using testing_support::covers_cell;
using testing_support::Dice;
using testing_support::read_trial_boat;
using testing_support::trial_boats;

/// Rolling ground and rooms that roll, too, whatever they might be by the ground, around what a boat asks
/// for: so that all ways and limits occur.
struct Field {
    static constexpr int cols = 60, rows = 40;
    std::vector<float> shoal_m, deep_m, hull_room_m, ground_room_m, slope;
    std::vector<Effects> effects;
    std::vector<Seabed> seabed;

    Field(Dice& dice, const TackleTables& tables) {
        const double afloat_m = tables.boat().required_depth_m() - tables.conditions().water.low_m,
                     greatest_m = tables.greatest_radius_m(), wave = dice.between(0.05, 0.5),
                     depths_m = dice.between(1, 12), phase = dice.between(0, 6);
        for (int row = 0; row < rows; ++row) {
            for (int col = 0; col < cols; ++col) {
                const double roll = std::sin(wave * col + phase) + std::cos(wave * row),
                             other = std::cos(0.7 * wave * (col - row) + phase);
                shoal_m.push_back(static_cast<float>(afloat_m + depths_m * (roll + 1.5) / 4));
                deep_m.push_back(shoal_m.back() + 0.5F);
                hull_room_m.push_back(static_cast<float>(greatest_m * (0.55 + 0.5 * other)));
                ground_room_m.push_back(static_cast<float>(2 * greatest_m));
                slope.push_back(static_cast<float>(0.06 * (1 + other)));
                effects.push_back(dice.chance(0.01) ? effect::trip_line : Effects{0});
                seabed.push_back(roll > 1 ? Seabed::mud : Seabed::sand);
            }
        }
    }
    /// From a column on.
    [[nodiscard]] RowFacts facts(int row, int col, int cells) const {
        const auto at = static_cast<std::size_t>(row) * cols + static_cast<std::size_t>(col);
        RowFacts facts;
        facts.cells = cells;
        facts.shoal_m = &shoal_m[at];
        facts.deep_m = &deep_m[at];
        facts.hull_room_m = &hull_room_m[at];
        facts.ground_room_m = &ground_room_m[at];
        facts.slope = &slope[at];
        facts.effects = &effects[at];
        facts.seabed = &seabed[at];
        return facts;
    }
};

/// Zones of a field that is cut into blocks of so many columns and rows.
std::vector<Zone> zones_of(const Field& field, const TackleTables& tables, int block_cols, int block_rows) {
    const Judge judge(tables);
    std::vector<Zone> zones;
    ZoneTracer tracer(
        0, [](int) { return 1.0; }, [&](Zone&& zone) { zones.push_back(std::move(zone)); });
    std::vector<std::vector<Run>> above(static_cast<std::size_t>(Field::cols)); // by block
    for (int row = 0; row < Field::rows; ++row) {
        std::vector<Run> of_row;
        for (int col = 0; col < Field::cols; col += block_cols) {
            const RowFacts facts = field.facts(row, col, std::min(block_cols, Field::cols - col));
            RowVerdicts verdicts;
            judge.verdicts(facts, {}, verdicts);
            std::vector<Run>& of_block = above[static_cast<std::size_t>(col)];
            if (row % block_rows == 0) of_block.clear();
            std::vector<Run> runs;
            find_runs({judge, {}, col, row, facts, verdicts, {}, {}, nullptr, {}}, tables, of_block, runs);
            of_row.insert(of_row.end(), runs.begin(), runs.end());
            of_block = std::move(runs);
        }
        tracer.add_row(of_row);
    }
    tracer.finish();
    return zones;
}

/// The same of each cell by itself.
ZoneFigures figures_of(const Zone& zone, const Field& field, const TackleTables& tables) {
    const Judge judge(tables);
    const Way own = way_of(zone.verdict);
    ZoneFigures all;
    for (int row = 0; row < Field::rows; ++row) {
        for (int col = 0; col < Field::cols; ++col) {
            if (!covers_cell(zone.rings, col, row)) continue;
            const CellFacts cell = field.facts(row, col, 1).cell(0);
            const CellAnswer answer = judge.judge(cell);
            EXPECT_EQ(answer.verdict, zone.verdict);
            const WayNeeds& needs = answer.way_needs[static_cast<std::size_t>(own)];
            ZoneFigures one;
            one.depth_low_min_m = one.depth_low_max_m = judge.depth_low_m(cell);
            one.depth_deep_max_m = cell.deep_m;
            one.rode_min_m = one.rode_max_m = needs.rode_m;
            one.radius_min_m = one.radius_max_m = needs.radius_m;
            one.spare_max_m = answer.spare_m[static_cast<std::size_t>(own)];
            one.advice = answer.advice;
            one.seabeds = bit_of(cell.seabed);
            one.hardly_admitted = false;
            one.ways = 0;
            for (const Way way : all_ways) {
                const auto slot = static_cast<std::size_t>(way);
                if (way < own || answer.way_needs[slot].out != WayNeeds::Out::none) continue;
                one.ways = static_cast<std::uint8_t>(one.ways | bit_of(way));
                const float limit_kn = judge.wind_limit_kn(way, cell);
                one.wind_limit_min_kn[slot] = way == own ? limit_kn : std::floor(limit_kn);
            }
            all.merge(one);
        }
    }
    return all;
}

class RowRuns : public testing::TestWithParam<std::uint64_t> {};

TEST_P(RowRuns, SayOfAZoneWhatIsSoOfItsCellsHoweverTheyAreCut) {
    Dice dice(GetParam() + 4711);
    const Boat boat = read_trial_boat(trial_boats()[GetParam() % trial_boats().size()]);
    const double low_m = dice.between(-0.3, 1);
    const TackleTables tables(boat, {{low_m, low_m + dice.between(0, 3)}, dice.between(4, 25), 0}, 0.5);
    const Field field(dice, tables);
    for (const auto& [block_cols, block_rows] : {std::pair(60, 40), std::pair(17, 9), std::pair(5, 1)}) {
        const std::vector<Zone> zones = zones_of(field, tables, block_cols, block_rows);
        for (const Zone& zone : zones) {
            SCOPED_TRACE(std::to_string(zone.cells) + " cells, blocks of " + std::to_string(block_cols));
            const ZoneFigures wanted = figures_of(zone, field, tables), &said = zone.figures;
            ASSERT_EQ(said.depth_low_min_m, wanted.depth_low_min_m);
            ASSERT_EQ(said.depth_low_max_m, wanted.depth_low_max_m);
            ASSERT_EQ(said.depth_deep_max_m, wanted.depth_deep_max_m);
            ASSERT_EQ(said.rode_min_m, wanted.rode_min_m);
            ASSERT_EQ(said.rode_max_m, wanted.rode_max_m);
            ASSERT_EQ(said.radius_min_m, wanted.radius_min_m);
            ASSERT_EQ(said.radius_max_m, wanted.radius_max_m);
            ASSERT_EQ(said.spare_max_m, wanted.spare_max_m);
            ASSERT_EQ(said.seabeds, wanted.seabeds);
            ASSERT_EQ(said.advice, wanted.advice);
            ASSERT_EQ(said.ways, wanted.ways);
            ASSERT_EQ(said.hardly_admitted, wanted.hardly_admitted);
            for (const Way way : all_ways) {
                const auto slot = static_cast<std::size_t>(way);
                if (!said.has(way)) continue;
                ASSERT_EQ(said.wind_limit_min_kn[slot], wanted.wind_limit_min_kn[slot]) << name(way);
            }
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Fields, RowRuns, testing::Range<std::uint64_t>(0, 60));

} // namespace
} // namespace swingroom
