#include "swingroom/overlay/anchorages.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/room/why_not.hpp"

#include "support/overlay_scene.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;

/// Puts together what blocks count of the anchorages.
struct AnchorageCounter final : Recorder {
    using Recorder::Recorder;
    void block(const BlockAnswers& answers) override {
        Recorder::block(answers);
        const std::lock_guard lock(mutex);
        for (const AnchoragePart& part : answers.anchorages) {
            anchorages[part.anchorage].add(part.tally);
        }
    }
    std::map<std::size_t, Tally> anchorages;
};

/// A box of an anchorage, in grid space.
struct Area {
    double x, y, width, height;
};

Hazard anchorage_of(const std::string& label, const std::vector<Area>& areas) {
    Hazard h;
    h.effects = effect::anchorage;
    h.kind = "charted anchorage";
    h.label = label;
    h.margin_m = 40;              // of a berth's radius ...
    h.placement_allowance_m = 25; // ... and how surely it is placed: neither is a part of it
    for (const Area& area : areas) {
        h.rings.push_back(box(area.x, area.y, area.width, area.height));
    }
    return h;
}

struct Anchored : testing::TestWithParam<std::uint64_t> {
    static constexpr int cols = 90, rows = 80;
    OverlayScene scene = random_overlay_scene(GetParam(), cols, rows);
    /// What each is made of: boxes, a point as one without extent.
    std::vector<std::vector<Area>> made;

    Anchored() {
        Dice dice(GetParam() + 7000);
        std::vector<Hazard> hazards = scene.hazards->hazards();
        const auto somewhere = [&] {
            return Area{dice.between(-10, cols), dice.between(-10, rows), dice.between(0.3, 40),
                        dice.between(0.3, 40)};
        };
        for (int i = 0; i < 4; ++i) {
            made.push_back({somewhere()});
            hazards.push_back(anchorage_of("ACHARE #" + std::to_string(i), made.back()));
        }
        made.push_back({somewhere(), somewhere()}); // of two hazards that are one feature and may overlap
        hazards.push_back(anchorage_of("ACHARE #9", {made.back()[0]}));
        hazards.push_back(anchorage_of("ACHARE #9", {made.back()[1]}));
        const Area point{dice.between(1, cols - 1), dice.between(1, rows - 1), 0, 0};
        made.push_back({point});
        Hazard berth = hazard(static_cast<Effects>(effect::anchorage | effect::warn), 80,
                              {{point.x, point.y}}, "ship berth", "ACHBRT #1");
        hazards.push_back(std::move(berth));
        made.push_back({{-50, -50, 20, 20}}); // beside the window
        hazards.push_back(anchorage_of("ACHARE #outside", made.back()));
        scene.hazards =
            std::make_unique<HazardField>(std::move(hazards), scene.depths->grid().extent(), scene.metric);
    }
    [[nodiscard]] bool touches(std::size_t anchorage, int col, int row) const {
        const std::vector<Area>& areas = made[anchorage];
        return std::any_of(areas.begin(), areas.end(), [&](const Area& a) {
            return a.x <= col + 1 && a.x + a.width >= col && a.y <= row + 1 && a.y + a.height >= row;
        });
    }
};

// Where the sea is prepared farther around than a boat would ask for, hers are numbered as in a run of her
// own.
TEST_P(Anchored, AreCountedByTheirPlacesAmongTheHazardsOfEachBoat) {
    const std::vector<Hazard>& all = scene.hazards->hazards();
    std::vector<Hazard> own; // without the first anchorage
    std::copy_if(all.begin(), all.end(), std::back_inserter(own),
                 [](const Hazard& h) { return h.label != "ACHARE #0"; });
    const HazardField of_her(own, scene.depths->grid().extent(), scene.metric);
    const OverlayJob job = scene.job();
    AnchorageCounter of_sea(job.window), hers(job.window);
    const std::vector<BoatJob> boats = {{job.tables, job.wanted, &of_sea},
                                        {job.tables, job.wanted, &hers, nullptr, nullptr, &of_her}};
    run_overlay(job, boats, 32, 2, {});
    for (std::size_t at = 1; at < made.size(); ++at) {
        SCOPED_TRACE("anchorage " + std::to_string(at));
        ASSERT_EQ(of_sea.anchorages.contains(at), hers.anchorages.contains(at - 1));
        if (!of_sea.anchorages.contains(at)) continue;
        EXPECT_EQ(of_sea.anchorages.at(at).surveyed().cells, hers.anchorages.at(at - 1).surveyed().cells);
        EXPECT_EQ(of_sea.anchorages.at(at).yes().cells, hers.anchorages.at(at - 1).yes().cells);
    }
    EXPECT_FALSE(hers.anchorages.contains(made.size() - 1));
}

// Against a look at every cell of the layers, which of them the boxes touch by their corners alone.
TEST_P(Anchored, AreCountedCellByCellWhateverTheBlocksAndTheThreads) {
    std::vector<std::string> labels;
    for (const ChartedAnchorage& anchorage : charted_anchorages(*scene.hazards)) {
        labels.push_back(anchorage.label);
        EXPECT_EQ(anchorage.is_point, anchorage.label == "ACHBRT #1") << anchorage.label;
    }
    EXPECT_THAT(labels, testing::ElementsAre("ACHARE #0", "ACHARE #1", "ACHARE #2", "ACHARE #3", "ACHARE #9",
                                             "ACHBRT #1", "ACHARE #outside"));
    for (const auto& [block, threads] : {std::pair(1000, 1), std::pair(23, 2), std::pair(64, 3)}) {
        for (const Window window : {Window{0, 0, cols, rows}, Window{11, 7, 60, 41}}) {
            OverlayJob job = scene.job();
            job.window = window;
            job.block = block;
            job.threads = threads;
            AnchorageCounter counted(scene.depths->grid().extent());
            run_overlay(job, counted, {});
            for (std::size_t at = 0; at < made.size(); ++at) {
                SCOPED_TRACE("anchorage " + std::to_string(at) + ", blocks of " + std::to_string(block));
                std::array<std::int64_t, verdict_phrases.size()> by_verdict{};
                std::array<std::int64_t, why_not_count> by_reason{};
                std::int64_t cells = 0;
                for (int row = window.row; row < window.row_end(); ++row) {
                    for (int col = window.col; col < window.col_end(); ++col) {
                        if (!touches(at, col, row)) continue;
                        ++cells;
                        const auto verdict =
                            static_cast<Verdict>(counted.all.plane<Layer::verdict>().at(col, row));
                        ++by_verdict[static_cast<std::size_t>(verdict)];
                        if (verdict != Verdict::no) continue;
                        const auto why = leading_reason(counted.all.plane<Layer::reasons>().at(col, row));
                        ASSERT_TRUE(why.has_value());
                        ++by_reason[static_cast<std::size_t>(*why)];
                    }
                }
                ASSERT_EQ(counted.anchorages.contains(at), cells > 0);
                if (cells == 0) continue;
                const Tally& tally = counted.anchorages.at(at);
                for (std::size_t i = 0; i < by_verdict.size(); ++i) {
                    ASSERT_EQ(tally.by_verdict[i].cells, by_verdict[i]) << "verdict " << i;
                }
                for (std::size_t i = 0; i < by_reason.size(); ++i) {
                    ASSERT_EQ(tally.no_by_reason[i].cells, by_reason[i]) << why_not_names[i].name;
                }
                const Covered surveyed = tally.surveyed(), none = tally.of(Verdict::unsurveyed);
                const CellSize cell = scene.metric.at(0);
                ASSERT_NEAR(surveyed.area_m2 + none.area_m2,
                            static_cast<double>(cells) * cell.dx_m * cell.dy_m, 1e-6);
                if (made[at][0].width == 0) {
                    ASSERT_EQ(cells, 1) << "a point is in one cell";
                }
            }
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Seeds, Anchored, testing::Range<std::uint64_t>(0, 6));

} // namespace
} // namespace swingroom
