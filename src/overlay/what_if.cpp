#include "swingroom/overlay/what_if.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <utility>

namespace swingroom {
namespace {

constexpr std::uint32_t common_bits = (1U << reason::first_way_bit) - 1;

/// The least of whole steps from 1 to `most` that will do, if `most` does.
std::optional<int> least_step(int most, const std::function<bool(int)>& will_do) {
    if (most < 1 || !will_do(most)) return std::nullopt;
    int too_few = 0;
    while (most - too_few > 1) {
        const int middle = too_few + (most - too_few) / 2;
        (will_do(middle) ? most : too_few) = middle;
    }
    return most;
}

/// Without the digits that adding up leaves behind it, since a person types it in.
double typed(double value) { return std::round(value * 1e6) / 1e6; }

Boat with_rode(Boat boat, double aboard_m) {
    const double more_m = aboard_m - boat.rode.aboard_m();
    (boat.rode.rope_m > 0 ? boat.rode.rope_m : boat.rode.chain_m) += more_m;
    return boat;
}

Boat with_sinker(Boat boat, double mass_kg) {
    Sinker sinker;
    sinker.mass_kg = mass_kg;
    boat.sinker = sinker;
    return boat;
}

bool holds(Window all, Window part) { return part.empty() || common(all, part) == part; }

/// @param answer  a yes
Proposal proposal(Change change, double amount, double instead_of, const CellAnswer& answer) {
    Proposal made{change, amount, instead_of, "", "", answer.verdict};
    made.advice = answer.advice;
    made.sounder_limit_m = answer.way_needs[static_cast<std::size_t>(way_of(answer.verdict))].sounder_limit_m;
    return made;
}

} // namespace

/// What proposals are made for.
struct WhatIf::Cell {
    int col, row;
    std::uint32_t reasons;
    double reach_m;          ///< of the way that comes nearest
    double rise_m, excess_m; ///< see CellFacts
    [[nodiscard]] Window window() const { return {col, row, 1, 1}; }
    /// Whether nothing forbids every way but what one of these bits stands for.
    [[nodiscard]] bool nothing_else_forbids(std::uint32_t bits) const {
        return (reasons & common_bits & ~bits) == 0;
    }
};

WhatIf::WhatIf(const OverlayJob& job, std::vector<HazardRule> rules, Window known)
    : job_(job), rules_(std::move(rules)), known_(known) {
    job_.wanted = {};
    job_.way_in = nullptr; // what is proposed moves no sill, and with other water it would be another way
}
WhatIf::~WhatIf() = default;

const TackleTables* WhatIf::tables_with(Change change, double amount) {
    std::unique_ptr<TackleTables>& made = tables_[{change, amount}];
    if (made) return made.get();
    const TackleTables& now = *job_.tables;
    Boat boat = now.boat();
    Conditions conditions = now.conditions();
    switch (change) {
    case Change::water:
        conditions.water.low_m = amount;
        break;
    case Change::rode:
        boat = with_rode(std::move(boat), amount);
        break;
    case Change::wind:
        conditions.wind_kn = amount;
        break;
    case Change::sinker:
        boat = with_sinker(std::move(boat), amount);
        break;
    case Change::margin:
        break; // none of the boat's business
    }
    made = std::make_unique<TackleTables>(boat, conditions, now.greatest_apart_m() / 2);
    return made.get();
}

CellAnswer WhatIf::answer_with(const TackleTables& tables, const Cell& cell) const {
    OverlayJob job = job_;
    job.tables = &tables;
    const Window extent = job.depths->grid().extent();
    const int halo = halo_cells(*job.metric, tables, {0, cell.row, extent.cols, 1});
    if (!holds(known_, common(grown(cell.window(), halo), extent))) return {};
    return answer_at(job, cell.col, cell.row);
}

CellAnswer WhatIf::answer_with_margin(const Cell& cell, const HazardRule& rule, double margin_m) const {
    const Window extent = job_.depths->grid().extent();
    const int halo = halo_cells(*job_.metric, *job_.tables, {0, cell.row, extent.cols, 1});
    const Window near = common(grown(cell.window(), halo), extent);
    std::vector<Hazard> hazards;
    for (const std::size_t index : job_.hazards->touching(near)) {
        hazards.push_back(job_.hazards->hazards()[index]);
        // What widens the danger of one feature stands in its margin, too, and stays.
        if (hazards.back().kind == rule.name) hazards.back().margin_m -= rule.margin_m - margin_m;
    }
    const HazardField field(std::move(hazards), extent, *job_.metric, near);
    OverlayJob job = job_;
    job.hazards = &field;
    return answer_at(job, cell.col, cell.row);
}

void WhatIf::propose_water(const Cell& cell, std::vector<Proposal>& into) {
    // A hull floats clear of what has a least depth.
    if (!cell.nothing_else_forbids(reason::too_shallow | reason::hull_danger)) return;
    constexpr double step_m = 0.1, slack = 1e-9;
    const WaterLevels& water = job_.tables->conditions().water;
    // With a tide from one tenth of a metre above chart datum to the next, and above each by what rounding
    // for print forgives: as levels needed are told, since two figures for one level would be one too many.
    constexpr double forgiven_m = 4e-5;
    const bool tide = job_.tide != nullptr;
    const double first_m =
        tide ? std::floor(water.low_m / step_m + slack) * step_m + forgiven_m : water.low_m;
    const auto level_m = [&](int steps) { return typed(first_m + steps * step_m); };
    const auto answer = [&](int steps) {
        return answer_with(*tables_with(Change::water, level_m(steps)), cell);
    };
    const auto found =
        least_step(static_cast<int>(std::floor((water.high_m - first_m + cell.excess_m) / step_m + slack)),
                   [&](int steps) { return is_yes(answer(steps).verdict); });
    if (!found) return;
    into.push_back(
        proposal(Change::water, level_m(*found) + cell.rise_m, water.low_m + cell.rise_m, answer(*found)));
    into.back().of_tide = tide;
}

void WhatIf::propose_rode(const Cell& cell, double needed_m, std::vector<Proposal>& into) {
    const double aboard_m = job_.tables->boat().rode.aboard_m();
    if (!cell.nothing_else_forbids(0) || !(needed_m > aboard_m) || needed_m > 2 * aboard_m) return;
    constexpr double rounding_tolerance_m = 1e-4; // what is needed is a float, rounded up
    const auto most = static_cast<int>(std::ceil(needed_m - aboard_m - rounding_tolerance_m));
    const auto all_m = [&](int metres) { return typed(aboard_m + metres); };
    const auto answer = [&](int metres) {
        return answer_with(*tables_with(Change::rode, all_m(metres)), cell);
    };
    const auto found = least_step(most, [&](int metres) { return is_yes(answer(metres).verdict); });
    if (found) into.push_back(proposal(Change::rode, all_m(*found), aboard_m, answer(*found)));
}

void WhatIf::propose_wind(const Cell& cell, std::vector<Proposal>& into) {
    if (!cell.nothing_else_forbids(reason::holding)) return;
    const double planned_kn = job_.tables->conditions().wind_kn;
    const double first_kn = std::ceil(planned_kn) - 1; // the first whole knot below it
    const auto wind_kn = [&](int knots) { return first_kn - (knots - 1); };
    const auto answer = [&](int knots) {
        return answer_with(*tables_with(Change::wind, wind_kn(knots)), cell);
    };
    const auto found = least_step(static_cast<int>(first_kn - least_proposed_wind_kn) + 1,
                                  [&](int knots) { return is_yes(answer(knots).verdict); });
    if (found) into.push_back(proposal(Change::wind, wind_kn(*found), planned_kn, answer(*found)));
}

void WhatIf::propose_sinker(const Cell& cell, std::vector<Proposal>& into) {
    if (job_.tables->boat().sinker || !cell.nothing_else_forbids(0)) return;
    const CellAnswer answer = answer_with(*tables_with(Change::sinker, proposed_sinker_kg), cell);
    if (is_yes(answer.verdict)) into.push_back(proposal(Change::sinker, proposed_sinker_kg, 0, answer));
}

void WhatIf::propose_margins(const Cell& cell, std::vector<Proposal>& into) const {
    constexpr std::uint32_t dangers = reason::hull_danger | reason::ground_danger | reason::drop_forbidden;
    if (!cell.nothing_else_forbids(dangers)) return;
    const CellSize size = job_.metric->within(cell.reach_m).at(cell.row);
    const double cells = std::ceil(cell.reach_m / std::min(size.dx_m, size.dy_m)) + 1;
    const Window extent = job_.depths->grid().extent();
    const Window near = common(grown(cell.window(), static_cast<int>(std::min(cells, 1e6))), extent);
    // How surely the things lie where they are charted, by the rule that speaks of them.
    std::map<std::string, double> position_m;
    std::vector<std::string> in_order;
    for (const std::size_t index : job_.hazards->touching(near)) {
        const Hazard& hazard = job_.hazards->hazards()[index];
        constexpr Effects forbidding = effect::hull | effect::ground | effect::drop;
        if ((effects_on(hazard, hull_needs(job_)) & forbidding) == 0) continue;
        const auto [known, added] = position_m.try_emplace(hazard.kind, 0);
        if (added) in_order.push_back(hazard.kind);
        known->second = std::max(
            {known->second, hazard.placement_allowance_m, hazard.position_m.value_or(unstated_position_m)});
    }
    for (const std::string& kind : in_order) {
        const auto rule =
            std::find_if(rules_.begin(), rules_.end(), [&](const HazardRule& of) { return of.name == kind; });
        if (rule == rules_.end()) continue;                   // what no chart covers has no rule
        const double first_m = std::ceil(rule->margin_m) - 1; // the first whole metre below it
        const double least_m = std::max(1.0, std::ceil(position_m[kind]));
        const auto margin_m = [&](int metres) { return first_m - (metres - 1); };
        const auto answer = [&](int metres) { return answer_with_margin(cell, *rule, margin_m(metres)); };
        const auto found = least_step(static_cast<int>(first_m - least_m) + 1,
                                      [&](int metres) { return is_yes(answer(metres).verdict); });
        if (!found) continue;
        into.push_back(proposal(Change::margin, margin_m(*found), rule->margin_m, answer(*found)));
        into.back().rule = rule->name;
        into.back().source = rule->source;
    }
}

std::vector<Proposal> WhatIf::proposals(const PositionReport& at) {
    std::vector<Proposal> found;
    if (at.answer.verdict != Verdict::no) return found;
    const std::optional<WhyNot> why = leading_reason(at.answer.reasons);
    const Way least = job_.tables->boat().sinker ? Way::sinker : Way::short_scope;
    const WayNeeds& needs = at.answer.way_needs[static_cast<std::size_t>(least)];
    const Cell cell{at.col,
                    at.row,
                    at.answer.reasons,
                    at.answer.judged && needs.out == WayNeeds::Out::none
                        ? static_cast<double>(std::max(needs.radius_m, needs.ground_m))
                        : reach_m(*job_.tables),
                    double{at.facts.rise_m},
                    double{at.facts.excess_m}};
    propose_water(cell, found);
    if (why == WhyNot::rode) propose_rode(cell, static_cast<double>(needs.rode_m), found);
    propose_wind(cell, found);
    propose_sinker(cell, found);
    propose_margins(cell, found);
    return found;
}

} // namespace swingroom
