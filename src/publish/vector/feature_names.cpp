#include "swingroom/publish/feature_names.hpp"

#include "swingroom/base/error.hpp"

#include "base/text.hpp"

#include <algorithm>
#include <array>

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

} // namespace swingroom
