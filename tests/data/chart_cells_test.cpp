// Charts of hydrographic offices, each by itself: depths and dangers of the cell alone.

#include "golden/support.hpp"
#include "support/open_data.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;
using testing::Not;

struct Cell {
    const char* file;
    int least_yes; ///< cells of 15 m; a wrong sign, a lost layer or a margin gone wild make it none
};

class ChartCells : public testing::TestWithParam<Cell> {
protected:
    void SetUp() override {
        if (testing_support::open_data().empty()) GTEST_SKIP() << testing_support::no_open_data;
        file_ = testing_support::open_data() + GetParam().file;
    }
    std::string file_;
};

TEST_P(ChartCells, GiveAnOverlayByThemselves) {
    const Scratch scratch;
    const std::string out = scratch / "chart";
    const Outcome run =
        swingroom({"overlay", "--chart", file_, "--cell", "15", "--boat", "testdata/haven/heavy_ketch.ini",
                   "--low-water", "0", "--high-water", "0.5", "--wind", "15", "--layers",
                   "verdict,depth_low,exclusions", "--out", out});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    EXPECT_THAT(run.err, Not(HasSubstr("no rule speaks"))) << "every class in it has a rule";
    const Layer verdict = read_layer(out + "/verdict.tif");
    const auto yes =
        std::count_if(verdict.values.begin(), verdict.values.end(), [](double v) { return v >= 2; });
    EXPECT_GT(yes, GetParam().least_yes);
}

/// Features by class as `inputs` prints them.
std::map<std::string, long> told_counts(const std::string& page) {
    std::map<std::string, long> counts;
    std::istringstream lines(page);
    bool in_table = false;
    for (std::string line; std::getline(lines, line);) {
        if (line.find("features by effect") != std::string::npos) {
            in_table = true;
        } else if (in_table && line.starts_with("    ")) {
            std::istringstream words(line);
            std::string name;
            long count = 0;
            words >> name >> count;
            counts[name] = count;
        } else {
            in_table = false;
        }
    }
    return counts;
}

TEST_P(ChartCells, CountsOfClassesAreThoseOfOgrinfo) {
    const Outcome page = swingroom({"inputs", file_});
    EXPECT_EQ(page.exit_code, 0) << page.err;
    EXPECT_THAT(page.out, Not(HasSubstr("no rule speaks")));
    GDALAllRegister();
    // As ogrinfo opens it, but that soundings count one by one.
    const char* const options[] = {"SPLIT_MULTIPOINT=ON", "ADD_SOUNDG_DEPTH=ON", nullptr};
    const GDALDatasetUniquePtr cell(GDALDataset::Open(file_.c_str(), GDAL_OF_VECTOR, nullptr, options));
    ASSERT_NE(cell, nullptr);
    std::map<std::string, long> counts;
    for (OGRLayer* const layer : cell->GetLayers()) {
        if (std::string(layer->GetName()) != "DSID") {
            counts[layer->GetName()] = static_cast<long>(layer->GetFeatureCount());
        }
    }
    EXPECT_EQ(told_counts(page.out), counts);
    EXPECT_GE(counts.size(), 30U);
}

INSTANTIATE_TEST_SUITE_P(Samples, ChartCells,
                         testing::Values(Cell{"chesapeake-enc/US4MD81M.000", 500000},
                                         Cell{"key-west-enc/US5FL4DR.000", 2000},
                                         Cell{"key-west-enc/US5FL4DQ.000", 10000}),
                         [](const auto& test) {
                             std::string name = test.param.file;
                             name = name.substr(name.find('/') + 1);
                             return name.substr(0, name.find('.'));
                         });

/// The raster of Key West lies on its charts' soundings (SOURCE.md of the sample: median error 0.00 m), so
/// that a datum that is 5 m off is found by them; as a survey it keeps what it gives by itself.
class KeyWest : public testing::Test {
protected:
    void SetUp() override {
        if (testing_support::open_data().empty()) GTEST_SKIP() << testing_support::no_open_data;
        folder_ = testing_support::open_data() + "key-west-enc/";
    }
    [[nodiscard]] std::vector<std::string> raster(const std::string& datum) const {
        return {folder_ + "key_west_depth_10m_derived.tif",
                "--positive",
                "down",
                "--chart-datum",
                datum,
                "--uncertainty",
                "0.3"};
    }
    [[nodiscard]] Outcome overlay(const std::string& charts_as, const std::string& out,
                                  const std::vector<std::string>& more) const {
        std::vector<std::string> words = {"overlay", "--bathymetry"};
        const auto add = [&words](const std::vector<std::string>& some) {
            words.insert(words.end(), some.begin(), some.end());
        };
        add(raster("0"));
        add({charts_as, folder_ + "US5FL4DR.000", charts_as, folder_ + "US5FL4DQ.000"});
        add({"--boat", "testdata/haven/heavy_ketch.ini", "--low-water", "0", "--high-water", "0.6", "--wind",
             "15", "--layers", "verdict", "--out", out});
        add(more);
        return swingroom(words);
    }
    std::string folder_;
};

TEST_F(KeyWest, SoundingsFindADatumThatIsWrong) {
    for (const char* const datum : {"0", "5"}) {
        std::vector<std::string> words = raster(datum);
        words.insert(words.begin(), "inputs");
        words.push_back(folder_ + "US5FL4DR.000");
        words.push_back(folder_ + "US5FL4DQ.000");
        const Outcome found = swingroom(words);
        EXPECT_EQ(found.exit_code, 0) << found.err;
        EXPECT_THAT(found.out, HasSubstr(std::string("raster less chart ") + datum + ".00 m"));
        const auto warned = HasSubstr("look at --chart-datum, --depth-unit and --positive");
        if (std::string(datum) == "0") {
            EXPECT_THAT(found.out, Not(warned));
        } else {
            EXPECT_THAT(found.out, warned);
        }
    }
}

TEST_F(KeyWest, ASurveyUnderItsChartsKeepsNineTenthsOfItsYes) {
    const Scratch scratch;
    ASSERT_EQ(overlay("--hazards", scratch / "alone", {}).exit_code, 0);
    ASSERT_EQ(overlay("--chart", scratch / "survey", {"--survey", "yes"}).exit_code, 0);
    const Layer alone = read_layer(scratch / "alone/verdict.tif"),
                survey = read_layer(scratch / "survey/verdict.tif");
    int yes = 0, kept = 0;
    for (std::size_t i = 0; i < alone.values.size(); ++i) {
        yes += alone.values[i] >= 2 ? 1 : 0;
        kept += alone.values[i] >= 2 && survey.values[i] >= 2 ? 1 : 0;
    }
    EXPECT_GT(yes, 100'000);
    EXPECT_GE(kept, yes * 9 / 10);
}

/// Updates beside the cell are applied: 111 wrecks with them, 110 without (SOURCE.md of the sample).
TEST(ChartUpdates, AreApplied) {
    if (testing_support::open_data().empty()) GTEST_SKIP() << testing_support::no_open_data;
    const std::string cell = testing_support::open_data() + "chesapeake-enc/US4MD81M.000";
    EXPECT_EQ(told_counts(swingroom({"inputs", cell}).out)["WRECKS"], 111);
    const Scratch scratch;
    std::filesystem::copy_file(cell, scratch / "US4MD81M.000");
    EXPECT_EQ(told_counts(swingroom({"inputs", scratch / "US4MD81M.000"}).out)["WRECKS"], 110);
}

} // namespace
} // namespace swingroom::golden
