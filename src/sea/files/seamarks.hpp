#pragma once

#include <ogr_feature.h>
#include <ogr_geometry.h>
#include <ogrsf_frmts.h>

#include <map>
#include <memory>
#include <string>

/// Features tagged in the open schema of seamarks that the OpenStreetMap wiki describes (seamark:type=wreck,
/// seamark:wreck:category=dangerous, ...), as objects of the S-57 class that they stand for.
namespace swingroom {

/// Whether features of a layer may carry such tags: in attributes of their own, or bundled in other_tags or
/// all_tags as OGR does with OpenStreetMap files.
bool may_hold_seamarks(OGRFeatureDefn& definition);

/// One tagged feature as an object of the chart.
struct Seamark {
    std::string object_class;    ///< the acronym, "WRECKS"; of a type that no class is known for, its tag
    OGRFeatureUniquePtr feature; ///< coded attributes, not the geometry
};

/// Turns tags into coded attributes. Words that the schema does not list are kept as they are: they read as
/// codes that cannot be read, and rules make the worst of those.
class SeamarkReader {
public:
    /// Makes the definition that all objects share, with every attribute of the schema.
    SeamarkReader();
    ~SeamarkReader();
    SeamarkReader(const SeamarkReader&) = delete;
    SeamarkReader& operator=(const SeamarkReader&) = delete;

    /// The attributes of every object that read() gives.
    [[nodiscard]] OGRFeatureDefn& definition() const { return *definition_; }
    /// @returns without a feature if it has no seamark:type
    [[nodiscard]] Seamark read(OGRFeature& tagged) const;
    /// The same of tags alone.
    [[nodiscard]] Seamark read(const std::map<std::string, std::string>& given) const;

private:
    OGRFeatureDefn* definition_;
};

/// The geometry that is meant: a closed line of a class that knows only areas is the area within, an area of
/// a class that knows only lines is its outline, lines of a relation that close are the areas between them.
std::unique_ptr<OGRGeometry> as_seamark(const std::string& object_class, const OGRGeometry& tagged);

/// Whether a geometry of a class that knows only areas is none: what lies within is lost.
bool lacks_its_area(const std::string& object_class, const OGRGeometry& meant);

} // namespace swingroom
