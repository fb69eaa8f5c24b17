#include "sea/raster/height_raster.hpp"

#include "swingroom/base/error.hpp"

#include "sea/gdal/gdal_messages.hpp"
#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_parts.hpp"
#include "sea/raster/bathymetry_place.hpp"
#include "sea/raster/bathymetry_reader.hpp"
#include "sea/raster/bathymetry_statements.hpp"
#include "sea/raster/bathymetry_text.hpp"

#include <mutex>
#include <utility>
#include <vector>

namespace swingroom {
namespace bathymetry {
namespace {

/// Refuses what has not one band of numbers, as Bands then finds it.
void require_one_band(GDALDataset& dataset, const std::string& file) {
    int bands = 0;
    for (int i = 1; i <= dataset.GetRasterCount(); ++i) {
        bands += dataset.GetRasterBand(i)->GetColorInterpretation() != GCI_AlphaBand ? 1 : 0;
    }
    if (bands == 1) return;
    if (bands == 0 && dataset.GetMetadata("SUBDATASETS") != nullptr) {
        throw InputError(file, "holds several grids, and which one is meant is not said",
                         "write that one to a GeoTIFF (gdal_translate)");
    }
    throw InputError(file,
                     "has " + (bands == 0 ? "no band" : std::to_string(bands) + " bands, where one is meant"),
                     "write the one with the heights to a file of its own: gdal_translate -b 1 IN OUT.tif");
}

/// Metres of one unit of a band.
double unit_m_of(const StatedUnit& stated, const std::string& file, std::vector<Fact>& notes) {
    if (!stated.text.empty() && !stated.metres) {
        throw InputError(file, "states the unit " + in_quotes(stated.text) + ", which is not known",
                         "correct it (gdal_edit.py -units m, for example)");
    }
    notes.push_back(stated.text.empty() ? assumed_fact("unit", "metres")
                                        : Fact{"unit", stated.text, Fact::Kind::read, "file"});
    return stated.metres.value_or(1);
}

void require_chart_datum(GDALDataset& dataset, const StatedUnit& stated, const std::string& file) {
    const std::string datum = foreign_datum_of(dataset, stated);
    if (datum.empty()) return;
    throw InputError(
        file, "is on the vertical datum " + in_quotes(datum) + ", where levels above chart datum are meant",
        "take the height of chart datum above that one off its values, and write it without a "
        "vertical datum (gdal_edit.py -a_srs)");
}

void require_datum(GDALDataset& dataset, const StatedUnit& stated, const std::string& of_depths,
                   const std::string& file) {
    const std::string datum = foreign_datum_of(dataset, stated);
    if (datum.empty() || of_depths.empty() || datum == of_depths) return;
    throw InputError(file,
                     "is on the vertical datum " + in_quotes(datum) + ", and the depths are on " +
                         in_quotes(of_depths),
                     "give heights of chart datum above that one, in a raster that names it or no vertical "
                     "datum (gdal_edit.py -a_srs)");
}

class HeightRaster final : public DepthSource {
public:
    HeightRaster(const std::string& file, const HeightRange& range, const std::string& of_depths) {
        dataset_ = open_dataset(file, {}, notes_);
        require_one_band(*dataset_, file);
        const Bands bands = bands_of(*dataset_, file);
        const References references = references_of(checked_name(file), file);
        files_ = all_files_of(*dataset_, file, references);
        refuse_misread_parts(*dataset_, bands.depth, references, file);
        BathymetryRequest request;
        request.file = file;
        try {
            grid_ = grid_of(*dataset_, request, notes_);
        } catch (const UnsaidError&) {
            throw InputError(file, "names no CRS", "write one into it: gdal_edit.py -a_srs EPSG:NUMBER FILE");
        }
        GDALRasterBand& band = *dataset_->GetRasterBand(bands.depth);
        const std::string driver = driver_of(*dataset_);
        band_.file = file;
        band_.range = range;
        band_.depths = values_of(band, driver, file);
        tell_scaling(*dataset_, bands.depth, file, "scale", notes_);
        int declared = 0;
        band.GetNoDataValue(&declared);
        // As of a raster of depths.
        band_.may_be_unwritten = !declared || driver == "HFA";
        const StatedUnit stated = stated_unit(*dataset_, band);
        if (range.above_chart_datum) require_chart_datum(*dataset_, stated, file);
        require_datum(*dataset_, stated, of_depths, file);
        const double unit_m = unit_m_of(stated, file, notes_);
        band_.depth_m = {unit_m * band_.depths.scale, unit_m * band_.depths.offset};
        find_marks(band_.depths, band_.depth_m);
    }
    ~HeightRaster() override {
        const GdalMessages messages; // closing may complain
        dataset_.reset();
    }
    HeightRaster(const HeightRaster&) = delete;
    HeightRaster& operator=(const HeightRaster&) = delete;

    [[nodiscard]] const Grid& grid() const override { return grid_; }
    void read(Window where, DepthPlanes& heights) const override {
        heights.shoal_m.reset(where, unsurveyed);
        heights.deep_m.reset(where, unsurveyed);
        heights.source.reset({});
        const Window inside = common(where, grid_.extent());
        if (!inside.empty()) read_depths(band_, inside, one_at_a_time_, heights);
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return 0; }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return notes_; }
    [[nodiscard]] std::vector<std::string> files() const override { return files_; }
    [[nodiscard]] std::vector<std::string> sources() const override { return {files_.front()}; }

private:
    GDALDatasetUniquePtr dataset_;
    mutable std::mutex one_at_a_time_;
    Grid grid_;
    DepthBand band_;
    std::vector<Fact> notes_;
    std::vector<std::string> files_;
};

} // namespace
} // namespace bathymetry

std::unique_ptr<DepthSource> open_heights(const std::string& file, const bathymetry::HeightRange& range,
                                          const std::string& of_depths) {
    const GdalMessages messages; // GDAL reads parts of a file when asked, and may complain at any time
    auto source = std::make_unique<bathymetry::HeightRaster>(file, range, of_depths);
    if (messages.failed()) throw IoError(file, messages.failure());
    return source;
}

} // namespace swingroom
