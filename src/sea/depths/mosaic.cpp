#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/georeference.hpp"

#include "sea/depths/shoal_biased.hpp"
#include "sea/raster/bathymetry_text.hpp"
#include "sea/raster/bathymetry_values.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <iterator>
#include <utility>

namespace swingroom {
namespace {

using bathymetry::unsurveyed;

using Sources = std::vector<std::unique_ptr<DepthSource>>;

/// More cells a side, and one of the rasters lies where it was not meant to.
constexpr double most_cells_a_side = 4'000'000;

std::string name_of(const DepthSource& source) { return source.sources().front(); }

/// Whole, but for what a broken file may claim.
std::string count_of(double cells) {
    return cells < 1e15 ? fixed(std::ceil(cells), 0) : bathymetry::plain(cells);
}

/// Side of a square as large as a raster's middle cell, metres.
double cell_size_m(const DepthSource& source) {
    const Grid& grid = source.grid();
    const Georeference georeference(grid, name_of(source));
    const auto at = [&](double across, double down) {
        return georeference.lonlat({grid.cols / 2.0 + across, grid.rows / 2.0 + down});
    };
    return std::sqrt(geodesic(at(-0.5, 0), at(0.5, 0)).distance_m *
                     geodesic(at(0, -0.5), at(0, 0.5)).distance_m);
}

/// The finest first. Those whose cells differ no more than the scales of projections and latitudes make them
/// keep their order.
Sources finest_first(Sources rasters) {
    constexpr double as_good_as = 1.01;
    struct Sized {
        double size_m;
        std::size_t given;
    };
    std::vector<Sized> order;
    for (std::size_t i = 0; i < rasters.size(); ++i) {
        order.push_back({cell_size_m(*rasters[i]), i});
    }
    std::sort(order.begin(), order.end(), [](const Sized& a, const Sized& b) {
        return std::pair(a.size_m, a.given) < std::pair(b.size_m, b.given);
    });
    for (auto first = order.begin(); first != order.end();) {
        const auto last =
            std::find_if(first, order.end(),
                         [most_m = first->size_m * as_good_as](const Sized& s) { return s.size_m > most_m; });
        std::sort(first, last, [](const Sized& a, const Sized& b) { return a.given < b.given; });
        first = last;
    }
    Sources sorted;
    for (const Sized& s : order) {
        sorted.push_back(std::move(rasters[s.given]));
    }
    return sorted;
}

/// The finest raster's grid, in whole cells as far as the others reach, and where its own first cell is in
/// it.
struct Extended {
    Grid grid;
    GridCell first;
};

Extended extended(const Sources& rasters) {
    const DepthSource& finest = *rasters.front();
    const Grid& own = finest.grid();
    Bounds reach;
    reach.add({0, 0});
    reach.add({static_cast<double>(own.cols), static_cast<double>(own.rows)});
    for (auto raster = std::next(rasters.begin()); raster != rasters.end(); ++raster) {
        const Bounds other = GridLink(own, (*raster)->grid(), name_of(finest), name_of(**raster)).other();
        // Edges that fit but for rounding add no cells.
        constexpr double rounding = 1e-5;
        reach.add({std::ceil(other.left - 1 + rounding), std::ceil(other.low - 1 + rounding)});
        reach.add({std::floor(other.right + 1 - rounding), std::floor(other.high + 1 - rounding)});
        if (reach.right - reach.left > most_cells_a_side || reach.high - reach.low > most_cells_a_side) {
            throw InputError(name_of(**raster),
                             "reaches so far from " + name_of(finest) +
                                 ", whose cells the output gets, that " + count_of(reach.right - reach.left) +
                                 " x " + count_of(reach.high - reach.low) + " cells would be needed",
                             "cut it to the area first (gdal_translate -projwin)");
        }
    }
    const auto col = static_cast<int>(reach.left), row = static_cast<int>(reach.low);
    const Window all{col, row, static_cast<int>(reach.right) - col, static_cast<int>(reach.high) - row};
    return {own.part(all), {-col, -row}};
}

class Mosaic final : public DepthSource {
public:
    explicit Mosaic(Sources rasters) : rasters_(finest_first(std::move(rasters))) {
        Extended extent = extended(rasters_);
        grid_ = std::move(extent.grid);
        first_ = extent.first;
        for (std::size_t i = 1; i < rasters_.size(); ++i) {
            others_.push_back(std::make_unique<ShoalBiased>(*rasters_[i], grid_, name_of(*rasters_.front()),
                                                            static_cast<std::uint8_t>(i + 1)));
        }
    }

    [[nodiscard]] const Grid& grid() const override { return grid_; }
    void read(Window where, DepthPlanes& depths) const override;
    void read_with_parts(Window where, DepthPlanes& depths) const override;
    [[nodiscard]] std::int64_t decoded_bytes(Window where) const override;
    /// Cells that become one may lie at any depths.
    [[nodiscard]] double greatest_uncertainty_m() const override {
        double most_m = 0;
        for (const auto& raster : rasters_) {
            most_m = std::max(most_m, raster->greatest_uncertainty_m());
        }
        return most_m + (bathymetry::deepest_m + bathymetry::highest_m) / 2;
    }
    [[nodiscard]] std::vector<Fact> assumptions() const override;
    [[nodiscard]] std::vector<Warning> doubts() const override {
        std::vector<Warning> all;
        for (const auto& raster : rasters_) {
            const std::vector<Warning> own = raster->doubts();
            all.insert(all.end(), own.begin(), own.end());
        }
        return all;
    }
    [[nodiscard]] std::vector<std::string> files() const override {
        std::vector<std::string> all;
        for (const auto& raster : rasters_) {
            for (const std::string& file : raster->files()) {
                if (std::find(all.begin(), all.end(), file) == all.end()) all.push_back(file);
            }
        }
        return all;
    }
    [[nodiscard]] std::vector<std::string> sources() const override {
        std::vector<std::string> names;
        for (const auto& raster : rasters_) {
            names.push_back(name_of(*raster));
        }
        return names;
    }
    [[nodiscard]] std::vector<SurveyTerms> survey_terms() const override {
        std::vector<SurveyTerms> terms;
        for (const auto& raster : rasters_) {
            terms.push_back(raster->survey_terms().front());
        }
        return terms;
    }

private:
    void read_finest(Window inside, DepthPlanes& depths) const;

    Sources rasters_;
    Grid grid_;
    GridCell first_; ///< of the finest raster, in the grid
    std::vector<std::unique_ptr<ShoalBiased>> others_;
};

/// The cells of a raster about where a window of the grid lies, by the raster's extent in the grid: enough to
/// tell how much of its file is read.
Window about_where(Window where, const Bounds& extent, const Grid& raster) {
    const double across = raster.cols / (extent.right - extent.left),
                 down = raster.rows / (extent.high - extent.low);
    const auto whole = [](double v, int end) { return static_cast<int>(std::clamp(v, 0.0, 0.0 + end)); };
    const int col = whole(std::floor((where.col - extent.left) * across), raster.cols),
              row = whole(std::floor((where.row - extent.low) * down), raster.rows);
    return {col, row, whole(std::ceil((where.col_end() - extent.left) * across), raster.cols) - col,
            whole(std::ceil((where.row_end() - extent.low) * down), raster.rows) - row};
}

std::int64_t Mosaic::decoded_bytes(Window where) const {
    std::int64_t bytes = rasters_.front()->decoded_bytes(
        {where.col - first_.col, where.row - first_.row, where.cols, where.rows});
    for (std::size_t i = 1; i < rasters_.size(); ++i) {
        bytes += rasters_[i]->decoded_bytes(
            about_where(where, others_[i - 1]->link().other(), rasters_[i]->grid()));
    }
    return bytes;
}

void Mosaic::read(Window where, DepthPlanes& depths) const {
    read_with_parts(where, depths);
    for (std::size_t i = 0; i < depths.partial.size(); ++i) {
        if (depths.partial.data()[i] != 0) {
            depths.shoal_m.data()[i] = depths.deep_m.data()[i] = unsurveyed;
            depths.source.data()[i] = 0;
        }
    }
    depths.partial.reset({});
    depths.joined.reset({});
}

void Mosaic::read_with_parts(Window where, DepthPlanes& depths) const {
    depths.shoal_m.reset(where, unsurveyed);
    depths.deep_m.reset(where, unsurveyed);
    depths.source.reset(where, 0);
    depths.partial.reset(where, 0);
    depths.joined.reset(where, 0);
    const Window inside = common(where, grid_.extent());
    read_finest(inside, depths);
    for (const Window tile : cut_into_blocks(inside, patch_cells)) {
        GatheredDepths gathered(tile, depths);
        for (const auto& other : others_) {
            other->add_to(gathered);
        }
        gathered.finish();
    }
}

void Mosaic::read_finest(Window inside, DepthPlanes& depths) const {
    const Grid& own = rasters_.front()->grid();
    const Window part = common(inside, {first_.col, first_.row, own.cols, own.rows});
    if (part.empty()) return;
    DepthPlanes seen;
    rasters_.front()->read({part.col - first_.col, part.row - first_.row, part.cols, part.rows}, seen);
    for (int r = part.row; r < part.row_end(); ++r) {
        const float* const shoal_m = seen.shoal_m.row(r - first_.row);
        std::copy_n(shoal_m, part.cols, &depths.shoal_m.at(part.col, r));
        std::copy_n(seen.deep_m.row(r - first_.row), part.cols, &depths.deep_m.at(part.col, r));
        std::transform(shoal_m, shoal_m + part.cols, &depths.source.at(part.col, r),
                       [](float depth_m) { return static_cast<std::uint8_t>(std::isnan(depth_m) ? 0 : 1); });
    }
}

std::vector<Fact> Mosaic::assumptions() const {
    std::vector<Fact> notes{
        {"grid", "that of " + name_of(*rasters_.front()) +
                     ", extended as far as the others reach; cells without a depth in it are "
                     "filled from the next, the shoalest and the deepest of all cells touched; "
                     "where that one knows only a part of a cell, all that know any part count"}};
    for (std::size_t i = 0; i < rasters_.size(); ++i) {
        const std::string name = name_of(*rasters_[i]);
        for (Fact& note : rasters_[i]->assumptions()) {
            note.of = name;
            notes.push_back(std::move(note));
        }
        if (i > 0 && others_[i - 1]->link().accuracy_m() > 0) {
            notes.push_back({"",
                             "datum tied to the grid's within " +
                                 bathymetry::plain(others_[i - 1]->link().accuracy_m()) +
                                 " m, which counts as room for its cells",
                             Fact::Kind::read, "", name});
        }
    }
    return notes;
}

} // namespace

std::unique_ptr<DepthSource> mosaic(std::vector<std::unique_ptr<DepthSource>> rasters) {
    assert(!rasters.empty() && rasters.size() <= most_sources);
    return std::make_unique<Mosaic>(std::move(rasters));
}

} // namespace swingroom
