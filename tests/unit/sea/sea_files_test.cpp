// Files that stay open from one sea to the next: what is kept changes no answer, and nothing is kept of a
// file that has changed.

#include "swingroom/base/error.hpp"
#include "swingroom/sea/sea.hpp"

#include "sea/cells/vector_files.hpp"
#include "sea/sea_source.hpp"
#include "support/scratch.hpp"
#include "support/warning_lines.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <thread>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

using testing_support::Scratch;

const std::string cells = SWINGROOM_TESTDATA "/cells/";
const std::string haven = SWINGROOM_TESTDATA "/haven/";

SeaRequest of_charts(std::vector<std::string> charts, double cell_m = 10) {
    SeaRequest request;
    request.charts = std::move(charts);
    request.rules = default_hazard_rules();
    request.cell_m = cell_m;
    return request;
}

SeaRequest of_raster(const std::vector<std::string>& hazards, const std::vector<std::string>& charts = {}) {
    SeaRequest request = of_charts(charts);
    BathymetryRequest raster;
    raster.file = haven + "bathymetry.tif";
    raster.positive_down = false;
    raster.chart_datum_m = 0;
    raster.uncertainty = DepthUncertainty::constant(0.2);
    request.bathymetry = {raster};
    request.hazards = hazards;
    return request;
}

std::vector<float> without_nan(std::vector<float> values) {
    std::replace_if(
        values.begin(), values.end(), [](float v) { return std::isnan(v); }, -1e30F);
    return values;
}

template <class T>
std::vector<T> values_of(const Plane<T>& plane) {
    return {plane.data(), plane.data() + plane.size()};
}

/// All that is told of a window of it, as far as it can be compared.
struct Answer {
    std::vector<float> shoal_m, deep_m;
    std::vector<Effects> effects;
    std::vector<std::string> words;
    friend bool operator==(const Answer&, const Answer&) = default;
};

Answer answer_of(const Sea& sea) {
    const Window all = sea.grid().extent();
    const Window window{all.cols / 4, all.rows / 4, all.cols / 2, all.rows / 2};
    const SeaPart part = sea.part(window, 300);
    DepthPlanes depths;
    part.depths->read(window, depths);
    Plane<Effects> effects(window, 0);
    part.hazards->burn(effects);
    Answer answer{without_nan(values_of(depths.shoal_m)), without_nan(values_of(depths.deep_m)),
                  values_of(effects), told_all(part.found.warnings)};
    const auto add = [&](const std::vector<std::string>& more) {
        answer.words.insert(answer.words.end(), more.begin(), more.end());
    };
    add(part.found.files);
    add(part.found.notes);
    add(part.depths->files());
    add(sea.sources());
    add(sea.depth_files());
    for (const Hazard& hazard : part.hazards->hazards()) {
        answer.words.push_back(hazard.label);
    }
    for (const PlaceName& place : sea.place_names(window)) {
        answer.words.push_back(place.name);
    }
    for (const Inspection& inspection : sea.inspections(Measures())) {
        answer.words.push_back(inspection.file);
        for (const Fact& fact : inspection.facts) {
            answer.words.push_back(fact_line(fact));
        }
        for (const Message& doubt : inspection.doubts) {
            answer.words.push_back(doubt.text());
        }
    }
    return answer;
}

TEST(SeaFiles, ChangeNoAnswerWhateverWasOpenBefore) {
    std::vector<SeaRequest> requests = {
        of_charts({cells + "QQ5HAVEN.000"}),
        of_charts({cells + "QQ5HAVEN.000"}, 15),
        of_charts({cells + "QQ3APPRO.000"}, 30),
        of_charts({cells + "QQ5HAVEN.000", cells + "QQ3APPRO.000"}, 30),
        of_raster({haven + "rocks.geojson", haven + "cables.geojson"}),
        of_raster({haven + "rocks.geojson"}),
        of_raster({cells + "QQ5HAVEN.000"}),
        of_raster({haven + "rocks.geojson"}, {cells + "QQ5HAVEN.000"}),
    };
    requests.push_back(requests[0]);
    requests.back().zone_margin = true;
    requests.push_back(requests[4]);
    replace_margin(requests.back().rules.front(), 77);
    requests.push_back(requests[5]);
    requests.back().bathymetry.front().uncertainty = DepthUncertainty::constant(0.7);
    requests.push_back(requests[7]);
    requests.back().bathymetry.front().survey = true;

    std::vector<Answer> alone;
    for (const SeaRequest& request : requests) {
        alone.push_back(answer_of(Sea(request)));
    }
    std::mt19937 dice(11);
    SeaFiles files;
    std::uniform_int_distribution<std::size_t> any(0, requests.size() - 1);
    for (int i = 0; i < 40; ++i) {
        const std::size_t which = any(dice);
        SCOPED_TRACE(testing::Message() << "look " << i << ", at request " << which);
        ASSERT_TRUE(answer_of(Sea(requests[which], files)) == alone[which]);
    }
}

TEST(SeaFiles, KeepTheSeaOfBeforeWhereTheSameIsAsked) {
    SeaFiles files;
    const SeaRequest request = of_raster({haven + "rocks.geojson"}, {cells + "QQ5HAVEN.000"});
    const Sea first(request, files), second(request, files);
    EXPECT_EQ(&SeaAccess::source(first), &SeaAccess::source(second));
    SeaRequest other = request;
    replace_margin(other.rules.front(), 77);
    const Sea third(other, files);
    EXPECT_NE(&SeaAccess::source(second), &SeaAccess::source(third));
    // Cells that are chosen each time may be the same.
    SeaRequest chosen = of_charts({cells + "QQ5HAVEN.000"});
    int asked = 0;
    double cell_m = 20;
    chosen.choose_cell = [&](const ChartsAlone&) { return ++asked, cell_m; };
    const Sea before(chosen, files), same(chosen, files);
    EXPECT_EQ(&SeaAccess::source(before), &SeaAccess::source(same));
    cell_m = 25;
    const Sea coarser(chosen, files);
    EXPECT_EQ(asked, 3);
    EXPECT_NE(&SeaAccess::source(same), &SeaAccess::source(coarser));
    EXPECT_EQ(coarser.grid().cols, Sea(of_charts({cells + "QQ5HAVEN.000"}, 25)).grid().cols);
}

TEST(VectorFiles, AreOpenedOnceAndReadOnce) {
    VectorFiles files;
    const VectorFile cell = files.open(cells + "QQ5HAVEN.000");
    const auto read = files.cell_of(cell);
    (void)files.open(cells + "QQ3APPRO.000");
    EXPECT_TRUE(files.keep({cells + "QQ5HAVEN.000"})) << "of the other";
    EXPECT_FALSE(files.keep({cells + "QQ5HAVEN.000", "never opened"}));
    const VectorFile again = files.open(cells + "QQ5HAVEN.000");
    EXPECT_EQ(&again.dataset(), &cell.dataset());
    EXPECT_EQ(files.cell_of(again), read);
    EXPECT_TRUE(files.keep({}));
    EXPECT_NE(&files.open(cells + "QQ5HAVEN.000").dataset(), &cell.dataset());
}

/// Files that were written long enough ago for a change to be seen for certain.
class ChangedFiles : public testing::Test {
protected:
    void copy(const std::string& file) const {
        const fs::path name = fs::path(file).filename();
        fs::copy_file(file, folder.path() / name, fs::copy_options::overwrite_existing);
    }
    static void wait() { std::this_thread::sleep_for(std::chrono::milliseconds(2200)); }

    Scratch folder;
    SeaFiles files;
};

TEST_F(ChangedFiles, AreOpenedAnew) {
    copy(haven + "rocks.geojson");
    copy(cells + "QQ5HAVEN.000");
    wait();
    const SeaRequest hazards = of_raster({folder / "rocks.geojson"}),
                     chart = of_charts({folder / "QQ5HAVEN.000"});
    const Answer rocks = answer_of(Sea(hazards, files));
    {
        const Sea first(hazards, files), second(hazards, files);
        ASSERT_EQ(&SeaAccess::source(first), &SeaAccess::source(second)) << "else nothing is shown below";
    }
    // Other bytes, as many, with the time of before.
    const auto time = fs::last_write_time(folder / "rocks.geojson");
    std::ifstream in(folder / "rocks.geojson");
    std::string text{std::istreambuf_iterator<char>(in), {}};
    in.close();
    for (auto at = text.find("-29.0"); at != std::string::npos; at = text.find("-29.0", at)) {
        text.replace(at, 5, "-28.9");
    }
    std::ofstream(folder / "rocks.geojson") << text;
    fs::last_write_time(folder / "rocks.geojson", time);
    const Answer moved = answer_of(Sea(hazards, files));
    EXPECT_FALSE(moved == rocks);
    EXPECT_TRUE(moved == answer_of(Sea(hazards)));

    // An update that comes to lie beside a cell, and one that is gone again.
    const Answer without = answer_of(Sea(chart, files));
    copy(cells + "QQ5HAVEN.001");
    const Answer updated = answer_of(Sea(chart, files));
    EXPECT_FALSE(updated == without);
    EXPECT_TRUE(updated == answer_of(Sea(chart)));
    wait();
    (void)Sea(chart, files);
    fs::remove(folder / "QQ5HAVEN.001");
    EXPECT_TRUE(answer_of(Sea(chart, files)) == without);
}

TEST_F(ChangedFiles, AreToldOfASeaThatIsLookedAt) {
    copy(haven + "rocks.geojson");
    const Sea sea(of_raster({folder / "rocks.geojson"}), files);
    EXPECT_NO_THROW(files.require_as_opened());
    std::ofstream(folder / "rocks.geojson", std::ios::app) << "\n";
    try {
        files.require_as_opened();
        ADD_FAILURE() << "it has changed";
    } catch (const IoError& error) {
        EXPECT_EQ(error.what(), (folder / "rocks.geojson") + ": changed during the run; run again");
    }
}

TEST_F(ChangedFiles, OfAMomentAgoAreNotKept) {
    copy(haven + "rocks.geojson");
    const SeaRequest request = of_raster({folder / "rocks.geojson"});
    const Sea first(request, files), second(request, files);
    EXPECT_NE(&SeaAccess::source(first), &SeaAccess::source(second));
}

} // namespace
} // namespace swingroom
