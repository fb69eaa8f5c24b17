#include "sea/files/days.hpp"

#include <array>
#include <cstddef>

namespace swingroom {
namespace {

/// The number that so many digits at the front of a text make, which are taken off it; -1: there are fewer.
int take_digits(std::string_view& text, std::size_t count) {
    if (text.size() < count) return -1;
    int value = 0;
    for (std::size_t i = 0; i < count; ++i) {
        if (text[i] < '0' || text[i] > '9') return -1;
        value = 10 * value + (text[i] - '0');
    }
    text.remove_prefix(count);
    return value;
}

} // namespace

int latest_day(std::string_view text) {
    constexpr std::array month_ends = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const int year = take_digits(text, 4);
    if (year <= 0) return 0;
    const auto next = [&text] {
        std::string_view rest = text;
        if (!rest.empty() && rest.front() == '-') rest.remove_prefix(1);
        const int part = take_digits(rest, 2);
        if (part >= 0) text = rest;
        return part;
    };
    const int stated_month = next();
    if (stated_month == 0 || stated_month > 12) return 0;
    const int month = stated_month < 0 ? 12 : stated_month;
    const int month_end = month_ends.at(static_cast<std::size_t>(month) - 1);
    const int stated_day = stated_month < 0 ? -1 : next();
    if (stated_day == 0 || stated_day > month_end) return 0;
    return year * 10000 + month * 100 + (stated_day < 0 ? month_end : stated_day);
}

std::string day_text(int day) {
    const std::string digits = std::to_string(day);
    return digits.substr(0, digits.size() - 4) + "-" + digits.substr(digits.size() - 4, 2) + "-" +
           digits.substr(digits.size() - 2);
}

} // namespace swingroom
