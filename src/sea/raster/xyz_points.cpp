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
#include <span>
#include <string>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

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
    friend bool operator==(const Columns&, const Columns&) = default;
};

/// The names that one axis goes by.
using Names = std::span<const std::string_view>;
constexpr std::array<std::string_view, 6> x_names = {"x", "lon", "long", "longitude", "east", "easting"};
constexpr std::array<std::string_view, 5> y_names = {"y", "lat", "latitude", "north", "northing"};
constexpr std::array<std::string_view, 8> z_names = {"z",      "depth", "elevation", "elev",
                                                     "height", "alt",   "altitude",  "value"};

/// The words of a line that names columns, without quotes and without units in brackets.
std::vector<std::string> names_in(const Words& words) {
    std::vector<std::string> names;
    for (const std::string_view word : words) {
        std::string name = lower(word);
        std::erase(name, '"');
        if (!name.starts_with('(') && !name.starts_with('[')) names.push_back(name);
    }
    return names;
}

/// The columns that have one of these names.
std::vector<std::size_t> columns_called(const std::vector<std::string>& names, Names called) {
    std::vector<std::size_t> columns;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (std::find(called.begin(), called.end(), names[i]) != called.end()) columns.push_back(i);
    }
    return columns;
}

std::optional<std::size_t> column_named(const std::vector<std::string>& names, Names called,
                                        const std::string& axis, const std::string& file) {
    const std::vector<std::size_t> columns = columns_called(names, called);
    if (columns.size() > 1) {
        throw InputError(file,
                         "its columns " + in_quotes(names[columns[0]]) + " and " +
                             in_quotes(names[columns[1]]) + " may both be the " + axis,
                         "keep three columns: x y z");
    }
    if (columns.size() == 1) return columns[0];
    for (const std::string& name : names) {
        const auto begins = [&](std::string_view start) { return name.starts_with(start); };
        if (std::any_of(called.begin(), called.end(), begins)) {
            throw InputError(file,
                             "its column " + in_quotes(name) + " only begins as the name of the " + axis +
                                 " does, and may be something else",
                             "name the columns x, y and z");
        }
    }
    return std::nullopt;
}

/// By the names that a first line gives them.
Columns columns_named(const std::vector<std::string>& names, const std::string& file) {
    const auto x = column_named(names, x_names, "x", file), y = column_named(names, y_names, "y", file),
               z = column_named(names, z_names, "value", file);
    if (!x || !y || !z) {
        throw InputError(file,
                         "its first line is no point and does not name columns x, y and z (or longitude, "
                         "latitude and depth)",
                         "name them, or take the line out");
    }
    return {*x, *y, *z};
}

/// As GDAL's driver takes them: by the start of some names, the last one of each axis; or else the first
/// three.
Columns columns_of_gdal(const std::vector<std::string>& names) {
    std::optional<std::size_t> x, y, z;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const std::string& name = names[i];
        if (name == "x" || name.starts_with("lon") || name.starts_with("east")) {
            x = i;
        } else if (name == "y" || name.starts_with("lat") || name.starts_with("north")) {
            y = i;
        } else if (name == "z" || name.starts_with("alt") || name == "height") {
            z = i;
        }
    }
    return x && y && z ? Columns{*x, *y, *z} : Columns{};
}

/// The column that GDAL takes where these are meant, empty if they are the same.
std::string taken_otherwise(const Columns& meant, const std::vector<std::string>& names) {
    const Columns taken = columns_of_gdal(names);
    if (taken == meant) return {};
    const std::size_t other = taken.z != meant.z ? taken.z : taken.y != meant.y ? taken.y : taken.x;
    return other < names.size() ? names[other] : std::to_string(other + 1);
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
        if (line.empty()) return;
        if (line.front() == '#') {
            note_comment(line);
            return;
        }
        if (has_decimal_comma(line)) {
            refuse("has commas for the decimals", "write the numbers with points");
        }
        const Words words = words_in(line);
        if (first_ && !words.empty() && !number_in(words.front())) {
            const std::vector<std::string> names = names_in(words);
            columns_ = columns_named(names, file_);
            points_.other_column = taken_otherwise(columns_, names);
            named_ = names.size();
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
    /// A comment may name the columns, too.
    void note_comment(std::string_view line) {
        const std::size_t begin = line.find_first_not_of('#');
        if (begin == std::string_view::npos) return;
        const std::vector<std::string> names = names_in(words_in(line.substr(begin)));
        const auto x = columns_called(names, x_names), y = columns_called(names, y_names),
                   z = columns_called(names, z_names);
        if (x.empty() || y.empty() || z.empty()) return;
        in_comment_ = Columns{x.front(), y.front(), z.front()};
        named_in_comment_ = names.size();
    }
    /// Names of columns must be those of the points below them.
    void compare_names(const Words& words) const {
        if (named_ > 0 && named_ != words.size()) {
            refuse("has " + std::to_string(words.size()) + " columns, and the first line names " +
                       std::to_string(named_),
                   "name each column by one word: x y z");
        }
        if (in_comment_ && named_in_comment_ == words.size() && *in_comment_ != columns_) {
            throw InputError(file_, "a comment in it names its columns in another order than x y z",
                             "write the names as the first line, without #");
        }
    }
    void add(const Words& words) {
        if (points_.x.empty()) compare_names(words);
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
    std::size_t named_ = 0; ///< columns, by the first line
    std::optional<Columns> in_comment_;
    std::size_t named_in_comment_ = 0;
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
