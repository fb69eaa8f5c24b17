#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/grid.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/message.hpp"
#include "swingroom/room/hazard.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/charted_depths.hpp"
#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/sea/hazards.hpp"
#include "swingroom/sea/inspection.hpp"
#include "swingroom/sea/place_names.hpp"
#include "swingroom/sea/warning.hpp"

#include "base/byte_stream.hpp"
#include "base/passed_fact.hpp"
#include "sea/cells/charted_depths.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <type_traits>

/// What a sea says, as bytes: see pass() of base/byte_stream.hpp.
namespace swingroom {

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Window>& window) {
    pass_all(bytes, window.col, window.row, window.cols, window.rows);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, GridPoint>& point) {
    pass_all(bytes, point.x, point.y);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, LonLat>& position) {
    pass_all(bytes, position.lon, position.lat);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Grid>& grid) {
    pass_all(bytes, grid.cols, grid.rows, grid.origin_x, grid.origin_y, grid.step_x, grid.step_y,
             grid.crs_wkt, grid.slack_cells);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Measures>& measures) {
    pass_enum(bytes, measures.length, LengthUnit::fathom);
    pass_enum(bytes, measures.position, PositionForm::minutes);
}

/// Its settings stay settings, to be named by who tells it.
void pass(ByteWriter& to, const Message& message);
void pass(ByteReader& from, Message& message);

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Warning>& warning) {
    pass_all(bytes, warning.file, warning.text);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, SurveyTerms>& terms) {
    pass_all(bytes, terms.is_survey, terms.cell_m, terms.measured_by);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, CodeCondition>& condition) {
    pass(bytes, condition.attribute);
    pass_enum(bytes, condition.wants, CodeCondition::Wants::unreadable);
    pass(bytes, condition.codes);
}

template <class Bytes>
void pass_seabed(Bytes& bytes, Passed<Bytes, std::optional<Seabed>>& seabed) {
    auto ground = seabed.value_or(Seabed::unknown);
    bool told = seabed.has_value();
    pass(bytes, told);
    pass_enum(bytes, ground, Seabed::coral);
    if constexpr (!std::is_const_v<Passed<Bytes, std::optional<Seabed>>>) {
        seabed = told ? std::optional(ground) : std::nullopt;
    }
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, HazardRule>& rule) {
    pass_all(bytes, rule.name, rule.layers, rule.codes);
    pass_enum(bytes, rule.geometry, RuleGeometry::area);
    pass_all(bytes, rule.words, rule.where, rule.may_lack, rule.effects, rule.margin_m, rule.under_way_m,
             rule.replaced_margin_m, rule.radius, rule.least_depth, rule.clearance, rule.restriction);
    pass_seabed(bytes, rule.seabed);
    pass_all(bytes, rule.source, rule.line, rule.built_in);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Hazard>& hazard) {
    pass_all(bytes, hazard.margin_m, hazard.placement_allowance_m, hazard.paths, hazard.rings,
             hazard.effects);
    pass_seabed(bytes, hazard.seabed);
    pass_all(bytes, hazard.least_depth_m, hazard.clearance_m, hazard.position_m, hazard.under_way_m,
             hazard.kind, hazard.label, hazard.called, hazard.information, hazard.nature);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, AllowedFeature>& allowed) {
    pass_all(bytes, allowed.identity, allowed.features, allowed.one_object, allowed.lifted, allowed.stays);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, ClassCount>& count) {
    pass_all(bytes, count.file, count.name, count.features, count.matched, count.by_effect, count.seabeds,
             count.known);
}

/// All but the hazards themselves.
template <class Bytes>
void pass_told(Bytes& bytes, Passed<Bytes, HazardSet>& set) {
    pass_all(bytes, set.files, set.warnings, set.notes, set.allowed, set.counts);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, PlaceName>& place) {
    pass_enum(bytes, place.kind, PlaceKind::land);
    pass(bytes, place.name);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, ChartedArea>& area) {
    pass_all(bytes, area.label, area.from_m, area.to_m);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, ChartedCell::Sounding>& sounding) {
    pass_all(bytes, sounding.at, sounding.depth_m, sounding.doubtful);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, AgainstCharts>& against) {
    std::uint64_t soundings = against.soundings;
    pass(bytes, soundings);
    pass_all(bytes, against.median_m, against.turned_m, against.explained_m);
    if constexpr (!std::is_const_v<Passed<Bytes, AgainstCharts>>) {
        against.soundings = static_cast<std::size_t>(soundings);
    }
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Inspection::Raster>& raster) {
    pass_all(bytes, raster.cols, raster.rows, raster.cell.dx_m, raster.cell.dy_m, raster.with_depth,
             raster.shoalest_m, raster.deepest_m, raster.against_charts);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Inspection>& inspection) {
    pass(bytes, inspection.file);
    pass_enum(bytes, inspection.kind, Inspection::Kind::vector);
    pass_all(bytes, inspection.facts, inspection.open_questions, inspection.doubts, inspection.counts,
             inspection.bounds, inspection.raster);
}

} // namespace swingroom
