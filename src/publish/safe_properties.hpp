#pragma once

#include "swingroom/publish/vector_layer.hpp"

#include <cmath>
#include <cstdint>
#include <string>
#include <utility>

namespace swingroom {

inline Property whole(std::string name, std::int64_t value) { return {std::move(name), value, 0}; }
inline Property text(std::string name, std::string value) { return {std::move(name), std::move(value), 0}; }
/// Decimals rounded the safe way, since the writer rounds to nearest.
inline Property down(std::string name, double value, int decimals) {
    const double step = std::pow(10.0, -decimals);
    return {std::move(name), std::floor(value / step + 1e-6) * step, decimals};
}
inline Property up(std::string name, double value, int decimals) {
    const double step = std::pow(10.0, -decimals);
    return {std::move(name), std::ceil(value / step - 1e-6) * step, decimals};
}

} // namespace swingroom
