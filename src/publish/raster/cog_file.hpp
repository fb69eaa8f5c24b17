#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/base/spooling.hpp"

#include "base/spool.hpp"
#include "publish/folder/placed_file.hpp"
#include "publish/raster/cog_head.hpp"
#include "publish/raster/tiff_tags.hpp"
#include "publish/raster/tile_codec.hpp"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <map>
#include <mutex>
#include <span>
#include <variant>
#include <vector>

namespace swingroom {

/// A Cloud Optimized GeoTIFF written in one pass, from tiles that are compressed already and come in any
/// order, from several threads. The file holds, and its bytes depend on nothing else:
///
///     header, GDAL's note on the layout, the directories    CogHead
///     the overviews' tiles, the smallest overview first     each in its frame, row by row
///     zeros up to a multiple of 4096 bytes
///     the tiles of the raster itself                        likewise
///
/// The last are most of it, and are written to the file as soon as all before them are there; those of the
/// overviews go to the spool meanwhile. When all have come, room is made for what stands before: most file
/// systems of Linux can do that without copying a byte.
class CogFile {
public:
    struct Layout {
        Window extent;
        std::vector<TiffTag> model; ///< of layer_model()
        TileCoding coding;
        bool big = false; ///< BigTIFF: as may_pass_4_gb() says
        guarded::PlacedFile::Room room = guarded::PlacedFile::Room::inserted;
        std::size_t waiting_bytes = std::size_t{2}
                                    << 20; ///< of tiles that wait in memory, before they are spooled
    };

    /// Creates the file.   @param spool  outlives this   @throws IoError
    CogFile(std::filesystem::path path, Layout layout, Spool& spool);

    /// The raster's own extent and those of its overviews.
    [[nodiscard]] const std::vector<CogLevel>& levels() const { return levels_; }

    /// Takes a tile, compressed as the layout says, each once.
    /// @param level  0: the raster itself   @param tile  counted row by row   @throws IoError
    void put(std::size_t level, std::size_t tile, std::span<const std::byte> compressed);
    /// Writes what is left and closes the file.   @pre every tile has been put   @throws IoError
    void finish();

private:
    /// A tile that was put to the spool.
    struct Spooled {
        std::uint64_t at = 0;
        std::size_t bytes = 0;
    };
    using Framed = std::vector<std::byte>;

    void append(std::span<const std::byte> framed);
    void append_those_that_waited();
    [[nodiscard]] Framed from_spool(Spooled tile) const;
    void write_front(std::string head);

    std::filesystem::path path_;
    Layout layout_;
    Spool& spool_;
    std::vector<CogLevel> levels_;
    std::vector<std::vector<std::uint64_t>> spooled_at_; ///< by level and tile; of overviews alone
    std::mutex mutex_;                                   ///< guards all that follows, and the tiles' sizes
    guarded::PlacedFile file_;
    std::size_t next_ = 0;  ///< tile of the raster itself
    std::uint64_t end_ = 0; ///< of the file so far
    std::size_t waiting_bytes_ = 0;
    std::map<std::size_t, std::variant<Framed, Spooled>> waiting_; ///< by tile
};

} // namespace swingroom
