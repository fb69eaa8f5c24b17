// The report's parts: what of a file gets into markup, where things lie on the map, what a pixel stands for.

#include "swingroom/base/error.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/overlay/map_planes.hpp"
#include "swingroom/overlay/position_words.hpp"
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/publish/vector_layer.hpp"
#include "swingroom/report/report.hpp"
#include "swingroom/room/verdict.hpp"

#include "publish/folder/finished_layers.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/styles/answer_words.hpp"
#include "report/feature_tables.hpp"
#include "report/map_frame.hpp"
#include "report/map_furniture.hpp"
#include "report/map_picture.hpp"
#include "report/report_map.hpp"
#include "report/spot_words.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <cpl_conv.h>
#include <cpl_vsi.h>
#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>
#include <cstdint>
#include <random>
#include <regex>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using swingroom::testing::ScratchFolder;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

Grid utm(int cols, int rows, double step_m, bool south_up = false) {
    return {cols,
            rows,
            400'000,
            5'300'000,
            step_m,
            south_up ? step_m : -step_m,
            horizontal_crs_wkt("EPSG:32626", "test")};
}

Grid degrees(int cols, int rows, double step_deg, double north) {
    return {cols, rows, 10, north, step_deg, -step_deg, horizontal_crs_wkt("EPSG:4326", "test")};
}

TEST(MapFrame, CirclesAreToScale) {
    for (const Grid& grid : {utm(400, 300, 2), utm(300, 700, 5, true), degrees(500, 400, 1e-4, 70)}) {
        const Georeference georeference(grid, "test");
        const MapFrame frame(grid, georeference, grid.extent(), 1000);
        EXPECT_NEAR(std::max(frame.width(), frame.height()), 1000, 1e-6);
        // A hundred metres to the east and to the north by PROJ's geodesics, in the picture.
        const LonLat centre = georeference.lonlat({grid.cols / 2.0, grid.rows / 2.0});
        const GridPoint from = frame.of_position(centre), radius = frame.units_of(100, centre);
        for (const auto& [dlon, dlat] : {std::pair(1e-3, 0.0), std::pair(0.0, 5e-4)}) {
            const LonLat there{centre.lon + dlon, centre.lat + dlat};
            const GridPoint to = frame.of_position(there);
            const double units = std::hypot(to.x - from.x, to.y - from.y),
                         metres = geodesic(centre, there).distance_m;
            EXPECT_NEAR(units / metres, frame.units_per_m(), 2e-3 * frame.units_per_m());
            EXPECT_NEAR(radius.x, 100 * units / metres, 0.2);
            EXPECT_NEAR(radius.y, 100 * units / metres, 0.2);
        }
    }
}

TEST(MapFrame, NorthIsUpAsFarAsTheGridHasItSo) {
    const Grid grid = utm(400, 300, 2), over = utm(400, 300, 2, true);
    const Georeference georeference(grid, "test"), turned(over, "test");
    const MapFrame up(grid, georeference, grid.extent(), 1000), down(over, turned, over.extent(), 1000);
    // The convergence of UTM zone 26 there: (longitude + 27) sin(latitude), to the first order.
    const LonLat at = georeference.lonlat({200, 150});
    const double convergence = (at.lon + 27) * std::sin(at.lat * M_PI / 180);
    EXPECT_NEAR(up.north_deg(), -convergence, 0.01);
    EXPECT_NEAR(down.north_deg(), -convergence, 0.05);
    EXPECT_LT(up.of_position({at.lon, at.lat + 1e-4}).y, up.of_position(at).y);
    EXPECT_LT(down.of_position({at.lon, at.lat + 1e-4}).y, down.of_position(at).y);
    EXPECT_NEAR(degrees(10, 10, 1, 5).origin_y, 5, 0);
}

TEST(Scale, BarsAreRoundAndNeverLonger) {
    EXPECT_DOUBLE_EQ(round_length(7.3), 5);
    EXPECT_DOUBLE_EQ(round_length(200), 200);
    EXPECT_DOUBLE_EQ(round_length(0.19), 0.1);
    EXPECT_DOUBLE_EQ(round_length(4999), 2000);
}

TEST(AreaText, RoundsDown) {
    EXPECT_EQ(area_text(9999.9, {}), "9999 m²");
    EXPECT_EQ(area_text(12'999, {}), "1.2 ha");
    EXPECT_EQ(area_text(12'990'000, {}), "12.9 km²");
    // The acre is 43,560 square feet, 4046.86 m²; the square nautical mile 3.429904 km².
    const Measures feet{LengthUnit::foot, {}}, fathoms{LengthUnit::fathom, {}};
    EXPECT_EQ(area_text(100, feet), "1076 ft²");
    EXPECT_EQ(area_text(4046.8, fathoms), "43559 ft²");
    EXPECT_EQ(area_text(12'999, feet), "3.2 acres");
    EXPECT_EQ(area_text(12'990'000, fathoms), "3.7 nm²");
}

/// What is told of a drop point whose nearest danger is known, in its layer's figures and in words.
std::string told(const NearestDanger& danger, const Measures& measures) {
    FinishedFeature spot;
    spot.properties = {
        {"hull_danger", what_is(danger)}, {"hull_danger_m", 60.0}, {"hull_danger_bearing_deg", 8.0}};
    ReportInput input;
    input.measures = measures;
    input.best_spots.resize(1);
    input.best_spots[0].hull_danger = danger;
    return danger_words(spot, 0, input).hull;
}

TEST(DangerWords, RoundTheSafeWay) {
    const Measures feet{LengthUnit::foot, {}};
    const auto water = [](double low_m) {
        return NearestDanger{NearestDanger::Kind::shoal, "", low_m, Shore::covered, 60, 8};
    };
    EXPECT_EQ(told(water(2.6), feet), "shoal water, 8.5 ft at low water, 196.8 ft off, bearing 008°"); // 8.53
    EXPECT_EQ(told(water(-2.6), feet),
              "shoal water that may dry by up to 8.6 ft at low water, 196.8 ft off, bearing 008°");
    EXPECT_EQ(told(water(2.6), {}), "shoal water, 2.6 m at low water, 60.0 m off, bearing 008°");
    // What is read in feet is the layer's figure: 2.68 m are 2.6 m there. It stays a bank, however low.
    EXPECT_EQ(told(water(2.68), feet), told(water(2.6), feet));
    EXPECT_EQ(told(water(-2.52), feet), told(water(-2.6), feet));
    EXPECT_THAT(told(water(-1e-5), feet), HasSubstr("may dry by up to 0.0 ft"));
    const NearestDanger rock{
        NearestDanger::Kind::hazard, "rock (5 m at low water #3)", 0, Shore::covered, 60, 8};
    EXPECT_THAT(told(rock, feet), HasSubstr("rock (5 m at low water #3)"));
}

/// The ground's danger is the nearer one, the hull has none in reach: the head of the page must not say none.
TEST(DangerWords, TheNearestIsThatOfHullAndGroundTogether) {
    FinishedFeature spot;
    spot.properties = {{"hull_danger", "none within reach"},
                       {"hull_danger_m", 78.9},
                       {"ground_danger", "obstruction (OBSTRN #7)"},
                       {"ground_danger_m", 60.3},
                       {"ground_danger_bearing_deg", 8.0}};
    const ReportInput input;
    EXPECT_EQ(nearest_danger_words(spot, 0, input),
              "for anchor and rode: obstruction (OBSTRN #7), 60.3 m off, bearing 008°");
    spot.properties["hull_danger"] = "wreck";
    spot.properties["hull_danger_m"] = 41.0;
    spot.properties["hull_danger_bearing_deg"] = 359.7;
    EXPECT_EQ(nearest_danger_words(spot, 0, input), "for the hull: wreck, 41.0 m off, bearing 000°");
    spot.properties["hull_danger"] = spot.properties["ground_danger"] = std::string("none within reach");
    spot.properties["hull_danger_m"] = spot.properties["ground_danger_m"] = 78.9;
    EXPECT_EQ(nearest_danger_words(spot, 0, input), "none within 78.9 m");
}

TEST(DangerWords, OfPointsThatAreNotKnownAreThoseOfTheLayer) {
    FinishedFeature spot;
    spot.properties = {{"hull_danger", "shoal water, 2.6 m at low water"},
                       {"hull_danger_m", 60.0},
                       {"hull_danger_bearing_deg", 8.0},
                       {"ground_danger", "none within reach"},
                       {"ground_danger_m", 100.0}};
    ReportInput input;
    EXPECT_EQ(danger_words(spot, 0, input).hull, "shoal water, 2.6 m at low water, 60.0 m off, bearing 008°");
    EXPECT_EQ(danger_words(spot, 0, input).ground, "none within 100.0 m");
    input.best_spots.resize(1); // and one that is known to have none
    EXPECT_EQ(danger_words(spot, 0, input).ground, "none within 100.0 m");
}

TEST(AnswerWords, OfAColumnAreReadBack) {
    for (std::uint8_t ways = 0; ways < 8; ++ways) {
        EXPECT_EQ(ways_of(ways_text(ways)), ways) << ways_text(ways);
    }
    EXPECT_EQ(ways_of("short scope with sinker"), bit_of(Way::sinker)) << "not short scope, too";
    for (std::size_t i = 0; i < verdict_phrases.size(); ++i) {
        EXPECT_EQ(verdict_of(static_cast<double>(i)), static_cast<Verdict>(i));
    }
    EXPECT_EQ(verdict_of(std::nan("")), Verdict::unsurveyed);
    EXPECT_EQ(verdict_of(9), Verdict::unsurveyed);
    EXPECT_EQ(short_phrase(Verdict::full_by_sounder), "full scope by the sounder");
    EXPECT_EQ(short_phrase(Verdict::sinker), "short scope with sinker");
    EXPECT_EQ(short_phrase(Verdict::no), "no");
}

TEST(AnswerWords, AdviceOfAColumnIsReadBack) {
    for (unsigned bits = 0; bits < 1U << advice_names.size(); ++bits) {
        const auto advice = static_cast<std::uint16_t>(bits);
        ASSERT_EQ(advice_of(advice_text(advice)), advice) << advice_text(advice);
    }
}

TEST(ZonesTable, MarksALimitByRoomAloneAndSaysWhatTheMarkMeans) {
    FinishedFeature zone;
    zone.properties = {{"verdict", 3.0},
                       {"meaning", "yes, at short scope; holding not known"},
                       {"ways", "short scope, short scope with sinker"},
                       {"wind_limit_short_min_kn", 15.0},
                       {"wind_limit_sinker_min_kn", 13.0},
                       {"wind_limit_by", "room alone"},
                       {"best_longitude", -29.04},
                       {"best_latitude", 47.98}};
    FinishedFeature full = zone;
    full.properties["meaning"] = "yes, at full scope";
    full.properties["verdict"] = 4.0;
    full.properties["wind_limit_full_min_kn"] = 40.0;
    full.properties["wind_limit_by"] = "room and holding";
    FinishedFeature any = zone;
    any.properties["wind_limit_short_min_kn"] = 80.0;
    const std::string markup = zones_table({{zone, {}}, {full, {1, 3}}, {any, {}}}, {}, 0).str();
    const auto column = [&](const std::string& name) {
        std::vector<std::string> found;
        const std::regex cell("data-name=\"" + name + "\"[^>]*>([^<]*)<");
        for (std::sregex_iterator at(markup.begin(), markup.end(), cell), end; at != end; ++at) {
            found.push_back((*at)[1]);
        }
        return found;
    };
    EXPECT_THAT(column("Wind limit, least, full scope"), ElementsAre("–", "40", "–"));
    EXPECT_THAT(column("Wind limit, least, short scope"), ElementsAre("15*", "15", "any*"));
    EXPECT_THAT(column("Wind limit, least, short scope with sinker"), ElementsAre("13*", "13", "13*"));
    EXPECT_THAT(column("How"), ElementsAre("at short scope; holding not known", "at full scope",
                                           "at short scope; holding not known"));
    EXPECT_THAT(markup, HasSubstr("<p>* By room and the angle of pull alone"));
    EXPECT_THAT(zones_table({{full, {}}}, {}, 0).str(), Not(HasSubstr("By room and")));
}

TEST(ZonesTable, ShowsOfTheAdviceWhatIsNotSaidOfAll) {
    FinishedFeature zone;
    const std::uint16_t all = advice::unknown_holding | advice::coarse_data, own = advice::trip_line;
    zone.properties = {{"advice", advice_text(static_cast<std::uint16_t>(all | own))},
                       {"best_longitude", -29.04},
                       {"best_latitude", 47.98}};
    EXPECT_THAT(zones_table({{zone, {}}}, {}, all).str(), HasSubstr("<b>Mind:</b> trip line<"));
    EXPECT_THAT(zones_table({{zone, {}}}, {}, 0).str(),
                HasSubstr("<b>Mind:</b> trip line, unknown holding, coarse data<"));
    EXPECT_THAT(zones_table({{zone, {}}}, {}, all).str(), HasSubstr(advice_text(own)));
    EXPECT_THAT(zones_table({{zone, {}}}, {}, all).str(), Not(HasSubstr(advice_text(advice::coarse_data))));
}

TEST(Graticule, NamesLieInTheMargin) {
    const Grid grid = degrees(500, 400, 1e-4, 50);
    const Georeference georeference(grid, "test");
    const std::string names = graticule(MapFrame(grid, georeference, grid.extent(), 1000)).names.str();
    int above = 0, left = 0;
    const std::regex place(R"x(<text x="([-0-9.]+)" y="([-0-9.]+)"|translate\(([-0-9.]+) )x");
    for (std::sregex_iterator at(names.begin(), names.end(), place), end; at != end; ++at) {
        if ((*at)[3].matched) {
            left += std::stod((*at)[3]) < 0 ? 1 : 0;
        } else {
            above += std::stod((*at)[2]) < 0 ? 1 : 0;
        }
    }
    EXPECT_GE(left, 2);
    EXPECT_GE(above, 2);
    const auto all = std::count(names.begin(), names.end(), '\xB0'); // of the degrees
    EXPECT_EQ(left + above, all);
}

/// A finished verdict layer of noise, mostly yes.
Plane<std::uint8_t> write_verdicts(const std::filesystem::path& folder, const Grid& grid) {
    std::mt19937 dice(7);
    Plane<std::uint8_t> plane(grid.extent(), 4);
    for (std::size_t i = 0; i < plane.size(); ++i) {
        if (dice() % 40 == 0) plane.data()[i] = static_cast<std::uint8_t>(dice() % 4);
    }
    LayerSpec spec;
    spec.name = "verdict";
    spec.type = CellType::uint8;
    RasterLayer layer(folder, spec, grid, {}, 1);
    layer.write(plane);
    layer.finish();
    return plane;
}

/// The pictures of a map, decoded by GDAL's PNG driver: their palette's indices.
std::vector<Plane<std::uint8_t>> pictures_in(const std::string& svg) {
    std::vector<Plane<std::uint8_t>> pictures;
    const std::string start = "data:image/png;base64,";
    for (std::size_t at = 0; (at = svg.find(start, at)) != std::string::npos; ++at) {
        const std::size_t from = at + start.size();
        std::string text = svg.substr(from, svg.find('"', from) - from);
        auto* const bytes = reinterpret_cast<GByte*>(text.data());
        const int size = CPLBase64DecodeInPlace(bytes);
        VSIFCloseL(
            VSIFileFromMemBuffer("/vsimem/picture.png", bytes, static_cast<vsi_l_offset>(size), FALSE));
        {
            const GDALDatasetUniquePtr png(GDALDataset::Open("/vsimem/picture.png"));
            EXPECT_NE(png, nullptr);
            const Window all{0, 0, png->GetRasterXSize(), png->GetRasterYSize()};
            Plane<std::uint8_t> picture(all);
            EXPECT_EQ(png->GetRasterBand(1)->RasterIO(GF_Read, 0, 0, all.cols, all.rows, picture.data(),
                                                      all.cols, all.rows, GDT_Byte, 0, 0, nullptr),
                      CE_None);
            pictures.push_back(std::move(picture));
        }
        VSIUnlink("/vsimem/picture.png");
    }
    return pictures;
}

/// The class that a pixel of a picture shows: each has a colour and the ink of its hatch.
MapClass shown_at(const Plane<std::uint8_t>& picture, int col, int row) {
    return static_cast<MapClass>(picture.at(col, row) / 2);
}

TEST(ReportMap, APixelIsTheWorstOfItsCells) {
    const ScratchFolder folder;
    const Grid grid = utm(2700, 1101, 2);
    const Plane<std::uint8_t> cells = write_verdicts(folder.path(), grid);
    const FinishedVerdicts verdicts(folder.path());
    for (const int most_pixels : {1024, 512}) {
        const ClassPicture picture = class_picture(verdicts, grid.extent(), most_pixels, nullptr);
        const Window& pixels = picture.classes.window();
        const int factor = picture.factor;
        ASSERT_LE(std::max(pixels.cols, pixels.rows), most_pixels);
        ASSERT_EQ(pixels.cols, (grid.cols + factor - 1) / factor);
        for (int row = 0; row < pixels.rows; ++row) {
            for (int col = 0; col < pixels.cols; ++col) {
                std::uint8_t worst = 255;
                for (int r = row * factor; r < std::min((row + 1) * factor, grid.rows); ++r) {
                    for (int c = col * factor; c < std::min((col + 1) * factor, grid.cols); ++c) {
                        worst = std::min(worst, cells.at(c, r));
                    }
                }
                ASSERT_EQ(static_cast<MapClass>(picture.classes.at(col, row)),
                          map_class_of(static_cast<Verdict>(worst)))
                    << col << ' ' << row;
            }
        }
    }
}

TEST(ReportMap, TellsOfANoWhatKindItIsAndNeverMoreThanTheLayer) {
    const ScratchFolder folder;
    const Grid grid = utm(1500, 700, 2);
    const Plane<std::uint8_t> cells = write_verdicts(folder.path(), grid);
    const FinishedVerdicts verdicts(folder.path());
    // Blocks in which each no is of some kind; a yes of the layer is told as a no, which must not count.
    std::mt19937 dice(11);
    const Window window{10, 20, grid.cols, grid.rows}; // of the raster that the run looks at
    MapPlanes planes(window);
    Plane<std::uint8_t> classes(window);
    for (std::size_t i = 0; i < classes.size(); ++i) {
        const auto verdict = static_cast<Verdict>(cells.data()[i]);
        const auto kind = static_cast<std::uint8_t>(static_cast<unsigned>(MapClass::no) + dice() % 5);
        classes.data()[i] = verdict == Verdict::no ? kind : static_cast<std::uint8_t>(map_class_of(verdict));
    }
    for (const Window& core : cut_into_blocks(window, 333)) {
        BlockAnswers answers;
        answers.core = core;
        answers.map_class.reshape(core);
        answers.plane<Layer::depth_low>().reset(core, 7.0F);
        for (int row = core.row; row < core.row_end(); ++row) {
            std::copy_n(&classes.at(core.col, row), core.cols, answers.map_class.row(row));
        }
        planes.take(answers);
    }
    for (const int most_pixels : {1024, 512}) {
        const ClassPicture picture = class_picture(verdicts, grid.extent(), most_pixels, &planes);
        for (int row = 0; row < picture.classes.window().rows; ++row) {
            for (int col = 0; col < picture.classes.window().cols; ++col) {
                MapClass worst = MapClass::full;
                for (int r = row * picture.factor; r < std::min((row + 1) * picture.factor, grid.rows); ++r) {
                    for (int c = col * picture.factor; c < std::min((col + 1) * picture.factor, grid.cols);
                         ++c) {
                        worst = worse(worst, static_cast<MapClass>(classes.at(c + 10, r + 20)));
                    }
                }
                ASSERT_EQ(static_cast<MapClass>(picture.classes.at(col, row)), worst) << col << ' ' << row;
            }
        }
    }
}

TEST(ReportMap, SpotsLieOnPixelsOfTheirVerdict) {
    for (const bool south_up : {false, true}) {
        const ScratchFolder folder;
        const Grid grid = utm(300, 200, 3, south_up);
        const Plane<std::uint8_t> cells = write_verdicts(folder.path(), grid);
        const FinishedVerdicts verdicts(folder.path());
        const Georeference georeference(verdicts.grid(), "test");
        ReportMap map(verdicts, MapFrame(verdicts.grid(), georeference, grid.extent(), 1000), "map");
        std::vector<std::uint8_t> wanted;
        for (const auto& [col, row] : {std::pair(20, 15), {150, 100}, {280, 30}, {33, 190}}) {
            const LonLat at = georeference.lonlat({col + 0.5, row + 0.5});
            FinishedFeature spot;
            spot.rings = {{{at.lon, at.lat}}};
            spot.properties = {{"radius_m", 30.0}};
            map.add_spot(spot, wanted.size() + 1);
            wanted.push_back(cells.at(col, row));
        }
        const std::string svg = map.svg("title", "description", MapColours::day).str();
        const auto pictures = pictures_in(svg);
        ASSERT_EQ(pictures.size(), 1U);
        const Plane<std::uint8_t>& picture = pictures.front(); // as a renderer would place it
        const double scale = map.frame().width() / picture.window().cols;
        const std::regex mark(
            R"x(<g class="clear" transform="translate\(([0-9.]+) ([0-9.]+)\)"><circle r="9"/><text [^>]*>(\d))x");
        std::size_t seen = 0;
        for (std::sregex_iterator it(svg.begin(), svg.end(), mark), end; it != end; ++it, ++seen) {
            const double x = std::stod((*it)[1]), y = std::stod((*it)[2]);
            const auto verdict = static_cast<Verdict>(wanted.at(std::stoul((*it)[3]) - 1));
            EXPECT_EQ(shown_at(picture, static_cast<int>(x / scale), static_cast<int>(y / scale)),
                      map_class_of(verdict));
        }
        EXPECT_EQ(seen, wanted.size());
        const std::regex ellipse(
            R"x(<ellipse class="swing" cx="[^"]+" cy="[^"]+" rx="([0-9.]+)" ry="([0-9.]+)"/>)x");
        std::smatch radius;
        ASSERT_TRUE(std::regex_search(svg, radius, ellipse));
        EXPECT_NEAR(std::stod(radius[1]), 30 * map.frame().units_per_m(), 0.2);
        EXPECT_NEAR(std::stod(radius[2]), 30 * map.frame().units_per_m(), 0.2);
    }
}

TEST(ReportMap, OfAPageHasPicturesForWideAndNarrowScreensByDayAndAtNight) {
    const ScratchFolder folder;
    const Grid grid = utm(300, 200, 3);
    write_verdicts(folder.path(), grid);
    const FinishedVerdicts verdicts(folder.path());
    const Georeference georeference(verdicts.grid(), "test");
    const ReportMap map(verdicts, MapFrame(verdicts.grid(), georeference, grid.extent(), 1000), "map");
    const std::string svg = map.svg("title", "description").str();
    EXPECT_EQ(pictures_in(svg).size(), 4U);
    for (const char* style : {"wide by-day", "wide by-night", "narrow by-day", "narrow by-night"}) {
        EXPECT_THAT(svg, HasSubstr(std::string("class=\"pixels ") + style + "\""));
    }
}

TEST(ReportMap, IsBoundedHoweverLongTheOutline) {
    const ScratchFolder folder;
    const Grid grid = utm(300, 300, 3);
    write_verdicts(folder.path(), grid);
    const FinishedVerdicts verdicts(folder.path());
    const Georeference georeference(verdicts.grid(), "test");
    ReportMap map(verdicts, MapFrame(verdicts.grid(), georeference, grid.extent(), 1000), "map");
    FinishedFeature
        zone; // a toothed line of 400 000 vertices, a hundredth of a cell apart; most of it outside
    zone.properties = {{"verdict", 4.0}};
    zone.rings.resize(1);
    for (int i = 0; i < 400'000; ++i) {
        zone.rings[0].push_back({i * 0.01, i % 2 == 0 ? 100.0 : 100.01});
    }
    zone.rings[0].insert(zone.rings[0].end(), {{4000, 200}, {0, 200}, zone.rings[0].front()});
    EXPECT_TRUE(map.add_zone(zone));
    EXPECT_LT(map.outline_bytes(), 500'000U); // of some 5 MB
    FinishedFeature speck;
    speck.properties = {{"verdict", 4.0}};
    speck.rings = {{{50, 50}, {50.2, 50}, {50.2, 50.2}, {50, 50.2}, {50, 50}}};
    EXPECT_FALSE(map.add_zone(speck));
}

TEST(Report, SaysSoWhereThereIsNoZone) {
    const ScratchFolder folder;
    write_verdicts(folder.path(), utm(100, 100, 5));
    ReportInput input;
    input.boat_name = "bare";
    write_pages(folder.path(), input, LayerSet::parse("report", ""));
    const std::string page = swingroom::testing::bytes_of(folder.path() / "report.html");
    EXPECT_THAT(page, HasSubstr("Nowhere in this area"));
    EXPECT_THAT(page, Not(HasSubstr("Numbers are drop points"))); // there are none to explain
    EXPECT_THAT(page, Not(HasSubstr("nan")));
}

TEST(Report, OfLayersThatReadOtherwiseThanMeantIsRefused) {
    for (const bool changed : {false, true}) {
        const ScratchFolder folder;
        write_verdicts(folder.path(), utm(100, 100, 5));
        VectorLayer spots(folder.path(), "spots", "", VectorLayer::Shape::point, {{"radius_m", 0.0}}, {});
        for (int i = 0; i < 3; ++i) {
            spots.add_point({-28.3332 + i * 1e-4, 47.8434}, std::vector<Property>{{"radius_m", 30.0 + i}});
        }
        spots.finish();
        if (changed) {
            std::string text = swingroom::testing::bytes_of(folder.path() / "spots.geojson");
            text.replace(text.find("31"), 2, "13");
            swingroom::testing::put_file(folder.path() / "spots.geojson", text);
        }
        ReportInput input;
        input.vectors.push_back(spots.finished());
        if (changed) {
            EXPECT_THROW(write_pages(folder.path(), input, LayerSet::parse("report", "")), IoError);
        } else {
            EXPECT_NO_THROW(write_pages(folder.path(), input, LayerSet::parse("report", "")));
        }
        EXPECT_EQ(std::filesystem::exists(folder.path() / "report.html"), !changed);
    }
}

TEST(Report, AndMapAreTheSameTogetherAndAlone) {
    const ScratchFolder both, alone;
    ReportInput input;
    input.boat_name = "bare";
    for (const ScratchFolder* const folder : {&both, &alone}) {
        write_verdicts(folder->path(), utm(100, 100, 5));
    }
    write_pages(both.path(), input, LayerSet::parse("report,map", ""));
    write_pages(alone.path(), input, LayerSet::parse("report", ""));
    EXPECT_FALSE(std::filesystem::exists(alone.path() / "map.svg"));
    write_pages(alone.path(), input, LayerSet::parse("map", ""));
    for (const char* const name : {"report.html", "map.svg", "map-night.svg"}) {
        EXPECT_EQ(swingroom::testing::bytes_of(both.path() / name),
                  swingroom::testing::bytes_of(alone.path() / name))
            << name;
    }
}

TEST(Report, TellsOfEveryFailureOfTheDisk) {
    const ScratchFolder folder;
    write_verdicts(folder.path(), utm(100, 100, 5));
    int told = 0;
    for (bool written = false; !written && told < 100;) {
        guarded::plan_fault({told + 1, ENOSPC, false});
        try {
            write_pages(folder.path(), {}, LayerSet::parse("report", ""));
            written = true;
        } catch (const IoError& error) {
            EXPECT_THAT(error.what(), HasSubstr("report.html"));
            ++told;
        }
    }
    guarded::plan_fault({});
    EXPECT_GE(told, 3); // to open, to write, to close
    EXPECT_LT(told, 100);
}

/// One list of cautions, in two places: README.md and each report.
TEST(Report, CautionsAreReadmes) {
    std::string readme = swingroom::testing::bytes_of(SWINGROOM_SOURCE "/README.md");
    std::erase(readme, '`');
    readme = std::regex_replace(readme, std::regex(R"(\s+)"), " ");
    for (const std::string_view caution : cautions) {
        EXPECT_THAT(readme, HasSubstr(std::string("* ").append(caution)));
    }
    const auto begin = readme.find("## Cautions first"), end = readme.find("## Install");
    const std::string part = readme.substr(begin, end - begin);
    std::size_t bullets = 0;
    for (std::size_t at = 0; (at = part.find(" * ", at)) != std::string::npos; ++at) {
        ++bullets;
    }
    EXPECT_EQ(bullets, cautions.size());
}

} // namespace
} // namespace swingroom
