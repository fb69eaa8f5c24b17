#include "overlay/packed_runs.hpp"

#include <algorithm>
#include <bit>
#include <cstring>

namespace swingroom {

PackedRuns::PackedRuns(const BlockRuns& runs) : rows_(runs.size()) {
    for (const std::vector<Run>& row : runs) {
        put_row(row);
    }
    bytes_.shrink_to_fit();
    above_.clear();
}

/// How many there are; then of each the cells between it and the one before, how many cells it has, its
/// verdict, to which of them a way leads, and the figures that are other than those of the run above, which
/// is taken to be the one of the same place in its row: a bit for each word, then these words.
void PackedRuns::put_row(const std::vector<Run>& runs) {
    put_number(static_cast<std::uint32_t>(runs.size()));
    above_.resize(std::max(above_.size(), runs.size()), std::bit_cast<Words>(ZoneFigures()));
    int end = 0;
    for (std::size_t i = 0; i < runs.size(); ++i) {
        const Run& run = runs[i];
        put_number(static_cast<std::uint32_t>(run.begin - end));
        put_number(static_cast<std::uint32_t>(run.end - run.begin));
        end = run.end;
        bytes_.push_back(static_cast<std::uint8_t>(static_cast<unsigned>(run.verdict) << 1 |
                                                   (run.out_of_reach ? 1U : 0U)));
        const Words words = std::bit_cast<Words>(run.figures);
        const std::size_t marks_at = bytes_.size();
        std::uint16_t marks = 0;
        bytes_.resize(marks_at + sizeof marks);
        for (std::size_t word = 0; word < words.size(); ++word) {
            if (words[word] == above_[i][word]) continue;
            marks = static_cast<std::uint16_t>(marks | 1U << word);
            const auto* const from = reinterpret_cast<const std::uint8_t*>(&words[word]);
            bytes_.insert(bytes_.end(), from, from + sizeof words[word]);
        }
        std::memcpy(&bytes_[marks_at], &marks, sizeof marks);
        above_[i] = words;
    }
}

void PackedRuns::take_row(std::vector<Run>& to) {
    const std::size_t count = next_number();
    above_.resize(std::max(above_.size(), count), std::bit_cast<Words>(ZoneFigures()));
    int end = 0;
    for (std::size_t i = 0; i < count; ++i) {
        Run& run = to.emplace_back();
        run.begin = end + static_cast<int>(next_number());
        run.end = end = run.begin + static_cast<int>(next_number());
        const std::uint8_t kind = bytes_[at_++];
        run.verdict = static_cast<Verdict>(kind >> 1);
        run.out_of_reach = (kind & 1U) != 0;
        std::uint16_t marks = 0;
        std::memcpy(&marks, &bytes_[at_], sizeof marks);
        at_ += sizeof marks;
        for (std::size_t word = 0; marks != 0; ++word, marks = static_cast<std::uint16_t>(marks >> 1)) {
            if ((marks & 1U) == 0) continue;
            std::memcpy(&above_[i][word], &bytes_[at_], sizeof(std::uint32_t));
            at_ += sizeof(std::uint32_t);
        }
        run.figures = std::bit_cast<ZoneFigures>(above_[i]);
    }
}

/// Seven bits a byte, the lowest first; the uppermost bit tells that there are more.
void PackedRuns::put_number(std::uint32_t number) {
    constexpr std::uint32_t more = 0x80;
    for (; number >= more; number >>= 7) {
        bytes_.push_back(static_cast<std::uint8_t>(number | more));
    }
    bytes_.push_back(static_cast<std::uint8_t>(number));
}

std::uint32_t PackedRuns::next_number() {
    std::uint32_t number = 0;
    for (int shift = 0;; shift += 7) {
        const std::uint32_t byte = bytes_[at_++];
        number |= (byte & 0x7F) << shift;
        if (byte < 0x80) return number;
    }
}

} // namespace swingroom
