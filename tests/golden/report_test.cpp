// The report as somebody meets it: a file that a browser opens. Read by libxml2 (xmllint) and looked at by
// Chromium, which tests/golden/report_in_browser.py drives; both skip where their program is not installed.

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <sys/wait.h>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;
using testing::Not;

bool installed(const std::string& program) {
    return std::system(("command -v " + program + " >/dev/null 2>&1").c_str()) == 0;
}

/// What a command of the shell prints, and how it ends.
struct Printed {
    int exit_code = -1;
    std::string text;
};
Printed shell(const std::string& command) {
    FILE* const pipe = popen((command + " 2>&1").c_str(), "r");
    Printed printed;
    std::array<char, 4096> piece{};
    for (std::size_t n = 0; (n = std::fread(piece.data(), 1, piece.size(), pipe)) > 0;) {
        printed.text.append(piece.data(), n);
    }
    const int status = pclose(pipe);
    printed.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    return printed;
}

/// Names that would run as scripts if one place forgot to escape them.
constexpr const char* hostile_boat =
    R"(</title></style><script>hostile=1;document.title='hostile'</script><img src=x onerror="hostile=1"> & 'her')";
constexpr const char* hostile_file = R"(x" onload="hostile=1" <svg onload=hostile=1> ]]> & '.geojson)";
constexpr const char* hostile_kind = R"(<a href=javascript:hostile=1 onmouseover='hostile=1'>rock</a>)";

class Report : public testing::Test {
protected:
    /// The haven's report, and the one of a run whose every name is hostile.
    static void SetUpTestSuite() {
        scratch_ = new Scratch;
        const Outcome haven =
            swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers", "report,exclusions",
                       "--styles", "no", "--out", *scratch_ / "haven"});
        ASSERT_EQ(haven.exit_code, 0) << haven.err;
        const std::string source = SWINGROOM_SOURCE;
        std::string boat = bytes_of(source + "/testdata/haven/heavy_ketch.ini");
        boat.replace(boat.find("heavy ketch"), 11, hostile_boat);
        write_bytes(*scratch_ / "boat.ini", boat);
        write_bytes(*scratch_ / hostile_file, bytes_of(source + "/testdata/haven/rocks.geojson"));
        write_bytes(*scratch_ / "hostile.rules",
                    std::string("[") + hostile_kind +
                        "]\nlayers = *\neffects = hull ground\nmargin = 30 m\nsource = " + hostile_kind +
                        "\n");
        const Outcome hostile = swingroom({"overlay",
                                           "--bathymetry",
                                           "testdata/haven/bathymetry.tif",
                                           "--positive",
                                           "up",
                                           "--chart-datum",
                                           "0",
                                           "--uncertainty",
                                           "0.2",
                                           "--hazards",
                                           *scratch_ / hostile_file,
                                           "--rules",
                                           *scratch_ / "hostile.rules",
                                           "--boat",
                                           *scratch_ / "boat.ini",
                                           "--low-water",
                                           "0.5",
                                           "--high-water",
                                           "2.5",
                                           "--wind",
                                           "15",
                                           "--layers",
                                           "report,exclusions",
                                           "--out",
                                           *scratch_ / "hostile"});
        ASSERT_EQ(hostile.exit_code, 0) << hostile.err;
    }
    static void TearDownTestSuite() {
        delete scratch_;
        scratch_ = nullptr;
    }
    static std::string page(const std::string& of) { return *scratch_ / (of + "/report.html"); }

    static Scratch* scratch_;
};
Scratch* Report::scratch_ = nullptr;

TEST_F(Report, BringsTheLayersItIsMadeFrom) {
    std::vector<std::string> names;
    for (const auto& [name, bytes] : contents(*scratch_ / "haven")) {
        names.push_back(name);
    }
    EXPECT_THAT(names, testing::IsSupersetOf({"exclusions.geojson", "manifest.json", "report.html",
                                              "spots.geojson", "verdict.tif", "verdict.tif.aux.xml",
                                              "ways.geojson", "zones.geojson"}));
    // Beside them stand styles, and nothing else.
    EXPECT_EQ(std::count_if(
                  names.begin(), names.end(),
                  [](const std::string& name) { return !name.ends_with(".sld") && !name.ends_with(".qml"); }),
              8);
    EXPECT_EQ(swingroom({"verify", *scratch_ / "haven"}).exit_code, 0);
}

TEST_F(Report, SaysWhatTheOtherCommandsSay) {
    const std::string text = bytes_of(page("haven"));
    EXPECT_THAT(text, HasSubstr("47°59.2232&#39;N")); // the middle of the pool of README.md's tour
    EXPECT_THAT(text, HasSubstr("shoal water, 2.6 m at low water, 60.0 m off, bearing 358°"));
    EXPECT_THAT(text,
                HasSubstr("default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; "
                          "form-action 'none'"));
    EXPECT_THAT(text, HasSubstr("/testdata/haven/cables.geojson\n")); // the plan
    EXPECT_THAT(text, HasSubstr("b41d26fb489f635b7dc855b1c081b85eaf9275b1fc130445d7658c7cc52fee3a"));
}

TEST_F(Report, IsInWhatIsReadAndRodeAsItIsMarkedToo) {
    const Outcome run = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers", "report",
                                   "--units", "ft", "--out", *scratch_ / "feet"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const std::string text = bytes_of(page("feet"));
    EXPECT_THAT(text, HasSubstr(R"(data-name="Rode" data-unit=" ft">164.1<)"));
    EXPECT_THAT(text, HasSubstr(" acres")) << "areas follow, too";
    EXPECT_THAT(text, HasSubstr(R"(data-name="Rode by marks" data-unit=" m">50.0<)"));
    EXPECT_THAT(text, HasSubstr(R"(data-name="Rode by marks" data-unit=" m">35.0)"
                                "\u201360.0<"));
    EXPECT_THAT(text, HasSubstr("shoal water, 8.5 ft at low water, 196.8 ft off, bearing 358\u00b0"));
    EXPECT_THAT(text, Not(HasSubstr(" m at low water")));
}

TEST_F(Report, SpeaksOfLayersWhateverTheirFiles) {
    const Outcome run = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers", "report",
                                   "--format", "kml,mbtiles", "--out", *scratch_ / "kml"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const auto files = contents(*scratch_ / "kml");
    ASSERT_FALSE(files.contains("zones.geojson"));
    const std::string& text = files.at("report.html");
    for (const char* file : {"zones.geojson", "spots.geojson", "verdict.tif"}) {
        EXPECT_THAT(text, Not(HasSubstr(file)));
    }
    EXPECT_THAT(text, HasSubstr("All are in the layer zones."));
    EXPECT_EQ(swingroom({"verify", *scratch_ / "kml"}).exit_code, 0);
}

TEST_F(Report, HoldsNoMarkupFromFiles) {
    const std::string text = bytes_of(page("hostile"));
    for (const char* tag : {"<script", "<img", "<svg onload", "<a href=j"}) {
        EXPECT_THAT(text, Not(HasSubstr(tag)));
    }
    EXPECT_THAT(text, HasSubstr("&lt;script&gt;hostile=1"));
    EXPECT_THAT(text, HasSubstr("x&quot; onload=&quot;hostile=1&quot;"));
    EXPECT_THAT(text, HasSubstr("&lt;a href=javascript:hostile=1"));
}

TEST_F(Report, IsWellFormed) {
    if (!installed("xmllint")) GTEST_SKIP() << "xmllint (package libxml2-utils) is not installed";
    for (const char* of : {"haven", "hostile"}) {
        const Printed read = shell("xmllint --nonet --noout '" + page(of) + "'");
        EXPECT_EQ(read.exit_code, 0) << read.text;
        EXPECT_EQ(read.text, "");
    }
}

TEST_F(Report, StandsInABrowser) {
    for (const char* program : {"chromium", "pdfinfo", "pdftoppm", "pdftotext", "python3"}) {
        if (!installed(program)) {
            GTEST_SKIP() << program << " is not installed (packages chromium, poppler-utils, python3)";
        }
    }
    const Printed looked =
        shell("timeout 120 python3 '" SWINGROOM_SOURCE "/tests/golden/report_in_browser.py' chromium '" +
              page("haven") + "' '" + page("hostile") + "' --sheets 7");
    EXPECT_EQ(looked.text, "pages: 2\n");
    EXPECT_EQ(looked.exit_code, 0);
    // What a tide adds is worth a sheet more, and no second one.
    write_bytes(*scratch_ / "tide.csv",
                "# zone: Z\n# unit: m\n# above-chart-datum: 0\ntime,height,type\n"
                "2026-07-01T11:35,0.5,L\n2026-07-01T17:45,2.5,H\n2026-07-02T00:00,0.4,L\n"
                "2026-07-02T06:10,2.4,H\n2026-07-02T12:20,0.6,L\n");
    const Outcome tide = swingroom({"overlay",
                                    "--plan",
                                    "testdata/haven/haven.plan",
                                    "--layers",
                                    "report,exclusions",
                                    "--styles",
                                    "no",
                                    "--out",
                                    *scratch_ / "tide",
                                    "--tide",
                                    *scratch_ / "tide.csv",
                                    "--arrive",
                                    "2026-07-01T15:00Z",
                                    "--depart",
                                    "2026-07-02T09:00Z",
                                    "--below",
                                    "0.1",
                                    "--above",
                                    "0.1",
                                    "--clock",
                                    "+02:00"});
    ASSERT_EQ(tide.exit_code, 0) << tide.err;
    const Printed with_tide =
        shell("timeout 120 python3 '" SWINGROOM_SOURCE "/tests/golden/report_in_browser.py' chromium '" +
              page("tide") + "' --sheets 8");
    EXPECT_EQ(with_tide.text, "pages: 1\n");
    EXPECT_EQ(with_tide.exit_code, 0);
}

} // namespace
} // namespace swingroom::golden
