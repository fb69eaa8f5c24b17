#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/room/judge.hpp"

namespace swingroom {

/// Rounds figures to the steps that their layers are told in: once, from the answer itself, as every output
/// does. All is decided before. What is compared with a figure known beforehand stays on its side of it:
/// least water on that of what floats the boat, a wind limit on that of the planned wind; the spare room does
/// so by itself, zero being a step.
class ToldFigures {
public:
    /// @param judge  of the boat that is answered for
    explicit ToldFigures(const Judge& judge)
        : afloat_m_(judge.least_water_afloat_m()), planned_wind_kn_(judge.planned_wind_kn()) {}

    /// The figures of a layer as they are told.
    /// @param scratch  holds them where they are others than `exact`
    /// @returns one of the two, never null
    [[nodiscard]] const Plane<float>* of(Layer layer, const Plane<float>& exact, Plane<float>& scratch) const;

private:
    [[nodiscard]] float kept(Layer layer) const;

    float afloat_m_, planned_wind_kn_;
};

} // namespace swingroom
