#include "swingroom/overlay/parts.hpp"

#include "overlay/each_block.hpp"
#include "overlay/layer_answers.hpp"
#include "overlay/row_collector.hpp"

#include <algorithm>
#include <cassert>
#include <cstdint>
#include <limits>
#include <memory>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

/// What a part decides: all that is wanted but the way in, and in any case which cells are a yes.
LayerSet decided_by_parts(LayerSet wanted) {
    LayerSet decided;
    for (const LayerTraits& layer : layer_table) {
        if (wanted.has(layer.layer) && layer.layer != Layer::access_level) decided.add(layer.layer);
    }
    if (!wants_zones(wanted)) decided.add(Layer::verdict);
    return decided;
}

/// Runs without figures.
BlockRuns runs_of(const Plane<std::uint8_t>& verdicts) {
    const Window core = verdicts.window();
    BlockRuns runs(static_cast<std::size_t>(core.rows));
    for (int row = core.row; row < core.row_end(); ++row) {
        std::vector<Run>& of_row = runs[static_cast<std::size_t>(row - core.row)];
        for (int col = core.col; col < core.col_end(); ++col) {
            const auto verdict = static_cast<Verdict>(verdicts.at(col, row));
            if (!is_yes(verdict)) continue;
            if (of_row.empty() || of_row.back().end != col || of_row.back().verdict != verdict) {
                of_row.push_back({col, col, verdict, {}, false});
            }
            of_row.back().end = col + 1;
        }
    }
    return runs;
}

/// Decides blocks for one boat.
class JobDecider {
public:
    JobDecider(const OverlayJob& job, LayerSet wanted, const WayIn* way_in)
        : anchorages_(*job.hazards, *job.metric, job.depths->grid().extent(), job.window),
          decider_(job, *job.tables, wanted, job.tide, way_in), gatherer_(job, decider_.halo()) {
        decider_.count(anchorages_);
    }
    JobDecider(const JobDecider&) = delete;
    JobDecider& operator=(const JobDecider&) = delete;
    ~JobDecider() = default;

    /// @returns its runs, if zones are wanted; its answers are in the workspace
    BlockRuns decide(Window core, BlockScratch& scratch) const {
        gatherer_.gather(core, scratch.gathered);
        return decider_.decide(scratch.gathered, scratch.workspace);
    }

private:
    Anchorages anchorages_;
    BlockDecider decider_;
    BlockGatherer gatherer_;
};

/// Finds out whether a block stands as a part has decided it, and puts what is known of the way in into its
/// runs.
class KeptReach {
public:
    explicit KeptReach(const OverlayJob& job) : way_in_(job.way_in), wanted_(job.wanted) {}

    /// @param more_advice  gets what the layer `advice` has more, or no cells
    /// @returns false: the block has to be decided anew
    bool take(Window core, BlockRuns& runs, BlockReach& reach, Plane<std::uint16_t>& more_advice) const {
        more_advice.reset({});
        reach.begin(way_in_, core, wanted_.has(Layer::access_level));
        if (way_in_ == nullptr) return true; // nothing is told of it
        std::vector<int> yes;
        for (int row = core.row; row < core.row_end(); ++row) {
            std::vector<Run>& of_row = runs.at(static_cast<std::size_t>(row - core.row));
            yes.clear();
            for (const Run& run : of_row) {
                for (int col = run.begin; col < run.end; ++col) {
                    yes.push_back(col - core.col);
                }
            }
            reach.take_row(row, yes);
            std::uint16_t advice = 0;
            for (Run& run : of_row) {
                advice = static_cast<std::uint16_t>(advice | take(run, core.col, reach));
            }
            // What is out of reach is told otherwise all over; else there is one advice more.
            if ((advice & advice::out_of_reach) != 0) return false;
            if (advice == 0 || !wanted_.has(Layer::advice)) continue;
            if (more_advice.size() == 0) more_advice.reset(core);
            for (const int i : yes) {
                more_advice.row(row)[i] = reach.advice(i);
            }
        }
        return true;
    }

private:
    /// @returns the advice of all its cells
    static std::uint16_t take(Run& run, int first_col, const BlockReach& reach) {
        const int begin = run.begin - first_col, end = run.end - first_col;
        std::uint16_t advice = 0;
        for (int i = begin; i < end; ++i) {
            advice = static_cast<std::uint16_t>(advice | reach.advice(i));
        }
        run.figures.advice = static_cast<std::uint16_t>(run.figures.advice | advice);
        run.figures.access_level_max_m = reach.zone_level_m(begin, end);
        return advice;
    }

    const WayIn* way_in_;
    LayerSet wanted_;
};

/// The layer `access_level` of a block.
/// @param levels_m  of BlockReach::levels_m()
Plane<float> access_levels_of(Window core, const Plane<float>* levels_m) {
    Plane<float> told(core, std::numeric_limits<float>::quiet_NaN());
    if (levels_m == nullptr) return told;
    std::transform(levels_m->data(), levels_m->data() + levels_m->size(), told.data(), told_access_level_m);
    return told;
}

} // namespace

BlockCut blocks_of_parts(Window window) { return BlockCut(window, block_of_parts); }

BlockShare blocks_of_part(std::size_t blocks, int part, int parts) {
    assert(part >= 1 && part <= parts);
    const auto of = static_cast<std::size_t>(parts), before = static_cast<std::size_t>(part - 1);
    const std::size_t each = blocks / of, larger = blocks % of; // the first ones take one more
    const auto begin = [&](std::size_t at) { return at * each + std::min(at, larger); };
    return {begin(before), begin(before + 1)};
}

void run_part(const OverlayJob& job, BlockShare share, PartSink& sink,
              const std::function<void(double)>& progress) {
    const BlockCut blocks = blocks_of_parts(job.window);
    const JobDecider decider(job, decided_by_parts(job.wanted), nullptr);
    const bool traced = wants_zones(job.wanted);
    const auto take = [&](std::size_t number, BlockScratch& scratch) {
        BlockRuns runs = decider.decide(blocks[number], scratch);
        const BlockAnswers& answers = scratch.workspace.answers;
        if (!traced) runs = runs_of(answers.plane<Layer::verdict>());
        sink.block(number, answers, runs);
    };
    each_block(share, job.threads, progress, take, [] {});
}

void merge_blocks(const OverlayJob& job, const KeptBlocks& kept, MergeSink& sink,
                  const std::function<void(double)>& progress) {
    const BlockCut blocks = blocks_of_parts(job.window);
    const JobDecider decider(job, job.wanted, job.way_in);
    const KeptReach kept_reach(job);
    const bool traced = wants_zones(job.wanted), levels = job.wanted.has(Layer::access_level);
    const std::size_t together = rows_together(block_of_parts);
    const auto collector = std::make_shared<RowCollector>(blocks, together, job, sink);
    const auto take = [&](std::size_t i, BlockScratch& scratch) {
        const std::size_t number = blocks.by_columns(i, together);
        const Window core = blocks[number];
        BlockReach& reach = scratch.workspace.reach;
        BlockRuns runs;
        Plane<std::uint16_t> more_advice;
        kept.runs(number, runs);
        if (kept_reach.take(core, runs, reach, more_advice)) {
            if (levels) sink.access_levels(access_levels_of(core, reach.levels_m()));
            sink.kept_block(number, more_advice);
        } else {
            runs = decider.decide(core, scratch);
            sink.block(scratch.workspace.answers);
        }
        if (!traced) return;
        collector->add(core, runs);
        collector->trace([&scratch] { scratch = BlockScratch(); });
    };
    each_block({0, blocks.count()}, job.threads, progress, take, [&collector] { collector->give_up(); });
    if (traced) sink.last_zones([collector] { collector->finish(); });
}

} // namespace swingroom
