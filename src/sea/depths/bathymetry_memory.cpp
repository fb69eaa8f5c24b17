#include "swingroom/base/fact.hpp"
#include "swingroom/base/rounding.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "sea/raster/bathymetry_values.hpp"

#include <cassert>
#include <cmath>
#include <cstddef>
#include <utility>

namespace swingroom {
namespace {

using bathymetry::unsurveyed;

class MemoryBathymetry final : public DepthSource {
public:
    MemoryBathymetry(Grid grid, std::vector<float> depth_m, DepthUncertainty uncertainty)
        : grid_(std::move(grid)), depth_m_(std::move(depth_m)), uncertainty_(std::move(uncertainty)) {
        assert(depth_m_.size() == grid_.extent().cells());
        assert(uncertainty_.kind() != DepthUncertainty::Kind::band);
    }
    [[nodiscard]] const Grid& grid() const override { return grid_; }
    void read(Window where, DepthPlanes& depths) const override {
        depths.shoal_m.reset(where, unsurveyed);
        depths.deep_m.reset(where, unsurveyed);
        depths.source.reset({});
        const Window inside = common(where, grid_.extent());
        for (int r = inside.row; r < inside.row_end(); ++r) {
            for (int c = inside.col; c < inside.col_end(); ++c) {
                const auto at = static_cast<std::size_t>(r) * static_cast<std::size_t>(grid_.cols) +
                                static_cast<std::size_t>(c);
                const auto depth_m = static_cast<double>(depth_m_[at]);
                if (!std::isfinite(depth_m)) continue;
                depths.shoal_m.at(c, r) = narrow_down(depth_m - uncertainty_.at(depth_m));
                depths.deep_m.at(c, r) = narrow_up(depth_m + uncertainty_.at(depth_m));
            }
        }
    }
    [[nodiscard]] double greatest_uncertainty_m() const override {
        return uncertainty_.at(bathymetry::deepest_m);
    }
    [[nodiscard]] std::vector<Fact> assumptions() const override {
        return {{"depths", "held in memory"}, {"uncertainty", uncertainty_.text()}};
    }
    [[nodiscard]] std::vector<std::string> files() const override { return {}; }

private:
    Grid grid_;
    std::vector<float> depth_m_;
    DepthUncertainty uncertainty_;
};

} // namespace

std::unique_ptr<DepthSource> memory_bathymetry(Grid grid, std::vector<float> depth_m,
                                               DepthUncertainty uncertainty) {
    return std::make_unique<MemoryBathymetry>(std::move(grid), std::move(depth_m), std::move(uncertainty));
}

} // namespace swingroom
