#include "base/nearest_name.hpp"

#include <algorithm>
#include <numeric>
#include <utility>
#include <vector>

namespace swingroom {

std::size_t edit_distance(std::string_view a, std::string_view b) {
    const auto plain = [](char c) { return c == '_' ? '-' : c; };
    const auto same = [&](std::size_t i, std::size_t j) { return plain(a[i]) == plain(b[j]); };
    // Rows of the table of distances between beginnings: the one at work and the two before it.
    std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 0; i < a.size(); ++i) {
        before = std::exchange(last, row);
        row[0] = i + 1;
        for (std::size_t j = 0; j < b.size(); ++j) {
            row[j + 1] = std::min({last[j + 1] + 1, row[j] + 1, last[j] + (same(i, j) ? 0 : 1)});
            if (i > 0 && j > 0 && same(i, j - 1) && same(i - 1, j)) {
                row[j + 1] = std::min(row[j + 1], before[j - 1] + 1);
            }
        }
    }
    return row.back();
}

namespace {

/// How many letters of a word may be wrong. Short words are all near to each other.
std::size_t slips_in(std::size_t letters) {
    if (letters < 3) return 0;
    return letters < 5 ? 1 : std::max<std::size_t>(2, letters / 3);
}

} // namespace

std::string_view nearest_name(std::string_view misspelt, std::span<const std::string_view> names) {
    constexpr std::size_t telling = 3; // letters
    if (misspelt.size() >= telling) {
        for (const std::string_view name : names) {
            if (name.starts_with(misspelt)) return name;
        }
    }
    std::string_view nearest;
    std::size_t least = slips_in(misspelt.size()) + 1;
    for (const std::string_view name : names) {
        if (const std::size_t distance = edit_distance(misspelt, name); distance < least) {
            least = distance;
            nearest = name;
        }
    }
    return nearest;
}

} // namespace swingroom
