#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <random>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::testing_support {

/// A scene drawn in a test: one string per row, blank lines and indents left out.
using Drawing = std::vector<std::string>;

inline Drawing draw(std::string_view text) {
    Drawing rows;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t begin = text.find_first_not_of(" \n", at);
        if (begin == std::string_view::npos) break;
        const std::size_t end = std::min(text.find_first_of(" \n", begin), text.size());
        rows.emplace_back(text.substr(begin, end - begin));
        at = end;
    }
    return rows;
}

inline std::string text_of(const Drawing& rows) {
    std::string text = "\n";
    for (const std::string& row : rows) {
        text += row + "\n";
    }
    return text;
}

/// Random numbers that are the same with every standard library, unlike those of the standard distributions:
/// a seed in a message must be enough to see the same scene again.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    /// Uniform in [0, 1).
    double unit() { return static_cast<double>(engine_() >> 11) * 0x1p-53; }
    double between(double low, double high) { return low + (high - low) * unit(); }
    /// Uniform in [low, high], both ends included.
    int whole(int low, int high) { return low + static_cast<int>(unit() * (high - low + 1)); }
    bool chance(double p) { return unit() < p; }

private:
    std::mt19937_64 engine_;
};

} // namespace swingroom::testing_support
