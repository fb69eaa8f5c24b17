#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/map_planes.hpp"
#include "swingroom/room/hazard.hpp"

#include "publish/folder/finished_layers.hpp"
#include "report/map_contours.hpp"
#include "report/map_frame.hpp"
#include "report/map_furniture.hpp"
#include "report/map_marks.hpp"
#include "report/map_picture.hpp"
#include "report/map_ways.hpp"

#include <array>
#include <cstddef>
#include <set>
#include <string>
#include <vector>

namespace swingroom {

/// How a map is drawn.
struct MapStyle {
    /// The unit of depths and of the scale bar.
    Measures measures;
    /// The number of the drop point that it shows at a larger scale, with the disc in which she may let go;
    /// 0: it is no inset.
    int inset_of = 0;
    [[nodiscard]] bool is_inset() const { return inset_of > 0; }
};

/// What can be seen on a map, so that its legend lists nothing else.
struct MapShown {
    std::array<bool, map_class_count> classes{}; ///< by MapClass
    std::set<Sign> signs;
    std::set<std::string> margins; ///< style classes of outlines, see exclusion_looks
    bool spots = false, contours = false;
    bool ways = false, sills = false;
    bool shut = false;  ///< drop points to which no way leads
    bool discs = false; ///< in which she may let go, of insets
};

/// One map of a run as SVG: the classes of cells by the worst of what a pixel stands for, over them depths,
/// hazards, outlines, drop points. What is added is thinned to what can be seen, so that its size is bounded.
class ReportMap {
public:
    /// @param id      for the ids inside, unique in the page
    /// @param planes  of the same first cell; null: nothing is told of what kind a no is, and of depths
    ReportMap(const FinishedVerdicts& verdicts, const MapFrame& frame, std::string id,
              const MapPlanes* planes = nullptr, const MapStyle& style = {});

    /// An outline.
    /// @param zone  its rings in cells of the grid, as those of exclusions
    /// @returns whether it is large enough to be seen
    bool add_zone(const FinishedFeature& zone);
    /// An outline whose dashes say what it forbids; left out on land, and where nothing is forbidden.
    /// @returns as above
    bool add_exclusion(const FinishedFeature& exclusion);
    /// A hazard as what it is.   @param origin  the cell of its grid that is the map's first
    void add_hazard(const Hazard& hazard, GridPoint origin) {
        marks_.add(hazard, origin, [this](GridPoint p) { return on_land(p); });
    }
    /// A way in to a place, with its sill.   @param sill_counts  as MapWays has it
    void add_approach(const Approach& approach, bool sill_counts) { ways_.add(approach, sill_counts); }
    /// A numbered mark with the swinging circle, to scale; a dot where a mark before it leaves no room. Those
    /// of the first page always have a number, off their dot if need be. The best is to be added first: it
    /// lies on top.
    /// @param spot  its place in longitude and latitude
    void add_spot(const FinishedFeature& spot, std::size_t number);

    /// @param title, description  for who cannot see it   @param placed  more attributes of the svg element
    [[nodiscard]] Markup svg(const std::string& title, const std::string& description,
                             MapColours colours = MapColours::page, const Attributes& placed = {}) const;
    /// Width and height with what belongs around it, in units.
    [[nodiscard]] GridPoint size() const;

    /// Which part of the grid is drawn, and how large.
    [[nodiscard]] const MapFrame& frame() const { return frame_; }
    /// What a legend has to tell.
    [[nodiscard]] MapShown shown() const;
    /// Bytes of outlines so far.
    [[nodiscard]] std::size_t outline_bytes() const { return zones_.size() + exclusions_.size(); }

private:
    /// Of a ring's box that is in sight the longer side, in units.
    [[nodiscard]] double sight_of(const std::vector<GridPoint>& ring) const;
    [[nodiscard]] std::string path_of(const FinishedFeature& feature, double least_size) const;
    /// Whether a place of the picture is land by the classes.
    [[nodiscard]] bool on_land(GridPoint in_picture) const;
    [[nodiscard]] Markup images(MapColours colours) const;
    /// Whether a number or the dot of one that is set off lies nearer to a place.
    [[nodiscard]] bool has_mark_near(GridPoint at, double of_numbers, double of_dots) const;
    /// Where a number has room that has none at its place.
    [[nodiscard]] GridPoint set_off(GridPoint from) const;
    [[nodiscard]] Markup depth_lines(MapLabels& labels) const;

    MapFrame frame_;
    Graticule graticule_; ///< the same in all colours
    std::string id_;
    MapStyle style_;
    ClassPicture picture_, narrow_; ///< for wide screens and narrow ones
    Markup zones_, exclusions_;
    std::vector<Contour> contours_;
    MapMarks marks_;
    MapWays ways_;
    std::vector<Markup> circles_, numbers_;
    std::vector<GridPoint> numbered_; ///< places of numbers
    std::vector<GridPoint> dots_;     ///< of numbers that are set off from them
    std::set<std::string> margins_;
    bool discs_ = false, shut_ = false;
};

} // namespace swingroom
