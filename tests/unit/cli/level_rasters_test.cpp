#include "swingroom/base/error.hpp"

#include "cli/options/bathymetry_options.hpp"
#include "cli/options/conditions_options.hpp"
#include "cli/options/level_rasters.hpp"
#include "cli/options/plan.hpp"
#include "support/scratch.hpp"

#include <boost/program_options.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;
using testing::HasSubstr;
using testing_support::Scratch;

Options all_of_them() {
    Options options;
    declare_levels(options, true);
    declare_wind(options);
    declare_current(options);
    declare_bathymetry(options);
    options.add_options()("plan", po::value<std::string>(), "");
    return options;
}

po::variables_map parsed(const Options& options, const std::vector<std::string>& words) {
    po::variables_map given;
    po::store(po::command_line_parser(words).options(options).run(), given);
    return given;
}

TEST(LevelOrRaster, IsALengthIfItCanBeRead) {
    for (const std::string text : {"0.6", "-1.2", "2 ft", "10ft", "0", "1e1"}) {
        EXPECT_FALSE(names_raster(text)) << text;
    }
    EXPECT_NEAR(level_or_raster("10ft", "--low-water").level_m, 3.048, 1e-12);
    for (const std::string text : {"low.tif", "./0.6", "tides/low", "../low.TIF", "2024.tif", "0.6.nc"}) {
        EXPECT_TRUE(names_raster(text)) << text;
        EXPECT_EQ(level_or_raster(text, "--low-water").file, text);
    }
    for (const std::string text : {"low", "0,6", "stated", "0.6 furlongs", ".5x", "", "1."}) {
        EXPECT_FALSE(names_raster(text)) << text;
    }
    EXPECT_THROW((void)level_or_raster("0,6", "--low-water"), InputError);
}

TEST(LevelOrRaster, IsAFileThatIsThereWhateverItIsCalled) {
    const Scratch folder;
    const std::filesystem::path before = std::filesystem::current_path();
    std::filesystem::current_path(std::filesystem::path(folder / "x").parent_path());
    std::ofstream("levels") << "x";
    std::ofstream("0.6") << "x";
    EXPECT_TRUE(names_raster("levels"));
    EXPECT_FALSE(names_raster("0.6")) << "a length first of all";
    std::filesystem::current_path(before);
}

TEST(LevelOrRaster, OfAJobMayBeEitherOfAStayElsewhereNumbersAlone) {
    const po::variables_map given =
        parsed(all_of_them(), {"--low-water=low.tif", "--high-water=2.5", "--wind=10"});
    const LevelsRequest levels = level_requests(given);
    EXPECT_TRUE(levels.vary());
    EXPECT_EQ(levels.low.file, "low.tif");
    EXPECT_EQ(levels.high.level_m, 2.5);
    try {
        (void)levels_of(given);
        ADD_FAILURE() << "taken";
    } catch (const InputError& error) {
        EXPECT_THAT(error.what(),
                    HasSubstr("--low-water: is a raster, and this command looks at no place; "));
    }
    EXPECT_FALSE(level_requests(parsed(all_of_them(), {"--low-water=0.5", "--high-water=2.5"})).vary());
    EXPECT_THROW((void)level_requests(parsed(all_of_them(), {"--low-water=2", "--high-water=1"})),
                 InputError);
    EXPECT_THROW((void)level_requests(parsed(all_of_them(), {"--low-water=-21", "--high-water=x.tif"})),
                 InputError);
    EXPECT_THROW((void)level_requests(parsed(all_of_them(), {"--low-water=x.tif"})), InputError);
}

TEST(LevelOrRaster, OfChartDatumIsSaidForEachRaster) {
    const std::vector<BathymetryRequest> requests = bathymetry_requests(
        parsed(all_of_them(), {"--bathymetry=a.tif", "--bathymetry=b.tif", "--bathymetry=c.tif",
                               "--chart-datum=-0.6", "--chart-datum=stated", "--chart-datum=sep.tif"}));
    EXPECT_EQ(requests.at(0).chart_datum_m, -0.6);
    EXPECT_FALSE(requests.at(0).chart_datum_file);
    EXPECT_FALSE(requests.at(1).chart_datum_m || requests.at(1).chart_datum_file);
    EXPECT_EQ(requests.at(2).chart_datum_file, "sep.tif");
    EXPECT_FALSE(requests.at(2).chart_datum_m);
}

TEST(LevelOrRaster, OfAPlanIsSeenFromThePlansFolder) {
    const Scratch folder;
    const std::string plan = folder / "job.plan", at = std::filesystem::path(plan).parent_path().string();
    std::ofstream(plan) << "low-water = tides/low.tif\nhigh-water = 2.5\nchart-datum = sep.tif\n"
                           "chart-datum = stated\nbathymetry = a.tif\nbathymetry = b.bag\n";
    const Options own = all_of_them();
    const Given filled = with_plan(parsed(own, {"--plan", plan}), own);
    EXPECT_EQ(filled.values["low-water"].as<std::string>(), at + "/tides/low.tif");
    EXPECT_EQ(filled.values["high-water"].as<std::string>(), "2.5");
    EXPECT_EQ(filled.values["chart-datum"].as<std::vector<std::string>>(),
              (std::vector<std::string>{at + "/sep.tif", "stated"}));
    EXPECT_THAT(filled.planned_paths, testing::UnorderedElementsAre(at + "/tides/low.tif", at + "/sep.tif",
                                                                    at + "/a.tif", at + "/b.bag"));
    // A plan that is printed names files by absolute paths, and levels as they are.
    const std::string whole = whole_plan(parsed(own, {"--low-water=low.tif", "--high-water=2.5"}), own);
    EXPECT_THAT(whole, HasSubstr("low-water = " + (std::filesystem::current_path() / "low.tif").string()));
    EXPECT_THAT(whole, HasSubstr("high-water = 2.5\n"));
}

} // namespace
} // namespace swingroom::cli
