#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/boat/tables.hpp"

#include "cli/command.hpp"

#include <string>

namespace swingroom::cli {

/// `swingroom boat FILE`: rode, radius and wind limit by depth, what hangs from the roller, the trip line,
/// and what the sinker buys; as a table to pin up, and as a picture.
class BoatCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;

private:
    enum class Format { text, json, csv, markdown };
    std::string file_, picture_;
    Conditions conditions_;
    double depth_m_ = -1; ///< for the sinker's worth and the picture; below 0: chosen
    Format format_ = Format::text;
    Measures measures_;
    bool overwrite_ = false, template_ = false;
};

} // namespace swingroom::cli
