#pragma once

#include <string>
#include <string_view>

namespace swingroom {

/// A text in ASCII alone, for names that must stand anywhere: Latin letters without their marks ("Île d'Yeu"
/// is "Ile d'Yeu", "Ærø" "AEro", "Łeba" "Leba"), and a blank for each other character, for what is no UTF-8,
/// and for control characters.
std::string in_plain_letters(std::string_view utf8);

} // namespace swingroom
