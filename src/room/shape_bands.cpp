#include "room/shape_bands.hpp"

#include <algorithm>

namespace swingroom {
namespace {

/// A band has many more rows than the windows that ask for it, so that most of these lie in one.
constexpr int least_rows = 1024;
/// All shapes are looked at for each band: that must not be done too often.
constexpr int most_bands = 64;
/// Blocks that several threads work at lie in neighbouring rows: two rows of blocks, with the reach of the
/// longest rode around them, touch three bands, and the next two rows have begun before the last block of
/// these is done.
constexpr std::size_t most_kept = 4;

} // namespace

ShapeBands::ShapeBands(Window extent, Window within, Prepare prepare)
    : extent_(extent), within_(common(within, extent)),
      rows_each_(std::max(least_rows, extent.rows / most_bands + 1)), prepare_(std::move(prepare)) {}

ShapeBands::Band ShapeBands::band(int number) const {
    const std::lock_guard lock(mutex_);
    const auto known =
        std::find_if(kept_.begin(), kept_.end(), [&](const auto& one) { return one.first == number; });
    if (known != kept_.end()) {
        std::rotate(kept_.begin(), known, known + 1);
        return kept_.front().second;
    }
    // What goes goes first, so that both never need room at once.
    if (kept_.size() >= most_kept) kept_.pop_back();
    Band made = std::make_shared<const ShapeField>(prepare_(common(rows_of(number), within_)));
    kept_.insert(kept_.begin(), {number, made});
    return made;
}

} // namespace swingroom
