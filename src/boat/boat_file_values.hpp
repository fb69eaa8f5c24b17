#pragma once

#include "swingroom/base/input_errors.hpp"

#include "base/ini_lines.hpp"
#include "boat/boat_keys.hpp"

#include <cstddef>
#include <initializer_list>
#include <iosfwd>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {

/// What a boat file says, asked for by key, checked by the table of keys. What is wrong is kept, so that all
/// of it is told at once: until throw_faults() a value that is missing or impossible is the least possible.
class BoatFileValues {
public:
    /// @param source  the file's name, for messages
    /// @throws InputError  it is no INI file, or holds no keys
    BoatFileValues(std::istream& file, std::string source);

    /// As the file has them, in its order.
    [[nodiscard]] const std::vector<std::pair<std::string, std::string>>& in_order() const { return order_; }
    [[nodiscard]] bool has(const std::string& key) const { return values_.contains(key); }
    /// Whether any key of a section is given.
    [[nodiscard]] bool has_section(const std::string& section) const;
    /// As it stands in the file.   @pre has(key)
    [[nodiscard]] const std::string& text(const std::string& key) const { return values_.at(key); }
    /// Where a key stands, for messages of others: "boat.ini: [hull] length".
    [[nodiscard]] std::string where(const std::string& key) const { return source_ + ": " + shown_key(key); }

    /// A number or quantity: metres, square metres, millimetres of a diameter, kilograms, kg/m, newtons,
    /// degrees. If it is not given, what the table presets; else 0, or a fault where it must be given.
    [[nodiscard]] double value(const std::string& key);
    /// What a number must lie between, both ends allowed, and the unit that they are in.
    struct Limits {
        double least, most;
        std::string_view unit;
    };
    /// A text that stands at a key, as a quantity of this kind; a fault of the key where it is none.
    [[nodiscard]] double read(const std::string& key, std::string_view text, BoatValue kind,
                              const Limits& limits);
    /// One of the words of a key, by its place among them; if it is not given, the preset.
    [[nodiscard]] std::size_t word(const std::string& key);
    /// Takes down a key that must be given here and is not.
    void require(const std::string& key);

    /// Whether nothing is wrong with a key so far.
    [[nodiscard]] bool sound(const std::string& key) const { return !faulty_.contains(key); }
    /// Takes down what is wrong with a key, once for each.
    void fault(const std::string& key, const std::string& wrong, const std::string& cure);
    /// The same of several keys together: only if each by itself is sound.
    /// @param keys  the first is named
    void fault_together(std::initializer_list<std::string> keys, const std::string& wrong,
                        const std::string& cure);
    /// Tells all that was taken down.   @throws InputError where there is any
    void throw_faults() const { throw_if_any(source_, faults_); }

private:
    void add(const std::string& key, const std::string& value);
    void look_at(const IniSection& section);
    void take(const std::string& key, const InputError& error);
    void fault_unknown(const std::string& key);

    std::string source_;
    std::map<std::string, std::string> values_;
    std::vector<std::pair<std::string, std::string>> order_;
    std::vector<Fault> faults_;
    /// Keys that have been told of, and those that a misspelt one was meant to be.
    std::set<std::string> faulty_;
    std::vector<std::string> unknown_sections_;
};

} // namespace swingroom
