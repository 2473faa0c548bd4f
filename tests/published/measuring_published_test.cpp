// Measuring against printed tables: notches, the weight of water, timing by hand.
#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <vector>

#include "engine/measuring/bucket.h"
#include "engine/measuring/heights.h"
#include "engine/measuring/source_flow.h"

using namespace beckhand;

TEST_CASE("60- and 45-degree notches agree with the tables printed after ASTM D5242") {
    struct Row { double feet, gallons; };
    for (const Row row : {Row{0.20, 11.58}, Row{0.22, 14.70}, Row{0.25, 20.24}, Row{0.28, 26.87}}) {
        CHECK(flow_over_notch(Notch::degrees_60, feet(row.feet)).flow.value.in(us_gallons_per_minute) == doctest::Approx(row.gallons).epsilon(0.001));
    }
    for (const Row row : {Row{0.20, 8.309}, Row{0.24, 13.11}, Row{0.30, 22.90}}) {
        CHECK(flow_over_notch(Notch::degrees_45, feet(row.feet)).flow.value.in(us_gallons_per_minute) == doctest::Approx(row.gallons).epsilon(0.001));
    }
}

TEST_CASE("the 90-degree notch agrees with the Cone formula within its own error") {
    // Q = 2.49 h^2.48, ft and ft3/s: USBR Water Measurement Manual, ch. 7 (from memory).
    for (const double head : {0.20, 0.30, 0.50, 0.75}) {
        const auto flow = flow_over_notch(Notch::degrees_90, feet(head)).flow;
        const double cone = 2.49 * std::pow(head, 2.48);
        CHECK(std::abs(flow.value.in(cubic_feet_per_second) - cone) < flow.error.in(cubic_feet_per_second));
    }
}

TEST_CASE("a gauge turns into height by the printed weight of water") {
    // 0.433 psi a foot, 2.31 ft a psi: printed in most pump handbooks (from memory), three figures.
    CHECK(height_by_gauge(psi(10), psi(0), Celsius{15}, psi(60)).value.in(feet) == doctest::Approx(23.1).epsilon(0.002));
    CHECK(height_by_gauge(psi(43.3), psi(0), Celsius{15}, psi(60)).value.in(feet) == doctest::Approx(100).epsilon(0.002));
    // At 20 C water weighs 998.2061 kg/m3 (IAPWS R6-95, 0.1 MPa): 1 bar is 10.2154 m.
    CHECK(height_by_gauge(bar(1), bar(0), Celsius{20}, bar(4)).value.in(metres) == doctest::Approx(1e5 / (998.2061 * 9.80665)).epsilon(2e-5));
}

TEST_CASE("the watch's error is that of 4304 timings by hand") {
    // American Journal of Physics 87 (2019) 110: one press N(0.11 s, 0.07 s), start and stop together N(0, 0.10 s).
    CHECK(watch_error.si() == doctest::Approx(0.07 * std::sqrt(2.0)).epsilon(0.02));
}

TEST_CASE("the float's coefficient and its error hold what is printed for shallow and for deep water") {
    // USBR Water Measurement Manual, ch. 13 (from memory): mean depth in feet and coefficient.
    for (const double printed : {0.66, 0.68, 0.70, 0.72, 0.74, 0.76, 0.78, 0.80}) {
        CHECK(std::abs(printed - float_over_stones) < 2 * float_coefficient_error);
    }
}
