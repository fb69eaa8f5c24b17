#pragma once

#include <ogr_feature.h>

#include <map>
#include <string>
#include <vector>

namespace swingroom {

/// Codes of attributes that rules decide by and that no table here lists: rules may miss what they mean.
class UnlistedCodes {
public:
    /// Looks at a feature of a class.
    void look_at(const std::string& object_class, const OGRFeature& feature);
    /// "RESARE RESTRN 55 (2 features)", in the order of class, attribute and code.
    [[nodiscard]] std::vector<std::string> messages() const;

private:
    std::map<std::string, long> counts_;
};

} // namespace swingroom
