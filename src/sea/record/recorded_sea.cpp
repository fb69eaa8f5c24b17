#include "swingroom/sea/sea_record.hpp"

#include "sea/depths/shared_depths.hpp"
#include "sea/record/depth_record.hpp"
#include "sea/record/record_file.hpp"
#include "sea/record/record_sea.hpp"
#include "sea/sea_source.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <filesystem>
#include <iterator>
#include <memory>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using Folders = std::vector<std::filesystem::path>;

/// What is of the whole, as the first part has kept it.
struct OfWhole {
    std::vector<std::shared_ptr<const Region>> finer; ///< by chart
    std::vector<PlaceName> place_names;
    std::vector<Inspection> inspections;
};

OfWhole read_whole(const Folders& folders) {
    const std::vector<Record> records = read_records(folders, RecordKind::whole);
    const Record& first = records.front();
    ByteReader from(first.body, first.path);
    OfWhole whole;
    for (std::size_t left = from.count(); left > 0; --left) {
        whole.finer.push_back(std::make_shared<const Region>(read_geometry(from)));
    }
    pass_all(from, whole.place_names, whole.inspections);
    from.require_end();
    return whole;
}

/// The charts as they were near the run, put together again.
std::vector<ChartedCell> read_charts(const Folders& folders) {
    std::vector<ChartedCell> cells;
    for (std::shared_ptr<const Region>& finer : read_whole(folders).finer) {
        cells.push_back({{}, {}, std::move(finer)});
    }
    const std::vector<Record> records = read_records(folders, RecordKind::charts);
    for (const Record& record : records) {
        ByteReader from(record.body, record.path);
        if (from.count() != cells.size()) refuse_of_other_run(record, records.front());
        for (ChartedCell& cell : cells) {
            for (std::size_t left = from.count(); left > 0; --left) {
                ChartedCell::Area area;
                pass(from, area.charted);
                area.geometry = read_geometry(from);
                if (!area.geometry) from.refuse("holds an area without a place");
                cell.areas.push_back(std::move(area));
            }
            std::vector<ChartedCell::Sounding> soundings;
            pass(from, soundings);
            cell.soundings.insert(cell.soundings.end(), soundings.begin(), soundings.end());
        }
        from.require_end();
    }
    return cells;
}

[[noreturn]] void refuse_unasked(const std::string& what) {
    throw std::logic_error(what + " are asked for that no part of the run has recorded");
}

class SeaOfRecords final : public SeaSource {
public:
    SeaOfRecords(Folders folders, SeaTerms terms)
        : folders_(std::move(folders)), terms_(std::move(terms)),
          georeference_(terms_.grid, terms_.sources.front()),
          depths_(open_recorded_depths(folders_, RecordKind::depths, BeyondRecord::mistaken)),
          whole_(read_whole(folders_)), charted_(charted_depths([this] { return charted_cells(); })) {}

    [[nodiscard]] const Grid& grid() const override { return terms_.grid; }
    [[nodiscard]] const Georeference& georeference() const override { return georeference_; }
    [[nodiscard]] const std::vector<std::string>& sources() const override { return terms_.sources; }
    [[nodiscard]] const std::vector<std::string>& depth_files() const override { return terms_.depth_files; }
    [[nodiscard]] const std::vector<HazardRule>& rules() const override { return terms_.rules; }
    [[nodiscard]] double greatest_uncertainty_m() const override { return terms_.greatest_uncertainty_m; }
    [[nodiscard]] std::unique_ptr<DepthSource> depths(Window /*inside*/, double /*reach_m*/) override {
        return std::make_unique<SharedDepths>(depths_);
    }
    [[nodiscard]] HazardSet hazards(Window inside, double reach_m) override;
    [[nodiscard]] const ChartedDepths& charted() const override { return *charted_; }
    [[nodiscard]] std::vector<ChartedCell> charted_cells() const override { return read_charts(folders_); }
    [[nodiscard]] std::vector<PlaceName> place_names(Window window) const override {
        if (!(window == terms_.asked.named)) refuse_unasked("names of places");
        return whole_.place_names;
    }
    [[nodiscard]] std::vector<Inspection> inspections(const Measures& measures) override {
        const Measures& asked = terms_.asked.measures;
        if (measures.length != asked.length || measures.position != asked.position) {
            refuse_unasked("inspections in other measures");
        }
        return whole_.inspections;
    }

private:
    Folders folders_;
    SeaTerms terms_;
    Georeference georeference_;
    std::shared_ptr<const DepthSource> depths_;
    OfWhole whole_;
    std::unique_ptr<ChartedDepths> charted_;
};

/// Nothing is kept of the hazards, which whoever asks for them keeps.
HazardSet SeaOfRecords::hazards(Window inside, double reach_m) {
    const std::vector<HazardView>& views = terms_.views;
    const auto view =
        std::find_if(views.begin(), views.end(), [&](const HazardView& of) { return of.window == inside; });
    // Around all of the grid no reach matters.
    const bool all = inside == terms_.grid.extent();
    if (view == views.end() || !(all || reach_m == terms_.asked.reach_m)) refuse_unasked("hazards");
    HazardSet found = view->told;
    for (const Record& record : read_records(folders_, RecordKind::hazards)) {
        ByteReader from(record.body, record.path);
        for (const HazardView& of : views) {
            std::vector<Hazard> hazards;
            pass(from, hazards);
            if (&of != &*view) continue;
            std::move(hazards.begin(), hazards.end(), std::back_inserter(found.hazards));
        }
        from.require_end();
    }
    return found;
}

SeaTerms read_terms(const std::vector<Record>& records) {
    for (const Record& record : records) {
        if (record.body != records.front().body) refuse_of_other_run(record, records.front());
    }
    ByteReader from(records.front().body, records.front().path);
    SeaTerms terms;
    pass(from, terms);
    from.require_end();
    const Grid& grid = terms.grid;
    const bool sound = grid.cols > 0 && grid.rows > 0 && grid.step_x > 0 && grid.step_y != 0 &&
                       std::isfinite(grid.origin_x + grid.origin_y + grid.step_x + grid.step_y);
    if (!sound || terms.sources.empty() || terms.views.empty()) from.refuse("holds no sea");
    return terms;
}

} // namespace

RecordedSea open_recorded_sea(const std::vector<std::filesystem::path>& folders) {
    const std::vector<Record> of_terms = read_records(folders, RecordKind::terms);
    SeaTerms terms = read_terms(of_terms);
    // What is read when somebody asks for it should not turn out to be damaged, or of another run, then.
    for (const RecordKind kind :
         {RecordKind::whole, RecordKind::depths, RecordKind::hazards, RecordKind::charts}) {
        const Record first = read_records(folders, kind).front();
        if (first.number.run != of_terms.front().number.run) refuse_of_other_run(first, of_terms.front());
    }
    const AskedOfSea asked = terms.asked;
    return {SeaAccess::made_of(std::make_unique<SeaOfRecords>(folders, std::move(terms))), asked};
}

} // namespace swingroom
