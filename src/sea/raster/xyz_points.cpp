#include "sea/raster/xyz_points.hpp"

#include "swingroom/base/error.hpp"

#include "base/terminal_text.hpp"
#include "base/text.hpp"
#include "sea/gdal/gdal_messages.hpp"
#include "sea/raster/bathymetry_text.hpp"

#include <cpl_conv.h>
#include <cpl_vsi.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <memory>
#include <optional>
#include <string_view>
#include <system_error>

namespace swingroom::bathymetry {
namespace {

/// 120 MB while they are read; the grid that is made of them takes xyz_grid.cpp's share besides.
constexpr std::size_t most_points = 5'000'000;

using Words = std::vector<std::string_view>;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Whether a comma stands for the point of decimals: between digits where something else keeps columns apart.
bool has_decimal_comma(std::string_view line) {
    if (line.find_first_of(" \t;") == std::string_view::npos) return false;
    for (std::size_t at = line.find(','); at != std::string_view::npos; at = line.find(',', at + 1)) {
        if (at > 0 && at + 1 < line.size() && is_digit(line[at - 1]) && is_digit(line[at + 1])) return true;
    }
    return false;
}

Words words_in(std::string_view line) {
    constexpr std::string_view between = " \t,;\r";
    Words words;
    for (std::size_t begin = line.find_first_not_of(between); begin != std::string_view::npos;) {
        const std::size_t end = std::min(line.find_first_of(between, begin), line.size());
        words.push_back(line.substr(begin, end - begin));
        begin = line.find_first_not_of(between, end);
    }
    return words;
}

std::optional<double> number_in(std::string_view word) {
    if (word.starts_with('+')) word.remove_prefix(1);
    double value = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    if (error != std::errc() || end != word.data() + word.size()) return std::nullopt;
    return value;
}

/// Digits behind the point; an exponent is taken for as many as there can be.
int decimals_of(std::string_view word) {
    if (word.find_first_of("eE") != std::string_view::npos) return 15;
    const std::size_t point = word.find('.');
    return point == std::string_view::npos ? 0 : static_cast<int>(word.size() - point) - 1;
}

/// Which word of a line is what.
struct Columns {
    std::size_t x = 0, y = 1, z = 2;
};

/// By the names that a first line gives them.
Columns columns_named(const Words& names, const std::string& file) {
    const auto column = [&](std::initializer_list<std::string_view> starts) -> std::optional<std::size_t> {
        for (std::size_t i = 0; i < names.size(); ++i) {
            std::string name = lower(names[i]);
            std::erase(name, '"');
            if (std::any_of(starts.begin(), starts.end(),
                            [&](std::string_view start) { return name.starts_with(start); })) {
                return i;
            }
        }
        return std::nullopt;
    };
    const auto x = column({"x", "lon", "east"}), y = column({"y", "lat", "north"}),
               z = column({"z", "depth", "elev", "height", "alt", "value"});
    if (!x || !y || !z) {
        throw InputError(file,
                         "its first line is no point and does not name columns x, y and z (or longitude, "
                         "latitude and depth)",
                         "name them, or take the line out");
    }
    return {*x, *y, *z};
}

struct CloseFile {
    void operator()(VSILFILE* file) const { VSIFCloseL(file); }
};

/// Reads a file line by line into points.
class Reader {
public:
    explicit Reader(std::string file) : file_(std::move(file)) {}

    void take(std::string_view line) {
        ++line_;
        line = trimmed(line);
        if (line.empty() || line.front() == '#') return;
        if (has_decimal_comma(line)) {
            refuse("has commas for the decimals", "write the numbers with points");
        }
        const Words words = words_in(line);
        if (first_ && !words.empty() && !number_in(words.front())) {
            columns_ = columns_named(words, file_);
            first_ = false;
            return;
        }
        first_ = false;
        add(words);
    }
    [[nodiscard]] XyzPoints points() && {
        points_.last_digit = std::pow(10, -decimals_);
        return std::move(points_);
    }
    [[noreturn]] void refuse(const std::string& wrong, const std::string& cure) const {
        throw InputError(file_ + ":" + std::to_string(line_), wrong, cure);
    }

private:
    void add(const Words& words) {
        const auto number = [&](std::size_t column) -> std::optional<double> {
            return column < words.size() ? number_in(words[column]) : std::nullopt;
        };
        const auto x = number(columns_.x), y = number(columns_.y), z = number(columns_.z);
        if (!x || !y || !z || !std::isfinite(*x) || !std::isfinite(*y)) {
            refuse("is no point of three numbers", "correct the line, or take it out");
        }
        if (points_.x.size() == most_points) {
            throw InputError(file_,
                             "holds more than " + std::to_string(most_points) +
                                 " points, too many for a grid as text",
                             "write it to a GeoTIFF: gdal_translate IN.xyz OUT.tif");
        }
        points_.x.push_back(*x);
        points_.y.push_back(*y);
        points_.z.push_back(*z);
        decimals_ = std::max({decimals_, decimals_of(words[columns_.x]), decimals_of(words[columns_.y])});
    }

    std::string file_;
    std::size_t line_ = 0;
    bool first_ = true;
    Columns columns_;
    int decimals_ = 0;
    XyzPoints points_;
};

} // namespace

XyzPoints read_xyz_points(const std::string& file, const std::string& name) {
    constexpr int longest_line = 4096;
    const GdalMessages quiet;
    const std::unique_ptr<VSILFILE, CloseFile> opened(VSIFOpenL(name.c_str(), "rb"));
    if (!opened) throw IoError(file, "cannot be opened");
    Reader reader(file);
    while (const char* const line = CPLReadLine2L(opened.get(), longest_line, nullptr)) {
        reader.take(line);
    }
    if (!VSIFEofL(opened.get())) throw IoError(file, "a line of it cannot be read");
    return std::move(reader).points();
}

} // namespace swingroom::bathymetry
