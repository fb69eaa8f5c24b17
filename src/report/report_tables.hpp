#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/report.hpp"

#include "publish/folder/finished_layers.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace swingroom {

/// Tables of the report, as markup: wide ones stand in a region that scrolls by itself and can be reached by
/// keyboard. Those of features are blocks of name, value and unit on a phone.

/// A table as it stands, headings of groups over those of columns.
Markup table_markup(const ReportTable& table);
/// All figures of the drop points, two rows each: the numbers, and what is said in words.
/// @param said  bits of `advice` that stand over the table, since they apply to all
Markup spots_table(const std::vector<FinishedFeature>& spots, const ReportInput& input, std::uint16_t said);
/// The figures that hold all over each zone; columns that no zone has a value for are left out.
/// @param said  as above
Markup zones_table(const std::vector<FinishedFeature>& zones, const ReportInput& input, std::uint16_t said);
/// The advice of a zone or of a drop point in words, but for what is said of all.
std::string own_advice(const FinishedFeature& of, std::uint16_t said);

/// What a kind of exclusion forbids, and how often it is there.
struct ExclusionKind {
    /// The rule's name and, as the layer has them, what it forbids, what it advises, and where its
    /// margin comes from.
    std::string kind, forbids, advises, source;
    double margin_m = 0; ///< the greatest
    /// How many polygons of this kind are in the layer.
    std::size_t count = 0;
};
/// A row for each kind, margins rounded up in the unit of the measures.
Markup exclusions_table(const std::vector<ExclusionKind>& kinds, const Measures& measures);

/// "1.23 ha": square metres below a hectare, square kilometres from a thousand on; rounded down.
std::string area_text(double square_metres);
/// What bounds the rooms of a drop point: "shoal water, 1.9 m at low water, 60 m off, bearing 188°", or that
/// there is nothing. The figures are those of the layer, in tenths of a metre, in the unit that is read.
struct DangerWords {
    /// For the hull, and for anchor and rode.
    std::string hull, ground;
};
/// @param number  of the drop point in its layer, from 0
DangerWords danger_words(const FinishedFeature& spot, std::size_t number, const ReportInput& input);
/// "16 kn", with what it is taken from where the holding is not known.
std::string wind_text(const FinishedFeature& of, const std::string& name);
/// Both forms of a position, degrees and minutes first.
Markup position_markup(double lon, double lat);

} // namespace swingroom
