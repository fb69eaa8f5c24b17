// copy_layers BATHYMETRY FINISHED OUT THREADS checked|plain: what a run would take with nothing to compute.
//
// Loads verdict.tif, spare_full.tif and zones.geojson of a finished run into memory; then the clock starts.
// Reads the bathymetry block by block as a run does, each cell once, and writes the three files again with
// the same compression. Prints seconds.
//   checked  by our own writers: aside first, read back, digested, flushed and renamed
//   plain    by GDAL's COG driver straight from memory, which a run of bounded memory cannot do; overviews
//   are
//            the nearest cell, and nobody looks whether what was written is there

#include "swingroom/base/grid.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iostream>
#include <iterator>
#include <memory>
#include <stdexcept>
#include <string>
#include <thread>
#include <type_traits>
#include <vector>

namespace {

using namespace swingroom;

constexpr int block = 512;

template <class T>
constexpr GDALDataType type_of = std::is_same_v<T, float> ? GDT_Float32 : GDT_Byte;

GDALDatasetUniquePtr open(const std::string& file) {
    GDALDatasetUniquePtr raster(GDALDataset::Open(file.c_str(), GDAL_OF_RASTER | GDAL_OF_VERBOSE_ERROR));
    if (!raster) throw std::runtime_error("cannot open " + file);
    return raster;
}

/// A layer of a finished run: all of its cells, and what it says about itself.
template <class T>
struct Finished {
    Finished(const std::string& folder, const std::string& name, Worst worst, Window extent) : cells(extent) {
        const auto raster = open(folder + "/" + name + ".tif");
        const char* codec = raster->GetMetadataItem("COMPRESSION", "IMAGE_STRUCTURE");
        compression = codec != nullptr ? codec : "NONE";
        differences = raster->GetMetadataItem("PREDICTOR", "IMAGE_STRUCTURE") != nullptr;
        GDALRasterBand* band = raster->GetRasterBand(1);
        if (band->RasterIO(GF_Read, 0, 0, extent.cols, extent.rows, cells.data(), extent.cols, extent.rows,
                           type_of<T>, 0, 0) != CE_None) {
            throw std::runtime_error("cannot read " + folder + "/" + name + ".tif");
        }
        spec.name = name;
        spec.description = band->GetDescription();
        spec.type = std::is_same_v<T, float> ? CellType::float32 : CellType::uint8;
        spec.worst = worst;
        spec.unit = band->GetUnitType();
        char** names = band->GetCategoryNames();
        for (int i = 0; i < CSLCount(names); ++i) {
            spec.categories.push_back({static_cast<std::uint8_t>(i), names[i], {0, 0, 0, 255}});
        }
    }

    [[nodiscard]] Plane<T> part(Window window) const {
        Plane<T> plane(window);
        for (int row = window.row; row < window.row_end(); ++row) {
            std::copy_n(cells.row(row) + window.col, window.cols, plane.row(row));
        }
        return plane;
    }

    Plane<T> cells;
    LayerSpec spec;
    std::string compression;
    bool differences = false; ///< of neighbours are what is compressed
};

std::string bytes_of(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    if (!in) throw std::runtime_error("cannot read " + file);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

/// What is copied, all of it in memory.
struct Job {
    Job(const std::string& bathymetry_file, const std::string& finished)
        : bathymetry(bathymetry_file), extent(size_of(bathymetry_file)),
          verdict(finished, "verdict", Worst::least, extent),
          spare(finished, "spare_full", Worst::least, extent), zones(bytes_of(finished + "/zones.geojson")) {}

    static Window size_of(const std::string& file) {
        const auto raster = open(file);
        return {0, 0, raster->GetRasterXSize(), raster->GetRasterYSize()};
    }
    [[nodiscard]] std::unique_ptr<DepthSource> depths() const {
        BathymetryRequest request;
        request.file = bathymetry;
        request.positive_down = false;
        request.chart_datum_m = 0;
        request.uncertainty = DepthUncertainty::constant(0.2);
        return open_bathymetry(request);
    }

    std::string bathymetry;
    Window extent;
    Finished<std::uint8_t> verdict;
    Finished<float> spare;
    std::string zones;
};

/// Reads every block on so many threads, and hands its window on.
template <class Each>
void read_all(const Job& job, const DepthSource& depths, int threads, const Each& each) {
    const auto windows = cut_into_blocks(job.extent, block);
    std::atomic<std::size_t> next = 0;
    std::vector<std::exception_ptr> failed(static_cast<std::size_t>(threads));
    const auto work = [&](std::exception_ptr& failure) {
        try {
            DepthPlanes planes;
            for (std::size_t i = next++; i < windows.size(); i = next++) {
                planes.shoal_m.reset(windows[i]);
                planes.deep_m.reset(windows[i]);
                depths.read(windows[i], planes);
                each(windows[i]);
            }
        } catch (...) {
            failure = std::current_exception();
        }
    };
    {
        std::vector<std::jthread> workers;
        for (auto& failure : failed) {
            workers.emplace_back(work, std::ref(failure));
        }
    }
    for (const auto& failure : failed) {
        if (failure) std::rethrow_exception(failure);
    }
}

void write_zones(const Job& job, const std::filesystem::path& folder) {
    std::ofstream file(folder / "zones.geojson", std::ios::binary);
    file << job.zones;
    if (!file.flush()) throw std::runtime_error("cannot write " + (folder / "zones.geojson").string());
}

void copy_checked(const Job& job, const std::string& out, int threads) {
    const auto depths = job.depths();
    PendingFolder folder(out, true);
    Provenance provenance;
    provenance.inputs.push_back(digest_of_file(job.bathymetry));
    RasterLayer verdict(folder.working(), job.verdict.spec, depths->grid(), provenance, threads);
    RasterLayer spare(folder.working(), job.spare.spec, depths->grid(), provenance, threads);
    read_all(job, *depths, threads, [&](Window window) {
        verdict.write(job.verdict.part(window));
        spare.write(job.spare.part(window));
    });
    write_zones(job, folder.working());
    verdict.finish();
    spare.finish();
    folder.commit(provenance, threads);
}

template <class T>
void write_cog(const Finished<T>& layer, const Grid& grid, const std::filesystem::path& folder, int threads) {
    const Window extent = layer.cells.window();
    GDALDriverManager& drivers = *GetGDALDriverManager();
    const GDALDatasetUniquePtr memory(
        drivers.GetDriverByName("MEM")->Create("", extent.cols, extent.rows, 0, type_of<T>, nullptr));
    CPLStringList band;
    std::array<char, 32> pointer{};
    pointer.at(static_cast<std::size_t>(
        CPLPrintPointer(pointer.data(), const_cast<T*>(layer.cells.data()), 31))) = 0;
    band.SetNameValue("DATAPOINTER", pointer.data());
    std::array<double, 6> transform{grid.origin_x, grid.step_x, 0, grid.origin_y, 0, grid.step_y};
    OGRSpatialReference crs;
    if (memory->AddBand(type_of<T>, band.List()) != CE_None ||
        memory->SetGeoTransform(transform.data()) != CE_None ||
        crs.importFromWkt(grid.crs_wkt.c_str()) != OGRERR_NONE || memory->SetSpatialRef(&crs) != CE_None) {
        throw std::runtime_error("cannot hold " + layer.spec.name);
    }
    CPLStringList options;
    options.SetNameValue("COMPRESS", layer.compression.c_str());
    // As our own writer has it, by the type of the cells.
    options.SetNameValue("LEVEL", layer.spec.type == CellType::float32 ? "1" : "5");
    options.SetNameValue("PREDICTOR", layer.differences ? "STANDARD" : "NO");
    options.SetNameValue("OVERVIEW_PREDICTOR", layer.differences ? "STANDARD" : "NO");
    options.SetNameValue("BLOCKSIZE", "512");
    options.SetNameValue("RESAMPLING", "NEAREST");
    options.SetNameValue("NUM_THREADS", std::to_string(threads).c_str());
    const std::string file = folder / (layer.spec.name + ".tif");
    if (!GDALDatasetUniquePtr(drivers.GetDriverByName("COG")->CreateCopy(file.c_str(), memory.get(), FALSE,
                                                                         options.List(), nullptr, nullptr))) {
        throw std::runtime_error("cannot write " + file);
    }
}

void copy_plain(const Job& job, const std::string& out, int threads) {
    std::filesystem::create_directories(out);
    const auto depths = job.depths();
    read_all(job, *depths, threads, [](Window) {});
    write_cog(job.verdict, depths->grid(), out, threads);
    write_cog(job.spare, depths->grid(), out, threads);
    write_zones(job, out);
}

} // namespace

int main(int argc, char** argv) try {
    const std::vector<std::string> words(argv + 1, argv + argc);
    const int threads = words.size() == 5 ? std::atoi(words[3].c_str()) : 0;
    if (threads < 1 || (words[4] != "checked" && words[4] != "plain")) {
        std::cerr << "usage: copy_layers BATHYMETRY FINISHED OUT THREADS checked|plain\n";
        return 2;
    }
    GDALAllRegister();
    const Job job(words[0], words[1]);
    const auto start = std::chrono::steady_clock::now();
    (words[4] == "checked" ? copy_checked : copy_plain)(job, words[2], threads);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    std::cout << took.count() << '\n';
    return 0;
} catch (const std::exception& e) {
    std::cerr << "copy_layers: " << e.what() << '\n';
    return 1;
}
