#include "sea/files/listed_codes.hpp"

#include "sea/files/attributes.hpp"

#include <array>
#include <string>
#include <string_view>

namespace swingroom {
namespace {

/// Ranges of the codes that are listed, both ends included.
struct Listed {
    std::string_view attribute;
    int first, last;
};
// IHO S-57 edition 3.1, appendix A, chapter 2, with what its later supplements and IHO S-65 annex B (April
// 2024) add.
constexpr std::array listed = {
    Listed{"CATACH", 1, 9},  Listed{"CATCBL", 1, 7},   Listed{"CATDPG", 1, 6},   Listed{"CATMOR", 1, 7},
    Listed{"CATMPA", 1, 5},  Listed{"CATOBS", 1, 10},  Listed{"CATOBS", 12, 23}, Listed{"CATREA", 1, 28},
    Listed{"CATWED", 1, 4},  Listed{"CATWRK", 1, 5},   Listed{"CATZOC", 1, 6},   Listed{"NATQUA", 1, 10},
    Listed{"NATSUR", 1, 9},  Listed{"NATSUR", 11, 11}, Listed{"NATSUR", 14, 14}, Listed{"NATSUR", 17, 18},
    Listed{"QUASOU", 1, 11}, Listed{"RESTRN", 1, 27},  Listed{"WATLEV", 1, 7}};

bool is_listed(std::string_view attribute, int code) {
    for (const Listed& range : listed) {
        if (range.attribute == attribute && range.first <= code && code <= range.last) return true;
    }
    return false;
}

} // namespace

const UnlistedCodes::LookedAt& UnlistedCodes::looked_at(OGRFeatureDefn& definition) {
    const auto [entry, is_new] = looked_at_.try_emplace(&definition);
    if (!is_new) return entry->second;
    definition.Reference();
    entry->second.definition.reset(&definition);
    for (std::size_t i = 0; i < listed.size(); ++i) {
        if (i > 0 && listed[i].attribute == listed[i - 1].attribute) continue;
        const int field = definition.GetFieldIndex(std::string(listed[i].attribute).c_str());
        if (field >= 0) entry->second.fields.emplace_back(field, i);
    }
    return entry->second;
}

void UnlistedCodes::look_at(const std::string& object_class, OGRFeature& feature) {
    for (const auto& [field, range] : looked_at(*feature.GetDefnRef()).fields) {
        const std::string_view attribute = listed[range].attribute;
        for (const int code : codes_of(feature, field).values) {
            if (!is_listed(attribute, code)) {
                ++counts_[object_class + " " + std::string(attribute) + " " + std::to_string(code)];
            }
        }
    }
}

std::vector<std::string> UnlistedCodes::messages() const {
    std::vector<std::string> messages;
    for (const auto& [what, count] : counts_) {
        messages.push_back(what + (count > 1 ? " (" + std::to_string(count) + " features)" : ""));
    }
    return messages;
}

} // namespace swingroom
