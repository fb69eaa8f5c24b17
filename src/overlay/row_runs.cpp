#include "overlay/row_runs.hpp"

#include "swingroom/base/rounding.hpp"
#include "swingroom/room/place_rank.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>

namespace swingroom {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

/// Whether cells of two runs are of one zone where they share an edge.
bool of_one_zone(const Run& a, const Run& b) {
    return a.verdict == b.verdict && a.out_of_reach == b.out_of_reach;
}

/// The row's runs without their figures.
void cut_runs(const RowToAnswer& row, std::vector<Run>& runs) {
    runs.clear();
    for (const int i : row.verdicts.yes) {
        const int col = row.first_col + i;
        const Run cell{col,
                       col + 1,
                       row.verdicts.verdict[static_cast<std::size_t>(i)],
                       {},
                       (row.reach.advice(i) & advice::out_of_reach) != 0};
        if (runs.empty() || runs.back().end != col || !of_one_zone(runs.back(), cell)) {
            runs.push_back(cell);
        } else {
            runs.back().end = cell.end;
        }
    }
}

/// Finds the figures of a run. Each is that of the cell which has the most or the least of what it follows
/// from, since it rises or falls with that, and so does its rounding.
class RunFigures {
public:
    RunFigures(const RowToAnswer& row, const TackleTables& tables, Run& run)
        : row_(row), facts_(row.facts), tables_(tables), begin_(run.begin - row.first_col),
          end_(run.end - row.first_col), own_way_(way_of(run.verdict)),
          by_sounder_(is_by_sounder(run.verdict)),
          own_needs_(row.verdicts.way_needs[static_cast<std::size_t>(own_way_)].data()),
          figures_(run.figures) {}

    void find() {
        take_cells();
        take_bands();
        take_water();
        for (const Way way : all_ways) {
            find_limit(way);
        }
        take_advice();
    }

private:
    [[nodiscard]] bool banded(int i) const { return facts_.banded != nullptr && facts_.banded[i] != 0; }

    void lose(Way way) { figures_.ways = static_cast<std::uint8_t>(figures_.ways & ~bit_of(way)); }

    void take_cells() {
        // What is in the making stays in registers: written through a pointer to bytes it could be anything.
        ZoneFigures figures = figures_;
        float shoalest_m = infinite, least_shoal_m = -infinite, deepest_known_m = -infinite, slope = 0;
        Effects effects = 0;
        for (int i = begin_; i < end_; ++i) {
            const WayNeeds& needs = own_needs_[i];
            shoalest_m = std::min(shoalest_m, facts_.shoal_m[i]);
            least_shoal_m = std::max(least_shoal_m, facts_.shoal_m[i]);
            figures.rode_min_m = std::min(figures.rode_min_m, needs.rode_m);
            figures.rode_max_m = std::max(figures.rode_max_m, needs.rode_m);
            figures.radius_min_m = std::min(figures.radius_min_m, needs.radius_m);
            figures.radius_max_m = std::max(figures.radius_max_m, needs.radius_m);
            figures.spare_max_m = std::max(figures.spare_max_m, spare_m(facts_.cell(i), needs));
            figures.seabeds = static_cast<std::uint16_t>(figures.seabeds | bit_of(facts_.seabed[i]));
            effects = static_cast<Effects>(effects | facts_.effects[i]);
            const bool stepped = facts_.stepped != nullptr && facts_.stepped[i] != 0;
            slope = std::max(slope, stepped ? 0 : facts_.slope[i]);
            if (!banded(i)) deepest_known_m = std::max(deepest_known_m, facts_.deep_m[i]);
        }
        figures.depth_low_min_m = row_.judge.depth_low_m({.shoal_m = shoalest_m});
        figures.depth_low_max_m = row_.judge.depth_low_m({.shoal_m = least_shoal_m});
        figures_ = figures;
        deepest_known_m_ = deepest_known_m;
        worst_.slope = slope;
        worst_.effects = effects;
        worst_.coarse = facts_.coarse;
    }

    /// What else there is to cells whose depth may be anywhere in a chart's band.
    void take_bands() {
        deepest_m_ = double{deepest_known_m_};
        figures_.hardly_admitted = deepest_known_m_ == -infinite;
        for (int i = begin_; i < end_ && facts_.banded != nullptr; ++i) {
            if (!banded(i)) continue;
            const CellFacts cell = facts_.cell(i);
            const float limit_m = own_needs_[i].sounder_limit_m; // NaN: none, and less than nothing
            deepest_m_ = std::max(deepest_m_, row_.judge.deepest_m(cell, own_needs_[i]));
            if (limit_m < figures_.sounder_limit_min_m) figures_.sounder_limit_min_m = limit_m;
            figures_.hardly_admitted =
                figures_.hardly_admitted && hardly_admits(cell.chart_shoal_m(), cell.chart_deep_m(), limit_m);
        }
        figures_.depth_deep_max_m = narrow_up(deepest_m_);
    }

    /// How the zone is come to, and where the water is known over time when its circles are afloat.
    void take_water() {
        figures_.access_level_max_m = row_.reach.zone_level_m(begin_, end_);
        for (int i = begin_; i < end_; ++i) {
            advise(row_.reach.advice(i));
        }
        if (row_.hours == nullptr) return;
        const float* const least_depth_m =
            row_.water.least_depth_m[static_cast<std::size_t>(own_way_)].data();
        const float least_m = *std::min_element(least_depth_m + begin_, least_depth_m + end_);
        figures_.level_needed_max_m = narrow_up(row_.judge.level_needed_m(least_m));
    }

    /// Of the way of the verdict and, since ways nest, of all less demanding ones that are to be had there.
    void find_limit(Way way) {
        if (way < own_way_ || !tables_.has_rode(way, double{deepest_known_m_})) lose(way);
        SureLimit sure;
        for (int i = begin_; i < end_ && figures_.has(way); ++i) {
            if (banded(i)) {
                find_limit_by_band(way, facts_.cell(i));
            } else if (least_kn(way) > sure_limit_kn(way, i, sure)) {
                find_limit_of_cell(way, i);
            }
        }
    }
    [[nodiscard]] float least_kn(Way way) const {
        return figures_.wind_limit_min_kn[static_cast<std::size_t>(way)];
    }
    /// What no cell of a seabed and a rode has less than.
    struct SureLimit {
        Seabed seabed = Seabed::unknown;
        std::uint32_t rode = 0;
        std::optional<double> kn;
    };
    /// @param known  of the cell before: most cells have the same
    [[nodiscard]] double sure_limit_kn(Way way, int i, SureLimit& known) const {
        const Seabed seabed = facts_.seabed[i];
        const std::uint32_t rode =
            way == Way::full ? own_needs_[i].row : 0; // others' rodes do not bear on it
        if (!known.kn || seabed != known.seabed || rode != known.rode) {
            known = {seabed, rode,
                     way == Way::full ? tables_.sure_full_limit_kn(own_needs_[i], seabed)
                                      : tables_.sure_wind_limit_kn(seabed)};
        }
        return *known.kn;
    }
    /// The ground room of a yes fits its way, so the tables' own limit is the whole answer.
    void find_limit_of_cell(Way way, int i) {
        take_limit(way, tables_.fitting_wind_limit_kn(
                            way, facts_.shoal_m[i], facts_.deep_m[i], facts_.hull_room_m[i], facts_.seabed[i],
                            std::min(least_kn(way), TackleTables::greatest_wind_kn)));
    }
    /// Where the sounder may tell more its readings are walked for each way.
    void find_limit_by_band(Way way, const CellFacts& cell) {
        const WayNeeds needs = row_.judge.needs(way, cell);
        if (!Judge::fits(cell, needs)) return lose(way);
        if (needs.by_sounder()) {
            figures_.plain_ways = static_cast<std::uint8_t>(figures_.plain_ways & ~bit_of(way));
        }
        take_limit(way, row_.judge.wind_limit_kn(way, needs, cell));
    }
    /// Of other ways than that of the verdict in whole knots.
    void take_limit(Way way, float limit_kn) {
        float& kn = figures_.wind_limit_min_kn[static_cast<std::size_t>(way)];
        kn = std::min(kn, way == own_way_ ? limit_kn : std::floor(limit_kn));
    }

    void take_advice() {
        for (unsigned left = figures_.seabeds; left != 0; left &= left - 1) {
            worst_.seabed = static_cast<Seabed>(std::countr_zero(left));
            advise(row_.judge.advice(worst_, deepest_m_));
        }
        advise(row_.judge.wind_advice(least_kn(own_way_)));
        if (by_sounder_) advise(advice::sound_first);
    }
    void advise(std::uint16_t bits) { figures_.advice = static_cast<std::uint16_t>(figures_.advice | bits); }

    const RowToAnswer& row_;
    const RowFacts& facts_;
    const TackleTables& tables_;
    int begin_, end_; ///< counted from the row's first cell
    Way own_way_;
    bool by_sounder_;
    const WayNeeds* own_needs_; ///< of the row's cells
    ZoneFigures& figures_;
    /// What calls for advice: of several cells what there is of it in any of them.
    CellFacts worst_;
    double deepest_m_ = -std::numeric_limits<double>::infinity(); ///< that she may have to lie in
    float deepest_known_m_ = -infinite; ///< of cells whose depth no sounder tells more of
};

} // namespace

void find_runs(const RowToAnswer& row, const TackleTables& tables, std::span<const Run> above,
               std::vector<Run>& runs) {
    cut_runs(row, runs);
    std::size_t next = 0; // of the row above: those before it end before the run begins
    for (Run& run : runs) {
        while (next < above.size() && above[next].end <= run.begin) {
            ++next;
        }
        for (std::size_t i = next; i < above.size() && above[i].begin < run.end; ++i) {
            if (of_one_zone(above[i], run)) run.figures.merge_limits(above[i].figures);
        }
        RunFigures(row, tables, run).find();
    }
}

} // namespace swingroom
