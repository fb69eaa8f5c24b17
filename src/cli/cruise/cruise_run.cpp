#include "cli/cruise/cruise_run.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/publish/feature_names.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/report/cruise_spots.hpp"

#include "cli/console.hpp"
#include "cli/options/setting_options.hpp"
#include "cli/run/overlay_run.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/folder/working_place.hpp"

#include <algorithm>
#include <limits>
#include <new>
#include <string_view>
#include <system_error>
#include <utility>

namespace swingroom::cli {
namespace {

namespace fs = std::filesystem;

std::vector<std::string> folders_of(const CruisePlans& plans) {
    std::vector<std::string> names;
    for (const PlannedRun& run : plans.runs) {
        names.push_back(run.folder);
    }
    return names;
}

std::vector<std::string> inputs_of(const CruiseOptions& options) {
    std::vector<std::string> inputs = {options.file};
    for (const OverlayOptions& run : options.runs) {
        inputs.insert(inputs.end(), run.inputs.begin(), run.inputs.end());
    }
    return inputs;
}

std::string bytes_of(const fs::path& file) {
    std::string bytes;
    guarded::read_file(file, [&](std::string_view more) { bytes += more; });
    return bytes;
}

/// What is known of a stay before it is looked at.
CruiseStay stay_of(const OverlayOptions& options, const std::string& name) {
    constexpr double not_known = std::numeric_limits<double>::quiet_NaN();
    const bool two_levels = options.job.tide.file.empty() && !options.job.levels.vary();
    CruiseStay stay;
    stay.name = name;
    stay.window = options.job.bounds.value();
    stay.levels = two_levels ? options.job.conditions.water : WaterLevels{not_known, not_known, 0};
    stay.wind_kn = options.job.conditions.wind_kn;
    return stay;
}

void take_water(const MadeBoat& made, CruiseStay& stay) {
    stay.levels = made.job.tables->conditions().water;
    if (made.job.levels != nullptr) stay.levels.high_m = made.job.levels->greatest_high_m();
    const StayTide* const tide = made.job.tide;
    if (tide == nullptr) return;
    stay.time = TimeWindow{tide->stay.arrive(), tide->stay.depart()};
    stay.zone = tide->zone;
    stay.station = tide->station;
}

/// What is doubtful of the answer and of the inputs, a sentence each.
std::vector<std::string> doubts_of(const MadeBoat& made) {
    std::vector<std::string> doubts = made.warnings;
    if (made.page == nullptr) return doubts;
    for (const Inspection& inspection : made.page->inspections) {
        for (const Message& doubt : inspection.doubts) {
            doubts.push_back(inspection.file + ": " + in_options(doubt));
        }
    }
    return doubts;
}

/// @param prefix  of the run
CruiseAnswer answer_of(const MadeBoat& made, const std::string& prefix) {
    CruiseAnswer answer;
    answer.has_report = made.page != nullptr;
    answer.tally = made.files.tally();
    answer.spots = made.files.spots_written();
    answer.doubts = doubts_of(made);
    const std::vector<PositionReport>& best = made.files.best_spots();
    for (std::size_t i = 0; i < best.size(); ++i) {
        const std::string name = name_among_runs(made.files.name_of_spot(i + 1), prefix);
        answer.places.push_back(cruise_place(best[i], name, made.job.tables->boat(), made.job.tide));
    }
    return answer;
}

/// Of what told() has made.   @throws IoError  it is not as it was made
CruiseStay only_stay_in(const std::string& told) {
    constexpr const char* source = "what is kept of a stay";
    std::vector<CruiseStay> stays = stays_in_cruise_json(told, source);
    if (stays.size() != 1 || stays.front().answers.size() != 1) {
        throw IoError(source, "is of more or less than one answer");
    }
    return std::move(stays.front());
}

} // namespace

CruiseRun::CruiseRun(const CruiseOptions& options)
    : options_(options), figures_{read_boats(), {}, options.runs.front().job.measures},
      folder_(options.out, inputs_of(options)), manifests_(options.runs.size()) {
    for (const std::string& name : options_.plans.stays) {
        CruiseStay& stay = figures_.stays.emplace_back();
        stay.name = name;
        stay.answers.resize(figures_.boats.size());
    }
    const std::vector<std::string> folders = folders_of(options_.plans);
    for (const std::string& note : folder_.look_after(folders)) {
        print_warning(note);
    }
    for (const std::string& other : folder_.others(folders)) {
        print_warning((folder_.path() / other).string() +
                      ": is of no stay of this cruise any more; remove it if it is not wanted");
    }
}

/// Boats of the same name are told apart by their files.
std::vector<CruiseBoat> CruiseRun::read_boats() const {
    std::vector<CruiseBoat> boats;
    for (const std::string& file : options_.plans.boats) {
        const Boat boat = read_boat_file(file);
        const bool named_before = std::any_of(
            boats.begin(), boats.end(), [&](const CruiseBoat& other) { return other.name == boat.name; });
        boats.push_back({named_before ? boat.name + " (" + file + ")" : boat.name, boat.required_depth_m(),
                         rode_marks(boat)});
    }
    return boats;
}

std::string CruiseRun::subject_of(std::size_t run) const {
    const PlannedRun& planned = options_.plans.runs[run];
    const std::string& stay = options_.plans.stays[planned.stay];
    return figures_.boats.size() == 1 ? stay : stay + ", " + figures_.boats[planned.boat].name;
}

/// As a text, which is what is kept.
std::string CruiseRun::told(std::size_t run, CruiseStay stay, CruiseAnswer answer) const {
    const PlannedRun& planned = options_.plans.runs[run];
    answer.folder = planned.folder;
    stay.answers = {std::move(answer)};
    return cruise_json({{figures_.boats[planned.boat]}, {std::move(stay)}, figures_.measures});
}

/// What was told of it, if it would be made again as it is there.
std::optional<CruiseStay> CruiseRun::kept(std::size_t run) {
    const PlannedRun& planned = options_.plans.runs[run];
    const std::optional<std::string> text = folder_.kept(planned.folder);
    const std::optional<RunRecord> record = text ? read_record(*text) : std::nullopt;
    if (options_.all_anew || !record ||
        !is_unchanged(*record, folder_.path() / planned.folder, planned.what_counts, options_.runs[run],
                      digests_)) {
        return std::nullopt;
    }
    try {
        return only_stay_in(record->told);
    } catch (const IoError&) { // then it is made anew
        return std::nullopt;
    }
}

/// Makes it, and keeps what is told of it.
CruiseStay CruiseRun::made(std::size_t run) {
    const PlannedRun& planned = options_.plans.runs[run];
    const OverlayOptions& options = options_.runs[run];
    RunRecord record{planned.what_counts, program_and_libraries(), "", input_neighbours(options.inputs), ""};
    OverlayRun(options).make([&](const MadeRun& made) {
        CruiseStay stay = stay_of(options, options_.plans.stays[planned.stay]);
        take_water(made.boats.front(), stay);
        record.told = told(run, std::move(stay), answer_of(made.boats.front(), planned.prefix));
    });
    record.manifest = manifest_digest(folder_.path() / planned.folder);
    folder_.keep(planned.folder, record_text(record));
    return only_stay_in(record.told);
}

CruiseStay CruiseRun::failed(std::size_t run, const std::string& why) const {
    const PlannedRun& planned = options_.plans.runs[run];
    stop_if_asked(); // else being stopped would be told as a failure
    print_error(subject_of(run) + ": " + why);
    CruiseAnswer answer;
    answer.failure = why;
    std::error_code ignored;
    if (fs::exists(folder_.path() / planned.folder, ignored)) {
        answer.failure += "; what is in its folder is older";
    }
    return only_stay_in(told(run, stay_of(options_.runs[run], options_.plans.stays[planned.stay]), answer));
}

/// @param stay  with the one answer
void CruiseRun::take(std::size_t run, CruiseStay stay) {
    const PlannedRun& planned = options_.plans.runs[run];
    CruiseStay& all = figures_.stays[planned.stay];
    CruiseAnswer answer = std::move(stay.answers.front());
    if (answer.failure.empty()) manifests_[run] = manifest_digest(folder_.path() / planned.folder);
    if (planned.boat == 0 || answer.failure.empty()) { // one that has failed knows less of the stay
        stay.answers = std::move(all.answers);
        all = std::move(stay);
    }
    all.answers[planned.boat] = std::move(answer);
}

std::size_t CruiseRun::make() {
    std::size_t failures = 0;
    for (std::size_t run = 0; run < options_.runs.size(); ++run) {
        stop_if_asked();
        const std::string note =
            std::to_string(run + 1) + " of " + std::to_string(options_.runs.size()) + ": " + subject_of(run);
        if (std::optional<CruiseStay> stay = kept(run)) {
            print_note(note + ": has not changed");
            take(run, std::move(*stay));
            continue;
        }
        print_note(note);
        const auto fail = [&](const std::string& why) {
            ++failures;
            take(run, failed(run, why));
        };
        set_subject(subject_of(run));
        try {
            take(run, made(run));
        } catch (const InputError& error) {
            fail(in_options(error.message()));
        } catch (const IoError& error) {
            fail(in_options(error.message()));
        } catch (const std::bad_alloc&) {
            fail("not enough memory; give a smaller --memory, or a smaller area");
        }
        set_subject("");
    }
    write();
    return failures;
}

/// The page last: who sees it finds all that it names.
void CruiseRun::write() const {
    tell("what stands over all stays");
    Provenance provenance{"cruise = " + options_.file + "\n", {}, {}};
    for (std::size_t run = 0; run < manifests_.size(); ++run) {
        if (manifests_[run].empty()) continue;
        provenance.facts.push_back({"folder " + options_.plans.runs[run].folder,
                                    subject_of(run) + ", manifest of SHA-256 " + manifests_[run]});
    }
    {
        const WorkingPlace place(folder_.path() / "spots", Setting::out);
        write_cruise_spots(place.path(), figures_, provenance);
        for (const char* const file : cruise_spots_files) {
            folder_.replace(file, bytes_of(place.path() / file));
        }
    }
    folder_.replace("cruise.json", cruise_json(figures_));
    folder_.replace("cruise.html", cruise_page(figures_).str());
}

} // namespace swingroom::cli
