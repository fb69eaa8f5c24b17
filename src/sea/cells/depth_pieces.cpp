#include "sea/cells/depth_pieces.hpp"

#include "swingroom/sea/chart_depths.hpp"

#include "sea/files/attributes.hpp"
#include "sea/raster/bathymetry_values.hpp"

#include <algorithm>
#include <cctype>
#include <initializer_list>
#include <limits>
#include <vector>

namespace swingroom {
namespace {

using Says = DepthPiece::Says;

constexpr double infinite = std::numeric_limits<double>::infinity();
/// What land counts as, and what floats or stands like land; S-101 portrayal, which takes 15 m for the same.
constexpr double land_m = charted_land_m;
/// The deep edge of an area that states none.
constexpr double no_rode_reaches_m = no_deep_edge_m;
static_assert(no_deep_edge_m == bathymetry::deepest_m, "no depth of a raster is beyond it");
/// How far a pipeline may stand above the charted depth when nothing is stated: notes of the Norwegian
/// charts.
constexpr double pipeline_height_m = 2;

bool one_of(std::string_view name, std::initializer_list<std::string_view> names) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

/// QUASOU of areas whose shallow edge is none to rely on: unknown, doubtful, unreliable, reported, and
/// dredged once but not regularly maintained. IHO S-57 appendix A.
const std::vector<int> doubtful_areas = {2, 3, 4, 8, 9, 11};

DepthPiece depth_range(const OGRFeature& feature) {
    const auto shallow_m = number_of(feature, "DRVAL1");
    if (!shallow_m) return DepthPiece{};
    const Codes quality = codes_of(feature, "QUASOU");
    if (!quality.readable || quality.has_any(doubtful_areas)) {
        return DepthPiece{Says::doubtful, *shallow_m, -infinite};
    }
    const double deep_m = number_of(feature, "DRVAL2").value_or(no_rode_reaches_m);
    return DepthPiece{Says::area, std::min(*shallow_m, deep_m), std::max(*shallow_m, deep_m)};
}

/// Of depth areas those that dry stand against a survey: the shore is what a chart knows best.
DepthPiece depth_area(const OGRFeature& feature) {
    DepthPiece piece = depth_range(feature);
    piece.yields_to_survey = piece.says == Says::area && piece.shoal_m >= 0;
    return piece;
}

std::optional<DepthPiece> sounding(const OGRFeature& feature, const char* attribute) {
    const auto depth_m = number_of(feature, attribute);
    if (!depth_m) return std::nullopt;
    return DepthPiece{Says::sounding, *depth_m, -infinite};
}

std::optional<DepthPiece> standing(const OGRFeature& feature, double not_stated_m) {
    const double height_m = std::max(0.0, number_of(feature, "VERLEN").value_or(not_stated_m));
    if (height_m == 0) return std::nullopt;
    return DepthPiece{Says::less, height_m, 0};
}

std::optional<DepthPiece> pipeline(const OGRFeature& feature) {
    if (number_of(feature, "DRVAL1")) return sounding(feature, "DRVAL1");
    const bool buried = number_of(feature, "BURDEP").value_or(0) > 0;
    return standing(feature, buried ? 0 : pipeline_height_m);
}

} // namespace

std::string class_in_capitals(std::string name) {
    std::transform(name.begin(), name.end(), name.begin(),
                   [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    return name;
}

bool is_skin(std::string_view object_class) {
    return one_of(object_class, {"DEPARE", "DRGARE", "FLODOC", "HULKES", "LNDARE", "PONTON", "UNSARE"});
}

std::optional<DepthPiece> piece_of(std::string_view object_class, const OGRFeature& feature) {
    if (object_class == "DEPARE") return depth_area(feature);
    if (object_class == "DRGARE") return depth_range(feature);
    if (one_of(object_class, {"LNDARE", "FLODOC", "HULKES", "PONTON"})) {
        return DepthPiece{Says::area, land_m, land_m};
    }
    if (object_class == "UNSARE") return DepthPiece{};
    if (object_class == "SOUNDG") return sounding(feature, "DEPTH");
    if (object_class == "SWPARE") return sounding(feature, "DRVAL1");
    if (one_of(object_class, {"OBSTRN", "WRECKS", "UWTROC", "MARCUL"})) return sounding(feature, "VALSOU");
    if (object_class == "CBLSUB") return sounding(feature, "DRVAL1");
    if (object_class == "SNDWAV") return standing(feature, 0);
    if (object_class == "PIPSOL") return pipeline(feature);
    return std::nullopt;
}

} // namespace swingroom
