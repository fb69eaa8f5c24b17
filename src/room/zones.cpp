#include "swingroom/room/zones.hpp"

#include "room/ring_paths.hpp"

#include <algorithm>
#include <cassert>
#include <list>
#include <optional>
#include <utility>

namespace swingroom {

void ZoneFigures::merge(const ZoneFigures& other) {
    depth_low_min_m = std::min(depth_low_min_m, other.depth_low_min_m);
    depth_low_max_m = std::max(depth_low_max_m, other.depth_low_max_m);
    depth_deep_max_m = std::max(depth_deep_max_m, other.depth_deep_max_m);
    sounder_limit_min_m = std::min(sounder_limit_min_m, other.sounder_limit_min_m);
    rode_min_m = std::min(rode_min_m, other.rode_min_m);
    rode_max_m = std::max(rode_max_m, other.rode_max_m);
    radius_min_m = std::min(radius_min_m, other.radius_min_m);
    radius_max_m = std::max(radius_max_m, other.radius_max_m);
    for (std::size_t way = 0; way < wind_limit_min_kn.size(); ++way) {
        wind_limit_min_kn[way] = std::min(wind_limit_min_kn[way], other.wind_limit_min_kn[way]);
    }
    spare_max_m = std::max(spare_max_m, other.spare_max_m);
    level_needed_max_m = std::max(level_needed_max_m, other.level_needed_max_m);
    access_level_max_m = std::max(access_level_max_m, other.access_level_max_m);
    advice = static_cast<std::uint16_t>(advice | other.advice);
    seabeds = static_cast<std::uint16_t>(seabeds | other.seabeds);
    ways = static_cast<std::uint8_t>(ways & other.ways);
    plain_ways = static_cast<std::uint8_t>(plain_ways & other.plain_ways);
    hardly_admitted = hardly_admitted && other.hardly_admitted;
}

namespace {

using Index = std::uint32_t;
constexpr Index none = RingPaths::none;

/// A zone that later rows may still touch, or one that was found to be part of another (`parent`).
struct OpenZone {
    Index parent = none;         ///< of a root itself; of a free slot the next free one
    std::list<PackedRing> rings; ///< that are closed
    int last_row = 0;
    Verdict verdict = Verdict::no;
    std::int64_t cells = 0;
    double area_m2 = 0;
    ZoneFigures figures;
};

/// A run of the row above or of the current row, with the zone it belongs to and its two sides, each of which
/// may have begun in an earlier row.
struct Strip {
    int begin = 0, end = 0;
    Index zone = none, left = none, right = none;
    Verdict verdict = Verdict::no;
    bool out_of_reach = false;
};

/// Whether cells of two strips, or of a strip and a run, are of one zone where they share an edge.
template <class Other>
bool of_a_kind(const Strip& strip, const Other& other) {
    return strip.verdict == other.verdict && strip.out_of_reach == other.out_of_reach;
}

/// Calls fn(upper, lower) for every two strips of a kind that share an edge, from left to right.
template <class Strips, class Fn>
void for_each_contact(Strips& upper, Strips& lower, Fn fn) {
    for (std::size_t i = 0, j = 0; i < upper.size() && j < lower.size();) {
        auto &u = upper[i], &l = lower[j];
        if (of_a_kind(u, l) && u.begin < l.end && l.begin < u.end) fn(u, l);
        // The one that ends first has met all it can meet; if both end here, so have both.
        i += u.end <= l.end;
        j += l.end <= u.end;
    }
}

/// The horizontal boundary of a strip on one of its long sides is what its contacts leave of it: gaps from
/// one side to another. The gap that is open at the moment begins at column `begin`, at `side`.
struct Gap {
    int begin = 0;
    RingPaths::Side side = RingPaths::none;
};

} // namespace

struct ZoneTracer::State {
    int row = 0; ///< the row that comes next
    std::function<double(int)> cell_area_m2;
    Deliver deliver;
    RingPaths paths;
    std::vector<OpenZone> zones;
    Index free_zone = none;
    std::vector<Strip> above, current;
    std::vector<Gap> gaps_above, gaps_current;
    std::vector<Index> retired; ///< zones that nothing refers to once the row is done

    void add_row(std::span<const Run> runs);
    void take_runs(std::span<const Run> runs);
    void join_rows();
    void link_sides();
    void close_zones();

    Index new_zone();
    Index root(Index zone);
    Index unite(Index a, Index b);
    void link(RingPaths::Side from, RingPaths::Side to, Index zone);
    static Zone finished(OpenZone& zone);
};

Index ZoneTracer::State::new_zone() {
    Index i = free_zone;
    if (i != none) {
        free_zone = zones[i].parent;
        zones[i] = OpenZone{};
    } else {
        i = static_cast<Index>(zones.size());
        zones.emplace_back();
    }
    zones[i].parent = i;
    return i;
}

Index ZoneTracer::State::root(Index zone) {
    while (zones[zone].parent != zone) {
        zone = zones[zone].parent = zones[zones[zone].parent].parent;
    }
    return zone;
}

Index ZoneTracer::State::unite(Index a, Index b) {
    a = root(a);
    b = root(b);
    if (a == b) return a;
    OpenZone &into = zones[a], &from = zones[b];
    into.cells += from.cells;
    into.area_m2 += from.area_m2;
    into.figures.merge(from.figures);
    into.rings.splice(into.rings.end(), from.rings);
    from.parent = a;
    retired.push_back(b);
    return a;
}

/// The line above the current row takes a ring of a zone from one side to another.
void ZoneTracer::State::link(RingPaths::Side from, RingPaths::Side to, Index zone) {
    if (std::optional<PackedRing> ring = paths.link(from, to, row)) {
        zones[root(zone)].rings.push_back(std::move(*ring));
    }
}

/// Runs of a kind that touch become one strip here and nowhere later: from here on nothing can
/// depend on how a row was cut.
void ZoneTracer::State::take_runs(std::span<const Run> runs) {
    current.clear();
    for (const Run& run : runs) {
        assert(run.begin < run.end && (current.empty() || current.back().end <= run.begin));
        const bool goes_on =
            !current.empty() && current.back().end == run.begin && of_a_kind(current.back(), run);
        if (!goes_on) {
            current.push_back({run.begin, run.end, new_zone(), none, none, run.verdict, run.out_of_reach});
            zones[current.back().zone].verdict = run.verdict;
        }
        current.back().end = run.end;
        OpenZone& zone = zones[current.back().zone];
        zone.cells += run.end - run.begin;
        zone.figures.merge(run.figures);
    }
    if (current.empty()) return;
    const double area_m2 = cell_area_m2(row);
    for (const Strip& strip : current) {
        zones[strip.zone].area_m2 = static_cast<double>(strip.end - strip.begin) * area_m2;
    }
}

/// Zones of strips in contact become one, and sides that lie below each other one side.
void ZoneTracer::State::join_rows() {
    for_each_contact(above, current, [this](Strip& u, Strip& l) {
        l.zone = unite(u.zone, l.zone);
        if (u.begin == l.begin) l.left = u.left;
        if (u.end == l.end) l.right = u.right;
    });
    for (Strip& strip : current) {
        strip.zone = root(strip.zone);
        zones[strip.zone].last_row = row;
        if (strip.left == none) strip.left = paths.begin_side(strip.begin);
        if (strip.right == none) strip.right = paths.begin_side(strip.end);
    }
}

/// The line between the row above and this one: what is left of each strip's long side between its contacts
/// is a level piece of a ring and links the two sides that it runs between. Rings run leftwards under a strip
/// and rightwards over one. Each strip deals with its own sides only, so where two strips meet in a corner
/// the ring turns there and stays with its strip.
void ZoneTracer::State::link_sides() {
    for (Strip& s : above) {
        gaps_above.push_back({s.begin, s.left});
    }
    for (Strip& s : current) {
        gaps_current.push_back({s.begin, s.left});
    }
    for_each_contact(above, current, [this](Strip& u, Strip& l) {
        Gap& under = gaps_above[static_cast<std::size_t>(&u - above.data())];
        if (l.begin > under.begin) link(l.left, under.side, u.zone);
        under = {l.end, l.right};
        Gap& over = gaps_current[static_cast<std::size_t>(&l - current.data())];
        if (u.begin > over.begin) link(over.side, u.left, l.zone);
        over = {u.end, u.right};
    });
    for (std::size_t i = 0; i < above.size(); ++i) {
        if (above[i].end > gaps_above[i].begin) link(above[i].right, gaps_above[i].side, above[i].zone);
    }
    for (std::size_t i = 0; i < current.size(); ++i) {
        if (current[i].end > gaps_current[i].begin) {
            link(gaps_current[i].side, current[i].right, current[i].zone);
        }
    }
    gaps_above.clear();
    gaps_current.clear();
}

/// Delivers the zones that the current row did not touch, in the order in which the row above names them.
void ZoneTracer::State::close_zones() {
    for (Strip& strip : above) {
        const Index i = root(strip.zone);
        if (zones[i].last_row == row) continue;
        zones[i].last_row = row; // once only, though several strips of the row above may be of this zone
        retired.push_back(i);
        deliver(finished(zones[i]));
    }
    for (const Index i : retired) {
        zones[i].parent = free_zone;
        free_zone = i;
    }
    retired.clear();
}

Zone ZoneTracer::State::finished(OpenZone& zone) {
    Zone out;
    out.verdict = zone.verdict;
    out.cells = zone.cells;
    out.area_m2 = zone.area_m2;
    out.figures = zone.figures;
    std::size_t outer = 0;
    out.rings.reserve(zone.rings.size());
    for (; !zone.rings.empty(); zone.rings.pop_front()) {
        out.rings.push_back(zone.rings.front().corners());
        // The ring that surrounds all others is the one that starts highest.
        if (out.rings.back().front().y < out.rings[outer].front().y) outer = out.rings.size() - 1;
    }
    std::swap(out.rings.front(), out.rings[outer]);
    std::sort(out.rings.begin() + 1, out.rings.end(), [](const auto& a, const auto& b) {
        return std::pair(a[0].y, a[0].x) < std::pair(b[0].y, b[0].x);
    });
    return out;
}

void ZoneTracer::State::add_row(std::span<const Run> runs) {
    take_runs(runs);
    join_rows();
    link_sides();
    close_zones();
    std::swap(above, current);
    ++row;
}

ZoneTracer::ZoneTracer(int first_row, std::function<double(int row)> cell_area_m2, Deliver deliver)
    : state_(std::make_unique<State>()) {
    state_->row = first_row;
    state_->cell_area_m2 = std::move(cell_area_m2);
    state_->deliver = std::move(deliver);
}

ZoneTracer::~ZoneTracer() = default;

void ZoneTracer::add_row(std::span<const Run> runs) { state_->add_row(runs); }

void ZoneTracer::finish() { state_->add_row({}); }

std::vector<std::vector<GridPoint>> shrunk(std::vector<std::vector<GridPoint>> rings, double by_cols,
                                           double by_rows) {
    assert(by_cols >= 0 && by_cols < 0.5 && by_rows >= 0 && by_rows < 0.5);
    for (auto& ring : rings) {
        if (ring.size() < 2) continue;
        GridPoint before = ring[ring.size() - 2];
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            // Of the two edges that meet in a vertex one is vertical and one horizontal. The zone lies
            // towards smaller x of an edge that runs down, towards greater y of one that runs right.
            const GridPoint here = ring[i], after = ring[i + 1];
            const double down = before.x == here.x ? here.y - before.y : after.y - here.y;
            const double right = before.x == here.x ? after.x - here.x : here.x - before.x;
            ring[i] = {here.x + (down > 0 ? -by_cols : by_cols), here.y + (right > 0 ? by_rows : -by_rows)};
            before = here;
        }
        ring.back() = ring.front();
    }
    return rings;
}

} // namespace swingroom
