#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/hazard.hpp"
#include "swingroom/room/metric.hpp"

#include <functional>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// One rule: features of the layers it names, filtered by an attribute expression, have these effects within
/// this margin. All rules that match a feature apply.
struct HazardRule {
    std::string name;                ///< the INI section: "cable"
    std::vector<std::string> layers; ///< name patterns with * and ?, letter case ignored
    std::string where;               ///< OGR SQL attribute expression; empty: all features
    /// Attributes of `where` that count as not given in a layer that has none of that name.
    std::vector<std::string> may_lack;
    std::uint8_t effects = 0;
    double margin_m = 0;
    std::optional<Seabed> seabed;
    std::string source;    ///< where the margin comes from, as the rule's author says
    int line = 0;          ///< in the rules file, for messages
    bool built_in = false; ///< not somebody's own, of whom a rule that matches nothing may be a mistake
};

/// Reads a rules file (INI, one section per rule; keys: layers, where, may_lack, effects, margin, seabed,
/// source).
/// Effects "none" without a seabed say that a layer is known to be no hazard.
/// @throws InputError with file and line, or when there is no such file
/// @throws IoError when reading fails
std::vector<HazardRule> read_hazard_rules(std::istream& in, const std::string& source);
std::vector<HazardRule> read_hazard_rules_file(const std::string& path);
/// The built-in rules, as INI text to copy and edit, and as read.
std::string_view default_hazard_rules_text();
std::vector<HazardRule> default_hazard_rules();

/// Hazards in grid space with what was read, for provenance and warnings.
struct HazardSet {
    std::vector<Hazard> hazards;
    std::vector<std::string> files; ///< every file and sidecar read, for the manifest's digests
    /// Empty layers, layers no rule covers, of which none of somebody's own rules picks a feature, or without
    /// an attribute that rules look at, matches wholly outside: one line each.
    std::vector<std::string> warnings;
};

/// Reads vector files, any CRS, in the formats of OGR that are local files by themselves (GeoPackage,
/// GeoJSON, Shapefile, FlatGeobuf, S-57, KML, GPX, MapInfo, file geodatabase): names that are no file are
/// refused. It repairs broken polygons without losing area; densifies so that edges straight in the file's
/// CRS are straight in grid space to within the hazards' slack. Only features whose danger can touch the
/// raster's extent are kept.
/// @throws InputError  no such file, a raster, no CRS, an expression that does not fit the layer, a feature
/// without a usable geometry (named by its FID), or with an edge of which it is not known which way round the
/// globe it goes
/// @throws IoError     unreadable
HazardSet read_hazards(const std::vector<std::string>& files, const std::vector<HazardRule>& rules,
                       const Grid& grid, const GroundMetric& metric);

} // namespace swingroom
