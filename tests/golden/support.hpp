#pragma once

#include "support/scratch.hpp"

#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace swingroom::golden {

/// What a finished run of the command left behind.
struct Outcome {
    int exit_code = -1; ///< 128 + signal where a signal ended it
    std::string out, err;
    [[nodiscard]] bool says(const std::string& text) const { return err.find(text) != std::string::npos; }
    /// Lines on stderr.
    [[nodiscard]] std::size_t lines() const;
};

/// Runs the built command with these arguments, no terminal anywhere.
/// @param folder  working folder; the repository's root when empty
Outcome swingroom(const std::vector<std::string>& arguments, const std::filesystem::path& folder = {});

using testing_support::Scratch;

std::string bytes_of(const std::filesystem::path& file);
void write_bytes(const std::filesystem::path& file, const std::string& bytes);
/// Every file below a folder: relative name and bytes.
std::map<std::string, std::string> contents(const std::filesystem::path& folder);

/// The first band of a raster, as doubles (NaN where a float layer has none).
struct Layer {
    int cols = 0, rows = 0;
    double west = 0, north = 0, step_x = 0, step_y = 0;
    std::vector<double> values;
    [[nodiscard]] double at(int col, int row) const {
        return values[static_cast<std::size_t>(row) * static_cast<std::size_t>(cols) +
                      static_cast<std::size_t>(col)];
    }
};
Layer read_layer(const std::filesystem::path& file);

/// A float raster in UTM 26 north of 5 m cells, all of one elevation but for `where`.
struct Sea {
    int cols = 120, rows = 120;
    float elevation_m = -6;
    std::string crs = "EPSG:32626"; ///< empty: none
    std::vector<double> transform = {400000, 5, 0, 5300600, 0, -5};
    std::string unit = "m";
};
void write_sea(const std::filesystem::path& file, const Sea& sea = {});

} // namespace swingroom::golden
