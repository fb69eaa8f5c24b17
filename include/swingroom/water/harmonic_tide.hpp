#pragma once

#include "swingroom/water/level_curve.hpp"

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// A constituent of the tide at a place.
struct HarmonicConstant {
    std::string name;
    double amplitude_m = 0; ///< >= 0
    double lag_deg = 0;     ///< phase lag on the equilibrium tide at Greenwich
};

/// Which node factors and angles a prediction takes.
enum class NodalScheme {
    yearly,    ///< those of the middle of the year, as the US agency and Schureman's tables do
    continuous ///< those of the moment
};

/// The tide by harmonic constituents: h = Z0 + sum of f H cos(V + u - G). Schureman's formulas for the moon's
/// node; checked against published predictions to a millimetre.
class HarmonicTide final : public LevelCurve {
public:
    /// @param mean_level_m  Z0, the mean level of the sea above chart datum
    /// @param where  what messages name
    /// @throws InputError  a constituent is not known, is there twice, or has a negative amplitude
    HarmonicTide(const std::vector<HarmonicConstant>& constants, double mean_level_m, NodalScheme scheme,
                 std::string_view where);

    /// The years for which the formulas of the longitudes hold: 1900 to 2100.
    [[nodiscard]] Instant first() const override;
    [[nodiscard]] Instant last() const override;
    [[nodiscard]] double height_m(Instant at) const override;
    [[nodiscard]] std::vector<LevelBounds> by_minute(Instant from, int minutes) const override;
    [[nodiscard]] std::vector<Turn> turns(Instant from, Instant to) const override;
    [[nodiscard]] std::string bounds_text() const override;

    /// A bound of how fast the level's slope changes in the year of a moment, in metres per hour squared:
    /// within it the curve stays within an eighth of it, times the square of the hours, of any chord.
    [[nodiscard]] double greatest_bend_m_h2(Instant in_year) const;

private:
    struct State;
    std::shared_ptr<const State> state_; ///< never changes: copies may share it
};

/// Its largest names that lists in use do not agree upon, with how many metres are at stake; for a word of
/// warning where the constants are not of the agency whose meaning is taken.
std::vector<HarmonicConstant> with_other_meanings(const std::vector<HarmonicConstant>& constants);

} // namespace swingroom
