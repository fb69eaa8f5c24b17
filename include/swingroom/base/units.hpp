#pragma once

#include <compare>
#include <string_view>

namespace swingroom {

/// A length. Made and read by unit name only, so that a bare number cannot slip in.
class Length {
public:
    constexpr Length() = default;
    /// From metres.
    static constexpr Length metres(double v) { return Length(v); }
    /// From international feet.
    static constexpr Length feet(double v) { return Length(v * 0.3048); } // exact: international foot
    /// From fathoms of six feet.
    static constexpr Length fathoms(double v) { return feet(6 * v); }
    /// From international nautical miles.
    static constexpr Length nautical_miles(double v) { return Length(v * 1852); } // exact: BIPM, SI brochure
    /// In metres.
    [[nodiscard]] constexpr double metres() const { return m_; }
    friend constexpr auto operator<=>(Length, Length) = default;

private:
    explicit constexpr Length(double m) : m_(m) {}
    double m_ = 0;
};

/// An area.
class SurfaceArea {
public:
    constexpr SurfaceArea() = default;
    /// From square metres.
    static constexpr SurfaceArea square_metres(double v) { return SurfaceArea(v); }
    /// In square metres.
    [[nodiscard]] constexpr double square_metres() const { return m2_; }
    friend constexpr auto operator<=>(SurfaceArea, SurfaceArea) = default;

private:
    explicit constexpr SurfaceArea(double m2) : m2_(m2) {}
    double m2_ = 0;
};

/// A mass, as weighed in air.
class Mass {
public:
    constexpr Mass() = default;
    /// From kilograms.
    static constexpr Mass kilograms(double v) { return Mass(v); }
    /// From avoirdupois pounds.
    static constexpr Mass pounds(double v) {
        return Mass(v * 0.45359237);
    } // exact: yard and pound agreement, 1959
    /// In kilograms.
    [[nodiscard]] constexpr double kilograms() const { return kg_; }
    friend constexpr auto operator<=>(Mass, Mass) = default;

private:
    explicit constexpr Mass(double kg) : kg_(kg) {}
    double kg_ = 0;
};

/// A force.
class Force {
public:
    constexpr Force() = default;
    /// From newtons.
    static constexpr Force newtons(double v) { return Force(v); }
    /// From kilograms-force.
    static constexpr Force kilograms_force(double v) { return Force(v * 9.80665); }
    /// From pounds-force.
    static constexpr Force pounds_force(double v) { return Force(v * 4.4482216152605); }
    /// In newtons.
    [[nodiscard]] constexpr double newtons() const { return n_; }
    friend constexpr auto operator<=>(Force, Force) = default;

private:
    explicit constexpr Force(double n) : n_(n) {}
    double n_ = 0;
};

/// A speed of wind or water.
class Speed {
public:
    constexpr Speed() = default;
    /// From knots, nautical miles an hour.
    static constexpr Speed knots(double v) { return Speed(v); }
    /// From metres per second.
    static constexpr Speed metres_per_second(double v) { return Speed(v * 3600 / 1852); }
    /// In knots, nautical miles an hour.
    [[nodiscard]] constexpr double knots() const { return kn_; }
    /// In metres per second.
    [[nodiscard]] constexpr double metres_per_second() const { return kn_ * 1852 / 3600; }
    friend constexpr auto operator<=>(Speed, Speed) = default;

private:
    explicit constexpr Speed(double kn) : kn_(kn) {}
    double kn_ = 0;
};

/// Reads a plain decimal number, whole text, locale-free, finite ("0x10", "1e400", "nan", "2,5" are refused).
/// @param where  the option or key, for the message   @throws InputError
double parse_number(std::string_view text, std::string_view where);

/// Reads a quantity with an optional unit; a bare number is in the unit named first.
/// Lengths: m, cm, mm, km, ft, in, fm, nm (nautical mile; "nmi" and "NM" too), cable (a tenth of a nautical
/// mile). Areas: m2, m², ft2, ft², ha.  Masses: kg, g, t, lb.  Forces: N, kN, kgf, lbf.  Speeds: kn, m/s,
/// km/h.
/// @param where  the option or key, for the message   @throws InputError
Length parse_length(std::string_view text, std::string_view where);
/// The same of an area; a bare number is square metres.
SurfaceArea parse_area(std::string_view text, std::string_view where);
/// The same of a mass; a bare number is kilograms.
Mass parse_mass(std::string_view text, std::string_view where);
/// The same of a force; a bare number is newtons.
Force parse_force(std::string_view text, std::string_view where);
/// The same of a speed; a bare number is knots.
Speed parse_speed(std::string_view text, std::string_view where);

} // namespace swingroom
