#pragma once

#include <string>
#include <string_view>
#include <utility>

namespace swingroom {

/// How far a charted depth may be off, half-width in metres, as a function of depth.
/// The two published forms differ and must not be mixed: IHO S-44 (6.1.0, section 3.2.3) adds its two terms
/// as a root of squares, the zones of confidence of IHO S-57 (S-68 1.0.0, table 6-2) add them linearly.
class DepthUncertainty {
public:
    /// Which form it has.
    enum class Kind {
        none,            ///< the depths are taken as exact, because the user says so
        constant,        ///< the same at every depth
        root_sum_square, ///< sqrt(a^2 + (b d)^2)
        linear,          ///< a + b |d|
        band             ///< a value for each cell, from the raster
    };

    /// The depths are taken as exact.
    static DepthUncertainty none() { return {Kind::none, 0, 0, "none"}; }
    /// The same at every depth.   @pre metres >= 0
    static DepthUncertainty constant(double metres);
    /// sqrt(a^2 + (b d)^2), the form of IHO S-44.   @param a_m  in metres   @param b  per metre of depth
    static DepthUncertainty root_sum_square(double a_m, double b);
    /// a + b |d|, the form of the zones of confidence.   @param a_m  in metres   @param b  per metre of depth
    static DepthUncertainty linear(double a_m, double b);
    /// Taken per cell from the raster's own uncertainty band.
    static DepthUncertainty band() { return {Kind::band, 0, 0, "band"}; }

    /// Reads "0", "0.3", "0.5,0.013", "A1", "A2", "B", "C" or "band" (lengths may carry a unit).
    /// D and U have no published number and are refused.   @throws InputError naming `where`
    static DepthUncertainty parse(std::string_view text, std::string_view where);

    /// Which form it has.
    [[nodiscard]] Kind kind() const { return kind_; }
    /// Half-width in metres at a depth in metres, whose sign does not matter.   @pre kind() is not Kind::band
    [[nodiscard]] double at(double depth_m) const;
    /// As the user wrote it, for the provenance.
    [[nodiscard]] const std::string& text() const { return text_; }

    /// Whether both are the same at every depth, in the same words.
    friend bool operator==(const DepthUncertainty&, const DepthUncertainty&) = default;

private:
    DepthUncertainty(Kind kind, double a, double b, std::string text)
        : kind_(kind), a_m_(a), b_(b), text_(std::move(text)) {}
    Kind kind_;
    double a_m_, b_;
    std::string text_;
};

} // namespace swingroom
