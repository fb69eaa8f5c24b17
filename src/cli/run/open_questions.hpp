#pragma once

#include "swingroom/base/error.hpp"
#include "swingroom/base/message.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "cli/options/option_table.hpp"
#include "cli/options/plan.hpp"

#include <boost/program_options.hpp>

#include <cstddef>
#include <string>
#include <vector>

namespace swingroom::cli {

/// Something that is not said yet.
struct OpenQuestion {
    std::string option;              ///< without dashes
    std::vector<std::string> values; ///< what stands behind it, once for each time it has to be given
    std::vector<Message> why;        ///< what is not said, and how it is; a sentence each
    bool in_plan = true;             ///< whether a plan may say it
};

/// All that a job has still to be told, in one refusal.
class OpenQuestions : public InputError {
public:
    /// @param questions  two or more
    explicit OpenQuestions(std::vector<OpenQuestion> questions);
    /// All of it for people, a paragraph for each, in lines of at most `width`.
    [[nodiscard]] std::string text(std::size_t width) const;

private:
    [[nodiscard]] bool in_plan() const; ///< whether a plan may say any of it

    std::vector<OpenQuestion> questions_;
};

/// Those of the options that were not given, as questions.   @param own  the command's options
std::vector<OpenQuestion> unanswered(const std::vector<Needed>& needed, const Options& own,
                                     const boost::program_options::variables_map& given);
/// All that the rasters leave unsaid, each option once for all of them.
/// @param given  what the options that tell of rasters are given as   @throws IoError
std::vector<OpenQuestion> unsaid_of(const std::vector<BathymetryRequest>& rasters,
                                    const boost::program_options::variables_map& given);

/// @throws InputError  for one question in one line, for several OpenQuestions; none: nothing
void refuse(const std::vector<OpenQuestion>& questions);

} // namespace swingroom::cli
