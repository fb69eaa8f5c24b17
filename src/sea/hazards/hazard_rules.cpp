#include "swingroom/sea/hazard_rules.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/room/hazard.hpp"

#include "base/text_input.hpp"
#include "sea/hazards/default_rules.hpp"

#include <boost/program_options/parsers.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <istream>
#include <limits>
#include <sstream>
#include <system_error>

namespace swingroom {
namespace {

namespace po = boost::program_options;

constexpr std::string_view blanks = " \t\r\n";

std::string_view trimmed(std::string_view text) {
    const auto begin = text.find_first_not_of(blanks);
    if (begin == std::string_view::npos) return {};
    return text.substr(begin, text.find_last_not_of(blanks) - begin + 1);
}

/// The parts of a text between any of the separators, trimmed, empty ones left out.
std::vector<std::string> parts_of(std::string_view text, std::string_view separators) {
    std::vector<std::string> parts;
    while (!text.empty()) {
        const auto end = std::min(text.find_first_of(separators), text.size());
        if (const auto part = trimmed(text.substr(0, end)); !part.empty()) parts.emplace_back(part);
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return parts;
}

struct EffectName {
    std::string_view name;
    Effects bits;
};
constexpr std::array effect_names = {EffectName{"hull", effect::hull},
                                     EffectName{"ground", effect::ground},
                                     EffectName{"drop", effect::drop},
                                     EffectName{"trip_line", effect::trip_line},
                                     EffectName{"warn", effect::warn},
                                     EffectName{"survey", effect::survey},
                                     EffectName{"poor_ground", effect::poor_ground},
                                     EffectName{"note", effect::note},
                                     EffectName{"anchorage", effect::anchorage},
                                     EffectName{"none", 0}};
constexpr std::string_view effect_list =
    "hull, ground, drop, trip_line, warn, survey, poor_ground, note, anchorage or none";

struct GeometryName {
    std::string_view name;
    RuleGeometry geometry;
};
constexpr std::array geometry_names = {GeometryName{"point", RuleGeometry::point},
                                       GeometryName{"line", RuleGeometry::line},
                                       GeometryName{"area", RuleGeometry::area}};

/// Reads rules line by line, so that each message can say which line it means: Boost.Program_options takes
/// each line apart, but keeps no count of them.
class RuleReader {
public:
    RuleReader(std::istream& in, std::string source) : in_(in), source_(std::move(source)) {}

    std::vector<HazardRule> read() {
        std::string line;
        while (std::getline(in_, line)) {
            ++line_;
            if (line_ == 1 && line.starts_with("\xEF\xBB\xBF")) line.erase(0, 3); // a byte order mark
            take(line);
        }
        if (in_.bad()) throw IoError(source_, "cannot be read to its end");
        finish_rule();
        if (rules_.empty()) {
            throw InputError(source_, "holds no rule", "give at least one, as `swingroom rules` shows");
        }
        return std::move(rules_);
    }

private:
    [[noreturn]] void fail(int line, const std::string& wrong, const std::string& cure) const {
        throw InputError(source_ + ":" + std::to_string(line), wrong, cure);
    }

    void take(const std::string& line) {
        const auto text = trimmed(line);
        if (text.starts_with('[')) {
            const auto end = text.find(']');
            const auto rest = end == std::string_view::npos ? text : trimmed(text.substr(end + 1));
            if (end == std::string_view::npos || !(rest.empty() || rest.starts_with('#'))) {
                fail(line_, "a section name must stand between [ and ]", "write it as [cable]");
            }
            start_rule(std::string(trimmed(text.substr(1, end - 1))));
            return;
        }
        for (const auto& option : parsed(line)) {
            set(option.string_key, std::string(trimmed(option.value.front())), line);
        }
    }

    [[nodiscard]] std::vector<po::option> parsed(const std::string& line) const {
        std::istringstream one(line);
        try {
            return po::parse_config_file(one, po::options_description(), true).options;
        } catch (const po::error&) {
            fail(line_, "this line is no \"key = value\"",
                 "write one, or begin the line with # to make it a comment");
        }
    }

    void start_rule(std::string name) {
        finish_rule();
        if (name.empty()) fail(line_, "a rule has no name", "name it, as in [cable]");
        for (const HazardRule& rule : rules_) {
            if (rule.name == name) {
                fail(line_,
                     "the rule [" + name + "] is given twice, first on line " + std::to_string(rule.line),
                     "give each rule a name of its own");
            }
        }
        rule_ = HazardRule{};
        rule_->name = std::move(name);
        rule_->line = line_;
        seen_.clear();
    }

    void finish_rule() {
        if (!rule_) return;
        const std::string of = "the rule [" + rule_->name + "] ";
        const auto given = [&](const char* key) {
            return std::find(seen_.begin(), seen_.end(), key) != seen_.end();
        };
        if (!given("layers")) fail(rule_->line, of + "names no layers", "add layers = NAME");
        const bool ground_only = !given("effects") && rule_->seabed;
        if (!given("effects") && !ground_only) {
            fail(rule_->line, of + "has no effects", "add effects = " + std::string(effect_list));
        }
        if (!(rule_->least_depth.empty() && rule_->clearance.empty()) &&
            (rule_->effects & effect::hull) == 0) {
            fail(rule_->line, of + "has a least depth or a clearance, but no effect on the hull",
                 "add hull to its effects, or take the other line out");
        }
        if (rule_->under_way_m && (rule_->effects & effect::hull) == 0) {
            fail(rule_->line, of + "says how near she may come under way, but has no effect on the hull",
                 "add hull to its effects, or take under_way out");
        }
        if (given("margin") && rule_->under_way_m && *rule_->under_way_m > rule_->margin_m) {
            fail(rule_->line, of + "keeps her farther off under way than its margin does at anchor",
                 "give an under_way of no more than the margin");
        }
        if (!given("margin") && !rule_->inert()) {
            fail(rule_->line, of + "has no margin", "add margin = 0 m, or more");
        }
        rules_.push_back(std::move(*rule_));
        rule_.reset();
    }

    void set(const std::string& key, const std::string& value, const std::string& line) {
        if (!rule_) {
            fail(line_, "\"" + key + "\" stands before any rule",
                 "begin a rule with its name, as in [cable]");
        }
        if (std::find(seen_.begin(), seen_.end(), key) != seen_.end()) {
            fail(line_, "\"" + key + "\" is given twice in [" + rule_->name + "]", "keep one of them");
        }
        if (value.empty() && key != "where") {
            fail(line_, "\"" + key + "\" has no value", "give one, or remove the line");
        }
        seen_.push_back(key);
        if (key == "layers") {
            rule_->layers = parts_of(value, ",");
            if (rule_->layers.empty()) {
                fail(line_, "\"layers\" names none", "give names, with commas between them");
            }
        } else if (key == "codes") {
            for (const std::string& condition : parts_of(value, ",")) {
                rule_->codes.push_back(code_condition(condition));
            }
        } else if (key == "geometry") {
            set_geometry(value);
        } else if (key == "words") {
            rule_->words = parts_of(value, ", \t");
        } else if (key == "where") {
            set_where(value, line);
        } else if (key == "may_lack") {
            rule_->may_lack = parts_of(value, ",");
        } else if (key == "effects") {
            set_effects(value);
        } else if (key == "margin") {
            rule_->margin_m =
                parse_length(value, source_ + ":" + std::to_string(line_) + ": margin").metres();
            if (!(rule_->margin_m >= 0)) fail(line_, "margin is " + value, "give 0 m or more");
        } else if (key == "under_way") {
            set_under_way(value);
        } else if (key == "radius") {
            rule_->radius = value;
        } else if (key == "least_depth") {
            rule_->least_depth = parts_of(value, ",");
        } else if (key == "clearance") {
            rule_->clearance = parts_of(value, ",");
        } else if (key == "restriction") {
            if (value != "yes" && value != "no") {
                fail(line_, "restriction is \"" + value + "\"", "write yes or no");
            }
            rule_->restriction = value == "yes";
        } else if (key == "seabed") {
            set_seabed(value);
        } else if (key == "source") {
            rule_->source = value;
        } else {
            fail(line_, "unknown key \"" + key + "\"",
                 "use layers, codes, geometry, words, where, may_lack, effects, margin, under_way, radius, "
                 "least_depth, clearance, restriction, seabed or source");
        }
    }

    /// "RESTRN 1 7", "CATOBS not 7 9", "CATREA none", "DRVAL1 given", "NATSUR unreadable"
    [[nodiscard]] CodeCondition code_condition(const std::string& text) const {
        using Wants = CodeCondition::Wants;
        const std::vector<std::string> words = parts_of(text, " \t");
        CodeCondition condition{words.front(), Wants::any_of, {}};
        const auto refuse = [&] {
            fail(line_, "\"" + text + "\" is no condition on codes",
                 "write an attribute and its codes, as in RESTRN 1 7, or CATOBS not 7 9, CATREA none, DRVAL1 "
                 "given, NATSUR unreadable");
        };
        if (words.size() < 2) refuse();
        if (const auto wants = wanted_in_words(words[1])) {
            condition.wants = *wants;
            if (words.size() > 2) refuse();
            return condition;
        }
        const bool none_of = words[1] == "not";
        if (none_of) condition.wants = Wants::none_of;
        for (std::size_t i = none_of ? 2 : 1; i < words.size(); ++i) {
            int code = 0;
            const auto [end, error] =
                std::from_chars(words[i].data(), words[i].data() + words[i].size(), code);
            if (error != std::errc() || end != words[i].data() + words[i].size()) refuse();
            condition.codes.push_back(code);
        }
        if (condition.codes.empty()) refuse();
        return condition;
    }

    static std::optional<CodeCondition::Wants> wanted_in_words(std::string_view word) {
        if (word == "none") return CodeCondition::Wants::absent;
        if (word == "given") return CodeCondition::Wants::given;
        if (word == "unreadable") return CodeCondition::Wants::unreadable;
        return std::nullopt;
    }

    void set_where(const std::string& value, const std::string& line) {
        // A # inside quotes would cut the expression short without a word, and perhaps still leave a valid
        // one.
        const auto hash = line.find('#');
        const auto quotes = std::count(
            line.begin(), line.begin() + static_cast<std::ptrdiff_t>(std::min(hash, line.size())), '\'');
        if (hash != std::string::npos && quotes % 2 != 0) {
            fail(line_, "# begins a comment, inside quotes too", "compare with LIKE and _ in the place of #");
        }
        rule_->where = value;
    }

    void set_geometry(const std::string& value) {
        const auto* const found = std::find_if(geometry_names.begin(), geometry_names.end(),
                                               [&](const GeometryName& g) { return g.name == value; });
        if (found == geometry_names.end()) {
            fail(line_, "unknown geometry \"" + value + "\"", "use point, line or area");
        }
        rule_->geometry = found->geometry;
    }

    void set_effects(const std::string& value) {
        const auto names = parts_of(value, ", \t");
        for (const std::string& name : names) {
            const auto* const found = std::find_if(effect_names.begin(), effect_names.end(),
                                                   [&](const EffectName& e) { return e.name == name; });
            if (found == effect_names.end()) {
                fail(line_, "unknown effect \"" + name + "\"", "use " + std::string(effect_list));
            }
            if (found->bits == 0 && names.size() > 1) {
                fail(line_, "\"none\" stands beside other effects", "keep one or the other");
            }
            rule_->effects = static_cast<Effects>(rule_->effects | found->bits);
        }
    }

    void set_under_way(const std::string& value) {
        if (value == "passes") {
            rule_->under_way_m = -std::numeric_limits<double>::infinity();
            return;
        }
        const std::string where = source_ + ":" + std::to_string(line_) + ": under_way";
        rule_->under_way_m = parse_length(value, where).metres();
        if (!(*rule_->under_way_m >= 0)) {
            fail(line_, "under_way is " + value, "give 0 m or more, or write passes");
        }
    }

    void set_seabed(const std::string& value) {
        rule_->seabed = seabed_named(value);
        if (rule_->seabed) return;
        std::string known;
        for (const auto* name : seabed_names) {
            known += (known.empty() ? "" : ", ") + std::string(name);
        }
        fail(line_, "unknown seabed \"" + value + "\"", "use one of " + known);
    }

    std::istream& in_;
    std::string source_;
    int line_ = 0;
    std::optional<HazardRule> rule_;
    std::vector<std::string> seen_; // keys of the rule at hand
    std::vector<HazardRule> rules_;
};

} // namespace

std::vector<HazardRule> read_hazard_rules(std::istream& in, const std::string& source) {
    return RuleReader(in, source).read();
}

std::vector<HazardRule> read_hazard_rules_file(const std::string& path) {
    std::istringstream in(read_text_input(path));
    return read_hazard_rules(in, path);
}

void replace_margin(HazardRule& rule, double margin_m) {
    rule.replaced_margin_m = rule.margin_m;
    rule.margin_m = margin_m;
    rule.source = "set for this run in place of " +
                  length_text(*rule.replaced_margin_m, Rounded::up, Measures{}) +
                  (rule.source.empty() ? "" : ", which is by: " + rule.source);
}

std::string_view default_hazard_rules_text() { return default_rules; }

std::vector<HazardRule> default_hazard_rules() {
    std::istringstream in((std::string(default_rules)));
    std::vector<HazardRule> rules = read_hazard_rules(in, "built-in rules");
    for (HazardRule& rule : rules) {
        rule.built_in = true;
    }
    return rules;
}

} // namespace swingroom
