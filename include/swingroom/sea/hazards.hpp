#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/hazard.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/sea/warning.hpp"
#include "swingroom/water/uncertainty.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

namespace swingroom {

/// How hazards are read beyond what their rules say. For no boat: see effects_on().
struct HazardTerms {
    /// Of least depths that state none and lie in no zone of confidence. Of Kind::band: as zone C.
    DepthUncertainty uncertainty = DepthUncertainty::band();
    /// Whether the position accuracy of a chart's zone of confidence widens the margins of what lies in it.
    bool zone_margin = false;
    /// Identities of features whose restrictions the skipper has read, and knows not to be for her: what
    /// their rules of restrictions (HazardRule::restriction) forbid becomes effect::warn. What other rules
    /// say of them stands. An identity is what a hazard's label ends in: the one that the producer of a chart
    /// gave its object (LNAM; all its parts count, in whatever cell), "RESARE #3" for other files, the # or
    /// none; or the whole label.
    std::vector<std::string> allowed;
};

/// What came of an identity that was to be allowed.
struct AllowedFeature {
    std::string identity;              ///< as given
    std::vector<std::string> features; ///< file and label of each that has it; none: it is unknown
    /// Whether these are one object: one feature, or parts of the same object of charts.
    bool one_object = true;
    std::vector<std::string> lifted; ///< rules that forbid nothing there any more
    std::vector<std::string> stays;  ///< rules that forbid something there all the same
};

/// Features of one class in one file and what rules make of them.
struct ClassCount {
    std::string file, name;    ///< the layer's name, or the object class that tags stand for
    std::int64_t features = 0; ///< all there are
    std::int64_t matched = 0;  ///< those that at least one rule with an effect or a seabed picked
    std::array<std::int64_t, std::numeric_limits<Effects>::digits> by_effect{}; ///< by bit of `effect`
    std::int64_t seabeds = 0; ///< those that tell the seabed
    bool known = false;       ///< whether any rule speaks of the class
};

/// Hazards in grid space with what was read, for provenance and warnings.
struct HazardSet {
    /// What the rules made of features, file by file; those that are one feature follow each other.
    std::vector<Hazard> hazards;
    std::vector<std::string> files; ///< every file and sidecar read, for the manifest's digests
    /// Empty layers, layers no rule covers, of which none of somebody's own rules picks a feature, or without
    /// an attribute that rules look at, codes that no table lists, matches wholly outside: one line each.
    std::vector<Warning> warnings;
    /// What was read off charts: editions, scales, which of several counts, what was assumed of their depths.
    std::vector<std::string> notes;
    /// One for each of HazardTerms::allowed, in its order. Whoever allows something must look whether it was
    /// found.
    std::vector<AllowedFeature> allowed;
    std::vector<ClassCount> counts; ///< by file, in the order of its layers
};

/// Reads vector files, any CRS, in the formats of OGR that are local files by themselves (GeoPackage,
/// GeoJSON, Shapefile, FlatGeobuf, S-57, KML, GPX, MapInfo, file geodatabase, OpenStreetMap): names that are
/// no file are refused. It repairs broken polygons without losing area; densifies so that edges straight in
/// the file's CRS are straight in grid space to within the hazards' placement allowance. Only features whose
/// danger can touch the raster's extent are kept.
///
/// S-57 cells: updates beside the cell are applied. Where cells overlap, the largest compilation scale counts
/// where it covers. The position accuracy of a feature's geometry (POSACC) widens its margins. What no cell
/// covers, if there is any cell, becomes a hazard of effect::uncharted.
/// Features tagged in the open schema of seamarks (seamark:type and what belongs to it) count as objects of
/// the class that their type stands for, whatever the layer's name.
/// @throws InputError  no such file, a raster, no CRS, an expression that does not fit the layer, a feature
/// without a usable geometry (named by its FID), or with an edge of which it is not known which way round the
/// globe it goes, depths of a chart that are not in metres, an S-101 data set
/// @throws IoError     unreadable
HazardSet read_hazards(const std::vector<std::string>& files, const std::vector<HazardRule>& rules,
                       const Grid& grid, const GroundMetric& metric, const HazardTerms& terms = {});

/// The updates that lie beside an S-57 cell and are read with it; none for other files.
std::vector<std::string> chart_updates(const std::string& file);

/// Only counts: what is in the files and what the rules make of it, wherever it lies.
/// @throws as read_hazards
HazardSet count_hazards(const std::vector<std::string>& files, const std::vector<HazardRule>& rules);

} // namespace swingroom
