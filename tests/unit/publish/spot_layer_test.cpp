// What a tide adds to the layer of drop points, and that nothing is added without one.

#include "publish/vector/spot_layer.hpp"
#include "support/boats.hpp"
#include "support/tides.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>
#include <set>
#include <string>

namespace swingroom {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using testing::ScratchFolder;
using ::testing::StartsWith;

/// The boat is one by whose file nobody knows how deep the transducer is, unless it is given.
struct Trial {
    StayTide tide = testing_support::made_tide();
    TackleTables tables;
    OverlayJob job;

    explicit Trial(bool with_tide, std::optional<double> transducer_m = std::nullopt)
        : tables(boat(transducer_m), {tide.stay.levels(), 10, 0}, 1.0) {
        job.tables = &tables;
        if (with_tide) job.tide = &tide;
    }
    static Boat boat(std::optional<double> transducer_m) {
        Boat boat = testing_support::read_trial_boat(testing_support::trial_boats().front());
        boat.sounder.transducer_m = transducer_m;
        return boat;
    }
};

/// A drop point by the sounder, which needs 1.52 m above chart datum.
PositionReport place() {
    PositionReport spot;
    spot.centre = {5, 53};
    spot.answer.verdict = Verdict::full_by_sounder;
    spot.facts.shoal_m = 4.0F;
    spot.facts.deep_m = 9.0F;
    spot.levels.low_m = 0.2;
    spot.reach_m = 100;
    WayAtPosition at;
    at.detail.needs.sounder_limit_m = 6.25F;
    at.level_needed_m = 1.52;
    spot.ways = {at};
    return spot;
}

/// The properties of the one feature of a layer that was written.
CPLJSONObject properties_of(const Trial& run, const char* layer = "spots") {
    const ScratchFolder folder;
    SpotLayer spots(folder.path(), run.job, {}, 1, {}, true);
    PlaceMerits merits;
    merits.verdict = Verdict::full_by_sounder;
    spots.add(place(), merits);
    spots.finish();
    CPLJSONDocument document;
    EXPECT_TRUE(document.Load(folder / (std::string(layer) + ".geojson")));
    return document.GetRoot().GetArray("features")[0].GetObj("properties");
}

std::set<std::string> names_of(const CPLJSONObject& properties) {
    std::set<std::string> names;
    for (const CPLJSONObject& child : properties.GetChildren()) {
        names.insert(child.GetName());
    }
    return names;
}

TEST(SpotLayer, HasColumnsOfTheWaterWithATideAlone) {
    std::set<std::string> more = names_of(properties_of(Trial(true)));
    for (const std::string& name : names_of(properties_of(Trial(false)))) {
        EXPECT_EQ(more.erase(name), 1U) << name;
    }
    EXPECT_THAT(more,
                ElementsAre("afloat", "hours_afloat", "level_needed_m", "on_arrival", "sounder_on_arrival",
                            "sounder_on_arrival_greatest_m", "sounder_on_arrival_least_m",
                            "sounder_on_arrival_limit_m", "sounder_on_arrival_predicted_m", "transducer_m"));
    EXPECT_EQ(names_of(properties_of(Trial(true), "circles")),
              names_of(properties_of(Trial(false), "circles")));
}

TEST(SpotLayer, TellsTheWaterOfAPlace) {
    const Trial run(true, 0.6);
    const CPLJSONObject spot = properties_of(run);
    const Stay& stay = run.tide.stay;
    EXPECT_EQ(spot.GetDouble("level_needed_m"), 1.6) << "rounded up, its windows are those of 1.52 m";
    EXPECT_EQ(spot.GetString("afloat"), afloat_text(stay, 1.52, run.tide.zone));
    EXPECT_LE(spot.GetDouble("hours_afloat"), stay.hours_afloat(1.52));
    EXPECT_GT(spot.GetDouble("hours_afloat"), stay.hours_afloat(1.52) - 0.1);
    const LevelBounds level = stay.at(stay.arrive());
    EXPECT_NEAR(spot.GetDouble("sounder_on_arrival_predicted_m"),
                6.5 + run.tide.curve->height_m(stay.arrive()) - 0.6, 0.05001);
    EXPECT_EQ(spot.GetDouble("transducer_m"), 0.6);
    EXPECT_EQ(properties_of(Trial(true)).GetObj("transducer_m").GetType(), CPLJSONObject::Type::Null)
        << "nobody says: what is told are depths of the water";
    EXPECT_NEAR(spot.GetDouble("sounder_on_arrival_least_m"), 4 + level.least_m - 0.6, 0.1);
    EXPECT_NEAR(spot.GetDouble("sounder_on_arrival_greatest_m"), 9 + level.greatest_m - 0.6, 0.1);
    EXPECT_LE(spot.GetDouble("sounder_on_arrival_limit_m"),
              sounder_may_show_m(6.25, level, run.tables.boat()));
    EXPECT_THAT(spot.GetString("on_arrival"), StartsWith("On arrival, 2026-12-24 15:30 UTC+01:00, "));
    EXPECT_THAT(spot.GetString("on_arrival"), HasSubstr("Let go then only where it shows no more than "));
}

// What stands beside the low water of 0.15 m is what the sounder shows, not the depth of the water.
TEST(SpotLayer, TakesTheTransducersDepthOffWhatTheSounderShows) {
    for (const char* layer : {"spots", "circles"}) {
        EXPECT_EQ(properties_of(Trial(false), layer).GetDouble("sounder_at_low_water_m"), 6.4);
        EXPECT_EQ(properties_of(Trial(false, 0.0), layer).GetDouble("sounder_at_low_water_m"), 6.4);
        const CPLJSONObject deeper = properties_of(Trial(false, 0.6), layer);
        EXPECT_EQ(deeper.GetDouble("sounder_at_low_water_m"), 5.8);
        EXPECT_THAT(deeper.GetString("condition"), HasSubstr("shows no more than 5.8 m at low water"));
    }
}

} // namespace
} // namespace swingroom
