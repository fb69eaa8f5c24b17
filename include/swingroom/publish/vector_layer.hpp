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
    std::string name;
    std::variant<std::int64_t, double, std::string> value;
    int decimals = 1;
};

/// One GeoJSON file (RFC 7946: WGS 84, right-hand rings, cut at the antimeridian, seven decimals) being
/// written feature by feature, so that memory does not grow with their number; provenance and caution as
/// members of the collection.
class VectorLayer {
public:
    enum class Shape { point, polygon };
    /// @param columns  names and types of the properties: every feature gives all of them, in this order
    VectorLayer(const std::filesystem::path& folder, const std::string& name, const std::string& description,
                Shape shape, std::vector<Property> columns, const Provenance& provenance);
    ~VectorLayer();
    VectorLayer(const VectorLayer&) = delete;
    VectorLayer& operator=(const VectorLayer&) = delete;

    /// x longitude, y latitude in degrees, continuous (may pass 180). @throws IoError
    void add_point(GridPoint lonlat, std::span<const Property> properties);
    /// The outer ring first, then holes; any winding, first vertex repeated last.
    void add_polygon(std::span<const std::vector<GridPoint>> rings_lonlat,
                     std::span<const Property> properties);
    /// Closes, flushes, re-reads and compares the count and a digest of the properties and coordinates.
    /// @throws IoError
    void finish();
    [[nodiscard]] std::int64_t count() const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace swingroom
