// What commands make of their options, without a program and without a file being opened but a plan.

#include "swingroom/base/error.hpp"

#include "cli/commands/overlay_command.hpp"
#include "cli/commands/spot_command.hpp"
#include "cli/options/format_options.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"
#include "cli/run/opened_job.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <map>
#include <string>
#include <system_error>
#include <unistd.h>
#include <vector>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;
using Words = std::vector<std::string>;
using testing::HasSubstr;
using testing::StartsWith;

Words operator+(Words words, const Words& more) {
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

po::variables_map parsed(const Words& words, const po::options_description& options,
                         const po::positional_options_description& positional = {}) {
    po::variables_map given;
    po::store(po::command_line_parser(words).options(options).positional(positional).run(), given);
    return given;
}

/// All that a command asks for, with some words exchanged or added.
Words whole_job(const Words& changes, const Words& left_out = {}) {
    Words words;
    for (const std::string word : {"--bathymetry=sea.tif", "--boat=boat.ini", "--low-water=0.4",
                                   "--high-water=2.5", "--wind=18", "--out=folder"}) {
        const std::string option = word.substr(0, word.find('='));
        const auto same = [&option](const std::string& other) {
            return other.substr(0, other.find('=')) == option;
        };
        if (std::none_of(changes.begin(), changes.end(), same) &&
            std::none_of(left_out.begin(), left_out.end(), same)) {
            words.push_back(word);
        }
    }
    words.insert(words.end(), changes.begin(), changes.end());
    return words;
}

/// What the overlay command says to a job; empty where it takes it.
std::string overlay_says(const Words& changes, const Words& left_out = {}) {
    OverlayCommand command;
    Options options;
    po::positional_options_description positional;
    command.declare(options, positional);
    try {
        command.accept(parsed(whole_job(changes, left_out), options, positional));
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

struct Job {
    JobOptions options;
    po::variables_map given;
};
Job job_of(const Words& changes, const Words& left_out = {}) {
    Job job;
    Options options;
    job.options.declare(options);
    Words out = left_out;
    out.emplace_back("--out");
    job.given = job.options.accept(parsed(whole_job(changes, out), options), options);
    return job;
}
std::string job_says(const Words& changes, const Words& left_out = {}) {
    try {
        (void)job_of(changes, left_out);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

std::string spot_says(const Words& changes) {
    SpotCommand command;
    Options options;
    po::positional_options_description positional;
    command.declare(options, positional);
    try {
        command.accept(parsed(whole_job(changes, {"--out"}), options, positional));
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

struct PlanFile {
    explicit PlanFile(const std::string& text) { std::ofstream(path) << text; }
    ~PlanFile() {
        std::error_code ignored;
        std::filesystem::remove(path, ignored);
    }
    PlanFile(const PlanFile&) = delete;
    PlanFile& operator=(const PlanFile&) = delete;
    /// What the plan calls a file that lies beside it, as it is tried.
    [[nodiscard]] static std::string beside(const std::string& name) {
        return (std::filesystem::temp_directory_path() / name).string();
    }
    std::string path = beside("swingroom-plan-" + std::to_string(getpid()));
};

TEST(JobOptions, AreReadWithTheirUnits) {
    const Job job = job_of({"--low-water=-1ft", "--high-water=2.5", "--wind=10 m/s", "--current=1.5",
                            "--chart-datum=-0.6", "--uncertainty=0.25,0.013", "--positive=up",
                            "--depth-unit=ft", "--seabed=mud", "--hazards=a.gpkg", "--hazards=b.gpkg"});
    const JobOptions& o = job.options;
    EXPECT_EQ(o.bathymetry.front().file, "sea.tif");
    EXPECT_EQ(o.bathymetry.front().positive_down, std::optional(false));
    EXPECT_EQ(o.bathymetry.front().depth_unit, "ft");
    EXPECT_DOUBLE_EQ(o.bathymetry.front().chart_datum_m.value(), -0.6);
    EXPECT_EQ(o.bathymetry.front().uncertainty->kind(), DepthUncertainty::Kind::root_sum_square);
    EXPECT_DOUBLE_EQ(o.conditions.water.low_m, -0.3048);
    EXPECT_DOUBLE_EQ(o.conditions.water.high_m, 2.5);
    EXPECT_DOUBLE_EQ(o.conditions.wind_kn, 10 * 3600 / 1852.0);
    EXPECT_DOUBLE_EQ(o.conditions.current_kn, 1.5);
    EXPECT_EQ(o.seabed, Seabed::mud);
    EXPECT_EQ(o.hazards.files, (Words{"a.gpkg", "b.gpkg"}));
}

TEST(JobOptions, WhatIsNotSaidIsLeftToTheFile) {
    const JobOptions o = job_of({}).options;
    EXPECT_FALSE(o.bathymetry.front().positive_down);
    EXPECT_FALSE(o.bathymetry.front().depth_unit);
    EXPECT_FALSE(o.bathymetry.front().chart_datum_m);
    EXPECT_FALSE(o.bathymetry.front().uncertainty);
    EXPECT_FALSE(o.bathymetry.front().crs);
    EXPECT_EQ(o.seabed, Seabed::unknown);
    EXPECT_EQ(o.conditions.current_kn, 0);
    EXPECT_TRUE(o.hazards.files.empty());
    EXPECT_TRUE(o.hazards.rules_file.empty());
}

TEST(JobOptions, TellOfAllRastersOrOfEach) {
    const Words three = {"--bathymetry=a.tif", "--bathymetry=b.bag", "--bathymetry=c.nc"};
    const auto rasters =
        job_of(three + Words{"--positive=up", "--uncertainty=0.3", "--uncertainty=stated", "--uncertainty=B",
                             "--variable=stated", "--variable=stated", "--variable=elevation"})
            .options.bathymetry;
    ASSERT_EQ(rasters.size(), 3U);
    EXPECT_EQ(rasters[0].file, "a.tif");
    EXPECT_EQ(rasters[2].file, "c.nc");
    for (const BathymetryRequest& raster : rasters) {
        EXPECT_EQ(raster.positive_down, std::optional(false));
    }
    EXPECT_EQ(rasters[0].uncertainty->text(), "0.3");
    EXPECT_FALSE(rasters[1].uncertainty);
    EXPECT_EQ(rasters[2].uncertainty->text(), "B");
    EXPECT_FALSE(rasters[1].variable);
    EXPECT_EQ(rasters[2].variable, "elevation");
    EXPECT_FALSE(job_of({"--positive=stated"}).options.bathymetry.front().positive_down);
}

TEST(JobOptions, RefuseValuesThatFitNeitherAllRastersNorEach) {
    const Words three = {"--bathymetry=a.tif", "--bathymetry=b.bag", "--bathymetry=c.nc"};
    EXPECT_EQ(
        job_says(three + Words{"--crs=EPSG:4326", "--crs=EPSG:4258"}),
        "--crs: is given twice, --bathymetry 3 times; give it once for all rasters, or once for each in "
        "their order, with the word stated for those that say it themselves");
    EXPECT_EQ(job_says({"--positive=up", "--positive=down"}),
              "--positive: is given twice, --bathymetry once; give it once");
}

TEST(JobOptions, RastersOfAPlanAreReplacedNotAddedTo) {
    const PlanFile plan("bathymetry = a.tif\nbathymetry = b.tif\npositive = up\npositive = stated\n");
    const Job planned = job_of({"--plan=" + plan.path}, {"--bathymetry"});
    ASSERT_EQ(planned.options.bathymetry.size(), 2U);
    EXPECT_EQ(planned.options.bathymetry[1].file, plan.beside("b.tif"));
    EXPECT_FALSE(planned.options.bathymetry[1].positive_down);
    EXPECT_EQ(planned.options.planned_paths, (Words{plan.beside("a.tif"), plan.beside("b.tif")}));
    const Job other = job_of({"--plan=" + plan.path, "--bathymetry=c.tif", "--positive=down"});
    ASSERT_EQ(other.options.bathymetry.size(), 1U);
    EXPECT_EQ(other.options.bathymetry.front().file, "c.tif");
    EXPECT_EQ(other.options.bathymetry.front().positive_down, std::optional(true));
    EXPECT_THAT(job_says({"--plan=" + plan.path, "--bathymetry=c.tif"}),
                StartsWith("--positive: is given twice, --bathymetry once"));
}

TEST(JobOptions, NameTheOneThatIsMissing) {
    for (const std::string option : {"--bathymetry", "--boat", "--low-water", "--high-water", "--wind"}) {
        EXPECT_THAT(job_says({}, {option}), StartsWith(option + ": is missing; ")) << option;
    }
}

TEST(JobOptions, RefuseWhatIsNotPossibleByName) {
    for (const std::string word :
         {"--wind=0", "--wind=-3", "--wind=101", "--wind=nan", "--wind=strong", "--wind=12,5",
          "--low-water=31", "--low-water=-21", "--high-water=1e9", "--high-water=2 kn", "--current=-1",
          "--current=16", "--positive=Down", "--seabed=lava", "--seabed=Sand", "--chart-datum=low",
          "--uncertainty=D", "--uncertainty=-1"}) {
        const std::string option = word.substr(0, word.find('='));
        EXPECT_THAT(job_says({word}), StartsWith(option + ": ")) << word;
        EXPECT_EQ(job_says({word}).find('\n'), std::string::npos) << "one line: " << word;
    }
    EXPECT_THAT(job_says({"--low-water=2.6"}), StartsWith("--high-water: lies below --low-water; "));
    EXPECT_EQ(job_says({"--low-water=2.5"}), "") << "no tide at all is possible";
}

TEST(JobOptions, ShowTheValueThatIsNotPossible) {
    EXPECT_THAT(job_says({"--wind=101"}), StartsWith("--wind: \"101\" is not possible; "));
    EXPECT_THAT(job_says({"--low-water=31 m"}), StartsWith("--low-water: \"31 m\" is not possible; "));
    EXPECT_THAT(job_says({"--wind=12,5"}), HasSubstr("decimals have a point"));
}

TEST(JobOptions, RefuseAValueThatIsEmpty) {
    for (const std::string option : {"--rules", "--crs", "--hazards", "--plan", "--boat"}) {
        Job job;
        Options options;
        job.options.declare(options);
        Words words = whole_job({}, {"--out", option});
        words.insert(words.end(), {option, ""});
        try {
            (void)job.options.accept(parsed(words, options), options);
            ADD_FAILURE() << option << " was taken";
        } catch (const InputError& error) {
            EXPECT_THAT(error.what(), StartsWith(option + ": has no value; "));
        }
    }
}

TEST(JobOptions, AreMarkedWhereTheyMustBeGiven) {
    OverlayCommand command;
    Options options;
    po::positional_options_description positional;
    command.declare(options, positional);
    for (const auto& option : options.options()) {
        const bool marked = option->description().find("must be given") != std::string::npos;
        EXPECT_EQ(marked, !overlay_says({}, {"--" + option->long_name()}).empty()) << option->long_name();
    }
}

TEST(Plan, FillsGapsAndTheCommandLineOverridesIt) {
    const PlanFile plan("# a haven\nbathymetry = other.tif\nwind = 25\nseabed = sand\ncurrent = 2\n"
                        "hazards = one.gpkg\nhazards = two.gpkg\nlow-water = 0.1\n");
    const JobOptions o =
        job_of({"--plan=" + plan.path, "--wind=12"}, {"--bathymetry", "--low-water"}).options;
    EXPECT_EQ(o.bathymetry.front().file, plan.beside("other.tif"));
    EXPECT_EQ(o.conditions.wind_kn, 12) << "given on the command line";
    EXPECT_EQ(o.conditions.current_kn, 2) << "a default is no command";
    EXPECT_EQ(o.seabed, Seabed::sand);
    EXPECT_EQ(o.hazards.files, (Words{plan.beside("one.gpkg"), plan.beside("two.gpkg")}));
    EXPECT_DOUBLE_EQ(o.conditions.water.low_m, 0.1);
}

TEST(Plan, HazardsAreAddedToAndNeverReplaced) {
    const PlanFile plan("hazards = one.gpkg\nhazards = two.gpkg\n");
    EXPECT_EQ(job_of({"--plan=" + plan.path, "--hazards=own.gpkg"}).options.hazards.files,
              (Words{"own.gpkg", plan.beside("one.gpkg"), plan.beside("two.gpkg")}));
}

TEST(Plan, NamesNoOtherPlan) {
    const PlanFile plan("plan = other.plan\n");
    EXPECT_THAT(job_says({"--plan=" + plan.path}), StartsWith(plan.path + ": names another plan; "));
}

TEST(Plan, AValueThatIsEmptyIsNamed) {
    for (const std::string option : {"wind", "low-water", "positive", "seabed", "uncertainty", "current"}) {
        const PlanFile plan(option + " =\n");
        EXPECT_THAT(job_says({"--plan=" + plan.path}, {"--" + option}), HasSubstr(option)) << option;
    }
}

TEST(Plan, AMisspeltKeyOrAFileThatIsNotThereIsNamed) {
    const PlanFile plan("winds = 25\n");
    const std::string says = job_says({"--plan=" + plan.path});
    EXPECT_THAT(says, StartsWith(plan.path + ": "));
    EXPECT_THAT(says, HasSubstr("\"winds\" is no option of this command; did you mean wind?"));
    const PlanFile underscore("low_water = 1\n");
    EXPECT_THAT(job_says({"--plan=" + underscore.path}), HasSubstr("did you mean low-water?"));
    EXPECT_THAT(job_says({"--plan=/no/such/plan"}), StartsWith("/no/such/plan: no such file; "));
    EXPECT_THAT(job_says({"--plan=/"}), StartsWith("/: is a folder; "));
}

TEST(Plan, HoldsNothingThatIsOfOneRunAlone) {
    for (const std::string option : {"quiet", "verbose", "print-plan", "help"}) {
        const PlanFile plan(option + " = true\n");
        EXPECT_EQ(job_says({"--plan=" + plan.path}),
                  plan.path + ": \"" + option + "\" is no matter of a plan; give it on the command line");
    }
    const PlanFile perhaps("json = perhaps\n");
    EXPECT_EQ(overlay_says({"--plan=" + perhaps.path}),
              perhaps.path + ": \"json\" is neither on nor off; give json = true or json = false");
}

TEST(Plan, ALineThatIsNoneIsNamed) {
    const PlanFile bare("wind = 12\n# a comment\nseabed sand\n");
    EXPECT_THAT(job_says({"--plan=" + bare.path}), StartsWith(bare.path + ":3: \"seabed sand\" has no =; "));
    const PlanFile section("wind = 12\n[boat]\n");
    EXPECT_THAT(job_says({"--plan=" + section.path}),
                StartsWith(section.path + ":2: a plan has no sections"));
    const PlanFile mark("\xEF\xBB\xBFwind = 12\n");
    EXPECT_EQ(job_says({"--plan=" + mark.path}), "") << "a byte order mark is no part of a name";
}

Window whole_grid(const Grid& grid, const Georeference&, const std::string&) { return grid.extent(); }

TEST(Plan, NamesFilesAsSeenFromItsOwnFolder) {
    const PlanFile plan("boat = no/such.ini\nhazards = a.gpkg\nhazards = /b.gpkg\n");
    const Job planned = job_of({"--plan=" + plan.path}, {"--boat"});
    const Words named = {plan.beside("no/such.ini"), plan.beside("a.gpkg"), "/b.gpkg"};
    EXPECT_EQ(planned.options.planned_paths, named);
    EXPECT_EQ(planned.options.boat_files, Words{named.front()});
    EXPECT_EQ(planned.options.hazards.files, (Words{named[1], named[2]})) << "an absolute path is one";
    const JobOptions mixed = job_of({"--plan=" + plan.path, "--hazards=c.gpkg"}).options;
    EXPECT_EQ(mixed.planned_paths, (Words{named[1], named[2]})) << "the boat is the command line's";
    EXPECT_EQ(mixed.hazards.files, (Words{"c.gpkg", named[1], named[2]})) << "seen from the working folder";
    try {
        const OpenedJob opened(planned.options, whole_grid, 0);
        ADD_FAILURE() << "opened";
    } catch (const InputError& error) {
        EXPECT_EQ(error.what(),
                  named.front() + ": no such file; paths in a plan are seen from the plan's own folder");
    }
}

TEST(Plan, TheWholeOneMakesTheSameJobAgainWhereverItIsKept) {
    const Job first =
        job_of({"--hazards=a.gpkg", "--hazards=/b.gpkg", "--positive=down", "--uncertainty=0.3"});
    Options known;
    JobOptions().declare(known);
    const std::string text = whole_plan(first.given, known),
                      here = (std::filesystem::current_path() / "a.gpkg").string();
    const PlanFile plan(text);
    const Job second =
        job_of({"--plan=" + plan.path}, {"--bathymetry", "--boat", "--low-water", "--high-water", "--wind"});
    EXPECT_EQ(whole_plan(second.given, known), text);
    EXPECT_EQ(second.options.bathymetry.front().file,
              (std::filesystem::current_path() / first.options.bathymetry.front().file).string());
    EXPECT_EQ(second.options.hazards.files, (Words{here, "/b.gpkg"}));
    EXPECT_EQ(second.options.conditions.wind_kn, first.options.conditions.wind_kn);
}

TEST(Plan, TheEffectiveOneIsInOrderAndLeavesOutWhatItIsTold) {
    const Job job = job_of({"--wind=12", "--hazards=b.gpkg", "--hazards=a.gpkg"});
    EXPECT_EQ(effective_plan(job.given, {"plan", "boat"}),
              "bathymetry = sea.tif\nclearance-datum = 0\ncurrent = 0\nhazards = b.gpkg\n"
              "hazards = a.gpkg\nhigh-water = 2.5\nlow-water = 0.4\npositions = degrees\nseabed = unknown\n"
              "units = m\nwind = 12\nzone-margin = no\n");
    // The order of the words does not matter.
    const Job other = job_of({"--hazards=b.gpkg", "--hazards=a.gpkg", "--wind=12"});
    EXPECT_EQ(effective_plan(other.given, {}), effective_plan(job.given, {}));
}

TEST(Margins, AreTakenByTheNameOfARule) {
    const JobOptions o =
        job_of({"--margin=cable=50m", "--margin=near a wreck = 150", "--margin=rock=10 ft"}).options;
    EXPECT_EQ(o.hazards.margins_m,
              (std::map<std::string, double>{{"cable", 50}, {"near a wreck", 150}, {"rock", 3.048}}));
    const std::vector<HazardRule> rules = o.hazards.rules(), plain = default_hazard_rules();
    ASSERT_EQ(rules.size(), plain.size());
    for (std::size_t i = 0; i < rules.size(); ++i) {
        const auto given = o.hazards.margins_m.find(rules[i].name);
        if (given == o.hazards.margins_m.end()) {
            EXPECT_EQ(rules[i].margin_m, plain[i].margin_m) << rules[i].name;
            EXPECT_FALSE(rules[i].replaced_margin_m) << rules[i].name;
        } else {
            EXPECT_EQ(rules[i].margin_m, given->second);
            EXPECT_EQ(rules[i].replaced_margin_m, plain[i].margin_m);
            EXPECT_THAT(rules[i].source, HasSubstr(plain[i].source));
        }
    }
    EXPECT_EQ(
        warnings_of_lowered_margins(rules),
        (Words{"--margin: the margin of [cable] is 50.0 m for this run, less than the rule's own 463.0 m",
               "--margin: the margin of [near a wreck] is 150.0 m for this run, less than the rule's own "
               "200.0 m",
               "--margin: the margin of [rock] is 3.0 m for this run, less than the rule's own 20.0 m"}));
}

TEST(Margins, ThatAreRaisedAreFactsAndNoWarnings) {
    EXPECT_NEAR(job_of({"--margin=rock=0.1 nm"}).options.hazards.margins_m.at("rock"), 185.2, 1e-9);
    const HazardOptions o = job_of({"--margin=rock=40"}).options.hazards;
    const std::vector<HazardRule> rules = o.rules();
    EXPECT_TRUE(warnings_of_lowered_margins(rules).empty());
    Provenance provenance;
    o.add_facts(provenance, rules);
    std::vector<std::string> lines;
    for (const Fact& fact : provenance.facts) {
        lines.push_back(fact_line(fact));
    }
    EXPECT_THAT(lines,
                testing::Contains("margin of [rock]: 40.0 m in place of the rule's own 20.0 m (as said)"));
}

TEST(Margins, OfNoRuleOrOfNoLengthAreRefused) {
    for (const char* bad :
         {"cable", "cable=", "=50", " =5m", "cable=much", "cable=-1", "cable=101km", "cable=nan"}) {
        EXPECT_THAT(job_says({std::string("--margin=") + bad}), StartsWith("--margin: ")) << bad;
    }
    EXPECT_EQ(job_says({"--margin=cable=5", "--margin=cable = 6"}),
              "--margin: gives the rule [cable] two margins; keep one of them");
    const auto rules_say = [](const char* margin) {
        try {
            (void)job_of({std::string("--margin=") + margin}).options.hazards.rules();
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string();
    };
    EXPECT_EQ(rules_say("cabel=50m"), "--margin: the rules in use have no [cabel]; did you mean cable?");
    EXPECT_THAT(rules_say("no hazard: depth=50m"), HasSubstr("has no margin"));
    EXPECT_EQ(rules_say("cable=50m"), "");
}

TEST(Margins, OfAPlanStandUnlessTheCommandLineNamesTheirRule) {
    const PlanFile plan("margin = cable = 50m\nmargin = wreck=80\n");
    const JobOptions o = job_of({"--plan=" + plan.path, "--margin=cable=60", "--margin=rock=30"}).options;
    EXPECT_EQ(o.hazards.margins_m,
              (std::map<std::string, double>{{"cable", 60}, {"rock", 30}, {"wreck", 80}}));
}

TEST(Allowed, AreTakenInTheFormThatAPlanCanHold) {
    const Job job = job_of({"--allow=RESARE #3", "--allow=FFFE000000150001", "--allow=RESARE 3"});
    EXPECT_EQ(job.options.hazards.allowed, (Words{"RESARE 3", "FFFE000000150001"}));
    const PlanFile plan(effective_plan(job.given, {"plan"}));
    const Words planned = {"--bathymetry", "--boat", "--low-water", "--high-water", "--wind"};
    EXPECT_EQ(job_of({"--plan=" + plan.path}, planned).options.hazards.allowed, job.options.hazards.allowed);
    EXPECT_EQ(job_of({"--plan=" + plan.path, "--allow=RESARE 4"}, planned).options.hazards.allowed,
              Words{"RESARE 4"})
        << "what is allowed on the command line is all that is allowed";
}

TEST(OverlayOptions, AWholeJobIsTaken) {
    EXPECT_EQ(overlay_says({}), "");
    EXPECT_EQ(
        overlay_says({"--layers=verdict , rode", "--threads=3", "--memory=64", "--spots=0", "--overwrite"}),
        "");
}

TEST(OverlayOptions, TakeSeveralBoatsEachOnce) {
    EXPECT_EQ(overlay_says({"--boat=a.ini", "--boat=b/a.ini"}), "");
    EXPECT_EQ(overlay_says({"--boat=a.ini", "--boat=b/../a.ini"}),
              "--boat: names b/../a.ini twice; leave out one of them");
    Words many;
    for (int i = 0; i < 31; ++i) {
        many.push_back("--boat=" + std::to_string(i) + ".ini");
    }
    EXPECT_EQ(overlay_says(many), "--boat: is given 31 times; give at most 30");
    many.pop_back();
    EXPECT_EQ(overlay_says(many), "");
    EXPECT_THAT(overlay_says({"--boat=a.ini", "--boat=b.ini", "--part=1/2"}),
                StartsWith("--boat: is given 2 times"));
    EXPECT_THAT(spot_says({"--boat=a.ini", "--boat=b.ini", "29", "47"}),
                StartsWith("--boat: is given 2 times"));
}

TEST(OverlayOptions, GiveEachBoatTheFolderAndThePlanOfARunForHer) {
    OverlayOptions several, one;
    const Words words = {"--layers=verdict,boats_yes,zones.kml", "--chart-datum=0"};
    several.accept(parsed(whole_job(words + Words{"--boat=b/Sea Gull.ini", "--boat=c/sea gull.ini"}),
                          OverlayOptions::planned()));
    one.accept(parsed(
        whole_job({"--layers=verdict,zones.kml", "--chart-datum=0", "--boat=c/sea gull.ini", "--cell=3.9"}),
        OverlayOptions::planned()));
    ASSERT_EQ(several.boats.size(), 2U);
    EXPECT_EQ(several.boats[0].folder, "sea-gull");
    EXPECT_EQ(several.boats[1].folder, "sea-gull-2");
    EXPECT_EQ(several.effective_for(several.boats[1], 3.9), one.effective);
    EXPECT_TRUE(several.of_all_boats());
    EXPECT_FALSE(several.outputs_of_each().formats.layers().has(Layer::boats_yes));
    EXPECT_EQ(one.boats.front().folder, "");
    EXPECT_EQ(one.effective_for(one.boats.front(), {}), one.effective);
    EXPECT_THAT(overlay_says({"--boat=a.ini", "--boat=b.ini", "--layers=boats_yes"}),
                StartsWith("--layers: has nothing for each of the boats"));
}

TEST(OverlayOptions, BoundsAreFourNumbersThatEncloseSomething) {
    for (const std::string bounds : {"-29.1,47.9,-29,48", "170,-20,-170,-10", "0,-90,360,90",
                                     "-180,-90,180,90", "7.5,54,7.500001,54.000001"}) {
        EXPECT_EQ(overlay_says({"--bounds=" + bounds}), "") << bounds;
    }
    for (const std::string bounds :
         {"1", "1,2,3", "1,2,3,4,5", "1,2,3,", ",2,3,4", "1,2,3,x", "1;2;3;4", "1,2,3,4m", "nan,2,3,4",
          "1,2,1,4", "1,4,3,2", "1,2,3,2", "1,-91,3,4", "1,2,3,91", "0,2,361,4", "0x1,2,3,4", "1,2,inf,4",
          "1 2 3 4", "1,000,2,3,4"}) {
        EXPECT_THAT(overlay_says({"--bounds=" + bounds}), StartsWith("--bounds: ")) << bounds;
    }
}

LonLatBox box_of(const Words& words) {
    OverlayOptions options;
    options.accept(parsed(whole_job(words), OverlayOptions::planned()));
    return options.job.area.value().box;
}

TEST(OverlayOptions, AroundIsTheBoxAboutACircle) {
    const LonLatBox box = box_of({"--around=29-02.4W,47-58.8N,0.5nm"});
    // A degree of longitude is 74.654 km there, by the radius of that circle of latitude on WGS 84; one of
    // latitude 111.2 km, by the length of the meridian (both of any table of the ellipsoid, to 20 m).
    EXPECT_NEAR(box[0], -29.04 - 926 / 74654.0, 1e-5);
    EXPECT_NEAR(box[1], 47.98 - 926 / 111180.0, 1e-5);
    EXPECT_NEAR(box[2], -29.04 + 926 / 74654.0, 1e-5);
    EXPECT_NEAR(box[3], 47.98 + 926 / 111180.0, 1e-5);
    EXPECT_THAT(overlay_says({"--around=29-02.4W,47-58.8N"}),
                StartsWith("--around: \"29-02.4W,47-58.8N\" is no position with a distance; "));
    EXPECT_THAT(overlay_says({"--around=29-02.4W,47-58.8N,61nm"}), StartsWith("--around: \"61nm\" is not "));
    EXPECT_THAT(overlay_says({"--around=29-02.4W,47-58.8N,1nm", "--bounds=1,2,3,4"}),
                StartsWith("--around: is given with --bounds; "));
}

TEST(OverlayOptions, AnAreaByHandTakesThePlaceOfThatOfAPlan) {
    const std::string in_box = "bounds = 1,2,3,4\n", in_circle = "around = 1E,2N,900\n";
    const auto planned = [](const std::string& plan, const Words& by_hand) {
        const PlanFile file(plan);
        Words words = by_hand;
        words.push_back("--plan=" + file.path);
        return box_of(words);
    };
    const LonLatBox circle = box_of({"--around=1E,2N,900"}), box = {1, 2, 3, 4};
    EXPECT_EQ(planned(in_circle, {}), circle);
    EXPECT_EQ(planned(in_box, {"--around=1E,2N,900"}), circle);
    EXPECT_EQ(planned(in_circle, {"--bounds=1,2,3,4"}), box);
    EXPECT_EQ(planned(in_box + in_circle, {"--bounds=1,2,3,4"}), box);
    const PlanFile both(in_box + in_circle);
    EXPECT_THAT(overlay_says({"--plan=" + both.path}), StartsWith("--around: is given with --bounds; "));
}

TEST(ParseBounds, TakesLettersAndMinutes) {
    const LonLatBox box = parse_bounds("29-03W,47-58N,29-01W,47-59.5N");
    EXPECT_NEAR(box[0], -29.05, 1e-12);
    EXPECT_NEAR(box[1], 47 + 58.0 / 60, 1e-12);
    EXPECT_NEAR(box[2], -(29 + 1.0 / 60), 1e-12);
    EXPECT_NEAR(box[3], 47 + 59.5 / 60, 1e-12);
    EXPECT_EQ(parse_bounds("47-58N, 29-03W, 47-59.5N, 29-01W"), box) << "each corner in any order";
    const LonLatBox across = parse_bounds("179E,1S,179W,1N");
    EXPECT_EQ(across[2] - across[0], 2);
    for (const char* doubtful :
         {"29-03W,47-58N,29-01W,47.99", "29-03W,47-58,29-01W,47-59.5N", "29W,28W,47N,48N",
          "29-63W,47-58N,29-01W,47-59.5N", "29-03W,47-58N,29-01W,47-57N"}) {
        try {
            (void)parse_bounds(doubtful);
            ADD_FAILURE() << doubtful << " is taken";
        } catch (const InputError& error) {
            EXPECT_THAT(error.what(), StartsWith("--bounds: ")) << doubtful;
        }
    }
}

TEST(Measures, MayStandInAPlanAndAreCheckedEvenWhereNothingIsPrinted) {
    const PlanFile plan("units = fm\npositions = minutes\n");
    const Job job = job_of({"--plan=" + plan.path, "--units=ft"});
    EXPECT_EQ(job.options.measures.length, LengthUnit::foot) << "the command line overrides the plan";
    EXPECT_EQ(job.options.measures.position, PositionForm::minutes);
    EXPECT_EQ(job_of({}).options.measures.length, LengthUnit::metre);
    EXPECT_EQ(overlay_says({"--units=yards"}), "--units: \"yards\" is not known; give m, ft or fm");
    EXPECT_THAT(overlay_says({"--positions=dms"}), StartsWith("--positions: \"dms\""));
}

// The international foot 0.3048 m and fathom 1.8288 m; a metre a second is 3600/1852 kn.
TEST(JobOptions, TakeEveryLengthAndSpeedInTheUnitsOfPeople) {
    const JobOptions o =
        job_of({"--cell=15ft", "--clearance-datum=1 fm", "--low-water=1ft", "--high-water=1.5 fm",
                "--wind=10 m/s", "--current=3.704 km/h", "--chart-datum=-2ft", "--uncertainty=1 ft"})
            .options;
    EXPECT_DOUBLE_EQ(o.cell_m.value(), 4.572);
    EXPECT_FALSE(job_of({}).options.cell_m) << "by scale and boat";
    EXPECT_DOUBLE_EQ(o.conditions.water.clearance_datum_m, 1.8288);
    EXPECT_DOUBLE_EQ(o.conditions.water.low_m, 0.3048);
    EXPECT_DOUBLE_EQ(o.conditions.water.high_m, 2.7432);
    EXPECT_DOUBLE_EQ(o.conditions.wind_kn, 36000.0 / 1852);
    EXPECT_DOUBLE_EQ(o.conditions.current_kn, 2);
    EXPECT_DOUBLE_EQ(*o.bathymetry.front().chart_datum_m, -0.6096);
    EXPECT_DOUBLE_EQ(o.bathymetry.front().uncertainty->at(5), 0.3048);
}

TEST(OverlayOptions, CountsAreWholeNumbersWithinReason) {
    for (const std::string word :
         {"--threads=0", "--threads=-1", "--threads=1.5", "--threads=1025", "--threads=many", "--memory=63",
          "--memory=1e9", "--memory=400MB", "--memory=-400", "--spots=-1", "--spots=100001", "--spots=0.5",
          "--spots=nan"}) {
        EXPECT_THAT(overlay_says({word}), StartsWith(word.substr(0, word.find('=')) + ": ")) << word;
    }
}

TEST(OverlayOptions, NameWhatIsWrongWithTheRest) {
    EXPECT_THAT(overlay_says({}, {"--out"}), StartsWith("--out: is missing; "));
    EXPECT_THAT(overlay_says({"--layers=verdict,depth"}), StartsWith("--layers: \"depth\" is no layer; "));
    EXPECT_THAT(overlay_says({"--wind=0"}), StartsWith("--wind: "));
    const PlanFile plan("bounds = 1,2,3\n");
    EXPECT_THAT(overlay_says({"--plan=" + plan.path}), StartsWith("--bounds: "));
}

TEST(SpotOptions, APositionIsLongitudeAndLatitudeInDegrees) {
    EXPECT_EQ(spot_says({"29.04393", "47.98704"}), "");
    EXPECT_EQ(spot_says({"180", "90"}), "");
    EXPECT_THAT(spot_says({}), StartsWith("--longitude: is missing, and so is --latitude"));
    EXPECT_THAT(spot_says({"29"}), HasSubstr("latitude is missing"));
    EXPECT_THAT(spot_says({"--latitude=29"}), HasSubstr("longitude is missing"));
    EXPECT_THAT(spot_says({"361", "47"}), StartsWith("LON: \"361\" is no longitude; give degrees, -180"));
    EXPECT_THAT(spot_says({"--longitude=-180.5", "--latitude=47"}), StartsWith("LON: "));
    EXPECT_EQ(spot_says({"359.5", "47"}), "") << "as rasters from 0 to 360 have it";
    EXPECT_THAT(spot_says({"47", "129"}), StartsWith("LAT: \"129\" is no latitude"));
    EXPECT_THAT(spot_says({"47", "129"}), HasSubstr("longitude comes first"));
    EXPECT_THAT(spot_says({"29E", "47"}), StartsWith("LON LAT: "));
    EXPECT_THAT(spot_says({"29", "47N"}), StartsWith("LON LAT: "));
    EXPECT_THAT(spot_says({"29,04", "47"}), StartsWith("LON: "));
    EXPECT_THAT(spot_says({"29,04"}), HasSubstr("latitude is missing")) << "a comma for the decimals";
    EXPECT_THAT(spot_says({"nan", "47"}), StartsWith("LON"));
    EXPECT_THAT(spot_says({"inf", "47"}), StartsWith("LON: "));
}

TEST(SpotOptions, APositionMayHaveItsLettersAndMinutes) {
    EXPECT_EQ(spot_says({"47-59.222N", "29-02.636W"}), "");
    EXPECT_EQ(spot_says({"29-02.636W", "47-59.222N"}), "");
    EXPECT_EQ(spot_says({"47-59.222N 29-02.636W"}), "");
    EXPECT_EQ(spot_says({"29.04 47.99"}), "");
    EXPECT_EQ(spot_says({"--latitude=47-59.222N", "--longitude=29-02.636W"}), "");
    EXPECT_THAT(spot_says({"47-59.222N"}), HasSubstr("one half of a position"));
}

TEST(SpotOptions, ThePlanOfAnOverlayWillDo) {
    const PlanFile plan(
        "out = folder\nlayers = verdict\nbounds = 1,2,3,4\nspots = 3\nthreads = 2\nmemory = 100\n"
        "overwrite = true\njson = true\nunits = ft\nzone-edges = stepped\nleast-zone = 5\n");
    EXPECT_EQ(spot_says({"--plan=" + plan.path, "29", "47"}), "");
    const PlanFile wrong("outs = folder\n");
    EXPECT_THAT(spot_says({"--plan=" + wrong.path, "29", "47"}), HasSubstr("outs"));
}

TEST(OverlayOptions, GiveABoatOneNameOrEachHerOwn) {
    const auto names = [](const std::string& text) {
        po::variables_map given;
        given.insert({"name", po::variable_value(text, false)});
        return names_of_boats(given, 2);
    };
    EXPECT_EQ(names_of_boats({}, 2), Words{});
    EXPECT_EQ(names("hav"), (Words{"hav", "hav"}));
    EXPECT_EQ(names("HA1,HA2"), (Words{"HA1", "HA2"}));
    try {
        (void)names("HA1,HA2,HA3");
        ADD_FAILURE() << "three names for two boats";
    } catch (const InputError& error) {
        EXPECT_EQ(std::string(error.what()), "--name: \"HA1,HA2,HA3\" is for 3 boats, and there are 2; give "
                                             "one for all boats, or one for each");
    }
}

TEST(OpenedJob, AnInputThatChangesWhileItIsReadIsNobodys) {
    namespace fs = std::filesystem;
    const fs::path haven = SWINGROOM_TESTDATA "/haven",
                   folder = fs::temp_directory_path() / ("swingroom-changes-" + std::to_string(getpid()));
    fs::create_directories(folder);
    const auto copied = [&](const char* name) {
        fs::copy_file(haven / name, folder / name, fs::copy_options::overwrite_existing);
        return (folder / name).string();
    };
    const std::string boat = copied("heavy_ketch.ini"), raster = copied("bathymetry.tif"),
                      rules = copied("haven.rules"), cables = copied("cables.geojson");
    const Job job = job_of({"--boat=" + boat, "--bathymetry=" + raster, "--rules=" + rules,
                            "--hazards=" + cables, "--positive=up", "--chart-datum=0", "--uncertainty=0.2"});
    const OpenedJob whole(job.options, whole_grid, 0);
    EXPECT_GE(whole.digested_inputs().size(), 4U);
    for (const std::string& file : {boat, raster, rules, cables}) {
        const OpenedJob opened(job.options, whole_grid, 0);
        fs::last_write_time(file, fs::last_write_time(file) + std::chrono::seconds(1));
        try {
            (void)opened.digested_inputs();
            ADD_FAILURE() << file << " has changed unnoticed";
        } catch (const IoError& error) {
            EXPECT_EQ(std::string(error.what()), file + ": changed during the run; run again");
        }
    }
    fs::remove_all(folder);
}

} // namespace
} // namespace swingroom::cli
