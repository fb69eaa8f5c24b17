#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "sea/raster/bathymetry_values.hpp"

#include <gdal_priv.h>

#include <optional>
#include <string>
#include <vector>

/// What a file says of its values, what the user says, and what holds when both or neither speak: never a
/// guess. Each function adds to the notes what was taken from where, and throws UnsaidError, which names the
/// setting to give, when nothing is said, and InputError when one is said against the other.
namespace swingroom::bathymetry {

/// A unit as files write it, and what comes after it ("m LAT": metres, "LAT").
struct StatedUnit {
    std::string text;               ///< empty: nothing stated
    std::optional<double> metres{}; ///< of one unit; nothing if the word is not known
    std::string rest{};             ///< what comes after the unit: a vertical datum as a rule
};

/// The unit that the band, or else the file, states.
StatedUnit stated_unit(GDALDataset& dataset, GDALRasterBand& band);

/// Metres of one unit of the depths.
/// @param metres_by_format  the format knows no other unit
double unit_of(const StatedUnit& stated, bool metres_by_format, const BathymetryRequest& request,
               std::vector<Fact>& notes);

/// Whether values are depths or heights.
struct Sign {
    bool down = false;    ///< true for depths
    bool by_user = false; ///< whether only the user says so
};
/// The sign of the values.
Sign sign_of(GDALDataset& dataset, const BandValues& depths, const BathymetryRequest& request,
             std::vector<Fact>& notes);

/// Chart datum is less than this above or below any datum that depths are given to, metres.
inline constexpr double highest_datum_m = 200;
/// Height of chart datum above the raster's own datum, metres; 0 where a raster says it.
/// @param by_raster  the heights of that raster, for people
double chart_datum_of(GDALDataset& dataset, const StatedUnit& unit, const BathymetryRequest& request,
                      const std::string& by_raster, std::vector<Fact>& notes);

/// The vertical datum that a file names, by its CRS or behind its unit, where that is none of charts; empty
/// where it names one of charts, or none.
std::string foreign_datum_of(GDALDataset& dataset, const StatedUnit& unit);
/// The vertical datum that a raster names, whichever; empty: none.
std::string datum_of(GDALDataset& dataset, const StatedUnit& unit);

/// Metres of one unit of a band of uncertainties: that of the depths unless it states its own.
double uncertainty_unit_of(GDALRasterBand& band, double depth_unit_m, const BathymetryRequest& request);

/// @param band  that holds the uncertainty, 1-based; 0 for none
DepthUncertainty uncertainty_of(int band, const BathymetryRequest& request, std::vector<Fact>& notes);

/// Whether the raster is a survey: what the user says, else what its format says.
bool survey_of(GDALDataset& dataset, const BathymetryRequest& request, std::vector<Fact>& notes);
/// A day that a survey was measured on or before, as 20240131; 0: not known. By the metadata of BAG (the end
/// of its time, else when the file was made) and of S-102 (when it was issued): no other format has a date of
/// the measuring.
int survey_day_of(GDALDataset& dataset, std::vector<Fact>& notes);

/// Tells of a band's scale and offset, if it has any, and whether they are from the file or its sidecar.
/// @param what  "scale"
void tell_scaling(GDALDataset& dataset, int band, const std::string& file, const std::string& what,
                  std::vector<Fact>& notes);

} // namespace swingroom::bathymetry
