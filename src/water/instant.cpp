#include "swingroom/water/instant.hpp"

#include "swingroom/base/error.hpp"

#include "base/text.hpp"

#include <array>
#include <cstddef>
#include <cstdio>

namespace swingroom {
namespace {

using namespace std::chrono;

/// Takes figures and marks off the front of a text.
class Scanner {
public:
    explicit Scanner(std::string_view text) : rest_(text) {}

    /// A number of exactly so many digits.
    std::optional<int> number(std::size_t digits) {
        if (rest_.size() < digits) return std::nullopt;
        int value = 0;
        for (std::size_t i = 0; i < digits; ++i) {
            if (rest_[i] < '0' || rest_[i] > '9') return std::nullopt;
            value = 10 * value + (rest_[i] - '0');
        }
        rest_.remove_prefix(digits);
        return value;
    }
    /// Whether one of the marks comes next; it is passed over.
    bool passed(std::string_view marks) {
        if (rest_.empty() || marks.find(rest_.front()) == std::string_view::npos) return false;
        rest_.remove_prefix(1);
        return true;
    }
    [[nodiscard]] bool at_end() const { return rest_.empty(); }
    [[nodiscard]] std::string_view rest() const { return rest_; }

private:
    std::string_view rest_;
};

std::optional<local_days> read_date(Scanner& text) {
    const auto y = text.number(4);
    if (!y || !text.passed("-")) return std::nullopt;
    const auto m = text.number(2);
    if (!m || !text.passed("-")) return std::nullopt;
    const auto d = text.number(2);
    if (!d) return std::nullopt;
    const year_month_day date(year(*y), month(static_cast<unsigned>(*m)), day(static_cast<unsigned>(*d)));
    if (!date.ok()) return std::nullopt;
    return local_days(date);
}

std::optional<seconds> read_time_of_day(Scanner& text) {
    const auto hour = text.number(2);
    if (!hour || !text.passed(":")) return std::nullopt;
    const auto minute = text.number(2);
    if (!minute) return std::nullopt;
    std::optional<int> second = 0;
    if (text.passed(":")) second = text.number(2);
    if (!second || *hour > 23 || *minute > 59 || *second > 59) return std::nullopt;
    return hours(*hour) + minutes(*minute) + seconds(*second);
}

std::string date_of(sys_seconds clock) {
    const year_month_day date(floor<days>(clock));
    std::array<char, 40> text{};
    std::snprintf(text.data(), text.size(), "%04d-%02u-%02u", static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
    return text.data();
}

std::string hour_of(sys_seconds clock) {
    const hh_mm_ss time(clock - floor<days>(clock));
    std::array<char, 40> text{};
    std::snprintf(text.data(), text.size(), "%02ld:%02ld", static_cast<long>(time.hours().count()),
                  static_cast<long>(time.minutes().count()));
    std::string written = text.data();
    if (time.seconds().count() != 0) {
        std::snprintf(text.data(), text.size(), ":%02ld", static_cast<long>(time.seconds().count()));
        written += text.data();
    }
    return written;
}

} // namespace

std::optional<ZoneOffset> read_zone(std::string_view text) {
    if (text == "Z" || text == "UTC") return ZoneOffset(0);
    // By itself UTC is a clock that is never put back; with a distance behind it, it is as people are told.
    if (text.starts_with("UTC")) text.remove_prefix(3);
    Scanner scanner(text);
    const bool west = !text.empty() && text.front() == '-';
    if (!scanner.passed("+-")) return std::nullopt;
    const auto hour = scanner.number(2);
    if (!hour) return std::nullopt;
    std::optional<int> minute = 0;
    if (scanner.passed(":")) minute = scanner.number(2);
    if (!minute || *minute > 59 || !scanner.at_end()) return std::nullopt;
    const ZoneOffset offset = hours(*hour) + minutes(*minute);
    if (offset > hours(14)) return std::nullopt;
    return west ? -offset : offset;
}

std::optional<ClockTime> read_clock_time(std::string_view text) {
    Scanner scanner(text);
    const auto date = read_date(scanner);
    if (!date || !scanner.passed("T ")) return std::nullopt;
    const auto time = read_time_of_day(scanner);
    if (!time) return std::nullopt;
    ClockTime read{*date + *time, std::nullopt};
    if (scanner.at_end()) return read;
    read.zone = read_zone(trimmed(scanner.rest()));
    if (!read.zone) return std::nullopt;
    return read;
}

Instant instant_of(local_seconds clock, ZoneOffset zone) { return Instant(clock.time_since_epoch() - zone); }

Instant parse_instant(std::string_view text, std::optional<ZoneOffset> zone, std::string_view where) {
    const auto read = read_clock_time(trimmed(text));
    if (!read) {
        throw InputError(
            std::string(where), quoted(text) + " is no time",
            "write date and time of day as 2026-07-01T08:00Z, month, day, hour and minute in two figures "
            "each, or with the clock's distance from UTC behind it, as in 2026-07-01T10:00+02:00");
    }
    if (!read->zone && !zone) {
        throw InputError(std::string(where), quoted(text) + " does not say by which clock",
                         "put Z behind it for UTC, or how far the clock is ahead of UTC, as in +02:00");
    }
    return instant_of(read->clock, read->zone ? *read->zone : *zone);
}

std::string utc_text(Instant instant) { return date_of(instant) + "T" + hour_of(instant) + "Z"; }

std::string zone_text(ZoneOffset zone) {
    if (zone == ZoneOffset(0)) return "UTC";
    const auto ahead = zone < ZoneOffset(0) ? -zone : zone;
    std::array<char, 40> text{};
    std::snprintf(text.data(), text.size(), "UTC%c%02ld:%02ld", zone < ZoneOffset(0) ? '-' : '+',
                  static_cast<long>(ahead.count() / 60), static_cast<long>(ahead.count() % 60));
    return text.data();
}

std::string date_text(Instant instant, ZoneOffset zone) { return date_of(instant + zone); }
std::string hour_text(Instant instant, ZoneOffset zone) { return hour_of(instant + zone); }

std::string local_time_text(Instant instant, ZoneOffset zone) {
    return date_text(instant, zone) + " " + hour_text(instant, zone);
}

std::string clock_text(Instant instant, ZoneOffset zone) {
    return local_time_text(instant, zone) + " " + zone_text(zone);
}

Instant start_of_year(Instant instant) {
    return sys_days(year_month_day(floor<days>(instant)).year() / January / 1);
}
Instant end_of_year(Instant instant) {
    return sys_days((year_month_day(floor<days>(instant)).year() + years(1)) / January / 1);
}

} // namespace swingroom
