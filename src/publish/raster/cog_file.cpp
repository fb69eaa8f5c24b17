#include "publish/raster/cog_file.hpp"

#include "swingroom/base/stop.hpp"

#include <algorithm>
#include <limits>
#include <stdexcept>
#include <string>
#include <utility>

namespace swingroom {
namespace {

std::vector<std::byte> framed(std::span<const std::byte> compressed) {
    if (compressed.size() < frame_behind || compressed.size() > std::numeric_limits<std::uint32_t>::max()) {
        throw std::logic_error("a tile of no possible size");
    }
    std::vector<std::byte> bytes;
    bytes.reserve(compressed.size() + frame_bytes);
    for (unsigned i = 0; i < frame_before; ++i) {
        bytes.push_back(static_cast<std::byte>(compressed.size() >> (8U * i)));
    }
    bytes.insert(bytes.end(), compressed.begin(), compressed.end());
    const auto last = compressed.last(frame_behind);
    bytes.insert(bytes.end(), last.begin(), last.end());
    return bytes;
}

} // namespace

CogFile::CogFile(std::filesystem::path path, Layout layout, Spool& spool)
    : path_(std::move(path)), layout_(std::move(layout)), spool_(spool), file_(path_) {
    for (const Window extent : level_extents(layout_.extent)) {
        const std::size_t tiles =
            static_cast<std::size_t>(tiles_across(extent)) * static_cast<std::size_t>(tiles_down(extent));
        spooled_at_.emplace_back(levels_.empty() ? 0 : tiles);
        levels_.push_back({extent, std::vector<std::uint32_t>(tiles), 0});
    }
}

void CogFile::put(std::size_t level, std::size_t tile, std::span<const std::byte> compressed) {
    Framed bytes = framed(compressed);
    const std::uint64_t spooled_at = level > 0 ? spool_.put(bytes) : 0;
    const std::scoped_lock lock(mutex_);
    std::uint32_t& size = levels_.at(level).tile_bytes.at(tile);
    if (size != 0) throw std::logic_error("a tile that was there already");
    size = static_cast<std::uint32_t>(compressed.size());
    if (level > 0) {
        spooled_at_[level][tile] = spooled_at;
    } else if (tile == next_) {
        append(bytes);
        append_those_that_waited();
    } else if (waiting_bytes_ + bytes.size() > layout_.waiting_bytes) {
        waiting_.emplace(tile, Spooled{spool_.put(bytes), bytes.size()});
    } else {
        waiting_bytes_ += bytes.size();
        waiting_.emplace(tile, std::move(bytes));
    }
}

void CogFile::append(std::span<const std::byte> framed) {
    file_.write(end_, framed);
    end_ += framed.size();
    ++next_;
}

void CogFile::append_those_that_waited() {
    while (!waiting_.empty() && waiting_.begin()->first == next_) {
        const auto tile = waiting_.extract(waiting_.begin());
        if (const Framed* const bytes = std::get_if<Framed>(&tile.mapped())) {
            waiting_bytes_ -= bytes->size();
            append(*bytes);
        } else {
            append(from_spool(std::get<Spooled>(tile.mapped())));
        }
    }
}

CogFile::Framed CogFile::from_spool(Spooled tile) const {
    Framed bytes(tile.bytes);
    spool_.get(tile.at, bytes);
    return bytes;
}

void CogFile::finish() {
    const std::scoped_lock lock(mutex_);
    for (const CogLevel& level : levels_) {
        if (std::find(level.tile_bytes.begin(), level.tile_bytes.end(), 0U) != level.tile_bytes.end()) {
            throw std::logic_error("a tile has not come");
        }
    }
    const CogHead head{layout_.model, layout_.coding, layout_.big};
    std::uint64_t at = head.bytes(levels_).size();
    for (std::size_t level = levels_.size(); level-- > 0;) {
        if (level == 0) {
            constexpr std::uint64_t step = guarded::PlacedFile::room_step;
            at = (at + step - 1) / step * step;
            file_.make_room(at, end_, layout_.room);
        }
        levels_[level].first_byte = at;
        for (const std::uint32_t bytes : levels_[level].tile_bytes) {
            at += bytes + frame_bytes;
        }
    }
    if (!layout_.big && at > std::numeric_limits<std::uint32_t>::max()) {
        throw std::logic_error("a classic TIFF of more than 4 GB");
    }
    write_front(head.bytes(levels_));
    file_.close();
}

/// All that stands before the raster itself, in pieces of some tiles.
void CogFile::write_front(std::string head) {
    constexpr std::size_t piece_bytes = std::size_t{1} << 20;
    std::uint64_t at = 0;
    std::vector<std::byte> piece;
    const auto take = [&](std::span<const std::byte> bytes, bool is_last) {
        piece.insert(piece.end(), bytes.begin(), bytes.end());
        if (!is_last && piece.size() < piece_bytes) return;
        stop_if_asked();
        file_.write(at, piece);
        at += piece.size();
        piece.clear();
    };
    take(std::as_bytes(std::span(head)), false);
    for (std::size_t level = levels_.size(); level-- > 1;) {
        const CogLevel& of = levels_[level];
        for (std::size_t tile = 0; tile < of.tile_bytes.size(); ++tile) {
            take(from_spool({spooled_at_[level][tile], of.tile_bytes[tile] + frame_bytes}), false);
        }
    }
    // Where the room was made by copying, it still holds what was there before.
    const std::vector<std::byte> zeros(
        static_cast<std::size_t>(levels_.front().first_byte - at - piece.size()));
    take(zeros, true);
}

} // namespace swingroom
