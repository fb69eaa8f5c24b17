#include "sea/raster/bathymetry_variables.hpp"

#include "swingroom/base/error.hpp"

#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_text.hpp"

#include <cpl_string.h>

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

namespace swingroom::bathymetry {
namespace {

/// A grid of a NetCDF file.
struct Variable {
    std::string connection; ///< as GDAL opens it: NETCDF:"file":name
    std::string name;
};

std::vector<Variable> variables_of(GDALDataset& dataset) {
    const CPLStringList items(dataset.GetMetadata("SUBDATASETS"), FALSE);
    std::vector<Variable> variables;
    for (int i = 1; i <= items.size() / 2; ++i) {
        const std::string key = "SUBDATASET_" + std::to_string(i) + "_NAME";
        const std::string connection = text_or_empty(items.FetchNameValue(key.c_str()));
        variables.push_back({connection, connection.substr(connection.rfind(':') + 1)});
    }
    return variables;
}

GDALDatasetUniquePtr opened(const Variable& variable, const std::string& file, std::vector<Fact>& notes) {
    const GdalMessages messages;
    const char* const drivers[] = {"netCDF", nullptr};
    GDALDatasetUniquePtr dataset(GDALDataset::Open(
        variable.connection.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, drivers));
    if (!dataset || messages.failed()) {
        throw IoError(file,
                      "its variable " + in_quotes(variable.name) + " cannot be read: " + messages.failure());
    }
    for (const std::string& warning : messages.warnings()) {
        notes.push_back(warning_fact(warning));
    }
    return dataset;
}

std::string listed(const std::vector<Variable>& variables) {
    std::string names;
    for (const Variable& variable : variables) {
        names += (names.empty() ? "" : ", ") + variable.name;
    }
    return names;
}

/// CF standard names, table version 83: depths of the sea floor, and heights of what may be one.
bool is_standard_name(const std::string& name) {
    return name.starts_with("sea_floor_depth") || name == "depth" || name == "altitude" ||
           name == "surface_altitude" || name == "bedrock_altitude";
}

/// Common practice, no source.
bool is_common_name(const std::string& name) {
    constexpr std::array<std::string_view, 9> common = {
        "depth", "elevation", "bathymetry", "bathy", "topo", "z", "topography", "altitude", "seafloor"};
    return std::find(common.begin(), common.end(), name) != common.end();
}

std::vector<Variable> of_the_sea_floor(const std::vector<Variable>& variables, const std::string& file) {
    std::vector<Variable> by_standard, by_name;
    std::vector<Fact> ignored;
    for (const Variable& variable : variables) {
        const GDALDatasetUniquePtr dataset = opened(variable, file, ignored);
        if (dataset->GetRasterCount() == 0) continue;
        if (is_standard_name(lower(metadata(*dataset->GetRasterBand(1), "standard_name")))) {
            by_standard.push_back(variable);
        }
        if (is_common_name(lower(variable.name))) by_name.push_back(variable);
    }
    return by_standard.empty() ? by_name : by_standard;
}

GDALDatasetUniquePtr the_only_one(GDALDatasetUniquePtr dataset, const BathymetryRequest& request) {
    const std::string name =
        driver_of(*dataset) == "netCDF" ? metadata(*dataset->GetRasterBand(1), "NETCDF_VARNAME") : "";
    if (request.variable && *request.variable != name) {
        throw InputError(request.file,
                         name.empty()
                             ? "holds no variables for " + Setting::variable + " to choose from"
                             : "holds one grid, " + in_quotes(name) + ", not " + in_quotes(*request.variable),
                         "leave " + Setting::variable + " out, or say stated for this raster");
    }
    return dataset;
}

} // namespace

GDALDatasetUniquePtr one_variable(GDALDatasetUniquePtr dataset, const BathymetryRequest& request,
                                  std::vector<Fact>& notes) {
    if (dataset->GetRasterCount() > 0) return the_only_one(std::move(dataset), request);
    if (driver_of(*dataset) != "netCDF") return dataset;
    const std::vector<Variable> variables = variables_of(*dataset);
    if (variables.empty()) return dataset;
    if (request.variable) {
        const auto found = std::find_if(variables.begin(), variables.end(),
                                        [&](const Variable& v) { return v.name == *request.variable; });
        if (found == variables.end()) {
            throw InputError(request.file, "holds no grid " + in_quotes(*request.variable),
                             "give " + Setting::variable + " one of " + listed(variables));
        }
        notes.push_back(stated_fact("variable", found->name));
        return opened(*found, request.file, notes);
    }
    const std::vector<Variable> fit = of_the_sea_floor(variables, request.file);
    if (fit.size() != 1) {
        throw UnsaidError(
            Setting::variable, request.file,
            "holds " + std::to_string(variables.size()) + " grids, of which " +
                (fit.empty() ? "none says that it is" : "several (" + listed(fit) + ") may be") +
                " the depth of the sea floor",
            "say which one with " + Setting::variable + ": " + listed(variables));
    }
    notes.push_back({"variable", fit.front().name + ", the only one of " + std::to_string(variables.size()) +
                                     " that by its name is a depth or a height of the sea floor"});
    return opened(fit.front(), request.file, notes);
}

} // namespace swingroom::bathymetry
