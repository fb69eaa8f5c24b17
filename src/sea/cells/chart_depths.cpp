#include "swingroom/sea/chart_depths.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"
#include "swingroom/base/rounding.hpp"

#include "room/shape_field.hpp"
#include "sea/cells/chart_gaps.hpp"
#include "sea/cells/charted.hpp"
#include "sea/cells/enc_cells.hpp"
#include "sea/cells/opened_files.hpp"
#include "sea/files/attributes.hpp"
#include "sea/files/vector_file.hpp"
#include "sea/geometry/coverage.hpp"
#include "sea/hazards/placer.hpp"
#include "sea/raster/bathymetry_values.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cctype>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <optional>
#include <span>
#include <string_view>

namespace swingroom {
namespace {

using bathymetry::unsurveyed;

constexpr double infinite = std::numeric_limits<double>::infinity();
/// What land counts as, and what floats or stands like land; S-101 portrayal, which takes 15 m for the same.
constexpr double land_m = -10;
/// The deep edge of an area that states none.
constexpr double no_rode_reaches_m = no_deep_edge_m;
static_assert(no_deep_edge_m == bathymetry::deepest_m, "no depth of a raster is beyond it");
/// How far a pipeline may stand above the charted depth when nothing is stated: notes of the Norwegian
/// charts.
constexpr double pipeline_height_m = 2;

/// What an object of the chart says of the depth where it lies.
struct Piece {
    enum class Says {
        area,     ///< between the two edges
        sounding, ///< no more than this, whatever the area says
        less,     ///< so much may stand above the charted depth
        zone,     ///< the zone of confidence
        doubtful, ///< no more than the shallow edge, and no depth to rely on
        nothing,  ///< unsurveyed
    };
    Says says = Says::nothing;
    double shoal_m = 0, deep_m = 0; ///< of an area; `shoal_m` also of a sounding, and what may be less
    int zone = 0;
    std::uint8_t source = 0; ///< the cell, the first being 1
};

bool one_of(std::string_view name, std::initializer_list<std::string_view> names) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

/// Inland cells write the classes that they share with the sea in small letters.
std::string in_capitals(std::string name) {
    std::transform(name.begin(), name.end(), name.begin(),
                   [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    return name;
}

/// The skin of the earth: areas of these classes tile what a cell covers (group 1 of the ENC product
/// specification of IHO S-57).
bool is_skin(std::string_view object_class) {
    return one_of(object_class, {"DEPARE", "DRGARE", "FLODOC", "HULKES", "LNDARE", "PONTON", "UNSARE"});
}

/// QUASOU of areas whose shallow edge is none to rely on: unknown, doubtful, unreliable, reported, and
/// dredged once but not regularly maintained. IHO S-57 appendix A.
const std::vector<int> doubtful_areas = {2, 3, 4, 8, 9, 11};

std::optional<Piece> depth_range(const OGRFeature& feature) {
    const auto shallow_m = number_of(feature, "DRVAL1");
    if (!shallow_m) return Piece{};
    const Codes quality = codes_of(feature, "QUASOU");
    if (!quality.readable || quality.has_any(doubtful_areas)) {
        return Piece{Piece::Says::doubtful, *shallow_m, -infinite};
    }
    const double deep_m = number_of(feature, "DRVAL2").value_or(no_rode_reaches_m);
    return Piece{Piece::Says::area, std::min(*shallow_m, deep_m), std::max(*shallow_m, deep_m)};
}

std::optional<Piece> sounding(const OGRFeature& feature, const char* attribute) {
    const auto depth_m = number_of(feature, attribute);
    if (!depth_m) return std::nullopt;
    return Piece{Piece::Says::sounding, *depth_m, -infinite};
}

std::optional<Piece> standing(const OGRFeature& feature, double not_stated_m) {
    const double height_m = std::max(0.0, number_of(feature, "VERLEN").value_or(not_stated_m));
    if (height_m == 0) return std::nullopt;
    return Piece{Piece::Says::less, height_m, 0};
}

std::optional<Piece> pipeline(const OGRFeature& feature) {
    if (number_of(feature, "DRVAL1")) return sounding(feature, "DRVAL1");
    const bool buried = number_of(feature, "BURDEP").value_or(0) > 0;
    return standing(feature, buried ? 0 : pipeline_height_m);
}

/// What an object says of depths; nothing if it does not speak of them.
std::optional<Piece> piece_of(std::string_view object_class, const OGRFeature& feature) {
    if (one_of(object_class, {"DEPARE", "DRGARE"})) return depth_range(feature);
    if (one_of(object_class, {"LNDARE", "FLODOC", "HULKES", "PONTON"})) {
        return Piece{Piece::Says::area, land_m, land_m};
    }
    if (object_class == "UNSARE") return Piece{};
    if (object_class == "SOUNDG") return sounding(feature, "DEPTH");
    if (object_class == "SWPARE") return sounding(feature, "DRVAL1");
    if (one_of(object_class, {"OBSTRN", "WRECKS", "UWTROC", "MARCUL"})) return sounding(feature, "VALSOU");
    if (object_class == "CBLSUB") return sounding(feature, "DRVAL1");
    if (object_class == "SNDWAV") return standing(feature, 0);
    if (object_class == "PIPSOL") return pipeline(feature);
    return std::nullopt;
}

/// An object of a cell that speaks of depths.
struct Statement {
    const EncCell* cell;
    const OGRGeometry* geometry; ///< of a feature that its file keeps
    OGREnvelope box;
    std::string name; ///< for messages
    Piece piece;
    bool is_skin;
    /// In grid space, once a part of the sea has asked for it: the next one is often near.
    mutable std::optional<std::vector<Shape>> placed;
};

} // namespace

/// By cell, in the order of the charts.
struct ChartStatements {
    struct OfCell {
        const VectorFile* file;
        const EncCell* cell;
        std::vector<Statement> statements;
    };
    std::vector<OfCell> cells;
    mutable Placer placer;
    mutable Placer::From from;

    ChartStatements(const Grid& grid, const GroundMetric& metric)
        : placer(grid, metric), from(placer, wgs84_lonlat(), 1, "charts") {}
};

namespace {

std::vector<Statement> statements_of(const VectorFile& file, const EncCell& cell, std::uint8_t source) {
    std::vector<Statement> found;
    file.each_feature([&](OGRLayer& layer, OGRFeature& feature) {
        const std::string object_class = in_capitals(layer.GetName());
        // One whose piece of geometry is lost says nothing any more, not even how deep.
        if (object_class == "SOUNDG" && !feature.GetGeometryRef()) {
            throw IoError(file.path(), "has a sounding without a place: it is not whole");
        }
        auto piece = piece_of(object_class, feature);
        if (!piece) return;
        piece->source = source;
        Statement statement{
            &cell,
            feature.GetGeometryRef(),
            {},
            file.path() + ", layer " + object_class + ", feature #" + std::to_string(feature.GetFID()),
            *piece,
            is_skin(object_class),
            std::nullopt};
        if (!statement.geometry) throw InputError(statement.name, "has no geometry", "repair the cell");
        statement.geometry->getEnvelope(&statement.box);
        found.push_back(std::move(statement));
    });
    return found;
}

/// Takes what cells say of depths into grid space, as far as it is near.
class Collector {
public:
    Collector(const ChartStatements& charts, const EncCells& cells, const Vicinity& near)
        : cells_(cells), near_(near), placer_(charts.placer), from_(charts.from) {
        OGRMultiPolygon known;
        for (const ChartStatements::OfCell& chart : charts.cells) {
            skin_.empty();
            for (const Statement& statement : chart.statements) {
                if (!near_.may_hold(statement.box)) continue;
                place(statement);
                if (statement.is_skin) add_to_skin(*statement.geometry);
            }
            for (const EncCell::Zone& zone : chart.cell->zones()) {
                Piece piece;
                piece.says = Piece::Says::zone;
                piece.zone = zone.code;
                if (is_near(*zone.area.geometry())) {
                    place(*chart.cell, *zone.area.geometry(), chart.file->path() + ", M_QUAL", piece);
                }
            }
            add_unassessed(*chart.file, *chart.cell);
            add_skin_of(*chart.cell, known);
        }
        add_gaps(known);
    }

    std::vector<Shape> shapes; ///< what lies where ...
    std::vector<Piece> pieces; ///< ... and what it says

private:
    [[nodiscard]] bool is_near(const OGRGeometry& geometry) const {
        OGREnvelope box;
        geometry.getEnvelope(&box);
        return near_.may_hold(box);
    }

    void place(const Statement& statement) {
        if (!near_.box()) { // all at once: nobody will come again
            place(*statement.cell, *statement.geometry, statement.name, statement.piece);
            return;
        }
        if (!statement.placed) {
            const OwnedGeometry counts = cells_.clipped_by_scale(*statement.cell, *statement.geometry);
            statement.placed.emplace();
            if (counts) statement.placed = from_.place(*counts, statement.name);
        }
        for (const Shape& shape : *statement.placed) {
            add(shape, statement.piece);
        }
    }

    void place(const EncCell& cell, const OGRGeometry& geometry, const std::string& name,
               const Piece& piece) {
        if (const OwnedGeometry counts = cells_.clipped_by_scale(cell, geometry)) {
            for (Shape& shape : from_.place(*counts, name)) {
                add(std::move(shape), piece);
            }
        }
    }

    /// What is near of an area; all of it where everything is, since only whole areas are a coverage.
    void add_to_skin(const OGRGeometry& area) {
        if (!near_.box()) {
            add_polygons(area, skin_);
            return;
        }
        const GdalMessages quiet;
        OGREnvelope box;
        area.getEnvelope(&box);
        const double turn =
            360 * std::round((box.MinX + box.MaxX - near_.box()->MinX - near_.box()->MaxX) / 720);
        OGREnvelope around = *near_.box();
        around.MinX += turn;
        around.MaxX += turn;
        const OwnedGeometry part(area.Intersection(box_of(around).get()));
        add_polygons(part ? *part : area, skin_);
    }

    /// Where a cell has data and no zone of confidence.
    void add_unassessed(const VectorFile& file, const EncCell& cell) {
        const OwnedGeometry unassessed = cell.unassessed(near_);
        if (!unassessed) return; // cells of the grid in no zone count as not assessed anyway
        Piece piece;
        piece.says = Piece::Says::zone;
        piece.zone = zone_not_assessed;
        place(cell, *unassessed, file.path() + ", M_QUAL", piece);
    }

    void add(Shape shape, const Piece& piece) {
        if (!placer_.give_margin(shape, 0, placer_.outside_loss(1))) return;
        shapes.push_back(std::move(shape));
        pieces.push_back(piece);
    }

    static void add_polygons(const OGRGeometry& geometry, OGRMultiPolygon& to) {
        const auto add_part = [&to](const OGRGeometry& part) {
            if (wkbFlatten(part.getGeometryType()) == wkbPolygon) to.addGeometry(&part);
        };
        if (OGR_GT_IsSubClassOf(geometry.getGeometryType(), wkbGeometryCollection)) {
            for (const OGRGeometry* part : *geometry.toGeometryCollection()) {
                add_part(*part);
            }
        } else {
            add_part(geometry);
        }
    }

    /// The skin of one cell is a coverage as long as nothing is cut out of it: joined first, then cut.
    void add_skin_of(const EncCell& cell, OGRMultiPolygon& known) {
        const GdalMessages messages;
        const OwnedGeometry together = united(skin_);
        if (!together) {
            throw InputError(Setting::chart,
                             "the depth areas of the cells cannot be joined (" + messages.failure() + ")",
                             "give one cell at a time to find the broken one");
        }
        if (const OwnedGeometry counts = cells_.clipped_by_scale(cell, *together)) {
            add_polygons(*counts, known);
        }
    }

    /// Where the skin of the earth has a hole, or no cell says that it has data, nothing is known.
    /// @param skins  of all cells
    void add_gaps(const OGRMultiPolygon& skins) {
        const GdalMessages messages;
        OwnedGeometry known = united(skins);
        if (!known) {
            throw InputError(Setting::chart,
                             "the depth areas of the cells cannot be joined (" + messages.failure() + ")",
                             "give one cell at a time to find the broken one");
        }
        if (cells_.covered()) {
            if (OwnedGeometry both{known->Intersection(cells_.covered())}) known = std::move(both);
        }
        const OwnedGeometry open =
            open_beside(*known, near_.box() ? *near_.box() : lonlat_bounds(placer_.grid()));
        if (!open) return;
        for (Shape& gap : from_.place(*open, "what no chart covers")) {
            gap.placement_allowance_m += seam_m;
            add(std::move(gap), Piece{});
        }
    }

    const EncCells& cells_;
    const Vicinity& near_;
    Placer& placer_;
    Placer::From& from_;
    OGRMultiPolygon skin_; ///< of a cell
};

/// Depths of a window as they are gathered, before uncertainty, each rounded its safe way.
struct Gathered {
    Plane<float> shoal_m, deep_m, less_m;
    Plane<std::uint8_t> zone, source, known;

    explicit Gathered(Window window)
        : shoal_m(window, std::numeric_limits<float>::infinity()),
          deep_m(window, -std::numeric_limits<float>::infinity()), less_m(window, 0), zone(window, 0),
          source(window, 0), known(window, 1) {}

    /// All of a cell but the source.
    struct Cell {
        float shoal_m = 0, deep_m = 0, less_m = 0;
        std::uint8_t zone = 0, known = 0;
        /// To the bit: 0 and -0 are not answered by the same bytes.
        [[nodiscard]] bool same_as(const Cell& o) const {
            const auto bits = [](float v) { return std::bit_cast<std::uint32_t>(v); };
            return bits(shoal_m) == bits(o.shoal_m) && bits(deep_m) == bits(o.deep_m) &&
                   bits(less_m) == bits(o.less_m) && zone == o.zone && known == o.known;
        }
    };
    /// @param i  by the order of the planes
    [[nodiscard]] Cell cell(std::size_t i) const {
        return {shoal_m.data()[i], deep_m.data()[i], less_m.data()[i], zone.data()[i], known.data()[i]};
    }

    /// Takes what a piece says of the cells of a row from first to last.
    void take(const Piece& piece, int row, int first, int last) {
        const int cells = last - first + 1;
        switch (piece.says) {
        case Piece::Says::area:
        case Piece::Says::sounding:
            take_depth(piece, row, first, last);
            break;
        case Piece::Says::less:
            raise(&less_m.at(first, row), cells, narrow_up(piece.shoal_m));
            break;
        case Piece::Says::zone:
            raise(&zone.at(first, row), cells, static_cast<std::uint8_t>(piece.zone));
            break;
        case Piece::Says::doubtful:
            take_depth(piece, row, first, last);
            std::fill_n(&known.at(first, row), cells, std::uint8_t{0});
            break;
        case Piece::Says::nothing:
            std::fill_n(&known.at(first, row), cells, std::uint8_t{0});
            break;
        }
    }

private:
    template <class T>
    static void raise(T* values, int count, T to) {
        for (int i = 0; i < count; ++i) {
            values[i] = std::max(values[i], to);
        }
    }
    void take_depth(const Piece& piece, int row, int first, int last) {
        const float piece_shoal_m = narrow_down(piece.shoal_m);
        for (int col = first; col <= last; ++col) {
            if (piece_shoal_m < shoal_m.at(col, row)) {
                shoal_m.at(col, row) = piece_shoal_m;
                source.at(col, row) = piece.source;
            }
        }
        raise(&deep_m.at(first, row), last - first + 1, narrow_up(piece.deep_m));
    }
};

class ChartDepths final : public DepthSource {
public:
    ChartDepths(std::span<const VectorFile> files, const EncCells& cells, const ChartStatements& statements,
                const Grid& grid, const GroundMetric& metric,
                const std::optional<DepthUncertainty>& uncertainty, ChartGaps gaps, const Vicinity& near,
                Window within)
        : grid_(grid), gaps_(gaps), uncertainty_(uncertainty) {
        for (const VectorFile& file : files) {
            sources_.push_back(file.path());
            for (const std::string& name : file.files()) {
                files_.push_back(name);
            }
        }
        std::sort(files_.begin(), files_.end());
        files_.erase(std::unique(files_.begin(), files_.end()), files_.end());
        for (const auto& cell : cells.cells()) {
            notes_.push_back({"", "chart " + cell->description()});
        }
        for (int zone = 0; zone <= zone_not_assessed; ++zone) {
            uncertainties_.push_back(uncertainty ? *uncertainty : zone_uncertainty(zone));
        }
        notes_.push_back({"uncertainty", uncertainty
                                             ? uncertainty->text()
                                             : "by the charts' zones of confidence, at least that of zone C "
                                               "where it is D, not assessed or lacking"});
        Collector collected(statements, cells, near);
        pieces_ = std::move(collected.pieces);
        field_.emplace(collected.shapes, grid.extent(), metric, within);
    }

    [[nodiscard]] const Grid& grid() const override { return grid_; }
    [[nodiscard]] double greatest_uncertainty_m() const override {
        return greatest_chart_uncertainty_m(uncertainty_);
    }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return notes_; }
    [[nodiscard]] std::vector<std::string> files() const override { return files_; }
    [[nodiscard]] std::vector<std::string> sources() const override { return sources_; }

    void read(Window where, DepthPlanes& depths) const override {
        Gathered gathered(where);
        field_->each_touched(
            where, [](std::size_t) { return true; },
            [&](std::size_t index, ShapePart, int row, int first, int last) {
                gathered.take(pieces_[index], row, first, last);
            });
        depths.shoal_m.reset(where, unsurveyed);
        depths.deep_m.reset(where, unsurveyed);
        const bool several = sources_.size() > 1;
        depths.source.reset(several ? where : Window{}, 0);
        depths.banded.reset(where, 0);
        // Neighbours mostly lie in the same objects.
        Gathered::Cell last;
        Answer answer = answer_to(last);
        for (std::size_t i = 0; i < depths.shoal_m.size(); ++i) {
            const Gathered::Cell cell = gathered.cell(i);
            if (!cell.same_as(last)) answer = answer_to(last = cell);
            if (!answer.counts) continue;
            depths.shoal_m.data()[i] = answer.shoal_m;
            depths.deep_m.data()[i] = answer.deep_m;
            depths.banded.data()[i] = std::isnan(answer.deep_m) ? 0 : 1;
            if (several) depths.source.data()[i] = gathered.source.data()[i];
        }
    }

private:
    /// What is said of a cell's depths in the end.
    struct Answer {
        bool counts = false;
        float shoal_m = unsurveyed, deep_m = unsurveyed;
    };
    [[nodiscard]] Answer answer_to(const Gathered::Cell& cell) const {
        const double shoal_m = static_cast<double>(cell.shoal_m) - static_cast<double>(cell.less_m);
        const auto deep_m = static_cast<double>(cell.deep_m);
        // A sounding alone, without an area around it, leaves most of its cell unknown.
        const bool known = cell.known != 0 && std::isfinite(deep_m);
        Answer answer;
        if (!known && (gaps_ == ChartGaps::unsurveyed || !std::isfinite(shoal_m))) return answer;
        const DepthUncertainty& uncertainty = uncertainties_[cell.zone];
        answer.counts = true;
        answer.shoal_m = narrow_down(shoal_m - uncertainty.at(shoal_m));
        if (known) {
            answer.deep_m = narrow_up(std::max(shoal_m, deep_m) + uncertainty.at(std::max(shoal_m, deep_m)));
        }
        return answer;
    }

    Grid grid_;
    ChartGaps gaps_;
    std::optional<DepthUncertainty> uncertainty_; ///< as said
    std::vector<std::string> sources_, files_;
    std::vector<Fact> notes_;
    std::vector<DepthUncertainty> uncertainties_; ///< by zone; 0: in none
    std::vector<Piece> pieces_;                   ///< of the field's shapes, in their order
    std::optional<ShapeField> field_;
};

/// Metres of a degree of longitude on the WGS 84 ellipsoid.
double lon_degree_m(double lat) {
    constexpr double radius_m = 6378137, eccentricity2 = 0.00669437999014;
    const double phi = lat * std::numbers::pi / 180;
    const double s = std::sin(phi);
    return std::numbers::pi / 180 * radius_m * std::cos(phi) / std::sqrt(1 - eccentricity2 * s * s);
}

/// No degree of latitude is longer, at the poles.
constexpr double longest_lat_degree_m = 111694;

} // namespace

Grid chart_grid(const EncCells& cells, double cell_m) {
    OGREnvelope all;
    for (const auto& cell : cells.cells()) {
        if (!cell->covered()) {
            throw InputError(cell->path(), "does not say what it covers (M_COVR)",
                             "give depths as a raster with " + Setting::bathymetry);
        }
        OGREnvelope one;
        cell->covered()->getEnvelope(&one);
        if (!(one.MinY >= -90 && one.MaxY <= 90 && one.MinX >= -540 && one.MaxX <= 540)) {
            throw InputError(cell->path(),
                             "says that it covers " + std::to_string(one.MinX) + " to " +
                                 std::to_string(one.MaxX) + " E, " + std::to_string(one.MinY) + " to " +
                                 std::to_string(one.MaxY) + " N, which is not on the earth",
                             "get the cell again");
        }
        // Cells on both sides of 180 degrees belong together.
        const double turn =
            all.IsInit() ? 360 * std::round(((all.MinX + all.MaxX) - (one.MinX + one.MaxX)) / 720) : 0;
        all.Merge(one.MinX + turn, one.MinY);
        all.Merge(one.MaxX + turn, one.MaxY);
    }
    const double step_y = cell_m / longest_lat_degree_m;
    // Of the outermost row, which may reach a little further than the charts.
    const double nearest_lat = all.MinY > step_y    ? all.MinY - step_y
                               : all.MaxY < -step_y ? all.MaxY + step_y
                                                    : 0;
    const double step_x = cell_m / lon_degree_m(nearest_lat);
    constexpr double most = 2e9; // windows count in int, and reach a swinging circle beyond the grid
    const double first_col = std::floor(all.MinX / step_x), first_row = std::floor(-all.MaxY / step_y);
    const double cols = std::ceil(all.MaxX / step_x) - first_col,
                 rows = std::ceil(-all.MinY / step_y) - first_row;
    if (!(cols < most && rows < most)) {
        throw InputError(Setting::cell, "is so small that cells cannot be counted", "give a greater one");
    }
    Grid grid;
    grid.cols = std::max(1, static_cast<int>(cols));
    grid.rows = std::max(1, static_cast<int>(rows));
    grid.origin_x = first_col * step_x;
    grid.origin_y = -first_row * step_y;
    grid.step_x = step_x;
    grid.step_y = -step_y;
    char* text = nullptr;
    wgs84_lonlat().exportToWkt(&text);
    grid.crs_wkt = text ? text : "";
    CPLFree(text);
    return grid;
}

Grid chart_grid(const std::vector<std::string>& charts, double cell_m) {
    return chart_grid(OpenedFiles(charts, {}).chart_cells(), cell_m);
}

/// Any two areas may share a cell of the grid.
double greatest_chart_uncertainty_m(const std::optional<DepthUncertainty>& uncertainty) {
    double widest_m = 0;
    for (int zone = 0; zone <= zone_not_assessed; ++zone) {
        widest_m = std::max(widest_m,
                            (uncertainty ? *uncertainty : zone_uncertainty(zone)).at(bathymetry::deepest_m));
    }
    return (bathymetry::deepest_m + bathymetry::highest_m) / 2 + widest_m;
}

std::shared_ptr<const ChartStatements> chart_statements(const OpenedFiles& files, const Grid& grid,
                                                        const GroundMetric& metric) {
    auto all = std::make_shared<ChartStatements>(grid, metric);
    std::uint8_t source = 0;
    for (const VectorFile& file : files.charts()) {
        const EncCell& cell = *files.chart_cells().of(file);
        all->cells.push_back({&file, &cell, statements_of(file, cell, ++source)});
    }
    return all;
}

std::unique_ptr<DepthSource> chart_depths(const OpenedFiles& files, const ChartStatements& statements,
                                          const Grid& grid, const GroundMetric& metric,
                                          const std::optional<DepthUncertainty>& uncertainty, ChartGaps gaps,
                                          const Vicinity& near, Window within) {
    return std::make_unique<ChartDepths>(files.charts(), files.chart_cells(), statements, grid, metric,
                                         uncertainty, gaps, near, within);
}

std::unique_ptr<DepthSource> open_chart_depths(const std::vector<std::string>& cells, const Grid& grid,
                                               const GroundMetric& metric,
                                               const std::optional<DepthUncertainty>& uncertainty,
                                               ChartGaps gaps) {
    const OpenedFiles opened(cells, {});
    return chart_depths(opened, *chart_statements(opened, grid, metric), grid, metric, uncertainty, gaps,
                        Vicinity(), grid.extent());
}

} // namespace swingroom
