#pragma once

#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/compression.hpp"
#include "swingroom/publish/feature_names.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace swingroom {

/// What layers can be written as.
enum class Format : std::uint8_t { cog, mbtiles, geojson, gpkg, flatgeobuf, kml, gpx, html, svg, qgs };

/// One row of the table of formats.
struct FormatTraits {
    /// The format that the row is about; its number is the row's place in the table.
    Format format;
    std::string_view name;   ///< as people write it
    std::string_view ending; ///< of its files, without the dot; people may write it too
    /// Which contents it can hold, one for each value of Content.
    bool picture, cells, polygons, points, lines, page, drawing, project;
    std::string_view holds; ///< the same in words

    /// Whether people choose it: a page, a drawing or a project has one that goes without saying.
    [[nodiscard]] constexpr bool can_be_chosen() const { return !page && !drawing && !project; }
    /// Whether a layer of this content can be written in the format.
    [[nodiscard]] constexpr bool can_hold(Content content) const {
        switch (content) {
        case Content::picture:
            return picture;
        case Content::cells:
            return cells;
        case Content::polygons:
            return polygons;
        case Content::points:
            return points;
        case Content::lines:
            return lines;
        case Content::page:
            return page;
        case Content::drawing:
            return drawing;
        case Content::project:
            return project;
        }
        return false;
    }
};

/// What formats of features hold.
inline constexpr std::string_view features_in_words = "zones, spots, ways, circles, exclusions";

/// The only place that lists them, in the order of the enumerators.
inline constexpr std::array<FormatTraits, 10> format_table = {
    {{Format::cog, "cog", "tif", true, true, false, false, false, false, false, false, "rasters"},
     {Format::mbtiles, "mbtiles", "mbtiles", true, false, false, false, false, false, false, false,
      "rasters that have colours"},
     {Format::geojson, "geojson", "geojson", false, false, true, true, true, false, false, false,
      features_in_words},
     {Format::gpkg, "gpkg", "gpkg", false, false, true, true, true, false, false, false, features_in_words},
     {Format::flatgeobuf, "flatgeobuf", "fgb", false, false, true, true, true, false, false, false,
      features_in_words},
     {Format::kml, "kml", "kml", false, false, true, true, true, false, false, false, features_in_words},
     {Format::gpx, "gpx", "gpx", false, false, true, true, true, false, false, false, features_in_words},
     {Format::html, "html", "html", false, false, false, false, false, true, false, false, "the report"},
     {Format::svg, "svg", "svg", false, false, false, false, false, false, true, false, "the map"},
     {Format::qgs, "qgs", "qgs", false, false, false, false, false, false, false, true, "the project"}}};

/// The format's row of the table.
constexpr const FormatTraits& traits(Format format) { return format_table[static_cast<std::size_t>(format)]; }

/// What a layer is written in before anything else is made from it: COG, GeoJSON, HTML, SVG, QGS.
Format first_written_in(Content content);

/// A set of formats.
class FormatSet {
public:
    constexpr FormatSet() = default;
    /// The set of one format alone.
    constexpr FormatSet(Format format) { add(format); } // NOLINT(google-explicit-constructor): one is a set
    /// Reads "cog,kml": names or endings, whatever their case.
    /// @throws InputError naming `where` and the word that is no format
    static FormatSet parse(std::string_view text, std::string_view where);

    /// Adds a format, or all those of another set; what is there already changes nothing.
    constexpr void add(Format format) { bits_ = static_cast<std::uint16_t>(bits_ | bit(format)); }
    constexpr void add(FormatSet others) { bits_ = static_cast<std::uint16_t>(bits_ | others.bits_); }
    /// Whether the format is in the set.
    [[nodiscard]] constexpr bool has(Format format) const { return (bits_ & bit(format)) != 0; }
    /// Whether no format is in the set: in LayerFormats the layer is then not wanted.
    [[nodiscard]] constexpr bool empty() const { return bits_ == 0; }
    /// Those of them that can hold a layer's content; where none can, the one that every such layer is first
    /// written in: COG for rasters, HTML for the report, SVG for the map, GeoJSON for features. So no
    /// layer that is asked for is ever left out.
    [[nodiscard]] FormatSet for_content(Content content) const;
    friend constexpr bool operator==(FormatSet, FormatSet) = default;

private:
    static constexpr unsigned bit(Format format) { return 1u << static_cast<unsigned>(format); }
    std::uint16_t bits_ = 0;
};

/// The layers of a run, each with the formats that it is written in.
class LayerFormats {
public:
    /// No layer in any format.
    LayerFormats() = default;
    /// These layers in the formats that they are first written in.
    explicit LayerFormats(LayerSet layers);
    /// Reads "verdict,rode,zones.gpkg": words as LayerSet::parse takes them, written in `formats`; with an
    /// ending, in the format of that ending. The report, the map, the project, the circles and the ways
    /// bring the layers that they are made from.
    /// @throws InputError naming `where`, the word and what is wrong with it: no layer, no ending of a
    ///         format, or one that cannot hold the layer
    static LayerFormats parse(std::string_view text, FormatSet formats, std::string_view where,
                              BoatCount boats = BoatCount::one);

    /// Leaves out these layers.
    void drop(LayerSet layers);
    /// The layers that are written in at least one format.
    [[nodiscard]] LayerSet layers() const;
    /// Empty where the layer is not wanted.
    [[nodiscard]] FormatSet of(Layer layer) const { return formats_[index_of(layer)]; }

private:
    std::array<FormatSet, layer_table.size()> formats_;
};

/// What is written besides the layers themselves, and as what.
struct Outputs {
    /// Which layers in which formats.
    LayerFormats formats;
    bool styles = true;                             ///< for each layer that has a look
    NamePrefix prefix = {};                         ///< of the names of all features
    Compression compression = Compression::deflate; ///< of rasters
    /// Of rasters that are being written, all together: what waits for the rest of its tile stays in memory.
    std::size_t waiting_bytes = std::size_t{64} << 20;

    /// What a layer of a run is written as; empty where it is not wanted.
    [[nodiscard]] FormatSet formats_of(Layer layer, LayerSet wanted) const;
};

} // namespace swingroom
