#include "swingroom/report/why_not.hpp"

#include "swingroom/base/share_text.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

namespace swingroom {
namespace {

constexpr int whole = 1000; ///< tenths of a percent

/// By the largest remainder, so that they add up.
void give_tenths(std::vector<AnswerShare>& shares, double surveyed_m2) {
    std::vector<double> lost(shares.size());
    int left = whole;
    for (std::size_t i = 0; i < shares.size(); ++i) {
        const double exact = whole * (shares[i].covered.area_m2 / surveyed_m2);
        shares[i].tenths = static_cast<int>(std::floor(exact));
        lost[i] = exact - shares[i].tenths;
        left -= shares[i].tenths;
    }
    for (; left > 0; --left) {
        const auto most = std::max_element(lost.begin(), lost.end());
        ++shares[static_cast<std::size_t>(most - lost.begin())].tenths;
        *most -= 1;
    }
}

} // namespace

std::vector<AnswerShare> answer_shares(const Tally& tally) {
    std::vector<AnswerShare> shares;
    for (std::size_t i = 0; i < why_not_count; ++i) {
        if (tally.no_by_reason[i].cells > 0) {
            shares.push_back({static_cast<WhyNot>(i), tally.no_by_reason[i]});
        }
    }
    std::stable_sort(shares.begin(), shares.end(), [](const AnswerShare& a, const AnswerShare& b) {
        return a.covered.area_m2 > b.covered.area_m2;
    });
    if (const Covered yes = tally.yes(); yes.cells > 0) shares.insert(shares.begin(), {std::nullopt, yes});
    if (!shares.empty()) give_tenths(shares, tally.surveyed().area_m2);
    return shares;
}

std::string share_text(const AnswerShare& share) {
    const bool rounds_to_nothing = share.tenths == 0 && share.covered.cells > 0;
    return share_text(rounds_to_nothing ? std::numeric_limits<double>::min() : share.tenths / double{whole});
}

std::string why_not_text(const Tally& tally) {
    const std::vector<AnswerShare> shares = answer_shares(tally);
    if (shares.empty()) return {};
    std::string yes = "nothing", noes;
    for (const AnswerShare& share : shares) {
        if (!share.why) {
            yes = share_text(share);
            continue;
        }
        noes += (noes.empty() ? "" : ", ") + std::string(name_of(*share.why).words) + " " + share_text(share);
    }
    const bool all_out_of_reach = tally.yes().cells == 0 && tally.of(Verdict::out_of_reach).cells > 0;
    return "of the surveyed area " + yes + " is a yes" + (all_out_of_reach ? " that a way leads to" : "") +
           (noes.empty() ? "" : "; why the rest is not: " + noes);
}

} // namespace swingroom
