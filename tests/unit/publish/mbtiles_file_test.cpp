// Tiles as any reader of PNG takes them: by the PNG specification (W3C, third edition, 11.2.1) the first
// chunk, IHDR, has the bit depth in its ninth byte and the colour type, 3 for a palette, in its tenth.

#include "publish/raster/mbtiles_file.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gtest/gtest.h>

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing::ScratchFolder;

TEST(MbtilesFile, HasHalfAByteAPixelWhereThatTellsAllColoursApart) {
    for (const int colours : {2, 16, 17, 256}) {
        SCOPED_TRACE(colours);
        const ScratchFolder folder;
        std::vector<TileColour> palette;
        for (int i = 0; i < colours; ++i) {
            const auto part = static_cast<std::uint8_t>(i);
            palette.push_back({part, static_cast<std::uint8_t>(255 - part), 7,
                               static_cast<std::uint8_t>(i == 0 ? 0 : 200)});
        }
        TilePicture picture(std::size_t{tile_pixels} * tile_pixels);
        for (std::size_t i = 0; i < picture.size(); ++i) {
            picture[i] = static_cast<std::uint8_t>((i + i / tile_pixels) % palette.size());
        }
        MbtilesFile file(folder.path() / "layer.mbtiles", {{"name", "layer"}}, palette);
        const CompressedTile tile = file.compressed({5, 3, 4}, picture);
        constexpr std::size_t header = 8 + 4 + 4; // signature, length and type of the first chunk
        ASSERT_EQ(tile.png.substr(header - 4, 4), "IHDR");
        EXPECT_EQ(static_cast<int>(tile.png.at(header + 8)), colours <= 16 ? 4 : 8);
        EXPECT_EQ(static_cast<int>(tile.png.at(header + 9)), 3);
        file.add(tile);
        EXPECT_NO_THROW(file.finish(1)) << "reads every pixel and colour back";
        EXPECT_TRUE(std::filesystem::exists(folder.path() / "layer.mbtiles"));
    }
}

} // namespace
} // namespace swingroom
