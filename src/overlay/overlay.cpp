#include "swingroom/overlay/overlay.hpp"

#include "swingroom/base/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <exception>
#include <limits>
#include <map>
#include <mutex>
#include <thread>
#include <vector>

namespace swingroom {
namespace {

constexpr float not_a_number = std::numeric_limits<float>::quiet_NaN();

/// Runs of a block: per row of its core.
using BlockRuns = std::vector<std::vector<Run>>;

/// Buffers of one thread, kept between its blocks.
struct Workspace {
    DepthPlanes depths;
    Plane<std::uint8_t> effects, unsafe;
    Plane<Seabed> seabed;
    BlockAnswers answers;
};

/// Steepest rise to any of the eight neighbours, rounded up; cells without a depth are passed over.
float slope_at(const Plane<float>& depth_m, int col, int row, CellSize cell) {
    const double here_m = depth_m.at(col, row);
    double steepest = 0;
    for (int dr = -1; dr <= 1; ++dr)
        for (int dc = -1; dc <= 1; ++dc) {
            if (dr == 0 && dc == 0) continue;
            const double rise_m = std::abs(depth_m.at(col + dc, row + dr) - here_m);
            if (rise_m > 0)
                steepest = std::max(steepest, rise_m / std::hypot(dc * cell.dx_m, dr * cell.dy_m));
        }
    return narrow_up(steepest);
}

class Decider {
public:
    explicit Decider(const OverlayJob& job)
        : job_(job), transform_(*job.metric, job.tables->greatest_radius_m() + 1),
          judge_(*job.tables, coarse_cells(*job.metric, *job.tables)) {}

    BlockRuns decide(Window core, Workspace& work) const {
        const Window seen = grown(core, transform_.halo());
        job_.depths->read(seen, work.depths);
        work.effects.reset(seen);
        job_.hazards->burn(work.effects);
        work.seabed.reset(core, Seabed::unknown);
        if (job_.hazards->names_seabed()) job_.hazards->burn_seabed(work.seabed);
        mark_unsafe(seen, work);
        reset(core, work.answers);
        transform_.run(work.unsafe, unsafe::hull, work.answers.hull_room_m);
        transform_.run(work.unsafe, unsafe::ground, work.answers.ground_room_m);
        BlockRuns runs(static_cast<std::size_t>(core.rows));
        for (int row = core.row; row < core.row_end(); ++row) {
            std::vector<Run>& row_runs = runs[static_cast<std::size_t>(row - core.row)];
            for (int col = core.col; col < core.col_end(); ++col)
                decide_cell(col, row, work, row_runs);
        }
        return runs;
    }

private:
    void mark_unsafe(Window seen, Workspace& work) const {
        const Boat& boat = job_.tables->boat();
        const double least_m = boat.required_depth_m() - job_.tables->conditions().water.low_m;
        const float afloat_m = narrow_up(least_m);
        work.unsafe.reset(seen);
        const float* shoal_m = work.depths.shoal_m.data();
        const float* deep_m = work.depths.deep_m.data();
        const std::uint8_t* effects = work.effects.data();
        std::uint8_t* out = work.unsafe.data();
        for (std::size_t i = 0; i < work.unsafe.size(); ++i) {
            const bool unknown = !(shoal_m[i] <= deep_m[i]); // true for NaN
            const bool hull = unknown || !(shoal_m[i] >= afloat_m) || (effects[i] & effect::hull) != 0;
            const bool ground = unknown || (effects[i] & effect::ground) != 0;
            out[i] = static_cast<std::uint8_t>((hull ? unsafe::hull : 0) | (ground ? unsafe::ground : 0));
        }
    }

    static void reset(Window core, BlockAnswers& answers) {
        answers.core = core;
        answers.verdict.reset(core);
        answers.reasons.reset(core);
        answers.advice.reset(core);
        for (auto* plane : {&answers.depth_low_m, &answers.hull_room_m, &answers.ground_room_m})
            plane->reset(core, not_a_number);
        for (std::size_t way = 0; way < all_ways.size(); ++way)
            for (auto* plane : {&answers.rode_m[way], &answers.radius_m[way], &answers.spare_m[way]})
                plane->reset(core, not_a_number);
    }

    void decide_cell(int col, int row, Workspace& work, std::vector<Run>& runs) const {
        BlockAnswers& out = work.answers;
        CellFacts facts;
        facts.shoal_m = work.depths.shoal_m.at(col, row);
        facts.deep_m = work.depths.deep_m.at(col, row);
        facts.hull_room_m = out.hull_room_m.at(col, row);
        facts.ground_room_m = out.ground_room_m.at(col, row);
        facts.effects = work.effects.at(col, row);
        facts.seabed = work.seabed.at(col, row);
        if (!std::isnan(facts.shoal_m))
            facts.slope = slope_at(work.depths.shoal_m, col, row, job_.metric->at(row));
        const CellAnswer answer = judge_.judge(facts);
        out.verdict.at(col, row) = static_cast<std::uint8_t>(answer.verdict);
        out.reasons.at(col, row) = answer.reasons;
        out.advice.at(col, row) = answer.advice;
        out.depth_low_m.at(col, row) =
            narrow_down(static_cast<double>(facts.shoal_m) + job_.tables->conditions().water.low_m);
        for (std::size_t way = 0; answer.judged && way < all_ways.size(); ++way) {
            out.spare_m[way].at(col, row) = answer.spare_m[way];
            if (answer.lies[way].out != Lie::Out::none) continue;
            out.rode_m[way].at(col, row) = answer.lies[way].rode_m;
            out.radius_m[way].at(col, row) = answer.lies[way].radius_m;
        }
        if (is_yes(answer.verdict)) add_to_runs(col, row, facts, answer, out.depth_low_m.at(col, row), runs);
    }

    void add_to_runs(int col, int row, const CellFacts& facts, const CellAnswer& answer, float depth_low_m,
                     std::vector<Run>& runs) const {
        const Way way = way_of(answer.verdict);
        const auto slot = static_cast<std::size_t>(way);
        const float wind_kn =
            job_.tables->wind_limit_kn(way, facts.shoal_m, facts.deep_m, facts.hull_room_m, facts.seabed);
        ZoneFigures figures;
        figures.depth_low_min_m = figures.depth_low_max_m = depth_low_m;
        figures.rode_min_m = figures.rode_max_m = answer.lies[slot].rode_m;
        figures.radius_max_m = answer.lies[slot].radius_m;
        figures.wind_limit_min_kn = wind_kn;
        figures.advice = answer.advice;
        figures.best_spare_m = answer.spare_m[slot];
        figures.best_col = col;
        figures.best_row = row;
        if (!runs.empty() && runs.back().end == col && runs.back().verdict == answer.verdict) {
            runs.back().end = col + 1;
            runs.back().figures.merge(figures);
        } else {
            runs.push_back({col, col + 1, answer.verdict, figures});
        }
    }

    OverlayJob job_;
    RoomTransform transform_;
    Judge judge_;
};

/// Puts the blocks' runs back into whole rows, in order, whichever block is done first.
class RowCollector {
public:
    RowCollector(const std::vector<Window>& blocks, const OverlayJob& job, OverlaySink& sink)
        : next_row_(job.window.row), tracer_(
                                         job.window.row,
                                         [metric = job.metric](int row) {
                                             const CellSize cell = metric->at(row);
                                             return cell.dx_m * cell.dy_m;
                                         },
                                         [&sink](Zone&& zone) { sink.zone(std::move(zone)); }) {
        for (const Window& block : blocks)
            ++awaited_[block.row];
    }

    void add(Window core, BlockRuns&& runs) {
        auto& band = bands_[core.row];
        band.emplace(core.col, std::move(runs));
        while (!bands_.empty() && bands_.begin()->first == next_row_ &&
               static_cast<int>(bands_.begin()->second.size()) == awaited_[next_row_])
            trace(bands_.begin()->second);
    }
    void finish() { tracer_.finish(); }

private:
    void trace(std::map<int, BlockRuns>& band) {
        const std::size_t rows = band.begin()->second.size();
        std::vector<Run> row;
        for (std::size_t r = 0; r < rows; ++r) {
            row.clear();
            for (const auto& [col, runs] : band)
                row.insert(row.end(), runs[r].begin(), runs[r].end());
            tracer_.add_row(row);
        }
        bands_.erase(next_row_);
        next_row_ += static_cast<int>(rows);
    }

    std::map<int, int> awaited_;                    // blocks of a band, by its first row
    std::map<int, std::map<int, BlockRuns>> bands_; // by first row, then first column
    int next_row_;
    ZoneTracer tracer_;
};

} // namespace

bool coarse_cells(const GroundMetric& metric, const TackleTables& tables) {
    const CellSize least = metric.least();
    return std::max(least.dx_m, least.dy_m) > tables.least_radius_m() / 3;
}

void run_overlay(const OverlayJob& job, OverlaySink& sink, const std::function<void(double)>& progress) {
    const std::vector<Window> blocks = cut_into_blocks(job.window, job.block);
    const Decider decider(job);
    RowCollector collector(blocks, job, sink);
    std::mutex mutex; // guards all below, the collector and the progress
    std::size_t next = 0, done = 0;
    std::exception_ptr failure;

    const auto work = [&] {
        Workspace workspace;
        for (;;) {
            Window core;
            {
                const std::lock_guard lock(mutex);
                if (failure || next == blocks.size()) return;
                core = blocks[next++];
            }
            try {
                BlockRuns runs = decider.decide(core, workspace);
                sink.block(workspace.answers);
                const std::lock_guard lock(mutex);
                collector.add(core, std::move(runs));
                ++done;
                if (progress) progress(static_cast<double>(done) / static_cast<double>(blocks.size()));
            } catch (...) {
                const std::lock_guard lock(mutex);
                if (!failure) failure = std::current_exception();
                return;
            }
        }
    };
    {
        std::vector<std::jthread> others;
        for (int i = 1; i < job.threads; ++i)
            others.emplace_back(work);
        work();
    }
    if (failure) std::rethrow_exception(failure);
    collector.finish();
}

} // namespace swingroom
