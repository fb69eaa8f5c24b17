#pragma once

#include "swingroom/base/rounding.hpp"
#include "swingroom/boat/tables.hpp"
#include "swingroom/room/effect.hpp"
#include "swingroom/room/hazard.hpp"
#include "swingroom/room/verdict.hpp"
#include "swingroom/room/why_not.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

namespace swingroom {

/// All that is known of a cell before it is judged. Depths in metres below chart datum, NaN where unsurveyed.
struct CellFacts {
    /// The chart depth less its uncertainty, and that plus it: the true depth is taken to lie between them.
    float shoal_m = 0, deep_m = 0;
    /// Distances from the cell to what hull and ground tackle must not meet, rounded down; the reach stands
    /// for more.
    float hull_room_m = 0, ground_room_m = 0;
    float slope = 0;     ///< rise over run, rounded up
    Effects effects = 0; ///< bits of `effect` that touch the cell
    /// Of several in the cell the worst for the anchor that comes.
    Seabed seabed = Seabed::unknown;
    bool coarse = false; ///< cells of its row exceed a third of the least radius
    bool banded = false; ///< the depth may be anywhere in a chart's band: rode may be chosen by the sounder
    /// The depth is that of an area of a chart: a step to the next one is no slope of the seabed.
    bool stepped = false;
    /// Where the levels are the cell's own and not those of the tables, both sides of the depth are shifted:
    /// the shoal side by how much its lowest level is higher, the deep side by that and by how much greater
    /// its range is (LevelPlanes).
    float rise_m = 0, excess_m = 0;

    /// The two sides of the depth below chart datum.
    [[nodiscard]] double chart_shoal_m() const { return double{shoal_m} - double{rise_m}; }
    [[nodiscard]] double chart_deep_m() const { return double{deep_m} - double{rise_m} - double{excess_m}; }
};

/// What is said of a cell. The needs hold only where `judged` is true: the cell is surveyed and floats the
/// hull.
struct CellAnswer {
    /// The yes to the most demanding way that fits, else no; unsurveyed without a depth. A way that the
    /// sounder's limit hardly admits (hardly_admits()) counts only if no other fits.
    Verdict verdict = Verdict::unsurveyed;
    /// Bits of `reason`: all that forbid, also those of a way in whose place a less demanding one is a yes.
    std::uint32_t reasons = 0;
    /// Bits of `advice`; 0 for an unsurveyed cell.
    std::uint16_t advice = 0;
    /// Whether rode and room of the ways were looked at: not where the boat would be aground.
    bool judged = false;
    /// By Way; of a way that is out, why, and how much rode it would take.
    std::array<WayNeeds, all_ways.size()> way_needs{};
    /// spare_m() of each way; NaN where the way is out.
    std::array<float, all_ways.size()> spare_m{};
};

/// Room less what a way needs of it, the worse of hull and ground, rounded down.
inline float spare_m(const CellFacts& cell, const WayNeeds& needs) {
    return narrow_down(std::min(static_cast<double>(cell.hull_room_m) - needs.radius_m,
                                static_cast<double>(cell.ground_room_m) - needs.ground_m));
}

/// A row of cells, each quantity by itself. Slopes may be null where none is minded.
struct RowFacts {
    /// How many there are; each pointer below is to so many values, which must outlive the judging.
    int cells = 0;
    /// As in CellFacts: depths and rooms in metres, slopes as rise over run.
    const float *shoal_m = nullptr, *deep_m = nullptr, *hull_room_m = nullptr, *ground_room_m = nullptr,
                *slope = nullptr;
    /// As in CellFacts.
    const Effects* effects = nullptr;
    /// As in CellFacts.
    const Seabed* seabed = nullptr;
    /// As in CellFacts, the same for the whole row.
    bool coarse = false;
    const std::uint8_t* banded = nullptr;  ///< null: none is
    const std::uint8_t* stepped = nullptr; ///< null: none is
    /// As in CellFacts; null: the levels are those of the tables.
    const float *rise_m = nullptr, *excess_m = nullptr;

    /// The facts of one cell by its place in the row, from 0.
    [[nodiscard]] CellFacts cell(int i) const {
        return {shoal_m[i],
                deep_m[i],
                hull_room_m[i],
                ground_room_m[i],
                slope != nullptr ? slope[i] : 0,
                effects[i],
                seabed[i],
                coarse,
                banded != nullptr && banded[i] != 0,
                stepped != nullptr && stepped[i] != 0,
                rise_m != nullptr ? rise_m[i] : 0,
                excess_m != nullptr ? excess_m[i] : 0};
    }
};

/// What is said of a row of cells, kept from row to row so that it need not be made anew.
struct RowVerdicts {
    /// Of each cell.
    std::vector<Verdict> verdict;
    int surveyed = 0;             ///< cells with a depth
    std::vector<int> afloat, yes; ///< cells that float the hull, and those that a way suits; ascending
    /// By way and cell: of a yes that of its way; if asked for, of all cells afloat. What stands at other
    /// cells means nothing.
    std::array<std::vector<WayNeeds>, all_ways.size()> way_needs;
    std::vector<std::uint8_t> afloat_marks, roomy_marks; ///< scratch: of each cell 1 or 0
    std::vector<int> open;                               ///< scratch
};

/// Everything that is to be said about each cell of a row, and nothing of how it came about: so that a row
/// takes no more room than its planes.
struct RowReasons {
    std::vector<std::uint32_t> reasons; ///< CellAnswer::reasons
    std::vector<std::uint16_t> advice;  ///< CellAnswer::advice
};

/// Judges cells, one by one or row by row: the same functions behind the layers and behind a single position.
class Judge {
public:
    /// Inside an area of a chart nothing tells how the seabed slopes: it counts as rising by at least so much
    /// over run between the transducer and the anchor. Common practice, no source.
    static constexpr double least_sounded_slope = 0.1;

    /// @param tables  must outlive the judge
    explicit Judge(const TackleTables& tables);

    /// Everything about a cell.
    [[nodiscard]] CellAnswer judge(const CellFacts& cell) const;
    /// judge().verdict of all cells of a row, by the shortest way, with what stands behind it.
    /// @param asked  ways whose lies are wanted of all cells afloat
    void verdicts(const RowFacts& row, const std::array<bool, all_ways.size()>& asked,
                  RowVerdicts& out) const;
    /// judge().reasons and judge().advice of all cells of a row, from the lies that are known already.
    /// @param verdicts  of that row, all ways asked
    void reasons(const RowFacts& row, const RowVerdicts& verdicts, RowReasons& out) const;
    /// leading_reason() of what judge() says of a cell of a row that floats the hull and is a no.
    /// @param verdicts  of that row
    [[nodiscard]] WhyNot why_not(const RowFacts& row, int i, const RowVerdicts& verdicts) const;
    /// judge().advice of a surveyed cell, but for what the wind has to say.
    /// @param deepest_m  chart depth that she may have to lie in: deepest_m(), or that of the cell
    [[nodiscard]] std::uint16_t advice(const CellFacts& cell, double deepest_m) const;
    /// What a way asks for at a floating cell. Where the depth is a chart's band: of the one rode that holds
    /// whatever the depth is, where that fits; else by the sounder; else, so that it can be said what is
    /// missing, of the shoalest reading.
    [[nodiscard]] WayNeeds needs(Way way, const CellFacts& cell) const;
    /// The same at any surveyed cell. Where it does not float her she takes the ground and does not swing;
    /// she swings from the moment on at which she just floats, as over a seabed that floats her at low
    /// water: so much span, and rode for high water. By the sounder: of the shoalest reading.
    [[nodiscard]] WayNeeds needs_once_afloat(Way way, const CellFacts& cell) const;
    /// The same where hull and ground room are enough for it.
    [[nodiscard]] static bool fits(const CellFacts& cell, const WayNeeds& needs) {
        return needs.out == WayNeeds::Out::none && cell.hull_room_m >= needs.radius_m &&
               cell.ground_room_m >= needs.ground_m;
    }
    /// The deepest depth, shifted as CellFacts::deep_m is, that rode, windlass and crew are asked about in a
    /// way at a cell.
    [[nodiscard]] double deepest_m(const CellFacts& cell, const WayNeeds& needs) const;
    /// Whether rode may be chosen by the sounder: not where it would tell no more than the band does, nor
    /// where the seabed is so steep that the depth below the transducer tells little of that under the
    /// anchor.
    [[nodiscard]] bool may_sound(const CellFacts& cell) const {
        if (!cell.banded) return false;
        const SoundedBand sounded = band(cell);
        return sounded.deeper_m + sounded.shoaler_m <= tables_->greatest_apart_m() &&
               sounded.shoal_m + sounded.deeper_m < double{cell.deep_m};
    }
    /// The band that the sounder is to tell more of. A reading is a chart depth: where the range is the
    /// cell's own it is shifted as the shoal side is, and what it may stand for at high water is deeper by
    /// the excess of range.
    [[nodiscard]] SoundedBand band(const CellFacts& cell) const {
        const Boat& boat = tables_->boat();
        const auto excess_m = double{cell.excess_m};
        return {double{cell.shoal_m}, double{cell.deep_m} - excess_m, boat.reading_error_m() + excess_m,
                boat.shoaler_than_reading_m(std::max(double{cell.slope}, least_sounded_slope))};
    }
    /// What the wind has to say of a yes cell, from the limit of its way.
    [[nodiscard]] std::uint16_t wind_advice(float wind_limit_kn) const {
        return wind_limit_kn < planned_wind_kn_ ? advice::wind_above_limit : std::uint16_t{0};
    }
    /// How bad each ground is to this anchor in this wind: those that forbid are the worst, then those that
    /// hold least.
    [[nodiscard]] SeabedOrder seabed_order() const;
    /// Whether the slope bears on the verdict.
    [[nodiscard]] bool considers_slope() const {
        return greatest_slope_ < std::numeric_limits<double>::infinity();
    }

    /// Whether the cell is surveyed and floats the hull at low water: where not, no way can be asked about.
    [[nodiscard]] bool floats(const CellFacts& cell) const { return cell.shoal_m >= afloat_m_; }
    /// Whether it floats her at high water, if not at low water.
    [[nodiscard]] bool floats_at_high_water(const CellFacts& cell) const {
        return double{cell.shoal_m} + double{cell.excess_m} >= double{afloat_at_high_m_};
    }
    /// Of a hazard, what stands for the least depth over it, in metres below chart datum: rounded down, and
    /// enough to float her at low water exactly if effects_on() has it that she clears it. Infinite where it
    /// is nothing to the hull, negative infinity where no water is enough.
    [[nodiscard]] float least_depth_m(const Hazard& hazard) const;
    /// Least water at low water of what is least deep in a circle, rounded down.
    /// @param least_m  metres below chart datum
    [[nodiscard]] float least_water_m(float least_m) const { return narrow_down(double{least_m} + low_m_); }
    /// The least of these that floats her at low water.
    [[nodiscard]] float least_water_afloat_m() const { return least_water_m(afloat_m_); }
    /// The wind that is planned for, rounded down as the limits are.
    [[nodiscard]] float planned_wind_kn() const { return planned_wind_kn_; }
    /// The level above chart datum at which what is least deep in a circle floats her, rounded up; no more
    /// than the lowest of the stay if it does so then.
    [[nodiscard]] double level_needed_m(float least_m) const {
        const double level_m = required_m_ - double{least_m};
        const double up_m = level_m + std::abs(level_m) * 0x1p-52; // a last digit more, or two
        return least_m >= afloat_m_ ? std::min(up_m, low_m_) : up_m;
    }
    /// Least water at low water, rounded down; NaN where unsurveyed.
    [[nodiscard]] float depth_low_m(const CellFacts& cell) const {
        return narrow_down(cell.shoal_m + low_m_);
    }
    /// Wind limit of a way in a floating cell, hull room counted; 0 where the ground room does not fit the
    /// way.
    [[nodiscard]] float wind_limit_kn(Way way, const CellFacts& cell) const {
        return wind_limit_kn(way, needs(way, cell), cell);
    }
    /// The same for who knows the lie there already.
    /// @param enough_kn  as of TackleTables::fitting_wind_limit_kn(), where the sounder is not needed
    [[nodiscard]] float wind_limit_kn(Way way, const WayNeeds& needs, const CellFacts& cell,
                                      float enough_kn = greatest_wind_kn) const {
        if (cell.ground_room_m < needs.ground_m) return 0; // a way that is out needs none and is limited to 0
        if (needs.by_sounder()) {
            const float limit_m = narrow_down(shifted_limit_m(cell, needs));
            return tables_->wind_limit_by_sounder_kn(way, band(cell), limit_m, cell.hull_room_m, cell.seabed);
        }
        return tables_->wind_limit_kn(way, needs, cell.shoal_m, deepest_m(cell, needs), cell.hull_room_m,
                                      cell.seabed, enough_kn);
    }

    /// The same of the cells of a row that float the hull, where the way is to be had; others are left as
    /// they are.
    /// @param verdicts   of that row, the way asked   @param limits_kn  by cell
    void wind_limits_kn(Way way, const RowFacts& row, const RowVerdicts& verdicts, float* limits_kn) const;

    /// A limit of the sounder, which is a chart depth, as the tables are asked about it.
    [[nodiscard]] static double shifted_limit_m(const CellFacts& cell, const WayNeeds& needs) {
        return double{needs.sounder_limit_m} + double{cell.rise_m};
    }

private:
    /// The deepest that the shoalest reading of a band may stand for.
    [[nodiscard]] double deepest_of_shoalest_m(const CellFacts& cell) const {
        return cell.shoal_m + (tables_->boat().reading_error_m() + double{cell.excess_m});
    }
    /// Whether windlass and crew get the anchor back from a chart depth.
    [[nodiscard]] bool recovers(double depth_m) const {
        return !(depth_m + high_m_ > windlass_m_ || depth_m + high_m_ > recovery_m_);
    }
    /// Reasons that forbid whatever the way.
    [[nodiscard]] std::uint32_t forbids(const CellFacts& cell) const {
        // She who reads the sounder need not let go in the deep.
        const double deep_m = may_sound(cell) ? deepest_of_shoalest_m(cell) : double{cell.deep_m};
        const double deep_high_m = deep_m + high_m_;
        std::uint32_t reasons = 0;
        if (!floats(cell)) reasons |= reason::too_shallow;
        if (cell.effects & effect::hull) reasons |= reason::hull_danger;
        if (cell.effects & effect::ground) reasons |= reason::ground_danger;
        if (cell.effects & effect::drop) reasons |= reason::drop_forbidden;
        if (deep_high_m > windlass_m_) reasons |= reason::windlass;
        if (deep_high_m > recovery_m_) reasons |= reason::recovery;
        if (cell.slope > greatest_slope_ && !cell.stepped) reasons |= reason::steep;
        return reasons | of_ground_[static_cast<std::size_t>(cell.seabed)];
    }

    /// What a yes is advised of beyond any surveyed cell: its wind, and the sounder.
    [[nodiscard]] std::uint16_t advice_of_yes(Verdict yes, const WayNeeds& needs,
                                              const CellFacts& cell) const;

    const TackleTables* tables_;
    Way least_way_; ///< the least demanding one that she has the tackle for
    double required_m_, low_m_, high_m_, least_radius_m_, windlass_m_, recovery_m_, greatest_slope_;
    float afloat_m_;         ///< least chart depth that floats the hull at low water, rounded up
    float afloat_at_high_m_; ///< the same at high water
    float planned_wind_kn_;  ///< rounded down, as wind limits are
    std::array<std::uint32_t, seabed_names.size()> of_ground_{}; ///< reasons that the ground alone gives
    std::array<std::uint16_t, seabed_names.size()> advice_of_ground_{}; ///< likewise
    std::uint32_t forbidding_grounds_ = 0; ///< a bit for each with such a reason, by its number
    bool forbids_by_depth_;                ///< whether windlass or crew set a limit
};

} // namespace swingroom
