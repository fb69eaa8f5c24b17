#include "cli/commands/cruise_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/input_errors.hpp"
#include "swingroom/report/cruise_page.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "base/nearest_name.hpp"
#include "base/text.hpp"
#include "cli/console.hpp"
#include "cli/cruise/cruise_plans.hpp"
#include "cli/cruise/cruise_text.hpp"
#include "cli/options/measures_options.hpp"
#include "cli/options/plan.hpp"
#include "cli/run/open_questions.hpp"
#include "cli/run/run_control.hpp"

#include <algorithm>
#include <cstddef>
#include <string_view>
#include <vector>

namespace swingroom::cli {

namespace po = boost::program_options;

namespace {

/// What is wrong with stays, a line for each of them.
class StayFaults {
public:
    explicit StayFaults(const std::string& file) : file_(file) {}

    /// Does what may find fault with the options of a stay.
    template <class Do>
    void look_at(const std::string& name, Do act) {
        try {
            act();
        } catch (const InputError& error) {
            const std::string stay = "stay " + name;
            faults_.push_back(
                {stay, InputError(file_ + ", " + stay, error.message(), "mend it in the cruise file")});
        }
    }
    /// @throws InputError  there are any
    void throw_if_any() const { swingroom::throw_if_any(file_, faults_); }

private:
    const std::string& file_;
    std::vector<Fault> faults_;
};

/// The options of each run, as overlay takes them.
/// @param made_with  options that say how all of them are made   @throws InputError
std::vector<OverlayOptions> accepted(const CruisePlans& plans, const po::variables_map& made_with,
                                     const std::string& file) {
    std::vector<OverlayOptions> all(plans.runs.size());
    StayFaults faults(file);
    for (std::size_t i = 0; i < all.size(); ++i) {
        po::variables_map given = plans.runs[i].given;
        for (const auto& [name, value] : made_with) {
            given.insert_or_assign(name, value);
        }
        faults.look_at(plans.stays[i], [&] { all[i].accept(given); });
        all[i].overwrite = true; // of what a cruise has made there before
        all[i].json = false;
    }
    faults.throw_if_any();
    return all;
}

/// Asks what the rasters of all stays leave unsaid, before the first stay is made.   @throws InputError
void require_all_said(const CruiseOptions& options) {
    StayFaults faults(options.file);
    std::vector<std::vector<BathymetryRequest>> clear; // which need not be opened for each stay
    for (std::size_t i = 0; i < options.runs.size(); ++i) {
        const JobOptions& job = options.runs[i].job;
        if (std::find(clear.begin(), clear.end(), job.bathymetry) != clear.end()) continue;
        faults.look_at(options.plans.stays[i], [&] {
            try {
                refuse(job.unsaid());
                clear.push_back(job.bathymetry);
            } catch (const IoError&) { // which is told when the stay is made
            }
        });
    }
    faults.throw_if_any();
}

} // namespace

void CruiseCommand::declare(Options& options, po::positional_options_description& positional) {
    options.group(Group::looked_at);
    // clang-format off
    options.add_options()
        ("file", text_value("FILE"), "cruise file (INI); FILE alone will do; must be given\n"
         "First what is common to all stays, as in a plan of overlay, and boat = FILE once for each boat; then [stay NAME] with its own: an area "
         "(bounds, or around = LON,LAT, 1.5 nm), arrive and depart, wind, whatever differs. Paths are seen from its own folder.");
    options.group(Group::comes_out);
    options.add_options()
        ("out", text_value("FOLDER"), "folder to make, or to go on with; must be given\n"
         "In it a folder for each stay, with one for each boat where there are several, cruise.html, cruise.json, spots.gpx and spots.gpkg. What an earlier cruise has made there is kept "
         "where neither plan nor inputs have changed, and made anew else; no other folder is touched.")
        ("overwrite", po::bool_switch(), "make every stay anew, whether it has changed or not");
    declare_json(options);
    options.group(Group::run);
    options.add_options()
        ("threads", text_value("N"), "how many threads; as many as the machine has if not given\n1 to 1024.")
        ("memory", text_value("MB"), "megabytes to aim at; as the cruise file says, or 400\n64 or more.")
        ("print-plan", text_value("STAY"), "print the plan of a stay, and end\n"
         "The stay's name, or that of its folder. Given to overlay --plan, it makes the same folder, to the byte.");
    // clang-format on
    positional.add("file", 1);
}

void CruiseCommand::accept(const po::variables_map& given) {
    options_.file = required(given, {"file", "name the cruise file, as in swingroom cruise summer.ini"});
    options_.out = required(given, {"out", "name the folder to make, for example cruise"});
    options_.all_anew = given["overwrite"].as<bool>();
    json_ = given["json"].as<bool>();
    print_plan_ = optional(given, "print-plan");
    options_.plans = plans_of_cruise(options_.file, options_.out);
    po::variables_map made_with;
    for (const char* const name : {"threads", "memory"}) {
        if (given.count(name) != 0) made_with.insert({name, given[name]});
    }
    options_.runs = accepted(options_.plans, made_with, options_.file);
}

std::string CruiseCommand::plan_of(const std::string& stay) const {
    const CruisePlans& plans = options_.plans;
    const std::vector<std::string_view> names(plans.stays.begin(), plans.stays.end());
    for (std::size_t i = 0; i < plans.runs.size(); ++i) {
        if (plans.runs[i].folder == stay || is_same_name(plans.stays[i], stay)) {
            return options_.runs[i].plan();
        }
    }
    const std::string_view nearest = nearest_name(stay, names);
    throw InputError("--print-plan", swingroom::quoted(stay) + " is no stay of the cruise",
                     nearest.empty() ? "give one of " + joined(plans.stays, ", ")
                                     : "did you mean " + std::string(nearest) + "?");
}

int CruiseCommand::run() {
    if (print_plan_) {
        print_document(plan_of(*print_plan_));
        return 0;
    }
    notice_signals();
    keep_large_memory_apart();
    require_all_said(options_);
    CruiseRun cruise(options_);
    const std::size_t failures = cruise.make();
    if (json_) {
        print_document(cruise_json(cruise.figures()));
    } else {
        print_made(cruise.folder().string());
    }
    if (failures == 0) return 0;
    print_error("stays without an answer: " + std::to_string(failures) + " of " +
                std::to_string(options_.runs.size()) + "; run again when that is mended");
    return 1;
}

} // namespace swingroom::cli
