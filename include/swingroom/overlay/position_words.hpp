#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/overlay/position.hpp"

#include <span>
#include <string>

// What was found at a position, in the words and in the unit of whoever reads it.

namespace swingroom {

/// "045°": true, three digits.
std::string bearing_text(double bearing_deg);

/// "shoal water, 1.2 m at low water", "a bank that dries by up to 0.4 m at low water", "land", "unsurveyed
/// water", "cable (cables #3)". Water is rounded down, what dries up. It dries where the depth itself says
/// so; where only the uncertainty does, it may.
std::string what_is(const NearestDanger& danger, const Measures& measures = {});

/// The reason's sentence, followed by its figures: "less water here at low water than the hull requires: 2.4
/// m needed, 1.9 m there, 0.5 m short"; "...: this is land". What is needed is rounded up, what is there
/// down, and what is short is told of the two as they are printed.
std::string sentence_of(const Shortfall& shortfall, const Measures& measures = {});

/// The condition of a yes by the sounder: "let go only where the sounder shows no more than 6.7 m at low
/// water (6.2 m below chart datum) within a boat's length around, and veer for ..."; empty where there is
/// none. Rounded down.
/// @param limit_m  the greatest reading, to chart datum; NaN: none   @param low_water_m  above chart datum
/// @param plain  a less demanding way that holds whatever the sounder shows, with the rode that it takes
/// where
///               that is known, said at the end: "at short scope with 50.0 m of rode"; empty: there is none
std::string sounder_condition(double limit_m, double low_water_m, const std::string& plain = {},
                              const Measures& measures = {});
/// The words for that of the most demanding way at a position that is a yes whatever the sounder shows.
std::string plain_way_words(const PositionReport& position, const RodeMarks& marks,
                            const Measures& measures = {});
/// "soft mud, 120 m off, bearing 045°; rock here": distances rounded down, bearings true. Empty of none.
std::string notes_text(std::span<const SeabedNote> notes, const Measures& measures = {});

/// What a chart lets expect: "charted 5.4 to 18.2 m; soundings 6.0 to 11.2 m within 370 m, nearest 8.3 m, 120
/// m off, bearing 045°". Below chart datum and as charted: no uncertainty is taken off. The greatest is
/// rounded up, all else down.
std::string expected_text(const ExpectedDepth& expected, const Measures& measures = {});
/// The first half of it without its first word: "5.4 to 18.2 m", "5.4 m or more, deep edge not charted".
std::string charted_text(const ExpectedDepth& expected, const Measures& measures = {});
/// The second half without its first word: "6.0 to 11.2 m within 370 m, ...", or "none within 370 m"; then
/// those that are left out: "of 2 doubtful ones, left out, the least is 3.1 m".
std::string soundings_text(const ExpectedDepth& expected, const Measures& measures = {});
/// The areas by their names: "DEPARE #12 QQ 0000000012 00001; ...".
std::string areas_text(const ExpectedDepth& expected);

} // namespace swingroom
