#include "sea/raster/xyz_axis.hpp"

#include <algorithm>
#include <cstddef>
#include <limits>

namespace swingroom::bathymetry {
namespace {

/// Coordinates that stand for one place.
struct Cluster {
    double low, high;
    double index; ///< of the place
    [[nodiscard]] double middle() const { return (low + high) / 2; }
};

/// Gaps between neighbouring coordinates.
std::vector<double> gaps_of(const std::vector<double>& sorted) {
    std::vector<double> gaps;
    for (std::size_t i = 1; i < sorted.size(); ++i) {
        gaps.push_back(sorted[i] - sorted[i - 1]);
    }
    return gaps;
}

/// What a step may be, the widest first: gaps much wider than all that are narrower, which may be rounding.
std::vector<double> steps_in(std::vector<double> gaps) {
    constexpr double much = 20; // 0.98 of a step against 0.02
    constexpr std::size_t most = 8;
    std::sort(gaps.begin(), gaps.end());
    std::vector<double> steps;
    for (std::size_t i = gaps.size() - 1; i > 0 && steps.size() < most; --i) {
        if (gaps[i] >= much * gaps[i - 1]) steps.push_back(gaps[i]);
    }
    steps.push_back(gaps.front());
    return steps;
}

/// The mean of the gaps that are one step: with several of them rounding hardly counts any more.
double mean_step(const std::vector<double>& gaps, double about) {
    double sum = 0, count = 0;
    for (const double gap : gaps) {
        if (gap > 0.5 * about && gap < 1.5 * about) {
            sum += gap;
            ++count;
        }
    }
    return sum / count;
}

/// Places counted through the gaps, so that no error of the step adds up.
std::vector<Cluster> clusters_of(const std::vector<double>& sorted, double step) {
    std::vector<Cluster> clusters{{sorted.front(), sorted.front(), 0}};
    for (const double value : sorted) {
        Cluster& last = clusters.back();
        if (value - last.high <= step / 2) {
            last.high = value;
        } else {
            clusters.push_back({value, value, last.index + std::round((value - last.middle()) / step)});
        }
    }
    return clusters;
}

/// Least squares for the step, the middle of what is left over for the first place.
XyzAxis fitted_to(const std::vector<Cluster>& clusters) {
    const auto count = static_cast<double>(clusters.size());
    double mean_index = 0, mean_middle = 0;
    for (const Cluster& c : clusters) {
        mean_index += c.index / count;
        mean_middle += c.middle() / count;
    }
    double by_index = 0, by_both = 0;
    for (const Cluster& c : clusters) {
        by_index += (c.index - mean_index) * (c.index - mean_index);
        by_both += (c.index - mean_index) * (c.middle() - mean_middle);
    }
    XyzAxis axis;
    axis.step = by_both / by_index;
    axis.first = mean_middle - axis.step * mean_index;
    double least = std::numeric_limits<double>::infinity(), most = -least;
    for (const Cluster& c : clusters) {
        least = std::min(least, c.low - (axis.first + axis.step * c.index));
        most = std::max(most, c.high - (axis.first + axis.step * c.index));
    }
    axis.first += (least + most) / 2;
    axis.stray = (most - least) / 2 / axis.step;
    axis.count = static_cast<int>(clusters.back().index) + 1;
    return axis;
}

} // namespace

XyzAxis fitted_axis(std::vector<double> coordinates) {
    std::sort(coordinates.begin(), coordinates.end());
    coordinates.erase(std::unique(coordinates.begin(), coordinates.end()), coordinates.end());
    XyzAxis nearest;
    nearest.stray = std::numeric_limits<double>::infinity();
    if (coordinates.size() < 2) return nearest;
    const std::vector<double> gaps = gaps_of(coordinates);
    for (const double about : steps_in(gaps)) {
        const std::vector<Cluster> clusters = clusters_of(coordinates, mean_step(gaps, about));
        // With most places empty nearly any step would fit.
        constexpr double most_places = 4;
        if (clusters.size() < 2 ||
            clusters.back().index > most_places * static_cast<double>(clusters.size())) {
            continue;
        }
        const XyzAxis axis = fitted_to(clusters);
        if (axis.stray < nearest.stray) nearest = axis;
        if (axis.stray <= greatest_stray) return axis;
    }
    return nearest;
}

} // namespace swingroom::bathymetry
