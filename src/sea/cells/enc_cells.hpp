#pragma once

#include "swingroom/water/uncertainty.hpp"

#include "sea/files/vector_file.hpp"
#include "sea/ground/vicinity.hpp"

#include <ogr_geometry.h>

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// What S-57 cells say of themselves: scale, coverage, quality, accuracy, and which of several counts where.
namespace swingroom {

/// In longitudes and latitudes wherever it is of a chart; null where there is nothing.
using OwnedGeometry = std::unique_ptr<OGRGeometry>;

/// About two centimetres: what rounded coordinates may leave open between neighbouring areas.
inline constexpr double seam_deg = 2e-7;

/// A geometry that many others are compared with.
class Region {
public:
    Region() = default; ///< nothing
    /// Null stands for nothing, too.
    explicit Region(OwnedGeometry geometry);
    /// Null if it is nothing.
    [[nodiscard]] const OGRGeometry* geometry() const { return geometry_.get(); }
    /// Whether both share at least a point, in the same turn of longitudes.
    [[nodiscard]] bool meets(const OGRGeometry& other) const;
    /// Whether all of the other lies within.
    [[nodiscard]] bool holds(const OGRGeometry& other) const;

private:
    using Predicate = int (*)(OGRPreparedGeometryH prepared, OGRGeometryH other);
    [[nodiscard]] bool compares(const OGRGeometry& other, Predicate predicate) const;

    OwnedGeometry geometry_;
    OGREnvelope box_;
    OGRPreparedGeometryUniquePtr prepared_;
};

/// What of a geometry lies outside a region: null if that is nothing. What cannot be cut is kept whole.
OwnedGeometry without(const OGRGeometry& geometry, const Region& finer);

/// Zones of confidence (CATZOC of M_QUAL): 1 A1, 2 A2, 3 B, 4 C, 5 D, 6 not assessed. S-57 appendix A.
inline constexpr int zone_not_assessed = 6;

/// Uncertainty of depths in a zone, linear in depth, by IHO S-68 1.0.0 table 6-2. D and what is not assessed
/// have no published numbers: C's, as the least that it can be.
DepthUncertainty zone_uncertainty(int zone);
/// Half-width of charted positions in a zone, metres, by S-68 table 6-1; D and not assessed as C.
double zone_position_m(int zone);

/// What a quality of a position (QUAPOS) says of its half-width, metres; 0: nothing.
double quality_position_m(int quality);

/// What one S-57 cell says of itself, read when it is made.
class EncCell {
public:
    /// @throws InputError  depths that are not in metres, positions that are not on WGS 84
    /// @throws IoError     pieces that cannot be read
    explicit EncCell(const VectorFile& file);

    /// The file of the cell itself, as the user named it.
    [[nodiscard]] const std::string& path() const { return path_; }
    [[nodiscard]] int scale() const { return scale_; } ///< 1 to this many; 0: not stated
    /// "QQ5HAVEN.000, edition 2, update 1 of 20260401, 1:10000, usage 5, soundings on MLLW"
    [[nodiscard]] std::string description() const;
    /// The level that heights and clearances are given over: a code of VERDAT; 0: not stated.
    [[nodiscard]] int height_datum() const { return height_datum_; }
    /// The level that depths are given below: a code of VERDAT; 0: not stated.
    [[nodiscard]] int sounding_datum() const { return sounding_datum_; }
    /// What is doubtful in it for a run: a sentence each, without the cell's name.
    [[nodiscard]] const std::vector<std::string>& doubts() const { return doubts_; }
    /// The day of its edition or last update, as 20240131; 0: not stated.
    [[nodiscard]] int issued() const;
    /// Longitude and latitude of what it covers with data; none if it does not say.
    [[nodiscard]] const OGRGeometry* covered() const { return covered_.get(); }

    /// The worst zone that a geometry meets; not assessed where some of it lies in none.
    [[nodiscard]] int zone_of(const OGRGeometry& geometry) const;
    /// The same by boxes alone, which is quick: no better than zone_of() but where a geometry that meets the
    /// box of a zone lies beyond all zones with some of it.
    [[nodiscard]] int zone_by_box(const OGRGeometry& geometry) const;
    /// Share of the covered area by zone of confidence, by code; what no zone covers is not assessed.
    [[nodiscard]] std::map<int, double> zone_shares() const;
    /// One area of a quality of data (M_QUAL).
    struct Zone {
        /// Where it holds, in longitudes and latitudes.
        Region area;
        /// Its zone of confidence, 1 to 6.
        int code = zone_not_assessed;
        /// The last day that it was surveyed on (SUREND), else that of its source (SORDAT), as 20240131; 0:
        /// it says neither.
        int surveyed = 0;
        OGREnvelope box{}; ///< of the area
    };
    /// All areas of quality, in the order of the cell; they may overlap, where the worst counts.
    [[nodiscard]] const std::vector<Zone>& zones() const { return zones_; }
    /// Where it has data and no zone, of what is near; none if there is no such place, or if it does not say
    /// what it covers.
    [[nodiscard]] OwnedGeometry unassessed(const Vicinity& near) const;

    /// Greatest half-width of the positions that a feature is made of, metres: as stated (POSACC), else that
    /// of the quality of a point's position (QUAPOS); 0 if none is stated.
    [[nodiscard]] double position_accuracy_m(const OGRFeature& feature) const;

    /// The worst quality of the positions that a feature is made of: a code of QUAPOS; 0 if none is stated.
    [[nodiscard]] int position_quality(const OGRFeature& feature) const;

private:
    using RecordName = std::pair<int, int>;

    void read_header(OGRFeature& header, const std::string& path);
    void read_meta_object(std::string_view object_class, const OGRFeature& object);
    void add_zone(const OGRFeature& quality);
    void read_accuracies(OGRLayer& primitives);
    /// Areas of a datum of their own.
    void read_datum(const OGRFeature& object, const char* object_class, const char* attribute,
                    int of_the_cell);
    void judge_datums();
    /// Where it has data and no zone, of a box in its own turn of longitudes; none if there is no such place.
    [[nodiscard]] OwnedGeometry unassessed_in(const OGREnvelope& box) const;
    [[nodiscard]] bool meets_unassessed(const OGRGeometry& geometry) const;
    [[nodiscard]] OwnedGeometry zones_joined() const;
    /// All zones together, joined when it is first asked for: that is slow, and hardly any run asks.
    [[nodiscard]] const Region& assessed() const;
    /// What of the coverage the zones leave open, seams included; null if that cannot be found out.
    [[nodiscard]] OwnedGeometry outside_zones() const;
    /// The same without seams, found out when it is first asked for.
    [[nodiscard]] const Region& unassessed() const;

    std::string path_, name_, edition_, update_, issued_;
    int scale_ = 0, usage_ = 0, updates_ = 0;
    int sounding_datum_ = 0, height_datum_ = 0;
    OwnedGeometry covered_;
    mutable std::optional<Region> assessed_, unassessed_;
    std::vector<Zone> zones_;
    std::vector<std::string> doubts_;
    std::map<RecordName, double> accuracies_m_;
    std::map<RecordName, int> qualities_; ///< of positions, those worse than surveyed
};

/// All cells of a job, or those that somebody asks about.
class EncCells {
public:
    /// @param cells  none is null
    explicit EncCells(std::vector<std::shared_ptr<const EncCell>> cells);

    /// Whether there is no cell.
    [[nodiscard]] bool empty() const { return cells_.empty(); }
    /// In the order in which they were given.
    [[nodiscard]] const std::vector<std::shared_ptr<const EncCell>>& cells() const { return cells_; }
    /// The cell that a file is; none if it is no cell.
    [[nodiscard]] const EncCell* of(const VectorFile& file) const;
    /// What of a feature counts: without what cells of a larger scale cover. Nothing if that is all of it.
    /// What cannot be cut is kept whole.
    [[nodiscard]] OwnedGeometry clipped_by_scale(const EncCell& cell, const OGRGeometry& geometry) const;
    /// What cells of a larger scale than one of these cover.
    [[nodiscard]] const Region& finer_than(const EncCell& cell) const;
    /// What all cells that say so cover together.   @returns none if none of them says it
    [[nodiscard]] const OGRGeometry* covered() const { return covered_.get(); }

private:
    std::vector<std::shared_ptr<const EncCell>> cells_;
    std::vector<Region> finer_; ///< by cell: what cells of a larger scale cover; nothing: no such cell
    OwnedGeometry covered_;
};

/// Name of a vertical datum by its code (VERDAT, S-57 attribute 185); "code 99" if no table here lists it.
std::string vertical_datum_name(int code);

} // namespace swingroom
