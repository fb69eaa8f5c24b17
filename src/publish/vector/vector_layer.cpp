#include "swingroom/publish/vector_layer.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"

#include "base/json.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/folder/sha256.hpp"
#include "publish/vector/feature_digest.hpp"
#include "publish/vector/polygon_rings.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>
#include <optional>
#include <stdexcept>
#include <system_error>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

std::string value_text(const Property& property) {
    if (const auto* whole = std::get_if<std::int64_t>(&property.value)) return std::to_string(*whole);
    if (const auto* number = std::get_if<double>(&property.value)) {
        return json_number(*number, property.decimals);
    }
    return json_text(std::get<std::string>(property.value));
}

/// A value as digests spell it: what a reader makes of `text`, which is how it is written.
std::string spelling(const Property& property, const std::string& text) {
    if (const auto* words = std::get_if<std::string>(&property.value)) {
        const std::string valid = valid_utf8(*words);
        return valid.substr(0, valid.find('\0')); // to readers a text ends there
    }
    double number = 0;
    if (std::holds_alternative<std::int64_t>(property.value)) return text;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    return error == std::errc{} && end == text.data() + text.size() ? number_spelling(number) : "";
}

void append_position(std::string& text, LatticePoint point) {
    text += '[';
    append_lattice_text(text, point.x);
    text += ',';
    append_lattice_text(text, point.y);
    text += ']';
}

LatticePoint nearest_lattice(double lon, double lat) {
    return {std::llround(lon * 1e7), std::llround(lat * 1e7)};
}

constexpr std::int64_t half_turn = 1'800'000'000, pole = 900'000'000;

/// What a box must hold, kept continuous across the antimeridian.
struct Extent {
    double west = std::numeric_limits<double>::infinity(), south = west, east = -west, north = -west;

    void include(GridPoint point) {
        west = std::min(west, point.x);
        east = std::max(east, point.x);
        south = std::min(south, point.y);
        north = std::max(north, point.y);
    }
    /// A box that holds a pole goes all round (RFC 7946, section 5.3).
    void include_poles(const std::vector<std::vector<LatticeRing>>& polygons) {
        for (const std::vector<LatticeRing>& rings : polygons) {
            for (const LatticePoint& point : rings.front()) {
                if (std::abs(point.y) == pole) {
                    include({-180, std::copysign(90.0, static_cast<double>(point.y))});
                    include({180, std::copysign(90.0, static_cast<double>(point.y))});
                }
            }
        }
    }
    /// RFC 7946, section 5.2: the west is greater than the east where the antimeridian is crossed. Grown by a
    /// unit of the last decimal, for the rounding of what it holds.
    [[nodiscard]] std::string text() const {
        const auto grown = [](double degrees, std::int64_t by, std::int64_t limit) {
            return lattice_text(std::clamp<std::int64_t>(std::llround(degrees * 1e7) + by, -limit, limit));
        };
        constexpr std::int64_t tolerance = 5;
        const bool all_round = east - west >= 359.9999;
        const std::string left = all_round ? "-180" : grown(wrapped_longitude(west), -tolerance, half_turn);
        const std::string right = all_round ? "180" : grown(wrapped_longitude(east), tolerance, half_turn);
        return "[" + left + "," + grown(south, -tolerance, pole) + "," + right + "," +
               grown(north, tolerance, pole) + "]";
    }
};

} // namespace

struct VectorLayer::State {
    State(fs::path file, Spec of_all, Rounding way)
        : path(std::move(file)), spec(std::move(of_all)), rounding(way), writer(path) {
        for (const Property& column : spec.columns) {
            keys.push_back(json_text(column.name) + ":");
        }
    }

    fs::path path;
    Spec spec;
    Rounding rounding;
    std::vector<std::string> keys;
    guarded::Writer writer;
    Sha256 sum;
    Extent extent;
    FeatureSum meant;
    std::optional<FeatureDigest> digest; ///< of the feature in hand
    std::string text;                    ///< of the feature in hand, as far as it is not written yet

    void put(const std::string& bytes) {
        sum.add(bytes);
        writer.write(bytes);
    }
    void start_feature(std::span<const Property> properties) {
        if (properties.size() != keys.size()) {
            throw std::logic_error("a feature with other properties than its layer " + path.string());
        }
        text = meant.count == 0 ? "\n" : ",\n";
        digest.emplace();
        text += R"({"type":"Feature","properties":{)";
        for (std::size_t i = 0; i < keys.size(); ++i) {
            if (i > 0) text += ',';
            text += keys[i];
            const std::string value = value_text(properties[i]);
            text += value;
            digest->add_value(spec.columns[i].name, spelling(properties[i], value));
        }
        text += R"(},"geometry":)";
    }
    void append_line(const LatticeRing& line) {
        digest->add_ring(line);
        const char* comma = "[";
        for (const LatticePoint& point : line) {
            text += comma;
            comma = ",";
            append_position(text, point);
        }
        text += ']';
    }
    /// Written piece by piece: the outline of a zone may be as long as the coast.
    void append_polygon(const std::vector<LatticeRing>& rings) {
        digest->begin_part();
        for (const LatticeRing& ring : rings) {
            digest->add_ring(ring);
        }
        digest->end_part();
        constexpr std::size_t piece = std::size_t{1} << 20;
        const char* ring_comma = "[";
        for (const LatticeRing& ring : rings) {
            text += ring_comma;
            ring_comma = ",";
            const char* comma = "[";
            for (const LatticePoint& point : ring) {
                text += comma;
                comma = ",";
                append_position(text, point);
                if (text.size() >= piece) {
                    put(text);
                    text.clear();
                }
            }
            text += ']';
        }
        text += ']';
    }
    void end_feature() {
        text += '}';
        put(text);
        add_to(meant, *digest);
    }
};

VectorLayer::VectorLayer(const std::filesystem::path& folder, const std::string& name,
                         const std::string& description, Shape shape, const std::vector<Property>& columns,
                         const Provenance& provenance, Rounding rounding)
    : state_(std::make_unique<State>(fs::absolute(folder / (name + ".geojson")).lexically_normal(),
                                     Spec{name, description, shape, columns}, rounding)) {
    state_->put("{\"type\":\"FeatureCollection\",\n\"name\":" + json_text(name) +
                ",\n\"description\":" + json_text(description) + ",\n\"caution\":" + json_text(caution) +
                ",\n\"provenance\":" + provenance_json(provenance) + ",\n\"features\":[");
}

VectorLayer::~VectorLayer() = default;

void VectorLayer::add_point(GridPoint lonlat, std::span<const Property> properties) {
    State& state = *state_;
    if (state.spec.shape != Shape::point || !std::isfinite(lonlat.x) || !(std::abs(lonlat.y) <= 90)) {
        throw std::logic_error("a point that does not belong into " + state.path.string());
    }
    state.extent.include(lonlat);
    state.start_feature(properties);
    state.text += R"({"type":"Point","coordinates":)";
    const LatticePoint at = nearest_lattice(wrapped_longitude(lonlat.x), lonlat.y);
    append_position(state.text, at);
    state.digest->add_position(at);
    state.text += '}';
    state.end_feature();
}

void VectorLayer::add_polygon(std::vector<std::vector<GridPoint>> rings_lonlat,
                              std::span<const Property> properties) {
    State& state = *state_;
    if (state.spec.shape != Shape::polygon) {
        throw std::logic_error("a polygon that does not belong into " + state.path.string());
    }
    // Handed on from step to step, since an outline may be as long as the coast.
    Extent outline;
    if (!rings_lonlat.empty()) {
        rings_lonlat.front() = unrolled(std::move(rings_lonlat.front()));
        for (const GridPoint& point : rings_lonlat.front()) {
            outline.include(point);
        }
    }
    std::vector<std::vector<LatticeRing>> polygons;
    for (std::vector<Ring>& polygon : cut_at_antimeridian(std::move(rings_lonlat))) {
        std::vector<LatticeRing> rings = wound_and_rounded(std::move(polygon), state.rounding);
        if (!rings.empty()) polygons.push_back(std::move(rings));
    }
    state.start_feature(properties);
    if (polygons.empty()) {
        // Smaller than the last decimal: the figures stay, the place cannot be drawn.
        state.text += "null";
    } else {
        state.extent.include({outline.west, outline.south});
        state.extent.include({outline.east, outline.north});
        state.extent.include_poles(polygons);
        state.text += polygons.size() == 1 ? R"({"type":"Polygon","coordinates":)"
                                           : R"({"type":"MultiPolygon","coordinates":[)";
        for (std::size_t i = 0; i < polygons.size(); ++i) {
            if (i > 0) state.text += ',';
            state.append_polygon(polygons[i]);
        }
        state.text += polygons.size() == 1 ? "}" : "]}";
    }
    state.end_feature();
}

void VectorLayer::add_line(std::vector<GridPoint> lonlat, std::span<const Property> properties) {
    State& state = *state_;
    if (state.spec.shape != Shape::line) {
        throw std::logic_error("a line that does not belong into " + state.path.string());
    }
    if (lonlat.size() > 1) {
        lonlat = unrolled(std::move(lonlat));
        for (const GridPoint& point : lonlat) {
            state.extent.include(point);
        }
    }
    std::vector<LatticeRing> lines;
    for (const std::vector<GridPoint>& part : cut_line_at_antimeridian(std::move(lonlat))) {
        LatticeRing& line = lines.emplace_back();
        for (const GridPoint& point : part) {
            line.push_back(nearest_lattice(point.x, point.y));
        }
    }
    state.start_feature(properties);
    if (lines.empty()) {
        state.text += "null";
    } else if (lines.size() == 1) {
        state.text += R"({"type":"LineString","coordinates":)";
        state.append_line(lines.front());
        state.text += '}';
    } else {
        state.text += R"({"type":"MultiLineString","coordinates":)";
        const char* comma = "[";
        for (const LatticeRing& line : lines) {
            state.text += comma;
            comma = ",";
            state.append_line(line);
        }
        state.text += "]}";
    }
    state.end_feature();
}

void VectorLayer::finish() {
    State& state = *state_;
    state.put("\n]" + (std::isfinite(state.extent.west) ? ",\n\"bbox\":" + state.extent.text() : "") + "}\n");
    state.writer.close();
    Sha256 read;
    guarded::read_file(state.path, [&](std::string_view bytes) { read.add(bytes); });
    if (read.hex() != state.sum.hex()) guarded::fail(state.path, "reads otherwise than it was written");
}

std::int64_t VectorLayer::count() const { return state_->meant.count; }
const VectorLayer::Spec& VectorLayer::spec() const { return state_->spec; }
VectorLayer::Finished VectorLayer::finished() const { return {state_->spec, state_->meant}; }

} // namespace swingroom
