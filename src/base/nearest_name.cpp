#include "base/nearest_name.hpp"

#include <algorithm>
#include <numeric>
#include <vector>

namespace swingroom {

std::size_t edit_distance(std::string_view a, std::string_view b) {
    const auto plain = [](char c) { return c == '_' ? '-' : c; };
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 0; i < a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i + 1;
        for (std::size_t j = 0; j < b.size(); ++j) {
            const std::size_t changed = diagonal + (plain(a[i]) == plain(b[j]) ? 0 : 1);
            diagonal = row[j + 1];
            row[j + 1] = std::min({row[j + 1] + 1, row[j] + 1, changed});
        }
    }
    return row.back();
}

std::string_view nearest_name(std::string_view misspelt, std::span<const std::string_view> names) {
    std::string_view nearest;
    std::size_t least = std::max<std::size_t>(2, misspelt.size() / 3) + 1;
    for (const std::string_view name : names)
        if (const std::size_t distance = edit_distance(misspelt, name); distance < least) {
            least = distance;
            nearest = name;
        }
    return nearest;
}

} // namespace swingroom
