#include "report/report_map.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/publish/palette.hpp"

#include "publish/raster/class_image.hpp"
#include "publish/styles/answer_words.hpp"
#include "publish/styles/colour_text.hpp"
#include "report/map_furniture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

// Verdicts are drawn that strong on white: lines and figures over them stay legible, and ink is saved. The
// one without a hatch is stronger, so that a print in grey tells it from what is unsurveyed.
constexpr double strength = 0.6, strength_of_solid = 0.8;

// A screen shows each pixel of a picture that is no larger than itself; else its browser would drop some, and
// a no among them. So there are two: for wide screens and for narrow ones, of which the style shows one.
constexpr int most_pixels_wide = 1024, most_pixels_narrow = 512;

std::string units(double value) { return fixed(value, 1); }

Colour tint(Verdict verdict) {
    const double share = look(verdict).hatch == Hatch::solid ? strength_of_solid : strength;
    Colour colour = look(verdict).colour;
    for (auto& part : colour) {
        part = static_cast<std::uint8_t>(std::lround(255 - share * (255 - part)));
    }
    return colour;
}

std::string hatch_id(Hatch hatch) {
    constexpr std::array names = {"none",  "falling", "dotted",  "level",
                                  "solid", "crossed", "upright", "rising"};
    return std::string("hatch-") + names[static_cast<std::size_t>(hatch)];
}

std::string hatch_fill(Hatch hatch) {
    return hatch == Hatch::none || hatch == Hatch::solid ? "none" : "url(#" + hatch_id(hatch) + ")";
}

Markup rect(double width, double height, const std::string& fill, const Attributes& more = {}) {
    Attributes attributes = {{"width", units(width)}, {"height", units(height)}, {"fill", fill}};
    attributes.insert(attributes.end(), more.begin(), more.end());
    return empty_element("rect", attributes);
}

/// Which of the lines an exclusion gets: that of the worst that it forbids, as in the palette.
const char* line_style(std::string_view forbids) {
    constexpr std::array<const char*, exclusion_looks.size()> styles = {"x-hull", "x-ground", "x-drop",
                                                                        "x-warn"};
    const auto* const look =
        std::find_if(exclusion_looks.begin(), exclusion_looks.end(),
                     [&](const ExclusionLook& one) { return forbids.starts_with(one.forbids); });
    return styles.at(static_cast<std::size_t>(look - exclusion_looks.begin()));
}

/// "12", "-.5": tenths of a unit, as short as SVG takes them.
std::string tenths(long value) {
    std::string text = value < 0 ? "-" : "";
    const long whole = std::abs(value) / 10, rest = std::abs(value) % 10;
    if (whole != 0 || rest == 0) text += std::to_string(whole);
    return rest == 0 ? text : text + "." + std::to_string(rest);
}

/// A closed ring in tenths, each step from the point before: a third of the bytes that places would take.
std::string path_text(const std::vector<GridPoint>& ring) {
    std::string path;
    long x = 0, y = 0;
    for (const GridPoint p : ring) {
        const long to_x = std::lround(p.x * 10), to_y = std::lround(p.y * 10), dx = to_x - x, dy = to_y - y;
        if (path.empty()) {
            path += "M" + tenths(dx) + " " + tenths(dy);
        } else if (dy == 0) {
            path += "h" + tenths(dx);
        } else if (dx == 0) {
            path += "v" + tenths(dy);
        } else {
            path += "l" + tenths(dx) + (dy < 0 ? "" : " ") + tenths(dy);
        }
        x = to_x;
        y = to_y;
    }
    return path + "Z";
}

} // namespace

ReportMap::ReportMap(const FinishedVerdicts& verdicts, const MapFrame& frame, std::string id)
    : frame_(frame), id_(std::move(id)), images_(images(verdicts)) {}

Markup ReportMap::images(const FinishedVerdicts& verdicts) const {
    const VerdictPicture wide = verdicts.picture(frame_.cells(), most_pixels_wide),
                         narrow = verdicts.picture(frame_.cells(), most_pixels_narrow);
    if (wide.factor == narrow.factor) return image(wide, "pixels");
    return image(wide, "pixels wide") + image(narrow, "pixels narrow");
}

/// What is a no is left out of the picture: the hatched ground under it shows there.
Markup ReportMap::image(const VerdictPicture& picture, const char* style) const {
    std::array<Rgba, verdict_looks.size()> palette{};
    for (const VerdictLook& look : verdict_looks) {
        const auto [red, green, blue] = tint(look.verdict);
        palette.at(static_cast<std::size_t>(look.verdict)) = {
            red, green, blue, static_cast<std::uint8_t>(look.verdict == Verdict::no ? 0 : 255)};
    }
    const Window& w = picture.pixels.window();
    const auto corner = [&](int col, int row) {
        return frame_.of_cell(
            {static_cast<double>(col) * picture.factor, static_cast<double>(row) * picture.factor});
    };
    const GridPoint first = corner(w.col, w.row), last = corner(w.col_end(), w.row_end());
    const double height = std::abs(last.y - first.y);
    Attributes attributes = {{"class", style}, {"x", units(first.x)}};
    if (frame_.turned_over()) { // rows that count northwards: about the first one
        attributes.insert(attributes.end(),
                          {{"transform", "translate(0 " + units(first.y) + ") scale(1 -1)"}});
    }
    const Attributes rest = {{"y", frame_.turned_over() ? "0" : units(first.y)},
                             {"width", units(last.x - first.x)},
                             {"height", units(height)},
                             {"preserveAspectRatio", "none"},
                             {"href", png_data_uri(picture.pixels, palette)}};
    attributes.insert(attributes.end(), rest.begin(), rest.end());
    return empty_element("image", attributes) + "\n";
}

ReportMap::Sight ReportMap::sight_of(const std::vector<GridPoint>& ring) const {
    const Window& w = frame_.cells();
    const auto by_x = [](const GridPoint& a, const GridPoint& b) { return a.x < b.x; };
    const auto by_y = [](const GridPoint& a, const GridPoint& b) { return a.y < b.y; };
    const auto [left, right] = std::minmax_element(ring.begin(), ring.end(), by_x);
    const auto [first, last] = std::minmax_element(ring.begin(), ring.end(), by_y);
    const double cols =
                     std::min(right->x, static_cast<double>(w.col_end())) - std::max<double>(left->x, w.col),
                 rows =
                     std::min(last->y, static_cast<double>(w.row_end())) - std::max<double>(first->y, w.row);
    if (cols <= 0 || rows <= 0) return {};
    return {std::max(cols * frame_.col_units(), rows * frame_.row_units()),
            frame_.of_cell(frame_.turned_over() ? *last : *first)};
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
        if (sight_of(ring).size < least_size) continue;
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
        if (kept.size() > 2) path += path_text(kept);
    }
    return path;
}

bool ReportMap::add_zone(const FinishedFeature& zone) {
    constexpr double least_size = 2;
    const std::string path = path_of(zone, least_size);
    if (path.empty()) return false;
    const Hatch hatch = look(verdict_of(zone.number("verdict"))).hatch;
    zones_ += empty_element("path", {{"fill", hatch_fill(hatch)}, {"d", path}}) + "\n";
    return true;
}

bool ReportMap::add_exclusion(const FinishedFeature& exclusion) {
    constexpr double least_size = 5; // smaller ones run together to blots
    const std::string path = path_of(exclusion, least_size), kind = exclusion.text("kind");
    if (path.empty()) return false;
    exclusions_ += element("path", {{"class", line_style(exclusion.text("forbids"))}, {"d", path}},
                           text_element("title", kind + " " + exclusion.text("label"))) +
                   "\n";
    const Sight sight = sight_of(exclusion.rings.front());
    if (Sight& largest = largest_[kind]; frame_.shows(sight.top) && sight.size > largest.size) {
        largest = sight;
    }
    return true;
}

/// The kinds' names, those of the largest first, as far as there is room for them.
Markup ReportMap::names() const {
    constexpr double letter = 6.6, line = 16;
    struct Box {
        double left, right, bottom;
    };
    std::vector<std::pair<std::string, Sight>> kinds(largest_.begin(), largest_.end());
    std::stable_sort(kinds.begin(), kinds.end(),
                     [](const auto& a, const auto& b) { return a.second.size > b.second.size; });
    std::vector<Box> taken;
    Markup markup;
    for (const auto& [kind, sight] : kinds) {
        const double half = letter * static_cast<double>(kind.size()) / 2;
        if (2 * half > frame_.width() || sight.size <= 0) continue;
        const double x = std::clamp(sight.top.x, half, frame_.width() - half),
                     y = std::clamp(sight.top.y - 4, line, std::max(line, frame_.height() - 4));
        const Box box{x - half, x + half, y};
        const auto meets = [&](const Box& other) {
            return box.left < other.right && other.left < box.right &&
                   std::abs(box.bottom - other.bottom) < line;
        };
        if (std::any_of(taken.begin(), taken.end(), meets)) continue;
        taken.push_back(box);
        markup +=
            text_element("text", {{"x", units(x)}, {"y", units(y)}, {"text-anchor", "middle"}}, kind) + "\n";
    }
    return markup;
}

void ReportMap::add_spot(const FinishedFeature& spot, std::size_t number) {
    const GridPoint at = spot.rings.front().front();
    const GridPoint p = frame_.of_position({at.x, at.y});
    if (!frame_.shows(p)) return;
    const GridPoint radius = frame_.units_of(spot.number("radius_m"), {at.x, at.y});
    const Attributes ellipse = {
        {"cx", units(p.x)}, {"cy", units(p.y)}, {"rx", fixed_up(radius.x, 1)}, {"ry", fixed_up(radius.y, 1)}};
    Attributes halo = {{"class", "halo"}};
    halo.insert(halo.end(), ellipse.begin(), ellipse.end());
    circles_.push_back(empty_element("ellipse", halo) + empty_element("ellipse", ellipse) + "\n");
    constexpr double room = 17;
    const bool crowded = std::any_of(marked_.begin(), marked_.end(), [&](const GridPoint& other) {
        return std::hypot(p.x - other.x, p.y - other.y) < room;
    });
    const std::string place = "translate(" + units(p.x) + " " + units(p.y) + ")";
    if (crowded) {
        marks_.push_back(
            element("g", {{"class", "dot"}, {"transform", place}}, empty_element("circle", {{"r", "3"}})) +
            "\n");
        return;
    }
    marked_.push_back(p);
    marks_.push_back(element("g", {{"transform", place}},
                             empty_element("circle", {{"r", "9"}}) +
                                 text_element("text", {{"dy", "0.36em"}, {"text-anchor", "middle"}},
                                              std::to_string(number))) +
                     "\n");
}

Markup ReportMap::svg(const std::string& title, const std::string& description) const {
    const double width = frame_.width(), height = frame_.height();
    const std::string clip = id_ + "-clip";
    Markup circles, marks;
    std::for_each(circles_.rbegin(), circles_.rend(), [&](const Markup& circle) { circles += circle; });
    std::for_each(marks_.rbegin(), marks_.rend(), [&](const Markup& mark) { marks += mark; });
    const Markup ground = rect(width, height, hex_colour(tint(Verdict::no))) +
                          rect(width, height, hatch_fill(look(Verdict::no).hatch)) + "\n";
    const Graticule grid = graticule(frame_);
    const Markup map = ground + images_ + element("g", {{"class", "zones"}}, "\n" + zones_) + "\n" +
                       element("g", {{"class", "exclusions"}}, "\n" + exclusions_ + names()) + "\n" +
                       grid.lines + element("g", {{"class", "circles"}}, "\n" + circles) + "\n" +
                       element("g", {{"class", "marks"}}, "\n" + marks) + "\n";
    const std::string view_box = units(-margin_units) + " " + units(-margin_units) + " " +
                                 units(margin_units + std::max(width, strip_width) + 1) + " " +
                                 units(margin_units + height + strip_units + 1);
    return element("svg",
                   {{"xmlns", "http://www.w3.org/2000/svg"},
                    {"class", "map"},
                    {"role", "img"},
                    {"aria-labelledby", id_ + "-title"},
                    {"aria-describedby", id_ + "-desc"},
                    {"preserveAspectRatio", "xMinYMin meet"},
                    {"viewBox", view_box}},
                   "\n" + text_element("title", {{"id", id_ + "-title"}}, title) + "\n" +
                       text_element("desc", {{"id", id_ + "-desc"}}, description) + "\n" +
                       element("defs", element("clipPath", {{"id", clip}}, rect(width, height, "black"))) +
                       "\n" + element("g", {{"clip-path", "url(#" + clip + ")"}}, "\n" + map) + "\n" +
                       rect(width, height, "none", {{"class", "edge"}}) + "\n" + grid.names +
                       scale_strip(frame_)) +
           "\n";
}

namespace {

/// A small drawing that says nothing by itself.
Markup ornament(const Attributes& more, const Markup& drawn) {
    Attributes attributes = {{"xmlns", "http://www.w3.org/2000/svg"}};
    attributes.insert(attributes.end(), more.begin(), more.end());
    return element("svg", attributes, drawn);
}

Markup swatch_of(const char* style, const Markup& drawn) {
    return ornament({{"class", style},
                     {"aria-hidden", "true"},
                     {"width", "44"},
                     {"height", "24"},
                     {"viewBox", "0 0 44 24"}},
                    drawn);
}

Markup hatch_pattern(Hatch hatch, const char* side, const Markup& drawn) {
    return element("pattern",
                   {{"id", hatch_id(hatch)},
                    {"patternUnits", "userSpaceOnUse"},
                    {"width", side},
                    {"height", side}},
                   drawn) +
           "\n";
}

} // namespace

Markup hatch_patterns() {
    // White on the dark ones, black on the light ones, so that a print in grey tells them apart.
    const Markup falling = empty_element("path", {{"d", "M-2 -2L14 14M-2 10L2 14M10 -2L14 2"},
                                                  {"stroke", "#fff"},
                                                  {"stroke-opacity", "0.55"},
                                                  {"stroke-width", "1.5"}});
    const Markup dotted = empty_element(
        "circle", {{"cx", "4"}, {"cy", "4"}, {"r", "1.4"}, {"fill", "#000"}, {"fill-opacity", "0.6"}});
    const Markup level = empty_element(
        "path",
        {{"d", "M0 3L12 3"}, {"stroke", "#000"}, {"stroke-opacity", "0.55"}, {"stroke-width", "1.2"}});
    const auto strokes = [](const char* path) {
        return empty_element(
            "path", {{"d", path}, {"stroke", "#000"}, {"stroke-opacity", "0.55"}, {"stroke-width", "1.2"}});
    };
    constexpr const char* rising = "M-2 14L14 -2M-2 2L2 -2M10 14L14 10";
    return ornament({{"class", "patterns"}, {"aria-hidden", "true"}, {"width", "0"}, {"height", "0"}},
                    element("defs", hatch_pattern(Hatch::falling, "12", falling) +
                                        hatch_pattern(Hatch::dotted, "8", dotted) +
                                        hatch_pattern(Hatch::level, "7", level) +
                                        hatch_pattern(Hatch::rising, "12", strokes(rising)) +
                                        hatch_pattern(Hatch::upright, "7", strokes("M3 0L3 12")) +
                                        hatch_pattern(
                                            Hatch::crossed, "12",
                                            strokes("M-2 14L14 -2M-2 2L2 -2M10 14L14 10M-2 -2L14 14M-2 10L2 "
                                                    "14M10 -2L14 2")))) +
           "\n";
}

Markup swatch(Verdict verdict) {
    constexpr double width = 44, height = 24;
    return swatch_of("swatch", rect(width, height, hex_colour(tint(verdict))) +
                                   rect(width, height, hatch_fill(look(verdict).hatch)) +
                                   rect(width, height, "none", {{"stroke", "#222"}}));
}

Markup line_sample(const std::string& forbids) {
    return swatch_of("swatch exclusions",
                     rect(44, 24, "#fff") +
                         empty_element("path", {{"class", line_style(forbids)}, {"d", "M3 12L41 12"}}));
}

} // namespace swingroom
