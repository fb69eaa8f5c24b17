#include "water/constituents.hpp"

#include "water/compound.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>
#include <ranges>
#include <string>

namespace swingroom {
namespace {

constexpr double degree = std::numbers::pi / 180;

double sine(double degrees) { return std::sin(degrees * degree); }
double cosine(double degrees) { return std::cos(degrees * degree); }

struct Row {
    std::string_view name;
    double speed_deg_h;
    std::array<int, 5> multiples;
    double constant_deg;
    std::array<NodePart, 2> nodes{};
};

constexpr NodePart of(NodeKind kind, int power = 1) { return {kind, power, power}; }
constexpr NodePart reversed(NodeKind kind) { return {kind, 1, -1}; }

// Names and speeds: list of constituents of the IHO's working group on tides (8 May 2017). Multiples follow
// from the Doodson numbers, constants from Schureman's table 2 with hours counted from midnight. M1 runs at
// the speed that the agency's predictions need: its argument holds no perigee, its speed does.
constexpr Row rows[] = {
    {"SA", 0.0410686, {0, 0, 1, 0, 0}, 0},
    {"SSA", 0.0821373, {0, 0, 2, 0, 0}, 0},
    {"MM", 0.5443747, {0, 1, 0, -1, 0}, 0, {of(NodeKind::mm)}},
    {"MSF", 1.0158958, {0, 2, -2, 0, 0}, 0, {reversed(NodeKind::m2)}},
    {"MF", 1.0980330, {0, 2, 0, 0, 0}, 0, {of(NodeKind::mf)}},
    {"2Q1", 12.8542862, {1, -4, 1, 2, 0}, 270, {of(NodeKind::o1)}},
    {"Q1", 13.3986609, {1, -3, 1, 1, 0}, 270, {of(NodeKind::o1)}},
    {"RHO", 13.4715145, {1, -3, 3, -1, 0}, 270, {of(NodeKind::o1)}},
    {"O1", 13.9430356, {1, -2, 1, 0, 0}, 270, {of(NodeKind::o1)}},
    {"M1", 14.4966939, {1, -1, 1, 0, 0}, 90, {of(NodeKind::m1)}},
    {"P1", 14.9589314, {1, 0, -1, 0, 0}, 270},
    {"S1", 15.0000000, {1, 0, 0, 0, 0}, 180},
    {"K1", 15.0410686, {1, 0, 1, 0, 0}, 90, {of(NodeKind::k1)}},
    {"J1", 15.5854433, {1, 1, 1, -1, 0}, 90, {of(NodeKind::j1)}},
    {"OO1", 16.1391017, {1, 2, 1, 0, 0}, 90, {of(NodeKind::oo1)}},
    {"2N2", 27.8953548, {2, -4, 2, 2, 0}, 0, {of(NodeKind::m2)}},
    {"MU2", 27.9682085, {2, -4, 4, 0, 0}, 0, {of(NodeKind::m2)}},
    {"N2", 28.4397295, {2, -3, 2, 1, 0}, 0, {of(NodeKind::m2)}},
    {"NU2", 28.5125832, {2, -3, 4, -1, 0}, 0, {of(NodeKind::m2)}},
    {"M2", 28.9841042, {2, -2, 2, 0, 0}, 0, {of(NodeKind::m2)}},
    {"LAM2", 29.4556253, {2, -1, 0, 1, 0}, 180, {of(NodeKind::m2)}},
    {"L2", 29.5284789, {2, -1, 2, -1, 0}, 180, {of(NodeKind::l2)}},
    {"T2", 29.9589333, {2, 0, -1, 0, 1}, 0},
    {"S2", 30.0000000, {2, 0, 0, 0, 0}, 0},
    {"R2", 30.0410667, {2, 0, 1, 0, -1}, 180},
    {"K2", 30.0821373, {2, 0, 2, 0, 0}, 0, {of(NodeKind::k2)}},
    {"2SM2", 31.0158958, {2, 2, -2, 0, 0}, 0, {reversed(NodeKind::m2)}},
    {"2MK3", 42.9271398, {3, -4, 3, 0, 0}, 270, {of(NodeKind::m2, 2), reversed(NodeKind::k1)}},
    {"M3", 43.4761564, {3, -3, 3, 0, 0}, 180, {of(NodeKind::m3)}},
    {"MK3", 44.0251729, {3, -2, 3, 0, 0}, 90, {of(NodeKind::m2), of(NodeKind::k1)}},
    {"MN4", 57.4238338, {4, -5, 4, 1, 0}, 0, {of(NodeKind::m2, 2)}},
    {"M4", 57.9682085, {4, -4, 4, 0, 0}, 0, {of(NodeKind::m2, 2)}},
    {"MS4", 58.9841042, {4, -2, 2, 0, 0}, 0, {of(NodeKind::m2)}},
    {"S4", 60.0000000, {4, 0, 0, 0, 0}, 0},
    {"M6", 86.9523127, {6, -6, 6, 0, 0}, 0, {of(NodeKind::m2, 3)}},
    {"S6", 90.0000000, {6, 0, 0, 0, 0}, 0},
    {"M8", 115.9364170, {8, -8, 8, 0, 0}, 0, {of(NodeKind::m2, 4)}},
};

constexpr std::array<std::array<std::string_view, 2>, 3> other_spellings = {
    {{"LDA2", "LAM2"}, {"LAMBDA2", "LAM2"}, {"RHO1", "RHO"}}};

std::string upper(std::string_view name) {
    std::string letters(name);
    std::ranges::transform(letters, letters.begin(), [](char c) {
        return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    });
    return letters;
}

const Row* find_row(std::string_view name) {
    const std::string wanted = usual_name(name);
    const auto* const row = std::ranges::find(rows, wanted, &Row::name);
    return row == std::end(rows) ? nullptr : row;
}

} // namespace

NodeFigures node_figures(NodeKind kind, const OrbitAngles& angles) {
    const double i = angles.inclination;
    const double half_cosine = cosine(i / 2);
    const double o1 = sine(i) * half_cosine * half_cosine / 0.3800;
    const double m2 = std::pow(half_cosine, 4) / 0.9154;
    const double two_nu = 2 * angles.nu;
    const double two_xi = 2 * angles.xi;
    switch (kind) {
    case NodeKind::mm:
        return {(2.0 / 3 - sine(i) * sine(i)) / 0.5021, 0};
    case NodeKind::mf:
        return {sine(i) * sine(i) / 0.1578, -two_xi};
    case NodeKind::o1:
        return {o1, two_xi - angles.nu};
    case NodeKind::j1:
        return {sine(2 * i) / 0.7214, -angles.nu};
    case NodeKind::oo1:
        return {sine(i) * std::pow(sine(i / 2), 2) / 0.0164, -two_xi - angles.nu};
    case NodeKind::m1:
        return {o1 * std::sqrt(2.310 + 1.435 * cosine(2 * angles.perigee)),
                angles.xi - angles.nu + angles.q_m1};
    case NodeKind::k1:
        return {
            std::sqrt(0.8965 * std::pow(sine(2 * i), 2) + 0.6001 * sine(2 * i) * cosine(angles.nu) + 0.1006),
            -angles.nu_k1};
    case NodeKind::m2:
        return {m2, two_xi - two_nu};
    case NodeKind::m3:
        return {std::pow(half_cosine, 6) / 0.8758, 1.5 * (two_xi - two_nu)};
    case NodeKind::l2: {
        const double t2 = std::pow(std::tan(i / 2 * degree), 2);
        return {m2 * std::sqrt(1 - 12 * t2 * cosine(2 * angles.perigee) + 36 * t2 * t2),
                two_xi - two_nu - angles.r_l2};
    }
    case NodeKind::k2:
        return {std::sqrt(19.0444 * std::pow(sine(i), 4) + 2.7702 * std::pow(sine(i), 2) * cosine(two_nu) +
                          0.0981),
                -angles.two_nu_k2};
    }
    return {};
}

double Constituent::argument_deg(Instant instant, const MeanLongitudes& longitudes) const {
    const auto midnight = std::chrono::floor<std::chrono::days>(instant);
    const double hours = static_cast<double>((instant - midnight).count()) / 3600;
    return multiples[0] * 15 * hours + multiples[1] * longitudes.moon + multiples[2] * longitudes.sun +
           multiples[3] * longitudes.moon_perigee + multiples[4] * longitudes.sun_perigee + constant_deg;
}

NodeFigures Constituent::nodal(const OrbitAngles& angles) const {
    NodeFigures all;
    for (const auto& part : nodes) {
        const auto one = node_figures(part.kind, angles);
        all.factor *= std::pow(one.factor, part.power);
        all.angle_deg += part.turns * one.angle_deg;
    }
    return all;
}

std::string usual_name(std::string_view name) {
    std::string letters = upper(name);
    for (const auto& [other, usual] : other_spellings) {
        if (letters == other) return std::string(usual);
    }
    return letters;
}

std::optional<Constituent> find_constituent(std::string_view name) {
    if (const Row* const row = find_row(name)) {
        Constituent found{row->speed_deg_h, row->multiples, row->constant_deg, {}};
        std::ranges::copy_if(row->nodes, std::back_inserter(found.nodes),
                             [](const NodePart& part) { return part.power != 0; });
        return found;
    }
    return compound_constituent(usual_name(name));
}

bool has_other_meanings(std::string_view name) {
    constexpr std::array names = {"M1", "S1", "SA", "R2", "M3"};
    return std::ranges::find(names, usual_name(name)) != names.end();
}

} // namespace swingroom
