#include "swingroom/overlay/nearest_yes.hpp"

#include "swingroom/base/stop.hpp"
#include "swingroom/overlay/position.hpp"

#include <algorithm>
#include <cmath>
#include <mutex>
#include <vector>

namespace swingroom {
namespace {

/// More are not looked at: a second or two on one processor.
constexpr double most_cells = 16e6;

/// All cells whose centres may lie so near to a point, by the lower bounds of their size.
Window square(const GroundMetric& metric, Window extent, GridPoint at, double within_m) {
    const int row = std::clamp(static_cast<int>(at.y), 0, extent.rows - 1);
    const CellSize cell = metric.within(within_m).at(row);
    const auto cells = [&](double size_m) {
        return static_cast<int>(std::min(std::ceil(within_m / size_m) + 1, 1e9));
    };
    const Window here{static_cast<int>(at.x), static_cast<int>(at.y), 1, 1};
    const int cols = std::min(cells(cell.dx_m), extent.cols), rows = std::min(cells(cell.dy_m), extent.rows);
    return common({here.col - cols, here.row - rows, 2 * cols + 1, 2 * rows + 1}, extent);
}

/// Of each row the cells nearest to a column, on either side, that are told so: one of them is the nearest of
/// the row.
class NearestOfRows {
public:
    struct Found {
        int col = -1, row = 0; ///< the column is -1 where there is none
    };
    using Is = bool (*)(Verdict);

    NearestOfRows(Window window, int col, Is is)
        : window_(window), col_(col), is_(is), before_(static_cast<std::size_t>(window.rows)),
          behind_(before_) {}

    void take(const BlockAnswers& answers) {
        const Window core = answers.core;
        const auto& verdicts = answers.plane<Layer::verdict>();
        for (int row = core.row; row < core.row_end(); ++row) {
            const auto at = static_cast<std::size_t>(row - window_.row);
            for (int col = std::min(col_, core.col_end() - 1); col >= core.col; --col) {
                if (!is_(static_cast<Verdict>(verdicts.at(col, row)))) continue;
                Found& best = before_[at];
                if (best.col < 0 || col > best.col) best = {col, row};
                break;
            }
            for (int col = std::max(col_ + 1, core.col); col < core.col_end(); ++col) {
                if (!is_(static_cast<Verdict>(verdicts.at(col, row)))) continue;
                Found& best = behind_[at];
                if (best.col < 0 || col < best.col) best = {col, row};
                break;
            }
        }
    }

    /// The nearest to a position, with what is known of it without its answer.
    /// @param reach_m  not further than this
    [[nodiscard]] std::optional<NearestYes> nearest(const Georeference& georeference, LonLat from,
                                                    double reach_m) const {
        std::optional<NearestYes> nearest;
        for (const auto* side : {&before_, &behind_}) {
            for (const Found& found : *side) {
                if (found.col < 0) continue;
                const LonLat centre = georeference.lonlat({found.col + 0.5, found.row + 0.5});
                const Geodesic line = geodesic(from, centre);
                // One in a corner of the square may have nearer ones outside of it.
                const bool farther = nearest && line.distance_m >= nearest->distance_m;
                if (line.distance_m > reach_m || farther) continue;
                nearest.emplace();
                nearest->centre = centre;
                nearest->col = found.col;
                nearest->row = found.row;
                nearest->distance_m = line.distance_m;
                nearest->bearing_deg = line.azimuth_deg;
            }
        }
        return nearest;
    }

private:
    Window window_;
    int col_;
    Is is_;
    std::vector<Found> before_, behind_; ///< by row; the first has the column itself, too
};

/// Those that are a yes, and those that would be one if a way led there.
class BothKinds : public OverlaySink {
public:
    BothKinds(Window window, int col)
        : yes(window, col, is_yes),
          out_of_reach(window, col, [](Verdict v) { return v == Verdict::out_of_reach; }) {}

    void block(const BlockAnswers& answers) override {
        const std::lock_guard lock(mutex_);
        yes.take(answers);
        if (answers.tally.of(Verdict::out_of_reach).cells > 0) out_of_reach.take(answers);
    }
    void zone(Zone&&) override {}

    NearestOfRows yes, out_of_reach;

private:
    std::mutex mutex_;
};

/// What its answer says of it.
void look_at(std::optional<NearestYes>& yes, const OverlayJob& job) {
    if (!yes) return;
    const CellAnswer answer = answer_at(job, yes->col, yes->row);
    yes->verdict = answer.verdict;
    yes->advice = answer.advice;
    yes->sounder_limit_m = answer.way_needs[static_cast<std::size_t>(way_of(yes->verdict))].sounder_limit_m;
}

} // namespace

Window window_around(const GroundMetric& metric, const TackleTables& tables, Window extent, GridPoint at,
                     double within_m) {
    const Window window = square(metric, extent, at, within_m);
    return window.empty() ? window : common(grown(window, halo_cells(metric, tables, window)), extent);
}

YesSearch nearest_yes(const OverlayJob& job, const Georeference& georeference, LonLat from, double within_m) {
    constexpr double first_m = 200;
    const GridPoint at = georeference.grid_point(from);
    const Window extent = job.depths->grid().extent();
    OverlayJob part = job;
    part.wanted = LayerSet();
    part.wanted.add(Layer::verdict);
    part.block = 512;
    YesSearch search;
    for (double reach_m = std::min(first_m, within_m);; reach_m = std::min(2 * reach_m, within_m)) {
        part.window = square(*job.metric, extent, at, reach_m);
        if (part.window.empty() || static_cast<double>(part.window.cells()) > most_cells) break;
        BothKinds cells(part.window, static_cast<int>(at.x));
        run_overlay(part, cells, [](double) { stop_if_asked(); });
        search.looked_m = reach_m;
        search.nearest = cells.yes.nearest(georeference, from, reach_m);
        search.out_of_reach = cells.out_of_reach.nearest(georeference, from, reach_m);
        if (search.nearest || reach_m >= within_m) break;
    }
    if (search.nearest && search.out_of_reach &&
        search.nearest->distance_m <= search.out_of_reach->distance_m) {
        search.out_of_reach.reset();
    }
    look_at(search.nearest, job);
    look_at(search.out_of_reach, job);
    return search;
}

} // namespace swingroom
