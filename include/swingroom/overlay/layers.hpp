#pragma once

#include "swingroom/boat/way.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace swingroom {

/// What a run can be asked for. Each has a row in layer_table, in the same order.
enum class Layer : std::uint8_t {
    verdict,
    reasons,
    advice,
    depth_low,
    source,
    hull_room,
    ground_room,
    rode_full,
    rode_short,
    rode_sinker,
    radius_full,
    radius_short,
    radius_sinker,
    spare_full,
    spare_short,
    spare_sinker,
    sounder_limit_full,
    sounder_limit_short,
    sounder_limit_sinker,
    wind_limit_full,
    wind_limit_short,
    wind_limit_sinker,
    least_water_full,
    least_water_short,
    least_water_sinker,
    hours_afloat_full,
    hours_afloat_short,
    hours_afloat_sinker,
    access_level,
    boats_yes,
    zones,
    spots,
    ways,
    circles,
    exclusions,
    report,
    map,
    project
};

/// What a layer holds: which formats can take it follows from that.
enum class Content : std::uint8_t {
    picture, ///< a raster that has a look: classes or steps of a ramp
    cells,   ///< a raster without one: bits, sources
    polygons,
    points,
    lines,
    page,    ///< for people, with words
    drawing, ///< for people, by itself
    project  ///< for a GIS: which layers there are, and how they look
};

/// Whether a layer of this content has a value for each cell.
constexpr bool is_raster(Content content) { return content == Content::picture || content == Content::cells; }

/// What a cell of a raster is stored as. Floats have NaN where there is no value.
enum class CellType : std::uint8_t { uint8, uint16, uint32, float32 };

/// Size of a cell that is stored so, in bytes.
constexpr int bytes_of(CellType type) {
    constexpr std::array bytes = {1, 2, 4, 4};
    return bytes[static_cast<std::size_t>(type)];
}

/// How several cells become one of an overview: always by the worst of them. greatest_or_none is for integers
/// of which 0 says that there is nothing, and a greater one is worse; least_or_none for integers of which the
/// greatest of all says that, and a lesser one is worse; verdict is worse(Verdict, Verdict); least_given is
/// for figures of a condition, of which NaN says that there is none.
enum class Worst : std::uint8_t {
    least,
    greatest,
    any_bit,
    greatest_or_none,
    least_or_none,
    verdict,
    least_given
};

/// What the value of a cell says, from which its look follows. Those from depth on are figures.
enum class CellMeaning : std::uint8_t {
    verdict, ///< of Verdict
    source,  ///< the number of a source of depths, from 1 on
    reasons, ///< bits of reason_names
    advice,  ///< bits of advice_names
    boats,   ///< how many of several boats
    depth,
    room,
    length, ///< of rode, or of a radius
    spare,
    wind,
    hours, ///< of a stay
    level  ///< of the water, above chart datum
};

/// All facts of a layer but how it is computed (`overlay/layer_answers.cpp`) and which colours its values
/// have
/// (`publish/raster/layer_specs.cpp`). What follows `content` is for rasters only.
struct LayerTraits {
    /// The layer that the row is about; its number is the row's place in the table.
    Layer layer;
    std::string_view name; ///< as `--layers` takes it, and of its file
    /// What it holds, from which follow the formats that can take it.
    Content content;
    /// What its cells are stored as.
    CellType type = CellType::uint8;
    /// Which of several values an overview takes.
    Worst worst = Worst::least;
    /// What its values say, and so how they are drawn.
    CellMeaning meaning = CellMeaning::verdict;
    /// "m", "kn" or "h" for figures; empty for all other layers.
    std::string_view unit = {};
    std::string_view description = {}; ///< one sentence; {way} stands for the phrase of the way
    std::string_view group = {};       ///< of layers of a way: what all of its ways are called together
    /// The way that its figures are of; nothing for a layer that is of no single way.
    std::optional<Way> way = {};
    /// In how many steps of its unit, a power of two, figures are told: towards the worse, after all that is
    /// decided by them. 0: to the last digit of a float.
    int steps = 0;
};

/// Steps in a metre that nobody can measure: finer than the decimetre of texts and features, and a figure
/// that ends after four binary places is stored in half the bytes.
inline constexpr int told_steps_per_m = 16;
/// Texts and features tell wind limits in whole knots, and so do rasters.
inline constexpr int told_steps_per_kn = 1;

/// What the layers of a group have in common, whatever the way.
struct LayerGroup {
    /// What the layers' names begin with, and as `--layers` takes all of them at once: "rode".
    std::string_view name;
    /// As in LayerTraits, the same for every way.
    Worst worst;
    /// What the figures are, the same for every way.
    CellMeaning meaning;
    /// "m", "kn" or "h", and a sentence in which {way} stands for the phrase of the way.
    std::string_view unit, description;
    /// As in LayerTraits.
    int steps = 0;

    /// The row of the group's layer for one way: a picture of floats.
    [[nodiscard]] constexpr LayerTraits of(Layer layer, std::string_view layer_name, Way way) const {
        return {
            layer, layer_name, Content::picture, CellType::float32, worst, meaning, unit, description, name,
            way,   steps};
    }
};

namespace layer_groups {
/// Rode to veer: the greatest of several is the worst.
inline constexpr LayerGroup rode{"rode", Worst::greatest, CellMeaning::length, "m",
                                 "Rode to veer at {way}, in metres"};
/// Swinging radius of the hull with its allowances: the greatest is the worst.
inline constexpr LayerGroup radius{
    "radius",        Worst::greatest, CellMeaning::length, "m", "Swinging radius at {way}, in metres",
    told_steps_per_m};
/// What is left of the room, the worse of hull and ground: the least is the worst.
inline constexpr LayerGroup spare{"spare",
                                  Worst::least,
                                  CellMeaning::spare,
                                  "m",
                                  "Room less what is needed at {way}, in metres; below zero is a no",
                                  told_steps_per_m};
/// The reading of the sounder, to chart datum, above which the way is not to be had: the least is the worst.
inline constexpr LayerGroup sounder_limit{"sounder_limit",
                                          Worst::least_given,
                                          CellMeaning::depth,
                                          "m",
                                          "Greatest reading of the sounder, in metres below chart datum, at "
                                          "which {way} is to be had; none where it is to be "
                                          "had whatever the depth",
                                          told_steps_per_m};
/// Greatest mean wind that the way is good for: the least is the worst.
inline constexpr LayerGroup wind_limit{
    "wind_limit",
    Worst::least,
    CellMeaning::wind,
    "kn",
    "Greatest mean wind at {way} for which the room, the angle of pull and the holding are enough, in knots; "
    "where advice has bit 2 (holding not known) by the least holding known of other ground, or, if none is, "
    "by "
    "room and angle of pull alone",
    told_steps_per_kn};
/// Least water at low water anywhere in the swinging circle, dangers with a depth counted: the least is the
/// worst.
inline constexpr LayerGroup least_water{
    "least_water",
    Worst::least,
    CellMeaning::depth,
    "m",
    "Least water at low water anywhere in the swinging circle at {way}, in metres, dangers of known depth "
    "counted; none where the circle meets what no water clears, where the way is not to be had, and where "
    "the "
    "boat is aground in the cell even at high water",
    told_steps_per_m};
/// How long within the stay the whole circle has water enough: the least is the worst.
inline constexpr LayerGroup hours_afloat{
    "hours_afloat", Worst::least, CellMeaning::hours, "h",
    "Hours of the stay during which the whole swinging circle at {way} has water enough; none where the way "
    "is not to be had"};
} // namespace layer_groups

/// The only place that lists the layers, in the order of the enumerators: whatever goes over layers goes over
/// these rows. `overlay/layers.cpp` holds at compile time that they fit each other.
inline constexpr std::array<LayerTraits, 38> layer_table = {
    {{Layer::verdict, "verdict", Content::picture, CellType::uint8, Worst::verdict, CellMeaning::verdict, "",
      "Whether the boat can lie here, and how"},
     {Layer::reasons, "reasons", Content::cells, CellType::uint32, Worst::any_bit, CellMeaning::reasons, "",
      "Everything that forbids, a bit each; the last twelve by way to lie"},
     {Layer::advice, "advice", Content::cells, CellType::uint16, Worst::any_bit, CellMeaning::advice, "",
      "What to mind, a bit each; none forbids"},
     {Layer::depth_low,
      "depth_low",
      Content::picture,
      CellType::float32,
      Worst::least,
      CellMeaning::depth,
      "m",
      "Least water at low water, in metres",
      {},
      {},
      told_steps_per_m},
     // The finest sources come first, a chart last: an overview names the coarsest that it has anything from.
     {Layer::source, "source", Content::cells, CellType::uint8, Worst::greatest_or_none, CellMeaning::source,
      "", "What the depth of a cell is from"},
     {Layer::hull_room,
      "hull_room",
      Content::picture,
      CellType::float32,
      Worst::least,
      CellMeaning::room,
      "m",
      "Room for the hull: distance to water that it must not meet, in metres; the greatest value stands for "
      "that or more",
      {},
      {},
      told_steps_per_m},
     {Layer::ground_room,
      "ground_room",
      Content::picture,
      CellType::float32,
      Worst::least,
      CellMeaning::room,
      "m",
      "Room on the seabed: distance to what anchor and rode must not meet, in metres; the greatest value "
      "stands for that or more",
      {},
      {},
      told_steps_per_m},
     layer_groups::rode.of(Layer::rode_full, "rode_full", Way::full),
     layer_groups::rode.of(Layer::rode_short, "rode_short", Way::short_scope),
     layer_groups::rode.of(Layer::rode_sinker, "rode_sinker", Way::sinker),
     layer_groups::radius.of(Layer::radius_full, "radius_full", Way::full),
     layer_groups::radius.of(Layer::radius_short, "radius_short", Way::short_scope),
     layer_groups::radius.of(Layer::radius_sinker, "radius_sinker", Way::sinker),
     layer_groups::spare.of(Layer::spare_full, "spare_full", Way::full),
     layer_groups::spare.of(Layer::spare_short, "spare_short", Way::short_scope),
     layer_groups::spare.of(Layer::spare_sinker, "spare_sinker", Way::sinker),
     layer_groups::sounder_limit.of(Layer::sounder_limit_full, "sounder_limit_full", Way::full),
     layer_groups::sounder_limit.of(Layer::sounder_limit_short, "sounder_limit_short", Way::short_scope),
     layer_groups::sounder_limit.of(Layer::sounder_limit_sinker, "sounder_limit_sinker", Way::sinker),
     layer_groups::wind_limit.of(Layer::wind_limit_full, "wind_limit_full", Way::full),
     layer_groups::wind_limit.of(Layer::wind_limit_short, "wind_limit_short", Way::short_scope),
     layer_groups::wind_limit.of(Layer::wind_limit_sinker, "wind_limit_sinker", Way::sinker),
     layer_groups::least_water.of(Layer::least_water_full, "least_water_full", Way::full),
     layer_groups::least_water.of(Layer::least_water_short, "least_water_short", Way::short_scope),
     layer_groups::least_water.of(Layer::least_water_sinker, "least_water_sinker", Way::sinker),
     layer_groups::hours_afloat.of(Layer::hours_afloat_full, "hours_afloat_full", Way::full),
     layer_groups::hours_afloat.of(Layer::hours_afloat_short, "hours_afloat_short", Way::short_scope),
     layer_groups::hours_afloat.of(Layer::hours_afloat_sinker, "hours_afloat_sinker", Way::sinker),
     {Layer::access_level, "access_level", Content::picture, CellType::float32, Worst::greatest,
      CellMeaning::level, "m",
      "Least level of the water, in metres above chart datum, at which there is a clear way to the cell; "
      "none "
      "where there is one at no level"},
     {Layer::boats_yes, "boats_yes", Content::picture, CellType::uint8, Worst::least_or_none,
      CellMeaning::boats, "",
      "How many of the boats can lie here, each in whichever way, by the sounder too; an overview says how "
      "many at the least in each of its cells, not always the same ones"},
     {Layer::zones, "zones", Content::polygons},
     {Layer::spots, "spots", Content::points},
     {Layer::ways, "ways", Content::lines},
     {Layer::circles, "circles", Content::polygons},
     {Layer::exclusions, "exclusions", Content::polygons},
     {Layer::report, "report", Content::page},
     {Layer::map, "map", Content::drawing},
     {Layer::project, "project", Content::project}}};

/// The place of a layer in arrays that have one entry for each.
constexpr std::size_t index_of(Layer layer) { return static_cast<std::size_t>(layer); }
/// The layer's row of the table.
constexpr const LayerTraits& traits(Layer layer) { return layer_table.at(index_of(layer)); }
/// As `--layers` takes it, and the name of its files without ending.
constexpr std::string_view name(Layer layer) { return traits(layer).name; }
/// One sentence on a raster layer, with the unit in words and the steps of its figures.
std::string description(Layer layer);

/// Whether the figures of a layer are told rounded up: where the greatest is the worst.
constexpr bool is_told_up(Layer layer) { return traits(layer).worst == Worst::greatest; }

/// The names of all layers, in the order of the table.
inline constexpr auto layer_names = [] {
    std::array<std::string_view, layer_table.size()> names;
    std::transform(layer_table.begin(), layer_table.end(), names.begin(),
                   [](const LayerTraits& layer) { return layer.name; });
    return names;
}();

/// Those that are rasters, in the order of the table.
inline constexpr auto raster_layers = [] {
    constexpr auto is_one = [](const LayerTraits& layer) { return is_raster(layer.content); };
    std::array<Layer, std::count_if(layer_table.begin(), layer_table.end(), is_one)> rasters{};
    std::size_t next = 0;
    for (const LayerTraits& layer : layer_table) {
        if (is_one(layer)) rasters.at(next++) = layer.layer;
    }
    return rasters;
}();

/// Whether a layer tells of all boats of a run together, and means nothing where there is one.
constexpr bool of_all_boats(Layer layer) { return traits(layer).meaning == CellMeaning::boats; }

/// The rasters that each boat has of its own, and so a plane in BlockAnswers, in the order of the table.
inline constexpr auto rasters_of_a_boat = [] {
    constexpr auto is_one = [](Layer layer) { return !of_all_boats(layer); };
    std::array<Layer, std::count_if(raster_layers.begin(), raster_layers.end(), is_one)> rasters{};
    std::copy_if(raster_layers.begin(), raster_layers.end(), rasters.begin(), is_one);
    return rasters;
}();

/// Whether a layer is gathered before anything is judged, and its answer is there already then: the rooms.
constexpr bool is_gathered(Layer layer) { return traits(layer).meaning == CellMeaning::room; }

/// A group's layer for a way, from any layer of the group: of(Layer::rode_full, Way::sinker) is rode_sinker.
constexpr Layer of(Layer of_group, Way way) {
    for (const LayerTraits& layer : layer_table) {
        if (layer.way == way && layer.group == traits(of_group).group) return layer.layer;
    }
    return of_group;
}

/// Whether a layer tells of the water over time, and means nothing where only two levels are known.
constexpr bool needs_tide(Layer layer) { return traits(layer).meaning == CellMeaning::hours; }

/// Whether a layer is made only for who asks for it by its name: it looks at all of the raster, not at the
/// window alone.
constexpr bool by_name_alone(Layer layer) { return layer == Layer::access_level; }

/// How many boats a run answers for, as far as its layers depend on it.
enum class BoatCount : std::uint8_t { one, several };

/// A set of layers.
class LayerSet {
public:
    constexpr LayerSet() = default;
    /// Every layer of the table but those that are asked for by_name_alone(), and with one boat those
    /// of_all_boats().
    static constexpr LayerSet all(BoatCount boats = BoatCount::one) {
        LayerSet set;
        for (const LayerTraits& layer : layer_table) {
            if (boats == BoatCount::one && of_all_boats(layer.layer)) continue;
            if (!by_name_alone(layer.layer)) set.add(layer.layer);
        }
        return set;
    }
    /// Reads "verdict,rode,zones": names, a group's name for all its ways, or "all",
    /// which is all().
    /// @throws InputError naming `where` and the word that is no layer, or none with one boat
    static LayerSet parse(std::string_view text, std::string_view where, BoatCount boats = BoatCount::one);

    /// Adds a layer; one that is in the set already changes nothing.
    constexpr void add(Layer layer) { bits_ |= bit(layer); }
    /// The set without a layer, whether it has it or not.
    [[nodiscard]] constexpr LayerSet without(Layer layer) const {
        LayerSet others = *this;
        others.bits_ &= ~bit(layer);
        return others;
    }
    /// Whether the layer itself is in the set: of a group each way counts for itself.
    [[nodiscard]] constexpr bool has(Layer layer) const { return (bits_ & bit(layer)) != 0; }
    /// Whether no layer is in the set.
    [[nodiscard]] constexpr bool empty() const { return bits_ == 0; }

private:
    static constexpr std::uint64_t bit(Layer layer) { return std::uint64_t{1} << index_of(layer); }
    static_assert(layer_table.size() <= 64, "a set has a bit for each layer");
    std::uint64_t bits_ = 0;
};

/// Whether the classes of cells are wanted, for a map by itself or for that of the report.
constexpr bool wants_map(LayerSet wanted) { return wanted.has(Layer::map) || wanted.has(Layer::report); }
/// Whether zones are traced, for themselves or for the drop points in them.
constexpr bool wants_zones(LayerSet wanted) { return wanted.has(Layer::zones) || wanted.has(Layer::spots); }

} // namespace swingroom
