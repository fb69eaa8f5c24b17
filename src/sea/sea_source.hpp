#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/charted_depths.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/sea/hazards.hpp"
#include "swingroom/sea/inspection.hpp"
#include "swingroom/sea/place_names.hpp"
#include "swingroom/sea/sea.hpp"

#include "sea/cells/charted_depths.hpp"

#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// What a Sea is made of: the files of a request, or what parts of a run have recorded of them.
class SeaSource {
public:
    virtual ~SeaSource() = default;

    /// As the functions of these names of Sea.
    [[nodiscard]] virtual const Grid& grid() const = 0;
    [[nodiscard]] virtual const Georeference& georeference() const = 0;
    [[nodiscard]] virtual const std::vector<std::string>& sources() const = 0;
    [[nodiscard]] virtual const std::vector<std::string>& depth_files() const = 0;
    [[nodiscard]] virtual const std::vector<HazardRule>& rules() const = 0;
    [[nodiscard]] virtual double greatest_uncertainty_m() const = 0;
    [[nodiscard]] const GroundMetric& metric() const {
        if (!metric_) metric_ = ground_metric(grid(), sources().front());
        return *metric_;
    }

    /// Depths of a window and all that lies within the reach of it.   @param inside  lies in the grid
    [[nodiscard]] virtual std::unique_ptr<DepthSource> depths(Window inside, double reach_m) = 0;
    /// Hazards of the same.
    [[nodiscard]] virtual HazardSet hazards(Window inside, double reach_m) = 0;
    /// What the charts let expect.
    [[nodiscard]] virtual const ChartedDepths& charted() const = 0;
    /// What that is told from: one after another, in the order of the charts.
    [[nodiscard]] virtual std::vector<ChartedCell> charted_cells() const = 0;
    [[nodiscard]] virtual std::vector<PlaceName> place_names(Window window) const = 0;
    [[nodiscard]] virtual std::vector<Inspection> inspections(const Measures& measures) = 0;

    /// What Sea::whole() has prepared.
    struct Whole {
        double reach_m = 0; ///< how far around
        std::shared_ptr<const SeaPart> part;
    };
    [[nodiscard]] std::optional<Whole>& whole() { return whole_; }

private:
    mutable std::optional<GroundMetric> metric_; ///< once it was asked for
    std::optional<Whole> whole_;                 ///< refers to what is above
};

/// Makes a Sea of another source than files, and looks at what one is made of.
struct SeaAccess {
    static Sea made_of(std::shared_ptr<SeaSource> source) { return Sea(std::move(source)); }
    static SeaSource& source(const Sea& sea) { return *sea.source_; }
};

} // namespace swingroom
