#pragma once

#include "swingroom/room/hazard_field.hpp"

namespace swingroom::testing_support {

/// What a field of hazards makes of a seabed that is the same everywhere: the worst of each cell.
inline Plane<Seabed> burnt_seabeds(const HazardField& field, Window window, Seabed before,
                                   const SeabedOrder& order = seabeds_by_class) {
    Plane<SeabedSet> sets(window, SeabedSet(before));
    field.burn_seabeds(sets);
    Plane<Seabed> worst(window);
    for (std::size_t i = 0; i < sets.size(); ++i) {
        worst.data()[i] = sets.data()[i].worst(order);
    }
    return worst;
}

} // namespace swingroom::testing_support
