#pragma once

#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazards.hpp"

#include "support/scratch.hpp"

#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <string>
#include <vector>

namespace swingroom::testing_support {

/// A grid of 10 m cells about 60 N 15 E, on the central meridian of UTM zone 33, for hazards to be read into,
/// and a folder for their files.
class HazardSea : public testing::Test {
protected:
    HazardSea() {
        OGRSpatialReference crs;
        crs.importFromEPSG(32633);
        char* text = nullptr;
        crs.exportToWkt(&text);
        grid_ = {400, 300, 498000, 6653000, 10, -10, text};
        CPLFree(text);
        metric_ = ground_metric(grid_, "raster");
    }
    [[nodiscard]] std::string path(const std::string& name) const { return scratch_ / name; }
    [[nodiscard]] HazardSet by_built_in_rules(const std::string& file, const HazardTerms& terms) const {
        return by_rules(rules_, file, terms);
    }
    [[nodiscard]] HazardSet by_rules(const std::vector<HazardRule>& rules, const std::string& file,
                                     const HazardTerms& terms) const {
        return read_hazards({file}, rules, grid_, metric_, terms);
    }
    [[nodiscard]] const Grid& grid() const { return grid_; }
    [[nodiscard]] const GroundMetric& metric() const { return metric_; }

private:
    std::vector<HazardRule> rules_ = default_hazard_rules();
    Scratch scratch_;
    Grid grid_;
    GroundMetric metric_;
};

} // namespace swingroom::testing_support
