// What would make a no a yes, on random scenes: what is proposed is done by hand and the cell asked about
// again, as anybody would who follows it; and every smaller change in the same steps is tried, too.

#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/what_if.hpp"

#include "support/overlay_scene.hpp"
#include "support/tides.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;

HazardRule rule(const std::string& name, double margin_m) {
    HazardRule rule;
    rule.name = name;
    rule.margin_m = margin_m;
    rule.source = "by " + name;
    return rule;
}

/// A bowl of water with a wreck and a cable, the cell in the middle asked about.
class WhatWouldDo : public testing::TestWithParam<std::uint64_t> {
protected:
    void SetUp() override {
        Dice dice(GetParam() * 31 + 7);
        scene_ = random_overlay_scene(GetParam(), 70, 60);
        rules_ = {rule("wreck", dice.between(5, 40)), rule("cable", dice.between(5, 40))};
        hazards_ = scene_.hazards->hazards();
        for (const HazardRule& of : rules_) {
            const Effects effects = of.name == "wreck" ? effect::hull | effect::ground : effect::ground;
            hazards_.push_back(hazard(effects, of.margin_m + (dice.chance(0.5) ? 3 : 0),
                                      {{dice.between(0, 70), dice.between(0, 60)}}, of.name,
                                      of.name + " #1"));
            if (dice.chance(0.3)) hazards_.back().placement_allowance_m = dice.between(0, 10);
        }
        scene_.hazards =
            std::make_unique<HazardField>(hazards_, scene_.depths->grid().extent(), scene_.metric);
        georeference_.emplace(scene_.depths->grid(), "scene");
    }

    /// The answer there with a change, made without what is tested.
    [[nodiscard]] Verdict answer(int col, int row, const Proposal& proposal) const {
        Boat boat = scene_.tables->boat();
        Conditions conditions = scene_.tables->conditions();
        std::vector<Hazard> hazards = hazards_;
        switch (proposal.change) {
        case Change::water:
            conditions.water.low_m = proposal.amount;
            break;
        case Change::rode: {
            const double more_m = proposal.amount - proposal.instead_of;
            if (boat.rode.rope_m > 0) {
                boat.rode.rope_m += more_m;
            } else {
                boat.rode.chain_m += more_m;
            }
            break;
        }
        case Change::wind:
            conditions.wind_kn = proposal.amount;
            break;
        case Change::sinker:
            boat.sinker = Sinker();
            boat.sinker->mass_kg = proposal.amount;
            break;
        case Change::margin:
            for (Hazard& of : hazards) {
                if (of.kind == proposal.rule) of.margin_m += proposal.amount - proposal.instead_of;
            }
            break;
        }
        const TackleTables tables(boat, conditions, 1.0);
        const HazardField field(hazards, scene_.depths->grid().extent(), scene_.metric);
        OverlayJob job = scene_.job();
        job.tables = &tables;
        job.hazards = &field;
        return examine(job, *georeference_, col, row).answer.verdict;
    }

    OverlayScene scene_;
    std::vector<HazardRule> rules_;
    std::vector<Hazard> hazards_;
    std::optional<Georeference> georeference_;
};

TEST_P(WhatWouldDo, IsProvedAndNoSmallerStepWould) {
    const OverlayJob job = scene_.job();
    const WaterLevels water = scene_.tables->conditions().water;
    WhatIf what_if(job, rules_, job.window);
    Dice dice(GetParam());
    int noes = 0;
    for (int trial = 0; trial < 200 && noes < 12; ++trial) {
        const int col = dice.whole(0, 69), row = dice.whole(0, 59);
        const PositionReport at = examine(job, *georeference_, col, row);
        ASSERT_EQ(answer_at(job, col, row).verdict, at.answer.verdict);
        const std::vector<Proposal> proposals = what_if.proposals(at);
        if (at.answer.verdict != Verdict::no) {
            EXPECT_TRUE(proposals.empty());
            continue;
        }
        ++noes;
        for (const Proposal& proposal : proposals) {
            SCOPED_TRACE(std::string(change_names.at(static_cast<std::size_t>(proposal.change))) + " " +
                         std::to_string(proposal.amount) + " instead of " +
                         std::to_string(proposal.instead_of) + " " + proposal.rule);
            EXPECT_TRUE(is_yes(proposal.verdict));
            EXPECT_EQ(answer(col, row, proposal), proposal.verdict);
            Proposal less = proposal;
            switch (proposal.change) {
            case Change::water:
                EXPECT_LE(proposal.amount, water.high_m + 1e-9);
                less.amount -= 0.1;
                if (less.amount < proposal.instead_of + 0.05) continue;
                break;
            case Change::rode:
                EXPECT_LE(proposal.amount, 2 * proposal.instead_of + 1e-6);
                less.amount -= 1;
                if (less.amount < proposal.instead_of + 0.5) continue;
                break;
            case Change::wind:
                EXPECT_EQ(proposal.amount, std::floor(proposal.amount));
                EXPECT_GE(proposal.amount, least_proposed_wind_kn);
                less.amount += 1;
                if (less.amount >= proposal.instead_of) continue;
                break;
            case Change::sinker:
                EXPECT_FALSE(scene_.tables->boat().sinker.has_value());
                continue;
            case Change::margin:
                EXPECT_EQ(proposal.amount, std::floor(proposal.amount));
                EXPECT_GE(proposal.amount, 1);
                for (const Hazard& of : hazards_) {
                    if (of.kind == proposal.rule) {
                        EXPECT_GE(proposal.amount, of.placement_allowance_m) << "surer than it is charted";
                    }
                }
                less.amount += 1;
                if (less.amount >= proposal.instead_of) continue;
                break;
            }
            EXPECT_FALSE(is_yes(answer(col, row, less))) << "less would do";
        }
        // What is not proposed does not do: the most that there is of each was tried.
        const auto proposed = [&](Change change) {
            return std::any_of(proposals.begin(), proposals.end(),
                               [&](const Proposal& of) { return of.change == change; });
        };
        const double planned_kn = scene_.tables->conditions().wind_kn;
        if (!proposed(Change::water) && water.range_m() > 0.1) {
            const double most_m = water.low_m + std::floor(water.range_m() * 10) / 10;
            EXPECT_FALSE(is_yes(answer(col, row, {Change::water, most_m, water.low_m, "", "", Verdict::no})));
        }
        if (!proposed(Change::wind) && planned_kn > 5) {
            EXPECT_FALSE(is_yes(answer(col, row, {Change::wind, 5, planned_kn, "", "", Verdict::no})));
        }
        if (!proposed(Change::rode)) {
            const double aboard_m = scene_.tables->boat().rode.aboard_m();
            EXPECT_FALSE(
                is_yes(answer(col, row, {Change::rode, 2 * aboard_m, aboard_m, "", "", Verdict::no})));
        }
    }
}

// With a tide a level that is proposed is a tenth above chart datum, as a level needed is told; a tenth less
// would not do.
TEST_P(WhatWouldDo, ProposesLevelsAsTheyAreToldWithATide) {
    OverlayJob job = scene_.job();
    const StayTide tide = made_tide();
    job.tide = &tide;
    WhatIf what_if(job, rules_, job.window);
    const WaterLevels water = scene_.tables->conditions().water;
    Dice dice(GetParam());
    for (int trial = 0; trial < 40; ++trial) {
        const int col = dice.whole(0, 69), row = dice.whole(0, 59);
        for (const Proposal& proposal : what_if.proposals(examine(job, *georeference_, col, row))) {
            EXPECT_EQ(proposal.of_tide, proposal.change == Change::water);
            if (proposal.change != Change::water) continue;
            EXPECT_EQ(answer(col, row, proposal), proposal.verdict);
            EXPECT_LE(proposal.amount, water.high_m + 1e-9);
            EXPECT_GT(proposal.amount, water.low_m);
            const double told_m = std::round(proposal.amount * 10) / 10;
            EXPECT_EQ(rounded(proposal.amount, 1, Rounded::up), told_m);
            EXPECT_NEAR(proposal.amount, told_m, 5e-5);
            Proposal less = proposal;
            less.amount -= 0.1;
            if (less.amount > water.low_m) {
                EXPECT_FALSE(is_yes(answer(col, row, less)));
            }
        }
    }
}

TEST_P(WhatWouldDo, LooksAtNothingThatIsNotPrepared) {
    const OverlayJob job = scene_.job();
    const Window one{30, 30, 1, 1};
    WhatIf what_if(job, rules_, one);
    const PositionReport at = examine(job, *georeference_, one.col, one.row);
    for (const Proposal& proposal : what_if.proposals(at)) {
        EXPECT_EQ(proposal.change, Change::margin) << "whose reach is that of the boat as she is";
    }
}

INSTANTIATE_TEST_SUITE_P(Seeds, WhatWouldDo, testing::Range<std::uint64_t>(0, 16));

} // namespace
} // namespace swingroom
