#pragma once

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <span>
#include <string>
#include <vector>

/// Files in which a part of a run keeps its share of the sea.
///
/// A file is a head of 64 bytes, a body, and, of depths alone, tiles behind it. The head has what the file
/// is, by which version of the format, of which part of how many and of which run, the lengths and a sum over
/// body and head each; a tile has its sum in the body. So what was damaged, cut off or is another file is
/// refused before anything of it is believed.
namespace swingroom {

/// What a file holds.
enum class RecordKind : std::uint8_t { terms, whole, depths, hazards, charts, low_levels, high_levels };

/// Its name in the folder of a part: "sea_depths.bin".
std::string record_name(RecordKind kind);

/// Which part of how many a file is of, the first being 1.
struct PartNumber {
    int part = 1, parts = 1;
    std::uint64_t run =
        0; ///< a sum over what is the same in all parts of a run: files of different runs differ
};

/// Writes a file, whole or with an error. Whatever stood there before is gone.
class RecordWriter {
public:
    /// @param body_bytes  how many bytes the body will have   @throws IoError  it cannot be written
    RecordWriter(const std::filesystem::path& folder, RecordKind kind, PartNumber number,
                 std::uint64_t body_bytes);
    /// Appends a tile.   @returns where it begins in the file   @throws IoError
    std::uint64_t append(std::span<const std::uint8_t> tile);
    /// Writes body and head; nothing may be appended any more.
    /// @pre the body has as many bytes as was said   @throws IoError
    void finish(std::span<const std::uint8_t> body);

private:
    [[noreturn]] void fail() const;

    std::string path_;
    RecordKind kind_;
    PartNumber number_;
    std::uint64_t body_bytes_, end_;
    std::ofstream file_;
};

/// Writes a file that has a body alone.   @throws IoError
void write_record(const std::filesystem::path& folder, RecordKind kind, PartNumber number,
                  std::span<const std::uint8_t> body);

/// A file that was found to be whole.
struct Record {
    std::string path; ///< for messages
    PartNumber number;
    std::uint64_t bytes = 0;        ///< of the file
    std::vector<std::uint8_t> body; ///< what stands between head and tiles
    std::uint64_t tiles_begin = 0;  ///< behind it
};

/// Reads head and body.
/// @throws InputError  it is no such file, or of another version of the format
/// @throws IoError     it cannot be read, is cut off or damaged
Record read_record(const std::filesystem::path& folder, RecordKind kind);

/// The files of all parts of a run, in the order of the parts.
/// @throws InputError  also a part that is missing or given twice, or of a run in so many other parts
std::vector<Record> read_records(const std::vector<std::filesystem::path>& folders, RecordKind kind);

/// @throws InputError  always: two files are of different runs
[[noreturn]] void refuse_of_other_run(const Record& file, const Record& other);

/// Reads a stretch of a file.   @throws IoError  it cannot be read
std::vector<std::uint8_t> read_stretch(const std::string& path, std::uint64_t begin, std::uint64_t bytes);

} // namespace swingroom
