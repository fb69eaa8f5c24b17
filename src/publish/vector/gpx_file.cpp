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

/// What a point of a route says.
struct RoutePoint {
    std::string name, comment;
    friend bool operator==(const RoutePoint&, const RoutePoint&) = default;
};

/// A waypoint, a route, or the track of one ring: of several in one track old plotters make one line. The
/// file has them in this order.
struct Item {
    enum class Kind : std::uint8_t { waypoint, route, track };
    Kind kind = Kind::waypoint;
    Words words;
    LatticeRing line;
    std::vector<RoutePoint> points; ///< of a route, one for each of the line
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
    if (layer == name(Layer::ways)) return "way in";
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
                items_.push_back({Item::Kind::track,
                                  hole ? words_of_hole(words, ++holes_, noun_) : words,
                                  std::move(line),
                                  {}});
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

/// What lies between "; " in a list.
std::vector<std::string> parts_of(const std::string& list) {
    constexpr std::string_view separator = "; ";
    std::vector<std::string> parts;
    for (std::size_t begin = 0; begin < list.size();) {
        const std::size_t end = std::min(list.find(separator, begin), list.size());
        parts.push_back(list.substr(begin, end - begin));
        begin = end + separator.size();
    }
    return parts;
}

/// A way in: a route through its turns, each with what the leg from there on is.
Item route_of(const OGRGeometry& geometry, const Words& words, const OGRFeature& feature,
              const ColumnReader& reader) {
    Item route{Item::Kind::route, words, {}, {}};
    const OGRGeometryUniquePtr all(OGRGeometryFactory::forceToMultiLineString(geometry.clone()));
    bool cut = false;
    for (const OGRLineString* const part : *all->toMultiLineString()) {
        bool again = !route.line.empty(); // where it was cut at the antimeridian
        cut = cut || again;
        for (const OGRPoint& point : *part) {
            if (!again) route.line.push_back(in_degrees(point, false));
            again = false;
        }
    }
    const auto rank =
        static_cast<std::size_t>(std::strtoul(reader.text(feature, "rank").c_str(), nullptr, 10));
    const std::vector<std::string> legs = parts_of(reader.text(feature, "legs"));
    for (std::size_t i = 0; i < route.line.size(); ++i) {
        const bool told = !cut && i < legs.size();
        route.points.push_back({plain_text(turn_name(rank, i + 1, words.name)),
                                told ? plain_text("then " + legs[i]) : std::string()});
    }
    return route;
}

/// The shoalest place of a way in as a waypoint.
Item sill_of(const Words& of_way, const OGRFeature& feature, const ColumnReader& reader) {
    const auto degrees = [&](const char* column) {
        return std::strtod(reader.text(feature, column).c_str(), nullptr);
    };
    const std::string depth_m = reader.text(feature, "sill_depth_m"),
                      hazard = reader.text(feature, "sill_hazard");
    Words words;
    words.name = sill_name(of_way.name);
    words.comment =
        plain_text(short_depth("sill", depth_m) + "; " + (hazard.empty() ? "the seabed" : hazard));
    words.description =
        plain_text("shoalest place of the way in " + of_way.name + ": " + sill_words(hazard, depth_m) +
                   "; enough from a level of " + level_words(reader.text(feature, "sill_level_m")) + " on. " +
                   std::string(caution));
    words.symbol = "Shallow Water";
    words.type = plain_text("sill of a way in");
    return {Item::Kind::waypoint,
            words,
            {in_degrees(OGRPoint(degrees("sill_longitude"), degrees("sill_latitude")), false)},
            {}};
}

std::vector<Item> items_of(const FinishedFeatures& features, const std::vector<FeatureLook>& looks) {
    const std::string& layer = features.spec().name;
    std::vector<Item> items;
    Tracks tracks(items, std::string(noun_of(layer)), layer == name(Layer::zones));
    features.each([&](const OGRFeature& feature) {
        const OGRGeometry* const geometry = feature.GetGeometryRef();
        if (geometry == nullptr) return;
        const Words words = words_of(feature, features, looks);
        if (features.spec().shape == VectorLayer::Shape::point) {
            items.push_back({Item::Kind::waypoint, words, {in_degrees(*geometry->toPoint(), false)}, {}});
            return;
        }
        if (features.spec().shape == VectorLayer::Shape::line) {
            // Of a way that is open all the time the shoalest place is deep: no mark on a plotter.
            if (features.reader().text(feature, "open") != way_open_always) {
                items.push_back(sill_of(words, feature, features.reader()));
            }
            items.push_back(route_of(*geometry, words, feature, features.reader()));
            return;
        }
        const OGRGeometryUniquePtr all(OGRGeometryFactory::forceToMultiPolygon(geometry->clone()));
        std::size_t parts = 0;
        for (const OGRPolygon* const polygon : *all->toMultiPolygon()) {
            tracks.add(*polygon, words, parts++);
        }
    });
    std::stable_sort(items.begin(), items.end(),
                     [](const Item& a, const Item& b) { return a.kind < b.kind; }); // the schema's order
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

Markup markup_of(const Item& item) {
    const Markup words = markup_of(item.words);
    Markup points;
    switch (item.kind) {
    case Item::Kind::waypoint:
        return element("wpt", position(item.line.front()), words) + "\n";
    case Item::Kind::route:
        for (std::size_t i = 0; i < item.line.size(); ++i) {
            Markup of_point = text_element("name", item.points[i].name);
            if (!item.points[i].comment.empty()) of_point += text_element("cmt", item.points[i].comment);
            points += element("rtept", position(item.line[i]), of_point) + "\n";
        }
        return element("rte", words + "\n" + points) + "\n";
    case Item::Kind::track:
        break;
    }
    for (const LatticePoint& point : item.line) {
        points += empty_element("trkpt", position(point)) + "\n";
    }
    return element("trk", words + "\n" + element("trkseg", "\n" + points) + "\n") + "\n";
}

LatticeRing line_of(const OGRGeometry& geometry) {
    LatticeRing line;
    switch (wkbFlatten(geometry.getGeometryType())) {
    case wkbPoint:
        return {in_degrees(*geometry.toPoint(), false)};
    case wkbLineString:
        for (const OGRPoint& point : *geometry.toLineString()) {
            line.push_back(in_degrees(point, false));
        }
        return line;
    default:
        break;
    }
    for (const OGRLineString* const segment : *geometry.toMultiLineString()) {
        for (const OGRPoint& point : *segment) {
            line.push_back(in_degrees(point, true));
        }
    }
    return line;
}

/// Names and comments of the points of all routes, one route after the other.
std::vector<std::vector<RoutePoint>> read_route_points(GDALDataset& file) {
    std::vector<std::vector<RoutePoint>> routes;
    OGRLayer* const layer = file.GetLayerByName("route_points");
    if (layer == nullptr) return routes;
    for (const OGRFeatureUniquePtr& feature : *layer) {
        const auto route = static_cast<std::size_t>(feature->GetFieldAsInteger("route_fid"));
        if (routes.size() <= route) routes.resize(route + 1);
        routes[route].push_back({feature->GetFieldAsString("name"), feature->GetFieldAsString("cmt")});
    }
    return routes;
}

std::vector<Item> read_back(const fs::path& path) {
    const GDALDatasetUniquePtr file = open_features(path);
    const GdalMessages errors;
    std::vector<Item> items;
    const std::vector<std::vector<RoutePoint>> routes = read_route_points(*file);
    std::size_t route = 0;
    for (const auto& [kind, name] :
         {std::pair(Item::Kind::waypoint, "waypoints"), std::pair(Item::Kind::route, "routes"),
          std::pair(Item::Kind::track, "tracks")}) {
        OGRLayer* const layer = file->GetLayerByName(name);
        if (layer == nullptr) continue;
        for (const OGRFeatureUniquePtr& feature : *layer) {
            stop_if_asked();
            const bool point = kind == Item::Kind::waypoint;
            items.push_back(
                {kind,
                 {feature->GetFieldAsString("name"), feature->GetFieldAsString("cmt"),
                  feature->GetFieldAsString("desc"), point ? feature->GetFieldAsString("sym") : "",
                  feature->GetFieldAsString("type")},
                 line_of(*feature->GetGeometryRef()),
                 {}});
            if (kind == Item::Kind::route && route < routes.size()) items.back().points = routes[route++];
        }
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
        content += markup_of(item);
    }
    const Markup file = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" +
                        element("gpx",
                                {{"xmlns", "http://www.topografix.com/GPX/1/1"},
                                 {"version", "1.1"},
                                 {"creator", "swingroom " + std::string(version())}},
                                content) +
                        "\n";
    write_text_file(path, file.str());
    if (read_back(path) != items) guarded::fail(path, "reads otherwise than it was written");
}

} // namespace swingroom
