#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// The head of a section, `[name]`.
struct IniSection {
    std::string name; ///< without the brackets
    int line = 0;     ///< from 1
};

/// Looks whether each line of an INI text is one: a section, `key = value`, a comment or nothing. The reader
/// of options takes such a text apart but cannot say which line is at fault.
/// @param source  the file's name, for messages   @param cure  likewise: what such a file holds
/// @returns the sections in their order   @throws InputError naming the line
std::vector<IniSection> check_ini_lines(std::string_view text, const std::string& source,
                                        const std::string& cure);

} // namespace swingroom
