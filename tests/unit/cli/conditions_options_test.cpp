#include "swingroom/base/error.hpp"

#include "cli/options/conditions_options.hpp"
#include "cli/options/format_options.hpp"

#include <boost/program_options.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;
using testing::StartsWith;

Options all_of_them(bool levels_must_be_given) {
    Options options;
    declare_levels(options, levels_must_be_given);
    declare_wind(options);
    declare_current(options);
    return options;
}

po::variables_map parsed(const Options& options, const std::vector<std::string>& words) {
    po::variables_map given;
    po::store(po::command_line_parser(words).options(options).run(), given);
    return given;
}

Conditions told_by(const po::variables_map& given) { return conditions_of(given, levels_of(given)); }

std::string complaint(bool levels_must_be_given, const std::vector<std::string>& words) {
    try {
        (void)told_by(parsed(all_of_them(levels_must_be_given), words));
    } catch (const InputError& error) {
        return error.what();
    }
    return "taken";
}

TEST(ConditionsOptions, AreReadInTheirUnits) {
    const Conditions told = told_by(
        parsed(all_of_them(true), {"--low-water=-0.5", "--high-water=10ft", "--wind=18", "--current=1.5"}));
    EXPECT_EQ(told.water.low_m, -0.5);
    EXPECT_NEAR(told.water.high_m, 3.048, 1e-12);
    EXPECT_EQ(told.wind_kn, 18);
    EXPECT_EQ(told.current_kn, 1.5);
}

TEST(ConditionsOptions, LevelsAreChartDatumOnlyWhereTheyNeedNotBeGiven) {
    const Conditions told = told_by(parsed(all_of_them(false), {"--wind=10"}));
    EXPECT_EQ(told.water.low_m, 0);
    EXPECT_EQ(told.water.high_m, 0);
    EXPECT_EQ(told.current_kn, 0);
    EXPECT_THAT(complaint(true, {"--wind=10"}), StartsWith("--low-water: is missing; "));
    EXPECT_THAT(complaint(true, {"--wind=10", "--low-water=0"}), StartsWith("--high-water: is missing; "));
}

TEST(ConditionsOptions, AreHeldToWhatThereCanBe) {
    EXPECT_THAT(complaint(false, {}), StartsWith("--wind: is missing; "));
    for (const std::string wind : {"0.9", "101"}) {
        EXPECT_THAT(complaint(false, {"--wind=" + wind}), StartsWith("--wind: \"" + wind + "\""));
    }
    for (const std::string current : {"-0.1", "15.1"}) {
        EXPECT_THAT(complaint(false, {"--wind=10", "--current=" + current}),
                    StartsWith("--current: \"" + current + "\""));
    }
    for (const std::string level : {"-21", "31"}) {
        EXPECT_THAT(complaint(false, {"--wind=10", "--low-water=" + level}),
                    StartsWith("--low-water: \"" + level + "\""));
    }
    EXPECT_THAT(complaint(false, {"--wind=10", "--low-water=1", "--high-water=0.9"}),
                StartsWith("--high-water: lies below --low-water; "));
    EXPECT_EQ(complaint(false, {"--wind=100", "--current=15", "--low-water=-20", "--high-water=30"}),
              "taken");
}

TEST(YesOrNo, IsOneOfTheTwoAndNothingElse) {
    Options options;
    declare_formats(options, "FORMAT,...", "cog", "");
    EXPECT_TRUE(styles_of(parsed(options, {})));
    EXPECT_FALSE(styles_of(parsed(options, {"--styles=no"})));
    EXPECT_TRUE(styles_of(parsed(options, {"--styles=yes"})));
    for (const std::string word : {"maybe", "Yes", "true", "1"}) {
        EXPECT_THROW((void)styles_of(parsed(options, {"--styles=" + word})), InputError) << word;
    }
}

} // namespace
} // namespace swingroom::cli
