#include "sea/record/depth_record.hpp"

#include "swingroom/base/error.hpp"

#include "base/byte_stream.hpp"
#include "base/parallel.hpp"
#include "sea/raster/bathymetry_values.hpp"
#include "sea/record/depth_packing.hpp"
#include "sea/record/passed_values.hpp"
#include "sea/record/tile_cut.hpp"

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <map>
#include <mutex>
#include <span>
#include <stdexcept>
#include <string>
#include <utility>

namespace swingroom {
namespace {

using bathymetry::unsurveyed;

/// What a source of depths says beside its depths.
struct DepthTerms {
    Grid grid;
    double greatest_uncertainty_m = 0;
    std::vector<Fact> assumptions;
    std::vector<Warning> doubts;
    std::vector<std::string> files, sources;
    std::vector<SurveyTerms> survey_terms;
};
template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, DepthTerms>& terms) {
    pass_all(bytes, terms.grid, terms.greatest_uncertainty_m, terms.assumptions, terms.doubts, terms.files,
             terms.sources, terms.survey_terms);
}
DepthTerms terms_of(const DepthSource& source) {
    return {source.grid(),        source.greatest_uncertainty_m(),
            source.assumptions(), source.doubts(),
            source.files(),       source.sources(),
            source.survey_terms()};
}

/// All that is the same in all parts.
struct OfRun {
    DepthTerms terms;
    Window window;
    std::int32_t tile_cells = 1;
};
template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, OfRun>& run) {
    pass_all(bytes, run.terms, run.window, run.tile_cells);
}

/// Where a tile stands in its file, and what its bytes come to.
struct TilePlace {
    std::uint64_t begin = 0, bytes = 0, sum = 0;
};
template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, TilePlace>& place) {
    pass_all(bytes, place.begin, place.bytes, place.sum);
}

/// A part of the index.
struct OfPart {
    std::string path;
    std::int64_t first = 0;        ///< of its tiles
    std::vector<TilePlace> places; ///< of all of them
};

/// The body of a file: what is of the run, which planes there are, and where its tiles are.
std::vector<std::uint8_t> body_of(const std::vector<std::uint8_t>& run, const PlanesFilled& filled,
                                  const std::vector<TilePlace>& places) {
    ByteWriter body;
    body.number(static_cast<std::uint64_t>(run.size()));
    body.bytes(run);
    pass_all(body, filled, places);
    return body.all();
}

class RecordedDepths final : public DepthSource {
public:
    RecordedDepths(OfRun run, const PlanesFilled& filled, std::vector<OfPart> parts, BeyondRecord beyond)
        : terms_(std::move(run.terms)), cut_(run.window, run.tile_cells), filled_(filled),
          parts_(std::move(parts)), beyond_(beyond) {
        constexpr std::size_t cache_bytes = 48'000'000, bytes_a_cell = 10;
        const auto side = static_cast<std::size_t>(run.tile_cells);
        kept_tiles_ = std::clamp<std::size_t>(cache_bytes / (bytes_a_cell * side * side), 2, 64);
    }

    [[nodiscard]] const Grid& grid() const override { return terms_.grid; }
    [[nodiscard]] double greatest_uncertainty_m() const override { return terms_.greatest_uncertainty_m; }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return terms_.assumptions; }
    [[nodiscard]] std::vector<Warning> doubts() const override { return terms_.doubts; }
    [[nodiscard]] std::vector<std::string> files() const override { return terms_.files; }
    [[nodiscard]] std::vector<std::string> sources() const override { return terms_.sources; }
    [[nodiscard]] std::vector<SurveyTerms> survey_terms() const override { return terms_.survey_terms; }

    /// Of cells that are known in part nothing counts, whoever was recorded.
    void read(Window where, DepthPlanes& depths) const override {
        read_with_parts(where, depths);
        for (std::size_t i = 0; i < depths.partial.size(); ++i) {
            if (depths.partial.data()[i] == 0) continue;
            depths.shoal_m.data()[i] = depths.deep_m.data()[i] = unsurveyed;
            if (filled_.source) depths.source.data()[i] = 0;
        }
        depths.partial.reset({});
        depths.joined.reset({});
    }

    void read_with_parts(Window where, DepthPlanes& depths) const override;

private:
    /// The tile as it was recorded.   @throws IoError  its file is damaged
    [[nodiscard]] std::shared_ptr<const DepthPlanes> tile(std::int64_t number) const;
    [[nodiscard]] std::shared_ptr<const DepthPlanes> read_tile(std::int64_t number) const;

    /// A tile that was unpacked, and when it was last asked for.
    struct Kept {
        std::shared_ptr<const DepthPlanes> planes;
        std::uint64_t asked = 0;
    };

    DepthTerms terms_;
    TileCut cut_;
    PlanesFilled filled_;
    std::vector<OfPart> parts_; ///< in the order of their tiles; all tiles are there
    BeyondRecord beyond_;
    std::size_t kept_tiles_ = 0; ///< at the most
    mutable std::mutex kept_mutex_;
    mutable std::map<std::int64_t, Kept> kept_;
    mutable std::uint64_t asked_ = 0;
};

std::shared_ptr<const DepthPlanes> RecordedDepths::tile(std::int64_t number) const {
    {
        const std::lock_guard lock(kept_mutex_);
        const auto found = kept_.find(number);
        if (found != kept_.end()) {
            found->second.asked = ++asked_;
            return found->second.planes;
        }
    }
    std::shared_ptr<const DepthPlanes> planes = read_tile(number);
    const std::lock_guard lock(kept_mutex_);
    if (kept_.size() >= kept_tiles_) {
        kept_.erase(std::min_element(kept_.begin(), kept_.end(), [](const auto& a, const auto& b) {
            return a.second.asked < b.second.asked;
        }));
    }
    kept_[number] = {planes, ++asked_};
    return planes;
}

std::shared_ptr<const DepthPlanes> RecordedDepths::read_tile(std::int64_t number) const {
    const auto after = std::upper_bound(parts_.begin(), parts_.end(), number,
                                        [](std::int64_t of, const OfPart& part) { return of < part.first; });
    const OfPart& part = *std::prev(after);
    const TilePlace& place = part.places[static_cast<std::size_t>(number - part.first)];
    const std::vector<std::uint8_t> packed = read_stretch(part.path, place.begin, place.bytes);
    if (checksum(packed) != place.sum) throw IoError(part.path, "holds a tile that is not what was written");
    auto planes = std::make_shared<DepthPlanes>();
    unpack(packed, cut_[number], filled_, *planes, part.path);
    return planes;
}

void RecordedDepths::read_with_parts(Window where, DepthPlanes& depths) const {
    const Window inside = common(where, terms_.grid.extent()), known = common(inside, cut_.window());
    if (beyond_ == BeyondRecord::mistaken && known.cells() != inside.cells()) {
        throw std::logic_error("depths are asked for that no part of the run has recorded");
    }
    depths.shoal_m.reset(where, unsurveyed);
    depths.deep_m.reset(where, unsurveyed);
    depths.source.reset(filled_.source ? where : Window{}, 0);
    if (filled_.banded) depths.banded.reset(where, 0);
    if (filled_.differs) depths.differs.reset(where, 0);
    depths.partial.reset(filled_.partial ? where : Window{}, 0);
    depths.joined.reset(filled_.joined ? where : Window{}, 0);
    if (known.empty()) return;
    const std::int64_t first = cut_.tile_of(known.col, known.row),
                       last = cut_.tile_of(known.col_end() - 1, known.row_end() - 1),
                       across = last % cut_.across() - first % cut_.across();
    for (std::int64_t row_of_tiles = first; row_of_tiles <= last; row_of_tiles += cut_.across()) {
        for (std::int64_t number = row_of_tiles; number <= row_of_tiles + across; ++number) {
            const std::shared_ptr<const DepthPlanes> from = tile(number);
            const Window part = common(known, from->shoal_m.window());
            const auto copy = [&](const auto& of, auto& to) {
                if (of.size() == 0) return;
                for (int row = part.row; row < part.row_end(); ++row) {
                    std::copy_n(&of.at(part.col, row), part.cols, &to.at(part.col, row));
                }
            };
            copy(from->shoal_m, depths.shoal_m);
            copy(from->deep_m, depths.deep_m);
            copy(from->source, depths.source);
            copy(from->banded, depths.banded);
            copy(from->differs, depths.differs);
            copy(from->partial, depths.partial);
            copy(from->joined, depths.joined);
        }
    }
}

/// Which planes a source fills: everywhere the same ones, so that a cell beside the raster, which costs
/// nothing, tells it.
PlanesFilled filled_by(const DepthSource& source) {
    DepthPlanes depths;
    source.read_with_parts({-1, -1, 1, 1}, depths);
    return PlanesFilled::of(depths);
}

} // namespace

void record_depths(const DepthSource& source, Window window, const SeaShare& share, std::uint64_t run,
                   const std::filesystem::path& folder, RecordKind kind) {
    const TileCut cut(window, share.tile_cells);
    const std::int64_t first = cut.first_of(share.part, share.parts),
                       end = cut.first_of(share.part + 1, share.parts);
    ByteWriter of_run;
    pass(of_run, OfRun{terms_of(source), window, share.tile_cells});
    const PlanesFilled filled = filled_by(source);
    std::vector<TilePlace> places(static_cast<std::size_t>(end - first));
    const PartNumber number{share.part, share.parts, run};
    RecordWriter file(folder, kind, number, body_of(of_run.all(), filled, places).size());
    // So many at a time that no thread waits long for another, and few are in memory.
    const auto at_once = static_cast<std::int64_t>(4 * std::max(1, share.threads));
    struct Worker {
        DepthPacking packing;
        DepthPlanes depths;
    };
    std::vector<Worker> workers(static_cast<std::size_t>(std::max(1, share.threads)));
    std::vector<std::vector<std::uint8_t>> packed;
    for (std::int64_t from = first; from < end; from += at_once) {
        packed.assign(static_cast<std::size_t>(std::min(at_once, end - from)), {});
        std::atomic<std::size_t> at_work(0);
        parallel_for(packed.size(), share.threads, [&](const auto& next) {
            Worker& worker = workers[at_work++];
            while (const auto i = next()) {
                source.read_with_parts(cut[from + static_cast<std::int64_t>(*i)], worker.depths);
                packed[*i] = worker.packing.pack(worker.depths, filled);
            }
        });
        for (std::size_t i = 0; i < packed.size(); ++i) {
            places[static_cast<std::size_t>(from - first) + i] = {file.append(packed[i]), packed[i].size(),
                                                                  checksum(packed[i])};
        }
    }
    file.finish(body_of(of_run.all(), filled, places));
}

std::shared_ptr<const DepthSource> open_recorded_depths(const std::vector<std::filesystem::path>& folders,
                                                        RecordKind kind, BeyondRecord beyond) {
    const std::vector<Record> records = read_records(folders, kind);
    OfRun run;
    PlanesFilled filled;
    std::span<const std::uint8_t> run_bytes;
    std::vector<OfPart> parts;
    for (const Record& record : records) {
        ByteReader from(record.body, record.path);
        const std::span<const std::uint8_t> of_run = from.bytes(from.count());
        PlanesFilled filled_here;
        OfPart part{record.path, 0, {}};
        pass_all(from, filled_here, part.places);
        from.require_end();
        if (&record == &records.front()) {
            ByteReader terms(of_run, record.path);
            pass(terms, run);
            terms.require_end();
            if (run.window.cols < 0 || run.window.rows < 0 || run.tile_cells < 1 ||
                static_cast<std::size_t>(run.tile_cells) * static_cast<std::size_t>(run.tile_cells) >
                    DepthPacking::most_cells ||
                run.terms.sources.size() != run.terms.survey_terms.size()) {
                from.refuse("holds no cut into tiles");
            }
            run_bytes = of_run;
            filled = filled_here;
        }
        if (!std::equal(of_run.begin(), of_run.end(), run_bytes.begin(), run_bytes.end()) ||
            !(filled == filled_here)) {
            refuse_of_other_run(record, records.front());
        }
        const TileCut cut(run.window, run.tile_cells);
        const int number = record.number.part, of = record.number.parts;
        part.first = cut.first_of(number, of);
        const auto tiles = static_cast<std::uint64_t>(cut.first_of(number + 1, of) - part.first);
        if (part.places.size() != tiles) from.refuse("holds other tiles than those of its part");
        for (const TilePlace& place : part.places) {
            if (place.begin < record.tiles_begin || place.begin > record.bytes ||
                place.bytes > record.bytes - place.begin) {
                from.refuse("holds a tile that lies outside it");
            }
        }
        // A part without tiles begins where the next one does, and would hide it.
        if (!part.places.empty()) parts.push_back(std::move(part));
    }
    return std::make_shared<RecordedDepths>(std::move(run), filled, std::move(parts), beyond);
}

} // namespace swingroom
