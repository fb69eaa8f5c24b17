#pragma once

#include "sea/files/openstreetmap_file.hpp"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// A node, way or relation as far as it matters whether something is lost.
struct OpenStreetMapElement {
    /// Which element it is.
    OpenStreetMapFile::Object object;
    OpenStreetMapFile::Tags tags;                 ///< what it says of itself as a seamark
    bool area = false;                            ///< type=multipolygon or boundary
    std::vector<OpenStreetMapFile::Object> parts; ///< nodes of a way, members of a relation

    /// Whether it has a type of seamark that is not empty.
    [[nodiscard]] bool is_seamark() const {
        const auto type = tags.find("seamark:type");
        return type != tags.end() && !type->second.empty();
    }
    /// Keeps a tag that matters: those of seamarks, and the type that makes an area of a relation.
    void take_tag(std::string_view key, std::string_view value) {
        if (key.starts_with("seamark:")) tags[std::string(key)] = value;
        if (key == "type" && (value == "multipolygon" || value == "boundary")) area = true;
    }
};

/// Called for each element; what it is given is gone when it returns.
using VisitElement = std::function<void(const OpenStreetMapElement&)>;

/// All elements in the file's order.   @throws InputError, IoError
void each_xml_element(const std::string& path, const VisitElement& visit);
/// The same of a file of protocol buffers.   @throws InputError, IoError
void each_pbf_element(const std::string& path, const VisitElement& visit);

} // namespace swingroom
