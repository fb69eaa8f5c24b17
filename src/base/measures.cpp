#include "swingroom/base/measures.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include "base/text.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <system_error>
#include <vector>

namespace swingroom {
namespace {

constexpr double metres_per_nautical_mile = Length::nautical_miles(1).metres();

/// "47°59.2222'N": minutes are rounded as whole ten-thousandths, so that 59.99999 becomes the next degree.
std::string in_minutes(double degrees, int digits_of_degrees, char positive, char negative) {
    constexpr std::int64_t steps_per_minute = 10000, steps_per_degree = 60 * steps_per_minute;
    const std::int64_t steps = std::llround(std::abs(degrees) * static_cast<double>(steps_per_degree));
    std::string whole = std::to_string(steps / steps_per_degree);
    whole.insert(0, static_cast<std::size_t>(std::max(0, digits_of_degrees - static_cast<int>(whole.size()))),
                 '0');
    std::string minutes =
        fixed(static_cast<double>(steps % steps_per_degree) / static_cast<double>(steps_per_minute), 4);
    if (minutes.size() < 7) minutes.insert(0, "0");
    return whole + "\u00b0" + minutes + "'" + (degrees < 0 && steps != 0 ? negative : positive);
}

/// A word that carries one of the letters N, S, E, W, without it; the letter is 0 if there is none.
struct Lettered {
    char letter = 0;
    std::string text;
};

Lettered without_letter(std::string_view word) {
    constexpr std::string_view letters = "NSEWnsew", blanks = " \t";
    std::string_view text = trimmed(word, blanks);
    char letter = 0;
    if (!text.empty() && letters.find(text.back()) != std::string_view::npos) {
        letter = text.back();
        text.remove_suffix(1);
    } else if (!text.empty() && letters.find(text.front()) != std::string_view::npos) {
        letter = text.front();
        text.remove_prefix(1);
    }
    if (letter >= 'a') letter = static_cast<char>(letter - 'a' + 'A');
    return {letter, std::string(trimmed(text, blanks))};
}

/// The numbers between the marks of degrees, minutes and seconds: "47°59.222'" gives 47 and 59.222.
std::vector<std::string> parts_of(std::string text) {
    for (const std::string_view mark : {"\u00b0", "\u00ba", "\u2032", "\u2033", "\u2019", "\u201d"}) {
        for (std::size_t at = 0; (at = text.find(mark, at)) != std::string::npos;) {
            text.replace(at, mark.size(), " ");
        }
    }
    std::replace_if(
        text.begin(), text.end(), [](char c) { return c == '\'' || c == '"' || c == ':' || c == '-'; }, ' ');
    std::vector<std::string> parts;
    for (std::size_t begin = text.find_first_not_of(' '); begin != std::string::npos;) {
        const std::size_t end = std::min(text.find(' ', begin), text.size());
        parts.push_back(text.substr(begin, end - begin));
        begin = text.find_first_not_of(' ', end);
    }
    return parts;
}

/// Degrees of a word whose letter says the sign.
double lettered_degrees(const Lettered& word, std::string_view given, const std::string& where) {
    const auto refuse = [&](const std::string& wrong) {
        throw InputError(where, "\"" + std::string(given) + "\" " + wrong,
                         "write it like 47\u00b059.222'N, 47-59.222N or 47.987N");
    };
    if (word.text.starts_with('-') || word.text.starts_with('+')) refuse("has a sign beside its letter");
    const std::vector<std::string> parts = parts_of(word.text);
    if (parts.empty() || parts.size() > 3) refuse("is no position");
    double degrees = 0, unit = 1;
    for (std::size_t i = 0; i < parts.size(); ++i, unit *= 60) {
        const double part = parse_number(parts[i], where);
        if (i + 1 < parts.size() && part != std::floor(part)) refuse("has decimals before its last part");
        if (i > 0 && !(part < 60)) refuse("has 60 minutes or seconds, or more");
        degrees += part / unit;
    }
    return word.letter == 'S' || word.letter == 'W' ? -degrees : degrees;
}

} // namespace

std::string fixed(double value, int decimals) {
    std::array<char, 64> buffer{};
    const auto [end, error] = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value + 0.0,
                                            std::chars_format::fixed, decimals);
    std::string text = error == std::errc{} ? std::string(buffer.data(), end) : "?";
    // "-0.0" is a number that nobody means.
    if (text.starts_with('-') && text.find_first_of("123456789") == std::string::npos) text.erase(0, 1);
    return text;
}

double rounded(double value, int decimals, Rounded way) {
    constexpr double rounding_tolerance = 5e-4;
    const double scale = std::pow(10, decimals);
    return way == Rounded::up     ? std::ceil(value * scale - rounding_tolerance) / scale
           : way == Rounded::down ? std::floor(value * scale + rounding_tolerance) / scale
                                  : value;
}

std::string fixed_up(double value, int decimals) {
    return fixed(rounded(value, decimals, Rounded::up), decimals);
}
std::string fixed_down(double value, int decimals) {
    return fixed(rounded(value, decimals, Rounded::down), decimals);
}

double length_value(double metres, Rounded way, const Measures& measures, int decimals) {
    return rounded(metres / metres_per_unit(measures), decimals, way);
}

std::string length_number(double metres, Rounded way, const Measures& measures, int decimals) {
    return fixed(length_value(metres, way, measures, decimals), decimals);
}

std::string length_text(double metres, Rounded way, const Measures& measures, int decimals) {
    return length_number(metres, way, measures, decimals) + " " + std::string(unit_name(measures));
}

std::string distance_text(double metres, const Measures& measures) {
    if (metres < metres_per_nautical_mile / 2) return length_text(metres, Rounded::down, measures, 0);
    return fixed_down(metres / metres_per_nautical_mile, 2) + " nm";
}

std::string position_text(double lon, double lat, const Measures& measures) {
    if (measures.position == PositionForm::degrees) return fixed(lon, 6) + " " + fixed(lat, 6);
    return in_minutes(lat, 2, 'N', 'S') + " " + in_minutes(std::remainder(lon, 360), 3, 'E', 'W');
}

bool has_compass_letter(std::string_view word) { return without_letter(word).letter != 0; }

Position parse_position(std::string_view first, std::string_view second, std::string_view where) {
    const auto named = [&](const char* what) { return where.empty() ? what : std::string(where); };
    const Lettered a = without_letter(first), b = without_letter(second);
    const auto latitude = [](char letter) { return letter == 'N' || letter == 'S'; };
    const auto checked = [&](const Position& position, std::string_view lon, std::string_view lat) {
        if (!(position.lon >= -180 && position.lon <= 360)) {
            throw InputError(named("LON"), "\"" + std::string(lon) + "\" is no longitude",
                             "give degrees, -180 to 180 or 0 to 360; longitude comes first");
        }
        if (!(std::abs(position.lat) <= 90)) {
            throw InputError(named("LAT"), "\"" + std::string(lat) + "\" is no latitude",
                             "give degrees, -90 to 90; longitude comes first");
        }
        return position;
    };
    if (a.letter == 0 && b.letter == 0) {
        return checked({parse_number(first, named("LON")), parse_number(second, named("LAT"))}, first,
                       second);
    }
    if (a.letter == 0 || b.letter == 0 || latitude(a.letter) == latitude(b.letter)) {
        throw InputError(named("LON LAT"),
                         "\"" + std::string(first) + "\" and \"" + std::string(second) +
                             "\" are not a longitude and a latitude",
                         "give both with their letters, or both in plain degrees, longitude first");
    }
    if (latitude(a.letter)) {
        return checked({lettered_degrees(b, second, named("LON")), lettered_degrees(a, first, named("LAT"))},
                       second, first);
    }
    return checked({lettered_degrees(a, first, named("LON")), lettered_degrees(b, second, named("LAT"))},
                   first, second);
}

Position parse_position(std::string_view both) {
    constexpr std::string_view letters = "NSEWnsew", between = ", ";
    const std::string_view text = trimmed(both, between);
    // A letter behind its degrees ends the first word; one before them opens the second.
    std::size_t end = text.find_first_of(letters);
    if (end == std::string_view::npos) {
        end = text.find(' '); // a comma alone may be meant for the decimals
    } else {
        end = end > 0 ? end + 1 : text.find_first_of(letters, 1);
    }
    if (end >= text.size()) {
        throw InputError(
            "LON LAT", "\"" + std::string(both) + "\" is one half of a position",
            "give longitude and latitude in degrees, longitude first, or both with their letters");
    }
    return parse_position(trimmed(text.substr(0, end), between), trimmed(text.substr(end), between));
}

} // namespace swingroom
