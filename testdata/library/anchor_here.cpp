// Depths from an array and one hazard in, verdicts and all about one spot out. Usage: anchor_here BOAT.ini
#include <swingroom/overlay/overlay.hpp>
#include <swingroom/report/spot_report.hpp>
#include <swingroom/sea/bathymetry.hpp>

#include <algorithm>
#include <iostream>

using namespace swingroom;
struct Verdicts final : OverlaySink { // keeps what the run decides
    Plane<std::uint8_t> plane;
    void block(const BlockAnswers& answers) override { plane = answers.plane<Layer::verdict>(); }
    void zone(Zone&&) override {}
};

int main(int, char** arguments) {
    // 60 x 40 cells of 8 m: 7 m deep, land to the west. y points north, so rows go down.
    const Grid grid{60, 40, 500000, 5314000, 8, -8, horizontal_crs_wkt("EPSG:32625", "depths")};
    std::vector<float> depth_m(60 * 40, 7.0F);
    for (auto row = depth_m.begin(); row != depth_m.end(); row += 60) std::fill_n(row, 10, -2.0F);
    const auto depths = memory_bathymetry(grid, depth_m, DepthUncertainty::constant(0.3));
    Hazard wreck;
    wreck.effects = effect::hull | effect::ground;
    wreck.margin_m = 50;
    wreck.paths = {{{45, 10}}}; // in columns and rows
    wreck.kind = wreck.label = "wreck";
    const GroundMetric metric = ground_metric(grid, "depths");
    const HazardField hazards({wreck}, grid.extent(), metric);
    const TackleTables tables(read_boat_file(arguments[1]), {{0.5, 2.5}, 15, 0}, 0.3); // levels, wind, current
    const OverlayJob job{{depths.get(), &metric, &hazards, grid.extent()}, &tables};
    Verdicts verdicts;
    run_overlay(job, verdicts, {});
    for (int row = 0; row < grid.rows; row += 2, std::cout << '\n') {
        for (int col = 0; col < grid.cols; ++col) {
            std::cout << " .123"[verdicts.plane.at(col, row)];
        }
    }
    const Georeference georeference(grid, "depths");
    std::cout << spot_json(spot_report(job, georeference, georeference.lonlat({30.5, 25.5}))) << '\n';
}
