#include "publish/report_map.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/publish/palette.hpp"

#include "publish/class_image.hpp"
#include "publish/html.hpp"
#include "publish/map_furniture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

// Verdicts are drawn that strong on white: lines and figures over them stay legible, and ink is saved.
constexpr double strength = 0.6;

// A screen shows each pixel of a picture that is no larger than itself; else its browser would drop some, and a
// no among them. So there are two: for wide screens and for narrow ones, of which the style shows one.
constexpr int most_pixels_wide = 1024, most_pixels_narrow = 512;

std::string units(double value) { return fixed(value, 1); }

Colour tint(Verdict verdict) {
    Colour colour = look(verdict).colour;
    for (auto& part : colour)
        part = static_cast<std::uint8_t>(std::lround(255 - strength * (255 - part)));
    return colour;
}

std::string hex(Colour colour) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string text = "#";
    for (const auto part : colour)
        text += {digits[part >> 4U], digits[part & 15U]};
    return text;
}

std::string hatch_id(Hatch hatch) {
    constexpr std::array names = {"none", "falling", "dotted", "level", "solid"};
    return std::string("hatch-") + names[static_cast<std::size_t>(hatch)];
}

std::string hatch_fill(Hatch hatch) {
    return hatch == Hatch::none || hatch == Hatch::solid ? "none" : "url(#" + hatch_id(hatch) + ")";
}

std::string rect(double width, double height, const std::string& fill, const char* more = "") {
    return "<rect width=\"" + units(width) + "\" height=\"" + units(height) + "\" fill=\"" + fill + "\"" + more +
           "/>";
}

/// Which of the lines an exclusion gets: the worst that it forbids.
const char* line_style(const std::string& forbids) {
    const auto says = [&](const char* what) { return forbids.find(what) != std::string::npos; };
    return says("hull")         ? "x-hull"
           : says("ground")     ? "x-ground"
           : says("letting go") ? "x-drop"
                                : "x-warn";
}

} // namespace

ReportMap::ReportMap(const FinishedVerdicts& verdicts, MapFrame frame, std::string id)
    : frame_(std::move(frame)), id_(std::move(id)), images_(images(verdicts)) {}

std::string ReportMap::images(const FinishedVerdicts& verdicts) const {
    const VerdictPicture wide = verdicts.picture(frame_.cells(), most_pixels_wide),
                         narrow = verdicts.picture(frame_.cells(), most_pixels_narrow);
    if (wide.factor == narrow.factor) return image(wide, "pixels");
    return image(wide, "pixels wide") + image(narrow, "pixels narrow");
}

/// What is a no is left out of the picture: the hatched ground under it shows there.
std::string ReportMap::image(const VerdictPicture& picture, const char* style) const {
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
    // Rows that count northwards: turned over about the first one.
    const std::string place = frame_.turned_over()
                                  ? "transform=\"translate(0 " + units(first.y) + ") scale(1 -1)\" y=\"0\""
                                  : "y=\"" + units(first.y) + "\"";
    return std::string("<image class=\"") + style + "\" x=\"" + units(first.x) + "\" " + place + " width=\"" +
           units(last.x - first.x) + "\" height=\"" + units(height) + "\" preserveAspectRatio=\"none\" href=\"" +
           png_data_uri(picture.pixels, palette) + "\"/>\n";
}

/// Whether anything of a ring can be inside the frame.
bool ReportMap::meets(const std::vector<GridPoint>& ring) const {
    const Window& w = frame_.cells();
    const auto [left, right] = std::minmax_element(
        ring.begin(), ring.end(), [](const GridPoint& a, const GridPoint& b) { return a.x < b.x; });
    const auto [top, bottom] = std::minmax_element(
        ring.begin(), ring.end(), [](const GridPoint& a, const GridPoint& b) { return a.y < b.y; });
    return left->x < w.col_end() && right->x > w.col && top->y < w.row_end() && bottom->y > w.row;
}

/// Vertices are rounded to a fraction of what can be seen, and dropped where they come to the same.
std::string ReportMap::path_of(const FinishedFeature& feature) const {
    const double step = frame_.col_units() < 0.5 ? 0.5 : 0.1;
    std::string path;
    for (const std::vector<GridPoint>& ring : feature.rings) {
        if (!meets(ring)) continue;
        std::string points;
        std::optional<GridPoint> last;
        std::size_t kept = 0;
        for (const GridPoint vertex : ring) {
            const GridPoint p = frame_.of_cell(vertex);
            const GridPoint rounded{std::round(p.x / step) * step, std::round(p.y / step) * step};
            if (last && *last == rounded) continue;
            last = rounded;
            points += (kept++ == 0 ? "M" : "L") + units(rounded.x) + " " + units(rounded.y);
        }
        if (kept > 2) path += points + "Z";
    }
    return path;
}

void ReportMap::add_zone(const FinishedFeature& zone) {
    const std::string path = path_of(zone);
    if (path.empty()) return;
    const auto verdict = static_cast<std::size_t>(std::clamp(zone.number("verdict"), 0.0, 4.0));
    zones_ += "<path fill=\"" + hatch_fill(verdict_looks.at(verdict).hatch) + "\" d=\"" + path + "\"/>\n";
}

void ReportMap::add_exclusion(const FinishedFeature& exclusion) {
    const std::string path = path_of(exclusion);
    if (path.empty()) return;
    exclusions_ += std::string("<path class=\"") + line_style(exclusion.text("forbids")) + "\" d=\"" + path +
                   "\">" + text_element("title", exclusion.text("kind") + " " + exclusion.text("label")) +
                   "</path>\n";
    const std::string kind = exclusion.text("kind");
    if (std::find(kinds_.begin(), kinds_.end(), kind) != kinds_.end()) return;
    // Beside its highest point.
    GridPoint top{0, std::numeric_limits<double>::infinity()};
    for (const GridPoint vertex : exclusion.rings.front())
        if (const GridPoint p = frame_.of_cell(vertex); p.y < top.y) top = p;
    if (!frame_.shows(top)) return;
    kinds_.push_back(kind);
    names_ += text_element("text x=\"" + units(top.x) + "\" y=\"" + units(top.y - 4) + "\" text-anchor=\"middle\"",
                           kind) +
              "\n";
}

void ReportMap::add_spot(const FinishedFeature& spot, std::size_t number) {
    const GridPoint at = spot.rings.front().front();
    const GridPoint p = frame_.of_position({at.x, at.y});
    if (!frame_.shows(p)) return;
    const GridPoint radius = frame_.units_of(spot.number("radius_m"), {at.x, at.y});
    const std::string ellipse = "cx=\"" + units(p.x) + "\" cy=\"" + units(p.y) + "\" rx=\"" + fixed_up(radius.x, 1) +
                                "\" ry=\"" + fixed_up(radius.y, 1) + "\"/>";
    circles_.push_back("<ellipse class=\"halo\" " + ellipse + "<ellipse " + ellipse + "\n");
    marks_.push_back("<g transform=\"translate(" + units(p.x) + " " + units(p.y) + ")\"><circle r=\"9\"/>" +
                     text_element("text dy=\"0.36em\" text-anchor=\"middle\"", std::to_string(number)) + "</g>\n");
}

std::string ReportMap::svg(const std::string& title, const std::string& description) const {
    const double width = frame_.width(), height = frame_.height();
    const std::string clip = id_ + "-clip";
    std::string circles, marks;
    std::for_each(circles_.rbegin(), circles_.rend(), [&](const std::string& circle) { circles += circle; });
    std::for_each(marks_.rbegin(), marks_.rend(), [&](const std::string& mark) { marks += mark; });
    const std::string ground = rect(width, height, hex(tint(Verdict::no))) +
                               rect(width, height, hatch_fill(look(Verdict::no).hatch)) + "\n";
    const std::string map = ground + images_ + element("g class=\"zones\"", "\n" + zones_) + "\n" +
                            element("g class=\"exclusions\"", "\n" + exclusions_ + names_) + "\n" +
                            graticule(frame_) + element("g class=\"circles\"", "\n" + circles) + "\n" +
                            element("g class=\"marks\"", "\n" + marks) + "\n";
    return element("svg xmlns=\"http://www.w3.org/2000/svg\" class=\"map\" role=\"img\" aria-labelledby=\"" + id_ +
                       "-title\" aria-describedby=\"" + id_ + "-desc\" viewBox=\"-1 -1 " +
                       units(std::max(width, strip_width) + 2) + " " + units(height + strip_units + 2) + "\"",
                   "\n" + text_element("title id=\"" + id_ + "-title\"", title) + "\n" +
                       text_element("desc id=\"" + id_ + "-desc\"", description) + "\n<defs>" +
                       element("clipPath id=\"" + clip + "\"", rect(width, height, "black")) + "</defs>\n" +
                       element("g clip-path=\"url(#" + clip + ")\"", "\n" + map) + "\n" +
                       rect(width, height, "none", " class=\"edge\"") + "\n" + scale_strip(frame_)) +
           "\n";
}

std::string hatch_patterns() {
    // White on the dark ones, black on the light ones, so that a print in grey tells them apart.
    constexpr const char* falling =
        R"(<path d="M-2 -2L14 14M-2 10L2 14M10 -2L14 2" stroke="#fff" stroke-opacity="0.55" stroke-width="1.5"/>)";
    constexpr const char* dotted = R"(<circle cx="4" cy="4" r="1.4" fill="#000" fill-opacity="0.6"/>)";
    constexpr const char* level = R"(<path d="M0 3L12 3" stroke="#000" stroke-opacity="0.55" stroke-width="1.2"/>)";
    const auto pattern = [](Hatch hatch, const char* side, const char* drawn) {
        return element("pattern id=\"" + hatch_id(hatch) + "\" patternUnits=\"userSpaceOnUse\" width=\"" + side +
                           "\" height=\"" + side + "\"",
                       drawn) +
               "\n";
    };
    return element("svg xmlns=\"http://www.w3.org/2000/svg\" class=\"patterns\" aria-hidden=\"true\" width=\"0\" "
                   "height=\"0\"",
                   element("defs", pattern(Hatch::falling, "12", falling) + pattern(Hatch::dotted, "8", dotted) +
                                       pattern(Hatch::level, "7", level))) +
           "\n";
}

std::string swatch(Verdict verdict) {
    constexpr double width = 44, height = 24;
    return element("svg xmlns=\"http://www.w3.org/2000/svg\" class=\"swatch\" aria-hidden=\"true\" width=\"44\" "
                   "height=\"24\" viewBox=\"0 0 44 24\"",
                   rect(width, height, hex(tint(verdict))) +
                       rect(width, height, hatch_fill(look(verdict).hatch)) +
                       rect(width, height, "none", " stroke=\"#222\""));
}

std::string line_sample(const std::string& forbids) {
    return element("svg xmlns=\"http://www.w3.org/2000/svg\" class=\"swatch exclusions\" aria-hidden=\"true\" "
                   "width=\"44\" height=\"24\" viewBox=\"0 0 44 24\"",
                   rect(44, 24, "#fff") + "<path class=\"" + line_style(forbids) + "\" d=\"M3 12L41 12\"/>");
}

} // namespace swingroom
