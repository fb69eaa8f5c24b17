#include "cli/rode_marks.hpp"

#include <cstddef>

namespace swingroom::cli {

Measures rode_marks(const Boat& boat) {
    for (const auto& [key, value] : boat.as_read)
        if (key == "rode.mark")
            for (const LengthUnit unit : {LengthUnit::foot, LengthUnit::fathom})
                if (value.ends_with(length_unit_names[static_cast<std::size_t>(unit)])) return {unit, {}};
    return {};
}

std::string rode_text(double rode_m, const Measures& measures, const Measures& marks) {
    std::string text = length_text(rode_m, Rounded::up, measures);
    if (marks.length != measures.length)
        text += " (" + length_text(rode_m, Rounded::up, marks) + " by the marks)";
    return text;
}

} // namespace swingroom::cli
