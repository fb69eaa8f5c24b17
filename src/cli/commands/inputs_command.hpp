#pragma once

#include "swingroom/base/measures.hpp"

#include "cli/command.hpp"
#include "cli/options/chart_folder.hpp"

#include <boost/program_options.hpp>

#include <string>
#include <vector>

namespace swingroom::cli {

/// `swingroom inputs FILE...`: what the given files are and what is doubtful in them; exit code 2 when a run
/// would need something said about one of them.
class InputsCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;

private:
    boost::program_options::variables_map given_; ///< what is said of rasters, known when they are
    std::vector<std::string> files_;              ///< also those of folders
    std::vector<ChartFolder> chart_folders_;      ///< that some of them were found in
    std::string rules_file_;
    Measures measures_;
    bool json_ = false;
};

} // namespace swingroom::cli
