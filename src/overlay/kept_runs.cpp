#include "overlay/kept_runs.hpp"

#include <cassert>
#include <cstring>
#include <span>

namespace swingroom {
namespace {

/// Seven bits a byte, the lowest first; the uppermost bit tells that there are more.
void append_number(std::uint32_t number, std::vector<std::byte>& record) {
    constexpr std::uint32_t more = 0x80;
    for (; number >= more; number >>= 7) {
        record.push_back(static_cast<std::byte>(number | more));
    }
    record.push_back(static_cast<std::byte>(number));
}

std::uint32_t next_number(std::span<const std::byte>& rest) {
    std::uint32_t number = 0;
    for (int shift = 0;; shift += 7) {
        const auto byte = std::to_integer<std::uint32_t>(rest.front());
        rest = rest.subspan(1);
        number |= (byte & 0x7F) << shift;
        if (byte < 0x80) return number;
    }
}

} // namespace

/// A run: the cells between it and the one before, twice its length, and one more where its level follows.
std::vector<std::byte> KeptRuns::record_of(const PassableRuns& of, bool lowest_only) const {
    std::vector<std::byte> record;
    std::uint32_t end = 0;
    for (const PassableRuns::Run& run : of.runs) {
        const bool tells_level = run.level_m != lowest_m_;
        if (tells_level && lowest_only) continue;
        append_number(run.first - end, record);
        append_number((run.end - run.first) << 1 | (tells_level ? 1U : 0U), record);
        if (tells_level) {
            const auto level = std::as_bytes(std::span(&run.level_m, 1));
            record.insert(record.end(), level.begin(), level.end());
        }
        end = run.end;
        if (record.size() > most_bytes(of)) break;
    }
    return record;
}

void KeptRuns::put(std::size_t block, const PassableRuns& of) {
    for (const bool lowest_only : {false, true}) {
        const std::vector<std::byte> record = record_of(of, lowest_only);
        if (record.empty()) return;
        if (record.size() > most_bytes(of)) continue;
        of_block_[block] = {spool_.put(record), record.size(), lowest_only};
        return;
    }
}

bool KeptRuns::get(std::size_t block, Window window, PassableRuns& of) const {
    return get(block, window, false, of);
}

bool KeptRuns::get_lowest(std::size_t block, Window window, PassableRuns& of) const {
    return get(block, window, true, of);
}

bool KeptRuns::get(std::size_t block, Window window, bool lowest_only, PassableRuns& of) const {
    const Record& kept = of_block_[block];
    if (kept.bytes == 0 || (kept.lowest_only && !lowest_only)) return false;
    std::vector<std::byte> record(kept.bytes);
    spool_.get(kept.at, record);
    of.block = window;
    of.runs.clear();
    std::uint32_t end = 0;
    for (std::span<const std::byte> rest(record); !rest.empty();) {
        const std::uint32_t first = end + next_number(rest), length = next_number(rest);
        end = first + (length >> 1);
        float level_m = lowest_m_;
        if ((length & 1) != 0) {
            std::memcpy(&level_m, rest.data(), sizeof level_m);
            rest = rest.subspan(sizeof level_m);
            if (lowest_only) continue;
        }
        of.runs.push_back({first, end, level_m});
    }
    return true;
}

} // namespace swingroom
