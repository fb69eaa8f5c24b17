#include "swingroom/overlay/nearby_hazards.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <optional>
#include <utility>

// Looked for in a plane that is true around the position, then made right to the millimetre by geodesics. The
// plane is grid space with the metric of the position: its error grows with the square of the distance, some
// metres at a mile.

namespace swingroom {
namespace {

/// What the plane may be wrong by: a part of the distance that is generous below 85 degrees of latitude, and
/// a little for what is near.
double doubt_m(double distance_m) { return 0.01 * distance_m + 1; }

/// Squared lengths in metres around a position, from steps in columns and rows.
class LocalMetric {
public:
    LocalMetric(const Georeference& georeference, LonLat from) : origin_(georeference.grid_point(from)) {
        const auto away = [&](double cols, double rows) {
            return geodesic(georeference.lonlat({origin_.x - cols, origin_.y - rows}),
                            georeference.lonlat({origin_.x + cols, origin_.y + rows}))
                       .distance_m /
                   2;
        };
        constexpr double span_m = 100;
        const double cols = span_m / away(1, 0), rows = span_m / away(0, 1);
        const double across = away(cols, 0), along = away(0, rows);
        const double falling = away(cols, rows), rising = away(cols, -rows);
        e_ = across * across / (cols * cols);
        g_ = along * along / (rows * rows);
        f_ = (falling * falling - rising * rising) / (4 * cols * rows);
    }
    [[nodiscard]] GridPoint origin() const { return origin_; }
    /// The place of a segment that is nearest to the position, as a part of its length.
    [[nodiscard]] double nearest(GridPoint a, GridPoint b) const { return nearest(a, b, origin_); }
    /// The same for another place.
    [[nodiscard]] double nearest(GridPoint a, GridPoint b, GridPoint to) const {
        const GridPoint along{b.x - a.x, b.y - a.y}, there{to.x - a.x, to.y - a.y};
        const double squared = product(along, along);
        return squared > 0 ? std::clamp(product(along, there) / squared, 0.0, 1.0) : 0;
    }
    [[nodiscard]] double distance_m(GridPoint p) const { return distance_m(p, origin_); }
    [[nodiscard]] double distance_m(GridPoint p, GridPoint q) const {
        const GridPoint step{p.x - q.x, p.y - q.y};
        return std::sqrt(std::max(0.0, product(step, step)));
    }

private:
    [[nodiscard]] double product(GridPoint a, GridPoint b) const {
        return e_ * a.x * b.x + f_ * (a.x * b.y + a.y * b.x) + g_ * a.y * b.y;
    }
    GridPoint origin_;
    double e_ = 0, f_ = 0, g_ = 0; ///< the first fundamental form
};

GridPoint between(GridPoint a, GridPoint b, double t) {
    return {std::lerp(a.x, b.x, t), std::lerp(a.y, b.y, t)};
}

/// An edge, or a point twice, and about where on it the nearest place is.
struct Foot {
    GridPoint a, b;
    double at = 0, distance_m = 0;
};

/// Whether a position lies inside of rings, by the even-odd rule.
bool inside(const Hazard& hazard, GridPoint p) {
    bool in = false;
    for (const auto& ring : hazard.rings) {
        for (std::size_t i = 0; i < ring.size(); ++i) {
            const GridPoint a = ring[i], b = ring[(i + 1) % ring.size()];
            if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) in = !in;
        }
    }
    return in;
}

class Search {
public:
    Search(const Georeference& georeference, LonLat from)
        : georeference_(georeference), from_(from), metric_(georeference, from) {}

    [[nodiscard]] bool inside(const Hazard& hazard) const {
        return swingroom::inside(hazard, metric_.origin());
    }
    /// Whether two hazards overlap, or lie no further apart than the charts' cutting and drawing may have put
    /// them.
    [[nodiscard]] bool touch(const Hazard& a, const Hazard& b) const {
        return reaches(a, b) || reaches(b, a);
    }
    /// How near a hazard is at about, 0 inside of it.
    [[nodiscard]] double about_m(const Hazard& hazard) const {
        if (inside(hazard)) return 0;
        double least_m = std::numeric_limits<double>::infinity();
        each_foot(hazard, [&](const Foot& foot) { least_m = std::min(least_m, foot.distance_m); });
        return least_m;
    }
    /// The same to the millimetre, with the azimuth. @param about_m  as found before
    [[nodiscard]] Geodesic exactly(const Hazard& hazard, double about_m) const {
        if (about_m == 0) return {};
        Geodesic nearest{std::numeric_limits<double>::infinity(), 0};
        std::vector<Foot> feet;
        each_foot(hazard, [&](const Foot& foot) {
            if (foot.distance_m > about_m + 2 * doubt_m(about_m)) return;
            feet.push_back(foot);
            feet.back().distance_m = seen(foot, foot.at).distance_m;
            nearest.distance_m = std::min(nearest.distance_m, feet.back().distance_m);
        });
        // Moving the foot to its right place brings it nearer by little: the error of the plane is the same
        // around it.
        std::erase_if(feet, [&](const Foot& foot) { return foot.distance_m > nearest.distance_m + 1; });
        std::sort(feet.begin(), feet.end(),
                  [](const Foot& a, const Foot& b) { return a.distance_m < b.distance_m; });
        constexpr std::size_t most_refined = 64;
        if (feet.size() > most_refined) feet.resize(most_refined);
        nearest.distance_m = std::numeric_limits<double>::infinity();
        for (const Foot& foot : feet) {
            if (const Geodesic line = refined(foot); line.distance_m < nearest.distance_m) nearest = line;
        }
        return nearest;
    }

private:
    /// Whether a corner of the one lies in the other, or next to its outline.
    [[nodiscard]] bool reaches(const Hazard& one, const Hazard& other) const {
        constexpr double apart_m = 2; // some times what edges are moved by, as they are put on the grid
        // Most corners lie nowhere near.
        const GridPoint o = metric_.origin();
        const double cols = 2 * apart_m / metric_.distance_m({o.x + 1, o.y}),
                     rows = 2 * apart_m / metric_.distance_m({o.x, o.y + 1});
        double left = std::numeric_limits<double>::infinity(), top = left, right = -left, bottom = -left;
        each_edge(other, [&](GridPoint a, GridPoint b) {
            left = std::min({left, a.x - cols, b.x - cols});
            right = std::max({right, a.x + cols, b.x + cols});
            top = std::min({top, a.y - rows, b.y - rows});
            bottom = std::max({bottom, a.y + rows, b.y + rows});
        });
        bool reached = false;
        const auto corner = [&](GridPoint p) {
            if (reached || p.x < left || p.x > right || p.y < top || p.y > bottom) return;
            reached = swingroom::inside(other, p);
            each_edge(other, [&](GridPoint a, GridPoint b) {
                reached =
                    reached || metric_.distance_m(between(a, b, metric_.nearest(a, b, p)), p) <= apart_m;
            });
        };
        for (const auto* chains : {&one.paths, &one.rings}) {
            for (const auto& chain : *chains) {
                std::for_each(chain.begin(), chain.end(), corner);
            }
        }
        return reached;
    }
    template <class Take>
    static void each_edge(const Hazard& hazard, Take&& take) {
        for (const auto* chains : {&hazard.paths, &hazard.rings}) {
            for (const auto& chain : *chains) {
                if (chain.size() == 1) take(chain.front(), chain.front());
                for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
                    take(chain[i], chain[i + 1]);
                }
            }
        }
    }
    template <class Take>
    void each_foot(const Hazard& hazard, Take&& take) const {
        each_edge(hazard, [&](GridPoint a, GridPoint b) {
            const double at = metric_.nearest(a, b);
            take(Foot{a, b, at, metric_.distance_m(between(a, b, at))});
        });
    }
    [[nodiscard]] Geodesic seen(const Foot& foot, double at) const {
        return geodesic(from_, georeference_.lonlat(between(foot.a, foot.b, at)));
    }
    /// By thirds, around where the plane has it.
    [[nodiscard]] Geodesic refined(const Foot& foot) const {
        const double length_m =
            std::max(1e-3, geodesic(georeference_.lonlat(foot.a), georeference_.lonlat(foot.b)).distance_m);
        const double around = std::min(1.0, 10 * doubt_m(foot.distance_m) / length_m);
        double low = std::max(0.0, foot.at - around), high = std::min(1.0, foot.at + around);
        while ((high - low) * length_m > 1e-3) {
            const double third = (high - low) / 3;
            if (seen(foot, low + third).distance_m < seen(foot, high - third).distance_m) {
                high -= third;
            } else {
                low += third;
            }
        }
        // The nearest place may be the end of the edge.
        const Geodesic first = seen(foot, low), last = seen(foot, high);
        return first.distance_m < last.distance_m ? first : last;
    }

    const Georeference& georeference_;
    LonLat from_;
    LocalMetric metric_;
};

/// Hazards that are one feature: they follow each other under one label.
struct Feature {
    std::span<const Hazard> hazards;
    std::vector<double> about_m; ///< of each of these; infinite for those without an effect
    double nearest_m = 0;        ///< the least of them
};

/// @param counts  of which hazards
template <class Counts>
std::vector<Feature> features_near(std::span<const Hazard> hazards, const Counts& counts,
                                   const Search& search, double within_m) {
    std::vector<Feature> features;
    for (std::size_t begin = 0, end = 0; begin < hazards.size(); begin = end) {
        end = begin + 1;
        if (!counts(hazards[begin])) continue; // notes are looked for from many positions
        while (end < hazards.size() && !hazards[begin].label.empty() &&
               hazards[end].label == hazards[begin].label) {
            ++end;
        }
        Feature feature{hazards.subspan(begin, end - begin), {}, 0};
        for (const Hazard& hazard : feature.hazards) {
            feature.about_m.push_back(counts(hazard) ? search.about_m(hazard)
                                                     : std::numeric_limits<double>::infinity());
        }
        feature.nearest_m = *std::min_element(feature.about_m.begin(), feature.about_m.end());
        if (feature.nearest_m <= within_m + doubt_m(within_m)) features.push_back(std::move(feature));
    }
    return features;
}

Geodesic exactly(const Feature& feature, const Search& search) {
    Geodesic nearest{std::numeric_limits<double>::infinity(), 0};
    for (std::size_t i = 0; i < feature.hazards.size(); ++i) {
        if (!(feature.about_m[i] <= feature.nearest_m + 2 * doubt_m(feature.nearest_m))) continue;
        const Geodesic line = search.exactly(feature.hazards[i], feature.about_m[i]);
        if (line.distance_m < nearest.distance_m) nearest = line;
    }
    return nearest;
}

NearbyHazard described(const Feature& feature, const Geodesic& line, const std::optional<HullNeeds>& hull) {
    NearbyHazard nearby;
    nearby.label = feature.hazards.front().label;
    nearby.information = feature.hazards.front().information;
    nearby.distance_m = line.distance_m;
    nearby.bearing_deg = line.azimuth_deg;
    for (const Hazard& hazard : feature.hazards) {
        if ((effects_on(hazard, hull) & effect::shown) == 0) continue;
        const auto known = std::find_if(nearby.kinds.begin(), nearby.kinds.end(),
                                        [&](const auto& kind) { return kind.name == hazard.kind; });
        if (known == nearby.kinds.end()) {
            nearby.kinds.push_back({hazard.kind, hazard.margin_m});
        } else {
            known->margin_m = std::max(known->margin_m, hazard.margin_m);
        }
    }
    return nearby;
}

/// Whether two features are, by all that is told of them, parts of one that touch: charts end an area where
/// they end, and the next one goes on with it under another number. Another area of the same name lies apart.
bool is_same_thing(const Feature& a, const Feature& b, const Search& search) {
    const Hazard &one = a.hazards.front(), &other = b.hazards.front();
    const bool told = !one.called.empty() || !one.information.empty();
    return told && one.called == other.called && one.information == other.information &&
           std::equal(a.hazards.begin(), a.hazards.end(), b.hazards.begin(), b.hazards.end(),
                      [](const Hazard& x, const Hazard& y) { return x.kind == y.kind; }) &&
           std::any_of(a.hazards.begin(), a.hazards.end(), [&](const Hazard& x) {
               return std::any_of(b.hazards.begin(), b.hazards.end(),
                                  [&](const Hazard& y) { return search.touch(x, y); });
           });
}

/// A feature and the line to it.
struct Seen {
    const Feature* feature;
    Geodesic line;
};

/// The nearest of several features, the nearest first. @param features  sorted
std::vector<Seen> nearest(std::vector<Feature>& features, const Search& search, double within_m,
                          std::size_t most) {
    std::stable_sort(features.begin(), features.end(),
                     [](const Feature& a, const Feature& b) { return a.nearest_m < b.nearest_m; });
    std::vector<Seen> nearby;
    for (const Feature& feature : features) {
        // This one and all that come later are no nearer than that.
        const double least_m = feature.nearest_m - doubt_m(feature.nearest_m);
        if (nearby.size() >= most && (most == 0 || nearby[most - 1].line.distance_m < least_m)) break;
        const Geodesic line = exactly(feature, search);
        if (line.distance_m > within_m) continue;
        const auto place = std::upper_bound(
            nearby.begin(), nearby.end(), line.distance_m,
            [](double distance_m, const Seen& other) { return distance_m < other.line.distance_m; });
        nearby.insert(place, {&feature, line});
    }
    if (nearby.size() > most) nearby.resize(most);
    return nearby;
}

} // namespace

std::vector<NearbyHazard> nearby_hazards(std::span<const Hazard> hazards,
                                         const std::optional<HullNeeds>& hull,
                                         const Georeference& georeference, LonLat from, double within_m,
                                         std::size_t most) {
    const Search search(georeference, from);
    const auto counts = [&](const Hazard& hazard) { return (effects_on(hazard, hull) & effect::shown) != 0; };
    std::vector<Feature> features = features_near(hazards, counts, search, within_m);
    std::vector<NearbyHazard> nearby;
    // Areas that the position lies in come first, in the order of the rules.
    const auto around = std::stable_partition(features.begin(), features.end(), [&](const Feature& feature) {
        return std::any_of(feature.hazards.begin(), feature.hazards.end(),
                           [&](const Hazard& hazard) { return counts(hazard) && search.inside(hazard); });
    });
    for (const Feature& feature : std::span(features.begin(), around)) {
        nearby.push_back(described(feature, {}, hull));
    }
    std::vector<Feature> others(std::make_move_iterator(around), std::make_move_iterator(features.end()));
    // What goes on in the next chart is told of already.
    std::erase_if(others, [&](const Feature& feature) {
        return std::any_of(features.begin(), around,
                           [&](const Feature& other) { return is_same_thing(feature, other, search); });
    });
    // A berth or a protected area beside her is no reason to say nothing of the wreck behind it.
    const auto beside = std::stable_partition(others.begin(), others.end(), [&](const Feature& feature) {
        return std::any_of(feature.hazards.begin(), feature.hazards.end(), [&](const Hazard& hazard) {
            return (effects_on(hazard, hull) & (effect::shown & ~effect::warn)) != 0;
        });
    });
    std::vector<Feature> warnings(std::make_move_iterator(beside), std::make_move_iterator(others.end()));
    others.erase(beside, others.end());
    std::vector<Seen> seen = nearest(others, search, within_m, most);
    for (const Seen& warning : nearest(warnings, search, within_m, std::min(most, most_warnings))) {
        seen.push_back(warning);
    }
    std::stable_sort(seen.begin(), seen.end(),
                     [](const Seen& a, const Seen& b) { return a.line.distance_m < b.line.distance_m; });
    for (const auto& [feature, line] : seen) {
        nearby.push_back(described(*feature, line, hull));
    }
    return nearby;
}

std::vector<SeabedNote> nearest_notes(std::span<const Hazard> hazards, const Georeference& georeference,
                                      LonLat from, double within_m, std::size_t most) {
    const Search search(georeference, from);
    const auto is_note = [](const Hazard& hazard) { return (hazard.effects & effect::note) != 0; };
    std::vector<Feature> features = features_near(hazards, is_note, search, within_m);
    std::vector<SeabedNote> notes;
    for (const auto& [feature, line] : nearest(features, search, within_m, most)) {
        const auto note = std::find_if(feature->hazards.begin(), feature->hazards.end(), is_note);
        notes.push_back({note->nature, note->label, line.distance_m, line.azimuth_deg});
    }
    return notes;
}

} // namespace swingroom
