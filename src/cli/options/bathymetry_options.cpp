#include "cli/options/bathymetry_options.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include "cli/options/level_rasters.hpp"
#include "cli/options/options.hpp"

#include <cstddef>
#include <optional>
#include <string>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// For a raster that says of itself what an option says of others.
constexpr const char* stated = "stated";

std::string times(std::size_t count) {
    return count == 1 ? "once" : count == 2 ? "twice" : std::to_string(count) + " times";
}

/// What an option says of each raster; nothing where it leaves that to the file.
/// @param what  the rasters are counted as in messages
std::vector<std::optional<std::string>> by_raster(const po::variables_map& given, const std::string& name,
                                                  std::size_t rasters,
                                                  const std::string& what = "--bathymetry") {
    std::vector<std::optional<std::string>> values(rasters);
    if (given.count(name) == 0) return values;
    const auto& said = given[name].as<std::vector<std::string>>();
    if (said.size() != 1 && said.size() != rasters) {
        throw InputError("--" + name, "is given " + times(said.size()) + ", " + what + " " + times(rasters),
                         rasters == 1 ? "give it once"
                                      : "give it once for all rasters, or once for each in their order, with "
                                        "the word stated for those that say it themselves");
    }
    for (std::size_t i = 0; i < rasters; ++i) {
        if (const std::string& value = said[said.size() == 1 ? 0 : i]; value != stated) values[i] = value;
    }
    return values;
}

bool is_down(const std::string& positive) {
    if (positive != "up" && positive != "down") {
        throw InputError("--positive", "\"" + positive + "\" is neither up for heights nor down for depths",
                         cure_for_word(positive, {"up", "down"}));
    }
    return positive == "down";
}

bool is_yes(const std::string& survey) {
    if (survey != "yes" && survey != "no") {
        throw InputError("--survey", "\"" + survey + "\" is neither yes nor no",
                         cure_for_word(survey, {"yes", "no"}));
    }
    return survey == "yes";
}

} // namespace

void declare_bathymetry(Options& options) {
    // clang-format off
    options.add_options()
        ("bathymetry", text_values("FILE"), "raster of depths; it or a chart must be given\n"
         "One grid of depths or heights, as a GeoTIFF, BAG, S-102, NetCDF, XYZ or one of several others, with a CRS, neither rotated nor sheared. Of several the finest "
         "counts, and others fill where it has no depth. The options that tell of a raster are given once for all, or once for "
         "each in the order of --bathymetry, where the word stated leaves it to the file.");
    declare_raster_terms(options);
}

void declare_raster_terms(Options& options) {
    // clang-format off
    options.add_options()
        ("positive", text_values("up|down"), "its values are heights (up) or depths (down)\n"
         "up: the seabed is negative. Not needed where the file's format says it; refused where it says the contrary.")
        ("depth-unit", text_values("UNIT"), "unit of its values: m, dm, cm, ft, us-ft or fm\nNot needed where the file says it.")
        ("chart-datum", text_values("M"), "height of chart datum above the raster's own datum\n"
         "0 if its datum is chart datum, or a raster of that height, as where datums part along a coast. Not needed where the file "
         "names a chart datum.")
        ("uncertainty", text_values("U"), "how far a depth may be off: M, or A,B or A1, A2, B, C\n"
         "Half-width: a length; A,B for the square root of A^2 + (B*depth)^2 as in IHO S-44; a zone of confidence for A + B*depth "
         "as in IHO S-68; band for the raster's own; 0 to say that there is none. Not needed where the raster has a band for "
         "it, else refused. Without a raster it stands for the charts' zones of confidence.");
    options.group(Group::seldom);
    options.add_options()
        ("survey", text_values("yes|no"), "whether it is a survey, by which a chart's depth areas do not count\n"
         "Not needed where the format says so: BAG and S-102 are surveys, all others are models, which only a chart's shoaler "
         "depth areas make shoaler. A survey counts as one where its cells are no more than 1 mm at the chart's scale and 25 m, and "
         "its uncertainty is no more than that of the chart's zone of confidence.")
        ("variable", text_values("NAME"), "which grid of a NetCDF file that holds several\n"
         "Not needed where one variable alone says, by its CF standard name or else by its name, that it is the sea floor.")
        ("crs", text_values("CRS"), "CRS of a raster that names none, such as EPSG:4326");
    // clang-format on
}

namespace {

void refuse_terms_of_nothing(const po::variables_map& given, const std::string& cure) {
    for (const char* name : {"survey", "variable", "positive", "depth-unit", "chart-datum", "crs"}) {
        if (given.count(name) != 0) {
            throw InputError(std::string("--") + name, "tells of a raster, and none is given", cure);
        }
    }
}

/// What the options say of rasters.   @param what  see by_raster()
std::vector<BathymetryRequest> requests_of(const po::variables_map& given,
                                           const std::vector<std::string>& rasters, const std::string& what) {
    std::vector<BathymetryRequest> requests;
    for (const std::string& file : rasters) {
        requests.emplace_back().file = file;
    }
    const auto each = [&](const std::string& name, auto take) {
        const auto values = by_raster(given, name, requests.size(), what);
        for (std::size_t i = 0; i < requests.size(); ++i) {
            if (values[i]) take(requests[i], *values[i]);
        }
    };
    using Request = BathymetryRequest;
    using Text = std::string;
    each("survey", [](Request& of, const Text& said) { of.survey = is_yes(said); });
    each("variable", [](Request& of, const Text& said) { of.variable = said; });
    each("positive", [](Request& of, const Text& said) { of.positive_down = is_down(said); });
    each("depth-unit", [](Request& of, const Text& said) { of.depth_unit = said; });
    each("chart-datum", [](Request& of, const Text& said) {
        const LevelRequest datum = level_or_raster(said, "--chart-datum");
        if (datum.file.empty()) of.chart_datum_m = datum.level_m;
        if (!datum.file.empty()) of.chart_datum_file = datum.file;
    });
    each("uncertainty", [](Request& of, const Text& said) {
        of.uncertainty = DepthUncertainty::parse(said, "--uncertainty");
    });
    each("crs", [](Request& of, const Text& said) { of.crs = said; });
    return requests;
}

} // namespace

std::vector<BathymetryRequest> bathymetry_requests(const po::variables_map& given) {
    if (given.count("bathymetry") == 0) {
        refuse_terms_of_nothing(given, "name the raster with --bathymetry, or leave the option out");
        return {};
    }
    return requests_of(given, given["bathymetry"].as<std::vector<std::string>>(), "--bathymetry");
}

std::vector<BathymetryRequest> said_of_rasters(const po::variables_map& given,
                                               const std::vector<std::string>& rasters) {
    if (rasters.empty()) {
        refuse_terms_of_nothing(given, "name the raster, too, or leave the option out");
        return {};
    }
    return requests_of(given, rasters, "a raster");
}

std::optional<DepthUncertainty> uncertainty_of_charts(const po::variables_map& given) {
    const auto said = by_raster(given, "uncertainty", 1).front();
    if (!said) return std::nullopt;
    DepthUncertainty uncertainty = DepthUncertainty::parse(*said, "--uncertainty");
    if (uncertainty.kind() == DepthUncertainty::Kind::band) {
        throw InputError("--uncertainty", "is band, which charts have none of",
                         "leave it out, so that the charts' zones of confidence say it, or give metres");
    }
    return uncertainty;
}

} // namespace swingroom::cli
