#include "swingroom/chart/bathymetry.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/rounding.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/chart/georeference.hpp"

#include <cpl_error.h>
#include <cpl_string.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <dlfcn.h>
#include <filesystem>
#include <limits>
#include <mutex>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

constexpr float unsurveyed = std::numeric_limits<float>::quiet_NaN();
/// No water is deeper and no land higher (Challenger Deep 10.9 km, Everest 8.8 km): beyond, a unit or a mark
/// for no data has been misread.
constexpr double deepest_m = 12000, highest_m = 9000;
/// A band's uncertainty beyond this says that nobody knows: the cell counts as unsurveyed. It is what makes
/// the greatest uncertainty a bound that needs no reading of the whole band.
constexpr double useless_uncertainty_m = 50;
/// Values this large mark missing data, whatever a file declares (-1.7e308, 3.4e38 and their like).
constexpr double sentinel = 1e30;
/// Mostly a mark as well, but a depth by its size: refused unless the file declares it.
constexpr double undeclared_mark = 9999;
/// One block of the file is decoded at a time, whole; above this it would not be a block any more.
constexpr std::int64_t greatest_block_bytes = 512LL << 20;

// --- small texts ---------------------------------------------------------------------------------------

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return out;
}

std::string in_quotes(std::string_view text) { return "\"" + std::string(text) + "\""; }

/// A number as short as it can be said, locale-free.
std::string plain(double value) {
    std::array<char, 32> buffer{};
    const auto result = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value);
    return {buffer.data(), result.ptr};
}

/// To the hundredth: for a sentence, not for a calculation.
std::string rounded(double value) { return plain(std::round(value * 100) / 100); }

std::string one_line(std::string text) {
    std::replace(text.begin(), text.end(), '\n', ' ');
    return text;
}

std::string text_or_empty(const char* text) { return text ? text : ""; }

// --- GDAL at arm's length ------------------------------------------------------------------------------

/// While it lives, GDAL's messages on this thread are kept here instead of printed.
class ErrorTrap {
public:
    ErrorTrap() { CPLPushErrorHandlerEx(&ErrorTrap::keep, this); }
    ~ErrorTrap() { CPLPopErrorHandler(); }
    ErrorTrap(const ErrorTrap&) = delete;
    ErrorTrap& operator=(const ErrorTrap&) = delete;

    [[nodiscard]] bool failed() const { return failed_; }
    /// The first failure, on one line.
    [[nodiscard]] const std::string& message() const { return message_; }
    /// Warnings, each on one line; the first few, a broken file has many.
    [[nodiscard]] const std::vector<std::string>& warnings() const { return warnings_; }

private:
    static void CPL_STDCALL keep(CPLErr severity, CPLErrorNum, const char* message) {
        constexpr std::size_t few = 3;
        auto* trap = static_cast<ErrorTrap*>(CPLGetErrorHandlerUserData());
        if (severity == CE_Warning && trap->warnings_.size() < few)
            trap->warnings_.push_back(one_line(message));
        if (severity < CE_Failure || trap->failed_) return;
        trap->failed_ = true;
        trap->message_ = one_line(message);
    }
    bool failed_ = false;
    std::string message_;
    std::vector<std::string> warnings_;
};

/// HDF5, which lies under BAG and NetCDF, prints its own errors on stderr, by thread, unless told not to. It
/// is there only if GDAL was built with it, so that it is asked for by name.
void quieten_hdf5() {
    thread_local const bool done = [] {
        using SetAutomaticPrinting = int (*)(std::int64_t stack, void* function, void* data);
        if (void* const found = dlsym(RTLD_DEFAULT, "H5Eset_auto2"))
            reinterpret_cast<SetAutomaticPrinting>(found)(0, nullptr, nullptr);
        return true;
    }();
    static_cast<void>(done);
}

/// All raster drivers but those that go to a network for what a file tells them to.
std::vector<const char*> local_raster_drivers() {
    constexpr std::array remote = {"WMS",      "WMTS",   "WCS",    "HTTP",   "DAAS", "EEDAI", "PLMosaic",
                                   "PLScenes", "OGCAPI", "STACTA", "STACIT", "NGW",  "KEA",   "Rasterlite"};
    std::vector<const char*> names;
    GDALDriverManager& manager = *GetGDALDriverManager();
    for (int i = 0; i < manager.GetDriverCount(); ++i) {
        GDALDriver& driver = *manager.GetDriver(i);
        const std::string_view name = driver.GetDescription();
        if (driver.GetMetadataItem(GDAL_DCAP_RASTER) &&
            std::find(remote.begin(), remote.end(), name) == remote.end())
            names.push_back(driver.GetDescription());
    }
    names.push_back(nullptr);
    return names;
}

bool is_regular_file(const std::string& name) {
    std::error_code error;
    return std::filesystem::is_regular_file(name, error) && !error;
}

/// The name as GDAL may see it: it exists as a file, and nothing in it can be taken for a connection string.
std::string checked_name(const std::string& name) {
    std::error_code error;
    const auto status = std::filesystem::status(name, error);
    if (!std::filesystem::exists(status)) throw IoError(name, "no such file");
    if (!std::filesystem::is_regular_file(status)) throw IoError(name, "is not a file");
    return name.find_first_of(":{<") != std::string::npos && name.front() != '/' ? "./" + name : name;
}

/// @param notes  gets what GDAL warns of
GDALDatasetUniquePtr open_dataset(const std::string& file, const std::vector<const char*>& options,
                                  std::vector<std::string>& notes) {
    static std::once_flag registered;
    std::call_once(registered, [] { GDALAllRegister(); });
    quieten_hdf5();
    const std::string name = checked_name(file);
    std::vector<const char*> open_options = options;
    open_options.push_back(nullptr);
    ErrorTrap trap;
    GDALDatasetUniquePtr dataset(
        GDALDataset::Open(name.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR,
                          local_raster_drivers().data(), open_options.data(), nullptr));
    if (!dataset)
        throw IoError(file, trap.failed() ? "cannot be opened: " + trap.message()
                                          : "no raster format that can be read is recognised in it");
    // A CRS that cannot be understood is none: the user may say it.
    const bool only_crs = lower(trap.message()).find("spatial reference") != std::string::npos;
    if (trap.failed() && !only_crs) throw IoError(file, "cannot be opened: " + trap.message());
    for (const std::string& warning : trap.warnings())
        notes.push_back("warning: " + warning);
    return dataset;
}

std::string driver_of(GDALDataset& dataset) {
    return dataset.GetDriver() ? dataset.GetDriver()->GetDescription() : "";
}

std::string metadata(GDALMajorObject& object, const char* key, const char* domain = "") {
    return text_or_empty(object.GetMetadataItem(key, domain));
}

// --- what the file is ----------------------------------------------------------------------------------

void refuse_containers(GDALDataset& dataset, const std::string& file) {
    const std::string product = metadata(dataset, "productSpecification");
    if (dataset.GetRasterCount() == 0 && product.find("S-102") != std::string::npos)
        throw InputError(file, "is an S-102 file, which this GDAL cannot read as a raster",
                         "convert it to BAG or GeoTIFF with a newer GDAL (3.8 or later)");
    char** const parts = dataset.GetMetadata("SUBDATASETS");
    if (const int count = CSLCount(parts) / 2; dataset.GetRasterCount() == 0 && count > 0)
        throw InputError(file,
                         "holds " + std::to_string(count) + " grids (the first: " +
                             text_or_empty(CSLFetchNameValue(parts, "SUBDATASET_1_DESC")) + ")",
                         "write the one with the depths to a GeoTIFF with a CRS (gdal_translate)");
    if (dataset.GetRasterCount() == 0)
        throw InputError(file, "has no band", "give a raster with one band of depths");
}

/// A virtual raster may name any file, and raw bands or functions of its own: only plain mosaics of files.
void refuse_strange_references(GDALDataset& dataset, const std::string& file,
                               const std::vector<std::string>& files) {
    for (const std::string& name : files)
        if (!is_regular_file(name))
            throw InputError(file, "refers to " + in_quotes(name) + ", which is not a file here",
                             "give a raster that is whole by itself");
    if (driver_of(dataset) != "VRT") return;
    char** const xml = dataset.GetMetadata("xml:VRT");
    const std::string text = xml && xml[0] ? xml[0] : "";
    for (const std::string_view part : {"VRTRawRasterBand", "VRTDerivedRasterBand", "<OpenOptions>"})
        if (text.find(part) != std::string::npos)
            throw InputError(file, "is a virtual raster that does more than put files together",
                             "write it to a GeoTIFF first (gdal_translate)");
}

std::vector<std::string> file_list(GDALDataset& dataset, const std::string& file) {
    std::vector<std::string> files{file};
    char** const list = dataset.GetFileList();
    for (char** name = list; name && *name; ++name) {
        const std::string text = *name;
        std::error_code error;
        if (text != file && !std::filesystem::equivalent(text, file, error)) files.push_back(text);
    }
    CSLDestroy(list);
    return files;
}

/// Bands by their role, 1-based; 0 for none.
struct Bands {
    int depth = 1, uncertainty = 0;
};

Bands bands_of(GDALDataset& dataset, const std::string& file) {
    Bands bands;
    const bool is_bag = driver_of(dataset) == "BAG";
    for (int i = dataset.GetRasterCount(); i >= 1; --i) {
        const std::string name = lower(dataset.GetRasterBand(i)->GetDescription());
        if (name == "uncertainty") bands.uncertainty = i;
        if (is_bag && name == "elevation") bands.depth = i;
    }
    if (bands.uncertainty == bands.depth)
        throw InputError(file, "its first band is an uncertainty", "give a raster whose first band is depth");
    GDALRasterBand& band = *dataset.GetRasterBand(bands.depth);
    const GDALColorInterp colour = band.GetColorInterpretation();
    if (GDALDataTypeIsComplex(band.GetRasterDataType()) || colour == GCI_PaletteIndex ||
        colour == GCI_RedBand)
        throw InputError(file, "is a picture, not a grid of depths", "give a raster with one band of depths");
    int width = 0, height = 0;
    band.GetBlockSize(&width, &height);
    const std::int64_t bytes =
        std::int64_t{width} * height * GDALGetDataTypeSizeBytes(band.GetRasterDataType());
    if (bytes > greatest_block_bytes)
        throw InputError(file,
                         "is stored in blocks of " + std::to_string(width) + " x " + std::to_string(height) +
                             " cells (" + std::to_string(bytes >> 20) + " MB each, at most " +
                             std::to_string(greatest_block_bytes >> 20) + ")",
                         "rewrite it in tiles: gdal_translate -co TILED=YES");
    return bands;
}

// --- where it lies -------------------------------------------------------------------------------------

OGRSpatialReference crs_from(const std::string& text) {
    OGRSpatialReference crs;
    const char* const offline[] = {"ALLOW_NETWORK_ACCESS=NO", "ALLOW_FILE_ACCESS=NO", nullptr};
    const ErrorTrap trap;
    if (crs.SetFromUserInput(text.c_str(), offline) != OGRERR_NONE)
        throw InputError("--crs", in_quotes(text) + " is no CRS that PROJ knows",
                         "give for example EPSG:4326");
    return crs;
}

std::string wkt_of(const OGRSpatialReference& crs, const std::string& file) {
    char* text = nullptr;
    const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
    const ErrorTrap trap;
    OGRSpatialReference flat = crs;
    flat.StripVertical();
    flat.DemoteTo2D(nullptr);
    const bool written = flat.exportToWkt(&text, options) == OGRERR_NONE && text;
    const std::string wkt = text_or_empty(text);
    CPLFree(text);
    if (!written)
        throw InputError(file, "its CRS cannot be understood", "repair it with gdal_edit.py -a_srs");
    return horizontal_crs_wkt(wkt, file);
}

std::string crs_of(GDALDataset& dataset, const BathymetryRequest& request, std::vector<std::string>& notes) {
    const OGRSpatialReference* const own = dataset.GetSpatialRef();
    const bool has_own = own && !own->IsEmpty();
    if (!has_own && !request.crs)
        throw InputError(request.file, "names no CRS", "say it with --crs, for example --crs EPSG:4326");
    if (!has_own) {
        notes.push_back("CRS: " + *request.crs + " (as said)");
        return wkt_of(crs_from(*request.crs), "--crs");
    }
    std::string wkt = wkt_of(*own, request.file);
    if (request.crs) {
        OGRSpatialReference here, said;
        const std::string said_wkt = wkt_of(crs_from(*request.crs), "--crs");
        const char* const ignore_axes[] = {"IGNORE_DATA_AXIS_TO_SRS_AXIS_MAPPING=YES",
                                           "CRITERION=EQUIVALENT_EXCEPT_AXIS_ORDER_GEOGCRS", nullptr};
        const ErrorTrap trap;
        if (here.importFromWkt(wkt.c_str()) != OGRERR_NONE ||
            said.importFromWkt(said_wkt.c_str()) != OGRERR_NONE || !here.IsSame(&said, ignore_axes))
            throw InputError(request.file,
                             "has a CRS of its own, " + in_quotes(text_or_empty(own->GetName())) +
                                 ", which --crs " + *request.crs + " contradicts",
                             "leave --crs out");
    }
    notes.push_back("CRS: " + text_or_empty(own->GetName()) + " (file)");
    return wkt;
}

void refuse_beyond_the_poles(const Grid& grid, const std::string& file) {
    OGRSpatialReference crs;
    if (crs.importFromWkt(grid.crs_wkt.c_str()) != OGRERR_NONE || !crs.IsGeographic()) return;
    constexpr double degrees_per_radian = 57.295779513082321;
    const double degrees = crs.GetAngularUnits() * degrees_per_radian; // per unit of the CRS
    constexpr double slack = 1e-6;
    for (const double y : {grid.y_of(0), grid.y_of(grid.rows)})
        if (!(std::abs(y * degrees) <= 90 + slack))
            throw InputError(file, "reaches latitude " + plain(y * degrees),
                             "correct its georeference, latitudes end at 90");
    if (grid.step_x * grid.cols * degrees > 360 + slack)
        throw InputError(file, "is wider than 360 degrees", "correct its georeference or cut it");
}

Grid grid_of(GDALDataset& dataset, const BathymetryRequest& request, std::vector<std::string>& notes) {
    const std::string& file = request.file;
    std::array<double, 6> t{};
    bool placed = false;
    {
        const ErrorTrap trap;
        placed = dataset.GetGeoTransform(t.data()) == CE_None;
    }
    if (!placed)
        throw InputError(file, "has no geotransform: its cells have no place",
                         "give it one (gdal_translate -a_ullr, or gdalwarp for ground control points)");
    if (!std::all_of(t.begin(), t.end(), [](double v) { return std::isfinite(v); }) || t[1] == 0 ||
        t[5] == 0) {
        if (t[2] == 0 && t[4] == 0)
            throw InputError(file, "has a geotransform with a zero or a number that is not finite",
                             "correct its georeference");
    }
    if (t[2] != 0 || t[4] != 0)
        throw InputError(file, "is a rotated or sheared grid", "warp it to a straight one (gdalwarp)");
    if (t[1] < 0) throw InputError(file, "is mirrored east to west", "warp it to a plain grid (gdalwarp)");
    Grid grid{dataset.GetRasterXSize(), dataset.GetRasterYSize(), t[0], t[3], t[1], t[5], {}};
    // A step that the origin's own digits swallow is no grid: neighbouring cells would share their place.
    const auto vanishes = [](double origin, double step) { return std::abs(step) < 1e-9 * std::abs(origin); };
    if (vanishes(grid.origin_x, grid.step_x) || vanishes(grid.origin_y, grid.step_y) ||
        !std::isfinite(grid.x_of(grid.cols)) || !std::isfinite(grid.y_of(grid.rows)))
        throw InputError(file, "has cells too small or too many for the place it names",
                         "correct its georeference");
    grid.crs_wkt = crs_of(dataset, request, notes);
    refuse_beyond_the_poles(grid, file);
    return grid;
}

// --- units, sign, datum, uncertainty -------------------------------------------------------------------

/// A unit as files write it, and what comes after it ("m LAT": metres, "LAT").
struct StatedUnit {
    std::string text;               ///< empty: nothing stated
    std::optional<double> metres{}; ///< of one unit; nothing if the word is not known
    std::string rest{};
};

std::optional<double> metres_per(std::string_view word) {
    struct Name {
        std::string_view name;
        double metres;
    };
    constexpr double foot = 0.3048, survey_foot = 1200.0 / 3937; // exact: 1959 agreement; US survey foot
    static constexpr Name names[] = {{"m", 1},
                                     {"metre", 1},
                                     {"metres", 1},
                                     {"meter", 1},
                                     {"meters", 1},
                                     {"dm", 0.1},
                                     {"cm", 0.01},
                                     {"mm", 0.001},
                                     {"km", 1000},
                                     {"ft", foot},
                                     {"foot", foot},
                                     {"feet", foot},
                                     {"us-ft", survey_foot},
                                     {"ftus", survey_foot},
                                     {"sfoot", survey_foot},
                                     {"foot_us", survey_foot},
                                     {"us survey foot", survey_foot},
                                     {"us survey feet", survey_foot},
                                     {"fm", 6 * foot},
                                     {"fathom", 6 * foot},
                                     {"fathoms", 6 * foot}};
    for (const Name& known : names)
        if (known.name == word) return known.metres;
    return std::nullopt;
}

StatedUnit read_unit(const std::string& text) {
    if (const auto whole = metres_per(lower(text))) return {text, whole};
    const auto blank = text.find(' ');
    if (blank != std::string::npos)
        if (const auto first = metres_per(lower(text.substr(0, blank))))
            return {text, first, text.substr(blank + 1)};
    return {text};
}

StatedUnit stated_unit(GDALDataset& dataset, GDALRasterBand& band) {
    for (const std::string& text :
         {text_or_empty(band.GetUnitType()), metadata(band, "units"), metadata(dataset, "units")})
        if (!text.empty()) return read_unit(text);
    return {};
}

/// Metres of one unit of the band.
double unit_of(const StatedUnit& stated, bool metres_by_format, const BathymetryRequest& request,
               std::vector<std::string>& notes) {
    std::optional<double> said;
    if (request.depth_unit) {
        said = metres_per(lower(*request.depth_unit));
        if (!said)
            throw InputError("--depth-unit", in_quotes(*request.depth_unit) + " is not a unit of depth",
                             "use one of m, dm, cm, ft, us-ft, fm");
    }
    if (metres_by_format && stated.text.empty()) {
        if (said && *said != 1)
            throw InputError(request.file, "its format holds metres, which --depth-unit contradicts",
                             "leave --depth-unit out");
        notes.emplace_back("unit: metres (by format)");
        return 1;
    }
    if (stated.metres) {
        if (said && *said != *stated.metres)
            throw InputError(request.file,
                             "states the unit " + in_quotes(stated.text) + ", which --depth-unit " +
                                 *request.depth_unit + " contradicts",
                             "leave --depth-unit out");
        notes.push_back("unit: " + stated.text + " (file)");
        return *stated.metres;
    }
    if (!stated.text.empty() && !said)
        throw InputError(request.file, "states the unit " + in_quotes(stated.text) + ", which is not known",
                         "say what it is with --depth-unit");
    if (said) {
        notes.push_back("unit: " + *request.depth_unit + " (as said)");
        return *said;
    }
    throw InputError(request.file, "does not say its unit", "give --depth-unit m, ft or fm");
}

/// What the file says of its sign: true for depths, positive down. Nothing if it does not say.
/// CF conventions: attribute `positive`; standard names of depths and of heights.
std::optional<bool> stated_sign(GDALDataset& dataset, GDALRasterBand& band, const std::string& file,
                                std::string& by) {
    const std::string driver = driver_of(dataset);
    if (driver == "BAG") {
        by = "BAG";
        return false; // BAG format specification: elevation, whatever axis the vertical CRS names
    }
    if (driver == "S102" && lower(band.GetDescription()) == "depth") {
        by = "S-102";
        return true;
    }
    std::optional<bool> sign;
    const auto take = [&](bool down, const std::string& source) {
        if (sign && *sign != down)
            throw InputError(file, "contradicts itself on its sign (" + by + ", " + source + ")",
                             "correct its metadata");
        sign = down;
        by = source;
    };
    for (GDALMajorObject* const object :
         {static_cast<GDALMajorObject*>(&band), static_cast<GDALMajorObject*>(&dataset)}) {
        const std::string positive = lower(metadata(*object, "positive"));
        if (positive == "up" || positive == "down")
            take(positive == "down", "attribute positive=" + positive);
        const std::string name = lower(metadata(*object, "standard_name"));
        const auto has = [&](std::string_view part) { return name.find(part) != std::string::npos; };
        if (name == "depth" || has("depth_below")) take(true, "standard name " + name);
        if (name == "height" || name == "altitude" || has("altitude") || has("height_above"))
            take(false, "standard name " + name);
    }
    return sign;
}

const char* direction(bool down) { return down ? "down" : "up"; }

/// The part of the text that names a low-water datum of charts; empty when there is none.
/// Names as in IHO S-57 attribute VERDAT and in the EPSG registry. "Mean low water" alone is left out:
/// levelling networks and charts mean different things by it.
std::string chart_datum_in(const std::string& text) {
    const std::string name = " " + lower(text) + " ";
    constexpr std::array phrases = {"mean lower low water",    "lowest astronomical tide",
                                    "mean low water springs",  "lower low water large tide",
                                    "lowest low water",        "low water datum",
                                    "indian spring low water", "chart datum"};
    for (const std::string_view phrase : phrases)
        if (name.find(phrase) != std::string::npos) return std::string(phrase);
    constexpr std::array words = {"mllw", "lat", "llwlt", "mlws", "islw"};
    const auto is_letter = [](char c) { return c >= 'a' && c <= 'z'; };
    for (const std::string_view word : words)
        for (auto at = name.find(word); at != std::string::npos; at = name.find(word, at + 1))
            if (!is_letter(name[at - 1]) && !is_letter(name[at + word.size()])) {
                std::string upper(word);
                for (char& c : upper)
                    c = static_cast<char>(c - 'a' + 'A');
                return upper;
            }
    return {};
}

/// Names of the vertical datum as the file's CRS has them; empty when it has none.
std::string vertical_name(GDALDataset& dataset) {
    const OGRSpatialReference* const crs = dataset.GetSpatialRef();
    if (!crs || !crs->IsVertical()) return {};
    const std::string system = text_or_empty(crs->GetAttrValue("VERT_CS")),
                      datum = text_or_empty(crs->GetAttrValue("VERT_DATUM"));
    return system == datum ? system : system + " / " + datum;
}

/// Height of chart datum above the raster's own datum, metres.
double chart_datum_of(GDALDataset& dataset, const StatedUnit& unit, const BathymetryRequest& request,
                      std::vector<std::string>& notes) {
    const ErrorTrap trap; // asking a CRS for a part that it lacks is no error here
    const std::string vertical = vertical_name(dataset);
    std::string known = chart_datum_in(vertical);
    if (known.empty()) known = chart_datum_in(unit.rest);
    if (request.chart_datum_m) {
        if (!std::isfinite(*request.chart_datum_m) || std::abs(*request.chart_datum_m) > 200)
            throw InputError("--chart-datum", plain(*request.chart_datum_m) + " m is no height of a datum",
                             "give metres above the raster's own datum");
        notes.push_back("chart datum: " + plain(*request.chart_datum_m) +
                        " m above the raster's datum (as said" +
                        (known.empty() ? ")" : "; the file names " + known + ")"));
        return *request.chart_datum_m;
    }
    if (known.empty())
        throw InputError(
            request.file,
            vertical.empty() ? "does not say how its vertical datum lies to chart datum"
                             : "is on the vertical datum " + in_quotes(vertical) +
                                   ", and how chart datum lies to it is not known",
            "give the height of chart datum above it with --chart-datum (0 if it is chart datum)");
    notes.push_back("chart datum: " + known + ", the raster's own datum (file)");
    return 0;
}

DepthUncertainty uncertainty_of(int band, const BathymetryRequest& request, std::vector<std::string>& notes) {
    if (request.uncertainty && request.uncertainty->kind() == DepthUncertainty::Kind::band && band == 0)
        throw InputError(request.file, "has no uncertainty band, which --uncertainty band asks for",
                         "give --uncertainty in metres, as a,b or as a zone of confidence");
    if (!request.uncertainty && band == 0)
        throw InputError(request.file, "has no uncertainty band",
                         "say how far its depths may be off with --uncertainty (metres, a,b or a zone of "
                         "confidence; give 0 to say there is none)");
    DepthUncertainty used = request.uncertainty ? *request.uncertainty : DepthUncertainty::band();
    if (used.kind() == DepthUncertainty::Kind::band)
        notes.push_back("uncertainty: band " + std::to_string(band) + " of the file; above " +
                        plain(useless_uncertainty_m) + " m a cell counts as unsurveyed");
    else
        notes.push_back("uncertainty: " + used.text() + " (as said)");
    return used;
}

// --- values --------------------------------------------------------------------------------------------

/// Raw band values to what they stand for.
struct BandValues {
    GDALRasterBand* band = nullptr;
    double scale = 1, offset = 0;
    double nodata = std::numeric_limits<double>::quiet_NaN();      ///< equal to nothing unless declared
    double also_nodata = std::numeric_limits<double>::quiet_NaN(); ///< BAG, S-102: 1e6, declared or not
    bool has_mask = false;

    [[nodiscard]] bool missing(double raw) const {
        return !(std::abs(raw) < sentinel) || raw == nodata || raw == also_nodata;
    }
};

BandValues values_of(GDALRasterBand& band, const std::string& driver, const std::string& file) {
    BandValues values;
    values.band = &band;
    if (driver == "BAG" || driver == "S102") values.also_nodata = 1e6;
    int given = 0;
    values.scale = band.GetScale(&given);
    if (!given) values.scale = 1;
    values.offset = band.GetOffset(&given);
    if (!given) values.offset = 0;
    if (!std::isfinite(values.scale) || values.scale == 0 || !std::isfinite(values.offset))
        throw InputError(file, "has a scale or offset that is zero or not finite", "correct its metadata");
    const double nodata = band.GetNoDataValue(&given);
    // Compared in the band's own precision: -9999.9 is not the same number as a float and as a double.
    if (given && std::abs(nodata) < sentinel)
        values.nodata = band.GetRasterDataType() == GDT_Float32
                            ? static_cast<double>(static_cast<float>(nodata))
                            : nodata;
    const int flags = band.GetMaskFlags();
    values.has_mask = (flags & (GMF_ALL_VALID | GMF_NODATA)) == 0;
    return values;
}

/// From a raw value to metres below chart datum: factor * raw + constant.
struct ToDepth {
    double factor = 1, constant = 0;
    [[nodiscard]] double operator()(double raw) const { return factor * raw + constant; }
};

/// narrow_down and narrow_up for numbers that are zero or normal as floats, which depths are: by the bits
/// that a float has no room for, without a comparison, so that loops over cells vectorize (2.5 times faster).
constexpr std::uint64_t beyond_float = (1ULL << 29) - 1;

inline float depth_down(double v) {
    const auto bits = std::bit_cast<std::uint64_t>(v);
    const std::uint64_t negative = bits >> 63;
    return static_cast<float>(std::bit_cast<double>((bits + ((negative << 29) - negative)) & ~beyond_float));
}

inline float depth_up(double v) {
    const auto bits = std::bit_cast<std::uint64_t>(v);
    const std::uint64_t positive = 1 - (bits >> 63);
    return static_cast<float>(std::bit_cast<double>((bits + ((positive << 29) - positive)) & ~beyond_float));
}

/// What a depth can be, in raw values of type T.
template <class T>
struct Sound {
    T nodata, also_nodata, least, most;

    Sound(const BandValues& band, ToDepth to_depth)
        : nodata(static_cast<T>(band.nodata)), also_nodata(static_cast<T>(band.also_nodata)) {
        const double at_deepest = (deepest_m - to_depth.constant) / to_depth.factor,
                     at_highest = (-highest_m - to_depth.constant) / to_depth.factor;
        least = static_cast<T>(std::max(-sentinel, std::min(at_deepest, at_highest)));
        most = static_cast<T>(std::min(sentinel, std::max(at_deepest, at_highest)));
    }
    [[nodiscard]] int missing(T raw) const { // bitwise, no branch
        return static_cast<int>(!(std::abs(raw) < static_cast<T>(sentinel))) |
               static_cast<int>(raw == nodata) | static_cast<int>(raw == also_nodata);
    }
    [[nodiscard]] int impossible(T raw) const {
        return static_cast<int>(!(raw <= most)) | static_cast<int>(!(raw >= least)) |
               static_cast<int>(std::abs(raw) == static_cast<T>(undeclared_mark));
    }
};

/// Turns what is missing into NaN. @returns false if some value cannot be a depth
template <class T>
bool mark_missing(T* __restrict raw, int count, Sound<T> sound) {
    int wrong = 0;
    for (int c = 0; c < count; ++c) {
        const T value = raw[c];
        const int missing = sound.missing(value);
        wrong |= sound.impossible(value) & (missing ^ 1);
        raw[c] = missing ? std::numeric_limits<T>::quiet_NaN() : value;
    }
    return wrong == 0;
}

/// One row of raw values, NaN where missing, to both planes; `half_m` gives the uncertainty by column and
/// depth.
template <class T, class Uncertainty>
void convert_row(const T* __restrict raw, int count, ToDepth to_depth, Uncertainty half_m,
                 float* __restrict shoal, float* __restrict deep) {
    for (int c = 0; c < count; ++c) {
        const double depth_m = to_depth(static_cast<double>(raw[c]));
        const double u_m = half_m(c, depth_m);
        shoal[c] = depth_down(depth_m - u_m);
        deep[c] = depth_up(depth_m + u_m);
    }
}

class RasterBathymetry final : public DepthSource {
public:
    explicit RasterBathymetry(const BathymetryRequest& request);
    ~RasterBathymetry() override {
        const ErrorTrap trap; // closing may complain
        dataset_.reset();
    }
    RasterBathymetry(const RasterBathymetry&) = delete;
    RasterBathymetry& operator=(const RasterBathymetry&) = delete;

    [[nodiscard]] const Grid& grid() const override { return grid_; }
    void read(Window where, DepthPlanes& depths) const override;
    [[nodiscard]] double greatest_uncertainty_m() const override {
        return from_band() ? useless_uncertainty_m : uncertainty_.at(deepest_m);
    }
    [[nodiscard]] std::vector<std::string> assumptions() const override { return notes_; }
    [[nodiscard]] std::vector<std::string> files() const override { return files_; }
    void note(const std::vector<std::string>& warnings) {
        for (const std::string& warning : warnings)
            notes_.push_back("warning: " + warning);
    }

private:
    struct Raw {
        std::vector<float> depth_f, uncertainty; // as the band holds them; one of the first two is filled
        std::vector<double> depth_d;
        std::vector<std::uint8_t> mask;
    };

    [[nodiscard]] bool from_band() const { return uncertainty_.kind() == DepthUncertainty::Kind::band; }
    void open();
    void open_variable_resolution();
    bool settle_sign(const std::optional<bool>& said, GDALRasterBand& band);
    [[nodiscard]] std::string value_range() const;
    void read_raw(Window inside, Raw& raw) const;
    void refuse_unwritten(Window inside) const;
    template <class T>
    void fetch(GDALRasterBand& band, Window inside, T* to, GDALDataType type) const;
    template <class T>
    void convert(Window inside, T* raw, const float* uncertainty, DepthPlanes& depths) const;
    template <class T>
    void refuse_impossible(const T* raw, int count, const Sound<T>& sound) const;
    [[noreturn]] void refuse_value(double raw) const;

    std::string file_;
    GDALDatasetUniquePtr dataset_;
    mutable std::mutex mutex_; // guards the dataset: a GDAL handle serves one thread at a time
    Grid grid_;
    BandValues depth_band_, uncertainty_band_;
    bool as_double_ = false; ///< the band holds more digits than a float
    bool may_be_unwritten_ = false;
    ToDepth to_depth_;
    double uncertainty_scale_ = 1, uncertainty_offset_ = 0; ///< raw to metres
    DepthUncertainty uncertainty_ = DepthUncertainty::none();
    std::vector<std::string> notes_, files_;
};

void RasterBathymetry::open_variable_resolution() {
    // GDAL opens such a file as its coarse overview. The resampled grid copies nodes, it does not
    // interpolate: at the coarsest of the file's spacings few cells stay without a node, and the shoalest of
    // several counts.
    dataset_ =
        open_dataset(file_, {"MODE=RESAMPLED_GRID", "RES_STRATEGY=MAX", "VALUE_POPULATION=MAX"}, notes_);
    notes_.emplace_back(
        "variable resolution: resampled to the coarsest spacing, each cell by its shoalest node");
}

void RasterBathymetry::open() {
    dataset_ = open_dataset(file_, {}, notes_);
    if (driver_of(*dataset_) == "BAG" &&
        (!metadata(*dataset_, "HAS_SUPERGRIDS").empty() || !metadata(*dataset_, "MIN_RESOLUTION_X").empty()))
        open_variable_resolution();
    refuse_containers(*dataset_, file_);
    files_ = file_list(*dataset_, file_);
    refuse_strange_references(*dataset_, file_, files_);
    notes_.insert(notes_.begin(), "format: " + driver_of(*dataset_));
}

RasterBathymetry::RasterBathymetry(const BathymetryRequest& request) : file_(request.file) {
    open();
    const std::string driver = driver_of(*dataset_);
    const Bands bands = bands_of(*dataset_, file_);
    GDALRasterBand& band = *dataset_->GetRasterBand(bands.depth);
    if (dataset_->GetRasterCount() > 1) {
        const std::string name = band.GetDescription();
        notes_.push_back("depths: band " + std::to_string(bands.depth) +
                         (name.empty() ? "" : " (" + name + ")") + " of " +
                         std::to_string(dataset_->GetRasterCount()));
    }
    grid_ = grid_of(*dataset_, request, notes_);
    depth_band_ = values_of(band, driver, file_);
    const GDALDataType type = band.GetRasterDataType();
    as_double_ =
        type == GDT_Float64 || GDALGetDataTypeSizeBits(type) > 32 || type == GDT_Int32 || type == GDT_UInt32;
    int declared = 0;
    band.GetNoDataValue(&declared);
    may_be_unwritten_ = driver == "GTiff" && !declared;

    const bool down = settle_sign(request.positive_down, band);
    const StatedUnit stated = stated_unit(*dataset_, band);
    const double unit_m = unit_of(stated, driver == "BAG" || driver == "S102", request, notes_);
    const double chart_datum_m = chart_datum_of(*dataset_, stated, request, notes_);
    const double sign = down ? 1 : -1;
    to_depth_ = {sign * unit_m * depth_band_.scale, sign * unit_m * depth_band_.offset + chart_datum_m};

    uncertainty_ = uncertainty_of(bands.uncertainty, request, notes_);
    if (from_band()) {
        GDALRasterBand& second = *dataset_->GetRasterBand(bands.uncertainty);
        uncertainty_band_ = values_of(second, driver, file_);
        const StatedUnit own = read_unit(text_or_empty(second.GetUnitType()));
        const double own_m = own.metres.value_or(unit_m);
        uncertainty_scale_ = own_m * uncertainty_band_.scale;
        uncertainty_offset_ = own_m * uncertainty_band_.offset;
    }
}

bool RasterBathymetry::settle_sign(const std::optional<bool>& said, GDALRasterBand& band) {
    std::string by;
    const std::optional<bool> stated = stated_sign(*dataset_, band, file_, by);
    if (stated && said && *stated != *said)
        throw InputError(file_,
                         std::string("is positive ") + direction(*stated) + " (" + by +
                             "), which --positive " + direction(*said) + " contradicts",
                         "leave --positive out");
    if (!stated && !said)
        throw InputError(
            file_, "does not say whether its values are depths or heights; " + value_range(),
            "give --positive up if the seabed is negative there, or --positive down if it is positive");
    const bool down = stated.value_or(said.value_or(false));
    notes_.push_back(std::string("sign: positive ") + direction(down) +
                     (stated ? " (" + by + ")" : " (as said)"));
    return down;
}

/// "they run from -30 to 108.8": of the whole band when that is quick, else of patches all over it.
std::string RasterBathymetry::value_range() const {
    constexpr int patch = 256, across = 8;
    const bool whole = grid_.extent().cells() <= 16'000'000;
    const int across_x = whole ? 1 : std::min(across, grid_.cols / patch + 1);
    const int across_y = whole ? (grid_.rows + patch - 1) / patch : std::min(across, grid_.rows / patch + 1);
    double least = std::numeric_limits<double>::infinity(), most = -least;
    std::vector<double> values;
    for (int j = 0; j < across_y; ++j)
        for (int i = 0; i < across_x; ++i) {
            const auto start = [](int k, int count, int size) {
                return count < 2 ? 0 : static_cast<int>(std::int64_t{size} * k / count);
            };
            const Window w = common({start(i, across_x, grid_.cols), start(j, across_y, grid_.rows),
                                     whole ? grid_.cols : patch, patch},
                                    grid_.extent());
            values.resize(w.cells());
            fetch(*depth_band_.band, w, values.data(), GDT_Float64);
            for (const double raw : values)
                if (!depth_band_.missing(raw)) {
                    const double v = raw * depth_band_.scale + depth_band_.offset;
                    least = std::min(least, v);
                    most = std::max(most, v);
                }
        }
    if (least > most) return "no value seen in it";
    return (whole ? "they run from " : "those looked at run from ") + rounded(least) + " to " + rounded(most);
}

template <class T>
void RasterBathymetry::fetch(GDALRasterBand& band, Window inside, T* to, GDALDataType type) const {
    const ErrorTrap trap;
    const CPLErr result = band.RasterIO(GF_Read, inside.col, inside.row, inside.cols, inside.rows, to,
                                        inside.cols, inside.rows, type, 0, 0, nullptr);
    if (result != CE_None || trap.failed())
        throw IoError(file_, "reading columns " + std::to_string(inside.col) + " to " +
                                 std::to_string(inside.col_end() - 1) + ", rows " +
                                 std::to_string(inside.row) + " to " + std::to_string(inside.row_end() - 1) +
                                 " failed" + (trap.message().empty() ? "" : ": " + trap.message()));
}

/// A GeoTIFF whose writer died, or that was left sparse, reads as zeros where nothing was ever written.
void RasterBathymetry::refuse_unwritten(Window inside) const {
    const ErrorTrap trap;
    const int status = depth_band_.band->GetDataCoverageStatus(
        inside.col, inside.row, inside.cols, inside.rows, GDAL_DATA_COVERAGE_STATUS_EMPTY, nullptr);
    if ((status & GDAL_DATA_COVERAGE_STATUS_UNIMPLEMENTED) == 0 &&
        (status & GDAL_DATA_COVERAGE_STATUS_EMPTY) != 0)
        throw InputError(file_, "has blocks that were never written and declares no value for missing data",
                         "write it again, or declare one with gdal_edit.py -a_nodata if it is meant so");
}

void RasterBathymetry::read_raw(Window inside, Raw& raw) const {
    const std::size_t cells = inside.cells();
    as_double_ ? raw.depth_d.resize(cells) : raw.depth_f.resize(cells);
    if (from_band()) raw.uncertainty.resize(cells);
    if (depth_band_.has_mask) raw.mask.resize(cells);
    const std::lock_guard lock(mutex_);
    quieten_hdf5();
    if (may_be_unwritten_) refuse_unwritten(inside);
    if (as_double_)
        fetch(*depth_band_.band, inside, raw.depth_d.data(), GDT_Float64);
    else
        fetch(*depth_band_.band, inside, raw.depth_f.data(), GDT_Float32);
    if (from_band()) fetch(*uncertainty_band_.band, inside, raw.uncertainty.data(), GDT_Float32);
    if (!depth_band_.has_mask) return;
    fetch(*depth_band_.band->GetMaskBand(), inside, raw.mask.data(), GDT_Byte);
    for (std::size_t i = 0; i < cells; ++i)
        if (raw.mask[i] == 0) (as_double_ ? raw.depth_d[i] = unsurveyed : raw.depth_f[i] = unsurveyed);
}

void RasterBathymetry::refuse_value(double raw) const {
    throw InputError(file_,
                     "holds the value " + plain(raw) +
                         (std::abs(raw) == 9999
                              ? ", mostly a mark for missing data, and does not declare it"
                              : ", a depth of " + rounded(to_depth_(raw)) + " m, which no sea has (" +
                                    plain(-highest_m) + " to " + plain(deepest_m) + " m)"),
                     "check --depth-unit, or declare the value for missing data with gdal_edit.py -a_nodata");
}

/// The first value that cannot be a depth, refused.
template <class T>
void RasterBathymetry::refuse_impossible(const T* raw, int count, const Sound<T>& sound) const {
    for (int c = 0; c < count; ++c)
        if (sound.impossible(raw[c]) && !sound.missing(raw[c])) refuse_value(static_cast<double>(raw[c]));
}

template <class T>
void RasterBathymetry::convert(Window inside, T* raw, const float* uncertainty, DepthPlanes& depths) const {
    constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
    const bool fixed = uncertainty_.kind() == DepthUncertainty::Kind::none ||
                       uncertainty_.kind() == DepthUncertainty::Kind::constant;
    const auto by_constant = [half_m = uncertainty_.at(0)](int, double) { return half_m; };
    const auto by_formula = [this](int, double depth_m) { return uncertainty_.at(depth_m); };
    const auto by_band = [&](int c, double) {
        const auto u = static_cast<double>(uncertainty[c]);
        const double u_m = uncertainty_scale_ * u + uncertainty_offset_;
        return uncertainty_band_.missing(u) || !(u_m >= 0 && u_m <= useless_uncertainty_m) ? nothing : u_m;
    };
    const Sound<T> sound(depth_band_, to_depth_);
    for (int r = inside.row; r < inside.row_end(); ++r, raw += inside.cols) {
        const auto row = [&](auto half_m) {
            convert_row(raw, inside.cols, to_depth_, half_m, &depths.shoal_m.at(inside.col, r),
                        &depths.deep_m.at(inside.col, r));
        };
        if (!mark_missing(raw, inside.cols, sound)) refuse_impossible(raw, inside.cols, sound);
        if (from_band()) {
            row(by_band);
            uncertainty += inside.cols;
        } else if (fixed) {
            row(by_constant);
        } else {
            row(by_formula);
        }
    }
}

void RasterBathymetry::read(Window where, DepthPlanes& depths) const {
    depths.shoal_m.reset(where, unsurveyed);
    depths.deep_m.reset(where, unsurveyed);
    const Window inside = common(where, grid_.extent());
    if (inside.empty()) return;
    thread_local Raw raw; // kept, since a block asks for as much as the one before it
    read_raw(inside, raw);
    if (as_double_)
        convert(inside, raw.depth_d.data(), raw.uncertainty.data(), depths);
    else
        convert(inside, raw.depth_f.data(), raw.uncertainty.data(), depths);
}

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
        const Window inside = common(where, grid_.extent());
        for (int r = inside.row; r < inside.row_end(); ++r)
            for (int c = inside.col; c < inside.col_end(); ++c) {
                const auto at = static_cast<std::size_t>(r) * static_cast<std::size_t>(grid_.cols) +
                                static_cast<std::size_t>(c);
                const auto depth_m = static_cast<double>(depth_m_[at]);
                if (!std::isfinite(depth_m)) continue;
                depths.shoal_m.at(c, r) = narrow_down(depth_m - uncertainty_.at(depth_m));
                depths.deep_m.at(c, r) = narrow_up(depth_m + uncertainty_.at(depth_m));
            }
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return uncertainty_.at(deepest_m); }
    [[nodiscard]] std::vector<std::string> assumptions() const override {
        return {"depths: held in memory", "uncertainty: " + uncertainty_.text()};
    }
    [[nodiscard]] std::vector<std::string> files() const override { return {}; }

private:
    Grid grid_;
    std::vector<float> depth_m_;
    DepthUncertainty uncertainty_;
};

} // namespace

std::unique_ptr<DepthSource> open_bathymetry(const BathymetryRequest& request) {
    const ErrorTrap trap; // GDAL reads parts of a file when they are asked for, and may complain at any time
    auto source = std::make_unique<RasterBathymetry>(request);
    if (trap.failed()) throw IoError(request.file, trap.message());
    source->note(trap.warnings());
    return source;
}

std::unique_ptr<DepthSource> memory_bathymetry(Grid grid, std::vector<float> depth_m,
                                               DepthUncertainty uncertainty) {
    return std::make_unique<MemoryBathymetry>(std::move(grid), std::move(depth_m), std::move(uncertainty));
}

} // namespace swingroom
