#pragma once

#include <string>
#include <string_view>

namespace swingroom {

/// The text with every byte that is not part of valid UTF-8 replaced by U+FFFD: file names are any bytes,
/// JSON and XML are not.
std::string valid_utf8(std::string_view text);

/// A JSON string, quotes included (RFC 8259, section 7).
std::string json_text(std::string_view text);

/// A JSON number with so many decimals, trailing zeros dropped, "0" never "-0"; null when not finite.
/// @param decimals  0 to 15
std::string json_number(double value, int decimals);

} // namespace swingroom
