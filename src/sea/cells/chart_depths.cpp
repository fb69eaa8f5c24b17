#include "swingroom/sea/chart_depths.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"
#include "swingroom/base/rounding.hpp"

#include "base/scratch_pool.hpp"
#include "room/shape_field.hpp"
#include "sea/cells/chart_gaps.hpp"
#include "sea/cells/charted.hpp"
#include "sea/cells/depth_pieces.hpp"
#include "sea/cells/enc_cells.hpp"
#include "sea/cells/gathered_pieces.hpp"
#include "sea/cells/opened_files.hpp"
#include "sea/files/vector_file.hpp"
#include "sea/geometry/coverage.hpp"
#include "sea/hazards/placer.hpp"
#include "sea/raster/bathymetry_values.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string_view>

namespace swingroom {
namespace {

using bathymetry::unsurveyed;

/// An object of a cell that speaks of depths.
struct Statement {
    const EncCell* cell;
    const OGRGeometry* geometry; ///< of a feature that its file keeps
    OGREnvelope box;
    std::string name; ///< for messages
    DepthPiece piece;
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
        const std::string object_class = class_in_capitals(layer.GetName());
        // One whose piece of geometry is lost says nothing any more, not even how deep.
        if (object_class == "SOUNDG" && !feature.GetGeometryRef()) {
            throw IoError(file.path(), "has a sounding without a place: it is not whole");
        }
        auto piece = piece_of(object_class, feature);
        if (!piece) return;
        piece->source = source;
        piece->scale = cell.scale();
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
    Collector(const ChartStatements& charts, const EncCells& cells, const std::vector<SoundingDisc>& discs,
              const Vicinity& near)
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
                DepthPiece piece;
                piece.says = DepthPiece::Says::zone;
                piece.zone = zone.code;
                piece.surveyed = zone.surveyed;
                piece.scale = chart.cell->scale();
                if (is_near(*zone.area.geometry())) {
                    place(*chart.cell, *zone.area.geometry(), chart.file->path() + ", M_QUAL", piece);
                }
            }
            add_unassessed(*chart.file, *chart.cell);
            add_skin_of(*chart.cell, known);
        }
        add_gaps(known);
        for (const SoundingDisc& disc : discs) {
            add_disc(disc);
        }
    }

    std::vector<Shape> shapes;      ///< what lies where ...
    std::vector<DepthPiece> pieces; ///< ... and what it says

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
               const DepthPiece& piece) {
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
        DepthPiece piece;
        piece.says = DepthPiece::Says::zone;
        piece.zone = zone_not_assessed;
        piece.scale = cell.scale();
        place(cell, *unassessed, file.path() + ", M_QUAL", piece);
    }

    void add(Shape shape, const DepthPiece& piece) {
        if (!placer_.give_margin(shape, 0, 1)) return;
        shapes.push_back(std::move(shape));
        pieces.push_back(piece);
    }

    void add_disc(const SoundingDisc& disc) {
        const OGRPoint place(disc.at.lon, disc.at.lat);
        OGREnvelope box;
        place.getEnvelope(&box);
        if (!near_.may_hold(box, disc.radius_m)) return;
        DepthPiece piece;
        piece.says = DepthPiece::Says::disc;
        piece.shoal_m = disc.shoal_m;
        piece.source = disc.source;
        piece.scale = disc.scale;
        for (Shape& shape : from_.place(place, "charted soundings")) {
            if (!placer_.give_margin(shape, disc.radius_m, disc.radius_m)) continue;
            shapes.push_back(std::move(shape));
            pieces.push_back(piece);
        }
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
            DepthPiece nothing;
            nothing.scale = std::numeric_limits<double>::infinity(); // no chart's: it asks for no fine survey
            add(std::move(gap), nothing);
        }
    }

    const EncCells& cells_;
    const Vicinity& near_;
    Placer& placer_;
    Placer::From& from_;
    OGRMultiPolygon skin_; ///< of a cell
};

class ChartDepths final : public DepthSource {
public:
    ChartDepths(std::span<const VectorFile> files, const EncCells& cells, const ChartStatements& statements,
                const Grid& grid, const GroundMetric& metric,
                const std::optional<DepthUncertainty>& uncertainty, ChartGaps gaps,
                const std::vector<SoundingDisc>& discs, const Vicinity& near, Window within)
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
        Collector collected(statements, cells, discs, near);
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
        gather(where, depths, *scratch_.lend(), nullptr);
    }
    void read_with_parts(Window where, DepthPlanes& depths) const override {
        const ScratchPool<GatheredPieces>::Lent lent = scratch_.lend();
        GatheredPieces& gathered = *lent;
        gather(where, depths, gathered, nullptr);
        depths.joined.reset({});
        depths.partial.reset(where, 0);
        for (std::size_t i = 0; i < depths.shoal_m.size(); ++i) {
            if (!std::isnan(depths.shoal_m.data()[i])) continue;
            const Answer part = answer_to(gathered.cell(i), ChartGaps::bounds);
            if (!part.counts) continue;
            depths.partial.data()[i] = 1;
            depths.shoal_m.data()[i] = part.shoal_m;
            depths.deep_m.data()[i] = std::max(part.shoal_m, narrow_up(double{gathered.cell(i).deep_m}));
        }
    }
    void read_beside_survey(Window where, DepthPlanes& depths, BesideSurvey& beside) const override {
        PiecesBesideSurvey of_survey(where);
        const ScratchPool<GatheredPieces>::Lent gathered = scratch_.lend();
        gather(where, depths, *gathered, &of_survey);
        of_survey.finish(*gathered, uncertainties_, beside);
    }

private:
    /// @param gathered  takes what is said of the window   @param beside  gathered with it; null: nobody asks
    void gather(Window where, DepthPlanes& depths, GatheredPieces& gathered,
                PiecesBesideSurvey* beside) const {
        gathered.reset(where);
        field_->each_touched(
            where, [](std::size_t) { return true; },
            [&](std::size_t index, ShapePart, int row, int first, int last) {
                gathered.take(pieces_[index], row, first, last);
                if (beside != nullptr) beside->take(pieces_[index], row, first, last);
            });
        depths.shoal_m.reset(where, unsurveyed);
        depths.deep_m.reset(where, unsurveyed);
        const bool several = sources_.size() > 1;
        depths.source.reset(several ? where : Window{}, 0);
        depths.banded.reset(where, 0);
        // Neighbours mostly lie in the same objects.
        GatheredPieces::Cell last;
        Answer answer = answer_to(last, gaps_);
        for (std::size_t i = 0; i < depths.shoal_m.size(); ++i) {
            const GatheredPieces::Cell cell = gathered.cell(i);
            if (!cell.same_as(last)) answer = answer_to(last = cell, gaps_);
            if (!answer.counts) continue;
            depths.shoal_m.data()[i] = answer.shoal_m;
            depths.deep_m.data()[i] = answer.deep_m;
            depths.banded.data()[i] = std::isnan(answer.deep_m) ? 0 : 1;
            if (several) depths.source.data()[i] = gathered.source.data()[i];
        }
    }
    /// What is said of a cell's depths in the end.
    struct Answer {
        bool counts = false;
        float shoal_m = unsurveyed, deep_m = unsurveyed;
    };
    [[nodiscard]] Answer answer_to(const GatheredPieces::Cell& cell, ChartGaps gaps) const {
        const double shoal_m = static_cast<double>(cell.shoal_m) - static_cast<double>(cell.less_m);
        const auto deep_m = static_cast<double>(cell.deep_m);
        // A sounding alone, without an area around it, leaves most of its cell unknown.
        const bool known = cell.known != 0 && std::isfinite(deep_m);
        Answer answer;
        if (!known && (gaps == ChartGaps::unsurveyed || !std::isfinite(shoal_m))) return answer;
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
    std::vector<DepthPiece> pieces_;              ///< of the field's shapes, in their order
    std::optional<ShapeField> field_;
    mutable ScratchPool<GatheredPieces> scratch_;
};

} // namespace

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
                                          const std::vector<SoundingDisc>& discs, const Vicinity& near,
                                          Window within) {
    return std::make_unique<ChartDepths>(files.charts(), files.chart_cells(), statements, grid, metric,
                                         uncertainty, gaps, discs, near, within);
}

std::unique_ptr<DepthSource> open_chart_depths(const std::vector<std::string>& cells, const Grid& grid,
                                               const GroundMetric& metric,
                                               const std::optional<DepthUncertainty>& uncertainty,
                                               ChartGaps gaps) {
    const OpenedFiles opened(cells, {});
    return chart_depths(opened, *chart_statements(opened, grid, metric), grid, metric, uncertainty, gaps, {},
                        Vicinity(), grid.extent());
}

} // namespace swingroom
