#pragma once

#include "swingroom/report/report.hpp"
#include "swingroom/sea/georeference.hpp"

#include "publish/folder/finished_layers.hpp"
#include "report/map_legend.hpp"
#include "report/report_map.hpp"

#include <cstddef>
#include <filesystem>
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// Hands over the features of a finished layer, in longitude and latitude; none where the run has not made
/// it.  @throws IoError
void each_feature(const std::filesystem::path& folder, const ReportInput& input, std::string_view name,
                  const std::function<void(const FinishedFeature&)>& take);

/// The largest few of what comes by, largest first; of equals the first.
class Largest {
public:
    /// @param most  how many are kept
    explicit Largest(std::size_t most) : most_(most) {}
    void take(double size, const FinishedFeature& feature);
    [[nodiscard]] const auto& kept() const { return kept_; }

private:
    std::size_t most_;
    std::multimap<double, FinishedFeature, std::greater<>> kept_;
};

/// More zones are not outlined, more drop points not drawn.
inline constexpr std::size_t outlines_of_zones = 2000, spots_on_map = 50;
/// Of so many of the best drop points the approaches are drawn: those of the table.
inline constexpr std::size_t ways_on_map = 12;
/// Those of which there is one, from 0 on; that of the first one for which she has to wait always, whatever
/// its rank: it is there that the way matters most.
std::vector<std::size_t> approaches_on_map(const ReportInput& input);

/// The maps of a run: the whole, and one around each of the best drop points.
class RunMaps {
public:
    /// @param spots  the best, in longitude and latitude; they are drawn, and so are the hazards of the job
    RunMaps(const FinishedVerdicts& verdicts, const Georeference& georeference, const ReportInput& input,
            const std::vector<FinishedFeature>& spots);

    /// To all maps, from longitude and latitude.   @returns 1 if it can be seen on that of the whole, else 0
    std::size_t add_zone(const FinishedFeature& zone);
    std::size_t add_exclusion(const FinishedFeature& exclusion);

    /// How many insets there are.
    [[nodiscard]] std::size_t insets() const { return maps_.size() - 1; }
    /// The whole as SVG.   @param placed  more attributes of the svg element
    [[nodiscard]] Markup whole(MapColours colours, const Attributes& placed = {}) const;
    /// Around the drop point of a place in the list, from 0 on.
    [[nodiscard]] Markup inset(std::size_t of, MapColours colours, const Attributes& placed = {}) const;
    /// What is on any of them.
    [[nodiscard]] std::vector<LegendItem> legend(MapColours colours) const;
    /// Width and height of a map with its furniture, in units; 0 is the whole, behind it the insets.
    [[nodiscard]] GridPoint size(std::size_t of) const { return maps_[of].size(); }
    /// Degrees clockwise from up to true north.
    [[nodiscard]] double north_deg() const { return maps_.front().frame().north_deg(); }

private:
    std::size_t add(bool (ReportMap::*outline)(const FinishedFeature&), const FinishedFeature& feature,
                    std::size_t& bytes);

    const Georeference* georeference_;
    MapStyle style_;
    std::string boat_name_;
    std::vector<ReportMap> maps_;
    std::size_t zone_bytes_ = 0, exclusion_bytes_ = 0;
};

} // namespace swingroom
