#include "publish/part/block_file.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"

#include "base/byte_stream.hpp"
#include "publish/folder/planned_faults.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <fcntl.h>
#include <stdexcept>
#include <string_view>
#include <system_error>
#include <unistd.h>
#include <utility>

namespace swingroom {
namespace {

constexpr std::array<std::uint8_t, 8> magic = {'S', 'W', 'I', 'N', 'G', 'B', 'L', 'K'};
constexpr std::uint32_t format_version = 1;
constexpr std::uint64_t start_bytes = magic.size() + 4 + 4, sum_bytes = 8, entry_bytes = 32,
                        end_bytes = 8 + sum_bytes;

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, BlockEntry>& entry) {
    pass_all(bytes, entry.runs_bytes, entry.runs_sum, entry.answers_bytes, entry.answers_sum);
}

/// Start, terms and sum.
std::vector<std::uint8_t> head_of(const BlockTerms& terms) {
    ByteWriter of_terms;
    of_terms.number(std::uint64_t{terms.share.first});
    of_terms.number(std::uint64_t{terms.share.end});
    of_terms.bytes(terms.run);
    ByteWriter head;
    head.bytes(magic);
    head.number(format_version);
    head.number(static_cast<std::uint32_t>(of_terms.all().size()));
    head.bytes(of_terms.all());
    head.number(checksum(head.all()));
    return head.all();
}

std::vector<std::uint8_t> end_of(const std::vector<BlockEntry>& entries, std::uint64_t bytes_before) {
    ByteWriter end;
    for (const BlockEntry& entry : entries) {
        pass(end, entry);
    }
    end.number(bytes_before + end.all().size() + end_bytes);
    end.number(checksum(end.all()));
    return end.all();
}

/// A file that is open to be read.
class OpenFile {
public:
    /// @throws IoError
    explicit OpenFile(const std::filesystem::path& path) : path_(path) {
        int error = guarded::planned_error(guarded::Calls::reads);
        if (error == 0) {
            fd_ = ::open(path_.c_str(), O_RDONLY | O_CLOEXEC);
            error = fd_ < 0 ? errno : 0;
        }
        if (error != 0) guarded::fail_with(path_, "opening to read", error);
    }
    ~OpenFile() { ::close(fd_); }
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;

    /// @returns how many bytes there were; fewer than asked for only at the end of the file   @throws IoError
    std::size_t read(std::uint64_t at, std::span<std::uint8_t> bytes) const {
        std::size_t done = 0;
        while (done < bytes.size()) {
            int error = guarded::planned_error(guarded::Calls::reads);
            ssize_t got = -1;
            if (error == 0) {
                got = ::pread(fd_, bytes.data() + done, bytes.size() - done, static_cast<off_t>(at + done));
                error = got < 0 ? errno : 0;
            }
            if (error == EINTR) continue;
            if (error != 0) guarded::fail_with(path_, "reading", error);
            if (got == 0) break;
            done += static_cast<std::size_t>(got);
        }
        return done;
    }

private:
    const std::filesystem::path& path_;
    int fd_ = -1;
};

} // namespace

BlockFileWriter::BlockFileWriter(std::filesystem::path path, BlockTerms terms, Spooling waiting)
    : path_(std::move(path)), terms_(std::move(terms)), in_memory_bytes_(waiting.in_memory_bytes),
      spool_({std::move(waiting.folder), 0}), file_(path_), next_(terms_.share.first),
      entries_(terms_.share.count()) {
    write(head_of(terms_));
}

void BlockFileWriter::write(std::span<const std::uint8_t> bytes) {
    file_.write({reinterpret_cast<const char*>(bytes.data()), bytes.size()});
    end_ += bytes.size();
}

void BlockFileWriter::append(const BlockRecord& record) {
    write(record.runs);
    write(record.answers);
    ++next_;
}

BlockEntry& BlockFileWriter::entry_of(std::size_t number) { return entries_[number - terms_.share.first]; }

void BlockFileWriter::put(std::size_t number, BlockRecord record) {
    if (number < terms_.share.first || number >= terms_.share.end) {
        throw std::logic_error("a block that is not in the part's share");
    }
    const BlockEntry entry{record.runs.size(), checksum(record.runs), record.answers.size(),
                           checksum(record.answers)};
    const std::scoped_lock lock(mutex_);
    entry_of(number) = entry;
    if (number != next_) {
        waiting_.emplace(number, kept(std::move(record)));
        return;
    }
    append(record);
    for (auto first = waiting_.begin(); first != waiting_.end() && first->first == next_;
         first = waiting_.erase(first)) {
        append(taken(first->first, std::move(first->second)));
    }
}

BlockFileWriter::Waiting BlockFileWriter::kept(BlockRecord record) {
    const std::size_t bytes = record.runs.size() + record.answers.size();
    if (waiting_bytes_ + bytes <= in_memory_bytes_) {
        waiting_bytes_ += bytes;
        return record;
    }
    const std::uint64_t runs_at = spool_.put(std::as_bytes(std::span(record.runs)));
    return Spooled{runs_at, spool_.put(std::as_bytes(std::span(record.answers)))};
}

BlockRecord BlockFileWriter::taken(std::size_t number, Waiting waiting) {
    if (auto* const record = std::get_if<BlockRecord>(&waiting)) {
        waiting_bytes_ -= record->runs.size() + record->answers.size();
        return std::move(*record);
    }
    const Spooled& at = std::get<Spooled>(waiting);
    const BlockEntry& entry = entry_of(number);
    BlockRecord record{std::vector<std::uint8_t>(entry.runs_bytes),
                       std::vector<std::uint8_t>(entry.answers_bytes)};
    spool_.get(at.runs_at, std::as_writable_bytes(std::span(record.runs)));
    spool_.get(at.answers_at, std::as_writable_bytes(std::span(record.answers)));
    return record;
}

void BlockFileWriter::finish() {
    const std::scoped_lock lock(mutex_);
    if (next_ != terms_.share.end) throw std::logic_error("not every block of the part was kept");
    write(end_of(entries_, end_));
    file_.close();
    const BlockFileReader reader(path_);
    if (reader.terms().share != terms_.share || reader.terms().run != terms_.run ||
        reader.entries() != entries_) {
        guarded::fail(path_, "reads otherwise than it was written");
    }
    for (std::size_t number = terms_.share.first; number < terms_.share.end; ++number) {
        stop_if_asked();
        (void)reader.runs(number); // whose sums are compared
        (void)reader.answers(number);
    }
}

BlockFileReader::BlockFileReader(std::filesystem::path path) : path_(std::move(path)) {
    std::error_code failed;
    bytes_ = std::filesystem::file_size(path_, failed);
    if (failed) {
        throw InputError(path_.string(), "cannot be found", "give folders that parts of a run have made");
    }
    read_entries(read_head());
}

void BlockFileReader::refuse(const std::string& wrong) const {
    guarded::fail(path_, wrong + ": it is damaged or cut off");
}

/// @returns where the records begin
std::uint64_t BlockFileReader::read_head() {
    const std::vector<std::uint8_t> start = read(0, std::min(start_bytes, bytes_));
    if (start.size() < start_bytes || !std::equal(magic.begin(), magic.end(), start.begin())) {
        throw InputError(path_.string(), "is no file of a part of a run",
                         "give the folder as the part made it");
    }
    const std::span<const std::uint8_t> behind_magic = std::span(start).subspan(magic.size());
    ByteReader of_start(behind_magic, path_.string());
    const auto version = of_start.number<std::uint32_t>();
    if (version != format_version) {
        throw InputError(path_.string(),
                         "is of version " + std::to_string(version) +
                             " of its format, and this program knows version " +
                             std::to_string(format_version),
                         "make parts and whole with the same program");
    }
    const std::uint64_t before_sum = start_bytes + of_start.number<std::uint32_t>();
    if (before_sum + sum_bytes > bytes_) refuse("is shorter than it says");
    const std::vector<std::uint8_t> head = read(0, before_sum + sum_bytes);
    const std::span<const std::uint8_t> summed = std::span(head).first(before_sum);
    if (ByteReader(std::span(head).subspan(before_sum), path_.string()).number<std::uint64_t>() !=
        checksum(summed)) {
        refuse("has a broken head");
    }
    ByteReader of_terms(summed.subspan(start_bytes), path_.string());
    const auto first = of_terms.number<std::uint64_t>(), end = of_terms.number<std::uint64_t>();
    if (first > end) refuse("has a broken head");
    terms_.share = {static_cast<std::size_t>(first), static_cast<std::size_t>(end)};
    const std::span<const std::uint8_t> rest = of_terms.bytes(of_terms.left());
    terms_.run.assign(rest.begin(), rest.end());
    return before_sum + sum_bytes;
}

/// @param first  where the records begin
void BlockFileReader::read_entries(std::uint64_t first) {
    const std::uint64_t count = terms_.share.count();
    if (count > bytes_ / entry_bytes || first + count * entry_bytes + end_bytes > bytes_) {
        refuse("is shorter than it says");
    }
    const std::uint64_t records_end = bytes_ - end_bytes - count * entry_bytes;
    const std::vector<std::uint8_t> end = read(records_end, bytes_ - records_end);
    ByteReader from(end, path_.string());
    std::uint64_t at = first;
    for (std::uint64_t i = 0; i < count; ++i) {
        pass(from, entries_.emplace_back());
        at_.push_back(at);
        at += entries_.back().runs_bytes + entries_.back().answers_bytes;
    }
    const auto told_bytes = from.number<std::uint64_t>(), sum = from.number<std::uint64_t>();
    if (sum != checksum(std::span(end).first(end.size() - sum_bytes)) || told_bytes != bytes_ ||
        at != records_end) {
        refuse("has a broken list of blocks");
    }
}

std::vector<std::uint8_t> BlockFileReader::runs(std::size_t number) const {
    const std::size_t i = number - terms_.share.first;
    return read_whole(at_.at(i), entries_.at(i).runs_bytes, entries_.at(i).runs_sum);
}

std::vector<std::uint8_t> BlockFileReader::answers(std::size_t number) const {
    const std::size_t i = number - terms_.share.first;
    return read_whole(at_.at(i) + entries_.at(i).runs_bytes, entries_.at(i).answers_bytes,
                      entries_.at(i).answers_sum);
}

std::vector<std::uint8_t> BlockFileReader::read_whole(std::uint64_t at, std::uint64_t bytes,
                                                      std::uint64_t sum) const {
    std::vector<std::uint8_t> record = read(at, bytes);
    if (checksum(record) != sum) refuse("holds a block that is not what was written");
    return record;
}

std::vector<std::uint8_t> BlockFileReader::read(std::uint64_t at, std::uint64_t bytes) const {
    const OpenFile file(path_);
    std::vector<std::uint8_t> record(static_cast<std::size_t>(bytes));
    if (file.read(at, record) < record.size()) refuse("is shorter than it was");
    return record;
}

} // namespace swingroom
