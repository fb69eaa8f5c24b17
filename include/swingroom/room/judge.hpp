#pragma once

#include "swingroom/boat/tables.hpp"
#include "swingroom/room/hazard.hpp"
#include "swingroom/room/verdict.hpp"

#include <array>
#include <cmath>
#include <cstdint>

namespace swingroom {

/// All that is known of a cell before it is judged. Depths in metres below chart datum, NaN where unsurveyed.
struct CellFacts {
    float shoal_m = 0, deep_m = 0;
    float hull_room_m = 0, ground_room_m = 0;
    float slope = 0;          ///< rise over run, rounded up
    std::uint8_t effects = 0; ///< bits of `effect` that touch the cell
    Seabed seabed = Seabed::unknown;
};

/// What is said of a cell. The lies hold only where `judged` is true: the cell is surveyed and floats the
/// hull.
struct CellAnswer {
    Verdict verdict = Verdict::unsurveyed;
    std::uint32_t reasons = 0;
    std::uint16_t advice = 0;
    bool judged = false;
    std::array<Lie, all_ways.size()> lies{};
    /// Room less what the way needs of it, the worse of hull and ground; NaN where the way is out.
    std::array<float, all_ways.size()> spare_m{};
};

/// Judges cells one by one: the same function behind the layers and behind a single position.
class Judge {
public:
    /// @param coarse  cells exceed a third of the least radius   @param tables must outlive the judge
    Judge(const TackleTables& tables, bool coarse) : tables_(&tables), coarse_(coarse) {}

    [[nodiscard]] CellAnswer judge(const CellFacts& cell) const;

private:
    const TackleTables* tables_;
    bool coarse_;
};

} // namespace swingroom
