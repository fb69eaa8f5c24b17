#include "swingroom/overlay/overlay.hpp"

#include "swingroom/overlay/layers.hpp"
#include "swingroom/room/verdict.hpp"

#include "overlay/block_decider.hpp"
#include "overlay/each_block.hpp"
#include "overlay/row_collector.hpp"

#include <algorithm>
#include <cstdint>
#include <deque>
#include <memory>
#include <stdexcept>
#include <utility>

namespace swingroom {
namespace {

LayerSet with(LayerSet layers, Layer layer) {
    layers.add(layer);
    return layers;
}

/// Adds a boat to the count of each cell.   @param verdicts  of the same cells
void count_yes(const Plane<std::uint8_t>& verdicts, Plane<std::uint8_t>& boats_yes) {
    std::transform(boats_yes.data(), boats_yes.data() + boats_yes.size(), verdicts.data(), boats_yes.data(),
                   [](std::uint8_t before, std::uint8_t of_boat) {
                       const auto verdict = static_cast<Verdict>(of_boat);
                       if (verdict == Verdict::unsurveyed || before == boats_yes_unsurveyed) {
                           return boats_yes_unsurveyed;
                       }
                       return static_cast<std::uint8_t>(before + (is_yes(verdict) ? 1 : 0));
                   });
}

/// One boat's way through the run.
struct Course {
    /// @param counted  whether its yes cells are, which takes its verdicts
    Course(const SeaView& sea, const BoatJob& boat, const BlockCut& blocks, std::size_t together,
           bool counted)
        : decider(sea, *boat.tables, counted ? with(boat.wanted, Layer::verdict) : boat.wanted, boat.tide,
                  boat.way_in),
          collector(std::make_shared<RowCollector>(blocks, together, sea, *boat.sink)), sink(*boat.sink),
          traced(wants_zones(boat.wanted)) {}

    void take(Gathered& gathered, Workspace& work) {
        const BlockRuns runs = decider.decide(gathered, work);
        sink.block(work.answers);
        if (traced) collector->add(gathered.core, runs);
    }

    BlockDecider decider;
    std::shared_ptr<RowCollector> collector;
    OverlaySink& sink;
    bool traced;
};

} // namespace

HullNeeds hull_needs(const OverlayJob& job) {
    return hull_needs(job.tables->boat(), job.tables->conditions().water);
}

void run_overlay(const OverlayJob& job, OverlaySink& sink, const std::function<void(double)>& progress) {
    const BoatJob boat{job.tables, job.wanted, &sink, job.tide, job.way_in};
    run_overlay(job, {&boat, 1}, job.block, job.threads, progress);
}

void run_overlay(const SeaView& sea, std::span<const BoatJob> boats, BlockSize block, int threads,
                 const std::function<void(double)>& progress, BoatsSink* all_boats) {
    if (all_boats != nullptr && boats.size() > most_boats_counted) {
        throw std::logic_error("more boats than can be counted");
    }
    const BlockCut blocks(sea.window, block);
    const std::size_t together = rows_together(block);
    std::deque<Anchorages> anchorages; // neither these nor what uses them moves
    std::deque<Course> courses;
    int halo = 0;
    for (const BoatJob& boat : boats) {
        courses.emplace_back(sea, boat, blocks, together, all_boats != nullptr);
        anchorages.emplace_back(boat.hazards != nullptr ? *boat.hazards : *sea.hazards, *sea.metric,
                                sea.depths->grid().extent(), sea.window);
        courses.back().decider.count(anchorages.back());
        halo = std::max(halo, courses.back().decider.halo());
    }
    const BlockGatherer gatherer(sea, halo);
    const auto take = [&](std::size_t i, BlockScratch& scratch) {
        const std::size_t number = blocks.by_columns(i, together);
        gatherer.gather(blocks[number], scratch.gathered);
        if (all_boats != nullptr) scratch.boats_yes.reset(blocks[number]);
        for (Course& course : courses) {
            course.take(scratch.gathered, scratch.workspace);
            if (all_boats != nullptr) {
                count_yes(scratch.workspace.answers.plane<Layer::verdict>(), scratch.boats_yes);
            }
        }
        if (all_boats != nullptr) all_boats->block(scratch.boats_yes);
        // Between two blocks nothing of them is needed.
        const std::function<void()> make_room = [&scratch] { scratch = BlockScratch(); };
        for (Course& course : courses) {
            if (course.traced) course.collector->trace(make_room);
        }
    };
    const auto failed = [&] {
        for (Course& course : courses) {
            course.collector->give_up();
        }
    };
    each_block({0, blocks.count()}, threads, progress, take, failed);
    for (Course& course : courses) {
        if (course.traced) course.sink.last_zones([of = course.collector] { of->finish(); });
    }
}

} // namespace swingroom
