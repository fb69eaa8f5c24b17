#include "sea/record/record_file.hpp"

#include "swingroom/base/error.hpp"

#include "base/byte_stream.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cstddef>
#include <system_error>

namespace swingroom {
namespace {

constexpr std::array<std::uint8_t, 8> magic = {'S', 'W', 'I', 'N', 'G', 'S', 'E', 'A'};
constexpr std::uint32_t format_version = 1;
constexpr std::uint64_t head_bytes = 64;

/// All of a head but its own sum.
struct Head {
    std::uint32_t version = format_version, kind = 0;
    std::int32_t part = 0, parts = 0;
    std::uint64_t run = 0, body_bytes = 0, body_sum = 0, file_bytes = 0;
};
template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Head>& head) {
    pass_all(bytes, head.version, head.kind, head.part, head.parts, head.run, head.body_bytes, head.body_sum,
             head.file_bytes);
}

std::ifstream opened(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) throw IoError(path, "cannot be opened");
    return file;
}

std::vector<std::uint8_t> read_from(std::ifstream& file, const std::string& path, std::uint64_t bytes) {
    std::vector<std::uint8_t> read(static_cast<std::size_t>(bytes));
    file.read(reinterpret_cast<char*>(read.data()), static_cast<std::streamsize>(bytes));
    if (!file || static_cast<std::uint64_t>(file.gcount()) != bytes) {
        throw IoError(path, "cannot be read as far as it should reach: it is cut off");
    }
    return read;
}

} // namespace

std::string record_name(RecordKind kind) {
    constexpr std::array names = {"sea_terms.bin",      "sea_whole.bin",  "sea_depths.bin",
                                  "sea_hazards.bin",    "sea_charts.bin", "sea_low_levels.bin",
                                  "sea_high_levels.bin"};
    return names.at(static_cast<std::size_t>(kind));
}

RecordWriter::RecordWriter(const std::filesystem::path& folder, RecordKind kind, PartNumber number,
                           std::uint64_t body_bytes)
    : path_((folder / record_name(kind)).string()), kind_(kind), number_(number), body_bytes_(body_bytes),
      end_(head_bytes + body_bytes), file_(path_, std::ios::binary | std::ios::trunc) {
    if (!file_) fail();
    file_.seekp(static_cast<std::streamoff>(end_));
}

void RecordWriter::fail() const { throw IoError(path_, "cannot be written"); }

std::uint64_t RecordWriter::append(std::span<const std::uint8_t> tile) {
    const std::uint64_t begin = end_;
    file_.write(reinterpret_cast<const char*>(tile.data()), static_cast<std::streamsize>(tile.size()));
    if (!file_) fail();
    end_ += tile.size();
    return begin;
}

void RecordWriter::finish(std::span<const std::uint8_t> body) {
    assert(body.size() == body_bytes_);
    const Head head{format_version, static_cast<std::uint32_t>(kind_),
                    number_.part,   number_.parts,
                    number_.run,    body_bytes_,
                    checksum(body), end_};
    ByteWriter start;
    start.bytes(magic);
    pass(start, head);
    start.number(checksum(start.all()));
    assert(start.all().size() == head_bytes);
    file_.seekp(0);
    for (const std::span<const std::uint8_t> bytes : {std::span<const std::uint8_t>(start.all()), body}) {
        file_.write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    }
    file_.close();
    if (!file_) fail();
}

void write_record(const std::filesystem::path& folder, RecordKind kind, PartNumber number,
                  std::span<const std::uint8_t> body) {
    RecordWriter(folder, kind, number, body.size()).finish(body);
}

Record read_record(const std::filesystem::path& folder, RecordKind kind) {
    Record record;
    record.path = (folder / record_name(kind)).string();
    std::error_code failed;
    record.bytes = std::filesystem::file_size(record.path, failed);
    if (failed) {
        throw InputError(record.path, "cannot be found", "give folders that parts of a run have made");
    }
    std::ifstream file = opened(record.path);
    if (record.bytes < head_bytes) throw IoError(record.path, "is cut off");
    const std::vector<std::uint8_t> start = read_from(file, record.path, head_bytes);
    ByteReader from(start, record.path);
    const std::span<const std::uint8_t> found = from.bytes(magic.size());
    if (!std::equal(found.begin(), found.end(), magic.begin())) {
        throw InputError(record.path, "is no file of a part of a run", "give the folder as the part made it");
    }
    Head head;
    pass(from, head);
    const auto sum = from.number<std::uint64_t>();
    if (sum != checksum(std::span(start).first(start.size() - sizeof sum))) from.refuse("has a broken head");
    if (head.version != format_version) {
        throw InputError(record.path,
                         "is of version " + std::to_string(head.version) +
                             " of its format, and this program knows version " +
                             std::to_string(format_version),
                         "make parts and whole with the same program");
    }
    if (head.kind != static_cast<std::uint32_t>(kind)) {
        throw InputError(record.path, "holds something else than its name says",
                         "give the folder as the part made it");
    }
    if (head.file_bytes != record.bytes || head.body_bytes > record.bytes - head_bytes) {
        from.refuse("is not as long as it was made");
    }
    if (head.parts < 1 || head.part < 1 || head.part > head.parts) from.refuse("is of no part");
    record.number = {head.part, head.parts, head.run};
    record.body = read_from(file, record.path, head.body_bytes);
    if (checksum(record.body) != head.body_sum) from.refuse("is not what was written");
    record.tiles_begin = head_bytes + head.body_bytes;
    return record;
}

std::vector<Record> read_records(const std::vector<std::filesystem::path>& folders, RecordKind kind) {
    std::vector<Record> records;
    for (const std::filesystem::path& folder : folders) {
        records.push_back(read_record(folder, kind));
    }
    if (records.empty()) throw InputError("parts", "there are none", "give all parts of a run");
    std::stable_sort(records.begin(), records.end(),
                     [](const Record& a, const Record& b) { return a.number.part < b.number.part; });
    const auto said = [](const Record& of) {
        return "part " + std::to_string(of.number.part) + " of " + std::to_string(of.number.parts);
    };
    int wanted = 1;
    for (const Record& record : records) {
        const Record& first = records.front();
        if (record.number.parts != first.number.parts) {
            throw InputError(record.path, "is " + said(record) + ", and " + first.path + " is " + said(first),
                             "give the parts of one run");
        }
        if (record.number.run != first.number.run) refuse_of_other_run(record, first);
        if (record.number.part < wanted) {
            const Record& twin = records[static_cast<std::size_t>(wanted) - 2];
            throw InputError(record.path, "is " + said(record) + ", as " + twin.path + " is",
                             "give each part once");
        }
        if (record.number.part > wanted) break;
        ++wanted;
    }
    if (wanted <= records.front().number.parts) {
        throw InputError(records.front().path,
                         "is " + said(records.front()) + ", and part " + std::to_string(wanted) +
                             " is missing",
                         "give all parts of the run");
    }
    return records;
}

void refuse_of_other_run(const Record& file, const Record& other) {
    throw InputError(file.path, "was made by another run than " + other.path, "give the parts of one run");
}

std::vector<std::uint8_t> read_stretch(const std::string& path, std::uint64_t begin, std::uint64_t bytes) {
    std::ifstream file = opened(path);
    file.seekg(static_cast<std::streamoff>(begin));
    return read_from(file, path, bytes);
}

} // namespace swingroom
