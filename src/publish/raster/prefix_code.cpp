#include "publish/raster/prefix_code.hpp"

#include <algorithm>
#include <functional>
#include <queue>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

constexpr int longest_word = 15; // of Deflate

/// Two that were joined: a symbol, or behind these the place of an earlier pair.
using Pair = std::pair<std::size_t, std::size_t>;

/// Joins the two that occur least, again and again; the last pair is the root.
std::vector<Pair> joined_pairs(std::span<const std::uint32_t> frequencies) {
    using Node =
        std::pair<std::uint64_t, std::size_t>; // ties go by place, so that the code is always the same
    std::priority_queue<Node, std::vector<Node>, std::greater<>> nodes;
    for (std::size_t symbol = 0; symbol < frequencies.size(); ++symbol) {
        if (frequencies[symbol] > 0) nodes.emplace(frequencies[symbol], symbol);
    }
    std::vector<Pair> pairs;
    while (nodes.size() > 1) {
        const Node least = nodes.top();
        nodes.pop();
        const Node next = nodes.top();
        nodes.pop();
        nodes.emplace(least.first + next.first, frequencies.size() + pairs.size());
        pairs.emplace_back(least.second, next.second);
    }
    return pairs;
}

/// @returns the greatest length
int lengths_of(const std::vector<Pair>& pairs, std::span<std::uint8_t> lengths) {
    std::vector<int> depths(pairs.size());
    int greatest = 0;
    for (std::size_t i = pairs.size(); i-- > 0;) {
        for (const std::size_t child : {pairs[i].first, pairs[i].second}) {
            const int depth = depths[i] + 1;
            if (child >= lengths.size()) {
                depths[child - lengths.size()] = depth;
            } else {
                lengths[child] = static_cast<std::uint8_t>(std::min(depth, 255));
                greatest = std::max(greatest, depth);
            }
        }
    }
    return greatest;
}

std::uint16_t reversed(unsigned bits, int length) {
    unsigned turned = 0;
    for (int i = 0; i < length; ++i) {
        turned = turned << 1U | (bits >> static_cast<unsigned>(i) & 1U);
    }
    return static_cast<std::uint16_t>(turned);
}

} // namespace

void find_code_lengths(std::span<const std::uint32_t> frequencies, int most,
                       std::span<std::uint8_t> lengths) {
    std::fill(lengths.begin(), lengths.end(), std::uint8_t{0});
    std::vector<std::uint32_t> evened(frequencies.begin(), frequencies.end());
    for (;;) {
        const std::vector<Pair> pairs = joined_pairs(evened);
        if (pairs.empty()) {
            const auto alone =
                std::find_if(evened.begin(), evened.end(), [](std::uint32_t often) { return often > 0; });
            if (alone != evened.end()) lengths[static_cast<std::size_t>(alone - evened.begin())] = 1;
            return;
        }
        if (lengths_of(pairs, lengths) <= most) return;
        for (std::uint32_t& often : evened) {
            often = often / 2 + often % 2;
        }
    }
}

void find_code_words(std::span<const std::uint8_t> lengths, std::span<CodeWord> words) {
    std::array<unsigned, longest_word + 1> words_of{}, next{}; // by length
    for (const std::uint8_t length : lengths) {
        if (length > 0) ++words_of.at(length);
    }
    for (std::size_t length = 1; length < next.size(); ++length) {
        next.at(length) = (next.at(length - 1) + words_of.at(length - 1)) * 2;
    }
    for (std::size_t symbol = 0; symbol < lengths.size(); ++symbol) {
        const std::uint8_t length = lengths[symbol];
        words[symbol] = {length > 0 ? reversed(next.at(length)++, length) : std::uint16_t{0}, length};
    }
}

} // namespace swingroom
