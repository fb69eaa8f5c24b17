#include "swingroom/base/error.hpp"
#include "swingroom/publish/feature_names.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

namespace swingroom {
namespace {

const std::vector<Verdict> of_features = {Verdict::full,
                                          Verdict::short_scope,
                                          Verdict::sinker,
                                          Verdict::full_by_sounder,
                                          Verdict::short_by_sounder,
                                          Verdict::sinker_by_sounder,
                                          Verdict::out_of_reach};

NamePrefix prefix(const std::string& text) { return NamePrefix::parse(text, "--name"); }

/// Names of every kind, as many as a run has.
std::vector<std::string> all_names(std::size_t spots, const NamePrefix& before) {
    std::vector<std::string> names;
    for (std::size_t i = 1; i <= spots; ++i) {
        const Verdict verdict = of_features[i % of_features.size()];
        const auto number = static_cast<std::int64_t>(i);
        names.push_back(spot_name(i, spots, verdict, before));
        names.push_back(circle_name(i, spots, verdict, before));
        names.push_back(zone_name(number, verdict, before));
        names.push_back(exclusion_name(number, static_cast<Effects>(1 << i % 4), before));
        for (const std::string& of : std::vector{names[names.size() - 1], names[names.size() - 2]}) {
            names.push_back(hole_name(number, of));
            names.push_back(part_name(number, of));
        }
    }
    return names;
}

TEST(FeatureNames, SayTheWayAndTheNumber) {
    EXPECT_EQ(spot_name(1, 50, Verdict::full), "FUL01");
    EXPECT_EQ(spot_name(7, 120, Verdict::short_by_sounder), "IFS007");
    EXPECT_EQ(spot_name(120, 120, Verdict::sinker), "SNK120");
    EXPECT_EQ(spot_name(9, 12, Verdict::out_of_reach), "BLK09");
    EXPECT_EQ(circle_name(9, 12, Verdict::out_of_reach), "CBL09");
    EXPECT_EQ(zone_name(9, Verdict::out_of_reach), "ZBL9");
    EXPECT_EQ(circle_name(7, 12, Verdict::full_by_sounder), "CIF07");
    EXPECT_EQ(zone_name(3, Verdict::short_scope), "ZSH3");
    EXPECT_EQ(exclusion_name(12, effect::hull | effect::ground), "XHU12");
    EXPECT_EQ(exclusion_name(12, effect::drop | effect::warn), "XDR12");
    EXPECT_EQ(exclusion_name(12, effect::trip_line), "XAD12");
    EXPECT_EQ(spot_name(1, 50, Verdict::full, prefix("hav")), "HAVFUL01");
    EXPECT_EQ(hole_name(4, "ZFU12"), "HOZ4");
    EXPECT_EQ(hole_name(4, "B2XHU12"), "B2HOX4");
    EXPECT_EQ(part_name(4, "CIF12"), "PAC4");
}

// Old plotters keep eight characters, some six, and nothing but capitals and digits.
TEST(FeatureNames, AreToldApartInEightCharactersAndInSixWithoutPrefix) {
    for (const std::string before : {"", "B2", "HAVEN"}) {
        for (const std::size_t spots : {9U, 99U, 999U, 20000U}) {
            const std::vector<std::string> names = all_names(spots, prefix(before));
            std::set<std::string> eight, six;
            for (const std::string& name : names) {
                EXPECT_LE(name.size(), 8U) << name;
                EXPECT_TRUE(std::all_of(name.begin(), name.end(), [](char c) {
                    return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
                })) << name;
                eight.insert(name.substr(0, 8));
                six.insert(name.substr(0, 6));
            }
            EXPECT_EQ(eight.size(), names.size()) << before << ' ' << spots;
            if (before.empty() && spots < 1000) {
                EXPECT_EQ(six.size(), names.size()) << spots;
            }
        }
    }
}

// Cut anywhere, a yes by the sounder never reads as one without that condition, nor a place that no way leads
// to as a yes.
TEST(FeatureNames, ThatAreCutNeverReadAsMore) {
    for (const std::string before : {"", "B2", "HAV", "SH", "Z9"}) {
        for (const Verdict verdict : {Verdict::full_by_sounder, Verdict::short_by_sounder,
                                      Verdict::sinker_by_sounder, Verdict::out_of_reach}) {
            const std::string name = spot_name(3, 50, verdict, prefix(before));
            for (const char* const plain : {"FUL", "SHO", "SNK"}) {
                EXPECT_EQ(name.find(plain), std::string::npos) << name;
            }
        }
    }
    EXPECT_EQ(spot_name(100000, 100000, Verdict::full, prefix("HAV")).size(), 9U)
        << "the number is never cut";
}

TEST(NamePrefix, IsOfLettersAndDigitsThatSpellNoWay) {
    for (const std::string wrong : {"a b", "\xc3\xa9", "x-1", "ful", "IF", "sho", "ZFU", "xhu", "blk"}) {
        EXPECT_THROW((void)prefix(wrong), InputError) << wrong;
    }
    EXPECT_EQ(prefix("haven").before(2), "HAV");
    EXPECT_EQ(prefix("haven").before(4), "H");
    EXPECT_EQ(prefix("haven").before(9), "");
}

} // namespace
} // namespace swingroom
