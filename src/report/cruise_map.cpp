#include "report/cruise_map.hpp"

#include "swingroom/base/measures.hpp"

#include "report/map_frame.hpp"
#include "report/map_furniture.hpp"
#include "report/map_path.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

namespace swingroom {
namespace {

constexpr double overview_units = 1000, locator_units = 420;

std::string units(double value) { return fixed(value, 1); }

// Web Mercator (EPSG:3857), whose plane ends a little farther out.
constexpr double sphere_m = 6378137, most_lat = 84;

double easting_m(double lon) { return sphere_m * lon * std::numbers::pi / 180; }
double northing_m(double lat) {
    const double bounded = std::clamp(lat, -most_lat, most_lat);
    return sphere_m * std::asinh(std::tan(bounded * std::numbers::pi / 180));
}

/// A stay's area with its longitudes beside those of the first one: the maps of a cruise do not break at 180
/// degrees.
LonLatBox beside_first(const LonLatBox& window, const LonLatBox& first) {
    const double turns = std::round(((window[0] + window[2]) - (first[0] + first[2])) / 2 / 360);
    return {window[0] - 360 * turns, window[1], window[2] - 360 * turns, window[3]};
}

/// A grid over all of the areas with some room around, none of whose sides is shorter than a third of the
/// other.
Grid grid_of(const CruiseFigures& cruise) {
    const LonLatBox& first = cruise.stays.front().window;
    LonLatBox all = first;
    for (const CruiseStay& stay : cruise.stays) {
        const LonLatBox window = beside_first(stay.window, first);
        all = {std::min(all[0], window[0]), std::min(all[1], window[1]), std::max(all[2], window[2]),
               std::max(all[3], window[3])};
    }
    const double west_m = easting_m(all[0]), east_m = easting_m(all[2]), south_m = northing_m(all[1]),
                 north_m = northing_m(all[3]);
    const double longer_m = std::max({east_m - west_m, north_m - south_m, 1000.0});
    constexpr double margin = 0.08, least_shape = 1.0 / 3;
    constexpr int cells = 1000;
    const auto side_m = [&](double from, double to) {
        return std::max(to - from, least_shape * longer_m) + 2 * margin * longer_m;
    };
    const double width_m = side_m(west_m, east_m), height_m = side_m(south_m, north_m);
    const double step_m = std::max(width_m, height_m) / cells;
    const auto count = [&](double length_m) {
        return std::clamp(static_cast<int>(std::lround(length_m / step_m)), 1, cells);
    };
    return {count(width_m),
            count(height_m),
            (west_m + east_m - width_m) / 2,
            (south_m + north_m + height_m) / 2,
            step_m,
            -step_m,
            horizontal_crs_wkt("EPSG:3857", "cruise")};
}

Markup group(const char* style, const Markup& content) {
    return element("g", {{"class", style}}, "\n" + content) + "\n";
}

Attributes moved_to(const char* style, GridPoint to) {
    return {{"class", style}, {"transform", "translate(" + units(to.x) + " " + units(to.y) + ")"}};
}

Markup dot(GridPoint at) {
    return element("g", moved_to("dot", at), empty_element("circle", {{"r", "3"}})) + "\n";
}

Markup number_mark(GridPoint at, std::size_t number) {
    return element("g", moved_to("clear", at),
                   empty_element("circle", {{"r", "9"}}) +
                       text_element("text", {{"dy", "0.36em"}, {"text-anchor", "middle"}},
                                    std::to_string(number))) +
           "\n";
}

/// Where a number has room: upon its place, else as near to it as may be.
GridPoint free_place(GridPoint wanted, const std::vector<GridPoint>& taken, const MapFrame& frame) {
    constexpr double apart = 40, edge = 20; // figures are largest on a phone
    constexpr int directions = 16;
    const auto is_free = [&](GridPoint at) {
        return at.x >= edge && at.y >= edge && at.x <= frame.width() - edge &&
               at.y <= frame.height() - edge &&
               std::none_of(taken.begin(), taken.end(), [&](GridPoint other) {
                   return std::hypot(at.x - other.x, at.y - other.y) < apart;
               });
    };
    if (is_free(wanted)) return wanted;
    for (double off = apart; off <= 6 * apart; off += apart / 2) {
        for (int i = 0; i < directions; ++i) {
            const double turn = 2 * std::numbers::pi * i / directions;
            const GridPoint at{wanted.x + off * std::sin(turn), wanted.y - off * std::cos(turn)};
            if (is_free(at)) return at;
        }
    }
    return wanted; // of a crowd
}

Markup leader(GridPoint from, GridPoint to) {
    const std::string path = path_text({from, to}, false);
    return empty_element("path", {{"class", "halo"}, {"d", path}}) +
           empty_element("path", {{"class", "swing"}, {"d", path}}) + "\n";
}

} // namespace

struct CruiseMap::Sheet {
    explicit Sheet(const CruiseFigures& cruise)
        : grid(grid_of(cruise)), georeference(grid, "cruise"),
          wide(grid, georeference, grid.extent(), overview_units),
          small(grid, georeference, grid.extent(), locator_units) {
        const LonLatBox& first = cruise.stays.front().window;
        for (const CruiseStay& stay : cruise.stays) {
            windows.push_back(beside_first(stay.window, first));
        }
    }

    [[nodiscard]] static GridPoint middle_of(const MapFrame& frame, const LonLatBox& window) {
        return frame.of_position({(window[0] + window[2]) / 2, (window[1] + window[3]) / 2});
    }
    /// Outlines of the areas that are large enough to be seen.
    [[nodiscard]] Markup outlines(const MapFrame& frame) const {
        constexpr double seen = 6;
        Markup paths;
        for (const auto& [west, south, east, north] : windows) {
            std::vector<GridPoint> corners;
            for (const LonLat corner :
                 {LonLat{west, south}, LonLat{east, south}, LonLat{east, north}, LonLat{west, north}}) {
                corners.push_back(
                    frame.of_position({corner.lon, std::clamp(corner.lat, -most_lat, most_lat)}));
            }
            if (size_of(corners) < seen) continue;
            paths += empty_element("path", {{"d", path_text(corners, true)}}) + "\n";
        }
        return group("zones", paths);
    }

    Grid grid;
    Georeference georeference;
    MapFrame wide, small;
    std::vector<LonLatBox> windows; ///< of the stays, their longitudes side by side
};

namespace {

/// The drawing with what stands around it.
Markup drawn(const MapFrame& frame, const std::string& id, const std::string& title,
             const std::string& description, const Markup& content, const Measures& measures, bool inset) {
    const std::string width = units(frame.width()), height = units(frame.height());
    const Graticule lines = graticule(frame);
    const double whole_width = margin_units + std::max(frame.width(), inset ? 0 : strip_width) + 1,
                 whole_height = margin_units + frame.height() + strip_units(inset) + 1;
    return element("svg",
                   {{"xmlns", "http://www.w3.org/2000/svg"},
                    {"class", inset ? "map inset" : "map"},
                    {"role", "img"},
                    {"aria-labelledby", id + "-title"},
                    {"aria-describedby", id + "-desc"},
                    {"preserveAspectRatio", "xMinYMin meet"},
                    {"viewBox", units(-margin_units) + " " + units(-margin_units) + " " + units(whole_width) +
                                    " " + units(whole_height)}},
                   "\n" + text_element("title", {{"id", id + "-title"}}, title) + "\n" +
                       text_element("desc", {{"id", id + "-desc"}}, description) + "\n" +
                       empty_element("rect", {{"class", "paper"}, {"width", width}, {"height", height}}) +
                       "\n" + lines.lines + content +
                       empty_element("rect", {{"class", "edge"}, {"width", width}, {"height", height}}) +
                       "\n" + lines.names + scale_strip(frame, measures, inset)) +
           "\n";
}

} // namespace

CruiseMap::CruiseMap(const CruiseFigures& cruise)
    : cruise_(cruise), sheet_(std::make_unique<const Sheet>(cruise)) {}

CruiseMap::~CruiseMap() = default;

Markup CruiseMap::overview() const {
    const MapFrame& frame = sheet_->wide;
    std::vector<GridPoint> taken;
    Markup leaders, dots, marks;
    std::string description = "The stays by their numbers:";
    for (std::size_t i = 0; i < sheet_->windows.size(); ++i) {
        const GridPoint middle = Sheet::middle_of(frame, sheet_->windows[i]),
                        at = free_place(middle, taken, frame);
        taken.push_back(at);
        if (!(at == middle)) {
            leaders += leader(middle, at);
            dots += dot(middle);
        }
        marks += number_mark(at, i + 1);
        description += (i == 0 ? " " : ", ") + std::to_string(i + 1) + " " + cruise_.stays[i].name;
    }
    return drawn(frame, "overview", "Where the stays are", description,
                 sheet_->outlines(frame) + group("circles", leaders) + group("marks", dots + marks),
                 cruise_.measures, false);
}

Markup CruiseMap::locator(std::size_t stay) const {
    const MapFrame& frame = sheet_->small;
    Markup marks;
    for (std::size_t i = 0; i < sheet_->windows.size(); ++i) {
        if (i != stay) marks += dot(Sheet::middle_of(frame, sheet_->windows[i]));
    }
    marks += number_mark(Sheet::middle_of(frame, sheet_->windows[stay]), stay + 1);
    const std::string number = std::to_string(stay + 1);
    return drawn(frame, "locator-" + number, "Where stay " + number + " is",
                 "The stay by its number, the others as dots.", group("marks", marks), cruise_.measures,
                 true);
}

} // namespace swingroom
