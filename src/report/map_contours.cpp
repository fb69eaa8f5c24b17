#include "report/map_contours.hpp"

#include "report/map_path.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <utility>

namespace swingroom {
namespace {

constexpr std::array metres = {2.0, 5.0, 10.0, 20.0, 30.0, 50.0, 100.0, 200.0, 500.0};
constexpr std::array feet = {6.0, 12.0, 18.0, 30.0, 60.0, 120.0, 300.0, 600.0};
constexpr std::array fathoms = {1.0, 2.0, 3.0, 5.0, 10.0, 20.0, 50.0, 100.0};

/// More than what can be told apart, or carried, are left out.
constexpr std::size_t most_levels = 5, most_vertices = 20'000;
constexpr int most_pixels = 384;
constexpr double least_line = 16, strays = 0.4;

std::span<const double> round_depths(LengthUnit unit) {
    if (unit == LengthUnit::foot) return feet;
    if (unit == LengthUnit::fathom) return fathoms;
    return metres;
}

/// The least of so many pixels a side: lines through fewer of them are smoother, and shorter.
struct Field {
    int cols = 0, rows = 0, times = 1;
    std::vector<float> depth_m;
    [[nodiscard]] float at(int col, int row) const {
        return depth_m[static_cast<std::size_t>(row) * static_cast<std::size_t>(cols) +
                       static_cast<std::size_t>(col)];
    }
};

Field field_of(const MapPlanes& planes) {
    const Plane<float>& from = planes.depth_low_m();
    const Window& w = from.window();
    Field field;
    while ((std::max(w.cols, w.rows) + field.times - 1) / field.times > most_pixels) {
        ++field.times;
    }
    field.cols = (w.cols + field.times - 1) / field.times;
    field.rows = (w.rows + field.times - 1) / field.times;
    field.depth_m.assign(static_cast<std::size_t>(field.cols) * static_cast<std::size_t>(field.rows),
                         std::numeric_limits<float>::quiet_NaN());
    for (int row = 0; row < w.rows; ++row) {
        for (int col = 0; col < w.cols; ++col) {
            const float value = from.at(w.col + col, w.row + row);
            float& least = field.depth_m[static_cast<std::size_t>(row / field.times) *
                                             static_cast<std::size_t>(field.cols) +
                                         static_cast<std::size_t>(col / field.times)];
            if (std::isnan(least) || value < least) least = value;
        }
    }
    return field;
}

/// Follows one depth through the squares between the middles of pixels.
class Tracer {
public:
    Tracer(const Field& field, float level_m) : field_(field), level_m_(level_m) {
        const std::size_t edges =
            2 * static_cast<std::size_t>(field.cols) * static_cast<std::size_t>(field.rows);
        next_.assign(2 * edges, none);
        for (int row = 0; row + 1 < field.rows; ++row) {
            for (int col = 0; col + 1 < field.cols; ++col) {
                cross(col, row);
            }
        }
    }

    /// In pixels of the field, middles at whole numbers.
    std::vector<std::vector<GridPoint>> lines() {
        std::vector<std::vector<GridPoint>> all;
        for (const bool ends_only : {true, false}) {
            for (std::size_t edge = 0; 2 * edge < next_.size(); ++edge) {
                if (next_[2 * edge] == none || (ends_only && next_[2 * edge + 1] != none)) continue;
                all.push_back(follow(static_cast<std::uint32_t>(edge)));
            }
        }
        return all;
    }

private:
    static constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

    [[nodiscard]] std::uint32_t edge(int col, int row, bool down) const {
        return 2 * (static_cast<std::uint32_t>(row) * static_cast<std::uint32_t>(field_.cols) +
                    static_cast<std::uint32_t>(col)) +
               (down ? 1 : 0);
    }
    void cross(int col, int row) {
        const std::array corners = {field_.at(col, row), field_.at(col + 1, row), field_.at(col + 1, row + 1),
                                    field_.at(col, row + 1)};
        if (std::any_of(corners.begin(), corners.end(), [](float v) { return std::isnan(v); })) return;
        const std::array edges = {edge(col, row, false), edge(col + 1, row, true), edge(col, row + 1, false),
                                  edge(col, row, true)};
        std::array<std::uint32_t, 4> met{};
        std::size_t count = 0;
        for (std::size_t i = 0; i < 4; ++i) {
            if ((corners[i] < level_m_) != (corners[(i + 1) % 4] < level_m_)) met[count++] = edges[i];
        }
        if (count == 2) join(met[0], met[1]);
        if (count != 4) return;
        const float middle = (corners[0] + corners[1] + corners[2] + corners[3]) / 4;
        const bool first_apart = (corners[0] < level_m_) != (middle < level_m_);
        join(met[0], first_apart ? met[3] : met[1]);
        join(met[2], first_apart ? met[1] : met[3]);
    }
    void join(std::uint32_t a, std::uint32_t b) {
        for (const auto& [from, to] : {std::pair(a, b), std::pair(b, a)}) {
            std::uint32_t* const slots = &next_[2 * std::size_t{from}];
            slots[slots[0] == none ? 0 : 1] = to;
        }
    }
    [[nodiscard]] GridPoint point(std::uint32_t of) const {
        const bool down = of % 2 != 0;
        const int col = static_cast<int>(of / 2) % field_.cols, row = static_cast<int>(of / 2) / field_.cols;
        const float from = field_.at(col, row), to = down ? field_.at(col, row + 1) : field_.at(col + 1, row);
        const double share = double{level_m_ - from} / double{to - from};
        return {col + (down ? 0 : share), row + (down ? share : 0)};
    }
    /// Takes a line out as it goes along it.
    std::vector<GridPoint> follow(std::uint32_t at) {
        std::vector<GridPoint> line = {point(at)};
        for (;;) {
            std::uint32_t& way = next_[2 * std::size_t{at}];
            const std::uint32_t to = way;
            if (to == none) return line;
            take_out(at, to);
            take_out(to, at);
            line.push_back(point(to));
            at = to;
        }
    }
    void take_out(std::uint32_t at, std::uint32_t to) {
        std::uint32_t* const slots = &next_[2 * std::size_t{at}];
        if (slots[0] == to) slots[0] = slots[1];
        slots[1] = none;
    }

    const Field& field_;
    float level_m_;
    std::vector<std::uint32_t> next_; ///< by edge the one or two that it is joined to
};

/// Depths of which there is enough on both sides, evenly thinned.
std::vector<double> levels_of(const Field& field, const Measures& measures) {
    std::vector<double> levels;
    for (const double level : round_depths(measures.length)) {
        const double level_m = level * metres_per_unit(measures);
        std::int64_t known = 0, deeper = 0;
        for (const float depth_m : field.depth_m) {
            known += std::isnan(depth_m) ? 0 : 1;
            deeper += double{depth_m} >= level_m ? 1 : 0;
        }
        if (deeper * 200 > known && (known - deeper) * 200 > known) levels.push_back(level);
    }
    while (levels.size() > most_levels) {
        for (std::size_t i = 1; i < levels.size(); ++i) {
            levels.erase(levels.begin() + static_cast<std::ptrdiff_t>(i));
        }
    }
    return levels;
}

} // namespace

std::vector<Contour> depth_contours(const MapPlanes& planes, const MapFrame& frame,
                                    const Measures& measures) {
    const Field field = field_of(planes);
    const Window& pixels = planes.classes().window();
    const auto placed = [&](GridPoint p) {
        const auto cell = [&](double at, int first) {
            return (first + (at + 0.5) * field.times) * planes.factor();
        };
        return frame.of_cell({cell(p.x, pixels.col), cell(p.y, pixels.row)});
    };
    std::vector<Contour> contours;
    for (const double level : levels_of(field, measures)) {
        Contour contour{fixed(level, 0), {}};
        std::size_t vertices = 0;
        for (std::vector<GridPoint>& line :
             Tracer(field, static_cast<float>(level * metres_per_unit(measures))).lines()) {
            std::transform(line.begin(), line.end(), line.begin(), placed);
            if (size_of(line) >= least_line) contour.lines.push_back(simplified(line, strays));
        }
        std::stable_sort(contour.lines.begin(), contour.lines.end(),
                         [](const auto& a, const auto& b) { return size_of(a) > size_of(b); });
        const auto enough = std::find_if(contour.lines.begin(), contour.lines.end(), [&](const auto& line) {
            vertices += line.size();
            return vertices > most_vertices / most_levels;
        });
        contour.lines.erase(enough, contour.lines.end());
        if (!contour.lines.empty()) contours.push_back(std::move(contour));
    }
    return contours;
}

} // namespace swingroom
