#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/gear.hpp"
#include "swingroom/boat/loads.hpp"

#include "base/ini_lines.hpp"
#include "base/nearest_name.hpp"
#include "base/terminal_text.hpp"
#include "base/text_input.hpp"

#include <boost/program_options/errors.hpp>
#include <boost/program_options/parsers.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <iomanip>
#include <iterator>
#include <locale>
#include <map>
#include <span>
#include <sstream>

namespace swingroom {
namespace {

namespace po = boost::program_options;

constexpr std::array<std::string_view, 41> known_keys = {"hull.name",
                                                         "hull.kind",
                                                         "hull.length",
                                                         "hull.draught",
                                                         "hull.air_draught",
                                                         "hull.bow_roller",
                                                         "hull.beam",
                                                         "hull.windage_area",
                                                         "hull.drag_coefficient",
                                                         "hull.tender",
                                                         "hull.wetted_area",
                                                         "rode.chain",
                                                         "rode.chain_diameter",
                                                         "rode.chain_standard",
                                                         "rode.chain_mass",
                                                         "rode.rope",
                                                         "rode.rope_diameter",
                                                         "rode.rope_make",
                                                         "rode.rope_mass",
                                                         "rode.rope_stiffness",
                                                         "rode.mark",
                                                         "anchor.type",
                                                         "anchor.mass",
                                                         "sinker.mass",
                                                         "sinker.material",
                                                         "sinker.at",
                                                         "sinker.line",
                                                         "sounder.error",
                                                         "sounder.to_roller",
                                                         "windlass.rated_pull",
                                                         "crew.recovery_depth",
                                                         "policy.scope",
                                                         "policy.short_scope",
                                                         "policy.pull_angle",
                                                         "policy.under_keel",
                                                         "policy.wave_height",
                                                         "policy.gust",
                                                         "policy.position_allowance",
                                                         "policy.set_distance",
                                                         "policy.max_slope",
                                                         "policy.level_error"};

constexpr std::array<std::string_view, 10> known_sections = {
    "hull", "rode", "anchor", "sinker", "sounder", "windlass", "crew", "load", "policy", "anchor.holding"};

/// "hull.length" as the user sees it: "[hull] length".
std::string shown(const std::string& key) {
    const auto dot = key.find('.');
    return dot == std::string::npos ? key : "[" + key.substr(0, dot) + "] " + key.substr(dot + 1);
}

std::string number_text(double value) {
    std::ostringstream text;
    text.imbue(std::locale::classic());
    if (std::abs(value) >= 1e6) text << std::fixed << std::setprecision(0); // no exponent
    text << value;
    return text.str();
}

std::string force_text(double force_n) {
    return force_n >= 10000 ? number_text(force_n / 1000) + " kN" : number_text(force_n) + " N";
}

/// What a number may be followed by; the first of a list is what it is in without any.
struct Unit {
    std::string_view name;
    double factor;
};
// The foot is 0.3048 m, the pound 0.45359237 kg: the agreement on yard and pound of 1959.
constexpr std::array masses_by_length = {Unit{"kg/m", 1}, Unit{"lb/ft", 0.45359237 / 0.3048}};
constexpr std::array angles = {Unit{"deg", 1}};

/// The file's keys and values, each asked for by name and unit, with the file and key in every message.
class Keys {
public:
    Keys(std::istream& file, std::string source) : source_(std::move(source)) {
        std::string text(std::istreambuf_iterator<char>(file), {});
        // A byte order mark would become part of the first section's name.
        if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
        const std::string cure = "write [section] lines and key = value lines, comments after #";
        for (const IniSection& section : check_ini_lines(text, source_, cure)) {
            look_at(section);
        }
        try {
            std::istringstream in(text);
            const auto parsed = po::parse_config_file<char>(in, po::options_description(), true);
            for (const auto& option : parsed.options) {
                add(option.string_key, option.value.front());
            }
        } catch (const po::error& error) {
            throw InputError(source_, shortened(error.what()), cure);
        }
        if (order_.empty()) {
            throw InputError(source_, "no keys in it", "give at least [hull], [rode], [anchor]");
        }
    }

    [[nodiscard]] const std::vector<std::pair<std::string, std::string>>& in_order() const { return order_; }
    [[nodiscard]] bool has(const std::string& key) const { return values_.contains(key); }
    [[nodiscard]] bool has_section(const std::string& section) const {
        const auto at = values_.lower_bound(section + ".");
        return at != values_.end() && at->first.starts_with(section + ".");
    }
    [[nodiscard]] std::string where(const std::string& key) const { return source_ + ": " + shown(key); }
    [[noreturn]] void fail(const std::string& key, const std::string& wrong, const std::string& cure) const {
        throw InputError(where(key), wrong, cure);
    }
    [[nodiscard]] const std::string& text(const std::string& key) const {
        const auto at = values_.find(key);
        if (at == values_.end()) fail(key, "is missing", "give it");
        return at->second;
    }

    /// What a value must lie between, both ends allowed.
    struct Range {
        double least, most;
    };
    /// @param unit  for the message: the unit the range is in
    [[nodiscard]] double checked(const std::string& key, double value, Range range, const char* unit) const {
        if (!(value >= range.least && value <= range.most)) {
            fail(key, number_text(value) + unit + " is not possible",
                 "give " + number_text(range.least) + " to " + number_text(range.most) + unit);
        }
        return value;
    }
    [[nodiscard]] double length_m(const std::string& key, Range range) const {
        return checked(key, parse_length(text(key), where(key)).metres(), range, " m");
    }
    [[nodiscard]] double length_m(const std::string& key, Range range, double otherwise) const {
        return has(key) ? length_m(key, range) : otherwise;
    }
    [[nodiscard]] double area_m2(const std::string& key, Range range, double otherwise) const {
        return has(key) ? checked(key, parse_area(text(key), where(key)).square_metres(), range, " m2")
                        : otherwise;
    }
    /// A diameter, always with its unit: what is written without one is metres, and out of range. In mm.
    [[nodiscard]] double diameter_mm(const std::string& key, Range range) const {
        const double value = 1000 * parse_length(text(key), where(key)).metres();
        if (!(value >= range.least && value <= range.most)) {
            fail(key, "\"" + text(key) + "\" is not possible",
                 "give " + number_text(range.least) + " mm to " + number_text(range.most) +
                     " mm, with the unit");
        }
        return value;
    }
    [[nodiscard]] double mass_kg(const std::string& key, Range range) const {
        return checked(key, parse_mass(text(key), where(key)).kilograms(), range, " kg");
    }
    [[nodiscard]] double force_n(const std::string& key, Range range) const {
        const double value = parse_force(text(key), where(key)).newtons();
        if (!(value >= range.least && value <= range.most)) {
            fail(key, force_text(value) + " is not possible",
                 "give " + force_text(range.least) + " to " + force_text(range.most));
        }
        return value;
    }
    /// A number that may be followed by one of these units; without one it is in the first.
    [[nodiscard]] double number(const std::string& key, Range range, std::span<const Unit> units = {}) const {
        std::string_view value = text(key);
        double factor = 1;
        for (const Unit& unit : units) {
            if (value.ends_with(unit.name)) {
                value.remove_suffix(unit.name.size());
                factor = unit.factor;
                break;
            }
        }
        const std::string name = units.empty() ? "" : " " + std::string(units.front().name);
        return checked(key, factor * parse_number(value, where(key)), range, name.c_str());
    }
    [[nodiscard]] double number(const std::string& key, Range range, double otherwise,
                                std::span<const Unit> units = {}) const {
        return has(key) ? number(key, range, units) : otherwise;
    }
    /// A word out of a list; its place in it.
    [[nodiscard]] std::size_t word(const std::string& key,
                                   std::initializer_list<std::string_view> words) const {
        const auto at = std::find(words.begin(), words.end(), std::string_view(text(key)));
        if (at != words.end()) return static_cast<std::size_t>(at - words.begin());
        std::string all;
        for (const auto word : words) {
            all += (all.empty() ? "" : ", ") + std::string(word);
        }
        fail(key, "\"" + text(key) + "\" is not known", "give one of " + all);
    }

private:
    void add(const std::string& key, const std::string& value) {
        if (!known(key)) fail(shortened(key), "is no key of a boat file", hint(key));
        if (value.empty()) fail(key, "has no value", "give one, or leave the line out");
        if (!values_.emplace(key, value).second) fail(key, "is given twice", "leave one of them");
        order_.emplace_back(key, value);
    }
    static bool known(const std::string& key) {
        if (key.starts_with("load.")) return true;
        if (key.starts_with("anchor.holding.")) return seabed_named(key.substr(15)).has_value();
        return std::find(known_keys.begin(), known_keys.end(), key) != known_keys.end();
    }
    /// The key of that very name in another section.
    static std::optional<std::string> elsewhere(const std::string& key) {
        const std::string_view name = std::string_view(key).substr(key.rfind('.') + 1);
        for (const std::string_view known_key : known_keys) {
            if (edit_distance(known_key.substr(known_key.find('.') + 1), name) == 0) {
                return std::string(known_key);
            }
        }
        return std::nullopt;
    }
    void look_at(const IniSection& section) const {
        if (std::find(known_sections.begin(), known_sections.end(), section.name) != known_sections.end()) {
            return;
        }
        std::string all;
        for (const auto known_section : known_sections) {
            all += (all.empty() ? "[" : ", [") + std::string(known_section) + "]";
        }
        const auto nearest = nearest_name(section.name, known_sections);
        throw InputError(source_ + ":" + std::to_string(section.line),
                         "[" + shortened(section.name) + "] is no section of a boat file",
                         nearest.empty() ? "give one of " + all
                                         : "did you mean [" + std::string(nearest) + "]?");
    }
    static std::string hint(const std::string& key) {
        if (key.starts_with("anchor.holding.")) {
            std::string all;
            for (const auto* seabed : seabed_names) {
                all += (all.empty() ? "" : ", ") + std::string(seabed);
            }
            return "seabeds are " + all;
        }
        if (const auto other = elsewhere(key)) return "did you mean " + shown(*other) + "?";
        if (const auto nearest = nearest_name(key, known_keys); !nearest.empty()) {
            return "did you mean " + shown(std::string(nearest)) + "?";
        }
        return "see the boat file's description for what may stand there";
    }

    std::string source_;
    std::map<std::string, std::string> values_;
    std::vector<std::pair<std::string, std::string>> order_;
};

Hull read_hull(const Keys& keys) {
    Hull hull;
    if (keys.has("hull.kind") && keys.word("hull.kind", {"sail", "power"}) == 1) hull.kind = HullKind::power;
    hull.length_m = keys.length_m("hull.length", {2, 150});
    hull.draught_m = keys.length_m("hull.draught", {0.05, 20});
    hull.bow_roller_m = keys.length_m("hull.bow_roller", {0.1, 20});
    hull.air_draught_m = keys.length_m("hull.air_draught", {0.1, 120}, 0);
    hull.beam_m = keys.length_m("hull.beam", {0.5, 40}, 0);
    if (hull.beam_m > hull.length_m) keys.fail("hull.beam", "is more than the length", "mend one of them");
    hull.windage_area_m2 = keys.area_m2("hull.windage_area", {0.1, 2000}, 0);
    hull.drag_coefficient = keys.number("hull.drag_coefficient", {0.1, 3}, 1, {});
    hull.tender_length_m = keys.length_m("hull.tender", {0, 30}, 0);
    hull.wetted_area_m2 = keys.area_m2("hull.wetted_area", {0.5, 5000}, 0);
    return hull;
}

/// @param standard  set where the mass is looked up in one
double read_chain_mass(const Keys& keys, ChainStandard& standard) {
    if (keys.has("rode.chain_mass") && keys.has("rode.chain_diameter")) {
        keys.fail("rode.chain_mass", "is given beside chain_diameter", "leave one of them");
    }
    if (keys.has("rode.chain_mass")) return keys.number("rode.chain_mass", {0.2, 60}, masses_by_length);
    if (!keys.has("rode.chain_diameter")) {
        keys.fail("rode.chain_diameter", "is missing", "give it (10 mm), or chain_mass in kg/m");
    }
    const double diameter_mm = keys.diameter_mm("rode.chain_diameter", {3, 40});
    if (keys.has("rode.chain_standard") && keys.word("rode.chain_standard", {"din_766", "iso_4565"}) == 1) {
        standard = ChainStandard::iso_4565;
    }
    const auto mass = chain_kg_per_m(diameter_mm, standard);
    if (!mass) {
        keys.fail("rode.chain_diameter", number_text(diameter_mm) + " mm is not in the standard's table",
                  "give chain_mass in kg/m instead");
    }
    return *mass;
}

void read_rope(const Keys& keys, Rode& rode) {
    const bool by_diameter = keys.has("rode.rope_diameter");
    if (!by_diameter && !(keys.has("rode.rope_mass") && keys.has("rode.rope_stiffness"))) {
        keys.fail("rode.rope_diameter", "is missing", "give it (14 mm), or rope_mass and rope_stiffness");
    }
    if (by_diameter) {
        const double diameter_mm = keys.diameter_mm("rode.rope_diameter", {4, 80});
        const bool braided =
            keys.has("rode.rope_make") && keys.word("rode.rope_make", {"laid", "braided"}) == 1;
        rode.rope_kg_per_m = nylon_kg_per_m(diameter_mm);
        rode.rope_stiffness_n = nylon_stiffness_n(diameter_mm, braided ? RopeMake::braided : RopeMake::laid);
        // That laid rope stretches more is an estimate too, and the make perhaps nobody's word.
        rode.rope_stiffest_n = nylon_stiffness_n(diameter_mm, RopeMake::braided);
    }
    if (keys.has("rode.rope_mass")) {
        rode.rope_kg_per_m = keys.number("rode.rope_mass", {0.005, 10}, masses_by_length);
    }
    if (keys.has("rode.rope_stiffness")) {
        rode.rope_stiffness_n = rode.rope_stiffest_n = keys.force_n("rode.rope_stiffness", {1e3, 1e9});
    }
}

/// The unit of a length that is in feet or fathoms; of any other it is metres.
LengthUnit unit_of(std::string_view length) {
    for (const LengthUnit unit : {LengthUnit::foot, LengthUnit::fathom}) {
        if (length.ends_with(length_unit_names[static_cast<std::size_t>(unit)])) return unit;
    }
    return LengthUnit::metre;
}

Rode read_rode(const Keys& keys) {
    Rode rode;
    rode.chain_m = keys.length_m("rode.chain", {0, 1000});
    rode.rope_m = keys.length_m("rode.rope", {0, 1000}, 0);
    if (rode.aboard_m() <= 0) keys.fail("rode.chain", "no rode is aboard", "give chain, rope or both");
    if (rode.chain_m > 0) rode.chain_kg_per_m = read_chain_mass(keys, rode.chain_standard);
    if (rode.rope_m > 0) read_rope(keys, rode);
    if (rode.rope_m <= 0 && keys.has("rode.rope_diameter")) {
        keys.fail("rode.rope_diameter", "is given, but no rope", "give rope, its length, or leave this out");
    }
    rode.mark_m = keys.length_m("rode.mark", {0.5, 100}, 5);
    if (keys.has("rode.mark")) rode.mark_unit = unit_of(keys.text("rode.mark"));
    if (rode.mark_m > rode.aboard_m()) {
        keys.fail("rode.mark", "is more than the rode that is aboard", "give the distance between two marks");
    }
    return rode;
}

Anchor read_anchor(const Keys& keys) {
    Anchor anchor;
    anchor.type = static_cast<AnchorType>(
        keys.word("anchor.type", {"fluke", "plough", "claw", "scoop", "fisherman", "stockless"}));
    anchor.mass_kg = keys.mass_kg("anchor.mass", {0.5, 20000});
    std::array<std::optional<double>, seabed_names.size()> own_n{};
    for (std::size_t i = 0; i < seabed_names.size(); ++i) {
        const std::string key = "anchor.holding." + std::string(seabed_names[i]);
        if (!keys.has(key)) continue;
        own_n[i] = keys.force_n(key, {0, 1e7});
        // What lies on the ground holds a third of its weight by friction alone: kilonewtons were meant.
        if (*own_n[i] > 0 && *own_n[i] < anchor.mass_kg * gravity_m_per_s2 / 3) {
            keys.fail(key, number_text(*own_n[i]) + " N is less than a third of the anchor's own weight",
                      "did you mean " + number_text(*own_n[i]) + " kN?");
        }
    }
    anchor.holding_n = complete_holding(anchor.type, anchor.mass_kg, own_n);
    anchor.unknown_given = own_n[static_cast<std::size_t>(Seabed::unknown)].has_value();
    return anchor;
}

/// "8 m" is metres down the rode, "1.5 spans" a multiple of the span, "best" the place that needs least rode.
void read_place(const Keys& keys, Sinker& sinker) {
    const std::string key = "sinker.at";
    if (!keys.has(key)) return;
    const std::string& text = keys.text(key);
    if (text == "best") {
        sinker.at = Sinker::At::best;
        if (sinker.line_m <= 0) {
            keys.fail(key, "is best, but nothing says how far down the sinker can be slid",
                      "give line, the length of the line it is slid down on");
        }
        return;
    }
    for (const std::string_view unit : {"spans", "span"}) {
        if (!text.ends_with(unit)) continue;
        const std::string_view number = std::string_view(text).substr(0, text.size() - unit.size());
        sinker.at = Sinker::At::spans;
        sinker.at_value = keys.checked(key, parse_number(number, keys.where(key)), {0, 20}, " spans");
        return;
    }
    sinker.at = Sinker::At::metres;
    sinker.at_value = keys.length_m(key, {0, 1000});
    if (sinker.line_m > 0 && sinker.at_value > sinker.line_m) {
        keys.fail(key, "is farther down than line reaches", "give at most the line's length");
    }
}

std::optional<Sinker> read_sinker(const Keys& keys) {
    if (!keys.has_section("sinker")) return std::nullopt;
    constexpr std::array<double, 4> densities = {7850, 11340, 7200, 2400}; // handbooks; iron is cast iron
    Sinker sinker;
    sinker.mass_kg = keys.mass_kg("sinker.mass", {0.5, 500});
    if (keys.has("sinker.material")) {
        sinker.density_kg_per_m3 =
            densities[keys.word("sinker.material", {"steel", "lead", "iron", "concrete"})];
    }
    sinker.line_m = keys.length_m("sinker.line", {0.5, 1000}, 0);
    read_place(keys, sinker);
    return sinker;
}

Sounder read_sounder(const Keys& keys) {
    Sounder sounder;
    sounder.error_m = keys.length_m("sounder.error", {0, 5}, sounder.error_m);
    sounder.to_roller_m = keys.length_m("sounder.to_roller", {0.1, 150}, sounder.to_roller_m);
    return sounder;
}

Policy read_policy(const Keys& keys) {
    Policy policy;
    policy.scope = keys.number("policy.scope", {1.5, 30}, policy.scope, {});
    policy.short_scope =
        keys.number("policy.short_scope", {1.2, 30}, std::min(policy.short_scope, policy.scope), {});
    if (policy.short_scope > policy.scope) {
        keys.fail("policy.short_scope", "is more than scope", "give at most scope");
    }
    policy.pull_angle_deg = keys.number("policy.pull_angle", {0, 30}, policy.pull_angle_deg, angles);
    policy.under_keel_m = keys.length_m("policy.under_keel", {0, 50}, policy.under_keel_m);
    policy.wave_height_m = keys.length_m("policy.wave_height", {0, 20}, policy.wave_height_m);
    policy.gust = keys.number("policy.gust", {1, 3}, policy.gust, {});
    policy.position_allowance_m =
        keys.length_m("policy.position_allowance", {0, 1000}, policy.position_allowance_m);
    policy.set_distance_m = keys.length_m("policy.set_distance", {0, 500}, policy.set_distance_m);
    if (keys.has("policy.max_slope")) policy.max_slope = keys.number("policy.max_slope", {0, 10});
    policy.level_error_m = keys.length_m("policy.level_error", {0, 5}, policy.level_error_m);
    return policy;
}

std::vector<std::pair<double, double>> read_load_table(const Keys& keys) {
    std::vector<std::pair<double, double>> table;
    for (const auto& [key, value] : keys.in_order()) {
        if (!key.starts_with("load.")) continue;
        const double wind_kn =
            keys.checked(key, parse_speed(key.substr(5), keys.where(key)).knots(), {1, 200}, " kn");
        table.emplace_back(wind_kn, keys.force_n(key, {0.1, 1e7}));
    }
    std::sort(table.begin(), table.end());
    for (std::size_t i = 1; i < table.size(); ++i) {
        if (table[i].first <= table[i - 1].first || table[i].second <= table[i - 1].second) {
            throw InputError(keys.where("load.") + number_text(table[i].first),
                             "the pull does not grow with the wind", "mend the table");
        }
    }
    return table;
}

} // namespace

Boat read_boat(std::istream& in, const std::string& source) {
    const Keys keys(in, source);
    Boat boat;
    boat.name =
        keys.has("hull.name") ? keys.text("hull.name") : std::filesystem::path(source).stem().string();
    boat.hull = read_hull(keys);
    boat.rode = read_rode(keys);
    boat.anchor = read_anchor(keys);
    boat.sinker = read_sinker(keys);
    boat.sounder = read_sounder(keys);
    boat.policy = read_policy(keys);
    if (keys.has("windlass.rated_pull")) {
        boat.windlass_rated_pull_n = keys.force_n("windlass.rated_pull", {10, 1e7});
    }
    boat.recovery_depth_m = keys.length_m("crew.recovery_depth", {0.5, 200}, 0);
    boat.load_table = read_load_table(keys);
    boat.as_read = keys.in_order();
    const auto known = boat.anchor.holding_n.front();
    if (boat.rode.rope_m > 0 && !known) {
        const bool rock = keys.has("anchor.holding.rock") || keys.has("anchor.holding.coral");
        keys.fail("anchor.holding.sand",
                  std::string("no holding is known, so how far the rope may stretch is not either") +
                      (rock ? " (rock and coral do not count)" : ""),
                  "give holding.<seabed>, a force (8 kN), for at least one " +
                      std::string(rock ? "other seabed" : "seabed"));
    }
    load_curve(boat, 0); // complains where the boat is beyond the published table
    return boat;
}

Boat read_boat_file(const std::string& path) {
    std::istringstream in(read_text_input(path));
    return read_boat(in, path);
}

} // namespace swingroom
