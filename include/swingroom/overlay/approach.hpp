#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/georeference.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

struct OverlayJob;

/// A straight leg of an approach.
struct ApproachLeg {
    LonLat from, to;
    double length_m = 0, course_deg = 0; ///< along the geodesic on WGS 84; the course at `from`, true
    /// The least depth within the clear way of any point of it, dangers of known depth among it, in metres
    /// below chart datum, the uncertainty taken off; rounded down.
    double least_depth_m = 0;
};

/// The shoalest place of an approach.
struct Sill {
    GridCell cell; ///< of the raster, on the line: a turn, unless one is so near that nobody would steer it
    LonLat at;     ///< its centre
    /// As in ApproachLeg, of that cell; and the level above chart datum from which on she floats clear over
    /// it, rounded up.
    double least_depth_m = 0, level_m = 0;
    std::string hazard; ///< a danger that is the least depth: "wreck (wrecks #3)"; empty: the seabed
};

/// The way in to a place as a line, from where it begins; the way out is the same turned round. At the lowest
/// level of the stay at which there is one it is the widest, of those the deepest at its sill, of those
/// about the shortest, in turns at the centres of cells; but a tenth of that room and 0.1 m of that depth are
/// given where it then needs fewer turns. No point of it is nearer than the clear way to what is too shoal at
/// that level, or to a danger.
struct Approach {
    double level_m = 0; ///< above chart datum: what it is found for
    /// The least room to each side of any point of the line as it is, rounded down; at the greatest that
    /// anybody looks at there is at least as much.
    double clear_m = 0;
    double length_m = 0;
    std::vector<ApproachLeg> legs; ///< from the start to the place; none where that is the start
    Sill sill;
    /// So many cells a side were looked at as one, by the worst of them, since there are too many: then there
    /// may be a wider, deeper or shorter one. 1: the line is as told above.
    int together = 1;
};

/// Why no way leads to a place at any level of the stay.
struct ClosedWay {
    /// The sill of the deepest way that water alone would open, whose level is above those of the stay: it
    /// may be a quay. Nothing: no level opens it.
    std::optional<Sill> sill;
    /// What, were it not there, would let her in at the highest level of the stay, also where there is a sill
    /// (or, where none is, at any level), from the start on: "bridge (bridges #2), clearance 8 m". Or empty.
    std::vector<std::string> through;
    /// Whether what is surveyed, or was looked at, does not lead there however high the water stands, even if
    /// no danger were there.
    bool data_ends = true;
    /// As of an approach. Where it is more than 1 the level of the sill is the most that it may be, and data
    /// may end only for squares of cells.
    int together = 1;
};

/// One of the two, or neither where the search was too coarse to find a line though there is a way.
struct WayToPlace {
    std::optional<Approach> approach;
    std::optional<ClosedWay> closed;
};

/// Whether lines give a little room and depth for fewer turns.
enum class Turns : std::uint8_t { fewer, as_found };

/// Finds the approaches to places. Memory: some 40 bytes for each of the cells that it looks at, of which
/// there are at most `most_cells`: of a larger raster cells are put together, by the worst of them.
class ApproachFinder {
public:
    static constexpr std::int64_t most_cells = 2 << 20;

    /// @param job  over all of its raster, with a way in whose start is known; it must outlive this, as must
    ///             the georeference
    ApproachFinder(const OverlayJob& job, const Georeference& georeference, Turns turns = Turns::fewer);
    ~ApproachFinder();

    /// @param places    cells of the raster
    /// @param progress  called with the fraction done, from one thread at a time; may be empty
    /// @returns for each of them   @throws what the depths or the progress throw
    [[nodiscard]] std::vector<WayToPlace> find(std::span<const GridCell> places,
                                               const std::function<void(double)>& progress = {}) const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace swingroom
