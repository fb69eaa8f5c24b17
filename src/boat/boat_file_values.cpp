#include "boat/boat_file_values.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/boat/seabed.hpp"

#include "base/nearest_name.hpp"
#include "base/terminal_text.hpp"
#include "base/text.hpp"

#include <boost/program_options/errors.hpp>
#include <boost/program_options/option.hpp>
#include <boost/program_options/options_description.hpp>
#include <boost/program_options/parsers.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <iomanip>
#include <iterator>
#include <locale>
#include <sstream>

namespace swingroom {
namespace {

namespace po = boost::program_options;

constexpr const char* what_it_holds = "write [section] lines and key = value lines, comments after #";

std::string number_text(double value) {
    std::ostringstream text;
    text.imbue(std::locale::classic());
    if (std::abs(value) >= 1e6) text << std::fixed << std::setprecision(0); // no exponent
    text << value;
    return text.str();
}

/// A number in the unit of its limits as people write it.
std::string value_text(double value, BoatValue kind, std::string_view unit) {
    if (kind == BoatValue::force && value >= 10000) return number_text(value / 1000) + " kN";
    return number_text(value) + (unit.empty() ? "" : " ") + std::string(unit);
}

/// What a number may be followed by; the first of a list is what it is in without any.
struct Unit {
    std::string_view name;
    double factor;
};
// The foot is 0.3048 m, the pound 0.45359237 kg: the agreement on yard and pound of 1959.
constexpr std::array masses_by_length = {Unit{"kg/m", 1}, Unit{"lb/ft", 0.45359237 / 0.3048}};
constexpr std::array angles = {Unit{"deg", 1}};

template <std::size_t N>
double number_in(const std::array<Unit, N>& units, std::string_view text, const std::string& where) {
    for (const Unit& unit : units) {
        if (text.ends_with(unit.name)) {
            text.remove_suffix(unit.name.size());
            return unit.factor * parse_number(text, where);
        }
    }
    return units.front().factor * parse_number(text, where);
}

double quantity(std::string_view text, BoatValue kind, const std::string& where) {
    switch (kind) {
    case BoatValue::length:
        return parse_length(text, where).metres();
    case BoatValue::diameter: // always with its unit: what is written without one is metres, and out of range
        return 1000 * parse_length(text, where).metres();
    case BoatValue::area:
        return parse_area(text, where).square_metres();
    case BoatValue::mass:
        return parse_mass(text, where).kilograms();
    case BoatValue::force:
        return parse_force(text, where).newtons();
    case BoatValue::speed:
        return parse_speed(text, where).knots();
    case BoatValue::mass_by_length:
        return number_in(masses_by_length, text, where);
    case BoatValue::angle:
        return number_in(angles, text, where);
    case BoatValue::number:
    case BoatValue::text:
    case BoatValue::word:
    case BoatValue::place:
        break;
    }
    return parse_number(text, where);
}

std::vector<std::string_view> names_of_keys() {
    std::vector<std::string_view> names;
    for (const BoatKey& key : boat_keys()) {
        names.push_back(key.key);
    }
    return names;
}

/// "[hull] takes name, kind, length"; empty where there is no such section.
std::string keys_of_section(std::string_view section) {
    std::string names;
    for (const BoatKey& key : boat_keys()) {
        if (key.section() == section) add_word(names, ", ", key.name());
    }
    return names.empty() ? "" : "[" + std::string(section) + "] takes " + names;
}

/// The key of that very name in another section.
std::string elsewhere(const std::string& key) {
    const std::string_view name = std::string_view(key).substr(key.rfind('.') + 1);
    for (const BoatKey& known : boat_keys()) {
        if (edit_distance(known.name(), name) == 0) return std::string(known.key);
    }
    return {};
}

std::string all_sections() {
    std::string all;
    for (const std::string_view section : boat_sections()) {
        add_word(all, ", ", "[" + std::string(section) + "]");
    }
    return all;
}

std::string all_seabeds() {
    std::string all;
    for (const auto* seabed : seabed_names) {
        add_word(all, ", ", seabed);
    }
    return all;
}

/// What is to be written, for a key that must be given.
std::string line_of(const BoatKey& row) {
    return std::string(row.name()) + " = " + std::string(placeholder(row.value));
}
/// What values look like, and what it is.
std::string explained(const BoatKey& row) {
    return (row.words.empty() ? "as " + std::string(row.example) : "one of " + std::string(row.words)) +
           ": " + std::string(row.meaning);
}

} // namespace

BoatFileValues::BoatFileValues(std::istream& file, std::string source) : source_(std::move(source)) {
    std::string text(std::istreambuf_iterator<char>(file), {});
    // A byte order mark would become part of the first section's name.
    if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
    for (const IniSection& section : check_ini_lines(text, source_, what_it_holds)) {
        look_at(section);
    }
    try {
        std::istringstream in(text);
        const auto read = po::parse_config_file<char>(in, po::options_description(), true);
        for (const auto& option : read.options) {
            add(option.string_key, option.value.front());
        }
    } catch (const po::error& error) {
        throw InputError(source_, shortened(error.what()), what_it_holds);
    }
    if (order_.empty() && faults_.empty()) {
        throw InputError(source_, "no keys in it", "give at least [hull], [rode], [anchor]");
    }
}

bool BoatFileValues::has_section(const std::string& section) const {
    const auto at = values_.lower_bound(section + ".");
    return at != values_.end() && at->first.starts_with(section + ".");
}

void BoatFileValues::look_at(const IniSection& section) {
    const std::vector<std::string_view> known = boat_sections();
    if (std::find(known.begin(), known.end(), section.name) != known.end()) return;
    const auto nearest = nearest_name(section.name, known);
    unknown_sections_.push_back(section.name);
    const std::string line = std::to_string(section.line);
    faults_.push_back(
        {"line " + line,
         InputError(source_ + ":" + line, "[" + shortened(section.name) + "] is no section of a boat file",
                    nearest.empty() ? "give one of " + all_sections()
                                    : "did you mean [" + std::string(nearest) + "]?")});
}

void BoatFileValues::add(const std::string& key, const std::string& value) {
    const BoatKey* const row = boat_key(key);
    if (!row) {
        fault_unknown(key);
    } else if (value.empty()) {
        fault(key, "has no value",
              (row->need == BoatNeed::always ? "fill it in, " : "give one or leave the line out, ") +
                  explained(*row));
    } else if (!values_.emplace(key, value).second) {
        fault(key, "is given twice", "leave one of them");
    } else {
        order_.emplace_back(key, value);
    }
}

void BoatFileValues::fault_unknown(const std::string& key) {
    // A section is told of once, not for each of its keys.
    for (const std::string& section : unknown_sections_) {
        if (key.starts_with(section + ".")) return;
    }
    std::string meant = elsewhere(key);
    if (meant.empty()) meant = nearest_name(key, names_of_keys());
    std::string cure;
    if (key.starts_with("anchor.holding.")) {
        cure = "seabeds are " + all_seabeds();
    } else {
        if (!meant.empty()) cure = "did you mean " + shown_key(meant) + "?";
        const std::string takes = keys_of_section(key.substr(0, key.find('.')));
        if (!takes.empty()) add_word(cure, " ", takes);
        if (cure.empty()) cure = "write it under one of " + all_sections();
    }
    fault(key, "is no key of a boat file", cure);
    if (!meant.empty()) faulty_.insert(meant); // that it is missing goes without saying
}

void BoatFileValues::fault(const std::string& key, const std::string& wrong, const std::string& cure) {
    take(key, InputError(where(shortened(key)), wrong, cure));
}

void BoatFileValues::take(const std::string& key, const InputError& error) {
    if (faulty_.insert(key).second) faults_.push_back({shown_key(shortened(key)), error});
}

void BoatFileValues::fault_together(std::initializer_list<std::string> keys, const std::string& wrong,
                                    const std::string& cure) {
    const bool all_sound =
        std::all_of(keys.begin(), keys.end(), [this](const std::string& key) { return sound(key); });
    if (all_sound) fault(*keys.begin(), wrong, cure);
}

void BoatFileValues::require(const std::string& key) {
    const BoatKey& row = *boat_key(key);
    if (!has(key)) fault(key, "is missing", "add " + line_of(row) + ", " + explained(row));
}

double BoatFileValues::read(const std::string& key, std::string_view text, BoatValue kind,
                            const Limits& limits) {
    double number = limits.least;
    try {
        number = quantity(on_one_line(text), kind, where(key));
    } catch (const InputError& error) { // of how it is written
        take(key, error);
        return limits.least;
    }
    if (number >= limits.least && number <= limits.most) return number;
    const bool diameter = kind == BoatValue::diameter;
    fault(key, (diameter ? quoted(text) : value_text(number, kind, limits.unit)) + " is not possible",
          "give " + value_text(limits.least, kind, limits.unit) + " to " +
              value_text(limits.most, kind, limits.unit) + (diameter ? ", with the unit" : ""));
    return limits.least;
}

double BoatFileValues::value(const std::string& key) {
    const BoatKey& row = *boat_key(key);
    if (!has(key) && row.preset.empty()) {
        if (row.need == BoatNeed::optional) return 0;
        require(key);
        return row.least;
    }
    return read(key, has(key) ? std::string_view(text(key)) : row.preset, row.value,
                {row.least, row.most, unit_of(row.value)});
}

std::size_t BoatFileValues::word(const std::string& key) {
    const BoatKey& row = *boat_key(key);
    if (!has(key)) {
        if (row.need == BoatNeed::always) require(key);
        if (row.preset.empty()) return 0;
    }
    const std::string given = has(key) ? text(key) : std::string(row.preset);
    std::vector<std::string> words = split(replaced(std::string(row.words), ", ", ","), ',');
    const auto at = std::find(words.begin(), words.end(), given);
    if (at != words.end()) return static_cast<std::size_t>(at - words.begin());
    const std::vector<std::string_view> names(words.begin(), words.end());
    const std::string_view nearest = nearest_name(given, names);
    fault(key, "\"" + shortened(given) + "\" is not known",
          (nearest.empty() ? "" : "did you mean " + std::string(nearest) + "? ") +
              std::string("give one of ") + std::string(row.words));
    return 0;
}

} // namespace swingroom
