#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/report.hpp"
#include "swingroom/room/verdict.hpp"

#include "publish/folder/finished_layers.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

/// Tables of drop points and zones: two rows for each, the numbers, and what is said in words. On a phone
/// they are blocks of name, value and unit.
namespace swingroom {

/// Bits of `advice` that need not be minded in a row: of the way in there are words and a section.
inline constexpr std::uint16_t told_of_the_way = advice::wait_for_water | advice::way_unknown;

/// Whether no way leads to a zone or a drop point at any level of the stay that is sure.
bool is_out_of_reach(const FinishedFeature& of);

/// What of the first drop points stands on the first page.
/// @param most  so many of them   @param said  bits of `advice` that are said elsewhere, since they apply to
/// all
Markup best_places_table(const std::vector<FinishedFeature>& spots, std::size_t most,
                         const ReportInput& input, std::uint16_t said);
/// All figures of the first drop points.
/// @param most, said  as above
Markup spots_table(const std::vector<FinishedFeature>& all, std::size_t most, const ReportInput& input,
                   std::uint16_t said);

/// A zone, and which drop points lie in it.
struct TabledZone {
    FinishedFeature zone;           ///< its rings are not needed
    std::vector<std::size_t> spots; ///< by their numbers, from 1
};
/// The figures that hold all over each zone; columns that no zone has a value for are left out.
/// @param said  as above
Markup zones_table(const std::vector<TabledZone>& tabled, const ReportInput& input, std::uint16_t said);

} // namespace swingroom
