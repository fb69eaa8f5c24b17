#include "cli/verify_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/publish/folder.hpp"

#include "base/json.hpp"
#include "cli/measures_options.hpp"

#include <iostream>

namespace swingroom::cli {

void VerifyCommand::declare(boost::program_options::options_description& options,
                            boost::program_options::positional_options_description& positional) {
    options.add_options()("folder", boost::program_options::value<std::string>(),
                          "the folder that a run has written, also the first word; must be given");
    declare_json(options);
    positional.add("folder", 1);
}

void VerifyCommand::accept(const boost::program_options::variables_map& given) {
    if (given.count("folder") == 0)
        throw InputError("FOLDER", "no folder is given", "name the folder that a run has written");
    folder_ = given["folder"].as<std::string>();
    json_ = given["json"].as<bool>();
}

int VerifyCommand::run() {
    const auto faults = verify_folder(folder_);
    if (json_) {
        std::cout << json_head("verify")
                         .text("folder", folder_)
                         .truth("whole", faults.empty())
                         .raw("faults", json_texts(faults))
                         .document();
        return faults.empty() ? 0 : 1;
    }
    for (const std::string& fault : faults)
        std::cerr << "swingroom: " << fault << '\n';
    if (!faults.empty()) return 1;
    std::cout << folder_ << ": whole, and what was written\n";
    return 0;
}

} // namespace swingroom::cli
