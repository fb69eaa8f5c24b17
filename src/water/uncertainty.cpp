#include "swingroom/water/uncertainty.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include <array>
#include <charconv>
#include <cmath>

namespace swingroom {
namespace {

/// As short as it can be said, and with a point in every locale.
std::string plain(double value) {
    std::array<char, 32> buffer{};
    const auto result = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value);
    return {buffer.data(), result.ptr};
}

struct ZoneOfConfidence {
    std::string_view letter;
    double a_m, b;
};
// IHO S-68 edition 1.0.0 (July 2023), tables 4-1 and 6-2: depth accuracy a + b d.
constexpr ZoneOfConfidence zones_of_confidence[] = {
    {"A1", 0.5, 0.01}, {"A2", 1.0, 0.02}, {"B", 1.0, 0.02}, {"C", 2.0, 0.05}};

double not_negative(double value, std::string_view text, std::string_view where) {
    if (value < 0) {
        throw InputError(std::string(where), "\"" + std::string(text) + "\" is negative", "give 0 or more");
    }
    return value;
}

} // namespace

DepthUncertainty DepthUncertainty::constant(double metres) {
    return {Kind::constant, metres, 0, plain(metres)};
}
DepthUncertainty DepthUncertainty::root_sum_square(double a_m, double b) {
    return {Kind::root_sum_square, a_m, b, plain(a_m) + "," + plain(b)};
}
DepthUncertainty DepthUncertainty::linear(double a_m, double b) {
    return {Kind::linear, a_m, b, plain(a_m) + " + " + plain(b) + " d"};
}

DepthUncertainty DepthUncertainty::parse(std::string_view text, std::string_view where) {
    DepthUncertainty read = none();
    if (text == "band") return band();
    if (text == "D" || text == "U") {
        throw InputError(std::string(where),
                         "zone of confidence " + std::string(text) + " has no published depth accuracy",
                         "give metres, a pair a,b, or a letter A1, A2, B or C");
    }
    bool is_zone = false;
    for (const auto& zone : zones_of_confidence) {
        if (zone.letter == text) {
            read = linear(zone.a_m, zone.b);
            is_zone = true;
        }
    }
    if (!is_zone) {
        const auto comma = text.find(',');
        const double a_m = not_negative(parse_length(text.substr(0, comma), where).metres(), text, where);
        if (comma == std::string_view::npos) {
            read = a_m == 0 ? none() : constant(a_m);
        } else {
            read =
                root_sum_square(a_m, not_negative(parse_number(text.substr(comma + 1), where), text, where));
        }
    }
    read.text_ = text;
    return read;
}

double DepthUncertainty::at(double depth_m) const {
    switch (kind_) {
    case Kind::none:
    case Kind::band:
        return 0;
    case Kind::constant:
        return a_m_;
    case Kind::root_sum_square:
        return std::sqrt(a_m_ * a_m_ + b_ * depth_m * (b_ * depth_m)); // no need of hypot's range, 5 x faster
    case Kind::linear:
        return a_m_ + b_ * std::abs(depth_m);
    }
    return 0;
}

} // namespace swingroom
