#pragma once

#include <gdal_priv.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <set>
#include <string>
#include <utility>
#include <vector>

/// The layer boats_yes against the boats' own verdict.tif, by nothing but what the manual says of the two.
namespace swingroom::testing_support {

/// One level of a raster of bytes, row by row.
struct ByteLevel {
    int cols = 0, rows = 0;
    std::vector<std::uint8_t> cells;

    [[nodiscard]] int at(int col, int row) const {
        return cells[static_cast<std::size_t>(row) * static_cast<std::size_t>(cols) +
                     static_cast<std::size_t>(col)];
    }
};

/// The raster itself and its overviews, the finest first; none where the file is no raster.
inline std::vector<ByteLevel> byte_levels_of(const std::string& file) {
    GDALAllRegister();
    const GDALDatasetUniquePtr dataset(GDALDataset::Open(file.c_str(), GDAL_OF_RASTER));
    std::vector<ByteLevel> levels;
    if (!dataset) return levels;
    GDALRasterBand& band = *dataset->GetRasterBand(1);
    for (int level = -1; level < band.GetOverviewCount(); ++level) {
        GDALRasterBand& of_level = level < 0 ? band : *band.GetOverview(level);
        ByteLevel read{of_level.GetXSize(), of_level.GetYSize(), {}};
        read.cells.resize(static_cast<std::size_t>(read.cols) * static_cast<std::size_t>(read.rows));
        EXPECT_EQ(of_level.RasterIO(GF_Read, 0, 0, read.cols, read.rows, read.cells.data(), read.cols,
                                    read.rows, GDT_Byte, 0, 0, nullptr),
                  CE_None);
        levels.push_back(std::move(read));
    }
    return levels;
}

/// The least of four; unsurveyed where one is.
inline ByteLevel halved_counts(const ByteLevel& finer) {
    ByteLevel half{(finer.cols + 1) / 2, (finer.rows + 1) / 2, {}};
    for (int row = 0; row < half.rows; ++row) {
        for (int col = 0; col < half.cols; ++col) {
            int least = 254;
            bool surveyed = true;
            for (int r = 2 * row; r < std::min(2 * row + 2, finer.rows); ++r) {
                for (int c = 2 * col; c < std::min(2 * col + 2, finer.cols); ++c) {
                    surveyed = surveyed && finer.at(c, r) != 255;
                    least = std::min(least, finer.at(c, r));
                }
            }
            half.cells.push_back(static_cast<std::uint8_t>(surveyed ? least : 255));
        }
    }
    return half;
}

/// Holds every cell of every level of a boats_yes.tif to the boats' verdicts there.
/// @returns the counts that there are in it
inline std::set<int> expect_counts_of(const std::string& boats_yes,
                                      const std::vector<std::string>& verdicts) {
    std::set<int> seen;
    const std::vector<ByteLevel> counted = byte_levels_of(boats_yes);
    EXPECT_GE(counted.size(), 2U) << boats_yes << " has no overview";
    std::vector<std::vector<ByteLevel>> of_boats;
    for (const std::string& file : verdicts) {
        of_boats.push_back(byte_levels_of(file));
        EXPECT_EQ(of_boats.back().size(), counted.size()) << file;
        if (of_boats.back().size() != counted.size()) return seen;
    }
    const int boats = static_cast<int>(verdicts.size());
    std::size_t wrong = 0;
    for (std::size_t level = 0; level < counted.size(); ++level) {
        for (std::size_t i = 0; i < counted[level].cells.size(); ++i) {
            int yes = 0, unsurveyed = 0;
            for (const std::vector<ByteLevel>& of_boat : of_boats) {
                const int verdict = of_boat[level].cells.at(i);
                yes += verdict >= 2 && verdict <= 7 ? 1 : 0;
                unsurveyed += verdict == 0 ? 1 : 0;
            }
            const int count = counted[level].cells[i];
            seen.insert(count);
            // In an overview others may have the yes in one cell than in the next.
            const bool right = count == 255 ? unsurveyed == boats
                                            : unsurveyed == 0 && (count == boats) == (yes == boats) &&
                                                  (level == 0 ? count == yes : count >= yes);
            wrong += right ? 0 : 1;
        }
        if (level > 0) {
            EXPECT_EQ(counted[level].cells, halved_counts(counted[level - 1]).cells) << "level " << level;
        }
    }
    EXPECT_EQ(wrong, 0U) << "cells of " << boats_yes;
    return seen;
}

} // namespace swingroom::testing_support
