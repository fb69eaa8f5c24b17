#include "report/map_marks.hpp"

#include "swingroom/base/measures.hpp"

#include "report/map_path.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace swingroom {
namespace {

/// Lines come to no more bytes than this, signs to no more than so many.
constexpr std::size_t most_line_bytes = 400'000, most_points = 1500;
/// No two of a sign within such a square, in units; no line shorter.
constexpr double square = 13, least_line = 8;

const std::map<std::string, Sign, std::less<>>& signs_of_rules() {
    static const std::map<std::string, Sign, std::less<>> signs = {
        {"cable", Sign::cable},
        {"chain or cable of a mooring", Sign::cable},
        {"pipeline", Sign::pipeline},
        {"tunnel", Sign::pipeline},
        {"shoal over a cable or pipeline", Sign::none},
        {"wreck", Sign::wreck},
        {"wreck under the hull", Sign::wreck},
        {"wreck that shows", Sign::wreck},
        {"wreck of a kind that cannot be read", Sign::wreck},
        {"shoal over scattered remains", Sign::foul},
        {"shoal over foul ground", Sign::foul},
        {"shoal over foul ground of a plain layer", Sign::foul},
        {"near a wreck", Sign::none},
        {"rock", Sign::rock},
        {"rock under the hull", Sign::rock},
        {"near a rock", Sign::none},
        {"obstruction", Sign::obstruction},
        {"obstruction under the hull", Sign::obstruction},
        {"obstruction of a kind that cannot be read", Sign::obstruction},
        {"dries or floats", Sign::obstruction},
        {"water level that cannot be read", Sign::obstruction},
        {"foul area", Sign::foul},
        {"foul ground", Sign::foul},
        {"near foul ground", Sign::none},
        {"foul ground mark", Sign::buoy},
        {"farm or fishing gear", Sign::farm},
        {"farm under the hull", Sign::farm},
        {"fishing gear under the hull", Sign::farm},
        {"mooring", Sign::mooring},
        {"boat at a mooring", Sign::mooring},
        {"near a mooring", Sign::none},
        {"mark that prohibits anchoring", Sign::buoy},
        {"buoy or beacon", Sign::buoy},
        {"floating structure", Sign::structure},
        {"platform", Sign::structure},
        {"pile or pylon", Sign::structure},
        {"structure", Sign::structure},
        {"bridge", Sign::overhead},
        {"bridge over the mast", Sign::overhead},
        {"under a line", Sign::overhead},
        {"under a pipe or belt", Sign::overhead},
        {"track or ferry route", Sign::track},
        {"seagrass", Sign::growth},
        {"sea grass of a chart", Sign::growth},
        {"weed", Sign::growth},
        {"coral", Sign::growth},
        {"coral seabed", Sign::growth},
        {"rocky seabed", Sign::growth},
        {"land", Sign::none},
        {"unsurveyed", Sign::none},
        {"no chart", Sign::none},
    };
    return signs;
}

const char* class_of(Sign sign) {
    constexpr std::array<const char*, sign_count> classes = {
        "",       "s-cable", "s-pipe", "s-over", "s-track", "s-wreck", "s-rock", "s-obstr",
        "s-foul", "s-farm",  "s-moor", "s-buoy", "s-built", "s-grow",  "s-area", "s-danger"};
    return classes[static_cast<std::size_t>(sign)];
}

/// Beside a sign on the map.
std::string_view short_words(Sign sign) {
    constexpr std::array<std::string_view, sign_count> words = {
        "",     "cable", "pipeline", "overhead", "track",     "wreck",  "rock", "obstruction",
        "foul", "farm",  "mooring",  "buoy",     "structure", "growth", "area", "danger"};
    return words[static_cast<std::size_t>(sign)];
}

/// Whether its lines are drawn as themselves; an area's edge of any other sign is that of an area.
bool has_line(Sign sign) { return sign >= Sign::cable && sign <= Sign::track; }

/// Which of the signs of one feature tells most of it.
int telling(Sign sign) {
    switch (sign) {
    case Sign::none:
        return 0;
    case Sign::area:
    case Sign::danger:
        return 1;
    case Sign::obstruction: // of whatever dries or floats, too
        return 2;
    case Sign::wreck:
    case Sign::rock:
        return 4;
    default:
        return 3;
    }
}

GridPoint middle_of(const std::vector<GridPoint>& line) {
    GridPoint sum;
    for (const GridPoint p : line) {
        sum = {sum.x + p.x / static_cast<double>(line.size()),
               sum.y + p.y / static_cast<double>(line.size())};
    }
    return sum;
}

} // namespace

Sign sign_of(const Hazard& hazard) {
    if ((hazard.effects & (effect::hull | effect::ground | effect::drop)) == 0 &&
        hazard.kind != "foul ground mark") {
        return Sign::none;
    }
    const auto& signs = signs_of_rules();
    std::string name = hazard.kind;
    for (;;) { // "mooring block" is a mooring
        if (const auto known = signs.find(name); known != signs.end()) return known->second;
        const std::size_t blank = name.rfind(' ');
        if (blank == std::string::npos) break;
        name.resize(blank);
    }
    return hazard.rings.empty() ? Sign::danger : Sign::area;
}

bool is_told_by_colours(std::string_view kind) {
    return kind == "land" || kind == "unsurveyed" || kind == "no chart";
}

Markup sign_drawing(Sign sign) {
    const auto path = [&](const std::string& d) {
        return empty_element("path", {{"class", class_of(sign)}, {"d", d}});
    };
    switch (sign) {
    case Sign::wreck: // a hull on its side, its mast askew
        return path("M-6.5 0.5L6.5-2.5L4.5 3.5L-3.5 4.5ZM-1-1L-4-6.5");
    case Sign::rock: // a peak
        return path("M-5 4.5L-1.5-5L1-1L2.5-3L5.5 4.5Z");
    case Sign::obstruction: // a lozenge with a hole
        return path("M0-5.5L5.5 0L0 5.5L-5.5 0ZM-1.8 0a1.8 1.8 0 1 0 3.6 0a1.8 1.8 0 1 0 -3.6 0Z");
    case Sign::foul: // teeth
        return path("M-6 3.5L-4-3L-1.5 3.5L0-3L1.5 3.5L4-3L6 3.5");
    case Sign::farm: // floats on a line
        return path("M-6.5 0H6.5M-5-1.8h2.4v3.6h-2.4ZM-1.2-1.8h2.4v3.6h-2.4ZM2.6-1.8h2.4v3.6h-2.4Z");
    case Sign::mooring: // a block with its ring
        return path("M-4.5-0.5H4.5V5H-4.5ZM-2.2-2.8a2.2 2.2 0 1 0 4.4 0a2.2 2.2 0 1 0 -4.4 0Z");
    case Sign::buoy: // a float with its staff
        return path("M-4.2 3a4.2 3.4 0 0 0 8.4 0ZM0 3L1.5-6.5");
    case Sign::structure:
        return path("M-4-4H4V4H-4ZM-4-4L4 4M4-4L-4 4");
    case Sign::growth: // stalks
        return path("M-4 5C-2.5 1-6 0-4.5-4M0 5C1.5 0-1.5-1 0-6M4 5C5.5 1 2 0 4.5-4");
    case Sign::danger:
        return path("M0-5.5L5.2 4H-5.2Z");
    default:
        return {};
    }
}

void MapMarks::add(const Hazard& hazard, GridPoint origin, const Hidden& hidden) {
    const Sign sign = sign_of(hazard);
    if (sign == Sign::none) return;
    const auto placed = [&](const std::vector<GridPoint>& cells) {
        std::vector<GridPoint> line;
        for (const GridPoint p : cells) {
            line.push_back(frame_.of_cell({p.x - origin.x, p.y - origin.y}));
        }
        return line;
    };
    for (const std::vector<GridPoint>& cells : hazard.paths) {
        const std::vector<GridPoint> line = placed(cells);
        if (line.size() == 1) {
            if (!frame_.shows(line.front()) || hidden(line.front())) continue;
            const Sign drawn = sign == Sign::area || has_line(sign) ? Sign::danger : sign;
            add_point(drawn, line.front());
            name(hazard, sign, drawn, line.front(), 0);
        } else if (add_line(has_line(sign) ? sign : Sign::area, line, false, hidden)) {
            const auto seen =
                std::find_if(line.begin() + static_cast<std::ptrdiff_t>(line.size() / 2), line.end(),
                             [&](GridPoint p) { return frame_.shows(p) && !hidden(p); });
            if (seen != line.end()) name(hazard, sign, sign, *seen, size_of(line));
        }
    }
    for (const std::vector<GridPoint>& cells : hazard.rings) {
        const std::vector<GridPoint> ring = placed(cells);
        const GridPoint middle = middle_of(ring);
        const bool seen = frame_.shows(middle) && !hidden(middle);
        const bool edge = add_line(has_line(sign) ? sign : Sign::area, ring, true, hidden);
        if (!seen) continue;
        if (sign != Sign::area && !has_line(sign)) add_point(sign, middle);
        if (edge || sign != Sign::area) name(hazard, sign, sign, middle, size_of(ring));
    }
}

MapMarks::PlaceKey MapMarks::key_of(GridPoint at) {
    constexpr double steps = 10;
    return {std::lround(at.x * steps), std::lround(at.y * steps)};
}

void MapMarks::add_point(Sign sign, GridPoint at) {
    const auto [known, is_new] = mark_at_.try_emplace(key_of(at), marks_.size());
    if (is_new) {
        marks_.push_back({sign, at});
    } else if (telling(sign) > telling(marks_[known->second].sign)) {
        marks_[known->second].sign = sign;
    }
}

std::vector<MapMarks::Mark> MapMarks::thinned() const {
    std::set<std::array<long, 3>> taken;
    std::vector<Mark> kept;
    for (const Mark& one : marks_) {
        if (kept.size() >= most_points) break;
        const std::array<long, 3> place = {static_cast<long>(one.sign), std::lround(one.at.x / square),
                                           std::lround(one.at.y / square)};
        if (taken.insert(place).second) kept.push_back(one);
    }
    return kept;
}

std::set<Sign> MapMarks::shown() const {
    std::set<Sign> shown = lines_shown_;
    for (const Mark& one : thinned()) {
        shown.insert(one.sign);
    }
    return shown;
}

std::vector<GridPoint> MapMarks::points() const {
    std::vector<GridPoint> points;
    for (const Mark& one : thinned()) {
        points.push_back(one.at);
    }
    return points;
}

/// @returns whether it can be seen
bool MapMarks::add_line(Sign sign, const std::vector<GridPoint>& line, bool closed, const Hidden& hidden) {
    const double size = size_of(line);
    if (size < least_line || lines_.size() > most_line_bytes) return false;
    const auto seen = [&](GridPoint p) { return frame_.shows(p) && !hidden(p); };
    // One that only passes by has its vertices outside.
    const bool passes = size > std::min(frame_.width(), frame_.height());
    if (!passes && std::none_of(line.begin(), line.end(), seen)) return false;
    constexpr double strays = 0.3;
    const std::string path = path_text(simplified(line, strays), closed);
    if (!drawn_.insert(path).second) return true;
    lines_shown_.insert(sign);
    const std::string style = class_of(sign);
    lines_ += empty_element("path", {{"class", style}, {"d", path}});
    // The second stroke, of which beads or the inside of a pipe are made.
    if (has_line(sign)) lines_ += empty_element("path", {{"class", style + " over"}, {"d", path}});
    lines_ += "\n";
    return true;
}

/// What is plain from its sign, or stands everywhere, gets no words.
void MapMarks::name(const Hazard& hazard, Sign sign, Sign drawn, GridPoint at, double size) {
    const bool plain =
        sign == Sign::buoy || sign == Sign::structure || sign == Sign::growth || sign == Sign::track;
    const bool of_area = sign == Sign::area;
    const bool by_rule = of_area || sign == Sign::danger;
    const std::string words = plain ? "" : by_rule ? hazard.kind : std::string(short_words(sign));
    const Name one{words, at, size, of_area, drawn};
    const auto [known, is_new] = name_at_.try_emplace(key_of(at), names_.size());
    if (is_new) {
        names_.push_back(one);
    } else if (telling(drawn) > telling(names_[known->second].drawn)) {
        names_[known->second] = one;
    }
}

Markup MapMarks::names(MapLabels& labels) const {
    std::vector<Name> wanted = names_;
    std::stable_sort(wanted.begin(), wanted.end(), [](const Name& a, const Name& b) {
        return a.of_area != b.of_area ? b.of_area : a.size > b.size;
    });
    constexpr std::size_t most_of_kind = 2, most_names = 40;
    constexpr double apart = 160, clear = 9;
    std::map<std::string, std::vector<GridPoint>> placed;
    std::size_t count = 0;
    Markup markup;
    for (const Name& one : wanted) {
        if (one.words.empty()) continue;
        std::vector<GridPoint>& others = placed[one.words];
        const bool near = std::any_of(others.begin(), others.end(), [&](GridPoint p) {
            return std::hypot(p.x - one.at.x, p.y - one.at.y) < apart;
        });
        if (others.size() >= most_of_kind || near || count >= most_names) continue;
        const auto place =
            one.of_area ? labels.upon(one.at, one.words) : labels.beside(one.at, one.words, clear);
        others.push_back(one.at); // where there is no room for one there is none for the next beside it
        if (!place.found) continue;
        ++count;
        markup +=
            text_element(
                "text", {{"x", fixed(place.at.x, 1)}, {"y", fixed(place.at.y, 1)}, {"text-anchor", "middle"}},
                one.words) +
            "\n";
    }
    return markup;
}

Markup MapMarks::drawing() const {
    Markup signs;
    for (const Mark& one : thinned()) {
        const std::string place = "translate(" + fixed(one.at.x, 1) + " " + fixed(one.at.y, 1) + ")";
        signs += element("g", {{"transform", place}}, sign_drawing(one.sign)) + "\n";
    }
    return element("g", {{"class", "signs"}}, "\n" + lines_ + signs) + "\n";
}

} // namespace swingroom
