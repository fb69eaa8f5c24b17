#pragma once

#include "swingroom/overlay/parts.hpp"
#include "swingroom/publish/formats.hpp"

#include <cstddef>
#include <filesystem>
#include <memory>
#include <vector>

namespace swingroom {

struct KeptBlock; ///< the implementation's own

/// The name of the file in which a part of a run keeps its blocks.
inline constexpr const char* blocks_file = "blocks.bin";

/// What a part of a run keeps of its blocks, in one file: the tiles of the layers as they will stand in them,
/// what is needed for their overviews, what was counted, the runs of yes cells. The bytes depend on nothing
/// but the share, the job and the outputs, whatever threads decide.
class PartFiles : public PartSink {
public:
    /// @param folder   existing folder to write into
    /// @param outputs  of the whole run: its formats and its compression count
    /// @param share    the blocks that will come
    /// @throws IoError
    PartFiles(const std::filesystem::path& folder, const OverlayJob& job, const Outputs& outputs,
              BlockShare share);
    ~PartFiles() override;

    /// @throws IoError
    void block(std::size_t number, const BlockAnswers& answers, const BlockRuns& runs) override;
    /// After the run: everything closed, read back and compared.   @throws IoError
    void finish();

private:
    struct State;
    std::unique_ptr<State> state_;
};

/// What all parts of a run have kept.
class KeptParts : public KeptBlocks {
public:
    /// @param folders  of all parts, in their order
    /// @param job, outputs  as the parts had them, but for the way in
    /// @throws InputError  a file is missing, or is of another share, run or version
    /// @throws IoError     one cannot be read, is cut off or damaged; of the blocks themselves that is told
    ///                     when they are read
    KeptParts(const std::vector<std::filesystem::path>& folders, const OverlayJob& job,
              const Outputs& outputs);
    ~KeptParts() override;

    /// @throws IoError  they cannot be read, or are damaged
    void runs(std::size_t number, BlockRuns& runs) const override;
    /// All else that is kept of a block; for OverlayFiles.   @throws IoError  as runs()
    [[nodiscard]] KeptBlock block(std::size_t number) const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace swingroom
