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
#include "sea/files/file_stamps.hpp"

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

/// @param prefix  of the run and the boat
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

} // namespace

CruiseRun::CruiseRun(const CruiseOptions& options)
    : options_(options), figures_{read_boats(), {}, options.runs.front().job.measures},
      folder_(options.out, inputs_of(options)), kept_inputs_(std::make_shared<KeptInputs>()),
      manifests_(options.runs.size()) {
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

/// What is known of a stay before it is looked at.
CruiseStay CruiseRun::stay_before(std::size_t run) const {
    constexpr double not_known = std::numeric_limits<double>::quiet_NaN();
    const JobOptions& job = options_.runs[run].job;
    const bool two_levels = job.tide.file.empty() && !job.levels.vary();
    CruiseStay stay;
    stay.name = options_.plans.stays[run];
    stay.window = job.area.value().box;
    stay.levels = two_levels ? job.conditions.water : WaterLevels{not_known, not_known, 0};
    stay.wind_kn = job.conditions.wind_kn;
    stay.answers.resize(figures_.boats.size());
    for (std::size_t boat = 0; boat < stay.answers.size(); ++boat) {
        stay.answers[boat].folder = folder_of(run, boat);
    }
    return stay;
}

std::string CruiseRun::folder_of(std::size_t run, std::size_t boat) const {
    const std::string& own = options_.runs[run].boats[boat].folder;
    return options_.plans.runs[run].folder + (own.empty() ? "" : "/" + own);
}

/// As a text, which is what is kept.
std::string CruiseRun::told(CruiseStay stay) const {
    return cruise_json({figures_.boats, {std::move(stay)}, figures_.measures});
}

/// Of what told() has made.   @throws IoError  it is not as it was made
CruiseStay CruiseRun::only_stay_in(const std::string& told) const {
    constexpr const char* source = "what is kept of a stay";
    std::vector<CruiseStay> stays = stays_in_cruise_json(told, source);
    if (stays.size() != 1 || stays.front().answers.size() != figures_.boats.size()) {
        throw IoError(source, "is not of one stay and these boats");
    }
    return std::move(stays.front());
}

/// What was told of it, if it would be made again as it is there.
std::optional<CruiseStay> CruiseRun::kept(std::size_t run) {
    const PlannedRun& planned = options_.plans.runs[run];
    const std::optional<std::string> text = folder_.kept(planned.folder);
    const std::optional<RunRecord> record = text ? read_record(*text) : std::nullopt;
    if (options_.all_anew || !record ||
        !is_unchanged(*record, folder_.path() / planned.folder, planned.what_counts, options_.runs[run],
                      kept_inputs_->digests)) {
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
    RunRecord record{planned.what_counts, program_and_libraries(), "", with_neighbours(options.inputs), ""};
    OverlayRun(options, nullptr, kept_inputs_).make([&](const MadeRun& made) {
        CruiseStay stay = stay_before(run);
        take_water(made.boats.front(), stay);
        if (made.of_all_boats != nullptr) stay.all_boats = *made.of_all_boats;
        for (std::size_t boat = 0; boat < made.boats.size(); ++boat) {
            stay.answers[boat] = answer_of(made.boats[boat], planned.prefixes[boat]);
            stay.answers[boat].folder = folder_of(run, boat);
        }
        record.told = told(std::move(stay));
    });
    record.manifest = manifest_digest(folder_.path() / planned.folder);
    folder_.keep(planned.folder, record_text(record));
    return only_stay_in(record.told);
}

/// For all boats: a run answers for all of them or for none.
CruiseStay CruiseRun::failed(std::size_t run, const std::string& why) const {
    stop_if_asked(); // else being stopped would be told as a failure
    print_error(options_.plans.stays[run] + ": " + why);
    std::error_code ignored;
    const bool is_there = fs::exists(folder_.path() / options_.plans.runs[run].folder, ignored);
    CruiseStay stay = stay_before(run);
    for (CruiseAnswer& answer : stay.answers) {
        answer.failure = why + (is_there ? "; what is in its folder is older" : "");
    }
    return only_stay_in(told(std::move(stay)));
}

void CruiseRun::take(std::size_t run, CruiseStay stay) {
    const bool is_there = stay.answers.front().failure.empty();
    if (is_there) manifests_[run] = manifest_digest(folder_.path() / options_.plans.runs[run].folder);
    figures_.stays.push_back(std::move(stay));
}

std::size_t CruiseRun::make() {
    std::size_t failures = 0;
    for (std::size_t run = 0; run < options_.runs.size(); ++run) {
        stop_if_asked();
        const std::string& name = options_.plans.stays[run];
        const std::string note =
            std::to_string(run + 1) + " of " + std::to_string(options_.runs.size()) + ": " + name;
        if (std::optional<CruiseStay> stay = kept(run)) {
            print_note(note + ": has not changed");
            take(run, std::move(*stay));
            continue;
        }
        print_note(note);
        const auto fail = [&](const std::string& why) {
            ++failures;
            *kept_inputs_ = KeptInputs(); // one of them may have changed while it was read
            take(run, failed(run, why));
        };
        set_subject(name);
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
                                    options_.plans.stays[run] + ", manifest of SHA-256 " + manifests_[run]});
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
