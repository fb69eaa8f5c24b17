#include "swingroom/boat/gear.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace swingroom {
namespace {

struct ChainSize {
    double diameter_mm, din_kg_per_m, iso_kg_per_m; // 0: the standard has no such size
};
constexpr ChainSize chain_sizes[] = {{6, 0.80, 0.80},  {7, 1.10, 0},  {8, 1.40, 1.40},  {9, 1.80, 0},
                                     {10, 2.20, 2.25}, {11, 2.70, 0}, {12, 3.10, 3.25}, {13, 3.80, 0},
                                     {14, 4.40, 0},    {16, 5.70, 0}};

struct HoldingLaw {
    double reference_n, exponent;
};
constexpr double reference_mass_kg = 4536; // 10,000 lb
constexpr double kip_n = 4448.2216152605;

std::size_t index(Seabed seabed) { return static_cast<std::size_t>(seabed); }

std::optional<HoldingLaw> holding_law(AnchorType type, Seabed seabed) {
    const bool soft = seabed == Seabed::mud;
    if (!soft && seabed != Seabed::clay && seabed != Seabed::sand) return std::nullopt;
    if (type == AnchorType::fluke) return soft ? HoldingLaw{87 * kip_n, 0.92} : HoldingLaw{126 * kip_n, 0.80};
    // A yacht's stockless anchor has movable flukes.
    if (type == AnchorType::stockless) {
        return soft ? HoldingLaw{24 * kip_n, 0.92} : HoldingLaw{44 * kip_n, 0.80};
    }
    return std::nullopt;
}

/// The law where it is published, and for poor ground the sand's number by the soil factor.
std::optional<double> lawful_holding_n(AnchorType type, double mass_kg, Seabed seabed) {
    if (const auto own = published_holding_n(type, mass_kg, seabed)) return own;
    const auto sand = published_holding_n(type, mass_kg, Seabed::sand);
    const auto factor = soil_factor(seabed);
    return sand && factor ? std::optional(*sand * *factor) : std::nullopt;
}

/// What the user's own numbers say of a ground of this factor: the least of those for better ground, scaled
/// down to it; else the most of those for worse ground as it stands, since that the better ground holds more
/// is not ours to promise.
std::optional<double> carried_holding_n(const std::array<std::optional<double>, seabed_names.size()>& own_n,
                                        double factor) {
    std::optional<double> from_better, from_worse;
    for (std::size_t k = index(Seabed::clay); k < index(Seabed::rock); ++k) {
        if (!own_n[k]) continue;
        const double own_factor = *soil_factor(static_cast<Seabed>(k));
        if (own_factor >= factor) {
            const double scaled = *own_n[k] * (factor / own_factor);
            from_better = std::min(from_better.value_or(scaled), scaled);
        } else {
            from_worse = std::max(from_worse.value_or(0), *own_n[k]);
        }
    }
    return from_better ? from_better : from_worse;
}

double rope_stiffness_n(const Rode& rode, Stretch stretch) {
    const double stiffness_n = stretch == Stretch::as_aboard ? rode.rope_stiffness_n
                               : stretch == Stretch::least   ? rode.rope_stiffest_n
                                                             : 0;
    return stiffness_n > 0 ? stiffness_n : std::numeric_limits<double>::infinity();
}

} // namespace

double in_water_n(double mass_kg, double density_kg_per_m3) {
    return mass_kg * gravity_m_per_s2 * (1 - sea_water_kg_per_m3 / density_kg_per_m3);
}

std::optional<double> chain_kg_per_m(double diameter_mm, ChainStandard standard) {
    for (const ChainSize& size : chain_sizes) {
        if (std::abs(size.diameter_mm - diameter_mm) > 1e-6) continue;
        const double mass = standard == ChainStandard::din_766 ? size.din_kg_per_m : size.iso_kg_per_m;
        return mass > 0 ? std::optional(mass) : std::nullopt;
    }
    return std::nullopt;
}

double nylon_kg_per_m(double diameter_mm) { return 0.62e-3 * diameter_mm * diameter_mm; }

double nylon_stiffness_n(double diameter_mm, RopeMake make) {
    const double breaking_n = 32000 * (diameter_mm * diameter_mm) / (14.0 * 14.0);
    return 3.54 * breaking_n / (make == RopeMake::laid ? 2 : 1);
}

std::optional<double> published_holding_n(AnchorType type, double mass_kg, Seabed seabed) {
    const auto law = holding_law(type, seabed);
    if (!law) return std::nullopt;
    return law->reference_n * std::pow(mass_kg / reference_mass_kg, law->exponent);
}

std::optional<double> soil_factor(Seabed seabed) {
    switch (seabed) {
    case Seabed::clay:
        return 1.5;
    case Seabed::sand:
        return 1;
    case Seabed::mud:
    case Seabed::gravel:
    case Seabed::shells:
    case Seabed::weed:
        return 0.33;
    case Seabed::rock:
    case Seabed::coral:
        return 0;
    case Seabed::unknown:
        break;
    }
    return std::nullopt;
}

std::array<std::optional<double>, seabed_names.size()>
complete_holding(AnchorType type, double mass_kg,
                 const std::array<std::optional<double>, seabed_names.size()>& own_n) {
    auto holding = own_n;
    for (std::size_t i = index(Seabed::clay); i < holding.size(); ++i) {
        if (own_n[i]) continue;
        const double factor = *soil_factor(static_cast<Seabed>(i));
        if (factor <= 0) {
            holding[i] = 0;
            continue;
        }
        holding[i] = lawful_holding_n(type, mass_kg, static_cast<Seabed>(i));
        if (const auto carried = carried_holding_n(own_n, factor)) {
            holding[i] = std::min(holding[i].value_or(*carried), *carried);
        }
    }
    if (!own_n[index(Seabed::unknown)]) {
        for (std::size_t i = index(Seabed::clay); i < index(Seabed::rock); ++i) {
            if (holding[i]) {
                holding[index(Seabed::unknown)] =
                    std::min(holding[index(Seabed::unknown)].value_or(*holding[i]), *holding[i]);
            }
        }
    }
    return holding;
}

double sinker_place_m(const Sinker& sinker, double rode_m, double span_m) {
    const double farthest_m = sinker.line_m > 0 ? std::min(sinker.line_m, rode_m) : rode_m;
    switch (sinker.at) {
    case Sinker::At::metres:
        return std::min(sinker.at_value, farthest_m);
    case Sinker::At::spans:
        return std::min(sinker.at_value * span_m, farthest_m);
    case Sinker::At::best:
        break;
    }
    return farthest_m;
}

std::vector<RodePart> rode_parts(const Rode& rode, double veered_m, std::optional<HungSinker> sinker,
                                 Stretch stretch) {
    const double extra_m = std::max(0.0, veered_m - rode.aboard_m());
    const double chain_m = rode.chain_m > 0 ? std::min(veered_m, rode.chain_m + extra_m) : 0;
    const double rope_m = veered_m - chain_m;
    std::vector<RodePart> lines;
    if (rope_m > 0) {
        lines.push_back(RodePart::line(rope_m, in_water_n(rode.rope_kg_per_m, nylon_kg_per_m3),
                                       rope_stiffness_n(rode, stretch)));
    }
    if (chain_m > 0) {
        lines.push_back(RodePart::line(chain_m, in_water_n(rode.chain_kg_per_m, steel_kg_per_m3)));
    }
    if (!sinker) return lines;

    std::vector<RodePart> parts;
    double passed_m = 0;
    bool hung = false;
    for (const RodePart& line : lines) {
        const double above_m = sinker->from_bow_m - passed_m;
        if (hung || above_m >= line.length_m) {
            parts.push_back(line);
        } else {
            const double share = std::max(0.0, above_m) / line.length_m;
            if (share > 0) parts.push_back({line.length_m * share, line.weight_n * share, line.stiffness_n});
            parts.push_back(RodePart::point(sinker->weight_n));
            parts.push_back({line.length_m * (1 - share), line.weight_n * (1 - share), line.stiffness_n});
            hung = true;
        }
        passed_m += line.length_m;
    }
    if (!hung) parts.push_back(RodePart::point(sinker->weight_n));
    return parts;
}

} // namespace swingroom
