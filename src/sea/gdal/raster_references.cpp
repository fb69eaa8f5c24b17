#include "sea/gdal/raster_references.hpp"

#include "swingroom/base/error.hpp"

#include "sea/gdal/gdal_messages.hpp"
#include "sea/gdal/input_path.hpp"
#include "sea/raster/bathymetry_text.hpp"

#include <cpl_minixml.h>
#include <cpl_string.h>
#include <gdal_priv.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <initializer_list>
#include <memory>
#include <set>
#include <string_view>
#include <system_error>
#include <utility>

namespace swingroom::bathymetry {
namespace {

namespace fs = std::filesystem;

struct DestroyXml {
    void operator()(CPLXMLNode* node) const noexcept { CPLDestroyXMLNode(node); }
};
using Xml = std::unique_ptr<CPLXMLNode, DestroyXml>;

const char* const give_a_whole_one = "give a raster that is whole by itself";
const char* const write_it_first = "write it to a GeoTIFF first (gdal_translate)";

/// Virtual rasters in virtual rasters, and so on.
constexpr std::size_t most_levels = 8;
constexpr std::uintmax_t most_xml_bytes = 64U << 20U;

bool is_regular_file(const std::string& name) {
    std::error_code error;
    return fs::is_regular_file(name, error) && !error;
}

std::string beginning_of(const std::string& name, std::size_t bytes) {
    std::string text(bytes, '\0');
    std::ifstream in(name, std::ios::binary);
    in.read(text.data(), static_cast<std::streamsize>(bytes));
    text.resize(static_cast<std::size_t>(std::max<std::streamsize>(in.gcount(), 0)));
    return text;
}

bool is_tiff(const std::string& name) {
    const std::string start = beginning_of(name, 4);
    using namespace std::string_view_literals;
    return start == "II*\0"sv || start == "MM\0*"sv || start == "II+\0"sv || start == "MM\0+"sv;
}

Xml xml_of(const std::string& name, const std::string& file) {
    std::error_code ignored;
    if (fs::file_size(name, ignored) > most_xml_bytes) {
        throw InputError(file, in_quotes(name) + " is too long for what it is", write_it_first);
    }
    const GdalMessages quiet; // what cannot be parsed is told when the file is opened
    return Xml(CPLParseXMLFile(name.c_str()));
}

/// Whether there is such a text anywhere in a tree; without recursion, since a hostile one is deep.
template <class Found>
bool any_text(const CPLXMLNode* tree, Found found) {
    std::vector<const CPLXMLNode*> left{tree};
    while (!left.empty()) {
        const CPLXMLNode* const node = left.back();
        left.pop_back();
        if (!node) continue;
        if (node->eType == CXT_Text && node->pszValue && found(std::string_view(node->pszValue))) return true;
        left.push_back(node->psNext);
        left.push_back(node->psChild);
    }
    return false;
}

/// Whether the definition of a CRS stands in another file, or names one by its place as a grid of shifts.
bool is_crs_by_files(std::string_view text) {
    const auto has_place_after = [&](std::string_view word, std::string_view end) {
        for (auto at = text.find(word); at != text.npos; at = text.find(word, at + 1)) {
            if (text.substr(at, text.find_first_of(end, at) - at).find('/') != text.npos) return true;
        }
        return false;
    };
    return has_place_after("init=", " :\"") || has_place_after("grids=", " \"") ||
           has_place_after("PARAMETERFILE[", "]");
}

/// Overviews that metadata name, in any file whatever, and what a CRS names: GDAL opens both.
void refuse_named_files(const CPLXMLNode* tree, const std::string& name, const std::string& file) {
    if (any_text(tree, is_crs_by_files)) {
        throw InputError(file, in_quotes(name) + " has a CRS that is defined by another file",
                         "give it a CRS with an EPSG code");
    }
    if (any_text(tree, [](std::string_view text) { return text == "OVERVIEW_FILE"; })) {
        throw InputError(file, in_quotes(name) + " names a file of overviews, which may be any file",
                         "remove the item OVERVIEW_FILE from it");
    }
}

/// What GDAL reads beside a file by its name. With `.ovr` and `.msk` it opens whatever it finds there.
void look_at_sidecars(const std::string& name, const std::string& file, bool is_part,
                      std::vector<std::string>& found) {
    for (const char* const ending : {".aux.xml", ".AUX.XML"}) {
        if (const std::string aux = name + ending; is_regular_file(aux)) {
            refuse_named_files(xml_of(aux, file).get(), aux, file);
            found.push_back(aux);
        }
    }
    for (const char* const ending : {".msk", ".MSK", ".ovr", ".OVR"}) {
        const std::string beside = name + ending;
        std::error_code ignored;
        if (!fs::exists(beside, ignored)) continue;
        if (!is_regular_file(beside) || !is_tiff(beside)) {
            throw InputError(file, "has beside it " + in_quotes(beside) + ", which is no GeoTIFF",
                             "remove that file, or write the raster to a GeoTIFF elsewhere");
        }
        const bool is_mask = ending[1] == 'm' || ending[1] == 'M';
        if (is_mask || is_part) found.push_back(beside);
        look_at_sidecars(beside, file, is_part, found);
    }
}

std::string canonical(const std::string& name) {
    std::error_code error;
    const fs::path place = fs::canonical(name, error);
    return error ? name : place.string();
}

/// As GDAL compares names in XML: the case of letters does not matter.
bool is_among(std::string_view name, std::initializer_list<std::string_view> names) {
    const std::string wanted = lower(name);
    return std::any_of(names.begin(), names.end(),
                       [&](std::string_view one) { return lower(one) == wanted; });
}

/// Follows what a virtual raster names. Elements and attributes are looked at alike, as GDAL does.
class VirtualRaster {
public:
    VirtualRaster(std::string file, References& found) : file_(std::move(file)), found_(found) {}

    void follow(const std::string& name) {
        std::error_code error;
        const fs::path place = fs::canonical(name, error);
        if (std::find(chain_.begin(), chain_.end(), place) != chain_.end()) {
            throw InputError(file_, "refers to itself by way of " + in_quotes(name), give_a_whole_one);
        }
        if (chain_.size() == most_levels) {
            throw InputError(file_,
                             "is a virtual raster of virtual rasters, more than " +
                                 std::to_string(most_levels) + " deep",
                             write_it_first);
        }
        chain_.push_back(place);
        const Xml xml = xml_of(name, file_);
        refuse_named_files(xml.get(), name, file_);
        folders_.push_back(folder_of(name));
        if (const CPLXMLNode* const root = xml ? CPLGetXMLNode(xml.get(), "=VRTDataset") : nullptr) {
            look_at_dataset(*root);
        }
        folders_.pop_back();
        chain_.pop_back();
    }

private:
    /// Where relative names start from: of a link, where the file is that it leads to.
    static std::string folder_of(const std::string& name) {
        fs::path path(name);
        std::error_code error;
        while (fs::is_symlink(path, error)) {
            const fs::path target = fs::read_symlink(path, error);
            if (error) break;
            path = path.parent_path() / target;
        }
        return path.parent_path().string();
    }

    template <class Take>
    static void each_child(const CPLXMLNode& node, Take take) {
        for (const CPLXMLNode* child = node.psChild; child; child = child->psNext) {
            if ((child->eType == CXT_Element || child->eType == CXT_Attribute) && child->pszValue) {
                take(std::string_view(child->pszValue), *child);
            }
        }
    }

    [[noreturn]] void refuse(std::string_view what) const {
        throw InputError(
            file_, "is a virtual raster that does more than put files together (" + std::string(what) + ")",
            write_it_first);
    }

    void look_at_dataset(const CPLXMLNode& dataset) {
        each_child(dataset, [&](std::string_view name, const CPLXMLNode& child) {
            if (is_among(name, {"VRTRasterBand"})) {
                look_at_band(child);
            } else if (is_among(name, {"MaskBand"})) {
                look_at_mask(child);
            } else if (!is_among(name, {"rasterXSize", "rasterYSize", "SRS", "GeoTransform", "GCPList",
                                        "Metadata", "BlockXSize", "BlockYSize", "OverviewList"})) {
                refuse(is_among(name, {"subClass"}) ? CPLGetXMLValue(&child, nullptr, "subClass") : name);
            }
        });
    }

    void look_at_mask(const CPLXMLNode& mask) {
        each_child(mask, [&](std::string_view name, const CPLXMLNode& child) {
            if (!is_among(name, {"VRTRasterBand"})) refuse(name);
            look_at_band(child);
        });
    }

    void look_at_band(const CPLXMLNode& band) {
        each_child(band, [&](std::string_view name, const CPLXMLNode& child) {
            if (is_among(name, {"SimpleSource", "ComplexSource"})) {
                look_at_source(child);
            } else if (is_among(name, {"MaskBand"})) {
                look_at_mask(child);
            } else if (is_among(name, {"subClass"})) {
                const std::string kind = CPLGetXMLValue(&child, nullptr, "");
                if (!is_among(kind, {"VRTSourcedRasterBand"})) refuse(kind);
            } else if (!is_among(name, {"band", "dataType", "blockXSize", "blockYSize", "Description",
                                        "NoDataValue", "HideNoDataValue", "UnitType", "Offset", "Scale",
                                        "ColorInterp", "ColorTable", "CategoryNames",
                                        "GDALRasterAttributeTable", "Histograms", "Metadata"})) {
                refuse(name);
            }
        });
    }

    static bool scales(std::string_view element) {
        return is_among(element, {"ScaleOffset", "ScaleRatio", "LUT", "Exponent", "SrcMin", "SrcMax",
                                  "DstMin", "DstMax", "Clamp"});
    }

    void look_at_source(const CPLXMLNode& source) {
        bool scaled = false;
        each_child(source,
                   [&](std::string_view name, const CPLXMLNode&) { scaled = scaled || scales(name); });
        found_.scales_parts = found_.scales_parts || scaled;
        each_child(source, [&](std::string_view name, const CPLXMLNode& child) {
            if (is_among(name, {"SourceFilename"})) {
                look_at_part(child, scaled);
            } else if (!scales(name) &&
                       !is_among(name, {"SourceBand", "SourceProperties", "SrcRect", "DstRect", "NODATA",
                                        "UseMaskBand", "ColorTableComponent", "resampling", "name"})) {
                refuse(name);
            }
        });
    }

    void look_at_part(const CPLXMLNode& filename, bool scaled) {
        const std::string given = CPLGetXMLValue(&filename, nullptr, "");
        const bool relative = std::strtol(CPLGetXMLValue(&filename, "relativeToVRT", "0"), nullptr, 10) != 0;
        const std::string& folder = folders_.back();
        const std::string name = relative && !folder.empty() ? (fs::path(folder) / given).string() : given;
        // A name with a colon may be an address, or the word of a driver that reads something else.
        const bool is_named_oddly = given.find_first_of(":<{") != std::string::npos;
        if (is_named_oddly && is_regular_file(name)) {
            throw InputError(file_,
                             "refers to " + in_quotes(given) + ", whose name has a sign as addresses have",
                             "give that file a name without : < {, and make the virtual raster anew");
        }
        if (is_named_oddly || name.starts_with("/vsi") || !is_regular_file(name)) {
            throw InputError(file_, "refers to " + in_quotes(given) + ", which is not a file here",
                             give_a_whole_one);
        }
        if (!scaled) found_.unscaled_parts.insert(canonical(name));
        if (!known_.insert(name).second) {
            refuse_circle(name);
            return;
        }
        require_raster(name);
        refuse_links_of_hdf5(name, file_);
        found_.parts.push_back(name);
        look_at_sidecars(name, file_, true, found_.sidecars);
        if (is_virtual(name)) follow(name);
    }

    void refuse_circle(const std::string& name) const {
        std::error_code error;
        if (std::find(chain_.begin(), chain_.end(), fs::canonical(name, error)) != chain_.end()) {
            throw InputError(file_, "refers to itself by way of " + in_quotes(name), give_a_whole_one);
        }
    }

    /// GDAL opens a part with the first of its drivers that takes it: that one must be of ours.
    void require_raster(const std::string& name) const {
        const GdalMessages quiet;
        GDALDriver* const driver =
            GDALDriver::FromHandle(GDALIdentifyDriverEx(name.c_str(), GDAL_OF_RASTER, nullptr, nullptr));
        const char* const format = driver ? driver->GetDescription() : "";
        if (std::none_of(local_raster_drivers.begin(), local_raster_drivers.end(),
                         [&](const char* one) { return one && std::strcmp(one, format) == 0; })) {
            throw InputError(
                file_, "refers to " + in_quotes(name) + ", which is in no raster format that is read here",
                give_a_whole_one);
        }
    }

public:
    static bool is_virtual(const std::string& name) {
        const GdalMessages quiet;
        const char* const only[] = {"VRT", nullptr};
        return GDALIdentifyDriverEx(name.c_str(), GDAL_OF_RASTER, only, nullptr) != nullptr;
    }

private:
    std::string file_;
    References& found_;
    std::vector<fs::path> chain_; ///< virtual rasters from the outermost to the one that is looked at
    std::vector<std::string> folders_;
    std::set<std::string> known_;
};

} // namespace

bool References::takes_unscaled(const std::string& part) const {
    return unscaled_parts.contains(canonical(part));
}

References references_of(const std::string& name, const std::string& file) {
    References found;
    refuse_links_of_hdf5(name, file);
    look_at_sidecars(name, file, false, found.sidecars);
    if (VirtualRaster::is_virtual(name)) VirtualRaster(file, found).follow(name);
    return found;
}

} // namespace swingroom::bathymetry
