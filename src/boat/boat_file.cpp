#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/gear.hpp"
#include "swingroom/boat/loads.hpp"

#include "base/text_input.hpp"
#include "boat/boat_file_values.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <locale>
#include <optional>
#include <sstream>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

Hull read_hull(BoatFileValues& values) {
    Hull hull;
    hull.kind = values.word("hull.kind") == 1 ? HullKind::power : HullKind::sail;
    hull.length_m = values.value("hull.length");
    hull.draught_m = values.value("hull.draught");
    hull.bow_roller_m = values.value("hull.bow_roller");
    hull.air_draught_m = values.value("hull.air_draught");
    hull.beam_m = values.value("hull.beam");
    if (hull.beam_m > hull.length_m) {
        values.fault_together({"hull.beam", "hull.length"}, "is more than the length", "mend one of them");
    }
    hull.windage_area_m2 = values.value("hull.windage_area");
    hull.drag_coefficient = values.value("hull.drag_coefficient");
    hull.tender_length_m = values.value("hull.tender");
    hull.wetted_area_m2 = values.value("hull.wetted_area");
    return hull;
}

void read_chain(BoatFileValues& values, Rode& rode) {
    const std::string diameter = "rode.chain_diameter", mass = "rode.chain_mass";
    if (values.word("rode.chain_standard") == 1) rode.chain_standard = ChainStandard::iso_4565;
    if (values.has(mass)) {
        if (values.has(diameter)) {
            values.fault_together({mass, diameter}, "is given beside chain_diameter", "leave one of them");
        }
        rode.chain_kg_per_m = values.value(mass);
        return;
    }
    const auto kg_per_m = chain_kg_per_m(values.value(diameter), rode.chain_standard);
    if (!kg_per_m && values.has(diameter)) {
        values.fault(diameter, values.text(diameter) + " is not in the standard's table",
                     "give chain_mass in kg/m instead");
    }
    rode.chain_kg_per_m = kg_per_m.value_or(0);
}

void read_rope(BoatFileValues& values, Rode& rode) {
    const std::string diameter = "rode.rope_diameter", mass = "rode.rope_mass",
                      stiffness = "rode.rope_stiffness";
    const bool braided = values.word("rode.rope_make") == 1;
    if (values.has(diameter) || !(values.has(mass) && values.has(stiffness))) {
        const double diameter_mm = values.value(diameter);
        rode.rope_kg_per_m = nylon_kg_per_m(diameter_mm);
        rode.rope_stiffness_n = nylon_stiffness_n(diameter_mm, braided ? RopeMake::braided : RopeMake::laid);
        // That laid rope stretches more is an estimate too, and the make perhaps nobody's word.
        rode.rope_stiffest_n = nylon_stiffness_n(diameter_mm, RopeMake::braided);
    }
    if (values.has(mass)) rode.rope_kg_per_m = values.value(mass);
    if (values.has(stiffness)) rode.rope_stiffness_n = rode.rope_stiffest_n = values.value(stiffness);
}

/// The unit of a length that is in feet or fathoms; of any other it is metres.
LengthUnit unit_of(std::string_view length) {
    for (const LengthUnit unit : {LengthUnit::foot, LengthUnit::fathom}) {
        if (length.ends_with(length_unit_names[static_cast<std::size_t>(unit)])) return unit;
    }
    return LengthUnit::metre;
}

Rode read_rode(BoatFileValues& values) {
    Rode rode;
    rode.chain_m = values.value("rode.chain");
    rode.rope_m = values.value("rode.rope");
    if (rode.aboard_m() <= 0) {
        values.fault_together({"rode.chain", "rode.rope"}, "no rode is aboard", "give chain, rope or both");
    }
    // Where the length is not told yet, the rest is asked for all the same.
    if (rode.chain_m > 0 || !values.sound("rode.chain")) read_chain(values, rode);
    if (rode.rope_m > 0 || !values.sound("rode.rope")) {
        read_rope(values, rode);
    } else if (values.has("rode.rope_diameter")) {
        values.fault("rode.rope_diameter", "is given, but no rope",
                     "give rope, its length, or leave this out");
    }
    rode.mark_m = values.value("rode.mark");
    if (values.has("rode.mark")) rode.mark_unit = unit_of(values.text("rode.mark"));
    if (rode.mark_m > rode.aboard_m()) {
        values.fault_together({"rode.mark", "rode.chain", "rode.rope"},
                              "is more than the rode that is aboard", "give the distance between two marks");
    }
    return rode;
}

/// Without a figure's own zeros: "9 N".
std::string plain_text(double value) {
    std::ostringstream text;
    text.imbue(std::locale::classic());
    text << value;
    return text.str();
}

Anchor read_anchor(BoatFileValues& values) {
    Anchor anchor;
    anchor.type = static_cast<AnchorType>(values.word("anchor.type"));
    anchor.mass_kg = values.value("anchor.mass");
    std::array<std::optional<double>, seabed_names.size()> own_n{};
    for (std::size_t i = 0; i < seabed_names.size(); ++i) {
        const std::string key = "anchor.holding." + std::string(seabed_names[i]);
        if (!values.has(key)) continue;
        own_n[i] = values.value(key);
        // What lies on the ground holds a third of its weight by friction alone: kilonewtons were meant.
        if (*own_n[i] > 0 && *own_n[i] < anchor.mass_kg * gravity_m_per_s2 / 3) {
            values.fault_together({key, "anchor.mass"},
                                  plain_text(*own_n[i]) +
                                      " N is less than a third of the anchor's own weight",
                                  "did you mean " + plain_text(*own_n[i]) + " kN?");
        }
    }
    anchor.holding_n = complete_holding(anchor.type, anchor.mass_kg, own_n);
    anchor.unknown_given = own_n[static_cast<std::size_t>(Seabed::unknown)].has_value();
    return anchor;
}

/// "8 m" is metres down the rode, "1.5 spans" a multiple of the span, "best" the place that needs least rode.
void read_place(BoatFileValues& values, Sinker& sinker) {
    const std::string key = "sinker.at", line = "sinker.line";
    const BoatKey& row = *boat_key(key);
    const std::string text = values.has(key) ? values.text(key) : std::string(row.preset);
    if (text == "best") {
        sinker.at = Sinker::At::best;
        if (sinker.line_m <= 0) {
            values.fault_together({key, line},
                                  "is best, but nothing says how far down the sinker can be slid",
                                  "give line, the length of the line it is slid down on");
        }
        return;
    }
    for (const std::string_view unit : {"spans", "span"}) {
        if (!text.ends_with(unit)) continue;
        const std::string_view number = std::string_view(text).substr(0, text.size() - unit.size());
        sinker.at = Sinker::At::spans;
        sinker.at_value = values.read(key, number, BoatValue::number, {0, 20, "spans"});
        return;
    }
    sinker.at = Sinker::At::metres;
    sinker.at_value = values.read(key, text, BoatValue::length, {0, 1000, "m"});
    if (sinker.line_m > 0 && sinker.at_value > sinker.line_m) {
        values.fault_together({key, line}, "is farther down than line reaches",
                              "give at most the line's length");
    }
}

std::optional<Sinker> read_sinker(BoatFileValues& values) {
    if (!values.has_section("sinker")) return std::nullopt;
    constexpr std::array<double, 4> densities = {7850, 11340, 7200, 2400}; // handbooks; iron is cast iron
    Sinker sinker;
    sinker.mass_kg = values.value("sinker.mass");
    sinker.density_kg_per_m3 = densities.at(values.word("sinker.material"));
    sinker.line_m = values.value("sinker.line");
    read_place(values, sinker);
    return sinker;
}

Sounder read_sounder(BoatFileValues& values) {
    Sounder sounder;
    sounder.error_m = values.value("sounder.error");
    sounder.to_roller_m = values.value("sounder.to_roller");
    if (values.has("sounder.transducer")) sounder.transducer_m = values.value("sounder.transducer");
    return sounder;
}

Policy read_policy(BoatFileValues& values) {
    Policy policy;
    policy.scope = values.value("policy.scope");
    policy.short_scope = values.value("policy.short_scope");
    if (!values.has("policy.short_scope")) policy.short_scope = std::min(policy.short_scope, policy.scope);
    if (policy.short_scope > policy.scope) {
        values.fault_together({"policy.short_scope", "policy.scope"}, "is more than scope",
                              "give at most scope");
    }
    policy.pull_angle_deg = values.value("policy.pull_angle");
    policy.under_keel_m = values.value("policy.under_keel");
    if (values.has("policy.under_keel_under_way")) {
        policy.under_keel_under_way_m = values.value("policy.under_keel_under_way");
    }
    policy.wave_height_m = values.value("policy.wave_height");
    policy.gust = values.value("policy.gust");
    policy.position_allowance_m = values.value("policy.position_allowance");
    policy.set_distance_m = values.value("policy.set_distance");
    if (values.has("policy.max_slope")) policy.max_slope = values.value("policy.max_slope");
    policy.level_error_m = values.value("policy.level_error");
    return policy;
}

std::vector<std::pair<double, double>> read_load_table(BoatFileValues& values) {
    struct Line {
        double wind_kn, pull_n;
        std::string key;
        auto operator<=>(const Line&) const = default;
    };
    std::vector<Line> lines;
    bool sound = true;
    for (const auto& [key, value] : values.in_order()) {
        if (!key.starts_with("load.")) continue;
        const double wind_kn = values.read(key, key.substr(5), BoatValue::speed, {1, 200, "kn"});
        lines.push_back({wind_kn, values.value(key), key});
        sound = sound && values.sound(key);
    }
    std::sort(lines.begin(), lines.end());
    std::vector<std::pair<double, double>> table;
    for (const Line& line : lines) {
        const bool grows =
            table.empty() || (line.wind_kn > table.back().first && line.pull_n > table.back().second);
        if (sound && !grows) values.fault(line.key, "the pull does not grow with the wind", "mend the table");
        table.emplace_back(line.wind_kn, line.pull_n);
    }
    return table;
}

/// How far the rope may stretch is not known where nobody knows what the anchor holds.
void require_holding_for_rope(BoatFileValues& values, const Boat& boat) {
    if (boat.rode.rope_m <= 0 || boat.anchor.holding_n.front()) return;
    const bool rock = values.has("anchor.holding.rock") || values.has("anchor.holding.coral");
    values.fault_together({"anchor.holding.sand", "anchor.type", "anchor.mass", "rode.rope"},
                          std::string("no holding is known, so how far the rope may stretch is not either") +
                              (rock ? " (rock and coral do not count)" : ""),
                          "give holding.<seabed>, a force (8 kN), for at least one " +
                              std::string(rock ? "other seabed" : "seabed"));
}

} // namespace

Boat read_boat(std::istream& in, const std::string& source) {
    BoatFileValues values(in, source);
    Boat boat;
    boat.name =
        values.has("hull.name") ? values.text("hull.name") : std::filesystem::path(source).stem().string();
    boat.hull = read_hull(values);
    boat.rode = read_rode(values);
    boat.anchor = read_anchor(values);
    boat.sinker = read_sinker(values);
    boat.sounder = read_sounder(values);
    boat.policy = read_policy(values);
    boat.windlass_rated_pull_n = values.value("windlass.rated_pull");
    boat.recovery_depth_m = values.value("crew.recovery_depth");
    boat.load_table = read_load_table(values);
    boat.as_read = values.in_order();
    require_holding_for_rope(values, boat);
    values.throw_faults();
    load_curve(boat, 0); // complains where the boat is beyond the published table
    return boat;
}

Boat read_boat_file(const std::string& path) {
    std::istringstream in(read_text_input(path));
    return read_boat(in, path);
}

} // namespace swingroom
