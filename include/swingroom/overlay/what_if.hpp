#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_rules.hpp"

#include <array>
#include <cstdint>
#include <limits>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {

/// What is changed, alone: all else stays as it was asked about.
enum class Change : std::uint8_t {
    water,  ///< more of it at low water, up to high water: by staying for other hours
    rode,   ///< more of it aboard: of the rope where she has any, else of the chain
    wind,   ///< less of it
    sinker, ///< one on the rode of a boat that has none
    margin  ///< a smaller one around what a rule keeps away from
};
/// As documents for programs have them, in the order of the enumerators.
inline constexpr std::array<std::string_view, 5> change_names = {"water", "rode", "wind", "sinker", "margin"};

/// Something that alone makes a no a yes, proved by asking about the cell again with it.
struct Proposal {
    /// What is changed.
    Change change = Change::water;
    /// Metres of water or of rode in all, knots of mean wind, kilograms of a sinker in air, metres of margin.
    double amount = 0;
    /// What was asked about, in the same unit; 0 for the sinker.
    double instead_of = 0;
    std::string rule, source;      ///< of a margin: the rule's name, and where its own margin is from
    Verdict verdict = Verdict::no; ///< the answer then
    std::uint16_t advice = 0;      ///< bits of `advice` then
    /// The greatest reading of the sounder that will do then; NaN: any.
    float sounder_limit_m = std::numeric_limits<float>::quiet_NaN();
    /// Of water: whether it is known over time, so that the level can be waited for.
    bool of_tide = false;

    /// How much more or less that is.
    [[nodiscard]] double by() const {
        return amount > instead_of ? amount - instead_of : instead_of - amount;
    }
};

/// No plan is made for less wind: common practice, no source.
inline constexpr double least_proposed_wind_kn = 5;
/// Of a sinker that a crew lifts and slides down by hand: common practice, no source. Steel, slid down by the
/// height of the roller above the seabed, as a boat file means it that says no more than a mass.
inline constexpr double proposed_sinker_kg = 15;

/// Where nobody says how surely a thing lies where it is charted it is taken to lie no farther off than this,
/// which a chart plotted at 1:10 000 shows as a millimetre. Common practice, no source.
inline constexpr double unstated_position_m = 10;

/// Looks for what would make a no a yes. What has been made for one cell is used for the next, so that
/// several cells cost little more than one.
class WhatIf {
public:
    /// @param job  must outlive it, as all that it points to   @param rules  that its hazards were made by
    /// @param known  cells of which depths and hazards are prepared; a change that would have to look beyond
    ///               them is not proposed
    WhatIf(const OverlayJob& job, std::vector<HazardRule> rules, Window known);
    ~WhatIf();

    /// What does it, each alone, in the order of Change; empty where nothing does, or where it is a yes.
    ///
    /// Steps go the way that still does it: water in tenths of a metre (with a tide to whole tenths above
    /// chart datum, as levels needed are told) and rode in whole metres up, to at most high water and twice
    /// the rode aboard; wind in whole knots down; margins in whole metres down, to no less than how surely
    /// the things lie where they are charted, and never to none. The least change counts; it is found by
    /// halving, since with less of what forbids nothing forbids that did not before.
    /// @param at  examine() of the cell
    std::vector<Proposal> proposals(const PositionReport& at);

private:
    struct Cell;

    const TackleTables* tables_with(Change change, double amount);
    [[nodiscard]] CellAnswer answer_with(const TackleTables& tables, const Cell& cell) const;
    [[nodiscard]] CellAnswer answer_with_margin(const Cell& cell, const HazardRule& rule,
                                                double margin_m) const;
    void propose_water(const Cell& cell, std::vector<Proposal>& into);
    void propose_rode(const Cell& cell, double needed_m, std::vector<Proposal>& into);
    void propose_wind(const Cell& cell, std::vector<Proposal>& into);
    void propose_sinker(const Cell& cell, std::vector<Proposal>& into);
    void propose_margins(const Cell& cell, std::vector<Proposal>& into) const;

    OverlayJob job_;
    std::vector<HazardRule> rules_;
    Window known_;
    std::map<std::pair<Change, double>, std::unique_ptr<TackleTables>> tables_;
};

} // namespace swingroom
