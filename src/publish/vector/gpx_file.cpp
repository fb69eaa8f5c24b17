#include "publish/vector/gpx_file.hpp"

#include "swingroom/base/markup.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/feature_names.hpp"

#include "base/text.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/folder/text_file.hpp"
#include "publish/styles/answer_words.hpp"
#include "publish/styles/marked_up.hpp"
#include "publish/vector/feature_words.hpp"
#include "publish/vector/fewer_corners.hpp"
#include "publish/vector/polygon_rings.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// What a file says of a waypoint or of a track.
struct Words {
    std::string name, comment, description, symbol, type;
    friend bool operator==(const Words&, const Words&) = default;
};

/// A waypoint, or the track of one ring: of several in one track old plotters make one line.
struct Item {
    Words words;
    LatticeRing line;
    friend bool operator==(const Item&, const Item&) = default;
};

/// As GPX 1.1 has longitudes (longitudeType): below 180. A waypoint there is as well at -180; the edge of a
/// polygon that was cut there stays on its side.
LatticePoint in_degrees(const OGRPoint& point, bool of_edge) {
    if (!(std::abs(point.getX()) <= 180) || !(std::abs(point.getY()) <= 90)) {
        throw std::logic_error("a waypoint that is not in degrees");
    }
    constexpr std::int64_t half_turn = 1'800'000'000;
    LatticePoint on_lattice{std::llround(point.getX() * 1e7), std::llround(point.getY() * 1e7)};
    if (on_lattice.x == half_turn) on_lattice.x = of_edge ? half_turn - 1 : -half_turn;
    return on_lattice;
}

/// "full scope, by the sounder", whatever there is room for behind it; what no answer says is its look's
/// label: "a hull must not meet it".
std::string kind_of(const OGRFeature& feature, const ColumnReader& reader,
                    const std::vector<FeatureLook>& looks) {
    const std::string verdict = reader.text(feature, "verdict");
    if (!verdict.empty()) return short_phrase(verdict_of(std::strtod(verdict.c_str(), nullptr)));
    const FeatureLook* const look =
        looks.empty() ? nullptr : look_of(looks, reader.text(feature, looks.front().column));
    return look == nullptr ? "" : look->label;
}

/// What a layer's features are called by themselves.
std::string_view noun_of(std::string_view layer) {
    if (layer == name(Layer::spots)) return "drop point";
    if (layer == name(Layer::zones)) return "zone";
    if (layer == name(Layer::circles)) return "swinging circle";
    return layer == name(Layer::exclusions) ? "exclusion" : layer;
}

/// By the sounder she may lie there, or not, and where no way leads she does not: that is to be seen on the
/// map.
std::string symbol_of(const OGRFeature& feature, const ColumnReader& reader) {
    if (reader.text(feature, "way_in") == reach_word(Reach::never)) return "Danger Area";
    return reader.text(feature, "sounder_limit_m").empty() ? "Anchor" : "Flag, Red";
}

Words words_of(const OGRFeature& feature, const FinishedFeatures& features,
               const std::vector<FeatureLook>& looks) {
    const ColumnReader& reader = features.reader();
    Words words;
    words.name = plain_text(reader.text(feature, "name"));
    words.comment = plain_text(short_words_of(feature, reader));
    for (const FeatureFact& fact : facts_of(feature, reader)) {
        add_word(words.description, "; ", fact.name + ": " + fact.value);
    }
    add_word(words.description, ". ", caution);
    words.description = plain_text(words.description);
    if (features.spec().shape == VectorLayer::Shape::point) words.symbol = symbol_of(feature, reader);
    words.type = std::string(noun_of(features.spec().name));
    if (const std::string kind = kind_of(feature, reader, looks); !kind.empty()) words.type += ", " + kind;
    words.type = plain_text(words.type);
    return words;
}

/// What is inside a hole is what the feature does not speak of, so it gets neither its name nor its words.
Words words_of_hole(const Words& of_feature, std::int64_t number, const std::string& noun) {
    const std::string type = "hole in " + noun + " " + of_feature.name;
    return {hole_name(number, of_feature.name), "not in " + noun + " " + of_feature.name, type, "", type};
}

/// The tracks of polygons, one after the other.
class Tracks {
public:
    Tracks(std::vector<Item>& items, std::string noun, bool of_zones)
        : items_(items), noun_(std::move(noun)), of_zones_(of_zones) {}

    /// @param parts  of it that were added before: it was cut at the antimeridian
    void add(const OGRPolygon& polygon, Words words, std::size_t parts) {
        if (parts > 0) words.name = part_name(++parts_, words.name);
        bool hole = false;
        for (const OGRLinearRing* const ring : polygon) {
            LatticeRing line;
            for (const OGRPoint& point : *ring) {
                line.push_back(in_degrees(point, true));
            }
            line = with_fewer_corners(std::move(line), most_points_of_outline,
                                      of_zones_ != hole ? Shrinks::inside : Shrinks::outside);
            if (!line.empty()) {
                items_.push_back({hole ? words_of_hole(words, ++holes_, noun_) : words, std::move(line)});
            }
            hole = true;
        }
    }

private:
    std::vector<Item>& items_;
    std::string noun_;
    bool of_zones_;
    std::int64_t parts_ = 0, holes_ = 0; ///< that have got names
};

std::vector<Item> items_of(const FinishedFeatures& features, const std::vector<FeatureLook>& looks) {
    const std::string& layer = features.spec().name;
    std::vector<Item> items;
    Tracks tracks(items, std::string(noun_of(layer)), layer == name(Layer::zones));
    features.each([&](const OGRFeature& feature) {
        const OGRGeometry* const geometry = feature.GetGeometryRef();
        if (geometry == nullptr) return;
        const Words words = words_of(feature, features, looks);
        if (features.spec().shape == VectorLayer::Shape::point) {
            items.push_back({words, {in_degrees(*geometry->toPoint(), false)}});
            return;
        }
        const OGRGeometryUniquePtr all(OGRGeometryFactory::forceToMultiPolygon(geometry->clone()));
        std::size_t parts = 0;
        for (const OGRPolygon* const polygon : *all->toMultiPolygon()) {
            tracks.add(*polygon, words, parts++);
        }
    });
    return items;
}

Attributes position(const LatticePoint& point) {
    return {{"lat", lattice_text(point.y)}, {"lon", lattice_text(point.x)}};
}

/// The order is the schema's.
Markup markup_of(const Words& words) {
    Markup markup = text_element("name", words.name) + text_element("cmt", words.comment) +
                    text_element("desc", words.description);
    if (!words.symbol.empty()) markup += text_element("sym", words.symbol);
    return markup + text_element("type", words.type);
}

Markup markup_of(const Item& item, VectorLayer::Shape shape) {
    const Markup words = markup_of(item.words);
    if (shape == VectorLayer::Shape::point) return element("wpt", position(item.line.front()), words) + "\n";
    Markup points;
    for (const LatticePoint& point : item.line) {
        points += empty_element("trkpt", position(point)) + "\n";
    }
    return element("trk", words + "\n" + element("trkseg", "\n" + points) + "\n") + "\n";
}

LatticeRing line_of(const OGRGeometry& geometry) {
    if (wkbFlatten(geometry.getGeometryType()) == wkbPoint) return {in_degrees(*geometry.toPoint(), false)};
    LatticeRing line;
    for (const OGRLineString* const segment : *geometry.toMultiLineString()) {
        for (const OGRPoint& point : *segment) {
            line.push_back(in_degrees(point, true));
        }
    }
    return line;
}

std::vector<Item> read_back(const fs::path& path, VectorLayer::Shape shape) {
    const GDALDatasetUniquePtr file = open_features(path);
    const GdalMessages errors;
    std::vector<Item> items;
    const bool points = shape == VectorLayer::Shape::point;
    OGRLayer* const layer = file->GetLayerByName(points ? "waypoints" : "tracks");
    if (layer == nullptr) return items;
    for (const OGRFeatureUniquePtr& feature : *layer) {
        stop_if_asked();
        items.push_back({{feature->GetFieldAsString("name"), feature->GetFieldAsString("cmt"),
                          feature->GetFieldAsString("desc"), points ? feature->GetFieldAsString("sym") : "",
                          feature->GetFieldAsString("type")},
                         line_of(*feature->GetGeometryRef())});
    }
    guarded::throw_if_failed(path);
    if (errors.failed()) guarded::fail(path, "cannot be read back: " + errors.failure());
    return items;
}

} // namespace

void write_gpx(const fs::path& path, const FinishedFeatures& features, const std::vector<FeatureLook>& looks,
               const Provenance& provenance) {
    const VectorLayer::Spec& spec = features.spec();
    const std::vector<Item> items = items_of(features, looks);
    Markup content =
        "\n" +
        element("metadata",
                text_element("name", spec.name) +
                    text_element("desc", plain_text(spec.description + ". " + provenance_text(provenance)))) +
        "\n";
    for (const Item& item : items) {
        content += markup_of(item, spec.shape);
    }
    const Markup file = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" +
                        element("gpx",
                                {{"xmlns", "http://www.topografix.com/GPX/1/1"},
                                 {"version", "1.1"},
                                 {"creator", "swingroom " + std::string(version())}},
                                content) +
                        "\n";
    write_text_file(path, file.str());
    if (read_back(path, spec.shape) != items) guarded::fail(path, "reads otherwise than it was written");
}

} // namespace swingroom
