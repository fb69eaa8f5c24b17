#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/room/map_class.hpp"

#include <cstdint>
#include <mutex>

namespace swingroom {

/// What a map shows of some cells: both planes of the same pixels.
struct MapPixels {
    Plane<std::uint8_t> classes; ///< as MapPlanes::classes()
    Plane<float> depth_low_m;    ///< as MapPlanes::depth_low_m()
};

/// What a map shows of a window, in pixels of so many cells a side: the worst class of their cells and the
/// least depth. Gathered while a run decides, whatever its layers; the same for any order of blocks.
class MapPlanes {
public:
    /// No picture is larger, a side.
    static constexpr int most_pixels = 1024;

    /// A window by the least power of two at which it takes no more than so many pixels a side.
    explicit MapPlanes(Window window, int most = most_pixels);
    /// @param pixels  (i, j) stands for the cells from `first` + (i, j) * factor on
    MapPlanes(Window pixels, int factor, GridCell first);

    /// Takes what the block's cells have in the window; from any thread.
    void take(const BlockAnswers& answers) { take(pixels_of(answers)); }
    /// The same of what pixels_of() has made of a block.
    void take(const MapPixels& pixels);
    /// What the block's cells are in the map's pixels, by themselves: without pixels where the block has none
    /// of the window's cells.
    [[nodiscard]] MapPixels pixels_of(const BlockAnswers& answers) const;

    /// Cells along a pixel's side, at least 1.
    [[nodiscard]] int factor() const { return factor_; }
    /// Values of MapClass.
    [[nodiscard]] const Plane<std::uint8_t>& classes() const { return classes_; }
    /// Metres of water at low water, rounded down; NaN where no cell has a depth.
    [[nodiscard]] const Plane<float>& depth_low_m() const { return depth_low_m_; }
    /// The cells that pixels stand for, in cells of the raster.
    [[nodiscard]] Window cells() const;

private:
    int factor_;
    GridCell first_;
    Plane<std::uint8_t> classes_;
    Plane<float> depth_low_m_;
    std::mutex mutex_;
};

/// Answers the cells of a window once more, for a map of larger scale: the same as the run has answered.
/// @param job  of the run   @param into  gets all that its pixels stand for
void look_closer(const OverlayJob& job, MapPlanes& into);

} // namespace swingroom
