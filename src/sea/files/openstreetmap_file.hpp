#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

/// What of the seamarks of an OpenStreetMap file GDAL loses without a word: a way of whose nodes some are
/// missing runs on straight or is left out, and so is a relation that lacks members.
namespace swingroom {

struct OpenStreetMapElement;

/// What one file holds of seamarks, to be compared with what GDAL has read of it.
class OpenStreetMapFile {
public:
    /// In the order in which files have to hold them.
    enum class Kind : std::uint8_t { node, way, relation };
    /// An element by its kind and its number, which is unique within the kind alone.
    using Object = std::pair<Kind, std::int64_t>;
    /// Keys and values of an element, as far as they are of seamarks.
    using Tags = std::map<std::string, std::string>;

    /// A seamark that is not read, or not whole. Who knows the rules decides whether that endangers.
    struct Loss {
        std::string what; ///< "way 8 lacks its node 2, ..."
        /// What the user may do about it.
        std::string cure;
        std::vector<Tags> seamarks; ///< those that hang on it
    };

    /// Looks through the file, .osm or .osm.pbf, for objects with seamark:type and what they are made of.
    /// @throws InputError  a relation before its parts; a position that is no number
    explicit OpenStreetMapFile(const std::string& path);

    /// Relations other than areas that lack members, of which the others are read; whole lines.
    [[nodiscard]] const std::vector<std::string>& warnings() const { return warnings_; }
    /// Objects that were read as seamarks, with the number of their vertices: of a relation's rings without
    /// the last of each, which is its first again.
    using Read = std::map<Object, std::size_t>;
    /// Ways and areas that lack a part, and what is not among what was read, or not whole.
    /// @throws InputError  a way before its nodes is not whole
    [[nodiscard]] std::vector<Loss> missed(const Read& read) const;
    /// Other relations that are not among what was read, whole lines.
    [[nodiscard]] std::vector<std::string> left_out(const Read& read) const;

private:
    struct Seamark {
        std::size_t parts = 0;
        Tags tags;
    };
    using Wanted = std::map<Object, std::vector<Object>>;

    [[noreturn]] void refuse_disorder() const;
    void take_relation(const OpenStreetMapElement& relation);
    void find_lacking_nodes(const Wanted& ways, const std::set<Object>& nodes);
    void find_lacking_members(const std::set<Object>& lacking);
    void sum_outlines(const Wanted& ways);
    [[nodiscard]] std::vector<Tags> seamarks_on(const Object& object) const;
    [[nodiscard]] bool is_in_read_area(const Object& way, const Read& read) const;

    std::string path_;
    std::map<Object, Seamark> seamarks_;
    Wanted areas_, others_;                  ///< relations that are seamarks or take a seamark's tags
    std::map<Object, std::size_t> outlines_; ///< vertices of areas, as in Read
    std::map<Object, Loss> lacking_;
    std::string disorder_; ///< what stands behind what it is a part of, if anything does
    std::map<std::int64_t, std::vector<std::int64_t>> relations_of_; ///< areas, by ways that belong to them
    std::vector<std::string> warnings_;
};

} // namespace swingroom
