#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/hazards.hpp"
#include "swingroom/sea/sea_record.hpp"

#include "base/byte_stream.hpp"
#include "sea/record/passed_values.hpp"

#include <ogr_geometry.h>

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

/// What the files of a part hold, for who writes and who reads them.
namespace swingroom {

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, AskedOfSea>& asked) {
    pass_all(bytes, asked.window, asked.reach_m, asked.all_of_grid, asked.named, asked.measures);
}

/// A window that a Sea is asked for a part of, inside the grid, and what it is told there: all but the
/// hazards.
struct HazardView {
    Window window;
    HazardSet told;
};
template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, HazardView>& view) {
    pass(bytes, view.window);
    pass_told(bytes, view.told);
}

/// What is the same in all parts.
struct SeaTerms {
    AskedOfSea asked;
    Grid grid;
    std::vector<std::string> sources, depth_files;
    std::vector<HazardRule> rules;
    double greatest_uncertainty_m = 0;
    std::vector<HazardView> views; ///< one or two
};
template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, SeaTerms>& terms) {
    pass_all(bytes, terms.asked, terms.grid, terms.sources, terms.depth_files, terms.rules,
             terms.greatest_uncertainty_m, terms.views);
}

/// The windows that hazards are asked for: that of the run, and all of the grid where it is asked for too.
inline std::vector<Window> asked_windows(const AskedOfSea& asked, const Grid& grid) {
    std::vector<Window> windows = {common(asked.window, grid.extent())};
    if (asked.all_of_grid && !(windows.front() == grid.extent())) windows.push_back(grid.extent());
    return windows;
}

/// A stretch of a list that is shared out: as many of each as there are parts.
struct Stretch {
    std::size_t first = 0, end = 0;
};
inline Stretch stretch_of(std::size_t count, const SeaShare& share) {
    const auto part = static_cast<std::size_t>(share.part), parts = static_cast<std::size_t>(share.parts);
    const auto begin_of = [&](std::size_t i) { return count / parts * i + count % parts * i / parts; };
    return {begin_of(part - 1), begin_of(part)};
}

/// A geometry in longitudes and latitudes, to the bit; null where there is none.
void pass(ByteWriter& to, const OGRGeometry* geometry);
/// @throws IoError  it is none
std::unique_ptr<OGRGeometry> read_geometry(ByteReader& from);

} // namespace swingroom
