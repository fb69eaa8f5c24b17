#include "sea/cells/gathered_pieces.hpp"

#include "swingroom/base/rounding.hpp"

#include "sea/cells/enc_cells.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

namespace swingroom {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

// A survey's cells are to be about as fine as charts are plotted, 1 mm at the scale of compilation, and never
// coarser than a yacht's circle can do with.
constexpr double plotted_m = 0.001, coarsest_m = 25;

/// Better than all codes of CATZOC is none of them: a cell that no zone touches.
constexpr std::uint8_t in_no_zone = zone_not_assessed + 1;

template <class T>
void raise(T* values, int count, T to) {
    for (int i = 0; i < count; ++i) {
        values[i] = std::max(values[i], to);
    }
}

template <class T>
void lower(T* values, int count, T to) {
    for (int i = 0; i < count; ++i) {
        values[i] = std::min(values[i], to);
    }
}

/// Where a value is less than what is there it takes its place, with its source.
void take_least(float value, std::uint8_t source, int count, float* values, std::uint8_t* sources) {
    for (int i = 0; i < count; ++i) {
        if (value < values[i]) {
            values[i] = value;
            sources[i] = source;
        }
    }
}

} // namespace

void GatheredPieces::reset(Window window) {
    shoal_m.reset(window, infinite);
    deep_m.reset(window, -infinite);
    less_m.reset(window, 0);
    zone.reset(window, 0);
    source.reset(window, 0);
    known.reset(window, 1);
}

bool GatheredPieces::Cell::same_as(const Cell& o) const {
    const auto bits = [](float v) { return std::bit_cast<std::uint32_t>(v); };
    return bits(shoal_m) == bits(o.shoal_m) && bits(deep_m) == bits(o.deep_m) &&
           bits(less_m) == bits(o.less_m) && zone == o.zone && known == o.known;
}

void GatheredPieces::take(const DepthPiece& piece, int row, int first, int last) {
    const int cells = last - first + 1;
    switch (piece.says) {
    case DepthPiece::Says::area:
    case DepthPiece::Says::sounding:
        take_depth(piece, row, first, last);
        break;
    case DepthPiece::Says::less:
        raise(&less_m.at(first, row), cells, narrow_up(piece.shoal_m));
        break;
    case DepthPiece::Says::zone:
        raise(&zone.at(first, row), cells, static_cast<std::uint8_t>(piece.zone));
        break;
    case DepthPiece::Says::doubtful:
        take_depth(piece, row, first, last);
        std::fill_n(&known.at(first, row), cells, std::uint8_t{0});
        break;
    case DepthPiece::Says::nothing:
        std::fill_n(&known.at(first, row), cells, std::uint8_t{0});
        break;
    case DepthPiece::Says::disc:
        break; // for a survey alone: the chart's own areas say what lies between its soundings
    }
}

void GatheredPieces::take_depth(const DepthPiece& piece, int row, int first, int last) {
    const int cells = last - first + 1;
    take_least(narrow_down(piece.shoal_m), piece.source, cells, &shoal_m.at(first, row),
               &source.at(first, row));
    raise(&deep_m.at(first, row), cells, narrow_up(piece.deep_m));
}

PiecesBesideSurvey::PiecesBesideSurvey(Window window)
    : window_(window), bound_m_(window, infinite), disc_m_(window, infinite), standing_m_(window, 0),
      area_shoal_m_(window, infinite), area_deep_m_(window, -infinite),
      cell_m_(window, static_cast<float>(coarsest_m)), bound_source_(window, 0), disc_source_(window, 0),
      standing_source_(window, 0), zone_(window, in_no_zone), surveyed_(window, 0) {}

void PiecesBesideSurvey::take(const DepthPiece& piece, int row, int first, int last) {
    const int cells = last - first + 1;
    // A disc reaches into what other charts tell of, which ask for what they ask.
    if (piece.says != DepthPiece::Says::disc) {
        lower(&cell_m_.at(first, row), cells,
              static_cast<float>(std::min(plotted_m * piece.scale, coarsest_m)));
    }
    const float shoal_m = narrow_down(piece.shoal_m);
    switch (piece.says) {
    case DepthPiece::Says::area:
        if (piece.yields_to_survey) {
            lower(&area_shoal_m_.at(first, row), cells, shoal_m);
            raise(&area_deep_m_.at(first, row), cells, narrow_up(piece.deep_m));
            break;
        }
        [[fallthrough]];
    case DepthPiece::Says::sounding:
    case DepthPiece::Says::doubtful:
        take_least(shoal_m, piece.source, cells, &bound_m_.at(first, row), &bound_source_.at(first, row));
        break;
    case DepthPiece::Says::less:
        for (int col = first; col <= last; ++col) {
            if (narrow_up(piece.shoal_m) > standing_m_.at(col, row)) {
                standing_m_.at(col, row) = narrow_up(piece.shoal_m);
                standing_source_.at(col, row) = piece.source;
            }
        }
        break;
    case DepthPiece::Says::zone:
        lower(&zone_.at(first, row), cells, static_cast<std::uint8_t>(piece.zone));
        raise(&surveyed_.at(first, row), cells, piece.surveyed);
        break;
    case DepthPiece::Says::disc:
        take_least(shoal_m, piece.source, cells, &disc_m_.at(first, row), &disc_source_.at(first, row));
        break;
    case DepthPiece::Says::nothing:
        break;
    }
}

void PiecesBesideSurvey::finish(const GatheredPieces& all, const std::vector<DepthUncertainty>& uncertainties,
                                BesideSurvey& beside) const {
    beside.reset(window_);
    beside.cell_m = cell_m_;
    beside.standing_m = standing_m_;
    beside.standing_source = standing_source_;
    beside.surveyed = surveyed_;
    for (std::size_t i = 0; i < cell_m_.size(); ++i) {
        const DepthUncertainty& uncertainty = uncertainties[all.zone.data()[i]];
        if (const auto bound_m = static_cast<double>(bound_m_.data()[i]); std::isfinite(bound_m)) {
            const double shoal_m = bound_m - static_cast<double>(standing_m_.data()[i]);
            beside.shoal_m.data()[i] = narrow_down(shoal_m - uncertainty.at(shoal_m));
            beside.source.data()[i] = bound_source_.data()[i];
        }
        const float disc_m =
            narrow_down(static_cast<double>(disc_m_.data()[i]) - static_cast<double>(standing_m_.data()[i]));
        if (std::isfinite(disc_m) && !(beside.shoal_m.data()[i] <= disc_m)) {
            beside.shoal_m.data()[i] = disc_m;
            beside.source.data()[i] = disc_source_.data()[i];
        }
        if (const auto shoal_m = static_cast<double>(area_shoal_m_.data()[i]); std::isfinite(shoal_m)) {
            const auto deep_m = static_cast<double>(area_deep_m_.data()[i]);
            beside.area_shoal_m.data()[i] = narrow_down(shoal_m - uncertainty.at(shoal_m));
            beside.area_deep_m.data()[i] = narrow_up(deep_m + uncertainty.at(deep_m));
        }
        const std::uint8_t zone = zone_.data()[i];
        beside.zone.data()[i] = zone == in_no_zone ? static_cast<std::uint8_t>(zone_not_assessed) : zone;
    }
}

} // namespace swingroom
