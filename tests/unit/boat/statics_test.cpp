#include "swingroom/boat/gear.hpp"
#include "swingroom/boat/statics.hpp"

#include <cmath>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include <gtest/gtest.h>

namespace swingroom {
namespace {

constexpr double radians = 0.017453292519943295;

struct Case {
    std::string id;
    double pull_n, span_m;
    std::vector<RodePart> parts;
    double reach_m, grounded_m, angle_deg, tension_n, vertical_bow_n, vertical_anchor_n, on_seabed_n;
};

/// rode_statics_cases.csv: computed once by two independent methods (closed form from the bow; rigid links of
/// one millimetre from the anchor) that agree to 5e-9 or better.
std::vector<Case> cases() {
    std::ifstream in(SWINGROOM_SOURCE "/tests/unit/boat/rode_statics_cases.csv");
    std::vector<Case> all;
    std::string line;
    std::getline(in, line);
    while (std::getline(in, line)) {
        std::vector<std::string> text;
        std::istringstream fields(line);
        for (std::string field; std::getline(fields, field, ',');) text.push_back(field);
        const auto number = [&](std::size_t i) { return text.at(i).empty() ? 0.0 : std::stod(text.at(i)); };
        Rode rode;
        rode.chain_m = number(4);
        rode.chain_kg_per_m = number(5);
        rode.rope_m = number(6);
        rode.rope_kg_per_m = number(7);
        std::optional<HungSinker> sinker;
        if (!text.at(8).empty()) sinker = HungSinker{in_water_n(number(8), number(9)), number(10)};
        all.push_back({text.at(0), number(2), number(3),
                       rode_parts(rode, rode.aboard_m(), sinker, Stretch::none), number(11), number(12),
                       number(13), number(14), number(15), number(16), number(17)});
    }
    return all;
}

TEST(RodeState, TwentyNineCasesComputedByTwoOtherMethods) {
    const auto all = cases();
    ASSERT_EQ(all.size(), 29U);
    for (const Case& c : all) {
        SCOPED_TRACE(c.id);
        const RodeState state = rode_state(c.pull_n, c.span_m, c.parts);
        // 5e-9 is how well the two methods agree at the worst case, A1.
        EXPECT_NEAR(state.reach_m, c.reach_m, 5e-9 * c.reach_m);
        EXPECT_NEAR(state.grounded_m, c.grounded_m, 2e-7);
        EXPECT_NEAR(state.angle_deg, c.angle_deg, 2e-8);
        EXPECT_NEAR(state.tension_n, c.tension_n, 1e-9 * c.tension_n + 1e-8);
        EXPECT_NEAR(state.vertical_bow_n, c.vertical_bow_n, 1e-8 * c.vertical_bow_n + 1e-7);
        // B8 to B10: the file's figure is for the anchor, below the sinker.
        EXPECT_NEAR(state.vertical_anchor_n, c.vertical_anchor_n, 1e-7 * c.vertical_anchor_n + 1e-6);
        EXPECT_NEAR(state.sinker_on_seabed_n, c.on_seabed_n, 1e-6);
    }
}

} // namespace
} // namespace swingroom
