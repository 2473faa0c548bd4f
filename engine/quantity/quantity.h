// Quantities as types: metres do not add to litres a minute, and a number gets in or out only by naming
// its unit. Inside every quantity is one double in SI. `area * speed` is a FlowRate because the
// dimensions multiply.
//
//     auto q = litres_per_minute(12.5);
//     double gallons = q.in(us_gallons_per_minute);
//     auto oops = metres(3) + seconds(1);          // does not compile
//
// Factors are exact by definition (foot 0.3048 m, inch 25.4 mm, US gallon 231 cubic inches, pound-force by
// standard gravity), so tests can hold them against printed tables.
#pragma once

#include <cmath>
#include <compare>

namespace beckhand {

template <int Mass, int Length, int Time>
class Quantity;

/// A unit is a maker: `metres(2)` gives a Quantity, `length.in(metres)` gives the number back.
template <int M, int L, int T>
struct Unit {
    double si_per_unit;
    constexpr Quantity<M, L, T> operator()(double number) const;
};

template <int M, int L, int T>
class Quantity {
public:
    constexpr Quantity() = default; // zero

    [[nodiscard]] constexpr double in(Unit<M, L, T> unit) const { return si_ / unit.si_per_unit; }

    constexpr Quantity operator-() const { return Quantity(-si_); }
    constexpr Quantity& operator+=(Quantity other) { si_ += other.si_; return *this; }
    constexpr Quantity& operator-=(Quantity other) { si_ -= other.si_; return *this; }
    friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.si_ + b.si_); }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.si_ - b.si_); }
    friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(a.si_ * k); }
    friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(a.si_ * k); }
    friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.si_ / k); }
    friend constexpr auto operator<=>(Quantity a, Quantity b) { return a.si_ <=> b.si_; }
    friend constexpr bool operator==(Quantity a, Quantity b) { return a.si_ == b.si_; }

    template <int M2, int L2, int T2>
    friend constexpr auto operator*(Quantity a, Quantity<M2, L2, T2> b) {
        return Quantity<M + M2, L + L2, T + T2>::from_si(a.si_ * b.si());
    }
    template <int M2, int L2, int T2>
    friend constexpr auto operator/(Quantity a, Quantity<M2, L2, T2> b) {
        if constexpr (M == M2 && L == L2 && T == T2) {
            return a.si_ / b.si(); // a ratio is a plain number
        } else {
            return Quantity<M - M2, L - L2, T - T2>::from_si(a.si_ / b.si());
        }
    }

    /// For formulas written in SI symbols and for storage. Screens and files use in(unit).
    [[nodiscard]] constexpr double si() const { return si_; }
    [[nodiscard]] static constexpr Quantity from_si(double number) { return Quantity(number); }

private:
    explicit constexpr Quantity(double si) : si_(si) {}
    double si_ = 0;
};

template <int M, int L, int T>
constexpr Quantity<M, L, T> Unit<M, L, T>::operator()(double number) const {
    return Quantity<M, L, T>::from_si(number * si_per_unit);
}

using Length = Quantity<0, 1, 0>;
using Area = Quantity<0, 2, 0>;
using Volume = Quantity<0, 3, 0>;
using Duration = Quantity<0, 0, 1>;
using Frequency = Quantity<0, 0, -1>;
using Speed = Quantity<0, 1, -1>;
using Acceleration = Quantity<0, 1, -2>;
using FlowRate = Quantity<0, 3, -1>;
using Pressure = Quantity<1, -1, -2>;
using Density = Quantity<1, -3, 0>;
using DynamicViscosity = Quantity<1, -1, -1>;
using KinematicViscosity = Quantity<0, 2, -1>;
using Mass = Quantity<1, 0, 0>;
using Force = Quantity<1, 1, -2>;
using Power = Quantity<1, 2, -3>;

// Standard gravity, exact (3rd CGPM 1901).
inline constexpr double g_si = 9.80665;

inline constexpr Unit<0, 1, 0> metres{1.0}, millimetres{1e-3}, centimetres{1e-2}, kilometres{1e3};
inline constexpr Unit<0, 1, 0> feet{0.3048}, inches{0.0254};
inline constexpr Unit<0, 2, 0> square_metres{1.0}, square_millimetres{1e-6};
inline constexpr Unit<0, 3, 0> cubic_metres{1.0}, litres{1e-3}, millilitres{1e-6};
inline constexpr Unit<0, 3, 0> us_gallons{231 * 0.0254 * 0.0254 * 0.0254};
inline constexpr Unit<0, 3, 0> cubic_feet{0.3048 * 0.3048 * 0.3048};
inline constexpr Unit<0, 0, 1> seconds{1.0}, milliseconds{1e-3}, minutes{60.0}, hours{3600.0};
inline constexpr Unit<0, 0, -1> hertz{1.0}, beats_per_minute{1.0 / 60.0};
inline constexpr Unit<0, 1, -1> metres_per_second{1.0}, feet_per_second{0.3048};
inline constexpr Unit<0, 3, -1> cubic_metres_per_second{1.0}, litres_per_second{1e-3};
inline constexpr Unit<0, 3, -1> litres_per_minute{1e-3 / 60.0}, litres_per_day{1e-3 / 86400.0};
inline constexpr Unit<0, 3, -1> cubic_metres_per_hour{1.0 / 3600.0};
inline constexpr Unit<0, 3, -1> us_gallons_per_minute{us_gallons.si_per_unit / 60.0};
inline constexpr Unit<0, 3, -1> us_gallons_per_day{us_gallons.si_per_unit / 86400.0};
inline constexpr Unit<0, 3, -1> cubic_feet_per_second{cubic_feet.si_per_unit};
inline constexpr Unit<1, -1, -2> pascals{1.0}, kilopascals{1e3}, megapascals{1e6}, gigapascals{1e9}, bar{1e5};
inline constexpr Unit<1, -1, -2> psi{0.45359237 * g_si / (0.0254 * 0.0254)};
inline constexpr Unit<1, -3, 0> kilograms_per_cubic_metre{1.0};
inline constexpr Unit<1, -1, -1> pascal_seconds{1.0};
inline constexpr Unit<0, 2, -1> square_metres_per_second{1.0};
inline constexpr Unit<1, 0, 0> kilograms{1.0}, pounds{0.45359237};
inline constexpr Unit<1, 1, -2> newtons{1.0};
inline constexpr Unit<1, 2, -3> watts{1.0};

inline constexpr Acceleration standard_gravity = Acceleration::from_si(g_si);

/// A temperature is a point, not an amount: it has no sum.
struct Celsius {
    double degrees = 0;
    friend constexpr auto operator<=>(Celsius, Celsius) = default;
};

} // namespace beckhand
