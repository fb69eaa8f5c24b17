#include "swingroom/report/closing_words.hpp"

#include "swingroom/report/why_not.hpp"
#include "swingroom/room/verdict.hpp"

#include "base/folded_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <string_view>

namespace swingroom {
namespace {

constexpr std::size_t narrow_screen = 80; ///< columns

/// Of the yes cells those that are one by the sounder alone.
Covered by_sounder(const Tally& tally) {
    Covered sounded;
    for (std::size_t i = 0; i < tally.by_verdict.size(); ++i) {
        if (is_by_sounder(static_cast<Verdict>(i))) sounded += tally.by_verdict[i];
    }
    return sounded;
}

std::string tenths_text(int tenths) { return tenths == 0 ? "under 0.1 %" : fixed(tenths / 10.0, 1) + " %"; }

std::string yes_words(const Tally& tally, const std::vector<AnswerShare>& shares) {
    if (shares.empty()) return "A yes: nowhere, since no cell has a depth.";
    const AnswerShare& yes = shares.front();
    if (yes.why && tally.of(Verdict::out_of_reach).cells > 0) {
        return "A yes: nowhere that a way leads to in the surveyed water.";
    }
    if (yes.why) return "A yes: nowhere in the surveyed water.";
    std::string words = "A yes: " + share_text(yes) + " of the surveyed water";
    const Covered sounded = by_sounder(tally);
    if (sounded.cells == 0) return words + ".";
    if (sounded.cells == yes.covered.cells) return words + ", all of it by the sounder.";
    const int by_sounder_tenths =
        static_cast<int>(std::lround(yes.tenths * std::min(1.0, sounded.area_m2 / yes.covered.area_m2)));
    return words + ", " + tenths_text(yes.tenths - by_sounder_tenths) + " plainly, " +
           tenths_text(by_sounder_tenths) + " by the sounder.";
}

/// In two lines where one is too short for it, and one more where she has to wait for the water.
std::vector<std::string> best_words(const PositionReport& best, const Closing& closing) {
    const Verdict verdict = best.answer.verdict;
    // As the page has it: with letters nobody takes one figure for the other.
    Measures minutes;
    minutes.position = PositionForm::minutes;
    std::string where = "Best: " + position_text(best.centre.lon, best.centre.lat, minutes);
    for (const WayAtPosition& at : best.ways) {
        if (at.way != way_of(verdict)) continue;
        // By the marks, since she counts them.
        const Measures& by_marks = closing.marks.measures;
        where += ", rode " +
                 rode_number(exact_rode_m(at.detail.needs.rode_m, closing.marks), closing.marks, by_marks) +
                 " " + std::string(unit_name(by_marks));
        if (is_by_sounder(verdict)) {
            where += ", sounder to " + length_text(static_cast<double>(at.detail.needs.sounder_limit_m),
                                                   Rounded::down, closing.measures);
        }
    }
    where += ":";
    const std::string words = verdict_words(verdict, best.answer.advice) + ".";
    std::vector<std::string> lines = {where + " " + words};
    if (columns_of(lines.front()) > narrow_screen) lines = {where, "      " + words};
    if ((best.answer.advice & advice::wait_for_water) != 0) {
        lines.emplace_back("      The way in is open only while the water stands high enough.");
    }
    return lines;
}

/// Warnings of the run but for the one that nothing is a yes, which is no doubt and is told first.
std::size_t doubtful_warnings(const Closing& closing, const std::vector<AnswerShare>& shares) {
    // Where nothing even floats her, the warning asks whether the depths are read right: a doubt.
    const bool afloat = std::any_of(shares.begin(), shares.end(), [](const AnswerShare& share) {
        return share.why && *share.why != WhyNot::too_shallow;
    });
    const bool told_first = closing.tally.yes().cells == 0 && afloat && closing.warnings > 0;
    return closing.warnings - (told_first ? 1 : 0);
}

/// What is doubtful of the data at the best place, the worst first; holding is in the verdict's words.
std::vector<std::string_view> doubts_at(const PositionReport& best) {
    constexpr std::array doubts = {
        advice::way_unknown, advice::uncharted,   advice::poor_survey,  advice::survey_and_chart_differ,
        advice::read_chart,  advice::coarse_data, advice::poor_holding, advice::wind_above_limit};
    std::vector<std::string_view> names;
    for (const std::uint16_t doubt : doubts) {
        if ((best.answer.advice & doubt) == 0) continue;
        const auto* const name = std::find_if(advice_names.begin(), advice_names.end(),
                                              [&](const BitName& one) { return one.bit == doubt; });
        if (name != advice_names.end()) names.push_back(name->name);
    }
    return names;
}

/// "Doubtful: 2 warnings, see above; the best place: poor survey, read the chart."; empty: nothing is.
std::string doubtful_words(const Closing& closing, const std::vector<AnswerShare>& shares) {
    const std::size_t warnings = doubtful_warnings(closing, shares);
    std::string words;
    if (warnings > 0) {
        words = std::to_string(warnings) + (warnings == 1 ? " warning" : " warnings") + ", see above";
    }
    const std::vector<std::string_view> doubts =
        closing.best == nullptr ? std::vector<std::string_view>() : doubts_at(*closing.best);
    if (!doubts.empty()) words += words.empty() ? "the best place:" : "; the best place:";
    for (std::size_t i = 0; i < doubts.size(); ++i) {
        // Before it "Doubtful: ", behind it a full stop, and " and 5 more" where it is not the last.
        const std::size_t taken = i + 1 == doubts.size() ? 11 : 22;
        const std::string more = (i == 0 ? " " : ", ") + std::string(doubts[i]);
        if (i > 0 && columns_of(words + more) + taken > narrow_screen) {
            words += " and " + std::to_string(doubts.size() - i) + " more";
            break;
        }
        words += more;
    }
    return words.empty() ? "" : "Doubtful: " + words + ".";
}

/// The leading reasons, as many as fit a line.
std::string reason_words(const std::string& before, const std::vector<AnswerShare>& shares) {
    std::string words = before;
    for (const AnswerShare& share : shares) {
        if (!share.why) continue;
        const std::string more =
            (words == before ? " " : ", ") + std::string(name_of(*share.why).words) + " " + share_text(share);
        if (words != before && columns_of(words + more) + 1 > narrow_screen) break;
        words += more;
    }
    return words == before ? "" : words + ".";
}

} // namespace

std::vector<std::string> closing_lines(const Closing& run) {
    Closing closing = run;
    if (closing.best != nullptr &&
        told(closing.best->answer.verdict, closing.best->answer.advice) == Verdict::out_of_reach) {
        closing.best = nullptr; // then so are all the others, and none is a place to be sent to
    }
    const std::vector<AnswerShare> shares = answer_shares(closing.tally);
    std::vector<std::string> lines = {yes_words(closing.tally, shares)};
    const std::string reasons =
        reason_words(closing.tally.yes().cells > 0 ? "Why the rest is not:" : "Why not:", shares);
    if (closing.best != nullptr) {
        for (const std::string& line : best_words(*closing.best, closing)) {
            lines.push_back(line);
        }
    }
    const std::string doubtful = doubtful_words(closing, shares);
    if (!reasons.empty() && (doubtful.empty() || closing.best == nullptr)) lines.push_back(reasons);
    if (!doubtful.empty()) lines.push_back(doubtful);
    return lines;
}

} // namespace swingroom
