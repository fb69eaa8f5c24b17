#include "report/report_map.hpp"

#include "swingroom/publish/palette.hpp"

#include "report/feature_tables.hpp"
#include "report/map_furniture.hpp"
#include "report/map_path.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

// A screen shows each pixel of a picture that is no larger than itself; else its browser would drop some, and
// a no among them. So a page has two: for wide screens and for narrow ones, of which the style shows one.
constexpr int most_pixels_wide = 1024, most_pixels_narrow = 512;
/// So many have their number whatever else there is: those of the first page.
constexpr std::size_t always_numbered = 4;
/// Between the middles of two numbers, in units. On a phone, where figures are larger, one that has less is a
/// dot.
constexpr double room = 17, room_on_phone = 40;

std::string units(double value) { return fixed(value, 1); }

/// Which of the lines an exclusion gets: that of the worst that it forbids, as in the palette.
const char* line_style(std::string_view forbids) {
    constexpr std::array<const char*, exclusion_looks.size()> styles = {"x-hull", "x-ground", "x-drop",
                                                                        "x-warn"};
    const auto* const look =
        std::find_if(exclusion_looks.begin(), exclusion_looks.end(),
                     [&](const ExclusionLook& one) { return forbids.starts_with(one.forbids); });
    return styles.at(static_cast<std::size_t>(look - exclusion_looks.begin()));
}

Markup rect(double width, double height, const Attributes& more) {
    Attributes attributes = {{"width", units(width)}, {"height", units(height)}};
    attributes.insert(attributes.end(), more.begin(), more.end());
    return empty_element("rect", attributes);
}

Markup group(const char* style, const Markup& content) {
    return element("g", {{"class", style}}, "\n" + content) + "\n";
}

Markup turned(const std::vector<Markup>& pieces) {
    Markup markup;
    std::for_each(pieces.rbegin(), pieces.rend(), [&](const Markup& piece) { markup += piece; });
    return markup;
}

} // namespace

ReportMap::ReportMap(const FinishedVerdicts& verdicts, const MapFrame& frame, std::string id,
                     const MapPlanes* planes, const MapStyle& style)
    : frame_(frame), graticule_(graticule(frame_)), id_(std::move(id)), style_(style),
      picture_(class_picture(verdicts, frame_.cells(), most_pixels_wide, planes)),
      narrow_(class_picture(verdicts, frame_.cells(), most_pixels_narrow, planes)), marks_(frame_),
      ways_(frame_) {
    if (planes != nullptr) contours_ = depth_contours(*planes, frame_, style.measures);
}

Markup ReportMap::images(MapColours colours) const {
    constexpr double scale_wide = 1, scale_narrow = 0.5;
    if (colours != MapColours::page || style_.is_inset()) {
        return map_image(picture_, frame_, colours, "", scale_wide);
    }
    return map_image(picture_, frame_, colours, "wide", scale_wide) +
           map_image(narrow_, frame_, colours, "narrow", scale_narrow);
}

double ReportMap::sight_of(const std::vector<GridPoint>& ring) const {
    const Window& w = frame_.cells();
    const auto by_x = [](const GridPoint& a, const GridPoint& b) { return a.x < b.x; };
    const auto by_y = [](const GridPoint& a, const GridPoint& b) { return a.y < b.y; };
    const auto [left, right] = std::minmax_element(ring.begin(), ring.end(), by_x);
    const auto [first, last] = std::minmax_element(ring.begin(), ring.end(), by_y);
    const double cols =
                     std::min(right->x, static_cast<double>(w.col_end())) - std::max<double>(left->x, w.col),
                 rows =
                     std::min(last->y, static_cast<double>(w.row_end())) - std::max<double>(first->y, w.row);
    return cols <= 0 || rows <= 0 ? 0 : std::max(cols * frame_.col_units(), rows * frame_.row_units());
}

bool ReportMap::on_land(GridPoint in_picture) const {
    const double down = in_picture.y / frame_.row_units();
    const int col = frame_.cells().col + static_cast<int>(std::floor(in_picture.x / frame_.col_units())),
              row = frame_.cells().row +
                    static_cast<int>(std::floor(frame_.turned_over() ? frame_.cells().rows - down : down));
    const int pixel_col = col / picture_.factor, pixel_row = row / picture_.factor;
    return picture_.classes.window().contains(pixel_col, pixel_row) &&
           static_cast<MapClass>(picture_.classes.at(pixel_col, pixel_row)) == MapClass::land;
}

/// Vertices are rounded to a fraction of what can be seen, and dropped where they come to the same, or where
/// the outline runs along outside of one edge of the frame.
/// @param least_size  of a ring, in units
std::string ReportMap::path_of(const FinishedFeature& feature, double least_size) const {
    const double step = frame_.col_units() < 0.5 ? 0.5 : 0.1;
    constexpr double margin = 20; // more than the widest line
    const auto outside = [&](GridPoint p) {
        return (p.x < -margin ? 1U : 0U) | (p.x > frame_.width() + margin ? 2U : 0U) |
               (p.y < -margin ? 4U : 0U) | (p.y > frame_.height() + margin ? 8U : 0U);
    };
    const auto in_line = [](GridPoint a, GridPoint b, GridPoint c) {
        return (a.x == b.x && b.x == c.x) || (a.y == b.y && b.y == c.y);
    };
    std::string path;
    for (const std::vector<GridPoint>& ring : feature.rings) {
        if (sight_of(ring) < least_size) continue;
        std::vector<GridPoint> kept;
        for (const GridPoint vertex : ring) {
            const GridPoint p = frame_.of_cell(vertex);
            const GridPoint rounded{std::round(p.x / step) * step, std::round(p.y / step) * step};
            if (!kept.empty() && kept.back() == rounded) continue;
            if (kept.size() > 1) {
                const GridPoint before = kept[kept.size() - 2], last = kept.back();
                if ((outside(before) & outside(last) & outside(rounded)) != 0 ||
                    in_line(before, last, rounded)) {
                    kept.pop_back();
                }
            }
            kept.push_back(rounded);
        }
        if (kept.size() > 2) path += path_text(kept, true);
    }
    return path;
}

bool ReportMap::add_zone(const FinishedFeature& zone) {
    constexpr double least_size = 2;
    const std::string path = path_of(zone, least_size);
    if (path.empty()) return false;
    zones_ += empty_element("path", {{"d", path}}) + "\n";
    return true;
}

bool ReportMap::add_exclusion(const FinishedFeature& exclusion) {
    constexpr double least_size = 14; // smaller ones run together to blots
    const std::string forbids = exclusion.text("forbids");
    if (forbids.empty() || is_told_by_colours(exclusion.text("kind"))) return false;
    const auto at_sea = [&](GridPoint vertex) {
        const GridPoint p = frame_.of_cell(vertex);
        return frame_.shows(p) && !on_land(p);
    };
    const bool any_at_sea =
        std::any_of(exclusion.rings.begin(), exclusion.rings.end(), [&](const std::vector<GridPoint>& ring) {
            return std::any_of(ring.begin(), ring.end(), at_sea);
        });
    if (!any_at_sea) return false;
    const std::string path = path_of(exclusion, least_size);
    if (path.empty()) return false;
    margins_.insert(line_style(forbids));
    exclusions_ += element("path", {{"class", line_style(forbids)}, {"d", path}},
                           text_element("title", exclusion.text("kind") + " " + exclusion.text("label"))) +
                   "\n";
    return true;
}

void ReportMap::add_spot(const FinishedFeature& spot, std::size_t number) {
    const GridPoint at = spot.rings.front().front();
    const GridPoint p = frame_.of_position({at.x, at.y});
    if (!frame_.shows(p)) return;
    const auto ellipse = [&](const char* style, double metres) {
        const GridPoint radius = frame_.units_of(metres, {at.x, at.y});
        return empty_element("ellipse", {{"class", style},
                                         {"cx", units(p.x)},
                                         {"cy", units(p.y)},
                                         {"rx", fixed_up(radius.x, 1)},
                                         {"ry", fixed_up(radius.y, 1)}});
    };
    const bool shut = is_out_of_reach(spot);
    shut_ = shut_ || shut;
    const double radius_m = spot.number("radius_m"), inner_m = spot.number("inner_distance_m");
    Markup circle = ellipse("halo", radius_m) + ellipse(shut ? "swing shut" : "swing", radius_m);
    // Of a disc beyond the frame nothing would be seen but that all is paler.
    const bool fits = frame_.units_of(2 * inner_m, {at.x, at.y}).x < frame_.width();
    if (static_cast<int>(number) == style_.inset_of && inner_m > 0 && fits) {
        circle += ellipse("drop", inner_m);
        discs_ = true;
    }
    const auto moved_to = [](GridPoint to) { return "translate(" + units(to.x) + " " + units(to.y) + ")"; };
    const Markup dot =
        element("g", {{"class", "dot"}, {"transform", moved_to(p)}}, empty_element("circle", {{"r", "3"}})) +
        "\n";
    const bool close = has_mark_near(p, room_on_phone, room);
    const bool always = number <= always_numbered;
    if (!always && has_mark_near(p, room, room)) {
        circles_.push_back(circle + "\n");
        numbers_.push_back(dot);
        return;
    }
    const GridPoint at_number = close && always ? set_off(p) : p;
    Markup mark;
    if (close && always) { // a line leads from its dot to the number
        const std::string leader = path_text({p, at_number}, false);
        circle += empty_element("path", {{"class", "halo"}, {"d", leader}}) +
                  empty_element("path", {{"class", "swing"}, {"d", leader}});
        dots_.push_back(p);
        mark += dot;
    }
    circles_.push_back(circle + "\n");
    numbered_.push_back(at_number);
    mark +=
        element(
            "g", {{"class", close && !always ? "close" : "clear"}, {"transform", moved_to(at_number)}},
            empty_element("circle", {{"r", "9"}}) +
                text_element("text", {{"dy", "0.36em"}, {"text-anchor", "middle"}}, std::to_string(number))) +
        "\n";
    numbers_.push_back(mark);
}

bool ReportMap::has_mark_near(GridPoint at, double of_numbers, double of_dots) const {
    const auto any_within = [&](const std::vector<GridPoint>& marks, double reach) {
        return std::any_of(marks.begin(), marks.end(), [&](const GridPoint& other) {
            return std::hypot(at.x - other.x, at.y - other.y) < reach;
        });
    };
    return any_within(numbered_, of_numbers) || any_within(dots_, of_dots);
}

GridPoint ReportMap::set_off(GridPoint from) const {
    constexpr int directions = 16;
    constexpr double edge = 20; // half of a number on a phone
    for (const double clear : {room_on_phone, room}) {
        for (const double off : {24.0, 32.0, 42.0, 56.0, 72.0, 90.0}) {
            for (int i = 0; i < directions; ++i) {
                const double turn = 2 * std::numbers::pi * i / directions;
                const GridPoint to{from.x + off * std::sin(turn), from.y - off * std::cos(turn)};
                if (to.x < edge || to.y < edge || to.x > frame_.width() - edge ||
                    to.y > frame_.height() - edge || has_mark_near(to, clear, clear / 2)) {
                    continue;
                }
                return to;
            }
        }
    }
    return from; // on a map that is too small for it
}

Markup ReportMap::depth_lines(MapLabels& labels) const {
    constexpr double labelled = 90;
    constexpr std::size_t most_labels = 3;
    Markup lines, figures;
    for (const Contour& contour : contours_) {
        std::string path;
        std::size_t count = 0;
        for (const std::vector<GridPoint>& line : contour.lines) {
            path += path_text(line, false);
            if (size_of(line) < labelled) continue;
            for (const std::size_t part :
                 std::array<std::size_t, 3>{2, 3, 5}) { // where the line has room for it
                if (count >= most_labels) break;
                const auto place = labels.upon(line[line.size() / part], contour.label);
                if (!place.found) continue;
                ++count;
                figures +=
                    text_element(
                        "text",
                        {{"x", units(place.at.x)}, {"y", units(place.at.y)}, {"text-anchor", "middle"}},
                        contour.label) +
                    "\n";
                break;
            }
        }
        lines += empty_element("path", {{"d", path}}) + "\n";
    }
    return group("depths", lines + figures);
}

GridPoint ReportMap::size() const {
    return {margin_units + std::max(frame_.width(), style_.is_inset() ? 0 : strip_width) + 1,
            margin_units + frame_.height() + strip_units(style_.is_inset()) + 1};
}

Markup ReportMap::svg(const std::string& title, const std::string& description, MapColours colours,
                      const Attributes& placed) const {
    const double width = frame_.width(), height = frame_.height();
    const std::string clip = id_ + "-clip";
    // Who comes first has the place: the best places, then dangers, then areas, then depths.
    MapLabels labels(width, height, style_.is_inset() ? 10.5 : 6.6);
    for (const GridPoint p : numbered_) {
        labels.keep_clear(p, style_.is_inset() ? 18 : 10);
    }
    for (const GridPoint p : dots_) {
        labels.keep_clear(p, 5);
    }
    for (const GridPoint p : marks_.points()) {
        labels.keep_clear(p, 5);
    }
    for (const GridPoint p : ways_.points()) {
        labels.keep_clear(p, 8);
    }
    ways_.keep_clear(labels);
    const Markup sill_words = ways_.words(labels, style_.measures);
    const Markup names = marks_.names(labels), depths = depth_lines(labels);
    const Markup map = rect(width, height, {{"class", "paper"}}) + images(colours) + group("zones", zones_) +
                       depths + group("exclusions", exclusions_) + marks_.drawing() + graticule_.lines +
                       ways_.lines() + group("circles", turned(circles_)) + ways_.sills() +
                       group("words", sill_words + names) + group("marks", turned(numbers_));
    const GridPoint whole = size();
    Attributes attributes = {{"xmlns", "http://www.w3.org/2000/svg"},
                             {"class", style_.is_inset() ? "map inset" : "map"},
                             {"role", "img"},
                             {"aria-labelledby", id_ + "-title"},
                             {"aria-describedby", id_ + "-desc"},
                             {"preserveAspectRatio", "xMinYMin meet"},
                             {"viewBox", units(-margin_units) + " " + units(-margin_units) + " " +
                                             units(whole.x) + " " + units(whole.y)}};
    attributes.insert(attributes.end(), placed.begin(), placed.end());
    return element("svg", attributes,
                   "\n" + text_element("title", {{"id", id_ + "-title"}}, title) + "\n" +
                       text_element("desc", {{"id", id_ + "-desc"}}, description) + "\n" +
                       element("defs", element("clipPath", {{"id", clip}}, rect(width, height, {}))) + "\n" +
                       element("g", {{"clip-path", "url(#" + clip + ")"}}, "\n" + map) + "\n" +
                       rect(width, height, {{"class", "edge"}}) + "\n" + graticule_.names +
                       scale_strip(frame_, style_.measures, style_.is_inset())) +
           "\n";
}

MapShown ReportMap::shown() const {
    MapShown shown;
    for (std::size_t i = 0; i < picture_.classes.size(); ++i) {
        shown.classes.at(picture_.classes.data()[i]) = true;
    }
    shown.signs = marks_.shown();
    shown.margins = margins_;
    shown.spots = !numbered_.empty();
    shown.shut = shut_;
    shown.ways = ways_.any_line();
    shown.sills = ways_.any_sill();
    shown.discs = discs_;
    shown.contours = !contours_.empty();
    return shown;
}

} // namespace swingroom
