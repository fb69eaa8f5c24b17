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
        if (i <= 10) { // of more there are no ways
            const std::string way = way_name(i, spots, before);
            names.insert(names.begin(), {way, sill_name(way), turn_name(i, 1, way), turn_name(i, 12, way)});
        }
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
    EXPECT_EQ(way_name(3, 50), "WAY03");
    EXPECT_EQ(way_name(3, 50, prefix("hav")), "HAVWAY03");
    EXPECT_EQ(sill_name("WAY03"), "SIL03");
    EXPECT_EQ(sill_name("HAVWAY03"), "HAVSIL03");
    EXPECT_EQ(turn_name(1, 4, "WAY01"), "TRA04");
    EXPECT_EQ(turn_name(3, 12, "HAVWAY03"), "HAVTRC12");
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

TEST(PrefixesOfPlaces, AreLettersOfTheirNames) {
    using Lists = std::vector<std::vector<std::string>>;
    EXPECT_EQ(prefixes_of_places({"Gull Cove", "Gull Island", "Inner Pool"}, 1),
              (Lists{{"GUL"}, {"GUI"}, {"INN"}}));
    EXPECT_EQ(prefixes_of_places({"Gull Cove", "Gull Island"}, 2), (Lists{{"GU1", "GU2"}, {"GL1", "GL2"}}));
    EXPECT_EQ(prefixes_of_places({"\u00cele d'Yeu", "Ax"}, 1), (Lists{{"ILE"}, {"A01"}}));
    EXPECT_EQ(prefixes_of_places({"\u03a0\u03cc\u03c1\u03bf\u03c2", "\u0399\u03bf\u03c2"}, 1),
              (Lists{{"S01"}, {"S02"}}))
        << "of no Latin letter";
    EXPECT_EQ(prefixes_of_places({"Full Moon Bay", "Snake Key"}, 1), (Lists{{"FUM"}, {"SNA"}}))
        << "FUL is a code";
    EXPECT_EQ(prefixes_of_places({"x"}, 12).front().at(11), "X1D") << "C and FUL would be CFU";
}

TEST(PrefixesOfPlaces, TellEveryRunApartAndAreTaken) {
    std::vector<std::string> alike;
    for (int i = 0; i < 250; ++i) {
        alike.insert(alike.end(), {"Along " + std::to_string(i), "Sinker Cove"});
    }
    for (const std::size_t boats : {1U, 30U}) {
        std::set<std::string> all;
        for (const std::vector<std::string>& of_place : prefixes_of_places(alike, boats)) {
            ASSERT_EQ(of_place.size(), boats);
            for (const std::string& one : of_place) {
                EXPECT_EQ(one.size(), 3U);
                EXPECT_EQ(prefix(one).before(2), one) << "taken whole";
                EXPECT_TRUE(all.insert(one).second) << one;
            }
        }
        EXPECT_EQ(all.size(), alike.size() * boats);
    }
}

TEST(NamesAmongRuns, AreToldApartInTenCharacters) {
    std::set<std::string> all;
    std::size_t names = 0;
    for (const std::vector<std::string>& of_place :
         prefixes_of_places({"Gull Cove", "Gull Island", "Aft"}, 2)) {
        for (const std::string& of_run : of_place) {
            for (const std::size_t spots : {9U, 9999U}) {
                for (std::size_t i = 1; i <= spots; i += spots / 9) {
                    const std::string own = spot_name(i, spots, of_features[i % 7], prefix(of_run));
                    const std::string name = name_among_runs(own, of_run);
                    EXPECT_LE(name.size(), 10U) << name;
                    EXPECT_EQ(name.substr(0, 3), of_run);
                    EXPECT_EQ(name.substr(3), spot_name(i, spots, of_features[i % 7]))
                        << "what it is without";
                    all.insert(name);
                    ++names;
                }
            }
        }
    }
    EXPECT_EQ(all.size(), names);
}

} // namespace
} // namespace swingroom
