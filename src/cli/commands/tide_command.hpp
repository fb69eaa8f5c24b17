#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/report/tide_report.hpp"
#include "swingroom/water/stay.hpp"

#include "cli/command.hpp"
#include "cli/options/tide_options.hpp"

#include <chrono>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::cli {

/// `swingroom tide FILE`: high and low waters of a span, heights at times, the curve as a picture; what a
/// file of levels says, and what is doubtful in it.
class TideCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;

private:
    enum class Format { text, json, csv };
    /// Refuses what is not said.
    void ask() const;
    /// Option and text of each time that was given.
    [[nodiscard]] std::vector<std::pair<std::string, std::string>> times_given() const;
    [[nodiscard]] TideReport report() const;

    std::string file_, picture_;
    TideTerms terms_;
    std::optional<std::string> from_, to_; ///< as they were given: the file may have to say by which clock
    std::vector<std::string> at_;          ///< likewise
    std::optional<std::chrono::minutes> every_;
    LevelAllowances allowances_;
    Format format_ = Format::text;
    Measures measures_;
    bool overwrite_ = false;
};

} // namespace swingroom::cli
