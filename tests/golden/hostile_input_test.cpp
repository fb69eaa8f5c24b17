// Files that would have the program do more than read them: go to a network, read files that nobody named,
// run code, write beside its input. A library that is preloaded into the program tells what it does.

#include "support.hpp"

#include <cpl_error.h>
#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::golden {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

/// Variables of the environment, while it lives.
class Environment {
public:
    explicit Environment(const std::map<std::string, std::string>& variables) {
        for (const auto& [name, value] : variables) {
            const char* const before = std::getenv(name.c_str());
            before_.emplace_back(name, before ? before : "");
            was_set_.push_back(before != nullptr);
            setenv(name.c_str(), value.c_str(), 1);
        }
    }
    ~Environment() {
        for (std::size_t i = 0; i < before_.size(); ++i) {
            if (was_set_[i]) {
                setenv(before_[i].first.c_str(), before_[i].second.c_str(), 1);
            } else {
                unsetenv(before_[i].first.c_str());
            }
        }
    }
    Environment(const Environment&) = delete;
    Environment& operator=(const Environment&) = delete;

private:
    std::vector<std::pair<std::string, std::string>> before_;
    std::vector<bool> was_set_;
};

constexpr const char* nowhere = "http://127.0.0.1:1/x.tif"; // nobody listens there

class HostileInput : public testing::Test {
protected:
    void SetUp() override {
        fs::create_directory(scratch / "in");
        write_sea(in("sea.tif"));
    }
    [[nodiscard]] std::string in(const std::string& name) const { return scratch / ("in/" + name); }
    std::string put(const std::string& name, const std::string& bytes) const {
        write_bytes(in(name), bytes);
        return in(name);
    }

    /// The program, and what it did meanwhile, a line each: "read NAME", "write NAME", "network CALL".
    struct Told {
        Outcome run;
        std::vector<std::string> calls;
    };
    Told watched(const std::vector<std::string>& words, std::map<std::string, std::string> variables = {}) {
        const std::string told = scratch / "told";
        fs::remove(told);
        variables["SWINGROOM_TOLD_CALLS"] = told;
        variables["LD_PRELOAD"] = SWINGROOM_TOLD_CALLS_LIBRARY;
        // Where libraries look by themselves: PROJ for grids, NetCDF's for keys of a store that it never
        // asks.
        variables.try_emplace("HOME", scratch / "home");
        variables["PROJ_USER_WRITABLE_DIRECTORY"] = scratch / "proj";
        variables["ASAN_OPTIONS"] = "verify_asan_link_order=0";
        Told result;
        {
            const Environment set(variables);
            result.run = swingroom(words, scratch.path());
        }
        std::ifstream lines(told);
        for (std::string line; std::getline(lines, line);) {
            result.calls.push_back(line);
        }
        return result;
    }

    /// Calls that have no place in any run: a network, and files but those of the system, of the test, and of
    /// the run itself.
    [[nodiscard]] std::vector<std::string> strange(const std::vector<std::string>& calls) const {
        std::vector<std::string> found;
        for (const std::string& call : calls) {
            const std::string what = call.substr(0, call.find(' ')), name = call.substr(what.size() + 1);
            const auto is_in = [&](const std::string& folder) { return name.starts_with(folder); };
            const bool of_system = is_in("/usr/") || is_in("/lib") || is_in("/proc/") || is_in("/sys/") ||
                                   is_in("/dev/") || is_in("/etc/ld.so") || is_in("/etc/ssl/") ||
                                   is_in("/etc/localtime");
            const bool of_test = is_in(scratch.path().string()) || is_in(SWINGROOM_SOURCE "/testdata/");
            const bool of_input = is_in(scratch / "in/") || is_in(SWINGROOM_SOURCE "/testdata/");
            if (what == "network" || !(of_test || (of_system && what == "read") || is_in("/dev/")) ||
                (of_input && what == "write")) {
                found.push_back(call);
            }
        }
        return found;
    }

    [[nodiscard]] std::vector<std::string> job(const std::string& raster) const {
        return {"overlay",
                "--bathymetry",
                raster,
                "--positive",
                "up",
                "--depth-unit",
                "m",
                "--chart-datum",
                "0",
                "--uncertainty",
                "0",
                "--boat",
                SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini",
                "--low-water",
                "0",
                "--high-water",
                "1",
                "--wind",
                "10",
                "--layers",
                "verdict",
                "--out",
                scratch / "out"};
    }

    void expect_nothing_strange(const Told& told, const std::map<std::string, std::string>& before) const {
        EXPECT_THAT(strange(told.calls), testing::IsEmpty());
        EXPECT_FALSE(told.calls.empty()) << "nobody told";
        EXPECT_TRUE(contents(scratch / "in") == before) << "something was written beside the input";
    }
    /// As a raster, it is refused with one line that says `said`, whoever asks, and nothing else is done.
    void expect_refused(const std::string& raster, const std::string& said) {
        SCOPED_TRACE(raster);
        const auto before = contents(scratch / "in");
        const Told run = watched(job(raster));
        EXPECT_EQ(run.run.exit_code, 2) << run.run.err;
        EXPECT_EQ(run.run.lines(), 1U) << run.run.err;
        EXPECT_THAT(run.run.err, HasSubstr(said));
        EXPECT_FALSE(fs::exists(scratch / "out"));
        expect_nothing_strange(run, before);
        const Told inputs = watched({"inputs", raster});
        EXPECT_EQ(inputs.run.exit_code, 2) << inputs.run.err << inputs.run.out;
        EXPECT_LE(inputs.run.lines(), 1U) << inputs.run.err;
        expect_nothing_strange(inputs, before);
    }

    /// A virtual raster like the sea, of these bands.
    std::string put_virtual(const std::string& name, const std::string& bands,
                            const std::string& attributes = "") const {
        return put(name, "<VRTDataset rasterXSize=\"120\" rasterYSize=\"120\"" + attributes +
                             "><SRS>EPSG:32626</SRS><GeoTransform>400000,5,0,5300600,0,-5</GeoTransform>" +
                             bands + "</VRTDataset>");
    }
    static std::string band(const std::string& inside, const std::string& attributes = "") {
        return "<VRTRasterBand dataType=\"Float32\" band=\"1\"" + attributes + "><UnitType>m</UnitType>" +
               inside + "</VRTRasterBand>";
    }
    static std::string source(const std::string& name, bool relative = false) {
        return std::string("<SimpleSource><SourceFilename relativeToVRT=\"") + (relative ? "1" : "0") +
               "\">" + name + "</SourceFilename><SourceBand>1</SourceBand></SimpleSource>";
    }
    static std::string raw(const std::string& name) {
        return "<VRTRasterBand dataType=\"Byte\" band=\"1\" subClass=\"VRTRawRasterBand\"><SourceFilename "
               "relativeToVRT=\"0\">" +
               name +
               "</SourceFilename><ImageOffset>0</ImageOffset><PixelOffset>1</PixelOffset><LineOffset>9"
               "</LineOffset></VRTRasterBand>";
    }

    Scratch scratch;
};

TEST_F(HostileInput, WhatTheProgramDoesIsTold) {
    const Told sound = watched(job(in("sea.tif")));
    EXPECT_EQ(sound.run.exit_code, 0) << sound.run.err;
    EXPECT_THAT(sound.calls, testing::Contains("read " + in("sea.tif")));
    EXPECT_THAT(sound.calls, testing::Contains(testing::StartsWith("write " + scratch.path().string())));
    EXPECT_THAT(strange(sound.calls), testing::IsEmpty());
    const std::string told = scratch / "told";
    const Environment set({{"SWINGROOM_TOLD_CALLS", told}, {"LD_PRELOAD", SWINGROOM_TOLD_CALLS_LIBRARY}});
    EXPECT_NE(std::system("bash -c 'exec 3<>/dev/tcp/127.0.0.1/1' 2>/dev/null"), 0);
    EXPECT_THAT(bytes_of(told), HasSubstr("network connect"));
    EXPECT_EQ(std::system("cat /etc/passwd > /dev/null"), 0);
    EXPECT_THAT(bytes_of(told), HasSubstr("read /etc/passwd"));
}

TEST_F(HostileInput, FormatsOfNetworksAreNotRead) {
    const std::string address = nowhere;
    expect_refused(
        put("wms.tif", "<GDAL_WMS><Service name=\"TMS\"><ServerUrl>" + address +
                           "</ServerUrl></Service><DataWindow><UpperLeftX>0</UpperLeftX><UpperLeftY>0"
                           "</UpperLeftY><LowerRightX>9</LowerRightX><LowerRightY>-9</LowerRightY>"
                           "<SizeX>99</SizeX><SizeY>99</SizeY></DataWindow></GDAL_WMS>"),
        "is a raster (WMS) of a format that is not read here; write it to a GeoTIFF");
    expect_refused(
        put("wmts.xml", "<GDAL_WMTS><GetCapabilitiesUrl>" + address + "</GetCapabilitiesUrl></GDAL_WMTS>"),
        "(WMTS)");
    expect_refused(put("wcs.xml", "<WCS_GDAL><ServiceURL>" + address + "</ServiceURL></WCS_GDAL>"), "(WCS)");
    const auto cached = [&](const std::string& from) {
        return "<MRF_META><CachedSource><Source>" + from +
               "</Source></CachedSource><Raster><Size x=\"120\" y=\"120\" c=\"1\"/><PageSize x=\"64\" "
               "y=\"64\" "
               "c=\"1\"/><Compression>DEFLATE</Compression><DataType>Float32</DataType></Raster></MRF_META>";
    };
    expect_refused(put("far.mrf", cached("/vsicurl/" + address)), "(MRF)");
    expect_refused(put("near.mrf", cached(in("sea.tif"))), "(MRF)");
}

TEST_F(HostileInput, VirtualRastersReachNoNetwork) {
    const std::string address = nowhere;
    expect_refused(put_virtual("curl.vrt", band(source("/vsicurl/" + address))), "which is not a file here");
    expect_refused(put_virtual("http.vrt", band(source(address))), "which is not a file here");
    expect_refused(put_virtual("word.vrt", band(source("WMS:" + address))), "which is not a file here");
    expect_refused(
        put_virtual("wms.vrt",
                    band(source("&lt;GDAL_WMS&gt;&lt;Service name=\"TMS\"&gt;&lt;ServerUrl&gt;" + address +
                                "&lt;/ServerUrl&gt;&lt;/Service&gt;"
                                "&lt;/GDAL_WMS&gt;"))),
        "which is not a file here");
    put("wms.xml",
        "<GDAL_WMS><Service name=\"TMS\"><ServerUrl>" + address + "</ServerUrl></Service></GDAL_WMS>");
    expect_refused(put_virtual("xml.vrt", band(source("wms.xml", true))),
                   "in no raster format that is read here");
    expect_refused(
        put_virtual("options.vrt",
                    band("<SimpleSource><SourceFilename relativeToVRT=\"1\">sea.tif</SourceFilename>"
                         "<OpenOptions><OOI key=\"OVERVIEW_LEVEL\">1</OOI></OpenOptions>"
                         "<SourceBand>1</SourceBand></SimpleSource>")),
        "(OpenOptions)");
    expect_refused(
        put_virtual("overview.vrt", band(source("sea.tif", true) + "<Overview><SourceFilename>/vsicurl/" +
                                         address + "</SourceFilename></Overview>")),
        "does more than put files together (Overview); write it to a GeoTIFF first");
    expect_refused(put_virtual("mask.vrt", band(source("sea.tif", true)) +
                                               "<MaskBand><VRTRasterBand dataType=\"Byte\">" +
                                               source("/vsicurl/" + address) + "</VRTRasterBand></MaskBand>"),
                   "which is not a file here");
    expect_refused(
        put_virtual("named.vrt", "<Metadata domain=\"OVERVIEWS\"><MDI key=\"OVERVIEW_F&#73;LE\">/vsicurl/" +
                                     address + "</MDI></Metadata>" + band(source("sea.tif", true))),
        "names a file of overviews");
    const std::string warp = "<GDALWarpOptions><SourceDataset relativeToVRT=\"0\">/vsicurl/" + address +
                             "</SourceDataset></GDALWarpOptions>";
    expect_refused(put_virtual("warped.vrt", warp + band("", " subClass=\"VRTWarpedRasterBand\""),
                               " subClass=\"VRTWarpedDataset\""),
                   "(VRTWarpedDataset)");
    expect_refused(put_virtual("sharpened.vrt",
                               "<PansharpeningOptions><PanchroBand><SourceFilename>/vsicurl/" + address +
                                   "</SourceFilename></PanchroBand></PansharpeningOptions>",
                               " subClass=\"VRTPansharpenedDataset\""),
                   "(VRTPansharpenedDataset)");
    put_virtual("inner.vrt", band(source("/vsicurl/" + address)));
    expect_refused(put_virtual("outer.vrt", band(source("inner.vrt", true))), "which is not a file here");
}

TEST_F(HostileInput, VirtualRastersReadNoFilesThatAreNoRasters) {
    expect_refused(put_virtual("raw.vrt", raw("/etc/passwd")), "(VRTRawRasterBand)");
    expect_refused(put_virtual("function.vrt", band("<PixelFunctionType>f</PixelFunctionType>"
                                                    "<PixelFunctionLanguage>Python</PixelFunctionLanguage>",
                                                    " subClass=\"VRTDerivedRasterBand\"")),
                   "(VRTDerivedRasterBand)");
    expect_refused(
        put_virtual("averaged.vrt", band("<AveragedSource><SourceFilename relativeToVRT=\"1\">sea.tif"
                                         "</SourceFilename></AveragedSource>")),
        "(AveragedSource)");
    put("notes.txt", "a file of the machine\n");
    expect_refused(put_virtual("text.vrt", band(source("notes.txt", true))),
                   "in no raster format that is read here");
    expect_refused(put_virtual("own.vrt", band(source("own.vrt", true))), "refers to itself");
    put_virtual("there.vrt", band(source("back.vrt", true)));
    expect_refused(put_virtual("back.vrt", band(source("there.vrt", true))), "refers to itself");
    put_virtual("level0.vrt", band(source("sea.tif", true)));
    for (int level = 1; level < 12; ++level) {
        put_virtual("level" + std::to_string(level) + ".vrt",
                    band(source("level" + std::to_string(level - 1) + ".vrt", true)));
    }
    expect_refused(in("level11.vrt"), "deep");
}

TEST_F(HostileInput, SidecarsReachNothing) {
    const std::string address = nowhere, far = "/vsicurl/" + address;
    const auto with = [&](const std::string& sidecar, const std::string& bytes, const std::string& said) {
        SCOPED_TRACE(sidecar);
        const std::string beside = put(sidecar, bytes);
        expect_refused(in("sea.tif"), said);
        fs::remove(beside);
    };
    const std::string sound = bytes_of(in("sea.tif"));
    const std::string mask =
        put_virtual("m", "<VRTRasterBand dataType=\"Byte\" band=\"1\">" + source(far) + "</VRTRasterBand>");
    with("sea.tif.msk", bytes_of(mask), "sea.tif.msk\", which is no GeoTIFF; remove that file");
    with("sea.tif.ovr", bytes_of(mask), "sea.tif.ovr\", which is no GeoTIFF");
    put_virtual("m", raw("/etc/passwd"));
    with("sea.tif.msk", bytes_of(mask), "which is no GeoTIFF");
    with("sea.tif.aux.xml",
         "<PAMDataset><Metadata domain=\"OVERVIEWS\"><MDI key=\"OVERVIEW_FILE\">" + far +
             "</MDI></Metadata></PAMDataset>",
         "sea.tif.aux.xml\" names a file of overviews, which may be any file; remove");
    put("sea.tif.msk", sound);
    with("sea.tif.msk.msk", bytes_of(mask), "sea.tif.msk.msk\", which is no GeoTIFF");
    fs::remove(in("sea.tif.msk"));
    put_virtual("part.vrt", band(source("sea.tif", true)));
    put("sea.tif.ovr", bytes_of(mask));
    expect_refused(in("part.vrt"), "sea.tif.ovr\", which is no GeoTIFF");
    fs::remove(in("sea.tif.ovr"));
    GDALAllRegister();
    GDALDatasetUniquePtr(GDALDataset::Open(in("sea.tif").c_str(), GDAL_OF_RASTER | GDAL_OF_UPDATE))
        ->SetMetadataItem("OVERVIEW_FILE", far.c_str(), "OVERVIEWS");
    expect_refused(in("sea.tif"), "names a file of overviews in its metadata");
}

TEST_F(HostileInput, ReferenceSystemsNameNoFiles) {
    put("grid.gsb", "a file of the machine\n");
    const CPLErrorHandlerPusher quiet(CPLQuietErrorHandler); // here, too, PROJ looks for the grid
    const std::string transverse = "GEOGCS[\"g\",DATUM[\"d\",SPHEROID[\"s\",6378137,298.257223563]],PRIMEM["
                                   "\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]]";
    const auto by = [&](const std::string& crs, const std::string& said) {
        SCOPED_TRACE(crs);
        Sea bare;
        bare.crs.clear();
        write_sea(in("sea.tif"), bare);
        put("sea.tif.aux.xml", "<PAMDataset><SRS>" + crs + "</SRS></PAMDataset>");
        const Told told = watched(job(in("sea.tif")));
        EXPECT_EQ(told.run.exit_code, 2) << told.run.err;
        EXPECT_EQ(told.run.lines(), 1U) << told.run.err;
        EXPECT_THAT(told.run.err, HasSubstr(said));
        EXPECT_THAT(told.calls, testing::Not(testing::Contains(HasSubstr("grid.gsb"))));
        EXPECT_THAT(strange(told.calls), testing::IsEmpty());
    };
    const std::string grid = in("grid.gsb");
    by("+init=" + grid + ":x", "has a CRS that is defined by another file");
    by("+proj=longlat +ellps=GRS80 +nadgrids=" + grid + " +type=crs",
       "has a CRS that is defined by another file");
    by("+proj=longlat +ellps=GRS80 +nadgrids=http://127.0.0.1:1/x +type=crs", "defined by another file");
    // In the raster itself only PROJ sees it.
    fs::remove(in("sea.tif.aux.xml"));
    Sea named;
    named.crs = transverse.substr(0, transverse.size() - 1) +
                ",EXTENSION[\"PROJ4\",\"+proj=longlat +ellps=WGS84 "
                "+nadgrids=" +
                grid + "\"]]";
    named.transform = {-29, 0.0001, 0, 47, 0, -0.0001};
    write_sea(in("sea.tif"), named);
    const Told told = watched(job(in("sea.tif")));
    EXPECT_THAT(told.calls, testing::Not(testing::Contains(HasSubstr("grid.gsb"))));
    EXPECT_THAT(strange(told.calls), testing::IsEmpty());
}

TEST_F(HostileInput, HazardFilesReachNothing) {
    const std::string address = nowhere;
    const auto refused = [&](const std::string& file) {
        SCOPED_TRACE(file);
        const auto before = contents(scratch / "in");
        const Told run = watched({"exclusions", "--hazards", file, "--out", scratch / "out"});
        EXPECT_EQ(run.run.exit_code, 2) << run.run.err;
        EXPECT_EQ(run.run.lines(), 1U) << run.run.err;
        expect_nothing_strange(run, before);
        expect_nothing_strange(watched({"inputs", file}), before);
    };
    refused(put("far.vrt", "<OGRVRTDataSource><OGRVRTLayer name=\"x\"><SrcDataSource>/vsicurl/" + address +
                               "</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>"));
    refused(
        put("schema.gml", "<gml:FeatureCollection xmlns:gml=\"http://www.opengis.net/gml\" "
                          "xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\" xsi:schemaLocation=\"x " +
                              address + "\"></gml:FeatureCollection>"));
    refused(put("wfs.xml", "<OGRWFSDataSource><URL>" + address + "</URL></OGRWFSDataSource>"));
    const std::string linked =
        put("link.kml", "<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document><NetworkLink><Link><href>" +
                            address +
                            "</href></Link></NetworkLink><Placemark><name>a</name><Point><coordinates>-29,47"
                            "</coordinates></Point></Placemark></Document></kml>");
    const auto before = contents(scratch / "in");
    expect_nothing_strange(watched({"inputs", linked}), before);
    expect_nothing_strange(watched({"exclusions", "--hazards", linked, "--out", scratch / "out"}), before);
}

TEST_F(HostileInput, VariablesOfTheEnvironmentLoadNothing) {
    const std::string folder = scratch / "drivers", home = scratch / "home", mark = scratch / "mark";
    fs::create_directories(folder);
    fs::create_directories(home + "/.gdal");
    fs::copy(SWINGROOM_MARKING_PLUGIN, folder);
    const std::string settings = "[configoptions]\nGDAL_DRIVER_PATH=" + folder + "\n";
    write_bytes(scratch / "gdalrc", settings);
    write_bytes(home + "/.gdal/gdalrc", settings);
    write_bytes(folder + "/gdal_marking.py", "# gdal: DRIVER_NAME = \"M\"\nopen('" + mark + "', 'w')\n");
    for (const auto& [name, value] :
         std::vector<std::pair<std::string, std::string>>{{"GDAL_DRIVER_PATH", folder},
                                                          {"OGR_DRIVER_PATH", folder},
                                                          {"GDAL_PYTHON_DRIVER_PATH", folder},
                                                          {"GDAL_CONFIG_FILE", scratch / "gdalrc"},
                                                          {"HOME", home}}) {
        SCOPED_TRACE(name);
        for (const std::vector<std::string>& words :
             {job(in("sea.tif")),
              {"inputs", in("sea.tif"), SWINGROOM_SOURCE "/testdata/cells/QQ5HAVEN.000"}}) {
            const Told told = watched(words, {{name, value}, {"SWINGROOM_MARK", mark}});
            EXPECT_FALSE(fs::exists(mark)) << "a plugin was loaded";
            EXPECT_THAT(strange(told.calls), testing::IsEmpty());
            for (const std::string& call : told.calls) {
                EXPECT_THAT(call, testing::Not(testing::AnyOf(HasSubstr("gdalrc"), HasSubstr("Marking"))));
            }
        }
        fs::remove_all(scratch / "out");
    }
}

TEST_F(HostileInput, FormatsOfTheListAreReadAndNothingBesides) {
    GDALAllRegister();
    const GDALDatasetUniquePtr sea(GDALDataset::Open(in("sea.tif").c_str(), GDAL_OF_RASTER));
    const Told usual = watched(job(in("sea.tif")));
    ASSERT_EQ(usual.run.exit_code, 0) << usual.run.err;
    const auto verdict = read_layer(scratch / "out/verdict.tif").values;
    fs::remove_all(scratch / "out");
    struct Format {
        const char *driver, *name;
        bool says_crs = true;
    };
    for (const Format& format :
         {Format{"AAIGrid", "sea.asc"}, Format{"XYZ", "sea.xyz", false}, Format{"GSAG", "asc.grd", false},
          Format{"GSBG", "bin.grd", false}, Format{"GS7BG", "seven.grd", false}, Format{"ENVI", "sea.bin"},
          Format{"EHdr", "sea.bil"}, Format{"SAGA", "sea.sdat"}, Format{"HFA", "sea.img"},
          Format{"netCDF", "sea.nc"}, Format{"VRT", "sea.vrt"}}) {
        SCOPED_TRACE(format.driver);
        GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName(format.driver);
        if (!driver) continue; // not every GDAL has all of them
        ASSERT_TRUE(GDALDatasetUniquePtr(
            driver->CreateCopy(in(format.name).c_str(), sea.get(), FALSE, nullptr, nullptr, nullptr)));
        const auto before = contents(scratch / "in");
        auto words = job(in(format.name));
        if (!format.says_crs) words.insert(words.end(), {"--crs", "EPSG:32626"});
        const Told told = watched(words);
        EXPECT_EQ(told.run.exit_code, 0) << told.run.err;
        expect_nothing_strange(told, before);
        if (told.run.exit_code == 0) {
            EXPECT_TRUE(read_layer(scratch / "out/verdict.tif").values == verdict);
        }
        fs::remove_all(scratch / "out");
    }
}

/// With a raster of parts the digest of its own few bytes says nothing.
TEST_F(HostileInput, PartsOfVirtualRastersAreAmongTheInputs) {
    put_virtual("inner.vrt", band(source("sea.tif", true)));
    put("sea.tif.aux.xml", "<PAMDataset></PAMDataset>");
    const std::string outer = put_virtual("outer.vrt", band(source("inner.vrt", true)));
    const auto before = contents(scratch / "in");
    const Told run = watched(job(outer));
    EXPECT_EQ(run.run.exit_code, 0) << run.run.err;
    expect_nothing_strange(run, before);
    const std::string manifest = bytes_of(scratch / "out/manifest.json");
    for (const char* const name : {"outer.vrt", "inner.vrt", "sea.tif\"", "sea.tif.aux.xml"}) {
        EXPECT_THAT(manifest, HasSubstr(name));
    }
}

} // namespace
} // namespace swingroom::golden
