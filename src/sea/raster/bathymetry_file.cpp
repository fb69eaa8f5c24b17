#include "sea/raster/bathymetry_file.hpp"

#include "swingroom/base/error.hpp"

#include "sea/gdal/gdal_start.hpp"
#include "sea/gdal/input_path.hpp"
#include "sea/gdal/no_sidecar.hpp"
#include "sea/raster/bathymetry_text.hpp"
#include "sea/raster/xyz_grid.hpp"

#include <cpl_string.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <dlfcn.h>
#include <filesystem>
#include <optional>
#include <set>
#include <utility>

namespace swingroom::bathymetry {
namespace {

/// One block of the file is decoded at a time, whole; above this it would not be a block any more.
constexpr std::int64_t greatest_block_bytes = 512LL << 20;

bool is_regular_file(const std::string& name) {
    std::error_code error;
    return std::filesystem::is_regular_file(name, error) && !error;
}

/// A file that opens as a vector file was given in the wrong place.
void refuse_vector(const std::string& file, const std::string& name) {
    const GdalMessages quiet;
    const GDALDatasetUniquePtr vector(
        GDALDataset::Open(name.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY, local_vector_drivers.data()));
    forbid_sidecar(vector.get());
    if (vector && vector->GetLayerCount() > 0) {
        throw InputError(file, "is a vector file (" + driver_of(*vector) + ")",
                         "give hazards with " + Setting::hazards +
                             ", and depths as a raster, such as GeoTIFF or BAG");
    }
}

constexpr const char* write_to_geotiff = "write it to a GeoTIFF: gdal_translate IN OUT.tif";

/// Raw numbers say nothing of themselves: a header beside them, found by their name, tells what they are, and
/// that may be another raster's of the same name. So only files that are called as raw numbers are read as
/// such.
void refuse_what_is_not_called_raw(GDALDataset& dataset, const std::string& file) {
    constexpr std::array raw = {"",     ".bil", ".bip", ".bsq", ".flt", ".dem",
                                ".raw", ".bin", ".dat", ".img", ".envi"};
    const std::string format = driver_of(dataset),
                      ending = lower(std::filesystem::path(file).extension().string());
    if (format != "EHdr" && format != "ENVI") return;
    if (std::find(raw.begin(), raw.end(), ending) == raw.end()) {
        throw InputError(
            file,
            "is in no raster format that is read here, and has beside it a header of raw numbers (" + format +
                "), which may be another file's",
            write_to_geotiff);
    }
}

/// What is in none of our formats.
[[noreturn]] void refuse_other_format(const std::string& file, const std::string& name) {
    const GdalMessages quiet;
    const std::optional<KnownFormat> found = format_of(name);
    if (found && found->holds_rasters) {
        throw InputError(file, "is a raster (" + found->name + ") of a format that is not read here",
                         write_to_geotiff);
    }
    throw InputError(file,
                     found ? "is a vector file (" + found->name + ")"
                           : std::string("is in no raster format that is known here"),
                     "give depths as a raster, such as GeoTIFF or BAG");
}

/// Overviews are not read, and metadata may name any file as one.
void refuse_named_overviews(GDALDataset& dataset, const std::string& file) {
    if (dataset.GetMetadataItem("OVERVIEW_FILE", "OVERVIEWS")) {
        throw InputError(file, "names a file of overviews in its metadata",
                         "write it anew without that: gdal_translate -nomd IN OUT.tif");
    }
}

/// Where it lies, with neither "." nor "..".
std::filesystem::path folder_of(const std::string& name) {
    return std::filesystem::path(name).lexically_normal().parent_path();
}

/// Bands that say nothing of themselves and are no mask.
int nameless_bands(GDALDataset& dataset) {
    int count = 0;
    for (int i = 1; i <= dataset.GetRasterCount(); ++i) {
        GDALRasterBand& band = *dataset.GetRasterBand(i);
        const bool nameless = *band.GetDescription() == 0;
        count += nameless && band.GetColorInterpretation() != GCI_AlphaBand ? 1 : 0;
    }
    return count;
}

/// What the driver of XYZ says of points with a step between them that changes.
bool is_of_changing_steps(const std::string& failure) {
    return failure.find("Ungridded dataset") != std::string::npos ||
           failure.find("determine X spacing") != std::string::npos ||
           failure.find("determine Y spacing") != std::string::npos;
}

} // namespace

std::string checked_name(const std::string& name) {
    require_file(name);
    return name.find_first_of(":{<") != std::string::npos && name.front() != '/' ? "./" + name : name;
}

void quieten_hdf5() {
    // HDF5 is there only if GDAL was built with it, so that it is asked for by name.
    thread_local const bool done = [] {
        using SetAutomaticPrinting = int (*)(std::int64_t stack, void* function, void* data);
        if (void* const found = dlsym(RTLD_DEFAULT, "H5Eset_auto2")) {
            reinterpret_cast<SetAutomaticPrinting>(found)(0, nullptr, nullptr);
        }
        return true;
    }();
    static_cast<void>(done);
}

GDALDatasetUniquePtr open_dataset(const std::string& file, const std::vector<const char*>& options,
                                  std::vector<Fact>& notes) {
    start_gdal();
    quieten_hdf5();
    const std::string name = checked_name(file);
    references_of(name, file);
    std::vector<const char*> open_options = options;
    open_options.push_back(nullptr);
    GdalMessages messages;
    GDALDatasetUniquePtr dataset(
        GDALDataset::Open(name.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR,
                          local_raster_drivers.data(), open_options.data(), nullptr));
    forbid_sidecar(dataset.get());
    if (!dataset) {
        refuse_vector(file, name);
        std::error_code ignored;
        if (std::filesystem::file_size(name, ignored) == 0) throw IoError(file, "is empty");
        if (!GDALIdentifyDriverEx(name.c_str(), GDAL_OF_RASTER, local_raster_drivers.data(), nullptr)) {
            refuse_other_format(file, name);
        }
    }
    if (!dataset && is_of_changing_steps(messages.failure())) return open_rounded_xyz(file, name);
    if (!dataset) {
        throw IoError(file, messages.failed() ? "cannot be opened: " + messages.failure()
                                              : "no raster format that can be read is recognised in it");
    }
    // A CRS that cannot be understood is none: the user may say it.
    const bool only_crs = lower(messages.failure()).find("spatial reference") != std::string::npos;
    if (messages.failed() && !only_crs) throw IoError(file, "cannot be opened: " + messages.failure());
    refuse_named_overviews(*dataset, file);
    refuse_what_is_not_called_raw(*dataset, file);
    for (const std::string& warning : messages.warnings()) {
        notes.push_back(warning_fact(warning));
    }
    return dataset;
}

std::string driver_of(GDALDataset& dataset) {
    const std::string name = dataset.GetDriver() ? dataset.GetDriver()->GetDescription() : "";
    return name == "MEM" ? "XYZ" : name; // nothing else is read into memory here (open_rounded_xyz)
}

std::string metadata(GDALMajorObject& object, const char* key, const char* domain) {
    return text_or_empty(object.GetMetadataItem(key, domain));
}

void refuse_containers(GDALDataset& dataset, const std::string& file) {
    char** const parts = dataset.GetMetadata("SUBDATASETS");
    if (const int count = CSLCount(parts) / 2; dataset.GetRasterCount() == 0 && count > 0) {
        throw InputError(file,
                         "holds " + std::to_string(count) + " grids (the first: " +
                             text_or_empty(CSLFetchNameValue(parts, "SUBDATASET_1_DESC")) + ")",
                         "write the one with the depths to a GeoTIFF with a CRS (gdal_translate)");
    }
    if (dataset.GetRasterCount() == 0) {
        throw InputError(file, "has no band", "give a raster with one band of depths");
    }
}

std::vector<std::string> file_list(GDALDataset& dataset, const std::string& file) {
    std::vector<std::string> files{file};
    const bool put_together = driver_of(dataset) == "VRT";
    const CPLStringList list(dataset.GetFileList());
    for (int i = 0; i < list.size(); ++i) {
        const std::string name = list[i];
        // What a virtual raster names was looked at before; other formats may have files beside them.
        if (!is_regular_file(name) || (!put_together && folder_of(name) != folder_of(file))) {
            throw InputError(file, "refers to " + in_quotes(name) + ", which is not a file here",
                             "give a raster that is whole by itself");
        }
        std::error_code error;
        if (name != file && !std::filesystem::equivalent(name, file, error)) files.push_back(name);
    }
    return files;
}

std::vector<std::string> all_files_of(GDALDataset& dataset, const std::string& file,
                                      const References& references) {
    std::vector<std::string> files;
    std::set<std::string> known;
    const auto add = [&](const std::vector<std::string>& more) {
        for (const std::string& name : more) {
            if (known.insert(std::filesystem::path(name).lexically_normal().string()).second) {
                files.push_back(name);
            }
        }
    };
    add(file_list(dataset, file));
    std::vector<Fact> ignored;
    for (const std::string& name : references.parts) {
        add(file_list(*open_dataset(name, {}, ignored), name));
    }
    add(references.sidecars);
    return files;
}

Bands bands_of(GDALDataset& dataset, const std::string& file) {
    Bands bands;
    const bool is_bag = driver_of(dataset) == "BAG";
    for (int i = dataset.GetRasterCount(); i >= 1; --i) {
        const std::string name = lower(dataset.GetRasterBand(i)->GetDescription());
        if (name == "uncertainty") bands.uncertainty = i;
        if (is_bag && name == "elevation") bands.depth = i;
    }
    if (bands.uncertainty == bands.depth) {
        throw InputError(file, "its first band is an uncertainty", "give a raster whose first band is depth");
    }
    GDALRasterBand& band = *dataset.GetRasterBand(bands.depth);
    const GDALColorInterp colour = band.GetColorInterpretation();
    if (GDALDataTypeIsComplex(band.GetRasterDataType())) {
        throw InputError(file, "holds complex numbers", "give a raster with one band of depths");
    }
    if (colour == GCI_PaletteIndex || colour == GCI_RedBand) {
        throw InputError(file, "is a picture, not a grid of depths", "give a raster with one band of depths");
    }
    if (*band.GetDescription() == 0 && nameless_bands(dataset) > 1) {
        throw InputError(file,
                         "has " + std::to_string(dataset.GetRasterCount()) +
                             " bands, and which one holds the depths is not said",
                         "write that one to a file of its own: gdal_translate -b 1 IN.tif OUT.tif");
    }
    int width = 0, height = 0;
    band.GetBlockSize(&width, &height);
    const std::int64_t bytes =
        std::int64_t{width} * height * GDALGetDataTypeSizeBytes(band.GetRasterDataType());
    if (bytes > greatest_block_bytes) {
        throw InputError(file,
                         "is stored in blocks of " + std::to_string(width) + " x " + std::to_string(height) +
                             " cells (" + std::to_string(bytes >> 20) + " MB each, at most " +
                             std::to_string(greatest_block_bytes >> 20) + ")",
                         "rewrite it in tiles: gdal_translate -co TILED=YES IN.tif OUT.tif");
    }
    return bands;
}

void fetch(GDALRasterBand& band, Window inside, void* to, GDALDataType type, const std::string& file) {
    const GdalMessages messages;
    quieten_hdf5(); // on this thread, too
    const CPLErr result = band.RasterIO(GF_Read, inside.col, inside.row, inside.cols, inside.rows, to,
                                        inside.cols, inside.rows, type, 0, 0, nullptr);
    if (result != CE_None || messages.failed()) {
        throw IoError(file, "reading columns " + std::to_string(inside.col) + " to " +
                                std::to_string(inside.col_end() - 1) + ", rows " +
                                std::to_string(inside.row) + " to " + std::to_string(inside.row_end() - 1) +
                                " failed" + (messages.failure().empty() ? "" : ": " + messages.failure()));
    }
}

} // namespace swingroom::bathymetry
