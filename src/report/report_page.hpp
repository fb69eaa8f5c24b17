#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/report.hpp"

#include "publish/folder/finished_layers.hpp"
#include "report/exclusions_section.hpp"
#include "report/feature_tables.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// What the report has read off the finished layers, ready to be put into words.
struct ReportContents {
    GridPoint south_west, north_east; ///< longitude and latitude
    /// Of yes zones, by verdict.
    std::array<std::int64_t, verdict_phrases.size()> zones_count{};
    /// Sums by verdict, as the zones' own figures have them.
    std::array<double, verdict_phrases.size()> zones_area_m2{};
    /// Of these, those where the holding is not known.
    std::array<std::int64_t, verdict_phrases.size()> unchecked_count{};
    /// The same of their areas.
    std::array<double, verdict_phrases.size()> unchecked_area_m2{};
    /// Bits of `advice` that every zone and every drop point has, so that they need be said only once.
    std::uint16_t advice_of_all = 0;
    /// The largest few of those that have a place farther inside than the anchor may fall beside.
    std::vector<TabledZone> zones;
    std::int64_t zones_worth = 0; ///< how many there are of these
    /// How many are large enough on the map to be seen.
    std::size_t zones_drawn = 0;
    std::vector<FinishedFeature> spots; ///< the best few, without geometry but their place
    /// All there are in the layer.
    std::size_t spots_count = 0;
    bool exclusions_known = false; ///< whether the run was asked for them
    /// Each kind once, with how often it is there.
    std::vector<ExclusionKind> exclusions;
    /// All there are in the layer, and how many of them are large enough on the map to be seen.
    std::size_t exclusions_count = 0, exclusions_drawn = 0;
    Markup map;                    ///< SVG
    Markup legend;                 ///< of all maps: what is on them
    std::vector<Markup> spot_maps; ///< of the best few
    int cells_per_pixel = 1;       ///< of the map, a side
};

/// The page, well-formed as XML too.
Markup report_page(const ReportContents& contents, const ReportInput& input);

/// Its style sheet, src/report/report.css.
Markup report_style();

} // namespace swingroom
