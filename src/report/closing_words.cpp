#include "swingroom/report/closing_words.hpp"

#include "swingroom/report/why_not.hpp"
#include "swingroom/room/verdict.hpp"

#include "base/folded_text.hpp"

#include <algorithm>
#include <cmath>
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

std::string best_words(const PositionReport& best, const Closing& closing) {
    const Verdict verdict = best.answer.verdict;
    std::string words = "Best: " + position_text(best.centre.lon, best.centre.lat, closing.measures) + ", " +
                        std::string(phrase(way_of(verdict)));
    for (const WayAtPosition& at : best.ways) {
        if (at.way != way_of(verdict)) continue;
        // By the marks, since she counts them.
        const Measures& by_marks = closing.marks.measures;
        words += ", rode " +
                 rode_number(exact_rode_m(at.detail.needs.rode_m, closing.marks), closing.marks, by_marks) +
                 " " + std::string(unit_name(by_marks));
        if (is_by_sounder(verdict)) {
            words += ", sounder to " + length_text(static_cast<double>(at.detail.needs.sounder_limit_m),
                                                   Rounded::down, closing.measures);
        }
    }
    return words + ".";
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

std::vector<std::string> closing_lines(const Closing& closing) {
    const std::vector<AnswerShare> shares = answer_shares(closing.tally);
    std::vector<std::string> lines = {yes_words(closing.tally, shares)};
    const std::string reasons =
        reason_words(closing.tally.yes().cells > 0 ? "Why the rest is not:" : "Why not:", shares);
    if (closing.best != nullptr) lines.push_back(best_words(*closing.best, closing));
    const bool doubtful = closing.warnings > 0;
    if (!reasons.empty() && (!doubtful || closing.best == nullptr)) lines.push_back(reasons);
    if (doubtful) {
        lines.push_back("Doubtful: " + std::to_string(closing.warnings) +
                        (closing.warnings == 1 ? " warning" : " warnings") + ", see above.");
    }
    return lines;
}

} // namespace swingroom
