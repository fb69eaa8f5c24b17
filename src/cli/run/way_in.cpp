#include "cli/run/way_in.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <ranges>
#include <utility>

namespace swingroom::cli {
namespace {

constexpr const char* fact_of_way = "way in";

std::string position_of(GridCell cell, const WayInRequest& request) {
    const LonLat at = request.georeference.lonlat({cell.col + 0.5, cell.row + 0.5});
    return position_text(at.lon, at.lat, request.measures);
}

std::string depth_text(float depth_m, const WayInRequest& request) {
    return length_text(double{depth_m}, Rounded::down, request.measures);
}

/// Where the tables are made for one pair of levels and the stay's are higher elsewhere, by all that they
/// are.
double highest_m(const OverlayJob& job) {
    const double high_m = job.tables->conditions().water.high_m;
    return job.levels != nullptr ? high_m + job.levels->greatest_excess_m() : high_m;
}

/// The cell of a start, in which she has to float clear at some time.
GridCell start_cell(const AccessOptions::Place& place, const UnderWay& needs, const WayInRequest& request) {
    const std::string where = "--from " + place.text;
    const Window all = request.job.depths->grid().extent();
    const GridPoint at = request.georeference.grid_point({place.position.lon, place.position.lat});
    if (!(at.x >= 0 && at.x < all.cols && at.y >= 0 && at.y < all.rows)) {
        throw InputError(where, "lies outside " + request.raster,
                         "give a position on it; longitude comes first");
    }
    const GridCell cell{static_cast<int>(at.x), static_cast<int>(at.y)};
    const float level_m = AccessLevels::level_to_float(request.job, needs, cell);
    if (level_m > narrow_up(highest_m(request.job))) {
        const std::string wrong =
            std::isinf(level_m)
                ? "she floats clear there at no level: what lies within her clear way is unsurveyed, outside "
                  "the raster or a danger"
                : "she floats clear there only from " +
                      length_text(double{level_m}, Rounded::up, request.measures) +
                      " above chart datum on, which the stay does not reach";
        throw InputError(where, wrong, "give a position in open water");
    }
    return cell;
}

std::vector<Fact> facts_of_rim(const AccessLevels& access, const WayInRequest& request) {
    const std::vector<RimStretch>& stretches = access.stretches();
    const RimStretch& start = stretches.front();
    std::vector<Fact> facts = {
        {fact_of_way, "begins on the raster's edge, from " + position_of(start.first, request) + " to " +
                          position_of(start.last, request) + " (" + std::to_string(start.cells) +
                          " cells), whose deepest cell has " + depth_text(start.deepest_m, request) + " at " +
                          position_of(start.deepest, request)}};
    if (stretches.size() == 1) return facts;
    std::vector<RimStretch> others(stretches.begin() + 1, stretches.end());
    std::ranges::stable_sort(others, std::ranges::greater(), &RimStretch::deepest_m);
    constexpr std::size_t most_told = 3;
    std::string text = std::to_string(others.size()) +
                       (others.size() == 1 ? " other stretch" : " other stretches") +
                       " of the raster's edge with water enough at the highest level " +
                       (others.size() == 1 ? "does" : "do") + " not count as a way in:";
    for (std::size_t i = 0; i < std::min(most_told, others.size()); ++i) {
        text += (i == 0 ? " " : ", ") + std::to_string(others[i].cells) + " cells with " +
                depth_text(others[i].deepest_m, request) + " at " + position_of(others[i].deepest, request);
    }
    if (others.size() > most_told) {
        text += " and " + std::to_string(others.size() - most_told) + " shoaler ones";
    }
    facts.push_back({fact_of_way, text});
    return facts;
}

std::vector<Fact> facts_of_needs(const UnderWay& needs, const WayInRequest& request) {
    const auto up = [&](double metres) { return length_text(metres, Rounded::up, request.measures); };
    return {
        {fact_of_way, "needs " + up(needs.required_depth_m) + " of water, as at anchor, within " +
                          up(needs.clear_way_m) + " of every point of a cell" +
                          (request.options.clear_way_m ? "" : ", half her beam and the position allowance")}};
}

} // namespace

UnderWay under_way(const AccessOptions& options, const Boat& boat, const std::string& boat_file) {
    if (!options.clear_way_m && !(boat.hull.beam_m > 0)) {
        throw InputError(boat_file, "gives no beam, which says how wide her way in has to be",
                         "give beam in [hull], or --clear-way");
    }
    return {options.clear_way_m.value_or(boat.hull.beam_m / 2 + boat.policy.position_allowance_m),
            boat.required_depth_m()};
}

FoundWayIn find_way_in(const WayInRequest& request, const std::function<void(double)>& progress) {
    const UnderWay needs = under_way(request.options, request.job.tables->boat(), request.boat_file);
    constexpr int most_cells = 2000;
    if (AccessLevels::halo_cells(request.job, needs) > most_cells) {
        throw InputError(request.raster,
                         "the cells are so small that her clear way spans more than " +
                             std::to_string(most_cells) + " of them",
                         "give a smaller --clear-way, or a coarser raster");
    }
    const WaterLevels& water = request.job.tables->conditions().water;
    const float low_m = narrow_down(water.low_m), high_m = narrow_down(water.high_m);
    std::vector<Fact> facts = facts_of_needs(needs, request);
    if (!request.options.from.empty()) {
        std::vector<GridCell> places;
        for (const AccessOptions::Place& place : request.options.from) {
            places.push_back(start_cell(place, needs, request));
            facts.push_back({fact_of_way, "begins at " + position_of(places.back(), request)});
        }
        AccessLevels access = AccessLevels::from_places(request.job, needs, places, progress);
        return {{needs, &request.job, std::move(access), std::move(places), low_m, high_m}, std::move(facts)};
    }
    std::optional<AccessLevels> access = AccessLevels::from_the_rim(request.job, needs, progress);
    if (!access) {
        throw InputError(request.raster,
                         "no cell on its outer edge has water enough for her at the highest level of the "
                         "stay, so that there is no way in from the sea",
                         "say with --from where she comes from");
    }
    for (Fact& fact : facts_of_rim(*access, request)) {
        facts.push_back(std::move(fact));
    }
    return {{needs, &request.job, std::move(access), {}, low_m, high_m}, std::move(facts)};
}

} // namespace swingroom::cli
