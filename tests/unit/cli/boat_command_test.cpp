#include "swingroom/base/error.hpp"

#include "cli/commands/boat_command.hpp"
#include "cli/options/options.hpp"
#include "cli/options/setting_options.hpp"
#include "support/sample_yacht.hpp"

#include <boost/program_options.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace swingroom::cli {
namespace {

using testing::HasSubstr;

using testing_support::yacht_text;

/// Runs the command's own steps on a command line.
void run(const std::vector<std::string>& words) {
    namespace po = boost::program_options;
    BoatCommand command;
    Options options;
    po::positional_options_description positional;
    command.declare(options, positional);
    po::variables_map given;
    po::store(po::command_line_parser(words).options(options).positional(positional).run(), given);
    command.accept(given);
    command.run();
}

struct Command : testing::Test {
    void SetUp() override {
        folder =
            std::filesystem::temp_directory_path() /
            ("swingroom_boat_" + std::string(testing::UnitTest::GetInstance()->current_test_info()->name()));
        std::filesystem::create_directories(folder);
        file = (folder / "yacht.ini").string();
        std::ofstream(file) << yacht_text;
    }
    void TearDown() override { std::filesystem::remove_all(folder); }
    [[nodiscard]] std::string refused(std::vector<std::string> words) const {
        words.insert(words.begin(), file);
        try {
            run(words);
        } catch (const InputError& error) {
            return in_options(error.message());
        }
        return "accepted";
    }
    std::filesystem::path folder;
    std::string file;
};

TEST_F(Command, NamesTheOptionThatIsWrong) {
    EXPECT_THAT(refused({}), HasSubstr("--wind"));
    EXPECT_THAT(refused({"--wind", "-3"}), HasSubstr("--wind"));
    EXPECT_THAT(refused({"--wind", "20", "--low-water", "3", "--high-water", "2"}),
                HasSubstr("--high-water"));
    EXPECT_THAT(refused({"--wind", "20", "--format", "pdf"}), HasSubstr("text, json, csv or markdown"));
    EXPECT_THAT(refused({"--wind", "20", "--depth", "1"}), HasSubstr("--depth"));
    EXPECT_THAT(refused({"--wind", "20", "--units", "yd"}),
                HasSubstr("--units: \"yd\" is not known; give m, ft"));
    EXPECT_THAT(refused({"--wind", "20", "--json", "--format", "csv"}), HasSubstr("--json: contradicts"));
    EXPECT_THAT(refused({"--wind", "120"}), HasSubstr("--wind: \"120\" is not possible"));
    const std::string picture = (folder / "rode.svg").string();
    EXPECT_THAT(refused({"--wind", "20", "--depth", "30", "--picture", picture}),
                HasSubstr("in 30.0 m there is no way to lie"));
    EXPECT_FALSE(std::filesystem::exists(picture));
    EXPECT_THAT(refused({"--wind", "20", "--picture", file}), HasSubstr("which is read"));
    std::ofstream(picture) << "of somebody's";
    EXPECT_THAT(refused({"--wind", "20", "--picture", picture}), HasSubstr("--overwrite"));
}

TEST_F(Command, WritesForProgramsInMetresWhateverPeopleRead) {
    const auto printed = [&](const std::vector<std::string>& more) {
        std::vector<std::string> words = {file, "--wind", "20"};
        words.insert(words.end(), more.begin(), more.end());
        testing::internal::CaptureStdout();
        run(words);
        return testing::internal::GetCapturedStdout();
    };
    const std::string json = printed({"--json"});
    EXPECT_THAT(json, testing::StartsWith("{\n  \"schema\": 2,"));
    EXPECT_EQ(printed({"--format", "json", "--units", "ft"}), json);
    EXPECT_EQ(printed({"--json", "--format", "json"}), json);
    EXPECT_EQ(printed({"--format", "csv", "--units", "fm"}), printed({"--format", "csv"}));
    EXPECT_THAT(printed({"--units", "fm"}), HasSubstr("Water 0.00 to 0.00 fm above chart datum"));
}

TEST_F(Command, WritesThePictureWholeOrNotAtAll) {
    const std::string picture = (folder / "rode.svg").string();
    testing::internal::CaptureStdout();
    run({file, "--wind", "20", "--format", "csv", "--picture", picture});
    EXPECT_THAT(testing::internal::GetCapturedStdout(), HasSubstr("depth_m,rode_full_m"));
    EXPECT_TRUE(std::filesystem::exists(picture));
    EXPECT_FALSE(std::filesystem::exists(picture + ".part"));
    EXPECT_THROW(run({file, "--wind", "20", "--picture", (folder / "none" / "rode.svg").string()}),
                 InputError);
}

} // namespace
} // namespace swingroom::cli
