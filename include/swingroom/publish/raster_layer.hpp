#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/compression.hpp"
#include "swingroom/publish/palette.hpp"
#include "swingroom/publish/provenance.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// A class of a categorical layer: its value, its name, its colour (red, green, blue, alpha), its pattern.
struct Category {
    /// What the cells of the class hold.
    std::uint8_t value = 0;
    /// What the value means, as the file's metadata and the styles tell it.
    std::string name;
    /// Red, green, blue and opacity, 0 to 255, for the file's colour table and all styles.
    std::array<std::uint8_t, 4> rgba{};
    Hatch hatch = Hatch::none; ///< of pictures of it
};

/// A step of a layer of figures, for pictures of it: above the step before and up to its own end.
struct Step {
    double up_to = 0; ///< the last one's is infinite
    std::string name; ///< "5 to 7 m"
    /// Red, green, blue and opacity, 0 to 255; a colour of the palette's ramp.
    std::array<std::uint8_t, 4> rgba{};
};

/// What a layer file is. Floats use NaN as nodata; NaN is worse than any value.
struct LayerSpec {
    std::string name;        ///< file name without ending: "hull_room"
    std::string description; ///< one sentence, with the unit in words
    /// What its cells are stored as; write() takes planes of this type alone.
    CellType type = CellType::float32;
    /// Which of the cells below it a cell of an overview takes.
    Worst worst = Worst::least;
    std::string unit; ///< "m", "kn" or empty
    /// The classes of a layer that has such; empty for figures and sets of bits.
    std::vector<Category> categories;
    std::vector<Step> steps; ///< of a layer of figures that has a look; empty for all others
    std::vector<std::pair<std::string, std::string>>
        bits;                     ///< for bit sets: bit number and meaning, into the metadata
    std::optional<double> nodata; ///< for integer layers; floats always have NaN
};

/// How a layer is kept while it is written, and in its file.
struct RasterStorage {
    Compression compression = Compression::deflate; ///< of the tiles; this GDAL must have it
    /// Of what waits in memory for the rest of its tile or for the tiles before it; more than that goes to a
    /// file without a name in the layer's folder.
    std::size_t waiting_bytes = std::size_t{32} << 20;
};

struct KeptTiles; ///< the implementation's own

/// One Cloud Optimized GeoTIFF being written: windows in any order from several threads, then finish().
/// Whoever brings the last cell of a tile of 512 x 512 compresses it; planes that hold whole tiles cost
/// least.
class RasterLayer {
public:
    /// @param folder   existing folder to write `name`.tif into
    /// @param grid     of the layer itself (the window asked for)
    /// @param threads  that re-read in finish(); the bytes do not depend on them
    /// @param first    cell of the planes' raster that is this layer's (0, 0), where the layer is a part of
    /// it
    /// @throws IoError
    RasterLayer(const std::filesystem::path& folder, LayerSpec spec, const Grid& grid,
                const Provenance& provenance, int threads, GridCell first = {},
                const RasterStorage& storage = {});
    ~RasterLayer();
    RasterLayer(const RasterLayer&) = delete;
    RasterLayer& operator=(const RasterLayer&) = delete;

    /// Writes a plane whose window is given in cells of the planes' raster, inside the layer. Every cell is
    /// written exactly once, in any order, from any thread; the bytes of the file depend on neither.
    /// @throws IoError
    void write(const Plane<std::uint8_t>& plane);
    void write(const Plane<std::uint16_t>& plane);
    void write(const Plane<std::uint32_t>& plane);
    void write(const Plane<float>& plane);
    /// Takes a plane's tiles that were made elsewhere, with the layer's own coding, in place of the plane.
    /// @param plane  its window, which holds whole tiles of the layer   @throws IoError
    void put(Window plane, const KeptTiles& kept);

    /// Overviews by the worst of their cells, in one Cloud Optimized GeoTIFF with what write() was given;
    /// then re-read and compared with what was written.
    /// @throws IoError
    void finish();
    /// What the layer was made with.
    [[nodiscard]] const LayerSpec& spec() const;

    struct State; ///< the implementation's own

private:
    std::unique_ptr<State> state_;
};

} // namespace swingroom
