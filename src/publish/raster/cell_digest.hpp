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
    /// The part that a window of cells, row-major, adds to the sum (modulo 2^64).
    template <class T>
    [[nodiscard]] static std::uint64_t of(const T* cells, Window window) {
        return of(cells, window.cols, window);
    }
    /// The same of cells whose rows are `stride` cells apart.
    template <class T>
    [[nodiscard]] static std::uint64_t of(const T* cells, std::ptrdiff_t stride, Window window) {
        std::uint64_t sum = 0;
        // Made anew for each window: those of all columns would grow with the raster, and of each layer.
        std::vector<std::uint32_t> weights(static_cast<std::size_t>(window.cols));
        for (std::size_t col = 0; col < weights.size(); ++col) {
            weights[col] = weight_of(static_cast<std::uint64_t>(window.col) + col);
        }
        for (int row = 0; row < window.rows; ++row) {
            sum += weighted_sum(cells, weights.data(), weights.size()) * weight_of_row(window.row + row);
            cells += stride;
        }
        return sum;
    }

    /// That of a window whose cells are all the same.
    template <class T>
    [[nodiscard]] static std::uint64_t of_one(T cell, Window window) {
        std::uint64_t cols = 0, rows = 0;
        for (int col = window.col; col < window.col_end(); ++col) {
            cols += weight_of(static_cast<std::uint64_t>(col));
        }
        for (int row = window.row; row < window.row_end(); ++row) {
            rows += weight_of_row(row);
        }
        return bits(cell) * cols * rows;
    }
    /// What is weighted: the cell's bits.
    template <class T>
    static std::uint32_t bits(T value) {
        if constexpr (std::is_same_v<T, float>) {
            return std::bit_cast<std::uint32_t>(value);
        } else {
            return static_cast<std::uint32_t>(value);
        }
    }

private:
    /// Of so many cells and as many weights.
    static std::uint64_t weighted_sum(const float* cells, const std::uint32_t* weights, std::size_t count);
    static std::uint64_t weighted_sum(const std::uint8_t* cells, const std::uint32_t* weights,
                                      std::size_t count);
    static std::uint64_t weighted_sum(const std::uint16_t* cells, const std::uint32_t* weights,
                                      std::size_t count);
    static std::uint64_t weighted_sum(const std::uint32_t* cells, const std::uint32_t* weights,
                                      std::size_t count);
    static constexpr std::uint32_t weight_of(std::uint64_t col) {
        return static_cast<std::uint32_t>(mixed(col) >> 32U) | 1U;
    }
    static constexpr std::uint64_t weight_of_row(int row) {
        constexpr std::uint64_t row_salt = 0x5851f42d4c957f2d;
        return mixed(static_cast<std::uint64_t>(row) + row_salt) | 1U;
    }

    /// The finaliser of splitmix64 (Steele, Lea, Flood: Fast Splittable Pseudorandom Number Generators,
    /// 2014).
    static constexpr std::uint64_t mixed(std::uint64_t x) {
        x += 0x9e3779b97f4a7c15;
        x = (x ^ (x >> 30U)) * 0xbf58476d1ce4e5b9;
        x = (x ^ (x >> 27U)) * 0x94d049bb133111eb;
        return x ^ (x >> 31U);
    }
};

} // namespace swingroom
