#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <vector>

// Over a patch of the earth, write the squared length of a small step of dc columns and dr rows as
// E dc^2 + 2 F dc dr + G dr^2. With rho = F / sqrt(E G), the middle term is at least -|rho| (E dc^2 + G
// dr^2), so that a^2 dc^2 + b^2 dr^2 with a^2 = E (1 - |rho|), b^2 = G (1 - |rho|) is never more. If a and b
// are the least over the patch, that holds along every path in it, the geodesic included, and a path that is
// never shorter than it measures in a plane is never shorter than the plane's straight line: hypot(i a, j b)
// bounds the geodesic from below, whatever its course. What is left is to find least values of E, G and
// greatest of |rho| by rows: sampled on a lattice, read between its nodes bilinearly, less twice the error
// that bilinear reading can have by the second differences seen.

namespace swingroom {
namespace {

/// Half of the geodesics' length by which E, F and G are measured: long against the nanometres to which PROJ
/// inverts a projection, short against the earth (the average over it differs from the value in its middle by
/// some 1e-11).
constexpr double half_span_m = 100;
/// Relative guard for what is left of both.
constexpr double guard = 1e-9;
/// Cells of a conformal grid whose sides differ by less are given the same side: the exact whole-number
/// transform wants squares.
constexpr double square_tolerance = 1e-6;
/// A row that ends in a pole has no width there; it gets this one.
constexpr double least_size_m = 1e-6;

/// The first fundamental form at a point, per cell squared.
struct Form {
    double e_m2 = 0, g_m2 = 0, rho = 0;
};

/// Values on a lattice of columns and rows over the raster, with the error of reading between the nodes.
struct Lattice {
    int cols = 0, rows = 0; // nodes
    double step_x = 1, step_y = 1;
    std::vector<Form> nodes;

    [[nodiscard]] const Form& at(int c, int r) const {
        return nodes[static_cast<std::size_t>(r) * static_cast<std::size_t>(cols) +
                     static_cast<std::size_t>(c)];
    }
    /// Twice the greatest error of bilinear reading, an eighth of the second difference in each direction.
    [[nodiscard]] double reading_error(double Form::*value) const {
        double along_x = 0, along_y = 0;
        for (int r = 0; r < rows; ++r) {
            for (int c = 1; c + 1 < cols; ++c) {
                along_x = std::max(
                    along_x, std::abs(at(c - 1, r).*value - 2 * (at(c, r).*value) + at(c + 1, r).*value));
            }
        }
        for (int r = 1; r + 1 < rows; ++r) {
            for (int c = 0; c < cols; ++c) {
                along_y = std::max(
                    along_y, std::abs(at(c, r - 1).*value - 2 * (at(c, r).*value) + at(c, r + 1).*value));
            }
        }
        return (along_x + along_y) / 4;
    }
};

double rough_size_m(const Georeference& georeference, GridPoint p, GridPoint step) {
    return geodesic(georeference.lonlat(p), georeference.lonlat({p.x + step.x, p.y + step.y})).distance_m;
}

/// Measures the form at a point by geodesics over +-half columns and rows: E and G by the two that cross it
/// along the axes, F by the diagonals, since |u + v|^2 - |u - v|^2 = 4 u.v.
Form form_at(const Georeference& georeference, GridPoint p, GridPoint half) {
    const auto at = [&](int i, int j) { return georeference.lonlat({p.x + i * half.x, p.y + j * half.y}); };
    const double across = geodesic(at(-1, 0), at(1, 0)).distance_m;
    const double along = geodesic(at(0, -1), at(0, 1)).distance_m;
    const double falling = geodesic(at(-1, -1), at(1, 1)).distance_m;
    const double rising = geodesic(at(-1, 1), at(1, -1)).distance_m;
    const double e_m = across / (2 * half.x), g_m = along / (2 * half.y);
    const double rho = (falling - rising) * (falling + rising) / (4 * across * along);
    return {e_m * e_m, g_m * g_m, std::isfinite(rho) ? std::clamp(rho, -1.0, 1.0) : 0};
}

/// Columns and rows of the raster that are about so many metres long in its middle.
GridPoint cells_for(const Georeference& georeference, const Grid& grid, double metres,
                    const std::string& source) {
    const GridPoint middle{grid.cols / 2.0, grid.rows / 2.0};
    const GridPoint size{rough_size_m(georeference, middle, {0.5, 0}) / 0.5,
                         rough_size_m(georeference, middle, {0, 0.5}) / 0.5};
    if (!(size.x > 0) || !(size.y > 0)) {
        throw InputError(source, "its cells have no size on the ground", "correct its georeference");
    }
    return {metres / size.x, metres / size.y};
}

Lattice measure(const Georeference& georeference, const Grid& grid, GridPoint half, int most_cols,
                int most_rows) {
    Lattice lattice;
    lattice.cols = std::min(grid.cols, most_cols) + 1;
    lattice.rows = std::min(grid.rows, most_rows) + 1;
    lattice.step_x = static_cast<double>(grid.cols) / (lattice.cols - 1);
    lattice.step_y = static_cast<double>(grid.rows) / (lattice.rows - 1);
    for (int r = 0; r < lattice.rows; ++r) {
        for (int c = 0; c < lattice.cols; ++c) {
            const GridPoint p{c * lattice.step_x, r * lattice.step_y};
            static_cast<void>(georeference.lonlat(p)); // a cell that lies nowhere is an error
            try {
                lattice.nodes.push_back(form_at(georeference, p, half));
            } catch (const InputError&) { // but what is beyond a pole is not: a row ends there in a point
                lattice.nodes.push_back({0, std::numeric_limits<double>::quiet_NaN(), 0});
            }
        }
    }
    const auto columns = static_cast<std::size_t>(lattice.cols);
    for (std::size_t i = 0; i < lattice.nodes.size(); ++i) {
        double& g_m2 = lattice.nodes[i].g_m2;
        if (std::isnan(g_m2)) g_m2 = lattice.nodes[i < columns ? i + columns : i - columns].g_m2;
    }
    return lattice;
}

/// Nodes enough that the loss is far below the scale's own change over a raster, few enough for 0.1 s.
Lattice measure(const Georeference& georeference, const Grid& grid, GridPoint half) {
    return measure(georeference, grid, half, 8, 384);
}

/// Least (of E, G) or greatest (of |rho|) value over a line of the raster across all columns, between nodes.
class LineReader {
public:
    explicit LineReader(const Lattice& lattice)
        : lattice_(lattice), error_{lattice.reading_error(&Form::e_m2), lattice.reading_error(&Form::g_m2),
                                    lattice.reading_error(&Form::rho)} {}
    /// Bounds that hold at row coordinate y.
    [[nodiscard]] Form worst(double y) const {
        const int r = std::clamp(static_cast<int>(y / lattice_.step_y), 0, lattice_.rows - 2);
        const double t = y / lattice_.step_y - r;
        Form worst{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity(), 0};
        for (int c = 0; c < lattice_.cols; ++c) {
            const Form &above = lattice_.at(c, r), &below = lattice_.at(c, r + 1);
            worst = {std::min(worst.e_m2, std::lerp(above.e_m2, below.e_m2, t)),
                     std::min(worst.g_m2, std::lerp(above.g_m2, below.g_m2, t)),
                     std::max(worst.rho, std::abs(std::lerp(above.rho, below.rho, t)))};
        }
        return {worst.e_m2 - error_.e_m2, worst.g_m2 - error_.g_m2, std::min(1.0, worst.rho + error_.rho)};
    }
    [[nodiscard]] const Form& error() const { return error_; }

private:
    const Lattice& lattice_;
    Form error_;
};

/// @param slack  how far cells may lie beside their places, in cells: of any whole number of them that lie
///               between two, each is that much smaller, so that together they are it at least
CellSize size_of(const Form& form, double slack) {
    const auto side = [&](double m2) {
        return std::max(least_size_m,
                        std::sqrt(std::max(0.0, m2 * (1 - form.rho))) * (1 - guard) * (1 - slack));
    };
    return {side(form.e_m2), side(form.g_m2)};
}

bool nearly_square(CellSize size) {
    return std::abs(size.dx_m - size.dy_m) <= square_tolerance * std::max(size.dx_m, size.dy_m);
}

} // namespace

namespace {

/// More rows than this share sizes. What holds the sizes ready (HazardField) takes about twenty times their
/// memory: 80 MB.
constexpr int most_sizes = 1 << 18;

/// The sizes of rows, or of so many of them that share one.
std::vector<CellSize> sizes_of(const LineReader& reader, const Lattice& lattice, const Grid& grid,
                               int rows_each) {
    const int rows = grid.rows;
    std::vector<CellSize> sizes;
    sizes.reserve(static_cast<std::size_t>(rows / rows_each) + 1);
    const auto worse = [](CellSize a, CellSize b) -> CellSize {
        return {std::min(a.dx_m, b.dx_m), std::min(a.dy_m, b.dy_m)};
    };
    CellSize upper = size_of(reader.worst(0), grid.slack_cells);
    for (std::int64_t top = 0; top < rows; top += rows_each) {
        const auto bottom = static_cast<double>(std::min<std::int64_t>(rows, top + rows_each));
        const CellSize lower = size_of(reader.worst(bottom), grid.slack_cells);
        CellSize size = worse(upper, lower);
        // Between two rows of nodes the least is at one of the ends: E, G and 1 - rho are concave there, and
        // so are their products not below what they are at the worse end.
        if (rows_each > 1) {
            for (double node = std::floor(static_cast<double>(top) / lattice.step_y) + 1;
                 node * lattice.step_y < bottom; ++node) {
                size = worse(size, size_of(reader.worst(node * lattice.step_y), grid.slack_cells));
            }
        }
        sizes.push_back(size);
        upper = lower;
    }
    return sizes;
}

} // namespace

GroundMetric ground_metric(const Grid& grid, const std::string& source) {
    const Georeference georeference(grid, source);
    const Lattice lattice = measure(georeference, grid, cells_for(georeference, grid, half_span_m, source));
    const LineReader reader(lattice);
    const int rows_each = (grid.rows - 1) / most_sizes + 1;
    std::vector<CellSize> sizes = sizes_of(reader, lattice, grid, rows_each);
    if (std::all_of(sizes.begin(), sizes.end(), nearly_square)) {
        for (CellSize& size : sizes) {
            size.dx_m = size.dy_m = std::min(size.dx_m, size.dy_m);
        }
    }
    return GroundMetric(std::move(sizes), rows_each, grid.rows);
}

double ground_metric_loss(const Grid& grid, const GroundMetric& metric, const std::string& source,
                          double reach_m) {
    const Georeference georeference(grid, source);
    const Lattice lattice = measure(georeference, grid, cells_for(georeference, grid, half_span_m, source));
    const LineReader reader(lattice);
    const Form error = reader.error();
    const double far_rows = std::ceil(reach_m / metric.least().dy_m);
    const int far = static_cast<int>(std::min(far_rows, static_cast<double>(grid.rows)));
    double loss = 0;
    for (int r = 0; r < lattice.rows; ++r) {
        // A node lies between two rows of cells (at the edges beside one): the smaller size counts.
        const int row = static_cast<int>(std::lround(r * lattice.step_y));
        const CellSize size = metric.least(row - 1 - far, row + far);
        for (int c = 0; c < lattice.cols; ++c) {
            const Form& form = lattice.at(c, r);
            const double kept = std::min(size.dx_m / std::sqrt(form.e_m2 + error.e_m2),
                                         size.dy_m / std::sqrt(form.g_m2 + error.g_m2));
            loss = std::max(loss, 1 - kept / std::sqrt(1 + std::abs(form.rho) + error.rho));
        }
    }
    return loss + guard;
}

} // namespace swingroom
