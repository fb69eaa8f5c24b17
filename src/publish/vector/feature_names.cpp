#include "swingroom/publish/feature_names.hpp"

#include "swingroom/base/error.hpp"

#include "base/plain_letters.hpp"
#include "base/text.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <utility>

namespace swingroom {
namespace {

using Code = std::string_view;
/// By Verdict; the first two are none of a feature.
using Codes = std::array<Code, verdict_phrases.size()>;
constexpr Codes spot_codes = {"", "", "SNK", "SHO", "FUL", "IFK", "IFS", "IFF", "BLK"},
                circle_codes = {"", "", "CSN", "CSH", "CFU", "CIK", "CIS", "CIF", "CBL"},
                zone_codes = {"", "", "ZSN", "ZSH", "ZFU", "ZIK", "ZIS", "ZIF", "ZBL"};
/// By the worst effect: hull, ground, letting go, none of these.
constexpr std::array<Code, 4> exclusion_codes = {"XHU", "XGR", "XDR", "XAD"};

/// Of a way in and of the shoalest place of it.
constexpr Code way_code = "WAY", sill_code = "SIL";
/// Of its turns: behind it stands a letter for each way.
constexpr std::string_view turn_code = "TR";

/// Behind them stands the first letter of the code of what they are of.
constexpr std::string_view hole_code = "HO", part_code = "PA";

/// Names go on behind the eighth character only where the number itself is that long.
constexpr std::size_t code_length = 3, least_kept = 8, least_digits = 2;

template <class Take>
void each_code(Take take) {
    for (const Codes& codes : {spot_codes, circle_codes, zone_codes}) {
        std::for_each(codes.begin() + 2, codes.end(), take);
    }
    std::for_each(exclusion_codes.begin(), exclusion_codes.end(), take);
    take(way_code);
    take(sill_code);
}

std::string name_of(Code code, std::int64_t number, std::size_t digits, const NamePrefix& prefix) {
    std::string text = std::to_string(number);
    digits = std::max(digits, text.size());
    text.insert(0, digits - text.size(), '0');
    return std::string(prefix.before(digits)).append(code).append(text);
}

/// Where the code of a name of ours begins.
std::size_t code_at(std::string_view name) {
    const std::size_t number_at = name.find_last_not_of("0123456789") + 1;
    return number_at < code_length ? 0 : number_at - code_length;
}

std::string name_within(std::string_view code, std::int64_t number, std::string_view of) {
    return name_of(std::string(code).append(of.substr(code_at(of), 1)), number, 0, NamePrefix::of_name(of));
}

std::string ranked(const Codes& codes, std::size_t rank, std::size_t of, Verdict verdict,
                   const NamePrefix& prefix) {
    return name_of(codes.at(static_cast<std::size_t>(verdict)), static_cast<std::int64_t>(rank),
                   std::max(least_digits, std::to_string(of).size()), prefix);
}

/// Whether letters before a code can make another code of it, or are one themselves.
bool spells_a_code(const std::string& prefix) {
    bool found = false;
    each_code([&](Code own) {
        const std::string text = prefix + std::string(own);
        each_code([&](Code other) { found = found || text.find(other) < prefix.size(); });
    });
    return found;
}

/// Digits and letters as plotters keep them.
constexpr std::string_view plotter_letters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

/// What plotters keep of a name, all capitals. A name of other letters begins with S.
std::string plotter_text(const std::string& name) {
    std::string text;
    for (const char c : in_plain_letters(name)) {
        const char capital = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
        if (plotter_letters.find(capital) != std::string_view::npos) text += capital;
    }
    return text.empty() ? "S" : text;
}

/// What tells the boats apart at the end of a prefix, of which no letter makes a code of those behind it;
/// nothing where there is one alone.
std::vector<std::string> marks_of_boats(std::size_t boats) {
    if (boats == 1) return {""};
    std::vector<std::string> marks;
    for (const char c : plotter_letters.substr(1)) {
        if (marks.size() < boats && !spells_a_code(std::string(1, c))) marks.emplace_back(1, c);
    }
    return marks;
}

/// Calls `take` with the letters that begin the prefixes of a place, the most telling first, until it is
/// content: its name's first letter with others in their order, then with a number, then anything.
template <class Take>
void each_beginning(const std::string& letters, std::size_t length, Take take) {
    const auto letter = [&](std::size_t i) { return letters.substr(i, 1); };
    for (std::size_t second = 1; second < letters.size(); ++second) {
        if (length == 2 && take(letter(0) + letter(second))) return;
        for (std::size_t third = second + 1; length == 3 && third < letters.size(); ++third) {
            if (take(letter(0) + letter(second) + letter(third))) return;
        }
    }
    const std::size_t numbers = length == 3 ? 100 : 10;
    for (std::size_t number = 1; number < numbers; ++number) {
        const std::string digits = std::to_string(number);
        if (take(letter(0) + std::string(length - 1 - digits.size(), '0') + digits)) return;
    }
    const std::size_t base = plotter_letters.size(), all = length == 3 ? base * base * base : base * base;
    for (std::size_t code = 0; code < all; ++code) {
        std::string text;
        for (std::size_t rest = code, i = 0; i < length; ++i, rest /= base) {
            text.insert(0, 1, plotter_letters[rest % base]);
        }
        if (take(text)) return;
    }
}

} // namespace

NamePrefix NamePrefix::parse(std::string_view text, std::string_view where) {
    NamePrefix prefix;
    for (const char c : text) {
        const bool small = c >= 'a' && c <= 'z';
        if (!small && !(c >= 'A' && c <= 'Z') && !(c >= '0' && c <= '9')) {
            throw InputError(std::string(where), quoted(text) + " has other characters than plotters keep",
                             "give letters A to Z and digits alone");
        }
        prefix.text_ += small ? static_cast<char>(c - 'a' + 'A') : c;
    }
    prefix.text_.resize(std::min(prefix.text_.size(), least_kept - code_length - least_digits));
    if (spells_a_code(prefix.text_)) {
        throw InputError(std::string(where),
                         quoted(text) + " would be read for how she lies, as FUL, SHO, SNK and IF are",
                         "give other letters");
    }
    return prefix;
}

NamePrefix NamePrefix::of_name(std::string_view name) {
    NamePrefix prefix;
    prefix.text_ = name.substr(0, code_at(name));
    return prefix;
}

std::string_view NamePrefix::before(std::size_t digits) const {
    const std::size_t behind = code_length + digits;
    return std::string_view(text_).substr(0, behind < least_kept ? least_kept - behind : 0);
}

std::string spot_name(std::size_t rank, std::size_t of, Verdict verdict, const NamePrefix& prefix) {
    return ranked(spot_codes, rank, of, verdict, prefix);
}

std::string circle_name(std::size_t rank, std::size_t of, Verdict verdict, const NamePrefix& prefix) {
    return ranked(circle_codes, rank, of, verdict, prefix);
}

std::string zone_name(std::int64_t number, Verdict verdict, const NamePrefix& prefix) {
    return name_of(zone_codes.at(static_cast<std::size_t>(verdict)), number, 0, prefix);
}

std::string exclusion_name(std::int64_t number, Effects effects, const NamePrefix& prefix) {
    const Code code = effects & effect::hull     ? exclusion_codes[0]
                      : effects & effect::ground ? exclusion_codes[1]
                      : effects & effect::drop   ? exclusion_codes[2]
                                                 : exclusion_codes[3];
    return name_of(code, number, 0, prefix);
}

std::string way_name(std::size_t rank, std::size_t of, const NamePrefix& prefix) {
    return name_of(way_code, static_cast<std::int64_t>(rank),
                   std::max(least_digits, std::to_string(of).size()), prefix);
}

std::string sill_name(const std::string& of) {
    const std::size_t at = code_at(of);
    return std::string(of).replace(at, code_length, sill_code);
}

std::string turn_name(std::size_t rank, std::size_t number, const std::string& of) {
    const auto letter = static_cast<char>('A' + std::min<std::size_t>(rank - 1, 'Z' - 'A'));
    return name_of(std::string(turn_code) + letter, static_cast<std::int64_t>(number), least_digits,
                   NamePrefix::of_name(of));
}

std::string hole_name(std::int64_t number, const std::string& of) {
    return name_within(hole_code, number, of);
}

std::string part_name(std::int64_t number, const std::string& of) {
    return name_within(part_code, number, of);
}

std::vector<std::vector<std::string>> prefixes_of_places(const std::vector<std::string>& places,
                                                         std::size_t boats) {
    constexpr std::size_t length = least_kept - code_length - least_digits;
    const std::vector<std::string> marks = marks_of_boats(boats);
    std::vector<std::vector<std::string>> prefixes;
    std::set<std::string> tried; // each is a place's own, or none's since it would be read for a code
    for (const std::string& place : places) {
        const std::size_t room = boats == 1 ? length : length - 1;
        each_beginning(plotter_text(place), room, [&](const std::string& beginning) {
            if (!tried.insert(beginning).second) return false;
            std::vector<std::string> of_boats;
            for (const std::string& mark : marks) {
                of_boats.push_back(std::string(beginning).append(mark));
            }
            if (std::any_of(of_boats.begin(), of_boats.end(), spells_a_code)) return false;
            prefixes.push_back(std::move(of_boats));
            return true;
        });
    }
    return prefixes;
}

std::string name_among_runs(const std::string& name, const std::string& prefix) {
    return prefix + name.substr(code_at(name));
}

} // namespace swingroom
