#include "publish/raster/class_image.hpp"

#include "swingroom/base/error.hpp"

#include "sea/gdal/gdal_messages.hpp"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <gdal_priv.h>

#include <cstddef>
#include <string_view>

namespace swingroom {
namespace {

[[noreturn]] void fail(const GdalMessages& messages) {
    throw IoError("report.html", "the picture of its map could not be made: " + messages.failure());
}

/// A name in GDAL's memory that nobody else has: that of something in ours.
class MemoryFile {
public:
    MemoryFile()
        : name_(std::string("/vsimem/") + CPLSPrintf("%p", static_cast<const void*>(this)) + ".png") {}
    ~MemoryFile() { VSIUnlink(name_.c_str()); }
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    [[nodiscard]] const char* name() const { return name_.c_str(); }

private:
    std::string name_;
};

} // namespace

std::string png_data_uri(const Plane<std::uint8_t>& classes, std::span<const Rgba> palette) {
    const CPLConfigOptionSetter no_sidecar("GDAL_PAM_ENABLED", "NO", false);
    const GdalMessages messages;
    GDALDriverManager& drivers = *GetGDALDriverManager();
    GDALDriver *const memory = drivers.GetDriverByName("MEM"), *const png = drivers.GetDriverByName("PNG");
    if (!memory || !png) throw IoError("report.html", "this GDAL has no PNG driver");
    const Window size = classes.window();
    const GDALDatasetUniquePtr picture(memory->Create("", size.cols, size.rows, 1, GDT_Byte, nullptr));
    if (!picture) fail(messages);
    GDALRasterBand& band = *picture->GetRasterBand(1);
    GDALColorTable colours;
    for (std::size_t i = 0; i < palette.size(); ++i) {
        const auto [red, green, blue, alpha] = palette[i];
        const GDALColorEntry entry{red, green, blue, alpha};
        colours.SetColorEntry(static_cast<int>(i), &entry);
    }
    Plane<std::uint8_t> writable = classes; // RasterIO takes no const
    if (band.SetColorTable(&colours) != CE_None ||
        band.RasterIO(GF_Write, 0, 0, size.cols, size.rows, writable.data(), size.cols, size.rows, GDT_Byte,
                      0, 0, nullptr) != CE_None) {
        fail(messages);
    }
    const MemoryFile file;
    CPLStringList options;
    // Hatches are long runs that almost repeat, of which level 9 tries them all: a twelfth fewer bytes in
    // eight times the time.
    options.SetNameValue("ZLEVEL", "7");
    if (!GDALDatasetUniquePtr(
            png->CreateCopy(file.name(), picture.get(), FALSE, options.List(), nullptr, nullptr))) {
        fail(messages);
    }
    vsi_l_offset bytes = 0;
    const GByte* const data = VSIGetMemFileBuffer(file.name(), &bytes, FALSE);
    if (!data) fail(messages);
    const CPLString encoded = [&] {
        char* const text = CPLBase64Encode(static_cast<int>(bytes), data);
        CPLString copy(text);
        CPLFree(text);
        return copy;
    }();
    return "data:image/png;base64," + encoded;
}

} // namespace swingroom
