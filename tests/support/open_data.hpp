#pragma once

#include <cstdlib>
#include <string>

namespace swingroom::testing_support {

/// The folder of open data, ended by a slash; empty where nobody names one, and tests that need it skip.
inline std::string open_data() {
    const char* const folder = std::getenv("SWINGROOM_OPEN_DATA");
    return folder != nullptr && *folder != '\0' ? std::string(folder) + "/" : std::string();
}

inline constexpr const char* no_open_data = "SWINGROOM_OPEN_DATA does not name the folder of open data";

} // namespace swingroom::testing_support
