#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/approach.hpp"

#include "report/map_frame.hpp"
#include "report/map_labels.hpp"

#include <array>
#include <set>
#include <vector>

namespace swingroom {

/// The approaches on one map: lines with their direction, and the sills upon them. What several share is
/// drawn once.
class MapWays {
public:
    /// No approach yet.
    explicit MapWays(const MapFrame& frame) : frame_(frame) {}

    /// @param sill_counts  whether she has to wait for water over it: else it is no more than the shoalest of
    /// deep
    ///                     water, and not marked
    void add(const Approach& approach, bool sill_counts);

    /// Lines, with arrowheads from the start to the place.
    [[nodiscard]] Markup lines() const;
    /// Marks of the sills, which lie over the lines.
    [[nodiscard]] Markup sills() const;
    /// Their least depths, where there is room.
    Markup words(MapLabels& labels, const Measures& measures) const;
    /// Keeps words off the lines.
    void keep_clear(MapLabels& labels) const;
    /// The same of the sills: for words that come before their own.
    [[nodiscard]] std::vector<GridPoint> points() const;

    /// Whether any of them is to be seen.
    [[nodiscard]] bool any_line() const { return !legs_.empty(); }
    [[nodiscard]] bool any_sill() const { return !sills_.empty(); }

private:
    /// In the picture.
    struct Leg {
        GridPoint from, to;
    };
    struct Mark {
        GridPoint at;
        double turn_deg = 0; ///< of the line there, clockwise from upwards
        double least_depth_m = 0;
    };
    using Key = std::array<long, 4>;

    [[nodiscard]] bool passes(const Leg& leg) const;

    MapFrame frame_;
    std::vector<Leg> legs_;
    std::vector<Mark> sills_;
    std::set<Key> drawn_;
};

/// The mark of a sill around (0, 0), on a way that leads upwards; and an arrowhead on it.
Markup sill_drawing();
Markup arrow_drawing();

} // namespace swingroom
