#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/publish/provenance.hpp"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace swingroom {

/// A property of a feature; the doubles are written with so many decimals, NaN and infinities as null.
struct Property {
    /// The key in the file, of which every feature has one.
    std::string name;
    /// Of the same type in all features of a layer.
    std::variant<std::int64_t, double, std::string> value;
    /// Of doubles alone, rounded to the nearest: who needs a safe side rounds the value first.
    int decimals = 1;
};

/// What the features of a layer amount to, whatever their order: how many there are, and the sum (modulo
/// 2^64) of digests of their values and places.
struct FeatureSum {
    /// The sum, which does not depend on the order of the features.
    std::uint64_t digests = 0;
    /// How many features went into it.
    std::int64_t count = 0;
    friend bool operator==(const FeatureSum&, const FeatureSum&) = default;
};

/// One GeoJSON file (RFC 7946: WGS 84, right-hand rings, cut at the antimeridian, seven decimals) being
/// written feature by feature, so that memory does not grow with their number; provenance and caution as
/// members of the collection.
class VectorLayer {
public:
    /// What every feature of the layer is: a point, one or more polygons with their holes, or a line, which
    /// is several where it was cut.
    enum class Shape { point, polygon, line };
    /// Which way the corners of polygons go when they are rounded to seven decimals (up to about 2 cm): a
    /// place that is promised to be good shrinks, a danger grows.
    enum class Rounding { nearest, inwards, outwards };
    /// What a layer is, for those that read the finished file.
    struct Spec {
        std::string name; ///< file name without ending
        /// One sentence, which the file carries as a member of the collection.
        std::string description;
        /// The same for all features.
        Shape shape = Shape::point;
        std::vector<Property> columns; ///< names and types; the values mean nothing
    };
    /// A finished layer for those that read its file again: what they find there must be what was meant.
    struct Finished {
        /// Name, shape and columns of the layer.
        Spec spec;
        /// What the features that were added come to.
        FeatureSum meant;
    };
    /// @param columns  names and types of the properties: every feature gives all of them, in this order
    /// @throws IoError
    VectorLayer(const std::filesystem::path& folder, const std::string& name, const std::string& description,
                Shape shape, const std::vector<Property>& columns, const Provenance& provenance,
                Rounding rounding = Rounding::nearest);
    ~VectorLayer();
    VectorLayer(const VectorLayer&) = delete;
    VectorLayer& operator=(const VectorLayer&) = delete;

    /// x longitude, y latitude in degrees, continuous (may pass 180). @throws IoError
    void add_point(GridPoint lonlat, std::span<const Property> properties);
    /// The outer ring first, then holes; any winding, first vertex repeated last.
    void add_polygon(std::vector<std::vector<GridPoint>> rings_lonlat, std::span<const Property> properties);
    /// From its first point on; less than two points are drawn nowhere, and the figures alone stay.
    void add_line(std::vector<GridPoint> lonlat, std::span<const Property> properties);
    /// Closes, then re-reads and compares every byte by digest.
    /// @throws IoError
    void finish();
    /// How many features have been added so far.
    [[nodiscard]] std::int64_t count() const;
    /// What the layer was made with.
    [[nodiscard]] const Spec& spec() const;
    /// Of what was added, not of what is in the file.
    [[nodiscard]] Finished finished() const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace swingroom
