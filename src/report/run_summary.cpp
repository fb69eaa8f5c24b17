#include "swingroom/report/run_summary.hpp"

#include "swingroom/base/version.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/report/alternatives.hpp"
#include "swingroom/report/why_not.hpp"

#include "base/json.hpp"
#include "publish/styles/answer_words.hpp"
#include "report/stay_water.hpp"
#include "report/verdict_names.hpp"

#include <cmath>
#include <limits>
#include <optional>
#include <string_view>

namespace swingroom {
namespace {

std::string files_lines(const std::vector<WrittenFile>& written) {
    std::vector<std::string> files;
    for (const WrittenFile& file : written) {
        files.push_back(JsonObject()
                            .text("name", file.name)
                            .whole("bytes", static_cast<std::int64_t>(file.bytes))
                            .text("sha256", file.sha256)
                            .line());
    }
    return json_lines(files);
}

JsonObject folder_head(std::string_view command, const PendingFolder& folder) {
    JsonObject json = json_head(command);
    json.text("folder", folder.target().string()).raw("files", files_lines(folder.files()));
    return json;
}

std::string foot(JsonObject& json, const std::vector<std::string>& warnings) {
    return json.raw("warnings", json_texts(warnings)).text("caution", caution).document();
}

std::string covered_line(const Covered& covered) {
    return JsonObject()
        .whole("cells", covered.cells)
        .number("area_m2", covered.area_m2, 0, Rounded::down)
        .line();
}

/// Whether and when she gets to a drop point; nothing where nobody looked.
void add_way_in(JsonObject& json, const std::optional<PlaceReach>& reach, const StayTide* tide) {
    if (!reach) return;
    const bool waits = reach->reach == Reach::at_times || reach->reach == Reach::never;
    const double none = std::numeric_limits<double>::quiet_NaN();
    json.text("way_in", reach_word(reach->reach))
        .number("access_level_m",
                waits && std::isfinite(reach->access_level_m) ? double{reach->access_level_m} : none, 2,
                Rounded::up);
    if (tide == nullptr || reach->reach == Reach::unknown) return;
    std::vector<std::string> windows;
    for (const TimeWindow& window : tide->stay.windows(double{reach->access_level_m})) {
        windows.push_back(
            JsonObject().text("from", utc_text(window.from)).text("to", utc_text(window.to)).line());
    }
    json.raw("windows", json_lines(windows));
}

/// The figures of a drop point as `spots` has them.
/// @param rank  from 1
std::string spot_line(std::size_t rank, const PositionReport& spot, const PlaceMerits& merits,
                      const std::string& spot_name, const RodeMarks& marks, const StayTide* tide) {
    JsonObject json;
    json.whole("rank", static_cast<std::int64_t>(rank))
        .text("name", spot_name)
        .number("longitude", spot.centre.lon, 6)
        .number("latitude", spot.centre.lat, 6)
        .whole("verdict", static_cast<int>(told(spot.answer.verdict, spot.answer.advice)))
        .text("meaning", verdict_words(spot.answer.verdict, spot.answer.advice));
    add_way_in(json, spot.reach, tide);
    for (const WayAtPosition& at : spot.ways) {
        if (at.way == way_of(spot.answer.verdict)) {
            json.number("depth_low_m", static_cast<double>(spot.depth_low_m), 1, Rounded::down)
                .number("depth_high_m", spot.depth_high_m, 1, Rounded::up)
                .number("rode_m", rode_value(exact_rode_m(at.detail.needs.rode_m, marks), marks, Measures{}),
                        1)
                .number("sounder_limit_m", static_cast<double>(at.detail.needs.sounder_limit_m), 1,
                        Rounded::down)
                .number("radius_m", static_cast<double>(at.detail.needs.radius_m), 1, Rounded::up)
                .number("band_admitted",
                        is_by_sounder(merits.verdict) ? merits.band_admitted
                                                      : std::numeric_limits<double>::quiet_NaN(),
                        2, Rounded::down)
                .number("inner_distance_m", static_cast<double>(merits.inner_dm) / 10, 1)
                .number("spare_m", static_cast<double>(at.spare_m), 1, Rounded::down)
                .number("wind_limit_kn", static_cast<double>(at.wind_limit_kn), 0, Rounded::down)
                .text("wind_limit_by", name(spot.limit_by));
        }
    }
    return json.line();
}

/// An anchorage with what its cells are; of the reasons those that occur.
std::string anchorage_line(const AnchorageAnswers& anchorage) {
    const Tally& tally = anchorage.tally;
    Covered sounded;
    JsonObject noes;
    for (std::size_t i = 0; i < tally.by_verdict.size(); ++i) {
        if (is_by_sounder(static_cast<Verdict>(i))) sounded += tally.by_verdict[i];
    }
    for (std::size_t i = 0; i < why_not_count; ++i) {
        const auto why = static_cast<WhyNot>(i);
        if (tally.of(why).cells > 0) noes.raw(name_of(why).name, covered_line(tally.of(why)));
    }
    return JsonObject()
        .text("label", anchorage.label)
        .raw("yes", covered_line(tally.yes()))
        .raw("by_sounder", covered_line(sounded))
        .raw("unsurveyed", covered_line(tally.of(Verdict::unsurveyed)))
        .raw("no_by_reason", noes.line())
        .line();
}

std::string cells_by_verdict(const OverlayFiles& files) {
    JsonObject cells;
    for (std::size_t i = 0; i < verdict_names.size(); ++i) {
        cells.whole(verdict_names[i], files.cells_of(static_cast<Verdict>(i)));
    }
    return cells.line();
}

std::string areas_by_verdict(const Tally& tally) {
    JsonObject areas;
    for (std::size_t i = 0; i < verdict_names.size(); ++i) {
        areas.number(verdict_names[i], tally.by_verdict[i].area_m2, 0);
    }
    return areas.line();
}

std::string noes_by_reason(const Tally& tally) {
    JsonObject noes;
    for (std::size_t i = 0; i < why_not_count; ++i) {
        const auto why = static_cast<WhyNot>(i);
        if (why == WhyNot::unsurveyed) continue; // what has no depth is no no
        noes.raw(name_of(why).name, covered_line(tally.of(why)));
    }
    return noes.lines();
}

/// The shares of the surveyed area that the page tells, in percent: together they are 100.
std::string shares_line(const std::vector<AnswerShare>& all) {
    JsonObject shares;
    shares.number("yes", !all.empty() && !all.front().why ? all.front().tenths / 10.0 : 0, 1);
    for (const AnswerShare& share : all) {
        if (share.why) shares.number(name_of(*share.why).name, share.tenths / 10.0, 1);
    }
    return shares.line();
}

/// The reason of most of what is a no.
void add_leading_reason(JsonObject& json, const std::vector<AnswerShare>& shares) {
    for (const AnswerShare& share : shares) {
        if (!share.why) continue;
        json.text("leading_reason", name_of(*share.why).name);
        return;
    }
    json.null("leading_reason");
}

void add_best_spots(JsonObject& json, const OverlayFiles& files, const RodeMarks& marks,
                    const StayTide* tide) {
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < files.best_spots().size(); ++i) {
        lines.push_back(spot_line(i + 1, files.best_spots()[i], files.best_merits()[i],
                                  files.name_of_spot(i + 1), marks, tide));
    }
    json.whole("spots", static_cast<std::int64_t>(files.spots_written()));
    if (lines.empty()) {
        json.null("best_spot");
    } else {
        json.raw("best_spot", lines.front());
    }
    json.raw("best_spots", json_lines(lines));
}

/// A place that is a no, and what would change that.
std::string named_no_line(const NamedNo& no) {
    return JsonObject()
        .text("reason", name_of(no.why).name)
        .whole("column", no.cell.col)
        .whole("row", no.cell.row)
        .number("longitude", no.cell.centre.lon, 6)
        .number("latitude", no.cell.centre.lat, 6)
        .raw("would_do", proposals_json(no.proposals))
        .line();
}

/// What is doubtful in the inputs, file by file.
std::vector<std::string> doubts_of(const std::vector<Inspection>& inspections) {
    std::vector<std::string> files;
    for (const Inspection& found : inspections) {
        std::vector<std::string> doubts;
        for (const Message& doubt : found.doubts) {
            doubts.push_back(doubt.text());
        }
        if (doubts.empty()) continue;
        files.push_back(JsonObject().text("file", found.file).raw("doubtful", json_texts(doubts)).line());
    }
    return files;
}

void add_page(JsonObject& json, const ReportInput& page) {
    std::vector<std::string> noes;
    for (const NamedNo& no : page.named_noes) {
        noes.push_back(named_no_line(no));
    }
    json.raw("named_noes", json_lines(noes)).raw("doubts", json_lines(doubts_of(page.inspections)));
}

/// What a boat's folder holds.
void add_answers(JsonObject& json, const BoatSummary& boat) {
    const OverlayFiles& files = boat.files;
    const OverlayJob& job = boat.job;
    const Tally& tally = files.tally();
    const std::vector<AnswerShare> shares = answer_shares(tally);
    json.raw("cells", cells_by_verdict(files))
        .raw("areas_m2", areas_by_verdict(tally))
        .raw("surveyed", covered_line(tally.surveyed()))
        .raw("yes", covered_line(tally.yes()))
        .raw("no_by_reason", noes_by_reason(tally))
        .raw("shares_percent", shares_line(shares));
    add_leading_reason(json, shares);
    if (job.way_in != nullptr) json.raw("out_of_reach", covered_line(tally.of(Verdict::out_of_reach)));
    if (job.tide != nullptr) json.raw("water", water_json(*job.tide));
    std::vector<std::string> anchorages;
    for (const AnchorageAnswers& anchorage : files.anchorages()) {
        anchorages.push_back(anchorage_line(anchorage));
    }
    json.raw("anchorages", json_lines(anchorages));
    if (job.wanted.has(Layer::zones)) {
        json.whole("zones", files.zones_written()).whole("zones_too_small", files.zones_dropped());
    }
    if (job.wanted.has(Layer::spots)) add_best_spots(json, files, rode_marks(job.tables->boat()), job.tide);
    if (boat.page != nullptr) add_page(json, *boat.page);
}

/// All that a document about her alone would tell, but for what is the same for all boats.
std::string boat_lines(const PendingFolder& folder, const BoatSummary& boat) {
    JsonObject json;
    json.text("boat", boat.job.tables->boat().name)
        .text("folder", (folder.target() / boat.folder).string())
        .raw("files", files_lines(folder.files_of(boat.folder)));
    add_answers(json, boat);
    return json.raw("warnings", json_texts(boat.warnings)).lines();
}

} // namespace

std::string overlay_json(const PendingFolder& folder, const std::vector<BoatSummary>& boats) {
    JsonObject json = folder_head("overlay", folder);
    if (boats.front().folder.empty()) {
        add_answers(json, boats.front());
        return foot(json, boats.front().warnings);
    }
    std::vector<std::string> all;
    for (const BoatSummary& boat : boats) {
        all.push_back(boat_lines(folder, boat));
    }
    return json.raw("boats", json_lines(all)).text("caution", caution).document();
}

std::string exclusions_json(const PendingFolder& folder, std::int64_t features,
                            const std::vector<std::string>& warnings) {
    JsonObject json = folder_head("exclusions", folder);
    json.whole("features", features);
    return foot(json, warnings);
}

} // namespace swingroom
