#pragma once

#include "sea/raster/bathymetry_values.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <tuple>

namespace swingroom::bathymetry {

/// What a depth can be, in raw values of type T.
template <class T>
struct Sound {
    T nodata, also_nodata, least, most;
    std::array<T, std::tuple_size_v<decltype(BandValues::marks)>> marks;
    /// Between these, next to which lies the least or the most or a value with a meaning, all are depths.
    T above, below;

    /// @param least_m, greatest_m  what the values may be
    Sound(const BandValues& band, ToMetres to_depth_m, double least_m, double greatest_m)
        : nodata(static_cast<T>(band.nodata)), also_nodata(static_cast<T>(band.also_nodata)) {
        const double at_deepest = (greatest_m - to_depth_m.constant) / to_depth_m.factor,
                     at_highest = (least_m - to_depth_m.constant) / to_depth_m.factor;
        least = static_cast<T>(std::max(-sentinel, std::min(at_deepest, at_highest)));
        most = static_cast<T>(std::min(sentinel, std::max(at_deepest, at_highest)));
        for (std::size_t i = 0; i < marks.size(); ++i) {
            marks[i] = static_cast<T>(band.marks[i]);
        }
        above = least;
        below = most;
        keep_out(nodata);
        keep_out(also_nodata);
        std::for_each(marks.begin(), marks.end(), [this](T mark) { keep_out(mark); });
    }
    /// Whether a value is surely a depth; not every depth is.
    [[nodiscard]] int plain_depth(T raw) const {
        return static_cast<int>(raw > above) & static_cast<int>(raw < below);
    }
    [[nodiscard]] int missing(T raw) const { // bitwise, no branch
        return static_cast<int>(!(std::abs(raw) < static_cast<T>(sentinel))) |
               static_cast<int>(raw == nodata) | static_cast<int>(raw == also_nodata);
    }
    [[nodiscard]] int impossible(T raw) const {
        int marked = 0;
        for (const T mark : marks) {
            marked |= static_cast<int>(raw == mark);
        }
        return static_cast<int>(!(raw <= most)) | static_cast<int>(!(raw >= least)) | marked;
    }

private:
    void keep_out(T value) { // most depths are about zero
        if (value < 0) {
            above = std::max(above, value);
        } else if (value >= 0) { // not a NaN, which stands for nothing
            below = std::min(below, value);
        }
    }
};

} // namespace swingroom::bathymetry
