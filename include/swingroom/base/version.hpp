#pragma once

#include <string_view>

namespace swingroom {

/// The program's version, "major.minor.patch".
std::string_view version();
/// The day of that version, "yyyy-mm-dd".
std::string_view released();

/// The caution that every output carries.
inline constexpr std::string_view caution = "Planning aid, not for navigation. Check official charts, "
                                            "notices to mariners and local rules, which come "
                                            "first; keep an anchor watch.";

} // namespace swingroom
