#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/sea/sea.hpp"
#include "swingroom/sea/stay_levels.hpp"

#include <filesystem>
#include <vector>

/// A run that is shared out: each part records its share of the sea, and a sea is opened of what all parts
/// have recorded, without any of the files that they read.
///
/// What depends on the window that a Sea is asked for, and what does not:
/// - The shape of a hazard, its margin and its allowances come from its feature, from the furthest reach of
/// its
///   layer and from the whole grid: a window decides whether a hazard is there, never what it is. Which are
///   there: features whose box is near the window (Vicinity), of layers in degrees; all of other layers.
/// - Where no chart covers the sea is what a box around the window leaves of what charts cover: its shape,
/// and
///   into how many hazards it falls, do depend on the window. They come last.
/// - Warnings of features that are looked at, and whether all features of a layer lie outside, depend on
/// which
///   features are near; files, notes, counts and what came of allowed features do not.
/// - Hazards stand in the order of files, features, pieces and rules, whatever the window.
/// - Depths of a cell, hazards that touch it and what charts let expect of it do not depend on the window,
/// see
///   Sea.
/// So there is one canonical form: what is said for the windows that the whole run asks for. All parts ask
/// for these, AskedOfSea, and each keeps a stretch of the answer, of hazards in their order, of depths by
/// tiles: together they are the answer, element by element.
namespace swingroom {

/// What a run asks its sea for, as a whole.
struct AskedOfSea {
    /// The window of Sea::part(), which need not lie in the grid, and the reach around it.
    Window window;
    double reach_m = 0; ///< see `window`
    /// Whether Sea::part() is asked for all of the grid too, with the same reach: where a way in is looked
    /// for over all of it.
    bool all_of_grid = false;
    Window named;      ///< the window of Sea::place_names()
    Measures measures; ///< those of Sea::inspections()
};

/// A part of a run. What is asked for is cut into tiles from its first cell on, row by row; a part's share
/// are tiles that follow each other.
struct SeaShare {
    int part = 1, parts = 1; ///< which of how many, the first being 1
    int tile_cells = 512;    ///< along the side of a tile, at most 2048
    int threads = 1;         ///< how many pack depths; it decides about speed alone
};

/// Writes files with the share of a part into a folder. They begin with `sea_`; any others there stay.
///
/// What is of the whole, as inspections, is kept by the first part. Depths are packed without any loss.
/// @param of_run  what Sea::part() has given for the window and the reach that are asked for, where somebody
/// has it
///                already: then hazards need not be read once more; null: nobody has
/// @pre 1 <= part <= parts   @throws InputError, IoError  as Sea::part; IoError also where writing fails
void record_sea(const Sea& sea, const AskedOfSea& asked, const SeaShare& share,
                const std::filesystem::path& folder, const SeaPart* of_run = nullptr);

/// What parts of a run have recorded.
struct RecordedSea {
    Sea sea;          ///< answers as the sea of the files does to what was asked for
    AskedOfSea asked; ///< what it may be asked for: others are a mistake of the caller's, std::logic_error
};

/// Opens the sea that the parts of a run have recorded: all of them, in any order.
/// @throws InputError  a part is missing, given twice or of another run, is none or of another version of the
///                     format
/// @throws IoError     a file cannot be read, is cut off or damaged
RecordedSea open_recorded_sea(const std::vector<std::filesystem::path>& folders);

/// Writes a part's share of the rasters of levels, where there are any: of all their cells that may bear on
/// the grid, since reference levels are those of all of it.
/// @throws InputError, IoError  as open_levels; IoError also where writing fails
void record_levels(const LevelsRequest& request, const Grid& grid, const std::string& grid_name,
                   const SeaShare& share, const std::filesystem::path& folder);

/// open_levels() of what the parts of a run have recorded.
/// @param request  as it was given to record_levels()   @throws InputError, IoError  as open_recorded_sea
StayLevels open_recorded_levels(const std::vector<std::filesystem::path>& folders,
                                const LevelsRequest& request, const Grid& grid, const std::string& grid_name);

} // namespace swingroom
