#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/georeference.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// How far around a place soundings are looked for: two cables. Common practice, no source.
inline constexpr double soundings_within_m = 370;

/// A depth area of a chart, as it is charted.
struct ChartedArea {
    std::string label; ///< layer and feature, as hazards are called: "DEPARE #12 QQ 0000000012 00001"
    double from_m = 0; ///< its shallow edge, metres below chart datum; negative: it dries
    std::optional<double> to_m{}; ///< its deep edge; none: not charted
};

/// A sounding seen from a place.
struct SeenSounding {
    double depth_m = 0;     ///< below chart datum, as charted: its uncertainty is not taken off
    double distance_m = 0;  ///< geodesic, on WGS 84
    double bearing_deg = 0; ///< true, [0, 360); meaningless at 0 m
};

/// What the charts let a skipper expect at a place: told, never reckoned with.
struct ExpectedDepth {
    /// The depth and dredged areas that share some of the cell, of the chart that counts there: the shoalest
    /// first, and of those the deepest edge last.
    std::vector<ChartedArea> areas;
    std::size_t soundings = 0; ///< how many lie within soundings_within_m, of the charts that count there
    /// Of these; nothing means anything where there is none.
    double least_m = 0, greatest_m = 0;
    SeenSounding nearest; ///< of these; of several the shoalest
    /// Soundings so near of which the chart says that they are unknown, doubtful, unreliable, or reported
    /// only, or where no bottom was found (QUASOU 2, 3, 4, 5, 8, 9). They are not among the others.
    std::size_t doubtful = 0;
    double doubtful_least_m = 0; ///< of these

    /// The shallow edge of the shoalest area.   @pre there is an area
    [[nodiscard]] double from_m() const { return areas.front().from_m; }
    /// The deep edge of the deepest; none where one states none.
    [[nodiscard]] std::optional<double> to_m() const;
};

/// Depth areas and soundings of charts, to be told. The first that asks reads them off the cells; nothing is
/// kept of what nobody asks for. Several threads may ask; they are answered one after the other.
struct ChartedDepths {
    virtual ~ChartedDepths() = default;
    /// @param outline  corners of the cell, in their order round it
    /// @param from     where distances are from, in it or near it
    [[nodiscard]] virtual ExpectedDepth expected(const std::vector<LonLat>& outline, LonLat from) const = 0;
};

/// The corners of a cell of a grid, in their order round it.
std::vector<LonLat> outline_of(const Georeference& georeference, int col, int row);

} // namespace swingroom
