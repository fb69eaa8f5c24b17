#pragma once

#include "swingroom/sea/hazard_rules.hpp"

#include <ogr_feature.h>
#include <ogrsf_frmts.h>

#include <memory>
#include <string>
#include <vector>

namespace swingroom {

/// The rules that speak of one class of features, made ready for features of one definition.
class RuleMatcher {
public:
    /// @param names  what the class is called: rules that name any of these speak of it
    /// @param where  file and layer, for messages
    /// @throws InputError  an expression that does not fit the definition
    RuleMatcher(const std::vector<HazardRule>& rules, const std::vector<std::string>& names,
                OGRFeatureDefn& definition, const std::string& where);

    /// Whether any rule speaks of the class, be it to say that it is no hazard.
    [[nodiscard]] bool known() const { return known_; }
    /// Whether no rule could find anything in it.
    [[nodiscard]] bool empty() const { return matches_.empty(); }
    /// Whether a rule that names the class could find something in it.
    [[nodiscard]] bool named() const;
    /// Whether somebody who wrote the rules expects to find something in it: all that speak of it are their
    /// own, and none says that it may be no hazard.
    [[nodiscard]] bool expected() const { return own_ && !inert_ && !empty(); }
    /// Attributes without which rules may miss what they are made for, and which the definition lacks.
    [[nodiscard]] const std::vector<std::string>& lacking() const { return lacking_; }
    /// The greatest margin of any of its rules.
    [[nodiscard]] double greatest_margin_m() const;

    /// Whether any of its rules asks for a kind of geometry.
    [[nodiscard]] bool minds_geometry() const;
    /// The rules with an effect or a seabed that match a feature.
    /// @param geometry  that of the feature; null: it is not known, and may be of any kind
    [[nodiscard]] std::vector<const HazardRule*> matching(OGRFeature& feature,
                                                          const OGRGeometry* geometry) const;

private:
    struct Release {
        void operator()(OGRFeatureDefn* definition) const { definition->Release(); }
    };
    using Definition = std::unique_ptr<OGRFeatureDefn, Release>;
    struct Condition {
        const CodeCondition* wanted;
        int field; ///< -1: lacking
    };
    struct Match {
        const HazardRule* rule;
        std::vector<Condition> conditions;
        std::vector<int> texts;                 ///< fields in which its words may stand
        std::unique_ptr<OGRFeatureQuery> query; ///< none: all features
    };

    void add(const HazardRule& rule, const std::string& where);
    [[nodiscard]] static bool says(const Match& match, const OGRFeature& feature);
    /// @param told  whether it is to be told that it is lacking
    void may_lack(const std::string& name, bool told);
    [[nodiscard]] std::unique_ptr<OGRFeatureQuery> compiled(const HazardRule& rule,
                                                            const std::string& where) const;
    void find_lacking();
    [[nodiscard]] OGRFeatureUniquePtr widened(OGRFeature& feature) const;

    OGRFeatureDefn* own_definition_;
    /// With what may be lacking as the last fields, which without values have no type: an expression may
    /// compare them with text or with numbers. None if nothing is.
    Definition as_text_, as_numbers_;
    std::vector<Match> matches_;
    std::vector<std::string> lacking_;
    bool known_ = false, own_ = true, inert_ = false;
};

} // namespace swingroom
