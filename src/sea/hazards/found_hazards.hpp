#pragma once

#include "swingroom/sea/hazards.hpp"

#include "sea/cells/enc_cells.hpp"
#include "sea/files/vector_file.hpp"
#include "sea/ground/vicinity.hpp"

#include <memory>
#include <span>
#include <vector>

/// What the functions of hazards.hpp do, for who has opened the files already.
namespace swingroom {

/// read_hazards() for one part of the sea after another. What rules make of the features of cells is found
/// out once.
class HazardReader {
public:
    /// Files, cells, grid and metric must outlive it.
    /// @param cells  those among the files
    HazardReader(std::span<const VectorFile> files, const EncCells& cells, std::vector<HazardRule> rules,
                 const Grid& grid, const GroundMetric& metric);
    ~HazardReader();
    HazardReader(const HazardReader&) = delete;
    HazardReader& operator=(const HazardReader&) = delete;

    /// @param near  features further away are counted, not placed: whether they bear on the raster is told by
    ///              their boxes alone
    HazardSet read(const HazardTerms& terms, const Vicinity& near);

private:
    struct State;
    std::unique_ptr<State> state_;
};

/// count_hazards() of files that are open: no feature is placed, so that the set has no hazards.
HazardSet counts_in(std::span<const VectorFile> files, const EncCells& cells,
                    const std::vector<HazardRule>& rules);

} // namespace swingroom
