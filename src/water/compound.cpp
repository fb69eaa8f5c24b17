#include "water/compound.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <ranges>
#include <vector>

namespace swingroom {
namespace {

/// Names that come out otherwise by the letters than in the tables that are in use: by 180 degrees, or by
/// node factors of something else.
constexpr std::array<std::string_view, 6> disputed = {"KJ2", "OQ2", "3KM5", "MP1", "KQ1", "SO1"};

struct Letter {
    std::string_view letter, constituent;
    int species;
};
constexpr std::array<Letter, 13> letters = {{{"NU", "NU2", 2},
                                             {"M", "M2", 2},
                                             {"S", "S2", 2},
                                             {"N", "N2", 2},
                                             {"L", "L2", 2},
                                             {"T", "T2", 2},
                                             {"R", "R2", 2},
                                             {"O", "O1", 1},
                                             {"P", "P1", 1},
                                             {"Q", "Q1", 1},
                                             {"J", "J1", 1},
                                             {"K", "K1", 1},
                                             {"K", "K2", 2}}};

struct Term {
    int count = 0; ///< with sign
    std::string_view letter;
};
struct Parsed {
    std::vector<Term> terms;
    int species = 0;
    bool starts_with_count = false;
};

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// A number at the front, taken off; 0 where there is none, or where it is too large to be meant.
int take_number(std::string_view& text) {
    int value = 0;
    while (!text.empty() && is_digit(text.front())) {
        value = std::min(10 * value + (text.front() - '0'), 1000);
        text.remove_prefix(1);
    }
    return value < 1000 ? value : 0;
}

std::string_view take_letter(std::string_view& text) {
    const auto found = std::ranges::find_if(
        letters, [text](const Letter& known) { return text.substr(0, known.letter.size()) == known.letter; });
    if (found == letters.end()) return {};
    text.remove_prefix(found->letter.size());
    return found->letter;
}

/// The letters with their counts, and the species behind them.
std::optional<Parsed> parse(std::string_view name) {
    Parsed parsed;
    parsed.starts_with_count = !name.empty() && is_digit(name.front());
    while (!name.empty()) {
        const bool counted = is_digit(name.front());
        const int number = take_number(name);
        if (counted && number == 0) return std::nullopt;
        if (name.empty()) { // the number was the species
            parsed.species = number;
            break;
        }
        const auto letter = take_letter(name);
        if (letter.empty()) return std::nullopt;
        parsed.terms.push_back({counted ? number : 1, letter});
    }
    if (parsed.terms.empty() || parsed.species == 0) return std::nullopt;
    return parsed;
}

/// What each letter stands for, K as K1 or as K2.
std::vector<const Letter*> meanings(const std::vector<Term>& terms, bool k_is_semidiurnal) {
    std::vector<const Letter*> meant;
    for (const auto& term : terms) {
        meant.push_back(std::ranges::find_if(letters, [&term, k_is_semidiurnal](const Letter& known) {
            return known.letter == term.letter &&
                   (known.letter != "K" || (known.species == 2) == k_is_semidiurnal);
        }));
    }
    return meant;
}

int species_of(const std::vector<Term>& terms, const std::vector<const Letter*>& meant) {
    int sum = 0;
    for (std::size_t i = 0; i < terms.size(); ++i) {
        sum += terms[i].count * meant[i]->species;
    }
    return sum;
}

Constituent sum_of(const std::vector<Term>& terms, const std::vector<const Letter*>& meant) {
    Constituent sum;
    for (std::size_t i = 0; i < terms.size(); ++i) {
        const auto part = *find_constituent(meant[i]->constituent);
        const int count = terms[i].count;
        sum.speed_deg_h += count * part.speed_deg_h;
        for (std::size_t k = 0; k < sum.multiples.size(); ++k) {
            sum.multiples[k] += count * part.multiples[k];
        }
        sum.constant_deg += count * part.constant_deg;
        for (const auto& node : part.nodes) {
            sum.nodes.push_back({node.kind, std::abs(count) * node.power, count * node.turns});
        }
    }
    return sum;
}

/// Turns signs from the right until the species add up.
std::optional<Constituent> add_up(const Parsed& parsed) {
    for (std::size_t turned = 0; turned < parsed.terms.size(); ++turned) {
        auto terms = parsed.terms;
        for (std::size_t i = terms.size() - turned; i < terms.size(); ++i) {
            terms[i].count = -terms[i].count;
        }
        for (const bool k_is_semidiurnal : {false, true}) {
            const auto meant = meanings(terms, k_is_semidiurnal);
            if (species_of(terms, meant) == parsed.species) return sum_of(terms, meant);
        }
    }
    return std::nullopt;
}

/// "M10": five times M2, of which only the sum is written.
void complete_overtide(Parsed& parsed) {
    constexpr std::array<std::string_view, 3> with_overtides = {"M", "S", "N"};
    if (parsed.starts_with_count || parsed.terms.size() != 1 || parsed.species % 2 != 0) return;
    auto& term = parsed.terms.front();
    if (std::ranges::find(with_overtides, term.letter) != with_overtides.end()) {
        term.count = parsed.species / 2;
    }
}

} // namespace

std::optional<Constituent> compound_constituent(std::string_view name) {
    if (std::ranges::find(disputed, name) != disputed.end()) return std::nullopt;
    auto parsed = parse(name);
    if (!parsed) return std::nullopt;
    complete_overtide(*parsed);
    if (auto found = add_up(*parsed)) return found;
    if (!parsed->starts_with_count) return std::nullopt;
    const int all = parsed->terms.front().count;
    for (std::size_t i = 1; i < parsed->terms.size(); ++i) {
        parsed->terms[i].count *= all;
    }
    return add_up(*parsed);
}

} // namespace swingroom
