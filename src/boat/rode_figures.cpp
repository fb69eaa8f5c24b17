#include "swingroom/boat/rode_figures.hpp"

#include <algorithm>
#include <cmath>

namespace swingroom {
namespace {

/// The nearest mark, or all that is aboard if that is nearer; what is not so near to either stays as it is.
double snapped_m(double rode_m, const RodeMarks& marks, double near_m) {
    const double at_mark_m = std::round(rode_m / marks.every_m) * marks.every_m;
    const double off_mark_m = std::abs(rode_m - at_mark_m), off_all_m = std::abs(rode_m - marks.aboard_m);
    if (std::min(off_mark_m, off_all_m) >= near_m) return rode_m;
    return off_all_m < off_mark_m ? marks.aboard_m : at_mark_m;
}

/// Metres, which all files hold, and the unit of the marks; in others a length is a conversion, to be read
/// beside that by the marks.
bool measures_rode(const RodeMarks& marks, const Measures& unit) {
    return unit.length == LengthUnit::metre || unit.length == marks.measures.length;
}

} // namespace

RodeMarks rode_marks(const Boat& boat) {
    return {{boat.rode.mark_unit, {}}, boat.rode.mark_m, boat.rode.aboard_m()};
}

double exact_rode_m(float rode_m, const RodeMarks& marks) {
    constexpr double rounding_tolerance = 2.4e-7; // of a float: two steps of its last digit
    const auto metres = static_cast<double>(rode_m);
    return snapped_m(metres, marks, rounding_tolerance * metres);
}

double rode_at_marks_m(double rode_m, const RodeMarks& marks) {
    constexpr double step_of_layers_m = 0.1;
    return snapped_m(rode_m, marks, step_of_layers_m);
}

double rode_value(double rode_m, const RodeMarks& marks, const Measures& measures, int decimals) {
    const double needed = length_value(rode_m, Rounded::up, measures, decimals);
    constexpr double sum_of_parts = 1 + 1e-12; // chain and rope need not add up to the last digit
    const bool all_there = rode_m <= marks.aboard_m * sum_of_parts && std::isfinite(marks.aboard_m);
    if (!all_there || !measures_rode(marks, measures)) return needed;
    return std::min(needed, length_value(marks.aboard_m, Rounded::down, measures, decimals));
}

std::string aboard_text(double length_m, const RodeMarks& marks, const Measures& measures) {
    return length_text(length_m, measures_rode(marks, measures) ? Rounded::down : Rounded::nearest, measures);
}

std::string rode_number(double rode_m, const RodeMarks& marks, const Measures& measures) {
    return fixed(rode_value(rode_m, marks, measures), 1);
}

std::string rode_text(double rode_m, const RodeMarks& marks, const Measures& measures) {
    const auto in = [&](const Measures& unit) {
        return rode_number(rode_m, marks, unit) + " " + std::string(unit_name(unit));
    };
    std::string text = in(measures);
    if (marks.measures.length != measures.length) text += " (" + in(marks.measures) + " by the marks)";
    return text;
}

} // namespace swingroom
