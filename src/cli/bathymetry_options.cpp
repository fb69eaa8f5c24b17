#include "cli/bathymetry_options.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

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
std::vector<std::optional<std::string>> by_raster(const po::variables_map& given, const std::string& name,
                                                  std::size_t rasters) {
    std::vector<std::optional<std::string>> values(rasters);
    if (given.count(name) == 0) return values;
    const auto& said = given[name].as<std::vector<std::string>>();
    if (said.size() != 1 && said.size() != rasters)
        throw InputError("--" + name, "is given " + times(said.size()) + ", --bathymetry " + times(rasters),
                         rasters == 1 ? "give it once"
                                      : "give it once for all rasters, or once for each in their order, with "
                                        "the word stated for those that say it themselves");
    for (std::size_t i = 0; i < rasters; ++i)
        if (const std::string& value = said[said.size() == 1 ? 0 : i]; value != stated) values[i] = value;
    return values;
}

bool is_down(const std::string& positive) {
    if (positive != "up" && positive != "down")
        throw InputError("--positive", "\"" + positive + "\" is neither",
                         "give up for elevations, down for depths");
    return positive == "down";
}

} // namespace

void declare_bathymetry(po::options_description& options) {
    const auto texts = [] { return po::value<std::vector<std::string>>(); };
    // clang-format off
    options.add_options()
        ("bathymetry", texts(), "bathymetry raster, in any format that GDAL reads; it or a chart must be given; repeatable: the finest counts, "
         "others fill where it has no depth. What follows is given once for all, or for each in their order, stated: as the file says")
        ("variable", texts(), "which grid of a NetCDF file that holds several")
        ("positive", texts(), "whether the raster's values count up (elevation) or down (depth)")
        ("depth-unit", texts(), "unit of the raster's values: m, dm, cm, ft, us-ft, fm")
        ("chart-datum", texts(), "height of chart datum above the raster's own datum, metres")
        ("uncertainty", texts(), "of the depths: metres, a pair a,b (root of squares), a letter A1 A2 B C, or band")
        ("crs", texts(), "CRS of a raster that names none, for example EPSG:4326");
    // clang-format on
}

std::vector<BathymetryRequest> bathymetry_requests(const po::variables_map& given) {
    if (given.count("bathymetry") == 0) {
        for (const char* name : {"variable", "positive", "depth-unit", "chart-datum", "crs"})
            if (given.count(name) != 0)
                throw InputError(std::string("--") + name, "tells of a raster, and none is given",
                                 "name the raster with --bathymetry, or leave the option out");
        return {};
    }
    std::vector<BathymetryRequest> requests;
    for (const std::string& file : given["bathymetry"].as<std::vector<std::string>>())
        requests.emplace_back().file = file;
    const auto each = [&](const std::string& name, auto take) {
        const auto values = by_raster(given, name, requests.size());
        for (std::size_t i = 0; i < requests.size(); ++i)
            if (values[i]) take(requests[i], *values[i]);
    };
    using Request = BathymetryRequest;
    using Text = std::string;
    each("variable", [](Request& of, const Text& said) { of.variable = said; });
    each("positive", [](Request& of, const Text& said) { of.positive_down = is_down(said); });
    each("depth-unit", [](Request& of, const Text& said) { of.depth_unit = said; });
    each("chart-datum", [](Request& of, const Text& said) {
        of.chart_datum_m = parse_length(said, "--chart-datum").metres();
    });
    each("uncertainty", [](Request& of, const Text& said) {
        of.uncertainty = DepthUncertainty::parse(said, "--uncertainty");
    });
    each("crs", [](Request& of, const Text& said) { of.crs = said; });
    return requests;
}

std::optional<DepthUncertainty> uncertainty_of_charts(const po::variables_map& given) {
    const auto said = by_raster(given, "uncertainty", 1).front();
    if (!said) return std::nullopt;
    const DepthUncertainty uncertainty = DepthUncertainty::parse(*said, "--uncertainty");
    if (uncertainty.kind() == DepthUncertainty::Kind::band)
        throw InputError("--uncertainty", "is band, which charts have none of",
                         "leave it out, so that the charts' zones of confidence say it, or give metres");
    return uncertainty;
}

} // namespace swingroom::cli
