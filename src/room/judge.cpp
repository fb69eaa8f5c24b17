#include "swingroom/room/judge.hpp"

#include "swingroom/room/place_rank.hpp"

#include "room/row_passes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <tuple>

namespace swingroom {
namespace {

// Common practice, no source: about the depth that an amateur diver with a small bottle works in.
constexpr double untrained_diver_m = 10;
constexpr float worth_a_word_slope = 0.1F;

/// Whether a way is a yes in little but name: a less demanding one is the better answer if it is not so.
bool hardly(const CellFacts& cell, const WayNeeds& needs) {
    return needs.by_sounder() &&
           hardly_admits(cell.chart_shoal_m(), cell.chart_deep_m(), needs.sounder_limit_m);
}

bool holds_poorly(Seabed seabed) { return seabed >= Seabed::gravel; }

/// Why a way is out at a floating cell, as bits of `reason`; none where it fits.
std::uint32_t reasons_of_way(Way way, const WayNeeds& needs, float hull_room_m, float ground_room_m) {
    using reason::OfWay;
    if (needs.out != WayNeeds::Out::none) {
        return reason::of_way(way, needs.out == WayNeeds::Out::rode ? OfWay::rode : OfWay::unavailable);
    }
    const std::uint32_t hull = hull_room_m >= needs.radius_m ? 0 : reason::of_way(way, OfWay::hull_room);
    const std::uint32_t ground =
        ground_room_m >= needs.ground_m ? 0 : reason::of_way(way, OfWay::ground_room);
    return hull | ground;
}

} // namespace

Judge::Judge(const TackleTables& tables)
    : tables_(&tables), least_way_(tables.boat().sinker ? Way::sinker : Way::short_scope),
      required_m_(tables.boat().required_depth_m()), low_m_(tables.conditions().water.low_m),
      high_m_(tables.conditions().water.high_m), least_radius_m_(tables.least_radius_m()),
      windlass_m_(tables.windlass_depth_m()), recovery_m_(tables.recovery_depth_m()),
      greatest_slope_(tables.boat().policy.max_slope.value_or(std::numeric_limits<double>::infinity())),
      afloat_m_(narrow_up(tables.boat().required_depth_m() - low_m_)),
      afloat_at_high_m_(narrow_up(tables.boat().required_depth_m() - high_m_)),
      planned_wind_kn_(narrow_down(tables.conditions().wind_kn)),
      forbids_by_depth_(!(windlass_m_ == std::numeric_limits<double>::infinity() &&
                          recovery_m_ == std::numeric_limits<double>::infinity())) {
    static_assert(seabed_names.size() <= 32, "forbidding_grounds_ has a bit for each");
    for (std::size_t slot = 0; slot < of_ground_.size(); ++slot) {
        const auto seabed = static_cast<Seabed>(slot);
        if (holds_poorly(seabed)) advice_of_ground_[slot] |= advice::poor_holding;
        if (seabed == Seabed::unknown || !tables.holding_known(seabed)) {
            advice_of_ground_[slot] |= advice::unknown_holding;
        }
        // Ground that is not known is credited with the least known, and advised about; it forbids nothing,
        // unless the user has said what the anchor holds there.
        if (seabed == Seabed::unknown && !tables.boat().anchor.unknown_given) continue;
        const double limit_kn = tables.holding_limit_kn(seabed); // NaN where no holding is known at all
        if (limit_kn <= 0) {
            of_ground_[slot] = reason::seabed;
        } else if (limit_kn < planned_wind_kn_) {
            of_ground_[slot] = reason::holding;
        }
        if (of_ground_[slot] != 0) forbidding_grounds_ |= 1U << slot;
    }
}

SeabedOrder Judge::seabed_order() const {
    std::array<std::size_t, seabed_names.size()> from_best{};
    std::iota(from_best.begin(), from_best.end(), 0);
    const auto badness = [this](std::size_t slot) {
        const double limit_kn = tables_->holding_limit_kn(static_cast<Seabed>(slot));
        return std::tuple(of_ground_[slot] != 0, std::isnan(limit_kn) ? 0 : -limit_kn,
                          seabeds_by_class[slot]);
    };
    std::sort(from_best.begin(), from_best.end(),
              [&](std::size_t a, std::size_t b) { return badness(a) < badness(b); });
    SeabedOrder order{};
    for (std::size_t i = 0; i < order.size(); ++i) {
        order[from_best[i]] = static_cast<std::uint8_t>(i);
    }
    return order;
}

WayNeeds Judge::needs(Way way, const CellFacts& cell) const {
    if (!cell.banded || !may_sound(cell)) return tables_->needs(way, cell.shoal_m, cell.deep_m);
    // Most areas of a chart are deeper than she has rode for.
    if (tables_->has_rode(way, cell.deep_m) && recovers(cell.deep_m)) {
        const WayNeeds any_depth = tables_->needs(way, cell.shoal_m, cell.deep_m);
        if (fits(cell, any_depth)) return any_depth;
    }
    const SoundedBand sounded = band(cell);
    const SounderRun run = tables_->by_sounder(way, sounded, cell.hull_room_m, cell.ground_room_m);
    if (!run.any()) {
        const double deepest_m = deepest_of_shoalest_m(cell);
        WayNeeds of_shoalest = tables_->needs(way, sounded.shoal_m, deepest_m);
        // It does not fit, or windlass and crew forbid it, which is a reason of its own: no rounding may make
        // a yes of it.
        if (fits(cell, of_shoalest) && recovers(deepest_m)) of_shoalest.out = WayNeeds::Out::rode;
        return of_shoalest;
    }
    WayNeeds needs{.rode_m = run.rode_m, .radius_m = run.radius_m, .ground_m = run.ground_m};
    // The shift goes off again: a limit is a chart depth.
    needs.sounder_limit_m = narrow_down(double{run.limit_m} - double{cell.rise_m});
    return needs;
}

double Judge::deepest_m(const CellFacts& cell, const WayNeeds& needs) const {
    if (!cell.banded || !may_sound(cell)) return cell.deep_m;
    if (needs.by_sounder()) return shifted_limit_m(cell, needs) + band(cell).deeper_m;
    return fits(cell, needs) && recovers(cell.deep_m) ? double{cell.deep_m} : deepest_of_shoalest_m(cell);
}

WayNeeds Judge::needs_once_afloat(Way way, const CellFacts& cell) const {
    if (floats(cell)) return needs(way, cell);
    CellFacts raised = cell;
    raised.shoal_m = afloat_m_;
    raised.deep_m = std::max(cell.deep_m, afloat_m_);
    raised.hull_room_m = raised.ground_room_m = 0;
    return needs(way, raised);
}

float Judge::least_depth_m(const Hazard& hazard) const {
    constexpr float infinite = std::numeric_limits<float>::infinity();
    const HullNeeds hull = hull_needs(tables_->boat(), tables_->conditions().water);
    if ((hazard.effects & effect::hull) == 0) return infinite;
    if (hazard.clearance_m && hull.clears_above(*hazard.clearance_m)) return infinite;
    if (!hazard.least_depth_m) return -infinite;
    // Whether she clears it is asked in doubles: as a float its depth may come to lie on the other side.
    const float depth_m = narrow_down(*hazard.least_depth_m);
    return hull.clears_below(*hazard.least_depth_m) ? std::max(depth_m, afloat_m_)
                                                    : std::min(depth_m, std::nextafter(afloat_m_, -infinite));
}

std::uint16_t Judge::advice(const CellFacts& cell, double deepest_m) const {
    std::uint16_t bits = advice_of_ground_[static_cast<std::size_t>(cell.seabed)];
    if (cell.effects & effect::trip_line) bits |= advice::trip_line;
    if (cell.effects & effect::warn) bits |= advice::read_chart;
    if (cell.effects & effect::survey) bits |= advice::poor_survey;
    if (cell.effects & effect::uncharted) bits |= advice::uncharted;
    if (cell.effects & effect::depths_differ) bits |= advice::survey_and_chart_differ;
    if (cell.effects & effect::poor_ground) bits |= advice::poor_holding;
    if (cell.slope > worth_a_word_slope && !cell.stepped) bits |= advice::steep;
    if (cell.coarse) bits |= advice::coarse_data;
    if (deepest_m + high_m_ > untrained_diver_m) bits |= advice::deep_recovery;
    return bits;
}

void Judge::verdicts(const RowFacts& row, const std::array<bool, all_ways.size()>& asked,
                     RowVerdicts& out) const {
    // Passes with little to do in each, and lists of cells instead of branches: what one cell waits for, from
    // table to table, the processor spends on the next ones.
    const auto cells = static_cast<std::size_t>(row.cells);
    out.verdict.resize(cells);
    out.afloat_marks.resize(cells);
    out.roomy_marks.resize(cells);
    // No way needs less room than the least radius.
    out.surveyed = mark_row(row, afloat_m_, narrow_up(least_radius_m_), out.verdict.data(),
                            out.afloat_marks.data(), out.roomy_marks.data());
    unmark_forbidden(row, forbidding_grounds_, out.roomy_marks.data());
    find_places(out.afloat_marks, out.afloat);
    find_places(out.roomy_marks, out.open);
    if (forbids_by_depth_ || considers_slope()) {
        std::erase_if(out.open, [&](int i) { return forbids(row.cell(i)) != 0; });
    }
    // From here on of each cell whether there is room for the way at hand.
    std::vector<std::uint8_t>& fits_marks = out.roomy_marks;
    for (const Way way : all_ways) {
        const auto slot = static_cast<std::size_t>(way);
        std::vector<WayNeeds>& way_needs = out.way_needs[slot];
        way_needs.resize(cells);
        const std::vector<int>& places = asked[slot] ? out.afloat : out.open;
        look_up(*tables_, way, row, places, {.out = tables_->out_beyond_rode(way)}, way_needs.data(),
                fits_marks.data());
        if (row.banded == nullptr) {
            settle(yes_to(way), fits_marks.data(), out.verdict.data(), out.open);
            continue;
        }
        for (const int i : places) {
            if (row.banded[i] != 0) way_needs[static_cast<std::size_t>(i)] = needs(way, row.cell(i));
        }
        std::size_t left = 0;
        for (const int i : out.open) {
            const CellFacts cell = row.cell(i);
            const WayNeeds& of_cell = way_needs[static_cast<std::size_t>(i)];
            Verdict& verdict = out.verdict[static_cast<std::size_t>(i)];
            const bool fitting = fits(cell, of_cell);
            const bool in_name_only = fitting && hardly(cell, of_cell);
            if (fitting && !(in_name_only && is_yes(verdict))) verdict = yes_to(way, of_cell.by_sounder());
            out.open[left] = i;
            left += static_cast<std::size_t>(!fitting || in_name_only);
        }
        out.open.resize(left);
    }
    mark_yes(out.verdict.data(), row.cells, out.roomy_marks.data());
    find_places(out.roomy_marks, out.yes);
}

WhyNot Judge::why_not(const RowFacts& row, int i, const RowVerdicts& verdicts) const {
    const CellFacts cell = row.cell(i);
    if (const std::uint32_t forbidding = forbids(cell); forbidding != 0) {
        return leading_reason_of_all_ways(forbidding);
    }
    if (!(cell.hull_room_m >= least_radius_m_)) {
        // No reading of the sounder fits either: what is told then is the need of the shoalest.
        const double deep_m = may_sound(cell) ? deepest_of_shoalest_m(cell) : double{cell.deep_m};
        return tables_->has_rode(least_way_, deep_m) ? WhyNot::hull_room : WhyNot::rode;
    }
    const WayNeeds& needs =
        verdicts.way_needs[static_cast<std::size_t>(least_way_)][static_cast<std::size_t>(i)];
    if (needs.out != WayNeeds::Out::none) return WhyNot::rode;
    return cell.hull_room_m >= needs.radius_m ? WhyNot::ground_room : WhyNot::hull_room;
}

CellAnswer Judge::judge(const CellFacts& cell) const {
    CellAnswer answer;
    answer.spare_m.fill(std::numeric_limits<float>::quiet_NaN());
    if (!(cell.shoal_m <= cell.deep_m)) {
        answer.reasons = reason::unsurveyed;
        return answer;
    }
    const std::uint32_t forbidding = forbids(cell);
    answer.verdict = Verdict::no;
    answer.reasons = forbidding;
    answer.judged = floats(cell);
    bool settled = false;
    for (const Way way : all_ways) {
        if (!answer.judged) break; // no rode can be chosen where the boat is aground
        const auto slot = static_cast<std::size_t>(way);
        const WayNeeds needs = answer.way_needs[slot] = this->needs(way, cell);
        const std::uint32_t of_this_way = reasons_of_way(way, needs, cell.hull_room_m, cell.ground_room_m);
        answer.reasons |= of_this_way;
        if (needs.out != WayNeeds::Out::none) continue;
        answer.spare_m[slot] = spare_m(cell, needs);
        if ((forbidding | of_this_way) != 0 || settled) continue;
        const bool in_name_only = hardly(cell, needs);
        if (!in_name_only || !is_yes(answer.verdict)) answer.verdict = yes_to(way, needs.by_sounder());
        settled = !in_name_only;
    }
    if (!is_yes(answer.verdict)) {
        answer.advice = advice(cell, cell.deep_m);
        return answer;
    }
    // Against the best way that fits; where none does, the wind is not what forbids.
    const Way best = way_of(answer.verdict);
    const WayNeeds& needs = answer.way_needs[static_cast<std::size_t>(best)];
    answer.advice = advice(cell, deepest_m(cell, needs)) | advice_of_yes(answer.verdict, needs, cell);
    return answer;
}

std::uint16_t Judge::advice_of_yes(Verdict yes, const WayNeeds& needs, const CellFacts& cell) const {
    const Way way = way_of(yes);
    std::uint16_t bits = is_by_sounder(yes) ? advice::sound_first : std::uint16_t{0};
    // A limit need not be looked for where it is known to be enough.
    if (way == Way::full || needs.by_sounder() ||
        !(tables_->sure_wind_limit_kn(cell.seabed) >= tables_->conditions().wind_kn)) {
        bits |= wind_advice(wind_limit_kn(way, needs, cell, planned_wind_kn_));
    }
    return bits;
}

void Judge::reasons(const RowFacts& row, const RowVerdicts& verdicts, RowReasons& out) const {
    const auto cells = static_cast<std::size_t>(row.cells);
    out.reasons.resize(cells);
    out.advice.resize(cells);
    for (int i = 0; i < row.cells; ++i) {
        const auto at = static_cast<std::size_t>(i);
        const CellFacts cell = row.cell(i);
        const bool surveyed = cell.shoal_m <= cell.deep_m;
        out.reasons[at] = surveyed ? forbids(cell) : reason::unsurveyed;
        out.advice[at] = surveyed ? advice(cell, cell.deep_m) : std::uint16_t{0};
    }
    for (const Way way : all_ways) {
        const std::vector<WayNeeds>& way_needs = verdicts.way_needs[static_cast<std::size_t>(way)];
        for (const int i : verdicts.afloat) {
            const auto at = static_cast<std::size_t>(i);
            out.reasons[at] |= reasons_of_way(way, way_needs[at], row.hull_room_m[i], row.ground_room_m[i]);
        }
    }
    for (const int i : verdicts.yes) {
        const auto at = static_cast<std::size_t>(i);
        const CellFacts cell = row.cell(i);
        const Verdict yes = verdicts.verdict[at];
        const WayNeeds& needs = verdicts.way_needs[static_cast<std::size_t>(way_of(yes))][at];
        if (cell.banded) out.advice[at] = advice(cell, deepest_m(cell, needs));
        out.advice[at] |= advice_of_yes(yes, needs, cell);
    }
}

void Judge::wind_limits_kn(Way way, const RowFacts& row, const RowVerdicts& verdicts,
                           float* limits_kn) const {
    const WayNeeds* const needs = verdicts.way_needs[static_cast<std::size_t>(way)].data();
    tables_->wind_limits_kn(way, verdicts.afloat,
                            {needs, row.shoal_m, row.deep_m, row.hull_room_m, row.ground_room_m, row.seabed},
                            limits_kn);
    if (row.banded == nullptr) return;
    for (const int i : verdicts.afloat) { // in a band the sounder may have a word in it
        if (row.banded[i] != 0 && needs[i].out == WayNeeds::Out::none) {
            limits_kn[i] = wind_limit_kn(way, needs[i], row.cell(i));
        }
    }
}

} // namespace swingroom
