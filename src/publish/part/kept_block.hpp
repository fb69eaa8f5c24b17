#pragma once

#include "swingroom/overlay/block_answers.hpp"
#include "swingroom/overlay/map_planes.hpp"
#include "swingroom/overlay/tally.hpp"

#include "publish/raster/kept_tiles.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

/// What a part keeps of a block but its runs.
struct KeptBlock {
    std::int64_t afloat = 0;               ///< as BlockAnswers has it, and so are the next two
    Tally tally;                           ///< see `afloat`
    std::vector<AnchoragePart> anchorages; ///< see `afloat`
    std::optional<MapPixels> map;          ///< where a map is wanted
    std::vector<KeptTiles> layers;         ///< of the layers that a part keeps, in their order
};

/// A block and the run that it is of: what is known to whoever reads it.
struct BlockPlace {
    Window core;   ///< of the block, in cells of the raster
    Window window; ///< of the run
    /// How many layers and anchorages the run has.
    std::size_t layers = 0, anchorages = 0;
    std::string name; ///< of the file, for messages
};

/// As bytes, which are the same for the same content.
std::vector<std::uint8_t> packed(const BlockRuns& runs);
std::vector<std::uint8_t> packed(const KeptBlock& block);

/// What was packed().   @throws IoError  it cannot be of that place
BlockRuns unpacked_runs(std::span<const std::uint8_t> bytes, const BlockPlace& place);
KeptBlock unpacked_block(std::span<const std::uint8_t> bytes, const BlockPlace& place);

} // namespace swingroom
