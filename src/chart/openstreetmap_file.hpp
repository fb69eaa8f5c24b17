#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

/// What of the seamarks of an OpenStreetMap file GDAL loses without a word: a way of whose nodes some are
/// missing runs on straight or is left out, and so is a relation that lacks members.
namespace swingroom {

class OpenStreetMapFile {
public:
    enum class Kind : std::uint8_t { node, way, relation };
    using Object = std::pair<Kind, std::int64_t>;

    /// Looks through the file, .osm or .osm.pbf, for objects with seamark:type and what they are made of.
    /// @throws InputError  a way, or an area's relation, that lacks a part; a relation before its parts; a
    ///                     position that is no number
    explicit OpenStreetMapFile(const std::string& path);

    /// Relations that lack members, of which the others are read.
    [[nodiscard]] const std::vector<std::string>& warnings() const { return warnings_; }
    /// Objects that were read as seamarks, with the number of their vertices.
    using Read = std::map<Object, std::size_t>;
    /// @returns warnings
    /// @throws InputError  a node or a way with a seamark is not among what was read, or not whole
    [[nodiscard]] std::vector<std::string> missed(const Read& read) const;

private:
    [[noreturn]] void refuse_disorder() const;

    std::string path_;
    std::map<Object, std::size_t> seamarks_; ///< with the number of their parts
    std::string disorder_;                   ///< what stands behind what it is a part of, if anything does
    std::map<std::int64_t, std::vector<std::int64_t>> relations_of_; ///< areas, by ways that belong to them
    std::vector<std::string> warnings_;
};

} // namespace swingroom
