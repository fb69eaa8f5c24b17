#include "sea/raster/bathymetry_parts.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"

#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_text.hpp"
#include "sea/raster/bathymetry_values.hpp"

#include <cpl_string.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace swingroom::bathymetry {
namespace {

/// What a band says of its missing cells.
struct Missing {
    bool declared = false, has_mask = false;
    double mark = 0;

    explicit Missing(GDALRasterBand& band) {
        int given = 0;
        mark = band.GetNoDataValue(&given);
        declared = given != 0;
        has_mask = (band.GetMaskFlags() & (GMF_ALL_VALID | GMF_NODATA)) == 0;
    }
    /// Whether the mark would pass for a depth. The others are missing data whoever holds them.
    [[nodiscard]] bool looks_like_depth() const { return declared && std::abs(mark) < sentinel; }
};

/// The files that a mosaic is made of, without its own sidecars.
std::vector<std::string> parts_of(GDALDataset& mosaic) {
    const std::string own = mosaic.GetDescription();
    const CPLStringList list(mosaic.GetFileList());
    std::vector<std::string> parts;
    for (int i = 0; i < list.size(); ++i) {
        if (const std::string name = list[i]; name != own && name.rfind(own + ".", 0) != 0) {
            parts.push_back(name);
        }
    }
    return parts;
}

/// Whether the mosaic leaves out cells with a mark of their own when it copies parts.
bool leaves_out_marks(GDALDataset& mosaic) {
    char** const xml = mosaic.GetMetadata("xml:VRT");
    return xml && xml[0] && std::string(xml[0]).find("<NODATA>") != std::string::npos;
}

void refuse_unwritten_part(GDALRasterBand& band, const std::string& format, const std::string& file,
                           const std::string& part) {
    const int status = band.GetDataCoverageStatus(0, 0, band.GetXSize(), band.GetYSize(),
                                                  GDAL_DATA_COVERAGE_STATUS_EMPTY, nullptr);
    const std::string cure =
        "write the part again, or declare one in it with " + declaring_nodata(format, "");
    if ((status & GDAL_DATA_COVERAGE_STATUS_UNIMPLEMENTED) != 0) {
        throw InputError(file,
                         "its part " + in_quotes(part) +
                             " declares no value for missing data, and its format does not tell which of its "
                             "blocks were written",
                         cure);
    }
    if ((status & GDAL_DATA_COVERAGE_STATUS_EMPTY) != 0) {
        throw InputError(file,
                         "its part " + in_quotes(part) +
                             " has blocks that were never written and declares no value for missing data",
                         cure);
    }
}

/// A virtual raster copies values as they are stored, and tells by a scale of its own what they stand for.
void refuse_other_scaling(GDALRasterBand& whole, GDALRasterBand& band, const std::string& file,
                          const std::string& part) {
    const auto differ = [](double a, double b) { return std::abs(a - b) > 1e-12 * std::abs(b); };
    if (differ(whole.GetScale(), band.GetScale()) || differ(whole.GetOffset(), band.GetOffset())) {
        throw InputError(file,
                         "its part " + in_quotes(part) + " has the scale " + plain(band.GetScale()) +
                             " and the offset " + plain(band.GetOffset()) +
                             ", which are not those of the virtual raster",
                         "write the part with gdal_translate -unscale, and make the virtual raster anew");
    }
}

} // namespace

void refuse_misread_parts(GDALDataset& mosaic, int depth_band, const References& references,
                          const std::string& file) {
    if (driver_of(mosaic) != "VRT") return;
    const Missing whole(*mosaic.GetRasterBand(depth_band));
    const bool leaves_out = whole.declared && leaves_out_marks(mosaic);
    std::vector<Fact> ignored;
    for (const std::string& name : parts_of(mosaic)) {
        const GDALDatasetUniquePtr part = open_dataset(name, {}, ignored);
        if (part->GetRasterCount() == 0) continue;
        const int index = std::min(depth_band, part->GetRasterCount());
        GDALRasterBand& band = *part->GetRasterBand(index);
        const Missing own(band);
        const bool same_mark = whole.declared && whole.mark == own.mark;
        if (own.looks_like_depth() && !same_mark && !leaves_out) {
            throw InputError(file,
                             "its part " + in_quotes(name) + " marks missing data by " + plain(own.mark) +
                                 ", which the mosaic does not declare",
                             "make it anew with gdalbuildvrt -srcnodata and -vrtnodata");
        }
        if (own.has_mask && !whole.has_mask) {
            throw InputError(file, "its part " + in_quotes(name) + " has a mask, which the mosaic leaves out",
                             "make it anew with gdalbuildvrt, or write it to a GeoTIFF");
        }
        if (references.takes_unscaled(name)) {
            refuse_other_scaling(*mosaic.GetRasterBand(depth_band), band, file, name);
        }
        if (!own.declared) refuse_unwritten_part(band, driver_of(*part), file, name);
        refuse_misread_parts(*part, index, references, file);
    }
}

} // namespace swingroom::bathymetry
