#include "overlay/block_decider.hpp"

#include "swingroom/base/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace swingroom {
namespace {

constexpr float not_a_number = std::numeric_limits<float>::quiet_NaN();

/// Rise over run for a metre of rise, per direction, rounded up so that a slope never comes out too gentle.
struct PerMetre {
    float along, across, askew;
    explicit PerMetre(CellSize cell)
        : along(with_rounding(1 / cell.dx_m)), across(with_rounding(1 / cell.dy_m)),
          askew(with_rounding(1 / std::sqrt(cell.dx_m * cell.dx_m + cell.dy_m * cell.dy_m))) {}

private:
    /// The differences and products of floats that follow lose less than this.
    static float with_rounding(double v) { return narrow_up(v * (1 + 1e-6)); }
};

/// Steepest rise to any of the eight neighbours; neighbours without a depth are passed over.
float slope_at(const Plane<float>& depth_m, int col, int row, const PerMetre& per_metre) {
    const float* const here = &depth_m.at(col, row);
    const std::ptrdiff_t next_row = depth_m.window().cols;
    const float *const above = here - next_row, *const below = here + next_row;
    // A NaN loses every comparison.
    const auto steeper = [&](float slope, float there, float per_m) {
        const float candidate = std::abs(there - *here) * per_m;
        return candidate > slope ? candidate : slope;
    };
    float slope = 0;
    slope = steeper(slope, here[-1], per_metre.along);
    slope = steeper(slope, here[1], per_metre.along);
    slope = steeper(slope, above[0], per_metre.across);
    slope = steeper(slope, below[0], per_metre.across);
    slope = steeper(slope, above[-1], per_metre.askew);
    slope = steeper(slope, above[1], per_metre.askew);
    slope = steeper(slope, below[-1], per_metre.askew);
    return steeper(slope, below[1], per_metre.askew);
}

} // namespace

double reach_m(const TackleTables& tables) {
    // A metre more, so that a room at the cap is told from one that just fits the greatest radius.
    return std::max(tables.greatest_radius_m(), 0.0) + 1;
}

bool coarse_cells(const GroundMetric& metric, const TackleTables& tables, Window window) {
    double greatest_m = 0;
    for (int row = window.row; row < window.row_end(); ++row)
        greatest_m = std::max({greatest_m, metric.at(row).dx_m, metric.at(row).dy_m});
    return greatest_m > tables.least_radius_m() / 3;
}

int halo_cells(const OverlayJob& job) {
    return RoomTransform(*job.metric, reach_m(*job.tables), job.window.row, job.window.row_end() - 1).halo();
}

BlockDecider::BlockDecider(const OverlayJob& job)
    : job_(job), transform_(*job.metric, reach_m(*job.tables), job.window.row, job.window.row_end() - 1),
      judge_(*job.tables, coarse_cells(*job.metric, *job.tables, job.window)),
      needs_everything_(job.wanted.has(Layer::reasons) || job.wanted.has(Layer::advice)) {
    for (const Way way : all_ways)
        for (const Layer group :
             {Layer::rode_full, Layer::radius_full, Layer::spare_full, Layer::wind_limit_full})
            if (job.wanted.has(of(group, way)) && (wanted_ways_.empty() || wanted_ways_.back() != way))
                wanted_ways_.push_back(way);
}

void BlockDecider::gather(Window core, Workspace& work) const {
    const Window seen = grown(core, transform_.halo());
    job_.depths->read(seen, work.depths);
    work.effects.reset(seen);
    job_.hazards->burn(work.effects);
    work.seabed.reset(core, job_.seabed);
    job_.hazards->burn_seabed(work.seabed);
    mark_unsafe(seen, work);
    work.answers.core = core;
    work.answers.afloat = 0;
    work.answers.hull_room_m.reshape(core);
    work.answers.ground_room_m.reshape(core);
    transform_.run(work.unsafe, unsafe::hull, work.answers.hull_room_m);
    transform_.run(work.unsafe, unsafe::ground, work.answers.ground_room_m);
}

void BlockDecider::mark_unsafe(Window seen, Workspace& work) const {
    const double least_m = job_.tables->boat().required_depth_m() - job_.tables->conditions().water.low_m;
    const float afloat_m = narrow_up(least_m);
    work.unsafe.reshape(seen);
    const float* const shoal_m = work.depths.shoal_m.data();
    const float* const deep_m = work.depths.deep_m.data();
    const std::uint8_t* const effects = work.effects.data();
    std::uint8_t* const out = work.unsafe.data();
    for (std::size_t i = 0; i < work.unsafe.size(); ++i) {
        const bool unknown = !(shoal_m[i] <= deep_m[i]); // true for NaN
        const bool hull = unknown | !(shoal_m[i] >= afloat_m) | ((effects[i] & effect::hull) != 0);
        const bool ground = unknown | ((effects[i] & effect::ground) != 0);
        out[i] = static_cast<std::uint8_t>((hull ? unsafe::hull : 0) | (ground ? unsafe::ground : 0));
    }
}

CellFacts BlockDecider::facts(int col, int row, const Workspace& work) const {
    CellFacts facts;
    facts.shoal_m = work.depths.shoal_m.at(col, row);
    facts.deep_m = work.depths.deep_m.at(col, row);
    facts.hull_room_m = work.answers.hull_room_m.at(col, row);
    facts.ground_room_m = work.answers.ground_room_m.at(col, row);
    facts.effects = work.effects.at(col, row);
    facts.seabed = work.seabed.at(col, row);
    if (!std::isnan(facts.shoal_m))
        facts.slope = slope_at(work.depths.shoal_m, col, row, PerMetre(job_.metric->at(row)));
    return facts;
}

void BlockDecider::reset_answers(Window core, BlockAnswers& answers) const {
    const auto reset = [&](Layer layer, auto& plane, auto fill) {
        plane.reset(job_.wanted.has(layer) ? core : Window{}, fill);
    };
    answers.verdict.reshape(job_.wanted.has(Layer::verdict) ? core : Window{});
    answers.reasons.reshape(job_.wanted.has(Layer::reasons) ? core : Window{});
    answers.advice.reshape(job_.wanted.has(Layer::advice) ? core : Window{});
    answers.depth_low_m.reshape(job_.wanted.has(Layer::depth_low) ? core : Window{});
    // Of the ways only cells that float the hull are written.
    for (const Way way : all_ways) {
        const auto slot = static_cast<std::size_t>(way);
        reset(of(Layer::rode_full, way), answers.rode_m[slot], not_a_number);
        reset(of(Layer::radius_full, way), answers.radius_m[slot], not_a_number);
        reset(of(Layer::spare_full, way), answers.spare_m[slot], not_a_number);
        reset(of(Layer::wind_limit_full, way), answers.wind_limit_kn[slot], not_a_number);
    }
}

BlockRuns BlockDecider::decide(Window core, Workspace& work) const {
    gather(core, work);
    reset_answers(core, work.answers);
    const bool traced = job_.wanted.has(Layer::zones) || job_.wanted.has(Layer::spots);
    BlockRuns runs(traced ? static_cast<std::size_t>(core.rows) : 0);
    for (int row = core.row; row < core.row_end(); ++row) {
        std::vector<Run>* const row_runs = traced ? &runs[static_cast<std::size_t>(row - core.row)] : nullptr;
        answer_row(row, work, row_runs);
    }
    return runs;
}

void BlockDecider::answer_row(int row, Workspace& work, std::vector<Run>* runs) const {
    BlockAnswers& out = work.answers;
    const int first = out.core.col;
    const float* const shoal_m = &work.depths.shoal_m.at(first, row);
    const float* const deep_m = &work.depths.deep_m.at(first, row);
    const float* const hull_room_m = out.hull_room_m.row(row);
    const float* const ground_room_m = out.ground_room_m.row(row);
    const std::uint8_t* const effects = &work.effects.at(first, row);
    const Seabed* const seabed = work.seabed.row(row);
    std::uint8_t* const verdicts = job_.wanted.has(Layer::verdict) ? out.verdict.row(row) : nullptr;
    float* const depth_low_m = job_.wanted.has(Layer::depth_low) ? out.depth_low_m.row(row) : nullptr;
    const PerMetre per_metre(job_.metric->at(row));
    const bool needs_slope = needs_everything_ || judge_.minds_slope();
    for (int i = 0; i < out.core.cols; ++i) {
        const int col = first + i;
        CellFacts facts{shoal_m[i], deep_m[i], hull_room_m[i], ground_room_m[i], 0, effects[i], seabed[i]};
        if (depth_low_m != nullptr) depth_low_m[i] = judge_.depth_low_m(facts);
        if (needs_slope && !std::isnan(facts.shoal_m))
            facts.slope = slope_at(work.depths.shoal_m, col, row, per_metre);
        Lie lie;
        const Verdict verdict = judge_.verdict(facts, lie);
        if (needs_everything_) answer_everything(facts, col, row, out);
        if (verdicts != nullptr) verdicts[i] = static_cast<std::uint8_t>(verdict);
        if (judge_.floats(facts)) {
            ++out.afloat;
            if (!wanted_ways_.empty()) answer_ways(facts, col, row, out);
        }
        if (runs != nullptr && is_yes(verdict)) {
            if (!needs_slope) facts.slope = slope_at(work.depths.shoal_m, col, row, per_metre);
            add_to_runs(col, row, facts, verdict, lie, *runs);
        }
    }
}

void BlockDecider::answer_everything(const CellFacts& facts, int col, int row, BlockAnswers& out) const {
    const CellAnswer answer = judge_.judge(facts);
    if (job_.wanted.has(Layer::reasons)) out.reasons.at(col, row) = answer.reasons;
    if (job_.wanted.has(Layer::advice)) out.advice.at(col, row) = answer.advice;
}

void BlockDecider::answer_ways(const CellFacts& facts, int col, int row, BlockAnswers& out) const {
    for (const Way way : wanted_ways_) {
        if (!job_.tables->has_rode(way, facts.deep_m)) continue;
        const auto slot = static_cast<std::size_t>(way);
        const Lie lie = job_.tables->lie(way, facts.shoal_m, facts.deep_m);
        if (job_.wanted.has(of(Layer::rode_full, way))) out.rode_m[slot].at(col, row) = lie.rode_m;
        if (job_.wanted.has(of(Layer::radius_full, way))) out.radius_m[slot].at(col, row) = lie.radius_m;
        if (job_.wanted.has(of(Layer::spare_full, way))) out.spare_m[slot].at(col, row) = spare_m(facts, lie);
        if (job_.wanted.has(of(Layer::wind_limit_full, way)))
            out.wind_limit_kn[slot].at(col, row) = judge_.wind_limit_kn(way, facts);
    }
}

void BlockDecider::add_to_runs(int col, int row, const CellFacts& facts, Verdict verdict, const Lie& lie,
                               std::vector<Run>& runs) const {
    // The ground room of a yes fits its way, so the tables' own limit is the whole answer.
    const float wind_limit_kn = job_.tables->wind_limit_kn(way_of(verdict), facts.shoal_m, facts.deep_m,
                                                           facts.hull_room_m, facts.seabed);
    if (runs.empty() || runs.back().end != col || runs.back().verdict != verdict)
        runs.push_back({col, col, verdict, {}});
    Run& run = runs.back();
    run.end = col + 1;
    run.figures.add_cell(col, row, judge_.depth_low_m(facts), lie.rode_m, lie.radius_m, wind_limit_kn,
                         static_cast<std::uint16_t>(judge_.advice(facts) | judge_.wind_advice(wind_limit_kn)),
                         spare_m(facts, lie));
}

} // namespace swingroom
