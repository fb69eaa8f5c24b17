#pragma once

#include "report/map_labels.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

namespace swingroom {

/// Where words may stand: the base line of their first line is so many letters' heights below y.
struct WordsAt {
    double x = 0;
    const char* anchor = "middle"; ///< of SVG: start, middle or end
    double y = 0, em = 0;
};

/// Keeps words off each other and off lines in a picture whose letters are of one size on a wide screen and,
/// beside the picture, of a larger one on a narrow screen.
class PictureWords {
public:
    /// Heights of letters in the picture's units, and how wide one of so high is at the most, mostly.
    static constexpr std::array<double, 2> letters_px = {13, 23};
    static constexpr double letter_width = 0.6;
    /// What words take up, by the size of letters.
    using Boxes = std::array<MapBox, 2>;

    /// @param frame  words stay within
    explicit PictureWords(const MapBox& frame) : frame_(frame) {}

    /// Keeps words off a line.
    void keep_off(const MapBox& line);
    /// A point that words are put elsewhere for, if there is room.
    void avoid(const GridPoint& point) { avoided_.push_back(point); }

    struct Place {
        WordsAt at;
        Boxes boxes;
        bool narrow = false; ///< whether there is room on a narrow screen, too
    };
    /// Takes the best of some places for words; nothing: there is room at none.
    /// @param letters  how many each line has   @param candidates  the best liked first
    std::optional<Place> take(const std::vector<std::size_t>& letters,
                              const std::vector<WordsAt>& candidates);

private:
    [[nodiscard]] bool is_free(const Boxes& boxes, std::size_t size) const;
    [[nodiscard]] std::size_t avoided_in(const Boxes& boxes) const;

    MapBox frame_;
    std::array<std::vector<MapBox>, 2> taken_;
    std::vector<GridPoint> avoided_;
};

} // namespace swingroom
