#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/tally.hpp"
#include "swingroom/publish/formats.hpp"
#include "swingroom/publish/provenance.hpp"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace swingroom {

/// The files of what a run of several boats tells of all of them: the layer boats_yes. They lie beside the
/// folders that the boats have of their own. The same to the last byte for any blocks and threads.
class BoatsFiles : public BoatsSink {
public:
    /// @param folder   existing folder; only files called boats_yes are made in it
    /// @param sea      only its window, the grid of its depths and its metric are asked for, and before this
    ///                 returns
    /// @param boats    what the boats are called, in the order of the run; two or more, and at most
    ///                 most_boats_counted
    /// @param source   the raster's file, for messages
    /// @param threads  that read the file back and draw tiles; the bytes do not depend on them
    /// @param outputs  the formats of boats_yes; a COG if they do not speak of it
    /// @throws InputError  it cannot be in a format where the raster lies   @throws IoError
    BoatsFiles(const std::filesystem::path& folder, const SeaView& sea, const std::vector<std::string>& boats,
               const std::string& source, const Provenance& provenance, int threads,
               const Outputs& outputs = {});
    ~BoatsFiles() override;

    void block(const Plane<std::uint8_t>& boats_yes) override;

    /// After the run: overviews, tiles, styles; everything closed, re-read and compared. What was not asked
    /// for is gone then.
    /// @param progress  called with the fraction done; may be empty   @throws IoError
    void finish(const std::function<void(double)>& progress);

    /// The cells that were written so far in which each of the boats has a yes.
    [[nodiscard]] const Covered& of_all_boats() const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace swingroom
