#pragma once

#include "swingroom/overlay/parts.hpp"

#include "base/spool.hpp"
#include "publish/folder/guarded_files.hpp"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <map>
#include <mutex>
#include <span>
#include <string>
#include <variant>
#include <vector>

namespace swingroom {

/// What is kept of a block, as bytes.
struct BlockRecord {
    std::vector<std::uint8_t> runs, answers;
};

/// Lengths and sums of a record, by which damage is found out.
struct BlockEntry {
    std::uint64_t runs_bytes = 0, runs_sum = 0, answers_bytes = 0, answers_sum = 0;
    friend bool operator==(const BlockEntry&, const BlockEntry&) = default;
};

/// What a file of blocks says of itself: the blocks of a share, of a run on these terms.
struct BlockTerms {
    BlockShare share;
    std::vector<std::uint8_t> run; ///< what decides how blocks are kept; files of one run agree in it
};

/// A file of the blocks of a part, written from its start to its end. It holds, numbers little-endian:
///
///     "SWINGBLK", version of the format, bytes of the terms   8, 4 and 4 bytes
///     the terms, and a sum over all of the above
///     the records, block after block                          runs, then answers
///     the entry of each record                                32 bytes each
///     bytes of the file, and a sum over entries and these     8 bytes each
///
/// Blocks may come in any order and from several threads; those that come before their turn wait, in memory
/// up to a limit.
class BlockFileWriter {
public:
    /// Creates the file.   @param waiting  where records wait for their turn   @throws IoError
    BlockFileWriter(std::filesystem::path path, BlockTerms terms, Spooling waiting);

    /// Takes the record of a block of the share, each once.   @throws IoError
    void put(std::size_t number, BlockRecord record);
    /// Writes what is left, closes the file and reads it back.
    /// @pre all blocks of the share have been put
    /// @throws IoError  also where it is not what was written
    void finish();

private:
    /// A record in the spool.
    struct Spooled {
        std::uint64_t runs_at = 0, answers_at = 0;
    };
    using Waiting = std::variant<BlockRecord, Spooled>;

    void write(std::span<const std::uint8_t> bytes);
    void append(const BlockRecord& record);
    [[nodiscard]] BlockEntry& entry_of(std::size_t number);
    [[nodiscard]] Waiting kept(BlockRecord record);
    [[nodiscard]] BlockRecord taken(std::size_t number, Waiting waiting);

    std::filesystem::path path_;
    BlockTerms terms_;
    std::size_t in_memory_bytes_;
    Spool spool_;
    std::mutex mutex_; ///< guards what follows
    guarded::Writer file_;
    std::uint64_t end_ = 0; ///< of the file so far
    std::size_t next_;
    std::vector<BlockEntry> entries_;
    std::map<std::size_t, Waiting> waiting_; ///< by block
    std::size_t waiting_bytes_ = 0;          ///< of those in memory
};

/// Reads what a BlockFileWriter has written. Nothing is believed before its sum is found right. Const calls
/// may come from several threads.
class BlockFileReader {
public:
    /// @throws InputError  there is no such file, it is none of blocks, or of another version of the format
    /// @throws IoError     it cannot be read, is cut off or damaged
    explicit BlockFileReader(std::filesystem::path path);

    /// As the file says; nobody has looked yet whether that is what is wanted.
    [[nodiscard]] const BlockTerms& terms() const { return terms_; }
    [[nodiscard]] const std::vector<BlockEntry>& entries() const { return entries_; }
    /// For messages.
    [[nodiscard]] std::string name() const { return path_.string(); }

    /// What was put of a block.   @pre it is one of the share   @throws IoError
    [[nodiscard]] std::vector<std::uint8_t> runs(std::size_t number) const;
    [[nodiscard]] std::vector<std::uint8_t> answers(std::size_t number) const;

private:
    [[nodiscard]] std::uint64_t read_head();
    void read_entries(std::uint64_t first);
    [[nodiscard]] std::vector<std::uint8_t> read(std::uint64_t at, std::uint64_t bytes) const;
    [[nodiscard]] std::vector<std::uint8_t> read_whole(std::uint64_t at, std::uint64_t bytes,
                                                       std::uint64_t sum) const;
    [[noreturn]] void refuse(const std::string& wrong) const;

    std::filesystem::path path_;
    std::uint64_t bytes_ = 0; ///< of the file
    BlockTerms terms_;
    std::vector<BlockEntry> entries_;
    std::vector<std::uint64_t> at_; ///< where each record begins
};

} // namespace swingroom
