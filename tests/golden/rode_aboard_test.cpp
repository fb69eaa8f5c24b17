// A boat whose rode ends between two tenths of a metre, in water that takes all of it: every place says the
// same, and none asks for more than there is.

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <regex>
#include <set>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;

/// Every number that a text names by this pattern, whose first group it is.
std::set<std::string> figures(const std::string& text, const char* pattern) {
    const std::regex figure(pattern);
    std::set<std::string> found;
    for (std::sregex_iterator at(text.begin(), text.end(), figure), end; at != end; ++at) {
        found.insert((*at)[1].str());
    }
    return found;
}

class AllTheRode : public testing::TestWithParam<const char*> {
protected:
    void SetUp() override {
        Sea deep;
        deep.elevation_m = -26;
        write_sea(sea, deep);
        write_bytes(boat,
                    std::string("[hull]\nlength = 12 m\nbeam = 3.8 m\ndraught = 1.9 m\nbow_roller = 1.2 m\n"
                                "[rode]\nchain = ") +
                        GetParam() +
                        "\nchain_diameter = 10 mm\n[anchor]\ntype = plough\nmass = 20 kg\n"
                        "holding.sand = 20 kN\n");
    }
    [[nodiscard]] std::vector<std::string> job(std::vector<std::string> words) const {
        words.insert(words.end(),
                     {"--bathymetry", sea, "--positive", "up", "--chart-datum", "0", "--uncertainty", "0",
                      "--boat", boat, "--low-water", "0", "--high-water", "0", "--wind", "20"});
        return words;
    }
    Scratch scratch;
    const std::string sea = scratch / "sea.tif", boat = scratch / "boat.ini", out = scratch / "out";
};

TEST_P(AllTheRode, IsSaidAlikeAndNeverBeyondWhatIsAboard) {
    const double aboard_m = std::strtod(GetParam(), nullptr);
    ASSERT_GT(aboard_m, 139);
    const std::string tenths = "139.1"; // of what is aboard, rounded down
    const auto run = [](const std::vector<std::string>& words) {
        const Outcome done = swingroom(words);
        EXPECT_EQ(done.exit_code, 0) << done.err;
        return done.out;
    };
    const std::set<std::string> once = {tenths};
    const std::string spot = run(job({"spot", "-28.33265", "47.84831"}));
    EXPECT_THAT(spot, HasSubstr("yes, at full scope"));
    EXPECT_EQ(figures(spot, "rode +(139[.0-9]*) m"), once);
    EXPECT_EQ(figures(run(job({"spot", "-28.33265", "47.84831", "--json"})), "\"rode_m\": (139[.0-9]*)"),
              once);

    const std::string summary = run(job({"overlay", "--layers", "verdict,zones,spots,report", "--format",
                                         "cog,geojson", "--json", "--out", out}));
    EXPECT_EQ(figures(summary, "\"rode_m\": (139[.0-9]*)"), once);
    EXPECT_EQ(figures(bytes_of(out + "/spots.geojson"), "\"rode_m\": ?(139[.0-9]*)"), once);
    EXPECT_EQ(figures(bytes_of(out + "/zones.geojson"), "\"rode_m(?:in|ax)_m\": ?(139[.0-9]*)"), once);
    const std::string page = bytes_of(out + "/report.html");
    EXPECT_EQ(figures(page, "data-name=\"Rode\"[^>]*>(139[^<]*)<"), once);
    EXPECT_EQ(figures(page, "[Rr]ode (139[.0-9]*) m"), once) << "the sentence, and the picture's words";

    const std::vector<std::string> table = {"boat", boat, "--wind", "20"};
    const auto as = [&](const char* format) {
        auto words = table;
        words.insert(words.end(), {"--format", format});
        return run(words);
    };
    for (const char* format : {"text", "markdown"}) {
        EXPECT_EQ(figures(as(format), "[ |](139[.][0-2][0-9]*) "), once) << format;
        EXPECT_THAT(as(format), HasSubstr("Rode " + tenths + " m of chain"));
    }
    // Two decimals there.
    for (const std::string& text : {as("json"), as("csv")}) {
        const std::set<std::string> said = figures(text, "(?:\"rode_m\": |,)(139[.][0-2][0-9]*),");
        EXPECT_EQ(said.size(), 1U);
        for (const std::string& figure : said) {
            EXPECT_DOUBLE_EQ(std::strtod(figure.c_str(), nullptr), aboard_m) << text;
        }
    }
}
INSTANTIATE_TEST_SUITE_P(Lengths, AllTheRode, testing::Values("139.1 m", "139.14 m", "139.19 m"));

} // namespace
} // namespace swingroom::golden
