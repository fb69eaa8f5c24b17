#include "swingroom/room/judge.hpp"
#include "swingroom/room/place_rank.hpp"

#include "support/boats.hpp"
#include "support/drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using reason::of_way;
using reason::OfWay;
using testing_support::Dice;
using testing_support::read_trial_boat;
using testing_support::trial_boats;

constexpr double greatest_uncertainty_m = 3;
constexpr float not_a_number = std::numeric_limits<float>::quiet_NaN();

/// Conditions that the boats meet: a calm, a tide, a negative low water, a blow.
Conditions conditions_of(std::size_t i) {
    constexpr std::array<Conditions, 4> all = {
        {{{0, 0}, 8, 0}, {{0.3, 2.9}, 15, 0.5}, {{-0.25, 1.5}, 20, 0}, {{0.1, 0.6}, 12, 1}}};
    return all[i % all.size()];
}

CellFacts random_facts(const TackleTables& tables, Dice& dice) {
    CellFacts cell;
    if (dice.chance(0.03)) {
        cell.shoal_m = cell.deep_m = not_a_number;
    } else {
        const double required_m = tables.boat().required_depth_m() - tables.conditions().water.low_m;
        const double depth_m = dice.chance(0.7) ? required_m + dice.between(-0.5, 9) : dice.between(-6, 45);
        const double off_m = dice.chance(0.3) ? 0 : dice.between(0, greatest_uncertainty_m);
        cell.shoal_m = narrow_down(depth_m - off_m);
        cell.deep_m = narrow_up(depth_m + off_m);
    }
    const double most_m = tables.greatest_radius_m() + 1;
    const auto room_m = [&] { return dice.chance(0.1) ? 0.0F : narrow_down(dice.between(0, most_m)); };
    cell.hull_room_m = dice.chance(0.2) ? narrow_down(most_m) : room_m();
    cell.ground_room_m = dice.chance(0.4) ? narrow_down(most_m) : room_m();
    if (dice.chance(0.3)) cell.slope = static_cast<float>(dice.between(0, 0.4));
    if (dice.chance(0.2)) cell.effects = static_cast<Effects>(dice.whole(0, 2047));
    cell.seabed = static_cast<Seabed>(dice.whole(0, static_cast<int>(seabed_names.size()) - 1));
    cell.banded = dice.chance(0.3);
    cell.stepped = dice.chance(cell.banded ? 0.8 : 0.1);
    return cell;
}

/// Cells of a row, of which a share is much like the one before, as neighbours are.
std::vector<CellFacts> random_row(const TackleTables& tables, Dice& dice) {
    std::vector<CellFacts> cells(static_cast<std::size_t>(dice.whole(0, 300)));
    const double alike = dice.chance(0.5) ? 0 : dice.between(0.8, 1);
    const bool sounded = dice.chance(0.5);
    for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i == 0 || !dice.chance(alike)) {
            cells[i] = random_facts(tables, dice);
            cells[i].banded = cells[i].banded && sounded;
            continue;
        }
        cells[i] = cells[i - 1];
        const auto deeper_m = static_cast<float>(dice.between(-0.06, 0.06));
        const auto farther_m = static_cast<float>(dice.between(-2, 2));
        cells[i].shoal_m += deeper_m;
        cells[i].deep_m = std::max(cells[i].deep_m + deeper_m, cells[i].shoal_m);
        cells[i].hull_room_m = std::max(0.0F, cells[i].hull_room_m + farther_m);
    }
    return cells;
}

/// What a judge should say, written from the words of the contract, each bit by itself.
struct Expected {
    std::uint32_t reasons = 0;
    Verdict verdict = Verdict::unsurveyed;
};
Expected by_the_words(const TackleTables& tables, const CellFacts& cell) {
    Expected expected;
    if (std::isnan(cell.shoal_m) || std::isnan(cell.deep_m)) {
        expected.reasons = reason::unsurveyed;
        return expected;
    }
    const Boat& boat = tables.boat();
    const WaterLevels& water = tables.conditions().water;
    const bool afloat = static_cast<double>(cell.shoal_m) >= boat.required_depth_m() - water.low_m;
    // By the sounder she lets go where it shows the shoal side, if it is to be trusted at all.
    const SoundedBand band{
        double{cell.shoal_m}, double{cell.deep_m}, boat.reading_error_m(),
        boat.shoaler_than_reading_m(std::max(double{cell.slope}, Judge::least_sounded_slope))};
    const bool sounds = cell.banded && band.deeper_m + band.shoaler_m <= tables.greatest_apart_m() &&
                        band.shoal_m + band.deeper_m < band.deep_m;
    const double high_m = (sounds ? band.shoal_m + band.deeper_m : band.deep_m) + water.high_m;
    const bool recovers_all =
        !(boat.windlass_rated_pull_n > 0 && band.deep_m + water.high_m > tables.windlass_depth_m()) &&
        !(boat.recovery_depth_m > 0 && band.deep_m + water.high_m > boat.recovery_depth_m);
    std::uint32_t& reasons = expected.reasons;
    const auto set_if = [&reasons](bool due, std::uint32_t bit) {
        if (due) reasons |= bit;
    };
    set_if(!afloat, reason::too_shallow);
    set_if(cell.effects & effect::hull, reason::hull_danger);
    set_if(cell.effects & effect::ground, reason::ground_danger);
    set_if(cell.effects & effect::drop, reason::drop_forbidden);
    set_if(boat.windlass_rated_pull_n > 0 && high_m > tables.windlass_depth_m(), reason::windlass);
    set_if(boat.recovery_depth_m > 0 && high_m > boat.recovery_depth_m, reason::recovery);
    set_if(boat.policy.max_slope && !cell.stepped && static_cast<double>(cell.slope) > *boat.policy.max_slope,
           reason::steep);
    // What is not known is advised about, not forbidden.
    const bool told = cell.seabed != Seabed::unknown || boat.anchor.unknown_given;
    const double held_kn = !told ? 1e9 : tables.holding_limit_kn(cell.seabed);
    set_if(held_kn <= 0, reason::seabed);
    set_if(held_kn > 0 && held_kn < narrow_down(tables.conditions().wind_kn), reason::holding);
    const std::uint32_t common = reasons;
    expected.verdict = Verdict::no;
    if (!afloat) return expected;
    std::optional<Verdict> in_name_only;
    for (std::size_t i = all_ways.size(); i-- > 0;) {
        const Way way = all_ways[i];
        WayNeeds needs = tables.needs(way, cell.shoal_m, cell.deep_m);
        const bool any_depth = needs.out == WayNeeds::Out::none && cell.hull_room_m >= needs.radius_m &&
                               cell.ground_room_m >= needs.ground_m && recovers_all;
        const SounderRun run = tables.by_sounder(way, band, cell.hull_room_m, cell.ground_room_m);
        const bool by_sounder = sounds && !any_depth && run.any();
        if (sounds && !any_depth) needs = tables.needs(way, band.shoal_m, band.shoal_m + band.deeper_m);
        if (by_sounder) {
            needs = {.rode_m = run.rode_m, .radius_m = run.radius_m, .ground_m = run.ground_m};
        }
        set_if(needs.out == WayNeeds::Out::rode, of_way(way, OfWay::rode));
        set_if(needs.out == WayNeeds::Out::unavailable, of_way(way, OfWay::unavailable));
        if (needs.out != WayNeeds::Out::none) continue;
        const bool hull_fits = cell.hull_room_m >= needs.radius_m,
                   ground_fits = cell.ground_room_m >= needs.ground_m;
        set_if(!hull_fits, of_way(way, OfWay::hull_room));
        set_if(!ground_fits, of_way(way, OfWay::ground_room));
        // The last is the best, but for one whose limit admits hardly anything of the band.
        if (common != 0 || !hull_fits || !ground_fits) continue;
        const double admitted_m = run.limit_m - band.shoal_m, band_m = band.deep_m - band.shoal_m;
        if (by_sounder && (admitted_m < band_m / 4 || admitted_m < std::min(1.0, band_m / 2))) {
            in_name_only = yes_to(way, by_sounder);
        } else {
            expected.verdict = yes_to(way, by_sounder);
        }
    }
    if (in_name_only && !is_yes(expected.verdict)) expected.verdict = *in_name_only;
    return expected;
}

/// Cells as a row, kept as a row wants them.
class Row {
public:
    explicit Row(const std::vector<CellFacts>& cells) {
        for (const CellFacts& cell : cells) {
            shoal_m_.push_back(cell.shoal_m);
            deep_m_.push_back(cell.deep_m);
            hull_room_m_.push_back(cell.hull_room_m);
            ground_room_m_.push_back(cell.ground_room_m);
            slope_.push_back(cell.slope);
            effects_.push_back(cell.effects);
            seabed_.push_back(cell.seabed);
            banded_.push_back(cell.banded ? 1 : 0);
            stepped_.push_back(cell.stepped ? 1 : 0);
        }
    }
    [[nodiscard]] RowFacts facts() const {
        return {static_cast<int>(shoal_m_.size()),
                shoal_m_.data(),
                deep_m_.data(),
                hull_room_m_.data(),
                ground_room_m_.data(),
                slope_.data(),
                effects_.data(),
                seabed_.data(),
                false,
                std::count(banded_.begin(), banded_.end(), 1) > 0 ? banded_.data() : nullptr,
                stepped_.data()};
    }

private:
    std::vector<float> shoal_m_, deep_m_, hull_room_m_, ground_room_m_, slope_;
    std::vector<Effects> effects_;
    std::vector<Seabed> seabed_;
    std::vector<std::uint8_t> banded_, stepped_;
};

Verdict verdict_of(const Judge& judge, const CellFacts& cell) {
    RowVerdicts said;
    judge.verdicts(Row({cell}).facts(), {}, said);
    return said.verdict.at(0);
}

std::string described(const CellFacts& cell) {
    return "shoal " + std::to_string(cell.shoal_m) + ", deep " + std::to_string(cell.deep_m) + ", rooms " +
           std::to_string(cell.hull_room_m) + " and " + std::to_string(cell.ground_room_m) + ", slope " +
           std::to_string(cell.slope) + ", effects " + std::to_string(cell.effects) + ", seabed " +
           std::string(name(cell.seabed));
}

TEST(Judge, OfSeveralGroundsTheOneCountsThatThisAnchorHoldsLeastIn) {
    Boat boat = read_trial_boat(trial_boats()[0]);
    boat.anchor.holding_n.fill(std::nullopt);
    const auto order = [&](std::initializer_list<std::pair<Seabed, double>> holding_n) {
        Boat with = boat;
        for (const auto& [seabed, n] : holding_n) {
            with.anchor.holding_n[static_cast<std::size_t>(seabed)] = n;
        }
        return Judge(TackleTables(with, conditions_of(0), greatest_uncertainty_m)).seabed_order();
    };
    // A fisherman may hold in weed and rock, and not in sand.
    const SeabedOrder hooks = order({{Seabed::sand, 600}, {Seabed::weed, 2500}, {Seabed::rock, 4000}});
    EXPECT_EQ(worse(Seabed::sand, Seabed::weed, hooks), Seabed::sand);
    EXPECT_EQ(worse(Seabed::rock, Seabed::weed, hooks), Seabed::weed);
    EXPECT_EQ(worse(Seabed::coral, Seabed::sand, hooks), Seabed::coral); // nothing unless told
    // Where nothing is known of the anchor, and where all is the same, the class tells.
    EXPECT_EQ(order({}), seabeds_by_class);
    EXPECT_EQ(worse(Seabed::mud, Seabed::unknown, order({{Seabed::clay, 9000}})), Seabed::unknown);
}

TEST(Judge, WhatTheUserSaysOfUnknownGroundForbidsLikeAnyOther) {
    Boat boat = read_trial_boat(trial_boats()[0]);
    const double pull_n = TackleTables(boat, conditions_of(0), greatest_uncertainty_m).planned_pull_n();
    CellFacts cell;
    cell.shoal_m = cell.deep_m =
        static_cast<float>(boat.required_depth_m() - conditions_of(0).water.low_m + 1);
    cell.hull_room_m = cell.ground_room_m = 1000;
    boat.anchor.holding_n[static_cast<std::size_t>(Seabed::unknown)] = pull_n / 2;
    for (const bool told : {false, true}) {
        boat.anchor.unknown_given = told;
        const TackleTables tables(boat, conditions_of(0), greatest_uncertainty_m);
        EXPECT_EQ((Judge(tables).judge(cell).reasons & reason::holding) != 0, told);
        EXPECT_EQ(is_yes(verdict_of(Judge(tables), cell)), !told);
    }
}

TEST(Judge, GroundThatTheUserSaysHoldsTooLittleIsANo) {
    Boat boat = read_trial_boat(trial_boats()[0]);
    const Conditions conditions = conditions_of(0);
    const auto reasons_in = [&](Seabed seabed, std::optional<double> holding_n) {
        boat.anchor.holding_n[static_cast<std::size_t>(seabed)] = holding_n;
        const TackleTables tables(boat, conditions, greatest_uncertainty_m);
        CellFacts cell;
        cell.shoal_m = cell.deep_m = static_cast<float>(boat.required_depth_m() - conditions.water.low_m + 1);
        cell.hull_room_m = cell.ground_room_m = 1000;
        cell.seabed = seabed;
        return Judge(tables).judge(cell).reasons & (reason::seabed | reason::holding);
    };
    const double pull_n = TackleTables(boat, conditions, greatest_uncertainty_m).planned_pull_n();
    EXPECT_EQ(reasons_in(Seabed::weed, 0.0), reason::seabed);
    EXPECT_EQ(reasons_in(Seabed::weed, pull_n * 0.99), reason::holding);
    EXPECT_EQ(reasons_in(Seabed::weed, pull_n * 1.01), 0u);
}

class Boats : public testing::TestWithParam<std::size_t> {
protected:
    const Conditions conditions_ = conditions_of(GetParam());
    const TackleTables tables_{read_trial_boat(trial_boats()[GetParam()]), conditions_,
                               greatest_uncertainty_m};
};

TEST_P(Boats, JudgementsFollowTheWords) {
    const Judge judge(tables_);
    Dice dice(GetParam() + 1);
    std::array<int, verdict_phrases.size()> verdicts{};
    std::uint32_t seen = 0;
    for (int i = 0; i < 100'000; ++i) {
        const CellFacts cell = random_facts(tables_, dice);
        const CellAnswer answer = judge.judge(cell);
        const Expected expected = by_the_words(tables_, cell);
        ASSERT_EQ(answer.verdict, expected.verdict) << described(cell);
        ASSERT_EQ(answer.reasons, expected.reasons) << described(cell);
        if (answer.verdict != Verdict::unsurveyed) {
            const std::uint16_t wind =
                is_yes(answer.verdict) ? judge.wind_advice(judge.wind_limit_kn(way_of(answer.verdict), cell))
                                       : std::uint16_t{0};
            double deepest_m = cell.deep_m;
            if (is_yes(answer.verdict)) {
                deepest_m =
                    judge.deepest_m(cell, answer.way_needs[static_cast<std::size_t>(way_of(answer.verdict))]);
            }
            const std::uint16_t sound =
                is_by_sounder(answer.verdict) ? advice::sound_first : std::uint16_t(0);
            ASSERT_EQ(judge.advice(cell, deepest_m) | wind | sound, answer.advice) << described(cell);
        }
        ++verdicts[static_cast<std::size_t>(answer.verdict)];
        seen |= answer.reasons;
    }
    for (const Verdict v : {Verdict::unsurveyed, Verdict::no, Verdict::short_scope, Verdict::full,
                            Verdict::short_by_sounder, Verdict::full_by_sounder}) {
        EXPECT_GT(verdicts[static_cast<std::size_t>(v)], is_by_sounder(v) ? 10 : 100) << phrase(v);
    }
    EXPECT_EQ(judge.considers_slope(), tables_.boat().policy.max_slope.has_value());
    EXPECT_EQ(verdicts[static_cast<std::size_t>(Verdict::sinker)] > 100, tables_.boat().sinker.has_value());
    const std::uint32_t always = reason::unsurveyed | reason::too_shallow | reason::hull_danger |
                                 reason::ground_danger | reason::drop_forbidden | reason::seabed |
                                 of_way(Way::full, OfWay::hull_room) | of_way(Way::full, OfWay::ground_room) |
                                 of_way(Way::full, OfWay::rode) | of_way(Way::short_scope, OfWay::hull_room) |
                                 of_way(Way::short_scope, OfWay::ground_room) |
                                 of_way(Way::short_scope, OfWay::rode);
    EXPECT_EQ(seen & always, always);
    const auto set = [seen](std::uint32_t bit) { return (seen & bit) != 0; };
    const Boat& boat = tables_.boat();
    EXPECT_EQ(set(reason::windlass), boat.windlass_rated_pull_n > 0);
    EXPECT_EQ(set(reason::recovery), boat.recovery_depth_m > 0);
    EXPECT_EQ(set(reason::steep), boat.policy.max_slope.has_value());
    for (const OfWay what : {OfWay::hull_room, OfWay::ground_room, OfWay::rode}) {
        EXPECT_EQ(set(of_way(Way::sinker, what)), boat.sinker.has_value());
    }
    EXPECT_EQ(set(of_way(Way::sinker, OfWay::unavailable)), !boat.sinker);
    EXPECT_FALSE(set(of_way(Way::full, OfWay::unavailable)));
    EXPECT_FALSE(set(of_way(Way::short_scope, OfWay::unavailable)));
}

TEST_P(Boats, ReasonsAndVerdictTellTheSameStory) {
    const Judge judge(tables_);
    Dice dice(GetParam() + 100);
    constexpr std::uint32_t common = (1u << reason::first_way_bit) - 1;
    for (int i = 0; i < 20'000; ++i) {
        const CellFacts cell = random_facts(tables_, dice);
        const CellAnswer answer = judge.judge(cell);
        SCOPED_TRACE(described(cell));
        const auto against = [&answer](Way way) {
            return answer.reasons & (15u << (reason::first_way_bit + 4 * static_cast<int>(way)));
        };
        if (answer.verdict == Verdict::unsurveyed) {
            ASSERT_EQ(answer.reasons, reason::unsurveyed);
            ASSERT_EQ(answer.advice, 0);
            ASSERT_FALSE(answer.judged);
        } else if (is_yes(answer.verdict)) {
            ASSERT_EQ(answer.reasons & common, 0u);
            ASSERT_EQ(against(way_of(answer.verdict)), 0u);
            // Each way above has a reason of its own, or is hardly admitted by its limit.
            for (const Way better : all_ways) {
                if (better >= way_of(answer.verdict)) continue;
                const WayNeeds& needs = answer.way_needs[static_cast<std::size_t>(better)];
                ASSERT_TRUE(against(better) != 0 ||
                            hardly_admits(cell.shoal_m, cell.deep_m, needs.sounder_limit_m));
            }
            const auto slot = static_cast<std::size_t>(way_of(answer.verdict));
            ASSERT_TRUE(answer.judged);
            ASSERT_GE(answer.spare_m[slot], 0);
            ASSERT_LE(answer.way_needs[slot].radius_m, cell.hull_room_m);
        } else {
            const bool every_way_out =
                against(Way::full) != 0 && against(Way::short_scope) != 0 && against(Way::sinker) != 0;
            ASSERT_TRUE((answer.reasons & common) != 0 || every_way_out) << "a no without a reason";
        }
        // Full scope has the greatest radius: where it is a yes, nothing stands against the others but that
        // a sinker is not aboard.
        if (answer.verdict == Verdict::full) {
            ASSERT_EQ(answer.reasons & ~of_way(Way::sinker, OfWay::unavailable), 0u);
        }
        for (const Way way : all_ways) {
            const auto slot = static_cast<std::size_t>(way);
            const WayNeeds& needs = answer.way_needs[slot];
            const bool had = answer.judged && needs.out == WayNeeds::Out::none;
            ASSERT_EQ(std::isnan(answer.spare_m[slot]), !had);
            if (!had) continue;
            const double spare =
                std::min(static_cast<double>(cell.hull_room_m) - static_cast<double>(needs.radius_m),
                         static_cast<double>(cell.ground_room_m) - static_cast<double>(needs.ground_m));
            ASSERT_LE(static_cast<double>(answer.spare_m[slot]), spare);
            ASSERT_NEAR(static_cast<double>(answer.spare_m[slot]), spare, 1e-5);
            const bool no_room =
                (against(way) & (of_way(way, OfWay::hull_room) | of_way(way, OfWay::ground_room))) != 0;
            ASSERT_EQ(answer.spare_m[slot] < 0, no_room)
                << "the sign of the spare room and the reason differ";
        }
    }
}

TEST_P(Boats, AdviceIsGivenWhenDue) {
    Dice dice(GetParam() + 200);
    std::uint32_t seen = 0;
    const Judge judge(tables_);
    for (int i = 0; i < 40'000; ++i) {
        CellFacts cell = random_facts(tables_, dice);
        cell.coarse = dice.chance(0.5);
        const CellAnswer answer = judge.judge(cell);
        if (answer.verdict == Verdict::unsurveyed) continue;
        SCOPED_TRACE(described(cell));
        const auto has = [&answer](std::uint16_t bit) { return (answer.advice & bit) != 0; };
        ASSERT_EQ(has(advice::trip_line), (cell.effects & effect::trip_line) != 0);
        ASSERT_EQ(has(advice::read_chart), (cell.effects & effect::warn) != 0);
        ASSERT_EQ(has(advice::poor_survey), (cell.effects & effect::survey) != 0);
        ASSERT_EQ(has(advice::uncharted), (cell.effects & effect::uncharted) != 0);
        ASSERT_EQ(has(advice::survey_and_chart_differ), (cell.effects & effect::depths_differ) != 0);
        ASSERT_EQ(has(advice::poor_holding),
                  cell.seabed >= Seabed::gravel || (cell.effects & effect::poor_ground) != 0);
        ASSERT_EQ(has(advice::unknown_holding),
                  cell.seabed == Seabed::unknown || !tables_.holding_known(cell.seabed));
        ASSERT_EQ(has(advice::steep), cell.slope > 0.1F && !cell.stepped);
        ASSERT_EQ(has(advice::coarse_data), cell.coarse);
        const double deepest_m =
            is_yes(answer.verdict)
                ? judge.deepest_m(cell, answer.way_needs[static_cast<std::size_t>(way_of(answer.verdict))])
                : double{cell.deep_m};
        ASSERT_EQ(has(advice::deep_recovery), deepest_m + conditions_.water.high_m > 10);
        ASSERT_EQ(has(advice::sound_first), is_by_sounder(answer.verdict));
        const bool above =
            is_yes(answer.verdict) &&
            static_cast<double>(judge.wind_limit_kn(way_of(answer.verdict), cell)) < conditions_.wind_kn;
        ASSERT_EQ(has(advice::wind_above_limit), above);
        seen |= answer.advice;
    }
    // Nor does a judge know which way leads there.
    constexpr std::uint16_t of_way_in = advice::out_of_reach | advice::wait_for_water | advice::way_unknown;
    EXPECT_EQ(seen | advice::wind_above_limit | of_way_in, (1u << advice_names.size()) - 1);
}

TEST_P(Boats, ARoomThatJustFitsIsAYesAndALastDigitLessANo) {
    const Judge judge(tables_);
    Dice dice(GetParam() + 300);
    int tried = 0;
    for (int i = 0; i < 5'000; ++i) {
        CellFacts cell = random_facts(tables_, dice);
        cell.effects = 0;
        cell.slope = 0;
        cell.banded = false;
        cell.seabed = Seabed::sand;
        for (const Way way : all_ways) {
            if (!judge.floats(cell)) continue;
            const WayNeeds needs = tables_.needs(way, cell.shoal_m, cell.deep_m);
            if (needs.out != WayNeeds::Out::none) continue;
            cell.hull_room_m = needs.radius_m;
            cell.ground_room_m = needs.ground_m;
            const CellAnswer fits = judge.judge(cell);
            if ((fits.reasons & (reason::recovery | reason::windlass)) != 0) continue;
            ++tried;
            SCOPED_TRACE(described(cell));
            ASSERT_GE(fits.verdict, yes_to(way));
            ASSERT_EQ(verdict_of(judge, cell), fits.verdict);
            ASSERT_EQ(fits.spare_m[static_cast<std::size_t>(way)], 0);
            CellFacts tight = cell;
            tight.hull_room_m = std::nextafter(needs.radius_m, 0.0F);
            ASSERT_NE(judge.judge(tight).reasons & of_way(way, OfWay::hull_room), 0u);
            ASSERT_NE(verdict_of(judge, tight), yes_to(way));
            tight = cell;
            tight.ground_room_m = std::nextafter(needs.ground_m, 0.0F);
            ASSERT_NE(judge.judge(tight).reasons & of_way(way, OfWay::ground_room), 0u);
            ASSERT_NE(verdict_of(judge, tight), yes_to(way));
        }
    }
    EXPECT_GT(tried, 1000);
}

/// How good an answer is, the least the best: one that its limit hardly admits comes behind all others.
std::pair<bool, int> badness(const Judge& judge, const CellFacts& cell) {
    const CellAnswer answer = judge.judge(cell);
    const auto way = static_cast<std::size_t>(way_of(answer.verdict));
    const bool hardly = is_by_sounder(answer.verdict) &&
                        hardly_admits(cell.shoal_m, cell.deep_m, answer.way_needs[way].sounder_limit_m);
    return {hardly || !is_yes(answer.verdict), rank_of(answer.verdict)};
}

TEST_P(Boats, MoreRoomNeverMakesAWorseAnswer) {
    const Judge judge(tables_);
    Dice dice(GetParam() + 400);
    for (int i = 0; i < 20'000; ++i) {
        const CellFacts cell = random_facts(tables_, dice);
        CellFacts wider = cell;
        wider.hull_room_m += static_cast<float>(dice.between(0, 20));
        wider.ground_room_m += static_cast<float>(dice.between(0, 20));
        ASSERT_LE(badness(judge, wider), badness(judge, cell)) << described(cell);
        for (const Way way : all_ways) {
            if (!judge.floats(cell)) continue;
            if (cell.banded) continue; // more room lets her lie where it is deeper, and the pull steeper
            const float limit_kn = judge.wind_limit_kn(way, cell), wider_kn = judge.wind_limit_kn(way, wider);
            ASSERT_GE(wider_kn, limit_kn) << described(cell);
        }
    }
}

TEST_P(Boats, ARowIsJudgedAsItsCellsAre) {
    const Judge judge(tables_);
    Dice dice(GetParam() + 500);
    RowVerdicts said; // kept from row to row, so that nothing of the row before may shine through
    for (int trial = 0; trial < 400; ++trial) {
        const std::vector<CellFacts> cells = random_row(tables_, dice);
        const std::array<bool, all_ways.size()> asked = {dice.chance(0.5), dice.chance(0.5),
                                                         dice.chance(0.5)};
        const Row row(cells);
        judge.verdicts(row.facts(), asked, said);
        ASSERT_EQ(said.verdict.size(), cells.size());
        std::vector<int> afloat, yes;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const CellAnswer answer = judge.judge(cells[i]);
            SCOPED_TRACE(described(cells[i]));
            ASSERT_EQ(said.verdict[i], answer.verdict);
            if (answer.judged) afloat.push_back(static_cast<int>(i));
            if (is_yes(answer.verdict)) yes.push_back(static_cast<int>(i));
            if (answer.judged && !is_yes(answer.verdict)) {
                ASSERT_EQ(judge.why_not(row.facts(), static_cast<int>(i), said),
                          leading_reason(answer.reasons));
            }
            for (const Way way : all_ways) {
                const auto slot = static_cast<std::size_t>(way);
                const bool told = (asked[slot] && answer.judged) ||
                                  (is_yes(answer.verdict) && way == way_of(answer.verdict));
                if (!told) continue;
                const WayNeeds &needs = said.way_needs[slot].at(i), &expected = answer.way_needs[slot];
                ASSERT_EQ(needs.out == WayNeeds::Out::none, expected.out == WayNeeds::Out::none);
                if (expected.out != WayNeeds::Out::none) continue;
                ASSERT_EQ(needs.rode_m, expected.rode_m);
                ASSERT_EQ(needs.radius_m, expected.radius_m);
                ASSERT_EQ(needs.ground_m, expected.ground_m);
                ASSERT_EQ(needs.row, expected.row);
            }
        }
        ASSERT_EQ(said.afloat, afloat);
        ASSERT_EQ(said.yes, yes);
    }
}

TEST_P(Boats, WhatIsSaidOfARowIsWhatIsSaidOfItsCells) {
    const Judge judge(tables_);
    Dice dice(GetParam() + 550);
    RowVerdicts verdicts;
    RowReasons said; // kept from row to row, too
    std::uint32_t all_reasons = 0, all_advice = 0;
    for (int trial = 0; trial < 400; ++trial) {
        const std::vector<CellFacts> cells = random_row(tables_, dice);
        const Row row(cells);
        judge.verdicts(row.facts(), {true, true, true}, verdicts);
        judge.reasons(row.facts(), verdicts, said);
        ASSERT_EQ(said.reasons.size(), cells.size());
        ASSERT_EQ(said.advice.size(), cells.size());
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const CellAnswer answer = judge.judge(cells[i]);
            ASSERT_EQ(said.reasons[i], answer.reasons) << described(cells[i]);
            ASSERT_EQ(said.advice[i], answer.advice) << described(cells[i]);
            // Asked for no more than the planned wind, a limit tells the same as when it is sought in full.
            const bool above =
                is_yes(answer.verdict) &&
                judge.wind_limit_kn(way_of(answer.verdict), cells[i]) < judge.planned_wind_kn();
            ASSERT_EQ((answer.advice & advice::wind_above_limit) != 0, above) << described(cells[i]);
            all_reasons |= answer.reasons;
            all_advice |= answer.advice;
        }
    }
    EXPECT_GT(std::popcount(all_reasons), 12) << "enough was tried";
    EXPECT_GT(std::popcount(all_advice), 5);
}

TEST_P(Boats, WindLimitsOfARowAreThoseOfItsCells) {
    const Judge judge(tables_);
    Dice dice(GetParam() + 560);
    RowVerdicts verdicts;
    int some = 0;
    for (int trial = 0; trial < 200; ++trial) {
        std::vector<CellFacts> cells(static_cast<std::size_t>(dice.whole(0, 300)));
        for (CellFacts& cell : cells) {
            cell = random_facts(tables_, dice);
        }
        const Row row(cells);
        judge.verdicts(row.facts(), {true, true, true}, verdicts);
        for (const Way way : all_ways) {
            constexpr float untouched = -7;
            std::vector<float> limits_kn(cells.size(), untouched);
            judge.wind_limits_kn(way, row.facts(), verdicts, limits_kn.data());
            for (std::size_t i = 0; i < cells.size(); ++i) {
                const bool told = judge.floats(cells[i]) && cells[i].shoal_m <= cells[i].deep_m &&
                                  judge.needs(way, cells[i]).out == WayNeeds::Out::none;
                ASSERT_EQ(limits_kn[i], told ? judge.wind_limit_kn(way, cells[i]) : untouched)
                    << described(cells[i]);
                some += told && limits_kn[i] > 0 ? 1 : 0;
            }
        }
    }
    EXPECT_GT(some, 1000) << "enough was tried";
}

TEST_P(Boats, DepthsThatAreNotKnownOrDryAreNeverAYes) {
    const Judge judge(tables_);
    CellFacts cell;
    cell.hull_room_m = cell.ground_room_m = 1000;
    cell.seabed = Seabed::sand;
    for (const auto& [shoal_m, deep_m] : {std::pair(not_a_number, not_a_number),
                                          std::pair(3.0F, not_a_number), std::pair(not_a_number, 3.0F)}) {
        cell.shoal_m = shoal_m;
        cell.deep_m = deep_m;
        EXPECT_EQ(verdict_of(judge, cell), Verdict::unsurveyed);
        EXPECT_EQ(judge.judge(cell).verdict, Verdict::unsurveyed);
        EXPECT_EQ(judge.judge(cell).reasons, reason::unsurveyed);
    }
    EXPECT_TRUE(std::isnan(judge.depth_low_m({not_a_number, not_a_number, 0, 0, 0, 0, Seabed::sand})));
    for (const float depth_m : {-9.0F, -1.5F, -0.0F, 0.0F}) {
        cell.shoal_m = cell.deep_m = depth_m;
        EXPECT_FALSE(judge.floats(cell));
        EXPECT_EQ(verdict_of(judge, cell), Verdict::no);
        const CellAnswer answer = judge.judge(cell);
        EXPECT_EQ(answer.verdict, Verdict::no);
        EXPECT_EQ(answer.reasons & ((1u << reason::first_way_bit) - 1), reason::too_shallow);
        EXPECT_FALSE(answer.judged);
        EXPECT_LE(judge.depth_low_m(cell), depth_m + conditions_.water.low_m);
    }
    // Just afloat, and a last digit less.
    const float afloat_m = narrow_up(tables_.boat().required_depth_m() - conditions_.water.low_m);
    cell.shoal_m = cell.deep_m = afloat_m;
    EXPECT_TRUE(is_yes(verdict_of(judge, cell)));
    cell.shoal_m = std::nextafter(afloat_m, -1.0F);
    EXPECT_EQ(verdict_of(judge, cell), Verdict::no);
    EXPECT_EQ(judge.judge(cell).reasons & reason::too_shallow, reason::too_shallow);
}

TEST_P(Boats, ARoomThatIsNotANumberIsNoRoom) {
    const Judge judge(tables_);
    CellFacts cell;
    cell.shoal_m = cell.deep_m = narrow_up(tables_.boat().required_depth_m() - conditions_.water.low_m + 0.5);
    cell.seabed = Seabed::sand;
    for (const bool hull : {true, false}) {
        cell.hull_room_m = hull ? not_a_number : 1000;
        cell.ground_room_m = hull ? 1000 : not_a_number;
        EXPECT_EQ(verdict_of(judge, cell), Verdict::no);
        EXPECT_EQ(judge.judge(cell).verdict, Verdict::no);
    }
}

TEST_P(Boats, ADangersDepthFloatsHerExactlyIfSheClearsIt) {
    const Judge judge(tables_);
    const HullNeeds hull = hull_needs(tables_.boat(), conditions_.water);
    const double needed_m = tables_.boat().required_depth_m() - conditions_.water.low_m;
    constexpr float infinite = std::numeric_limits<float>::infinity();
    Dice dice(GetParam() + 300);
    for (int i = 0; i < 3000; ++i) {
        Hazard hazard;
        hazard.effects = static_cast<Effects>(dice.whole(0, 15));
        // About what she needs to the last digits of a double, about those of a float, and anywhere.
        const double off_m = dice.chance(0.3) ? 1e-15 : dice.chance(0.5) ? 1e-7 : 5;
        if (dice.chance(0.8)) hazard.least_depth_m = needed_m + dice.between(-1, 1) * off_m;
        if (dice.chance(0.3)) hazard.clearance_m = dice.between(0, 40);
        const float depth_m = judge.least_depth_m(hazard);
        CellFacts cell;
        cell.shoal_m = cell.deep_m = depth_m;
        ASSERT_EQ(judge.floats(cell), (effects_on(hazard, hull) & effect::hull) == 0);
        if ((hazard.effects & effect::hull) == 0) {
            ASSERT_EQ(depth_m, infinite);
        } else if (hazard.least_depth_m && depth_m < infinite) {
            ASSERT_LE(double{depth_m}, *hazard.least_depth_m + 2e-6)
                << "no deeper than it is, but for a digit";
            ASSERT_GE(double{depth_m}, *hazard.least_depth_m - 2e-6);
        } else if (!hazard.least_depth_m && !hazard.clearance_m) {
            ASSERT_EQ(depth_m, -infinite);
        }
    }
}

TEST_P(Boats, TheLevelNeededIsTheLowestOrLessExactlyWhereAllOfTheCircleFloatsHer) {
    const Judge judge(tables_);
    const double needed_m = tables_.boat().required_depth_m(), low_m = conditions_.water.low_m;
    constexpr float infinite = std::numeric_limits<float>::infinity();
    Dice dice(GetParam() + 400);
    float depth_m = narrow_up(needed_m - low_m);
    for (int i = 0; i < 2000; ++i) {
        if (i > 20) depth_m = narrow_down(needed_m - low_m + dice.between(-3, 3));
        CellFacts cell;
        cell.shoal_m = cell.deep_m = depth_m;
        const double level_m = judge.level_needed_m(depth_m);
        if (judge.floats(cell)) {
            ASSERT_LE(level_m, low_m);
        } else {
            ASSERT_GE(level_m, low_m);
        }
        ASSERT_GE(static_cast<long double>(level_m) + static_cast<long double>(depth_m),
                  static_cast<long double>(needed_m) - 1e-15L);
        ASSERT_NEAR(level_m, needed_m - double{depth_m}, 1e-6);
        ASSERT_LE(static_cast<long double>(judge.least_water_m(depth_m)),
                  static_cast<long double>(depth_m) + static_cast<long double>(low_m));
        depth_m = std::nextafter(depth_m, i % 2 == 0 ? -infinite : infinite);
        if (i % 2 != 0) depth_m = std::nextafter(std::nextafter(depth_m, infinite), infinite);
    }
    EXPECT_EQ(judge.level_needed_m(-infinite), double{infinite});
    EXPECT_EQ(judge.least_water_m(-infinite), -infinite);
}

TEST_P(Boats, OnceAfloatSheLiesAsOverASeabedThatJustFloatsHer) {
    const Judge judge(tables_);
    const float afloat_m = narrow_up(tables_.boat().required_depth_m() - conditions_.water.low_m);
    Dice dice(GetParam() + 500);
    for (int i = 0; i < 2000; ++i) {
        CellFacts cell = random_facts(tables_, dice);
        if (std::isnan(cell.shoal_m)) continue;
        ASSERT_EQ(judge.floats_at_high_water(cell), double{cell.shoal_m} + conditions_.water.high_m >=
                                                        tables_.boat().required_depth_m() - 1e-9);
        for (const Way way : all_ways) {
            const WayNeeds needs = judge.needs_once_afloat(way, cell);
            if (judge.floats(cell)) {
                const WayNeeds same = judge.needs(way, cell);
                ASSERT_EQ(needs.out, same.out);
                ASSERT_EQ(needs.radius_m, same.radius_m);
                continue;
            }
            const float deep_m = std::max(cell.deep_m, afloat_m);
            CellFacts raised = cell;
            raised.shoal_m = afloat_m;
            raised.deep_m = deep_m;
            // By the sounder the shoalest reading, since nothing is said of its room.
            const double deepest_m = judge.may_sound(raised)
                                         ? double{afloat_m} + tables_.boat().reading_error_m()
                                         : double{deep_m};
            const WayNeeds wanted = tables_.needs(way, double{afloat_m}, deepest_m);
            ASSERT_EQ(needs.out, wanted.out);
            if (needs.out == WayNeeds::Out::none) {
                ASSERT_EQ(needs.radius_m, wanted.radius_m);
            }
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Trial, Boats, testing::Range<std::size_t>(0, 4));

} // namespace
} // namespace swingroom
