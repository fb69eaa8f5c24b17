#include "sea/files/openstreetmap_file.hpp"

#include "swingroom/base/error.hpp"

#include "sea/files/input_text.hpp"
#include "sea/files/openstreetmap_elements.hpp"

#include <algorithm>
#include <set>
#include <utility>

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
    if (is_xml(path)) {
        each_xml_element(path, visit);
    } else {
        each_pbf_element(path, visit);
    }
}

/// The first of the parts that is among those that are lacking, nullptr: none is.
const Object* first_of(const std::vector<Object>& parts, const std::set<Object>& lacking) {
    const auto lost = std::find_if(parts.begin(), parts.end(),
                                   [&](const Object& part) { return lacking.count(part) != 0; });
    return lost != parts.end() ? &*lost : nullptr;
}

} // namespace

OpenStreetMapFile::OpenStreetMapFile(const std::string& path) : path_(path) {
    // Three times through the file: its objects may be too many to be kept.
    std::set<Object> wanted; // ways, and members of relations
    Object latest(Kind::node, 0);
    each_element(path, [&](const OpenStreetMapElement& element) {
        if (element.object.first < latest.first && disorder_.empty()) {
            disorder_ = name_of(element.object) + " stands behind " + name_of(latest);
        }
        latest = element.object;
        if (element.is_seamark()) seamarks_[element.object] = {element.parts.size(), element.tags};
        if (element.object.first == Kind::way && element.is_seamark()) wanted.insert(element.object);
        if (element.object.first == Kind::relation) take_relation(element);
    });
    if ((!areas_.empty() || !others_.empty()) && !disorder_.empty()) refuse_disorder();
    std::set<Object> members;
    for (const Wanted* const relations : {&areas_, &others_}) {
        for (const auto& [relation, parts] : *relations) {
            members.insert(parts.begin(), parts.end());
        }
    }
    if (wanted.empty() && members.empty()) return;
    wanted.insert(members.begin(), members.end());
    Wanted ways;
    each_element(path, [&](const OpenStreetMapElement& element) {
        members.erase(element.object);
        if (element.object.first == Kind::way && wanted.count(element.object) != 0) {
            ways[element.object] = element.parts;
        }
    });
    std::set<Object> nodes;
    for (const auto& [way, parts] : ways) {
        nodes.insert(parts.begin(), parts.end());
    }
    each_element(path, [&](const OpenStreetMapElement& element) {
        if (element.object.first == Kind::node) nodes.erase(element.object);
    });
    find_lacking_nodes(ways, nodes);
    find_lacking_members(members);
    sum_outlines(ways);
}

/// Keeps a relation that is a seamark, or an area that has or may take the tags of its ways.
void OpenStreetMapFile::take_relation(const OpenStreetMapElement& relation) {
    if (!relation.area) {
        if (relation.is_seamark()) others_[relation.object] = relation.parts;
        return;
    }
    // Labels and parts of an area are no outline of it.
    std::vector<Object> ways = relation.parts;
    std::erase_if(ways, [](const Object& part) { return part.first != Kind::way; });
    bool takes_tags = false;
    for (const Object& way : ways) {
        if (seamarks_.count(way) != 0) {
            relations_of_[way.second].push_back(relation.object.second);
            takes_tags = true;
        }
    }
    if (relation.is_seamark() || takes_tags) areas_[relation.object] = std::move(ways);
}

void OpenStreetMapFile::find_lacking_nodes(const Wanted& ways, const std::set<Object>& nodes) {
    for (const auto& [way, parts] : ways) {
        const Object* const lost = first_of(parts, nodes);
        if (!lost) continue;
        lacking_[way] = {name_of(way) + " lacks its " + name_of(*lost) +
                             ", so that a seamark's place is not known",
                         fetch_whole, seamarks_on(way)};
    }
}

void OpenStreetMapFile::find_lacking_members(const std::set<Object>& lacking) {
    for (const auto& [area, ways] : areas_) {
        if (const Object* const lost = first_of(ways, lacking)) {
            lacking_[area] = {name_of(area) + " lacks its " + name_of(*lost) +
                                  ", so that a seamark's area is not known",
                              fetch_whole, seamarks_on(area)};
        }
    }
    for (const auto& [relation, parts] : others_) {
        if (const Object* const lost = first_of(parts, lacking)) {
            warnings_.push_back(name_of(relation) + ", a seamark, lacks its " + name_of(*lost) +
                                "; only what is there of it counts");
        }
    }
}

/// In closed outlines each vertex begins one edge.
void OpenStreetMapFile::sum_outlines(const Wanted& ways) {
    for (const auto& [area, parts] : areas_) {
        std::size_t& edges = outlines_[area];
        for (const Object& way : parts) {
            const auto found = ways.find(way);
            if (found != ways.end() && !found->second.empty()) edges += found->second.size() - 1;
        }
    }
}

/// The tags of an object, of the relations that it is a member of, and those that an area may take from its
/// ways.
std::vector<OpenStreetMapFile::Tags> OpenStreetMapFile::seamarks_on(const Object& object) const {
    std::vector<Tags> all;
    const auto add = [&](const Object& of) {
        const auto found = seamarks_.find(of);
        if (found != seamarks_.end()) all.push_back(found->second.tags);
    };
    add(object);
    const auto add_ways = [&](const Object& area) {
        const auto found = areas_.find(area);
        if (found != areas_.end()) {
            for (const Object& way : found->second) {
                add(way);
            }
        }
    };
    add_ways(object);
    for (const Wanted* const relations : {&areas_, &others_}) {
        for (const auto& [relation, parts] : *relations) {
            if (std::find(parts.begin(), parts.end(), object) != parts.end()) {
                add(relation);
                add_ways(relation);
            }
        }
    }
    return all;
}

/// GDAL looks for what a larger element is made of among what came before it, more or less.
void OpenStreetMapFile::refuse_disorder() const {
    throw InputError(path_, disorder_ + ", and what is made of it is lost",
                     "sort the file: osmium sort -o SORTED.osm.pbf FILE");
}

/// A relation without tags of its own has taken those of its ways.
bool OpenStreetMapFile::is_in_read_area(const Object& way, const Read& read) const {
    const auto relations = relations_of_.find(way.second);
    return way.first == Kind::way && relations != relations_of_.end() &&
           std::any_of(relations->second.begin(), relations->second.end(), [&](std::int64_t id) {
               return read.count({Kind::relation, id}) != 0;
           });
}

std::vector<OpenStreetMapFile::Loss> OpenStreetMapFile::missed(const Read& read) const {
    std::map<Object, Loss> losses = lacking_; // which say more of why
    for (const auto& [object, seamark] : seamarks_) {
        if (object.first == Kind::relation) continue;
        const auto found = read.find(object);
        const bool is_way = object.first == Kind::way;
        if (found != read.end() && (!is_way || found->second == seamark.parts)) continue;
        if (is_way && !disorder_.empty()) refuse_disorder();
        if (is_in_read_area(object, read)) continue;
        losses.emplace(object,
                       Loss{name_of(object) + ", a seamark, cannot be read as one",
                            is_way && relations_of_.count(object.second) != 0
                                ? "give its tags to the relation that it belongs to, or a way of its own"
                                : "repair it, or take it out",
                            {seamark.tags}});
    }
    for (const auto& [area, vertices] : outlines_) {
        const auto found = read.find(area);
        if (found != read.end() ? found->second == vertices : seamarks_.count(area) == 0) continue;
        losses.emplace(area, Loss{name_of(area) + ", a seamark, cannot be read whole: not all of its ways "
                                                  "are parts of outlines that close",
                                  "close its outlines, or take it out", seamarks_on(area)});
    }
    std::vector<Loss> all;
    for (auto& [object, loss] : losses) {
        all.push_back(std::move(loss));
    }
    return all;
}

std::vector<std::string> OpenStreetMapFile::left_out(const Read& read) const {
    std::vector<std::string> lines;
    for (const auto& [relation, parts] : others_) {
        if (read.count(relation) == 0) {
            lines.push_back(name_of(relation) +
                            ", a seamark, is left out: nothing is there of which it is made");
        }
    }
    return lines;
}

} // namespace swingroom
