// made_coast CELLS FOLDER: makes the raster and the hazards that the benchmark runs on.
// made_coast CELLS FOLDER hazards: makes few.gpkg and many.gpkg beside them, ten hazards and, at 8192 x 8192
// cells, ten thousand with a cable of a million vertices; in degrees, to be reprojected by the run.
// made_coast CELLS FOLDER degrees: makes bathymetry_degrees.tif, the same depths on a grid of longitude and
// latitude over the same ground, as most open bathymetry comes; a run reprojects the hazards to it.
//
// A square of CELLS x CELLS cells of 2 m: a fractal coast with water down to some thirty metres, 200 cables,
// 2,000 obstructions and 100 areas for every 8192 x 8192 cells' worth of ground (the same density at every
// size). The same values on every machine: hashes, sums and products only.

#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <iostream>
#include <memory>
#include <numbers>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace {

constexpr double cell_m = 2;
constexpr double west = 347000, south = 5300000; // UTM 26 north, open ocean
constexpr int epsg = 32626, epsg_of_degrees = 4326;
// The south-western corner of that ground, and how long degrees are there.
constexpr double west_deg = -29.0446, south_deg = 47.8351, metres_of_latitude_deg = 111'190,
                 metres_of_longitude_deg = 74'800;
constexpr float nodata = -9999;
constexpr double surveyed_up_to_m = 3; // height above chart datum
constexpr int tile = 512;

/// splitmix64's finaliser: what follows from nothing but its argument.
std::uint64_t hash(std::uint64_t h) {
    h = (h ^ (h >> 30)) * 0xBF58476D1CE4E5B9u;
    h = (h ^ (h >> 27)) * 0x94D049BB133111EBu;
    return h ^ (h >> 31);
}

/// In [-1, 1), at a node of the lattice of one octave.
float node(std::uint64_t octave, std::uint64_t i, std::uint64_t j) {
    const std::uint64_t h = hash(hash(hash(octave + 1) + i) + j);
    return static_cast<float>(h >> 40) / static_cast<float>(1u << 23) - 1.0f;
}

float smooth(float t) { return t * t * (3 - 2 * t); }

/// Sums of value noise, wavelengths halving from 2048 cells to 4, amplitudes falling with them: a fractal
/// surface, so that coasts and banks are ragged at every size.
class Seabed {
public:
    explicit Seabed(int cols) : cols_(cols), nodes_(static_cast<std::size_t>(cols / shortest) + 2) {}

    void elevations_of_row(int row, float* elevation_m) {
        std::fill_n(elevation_m, cols_, mean_m);
        float amplitude_m = greatest_amplitude_m;
        std::uint64_t octave = 0;
        for (int wavelength = longest; wavelength >= shortest;
             wavelength /= 2, amplitude_m *= gain, ++octave) {
            add_octave(octave, wavelength, amplitude_m, row, elevation_m);
        }
    }

private:
    static constexpr int longest = 2048, shortest = 4;
    static constexpr float mean_m = -8, greatest_amplitude_m = 12, gain = 0.56f;

    void add_octave(std::uint64_t octave, int wavelength, float amplitude_m, int row, float* elevation_m) {
        const int j = row / wavelength;
        const float t = smooth(static_cast<float>(row % wavelength) / static_cast<float>(wavelength));
        const int last = (cols_ - 1) / wavelength + 1;
        for (int i = 0; i <= last; ++i) {
            const auto ui = static_cast<std::uint64_t>(i), uj = static_cast<std::uint64_t>(j);
            nodes_[ui] = amplitude_m * (node(octave, ui, uj) * (1 - t) + node(octave, ui, uj + 1) * t);
        }
        for (int i = 0; i < last; ++i) {
            const auto at = static_cast<std::size_t>(i);
            const float from = nodes_[at], rise = nodes_[at + 1] - from;
            const int begin = i * wavelength, end = std::min(cols_, begin + wavelength);
            for (int col = begin; col < end; ++col) {
                elevation_m[col] +=
                    from + rise * smooth(static_cast<float>(col - begin) / static_cast<float>(wavelength));
            }
        }
    }

    int cols_;
    std::vector<float> nodes_;
};

void check(bool good, const std::string& what) {
    if (!good) throw std::runtime_error(what + ": " + CPLGetLastErrorMsg());
}

/// GDAL 3.6 does not return whether a flush went well.
void flush(GDALDataset& dataset, const std::string& file) {
    CPLErrorReset();
    dataset.FlushCache(true);
    check(CPLGetLastErrorType() < CE_Failure, file);
}

OGRSpatialReference reference(int code) {
    OGRSpatialReference crs;
    check(crs.importFromEPSG(code) == OGRERR_NONE, "EPSG code");
    crs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return crs;
}

/// Where a raster's cells lie.
struct Place {
    int epsg;
    std::array<double, 6> transform; ///< as GDAL has it
};

Place in_utm(int cells) { return {epsg, {west, cell_m, 0, south + cells * cell_m, 0, -cell_m}}; }

Place in_degrees(int cells) {
    const double step_lat = cell_m / metres_of_latitude_deg, step_lon = cell_m / metres_of_longitude_deg;
    return {epsg_of_degrees, {west_deg, step_lon, 0, south_deg + cells * step_lat, 0, -step_lat}};
}

void write_bathymetry(int cells, const Place& place, const std::string& file) {
    CPLStringList options;
    options.SetNameValue("TILED", "YES");
    options.SetNameValue("BLOCKXSIZE", std::to_string(tile).c_str());
    options.SetNameValue("BLOCKYSIZE", std::to_string(tile).c_str());
    options.SetNameValue("COMPRESS", "DEFLATE");
    options.SetNameValue("NUM_THREADS", "ALL_CPUS");
    options.SetNameValue("BIGTIFF", "IF_SAFER");
    const GDALDatasetUniquePtr raster(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
        file.c_str(), cells, cells, 1, GDT_Float32, options.List()));
    check(raster != nullptr, file);
    std::array<double, 6> transform = place.transform;
    check(raster->SetGeoTransform(transform.data()) == CE_None, file);
    const OGRSpatialReference crs = reference(place.epsg);
    check(raster->SetSpatialRef(&crs) == CE_None, file);
    GDALRasterBand* band = raster->GetRasterBand(1);
    band->SetNoDataValue(static_cast<double>(nodata));
    band->SetUnitType("m");

    Seabed seabed(cells);
    std::vector<float> strip(static_cast<std::size_t>(cells) * tile);
    for (int first = 0; first < cells; first += tile) {
        const int rows = std::min(tile, cells - first);
        for (int r = 0; r < rows; ++r) {
            float* row = strip.data() + static_cast<std::size_t>(r) * static_cast<std::size_t>(cells);
            seabed.elevations_of_row(first + r, row);
            // Soundings come in centimetres; whole ones compress as real data do.
            std::transform(row, row + cells, row, [](float z) {
                return z > static_cast<float>(surveyed_up_to_m) ? nodata : std::round(z * 100) / 100;
            });
        }
        check(band->RasterIO(GF_Write, 0, first, cells, rows, strip.data(), cells, rows, GDT_Float32, 0, 0) ==
                  CE_None,
              file);
    }
    flush(*raster, file);
}

/// Numbers in a fixed order.
class Draw {
public:
    explicit Draw(std::uint64_t seed) : state_(seed) {}
    double between(double low, double high) {
        state_ += 0x9E3779B97F4A7C15u;
        return low + (high - low) * static_cast<double>(hash(state_) >> 11) / 9007199254740992.0;
    }

private:
    std::uint64_t state_;
};

class HazardFile {
public:
    /// @param degrees  in longitude and latitude, as charts come, instead of the raster's own plane
    HazardFile(const std::string& file, double side_m, bool degrees)
        : file_(file), side_m_(side_m), crs_(reference(epsg)) {
        if (degrees) {
            const OGRSpatialReference utm = crs_;
            crs_ = reference(epsg_of_degrees);
            to_degrees_.reset(OGRCreateCoordinateTransformation(&utm, &crs_));
            check(to_degrees_ != nullptr, "EPSG:4326");
        }
        dataset_.reset(GetGDALDriverManager()->GetDriverByName("GPKG")->Create(file.c_str(), 0, 0, 0,
                                                                               GDT_Unknown, nullptr));
        check(dataset_ != nullptr, file);
    }

    void cables(int count) {
        layer("cables", wkbLineString);
        for (int n = 0; n < count; ++n) {
            OGRLineString line;
            double x = anywhere(), y = anywhere(), course = draw_.between(0, 2 * std::numbers::pi);
            for (int vertex = 0; vertex < 40; ++vertex) {
                line.addPoint(west + x, south + y);
                course += draw_.between(-0.3, 0.3);
                x += 40 * std::cos(course);
                y += 40 * std::sin(course);
            }
            add(std::move(line));
        }
    }

    /// From side to side, digitised every 2 cm or so: as wiggly as a laid cable's survey, and as long-winded.
    void long_cable(int vertices) {
        layer_named("cables");
        OGRLineString line;
        double y = side_m_ / 2, slope = 0;
        for (int vertex = 0; vertex < vertices; ++vertex) {
            line.addPoint(west + side_m_ * vertex / vertices, south + y);
            slope = 0.999 * slope + draw_.between(-0.05, 0.05);
            y += slope * side_m_ / vertices;
        }
        add(std::move(line));
    }

    void obstructions(int count) {
        layer("obstructions", wkbPoint);
        for (int n = 0; n < count; ++n) {
            const double x = anywhere(), y = anywhere();
            add(OGRPoint(west + x, south + y));
        }
    }

    void areas(int count) {
        layer("areas", wkbPolygon);
        for (int n = 0; n < count; ++n) {
            const double x = anywhere(), y = anywhere(), size_m = draw_.between(100, 400);
            OGRLinearRing ring;
            for (int vertex = 0; vertex < 60; ++vertex) {
                const double turn = vertex * 2 * std::numbers::pi / 60,
                             radius_m = size_m * draw_.between(0.7, 1);
                ring.addPoint(west + x + radius_m * std::cos(turn), south + y + radius_m * std::sin(turn));
            }
            ring.closeRings();
            OGRPolygon polygon;
            polygon.addRing(&ring);
            add(std::move(polygon));
        }
    }

    void finish() { flush(*dataset_, file_); }

private:
    double anywhere() { return draw_.between(0, side_m_); }
    void layer(const char* name, OGRwkbGeometryType type) {
        layer_ = dataset_->CreateLayer(name, &crs_, type, nullptr);
        check(layer_ != nullptr, file_);
    }
    void layer_named(const char* name) {
        layer_ = dataset_->GetLayerByName(name);
        check(layer_ != nullptr, file_);
    }
    void add(OGRGeometry&& geometry) {
        check(!to_degrees_ || geometry.transform(to_degrees_.get()) == OGRERR_NONE, file_);
        const OGRFeatureUniquePtr feature(OGRFeature::CreateFeature(layer_->GetLayerDefn()));
        check(feature->SetGeometry(&geometry) == OGRERR_NONE, file_);
        check(layer_->CreateFeature(feature.get()) == OGRERR_NONE, file_);
    }

    std::string file_;
    double side_m_;
    OGRSpatialReference crs_;
    std::unique_ptr<OGRCoordinateTransformation> to_degrees_;
    GDALDatasetUniquePtr dataset_;
    OGRLayer* layer_ = nullptr;
    Draw draw_{20};
};

/// How many of each kind.
struct Crowd {
    int cables, obstructions, areas;
    int long_cable_vertices = 0;
};

void write_hazards(const std::string& path, int cells, const Crowd& crowd, bool degrees) {
    std::filesystem::remove(path);
    HazardFile file(path, cells * cell_m, degrees);
    file.cables(crowd.cables);
    if (crowd.long_cable_vertices > 0) file.long_cable(crowd.long_cable_vertices);
    file.obstructions(crowd.obstructions);
    file.areas(crowd.areas);
    file.finish();
}

} // namespace

int main(int argc, char** argv) try {
    const int cells = argc == 3 || argc == 4 ? std::atoi(argv[1]) : 0;
    const std::string also = argc == 4 ? argv[3] : "";
    if (cells < tile || (argc == 4 && also != "hazards" && also != "degrees")) {
        std::cerr << "usage: made_coast CELLS FOLDER [hazards|degrees]   (CELLS at least " << tile << ")\n";
        return 2;
    }
    GDALAllRegister();
    CPLSetConfigOption("OGR_CURRENT_DATE", "2000-01-01T00:00:00Z"); // the same bytes every time
    const std::filesystem::path folder = argv[2];
    std::filesystem::create_directories(folder);
    const double share = static_cast<double>(cells) * cells / (8192.0 * 8192.0);
    const auto so_many = [&](int of_8192) { return std::max(1, static_cast<int>(of_8192 * share)); };
    if (also == "hazards") {
        write_hazards(folder / "few.gpkg", cells, {1, 8, 1}, true);
        write_hazards(folder / "many.gpkg", cells,
                      {so_many(1000), so_many(8499), so_many(500), so_many(1'000'000)}, true);
        return 0;
    }
    if (also == "degrees") {
        write_bathymetry(cells, in_degrees(cells), folder / "bathymetry_degrees.tif");
        return 0;
    }
    write_bathymetry(cells, in_utm(cells), folder / "bathymetry.tif");
    write_hazards(folder / "hazards.gpkg", cells, {so_many(200), so_many(2000), so_many(100)}, false);
    return 0;
} catch (const std::exception& e) {
    std::cerr << "made_coast: " << e.what() << '\n';
    return 1;
}
