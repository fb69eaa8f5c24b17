#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/boat/boat.hpp"

#include <limits>
#include <string>

namespace swingroom {

/// How the rode is marked, which is what is counted on deck whatever unit is read, and how much of it there
/// is.
struct RodeMarks {
    Measures measures; ///< the unit that the boat file gives the marks in
    /// Distance from one mark to the next, in metres also where the marks are in another unit.
    double every_m = 5;
    /// All the rode there is, in metres; infinity: not known, then nothing is cut down to it.
    double aboard_m = std::numeric_limits<double>::infinity();
};
/// The marks as the boat file gives them, with chain and rope together as what is aboard.
RodeMarks rode_marks(const Boat& boat);

/// A rode of the tables, which hold whole marks or all that is aboard, rounded up to a float: as it was
/// before that.
double exact_rode_m(float rode_m, const RodeMarks& marks);
/// The same of a figure of the layers, which are in tenths of a metre: 25 fathoms are 45.8 m there, and are
/// 25 fathoms again. What is at no mark and not all stays as it is.
double rode_at_marks_m(double rode_m, const RodeMarks& marks);

/// A rode as it is printed, wherever that is: rounded up, since it is a need. But in metres and in the unit
/// of its marks, what is to be had of the rode aboard is never beyond that, which is rounded down: of 139.14
/// m nobody veers 139.2 m. In another unit it goes up, and stands beside the length by the marks.
/// @param rode_m  exact   @returns in the unit of the measures
double rode_value(double rode_m, const RodeMarks& marks, const Measures& measures, int decimals = 1);
/// The same as text, without the unit's name.
std::string rode_number(double rode_m, const RodeMarks& marks, const Measures& measures);
/// What is aboard of chain or rope: no rode_value() of it says more.
std::string aboard_text(double length_m, const RodeMarks& marks, const Measures& measures);
/// "35.0 m"; in another unit than that of its marks "114.9 ft (35.0 m by the marks)".
std::string rode_text(double rode_m, const RodeMarks& marks, const Measures& measures);

} // namespace swingroom
