#pragma once

#include "swingroom/sea/charted_depths.hpp"

#include "sea/cells/enc_cells.hpp"
#include "sea/cells/opened_files.hpp"

#include <functional>
#include <memory>
#include <vector>

namespace swingroom {

/// What a cell of the charts lets expect.
struct ChartedCell {
    /// A depth area or a dredged area.
    struct Area {
        ChartedArea charted;
        std::shared_ptr<const OGRGeometry> geometry; ///< not null
    };
    /// A charted sounding.
    struct Sounding {
        LonLat at;
        double depth_m = 0;    ///< as charted
        bool doubtful = false; ///< see ExpectedDepth::doubtful
    };

    std::vector<Area> areas;             ///< in the order of the cell
    std::vector<Sounding> soundings;     ///< by latitude, longitude and depth
    std::shared_ptr<const Region> finer; ///< what cells of a larger scale cover; not null
};

/// What the charts among the files hold, in their order.   @param files  must outlive what is returned
std::vector<ChartedCell> read_charted_cells(const OpenedFiles& files);

/// What such cells let expect.
/// @param read  gives the cells: asked once, when somebody first asks for a place
std::unique_ptr<ChartedDepths> charted_depths(std::function<std::vector<ChartedCell>()> read);

} // namespace swingroom
