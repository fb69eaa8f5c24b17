#pragma once

#include "swingroom/publish/vector_layer.hpp"

#include "base/json.hpp"
#include "publish/folder/sha256.hpp"
#include "publish/vector/polygon_rings.hpp"

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>

namespace swingroom {

/// A digest of one feature's values and place, in a spelling that no format has a say in: of what was meant
/// to be written, of what was read again, of what another format holds.
class FeatureDigest {
public:
    /// @param value  in its one spelling; empty where the feature has none
    void add_value(std::string_view column, std::string_view value) {
        text_.append(column).append("=").append(value).append("\n");
    }
    /// Opens a part, polygon or ring: the same corners in other parts are another place.
    void begin_part() { text_ += '('; }
    /// Closes the part that was opened last.
    void end_part() { text_ += ')'; }
    /// A corner, or the place of a point, to the seventh decimal of a degree.
    void add_position(LatticePoint at) {
        const std::size_t size = text_.size();
        text_.resize(size + sizeof at);
        std::memcpy(text_.data() + size, &at, sizeof at);
        constexpr std::size_t piece = std::size_t{1} << 16;
        if (text_.size() >= piece) flush();
    }
    /// A ring of a polygon as a part of its own, its first corner repeated last.
    void add_ring(const LatticeRing& ring) {
        begin_part();
        for (const LatticePoint at : ring) {
            add_position(at);
        }
        end_part();
    }
    /// The first 64 bits of the SHA-256 of all that was added; ends the digest.
    [[nodiscard]] std::uint64_t value() {
        flush();
        return std::stoull(sum_.hex().substr(0, 16), nullptr, 16);
    }

private:
    void flush() {
        sum_.add(text_);
        text_.clear();
    }
    Sha256 sum_;
    std::string text_;
};

/// The spelling of a number in digests: not finer than any format keeps it.
inline std::string number_spelling(double value) { return json_number(value, 12); }

/// Takes a feature into the sum of its layer, and ends its digest.
inline void add_to(FeatureSum& sum, FeatureDigest& feature) {
    sum.digests += feature.value();
    ++sum.count;
}

} // namespace swingroom
