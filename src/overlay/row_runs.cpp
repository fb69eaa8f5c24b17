#include "overlay/row_runs.hpp"

#include "swingroom/base/rounding.hpp"
#include "swingroom/room/place_rank.hpp"

#include "overlay/extremes.hpp"
#include "room/vectorised.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <limits>

namespace swingroom {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

/// Whether cells of two runs are of one zone where they share an edge.
bool of_one_zone(const Run& a, const Run& b) {
    return a.verdict == b.verdict && a.out_of_reach == b.out_of_reach;
}

/// How many of the values, from the first one on, are the same.   @pre most > 0
std::size_t same_as_first(const Verdict* values, std::size_t most) {
    // Words of eight are compared at once: a run is often as long as the block.
    const std::uint64_t eight = 0x0101010101010101U * static_cast<std::uint64_t>(values[0]);
    std::size_t count = 1;
    for (std::uint64_t word = 0; count + sizeof word <= most; count += sizeof word) {
        std::memcpy(&word, values + count, sizeof word);
        if (word != eight) break;
    }
    while (count < most && values[count] == values[0]) {
        ++count;
    }
    return count;
}

/// The row's runs without their figures.
void cut_runs(const RowToAnswer& row, std::vector<Run>& runs) {
    runs.clear();
    const std::vector<Verdict>& verdicts = row.verdicts.verdict;
    const std::vector<int>& yes = row.verdicts.yes;
    const auto out_of_reach = [&row](int begin, int end) {
        return (row.reach.advice(begin, end) & advice::out_of_reach) != 0;
    };
    const auto add = [&](int begin, int end, bool is_out_of_reach) {
        runs.push_back({row.first_col + begin,
                        row.first_col + end,
                        verdicts[static_cast<std::size_t>(begin)],
                        {},
                        is_out_of_reach});
    };
    for (std::size_t next = 0; next < yes.size();) {
        const auto first = static_cast<std::size_t>(yes[next]);
        const std::size_t cells =
            same_as_first(&verdicts[first], static_cast<std::size_t>(row.facts.cells) - first);
        next += cells;
        int begin = yes[next - cells];
        const int end = begin + static_cast<int>(cells);
        if (!out_of_reach(begin, end)) {
            add(begin, end, false);
            continue;
        }
        for (int i = begin + 1; i <= end; ++i) {
            const bool of_first = out_of_reach(begin, begin + 1);
            if (i < end && out_of_reach(i, i + 1) == of_first) continue;
            add(begin, i, of_first);
            begin = i;
        }
    }
}

/// A bit for each that occurs.
SWINGROOM_VECTORISED std::uint16_t all_seabeds(const Seabed* seabeds, std::size_t count) {
    std::uint32_t set = 0;
    for (std::size_t i = 0; i < count; ++i) {
        set |= 1u << static_cast<unsigned>(seabeds[i]);
    }
    return static_cast<std::uint16_t>(set);
}

/// All bits that occur.
SWINGROOM_VECTORISED Effects all_effects(const Effects* effects, std::size_t count) {
    Effects all = 0;
    for (std::size_t i = 0; i < count; ++i) {
        all = static_cast<Effects>(all | effects[i]);
    }
    return all;
}

/// What neighbouring cells lie between.
struct Between {
    Extremes shoal_m, deep_m, hull_room_m;
    [[nodiscard]] DepthsBetween depths() const {
        return {shoal_m.least, shoal_m.most, deep_m.least, deep_m.most};
    }
};

/// Adds to the figures of a run what its cells have beyond those that it has already. Each figure is that of
/// the cell which has the most or the least of what it follows from, since it rises or falls with that, and
/// so does its rounding. So stretches of cells are asked first what they lie between, and their cells only
/// where that is beyond the figures.
class RunFigures {
public:
    /// @param run  with figures of its zone
    RunFigures(const RowToAnswer& row, const TackleTables& tables, Run& run)
        : row_(row), facts_(row.facts), tables_(tables), begin_(run.begin - row.first_col),
          end_(run.end - row.first_col), own_way_(way_of(run.verdict)),
          by_sounder_(is_by_sounder(run.verdict)),
          own_needs_(row.verdicts.way_needs[static_cast<std::size_t>(own_way_)].data()),
          figures_(run.figures) {}

    void find() {
        take_facts();
        take_ways();
        sure_limit_kn_ = sure_limit_kn();
        for (int begin = begin_, end = begin_; begin < end_; begin = end) {
            end = end_of_stretch(begin);
            if (banded(begin)) {
                take_banded(begin, end);
            } else {
                take_stretch(begin, end);
            }
        }
        take_depths();
        take_water();
        take_advice();
    }

private:
    /// Cells that are asked together; halved where that does not do, down to so few.
    static constexpr int longest_stretch = 64, shortest_stretch = 4;

    [[nodiscard]] bool banded(int i) const { return facts_.banded != nullptr && facts_.banded[i] != 0; }
    /// Of cells that are all banded or all not.
    [[nodiscard]] int end_of_stretch(int begin) const {
        const int most = std::min(end_, begin + longest_stretch);
        if (facts_.banded == nullptr) return most;
        int end = begin + 1;
        while (end < most && banded(end) == banded(begin)) {
            ++end;
        }
        return end;
    }

    template <class Fn>
    void for_each_seabed(Fn fn) const {
        for (unsigned left = seabeds_; left != 0; left &= left - 1) {
            fn(static_cast<Seabed>(std::countr_zero(left)));
        }
    }

    void lose(Way way) { figures_.ways = static_cast<std::uint8_t>(figures_.ways & ~bit_of(way)); }

    /// The extremes of what is known of each cell by itself.
    void take_facts() {
        const auto cells = static_cast<std::size_t>(end_ - begin_);
        seabeds_ = all_seabeds(facts_.seabed + begin_, cells);
        figures_.seabeds = static_cast<std::uint16_t>(figures_.seabeds | seabeds_);
        worst_.effects = all_effects(facts_.effects + begin_, cells);
        worst_.coarse = facts_.coarse;
        worst_.slope = most_where_not(facts_.stepped, facts_.slope);
        deepest_known_m_ = most_where_not(facts_.banded, facts_.deep_m);
        deepest_m_ = double{deepest_known_m_};
    }
    /// The greatest value of the cells without a mark; negative infinity where all have one.
    [[nodiscard]] float most_where_not(const std::uint8_t* marks, const float* values) const {
        if (marks == nullptr) {
            return extremes_of(values + begin_, static_cast<std::size_t>(end_ - begin_)).most;
        }
        float most = -infinite;
        for (int i = begin_; i < end_; ++i) {
            if (marks[i] == 0) most = std::max(most, values[i]);
        }
        return most;
    }
    /// Since ways nest, that of the verdict and all less demanding ones that are to be had there.
    void take_ways() {
        for (const Way way : all_ways) {
            if (way < own_way_ || !tables_.has_rode(way, double{deepest_known_m_})) lose(way);
        }
    }

    static Extremes extremes_between(const float* values, int begin, int end) {
        return extremes_of(values + begin, static_cast<std::size_t>(end - begin));
    }
    [[nodiscard]] Between between(int begin, int end) const {
        return {extremes_between(facts_.shoal_m, begin, end), extremes_between(facts_.deep_m, begin, end),
                extremes_between(facts_.hull_room_m, begin, end)};
    }
    /// Cells whose depth is known.
    void take_stretch(int begin, int end) {
        const Between all = between(begin, end);
        take_shoal(all.shoal_m);
        if (needs_count(begin, end, all)) take_needs(begin, end);
        figures_.hardly_admitted = false;
        for (const Way way : all_ways) {
            if (figures_.has(way)) find_limit(way, begin, end, all);
        }
    }
    void take_shoal(const Extremes& shoal_m) {
        figures_.depth_low_min_m =
            std::min(figures_.depth_low_min_m, row_.judge.depth_low_m({.shoal_m = shoal_m.least}));
        figures_.depth_low_max_m =
            std::max(figures_.depth_low_max_m, row_.judge.depth_low_m({.shoal_m = shoal_m.most}));
    }
    /// Whether what some of the cells need may be beyond the figures.
    [[nodiscard]] bool needs_count(int begin, int end, const Between& all) const {
        const NeedsBetween needs = tables_.needs_between(own_way_, all.depths());
        if (needs.least_rode_m < figures_.rode_min_m || needs.most_rode_m > figures_.rode_max_m ||
            needs.least_radius_m < figures_.radius_min_m || needs.most_radius_m > figures_.radius_max_m) {
            return true;
        }
        const auto is_more = [this](float most_room_m, float least_need_m) {
            return narrow_down(double{most_room_m} - double{least_need_m}) > figures_.spare_max_m;
        };
        return is_more(all.hull_room_m.most, needs.least_radius_m) &&
               is_more(extremes_between(facts_.ground_room_m, begin, end).most, needs.least_ground_m);
    }
    void take_needs(int begin, int end) {
        for (int i = begin; i < end; ++i) {
            const WayNeeds& needs = own_needs_[i];
            figures_.rode_min_m = std::min(figures_.rode_min_m, needs.rode_m);
            figures_.rode_max_m = std::max(figures_.rode_max_m, needs.rode_m);
            figures_.radius_min_m = std::min(figures_.radius_min_m, needs.radius_m);
            figures_.radius_max_m = std::max(figures_.radius_max_m, needs.radius_m);
            figures_.spare_max_m = std::max(
                figures_.spare_max_m,
                spare_m({.hull_room_m = facts_.hull_room_m[i], .ground_room_m = facts_.ground_room_m[i]},
                        needs));
        }
    }

    /// What no cell whose depth is known has less than.
    [[nodiscard]] double sure_limit_kn() const {
        double least_kn = std::numeric_limits<double>::infinity();
        for_each_seabed(
            [&](Seabed seabed) { least_kn = std::min(least_kn, tables_.sure_wind_limit_kn(seabed)); });
        return least_kn;
    }
    [[nodiscard]] float least_kn(Way way) const {
        return figures_.wind_limit_min_kn[static_cast<std::size_t>(way)];
    }
    /// Whether the limit of some of the cells may be less than the figures'.
    [[nodiscard]] bool limit_counts(Way way, const Between& all) const {
        bool counts = false;
        for_each_seabed([&](Seabed seabed) {
            counts = counts || tables_.least_wind_limit_kn(way, all.depths(), all.hull_room_m.least, seabed,
                                                           least_kn(way)) < least_kn(way);
        });
        return counts;
    }
    void find_limit(Way way, int begin, int end, const Between& all) {
        if (least_kn(way) <= sure_limit_kn_ || !limit_counts(way, all)) return;
        if (end - begin <= shortest_stretch) {
            for (int i = begin; i < end; ++i) {
                find_limit_of_cell(way, i);
            }
            return;
        }
        const int middle = begin + (end - begin) / 2;
        find_limit(way, begin, middle, between(begin, middle));
        find_limit(way, middle, end, between(middle, end));
    }
    /// The ground room of a yes fits its way, so the tables' own limit is the whole answer.
    void find_limit_of_cell(Way way, int i) {
        take_limit(way, tables_.fitting_wind_limit_kn(
                            way, facts_.shoal_m[i], facts_.deep_m[i], facts_.hull_room_m[i], facts_.seabed[i],
                            std::min(least_kn(way), TackleTables::greatest_wind_kn)));
    }
    /// Of other ways than that of the verdict in whole knots.
    void take_limit(Way way, float limit_kn) {
        float& kn = figures_.wind_limit_min_kn[static_cast<std::size_t>(way)];
        kn = std::min(kn, way == own_way_ ? limit_kn : std::floor(limit_kn));
    }

    /// Cells whose depth may be anywhere in a chart's band: the readings of the sounder are walked for each
    /// way.
    void take_banded(int begin, int end) {
        take_shoal(extremes_between(facts_.shoal_m, begin, end));
        take_needs(begin, end);
        for (int i = begin; i < end; ++i) {
            const CellFacts cell = facts_.cell(i);
            const float limit_m = own_needs_[i].sounder_limit_m; // NaN: none, and less than nothing
            deepest_m_ = std::max(deepest_m_, row_.judge.deepest_m(cell, own_needs_[i]));
            if (limit_m < figures_.sounder_limit_min_m) figures_.sounder_limit_min_m = limit_m;
            figures_.hardly_admitted =
                figures_.hardly_admitted && hardly_admits(cell.chart_shoal_m(), cell.chart_deep_m(), limit_m);
            for (const Way way : all_ways) {
                if (figures_.has(way)) find_limit_by_band(way, cell);
            }
        }
    }
    void find_limit_by_band(Way way, const CellFacts& cell) {
        const WayNeeds needs = row_.judge.needs(way, cell);
        if (!Judge::fits(cell, needs)) return lose(way);
        if (needs.by_sounder()) {
            figures_.plain_ways = static_cast<std::uint8_t>(figures_.plain_ways & ~bit_of(way));
        }
        take_limit(way, row_.judge.wind_limit_kn(way, needs, cell));
    }
    void take_depths() {
        figures_.depth_deep_max_m = std::max(figures_.depth_deep_max_m, narrow_up(deepest_m_));
    }

    /// How the zone is come to, and where the water is known over time when its circles are afloat.
    void take_water() {
        figures_.access_level_max_m =
            std::max(figures_.access_level_max_m, row_.reach.zone_level_m(begin_, end_));
        advise(row_.reach.advice(begin_, end_));
        if (row_.hours == nullptr) return;
        const float* const least_depth_m =
            row_.water.least_depth_m[static_cast<std::size_t>(own_way_)].data();
        const float least_m = *std::min_element(least_depth_m + begin_, least_depth_m + end_);
        figures_.level_needed_max_m =
            std::max(figures_.level_needed_max_m, narrow_up(row_.judge.level_needed_m(least_m)));
    }

    void take_advice() {
        for_each_seabed([&](Seabed seabed) {
            worst_.seabed = seabed;
            advise(row_.judge.advice(worst_, deepest_m_));
        });
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
    std::uint16_t seabeds_ = 0; ///< of the run
    /// What calls for advice: of several cells what there is of it in any of them.
    CellFacts worst_;
    double deepest_m_ = -std::numeric_limits<double>::infinity(); ///< that she may have to lie in
    float deepest_known_m_ = -infinite; ///< of cells whose depth no sounder tells more of
    double sure_limit_kn_ = 0;
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
            if (of_one_zone(above[i], run)) run.figures.merge(above[i].figures);
        }
        RunFigures(row, tables, run).find();
    }
}

} // namespace swingroom
