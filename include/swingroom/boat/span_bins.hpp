#pragma once

#include <algorithm>
#include <bit>
#include <cstdint>

namespace swingroom {

/// Bins of spans, counted down from the deepest: one step wide at first, then twice as wide each time that
/// the distance below the deepest span has doubled. So bins are wide where the shoal side lies far above the
/// deep one, but never wide against that distance.
struct BinGrading {
    double per_m = 1;  ///< steps in a metre
    int fine_bits = 1; ///< the first 2^fine_bits bins are one step wide
    /// How many times the width has doubled so many steps below the deepest.
    [[nodiscard]] int doublings(std::uint32_t below) const {
        return std::max(0, static_cast<int>(std::bit_width(below)) - fine_bits);
    }
    /// How wide the bin is in which that step lies, in steps.
    [[nodiscard]] double width(std::uint32_t below) const {
        return static_cast<double>(std::uint32_t{1} << doublings(below));
    }
    /// The bin of what lies so many steps below the deepest.
    [[nodiscard]] std::uint32_t bin(std::uint32_t below) const {
        const int times = doublings(below);
        return (static_cast<std::uint32_t>(times) << (fine_bits - 1)) + (below >> times);
    }
    /// The most steps below the deepest that still go into a bin.
    [[nodiscard]] std::uint32_t most_below(std::uint32_t bin) const {
        const std::uint32_t halves = bin >> (fine_bits - 1), times = halves > 0 ? halves - 1 : 0;
        return ((bin - (times << (fine_bits - 1)) + 1) << times) - 1;
    }
};

/// The bins of a row's spans at low water, in steps: the deepest and the least span, multiples of a step.
struct SpanBins {
    /// The step of the deepest span, and that of the least one, each the greatest step that is not above it.
    std::int32_t top = 0, bottom = 0;
    /// The number of bins; bin 0 is the deepest.
    std::uint32_t count = 0;

    SpanBins() = default;
    /// For all spans from least_m to most_m.
    SpanBins(double least_m, double most_m, const BinGrading& grading)
        : top(static_cast<std::int32_t>(most_m * grading.per_m)),
          bottom(static_cast<std::int32_t>(least_m * grading.per_m)),
          count(grading.bin(static_cast<std::uint32_t>(top - bottom)) + 1) {}

    /// How many steps a span at low water lies below the deepest; those beyond the deepest or the least count
    /// as these.
    [[nodiscard]] std::uint32_t steps_below(const BinGrading& grading, double span_m) const {
        const auto step = static_cast<std::int32_t>(span_m * grading.per_m);
        return static_cast<std::uint32_t>(std::max(0, top - std::max(step, bottom)));
    }
    /// The bin of a span at low water; spans beyond the deepest or the least go into the last bin on that
    /// side.
    [[nodiscard]] std::uint32_t bin_of(const BinGrading& grading, double span_m) const {
        return grading.bin(steps_below(grading, span_m));
    }
    /// Spans of a bin: none of the row's is less or more.
    [[nodiscard]] double lower_edge_m(const BinGrading& grading, std::uint32_t bin) const {
        const auto below = static_cast<std::int32_t>(grading.most_below(bin));
        return std::max(bottom, top - below) / grading.per_m;
    }
    /// The greatest span that goes into the bin, in metres.
    [[nodiscard]] double upper_edge_m(const BinGrading& grading, std::uint32_t bin) const {
        const auto below = bin > 0 ? static_cast<std::int32_t>(grading.most_below(bin - 1)) + 1 : 0;
        return (top - below + 1) / grading.per_m;
    }
};

} // namespace swingroom
