#include "openstreetmap_file.hpp"

#include "swingroom/base/error.hpp"

#include "input_text.hpp"
#include "openstreetmap_elements.hpp"

#include <algorithm>
#include <set>

namespace swingroom {
namespace {

using Kind = OpenStreetMapFile::Kind;
using Object = OpenStreetMapFile::Object;

constexpr const char* fetch_whole =
    "take an extract with complete ways and relations (osmium extract --strategy smart), or take it out";

std::string name_of(const Object& object) {
    const char* const kind = object.first == Kind::node  ? "node "
                             : object.first == Kind::way ? "way "
                                                         : "relation ";
    return kind + std::to_string(object.second);
}

/// XML begins with a "<", PBF with the length of a header.
bool is_xml(const std::string& path) {
    InputBytes in(path);
    const std::string head = in.take(4);
    return head.size() < 4 || head[0] != '\0';
}

void each_element(const std::string& path, const VisitElement& visit) {
    if (is_xml(path))
        each_xml_element(path, visit);
    else
        each_pbf_element(path, visit);
}

} // namespace

OpenStreetMapFile::OpenStreetMapFile(const std::string& path) : path_(path) {
    // Three times through the file: its objects may be too many to be kept.
    std::map<Object, OpenStreetMapElement> wanted; // seamarks, and relations that have or may take their tags
    Object latest{Kind::node, 0};
    each_element(path, [&](const OpenStreetMapElement& element) {
        if (element.object.first < latest.first && disorder_.empty())
            disorder_ = name_of(element.object) + " stands behind " + name_of(latest);
        latest = element.object;
        bool takes_tags = false;
        if (element.object.first == Kind::relation && element.area)
            for (const Object& part : element.parts)
                if (part.first == Kind::way && seamarks_.count(part) != 0) {
                    relations_of_[part.second].push_back(element.object.second);
                    takes_tags = true;
                }
        if (element.seamark) seamarks_[element.object] = element.parts.size();
        if ((!element.seamark && !takes_tags) || element.object.first == Kind::node) return;
        OpenStreetMapElement& kept = wanted[element.object] = element;
        // Labels and parts of an area are no outline of it.
        if (element.area)
            std::erase_if(kept.parts, [](const Object& part) { return part.first != Kind::way; });
    });
    if (wanted.empty()) return;
    const bool relations = wanted.rbegin()->first.first == Kind::relation;
    if (relations && !disorder_.empty()) refuse_disorder();
    std::set<Object> lacking;
    for (const auto& [object, element] : wanted)
        if (object.first == Kind::relation) lacking.insert(element.parts.begin(), element.parts.end());
    std::map<Object, std::vector<Object>> ways;
    each_element(path, [&](const OpenStreetMapElement& element) {
        const bool member = lacking.erase(element.object) != 0;
        if (element.object.first == Kind::way && (member || wanted.count(element.object) != 0))
            ways[element.object] = element.parts;
    });
    std::set<Object> nodes;
    for (const auto& [way, parts] : ways)
        nodes.insert(parts.begin(), parts.end());
    each_element(path, [&](const OpenStreetMapElement& element) {
        if (element.object.first == Kind::node) nodes.erase(element.object);
    });
    for (const auto& [way, parts] : ways)
        for (const Object& node : parts)
            if (nodes.count(node) != 0)
                throw InputError(path,
                                 name_of(way) + " lacks its " + name_of(node) +
                                     ", so that a seamark's place is not known",
                                 fetch_whole);
    for (const auto& [object, element] : wanted) {
        const auto lost = std::find_if(element.parts.begin(), element.parts.end(),
                                       [&](const Object& part) { return lacking.count(part) != 0; });
        if (object.first != Kind::relation || lost == element.parts.end()) continue;
        if (element.area)
            throw InputError(path,
                             name_of(object) + " lacks its " + name_of(*lost) +
                                 ", so that a seamark's area is not known",
                             fetch_whole);
        warnings_.push_back(path + ": " + name_of(object) + ", a seamark, lacks its " + name_of(*lost) +
                            "; only what is there of it counts");
    }
}

/// GDAL looks for what a larger element is made of among what came before it, more or less.
void OpenStreetMapFile::refuse_disorder() const {
    throw InputError(path_, disorder_ + ", and what is made of it is lost",
                     "sort the file: osmium sort -o SORTED.osm.pbf FILE");
}

std::vector<std::string> OpenStreetMapFile::missed(const Read& read) const {
    std::vector<std::string> warnings;
    for (const auto& [object, parts] : seamarks_) {
        const auto found = read.find(object);
        const bool is_way = object.first == Kind::way;
        if (found != read.end() && (!is_way || found->second == parts)) continue;
        if (is_way && !disorder_.empty()) refuse_disorder();
        if (object.first == Kind::relation) {
            warnings.push_back(path_ + ": " + name_of(object) +
                               ", a seamark, is left out: nothing is there of which it is made");
            continue;
        }
        // A relation without tags of its own has taken those of its ways.
        const auto relations = relations_of_.find(object.second);
        if (is_way && relations != relations_of_.end() &&
            std::any_of(relations->second.begin(), relations->second.end(), [&](std::int64_t id) {
                return read.count({Kind::relation, id}) != 0;
            }))
            continue;
        throw InputError(path_, name_of(object) + ", a seamark, cannot be read as one",
                         is_way && relations != relations_of_.end()
                             ? "give its tags to the relation that it belongs to, or a way of its own"
                             : "repair it, or take it out");
    }
    return warnings;
}

} // namespace swingroom
