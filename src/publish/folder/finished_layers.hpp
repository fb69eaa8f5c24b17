#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <variant>
#include <vector>

/// The finished layers of a run, read back for its report, so that it cannot disagree with them.
namespace swingroom {

/// Verdicts, each pixel the worst of factor x factor cells: pixel (i, j) stands for the cells from
/// (i * factor, j * factor) on. The window is in pixels.
struct VerdictPicture {
    /// Cells along a pixel's side, at least 1.
    int factor = 1;
    /// Values of Verdict.
    Plane<std::uint8_t> pixels;
};

/// verdict.tif with its overviews, which are made by the worst.
class FinishedVerdicts {
public:
    /// @throws IoError
    explicit FinishedVerdicts(const std::filesystem::path& folder);
    ~FinishedVerdicts();
    FinishedVerdicts(const FinishedVerdicts&) = delete;
    FinishedVerdicts& operator=(const FinishedVerdicts&) = delete;

    /// The layer's own, whose cell (0, 0) is the window's first.
    [[nodiscard]] const Grid& grid() const;
    /// The file, for messages.
    [[nodiscard]] const std::filesystem::path& path() const;
    /// A window of cells by the finest level of which it takes no more than so many pixels a side.
    /// @param most_pixels  a tile's side or more, so that there is such a level for the whole   @throws
    /// IoError
    [[nodiscard]] VerdictPicture picture(Window cells, int most_pixels) const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

/// A feature of zones, spots or exclusions with all its properties, whatever they are.
struct FinishedFeature {
    /// Longitude and latitude in degrees; of a point one ring of one vertex. Rings of all parts in a row.
    std::vector<std::vector<GridPoint>> rings;
    std::map<std::string, std::variant<double, std::string>> properties; ///< without those that are null

    /// Whether the feature has a value of that name that is not null.
    [[nodiscard]] bool has(const std::string& name) const { return properties.contains(name); }
    /// NaN where there is no such number.
    [[nodiscard]] double number(const std::string& name) const;
    /// Empty where there is no such text.
    [[nodiscard]] std::string text(const std::string& name) const;
};

/// Hands over the features of a layer one by one, in the order of the file.
/// @throws IoError  also when they are not those that were meant
void each_finished_feature(const std::filesystem::path& folder, const VectorLayer::Finished& layer,
                           const std::function<void(const FinishedFeature&)>& take);

} // namespace swingroom
