#include "swingroom/publish/part_record.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"

#include "base/byte_stream.hpp"
#include "base/passed_fact.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/folder/sha256.hpp"

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <optional>
#include <span>
#include <string_view>
#include <system_error>

namespace swingroom {

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, PartOfRun>& number) {
    pass_all(bytes, number.part, number.parts);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, SampledInput>& input) {
    pass_all(bytes, input.file.path, input.file.sha256, input.file.bytes, input.file.changed_ns,
             input.sample_sha256);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, std::pair<std::string, std::vector<std::string>>>& option) {
    pass_all(bytes, option.first, option.second);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, RunTerms>& terms) {
    pass_all(bytes, terms.made_by, terms.given, terms.effective_plan, terms.charts, terms.boat_text,
             terms.tide_text, terms.facts);
}

namespace {

namespace fs = std::filesystem;

constexpr const char* record_file = "part.bin";
/// The version stands behind it, so that a part of another one is named as such whatever its layout is.
constexpr std::string_view magic = "swingroom part\n";
constexpr std::uint32_t layout = 2;

const char* const make_anew = "make the parts anew, all by one plan of the same inputs";

std::string name_of(PartOfRun number) {
    return "part " + std::to_string(number.part) + " of " + std::to_string(number.parts);
}

/// Lines of a plan that one has and the other has not.
std::optional<std::string> first_difference(const std::string& plan, const std::string& other) {
    if (plan == other) return std::nullopt;
    const auto differs = std::mismatch(plan.begin(), plan.end(), other.begin(), other.end()).first;
    const auto begin = std::find(std::make_reverse_iterator(differs), plan.rend(), '\n').base();
    return std::string(begin, std::find(begin, plan.end(), '\n'));
}

/// Refuses a part that is not of the first one's run.
void require_same_run(const PartRecord& first, const fs::path& first_folder, const PartRecord& other,
                      const fs::path& folder) {
    if (other.number.parts != first.number.parts) {
        throw InputError(folder.string(),
                         "is " + name_of(other.number) + ", and " + first_folder.string() + " is " +
                             name_of(first.number),
                         "give parts of one run");
    }
    if (other.terms.made_by != first.terms.made_by) {
        throw InputError(folder.string(),
                         "was made by another build of the program than " + first_folder.string() +
                             ", or with other libraries",
                         "make and merge parts with one build");
    }
    if (const auto line = first_difference(other.terms.effective_plan, first.terms.effective_plan)) {
        throw InputError(folder.string(),
                         "is of another plan than " + first_folder.string() +
                             (line->empty() ? "" : ": \"" + *line + "\" is not in both"),
                         make_anew);
    }
    const auto names = [](const PartRecord& record) {
        std::vector<std::string> all;
        for (const SampledInput& input : record.inputs) {
            all.push_back(input.file.path);
        }
        return all;
    };
    if (names(first) != names(other)) {
        throw InputError(folder.string(), "has read other files than " + first_folder.string(), make_anew);
    }
    for (std::size_t i = 0; i < first.inputs.size(); ++i) {
        const SampledInput &a = first.inputs[i], &b = other.inputs[i];
        const std::string& file = a.file.path;
        if (a.file.bytes != b.file.bytes || a.sample_sha256 != b.sample_sha256) {
            throw InputError(folder.string(),
                             "has read another " + file + " than " + first_folder.string() + " has",
                             make_anew);
        }
        // Whole seconds, which every file system and every copy with its time keeps.
        constexpr std::int64_t second_ns = 1'000'000'000;
        if (a.file.changed_ns / second_ns != b.file.changed_ns / second_ns) {
            throw InputError(folder.string(),
                             file + " was changed, or copied without its time, between this part and " +
                                 first_folder.string(),
                             "copy inputs with cp -p, and make the parts anew");
        }
    }
    if (first.terms.given != other.terms.given || first.terms.charts != other.terms.charts ||
        first.terms.boat_text != other.terms.boat_text || first.terms.tide_text != other.terms.tide_text) {
        throw InputError(folder.string(), "was made by other options than " + first_folder.string(),
                         make_anew);
    }
    const auto facts = [](const PartRecord& record) {
        std::vector<std::string> lines;
        for (const Fact& fact : record.terms.facts) {
            lines.push_back(fact_line(fact));
        }
        return lines;
    };
    if (facts(first) != facts(other)) {
        throw InputError(folder.string(), "assumes other things than " + first_folder.string(), make_anew);
    }
}

} // namespace

SampledInput sample_of_file(const std::string& path) {
    constexpr std::uint64_t stretches = 64, stretch_bytes = 4096;
    SampledInput sampled{{path, {}, 0, last_change_ns(path)}, {}};
    std::error_code error;
    if (!fs::is_regular_file(path, error)) throw IoError(path, "is no plain file");
    sampled.file.bytes = fs::file_size(path, error);
    if (error) guarded::fail_with(path, "cannot be read", error.value());
    std::ifstream file(path, std::ios::binary);
    Sha256 sum;
    std::array<char, stretch_bytes> buffer{};
    const std::uint64_t bytes = sampled.file.bytes;
    const std::uint64_t last = bytes > stretch_bytes ? bytes - stretch_bytes : 0;
    const bool whole = bytes <= stretches * stretch_bytes;
    for (std::uint64_t i = 0; whole ? i * stretch_bytes < bytes : i < stretches; ++i) {
        const std::uint64_t begin =
            whole ? i * stretch_bytes
                  : last / (stretches - 1) * i + last % (stretches - 1) * i / (stretches - 1);
        const std::uint64_t here = std::min(stretch_bytes, bytes - begin);
        file.seekg(static_cast<std::streamoff>(begin));
        if (!file.read(buffer.data(), static_cast<std::streamsize>(here))) {
            throw IoError(path, "cannot be read");
        }
        sum.add({buffer.data(), static_cast<std::size_t>(here)});
    }
    sampled.sample_sha256 = sum.hex();
    return sampled;
}

int digesting_part(std::size_t input, int parts) {
    return static_cast<int>(input % static_cast<std::size_t>(parts)) + 1;
}

void write_part_record(const fs::path& folder, const PartRecord& record) {
    ByteWriter body;
    pass_all(body, record.number, record.terms, record.inputs);
    ByteWriter head;
    head.number(layout);
    pass(head, record.terms.version);
    head.number(static_cast<std::uint64_t>(body.all().size()));
    head.number(checksum(body.all()));
    const auto text = [](const std::vector<std::uint8_t>& bytes) {
        return std::string(bytes.begin(), bytes.end());
    };
    guarded::Writer writer(folder / record_file);
    writer.write(std::string(magic) + text(head.all()) + text(body.all()));
    writer.close();
}

PartRecord read_part_record(const fs::path& folder) {
    const fs::path path = folder / record_file;
    std::error_code error;
    if (!fs::is_regular_file(path, error)) {
        throw InputError(folder.string(), "is no part of a run: it holds no " + std::string(record_file),
                         "give folders that parts of a run have made");
    }
    std::string text;
    guarded::read_file(path, [&](std::string_view bytes) { text += bytes; });
    if (!text.starts_with(magic)) {
        throw InputError(path.string(), "is no record of a part",
                         "give folders that parts of a run have made");
    }
    const std::vector<std::uint8_t> bytes(text.begin() + static_cast<std::ptrdiff_t>(magic.size()),
                                          text.end());
    ByteReader from(bytes, path.string());
    const auto of_layout = from.number<std::uint32_t>();
    PartRecord record;
    pass(from, record.terms.version);
    if (of_layout != layout || record.terms.version != version()) {
        throw InputError(folder.string(),
                         "was made by version " + record.terms.version + " of the program, and this is " +
                             std::string(version()),
                         "make and merge parts with one version");
    }
    const auto length = from.number<std::uint64_t>(), sum = from.number<std::uint64_t>();
    if (from.left() != length || checksum(std::span(bytes).last(from.left())) != sum) {
        from.refuse("is cut off or damaged");
    }
    pass_all(from, record.number, record.terms, record.inputs);
    from.require_end();
    if (record.number.part < 1 || record.number.part > record.number.parts) from.refuse("is damaged");
    return record;
}

std::optional<PartRecord> part_in(const fs::path& folder) {
    std::error_code error;
    if (!fs::is_regular_file(folder / record_file, error)) return std::nullopt;
    try {
        return read_part_record(folder);
    } catch (const InputError&) {
        return std::nullopt;
    } catch (const IoError&) { // damaged
        return std::nullopt;
    }
}

bool is_same_part(const PartRecord& a, const PartRecord& b) {
    if (a.number.part != b.number.part) return false;
    try {
        require_same_run(a, {}, b, {});
        return true;
    } catch (const InputError&) {
        return false;
    }
}

PartsOfRun read_parts(const std::vector<fs::path>& folders) {
    std::vector<std::pair<PartRecord, fs::path>> parts;
    for (const fs::path& folder : folders) {
        parts.emplace_back(read_part_record(folder), folder);
    }
    const auto& [first, first_folder] = parts.at(0);
    for (const auto& [part, folder] : parts) {
        require_same_run(first, first_folder, part, folder);
    }
    std::stable_sort(parts.begin(), parts.end(),
                     [](const auto& a, const auto& b) { return a.first.number.part < b.first.number.part; });
    PartsOfRun run;
    int expected = 1;
    for (const auto& [part, folder] : parts) {
        if (part.number.part == expected - 1) {
            throw InputError(folder.string(),
                             "is " + name_of(part.number) + ", as " + run.folders.back().string() + " is",
                             "give each part once");
        }
        if (part.number.part > expected) break;
        run.folders.push_back(folder);
        ++expected;
    }
    const int wanted = parts.front().first.number.parts;
    if (expected <= wanted) {
        throw InputError(name_of({expected, wanted}), "is missing", "make it, and give its folder, too");
    }
    run.terms = parts.front().first.terms;
    for (std::size_t i = 0; i < parts.front().first.inputs.size(); ++i) {
        const auto digesting = static_cast<std::size_t>(digesting_part(i, wanted)) - 1;
        run.inputs.push_back(parts.at(digesting).first.inputs[i].file);
        run.inputs.back().changed_ns = 0; // they need not be there any more
    }
    return run;
}

} // namespace swingroom
