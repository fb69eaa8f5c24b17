#include "report/picture_words.hpp"

#include <algorithm>
#include <limits>
#include <ranges>
#include <string_view>

namespace swingroom {
namespace {

/// From one line to the next, and what letters stand above and below their base line; in their height.
constexpr double line_em = 1.15, above_em = 0.85, below_em = 0.3;

PictureWords::Boxes boxes_of(const std::vector<std::size_t>& letters, const WordsAt& at) {
    PictureWords::Boxes boxes;
    const auto longest = static_cast<double>(*std::ranges::max_element(letters));
    for (std::size_t size = 0; size < boxes.size(); ++size) {
        const double letter_px = PictureWords::letters_px.at(size),
                     width_px = longest * letter_px * PictureWords::letter_width;
        const std::string_view anchor = at.anchor;
        const double left = anchor == "start" ? at.x
                            : anchor == "end" ? at.x - width_px
                                              : at.x - width_px / 2;
        const double base = at.y + at.em * letter_px;
        const double last = base + static_cast<double>(letters.size() - 1) * line_em * letter_px;
        boxes.at(size) = {left, base - above_em * letter_px, left + width_px, last + below_em * letter_px};
    }
    return boxes;
}

bool holds(const MapBox& frame, const MapBox& box) {
    return frame.left <= box.left && box.right <= frame.right && frame.top <= box.top &&
           box.bottom <= frame.bottom;
}

} // namespace

void PictureWords::keep_off(const MapBox& line) {
    for (std::vector<MapBox>& taken : taken_) {
        taken.push_back(line);
    }
}

bool PictureWords::is_free(const Boxes& boxes, std::size_t size) const {
    return holds(frame_, boxes.at(size)) && std::ranges::none_of(taken_.at(size), [&](const MapBox& taken) {
               return taken.meets(boxes.at(size));
           });
}

std::size_t PictureWords::avoided_in(const Boxes& boxes) const {
    std::size_t points = 0;
    for (const MapBox& box : boxes) {
        points += static_cast<std::size_t>(std::ranges::count_if(avoided_, [&box](const GridPoint& point) {
            return box.left < point.x && point.x < box.right && box.top < point.y && point.y < box.bottom;
        }));
    }
    return points;
}

std::optional<PictureWords::Place> PictureWords::take(const std::vector<std::size_t>& letters,
                                                      const std::vector<WordsAt>& candidates) {
    constexpr std::size_t not_on_narrow = 1'000'000; // worse than any number of points
    std::optional<Place> best;
    std::size_t least = std::numeric_limits<std::size_t>::max();
    for (const WordsAt& at : candidates) {
        const Boxes boxes = boxes_of(letters, at);
        if (!is_free(boxes, 0)) continue;
        const bool narrow = is_free(boxes, 1);
        const std::size_t cost = avoided_in(boxes) + (narrow ? 0 : not_on_narrow);
        if (cost >= least) continue;
        least = cost;
        best = Place{at, boxes, narrow};
    }
    if (!best) return best;
    taken_[0].push_back(best->boxes[0]);
    if (best->narrow) taken_[1].push_back(best->boxes[1]);
    return best;
}

} // namespace swingroom
