#include "swingroom/base/version.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/statics.hpp"
#include "swingroom/report/boat_report.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace swingroom {
namespace {

constexpr double width_px = 960, side_px = 30;
constexpr const char* without_colour = "#1f5fa8";
constexpr const char* with_colour = "#c2571a";

std::string px(double value) { return fixed(value, 1); }

Markup label(double x, double y, const std::string& text, const Attributes& more = {}) {
    Attributes attributes = {{"x", px(x)}, {"y", px(y)}};
    attributes.insert(attributes.end(), more.begin(), more.end());
    return text_element("text", attributes, text) + "\n";
}

Markup line(double x1, double y1, double x2, double y2, const Attributes& style) {
    Attributes attributes = {{"x1", px(x1)}, {"y1", px(y1)}, {"x2", px(x2)}, {"y2", px(y2)}};
    attributes.insert(attributes.end(), style.begin(), style.end());
    return empty_element("line", attributes) + "\n";
}

Markup rect(const std::string& x, double y, const std::string& width, const std::string& height,
            const char* fill) {
    return empty_element("rect",
                         {{"x", x}, {"y", px(y)}, {"width", width}, {"height", height}, {"fill", fill}}) +
           "\n";
}

/// One rode as it is drawn in one wind.
struct Drawn {
    Way way;
    WayDetail detail;
    RodeState state;
    std::vector<ShapePoint> shape;
    std::optional<ShapePoint> sinker;
};

std::optional<Drawn> draw(const TackleTables& tables, Way way, double depth_m, double wind_kn) {
    Drawn drawn{way, tables.detail(way, depth_m, depth_m), {}, {}, std::nullopt};
    if (drawn.detail.needs.out != WayNeeds::Out::none) return std::nullopt;
    const Boat& boat = tables.boat();
    const double span_m = depth_m + tables.conditions().water.low_m + boat.hull.bow_roller_m;
    std::optional<HungSinker> hung;
    if (way == Way::sinker) {
        hung = HungSinker{in_water_n(boat.sinker->mass_kg, boat.sinker->density_kg_per_m3),
                          drawn.detail.sinker_from_bow_m};
    }
    const auto parts =
        rode_parts(boat.rode, static_cast<double>(drawn.detail.needs.rode_m), hung, Stretch::as_aboard);
    const double pull_n = tables.loads().pull_n(wind_kn);
    drawn.state = rode_state(pull_n, span_m, parts);
    drawn.shape = rode_shape(pull_n, span_m, parts, 60);
    if (hung) {
        // The sinker is where that much rode has been passed, from the roller down.
        double passed_m = 0;
        drawn.sinker = drawn.shape.back();
        for (std::size_t i = 1; i < drawn.shape.size(); ++i) {
            const ShapePoint &a = drawn.shape[i - 1], &b = drawn.shape[i];
            const double step_m = std::hypot(a.x_m - b.x_m, a.z_m - b.z_m);
            if (passed_m + step_m >= hung->from_bow_m) {
                const double share = step_m > 0 ? (hung->from_bow_m - passed_m) / step_m : 0;
                drawn.sinker = ShapePoint{std::lerp(a.x_m, b.x_m, share), std::lerp(a.z_m, b.z_m, share)};
                break;
            }
            passed_m += step_m;
        }
    }
    return drawn;
}

/// A stretch of water from the side: x from the anchor, z above the seabed, metres to pixels.
struct Panel {
    double top_px, scale, water_m, roller_m, air_m;
    [[nodiscard]] double x(double x_m) const { return side_px + x_m * scale; }
    [[nodiscard]] double y(double z_m) const { return top_px + (water_m + air_m - z_m) * scale; }
    [[nodiscard]] double height_px() const { return (water_m + air_m) * scale; }
};

/// As much of a name as fits beside nothing else, cut between letters.
std::string shortened(const std::string& name) {
    constexpr std::size_t most_letters = 70;
    std::size_t letters = 0;
    for (std::size_t i = 0; i < name.size(); ++i) {
        if ((static_cast<unsigned char>(name[i]) & 0xC0) != 0x80 && ++letters > most_letters) {
            return name.substr(0, i) + "...";
        }
    }
    return name;
}

Markup hull(const Panel& panel, const Hull& hull, double bow_m, const char* colour) {
    const double stern_m = bow_m + hull.length_m, deck_m = panel.water_m + hull.bow_roller_m;
    const double keel_m = panel.water_m - std::min(hull.draught_m, 0.95 * panel.water_m);
    const auto at = [&](double x_m, double z_m) { return px(panel.x(x_m)) + "," + px(panel.y(z_m)) + " "; };
    std::string points = at(bow_m, deck_m) + at(stern_m, panel.water_m + 0.8 * hull.bow_roller_m);
    if (hull.kind == HullKind::power) {
        points += at(stern_m, keel_m) + at(bow_m + 0.4 * hull.length_m, keel_m);
    } else {
        points += at(stern_m - 0.03 * hull.length_m, panel.water_m) +
                  at(bow_m + 0.62 * hull.length_m, panel.water_m - 0.3 * (panel.water_m - keel_m)) +
                  at(bow_m + 0.56 * hull.length_m, keel_m) + at(bow_m + 0.42 * hull.length_m, keel_m) +
                  at(bow_m + 0.38 * hull.length_m, panel.water_m - 0.3 * (panel.water_m - keel_m));
    }
    points += at(bow_m + 0.1 * hull.length_m, panel.water_m);
    return empty_element("polygon", {{"points", points},
                                     {"fill", colour},
                                     {"fill-opacity", "0.10"},
                                     {"stroke", colour},
                                     {"stroke-opacity", "0.6"}}) +
           "\n";
}

Markup rode(const Panel& panel, const Drawn& drawn, const char* colour) {
    std::string points;
    for (const ShapePoint& point : drawn.shape) {
        points += px(panel.x(point.x_m)) + "," + px(panel.y(point.z_m)) + " ";
    }
    Markup svg =
        empty_element("polyline",
                      {{"points", points}, {"fill", "none"}, {"stroke", colour}, {"stroke-width", "2"}}) +
        "\n";
    if (drawn.sinker) {
        svg += empty_element("circle", {{"cx", px(panel.x(drawn.sinker->x_m))},
                                        {"cy", px(panel.y(drawn.sinker->z_m))},
                                        {"r", "5"},
                                        {"fill", colour}}) +
               "\n";
    }
    return svg;
}

std::string words(const Drawn& drawn, const Measures& measures, const RodeMarks& marks) {
    return std::string(phrase(drawn.way)) + ": rode " +
           rode_text(exact_rode_m(drawn.detail.needs.rode_m, marks), marks, measures) + ", reach " +
           length_text(drawn.state.reach_m, Rounded::up, measures) + ", on the seabed " +
           length_text(drawn.state.grounded_m, Rounded::nearest, measures) + ", pull on the anchor at " +
           fixed(drawn.state.angle_deg, 1) + " degrees";
}

} // namespace

bool has_picture(const TackleTables& tables, double depth_m) {
    return tables.has_rode(Way::short_scope, depth_m) || tables.has_rode(Way::sinker, depth_m);
}

Markup boat_picture(const TackleTables& tables, double depth_m, const Measures& measures) {
    const Boat& boat = tables.boat();
    const RodeMarks marks = rode_marks(boat);
    // Lengths in two units take more room.
    const bool smaller = marks.measures.length != measures.length;
    const double light_kn = std::min(5.0, tables.conditions().wind_kn);
    std::vector<double> winds = {light_kn};
    if (tables.conditions().wind_kn > light_kn) winds.push_back(tables.conditions().wind_kn);

    double across_m = boat.hull.length_m;
    std::vector<std::vector<Drawn>> drawings;
    for (const double wind_kn : winds) {
        std::vector<Drawn> rodes;
        for (const Way way : {Way::short_scope, Way::sinker}) {
            if (auto drawn = draw(tables, way, depth_m, wind_kn)) rodes.push_back(std::move(*drawn));
        }
        for (const Drawn& drawn : rodes) {
            across_m = std::max(across_m, drawn.state.reach_m + boat.hull.length_m);
        }
        drawings.push_back(std::move(rodes));
    }

    const double water_m = depth_m + tables.conditions().water.low_m;
    Panel panel{0, (width_px - 2 * side_px) / across_m, water_m, boat.hull.bow_roller_m,
                1.6 * boat.hull.bow_roller_m};
    constexpr double heading_px = 94, gap_px = 72, foot_px = 58;
    const double height_px =
        heading_px + static_cast<double>(drawings.size()) * (panel.height_px() + gap_px) + foot_px;
    Markup svg =
        "\n" +
        text_element("title", boat.name + ": the rode" +
                                  (drawings.front().size() > 1 ? " with and without the sinker" : "")) +
        "\n" + empty_element("rect", {{"width", "100%"}, {"height", "100%"}, {"fill", "white"}}) + "\n";
    svg += label(side_px, 28, shortened(boat.name), {{"font-size", "18"}, {"font-weight", "bold"}});
    svg += label(side_px, 48,
                 "The rode in " + length_text(depth_m, Rounded::nearest, measures) + ", at low water " +
                     length_text(tables.conditions().water.low_m, Rounded::nearest, measures) +
                     " above chart datum.");
    svg += label(side_px, 68,
                 "To scale. Cut for the planned wind of " + fixed(tables.conditions().wind_kn, 0) + " kn" +
                     (winds.size() > 1 ? ", and drawn in a light wind and in that." : ", and drawn in it."),
                 {{"fill", "#555"}});
    panel.top_px = heading_px;
    for (std::size_t i = 0; i < drawings.size(); ++i) {
        const double bottom_px = panel.y(0);
        svg += rect("0", panel.y(water_m), px(width_px), px(water_m * panel.scale), "#e8f1f8");
        svg += rect("0", bottom_px, px(width_px), "8", "#d8cfb8");
        svg += line(0, panel.y(water_m), width_px, panel.y(water_m), {{"stroke", "#7aa7c7"}});
        svg += label(side_px, panel.top_px + 14,
                     fixed(winds[i], 0) + " kn, pull " + fixed_up(tables.loads().pull_n(winds[i]), 0) + " N",
                     {{"font-weight", "bold"}});
        double text_px = bottom_px + 26;
        for (const Drawn& drawn : drawings[i]) {
            const char* colour = drawn.way == Way::sinker ? with_colour : without_colour;
            svg += hull(panel, boat.hull, drawn.state.reach_m, colour) + rode(panel, drawn, colour);
            Attributes style = {{"fill", colour}};
            if (smaller) style.insert(style.end(), {{"font-size", "12"}});
            svg += label(side_px, text_px, words(drawn, measures, marks), style);
            text_px += 19;
        }
        svg += rect(px(panel.x(0) - 5), bottom_px - 4, "10", "8", "#333");
        panel.top_px += panel.height_px() + gap_px;
    }
    const double unit_m = metres_per_unit(measures), across = across_m / unit_m;
    const double bar_m = (across > 60 ? 20 : across > 25 ? 10 : 5) * unit_m, bar_px = height_px - 36;
    svg += line(side_px, bar_px, side_px + bar_m * panel.scale, bar_px,
                {{"stroke", "#333"}, {"stroke-width", "2"}});
    svg += label(side_px + bar_m * panel.scale + 8, bar_px + 5,
                 length_text(bar_m, Rounded::nearest, measures, 0));
    svg += label(side_px, height_px - 12, "swingroom " + std::string(version()) + ". " + std::string(caution),
                 {{"font-size", "11"}, {"fill", "#555"}});
    return element("svg",
                   {{"xmlns", "http://www.w3.org/2000/svg"},
                    {"width", px(width_px)},
                    {"height", px(height_px)},
                    {"viewBox", "0 0 " + px(width_px) + " " + px(height_px)},
                    {"font-family", "sans-serif"},
                    {"font-size", "14"}},
                   svg) +
           "\n";
}

} // namespace swingroom
