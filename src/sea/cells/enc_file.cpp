#include "sea/cells/enc_file.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/sea/hazards.hpp"

#include "sea/files/attributes.hpp"

#include <ogrsf_frmts.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <system_error>

namespace swingroom {

namespace fs = std::filesystem;

namespace {

/// Layers of a cell that hold its pieces of geometry.
constexpr std::array<std::string_view, 4> primitives = {"IsolatedNode", "ConnectedNode", "Edge", "Face"};

constexpr int most_updates = 999;

bool is_there(const fs::path& path) {
    std::error_code ignored;
    return fs::exists(path, ignored);
}

/// S-101 data sets share the record format of S-57, of which GDAL then finds a header and no object.
bool holds_no_object(GDALDataset& cell) {
    for (OGRLayer* const layer : cell.GetLayers()) {
        if (!is_primitive(layer->GetName()) && !EQUAL(layer->GetName(), "DSID") &&
            layer->GetFeatureCount() != 0) {
            return false;
        }
    }
    return true;
}

std::string first_bytes_of(const std::string& file) {
    constexpr std::size_t head = 65536;
    std::ifstream in(file, std::ios::binary);
    std::string bytes(head, '\0');
    in.read(bytes.data(), head);
    bytes.resize(static_cast<std::size_t>(std::max<std::streamsize>(in.gcount(), 0)));
    return bytes;
}

/// A whole number without a sign at a place of a record's leader; nothing where there is none.
std::optional<std::size_t> digits(std::string_view record, std::size_t at, std::size_t count) {
    std::size_t value = 0;
    for (const char c : record.substr(at, count)) {
        if (c < '0' || c > '9') return std::nullopt;
        value = 10 * value + static_cast<std::size_t>(c - '0');
    }
    return value;
}

/// By the leader of its first record (ISO/IEC 8211): the level of interchange, and what the record is.
bool is_iso8211(std::string_view bytes) {
    return bytes.size() >= 24 && bytes[5] >= '1' && bytes[5] <= '3' && bytes[6] == 'L';
}

constexpr const char* cell_instead =
    "give the S-57 cell (.000) of the same area, or convert it to GeoPackage with layers named by the S-57 "
    "class";

OGRFeatureUniquePtr header_of(GDALDataset& cell) {
    OGRLayer* const layer = cell.GetLayerByName("DSID");
    if (!layer) return nullptr;
    layer->ResetReading();
    return OGRFeatureUniquePtr(layer->GetNextFeature());
}

int whole_number(const OGRFeature* header, const char* field) {
    return header ? static_cast<int>(number_of(*header, field).value_or(0)) : 0;
}

/// "Value '20abc' of field ... parsed incompletely to real 20": blanks around a number are no loss.
bool is_part_of_a_number(std::string_view warning) {
    if (warning.find("parsed incompletely") == std::string_view::npos) return false;
    const auto first = warning.find('\''), last = warning.find('\'', first + 1);
    if (first == std::string_view::npos || last == std::string_view::npos) return true;
    std::string_view value = warning.substr(first + 1, last - first - 1);
    while (!value.empty() && value.back() == ' ') {
        value.remove_suffix(1);
    }
    while (!value.empty() && value.front() == ' ') {
        value.remove_prefix(1);
    }
    return value.find_first_not_of("+-.0123456789") != std::string_view::npos;
}

} // namespace

fs::path update_of(const fs::path& cell, int number) {
    const std::string digits = std::to_string(number);
    return fs::path(cell).replace_extension(std::string(3 - digits.size(), '0') + digits);
}

int updates_beside(const fs::path& cell) {
    int count = 0;
    while (count < most_updates && is_there(update_of(cell, count + 1))) {
        ++count;
    }
    return count;
}

bool is_primitive(std::string_view layer) {
    return std::find(primitives.begin(), primitives.end(), layer) != primitives.end();
}

/// Updates are applied from .001 on, up to the first that is missing.
void refuse_missing_updates(const std::string& file) {
    const int applied = updates_beside(file);
    constexpr int look_ahead = 100;
    for (int number = applied + 2; number <= std::min(applied + look_ahead, most_updates); ++number) {
        if (is_there(update_of(file, number))) {
            throw InputError(file,
                             "has an update " + update_of(file, number).filename().string() +
                                 " beside it, but " + update_of(file, applied + 1).filename().string() +
                                 " is missing, without which it cannot be applied",
                             "put the missing updates there, or take the newest edition of the cell without "
                             "older updates beside it");
        }
    }
}

void require_updates(const std::string& file, GDALDataset& cell) {
    const int beside = updates_beside(file);
    const OGRFeatureUniquePtr header = header_of(cell);
    const int applied = whole_number(header.get(), "DSID_UPDN");
    if (beside > 0 && applied != beside) {
        throw IoError(update_of(file, std::min(applied + 1, beside)).string(),
                      "cannot be applied to " + file + ", which is at update " + std::to_string(applied));
    }
}

std::optional<std::int64_t> object_records_in(const std::string& file) {
    constexpr std::size_t leader_size = 24;
    std::ifstream in(file, std::ios::binary);
    std::int64_t objects = 0;
    std::string record;
    while (true) {
        record.resize(leader_size);
        in.read(record.data(), static_cast<std::streamsize>(leader_size));
        if (in.gcount() < static_cast<std::streamsize>(leader_size)) return objects;
        const auto length = digits(record, 0, 5), fields_at = digits(record, 12, 5),
                   length_size = digits(record, 20, 1), position_size = digits(record, 21, 1),
                   tag_size = digits(record, 23, 1);
        // Leaders that are left out, and lengths beyond five digits, are for GDAL to read.
        const bool plain = (record[6] == 'L' || record[6] == 'D') && length && fields_at && length_size &&
                           position_size && tag_size && *length > *fields_at && *fields_at > leader_size &&
                           *tag_size > 0;
        if (!plain) return std::nullopt;
        record.resize(*length);
        in.read(record.data() + leader_size, static_cast<std::streamsize>(*length - leader_size));
        if (in.gcount() < static_cast<std::streamsize>(*length - leader_size)) return objects;
        if (record[6] != 'D') continue; // the description of the fields
        const std::size_t entry_size = *tag_size + *length_size + *position_size;
        for (std::size_t entry = leader_size; entry + entry_size < *fields_at; entry += entry_size) {
            if (record.compare(entry, *tag_size, "FRID") == 0) {
                ++objects;
                break;
            }
        }
    }
}

namespace {

/// Whether bytes hold an attribute with a value: its code in two bytes, the lower one first, and printable
/// letters up to the end of the subfield (S-57 part 3, 7.2.2.1 and 7.7.1.2).
bool holds(std::string_view bytes, std::string_view code) {
    constexpr char unit_terminator = 0x1f;
    for (auto at = bytes.find(code); at != std::string_view::npos; at = bytes.find(code, at + 1)) {
        const auto value = at + code.size();
        auto end = value;
        while (end < bytes.size() && bytes[end] >= ' ' && bytes[end] <= '~') {
            ++end;
        }
        if (end > value && end < bytes.size() && bytes[end] == unit_terminator) return true;
    }
    return false;
}

/// Whether all lists of attributes are described as codes of two bytes with a text.
bool has_plain_attributes(std::string_view bytes) {
    constexpr std::string_view list = "*ATTL!ATVL\x1f", plain = "(b12,A)";
    std::size_t lists = 0;
    for (auto at = bytes.find(list); at != std::string_view::npos; at = bytes.find(list, at + 1)) {
        if (bytes.compare(at + list.size(), plain.size(), plain) != 0) return false;
        ++lists;
    }
    return lists > 0;
}

} // namespace

bool may_state_accuracies(const std::string& file) {
    for (int number = 0; number <= updates_beside(file); ++number) {
        const fs::path part = number == 0 ? fs::path(file) : update_of(file, number);
        std::ifstream in(part, std::ios::binary);
        const std::string bytes(std::istreambuf_iterator<char>(in), {});
        // Attributes are described in the first record.
        constexpr std::size_t description_size = 99999;
        if (bytes.empty() || !has_plain_attributes(std::string_view(bytes).substr(0, description_size)) ||
            holds(bytes, "\x91\x01") || holds(bytes, "\x92\x01")) { // 401 and 402: POSACC, QUAPOS
            return true;
        }
    }
    return false;
}

std::int64_t objects_in(GDALDataset& cell) {
    std::int64_t found = 0;
    for (OGRLayer* const layer : cell.GetLayers()) {
        if (!EQUAL(layer->GetName(), "DSID")) found += std::max<GIntBig>(layer->GetFeatureCount(), 0);
    }
    return found;
}

void require_all_objects(const std::string& file, GDALDataset& told_by, std::int64_t found) {
    const OGRFeatureUniquePtr header = header_of(told_by);
    std::int64_t told = 0;
    for (const char* field : {"DSSI_NOMR", "DSSI_NOCR", "DSSI_NOGR", "DSSI_NOLR"}) {
        told += whole_number(header.get(), field);
    }
    if (found < told) {
        throw IoError(file, "is cut off: it holds " + std::to_string(found) + " of the " +
                                std::to_string(told) + " objects that it tells of");
    }
}

bool is_cell_file(const std::string& gdal_name) {
    constexpr std::array<const char*, 2> only = {"S57", nullptr};
    return GDALIdentifyDriverEx(gdal_name.c_str(), GDAL_OF_VECTOR, only.data(), nullptr) != nullptr;
}

bool is_s101(const std::string& file) {
    const std::string bytes = first_bytes_of(file);
    return is_iso8211(bytes) &&
           (bytes.find("S-101") != std::string::npos || bytes.find("S101") != std::string::npos);
}

void refuse_s101(const std::string& file) {
    if (is_s101(file)) {
        throw InputError(file, "is an S-101 data set, of which only an empty header can be read here",
                         cell_instead);
    }
}

void refuse_empty_cell(const std::string& file, GDALDataset& cell) {
    if (!holds_no_object(cell)) return;
    refuse_s101(file);
    const OGRFeatureUniquePtr set = header_of(cell);
    const int intended_use = set ? set->GetFieldIndex("DSID_INTU") : -1;
    const bool has_use = intended_use >= 0 && set->IsFieldSetAndNotNull(intended_use);
    if (!has_use) {
        throw InputError(file, "is perhaps an S-101 data set, of which only an empty header can be read here",
                         cell_instead);
    }
    throw InputError(file, "is an S-57 cell without a single object",
                     "give the cell itself, with its updates beside it");
}

bool is_loss_in_cell(std::string_view warning) {
    constexpr std::array<std::string_view, 7> losses = {
        "assembly has failed", "find spatial record", "Unable to fetch",  "Failed to fetch",
        "for update",          "for delete",          "An update to RCNM"};
    const bool lost = std::any_of(losses.begin(), losses.end(), [warning](std::string_view loss) {
        return warning.find(loss) != std::string_view::npos;
    });
    return lost || is_part_of_a_number(warning);
}

std::vector<std::string> chart_updates(const std::string& file) {
    std::vector<std::string> updates;
    if (fs::path(file).extension() != ".000") return updates;
    const int beside = updates_beside(file);
    for (int number = 1; number <= beside; ++number) {
        updates.push_back(update_of(file, number).string());
    }
    return updates;
}

} // namespace swingroom
