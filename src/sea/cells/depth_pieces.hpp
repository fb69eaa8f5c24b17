#pragma once

#include <ogr_feature.h>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

/// What the objects of a chart say of depths, one by one.
namespace swingroom {

/// What an object of the chart says of the depth where it lies.
struct DepthPiece {
    /// In which way it speaks.
    enum class Says {
        area,     ///< between the two edges
        sounding, ///< no more than this, whatever the area says
        less,     ///< so much may stand above the charted depth
        zone,     ///< the zone of confidence
        doubtful, ///< no more than the shallow edge, and no depth to rely on
        nothing,  ///< unsurveyed
        disc, ///< what a sounding says of its neighbourhood, where a survey is deeper: `shoal_m`, uncertainty
              ///< counted
    };
    Says says = Says::nothing;      ///< see there
    double shoal_m = 0, deep_m = 0; ///< of an area; `shoal_m` also of a sounding, and what may be less
    int zone = 0;                   ///< of a zone: CATZOC
    int surveyed = 0;               ///< of a zone: the last day of its survey, as 20240131; 0: not said
    std::uint8_t source = 0;        ///< the cell, the first being 1
    double scale = 0;               ///< the cell's, 1 to this many; 0: not stated
    bool yields_to_survey = false;  ///< of an area: a survey speaks in its place
};

/// The name of an object class in capitals: inland cells write those that they share with the sea in small
/// letters.
std::string class_in_capitals(std::string name);

/// Whether areas of this class belong to the skin of the earth, which tiles what a cell covers (group 1 of
/// the ENC product specification of IHO S-57).
bool is_skin(std::string_view object_class);

/// What an object says of depths; nothing if it does not speak of them.
///
/// Contours (DEPCNT) do not: they are where two depth areas meet, and each of these says what it holds
/// between its contours. A contour that says more than its areas would be an error of the chart. Over a
/// survey they are of the depth areas' kind for the same reason: as generalised as the areas that they part.
/// The same holds of depth areas that old editions draw as lines.
/// @param object_class  in capitals
std::optional<DepthPiece> piece_of(std::string_view object_class, const OGRFeature& feature);

} // namespace swingroom
