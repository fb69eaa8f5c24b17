#pragma once

#include "sea/files/openstreetmap_file.hpp"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// A node, way or relation as far as it matters whether something is lost.
struct OpenStreetMapElement {
    OpenStreetMapFile::Object object;
    OpenStreetMapFile::Tags tags;                 ///< what it says of itself as a seamark
    bool area = false;                            ///< type=multipolygon or boundary
    std::vector<OpenStreetMapFile::Object> parts; ///< nodes of a way, members of a relation

    [[nodiscard]] bool is_seamark() const {
        const auto type = tags.find("seamark:type");
        return type != tags.end() && !type->second.empty();
    }
    void take_tag(std::string_view key, std::string_view value) {
        if (key.starts_with("seamark:")) tags[std::string(key)] = value;
        if (key == "type" && (value == "multipolygon" || value == "boundary")) area = true;
    }
};

using VisitElement = std::function<void(const OpenStreetMapElement&)>;

/// All elements in the file's order.   @throws InputError, IoError
void each_xml_element(const std::string& path, const VisitElement& visit);
void each_pbf_element(const std::string& path, const VisitElement& visit);

} // namespace swingroom
