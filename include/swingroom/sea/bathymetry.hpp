#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/grid.hpp"
#include "swingroom/sea/warning.hpp"
#include "swingroom/water/uncertainty.hpp"

#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// What the user says about a bathymetry raster; what is not said is read from the file where its format
/// defines it, else refused.
struct BathymetryRequest {
    std::string file;                            ///< its path
    std::optional<bool> positive_down;           ///< whether its values are depths or heights
    std::optional<std::string> depth_unit;       ///< of its values: m, ft, fm, ...
    std::optional<double> chart_datum_m;         ///< height of chart datum above the raster's own datum
    std::optional<DepthUncertainty> uncertainty; ///< how far its depths may be off
    std::optional<std::string> crs;              ///< for a raster that names none
    std::optional<std::string> variable;         ///< of a NetCDF file that holds several grids
    /// Whether it is a survey, see SurveyTerms; none: what its format says.
    std::optional<bool> survey{};
    /// A raster of what `chart_datum_m` says, in its place: its least and its greatest height count of all
    /// cells that a cell of the bathymetry touches. In metres unless it states another unit.
    std::optional<std::string> chart_datum_file{};

    /// Whether the same is said of the same file.
    friend bool operator==(const BathymetryRequest&, const BathymetryRequest&) = default;
};

/// What makes a raster a survey, which speaks in the place of a chart's depth areas. All others are models.
struct SurveyTerms {
    bool is_survey = false; ///< by its format (BAG, S-102), or because the user says so
    /// The longer side of its largest cells on the ground, metres.
    double cell_m = std::numeric_limits<double>::infinity();
    int measured_by = 0; ///< a day that it was measured on or before, as 20240131; 0: not known
};

/// Chart depths of a block: metres below chart datum, positive down, NaN where unsurveyed.
struct DepthPlanes {
    Plane<float> shoal_m; ///< depth less its uncertainty, rounded down; of a cell's shoalest sounding
    Plane<float> deep_m;  ///< depth plus it, rounded up; of its deepest
    /// Which of DepthSource::sources() the shoal depth is from, the first being 1; 0 where unsurveyed.
    /// Without a window where there is only one.
    Plane<std::uint8_t> source;
    /// Filled by DepthSource::read_with_parts alone, else without a window: 1 where only a part of the cell
    /// is known. The two depths then bound that part, and are none of the cell.
    Plane<std::uint8_t> partial;
    /// Filled by DepthSource::read_with_parts alone, else without a window: where several sources bound the
    /// cell the last of them, the first being 1; 0 where one speaks alone.
    Plane<std::uint8_t> joined;
    /// 1 where the deep side is the deeper edge of an area of a chart, so that the depth may be anywhere in a
    /// wide band. Without a window where no source has areas; whoever asks empties it first.
    Plane<std::uint8_t> banded;
    /// 1 where a survey speaks in the place of a chart's depth area, and the two differ by more than both
    /// uncertainties, or that area was surveyed later. Without a window where no chart lies over a survey;
    /// whoever asks empties it first.
    Plane<std::uint8_t> differs;
};

/// What a chart says of cells for the case that a survey speaks in the place of its depth areas. Depths in
/// metres below chart datum, uncertainty counted, rounded the safe way; NaN where it says nothing of the
/// kind.
struct BesideSurvey {
    /// The side of the largest cells that a survey may have, metres; 0: none counts here.
    Plane<float> cell_m;
    /// The best zone of confidence that touches the cell (a code of CATZOC): how sure a survey has to be.
    Plane<std::uint8_t> zone;
    /// The shoal side of all that bounds a survey, too, and which of DepthSource::sources() it is from.
    Plane<float> shoal_m;
    /// See `shoal_m`; 0: none.
    Plane<std::uint8_t> source;
    /// How much may stand above what is surveyed, metres, and which of the sources says so.
    Plane<float> standing_m;
    /// See `standing_m`; 0: none.
    Plane<std::uint8_t> standing_source;
    /// The two sides of the depth areas that do not bound a survey.
    Plane<float> area_shoal_m, area_deep_m;
    /// When the latest of the zones of confidence was surveyed, as 20240131; 0: not said.
    Plane<int> surveyed;

    /// A chart that says nothing of a window, and lets no survey count.
    void reset(Window where);
};

/// Chart depths by window. Sign, unit, datum, nodata and format end behind this.
struct DepthSource {
    virtual ~DepthSource() = default;
    /// The cells that it has depths of.
    [[nodiscard]] virtual const Grid& grid() const = 0;
    /// Fills the planes for a window, which may reach outside the raster: NaN and 0 there. Safe to call from
    /// several threads.   @throws IoError when reading fails
    virtual void read(Window where, DepthPlanes& depths) const = 0;
    /// As read(), but cells that are known only in part keep what is known of them (DepthPlanes::partial),
    /// for another source that knows the rest. Sources that know a cell whole or not at all have nothing to
    /// add.
    virtual void read_with_parts(Window where, DepthPlanes& depths) const {
        read(where, depths);
        depths.partial.reset({});
        depths.joined.reset({});
    }
    /// As read(), with what a chart says where a survey may speak. Other sources have nothing to say of it.
    virtual void read_beside_survey(Window where, DepthPlanes& depths, BesideSurvey& beside) const {
        read(where, depths);
        beside.reset(where);
    }
    /// Bytes of the blocks of its files, decoded, that a window touches, about: what has to stay in memory
    /// for none of them to be decoded again when the windows beside it are read. 0: it decodes nothing.
    [[nodiscard]] virtual std::int64_t decoded_bytes(Window) const { return 0; }
    /// Half of how far the two planes can be apart in any cell, in metres (a bound, not a statistic).
    [[nodiscard]] virtual double greatest_uncertainty_m() const = 0;
    /// What was read from the file, what the user said, what GDAL warned of, for the provenance.
    [[nodiscard]] virtual std::vector<Fact> assumptions() const = 0;
    /// What is doubtful in what the user said of it, by what the file holds.
    [[nodiscard]] virtual std::vector<Warning> doubts() const { return {}; }
    /// The file and its sidecars that bore on the result, for the manifest's digests.
    [[nodiscard]] virtual std::vector<std::string> files() const = 0;
    /// What depths are taken from, at most `most_sources`: rasters by their file names, the finest first.
    [[nodiscard]] virtual std::vector<std::string> sources() const { return {"depths"}; }
    /// Which of sources() are surveys, in their order.
    [[nodiscard]] virtual std::vector<SurveyTerms> survey_terms() const {
        return std::vector<SurveyTerms>(sources().size());
    }
};

/// A byte tells them apart, and 0 is none.
inline constexpr std::size_t most_sources = 255;

/// Opens a raster in any format GDAL reads.
/// @throws UnsaidError CRS, sign, unit, datum, uncertainty or which of several grids, neither in the file nor
/// said
/// @throws InputError  no such file, a vector file, no or a rotated or impossible geotransform, something
///                     said against the file
/// @throws IoError     truncated or unreadable
std::unique_ptr<DepthSource> open_bathymetry(const BathymetryRequest& request);

/// Opens one raster or several, which are then a `mosaic`.
/// @throws InputError  also for a file that is given twice
std::unique_ptr<DepthSource> open_bathymetry(const std::vector<BathymetryRequest>& requests);

/// Several rasters as one: the finest by the ground size of its cells (within 1 % of each other those given
/// first) as it is, the others where finer ones have no depth. The grid is that of the finest, extended in
/// whole cells as far as the others reach.
///
/// A cell's shoal is the shoalest and its deep the deepest of all cells of the other raster that share some
/// of its area, as far as the transformation between the two is certain. The finest raster that knows
/// anything of a cell speaks alone if it knows the whole of it. If it knows only a part, all rasters that
/// know any part of the cell count, and the cell is surveyed only if together they know the whole of it. What
/// shares less than 1e-5 of a cell's side is rounding, not area. Longitudes may differ by whole turns. Memory
/// depends on the window read, not on the rasters' size.
/// @pre each has one source
/// @throws InputError  two that no known transformation ties, or a grid that would be too large
std::unique_ptr<DepthSource> mosaic(std::vector<std::unique_ptr<DepthSource>> rasters);

/// A chart laid over a raster of the same grid. Where both have a depth the shoaler counts for the keel; for
/// the rode the raster's deep side, since a chart tells of an area only between which contours it lies,
/// unless even the chart's shoal side is deeper. Where the raster is a survey that counts against the chart
/// (BesideSurvey::cell_m, and no less certain than the chart's zone of confidence) it does so with what
/// bounds a survey alone. Of a cell that several rasters bound, all of them up to the last must be surveys.
/// Where one has a depth, that one; a raster that knows only a part of the cell then bounds it all the same.
/// A chart that gives a shoal side alone (ChartGaps::bounds) only ever makes the raster shoaler. The source
/// is the one of the shoal depth, the raster's if they are equal; the chart's sources come after the
/// raster's.
std::unique_ptr<DepthSource> chart_over_raster(std::unique_ptr<DepthSource> raster,
                                               std::unique_ptr<DepthSource> chart);

/// Depths held in memory, for tests and trials.
std::unique_ptr<DepthSource> memory_bathymetry(Grid grid, std::vector<float> depth_m,
                                               DepthUncertainty uncertainty);

} // namespace swingroom
