#pragma once

#include "openstreetmap_file.hpp"

#include <functional>
#include <string>
#include <vector>

namespace swingroom {

/// A node, way or relation as far as it matters whether something is lost.
struct OpenStreetMapElement {
    OpenStreetMapFile::Object object;
    bool seamark = false;                         ///< has seamark:type
    bool area = false;                            ///< type=multipolygon or boundary
    std::vector<OpenStreetMapFile::Object> parts; ///< nodes of a way, members of a relation
};

using VisitElement = std::function<void(const OpenStreetMapElement&)>;

/// All elements in the file's order.   @throws InputError, IoError
void each_xml_element(const std::string& path, const VisitElement& visit);
void each_pbf_element(const std::string& path, const VisitElement& visit);

} // namespace swingroom
