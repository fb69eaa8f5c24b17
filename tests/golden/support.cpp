#include "support.hpp"

#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdlib>
#include <fcntl.h>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <sys/wait.h>
#include <system_error>
#include <unistd.h>

namespace swingroom::golden {
namespace {

/// Replaces this process; only what is safe between fork and exec is called.
[[noreturn]] void become(const char* program, char* const* argv, const char* folder, const char* out,
                         const char* err) {
    constexpr int flags = O_WRONLY | O_CREAT | O_TRUNC;
    const int in_fd = open("/dev/null", O_RDONLY), out_fd = open(out, flags, 0600),
              err_fd = open(err, flags, 0600);
    if (in_fd < 0 || out_fd < 0 || err_fd < 0 || dup2(in_fd, 0) < 0 || dup2(out_fd, 1) < 0 ||
        dup2(err_fd, 2) < 0 || chdir(folder) != 0) {
        _exit(126);
    }
    execv(program, argv);
    _exit(127);
}

} // namespace

std::size_t Outcome::lines() const {
    return static_cast<std::size_t>(std::count(err.begin(), err.end(), '\n'));
}

Outcome swingroom(const std::vector<std::string>& arguments, const std::filesystem::path& folder) {
    const Scratch streams;
    const std::string program = SWINGROOM_COMMAND, out = streams / "out", err = streams / "err",
                      where = folder.empty() ? SWINGROOM_SOURCE : folder.string();
    std::vector<std::string> words = arguments;
    words.insert(words.begin(), program);
    std::vector<char*> argv;
    argv.reserve(words.size() + 1);
    for (std::string& word : words) {
        argv.push_back(word.data());
    }
    argv.push_back(nullptr);

    const pid_t child = fork();
    if (child < 0) throw std::system_error(errno, std::generic_category(), "fork");
    if (child == 0) become(program.c_str(), argv.data(), where.c_str(), out.c_str(), err.c_str());
    int status = 0;
    while (waitpid(child, &status, 0) < 0) {
        if (errno != EINTR) throw std::system_error(errno, std::generic_category(), "waitpid");
    }
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), bytes_of(out), bytes_of(err)};
}

std::string bytes_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    if (!in) throw std::runtime_error("cannot read " + file.string());
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

void write_bytes(const std::filesystem::path& file, const std::string& bytes) {
    std::ofstream out(file, std::ios::binary);
    out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    if (!out.flush()) throw std::runtime_error("cannot write " + file.string());
}

std::map<std::string, std::string> contents(const std::filesystem::path& folder) {
    std::map<std::string, std::string> found;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
        if (entry.is_regular_file()) {
            found.emplace(std::filesystem::relative(entry.path(), folder).string(), bytes_of(entry.path()));
        }
    }
    return found;
}

Layer read_layer(const std::filesystem::path& file) {
    GDALAllRegister();
    const GDALDatasetUniquePtr raster(
        GDALDataset::Open(file.c_str(), GDAL_OF_RASTER | GDAL_OF_VERBOSE_ERROR));
    if (!raster) throw std::runtime_error("cannot open " + file.string());
    Layer layer{raster->GetRasterXSize(), raster->GetRasterYSize(), 0, 0, 0, 0, {}};
    std::array<double, 6> transform{};
    raster->GetGeoTransform(transform.data());
    layer.west = transform[0];
    layer.step_x = transform[1];
    layer.north = transform[3];
    layer.step_y = transform[5];
    layer.values.resize(static_cast<std::size_t>(layer.cols) * static_cast<std::size_t>(layer.rows));
    if (raster->GetRasterBand(1)->RasterIO(GF_Read, 0, 0, layer.cols, layer.rows, layer.values.data(),
                                           layer.cols, layer.rows, GDT_Float64, 0, 0) != CE_None) {
        throw std::runtime_error("cannot read " + file.string());
    }
    return layer;
}

void write_sea(const std::filesystem::path& file, const Sea& sea) {
    GDALAllRegister();
    const GDALDatasetUniquePtr raster(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
        file.c_str(), sea.cols, sea.rows, 1, GDT_Float32, nullptr));
    if (!raster) throw std::runtime_error("cannot make " + file.string());
    if (!sea.transform.empty()) {
        std::vector<double> transform = sea.transform;
        raster->SetGeoTransform(transform.data());
    }
    if (!sea.crs.empty()) {
        OGRSpatialReference reference;
        reference.SetFromUserInput(sea.crs.c_str());
        raster->SetSpatialRef(&reference);
    }
    if (!sea.unit.empty()) raster->GetRasterBand(1)->SetUnitType(sea.unit.c_str());
    std::vector<float> values(static_cast<std::size_t>(sea.cols) * static_cast<std::size_t>(sea.rows),
                              sea.elevation_m);
    if (raster->GetRasterBand(1)->RasterIO(GF_Write, 0, 0, sea.cols, sea.rows, values.data(), sea.cols,
                                           sea.rows, GDT_Float32, 0, 0) != CE_None) {
        throw std::runtime_error("cannot write " + file.string());
    }
}

} // namespace swingroom::golden
