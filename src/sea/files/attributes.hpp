#pragma once

#include <ogr_feature.h>

#include <optional>
#include <string>
#include <vector>

/// Attributes of features as numbers and text, however a file holds them.
namespace swingroom {

/// What an attribute holds that is meant for a code or a list of codes.
struct Codes {
    bool given = false;   ///< there is something beside separators
    bool readable = true; ///< false: something is there that is no list of whole numbers
    /// Those that could be read, as they stand, also where others could not.
    std::vector<int> values;

    /// Whether one of the values is among the wanted ones.
    [[nodiscard]] bool has_any(const std::vector<int>& wanted) const;
};

/// Codes of a text: "7", "1,7", "1;7", "1 7", "(2:1,7)", "[1, 7]".
Codes codes_in(const std::string& text);

/// The same of a field: of a number, a list of numbers, a text or a list of texts. Field -1: not given.
Codes codes_of(const OGRFeature& feature, int field);
/// @param attribute  its name, letter case ignored; one that the feature's layer lacks is not given
Codes codes_of(const OGRFeature& feature, const std::string& attribute);

/// Nothing where the attribute is lacking, not given, or no finite number.
std::optional<double> number_of(const OGRFeature& feature, const std::string& attribute);
/// The first of several attributes that is given; nothing if that is no number.
std::optional<double> first_number_of(const OGRFeature& feature, const std::vector<std::string>& attributes);

/// Empty where the attribute is lacking or not given.
std::string text_of(const OGRFeature& feature, const std::string& attribute);

/// The name that a feature bears: its attribute OBJNAM or `name`, letter case ignored; mostly empty. Made fit
/// to be printed.
std::string name_of(const OGRFeature& feature);
/// The same of one attribute. Empty also where it is blank, or the word by which software writes that there
/// is none: "<Null>", "(null)".
std::string name_of(const OGRFeature& feature, const std::string& attribute);

/// What a feature is called: its layer and number, its name where it has one, and for objects of a chart the
/// identity that the producer gave it.
std::string label_of(const std::string& object_class, const OGRFeature& feature);
/// The same of one whose name is known.
std::string label_of(const std::string& object_class, const OGRFeature& feature, const std::string& name);

} // namespace swingroom
