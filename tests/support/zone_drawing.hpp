#pragma once

#include "swingroom/room/zones.hpp"

#include "support/drawing.hpp"

#include <string>
#include <vector>

namespace swingroom::testing_support {

/// Runs of a drawn row: digits 2 to 4 are the verdicts of these numbers, everything else is no zone.
/// With dice, runs are cut at random places.
inline std::vector<Run> runs_of(const std::string& drawn, Dice* cut = nullptr) {
    std::vector<Run> runs;
    for (int col = 0; col < static_cast<int>(drawn.size()); ++col) {
        const char c = drawn[static_cast<std::size_t>(col)];
        if (c < '2' || c > '4') continue;
        const auto verdict = static_cast<Verdict>(c - '0');
        const bool joins = !runs.empty() && runs.back().end == col && runs.back().verdict == verdict;
        if (joins && !(cut && cut->chance(0.5))) {
            runs.back().end = col + 1;
        } else {
            runs.push_back({col, col + 1, verdict, {}});
        }
    }
    return runs;
}

inline std::vector<Zone> trace(const Drawing& drawing, int first_row = 0, Dice* cut = nullptr) {
    std::vector<Zone> zones;
    // A cell area that differs by row and adds up exactly.
    ZoneTracer tracer(
        first_row, [](int row) { return 1.0 + row; }, [&](Zone&& z) { zones.push_back(std::move(z)); });
    for (const std::string& row : drawing) {
        tracer.add_row(runs_of(row, cut));
    }
    tracer.finish();
    return zones;
}

inline double ring_area(const std::vector<GridPoint>& ring) {
    double twice = 0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        twice += ring[i].x * ring[i + 1].y - ring[i + 1].x * ring[i].y;
    }
    return twice / 2;
}

inline double area_of(const std::vector<std::vector<GridPoint>>& rings) {
    double area = 0;
    for (const auto& ring : rings) {
        area += ring_area(ring);
    }
    return area;
}

/// The rings painted back by even-odd, cell by cell: the inverse of tracing.
inline bool covers_cell(const std::vector<std::vector<GridPoint>>& rings, int col, int row) {
    bool inside = false;
    const double x = col + 0.5, y = row + 0.5;
    for (const auto& ring : rings) {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const GridPoint a = ring[i], b = ring[i + 1];
            if (a.x == b.x && a.x > x && (a.y > y) != (b.y > y)) inside = !inside;
        }
    }
    return inside;
}

inline Drawing random_drawing(Dice& dice, int cols, int rows) {
    // From lone cells to solid blocks: each scene has its own density and its own grain.
    const double density = dice.between(0.2, 0.95), change = dice.between(0.05, 1);
    const int verdicts = dice.whole(1, 3);
    Drawing drawing(static_cast<std::size_t>(rows), std::string(static_cast<std::size_t>(cols), '.'));
    for (std::size_t r = 0; r < drawing.size(); ++r) {
        for (std::size_t c = 0; c < drawing[r].size(); ++c) {
            if (!dice.chance(change) && (c > 0 || r > 0)) {
                const bool from_left = r == 0 || (c > 0 && dice.chance(0.5));
                drawing[r][c] = from_left ? drawing[r][c - 1] : drawing[r - 1][c];
            } else if (dice.chance(density)) {
                drawing[r][c] = static_cast<char>('1' + dice.whole(1, verdicts));
            }
        }
    }
    return drawing;
}

} // namespace swingroom::testing_support
