#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/report/report.hpp"

#include "publish/folder/finished_layers.hpp"

#include <cstddef>
#include <string>

/// What is told of a drop point or a zone, by its layer's figures, in the unit that is read.
namespace swingroom {

/// "1.2 ha": square metres below a hectare, square kilometres from a thousand hectares on; square feet, acres
/// and square nautical miles for who reads feet or fathoms. Rounded down.
std::string area_text(double square_metres, const Measures& measures);
/// What bounds the rooms of a drop point: "shoal water, 1.9 m at low water, 60 m off, bearing 188°", or that
/// there is nothing. The figures are those of the layer, in tenths of a metre, in the unit that is read.
struct DangerWords {
    /// For the hull, and for anchor and rode.
    std::string hull, ground;
};
/// @param number  of the drop point in its layer, from 0
DangerWords danger_words(const FinishedFeature& spot, std::size_t number, const ReportInput& input);
/// The nearer of the two, with what it is a danger to where they differ: "for anchor and rode: cable (cables
/// #3), 60.3 m off, bearing 188°".
std::string nearest_danger_words(const FinishedFeature& spot, std::size_t number, const ReportInput& input);
/// What the chart lets expect at a drop point; empty where its depth is no band of a chart.
std::string expected_words(const FinishedFeature& spot, std::size_t number, const ReportInput& input);
/// What is noted of the ground near it.
std::string notes_words(const FinishedFeature& spot, std::size_t number, const ReportInput& input);
/// Whether the spare room of a drop point is at least what is told: no danger is near enough to end it.
bool spare_is_at_least(const FinishedFeature& spot, std::size_t number, const ReportInput& input);
/// Both forms of a position, degrees and minutes first.
Markup position_markup(double lon, double lat);

} // namespace swingroom
