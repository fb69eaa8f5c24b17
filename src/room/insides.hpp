#pragma once

#include "swingroom/room/shape.hpp"

#include "room/box_tree.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

namespace swingroom {

/// Cells whose centres lie inside the polygons of shapes, as runs of columns in rows, found by where edges
/// cross the rows' centre lines.
class Insides {
public:
    /// @param within  the only cells that are asked for
    explicit Insides(Window within) : within_(within) {}

    /// The polygons of a shape.
    void add(const Shape& shape, std::uint32_t index);
    /// After the last add(), before anybody asks.   @param extent  of the raster
    void arrange(Window extent);

    /// Calls mark(index, row, first column, last column) for all in a part of the raster.
    /// @param wanted  (index) whether it is asked for
    template <class Wanted, class Mark>
    void each(const Box& part, Wanted&& wanted, Mark&& mark) const {
        tree_.each(part, [&](std::size_t i) {
            const Interior& interior = interiors_[i];
            if (!wanted(interior.shape)) return;
            const int end = std::min(interior.row_first + interior.rows - 1, part.row_last);
            for (int row = std::max(interior.row_first, part.row_first); row <= end; ++row) {
                const std::uint32_t* start =
                    row_starts_.data() + interior.starts + static_cast<std::size_t>(row - interior.row_first);
                const Span* const last = spans_.data() + start[1];
                const Span* span = std::lower_bound(spans_.data() + start[0], last, part.col_first,
                                                    [](const Span& s, int col) { return s.last < col; });
                for (; span != last && span->first <= part.col_last; ++span) {
                    mark(interior.shape, row, std::max(span->first, part.col_first),
                         std::min(span->last, part.col_last));
                }
            }
        });
    }

    /// Columns [first, last] of a row.
    struct Span {
        /// Both included, in columns of the raster.
        int first, last;
    };

private:
    /// So many rows of a shape are kept together, so that a window visits what it meets and little else.
    static constexpr int rows_each = 64;

    /// Insides of one shape over some consecutive rows.
    struct Interior {
        std::uint32_t shape = 0;
        int row_first = 0, rows = 0;
        std::size_t starts = 0; ///< where its rows + 1 entries of `row_starts_` begin
    };

    void add_rows(std::uint32_t index, int first, std::span<std::vector<double>> crossings);

    Window within_;
    std::vector<Interior> interiors_;
    std::vector<std::uint32_t> row_starts_; ///< indexes into the spans
    std::vector<Span> spans_;
    std::vector<Box> boxes_; ///< of the interiors, until they are arranged
    BoxTree tree_;
};

} // namespace swingroom
