#pragma once

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/feature_names.hpp"
#include "swingroom/publish/vector_layer.hpp"
#include "swingroom/room/inner_places.hpp"
#include "swingroom/sea/georeference.hpp"

#include "publish/vector/degree_rings.hpp"

#include <filesystem>
#include <map>
#include <vector>

namespace swingroom {

/// The layer `zones`: draws each zone and works out what its cells do not say. A feature's properties, in
/// this order; the figures hold all over the zone, and are rounded so that they still do:
///   number            from 1, in the order of the file: by the rows in which zones end, from the first one
///   on name           zone_name() of number and verdict
///   verdict           2 to 8 as in the raster; 8 if no way leads to any one of its cells
///   meaning           how she lies in words, that there is no way in, and whether the holding is not known
///                     anywhere in it
///   ways              all ways that are a yes in every cell, in words, the most demanding first
///   boats             so many such boats fit for certain, with full circles apart
///   cells, area_m2    of the cells; the outline may cover a little less
///   depth_low_min_m, depth_low_max_m                       least water at low water
///   rode_min_m, rode_max_m, radius_min_m, radius_max_m     at the way of the verdict
///   level_needed_m    only where the water is known over time: the level above chart datum at which the
///                     whole circle of every cell floats her, at the way of the verdict
///   way_in, access_level_m, windows   as add_way_in() has them, of the cell that is reached last
///   wind_limit_full_min_kn, wind_limit_short_min_kn, wind_limit_sinker_min_kn
///                     of the ways above; null for the others
///   wind_limit_by     what these limits are taken from, in the cell of which least is known: LimitBy
///   seabed            all that occur in it: "sand, mud"
///   trip_line         "wise: foul ground near" or "not needed"
///   trip_line_max_m   length of a buoyed trip line in the deepest cell
///   spare_max_m       spare room of the cell that has the most
///   best_inner_distance_m, best_longitude, best_latitude
///                     of the cell whose centre is farthest from the outline of the zone's cells
///   advice            everything to mind, in sentences
class ZoneLayer {
public:
    /// @param job, georeference  must outlive the layer   @param smooth  or with the cells' own edges
    ZoneLayer(const std::filesystem::path& folder, const OverlayJob& job, const Georeference& georeference,
              const Provenance& provenance, bool smooth, NamePrefix prefix = {});

    /// Draws, reckons and writes a zone.   @param best  its place farthest inside   @throws IoError
    void add(Zone&& zone, const InnerPlace& best);
    /// Closes the file, then reads it again and compares.   @throws IoError
    void finish() { file_.finish(); }
    /// How many zones have been written.
    [[nodiscard]] std::int64_t count() const { return file_.count(); }
    /// The layer itself, for those that read it when it is finished.
    [[nodiscard]] const VectorLayer& file() const { return file_; }

private:
    const std::vector<Property>& way_in(float access_level_m);

    const OverlayJob& job_;
    const Georeference& georeference_;
    bool smooth_;
    NamePrefix prefix_;
    DegreeRings degrees_;
    GridPoint inset_; ///< in columns and rows
    double clearance_cells_;
    /// By access level, of which there are few, while a long stay has many minutes to look at.
    std::map<float, std::vector<Property>> ways_in_;
    VectorLayer file_;
};

} // namespace swingroom
