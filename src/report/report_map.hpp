#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/room/verdict.hpp"

#include "publish/folder/finished_layers.hpp"
#include "report/map_frame.hpp"

#include <cstddef>
#include <map>
#include <string>
#include <vector>

namespace swingroom {

/// One map of the report, as SVG: the verdicts by the worst of what a pixel stands for, over them outlines.
/// What is added is thinned to what can be seen, so that its size is bounded.
class ReportMap {
public:
    /// @param id  for the ids inside, unique in the page
    ReportMap(const FinishedVerdicts& verdicts, const MapFrame& frame, std::string id);

    /// An outline with the hatch of its verdict.
    /// @param zone  its rings in cells of the grid, as those of exclusions
    /// @returns whether it is large enough to be seen
    bool add_zone(const FinishedFeature& zone);
    /// An outline whose dashes say what it forbids. The largest of each kind gets its name beside it.
    /// @returns as above
    bool add_exclusion(const FinishedFeature& exclusion);
    /// A numbered mark with the swinging circle, to scale; a dot where a mark before it leaves no room. The
    /// best is to be added first: it lies on top.
    /// @param spot  its place in longitude and latitude
    void add_spot(const FinishedFeature& spot, std::size_t number);

    /// @param title, description  for who cannot see it
    [[nodiscard]] Markup svg(const std::string& title, const std::string& description) const;

    /// Which part of the grid is drawn, and how large.
    [[nodiscard]] const MapFrame& frame() const { return frame_; }
    /// Bytes of outlines so far.
    [[nodiscard]] std::size_t size() const { return zones_.size() + exclusions_.size(); }

private:
    /// What of a ring's box is in sight, in units: its longer side, and where a name goes.
    struct Sight {
        double size = 0;
        GridPoint top;
    };
    [[nodiscard]] Sight sight_of(const std::vector<GridPoint>& ring) const;
    [[nodiscard]] std::string path_of(const FinishedFeature& feature, double least_size) const;
    [[nodiscard]] Markup names() const;
    [[nodiscard]] Markup images(const FinishedVerdicts& verdicts) const;
    [[nodiscard]] Markup image(const VerdictPicture& picture, const char* style) const;

    MapFrame frame_;
    std::string id_;
    Markup images_, zones_, exclusions_;
    std::vector<Markup> circles_, marks_;
    std::vector<GridPoint> marked_;        ///< places of numbers
    std::map<std::string, Sight> largest_; ///< of each kind of exclusion
};

/// The hatches of the verdicts, which maps and legend of a page share.
Markup hatch_patterns();
/// A piece of a verdict's colour and hatch, for the legend.
Markup swatch(Verdict verdict);
/// A piece of the outline of what forbids so.
Markup line_sample(const std::string& forbids);

} // namespace swingroom
