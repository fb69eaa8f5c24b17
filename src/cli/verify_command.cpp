#include "cli/verify_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/publish/folder.hpp"

#include <iostream>

namespace swingroom::cli {

void VerifyCommand::declare(boost::program_options::options_description& options,
                            boost::program_options::positional_options_description& positional) {
    options.add_options()("folder", boost::program_options::value<std::string>(),
                          "the folder that a run has written, also the first word; must be given");
    positional.add("folder", 1);
}

void VerifyCommand::accept(const boost::program_options::variables_map& given) {
    if (given.count("folder") == 0)
        throw InputError("FOLDER", "no folder is given", "name the folder that a run has written");
    folder_ = given["folder"].as<std::string>();
}

int VerifyCommand::run() {
    const auto faults = verify_folder(folder_);
    for (const std::string& fault : faults)
        std::cerr << "swingroom: " << fault << '\n';
    if (!faults.empty()) return 1;
    std::cout << folder_ << ": whole, and what was written\n";
    return 0;
}

} // namespace swingroom::cli
