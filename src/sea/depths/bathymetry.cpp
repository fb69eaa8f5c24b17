#include "swingroom/sea/bathymetry.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"
#include "swingroom/base/rounding.hpp"

#include "sea/depths/height_field.hpp"
#include "sea/depths/open_rasters.hpp"
#include "sea/ground/cell_side.hpp"
#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_parts.hpp"
#include "sea/raster/bathymetry_place.hpp"
#include "sea/raster/bathymetry_reader.hpp"
#include "sea/raster/bathymetry_s102.hpp"
#include "sea/raster/bathymetry_sign.hpp"
#include "sea/raster/bathymetry_statements.hpp"
#include "sea/raster/bathymetry_text.hpp"
#include "sea/raster/bathymetry_values.hpp"
#include "sea/raster/bathymetry_variables.hpp"
#include "sea/raster/height_raster.hpp"

#include <algorithm>
#include <filesystem>
#include <mutex>
#include <optional>
#include <system_error>
#include <utility>

namespace swingroom {
namespace bathymetry {
namespace {

class RasterBathymetry final : public DepthSource {
public:
    explicit RasterBathymetry(const BathymetryRequest& request);
    ~RasterBathymetry() override {
        const GdalMessages messages; // closing may complain
        dataset_.reset();
        deepest_nodes_.reset();
        mean_nodes_.reset();
    }
    RasterBathymetry(const RasterBathymetry&) = delete;
    RasterBathymetry& operator=(const RasterBathymetry&) = delete;

    [[nodiscard]] const Grid& grid() const override { return grid_; }
    void read(Window where, DepthPlanes& depths) const override;
    /// Chart datum's heights are coarse, and not counted.
    [[nodiscard]] std::int64_t decoded_bytes(Window where) const override {
        const Window inside = common(where, grid_.extent());
        return bathymetry::decoded_bytes(band_, inside) +
               (deepest_ ? bathymetry::decoded_bytes(*deepest_, inside) : 0);
    }
    [[nodiscard]] double greatest_uncertainty_m() const override {
        const double by_datum_m = datum_ ? (datum_->greatest_m() - datum_->least_m()) / 2 : 0;
        const double by_uncertainty_m =
            by_datum_m + (band_.has_half_widths() ? useless_uncertainty_m : band_.uncertainty.at(deepest_m));
        return deepest_ ? std::max(useless_uncertainty_m, by_uncertainty_m) : by_uncertainty_m;
    }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return notes_; }
    [[nodiscard]] std::vector<Warning> doubts() const override { return doubts_; }
    [[nodiscard]] std::vector<std::string> files() const override { return files_; }
    [[nodiscard]] std::vector<std::string> sources() const override { return {files_.front()}; }
    [[nodiscard]] std::vector<SurveyTerms> survey_terms() const override {
        SurveyTerms terms{.is_survey = is_survey_, .measured_by = measured_by_};
        if (is_survey_) terms.cell_m = longest_cell_side_m(grid_, files_.front());
        return {terms};
    }
    void note(const std::vector<std::string>& warnings) {
        for (const std::string& warning : warnings) {
            notes_.push_back(warning_fact(warning));
        }
    }

private:
    void open(const BathymetryRequest& request);
    void open_nodes(const std::string& file);
    /// @param of_depths  the vertical datum that the raster of depths names; empty: none
    void open_datum(const std::string& file, const std::string& of_depths);
    /// The heights of chart datum of a window; what is not known of them is bounded.
    void read_datum(Window inside, DepthPlanes& datum, Plane<std::uint8_t>& holes) const;
    void refuse_holes(const Plane<std::uint8_t>& holes, const DepthPlanes& depths) const;
    void resolve_values(const Bands& bands, const BathymetryRequest& request);

    GDALDatasetUniquePtr dataset_;
    GDALDatasetUniquePtr deepest_nodes_, mean_nodes_; ///< of a file of variable resolution
    mutable std::mutex one_at_a_time_;
    Grid grid_;
    DepthBand band_;
    std::optional<DepthBand> deepest_; ///< where several nodes share a cell; band_ then has the shoalest
    std::optional<HeightField> datum_; ///< of chart datum, where it is no number
    References references_;
    std::vector<Fact> notes_;
    std::vector<Warning> doubts_;
    std::vector<std::string> files_;
    bool is_survey_ = false;
    int measured_by_ = 0; ///< as SurveyTerms::measured_by
};

/// GDAL opens such a file as its coarse overview.
bool has_variable_resolution(GDALDataset& dataset) {
    return driver_of(dataset) == "BAG" &&
           (!metadata(dataset, "HAS_SUPERGRIDS").empty() || !metadata(dataset, "MIN_RESOLUTION_X").empty());
}

/// The resampled grid copies nodes, it does not interpolate: at the coarsest of the file's spacings few cells
/// stay without a node, and where several share a cell the shoalest counts for the keel, the deepest for the
/// rode, each with the greatest uncertainty of all.
void RasterBathymetry::open_nodes(const std::string& file) {
    std::vector<Fact> repeated; // the same warnings as at the first opening
    const auto nodes = [&](const char* population) {
        return open_dataset(file, {"MODE=RESAMPLED_GRID", "RES_STRATEGY=MAX", population}, repeated);
    };
    dataset_ = nodes("VALUE_POPULATION=MAX"); // values are heights: the greatest is the shoalest
    deepest_nodes_ = nodes("VALUE_POPULATION=MIN");
    // Beside mean heights, which are of no use here, GDAL puts the greatest uncertainty of a cell's nodes;
    // one that has none may hide those of others, so that the two nodes' own count as well.
    mean_nodes_ = nodes("VALUE_POPULATION=MEAN");
    notes_.push_back(
        {"variable resolution", "resampled to the coarsest spacing, each cell by its shoalest and "
                                "its deepest node; more than " +
                                    plain(2 * useless_uncertainty_m) + " m apart it counts as unsurveyed"});
}

void RasterBathymetry::open(const BathymetryRequest& request) {
    const std::string& file = request.file;
    dataset_ = open_dataset(file, {}, notes_);
    if (has_variable_resolution(*dataset_)) open_nodes(file);
    // What HDF5 fails to read GDAL leaves out without a word, and then it looks like another product.
    std::vector<Fact> repeated;
    if (dataset_->GetRasterCount() == 0 && !is_bare_s102(*dataset_)) {
        dataset_.reset(); // HDF5 would keep what it could not read
        dataset_ = open_dataset(file, {}, repeated);
    }
    if (is_bare_s102(*dataset_)) dataset_ = open_s102(file, checked_name(file));
    dataset_ = one_variable(std::move(dataset_), request, notes_);
    refuse_containers(*dataset_, file);
    references_ = references_of(checked_name(file), file);
    files_ = all_files_of(*dataset_, file, references_);
    notes_.insert(notes_.begin(), {"format", driver_of(*dataset_)});
}

RasterBathymetry::RasterBathymetry(const BathymetryRequest& request) {
    open(request);
    const Bands bands = bands_of(*dataset_, request.file);
    if (const int count = dataset_->GetRasterCount(); count > 1) {
        const std::string name = dataset_->GetRasterBand(bands.depth)->GetDescription();
        notes_.push_back({"depths", "band " + std::to_string(bands.depth) +
                                        (name.empty() ? "" : " (" + name + ")") + " of " +
                                        std::to_string(count)});
    }
    grid_ = grid_of(*dataset_, request, notes_);
    if (request.chart_datum_file) {
        const StatedUnit stated = stated_unit(*dataset_, *dataset_->GetRasterBand(bands.depth));
        open_datum(*request.chart_datum_file, datum_of(*dataset_, stated));
    }
    is_survey_ = survey_of(*dataset_, request, notes_);
    if (is_survey_) measured_by_ = survey_day_of(*dataset_, notes_);
    resolve_values(bands, request);
}

void RasterBathymetry::open_datum(const std::string& file, const std::string& of_depths) {
    datum_.emplace(
        open_heights(file, {"a height of chart datum", -highest_datum_m, highest_datum_m}, of_depths), grid_,
        files_.front());
    const std::vector<std::string> more = datum_->raster().files();
    files_.insert(files_.end(), more.begin(), more.end());
}

void RasterBathymetry::read_datum(Window inside, DepthPlanes& datum, Plane<std::uint8_t>& holes) const {
    datum_->read(inside, datum);
    holes.reset(inside, 0);
    for (std::size_t i = 0; i < holes.size(); ++i) {
        if (!std::isnan(datum.shoal_m.data()[i])) continue;
        holes.data()[i] = 1;
        datum.shoal_m.data()[i] = narrow_down(datum_->least_m());
        datum.deep_m.data()[i] = narrow_up(datum_->greatest_m());
    }
}

/// Land that no water reaches, however chart datum lies there, needs no datum. Nobody's water rises higher.
void RasterBathymetry::refuse_holes(const Plane<std::uint8_t>& holes, const DepthPlanes& depths) const {
    constexpr double highest_water_m = 30;
    const Window where = holes.window();
    for (int r = where.row; r < where.row_end(); ++r) {
        for (int c = where.col; c < where.col_end(); ++c) {
            const float deep_m = depths.deep_m.at(c, r);
            if (holes.at(c, r) == 0 || std::isnan(deep_m) || double{deep_m} < -highest_water_m) continue;
            throw HeightUnknown(datum_->raster().sources().front(),
                                "does not say how high chart datum lies at " +
                                    place_text(grid_, files_.front(), c, r) + ", where there is a depth",
                                "fill its gaps and edges with values that are known to be right, or give " +
                                    Setting::bounds + " that leave the place out");
        }
    }
}

/// What the values of the bands stand for.
void RasterBathymetry::resolve_values(const Bands& bands, const BathymetryRequest& request) {
    const std::string driver = driver_of(*dataset_);
    GDALRasterBand& band = *dataset_->GetRasterBand(bands.depth);
    band_.file = request.file;
    band_.depths = values_of(band, driver, request.file);
    tell_scaling(*dataset_, bands.depth, request.file, "scale", notes_);
    if (references_.scales_parts) {
        notes_.push_back(
            {"scale", "the virtual raster scales values of its parts", Fact::Kind::read, "file"});
    }
    int declared = 0;
    band.GetNoDataValue(&declared);
    // What an HFA file declares need not be in the file itself, and only then fills its unwritten blocks.
    band_.may_be_unwritten = !declared || driver == "HFA";
    refuse_misread_parts(*dataset_, bands.depth, references_, request.file);

    const auto [down, by_user] = sign_of(*dataset_, band_.depths, request, notes_);
    const StatedUnit stated = stated_unit(*dataset_, band);
    const double unit_m = unit_of(stated, driver == "BAG" || driver == "S102", request, notes_);
    const double chart_datum_m =
        chart_datum_of(*dataset_, stated, request, datum_ ? datum_->range_text() : "", notes_);
    const double signed_unit_m = down ? unit_m : -unit_m;
    band_.depth_m = {signed_unit_m * band_.depths.scale, signed_unit_m * band_.depths.offset + chart_datum_m};
    find_marks(band_.depths, band_.depth_m);
    if (by_user) {
        if (auto doubt = doubt_of_sign(band_, down)) doubts_.push_back({request.file, std::move(*doubt)});
    }

    band_.uncertainty = uncertainty_of(bands.uncertainty, request, notes_);
    if (band_.has_half_widths()) {
        GDALRasterBand& second = *dataset_->GetRasterBand(bands.uncertainty);
        band_.half_widths = values_of(second, driver, request.file);
        tell_scaling(*dataset_, bands.uncertainty, request.file, "scale of the uncertainty", notes_);
        const double own_m = uncertainty_unit_of(second, unit_m, request);
        band_.half_width_m = {own_m * band_.half_widths.scale, own_m * band_.half_widths.offset};
        if (mean_nodes_) band_.also_half_widths = mean_nodes_->GetRasterBand(bands.uncertainty);
    }
    if (!deepest_nodes_) return;
    deepest_ = band_;
    deepest_->depths.band = deepest_nodes_->GetRasterBand(bands.depth);
    if (band_.has_half_widths()) {
        deepest_->half_widths.band = deepest_nodes_->GetRasterBand(bands.uncertainty);
    }
}

/// Takes the deep plane from the deepest nodes. A cell whose planes are farther apart than is promised to
/// those who ask, or that lacks one, is unsurveyed.
void take_deep_plane(const DepthPlanes& deepest, Window inside, float farthest_m, DepthPlanes& depths) {
    for (int r = inside.row; r < inside.row_end(); ++r) {
        for (int c = inside.col; c < inside.col_end(); ++c) {
            float &shoal_m = depths.shoal_m.at(c, r), &deep_m = depths.deep_m.at(c, r);
            deep_m = std::max(deep_m, deepest.deep_m.at(c, r));
            if (!(deepest.deep_m.at(c, r) - shoal_m <= farthest_m)) shoal_m = deep_m = unsurveyed;
        }
    }
}

/// Fills the cells of a plane that lie beside a part of it.
void fill_beside(Window part, float value, Plane<float>& plane) {
    const Window all = plane.window();
    for (int row = all.row; row < all.row_end(); ++row) {
        float* const cells = plane.row(row);
        const bool beside = part.empty() || row < part.row || row >= part.row_end();
        std::fill(cells, cells + (beside ? all.cols : part.col - all.col), value);
        if (!beside) std::fill(cells + (part.col_end() - all.col), cells + all.cols, value);
    }
}

void RasterBathymetry::read(Window where, DepthPlanes& depths) const {
    const Window inside = common(where, grid_.extent());
    for (Plane<float>* const plane : {&depths.shoal_m, &depths.deep_m}) {
        plane->reshape(where);
        fill_beside(inside, unsurveyed, *plane);
    }
    depths.source.reset({});
    if (inside.empty()) return;
    DepthPlanes datum;
    Plane<std::uint8_t> holes;
    if (datum_) read_datum(inside, datum, holes);
    const DepthPlanes* const over = datum_ ? &datum : nullptr;
    read_depths(band_, inside, one_at_a_time_, depths, over);
    if (datum_) refuse_holes(holes, depths);
    if (!deepest_) return;
    DepthPlanes deepest;
    deepest.shoal_m.reset(inside, unsurveyed);
    deepest.deep_m.reset(inside, unsurveyed);
    read_depths(*deepest_, inside, one_at_a_time_, deepest, over);
    take_deep_plane(deepest, inside, narrow_down(2 * greatest_uncertainty_m()), depths);
}

} // namespace
} // namespace bathymetry

std::unique_ptr<DepthSource> open_bathymetry(const BathymetryRequest& request) {
    const GdalMessages messages; // GDAL reads parts of a file when asked, and may complain at any time
    auto source = std::make_unique<bathymetry::RasterBathymetry>(request);
    if (messages.failed()) throw IoError(request.file, messages.failure());
    source->note(messages.warnings());
    return source;
}

std::unique_ptr<DepthSource> open_rasters(const std::vector<BathymetryRequest>& requests,
                                          const OpenRaster& open) {
    if (requests.size() > most_sources) {
        throw InputError(Setting::bathymetry,
                         "names " + std::to_string(requests.size()) + " rasters (at most " +
                             std::to_string(most_sources) + ")",
                         "put those of one survey into one file (gdalbuildvrt)");
    }
    std::vector<std::unique_ptr<DepthSource>> rasters;
    for (auto request = requests.begin(); request != requests.end(); ++request) {
        for (auto earlier = requests.begin(); earlier != request; ++earlier) {
            if (std::error_code ignored; std::filesystem::equivalent(earlier->file, request->file, ignored) &&
                                         earlier->variable == request->variable) {
                throw InputError(request->file, "is given twice", "give each raster once");
            }
        }
        rasters.push_back(open(*request));
    }
    return rasters.size() == 1 ? std::move(rasters.front()) : mosaic(std::move(rasters));
}

std::unique_ptr<DepthSource> open_bathymetry(const std::vector<BathymetryRequest>& requests) {
    return open_rasters(requests, [](const BathymetryRequest& request) { return open_bathymetry(request); });
}

} // namespace swingroom
