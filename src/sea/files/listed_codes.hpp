#pragma once

#include <ogr_feature.h>

#include <cstddef>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// Codes of attributes that rules decide by and that no table here lists: rules may miss what they mean.
class UnlistedCodes {
public:
    /// Looks at a feature of a class.
    void look_at(const std::string& object_class, OGRFeature& feature);
    /// "RESARE RESTRN 55 (2 features)", in the order of class, attribute and code.
    [[nodiscard]] std::vector<std::string> messages() const;

private:
    struct Release {
        void operator()(OGRFeatureDefn* definition) const { definition->Release(); }
    };
    /// Held, so that no other one takes its address.
    using HeldDefinition = std::unique_ptr<OGRFeatureDefn, Release>;
    /// What of a definition's fields is looked at.
    struct LookedAt {
        HeldDefinition definition;
        std::vector<std::pair<int, std::size_t>> fields; ///< each with the first range of its attribute
    };
    const LookedAt& looked_at(OGRFeatureDefn& definition);

    /// By definition: to find a field by its name takes longer than to look into it.
    std::map<const OGRFeatureDefn*, LookedAt> looked_at_;
    std::map<std::string, long> counts_;
};

} // namespace swingroom
