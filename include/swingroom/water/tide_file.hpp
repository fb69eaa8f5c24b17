#pragma once

#include "swingroom/water/harmonic_tide.hpp"
#include "swingroom/water/instant.hpp"
#include "swingroom/water/level_curve.hpp"
#include "swingroom/water/stay.hpp"
#include "swingroom/water/stay_tide.hpp"
#include "swingroom/water/tide_table.hpp"

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// What the user says of a file of levels that does not say it itself. What both say has to agree.
struct TideStatements {
    std::optional<ZoneOffset> zone;            ///< of times without one; constituents have none
    std::optional<ZoneOffset> phase_zone;      ///< of the clock that lags of constituents are by
    std::optional<double> metres_per_unit;     ///< of heights and amplitudes
    std::optional<double> above_chart_datum_m; ///< how far the file's datum lies above chart datum
    std::optional<double> mean_level_m;        ///< Z0 of constituents, above the file's datum
    CurveAllowance curve_allowance;            ///< of a table of high and low waters
    /// The file is of a reference station: each ratio is of heights above the file's datum, and what is above
    /// chart datum is put on after it.
    std::optional<StationOffsets> offsets;
    /// The span that is asked about: constituents have high and low waters to lay offsets on only within one.
    std::optional<TimeWindow> span;
};

/// What kind of levels a file holds.
enum class TideForm { turns, series, constituents };

/// A file of levels, read.
struct TideFile {
    TideForm form = TideForm::turns;
    std::string name;                  ///< of the station, as the file says; may be empty
    std::string source;                ///< likewise
    std::string datum;                 ///< what the file calls the datum of its heights; may be empty
    std::optional<StationPlace> place; ///< of the station; nothing: the file does not say
    std::optional<ZoneOffset> zone;    ///< of all of its times; nothing: they have several, or there are none
    std::shared_ptr<const LevelCurve> curve;
    /// Sentences for people: what was read and may be meant otherwise, to be looked at.
    std::vector<std::string> doubts;
    std::vector<std::string> notes; ///< the same of what is only told: nobody has to look at it
};

/// Reads levels of the water: a text of columns, separated by commas or tabs, under one line of their names.
/// Lines that begin with # are remarks; those of the form "# key: text" say what the columns do not: zone (Z,
/// UTC or +hh:mm), unit (m, ft, cm), datum, above-chart-datum, name, source, position (LON,LAT), and of
/// constituents phase (gmt or +hh:mm), nodal (yearly or continuous) and z0.
///
/// With columns of a time and a height it is a series, and with a third one named type, of H and L, a table
/// of high and low waters. With columns of a name, an amplitude and a phase it holds constituents. Other
/// columns are passed over.
///
/// Zone, unit and what ties the heights to chart datum are never guessed.
/// @param where  the file's name, for messages
/// @throws InputError  naming file and line
TideFile read_tide_file(std::string_view text, std::string_view where, const TideStatements& statements);

/// How many metres one "m", "ft" or "cm" is; nothing: that is none of these.
std::optional<double> metres_per_height_unit(std::string_view name);

/// What neither a file nor its user says; each is a reason for read_tide_file() to refuse it.
struct TideUnsaid {
    TideForm form = TideForm::turns; ///< which the file has
    bool zone = false;               ///< by which clock the times are
    bool unit = false;               ///< of heights or amplitudes
    bool above_chart_datum = false;  ///< how far the file's datum lies above chart datum
    bool mean_level = false;         ///< Z0 of constituents
    bool phase_zone = false;         ///< by which clock the lags of constituents are
};
/// All of it at once, where a caller would rather ask for it together.
/// @throws InputError  the text is no file of levels
TideUnsaid unsaid_of_tide_file(std::string_view text, std::string_view where,
                               const TideStatements& statements);

} // namespace swingroom
