#include "swingroom/room/hazard_field.hpp"

#include "room/capsules.hpp"
#include "room/shape_bands.hpp"
#include "room/shape_field.hpp"

#include <algorithm>
#include <limits>
#include <utility>

namespace swingroom {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

/// Refused by their own names, before any is prepared.
std::vector<Hazard> usable(std::vector<Hazard> hazards) {
    for (const Hazard& hazard : hazards) {
        require_usable(hazard, hazard.label);
    }
    hazards.shrink_to_fit(); // they are kept for as long as the run takes
    return hazards;
}

} // namespace

struct HazardField::Prepared {
    Prepared(std::vector<Hazard> all, Window extent, GroundMetric of_raster, Window within)
        : hazards(usable(std::move(all))), metric(std::move(of_raster)), sizes(metric),
          bands(extent, within,
                [this, extent](Window band) { return ShapeField(hazards, extent, sizes, band); }),
          names_seabed(std::any_of(hazards.begin(), hazards.end(),
                                   [](const Hazard& hazard) { return hazard.seabed.has_value(); })) {
        for (const Hazard& hazard : hazards) {
            effects.push_back(hazard.effects);
        }
    }

    /// Calls mark(row, first column, last column) for the cells of the raster in a window that nobody was to
    /// ask for.
    template <class Mark>
    void each_unknown(Window window, Mark&& mark) const {
        const Window asked = common(window, bands.extent()), known = common(asked, bands.within());
        if (known == asked) return;
        for (int row = asked.row; row < asked.row_end(); ++row) {
            if (row < known.row || row >= known.row_end() || known.empty()) {
                mark(row, asked.col, asked.col_end() - 1);
                continue;
            }
            mark(row, asked.col, known.col - 1);
            mark(row, known.col_end(), asked.col_end() - 1);
        }
    }

    std::vector<Hazard> hazards;
    std::vector<Effects> effects; ///< as the rules give them
    GroundMetric metric;
    SizeBounds sizes; ///< of this metric
    ShapeBands bands; ///< of the hazards, in their order
    bool names_seabed;
};

HazardField::HazardField(std::vector<Hazard> hazards, Window extent, const GroundMetric& metric)
    : HazardField(std::move(hazards), extent, metric, extent) {}

HazardField::HazardField(std::vector<Hazard> hazards, Window extent, const GroundMetric& metric,
                         Window within)
    : prepared_(std::make_unique<Prepared>(std::move(hazards), extent, metric, within)) {}
HazardField::~HazardField() = default;
HazardField::HazardField(HazardField&&) noexcept = default;
HazardField& HazardField::operator=(HazardField&&) noexcept = default;

void HazardField::burn(Plane<Effects>& bits, std::span<const Effects> of_each) const {
    const int col = bits.window().col;
    prepared_->bands.each_touched(
        bits.window(), [&](std::size_t index) { return of_each[index] != 0; },
        [&](std::size_t index, ShapePart, int row, int first, int last) {
            Effects* const cells = bits.row(row) - col;
            const Effects effects = of_each[index];
            for (int c = first; c <= last; ++c) {
                cells[c] = static_cast<Effects>(cells[c] | effects);
            }
        });
    // Of cells that nobody was to ask for nothing was prepared: what is not known is no free water.
    prepared_->each_unknown(bits.window(), [&](int row, int first, int last) {
        Effects* const cells = bits.row(row) - col;
        for (int c = first; c <= last; ++c) {
            cells[c] = static_cast<Effects>(cells[c] | effect::hull | effect::ground);
        }
    });
}

void HazardField::burn(Plane<Effects>& bits) const { burn(bits, prepared_->effects); }

void HazardField::burn_least(Plane<float>& depth_m, std::span<const float> of_each) const {
    const int col = depth_m.window().col;
    prepared_->bands.each_touched(
        depth_m.window(), [&](std::size_t index) { return of_each[index] < infinite; },
        [&](std::size_t index, ShapePart, int row, int first, int last) {
            float* const cells = depth_m.row(row) - col;
            const float least_m = of_each[index];
            for (int c = first; c <= last; ++c) {
                cells[c] = std::min(cells[c], least_m);
            }
        });
    prepared_->each_unknown(depth_m.window(), [&](int row, int first, int last) {
        float* const cells = depth_m.row(row) - col;
        for (int c = first; c <= last; ++c) {
            cells[c] = -infinite;
        }
    });
}

void HazardField::burn_seabeds(Plane<SeabedSet>& seabeds) const {
    if (!prepared_->names_seabed) return;
    struct Ground {
        SeabedSet touched;
        bool inside = false, outline = false;
    };
    Plane<Ground> grounds(seabeds.window());
    const int col = seabeds.window().col;
    const std::vector<Hazard>& hazards = prepared_->hazards;
    prepared_->bands.each_touched(
        seabeds.window(), [&](std::size_t index) { return hazards[index].seabed.has_value(); },
        [&](std::size_t index, ShapePart part, int row, int first, int last) {
            Ground* const cells = grounds.row(row) - col;
            for (int c = first; c <= last; ++c) {
                cells[c].touched.add(*hazards[index].seabed);
                (part == ShapePart::inside ? cells[c].inside : cells[c].outline) = true;
            }
        });
    for (std::size_t i = 0; i < grounds.size(); ++i) {
        const Ground& ground = grounds.data()[i];
        if (ground.touched.empty()) continue;
        SeabedSet& cell = seabeds.data()[i];
        // An outline or a margin in the cell: some of it may lie outside what the areas tell of.
        const bool wholly = ground.inside && !ground.outline;
        if (wholly) {
            cell = ground.touched;
        } else {
            cell.add(ground.touched);
        }
    }
}

Window HazardField::within() const { return prepared_->bands.within(); }

std::vector<std::size_t> HazardField::touching(Window window) const {
    std::vector<std::size_t> indexes;
    prepared_->bands.each_touched(
        window, [](std::size_t) { return true; },
        [&](std::size_t index, ShapePart, int, int, int) { indexes.push_back(index); });
    std::sort(indexes.begin(), indexes.end());
    indexes.erase(std::unique(indexes.begin(), indexes.end()), indexes.end());
    return indexes;
}

const std::vector<Hazard>& HazardField::hazards() const { return prepared_->hazards; }
bool HazardField::names_seabed() const { return prepared_->names_seabed; }

} // namespace swingroom
