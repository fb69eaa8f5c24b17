#pragma once

#include <string>
#include <string_view>

/// Days as files write them, of which the month or the day may be left out.
namespace swingroom {

/// The last day that a date may mean, as 20240131: of "2024" 20241231, of "202402" 20240229 (to be compared,
/// not counted with). ISO 8601 with or without hyphens; what follows the day is passed over.
/// @returns 0 for what is no date
int latest_day(std::string_view text);

/// 20240131 as "2024-01-31".
std::string day_text(int day);

} // namespace swingroom
