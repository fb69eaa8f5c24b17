#pragma once

#include <string>

class OGRFeature;

namespace swingroom {

class EncCell;

/// A feature and what is known of it beyond its attributes; for as long as what it refers to.
struct FoundFeature {
    const std::string& object_class; ///< that of the chart, or the layer's name
    const OGRFeature& feature;       ///< coded attributes
    const OGRFeature& raw;           ///< as the layer has it
    const EncCell* cell;             ///< null: of no chart

    /// Whether it is a seamark that tags stand for.
    [[nodiscard]] bool tagged() const { return &raw != &feature; }
};

/// The name that it bears, a tagged seamark that of its tags; mostly empty.
std::string name_of(const FoundFeature& found);
/// What it is called wherever it is named, its name included.
std::string label_of(const FoundFeature& found);

} // namespace swingroom
