#pragma once

#include "swingroom/overlay/map_planes.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/parts.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/publish/exclusion_files.hpp"
#include "swingroom/publish/formats.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/vector_layer.hpp"
#include "swingroom/room/place_rank.hpp"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace swingroom {

/// Bounds the cache of file blocks that reading and writing share, which would else grow with the machine's
/// memory.
void limit_file_cache(std::int64_t bytes);

/// Of that many drop points more is told than their layer holds.
inline constexpr std::size_t most_best_spots = 100;

/// To so many of the best drop points the way in is looked for as a line.
inline constexpr std::size_t most_ways = 10;

/// Which zones are kept, and how their edges are drawn.
struct ZoneStyle {
    bool smooth_edges = true; ///< inwards; else along the cells
    double least_area_m2 = 0; ///< of the cells of a zone; smaller ones are left out, and have no spot
};

class KeptParts;

/// The files of one run: takes the answers as they come and writes the layers that are wanted into a folder.
/// It is the same folder, to the last byte, whether all blocks come by block() or some by kept_block().
class OverlayFiles : public MergeSink {
public:
    /// @param folder   existing, empty folder   @param source  the raster's file, for messages
    /// @param most_spots  how many drop points to keep at the most, best first
    /// @param outputs  the formats of the layers that the job wants; one that it does not speak of is a COG
    ///                 or GeoJSON
    /// @throws InputError  a layer that cannot be in a format where the raster lies   @throws IoError
    OverlayFiles(const std::filesystem::path& folder, const OverlayJob& job, const std::string& source,
                 const Provenance& provenance, const MarginSources& margin_sources, std::size_t most_spots,
                 const ZoneStyle& zone_style = {}, const Outputs& outputs = {});
    ~OverlayFiles() override;

    void block(const BlockAnswers& answers) override;
    void zone(Zone&& zone) override;
    void last_zones(const std::function<void()>& hand_over) override;

    /// Where kept_block() finds what parts have decided.
    /// @param kept  of the same job and outputs; outlives the run
    void take_from(const KeptParts& kept);
    /// @pre take_from() was called   @throws IoError
    void kept_block(std::size_t number, const Plane<std::uint16_t>& more_advice) override;
    void access_levels(const Plane<float>& level_m) override;

    /// After the run: overviews, spots, exclusions, other formats, styles; everything closed, re-read and
    /// compared. Each layer is there as COG or GeoJSON then.
    /// @param progress  called with the fraction done, from one thread at a time; may be empty
    /// @param pages  what is made of verdicts and features, called once when these are there, while other
    ///               rasters may still be read back; may be empty
    /// @throws IoError  as `pages` may
    void finish(const std::function<void(double)>& progress, const std::function<void()>& pages = {});
    /// Last: removes those COGs and GeoJSON files that were not asked for.   @throws IoError
    void drop_unasked();

    /// Zones in the layer; known after finish(), as zones_dropped() is.
    [[nodiscard]] std::int64_t zones_written() const;
    /// Zones whose cells cover less than ZoneStyle::least_area_m2; they are in no file, and have no spot.
    [[nodiscard]] std::int64_t zones_dropped() const;
    /// How many cells have been answered so.
    [[nodiscard]] std::int64_t cells_of(Verdict verdict) const;
    /// How many cells have a depth, and how many float the hull at low water: none at all is worth a warning.
    [[nodiscard]] std::int64_t cells_surveyed() const;
    /// Cells and areas by answer and by leading reason; after the run.
    [[nodiscard]] const Tally& tally() const;
    /// The charted anchorages that have cells in the window, in the order of the hazards; after the run.
    [[nodiscard]] std::vector<AnchorageAnswers> anchorages() const;
    /// Cells of which the shoal depth at low water is at least the required depth, whatever else forbids.
    [[nodiscard]] std::int64_t cells_afloat() const;

    /// What a map shows of the window; null where none is wanted.
    [[nodiscard]] const MapPlanes* map_planes() const;

    /// After finish(): how many drop points were written.
    [[nodiscard]] std::size_t spots_written() const;
    /// Zones, spots, exclusions, as far as they are wanted; once all is finished.
    [[nodiscard]] const std::vector<VectorLayer::Finished>& vectors() const;
    /// All about the best drop points, at most most_best_spots, in the order of the layer; after finish().
    [[nodiscard]] const std::vector<PositionReport>& best_spots() const;
    /// By what each of best_spots() has its rank.
    [[nodiscard]] const std::vector<PlaceMerits>& best_merits() const;
    /// What one of best_spots() is called in every file.   @param rank  from 1
    [[nodiscard]] std::string name_of_spot(std::size_t rank) const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace swingroom
