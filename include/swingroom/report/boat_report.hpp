#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/boat/report.hpp"
#include "swingroom/boat/tables.hpp"
#include "swingroom/report/report_table.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace swingroom {

/// All that `swingroom boat` prints: computed once, written in any format.
struct BoatReport {
    /// The table by depth, from the least that floats her on; depths are round in the unit that was asked
    /// for.
    std::vector<DepthLine> depths;
    /// How much deeper than a reading of the sounder, taken to chart datum, it may be under the anchor, and
    /// how much shoaler where a chart does not tell the slope; as in SoundedBand.
    double deeper_m = 0, shoaler_m = 0;
    /// The same table by reading; empty where the tables were not made for so much.
    std::vector<DepthLine> readings;
    double sinker_depth_m = 0;              ///< where the sinker's worth is reckoned, and the picture drawn
    std::vector<SinkerWorth> sinker_worths; ///< at 5 to 30 knots; empty without a sinker
};
/// The uncertainty that the tables have to be made for so that the report tells rode by reading.
double sounded_uncertainty_m(const Boat& boat);
/// @param depth_m  for the sinker's worth; below 0: the depth with a way to lie that is nearest to 5 m
/// @param measures  in whose unit depths are round
BoatReport boat_report(const TackleTables& tables, double depth_m, const Measures& measures = {});

/// For people. Lengths are rounded up in print, wind limits down. Where the rode is marked in another unit,
/// rode stands there in that unit, too.
/// @param width  characters that a line may have: tables are cut into parts of so many; 0: any number
std::string boat_text(const TackleTables& tables, const BoatReport& report, const Measures& measures = {},
                      std::size_t width = 0);
/// The same sentences and tables as Markdown, under the boat's name as a heading.
std::string boat_markdown(const TackleTables& tables, const BoatReport& report,
                          const Measures& measures = {});
/// For programs: a line for each depth, in metres, knots and newtons; what is not to be had or not known is
/// empty.
std::string boat_csv(const TackleTables& tables, const BoatReport& report);
/// One JSON object: the figures of the CSV and the statics behind them, the boat file as read, what was
/// asked, the sinker's worth.
std::string boat_json(const TackleTables& tables, const BoatReport& report);

/// The same for a page that lays it out itself.
struct BoatParts {
    std::vector<std::string> sentences; ///< water, wind, rode, what the columns mean, what the anchor holds
    /// Readings have no rows where the tables do not tell them, nor has the sinker's worth without a sinker.
    ReportTable depths, readings, worth;
};
/// Lengths are in the unit of `measures`, rounded as boat_text() has them.
BoatParts boat_parts(const TackleTables& tables, const BoatReport& report, const Measures& measures = {});

/// Whether there is anything to draw in that depth: a way to lie at short scope, with or without the sinker.
bool has_picture(const TackleTables& tables, double depth_m);
/// The rode with and without the sinker, to scale, in light wind and in the planned wind, at low water over
/// that depth; SVG.   @pre has_picture()
Markup boat_picture(const TackleTables& tables, double depth_m, const Measures& measures = {});

} // namespace swingroom
