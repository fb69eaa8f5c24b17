#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/tally.hpp"
#include "swingroom/room/zones.hpp"

#include <gtest/gtest.h>

#include <cstddef>
#include <cstring>
#include <string>
#include <vector>

namespace swingroom::testing_support {

/// To the last bit.
inline void expect_same_tally(const Tally& a, const Tally& b) {
    const auto same = [](const Covered& one, const Covered& other) {
        return one.cells == other.cells && one.area_m2 == other.area_m2;
    };
    for (std::size_t i = 0; i < a.by_verdict.size(); ++i) {
        ASSERT_TRUE(same(a.by_verdict[i], b.by_verdict[i])) << "verdict " << i;
    }
    for (std::size_t i = 0; i < why_not_count; ++i) {
        ASSERT_TRUE(same(a.no_by_reason[i], b.no_by_reason[i])) << why_not_names[i].name;
        const auto misses = a.near_misses[i].by_nearness(), others = b.near_misses[i].by_nearness();
        ASSERT_EQ(misses.size(), others.size()) << why_not_names[i].name;
        for (std::size_t k = 0; k < misses.size(); ++k) {
            ASSERT_EQ(misses[k].nearness, others[k].nearness) << why_not_names[i].name;
            ASSERT_EQ(misses[k].col, others[k].col) << why_not_names[i].name;
            ASSERT_EQ(misses[k].row, others[k].row) << why_not_names[i].name;
        }
    }
}

inline void expect_same_limit(const ZoneFigures& a, const ZoneFigures& b, Way way) {
    const auto slot = static_cast<std::size_t>(way);
    const float one = a.wind_limit_min_kn[slot], other = b.wind_limit_min_kn[slot];
    EXPECT_EQ(one, other) << name(way);
}

inline void expect_same_zones(const std::vector<Zone>& a, const std::vector<Zone>& b) {
    ASSERT_EQ(a.size(), b.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
        SCOPED_TRACE("zone " + std::to_string(i));
        ASSERT_EQ(a[i].verdict, b[i].verdict);
        ASSERT_EQ(a[i].cells, b[i].cells);
        ASSERT_EQ(a[i].area_m2, b[i].area_m2);
        ASSERT_EQ(a[i].rings, b[i].rings);
        const ZoneFigures &f = a[i].figures, &g = b[i].figures;
        ASSERT_EQ(f.depth_low_min_m, g.depth_low_min_m);
        ASSERT_EQ(f.depth_low_max_m, g.depth_low_max_m);
        ASSERT_EQ(f.rode_min_m, g.rode_min_m);
        ASSERT_EQ(f.rode_max_m, g.rode_max_m);
        ASSERT_EQ(f.depth_deep_max_m, g.depth_deep_max_m);
        ASSERT_EQ(f.radius_min_m, g.radius_min_m);
        ASSERT_EQ(f.radius_max_m, g.radius_max_m);
        ASSERT_EQ(f.ways, g.ways);
        ASSERT_EQ(f.seabeds, g.seabeds);
        for (const Way way : all_ways) {
            if (f.has(way)) expect_same_limit(f, g, way);
        }
        ASSERT_EQ(f.advice, g.advice);
        ASSERT_EQ(f.spare_max_m, g.spare_max_m);
        ASSERT_EQ(f.access_level_max_m, g.access_level_max_m);
    }
}

template <class T>
void expect_same_plane(const Plane<T>& a, const Plane<T>& b) {
    ASSERT_EQ(a.window(), b.window());
    ASSERT_EQ(std::memcmp(a.data(), b.data(), a.size() * sizeof(T)), 0);
}

} // namespace swingroom::testing_support
