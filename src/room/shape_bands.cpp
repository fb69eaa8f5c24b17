#include "room/shape_bands.hpp"

#include <algorithm>

namespace swingroom {
namespace {

/// Rows of cells in a block of a run. A band has that many or a multiple of it.
constexpr int rows_of_block = 512;
/// All shapes are looked at for each band: that must not be done too often.
constexpr int most_bands = 64;
/// Blocks are worked at by two rows of them, and the next two rows have begun before the last block of these
/// is done, which is one of the lower row: three rows of blocks, and around them the reach of the longest
/// rode.
constexpr int rows_at_work = 3 * rows_of_block + 256;

/// So many bands of that height do rows at work touch at the most, wherever they begin.
constexpr std::size_t bands_at_work(int rows_each) {
    return static_cast<std::size_t>(rows_at_work / rows_each) + 2;
}

} // namespace

ShapeBands::ShapeBands(Window extent, Window within, Prepare prepare)
    : extent_(extent), within_(common(within, extent)),
      rows_each_(rows_of_block * (1 + extent.rows / (rows_of_block * most_bands + 1))),
      prepare_(std::move(prepare)) {}

ShapeBands::Band ShapeBands::band(int number) const {
    const std::lock_guard lock(mutex_);
    const auto known =
        std::find_if(kept_.begin(), kept_.end(), [&](const auto& one) { return one.first == number; });
    if (known != kept_.end()) {
        std::rotate(kept_.begin(), known, known + 1);
        return kept_.front().second;
    }
    // What goes goes first, so that both never need room at once.
    if (kept_.size() >= bands_at_work(rows_each_)) kept_.pop_back();
    Band made = std::make_shared<const ShapeField>(prepare_(common(rows_of(number), within_)));
    kept_.insert(kept_.begin(), {number, made});
    return made;
}

} // namespace swingroom
