#include "cli/run/way_in.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/rounding.hpp"

#include "cli/console.hpp"

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
    return position_text(at.lon, at.lat, Measures{}); // facts do not depend on who reads them
}

std::string depth_text(float depth_m) { return length_text(double{depth_m}, Rounded::down, Measures{}); }

/// The highest level that is reached for sure. Levels that change from place to place stand above those of
/// the tables, everywhere by as much at the least as the tables' own range.
float highest_m(const OverlayJob& job) {
    const WaterLevels& water = job.tables->conditions().water;
    if (job.tide == nullptr) return narrow_down(water.high_m);
    return narrow_down(std::max(water.low_m, job.tide->stay.highest_sure_m()));
}

/// The same at the place where the range is greatest.
double highest_anywhere_m(const OverlayJob& job) {
    const double most_m = job.levels != nullptr ? job.levels->greatest_excess_m() : 0;
    return double{highest_m(job)} + most_m;
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
    if (level_m > narrow_up(highest_anywhere_m(request.job))) {
        const std::string wrong =
            std::isinf(level_m)
                ? "she floats clear there at no level: what lies within her clear way is unsurveyed, outside "
                  "the raster or a danger"
                : "she floats clear there only from " +
                      length_text(double{level_m}, Rounded::up, request.measures) +
                      " above chart datum on, which the stay does not reach for sure";
        throw InputError(where, wrong, "give a position in open water");
    }
    return cell;
}

std::vector<Fact> facts_of_rim(const AccessLevels& access, const WayInRequest& request) {
    const std::vector<RimStretch>& stretches = access.stretches();
    const RimStretch& start = stretches.front();
    // Where charts end the edge has corners, so that two ends would not say which stretch it is.
    const bool of_charts = access.where_charts_end();
    const std::string edge = of_charts ? "the charts' edge" : "the raster's edge",
                      between = of_charts ? ""
                                          : ", from " + position_of(start.first, request) + " to " +
                                                position_of(start.last, request);
    std::vector<Fact> facts = {{fact_of_way, "begins on " + edge + between + ", along " +
                                                 std::to_string(start.cells) + " cells, the deepest with " +
                                                 depth_text(start.deepest_m) + " at " +
                                                 position_of(start.deepest, request)}};
    facts.push_back({fact_of_way, "what lies beyond the edge of the data is not known"});
    if (stretches.size() == 1) return facts;
    std::vector<RimStretch> others(stretches.begin() + 1, stretches.end());
    std::ranges::stable_sort(others, std::ranges::greater(), &RimStretch::deepest_m);
    constexpr std::size_t most_told = 3;
    std::string text = std::to_string(others.size()) +
                       (others.size() == 1 ? " other stretch" : " other stretches") + " of " + edge +
                       " with water enough at the highest level " + (others.size() == 1 ? "does" : "do") +
                       " not count as a way in:";
    for (std::size_t i = 0; i < std::min(most_told, others.size()); ++i) {
        text += (i == 0 ? " " : ", ") + std::to_string(others[i].cells) + " cells with " +
                depth_text(others[i].deepest_m) + " at " + position_of(others[i].deepest, request);
    }
    if (others.size() > most_told) {
        text += " and " + std::to_string(others.size() - most_told) + " shoaler ones";
    }
    facts.push_back({fact_of_way, text});
    return facts;
}

std::vector<Fact> facts_of_needs(const UnderWay& needs, const WayInRequest& request) {
    const auto up = [](double metres) { return length_text(metres, Rounded::up, Measures{}); };
    const bool under_keel = request.job.tables->boat().policy.under_keel_under_way_m.has_value();
    return {
        {fact_of_way, "needs " + up(needs.required_depth_m) + " of water" +
                          (under_keel ? ", draught and under_keel_under_way" : ", as at anchor") +
                          ", within " + up(needs.clear_way_m) + " of every point of a cell" +
                          (request.options.clear_way_m ? "" : ", half her beam and the position allowance")}};
}

void tell_of_disk(const AccessLevels& access) {
    if (access.spooled_bytes() == 0) return;
    tell("the way in took " + fixed_up(static_cast<double>(access.spooled_bytes()) / 1e6, 0) +
         " MB of disk for the moment");
}

/// Why the way in is not known, as an error is told.
struct Unknown {
    std::string where, wrong, cure;
};

/// Puts the two together, which point to each other.
FoundWayIn found_by(const WayInRequest& request, const UnderWay& needs) {
    FoundWayIn found{std::make_unique<OverlayJob>(request.job), std::make_unique<WayIn>(), {}, {}};
    found.way_in->needs = needs;
    found.way_in->job = found.job.get();
    found.way_in->lowest_m = narrow_down(request.job.tables->conditions().water.low_m);
    found.way_in->highest_m = highest_m(request.job);
    found.way_in->told_up_to_m =
        narrow_up(std::max(request.job.tables->conditions().water.high_m, double{found.way_in->highest_m}));
    found.job->way_in = found.way_in.get();
    return found;
}

/// @throws InputError  it is asked for by name
FoundWayIn unknown_way(const WayInRequest& request, const Unknown& why) {
    if (request.options.by_name) throw InputError(why.where, why.wrong, why.cure);
    FoundWayIn found = found_by(request, {});
    found.warning =
        why.where + ": " + why.wrong + ", so whether she can get to a place is not told; " + why.cure;
    return found;
}

/// What she needs under way: by the options, else by the boat file; none where neither says how wide she is.
std::optional<UnderWay> under_way(const AccessOptions& options, const Boat& boat) {
    if (!options.clear_way_m && !(boat.hull.beam_m > 0)) return std::nullopt;
    return UnderWay{options.clear_way_m.value_or(boat.hull.beam_m / 2 + boat.policy.position_allowance_m),
                    boat.required_under_way_m()};
}

/// What can be said before anybody looks for it; nothing: that it can be looked for.
/// @param needs  gets what she needs, if that is known
std::optional<Unknown> why_unknown(const WayInRequest& request, std::optional<UnderWay>& needs) {
    if (too_large_for_way_in(request.job.depths->grid().extent())) {
        return Unknown{request.raster, "has too many cells to look for a way in over all of them",
                       "cut out the part of it that she comes through"};
    }
    needs = under_way(request.options, request.job.tables->boat());
    if (!needs) {
        return Unknown{request.boat_file, "gives no beam, which says how wide her way in has to be",
                       "give beam in [hull], or --clear-way"};
    }
    constexpr int most_cells = 2000;
    if (AccessLevels::halo_cells(request.job, *needs) > most_cells) {
        return Unknown{request.raster,
                       "the cells are so small that her clear way spans more than " +
                           std::to_string(most_cells) + " of them",
                       "give a smaller --clear-way, or a coarser raster"};
    }
    return std::nullopt;
}

} // namespace

bool too_large_for_way_in(Window raster) {
    constexpr double most_cells = 2e10; // as --cells-limit has it by itself
    return static_cast<double>(raster.cols) * static_cast<double>(raster.rows) > most_cells;
}

void check_way_in(const WayInRequest& request) {
    std::optional<UnderWay> needs;
    if (const std::optional<Unknown> why = why_unknown(request, needs)) {
        if (request.options.by_name) throw InputError(why->where, why->wrong, why->cure);
        return;
    }
    for (const AccessOptions::Place& place : request.options.from) {
        start_cell(place, *needs, request);
    }
}

FoundWayIn find_way_in(const WayInRequest& request, const std::function<void(double)>& progress) {
    std::optional<UnderWay> needs;
    if (const std::optional<Unknown> why = why_unknown(request, needs)) return unknown_way(request, *why);
    FoundWayIn found = found_by(request, *needs);
    const LevelRange range =
        request.exact ? LevelRange{} : LevelRange{found.way_in->lowest_m, found.way_in->told_up_to_m};
    const OverlayJob& job = *found.job;
    found.facts = facts_of_needs(*needs, request);
    if (!request.options.from.empty()) {
        std::vector<GridCell>& places = found.way_in->places;
        for (const AccessOptions::Place& place : request.options.from) {
            places.push_back(start_cell(place, *needs, request));
            found.facts.push_back({fact_of_way, "begins at " + position_of(places.back(), request)});
        }
        found.way_in->access = AccessLevels::from_places(job, *needs, places, range, progress);
        tell_of_disk(*found.way_in->access);
        return found;
    }
    found.way_in->access = AccessLevels::from_the_rim(job, *needs, range, progress);
    if (!found.way_in->access) {
        return unknown_way(request,
                           {request.raster,
                            "no cell on its outer edge has water enough for her at the highest level "
                            "of the stay: where a way in begins is not known",
                            "say with --from LON,LAT where she comes from"});
    }
    tell_of_disk(*found.way_in->access);
    for (Fact& fact : facts_of_rim(*found.way_in->access, request)) {
        found.facts.push_back(std::move(fact));
    }
    return found;
}

} // namespace swingroom::cli
