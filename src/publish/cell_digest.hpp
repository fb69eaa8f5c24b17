#pragma once

#include "swingroom/base/grid.hpp"

#include <bit>
#include <cstddef>
#include <cstdint>
#include <type_traits>
#include <vector>

namespace swingroom {

/// A sum over cells that depends on each cell's value and place but not on the order of the windows: what was
/// written in blocks by several threads is compared with what is read in tiles. Each cell's bits are weighted
/// by odd pseudo-random numbers of its column and row, so one changed cell always changes the sum, and
/// several together do not but by a chance of about 2^-31. It guards against lost writes, not against malice:
/// the manifest's SHA-256 does that.
class CellDigest {
public:
    explicit CellDigest(int cols) : weights_(static_cast<std::size_t>(cols)) {
        for (std::size_t col = 0; col < weights_.size(); ++col) {
            weights_[col] = static_cast<std::uint32_t>(mixed(col) >> 32U) | 1U;
        }
    }

    /// The part that a window of cells, row-major, adds to the sum (modulo 2^64).
    template <class T>
    [[nodiscard]] std::uint64_t of(const T* cells, Window window) const {
        std::uint64_t sum = 0;
        for (int row = 0; row < window.rows; ++row) {
            const std::uint32_t* weight = weights_.data() + window.col;
            std::uint64_t row_sum = 0;
            for (int col = 0; col < window.cols; ++col) {
                row_sum += static_cast<std::uint64_t>(bits(cells[col])) * weight[col];
            }
            sum += row_sum * (mixed(static_cast<std::uint64_t>(window.row + row) + row_salt) | 1U);
            cells += window.cols;
        }
        return sum;
    }

private:
    static constexpr std::uint64_t row_salt = 0x5851f42d4c957f2d;

    /// The finaliser of splitmix64 (Steele, Lea, Flood: Fast Splittable Pseudorandom Number Generators,
    /// 2014).
    static constexpr std::uint64_t mixed(std::uint64_t x) {
        x += 0x9e3779b97f4a7c15;
        x = (x ^ (x >> 30U)) * 0xbf58476d1ce4e5b9;
        x = (x ^ (x >> 27U)) * 0x94d049bb133111eb;
        return x ^ (x >> 31U);
    }
    template <class T>
    static std::uint32_t bits(T value) {
        if constexpr (std::is_same_v<T, float>) {
            return std::bit_cast<std::uint32_t>(value);
        } else {
            return static_cast<std::uint32_t>(value);
        }
    }
    std::vector<std::uint32_t> weights_;
};

} // namespace swingroom
