#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/room/hazard_field.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/charted_depths.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/sea/hazards.hpp"
#include "swingroom/sea/inspection.hpp"
#include "swingroom/sea/place_names.hpp"
#include "swingroom/water/uncertainty.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// Charts that are to have a grid of their own, once they are open and before there is one.
struct ChartsAlone {
    int largest_scale = 0;             ///< 1 to this many; 0: none of them states one
    double greatest_uncertainty_m = 0; ///< as Sea::greatest_uncertainty_m()
    std::string source;                ///< as Sea::source()
    /// The grid that cells of a side, in metres, would make over them; see chart_grid().
    std::function<Grid(double cell_m)> grid;
};
/// Chooses the side of the cells of a grid for charts alone, metres.
using CellChoice = std::function<double(const ChartsAlone&)>;

/// What is looked at: files, and what is said of them.
struct SeaRequest {
    std::vector<BathymetryRequest> bathymetry; ///< none: depths of the charts alone
    std::vector<std::string> charts;           ///< S-57 cells: their depths and their hazards
    std::vector<std::string> hazards;          ///< other files of hazards
    /// What makes a hazard of a feature, of charts as of other files.
    std::vector<HazardRule> rules;
    double cell_m = 5;                                 ///< of the grid, for charts alone
    CellChoice choose_cell;                            ///< asked in the place of that; none: it stands
    std::optional<DepthUncertainty> chart_uncertainty; ///< for charts alone; none: by zone of confidence
    bool zone_margin = false;                          ///< see HazardTerms
    std::vector<std::string> allowed;                  ///< see HazardTerms
};

/// The hazards in a part of the sea.
struct SeaHazards {
    HazardSet found; ///< its hazards are in the field
    /// Prepared for the cells of the part alone: it marks all others as unsafe.
    std::unique_ptr<HazardField> hazards;
};

/// What there is in a part of the sea.
struct SeaPart : SeaHazards {
    std::unique_ptr<DepthSource> depths; ///< to be read within the part alone
};

class SeaSource;
struct SeaAccess;

/// Files that seas are opened of, kept open from one sea to the next: of a request that names files of the
/// request before, these are not opened again, nor is anything of them found out again, and where it names
/// the same files and asks the same of them the sea is the one before. No answer depends on what is kept.
///
/// Kept is what the last request named, and nothing else: memory is that of one sea, however many there
/// were. A file is opened anew where it, or one of those called the same up to the first dot beside it,
/// is not as it was when it was opened, and where that cannot be told for certain since it was changed just
/// before. Who looks at a sea asks in the end whether its files have changed meanwhile, and throws these away
/// where a run has failed.
///
/// Not to be used by several threads at once, nor while another sea of the same files is.
class SeaFiles {
public:
    SeaFiles();
    ~SeaFiles();
    SeaFiles(SeaFiles&&) noexcept;
    SeaFiles& operator=(SeaFiles&&) noexcept;

    /// To be asked when all of a sea has been looked at, since files are read as somebody asks.
    /// @throws IoError  a file that is open was written into, or another has its name
    void require_as_opened() const;

private:
    friend class Sea;
    class Kept;
    std::unique_ptr<Kept> kept_;
};

/// What there is, opened once and not made for any boat. Rasters and vector files are opened when it is made,
/// and each cell of a chart is read once; depths of charts and hazards are then placed for the part that is
/// asked for, so that a small part of a large chart is ready at once. No answer depends on which other parts
/// were asked for.
///
/// Not to be used by several threads at once; the parts that it hands out may.
class Sea {
public:
    /// Of files; open_recorded_sea() makes one of what parts of a run have recorded.
    /// @throws InputError, IoError  as open_bathymetry, chart_grid and read_hazards
    explicit Sea(SeaRequest request);
    /// The same of files that may be open already, and stay open.   @param files  need not outlive it
    Sea(SeaRequest request, SeaFiles& files);
    ~Sea();
    Sea(Sea&&) noexcept;
    Sea& operator=(Sea&&) noexcept;

    /// The grid that all cells are counted in: that of the finest raster, grown to what the others cover;
    /// without rasters one made over the charts.
    [[nodiscard]] const Grid& grid() const;
    /// From that grid to positions on earth and back.
    [[nodiscard]] const Georeference& georeference() const;
    /// The raster or chart that gives the grid, for messages.
    [[nodiscard]] const std::string& source() const;
    /// The ground size of its cells, computed when it is first asked for.
    [[nodiscard]] const GroundMetric& metric() const;
    /// What depths are taken from, as DepthSource::sources().
    [[nodiscard]] const std::vector<std::string>& sources() const;
    /// The files of depths, as DepthSource::files().
    [[nodiscard]] const std::vector<std::string>& depth_files() const;
    /// The rules of the request.
    [[nodiscard]] const std::vector<HazardRule>& rules() const;
    /// A bound over all parts, as DepthSource::greatest_uncertainty_m().
    [[nodiscard]] double greatest_uncertainty_m() const;

    /// Depths and hazards of a window of the grid and all that lies within the reach of it.
    [[nodiscard]] SeaPart part(Window window, double reach_m) const;
    /// The same of all of the grid. It is prepared once for all who look as far around, and stays prepared
    /// as long as the files stay open.
    [[nodiscard]] std::shared_ptr<const SeaPart> whole(double reach_m) const;
    /// The hazards of part() alone.
    [[nodiscard]] SeaHazards hazards(Window window, double reach_m) const;

    /// What the charts let expect at a place; it knows nothing where there are none.
    [[nodiscard]] const ChartedDepths& charted() const;

    /// What the charts, and cells among the other files, call the places of a window of the grid: by kind,
    /// those around its middle first.
    [[nodiscard]] std::vector<PlaceName> place_names(Window window) const;

    /// What each file is and what is doubtful in it, in the order of the request.
    [[nodiscard]] std::vector<Inspection> inspections(const Measures& measures) const;

private:
    friend struct SeaAccess;

    explicit Sea(std::shared_ptr<SeaSource> source);
    std::shared_ptr<SeaSource> source_;
};

} // namespace swingroom
