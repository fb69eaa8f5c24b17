// copy_layers BATHYMETRY FINISHED OUT THREADS: what a run would take if it had nothing to compute.
//
// Loads verdict.tif, spare_full.tif and zones.geojson of a finished run into memory; then the clock starts.
// Reads the bathymetry block by block as a run does, each cell once, and writes the three files again by the
// same writers, with the same compression, read back, digested, flushed and renamed. Prints seconds.

#include "swingroom/base/grid.hpp"
#include "swingroom/chart/bathymetry.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/raster_layer.hpp"

#include <gdal_priv.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <exception>
#include <fstream>
#include <iostream>
#include <iterator>
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
        GDALRasterBand* band = raster->GetRasterBand(1);
        if (band->RasterIO(GF_Read, 0, 0, extent.cols, extent.rows, cells.data(), extent.cols, extent.rows,
                           type_of<T>, 0, 0) != CE_None)
            throw std::runtime_error("cannot read " + folder + "/" + name + ".tif");
        spec.name = name;
        spec.description = band->GetDescription();
        spec.type = std::is_same_v<T, float> ? CellType::float32 : CellType::uint8;
        spec.worst = worst;
        spec.unit = band->GetUnitType();
        char** names = band->GetCategoryNames();
        for (int i = 0; i < CSLCount(names); ++i)
            spec.categories.push_back({static_cast<std::uint8_t>(i), names[i], {0, 0, 0, 255}});
    }

    [[nodiscard]] Plane<T> part(Window window) const {
        Plane<T> plane(window);
        for (int row = window.row; row < window.row_end(); ++row)
            std::copy_n(cells.row(row) + window.col, window.cols, plane.row(row));
        return plane;
    }

    Plane<T> cells;
    LayerSpec spec;
};

std::string bytes_of(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    if (!in) throw std::runtime_error("cannot read " + file);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

void copy(const std::string& bathymetry, const std::string& finished, const std::string& out, int threads) {
    BathymetryRequest request;
    request.file = bathymetry;
    request.positive_down = false;
    request.chart_datum_m = 0;
    request.uncertainty = DepthUncertainty::constant(0.2);
    const auto extent_of = [&] {
        const auto raster = open(bathymetry);
        return Window{0, 0, raster->GetRasterXSize(), raster->GetRasterYSize()};
    };
    const Window extent = extent_of();
    const Finished<std::uint8_t> verdict(finished, "verdict", Worst::least, extent);
    const Finished<float> spare(finished, "spare_full", Worst::least, extent);
    const std::string zones = bytes_of(finished + "/zones.geojson");

    const auto start = std::chrono::steady_clock::now();
    const auto depths = open_bathymetry(request);
    PendingFolder folder(out, true);
    Provenance provenance;
    provenance.inputs.push_back(digest_of_file(bathymetry));
    RasterLayer verdict_layer(folder.working(), verdict.spec, depths->grid(), provenance, threads);
    RasterLayer spare_layer(folder.working(), spare.spec, depths->grid(), provenance, threads);

    const auto windows = cut_into_blocks(extent, block);
    std::atomic<std::size_t> next = 0;
    std::vector<std::exception_ptr> failed(static_cast<std::size_t>(threads));
    const auto work = [&](std::exception_ptr& failure) {
        try {
            DepthPlanes planes;
            for (std::size_t i = next++; i < windows.size(); i = next++) {
                planes.shoal_m.reset(windows[i]);
                planes.deep_m.reset(windows[i]);
                depths->read(windows[i], planes);
                verdict_layer.write(verdict.part(windows[i]));
                spare_layer.write(spare.part(windows[i]));
            }
        } catch (...) {
            failure = std::current_exception();
        }
    };
    {
        std::vector<std::jthread> workers;
        for (auto& failure : failed)
            workers.emplace_back(work, std::ref(failure));
    }
    for (const auto& failure : failed)
        if (failure) std::rethrow_exception(failure);
    std::ofstream(folder.working() / "zones.geojson", std::ios::binary) << zones;
    verdict_layer.finish();
    spare_layer.finish();
    folder.commit(provenance);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    std::cout << took.count() << '\n';
}

} // namespace

int main(int argc, char** argv) try {
    const int threads = argc == 5 ? std::atoi(argv[4]) : 0;
    if (threads < 1) {
        std::cerr << "usage: copy_layers BATHYMETRY FINISHED OUT THREADS\n";
        return 2;
    }
    GDALAllRegister();
    copy(argv[1], argv[2], argv[3], threads);
    return 0;
} catch (const std::exception& e) {
    std::cerr << "copy_layers: " << e.what() << '\n';
    return 1;
}
