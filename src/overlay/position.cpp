#include "swingroom/overlay/position.hpp"

#include "swingroom/sea/chart_depths.hpp"

#include "overlay/block_decider.hpp"
#include "overlay/block_reach.hpp"
#include "overlay/layer_answers.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace swingroom {
namespace {

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

std::string described(const Hazard& hazard) {
    return (hazard.label.empty() ? hazard.kind : hazard.kind + " (" + hazard.label + ")") +
           (hazard.nature.empty() ? "" : ": " + hazard.nature) +
           (hazard.information.empty() ? "" : ": " + hazard.information);
}

/// Hazards with one of these effects that touch a cell, in the order they were given.
std::vector<std::string> touching(const OverlayJob& job, int col, int row, Effects effects) {
    std::vector<std::string> names;
    for (const std::size_t index : job.hazards->touching({col, row, 1, 1})) {
        const Hazard& hazard = job.hazards->hazards()[index];
        if (effects_on(hazard, hull_needs(job)) & effects) names.push_back(described(hazard));
    }
    return names;
}

/// The job with the cell's row as its window: the halo follows from it.
OverlayJob at_row(OverlayJob job, int row) {
    job.window = {0, row, job.depths->grid().cols, 1};
    return job;
}

/// What charts have in a cell.
struct Charted {
    bool land = false;    ///< see is_charted_land()
    bool stepped = false; ///< its depth is that of their areas
};

/// @param shoal_m, deep_m  the two sides of the depth, the uncertainty taken off and put on
Shore shore_of(float shoal_m, float deep_m, const Charted& charted, const WaterLevels& water) {
    if (charted.land) return Shore::land; // its depth is a stand-in: however high the water
    if (!(static_cast<double>(deep_m) < no_deep_edge_m)) return Shore::covered;
    // Nor does the stand-in weigh against water that the cell has as well.
    const bool stand_in = charted.stepped && static_cast<double>(shoal_m) <= charted_land_m;
    const double depth_m =
        stand_in ? double{deep_m} : (static_cast<double>(shoal_m) + static_cast<double>(deep_m)) / 2;
    if (depth_m + water.high_m < 0) return Shore::land;
    return depth_m + water.low_m < 0 ? Shore::dries : Shore::covered;
}

/// An answer with what is to be minded of the way in; a no needs none.   @param reach  nothing: nobody looked
void add_reach(CellAnswer& answer, const std::optional<PlaceReach>& reach) {
    if (!reach || !is_yes(answer.verdict)) return;
    answer.advice = static_cast<std::uint16_t>(answer.advice | advice_of(reach->reach));
}

std::optional<PlaceReach> reach_at(const OverlayJob& job, int col, int row) {
    if (job.way_in == nullptr) return std::nullopt;
    return reach_of(job, {col, row});
}

class Examiner {
public:
    Examiner(const OverlayJob& job, const Georeference& georeference, int col, int row)
        : job_(at_row(job, row)), georeference_(georeference),
          decider_(job_, *job_.tables, job_.wanted, job_.tide) {
        report_.col = col;
        report_.row = row;
        BlockGatherer(job_, decider_.halo()).gather({col, row, 1, 1}, sea_);
        decider_.find_rooms(sea_, work_);
    }

    PositionReport report() {
        PositionReport& r = report_;
        const WaterLevels& water = job_.tables->conditions().water;
        r.centre = georeference_.lonlat({r.col + 0.5, r.row + 0.5});
        r.facts = decider_.facts(r.col, r.row, work_);
        r.levels = sea_.water_at(r.col, r.row, water);
        r.answer = decider_.judge().judge(r.facts);
        r.reach = reach_at(job_, r.col, r.row);
        add_reach(r.answer, r.reach);
        r.limit_by = job_.tables->limit_by(r.facts.seabed);
        r.source = source_name();
        r.depth_low_m = decider_.judge().depth_low_m(r.facts);
        r.deep_charted = !(static_cast<double>(r.facts.deep_m) >= no_deep_edge_m);
        r.depth_high_m = known(static_cast<double>(r.facts.deep_m)) + water.high_m;
        r.required_depth_m = job_.tables->boat().required_depth_m();
        r.reach_m = reach_m(*job_.tables);
        r.here = touching(job_, r.col, r.row, std::numeric_limits<Effects>::max());
        r.notes = nearest_notes(job_.hazards->hazards(), georeference_, r.centre, notes_within_m, most_notes);
        r.hull_danger = nearest(unsafe::hull);
        r.ground_danger = nearest(unsafe::ground);
        if (!std::isnan(r.facts.deep_m)) {
            r.deepest_m = known(deepest_m());
            const bool bounded = !std::isnan(r.deepest_m);
            r.hanging_load_n = bounded ? job_.tables->hanging_load_n(r.deepest_m) : unknown;
            r.trip_line_m = bounded ? job_.tables->trip_line_m(r.deepest_m) : unknown;
        }
        r.expected = expected_depth(job_, georeference_, r, r.centre);
        r.water = decider_.water(r.facts, r.col, r.row, work_);
        if (r.answer.judged) add_ways();
        for (const BitName& name : reason_names) {
            if (r.answer.reasons & name.bit) r.shortfalls.push_back(shortfall(name.bit));
        }
        return std::move(report_);
    }

private:
    /// A chart depth, or NaN for a deep edge that is not charted.
    static double known(double depth_m) { return depth_m >= no_deep_edge_m ? unknown : depth_m; }

    void add_ways() {
        for (const Way way : all_ways) {
            const auto slot = static_cast<std::size_t>(way);
            WayAtPosition at;
            at.way = way;
            at.detail = detail(way, report_.answer.way_needs[slot]);
            at.spare_m = report_.answer.spare_m[slot];
            at.wind_limit_kn = decider_.judge().wind_limit_kn(way, report_.facts);
            const std::uint32_t common = (1u << reason::first_way_bit) - 1;
            const std::uint32_t own = 15u << (reason::first_way_bit + 4 * static_cast<int>(way));
            at.least_water_m = report_.water[slot].least_water_m;
            at.level_needed_m = report_.water[slot].level_needed_m;
            at.fits = (report_.answer.reasons & (common | own)) == 0;
            report_.ways.push_back(at);
        }
    }

    /// The chart depth that windlass and crew are asked about, and the trip line: of the answer's way, or all
    /// that there may be where there is none.
    double deepest_m() const {
        const PositionReport& r = report_;
        if (!is_yes(r.answer.verdict)) return r.facts.deep_m;
        const Way way = way_of(r.answer.verdict);
        return decider_.judge().deepest_m(r.facts, r.answer.way_needs[static_cast<std::size_t>(way)]);
    }
    /// Of a way that the sounder decides, what stands behind its greatest reading.
    WayDetail detail(Way way, const WayNeeds& needs) const {
        const CellFacts& facts = report_.facts;
        const Judge& judge = decider_.judge();
        if (!needs.by_sounder()) {
            return job_.tables->detail(way, facts.shoal_m, judge.deepest_m(facts, needs));
        }
        const SoundedBand band = judge.band(facts);
        const double limit_m = Judge::shifted_limit_m(facts, needs);
        WayDetail detail = job_.tables->detail(way, std::max(band.shoal_m, limit_m - band.shoaler_m),
                                               limit_m + band.deeper_m);
        detail.needs = needs;
        return detail;
    }

    std::string source_name() const {
        const std::vector<std::string> names = job_.depths->sources();
        const std::size_t number = source_of(sea_.depths, report_.col, report_.row);
        return names.size() > 1 && number > 0 ? names.at(number - 1) : "";
    }

    /// The unsafe cell with the least gap to ours: that which the room was taken from.
    std::optional<NearestDanger> nearest(std::uint8_t bit) const {
        const CellSize cell = job_.metric->within(report_.reach_m).at(report_.row);
        const Window seen = work_.unsafe.window();
        double least_m2 = std::numeric_limits<double>::infinity(), least_centre_m2 = least_m2;
        int best_col = 0, best_row = 0;
        for (int row = seen.row; row < seen.row_end(); ++row) {
            for (int col = seen.col; col < seen.col_end(); ++col) {
                if ((work_.unsafe.at(col, row) & bit) == 0) continue;
                const int cols = std::abs(col - report_.col), rows = std::abs(row - report_.row);
                const double x_m = std::max(cols - 1, 0) * cell.dx_m, y_m = std::max(rows - 1, 0) * cell.dy_m;
                const double m2 = x_m * x_m + y_m * y_m;
                const double centre_m2 = std::pow(cols * cell.dx_m, 2) + std::pow(rows * cell.dy_m, 2);
                // Of equal gaps the one whose centre is nearer, for a bearing that a person would give.
                if (m2 < least_m2 || (m2 == least_m2 && centre_m2 < least_centre_m2)) {
                    least_m2 = m2;
                    least_centre_m2 = centre_m2;
                    best_col = col;
                    best_row = row;
                }
            }
        }
        const float room_m = bit == unsafe::hull ? report_.facts.hull_room_m : report_.facts.ground_room_m;
        if (std::sqrt(least_m2) >= report_.reach_m) return std::nullopt;
        NearestDanger danger = what_lies_at(best_col, best_row, bit);
        danger.distance_m = room_m;
        danger.bearing_deg =
            geodesic(report_.centre, georeference_.lonlat({best_col + 0.5, best_row + 0.5})).azimuth_deg;
        return danger;
    }

    /// What makes a cell unsafe.
    NearestDanger what_lies_at(int col, int row, std::uint8_t bit) const {
        NearestDanger danger;
        const float shoal_m = sea_.depths.shoal_m.at(col, row);
        const Effects effects = bit == unsafe::hull ? effect::hull : effect::ground;
        if (const auto names = touching(job_, col, row, effects); !names.empty()) {
            danger.hazard = names.front();
        } else if (!job_.depths->grid().extent().contains(col, row) ||
                   (std::isnan(shoal_m) && (sea_.effects.at(col, row) & effect::uncharted) != 0)) {
            danger.kind = NearestDanger::Kind::edge_of_data;
        } else if (std::isnan(shoal_m)) {
            danger.kind = NearestDanger::Kind::unsurveyed;
        } else {
            danger.kind = NearestDanger::Kind::shoal;
            const WaterLevels& water = job_.tables->conditions().water;
            danger.depth_low_m = static_cast<double>(shoal_m) + water.low_m;
            danger.shore = shore_at(col, row, sea_.effects.at(col, row));
        }
        return danger;
    }

    /// What a cell is at its own levels.   @param effects  of all hazards that touch it
    Shore shore_at(int col, int row, Effects effects) const {
        const float shoal_m = sea_.shoal_of_chart_m().at(col, row);
        const bool stepped = sea_.stepped.size() > 0 && sea_.stepped.at(col, row) != 0;
        return shore_of(shoal_m, sea_.deep_of_chart_m().at(col, row),
                        {is_charted_land(shoal_m, effects), stepped},
                        sea_.water_at(col, row, job_.tables->conditions().water));
    }

    /// A reason with its figures.
    Shortfall shortfall(std::uint32_t bit) const {
        const PositionReport& r = report_;
        const Boat& boat = job_.tables->boat();
        Shortfall of;
        of.bit = bit;
        const auto compare = [&of](double needed, double there) {
            of.needed = needed;
            of.there = there;
        };
        const auto list = [&](Effects effects) { of.hazards = touching(job_, r.col, r.row, effects); };
        switch (bit) {
        case reason::too_shallow:
            compare(r.required_depth_m, r.depth_low_m);
            of.shore = shore_at(r.col, r.row, r.facts.effects);
            return of;
        case reason::hull_danger:
            list(effect::hull);
            return of;
        case reason::ground_danger:
            list(effect::ground);
            return of;
        case reason::drop_forbidden:
            list(effect::drop);
            return of;
        case reason::windlass:
            compare(r.hanging_load_n, boat.windlass_rated_pull_n);
            return of;
        case reason::recovery:
            compare(r.deepest_m + job_.tables->conditions().water.high_m, job_.tables->recovery_depth_m());
            return of;
        case reason::steep:
            compare(r.facts.slope, *boat.policy.max_slope);
            return of;
        case reason::holding:
            of.seabed = r.facts.seabed;
            of.holding_kn = job_.tables->holding_limit_kn(r.facts.seabed);
            return of;
        case reason::seabed:
            of.seabed = r.facts.seabed;
            return of;
        default:
            break;
        }
        for (const Way way : all_ways) {
            const WayNeeds& needs = r.answer.way_needs[static_cast<std::size_t>(way)];
            if (bit == reason::of_way(way, reason::OfWay::hull_room)) {
                compare(needs.radius_m, r.facts.hull_room_m);
            }
            if (bit == reason::of_way(way, reason::OfWay::ground_room)) {
                compare(needs.ground_m, r.facts.ground_room_m);
            }
            if (bit == reason::of_way(way, reason::OfWay::rode)) {
                compare(std::isnan(r.deepest_m) && !decider_.judge().may_sound(r.facts)
                            ? unknown
                            : static_cast<double>(needs.rode_m),
                        boat.rode.aboard_m());
            }
        }
        return of;
    }

    OverlayJob job_;
    const Georeference& georeference_;
    BlockDecider decider_;
    Gathered sea_;
    Workspace work_;
    PositionReport report_;
};

} // namespace

const std::optional<NearestDanger>& end_of_spare(const PositionReport& position, const WayAtPosition& at) {
    const WayNeeds& needs = at.detail.needs;
    const bool ground =
        position.facts.ground_room_m - needs.ground_m < position.facts.hull_room_m - needs.radius_m;
    return ground ? position.ground_danger : position.hull_danger;
}

std::optional<ExpectedDepth> expected_depth(const OverlayJob& job, const Georeference& georeference,
                                            const PositionReport& cell, LonLat from) {
    if (job.charted == nullptr) return std::nullopt;
    // Whatever rode is chosen by: the facts are of a band only where it is by the sounder.
    DepthPlanes depths;
    job.depths->read({cell.col, cell.row, 1, 1}, depths);
    if (depths.banded.size() == 0 || depths.banded.at(cell.col, cell.row) == 0) return std::nullopt;
    ExpectedDepth expected = job.charted->expected(outline_of(georeference, cell.col, cell.row), from);
    if (expected.areas.empty()) return std::nullopt;
    return expected;
}

PositionReport examine(const OverlayJob& job, const Georeference& georeference, int col, int row) {
    return Examiner(job, georeference, col, row).report();
}

CellAnswer answer_at(const OverlayJob& job, int col, int row) {
    const OverlayJob of_row = at_row(job, row);
    const BlockDecider decider(of_row, *job.tables, job.wanted);
    Gathered sea;
    Workspace work;
    BlockGatherer(of_row, decider.halo()).gather({col, row, 1, 1}, sea);
    decider.find_rooms(sea, work);
    CellAnswer answer = decider.judge().judge(decider.facts(col, row, work));
    if (is_yes(answer.verdict)) add_reach(answer, reach_at(of_row, col, row));
    return answer;
}

} // namespace swingroom
