#include "swingroom/overlay/nearest_yes.hpp"

#include "swingroom/base/stop.hpp"
#include "swingroom/overlay/position.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
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

/// Of each row the yes cells nearest to a column, on either side: one of them is the nearest of the row.
class NearestOfRows : public OverlaySink {
public:
    struct Found {
        int col = 0, row = 0;
        Verdict verdict = Verdict::no;
    };

    NearestOfRows(Window window, int col)
        : window_(window), col_(col), before_(static_cast<std::size_t>(window.rows)), behind_(before_) {}

    void block(const BlockAnswers& answers) override {
        const Window core = answers.core;
        const auto& verdicts = answers.plane<Layer::verdict>();
        const std::lock_guard lock(mutex_);
        for (int row = core.row; row < core.row_end(); ++row) {
            const auto at = static_cast<std::size_t>(row - window_.row);
            for (int col = std::min(col_, core.col_end() - 1); col >= core.col; --col) {
                const auto verdict = static_cast<Verdict>(verdicts.at(col, row));
                if (!is_yes(verdict)) continue;
                Found& best = before_[at];
                if (!is_yes(best.verdict) || col > best.col) best = {col, row, verdict};
                break;
            }
            for (int col = std::max(col_ + 1, core.col); col < core.col_end(); ++col) {
                const auto verdict = static_cast<Verdict>(verdicts.at(col, row));
                if (!is_yes(verdict)) continue;
                Found& best = behind_[at];
                if (!is_yes(best.verdict) || col < best.col) best = {col, row, verdict};
                break;
            }
        }
    }
    void zone(Zone&&) override {}

    [[nodiscard]] std::vector<Found> found() const {
        std::vector<Found> all;
        for (const auto* side : {&before_, &behind_}) {
            std::copy_if(side->begin(), side->end(), std::back_inserter(all),
                         [](const Found& found) { return is_yes(found.verdict); });
        }
        return all;
    }

private:
    Window window_;
    int col_;
    std::mutex mutex_;
    std::vector<Found> before_, behind_; ///< by row; the first has the column itself, too
};

} // namespace

Window window_around(const GroundMetric& metric, const TackleTables& tables, Window extent, GridPoint at,
                     double within_m) {
    const Window window = square(metric, extent, at, within_m);
    return window.empty() ? window : common(grown(window, halo_cells(metric, tables, window)), extent);
}

YesSearch nearest_yes(const OverlayJob& job, const Georeference& georeference, LonLat from, double within_m) {
    constexpr double first_m = 200;
    constexpr float no_limit_m = std::numeric_limits<float>::quiet_NaN();
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
        NearestOfRows rows(part.window, static_cast<int>(at.x));
        run_overlay(part, rows, [](double) { stop_if_asked(); });
        double least_m = std::numeric_limits<double>::infinity();
        std::optional<NearestYes> nearest;
        for (const NearestOfRows::Found& found : rows.found()) {
            const LonLat centre = georeference.lonlat({found.col + 0.5, found.row + 0.5});
            const Geodesic line = geodesic(from, centre);
            // One in a corner of the square may have nearer ones outside of it.
            if (line.distance_m > reach_m || line.distance_m >= least_m) continue;
            least_m = line.distance_m;
            nearest = NearestYes{centre, found.col,  found.row,       found.verdict,
                                 0,      no_limit_m, line.distance_m, line.azimuth_deg};
        }
        search.looked_m = reach_m;
        search.nearest = nearest;
        if (nearest || reach_m >= within_m) break;
    }
    if (NearestYes* const yes = search.nearest ? &*search.nearest : nullptr) {
        const CellAnswer answer = answer_at(job, yes->col, yes->row);
        yes->advice = answer.advice;
        yes->sounder_limit_m =
            answer.way_needs[static_cast<std::size_t>(way_of(yes->verdict))].sounder_limit_m;
    }
    return search;
}

} // namespace swingroom
