#include "swingroom/base/error.hpp"
#include "swingroom/overlay/anchorages.hpp"
#include "swingroom/publish/part_files.hpp"

#include "publish/part/block_file.hpp"
#include "publish/part/kept_block.hpp"
#include "publish/part/layers_of_parts.hpp"

#include <algorithm>
#include <string>

namespace swingroom {
namespace {

std::string told(BlockShare share) {
    return share.count() == 0
               ? "no block"
               : "blocks " + std::to_string(share.first + 1) + " to " + std::to_string(share.end);
}

} // namespace

struct KeptParts::State {
    State(const OverlayJob& job, const Outputs& outputs)
        : window(job.window), blocks(blocks_of_parts(window)),
          layers(layers_of_parts(job.wanted, outputs).size()),
          anchorages(charted_anchorages(*job.hazards).size()) {}

    /// The part that has a block.
    [[nodiscard]] const BlockFileReader& of(std::size_t number) const {
        const auto after =
            std::upper_bound(parts.begin(), parts.end(), number, [](std::size_t block, const auto& part) {
                return block < part->terms().share.end;
            });
        return **after;
    }
    [[nodiscard]] BlockPlace place(std::size_t number, const BlockFileReader& part) const {
        return {blocks[number], window, layers, anchorages, part.name()};
    }

    Window window;
    BlockCut blocks;
    std::size_t layers, anchorages;
    std::vector<std::unique_ptr<BlockFileReader>> parts; ///< by their shares, which follow each other
};

KeptParts::KeptParts(const std::vector<std::filesystem::path>& folders, const OverlayJob& job,
                     const Outputs& outputs)
    : state_(std::make_unique<State>(job, outputs)) {
    const std::vector<std::uint8_t> terms = terms_of_parts(job, outputs);
    const int parts = static_cast<int>(folders.size());
    for (int part = 1; part <= parts; ++part) {
        const std::filesystem::path& folder = folders[static_cast<std::size_t>(part) - 1];
        auto file = std::make_unique<BlockFileReader>(folder / blocks_file);
        if (file->terms().run != terms) {
            throw InputError(file->name(), "holds blocks of another run", "give the parts of one run");
        }
        const BlockShare wanted = blocks_of_part(state_->blocks.count(), part, parts);
        if (file->terms().share != wanted) {
            throw InputError(file->name(),
                             "holds " + told(file->terms().share) + ", and part " + std::to_string(part) +
                                 " of " + std::to_string(parts) + " has " + told(wanted),
                             "give all parts of the run, in their order");
        }
        state_->parts.push_back(std::move(file));
    }
    if (parts == 0) throw InputError("parts", "there are none", "give all parts of the run");
}
KeptParts::~KeptParts() = default;

void KeptParts::runs(std::size_t number, BlockRuns& runs) const {
    const BlockFileReader& part = state_->of(number);
    runs = unpacked_runs(part.runs(number), state_->place(number, part));
}

KeptBlock KeptParts::block(std::size_t number) const {
    const BlockFileReader& part = state_->of(number);
    return unpacked_block(part.answers(number), state_->place(number, part));
}

} // namespace swingroom
