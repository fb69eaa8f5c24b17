#pragma once

#include <string>

namespace swingroom {

/// Something that a result rests on. Who says it decides where it is told, so that nobody has to look into
/// its words for that.
struct Fact {
    /// Who says it.
    enum class Kind {
        read,    ///< from a file, or how the program goes about it
        stated,  ///< by the user, where the file is silent
        assumed, ///< by the program, where everybody is silent
        warning  ///< what the program would not rely on itself
    };
    std::string name;       ///< empty: the value is a sentence of its own
    std::string value;      ///< for people: a number with its unit, a name or a sentence
    Kind kind = Kind::read; ///< who says it
    std::string by{};       ///< what says so, where there is more to tell than the kind does: "file", "BAG"
    std::string of{};       ///< of several inputs the one that it tells of
};

/// A fact that the user has stated.   @param by  what else says so, if anything does
Fact stated_fact(std::string name, std::string value, std::string by = {});
/// A fact that the program assumes because neither the file nor the user says anything.
Fact assumed_fact(std::string name, std::string value);
/// A warning; it has no name.
Fact warning_fact(std::string value);

/// What stands before its value in a list: an assumption and a warning tell what they are.
std::string fact_name(const Fact& fact);
/// The value, and in brackets who says so.
std::string fact_value(const Fact& fact);
/// Both in a line: "sign: positive up (BAG)".
std::string fact_line(const Fact& fact);

} // namespace swingroom
