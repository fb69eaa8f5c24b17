#include "overlay/block_decider.hpp"

#include "swingroom/base/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace swingroom {
namespace {

constexpr float not_a_number = std::numeric_limits<float>::quiet_NaN();

/// Steepest rise to any of the eight neighbours, rounded up; neighbours without a depth are passed over.
float slope_at(const Plane<float>& depth_m, int col, int row, CellSize cell) {
    const float* const above = &depth_m.at(col, row - 1);
    const float* const here = &depth_m.at(col, row);
    const float* const below = &depth_m.at(col, row + 1);
    const auto rise_m = [&](float there) { return std::abs(there - *here); };
    // std::max keeps its first argument where the second is NaN.
    const float along = std::max(std::max(0.0F, rise_m(here[-1])), rise_m(here[1]));
    const float across = std::max(std::max(0.0F, rise_m(above[0])), rise_m(below[0]));
    const float askew =
        std::max(std::max(std::max(std::max(0.0F, rise_m(above[-1])), rise_m(above[1])), rise_m(below[-1])),
                 rise_m(below[1]));
    const double diagonal_m = std::sqrt(cell.dx_m * cell.dx_m + cell.dy_m * cell.dy_m);
    constexpr double rounding = 1 + 1e-6; // of the float differences
    return narrow_up(std::max({along / cell.dx_m, across / cell.dy_m, askew / diagonal_m}) * rounding);
}

} // namespace

double reach_m(const TackleTables& tables) {
    // A metre more, so that a room at the cap is told from one that just fits the greatest radius.
    return std::max(tables.greatest_radius_m(), 0.0) + 1;
}

bool coarse_cells(const GroundMetric& metric, const TackleTables& tables) {
    const CellSize least = metric.least();
    return std::max(least.dx_m, least.dy_m) > tables.least_radius_m() / 3;
}

BlockDecider::BlockDecider(const OverlayJob& job)
    : job_(job), transform_(*job.metric, reach_m(*job.tables)),
      judge_(*job.tables, coarse_cells(*job.metric, *job.tables)),
      needs_slope_(job.tables->boat().policy.max_slope || job.wanted.has(Layer::advice) ||
                   job.wanted.has(Layer::zones) || job.wanted.has(Layer::spots)),
      needs_everything_(job.wanted.has(Layer::reasons) || job.wanted.has(Layer::advice)) {}

void BlockDecider::gather(Window core, Workspace& work) const {
    const Window seen = grown(core, transform_.halo());
    job_.depths->read(seen, work.depths);
    work.effects.reset(seen);
    job_.hazards->burn(work.effects);
    work.seabed.reset(core, job_.seabed);
    job_.hazards->burn_seabed(work.seabed);
    mark_unsafe(seen, work);
    work.answers.core = core;
    work.answers.hull_room_m.reset(core);
    work.answers.ground_room_m.reset(core);
    transform_.run(work.unsafe, unsafe::hull, work.answers.hull_room_m);
    transform_.run(work.unsafe, unsafe::ground, work.answers.ground_room_m);
}

void BlockDecider::mark_unsafe(Window seen, Workspace& work) const {
    const double least_m = job_.tables->boat().required_depth_m() - job_.tables->conditions().water.low_m;
    const float afloat_m = narrow_up(least_m);
    work.unsafe.reset(seen);
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
    if (needs_slope_ && !std::isnan(facts.shoal_m))
        facts.slope = slope_at(work.depths.shoal_m, col, row, job_.metric->at(row));
    return facts;
}

void BlockDecider::reset_answers(Window core, BlockAnswers& answers) const {
    const auto reset = [&](Layer layer, auto& plane, auto fill) {
        plane.reset(job_.wanted.has(layer) ? core : Window{}, fill);
    };
    reset(Layer::verdict, answers.verdict, std::uint8_t{0});
    reset(Layer::reasons, answers.reasons, std::uint32_t{0});
    reset(Layer::advice, answers.advice, std::uint16_t{0});
    reset(Layer::depth_low, answers.depth_low_m, not_a_number);
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
        for (int col = core.col; col < core.col_end(); ++col)
            answer_cell(col, row, work, row_runs);
    }
    return runs;
}

void BlockDecider::answer_cell(int col, int row, Workspace& work, std::vector<Run>* runs) const {
    BlockAnswers& out = work.answers;
    const CellFacts facts = this->facts(col, row, work);
    Verdict verdict;
    std::uint16_t advice = 0;
    if (needs_everything_) {
        const CellAnswer answer = judge_.judge(facts);
        verdict = answer.verdict;
        advice = answer.advice;
        if (job_.wanted.has(Layer::reasons)) out.reasons.at(col, row) = answer.reasons;
        if (job_.wanted.has(Layer::advice)) out.advice.at(col, row) = answer.advice;
    } else {
        verdict = judge_.verdict(facts);
        if (runs != nullptr && is_yes(verdict)) advice = judge_.advice(facts);
    }
    if (job_.wanted.has(Layer::verdict)) out.verdict.at(col, row) = static_cast<std::uint8_t>(verdict);
    if (job_.wanted.has(Layer::depth_low)) out.depth_low_m.at(col, row) = judge_.depth_low_m(facts);
    if (judge_.floats(facts)) {
        for (const Way way : all_ways) {
            const auto slot = static_cast<std::size_t>(way);
            const bool rode = job_.wanted.has(of(Layer::rode_full, way)),
                       radius = job_.wanted.has(of(Layer::radius_full, way)),
                       spare = job_.wanted.has(of(Layer::spare_full, way)),
                       wind = job_.wanted.has(of(Layer::wind_limit_full, way));
            if (!rode && !radius && !spare && !wind) continue;
            const Lie lie = job_.tables->lie(way, facts.shoal_m, facts.deep_m);
            if (lie.out != Lie::Out::none) continue;
            if (rode) out.rode_m[slot].at(col, row) = lie.rode_m;
            if (radius) out.radius_m[slot].at(col, row) = lie.radius_m;
            if (spare) out.spare_m[slot].at(col, row) = spare_m(facts, lie);
            if (wind) out.wind_limit_kn[slot].at(col, row) = judge_.wind_limit_kn(way, facts);
        }
    }
    if (runs != nullptr && is_yes(verdict)) add_to_runs(col, row, facts, verdict, advice, *runs);
}

void BlockDecider::add_to_runs(int col, int row, const CellFacts& facts, Verdict verdict,
                               std::uint16_t advice, std::vector<Run>& runs) const {
    const Way way = way_of(verdict);
    const Lie lie = job_.tables->lie(way, facts.shoal_m, facts.deep_m);
    ZoneFigures figures;
    figures.depth_low_min_m = figures.depth_low_max_m = judge_.depth_low_m(facts);
    figures.rode_min_m = figures.rode_max_m = lie.rode_m;
    figures.radius_max_m = lie.radius_m;
    figures.wind_limit_min_kn = judge_.wind_limit_kn(way, facts);
    figures.advice = advice;
    figures.best_spare_m = spare_m(facts, lie);
    figures.best_col = col;
    figures.best_row = row;
    if (!runs.empty() && runs.back().end == col && runs.back().verdict == verdict) {
        runs.back().end = col + 1;
        runs.back().figures.merge(figures);
    } else {
        runs.push_back({col, col + 1, verdict, figures});
    }
}

} // namespace swingroom
