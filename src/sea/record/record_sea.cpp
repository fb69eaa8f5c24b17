#include "sea/record/record_sea.hpp"

#include "sea/gdal/gdal_messages.hpp"
#include "sea/ground/vicinity.hpp"
#include "sea/record/depth_record.hpp"
#include "sea/record/record_file.hpp"
#include "sea/record/tile_cut.hpp"
#include "sea/sea_source.hpp"

#include <algorithm>
#include <cassert>
#include <cstdint>
#include <filesystem>
#include <span>
#include <utility>

namespace swingroom {
namespace {

/// Tells what is told of hazards in all windows that are asked for, and passes a stretch of them.
std::vector<HazardView> pass_hazards(ByteWriter& body, SeaSource& source, const AskedOfSea& asked,
                                     const SeaShare& share, const SeaPart* of_run) {
    std::vector<HazardView> views;
    const auto write = [&](const std::vector<Hazard>& hazards) {
        const auto [first, end] = stretch_of(hazards.size(), share);
        pass(body, static_cast<std::uint64_t>(end - first));
        for (std::size_t i = first; i < end; ++i) {
            pass(body, hazards[i]);
        }
    };
    for (const Window window : asked_windows(asked, source.grid())) {
        HazardView& view = views.emplace_back();
        view.window = window;
        if (of_run != nullptr && views.size() == 1) { // the window of the run comes first
            assert(of_run->hazards->within() == window);
            write(of_run->hazards->hazards());
            view.told = of_run->found;
        } else {
            view.told = source.hazards(window, asked.reach_m);
            write(view.told.hazards);
            view.told.hazards.clear();
        }
    }
    return views;
}

/// Passes a stretch of what charts let expect, as far as it is near: of each chart.
void pass_charts(ByteWriter& body, const SeaSource& source, const AskedOfSea& asked, const SeaShare& share) {
    const Window inside = common(asked.window, source.grid().extent());
    const Vicinity near(source.georeference(), inside, std::max(asked.reach_m, soundings_within_m));
    const std::vector<ChartedCell> cells = source.charted_cells();
    pass(body, static_cast<std::uint64_t>(cells.size()));
    for (const ChartedCell& cell : cells) {
        std::vector<const ChartedCell::Area*> areas;
        for (const ChartedCell::Area& area : cell.areas) {
            OGREnvelope box;
            area.geometry->getEnvelope(&box);
            if (near.may_hold(box)) areas.push_back(&area);
        }
        const Stretch of_areas = stretch_of(areas.size(), share);
        pass(body, static_cast<std::uint64_t>(of_areas.end - of_areas.first));
        for (std::size_t i = of_areas.first; i < of_areas.end; ++i) {
            pass(body, areas[i]->charted);
            pass(body, areas[i]->geometry.get());
        }
        std::vector<ChartedCell::Sounding> soundings;
        for (const ChartedCell::Sounding& sounding : cell.soundings) {
            OGREnvelope box;
            box.Merge(sounding.at.lon, sounding.at.lat);
            if (near.may_hold(box)) soundings.push_back(sounding);
        }
        const Stretch of_soundings = stretch_of(soundings.size(), share);
        pass(body, std::vector<ChartedCell::Sounding>(
                       soundings.begin() + static_cast<std::ptrdiff_t>(of_soundings.first),
                       soundings.begin() + static_cast<std::ptrdiff_t>(of_soundings.end)));
    }
}

/// Passes what is of the whole.
void pass_whole(ByteWriter& body, SeaSource& source, const AskedOfSea& asked) {
    const std::vector<ChartedCell> cells = source.charted_cells();
    pass(body, static_cast<std::uint64_t>(cells.size()));
    for (const ChartedCell& cell : cells) {
        pass(body, cell.finer->geometry());
    }
    pass(body, source.place_names(asked.named));
    pass(body, source.inspections(asked.measures));
}

} // namespace

void pass(ByteWriter& to, const OGRGeometry* geometry) {
    std::vector<std::uint8_t> bytes(geometry == nullptr ? 0 : geometry->WkbSize());
    if (geometry != nullptr) geometry->exportToWkb(wkbNDR, bytes.data(), wkbVariantIso);
    pass(to, static_cast<std::uint64_t>(bytes.size()));
    to.bytes(bytes);
}

std::unique_ptr<OGRGeometry> read_geometry(ByteReader& from) {
    const std::span<const std::uint8_t> bytes = from.bytes(from.count());
    if (bytes.empty()) return nullptr;
    const GdalMessages quiet;
    OGRGeometry* made = nullptr;
    const OGRErr failed =
        OGRGeometryFactory::createFromWkb(bytes.data(), nullptr, &made, bytes.size(), wkbVariantIso);
    std::unique_ptr<OGRGeometry> geometry(made);
    if (failed != OGRERR_NONE || !geometry) from.refuse("holds a geometry that is none");
    return geometry;
}

void record_sea(const Sea& sea, const AskedOfSea& asked, const SeaShare& share,
                const std::filesystem::path& folder, const SeaPart* of_run) {
    assert(1 <= share.part && share.part <= share.parts && share.tile_cells > 0);
    SeaSource& source = SeaAccess::source(sea);
    const Grid& grid = source.grid();
    const Window of_depths = asked.all_of_grid ? grid.extent() : common(asked.window, grid.extent());
    ByteWriter terms, hazards, charts, whole;
    pass(terms,
         SeaTerms{asked, grid, source.sources(), source.depth_files(), source.rules(),
                  source.greatest_uncertainty_m(), pass_hazards(hazards, source, asked, share, of_run)});
    pass_charts(charts, source, asked, share);
    if (share.part == 1) pass_whole(whole, source, asked);
    const PartNumber number{share.part, share.parts, checksum(terms.all())};
    write_record(folder, RecordKind::terms, number, terms.all());
    write_record(folder, RecordKind::hazards, number, hazards.all());
    write_record(folder, RecordKind::charts, number, charts.all());
    write_record(folder, RecordKind::whole, number, whole.all());
    const TileCut cut(of_depths, share.tile_cells);
    Window own = cut.around(cut.first_of(share.part, share.parts), cut.first_of(share.part + 1, share.parts));
    if (own.empty()) own = {of_depths.col, of_depths.row, 1, 1}; // around no cell everything would be near
    record_depths(*source.depths(own, 0), of_depths, share, number.run, folder, RecordKind::depths);
}

} // namespace swingroom
