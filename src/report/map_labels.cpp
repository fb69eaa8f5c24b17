#include "report/map_labels.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <utility>

namespace swingroom {

MapLabels::Place MapLabels::take(GridPoint base, const std::string& words) {
    const double half = letter_ * static_cast<double>(words.size()) / 2, line = 2 * letter_;
    const MapBox box{base.x - half, base.y - line, base.x + half, base.y + 0.4 * letter_};
    if (box.left < 0 || box.right > width_ || box.top < 0 || box.bottom > height_) return {};
    if (std::any_of(taken_.begin(), taken_.end(), [&](const MapBox& other) { return box.meets(other); })) {
        return {};
    }
    taken_.push_back(box);
    return {true, base};
}

MapLabels::Place MapLabels::upon(GridPoint point, const std::string& words) {
    return take({point.x, point.y + 0.7 * letter_}, words);
}

MapLabels::Place MapLabels::beside(GridPoint point, const std::string& words, double clear) {
    const double half = letter_ * static_cast<double>(words.size()) / 2 + 2;
    for (const double off : {clear, clear + 1.5 * letter_}) {
        const std::array<std::pair<double, double>, 8> places = {
            {{0, -off},
             {0, off + 1.8 * letter_},
             {off + half, 0.7 * letter_},
             {-off - half, 0.7 * letter_},
             {0.7 * off + half, -0.7 * off},
             {-0.7 * off - half, -0.7 * off},
             {0.7 * off + half, 0.7 * off + 1.5 * letter_},
             {-0.7 * off - half, 0.7 * off + 1.5 * letter_}}};
        for (const auto& [x, y] : places) {
            if (const Place place = take({point.x + x, point.y + y}, words); place.found) return place;
        }
    }
    return {};
}

void MapLabels::keep_clear(GridPoint of, double half_side) {
    taken_.push_back({of.x - half_side, of.y - half_side, of.x + half_side, of.y + half_side});
}

} // namespace swingroom
