#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/water/uncertainty.hpp"

#include "sea/cells/depth_pieces.hpp"

#include <cstddef>
#include <cstdint>
#include <vector>

/// What all objects of the charts that touch a cell of the grid say of its depth together.
namespace swingroom {

/// Depths of a window as they are gathered, before uncertainty, each rounded its safe way.
struct GatheredPieces {
    /// Of each cell the shoalest and the deepest that is said, and what may stand above it.
    Plane<float> shoal_m, deep_m, less_m;
    /// Of each cell the worst zone of confidence, which chart the shoalest is from, and whether nothing
    /// leaves its depth open.
    Plane<std::uint8_t> zone, source, known;

    /// Begins anew: nothing is said of a window yet.
    void reset(Window window);

    /// All of a cell but the source.
    struct Cell {
        float shoal_m = 0, deep_m = 0, less_m = 0;
        std::uint8_t zone = 0, known = 0;
        /// To the bit: 0 and -0 are not answered by the same bytes.
        [[nodiscard]] bool same_as(const Cell& o) const;
    };
    /// @param i  by the order of the planes
    [[nodiscard]] Cell cell(std::size_t i) const {
        return {shoal_m.data()[i], deep_m.data()[i], less_m.data()[i], zone.data()[i], known.data()[i]};
    }

    /// Takes what a piece says of the cells of a row from first to last.
    void take(const DepthPiece& piece, int row, int first, int last);

private:
    void take_depth(const DepthPiece& piece, int row, int first, int last);
};

/// The same for the case that a survey speaks in the place of depth areas (BesideSurvey).
class PiecesBesideSurvey {
public:
    /// Nothing is said of a window yet.
    explicit PiecesBesideSurvey(Window window);
    /// Takes what a piece says of the cells of a row from first to last.
    void take(const DepthPiece& piece, int row, int first, int last);
    /// @param all  what the same pieces have made   @param uncertainties  by zone of confidence, 0: none
    void finish(const GatheredPieces& all, const std::vector<DepthUncertainty>& uncertainties,
                BesideSurvey& beside) const;

private:
    Window window_;
    Plane<float> bound_m_, disc_m_, standing_m_, area_shoal_m_, area_deep_m_, cell_m_;
    Plane<std::uint8_t> bound_source_, disc_source_, standing_source_, zone_;
    Plane<int> surveyed_;
};

} // namespace swingroom
