#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include <cstdint>
#include <string>
#include <utility>

namespace swingroom {

/// A whole number, in which nothing is rounded.
inline Property whole(std::string name, std::int64_t value) { return {std::move(name), value, 0}; }
/// A text as it is.
inline Property text(std::string name, std::string value) { return {std::move(name), std::move(value), 0}; }
/// Decimals rounded the safe way, since the writer rounds to nearest.
inline Property down(std::string name, double value, int decimals) {
    return {std::move(name), rounded(value, decimals, Rounded::down), decimals};
}
/// The same of what is a need: up.
inline Property up(std::string name, double value, int decimals) {
    return {std::move(name), rounded(value, decimals, Rounded::up), decimals};
}

} // namespace swingroom
