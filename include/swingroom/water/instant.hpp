#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace swingroom {

/// A moment in UTC, to the second.
using Instant = std::chrono::sys_seconds;

/// How far a clock is ahead of UTC: east is positive.
using ZoneOffset = std::chrono::minutes;

/// A date and a time as they are written, on whatever clock.
struct ClockTime {
    std::chrono::local_seconds clock;
    /// Of the text's own "Z" or "+hh:mm"; nothing where it has none.
    std::optional<ZoneOffset> zone;
};

/// Reads `YYYY-MM-DD hh:mm[:ss][Z|+hh[:mm]|-hh[:mm]]`, with a "T" or a blank between date and time, the form
/// of ISO 8601. Other orders of the date, names of zones, AM and PM are no such time: they can be misread.
/// @returns nothing where the text is none, or names a day or hour that there is not
std::optional<ClockTime> read_clock_time(std::string_view text);

/// Reads "Z", "UTC", "+hh", "-hh", "+hh:mm", "-hh:mm", and these with "UTC" before them, as zone_text() has
/// it; at most 14 hours, which is the farthest in use.
std::optional<ZoneOffset> read_zone(std::string_view text);

/// The moment when a clock shows so much.
Instant instant_of(std::chrono::local_seconds clock, ZoneOffset zone);

/// Reads a moment that the user gave.
/// @param zone  of a text without one; where this is nothing too, the text is refused: a zone is never
/// guessed
/// @throws InputError  naming `where`
Instant parse_instant(std::string_view text, std::optional<ZoneOffset> zone, std::string_view where);

/// "2026-12-24T05:30Z", with seconds where there are any: for programs.
std::string utc_text(Instant instant);

// For people, by a clock.
/// "UTC+01:00", "UTC-03:30", "UTC": how a clock is called everywhere.
std::string zone_text(ZoneOffset zone);
/// "2026-12-24".
std::string date_text(Instant instant, ZoneOffset zone);
/// "06:30", with seconds where there are any.
std::string hour_text(Instant instant, ZoneOffset zone);
/// "2026-12-24 06:30", by a clock that is told elsewhere.
std::string local_time_text(Instant instant, ZoneOffset zone);
/// "2026-12-24 06:30 UTC+01:00".
std::string clock_text(Instant instant, ZoneOffset zone);

/// 0 h UTC on the first day of the year of a moment.
Instant start_of_year(Instant instant);
/// The same of the year after.
Instant end_of_year(Instant instant);

} // namespace swingroom
