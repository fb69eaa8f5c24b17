#include "publish/raster/mbtiles_file.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"

#include "base/text.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/folder/sha256.hpp"
#include "publish/vector/ogr_files.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <cpl_vsi.h>
#include <ogrsf_frmts.h>

#include <atomic>
#include <memory>
#include <string_view>
#include <system_error>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// A file in memory, gone at the end of its life.
class MemoryFile {
public:
    explicit MemoryFile(const char* ending) {
        static std::atomic<std::uint64_t> number(0);
        name_ = "/vsimem/swingroom_tile_" + std::to_string(++number) + ending;
    }
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    ~MemoryFile() { VSIUnlink(name_.c_str()); }
    [[nodiscard]] const std::string& name() const { return name_; }
    [[nodiscard]] std::string bytes() const {
        vsi_l_offset length = 0;
        const GByte* const data = VSIGetMemFileBuffer(name_.c_str(), &length, FALSE);
        return {reinterpret_cast<const char*>(data), static_cast<std::size_t>(length)};
    }

private:
    std::string name_;
};

constexpr int bands = 4;

GDALDriver& driver(const char* name) {
    GDALDriver* const found = GetGDALDriverManager()->GetDriverByName(name);
    if (found == nullptr) throw IoError(name, "this GDAL has no such driver");
    return *found;
}

bool transfer(GDALDataset& dataset, GDALRWFlag way, TilePicture& picture) {
    return dataset.RasterIO(way, 0, 0, tile_pixels, tile_pixels, picture.data(), tile_pixels, tile_pixels,
                            GDT_Byte, bands, nullptr, bands, bands * tile_pixels, 1, nullptr) == CE_None;
}

/// @returns an empty text where it failed
std::string png_of(TilePicture picture) {
    const GDALDatasetUniquePtr memory(
        driver("MEM").Create("", tile_pixels, tile_pixels, bands, GDT_Byte, nullptr));
    if (!memory || !transfer(*memory, GF_Write, picture)) return "";
    constexpr std::array colours = {GCI_RedBand, GCI_GreenBand, GCI_BlueBand, GCI_AlphaBand};
    for (int band = 0; band < bands; ++band) {
        memory->GetRasterBand(band + 1)->SetColorInterpretation(colours.at(static_cast<std::size_t>(band)));
    }
    const MemoryFile png(".png");
    CPLStringList options;
    options.SetNameValue("ZLEVEL", "6");
    GDALDatasetUniquePtr copy(
        driver("PNG").CreateCopy(png.name().c_str(), memory.get(), FALSE, options.List(), nullptr, nullptr));
    if (!copy) return "";
    copy.reset();
    return png.bytes();
}

/// @returns no pixels where it is no such picture
TilePicture picture_of(const GByte* png, int length) {
    const MemoryFile file(".png");
    VSILFILE* const handle = VSIFileFromMemBuffer(file.name().c_str(), const_cast<GByte*>(png),
                                                  static_cast<vsi_l_offset>(length), FALSE);
    if (handle == nullptr) return {};
    VSIFCloseL(handle);
    const GDALDatasetUniquePtr opened(GDALDataset::Open(file.name().c_str(), GDAL_OF_RASTER));
    TilePicture picture(static_cast<std::size_t>(tile_pixels) * tile_pixels);
    if (!opened || opened->GetRasterCount() != bands || opened->GetRasterXSize() != tile_pixels ||
        opened->GetRasterYSize() != tile_pixels || !transfer(*opened, GF_Read, picture)) {
        return {};
    }
    return picture;
}

std::uint64_t digest_of(const TilePicture& picture, const std::string& address) {
    Sha256 sum;
    sum.add(address);
    sum.add({reinterpret_cast<const char*>(picture.data()), picture.size() * bands});
    return std::stoull(sum.hex().substr(0, 16), nullptr, 16);
}

/// Its zoom, column and row as the specification has them: columns round the world, rows from the south.
std::string address_of(TileAddress tile) {
    const std::int64_t across = std::int64_t{1} << tile.zoom;
    const std::int64_t col = ((tile.col % across) + across) % across;
    return std::to_string(tile.zoom) + "," + std::to_string(col) + "," +
           std::to_string(across - 1 - tile.row);
}

std::string sql_text(std::string_view text) {
    std::string quoted = "'";
    for (const char c : text) {
        quoted += c;
        if (c == '\'') quoted += c;
    }
    return quoted + "'";
}

} // namespace

MbtilesFile::MbtilesFile(fs::path path, const std::vector<std::pair<std::string, std::string>>& metadata)
    : path_(std::move(path)),
      // GDAL takes statements for a file of this ending only.
      working_(path_.parent_path() / ("." + path_.stem().string() + ".working.sqlite")) {
    const OwnVectorSettings settings;
    const std::string name = guarded::gdal_name(working_);
    {
        const GdalMessages errors;
        CPLStringList options;
        options.SetNameValue("METADATA", "NO");
        file_.reset(driver("SQLite").Create(name.c_str(), 0, 0, 0, GDT_Unknown, options.List()));
        if (!file_ || errors.failed()) fail(errors.failure());
    }
    run("PRAGMA application_id = 0x4d504258"); // "MPBX", MBTiles 1.3
    run("CREATE TABLE metadata (name text, value text)");
    run("CREATE TABLE tiles (zoom_level integer, tile_column integer, tile_row integer, tile_data blob)");
    run("CREATE UNIQUE INDEX tile_index ON tiles (zoom_level, tile_column, tile_row)");
    run("BEGIN");
    for (const auto& [key, value] : metadata) {
        run("INSERT INTO metadata VALUES (" + sql_text(key) + "," + sql_text(value) + ")");
    }
}

MbtilesFile::~MbtilesFile() {
    {
        const GdalMessages quiet;
        file_.reset();
    }
    std::error_code ignored;
    fs::remove(working_, ignored);
}

void MbtilesFile::fail(const std::string& why) const {
    guarded::throw_if_failed(working_);
    guarded::fail(path_, "could not be written" + (why.empty() ? "" : ": " + why));
}

void MbtilesFile::run(const std::string& sql) {
    const GdalMessages errors;
    file_->ReleaseResultSet(file_->ExecuteSQL(sql.c_str(), nullptr, nullptr));
    if (errors.failed()) fail(errors.failure());
    guarded::throw_if_failed(working_);
}

void MbtilesFile::add(TileAddress tile, const TilePicture& picture) {
    stop_if_asked();
    const OwnVectorSettings settings;
    const std::string png = png_of(picture), address = address_of(tile);
    if (png.empty()) fail("a tile could not be compressed");
    run("INSERT INTO tiles VALUES (" + address + ",X'" + hex_of(png) + "')");
    digests_.push_back(digest_of(picture, address));
}

void MbtilesFile::finish() {
    const OwnVectorSettings settings;
    run("COMMIT");
    {
        const GdalMessages errors;
        file_.reset();
        if (errors.failed()) fail(errors.failure());
    }
    guarded::throw_if_failed(working_);
    {
        const GdalMessages errors;
        const GDALDatasetUniquePtr file(
            GDALDataset::Open(guarded::gdal_name(working_).c_str(), GDAL_OF_VECTOR));
        guarded::throw_if_failed(working_);
        if (!file || errors.failed()) fail(errors.failure());
        const auto release = [&](OGRLayer* result) { file->ReleaseResultSet(result); };
        const std::unique_ptr<OGRLayer, decltype(release)> tiles(
            file->ExecuteSQL("SELECT zoom_level, tile_column, tile_row, tile_data FROM tiles ORDER BY rowid",
                             nullptr, nullptr),
            release);
        if (tiles == nullptr) fail(errors.failure());
        std::size_t read = 0;
        bool same = true;
        for (const OGRFeatureUniquePtr& tile : *tiles) {
            stop_if_asked();
            int length = 0;
            const GByte* const png = tile->GetFieldAsBinary(3, &length);
            const auto field = [&](int i) { return std::to_string(tile->GetFieldAsInteger64(i)); };
            const std::string address = field(0) + "," + field(1) + "," + field(2);
            same = same && read < digests_.size() &&
                   digest_of(picture_of(png, length), address) == digests_[read];
            ++read;
        }
        guarded::throw_if_failed(working_);
        if (errors.failed()) fail(errors.failure());
        if (!same || read != digests_.size()) guarded::fail(path_, "reads otherwise than it was written");
    }
    if (const int error = guarded::rename_plainly(working_, path_); error != 0) {
        guarded::fail(path_, "could not be given its name: " + guarded::reason_and_cure(error));
    }
}

} // namespace swingroom
