#include "cli/commands/verify_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/publish/folder.hpp"

#include "base/json.hpp"
#include "cli/console.hpp"
#include "cli/options/measures_options.hpp"

#include <string>
#include <vector>

namespace swingroom::cli {

void VerifyCommand::declare(Options& options,
                            boost::program_options::positional_options_description& positional) {
    options.add_options()("folder", text_value("FOLDER"),
                          "what a run has made; FOLDER alone will do; must be given");
    declare_json(options);
    positional.add("folder", 1);
}

void VerifyCommand::accept(const boost::program_options::variables_map& given) {
    if (given.count("folder") == 0) {
        throw InputError("FOLDER", "no folder is given", "name the folder that a run has written");
    }
    folder_ = given["folder"].as<std::string>();
    json_ = given["json"].as<bool>();
}

int VerifyCommand::run() {
    std::vector<std::string> notes;
    const auto faults = verify_folder(folder_, &notes);
    for (const std::string& note : notes) {
        print_warning(folder_ + "/" + note);
    }
    if (json_) {
        print_document(json_head("verify")
                           .text("folder", folder_)
                           .truth("whole", faults.empty())
                           .raw("faults", json_texts(faults))
                           .raw("warnings", json_texts(notes))
                           .document());
        return faults.empty() ? 0 : 1;
    }
    for (const std::string& fault : faults) {
        print_error(fault);
    }
    if (!faults.empty()) return 1;
    print_made(folder_ + ": whole, and what was written");
    return 0;
}

} // namespace swingroom::cli
