#pragma once

#include "swingroom/base/grid.hpp"

#include "room/shape_field.hpp"

#include <algorithm>
#include <functional>
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

namespace swingroom {

/// A ShapeField in bands of rows. A band is prepared when a window first asks for it, and kept as long as few
/// others are asked for: whoever goes over a large raster row by row has little of it in memory. Any window
/// may be asked about, by several threads at once.
class ShapeBands {
public:
    /// Prepares the shapes for the only cells that are asked for.
    using Prepare = std::function<ShapeField(Window within)>;

    /// @param extent  the raster's own window   @param within  the only cells that are asked for
    /// @param prepare  called from one thread at a time
    ShapeBands(Window extent, Window within, Prepare prepare);

    /// As ShapeField::each_touched().
    template <class Wanted, class Mark>
    void each_touched(Window window, Wanted&& wanted, Mark&& mark) const {
        const Window asked = common(window, within_);
        if (asked.empty()) return;
        for (int number = band_of(asked.row); number <= band_of(asked.row_end() - 1); ++number) {
            band(number)->each_touched(common(asked, rows_of(number)), wanted, mark);
        }
    }

    /// The raster's own window.
    [[nodiscard]] Window extent() const { return extent_; }
    /// What can be asked about.
    [[nodiscard]] Window within() const { return within_; }

private:
    using Band = std::shared_ptr<const ShapeField>;

    [[nodiscard]] int band_of(int row) const { return (row - extent_.row) / rows_each_; }
    [[nodiscard]] Window rows_of(int number) const {
        const int before = number * rows_each_;
        return {extent_.col, extent_.row + before, extent_.cols, std::min(rows_each_, extent_.rows - before)};
    }
    [[nodiscard]] Band band(int number) const;

    Window extent_, within_;
    int rows_each_;
    Prepare prepare_;
    mutable std::mutex mutex_;                       ///< guards what follows
    mutable std::vector<std::pair<int, Band>> kept_; ///< by number, the last that was asked for first
};

} // namespace swingroom
