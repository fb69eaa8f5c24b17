#include "sea/raster/locked_block.hpp"

#include "sea/gdal/gdal_messages.hpp"

#include <cstddef>

namespace swingroom::bathymetry {

LockedBlock::LockedBlock(GDALRasterBand& band, int col, int row, std::mutex& one_at_a_time) {
    const GdalMessages messages;
    const std::lock_guard lock(one_at_a_time);
    block_ = band.GetLockedBlockRef(col, row);
    if (block_ == nullptr || !messages.failed()) return;
    block_->DropLock();
    block_ = nullptr;
}

LockedBlock::~LockedBlock() {
    if (block_ != nullptr) block_->DropLock();
}

void LockedBlock::copy(int first_col, int row, int count, GDALDataType type, void* to) const {
    const GDALDataType own = block_->GetDataType();
    const int bytes = GDALGetDataTypeSizeBytes(own);
    const std::size_t at = static_cast<std::size_t>(row) * static_cast<std::size_t>(block_->GetXSize()) +
                           static_cast<std::size_t>(first_col);
    const auto* const from =
        static_cast<const std::byte*>(block_->GetDataRef()) + at * static_cast<std::size_t>(bytes);
    GDALCopyWords(from, own, bytes, to, type, GDALGetDataTypeSizeBytes(type), count);
}

} // namespace swingroom::bathymetry
