#include "overlay/block_decider.hpp"

#include "swingroom/base/rounding.hpp"
#include "swingroom/room/map_class.hpp"
#include "swingroom/sea/chart_depths.hpp"

#include "overlay/layer_answers.hpp"
#include "overlay/row_runs.hpp"
#include "room/vectorised.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace swingroom {
namespace {

/// Rise over run for a metre of rise, per direction, rounded up so that a slope never comes out too gentle.
struct PerMetre {
    float along, across, askew;
    explicit PerMetre(CellSize cell)
        : along(with_rounding(1 / cell.dx_m)), across(with_rounding(1 / cell.dy_m)),
          askew(with_rounding(1 / std::sqrt(cell.dx_m * cell.dx_m + cell.dy_m * cell.dy_m))) {}

private:
    /// The differences and products of floats that follow lose less than this.
    static float with_rounding(double v) { return narrow_up(v * (1 + 1e-6)); }
};

/// The steepest rises of one side of the depth, or what was there before where that is steeper.
/// @param here  a cell of the first column, in rows of `next_row` cells
SWINGROOM_VECTORISED void take_slopes(const float* here, std::ptrdiff_t next_row, PerMetre per_metre,
                                      int cells, float* slopes) {
    const float *const above = here - next_row, *const below = here + next_row;
    for (int i = 0; i < cells; ++i) {
        float slope = slopes[i];
        // A NaN loses every comparison.
        const auto take = [&](float there, float per_m) {
            const float candidate = std::abs(there - here[i]) * per_m;
            slope = candidate > slope ? candidate : slope;
        };
        take(here[i - 1], per_metre.along);
        take(here[i + 1], per_metre.along);
        take(above[i], per_metre.across);
        take(below[i], per_metre.across);
        take(above[i - 1], per_metre.askew);
        take(above[i + 1], per_metre.askew);
        take(below[i - 1], per_metre.askew);
        take(below[i + 1], per_metre.askew);
        slopes[i] = slope;
    }
}

/// Steepest rise to any of the eight neighbours, for cells of a row from a column on; neighbours without a
/// depth are passed over. Of both sides of the uncertainty the steeper: that of the depths between is never
/// more.
void find_slopes(const Gathered& sea, int col, int row, const PerMetre& per_metre, int cells, float* slopes) {
    std::fill_n(slopes, cells, 0.0F);
    for (const Plane<float>* const depth_m : {&sea.shoal_of_chart_m(), &sea.deep_of_chart_m()}) {
        take_slopes(&depth_m->at(col, row), depth_m->window().cols, per_metre, cells, slopes);
    }
}

/// Marks cells without water for the hull, or without a depth, or with a danger to it, by unsafe::hull.
SWINGROOM_VECTORISED void mark_hull_unsafe(const float* shoal_m, const float* deep_m, const Effects* effects,
                                           std::size_t cells, float afloat_m, std::uint8_t* marks) {
    for (std::size_t i = 0; i < cells; ++i) {
        const int known = shoal_m[i] <= deep_m[i] ? 1 : 0, // not so where a side is NaN
            afloat = shoal_m[i] >= afloat_m ? 1 : 0, danger = (effects[i] & effect::hull) != 0 ? 1 : 0;
        const int hull = 1 - (known & afloat & (1 - danger));
        marks[i] = static_cast<std::uint8_t>(marks[i] | (hull * unsafe::hull));
    }
}

using ByVerdict = std::array<std::int64_t, verdict_phrases.size()>;

/// Adds how many cells of a row have each verdict.
SWINGROOM_VECTORISED void count_verdicts(const Verdict* verdicts, std::size_t cells, ByVerdict& counts) {
    constexpr std::size_t stretch = 240; // no more than a byte counts
    for (std::size_t kind = 0; kind < counts.size(); ++kind) {
        const auto counted = static_cast<Verdict>(kind);
        for (std::size_t first = 0; first < cells; first += stretch) {
            std::uint8_t count = 0;
            for (std::size_t i = first; i < std::min(cells, first + stretch); ++i) {
                count = static_cast<std::uint8_t>(count + (verdicts[i] == counted ? 1 : 0));
            }
            counts[kind] += count;
        }
    }
}

/// How near a no comes to being a yes, among those of its leading reason, by the figure at hand: of those
/// that are too shoal the deepest, of those that want rode the least deep with room for all the rode there
/// is, since more of it swings wider still; of others that with the most room. Of equals, as of all cells
/// within one margin, the first counts, which lies at its edge.
/// @param greatest_m  swinging radius with all the rode
double nearness(WhyNot why, const RowFacts& facts, int i, float greatest_m) {
    constexpr double no_room = 1e6; // more than any depth
    if (why == WhyNot::too_shallow) return double{facts.shoal_m[i]};
    if (why == WhyNot::ground_room) return double{facts.ground_room_m[i]};
    if (why != WhyNot::rode) return double{facts.hull_room_m[i]};
    return -double{facts.deep_m[i]} - (facts.hull_room_m[i] < greatest_m ? no_room : 0);
}

LayerSet with_depths_for_maps(LayerSet wanted) {
    if (wants_map(wanted)) wanted.add(Layer::depth_low);
    return wanted;
}

/// Of a cell that does not float her. The depth itself is taken to lie amid its uncertainty: in an area of a
/// chart amid its edges.
/// @param high_m  the highest level of the stay, as the tables have it
MapClass class_of_shoal(const CellFacts& cell, double high_m) {
    const double shoal_m = cell.chart_shoal_m(), middle_m = (shoal_m + cell.chart_deep_m()) / 2;
    const double own_high_m = high_m + double{cell.rise_m} + double{cell.excess_m};
    if (is_charted_land(narrow_down(shoal_m), cell.effects) || middle_m < -own_high_m) return MapClass::land;
    return middle_m < 0 ? MapClass::drying : MapClass::shoal;
}

bool is_margin(WhyNot why) {
    return why == WhyNot::drop_forbidden || why == WhyNot::hull_danger || why == WhyNot::ground_danger;
}

} // namespace

bool is_charted_land(float shoal_m, Effects effects) {
    constexpr Effects of_land = effect::hull | effect::ground | effect::drop;
    return double{shoal_m} <= charted_land_m && (effects & of_land) == of_land;
}

double reach_m(const TackleTables& tables) {
    // A metre more, so that a room at the cap is told from one that just fits the greatest radius.
    return std::max(tables.greatest_radius_m(), 0.0) + 1;
}

bool coarse_cells(const GroundMetric& metric, const TackleTables& tables, Window window) {
    const CellSize greatest = metric.greatest(window.row, window.row_end() - 1);
    return std::max(greatest.dx_m, greatest.dy_m) > tables.least_radius_m() / 3;
}

int halo_cells(const GroundMetric& metric, const TackleTables& tables, Window window) {
    return RoomTransform(metric, reach_m(tables), window.row, window.row_end() - 1).halo();
}

int halo_cells(const OverlayJob& job) { return halo_cells(*job.metric, *job.tables, job.window); }

BlockDecider::BlockDecider(const SeaView& sea, const TackleTables& tables, LayerSet wanted,
                           const StayTide* tide, const WayIn* way_in)
    : sea_(sea), tables_(&tables), wanted_(with_depths_for_maps(wanted)),
      transform_(*sea.metric, reach_m(tables), sea.window.row, sea.window.row_end() - 1), judge_(tables),
      seabed_order_(judge_.seabed_order()), areas_(*sea.metric, sea.window),
      needs_reasons_(needs_reasons(wanted)), ways_asked_(ways_of(wanted)),
      water_asked_(ways_of_water(wanted, tide != nullptr)), way_in_(way_in) {
    if (tide != nullptr) hours_.emplace(tide->stay);
    const HullNeeds hull = hull_needs(tables.boat(), tables.conditions().water);
    for (const Hazard& hazard : sea.hazards->hazards()) {
        const Effects gathered = BlockGatherer::on_any_hull(hazard);
        hull_effects_.push_back(static_cast<Effects>(effects_on(hazard, hull) & ~gathered));
        endangers_more_ = endangers_more_ || hull_effects_.back() != 0;
        hazard_depths_m_.push_back(judge_.least_depth_m(hazard));
    }
}

void BlockDecider::find_rooms(Gathered& sea, Workspace& work) const {
    work.sea = &sea;
    take_effects(sea, work);
    take_seabeds(sea, work);
    mark_unsafe(sea, work);
    work.answers.core = sea.core;
    work.answers.afloat = 0;
    work.answers.tally = {};
    Plane<float>& hull_room_m = work.answers.plane<Layer::hull_room>();
    hull_room_m.reshape(sea.core);
    transform_.run(work.unsafe, unsafe::hull, hull_room_m);
    sea.find_ground_room(transform_, work.answers.plane<Layer::ground_room>());
}

void BlockDecider::take_effects(const Gathered& sea, Workspace& work) const {
    work.effects = &sea.effects;
    if (!endangers_more_) return;
    work.own_effects = sea.effects;
    sea_.hazards->burn(work.own_effects, hull_effects_);
    work.effects = &work.own_effects;
}

void BlockDecider::take_seabeds(const Gathered& sea, Workspace& work) const {
    work.seabed.reset(sea.core, sea_.seabed);
    const SeabedSet everywhere(sea_.seabed);
    for (std::size_t i = 0; i < sea.seabeds.size(); ++i) {
        if (const SeabedSet& seabeds = sea.seabeds.data()[i]; seabeds != everywhere) {
            work.seabed.data()[i] = seabeds.worst(seabed_order_);
        }
    }
}

void BlockDecider::mark_unsafe(const Gathered& sea, Workspace& work) const {
    const double least_m = tables_->boat().required_depth_m() - tables_->conditions().water.low_m;
    const float afloat_m = narrow_up(least_m);
    work.unsafe = sea.ground_unsafe;
    mark_hull_unsafe(sea.depths.shoal_m.data(), sea.depths.deep_m.data(), work.effects->data(),
                     work.unsafe.size(), afloat_m, work.unsafe.data());
}

void BlockDecider::find_least_depths(const Gathered& sea, Workspace& work) const {
    work.least_depth_m.reshape(sea.ground_unsafe.window());
    const float* const shoal_m = sea.depths.shoal_m.data();
    const float* const deep_m = sea.depths.deep_m.data();
    float* const out = work.least_depth_m.data();
    for (std::size_t i = 0; i < work.least_depth_m.size(); ++i) {
        const bool known = shoal_m[i] <= deep_m[i]; // false for NaN
        out[i] = known ? shoal_m[i] : -std::numeric_limits<float>::infinity();
    }
    sea_.hazards->burn_least(work.least_depth_m, hazard_depths_m_);
}

float BlockDecider::circle_m(Way way, const CellFacts& cell) const {
    constexpr float none = std::numeric_limits<float>::quiet_NaN();
    if (!(cell.shoal_m <= cell.deep_m)) return none;
    const WayNeeds needs = judge_.needs_once_afloat(way, cell);
    if (needs.out != WayNeeds::Out::none) return none;
    return judge_.floats_at_high_water(cell) ? needs.radius_m : 0;
}

void BlockDecider::find_circles(Way way, const RowFacts& facts, const RowVerdicts& verdicts,
                                std::vector<float>& radius_m) const {
    const auto slot = static_cast<std::size_t>(way);
    const bool of_hours = hours_ && wanted_.has(of(Layer::hours_afloat_full, way));
    std::size_t next_afloat = 0;
    for (int i = 0; i < facts.cells; ++i) {
        const auto at = static_cast<std::size_t>(i);
        const bool afloat = next_afloat < verdicts.afloat.size() && verdicts.afloat[next_afloat] == i;
        next_afloat += afloat ? 1 : 0;
        if (!afloat) {
            const CellFacts cell = facts.cell(i);
            // Where she is never afloat there is no circle; only the hours tell whether the way is out.
            if (of_hours || judge_.floats_at_high_water(cell)) radius_m[at] = circle_m(way, cell);
        } else if (const WayNeeds& needs = verdicts.way_needs[slot][at]; needs.out == WayNeeds::Out::none) {
            radius_m[at] = needs.radius_m;
        }
    }
}

void BlockDecider::find_water(const RowFacts& facts, int row, bool traced, Workspace& work) const {
    const auto cells = static_cast<std::size_t>(facts.cells);
    const RowVerdicts& verdicts = work.verdicts;
    std::array<LeastInDisc::Row, all_ways.size()> asked;
    std::size_t count = 0;
    for (const Way way : all_ways) {
        const auto slot = static_cast<std::size_t>(way);
        const bool of_zones = traced && hours_;
        if (!water_asked_[slot] && !of_zones) continue;
        std::vector<float>& radius_m = work.water.radius_m[slot];
        radius_m.assign(cells, std::numeric_limits<float>::quiet_NaN());
        if (water_asked_[slot]) find_circles(way, facts, verdicts, radius_m);
        if (of_zones) {
            for (const int i : verdicts.yes) {
                const auto at = static_cast<std::size_t>(i);
                if (way_of(verdicts.verdict[at]) == way) radius_m[at] = verdicts.way_needs[slot][at].radius_m;
            }
        }
        work.water.least_depth_m[slot].resize(cells);
        asked.at(count++) = {radius_m, work.water.least_depth_m[slot]};
    }
    work.discs.run(work.least_depth_m, transform_.metric().at(row), row, work.answers.core.col,
                   {asked.data(), count});
}

std::array<WaterOfWay, all_ways.size()> BlockDecider::water(const CellFacts& cell, int col, int row,
                                                            Workspace& work) const {
    find_least_depths(*work.sea, work);
    std::array<WaterOfWay, all_ways.size()> water;
    for (const Way way : all_ways) {
        const float radius_m = circle_m(way, cell);
        if (std::isnan(radius_m)) continue;
        WaterOfWay& of = water[static_cast<std::size_t>(way)];
        if (hours_) of.hours_afloat = 0;
        if (radius_m == 0) continue;
        float least_m = 0;
        const LeastInDisc::Row asked{{&radius_m, 1}, {&least_m, 1}};
        work.discs.run(work.least_depth_m, transform_.metric().at(row), row, col, {&asked, 1});
        of.least_water_m = double{judge_.least_water_m(least_m)};
        of.level_needed_m = judge_.level_needed_m(least_m) + double{cell.rise_m}; // at the cell itself
        if (hours_) of.hours_afloat = double{hours_->hours(of.level_needed_m)};
    }
    return water;
}

CellFacts BlockDecider::facts(int col, int row, const Workspace& work) const {
    CellFacts facts;
    facts.shoal_m = work.sea->depths.shoal_m.at(col, row);
    facts.deep_m = work.sea->depths.deep_m.at(col, row);
    facts.hull_room_m = work.answers.plane<Layer::hull_room>().at(col, row);
    facts.ground_room_m = work.answers.plane<Layer::ground_room>().at(col, row);
    facts.effects = work.effects->at(col, row);
    facts.seabed = work.seabed.at(col, row);
    facts.banded = work.sea->depths.banded.size() > 0 && work.sea->depths.banded.at(col, row) != 0;
    facts.stepped = work.sea->stepped.size() > 0 && work.sea->stepped.at(col, row) != 0;
    if (const LevelPlanes& levels = work.sea->levels; levels.rise_m.size() > 0) {
        facts.rise_m = levels.rise_m.at(col, row);
        facts.excess_m = levels.excess_m.at(col, row);
    }
    facts.coarse = coarse_cells(*sea_.metric, *tables_, {col, row, 1, 1});
    find_slopes(*work.sea, col, row, PerMetre(sea_.metric->at(row)), 1, &facts.slope);
    return facts;
}

BlockRuns BlockDecider::decide(Gathered& sea, Workspace& work) const {
    const Window core = sea.core;
    find_rooms(sea, work);
    const bool traced = wants_zones(wanted_);
    if (asks_for_water(traced)) find_least_depths(sea, work);
    work.reach.begin(way_in_, core, wanted_.has(Layer::access_level));
    work.answers.reset(wanted_);
    work.answers.anchorages.clear();
    work.answers.map_class.reshape(wants_map(wanted_) ? core : Window{});
    work.anchorages = anchorages_ != nullptr ? anchorages_->in(core) : std::vector<Anchorages::Stretch>();
    work.anchorages_done = 0;
    BlockRuns runs(traced ? static_cast<std::size_t>(core.rows) : 0);
    std::span<const Run> above;
    for (int row = core.row; row < core.row_end(); ++row) {
        answer_row(row, above, work, traced);
        if (traced) {
            std::vector<Run>& of_row = runs[static_cast<std::size_t>(row - core.row)];
            of_row = work.runs; // a copy takes no more than it needs
            above = of_row;
        }
    }
    return runs;
}

void BlockDecider::answer_row(int row, std::span<const Run> above, Workspace& work, bool traced) const {
    BlockAnswers& out = work.answers;
    const int first = out.core.col;
    RowFacts facts{.cells = out.core.cols,
                   .shoal_m = &work.sea->depths.shoal_m.at(first, row),
                   .deep_m = &work.sea->depths.deep_m.at(first, row),
                   .hull_room_m = out.plane<Layer::hull_room>().row(row),
                   .ground_room_m = out.plane<Layer::ground_room>().row(row),
                   .effects = &work.effects->at(first, row),
                   .seabed = work.seabed.row(row),
                   .coarse = coarse_cells(*sea_.metric, *tables_, {first, row, 1, 1})};
    const Plane<std::uint8_t>& banded = work.sea->depths.banded;
    if (banded.size() > 0) facts.banded = &banded.at(first, row);
    const Plane<std::uint8_t>& stepped = work.sea->stepped;
    if (stepped.size() > 0) facts.stepped = &stepped.at(first, row);
    if (const LevelPlanes& levels = work.sea->levels; levels.rise_m.size() > 0) {
        facts.rise_m = &levels.rise_m.at(first, row);
        facts.excess_m = &levels.excess_m.at(first, row);
    }
    work.slopes.resize(static_cast<std::size_t>(facts.cells));
    const auto find_slopes_of = [&](int begin, int end) {
        find_slopes(*work.sea, first + begin, row, PerMetre(sea_.metric->at(row)), end - begin,
                    work.slopes.data() + begin);
        facts.slope = work.slopes.data();
    };
    const bool all_slopes = facts.banded != nullptr || needs_reasons_ || judge_.considers_slope();
    if (all_slopes) find_slopes_of(0, facts.cells);
    judge_.verdicts(facts, ways_asked_, work.verdicts);
    const std::vector<int>& yes = work.verdicts.yes;
    if (traced && !all_slopes && !yes.empty()) find_slopes_of(yes.front(), yes.back() + 1);
    work.reach.take_row(row, work.verdicts.yes);
    if (asks_for_water(traced)) find_water(facts, row, traced, work);

    out.afloat += static_cast<std::int64_t>(work.verdicts.afloat.size());
    tally_row(facts, row, work);
    tally_anchorages(facts, row, work);
    if (needs_reasons_) {
        judge_.reasons(facts, work.verdicts, work.said);
        for (const int i : work.verdicts.yes) {
            work.said.advice[static_cast<std::size_t>(i)] |= work.reach.advice(i);
        }
    }
    const RowToAnswer to_answer{judge_,
                                work.sea->depths,
                                first,
                                row,
                                facts,
                                work.verdicts,
                                work.said,
                                work.water,
                                hours_ ? &*hours_ : nullptr,
                                work.reach};
    answer_layers(to_answer, wanted_, out);
    if (wanted_.has(Layer::report)) find_near_misses(facts, row, work);
    if (wants_map(wanted_)) classify_row(facts, row, work);
    if (traced) find_runs(to_answer, *tables_, above, work.runs);
}

void BlockDecider::tally_row(const RowFacts& facts, int row, Workspace& work) const {
    const RowVerdicts& verdicts = work.verdicts;
    ByVerdict by_verdict{};
    count_verdicts(verdicts.verdict.data(), static_cast<std::size_t>(facts.cells), by_verdict);
    if ((work.reach.advice(0, facts.cells) & advice::out_of_reach) != 0) {
        for (const int i : verdicts.yes) {
            const Verdict judged = verdicts.verdict[static_cast<std::size_t>(i)];
            --by_verdict[static_cast<std::size_t>(judged)];
            ++by_verdict[static_cast<std::size_t>(work.reach.told(judged, i))];
        }
    }
    std::array<std::int64_t, why_not_count> by_reason{};
    by_reason[static_cast<std::size_t>(WhyNot::too_shallow)] =
        verdicts.surveyed - static_cast<std::int64_t>(verdicts.afloat.size());
    by_reason[static_cast<std::size_t>(WhyNot::out_of_reach)] =
        by_verdict[static_cast<std::size_t>(Verdict::out_of_reach)];
    work.why_not.resize(verdicts.afloat.size());
    // Every yes is afloat: where as many of both from here on end at the same cell, all of these are a yes.
    constexpr std::size_t stretch = 32;
    const std::vector<int>&afloat = verdicts.afloat, &yes = verdicts.yes;
    for (std::size_t at = 0, next_yes = 0; at < afloat.size();) {
        if (at + stretch <= afloat.size() && next_yes + stretch <= yes.size() &&
            afloat[at + stretch - 1] == yes[next_yes + stretch - 1]) {
            at += stretch;
            next_yes += stretch;
        } else if (next_yes < yes.size() && afloat[at] == yes[next_yes]) {
            ++at;
            ++next_yes;
        } else {
            work.why_not[at] = judge_.why_not(facts, afloat[at], verdicts);
            ++by_reason[static_cast<std::size_t>(work.why_not[at])];
            ++at;
        }
    }
    const double area_m2 = areas_.at(row);
    const auto put = [area_m2](const auto& counts, auto& to) {
        for (std::size_t i = 0; i < counts.size(); ++i) {
            to[i] += Covered{counts[i], static_cast<double>(counts[i]) * area_m2};
        }
    };
    put(by_verdict, work.answers.tally.by_verdict);
    put(by_reason, work.answers.tally.no_by_reason);
}

void BlockDecider::tally_anchorages(const RowFacts& facts, int row, Workspace& work) const {
    const RowVerdicts& verdicts = work.verdicts;
    std::vector<AnchoragePart>& parts = work.answers.anchorages;
    for (; work.anchorages_done < work.anchorages.size(); ++work.anchorages_done) {
        const Anchorages::Stretch& stretch = work.anchorages[work.anchorages_done];
        if (stretch.row != row) break;
        auto part = std::lower_bound(parts.begin(), parts.end(), stretch.anchorage,
                                     [](const AnchoragePart& p, std::size_t at) { return p.anchorage < at; });
        if (part == parts.end() || part->anchorage != stretch.anchorage) {
            part = parts.insert(part, {stretch.anchorage, {}});
        }
        const Covered cell{1, areas_.at(row)};
        for (int col = stretch.first; col <= stretch.last; ++col) {
            const int i = col - work.answers.core.col;
            const Verdict verdict = work.reach.told(verdicts.verdict[static_cast<std::size_t>(i)], i);
            part->tally.by_verdict[static_cast<std::size_t>(verdict)] += cell;
            const auto add = [&](WhyNot why) {
                part->tally.no_by_reason[static_cast<std::size_t>(why)] += cell;
            };
            if (verdict == Verdict::out_of_reach) add(WhyNot::out_of_reach);
            if (verdict != Verdict::no) continue;
            const bool afloat = judge_.floats(facts.cell(i));
            add(afloat ? judge_.why_not(facts, i, verdicts) : WhyNot::too_shallow);
        }
    }
}

void BlockDecider::classify_row(const RowFacts& facts, int row, Workspace& work) const {
    const RowVerdicts& verdicts = work.verdicts;
    const double high_m = tables_->conditions().water.high_m;
    std::uint8_t* const to = work.answers.map_class.row(row);
    std::size_t next_afloat = 0;
    for (int i = 0; i < facts.cells; ++i) {
        const bool afloat = next_afloat < verdicts.afloat.size() && verdicts.afloat[next_afloat] == i;
        const Verdict verdict = verdicts.verdict[static_cast<std::size_t>(i)];
        MapClass of = map_class_of(work.reach.told(verdict, i));
        if (of == MapClass::no) {
            if (!afloat) {
                of = class_of_shoal(facts.cell(i), high_m);
            } else if (is_margin(work.why_not[next_afloat])) {
                of = MapClass::margin;
            }
        }
        to[i] = static_cast<std::uint8_t>(of);
        next_afloat += afloat ? 1 : 0;
    }
}

void BlockDecider::find_near_misses(const RowFacts& facts, int row, Workspace& work) const {
    const RowVerdicts& verdicts = work.verdicts;
    const auto greatest_m = static_cast<float>(tables_->greatest_radius_m());
    const int first = work.answers.core.col;
    std::size_t next_afloat = 0;
    for (int i = 0; i < facts.cells;) {
        const int end = std::min(facts.cells, NearMisses::end_of_part(first + i, sea_.window) - first);
        std::array<NearMiss, why_not_count> best{}; // of this row's cells in one part of the window
        for (; i < end; ++i) {
            const bool afloat = next_afloat < verdicts.afloat.size() && verdicts.afloat[next_afloat] == i;
            const WhyNot why = afloat ? work.why_not[next_afloat] : WhyNot::too_shallow;
            next_afloat += afloat ? 1 : 0;
            if (verdicts.verdict[static_cast<std::size_t>(i)] != Verdict::no) continue;
            NearMiss& of_reason = best[static_cast<std::size_t>(why)];
            const double near = nearness(why, facts, i, greatest_m);
            if (near > of_reason.nearness) of_reason = {near, first + i, row}; // of equals the first
        }
        for (std::size_t why = 0; why < why_not_count; ++why) {
            if (best[why].any()) work.answers.tally.near_misses[why].take(best[why], sea_.window);
        }
    }
}

} // namespace swingroom
