#include "swingroom/base/error.hpp"
#include "swingroom/boat/tables.hpp"

#include "unit/boat/trial.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <ctime>
#include <optional>
#include <random>
#include <sstream>
#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

/// A place where the boat floats: shoal and deep side of its depth.
struct Place {
    double shoal_m, deep_m;
};
Place random_place(std::mt19937_64& random, const Trial& trial) {
    const double least_m = trial.boat.required_depth_m() - trial.conditions.water.low_m;
    const double shoal_m = least_m + std::pow(uniform(random, 0, 4), 2);
    return {shoal_m, shoal_m + uniform(random, 0, 2 * trial.uncertainty_m)};
}

std::vector<RodePart> parts_of(const Boat& boat, Way way, const WayDetail& detail, Stretch stretch) {
    std::optional<HungSinker> sinker;
    if (way == Way::sinker) {
        sinker = HungSinker{in_water_n(boat.sinker->mass_kg, boat.sinker->density_kg_per_m3),
                            detail.sinker_from_bow_m};
    }
    return rode_parts(boat.rode, static_cast<double>(detail.needs.rode_m), sinker, stretch);
}

TEST(TackleTables, AYachtInFiveMetresByHand) {
    // Span 5 + 1.4 at all states of the tide. By hand: full scope 5 x 6.4 = 32, to the next mark 35; without
    // uplift at 20 knots 26.55 m, to the mark 30, reach 28.95; radius with the boat's 14 m.
    const TackleTables tables(yacht(), {{0, 0}, 20, 0}, 0);
    const WayNeeds full = tables.needs(Way::full, 5, 5), shorter = tables.needs(Way::short_scope, 5, 5);
    EXPECT_EQ(full.rode_m, 35);
    EXPECT_NEAR(full.radius_m, std::sqrt(35 * 35 - 6.4 * 6.4) + 14, 0.02);
    EXPECT_GE(full.radius_m, std::sqrt(35 * 35 - 6.4 * 6.4) + 14);
    EXPECT_NEAR(full.ground_m, 35 - 6.4, 1e-5);
    EXPECT_EQ(shorter.rode_m, 30);
    EXPECT_NEAR(shorter.radius_m, 30 - 26.55 + 25.50 + 14, 0.02);
    // With the sinker one span down: between the 26.55 m of none and the 22.89 m of mid-way.
    EXPECT_EQ(tables.needs(Way::sinker, 5, 5).rode_m, 25);
    EXPECT_EQ(tables.needs(Way::full, 10.6, 10.6).rode_m, 60) << "exactly 5 x 12 m is no more than 60 m";
    const WayNeeds deep = tables.needs(Way::full, 10.7, 10.7);
    EXPECT_EQ(deep.out, WayNeeds::Out::rode);
    EXPECT_EQ(deep.rode_m, 65);
    EXPECT_EQ(deep.radius_m, 0);
}

TEST(TackleTables, AWayWithoutASinkerAboardIsNotToBeHad) {
    Boat boat = yacht();
    boat.sinker.reset();
    const TackleTables tables(boat, {{0, 0}, 20, 0}, 0);
    EXPECT_EQ(tables.needs(Way::sinker, 5, 5).out, WayNeeds::Out::unavailable);
    EXPECT_EQ(tables.needs(Way::sinker, 500, 500).out, WayNeeds::Out::unavailable);
    EXPECT_EQ(tables.wind_limit_kn(Way::sinker, 5, 5, 100, Seabed::sand), 0);
    EXPECT_EQ(tables.needs(Way::short_scope, 5, 5).out, WayNeeds::Out::none);
}

TEST(TackleTables, SayHowMuchRodeADeepPlaceWouldNeed) {
    const TackleTables tables(yacht(), {{0, 0}, 20, 0}, 0);
    float last_m = 0;
    for (double depth_m = 11; depth_m < 11000; depth_m *= 1.1) {
        const WayNeeds needs = tables.needs(Way::full, depth_m, depth_m);
        ASSERT_EQ(needs.out, WayNeeds::Out::rode);
        ASSERT_GE(needs.rode_m, 5 * (depth_m + 1.4) - 1e-3);
        ASSERT_LE(needs.rode_m, 5.2 * (depth_m + 1.4) + 10);
        ASSERT_GE(needs.rode_m, last_m);
        ASSERT_NEAR(std::remainder(static_cast<double>(needs.rode_m), 5), 0, 1e-2);
        last_m = needs.rode_m;
    }
}

TEST(TackleTables, RopeWithoutAKnownHoldingIsRefused) {
    Boat boat = yacht();
    boat.rode.rope_m = 20;
    boat.rode.rope_kg_per_m = 0.1;
    boat.rode.rope_stiffness_n = 1e5;
    boat.anchor.holding_n = complete_holding(AnchorType::scoop, 25, {});
    EXPECT_THROW(TackleTables(boat, {{0, 0}, 20, 0}, 0), InputError);
    boat.rode.rope_m = 0;
    const TackleTables chain(boat, {{0, 0}, 20, 0}, 0);
    EXPECT_FALSE(chain.holding_known(Seabed::sand));
    EXPECT_TRUE(std::isnan(chain.holding_limit_kn(Seabed::sand)));
    EXPECT_TRUE(std::isnan(chain.holding_limit_kn(Seabed::unknown)));
    EXPECT_EQ(chain.limit_by(Seabed::sand), LimitBy::room) << "nobody rated her";
    EXPECT_EQ(chain.wind_limit_kn(Way::full, 5, 5, 1, Seabed::sand), 0) << "no room is no room";
    EXPECT_EQ(chain.wind_limit_kn(Way::full, 5, 5, 60, Seabed::rock), 0) << "rock holds nothing unless told";
}

TEST(TackleTables, SaysWhatALimitIsBy) {
    Boat boat = yacht();
    boat.anchor.holding_n = {};
    boat.anchor.holding_n[static_cast<std::size_t>(Seabed::sand)] = 8000;
    boat.anchor.unknown_given = false;
    const auto bit = [](Seabed seabed) {
        return static_cast<std::uint16_t>(1U << static_cast<unsigned>(seabed));
    };
    const TackleTables some(boat, {{0, 0}, 20, 0}, 0);
    EXPECT_EQ(some.limit_by(Seabed::sand), LimitBy::holding);
    EXPECT_EQ(some.limit_by(Seabed::mud), LimitBy::least_holding);
    EXPECT_EQ(some.limit_by(Seabed::unknown), LimitBy::least_holding) << "that of sand, by nobody's word";
    EXPECT_EQ(some.limit_by(bit(Seabed::sand)), LimitBy::holding);
    EXPECT_EQ(some.limit_by(static_cast<std::uint16_t>(bit(Seabed::sand) | bit(Seabed::mud))),
              LimitBy::least_holding)
        << "of several the least known";
    boat.anchor.holding_n[static_cast<std::size_t>(Seabed::unknown)] = 3000;
    boat.anchor.unknown_given = true;
    EXPECT_EQ(TackleTables(boat, {{0, 0}, 20, 0}, 0).limit_by(Seabed::unknown), LimitBy::holding);
    boat.anchor = yacht().anchor;
    boat.anchor.holding_n = {};
    boat.anchor.holding_n[static_cast<std::size_t>(Seabed::rock)] = 500;
    const TackleTables of_rock(boat, {{0, 0}, 20, 0}, 0);
    EXPECT_EQ(of_rock.limit_by(Seabed::rock), LimitBy::holding);
    EXPECT_EQ(of_rock.limit_by(Seabed::sand), LimitBy::room) << "that it finds no hold in rock says nothing";
    EXPECT_EQ(of_rock.limit_by(static_cast<std::uint16_t>(bit(Seabed::sand) | bit(Seabed::rock))),
              LimitBy::room);
}

TEST(TackleTables, GroundOfUnknownHoldingTakesTheLeastThatIsKnownOfOthers) {
    Boat boat = yacht();
    boat.anchor.holding_n = {};
    const auto holding = [&](Seabed seabed) -> std::optional<double>& {
        return boat.anchor.holding_n[static_cast<std::size_t>(seabed)];
    };
    holding(Seabed::sand) = 8000;
    holding(Seabed::gravel) = 1200;
    holding(Seabed::rock) = 0;
    const TackleTables tables(boat, {{0, 0}, 20, 0}, 0);
    EXPECT_FALSE(tables.holding_known(Seabed::unknown));
    for (const Seabed seabed : {Seabed::unknown, Seabed::clay, Seabed::mud, Seabed::weed}) {
        EXPECT_EQ(tables.holding_limit_kn(seabed), tables.loads().wind_kn(1200)) << name(seabed);
    }
    EXPECT_EQ(tables.holding_limit_kn(Seabed::sand), tables.loads().wind_kn(8000));
    EXPECT_EQ(tables.holding_limit_kn(Seabed::coral), 0);
    EXPECT_LT(tables.wind_limit_kn(Way::full, 5, 5, 60, Seabed::mud),
              tables.wind_limit_kn(Way::full, 5, 5, 60, Seabed::sand));
    EXPECT_EQ(tables.planned_pull_n(), tables.loads().pull_n(20));
}

// Rope stretches without end: the straight rode's radius serves no wind beyond the pull that it was made for,
// on whatever ground, also where only the unknown ground's holding is given.
TEST(TackleTables, ARopeNeverOutreachesItsRadiusAtTheStatedWindLimit) {
    Boat boat = yacht();
    boat.rode = {10, 2.2, 60, nylon_kg_per_m(12), nylon_stiffness_n(12, RopeMake::laid), 5};
    boat.policy.pull_angle_deg = 15;
    std::array<std::optional<double>, seabed_names.size()> own{};
    own.front() = 3000;
    boat.anchor.holding_n = complete_holding(AnchorType::scoop, 25, own);
    const TackleTables tables(boat, {{0, 0}, 15, 0}, 0);
    for (double depth_m = 3; tables.has_rode(Way::full, depth_m); depth_m += 0.37) {
        const WayDetail detail = tables.detail(Way::full, depth_m, depth_m);
        const double room_m = static_cast<double>(detail.needs.radius_m);
        for (std::size_t i = 0; i < seabed_names.size(); ++i) {
            const auto seabed = static_cast<Seabed>(i);
            const float limit_kn = tables.wind_limit_kn(Way::full, depth_m, depth_m, room_m, seabed);
            const double pull_n = tables.loads().pull_n(static_cast<double>(limit_kn));
            if (seabed < Seabed::rock) {
                ASSERT_GT(limit_kn, 15) << name(seabed);
            }
            ASSERT_LE(pull_n, 3000);
            ASSERT_LE(rode_state(pull_n, depth_m + 1.4, parts_of(boat, Way::full, detail, Stretch::as_aboard))
                              .reach_m +
                          boat.hull.length_m,
                      room_m);
        }
    }
}

// The tension, and with it the stretch, grows with the span while the reach falls with it: a bin must hold
// both. With long heavy chain on a little thin rope, veered for deep water and lying in shallow, the stretch
// outweighs.
TEST(TackleTables, AStretchedRopesRadiusHoldsEverySpanOfItsBin) {
    Boat boat = yacht();
    boat.hull.draught_m = 0.3;
    boat.hull.bow_roller_m = 0.2;
    boat.rode = {180, 5, 20, nylon_kg_per_m(8), nylon_stiffness_n(8, RopeMake::laid), 5};
    boat.anchor.holding_n.fill(8000);
    const TackleTables tables(boat, {{0, 0}, 20, 0}, 20);
    bool outweighed = false;
    for (double shoal_m = 0.8; shoal_m < 4; shoal_m += 0.0037) {
        const WayDetail detail = tables.detail(Way::full, shoal_m, 39);
        ASSERT_EQ(detail.needs.out, WayNeeds::Out::none);
        ASSERT_GE(static_cast<double>(detail.needs.radius_m), detail.taut_reach_m + boat.hull.length_m)
            << shoal_m;
        outweighed |= detail.taut_reach_m < tables.detail(Way::full, shoal_m + 0.01, 39).taut_reach_m;
    }
    EXPECT_TRUE(outweighed) << "else nothing is tried here";
}

class RandomBoats : public testing::TestWithParam<std::uint64_t> {};

TEST_P(RandomBoats, RodeAndRadiusAreWhatTheStaticsSayRoundedTheSafeWay) {
    std::mt19937_64 random(GetParam());
    const Trial trial = random_trial(random);
    const Boat& boat = trial.boat;
    const TackleTables tables(boat, trial.conditions, trial.uncertainty_m);
    const double pull_n = tables.loads().pull_n(trial.conditions.wind_kn);
    const double allowances_m =
        boat.hull.length_m + boat.policy.position_allowance_m + boat.policy.set_distance_m;
    for (int i = 0; i < 60; ++i) {
        const Place place = random_place(random, trial);
        const double high_m = place.deep_m + trial.conditions.water.high_m + boat.hull.bow_roller_m;
        const double low_m = place.shoal_m + trial.conditions.water.low_m + boat.hull.bow_roller_m;
        for (const Way way : all_ways) {
            const WayDetail detail = tables.detail(way, place.shoal_m, place.deep_m);
            const WayNeeds needs = detail.needs;
            SCOPED_TRACE(std::string(name(way)) + " shoal " + std::to_string(place.shoal_m) + " deep " +
                         std::to_string(place.deep_m));
            const double ratio = way == Way::full ? boat.policy.scope : boat.policy.short_scope;
            ASSERT_GE(needs.rode_m, ratio * high_m - 1e-5 * high_m);
            if (needs.out == WayNeeds::Out::rode) {
                ASSERT_GT(needs.rode_m, boat.rode.aboard_m() - 1e-3);
                continue;
            }
            ASSERT_LE(needs.rode_m, boat.rode.aboard_m() + 1e-3);
            // The angle at high water, by forward statics.
            const RodeState high = rode_state(pull_n, high_m, parts_of(boat, way, detail, Stretch::least));
            ASSERT_LE(high.angle_deg, boat.policy.pull_angle_deg + 1e-3);
            // One mark less would not do, unless the sinker hangs elsewhere on it.
            if (way != Way::sinker && needs.rode_m > boat.rode.mark_m * 1.01f &&
                needs.rode_m < boat.rode.aboard_m()) {
                const double less_m = static_cast<double>(needs.rode_m) - boat.rode.mark_m;
                const bool too_short = less_m < ratio * high_m + 1e-6;
                ASSERT_TRUE(
                    too_short ||
                    rode_state(pull_n, high_m, rode_parts(boat.rode, less_m, std::nullopt, Stretch::least))
                            .angle_deg > boat.policy.pull_angle_deg - 1e-3);
            }
            // The reach at low water, by forward statics; the table takes that of its bin's lower edge. A
            // hair for the rode's own last digit as a float.
            const auto stretched = parts_of(boat, way, detail, Stretch::as_aboard);
            const RodeState low = rode_state(pull_n, low_m, stretched);
            const double reach_m = way == Way::full ? detail.taut_reach_m : low.reach_m;
            ASSERT_GE(needs.radius_m, reach_m + allowances_m - 2e-5);
            const double edge_m = std::max(1e-3, low_m - tables.radius_step_m(place.deep_m - place.shoal_m));
            const double edge_reach_m =
                way == Way::full
                    ? tables.detail(way, place.shoal_m - (low_m - edge_m), place.deep_m).taut_reach_m
                    : rode_state(pull_n, edge_m, stretched).reach_m;
            ASSERT_LE(needs.radius_m, edge_reach_m + allowances_m + 0.1) << "0.1: what nesting may add";
            ASSERT_GE(needs.radius_m, low.reach_m + allowances_m - 2e-5)
                << "the planned wind keeps her inside";
            ASSERT_GE(needs.ground_m, needs.rode_m - low_m + allowances_m - boat.hull.length_m - 1e-4);
            ASSERT_LE(needs.radius_m, tables.greatest_radius_m());
            ASSERT_LE(needs.ground_m, tables.greatest_radius_m());
            ASSERT_GE(needs.radius_m, tables.least_radius_m());
            ASSERT_LE(place.deep_m, tables.greatest_depth_m() + 1e-9);
        }
    }
}

TEST_P(RandomBoats, TheWaysNest) {
    std::mt19937_64 random(GetParam());
    const Trial trial = random_trial(random);
    const TackleTables tables(trial.boat, trial.conditions, trial.uncertainty_m);
    for (int i = 0; i < 300; ++i) {
        const Place place = random_place(random, trial);
        const WayNeeds full = tables.needs(Way::full, place.shoal_m, place.deep_m),
                       shorter = tables.needs(Way::short_scope, place.shoal_m, place.deep_m),
                       sinker = tables.needs(Way::sinker, place.shoal_m, place.deep_m);
        SCOPED_TRACE("shoal " + std::to_string(place.shoal_m) + " deep " + std::to_string(place.deep_m));
        for (const auto& [inner, outer] : {std::pair(shorter, full), {sinker, shorter}}) {
            if (outer.out != WayNeeds::Out::none) continue;
            ASSERT_EQ(inner.out, WayNeeds::Out::none);
            ASSERT_LE(inner.rode_m, outer.rode_m);
            ASSERT_LE(inner.radius_m, outer.radius_m);
            ASSERT_LE(inner.ground_m, outer.ground_m);
        }
    }
}

TEST_P(RandomBoats, RodeGrowsWithTheDeepSideAndRadiusFallsWithTheShoalSide) {
    std::mt19937_64 random(GetParam());
    const Trial trial = random_trial(random);
    const TackleTables tables(trial.boat, trial.conditions, trial.uncertainty_m);
    for (int i = 0; i < 200; ++i) {
        const Place place = random_place(random, trial);
        const double up_m = uniform(random, 0, place.deep_m - place.shoal_m);
        for (const Way way : all_ways) {
            const WayNeeds needs = tables.needs(way, place.shoal_m, place.deep_m);
            const WayNeeds less_known = tables.needs(way, place.shoal_m, place.deep_m - up_m);
            const WayNeeds shoal_up = tables.needs(way, place.shoal_m + up_m, place.deep_m);
            ASSERT_LE(less_known.rode_m, needs.rode_m);
            if (needs.out != WayNeeds::Out::none) continue;
            ASSERT_EQ(shoal_up.rode_m, needs.rode_m);
            ASSERT_LE(shoal_up.radius_m, needs.radius_m);
            ASSERT_LE(shoal_up.ground_m, needs.ground_m);
        }
    }
}

// Against tables whose anchor holds whatever pulls: what room and angle alone allow.
TEST_P(RandomBoats, ARodeServesThePlacesThatTakeItAndSaysWhatTheyNeed) {
    std::mt19937_64 random(GetParam());
    const Trial trial = random_trial(random);
    const TackleTables tables(trial.boat, trial.conditions, trial.uncertainty_m);
    for (int i = 0; i < 300; ++i) {
        const Place here = random_place(random, trial), there = random_place(random, trial);
        for (const Way way : all_ways) {
            if (!tables.has_rode(way, here.deep_m) || !tables.has_rode(way, there.deep_m)) continue;
            const SameRode rode = tables.rode_for(way, here.deep_m);
            const WayNeeds expected = tables.needs(way, there.shoal_m, there.deep_m);
            const bool same = expected.row == tables.needs(way, here.shoal_m, here.deep_m).row;
            if (rode.serves(there.deep_m) != 0) {
                ASSERT_TRUE(same);
                const WayNeeds needs = rode.needs(there.shoal_m);
                ASSERT_EQ(needs.rode_m, expected.rode_m);
                ASSERT_EQ(needs.radius_m, expected.radius_m);
                ASSERT_EQ(needs.ground_m, expected.ground_m);
            } else {
                ASSERT_FALSE(same);
            }
        }
    }
}

TEST_P(RandomBoats, WindLimitByRoomAloneIsThatOfAnAnchorThatHoldsAnything) {
    std::mt19937_64 random(GetParam() + 500);
    const Trial trial = random_trial(random);
    Boat unrated = trial.boat;
    unrated.rode.rope_m = 0; // how far rope stretches depends on the holding
    if (unrated.rode.chain_m < 30) unrated.rode.chain_m = 30;
    unrated.anchor.holding_n = {};
    Boat held = unrated;
    held.anchor.holding_n.fill(1e12);
    const TackleTables tables(unrated, trial.conditions, trial.uncertainty_m);
    const TackleTables of_held(held, trial.conditions, trial.uncertainty_m);
    ASSERT_EQ(tables.limit_by(Seabed::unknown), LimitBy::room);
    ASSERT_EQ(of_held.limit_by(Seabed::sand), LimitBy::holding);
    EXPECT_EQ(tables.sure_wind_limit_kn(Seabed::sand), trial.conditions.wind_kn);
    int limits = 0;
    for (int i = 0; i < 100; ++i) {
        const Place place = random_place(random, trial);
        for (const Way way : all_ways) {
            const WayNeeds needs = tables.needs(way, place.shoal_m, place.deep_m);
            if (needs.out != WayNeeds::Out::none) continue;
            const double room_m = static_cast<double>(needs.radius_m) * uniform(random, 0.6, 1.1);
            const auto limit_kn = [&](const TackleTables& of) {
                return of.wind_limit_kn(way, place.shoal_m, place.deep_m, room_m, Seabed::sand);
            };
            ASSERT_EQ(limit_kn(tables), limit_kn(of_held)) << name(way) << " room " << room_m;
            limits += limit_kn(tables) > 0 ? 1 : 0;
            if (room_m < static_cast<double>(needs.radius_m)) continue;
            ASSERT_EQ(tables.fitting_wind_limit_kn(way, place.shoal_m, place.deep_m, room_m, Seabed::sand),
                      limit_kn(of_held));
            ASSERT_GE(static_cast<double>(limit_kn(tables)), trial.conditions.wind_kn - 1e-4)
                << "a place that is a yes bears the planned wind by its room";
        }
    }
    RecordProperty("limits", limits);
}

// Reaches are found as they are asked for: in whatever order, and from several threads at once.
TEST_P(RandomBoats, WindLimitDoesNotDependOnWhatWasAskedBefore) {
    std::mt19937_64 random(GetParam() + 1300);
    const Trial trial = random_trial(random);
    std::vector<std::pair<Place, double>> asked; // and the room, by the radius
    for (int i = 0; i < 60; ++i) {
        const Place place = random_place(random, trial);
        asked.emplace_back(place, uniform(random, 0.6, 1.1));
    }
    const auto limits_kn = [&](const TackleTables& tables) {
        std::vector<float> limits;
        for (const auto& [place, part] : asked) {
            for (const Way way : all_ways) {
                const WayNeeds needs = tables.needs(way, place.shoal_m, place.deep_m);
                limits.push_back(tables.wind_limit_kn(way, needs, place.shoal_m, place.deep_m,
                                                      part * static_cast<double>(needs.radius_m),
                                                      Seabed::sand));
            }
        }
        return limits;
    };
    const TackleTables tables(trial.boat, trial.conditions, trial.uncertainty_m);
    const std::vector<float> first = limits_kn(tables);
    EXPECT_EQ(limits_kn(tables), first) << "asked again";
    const TackleTables together(trial.boat, trial.conditions, trial.uncertainty_m);
    std::vector<float> here, there;
    {
        const std::jthread helper([&] { there = limits_kn(together); });
        here = limits_kn(together);
    }
    EXPECT_EQ(here, first);
    EXPECT_EQ(there, first);
    std::reverse(asked.begin(), asked.end());
    const TackleTables backwards(trial.boat, trial.conditions, trial.uncertainty_m);
    const std::vector<float> last = limits_kn(backwards);
    for (std::size_t i = 0; i < asked.size(); ++i) {
        const std::size_t mirrored = asked.size() - 1 - i;
        for (std::size_t way = 0; way < all_ways.size(); ++way) {
            ASSERT_EQ(last[mirrored * all_ways.size() + way], first[i * all_ways.size() + way]) << i;
        }
    }
}

// What is taken for certain, so that a limit need not be looked for, is never more than what is found.
TEST_P(RandomBoats, WindLimitOfAWayThatFitsIsNoLessThanTheSureOne) {
    std::mt19937_64 random(GetParam() + 900);
    const Trial trial = random_trial(random);
    const TackleTables tables(trial.boat, trial.conditions, trial.uncertainty_m);
    for (int i = 0; i < 100; ++i) {
        const Place place = random_place(random, trial);
        for (const Way way : all_ways) {
            const WayNeeds needs = tables.needs(way, place.shoal_m, place.deep_m);
            if (needs.out != WayNeeds::Out::none) continue;
            const double room_m = static_cast<double>(needs.radius_m) * uniform(random, 1, 1.2);
            for (std::size_t slot = 0; slot < seabed_names.size(); ++slot) {
                const auto seabed = static_cast<Seabed>(slot);
                const float limit_kn = tables.wind_limit_kn(way, place.shoal_m, place.deep_m, room_m, seabed);
                ASSERT_GE(limit_kn, narrow_down(tables.sure_wind_limit_kn(seabed))) << name(way);
            }
        }
    }
}

// Places are drawn between bounds that some of them meet: what is said of all is so of each.
TEST_P(RandomBoats, NeedsAndWindLimitsOfPlacesAreWithinWhatIsSaidOfAllOfThem) {
    std::mt19937_64 random(GetParam() + 1700);
    const Trial trial = random_trial(random);
    const TackleTables tables(trial.boat, trial.conditions, trial.uncertainty_m);
    int looked_at = 0;
    for (int i = 0; i < 60; ++i) {
        const Place first = random_place(random, trial);
        const double apart_m = uniform(random, 0, 1) < 0.5 ? uniform(random, 0, 0.2) : uniform(random, 0, 6);
        for (const Way way : all_ways) {
            std::vector<Place> places;
            for (int place = 0; place < 12; ++place) {
                const double down_m = uniform(random, 0, apart_m);
                places.push_back({first.shoal_m + down_m, first.deep_m + down_m});
                if (!tables.has_rode(way, places.back().deep_m)) places.pop_back();
            }
            if (places.empty()) continue;
            ++looked_at;
            DepthsBetween depths{1e6F, -1e6F, 1e6F, -1e6F};
            for (Place& place : places) {
                const auto shoal_m = static_cast<float>(place.shoal_m),
                           deep_m = static_cast<float>(place.deep_m);
                place = {shoal_m, deep_m};
                depths = {std::min(depths.least_shoal_m, shoal_m), std::max(depths.most_shoal_m, shoal_m),
                          std::min(depths.least_deep_m, deep_m), std::max(depths.most_deep_m, deep_m)};
            }
            const NeedsBetween between = tables.needs_between(way, depths);
            std::vector<double> rooms_m;
            for (const Place& place : places) {
                const WayNeeds needs = tables.needs(way, place.shoal_m, place.deep_m);
                ASSERT_GE(needs.rode_m, between.least_rode_m) << name(way);
                ASSERT_LE(needs.rode_m, between.most_rode_m) << name(way);
                ASSERT_GE(needs.radius_m, between.least_radius_m) << name(way);
                ASSERT_LE(needs.radius_m, between.most_radius_m) << name(way);
                ASSERT_GE(needs.ground_m, between.least_ground_m) << name(way);
                rooms_m.push_back(static_cast<double>(needs.radius_m) * uniform(random, 1, 1.2));
            }
            const double least_room_m = *std::min_element(rooms_m.begin(), rooms_m.end());
            for (std::size_t slot = 0; slot < seabed_names.size(); ++slot) {
                const auto seabed = static_cast<Seabed>(slot);
                const float least_kn = tables.least_wind_limit_kn(way, depths, least_room_m, seabed,
                                                                  TackleTables::greatest_wind_kn);
                for (std::size_t place = 0; place < places.size(); ++place) {
                    ASSERT_GE(tables.wind_limit_kn(way, places[place].shoal_m, places[place].deep_m,
                                                   rooms_m[place], seabed),
                              least_kn)
                        << name(way);
                }
            }
        }
    }
    RecordProperty("looked_at", looked_at);
}

TEST_P(RandomBoats, WindLimitTurnedForwardAgainFitsTheRoomAndLacksAtMostAKnot) {
    std::mt19937_64 random(GetParam());
    const Trial trial = random_trial(random);
    const Boat& boat = trial.boat;
    const TackleTables tables(boat, trial.conditions, trial.uncertainty_m);
    const double allowances_m =
        boat.hull.length_m + boat.policy.position_allowance_m + boat.policy.set_distance_m;
    for (int i = 0; i < 60; ++i) {
        const Place place = random_place(random, trial);
        const double high_m = place.deep_m + trial.conditions.water.high_m + boat.hull.bow_roller_m;
        const double low_m = place.shoal_m + trial.conditions.water.low_m + boat.hull.bow_roller_m;
        for (const Way way : all_ways) {
            const WayDetail detail = tables.detail(way, place.shoal_m, place.deep_m);
            if (detail.needs.out != WayNeeds::Out::none) continue;
            const double room_m = static_cast<double>(detail.needs.radius_m) * uniform(random, 0.6, 1.1);
            const Seabed seabed = random() % 2 == 0 ? Seabed::unknown : Seabed::sand;
            const double holding_n = *boat.anchor.holding_n[static_cast<std::size_t>(seabed)];
            const auto limit_kn =
                static_cast<double>(tables.wind_limit_kn(way, place.shoal_m, place.deep_m, room_m, seabed));
            SCOPED_TRACE(std::string(name(way)) + " room " + std::to_string(room_m) + " limit " +
                         std::to_string(limit_kn));
            const auto stretched = parts_of(boat, way, detail, Stretch::as_aboard);
            const auto angled = parts_of(boat, way, detail, Stretch::least);
            const auto fits = [&](double wind_kn, double placement_allowance_m) {
                const double pull_n = tables.loads().pull_n(wind_kn);
                return rode_state(pull_n, low_m, stretched).reach_m + allowances_m <=
                           room_m + placement_allowance_m &&
                       pull_n <= holding_n * (1 + 1e-9) + placement_allowance_m &&
                       (wind_kn <= trial.conditions.wind_kn + 1e-6 ||
                        rode_state(pull_n, high_m, angled).angle_deg <= boat.policy.pull_angle_deg + 1e-3);
            };
            if (limit_kn > 0) {
                ASSERT_TRUE(fits(limit_kn, 1e-6));
            }
            // A knot more is too much for something.
            const double pull_n = tables.loads().pull_n(limit_kn + 1.001);
            if (limit_kn < TackleTables::greatest_wind_kn - 1) {
                ASSERT_TRUE(rode_state(pull_n, low_m, stretched).reach_m + allowances_m > room_m ||
                            pull_n > holding_n ||
                            rode_state(pull_n, high_m, angled).angle_deg > boat.policy.pull_angle_deg);
            }
            // More room never lowers it, and a place that is a yes bears the planned wind if the anchor does.
            ASSERT_GE(tables.wind_limit_kn(way, place.shoal_m, place.deep_m, room_m + 1, seabed), limit_kn);
            if (room_m >= static_cast<double>(detail.needs.radius_m)) {
                ASSERT_GE(limit_kn,
                          std::min(trial.conditions.wind_kn, tables.holding_limit_kn(seabed)) - 1e-4);
            }
        }
    }
}

TEST_P(RandomBoats, AHeavierSinkerNeverLengthensTheRode) {
    std::mt19937_64 random(GetParam());
    Trial trial = random_trial(random);
    const TackleTables light(trial.boat, trial.conditions, trial.uncertainty_m);
    trial.boat.sinker->mass_kg *= 1.5;
    const TackleTables heavy(trial.boat, trial.conditions, trial.uncertainty_m);
    for (int i = 0; i < 200; ++i) {
        const Place place = random_place(random, trial);
        ASSERT_LE(heavy.needs(Way::sinker, place.shoal_m, place.deep_m).rode_m,
                  light.needs(Way::sinker, place.shoal_m, place.deep_m).rode_m);
    }
}

TEST_P(RandomBoats, TheBestPlaceOfASinkerLeavesNoMoreReachThanAnyThatServesTheSameSpan) {
    std::mt19937_64 random(GetParam());
    Trial trial = random_trial(random);
    trial.boat.sinker->at = Sinker::At::best;
    trial.boat.sinker->line_m = uniform(random, 3, 30);
    const Tackle tackle(trial.boat, trial.conditions);
    for (double rode_m = 10; rode_m <= trial.boat.rode.aboard_m(); rode_m += 7) {
        const double best_m = tackle.sinker_from_bow_m(Way::sinker, rode_m);
        const double span_m = tackle.span_limit_m(Way::sinker, rode_m, best_m);
        const auto reach_m = [&](double at_m) {
            return rode_state(tackle.planned_pull_n(), span_m,
                              tackle.parts(Way::sinker, rode_m, at_m, Stretch::none))
                .reach_m;
        };
        if (!(span_m < rode_m)) continue; // it hangs up and down
        const double farthest_m = std::min(trial.boat.sinker->line_m, rode_m);
        constexpr int places = 300;
        for (int i = 0; i <= places; ++i) {
            const double at_m = farthest_m * i / places;
            if (tackle.span_limit_m(Way::sinker, rode_m, at_m) < span_m) continue;
            ASSERT_LE(reach_m(best_m), reach_m(at_m) + 0.0005) << rode_m << " m, sinker at " << at_m;
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Seeds, RandomBoats, testing::Range<std::uint64_t>(0, 40));

/// Processor time, which a busy machine does not stretch.
double seconds(const auto& work) {
    const std::clock_t start = std::clock();
    work();
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

/// How long this machine takes for thirty million steps of a catenary's arithmetic: about a third of a
/// second.
double yardstick_s() {
    return seconds([] {
        double sum = 0;
        for (int i = 1; i <= 30'000'000; ++i) {
            sum += std::asinh(std::sqrt(static_cast<double>(i)));
        }
        volatile double kept = sum;
        static_cast<void>(kept);
    });
}

TEST(TackleTables, AreMadeInSomeTenthsOfASecondForAHardBoatToo) {
    // 300 m of rode with a mark at every metre, in water known to 10 m.
    Boat boat = yacht();
    boat.rode = {100, 2.2, 200, nylon_kg_per_m(14), nylon_stiffness_n(14, RopeMake::laid), 1};
    boat.sinker->at = Sinker::At::best;
    boat.sinker->line_m = 40;
    boat.policy.short_scope = 2;
    // Where the angle may be more than none, a rope's stretch makes it harder to bound.
    Boat steep = boat;
    boat.name = "hard";
    steep.name = "steep";
    steep.rode.rope_stiffest_n = steep.rode.rope_stiffness_n / 4;
    steep.policy.pull_angle_deg = 12;
    for (const Boat& each : {yacht(), boat, steep}) {
        std::optional<TackleTables> tables;
        const double lie_s = seconds([&] { tables.emplace(each, Conditions{{0.6, 4.2}, 20, 1}, 10); });
        const double wind_s =
            seconds([&] { static_cast<void>(tables->wind_limit_kn(Way::full, 5, 6, 60, Seabed::sand)); });
        RecordProperty("making_" + each.name, std::to_string(lie_s) + " s, wind limits " +
                                                  std::to_string(wind_s) + " s, yardstick " +
                                                  std::to_string(yardstick_s()) + " s");
#if defined(NDEBUG) && !defined(__SANITIZE_ADDRESS__)
        EXPECT_LT(lie_s + wind_s, 2 * yardstick_s());
#endif
    }
}

// The worst that a band may say of every cell, and what a chart's letter says of an ocean: the bins stay fine
// where the depth is well known, and where it is not are never wide beside that.
TEST(TackleTables, StayFineAndQuicklyMadeForAVeryLongRodeInWaterOfVeryUncertainDepth) {
    Boat boat = yacht();
    boat.rode = {300, 2.2, 300, nylon_kg_per_m(14), nylon_stiffness_n(14, RopeMake::laid), 0.5};
    boat.sinker->at = Sinker::At::best;
    boat.sinker->line_m = 30;
    for (const double uncertainty_m : {50.0, 620.0}) {
        std::optional<TackleTables> tables;
        const double lie_s = seconds([&] {
            tables.emplace(boat, Conditions{{0.4, 3.2}, 20, 0}, uncertainty_m);
        });
        const double wind_s =
            seconds([&] { static_cast<void>(tables->wind_limit_kn(Way::full, 5, 6, 60, Seabed::sand)); });
        EXPECT_LE(tables->radius_step_m(0), 0.1);
        EXPECT_LE(tables->wind_step_kn(), 4);
        for (double apart_m = 1; apart_m < 200; apart_m *= 1.3) {
            EXPECT_LE(tables->radius_step_m(apart_m), 0.1 + (apart_m + boat.rode.mark_m) / 8);
            const WayNeeds near = tables->needs(Way::full, 110 - apart_m / 2, 110),
                           far = tables->needs(Way::full, 110 - apart_m, 110);
            EXPECT_LE(near.radius_m, far.radius_m);
        }
#if defined(NDEBUG) && !defined(__SANITIZE_ADDRESS__)
        // Machines differ: by one that needs a third of a second for the yardstick, three tenths each.
        EXPECT_LT(lie_s + wind_s, 2 * yardstick_s());
#endif
    }
    EXPECT_LE(TackleTables(yacht(), {{0.4, 3.2}, 20, 0}, 3).radius_step_m(), 0.1);
}

TEST(TackleTables, ManyThreadsMayAskForWindLimitsAtOnce) {
    const TackleTables tables(yacht(), {{0, 3}, 20, 0}, 1);
    std::array<float, 8> limits{};
    std::vector<std::thread> threads;
    for (float& limit : limits) {
        threads.emplace_back([&] { limit = tables.wind_limit_kn(Way::short_scope, 5, 6, 50, Seabed::sand); });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    for (const float limit : limits) {
        EXPECT_EQ(limit, limits.front());
    }
    EXPECT_GT(limits.front(), 0);
}

// Anchor and chain hanging, in water alone and with 1.2 m of chain in air: D = (anchor + chain depth) g
// 0.869427 (+ chain freeboard g).
TEST(HangingLoad, ByDepth) {
    Boat boat = yacht();
    boat.hull.bow_roller_m = 1.2;
    const TackleTables tables(boat, {{0, 0}, 20, 0}, 0);
    EXPECT_NEAR(tables.hanging_load_n(5), 332.83, 5e-3);
    EXPECT_NEAR(tables.hanging_load_n(10), 426.62, 5e-3);
    EXPECT_NEAR(tables.hanging_load_n(20), 614.19, 6e-3);
    EXPECT_NEAR(tables.hanging_load_n(30), 801.77, 5e-3);
    const TackleTables tide(boat, {{0, 10}, 20, 0}, 0);
    EXPECT_NEAR(tide.hanging_load_n(20), 801.77, 5e-3) << "at high water";
    // Below the end of the chain only rope is added.
    boat.rode.chain_m = 10;
    boat.rode.rope_m = 50;
    boat.rode.rope_kg_per_m = 0.12;
    boat.rode.rope_stiffness_n = 1e5;
    const TackleTables mixed(boat, {{0, 0}, 20, 0}, 0);
    EXPECT_NEAR(mixed.hanging_load_n(30) - mixed.hanging_load_n(20), in_water_n(1.2, nylon_kg_per_m3), 1e-9);
}

TEST(HangingLoad, TurnedRoundIsTheWindlassDepth) {
    Boat boat = yacht();
    boat.windlass_rated_pull_n = 500;
    boat.recovery_depth_m = 8;
    const TackleTables tables(boat, {{0, 4}, 20, 0}, 0);
    EXPECT_NEAR(tables.hanging_load_n(tables.windlass_depth_m() - 4), 500, 1e-6);
    EXPECT_EQ(tables.recovery_depth_m(), 8);
    boat.windlass_rated_pull_n = 0;
    boat.recovery_depth_m = 0;
    const TackleTables none(boat, {{0, 4}, 20, 0}, 0);
    EXPECT_TRUE(std::isinf(none.windlass_depth_m()));
    EXPECT_TRUE(std::isinf(none.recovery_depth_m()));
}

// Straight up and down at high tide and a metre for waves: 5.0 + 3.2 -> 9.2 m.
TEST(TripLine, IsTheDepthAtHighWaterAndAMetre) {
    EXPECT_DOUBLE_EQ(TackleTables(yacht(), {{0, 3.2}, 20, 0}, 0).trip_line_m(5), 9.2);
}

} // namespace
} // namespace swingroom
