#include "swingroom/report/tide_picture.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/water/level_text.hpp"

#include "base/folded_text.hpp"
#include "base/text.hpp"
#include "report/picture_words.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <optional>
#include <ranges>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using namespace std::chrono;

constexpr double width_px = 960, height_px = 470, left_px = 60, right_px = 18, top_px = 84, bottom_px = 66;
constexpr double plot_width_px = width_px - left_px - right_px, foot_px = height_px - bottom_px;
/// The letters of a narrow screen: what would not fit in these is left out on all.
constexpr double wide_letter_px = 13.5;
/// How many letters a line under the picture has, so that a narrow screen has it whole, and how far they are
/// apart.
constexpr std::size_t caption_letters = 66;
constexpr double caption_line_px = 27;

// The colours are those of a page that has them, by day and by night; by itself the picture brings its own.
constexpr MarkupLiteral style = R"css(
.tide { display: block; max-width: 100%; height: auto; }
@media screen and (prefers-color-scheme: dark) {
  .tide { --paper: #16181a; --ink: #e8e6e1; --soft: #b0aea8; --rule: #44474a; --link: #9cc3f0; --alarm: #ff9d80; }
}
.tide text { font-size: 13px; fill: var(--ink, #1b1b1b); stroke: var(--paper, #fff); stroke-width: 6; paint-order: stroke; stroke-linejoin: round; }
.tide .paper { fill: var(--paper, #fff); }
.tide .rules line { stroke: var(--rule, #c9c9c9); stroke-width: 1; }
.tide .rules .datum, .tide .rules .midnight { stroke: var(--soft, #555); }
.tide .rules text { fill: var(--soft, #555); }
.tide .band { fill: var(--link, #1d4f8c); fill-opacity: .18; stroke: var(--link, #1d4f8c); stroke-width: .8; stroke-dasharray: 2 3; }
.tide .curve { fill: none; stroke: var(--link, #1d4f8c); stroke-width: 2.4; stroke-linejoin: round; }
.tide .windows rect { fill: var(--ink, #1b1b1b); }
.tide .turns circle { fill: var(--link, #1d4f8c); stroke: var(--paper, #fff); }
.tide .moments line { stroke: var(--ink, #1b1b1b); stroke-width: 1.6; stroke-dasharray: 7 4; }
.tide .moments text { font-weight: 700; }
.tide .levels line { stroke: var(--alarm, #8a1c00); stroke-width: 1.6; stroke-dasharray: 12 4 2 4; }
.tide .levels text { fill: var(--alarm, #8a1c00); }
@media screen and (max-width: 640px) {
  .tide text { font-size: 23px; stroke-width: 9; }
  .tide .close { display: none; }
  .tide .curve { stroke-width: 4; }
}
)css";

std::string px(double value) { return fixed(value, 1); }

Markup group(const char* name, const Markup& content) {
    return element("g", {{"class", name}}, "\n" + content) + "\n";
}

Markup line(double x1, double y1, double x2, double y2, const char* name = "") {
    Attributes attributes = {{"x1", px(x1)}, {"y1", px(y1)}, {"x2", px(x2)}, {"y2", px(y2)}};
    if (*name != '\0') attributes.insert(attributes.end(), {{"class", name}});
    return empty_element("line", attributes) + "\n";
}

Markup words(double x, double y, const char* anchor, const std::string& text) {
    return text_element("text", {{"x", px(x)}, {"y", px(y)}, {"text-anchor", anchor}}, text) + "\n";
}

/// The date that a clock shows.
year_month_day date_shown(Instant at, ZoneOffset zone) { return {floor<days>(at + zone)}; }

/// To the minute: nobody's tide is truer than that.
std::string minute_text(Instant at, ZoneOffset zone) { return hour_text(round<minutes>(at), zone); }

/// "2 Jul".
std::string day_text(const year_month_day& date) {
    constexpr std::array names = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                  "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    return std::to_string(static_cast<unsigned>(date.day())) + " " +
           names.at(static_cast<unsigned>(date.month()) - 1);
}

/// "Thu 2 Jul".
std::string weekday_text(const year_month_day& date) {
    constexpr std::array names = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
    return names.at(std::chrono::weekday(sys_days(date)).c_encoding()) + (" " + day_text(date));
}

/// Where moments and levels stand.
class Sheet {
public:
    explicit Sheet(const TidePicture& of);

    [[nodiscard]] double x(Instant at) const {
        return left_px + plot_width_px * static_cast<double>((at - picture.from).count()) / span_s_;
    }
    [[nodiscard]] double y(double level_m) const {
        return foot_px - (foot_px - top_px) * (level_m - lowest_m) / (highest_m - lowest_m);
    }
    [[nodiscard]] double px_of(seconds length) const {
        return plot_width_px * static_cast<double>(length.count()) / span_s_;
    }
    /// Bounds of the columns of the picture, each of all minutes in it.
    [[nodiscard]] LevelBounds bounds(Instant at) const {
        const auto column = static_cast<std::ptrdiff_t>(static_cast<double>((at - picture.from).count()) /
                                                        span_s_ * static_cast<double>(columns.size()));
        return columns[static_cast<std::size_t>(
            std::clamp<std::ptrdiff_t>(column, 0, std::ssize(columns) - 1))];
    }
    [[nodiscard]] std::string height(double level_m) const {
        return length_text(level_m, Rounded::nearest, picture.measures);
    }

    const TidePicture& picture;
    std::vector<LevelBounds> columns;       ///< the band, with the allowances, from left to right
    std::vector<TidePicture::Level> levels; ///< those that are not far off
    double lowest_m = 0, highest_m = 0;     ///< along the side

private:
    void take_band();
    void take_levels();

    double span_s_;
};

Sheet::Sheet(const TidePicture& of)
    : picture(of), span_s_(std::max(60.0, static_cast<double>((of.to - of.from).count()))) {
    take_band();
    take_levels();
    // Room for what is written at the turns, in two lines of the letters of a narrow screen.
    const double room_m = 0.33 * std::max(0.3, highest_m - lowest_m);
    lowest_m -= room_m;
    highest_m += room_m;
}

void Sheet::take_band() {
    const auto minutes = static_cast<int>((picture.to - picture.from) / 1min);
    std::vector<LevelBounds> all = picture.curve->by_minute(picture.from, minutes);
    if (all.empty()) {
        const double level_m = picture.curve->height_m(picture.from);
        all.push_back({level_m, level_m});
    }
    const std::size_t count = std::min<std::size_t>(all.size(), static_cast<std::size_t>(plot_width_px));
    for (std::size_t i = 0; i < count; ++i) {
        const auto first = all.begin() + static_cast<std::ptrdiff_t>(i * all.size() / count);
        const auto last = all.begin() + static_cast<std::ptrdiff_t>((i + 1) * all.size() / count);
        columns.push_back(
            {std::min_element(first, last, [](auto& a, auto& b) { return a.least_m < b.least_m; })->least_m -
                 picture.allowances.below_m,
             std::max_element(first, last, [](auto& a, auto& b) { return a.greatest_m < b.greatest_m; })
                     ->greatest_m +
                 picture.allowances.above_m});
    }
    lowest_m = std::ranges::min(columns, {}, &LevelBounds::least_m).least_m;
    highest_m = std::ranges::max(columns, {}, &LevelBounds::greatest_m).greatest_m;
}

/// A level that is farther off than the tide is high would press the curve flat.
void Sheet::take_levels() {
    const double reach_m = std::max(1.0, highest_m - lowest_m), low_m = lowest_m, high_m = highest_m;
    for (const TidePicture::Level& level : picture.levels) {
        if (level.level_m < low_m - reach_m || level.level_m > high_m + reach_m) continue;
        levels.push_back(level);
        lowest_m = std::min(lowest_m, level.level_m);
        highest_m = std::max(highest_m, level.level_m);
    }
}

/// The least round step of which no more than eight go into a length.
double round_step(double length) {
    const double decade = std::pow(10, std::floor(std::log10(length / 8)));
    for (const double step : {1.0, 2.0, 5.0}) {
        if (length / (step * decade) <= 8) return step * decade;
    }
    return 10 * decade;
}

Markup height_rules(const Sheet& sheet) {
    const double unit_m = metres_per_unit(sheet.picture.measures);
    const double step = round_step((sheet.highest_m - sheet.lowest_m) / unit_m);
    const int decimals = step < 0.1 ? 2 : step < 1 ? 1 : 0;
    Markup markup;
    for (double at = std::ceil(sheet.lowest_m / unit_m / step); at * step * unit_m <= sheet.highest_m; ++at) {
        const double y = sheet.y(at * step * unit_m);
        markup += line(left_px, y, width_px - right_px, y, std::abs(at) < 0.5 ? "datum" : "");
        markup += words(left_px - 7, y + 5, "end", fixed(std::abs(at) < 0.5 ? 0 : at * step, decimals));
    }
    return markup;
}

/// Every how many hours the lower edge is marked: at least so far apart that two figures fit on a narrow
/// screen.
hours hours_step(const Sheet& sheet) {
    for (const int step : {1, 2, 3, 6, 12}) {
        if (sheet.px_of(hours(step)) >= 3 * wide_letter_px) return hours(step);
    }
    return 24h;
}

Markup hour_rules(const Sheet& sheet) {
    const TidePicture& picture = sheet.picture;
    const hours step = hours_step(sheet);
    Markup markup;
    for (Instant shown = floor<days>(picture.from + picture.zone); shown - picture.zone <= picture.to;
         shown += step) {
        const Instant at = shown - picture.zone;
        if (at < picture.from) continue;
        const double x = sheet.x(at);
        const bool midnight = floor<days>(shown) == shown;
        markup += line(x, top_px, x, foot_px + (midnight ? 8 : 4), midnight && step < 24h ? "midnight" : "");
        if (step < 24h) {
            markup += words(x, foot_px + 24, "middle", minute_text(at, picture.zone).substr(0, 2));
        }
    }
    return markup;
}

/// What a day's name takes, and what stands between two.
constexpr double day_name_px = 10 * wide_letter_px;

/// Each day under its stretch of the edge, if that is long enough.
Markup day_names(const Sheet& sheet) {
    const TidePicture& picture = sheet.picture;
    Markup markup;
    for (Instant shown = floor<days>(picture.from + picture.zone); shown - picture.zone < picture.to;
         shown += days(1)) {
        const double begin_px = sheet.x(std::max(shown - picture.zone, picture.from)),
                     end_px = sheet.x(std::min(shown + days(1) - picture.zone, picture.to));
        if (end_px - begin_px < day_name_px) continue;
        markup += words((begin_px + end_px) / 2, foot_px + 50, "middle",
                        weekday_text(date_shown(shown, ZoneOffset(0))));
    }
    return markup;
}

/// Of many days every second, third ... one, where it begins.
Markup some_day_names(const Sheet& sheet) {
    const TidePicture& picture = sheet.picture;
    const days every(static_cast<int>(std::ceil(day_name_px / sheet.px_of(24h))));
    Markup markup;
    for (Instant shown = ceil<days>(picture.from + picture.zone); shown - picture.zone < picture.to;
         shown += every) {
        const double x = sheet.x(shown - picture.zone);
        if (x + day_name_px / 2 > width_px) break;
        markup += words(x, foot_px + 36, "start", day_text(date_shown(shown, ZoneOffset(0))));
    }
    return markup;
}

Markup dates(const Sheet& sheet) {
    return sheet.px_of(24h) < day_name_px ? some_day_names(sheet) : day_names(sheet);
}

Markup band(const Sheet& sheet) {
    const double step_px = plot_width_px / static_cast<double>(sheet.columns.size());
    std::string points;
    const auto add = [&](std::size_t edge, double level_m) {
        points += px(left_px + static_cast<double>(edge) * step_px) + "," + px(sheet.y(level_m)) + " ";
    };
    // A bound holds for all of its column: steps, which no line between two middles would be.
    for (std::size_t i = 0; i < sheet.columns.size(); ++i) {
        add(i, sheet.columns[i].greatest_m);
        add(i + 1, sheet.columns[i].greatest_m);
    }
    for (std::size_t i = sheet.columns.size(); i-- > 0;) {
        add(i + 1, sheet.columns[i].least_m);
        add(i, sheet.columns[i].least_m);
    }
    return empty_element("polygon", {{"class", "band"}, {"points", points}}) + "\n";
}

Markup curve(const Sheet& sheet, const std::vector<Turn>& turns) {
    const TidePicture& picture = sheet.picture;
    std::vector<Instant> at;
    constexpr int steps = 640;
    for (int i = 0; i <= steps; ++i) {
        at.push_back(picture.from + (picture.to - picture.from) * i / steps);
    }
    // Where it turns it is to be drawn as high as it is said to be.
    std::ranges::transform(turns, std::back_inserter(at), &Turn::time);
    std::ranges::sort(at);
    std::string points;
    for (const Instant moment : at) {
        points += px(sheet.x(moment)) + "," + px(sheet.y(picture.curve->height_m(moment))) + " ";
    }
    return empty_element("polyline", {{"class", "curve"}, {"points", points}}) + "\n";
}

/// Bars upon the lower edge, as far as they lie in the picture.
Markup window_bars(const Sheet& sheet) {
    constexpr double bar_px = 8;
    const TidePicture& picture = sheet.picture;
    Markup bars;
    for (const TimeWindow& window : picture.windows) {
        const Instant from = std::max(window.from, picture.from), to = std::min(window.to, picture.to);
        if (from >= to) continue;
        bars += empty_element("rect", {{"x", px(sheet.x(from))},
                                       {"y", px(foot_px - bar_px)},
                                       {"width", px(sheet.px_of(to - from))},
                                       {"height", px(bar_px)}}) +
                "\n";
    }
    return bars.empty() ? bars : group("windows", bars);
}

double x_of(const Sheet& sheet, const TidePicture::Moment& moment) { return sheet.x(moment.at); }

/// The moments that are drawn.
std::vector<TidePicture::Moment> moments_within(const TidePicture& picture) {
    std::vector<TidePicture::Moment> within;
    std::ranges::copy_if(picture.moments, std::back_inserter(within), [&](const TidePicture::Moment& moment) {
        return moment.at >= picture.from && moment.at <= picture.to;
    });
    return within;
}

/// A frame for words within the picture, with the lines that no words may stand on.
PictureWords room_for_words(const Sheet& sheet) {
    PictureWords room({left_px, top_px, width_px - right_px, foot_px});
    for (const TidePicture::Moment& moment : moments_within(sheet.picture)) {
        const double x = x_of(sheet, moment);
        room.keep_off({x - 2, top_px, x + 2, foot_px});
    }
    constexpr int step_px = 4;
    if (!sheet.picture.windows.empty()) room.keep_off({left_px, foot_px - 8, width_px - right_px, foot_px});
    for (double x = left_px; x < width_px - right_px; x += step_px) {
        const double passed = (x - left_px) / plot_width_px;
        const seconds length(static_cast<std::int64_t>(
            passed * static_cast<double>((sheet.picture.to - sheet.picture.from).count())));
        room.avoid({x, sheet.y(sheet.picture.curve->height_m(sheet.picture.from + length))});
        for (const TidePicture::Level& level : sheet.levels) {
            room.avoid({x, sheet.y(level.level_m)});
        }
    }
    return room;
}

/// Where the words of a turn may stand: as near as can be, beside the lines of moments, outside of those of
/// levels.
/// @param reach_px  how far the lines of moments are looked for
std::vector<WordsAt> places_at(const Sheet& sheet, const WordsAt& wanted, double reach_px) {
    std::vector<double> heights = {wanted.y};
    for (const TidePicture::Level& level : sheet.levels) {
        // A line that is a little farther out than the band would go through the words.
        const double y = sheet.y(level.level_m), out_px = wanted.em < 0 ? wanted.y - y : y - wanted.y;
        if (out_px > -4 && out_px < 3 * wide_letter_px) heights.push_back(wanted.em < 0 ? y - 3 : y + 3);
    }
    std::vector<WordsAt> candidates;
    for (const double y : heights) {
        candidates.push_back({wanted.x, "middle", y, wanted.em});
        for (const TidePicture::Moment& moment : moments_within(sheet.picture)) {
            const double x = x_of(sheet, moment);
            if (std::abs(x - wanted.x) > reach_px) continue;
            candidates.push_back({x - 6, "end", y, wanted.em});
            candidates.push_back({x + 6, "start", y, wanted.em});
        }
    }
    std::ranges::stable_sort(candidates, {}, [&wanted](const WordsAt& at) {
        return std::abs(at.x - wanted.x) + std::abs(at.y - wanted.y);
    });
    return candidates;
}

/// When a turn is, and how high, outside of the band; nothing where there is no room.
/// @param when  as it is written there
Markup turn_words(const Sheet& sheet, PictureWords& room, const Turn& turn, const std::string& when) {
    const LevelBounds bounds = sheet.bounds(turn.time);
    const std::string height = sheet.height(turn.height_m);
    const double half_px = static_cast<double>(std::max(when.size(), height.size())) * wide_letter_px / 2;
    const double x = std::clamp(sheet.x(turn.time), left_px + half_px + 1, width_px - right_px - half_px - 1);
    const double y = turn.high ? sheet.y(bounds.greatest_m) : sheet.y(bounds.least_m),
                 em = turn.high ? -1.6 : 1.25;
    const std::vector<WordsAt> candidates = places_at(sheet, {x, "middle", y, em}, 2 * half_px);
    const auto place = room.take({when.size(), height.size()}, candidates);
    if (!place) return {};
    // In lines of the letters' own height, which is another one on a narrow screen.
    const auto line_of = [&](double lines, const std::string& text) {
        return text_element("tspan", {{"x", px(place->at.x)}, {"dy", fixed(lines, 2) + "em"}}, text);
    };
    Attributes attributes = {
        {"x", px(place->at.x)}, {"y", px(place->at.y)}, {"text-anchor", place->at.anchor}};
    if (!place->narrow) attributes.insert(attributes.end(), {{"class", "close"}});
    return element("text", attributes, line_of(em, when) + line_of(1.15, height)) + "\n";
}

/// Of more turns than have room side by side the highest and the lowest alone are told.
Markup turn_marks(const Sheet& sheet, PictureWords& room, const std::vector<Turn>& turns) {
    Markup marks;
    for (const Turn& turn : turns) {
        marks += empty_element("circle", {{"cx", px(sheet.x(turn.time))},
                                          {"cy", px(sheet.y(turn.height_m))},
                                          {"r", turns.size() > 30 ? "1.8" : "3.5"}}) +
                 "\n";
    }
    const ZoneOffset zone = sheet.picture.zone;
    if (turns.size() <= static_cast<std::size_t>(plot_width_px / (3 * wide_letter_px))) {
        for (const Turn& turn : turns) {
            marks += turn_words(sheet, room, turn, minute_text(turn.time, zone));
        }
        return group("turns", marks);
    }
    const auto [lowest, highest] = std::ranges::minmax_element(turns, {}, &Turn::height_m);
    for (const auto& turn : {*lowest, *highest}) {
        marks += turn_words(sheet, room, turn,
                            day_text(date_shown(turn.time, zone)) + ", " + minute_text(turn.time, zone));
    }
    return group("turns", marks);
}

/// Names stand over the picture, those of neighbours in two rows.
Markup moment_marks(const Sheet& sheet) {
    Markup markup;
    int row = 0;
    for (const TidePicture::Moment& moment : moments_within(sheet.picture)) {
        const double x = x_of(sheet, moment), y = top_px - 8 - 22 * (row++ % 2);
        const char* const anchor = x < left_px + plot_width_px / 3    ? "start"
                                   : x > width_px - plot_width_px / 3 ? "end"
                                                                      : "middle";
        markup += line(x, y + 3, x, foot_px) +
                  words(x, y, anchor, moment.label + " " + minute_text(moment.at, sheet.picture.zone));
    }
    return markup.empty() ? markup : group("moments", markup);
}

/// Beside the frame and the moments' lines first, then all along; above the line sooner than below.
std::vector<WordsAt> places_along(const Sheet& sheet, double y) {
    std::vector<WordsAt> candidates;
    const auto add = [&](double x, const char* anchor) {
        candidates.push_back({x, anchor, y, -0.4});
        candidates.push_back({x, anchor, y + 1, 0.95});
    };
    add(width_px - right_px - 4, "end");
    for (const TidePicture::Moment& moment : moments_within(sheet.picture)) {
        add(x_of(sheet, moment) - 6, "end");
        add(x_of(sheet, moment) + 6, "start");
    }
    constexpr double step_px = 40;
    for (double x = left_px + 6; x < width_px - right_px; x += step_px) {
        add(x, "start");
    }
    return candidates;
}

/// Draws lines across with their names, one after the other, in a frame that they share.
class LevelLines {
public:
    LevelLines(const Sheet& sheet, PictureWords& room) : sheet_(sheet), room_(room) {}

    /// One that would stand in the line or the name of one before is left out.
    void add(const TidePicture::Level& level) {
        const double y = sheet_.y(level.level_m);
        constexpr double apart_px = 5; // lines that can still be told apart
        const bool close =
            std::ranges::any_of(drawn_, [y](double other) { return std::abs(other - y) < apart_px; });
        if (close || strikes(y, 0)) return;
        const std::string name =
            level.label + ": " + length_text(level.level_m, Rounded::up, sheet_.picture.measures, 2);
        const auto place = room_.take({name.size()}, places_along(sheet_, y));
        if (place) draw(y, name, *place);
    }
    /// To be drawn before all words.
    [[nodiscard]] Markup lines() const { return lines_.empty() ? lines_ : group("levels", lines_); }
    [[nodiscard]] Markup names() const { return names_.empty() ? names_ : group("levels", names_); }

private:
    [[nodiscard]] MapBox across(double y) const { return {left_px, y - 1, width_px - right_px, y + 1}; }
    /// Whether a line would strike out a name that is there, in letters of a size.
    [[nodiscard]] bool strikes(double y, std::size_t size) const {
        return std::ranges::any_of(
            written_, [&](const PictureWords::Boxes& boxes) { return boxes.at(size).meets(across(y)); });
    }
    void draw(double y, const std::string& name, const PictureWords::Place& place) {
        const bool narrow = place.narrow && !strikes(y, 1);
        lines_ += line(left_px, y, width_px - right_px, y, narrow ? "" : "close");
        Attributes attributes = {{"x", px(place.at.x)},
                                 {"y", px(place.at.y)},
                                 {"dy", fixed(place.at.em, 2) + "em"},
                                 {"text-anchor", place.at.anchor}};
        if (!narrow) attributes.insert(attributes.end(), {{"class", "close"}});
        names_ += text_element("text", attributes, name) + "\n";
        drawn_.push_back(y);
        written_.push_back(place.boxes);
        room_.keep_off(across(y));
    }

    const Sheet& sheet_;
    PictureWords& room_;
    Markup lines_, names_;
    std::vector<double> drawn_;
    std::vector<PictureWords::Boxes> written_;
};

/// Under the picture.
std::vector<std::string> caption_lines(const std::string& caption) {
    if (caption.empty()) return {};
    return split(folded_flush(caption, caption_letters), '\n');
}

Markup caption(const std::vector<std::string>& lines) {
    if (lines.empty()) return {};
    Markup text;
    for (const std::string& each : lines) {
        text += text_element("tspan", {{"x", px(8)}, {"dy", text.empty() ? "0em" : "1.2em"}}, each);
    }
    return group("caption", element("text", {{"x", px(8)}, {"y", px(height_px + 14)}}, text) + "\n");
}

std::string levels_described(const TidePicture& picture) {
    std::string text;
    for (const TidePicture::Level& level : picture.levels) {
        text += (text.empty() ? " Levels: " : "; ") + level.label + ": " +
                level_above_datum_text(level.level_m, Rounded::up, picture.measures);
    }
    return text + (text.empty() ? "" : ".");
}

std::string windows_described(const TidePicture& picture) {
    if (picture.windows.empty()) return {};
    std::string text;
    for (const TimeWindow& window : picture.windows) {
        text += (text.empty() ? " " + picture.windows_label + ": " : "; ") +
                clock_text(window.from, picture.zone) + " to " + clock_text(window.to, picture.zone);
    }
    return text + ".";
}

std::string height_in_words(const Sheet& sheet, double height_m) {
    return height_m < 0 ? level_above_datum_text(height_m, Rounded::nearest, sheet.picture.measures, 1)
                        : sheet.height(height_m);
}

/// For who cannot see it.
std::string described(const Sheet& sheet, const std::vector<Turn>& turns) {
    const TidePicture& picture = sheet.picture;
    std::string text =
        "The water stands " +
        between_levels_text({std::ranges::min(sheet.columns, {}, &LevelBounds::least_m).least_m,
                             std::ranges::max(sheet.columns, {}, &LevelBounds::greatest_m).greatest_m},
                            picture.measures) +
        ".";
    constexpr std::size_t most = 12;
    for (std::size_t i = 0; i < std::min(most, turns.size()); ++i) {
        text += (i == 0 ? " " : "; ") + std::string(turns[i].high ? "high" : "low") + " water " +
                height_in_words(sheet, turns[i].height_m) + " at " +
                clock_text(round<minutes>(turns[i].time), picture.zone);
    }
    if (turns.size() > most) text += "; and " + std::to_string(turns.size() - most) + " more";
    return text + (turns.empty() ? "" : ".") + levels_described(picture) + windows_described(picture);
}

} // namespace

Markup tide_picture(const TidePicture& picture) {
    const Sheet sheet(picture);
    const std::vector<Turn> turns = picture.curve->turns(picture.from, picture.to);
    const std::string span =
        clock_text(picture.from, picture.zone) + " to " + clock_text(picture.to, picture.zone);
    const std::string unit(unit_name(picture.measures));
    const std::string year = std::to_string(static_cast<int>(date_shown(picture.from, picture.zone).year()));
    const std::vector<std::string> under = caption_lines(picture.caption);
    const double whole_px =
        under.empty() ? height_px : height_px + 26 + caption_line_px * static_cast<double>(under.size() - 1);
    // Words come last: they stand on the paper's colour, which hides what runs under them.
    PictureWords room = room_for_words(sheet);
    const Markup of_moments = moment_marks(sheet), of_turns = turn_marks(sheet, room, turns);
    LevelLines levels(sheet, room);
    std::ranges::for_each(sheet.levels, [&levels](const TidePicture::Level& level) { levels.add(level); });
    const Markup content =
        "\n" + element("style", style) + "\n" + text_element("title", "Level of the water, " + span) + "\n" +
        text_element("desc", described(sheet, turns)) + "\n" +
        empty_element("rect", {{"class", "paper"}, {"width", px(width_px)}, {"height", px(whole_px)}}) +
        "\n" +
        group("rules",
              height_rules(sheet) + hour_rules(sheet) + dates(sheet) +
                  words(8, 24, "start",
                        unit + " above chart datum; " + year + ", by the clock " + zone_text(picture.zone))) +
        band(sheet) + window_bars(sheet) + curve(sheet, turns) + levels.lines() + of_moments + of_turns +
        levels.names() + caption(under);
    return element("svg",
                   {{"xmlns", "http://www.w3.org/2000/svg"},
                    {"class", "tide"},
                    {"role", "img"},
                    {"aria-label", "Level of the water, " + span},
                    {"width", px(width_px)},
                    {"height", px(whole_px)},
                    {"viewBox", "0 0 " + px(width_px) + " " + px(whole_px)},
                    {"font-family", "DejaVu Sans, Liberation Sans, Arial, sans-serif"}},
                   content) +
           "\n";
}

} // namespace swingroom
