#include "cli/boat_report.hpp"

#include "swingroom/base/version.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <string_view>

namespace swingroom::cli {
namespace {

using Row = std::vector<std::string>;

/// Numbers to the right, the last column (remarks) to the left.
std::string aligned(const std::vector<Row>& rows) {
    std::vector<std::size_t> widths;
    for (const Row& row : rows) {
        widths.resize(std::max(widths.size(), row.size()));
        for (std::size_t i = 0; i < row.size(); ++i)
            widths[i] = std::max(widths[i], row[i].size());
    }
    std::string text;
    for (const Row& row : rows) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i) {
            const std::string pad(widths[i] - row[i].size(), ' ');
            line += "  " + (i + 1 == widths.size() ? row[i] + pad : pad + row[i]);
        }
        text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    return text;
}

std::string markdown_table(const std::vector<Row>& rows) {
    std::string text;
    for (std::size_t r = 0; r < rows.size(); ++r) {
        for (const std::string& cell : rows[r])
            text += "| " + cell + " ";
        text += "|\n";
        if (r == 0) {
            for (std::size_t i = 0; i < rows[0].size(); ++i)
                text += i + 1 == rows[0].size() ? "| --- " : "| ---: ";
            text += "|\n";
        }
    }
    return text;
}

std::string remarks(const DepthLine& line) {
    std::string text;
    if (!line.any_way()) {
        float least_m = std::numeric_limits<float>::infinity();
        for (const WayDetail& way : line.ways)
            if (way.lie.out == Lie::Out::rode) least_m = std::min(least_m, way.lie.rode_m);
        text = "would need " + fixed_up(static_cast<double>(least_m), 0) + " m of rode";
    }
    if (line.beyond_windlass) text += (text.empty() ? "" : ", ") + std::string("beyond the windlass");
    if (line.beyond_recovery) text += (text.empty() ? "" : ", ") + std::string("fouled anchor out of reach");
    return text;
}

/// Nothing can read a wind limit that is not known as a number.
std::string limit_words(float limit_kn, int decimals, const char* not_known) {
    return std::isnan(limit_kn) ? not_known : fixed_down(static_cast<double>(limit_kn), decimals);
}

/// Rode, radius and wind limit of one way; dashes where it is not to be had.
void add_way(Row& row, const DepthLine& line, Way way) {
    const auto i = static_cast<std::size_t>(way);
    const Lie& lie = line.ways[i].lie;
    const bool out = lie.out != Lie::Out::none;
    row.push_back(out ? "-" : fixed_up(static_cast<double>(lie.rode_m), 1));
    if (way == Way::sinker) row.push_back(out ? "-" : fixed(line.ways[i].sinker_from_bow_m, 1));
    row.push_back(out ? "-" : fixed_up(static_cast<double>(lie.radius_m), 1));
    row.push_back(out ? "-" : limit_words(line.wind_limit_kn[i], 0, "?"));
}

std::vector<Row> depth_rows(const TackleTables& tables, const BoatReport& report) {
    std::vector<Row> rows;
    for (const DepthLine& line : report.depths) {
        Row row = {fixed(line.depth_m, 1)};
        add_way(row, line, Way::full);
        add_way(row, line, Way::short_scope);
        if (tables.boat().sinker) add_way(row, line, Way::sinker);
        row.push_back(fixed_up(line.hanging_load_n, 0));
        row.push_back(fixed_up(line.trip_line_m, 1));
        row.push_back(remarks(line));
        rows.push_back(row);
    }
    return rows;
}

std::vector<Row> text_heads(bool sinker) {
    Row ways = {"", "full", "scope", "", "short", "scope", ""};
    Row names = {"depth", "rode", "radius", "wind", "rode", "radius", "wind"};
    Row units = {"m", "m", "m", "kn", "m", "m", "kn"};
    if (sinker) {
        for (const char* text : {"with", "sinker", "", ""})
            ways.emplace_back(text);
        for (const char* text : {"rode", "at", "radius", "wind"})
            names.emplace_back(text);
        for (const char* text : {"m", "m", "m", "kn"})
            units.emplace_back(text);
    }
    for (const char* text : {"", "trip", ""})
        ways.emplace_back(text);
    for (const char* text : {"hangs", "line", ""})
        names.emplace_back(text);
    for (const char* text : {"N", "m", ""})
        units.emplace_back(text);
    return {ways, names, units};
}

Row markdown_head(bool sinker) {
    Row head = {"depth m", "full: rode m", "radius m", "wind kn", "short: rode m", "radius m", "wind kn"};
    if (sinker)
        for (const char* text : {"with sinker: rode m", "at m", "radius m", "wind kn"})
            head.emplace_back(text);
    for (const char* text : {"hangs N", "trip line m", "remarks"})
        head.emplace_back(text);
    return head;
}

/// In words, what a saving is beside the radius it is taken from.
std::string judged(double saved_m, double of_m) {
    if (saved_m < 0.05) return "nothing";
    if (saved_m < 0.5 || saved_m < 0.02 * of_m) return "next to nothing";
    return saved_m < 0.08 * of_m ? "a little" : "enough to matter";
}

std::vector<Row> worth_rows(const BoatReport& report) {
    std::vector<Row> rows;
    for (const SinkerWorth& worth : report.sinker_worths)
        rows.push_back(
            {fixed(worth.wind_kn, 0), fixed_up(worth.pull_n, 0),
             fixed_down(worth.radius_saved_as_it_is_m(), 2), fixed_up(worth.cut_rode_without_m, 1),
             fixed_up(worth.cut_rode_with_m, 1), fixed_down(worth.rode_saved_m(), 1),
             fixed_down(worth.radius_saved_when_cut_m(), 1),
             "saves " + judged(worth.radius_saved_as_it_is_m(), worth.held_reach_without_m) + " as it is, " +
                 judged(worth.radius_saved_when_cut_m(), worth.cut_reach_without_m) + " when cut"});
    return rows;
}

std::string place_words(const Sinker& sinker) {
    const std::string line = sinker.line_m > 0 ? ", at most " + fixed(sinker.line_m, 1) + " m" : "";
    switch (sinker.at) {
    case Sinker::At::metres:
        return fixed(sinker.at_value, 1) + " m down the rode";
    case Sinker::At::spans:
        return fixed(sinker.at_value, 2) + " spans down the rode" + line;
    case Sinker::At::best:
        break;
    }
    return "where it helps most" + line + " down the rode";
}

std::string water_words(const TackleTables& tables) {
    const WaterLevels& water = tables.conditions().water;
    return "Water " + fixed(water.low_m, 2) + " to " + fixed(water.high_m, 2) +
           " m above chart datum; depths are below it.";
}

std::string wind_words(const TackleTables& tables) {
    const Conditions& conditions = tables.conditions();
    std::string text = "Planned wind " + fixed(conditions.wind_kn, 1) + " kn: pull " +
                       fixed_up(tables.loads().pull_n(conditions.wind_kn), 0) + " N, ";
    const Boat& boat = tables.boat();
    if (!boat.load_table.empty())
        text += "by the boat's own table";
    else if (boat.hull.windage_area_m2 > 0)
        text += "on her windage, gusts " + fixed(boat.policy.gust, 2) + " times that";
    else
        text += "by the small-craft table for her length and beam, gusts in it";
    if (conditions.current_kn > 0) text += ", current of " + fixed(conditions.current_kn, 1) + " kn";
    return text + ".";
}

std::string rode_words(const Boat& boat) {
    std::string text;
    if (boat.rode.chain_m > 0)
        text = fixed(boat.rode.chain_m, 1) + " m of chain at " + fixed(boat.rode.chain_kg_per_m, 2) + " kg/m";
    if (boat.rode.rope_m > 0)
        text += (text.empty() ? "" : " and ") + fixed(boat.rode.rope_m, 1) + " m of rope";
    text = "Rode " + text;
    text += ", a mark every " + fixed(boat.rode.mark_m, 1) + " m.";
    if (boat.sinker)
        text += " Sinker " + fixed(boat.sinker->mass_kg, 1) + " kg, " + place_words(*boat.sinker) + ".";
    return text;
}

std::string holding_words(const TackleTables& tables) {
    std::string known, unknown;
    for (std::size_t i = 0; i < seabed_names.size(); ++i) {
        const auto seabed = static_cast<Seabed>(i);
        if (tables.holding_known(seabed))
            known += (known.empty() ? "" : ", ") + std::string(name(seabed)) + " " +
                     fixed_down(std::min(999.0, tables.holding_limit_kn(seabed)), 0) + " kn";
        else
            unknown += (unknown.empty() ? "" : ", ") + std::string(name(seabed));
    }
    std::string text;
    if (!known.empty()) text = "The anchor holds up to: " + known + ".";
    const bool none = std::isnan(tables.holding_limit_kn(Seabed::unknown));
    if (!unknown.empty())
        text += (text.empty() ? "" : " ") + std::string("Its holding is not known for ") + unknown +
                (none ? ": no wind limit is known there (?)." : ": there the least that is known counts.");
    return text;
}

std::string worth_words(const TackleTables& tables, const BoatReport& report) {
    if (report.sinker_worths.empty()) return {};
    return "What the sinker buys in " + fixed(report.sinker_depth_m, 1) +
           " m: metres of radius with the full scope's rode of " +
           fixed_up(report.sinker_worths.front().held_rode_m, 1) +
           " m left as it is, and metres of rode and radius\nwith the rode cut to an angle of pull of " +
           fixed(tables.boat().policy.pull_angle_deg, 1) + " degrees, but not below " +
           fixed(tables.boat().policy.short_scope, 1) + " times the span.";
}

constexpr const char* column_words =
    "Radius: the reach at low water, the boat, position and set. Wind: mean, with that much room, on the "
    "worst "
    "ground\nthat an anchor holds in. Hangs: anchor and chain under the roller at high water.";

std::string json_text(std::string_view text) {
    std::string out = "\"";
    constexpr std::string_view hex = "0123456789abcdef";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\')
            out += {'\\', c};
        else if (byte < 0x20)
            out += std::string("\\u00") + hex[byte >> 4] + hex[byte & 15];
        else
            out += c;
    }
    return out + "\"";
}

/// An object under way: keys with numbers, texts, or ready values.
class Json {
public:
    Json& number(std::string_view key, double value, int decimals = 3) {
        return raw(key, std::isfinite(value) ? fixed(value, decimals) : "null");
    }
    Json& text(std::string_view key, std::string_view value) { return raw(key, json_text(value)); }
    Json& raw(std::string_view key, const std::string& value) {
        out_ += (out_.empty() ? "" : ", ") + json_text(key) + ": " + value;
        return *this;
    }
    [[nodiscard]] std::string object() const { return "{" + out_ + "}"; }

private:
    std::string out_;
};

std::string json_list(const std::vector<std::string>& items) {
    std::string out;
    for (const std::string& item : items)
        out += (out.empty() ? "\n    " : ",\n    ") + item;
    return "[" + out + "\n  ]";
}

std::string json_way(const DepthLine& line, Way way) {
    const WayDetail& detail = line.ways[static_cast<std::size_t>(way)];
    const bool out = detail.lie.out != Lie::Out::none;
    Json json;
    json.raw("possible", out ? "false" : "true");
    if (detail.lie.out == Lie::Out::unavailable) return json.object();
    json.number("rode_m", static_cast<double>(detail.lie.rode_m));
    if (out) return json.object();
    json.raw("radius_m", fixed_up(static_cast<double>(detail.lie.radius_m), 2))
        .raw("ground_sweep_m", fixed_up(static_cast<double>(detail.lie.ground_m), 2))
        .raw("wind_limit_kn", limit_words(line.wind_limit_kn[static_cast<std::size_t>(way)], 1, "null"))
        .number("reach_m", detail.reach_m)
        .number("angle_deg", detail.angle_deg)
        .number("tension_n", detail.tension_n, 1)
        .number("grounded_m", detail.grounded_m);
    if (way == Way::sinker) json.number("sinker_at_m", detail.sinker_from_bow_m);
    return json.object();
}

} // namespace

BoatReport boat_report(const TackleTables& tables, double depth_m) {
    BoatReport report;
    report.depths = depth_table(tables);
    report.sinker_depth_m = depth_m;
    if (depth_m < 0) {
        constexpr double usual_m = 5;
        report.sinker_depth_m = report.depths.front().depth_m;
        for (const DepthLine& line : report.depths)
            if (line.any_way() &&
                std::abs(line.depth_m - usual_m) < std::abs(report.sinker_depth_m - usual_m))
                report.sinker_depth_m = line.depth_m;
    }
    if (tables.boat().sinker)
        for (double wind_kn = 5; wind_kn <= 30; wind_kn += 5)
            report.sinker_worths.push_back(sinker_worth(tables, report.sinker_depth_m, wind_kn));
    return report;
}

BoatParts boat_parts(const TackleTables& tables, const BoatReport& report) {
    BoatParts parts;
    parts.sentences = {water_words(tables), wind_words(tables), rode_words(tables.boat()), column_words,
                       holding_words(tables)};
    const auto add_way = [&](const char* way, bool with_sinker) {
        parts.depths.columns.push_back({way, "rode", "m"});
        if (with_sinker) parts.depths.columns.push_back({way, "at", "m"});
        parts.depths.columns.push_back({way, "radius", "m"});
        parts.depths.columns.push_back({way, "wind", "kn"});
    };
    parts.depths.caption = "Rode, radius and wind limit by depth below chart datum";
    parts.depths.columns = {{"", "depth", "m"}};
    add_way("full scope", false);
    add_way("short scope", false);
    if (tables.boat().sinker) add_way("short scope with sinker", true);
    parts.depths.columns.insert(parts.depths.columns.end(),
                                {{"", "hangs", "N"}, {"", "trip line", "m"}, {"", "remarks", ""}});
    parts.depths.rows = depth_rows(tables, report);
    parts.worth.caption = worth_words(tables, report);
    parts.worth.columns = {{"", "wind", "kn"},
                           {"", "pull", "N"},
                           {"rode left as it is", "saves", "m"},
                           {"rode cut to the angle of pull", "without", "m"},
                           {"rode cut to the angle of pull", "with", "m"},
                           {"rode cut to the angle of pull", "saves", "m"},
                           {"rode cut to the angle of pull", "saves radius", "m"},
                           {"", "in words", ""}};
    parts.worth.rows = worth_rows(report);
    return parts;
}

std::string boat_text(const TackleTables& tables, const BoatReport& report) {
    const bool sinker = tables.boat().sinker.has_value();
    std::string text = tables.boat().name + "\n" + water_words(tables) + "\n" + wind_words(tables) + "\n" +
                       rode_words(tables.boat()) + "\n\n";
    std::vector<Row> rows = text_heads(sinker);
    for (Row& row : depth_rows(tables, report))
        rows.push_back(std::move(row));
    text += aligned(rows);
    text += std::string("\n") + column_words + "\n";
    text += holding_words(tables) + "\n";
    if (!report.sinker_worths.empty()) {
        std::vector<Row> worth = {{"wind", "pull", "saves", "rode", "rode", "saves", "saves", ""},
                                  {"", "", "as it is", "without", "with", "cut: rode", "radius", ""},
                                  {"kn", "N", "m", "m", "m", "m", "m", ""}};
        for (Row& row : worth_rows(report))
            worth.push_back(std::move(row));
        text += "\n" + worth_words(tables, report) + "\n" + aligned(worth);
    }
    return text + "\n" + std::string(caution) + "\n";
}

std::string boat_markdown(const TackleTables& tables, const BoatReport& report) {
    std::vector<Row> rows = {markdown_head(tables.boat().sinker.has_value())};
    for (Row& row : depth_rows(tables, report))
        rows.push_back(std::move(row));
    std::string text = "# " + tables.boat().name + "\n\n" + water_words(tables) + " " + wind_words(tables) +
                       " " + rode_words(tables.boat()) + "\n\n" + markdown_table(rows) + "\n" +
                       holding_words(tables) + "\n";
    if (!report.sinker_worths.empty()) {
        std::vector<Row> worth = {{"wind kn", "pull N", "radius saved as it is m", "rode without m",
                                   "rode with m", "rode saved m", "radius saved when cut m", "that is"}};
        for (Row& row : worth_rows(report))
            worth.push_back(std::move(row));
        text += "\n" + worth_words(tables, report) + "\n\n" + markdown_table(worth);
    }
    return text + "\n" + std::string(caution) + "\n";
}

std::string boat_csv(const BoatReport& report) {
    std::string text = "depth_m";
    for (const Way way : all_ways) {
        const std::string suffix = "_" + std::string(name(way));
        text += ",rode" + suffix + "_m,radius" + suffix + "_m,wind_limit" + suffix + "_kn";
    }
    text += ",sinker_at_m,hanging_load_n,trip_line_m,beyond_windlass,beyond_recovery\n";
    for (const DepthLine& line : report.depths) {
        text += fixed(line.depth_m, 2);
        for (const Way way : all_ways) {
            const Lie& lie = line.ways[static_cast<std::size_t>(way)].lie;
            if (lie.out != Lie::Out::none) {
                text += ",,,";
                continue;
            }
            text += "," + fixed_up(static_cast<double>(lie.rode_m), 2) + "," +
                    fixed_up(static_cast<double>(lie.radius_m), 2) + "," +
                    limit_words(line.wind_limit_kn[static_cast<std::size_t>(way)], 1, "");
        }
        const WayDetail& sinker = line.ways[static_cast<std::size_t>(Way::sinker)];
        text += "," + (sinker.lie.out == Lie::Out::none ? fixed(sinker.sinker_from_bow_m, 2) : "");
        text += "," + fixed_up(line.hanging_load_n, 0) + "," + fixed_up(line.trip_line_m, 2) + "," +
                (line.beyond_windlass ? "1" : "0") + "," + (line.beyond_recovery ? "1" : "0") + "\n";
    }
    return text;
}

std::string boat_json(const TackleTables& tables, const BoatReport& report) {
    const Conditions& conditions = tables.conditions();
    std::vector<std::string> depths, worths;
    for (const DepthLine& line : report.depths) {
        Json json;
        json.number("depth_m", line.depth_m);
        for (const Way way : all_ways)
            json.raw(name(way), json_way(line, way));
        json.raw("hanging_load_n", fixed_up(line.hanging_load_n, 1))
            .raw("trip_line_m", fixed_up(line.trip_line_m, 2))
            .raw("beyond_windlass", line.beyond_windlass ? "true" : "false")
            .raw("beyond_recovery", line.beyond_recovery ? "true" : "false");
        depths.push_back(json.object());
    }
    for (const SinkerWorth& worth : report.sinker_worths)
        worths.push_back(Json()
                             .number("wind_kn", worth.wind_kn)
                             .number("pull_n", worth.pull_n, 1)
                             .number("held_rode_m", worth.held_rode_m)
                             .number("held_radius_saved_m", worth.radius_saved_as_it_is_m())
                             .number("cut_rode_without_m", worth.cut_rode_without_m)
                             .number("cut_rode_with_m", worth.cut_rode_with_m)
                             .number("cut_rode_saved_m", worth.rode_saved_m())
                             .number("cut_radius_saved_m", worth.radius_saved_when_cut_m())
                             .object());
    Json holding;
    for (std::size_t i = 0; i < seabed_names.size(); ++i)
        if (tables.holding_known(static_cast<Seabed>(i)))
            holding.raw(seabed_names[i],
                        fixed_down(std::min(999.0, tables.holding_limit_kn(static_cast<Seabed>(i))), 1));
    Json boat;
    for (const auto& [key, value] : tables.boat().as_read)
        boat.text(key, value);
    std::string text = "{\n  \"program\": " + json_text("swingroom " + std::string(version()));
    text += ",\n  \"name\": " + json_text(tables.boat().name);
    text += ",\n  \"boat\": " + boat.object();
    text += ",\n  \"conditions\": " + Json()
                                          .number("low_water_m", conditions.water.low_m)
                                          .number("high_water_m", conditions.water.high_m)
                                          .number("wind_kn", conditions.wind_kn)
                                          .number("current_kn", conditions.current_kn)
                                          .number("pull_n", tables.loads().pull_n(conditions.wind_kn), 1)
                                          .object();
    text += ",\n  \"holding_limit_kn\": " + holding.object();
    text += ",\n  \"depths\": " + json_list(depths);
    if (!worths.empty())
        text += ",\n  \"sinker\": " + Json().number("depth_m", report.sinker_depth_m).object() +
                ",\n  \"sinker_worth\": " + json_list(worths);
    return text + ",\n  \"caution\": " + json_text(caution) + "\n}\n";
}

} // namespace swingroom::cli
