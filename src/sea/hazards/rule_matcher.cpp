#include "sea/hazards/rule_matcher.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/room/hazard.hpp"

#include "sea/files/attributes.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdint>
#include <new>
#include <string_view>

namespace swingroom {
namespace {

/// Whether a name fits a pattern of * and ?, ASCII letter case ignored.
bool fits(std::string_view pattern, std::string_view name) {
    const auto lower = [](char c) { return std::tolower(static_cast<unsigned char>(c)); };
    std::size_t p = 0, n = 0, star = std::string_view::npos, resume = 0;
    while (n < name.size()) {
        if (p < pattern.size() && pattern[p] == '*') {
            star = p++;
            resume = n;
        } else if (p < pattern.size() && (pattern[p] == '?' || lower(pattern[p]) == lower(name[n]))) {
            ++p;
            ++n;
        } else if (star != std::string_view::npos) {
            p = star + 1;
            n = ++resume;
        } else {
            return false;
        }
    }
    return pattern.find_first_not_of('*', p) == std::string_view::npos;
}

/// Attributes in which a chart speaks in words: INFORM (102) and TXTDSC (158) of IHO S-57 appendix A, the
/// name of a text, and the same in the producer's own language.
constexpr std::array text_attributes = {"INFORM", "NINFOM", "TXTDSC", "NTXTDS"};

/// A letter or a digit; in UTF-8 and latin-1 all beyond ASCII counts as a letter.
bool is_of_word(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte >= 0x80 || std::isalnum(byte) != 0;
}

bool says_any(std::string_view text, const std::vector<std::string>& words) {
    while (!text.empty()) {
        const auto begin = std::find_if(text.begin(), text.end(), is_of_word);
        const auto end = std::find_if_not(begin, text.end(), is_of_word);
        const std::string_view word(begin, end);
        if (!word.empty() && std::any_of(words.begin(), words.end(),
                                         [&](const std::string& wanted) { return fits(wanted, word); })) {
            return true;
        }
        text = std::string_view(end, text.end());
    }
    return false;
}

bool names_any(const HazardRule& rule, const std::vector<std::string>& names) {
    return std::any_of(rule.layers.begin(), rule.layers.end(), [&](const std::string& pattern) {
        return std::any_of(names.begin(), names.end(),
                           [&](const std::string& name) { return fits(pattern, name); });
    });
}

bool holds(const CodeCondition& wanted, const Codes& codes) {
    switch (wanted.wants) {
    case CodeCondition::Wants::any_of:
        return codes.has_any(wanted.codes);
    case CodeCondition::Wants::none_of:
        return !codes.has_any(wanted.codes);
    case CodeCondition::Wants::absent:
        return !codes.given;
    case CodeCondition::Wants::given:
        return codes.given;
    case CodeCondition::Wants::unreadable:
        return codes.given && !codes.readable;
    }
    return false;
}

/// Several of a kind, and several kinds together, are of the one with the most dimensions.
bool is_of(RuleGeometry wanted, const OGRGeometry* geometry) {
    if (wanted == RuleGeometry::any || geometry == nullptr) return true;
    switch (geometry->getDimension()) {
    case 0:
        return wanted == RuleGeometry::point;
    case 1:
        return wanted == RuleGeometry::line;
    default:
        return wanted == RuleGeometry::area;
    }
}

/// Whether a danger could be missed without it.
bool matters(const HazardRule& rule) {
    constexpr Effects forbids = effect::hull | effect::ground | effect::drop;
    return (rule.effects & forbids) != 0 || rule.seabed;
}

} // namespace

RuleMatcher::RuleMatcher(const std::vector<HazardRule>& rules, const std::vector<std::string>& names,
                         OGRFeatureDefn& definition, const std::string& where)
    : own_definition_(&definition) {
    std::vector<const HazardRule*> named;
    for (const HazardRule& rule : rules) {
        if (names_any(rule, names)) named.push_back(&rule);
    }
    for (const HazardRule* const rule : named) {
        if (!rule->of_every_layer()) {
            for (const std::string& attribute : rule->may_lack) {
                // Of the built-in rules it matters where they find what forbids.
                may_lack(attribute, !rule->built_in || matters(*rule));
            }
        }
    }
    for (const HazardRule* const rule : named) {
        if (!rule->of_every_layer()) {
            known_ = true;
            own_ = own_ && !rule->built_in;
            inert_ = inert_ || rule->inert();
        }
        add(*rule, where);
    }
    find_lacking();
    std::erase_if(matches_, [](const Match& match) { return match.rule->inert(); });
}

void RuleMatcher::add(const HazardRule& rule, const std::string& where) {
    Match match{&rule, {}, {}, nullptr};
    if (!rule.words.empty()) {
        for (const char* const attribute : text_attributes) {
            const int field = own_definition_->GetFieldIndex(attribute);
            if (field >= 0) match.texts.push_back(field);
        }
        if (match.texts.empty() && rule.of_every_layer()) return;
    }
    for (const CodeCondition& condition : rule.codes) {
        match.conditions.push_back({&condition, own_definition_->GetFieldIndex(condition.attribute.c_str())});
    }
    const bool lacks = std::any_of(match.conditions.begin(), match.conditions.end(),
                                   [](const Condition& condition) { return condition.field < 0; });
    // What is said of every layer is meant for those that have the attributes.
    if (rule.of_every_layer() && lacks) return;
    if (!rule.where.empty()) {
        match.query = compiled(rule, where);
        if (!match.query) return;
    }
    matches_.push_back(std::move(match));
}

void RuleMatcher::may_lack(const std::string& name, bool told) {
    const OGRFeatureDefn* const known = as_text_ ? as_text_.get() : own_definition_;
    if (known->GetFieldIndex(name.c_str()) >= 0) return;
    const auto add = [&](Definition& definition, OGRFieldType type) {
        if (!definition) {
            definition.reset(own_definition_->Clone());
            definition->Reference(); // else the first feature to go would take it along
        }
        const OGRFieldDefn field(name.c_str(), type);
        definition->AddFieldDefn(&field);
    };
    add(as_text_, OFTString);
    add(as_numbers_, OFTReal);
    if (told) lacking_.push_back(name);
}

std::unique_ptr<OGRFeatureQuery> RuleMatcher::compiled(const HazardRule& rule,
                                                       const std::string& where) const {
    auto query = std::make_unique<OGRFeatureQuery>();
    if (as_text_) {
        const GdalMessages quiet;
        for (const Definition* definition : {&as_text_, &as_numbers_}) {
            if (query->Compile(definition->get(), rule.where.c_str()) == OGRERR_NONE) return query;
        }
    }
    const GdalMessages messages;
    OGRFeatureDefn* const definition = as_text_ ? as_text_.get() : own_definition_;
    if (query->Compile(definition, rule.where.c_str()) == OGRERR_NONE && !messages.failed()) return query;
    if (rule.of_every_layer()) return nullptr;
    throw InputError(where,
                     "the expression of rule [" + rule.name + "], line " + std::to_string(rule.line) +
                         " of the rules, does not fit this layer (" + messages.failure() + ")",
                     "mend \"where = " + rule.where +
                         "\", or name in may_lack what the layer may be without");
}

/// Codes that are not there matter where a rule asks for one of them or minds that there is none, unless
/// every feature of the class is a hazard by another rule anyway.
void RuleMatcher::find_lacking() {
    using Wants = CodeCondition::Wants;
    const auto takes_all = [](const Match& match) {
        return !match.query && match.rule->words.empty() && match.rule->geometry == RuleGeometry::any &&
               std::all_of(match.conditions.begin(), match.conditions.end(), [](const Condition& condition) {
                   return condition.field < 0 && condition.wanted->wants == Wants::none_of;
               });
    };
    if (std::any_of(matches_.begin(), matches_.end(),
                    [&](const Match& match) { return matters(*match.rule) && takes_all(match); })) {
        return;
    }
    for (const Match& match : matches_) {
        for (const Condition& condition : match.conditions) {
            const Wants wants = condition.wanted->wants;
            const bool minds = matters(*match.rule) && (wants == Wants::any_of || wants == Wants::absent);
            const std::string& name = condition.wanted->attribute;
            if (minds && condition.field < 0 &&
                std::find(lacking_.begin(), lacking_.end(), name) == lacking_.end()) {
                lacking_.push_back(name);
            }
        }
    }
}

bool RuleMatcher::says(const Match& match, const OGRFeature& feature) {
    return match.rule->words.empty() || std::any_of(match.texts.begin(), match.texts.end(), [&](int field) {
               return feature.IsFieldSetAndNotNull(field) &&
                      says_any(feature.GetFieldAsString(field), match.rule->words);
           });
}

double RuleMatcher::greatest_margin_m() const {
    double margin_m = 0;
    for (const Match& match : matches_) {
        margin_m = std::max(margin_m, match.rule->margin_m);
    }
    return margin_m;
}

/// The feature as expressions see it: with the lacking attributes, not given.
OGRFeatureUniquePtr RuleMatcher::widened(OGRFeature& feature) const {
    OGRFeatureUniquePtr wide(OGRFeature::CreateFeature(as_text_.get()));
    if (!wide) throw std::bad_alloc();
    wide->SetFrom(&feature);
    wide->SetFID(feature.GetFID());
    return wide;
}

bool RuleMatcher::named() const {
    return std::any_of(matches_.begin(), matches_.end(),
                       [](const Match& match) { return !match.rule->of_every_layer(); });
}

bool RuleMatcher::minds_geometry() const {
    return std::any_of(matches_.begin(), matches_.end(),
                       [](const Match& match) { return match.rule->geometry != RuleGeometry::any; });
}

std::vector<const HazardRule*> RuleMatcher::matching(OGRFeature& feature, const OGRGeometry* geometry) const {
    const OGRFeatureUniquePtr wide = as_text_ ? widened(feature) : nullptr;
    std::vector<const HazardRule*> rules;
    for (const Match& match : matches_) {
        if (!is_of(match.rule->geometry, geometry) || !says(match, feature)) continue;
        const bool fit =
            std::all_of(match.conditions.begin(), match.conditions.end(), [&](const Condition& condition) {
                return holds(*condition.wanted, codes_of(feature, condition.field));
            });
        if (fit && (!match.query || match.query->Evaluate(wide ? wide.get() : &feature))) {
            rules.push_back(match.rule);
        }
    }
    return rules;
}

} // namespace swingroom
