#pragma once

#include "swingroom/water/stay_tide.hpp"
#include "swingroom/water/tide_file.hpp"

#include "cli/options/option_table.hpp"
#include "cli/options/plan.hpp"
#include "cli/run/open_questions.hpp"

#include <boost/program_options.hpp>

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::cli {

/// The clock by which times that say none are read.
struct GivenClock {
    std::optional<ZoneOffset> zone; ///< nothing: nobody tells, or the file's times are by several
    std::string whose;              ///< for people: where it is from
};

/// What the options say of a file of the tide.
class TideTerms {
public:
    /// Adds the options.
    static void declare(Options& options);
    /// @throws InputError
    void accept(const boost::program_options::variables_map& given);

    /// What they and the file leave open, as questions for options.   @throws InputError  it is no such file
    [[nodiscard]] std::vector<OpenQuestion> unsaid_of(const std::string& path) const;
    /// What kind of levels it holds.   @throws InputError, IoError
    [[nodiscard]] TideForm form_of(const std::string& path) const;
    /// Reads the file.
    /// @param span  that is asked about; none: all that it has   @throws InputError, IoError
    [[nodiscard]] TideFile read(const std::string& path, const std::optional<TimeWindow>& span) const;
    /// The clock of times that say none, given or the file's.   @throws InputError, IoError
    [[nodiscard]] GivenClock clock_of(const std::string& path) const;
    /// From here on no file is read: each is taken to say this.
    void take_text(std::string text) { text_ = std::move(text); }

private:
    [[nodiscard]] std::string text_of(const std::string& path) const;

    TideStatements said_;
    std::optional<ZoneOffset> clock_;
    bool curve_allowance_given_ = false;
    std::optional<std::string> text_; ///< nothing: what the file says
};

/// A moment that an option gives.   @param clock  of a text that says none   @throws InputError
Instant moment_given(const std::string& text, const GivenClock& clock, const std::string& option);

/// By which clock times were read, a sentence each: of those that say none.
/// @param times  option and text of each   @pre the moments were read by this clock
std::vector<std::string> notes_of_clock(const GivenClock& clock,
                                        const std::vector<std::pair<std::string, std::string>>& times);

/// How far the water may stand off its prediction, of which both have to be said.
LevelAllowances allowances_of(const boost::program_options::variables_map& given);

/// The options by which overlay and spot take the water from a curve, in place of two levels.
struct TideOptions {
    std::string file;           ///< its path; empty: there is no curve
    TideTerms terms;            ///< what is said of it
    std::string arrive, depart; ///< as they were given: the file may have to say by which clock
    LevelAllowances allowances;

    /// Adds the options.
    static void declare(Options& options);
    /// Two levels and a curve contradict each other; what is on the command line takes the place of the
    /// other in a plan.
    /// @param given  with the plan's values filled in   @throws InputError  both are given in the same place
    static void settle(const boost::program_options::variables_map& on_command_line,
                       boost::program_options::variables_map& given);
    /// What must be given with a curve.
    [[nodiscard]] static const std::vector<Needed>& needed();
    /// Takes what was given.   @throws InputError
    void accept(const boost::program_options::variables_map& given);
    /// What is left open of the file; nothing without one.   @throws InputError
    [[nodiscard]] std::vector<OpenQuestion> unsaid() const;

    /// The water of the stay; nothing without a file.   @throws InputError, IoError
    [[nodiscard]] std::optional<StayTide> open() const;
};

} // namespace swingroom::cli
