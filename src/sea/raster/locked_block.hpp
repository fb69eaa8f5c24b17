#pragma once

#include <gdal_priv.h>

#include <mutex>

namespace swingroom::bathymetry {

/// A block of a band as GDAL keeps it decoded, which stays there as long as this does.
class LockedBlock {
public:
    /// Decodes it if need be.
    /// @param col, row  of the block among the blocks of the band
    /// @param one_at_a_time  guards the band's dataset, and is held for that long only
    LockedBlock(GDALRasterBand& band, int col, int row, std::mutex& one_at_a_time);
    ~LockedBlock();
    LockedBlock(const LockedBlock&) = delete;
    LockedBlock& operator=(const LockedBlock&) = delete;

    /// Whether it is there: not if anything went wrong.
    [[nodiscard]] bool read() const { return block_ != nullptr; }
    /// Copies values of a row.
    /// @param first_col, row  counted from those of the block   @param type  of the copy   @pre read()
    void copy(int first_col, int row, int count, GDALDataType type, void* to) const;

private:
    GDALRasterBlock* block_ = nullptr;
};

} // namespace swingroom::bathymetry
