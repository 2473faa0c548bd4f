// Weirs against printed tables.
#include <doctest/doctest.h>

#include "engine/hydraulics/weir.h"
#include "tests/published/off.h"

using namespace beckhand;
using namespace beckhand::published;

TEST_CASE("published: the 90-degree notch by Kindsvater and Shen") {
    // USBR Water Measurement Manual, ch. 7, eq. 7-3: Ce 0.578, kh 0.0029 ft; gpm computed from it.
    const double rows[][2] = {{0.20, 20.59}, {0.25, 35.71}, {0.30, 56.07}, {0.40, 114.4},
                              {0.50, 199.1}, {0.60, 313.4}, {0.75, 546.1}, {1.00, 1118.4}};
    for (const auto& row : rows) {
        CAPTURE(row[0]);
        CHECK(share_off(v_notch_90(feet(row[0])).in(us_gallons_per_minute), row[1]) <= 0.0005);
        // The manual's own US form, Q = 4.28 Ce h1e^2.5, its factor printed to three figures.
        const double us_form = 4.28 * 0.578 * std::pow(row[0] + 0.0029, 2.5);
        CHECK(share_off(v_notch_90(feet(row[0])).in(cubic_feet_per_second), us_form) <= 0.001);
        // Cone's formula 2.49 h^2.48 (from memory): another man's notch, within 1 %.
        CHECK(share_off(v_notch_90(feet(row[0])).in(cubic_feet_per_second), 2.49 * std::pow(row[0], 2.48)) <=
              0.01);
    }
}

TEST_CASE("published: the 90-degree notch with the head correction of ISO 1438") {
    // kh 0.85 mm is ISO 1438's (from memory); L/s computed from the Kindsvater-Shen equation.
    const double rows[][2] = {{50, 0.7960},  {60, 1.2470},  {75, 2.1632},  {80, 2.5375},
                              {100, 4.4095}, {120, 6.9314}, {125, 7.6707}, {150, 12.066},
                              {175, 17.703}, {200, 24.682}, {250, 43.027}, {300, 67.776}};
    for (const auto& row : rows) {
        CAPTURE(row[0]);
        CHECK(share_off(v_notch_90(millimetres(row[0]), millimetres(0.85)).in(litres_per_second), row[1]) <=
              0.0002);
    }
}

TEST_CASE("published: the 60- and 45-degree notches as tabulated") {
    // Printed tables after ASTM D5242 and Skrentner's instrumentation handbook: head ft, gpm, L/s.
    const double sixty[][3] = {{0.20, 11.58, 0.7310}, {0.21, 13.09, 0.8259}, {0.22, 14.70, 0.9277},
                               {0.23, 16.43, 1.037},  {0.24, 18.27, 1.153},  {0.25, 20.24, 1.277},
                               {0.26, 22.32, 1.409},  {0.28, 26.87, 1.695}};
    for (const auto& row : sixty) {
        CAPTURE(row[0]);
        CHECK(share_off(v_notch_60(feet(row[0])).in(us_gallons_per_minute), row[1]) <= 0.001);
        CHECK(share_off(v_notch_60(feet(row[0])).in(litres_per_second), row[2]) <= 0.001);
    }
    const double forty_five[][3] = {{0.20, 8.309, 0.5243},
                                    {0.22, 10.55, 0.6654},
                                    {0.24, 13.11, 0.8271},
                                    {0.28, 19.27, 1.216},
                                    {0.30, 22.90, 1.445}};
    for (const auto& row : forty_five) {
        CAPTURE(row[0]);
        CHECK(share_off(v_notch_45(feet(row[0])).in(us_gallons_per_minute), row[1]) <= 0.001);
        CHECK(share_off(v_notch_45(feet(row[0])).in(litres_per_second), row[2]) <= 0.001);
    }
}

TEST_CASE("published: Francis's contracted weir") {
    // USBR Water Measurement Manual, ch. 7: Q = 3.33 (L - 0.2 H) H^1.5; values computed from it.
    const double rows[][3] = {
        {1, 0.2, 0.2859}, {1, 0.3, 0.5143}, {2, 0.2, 0.5838}, {2, 0.4, 1.6175}, {3, 0.5, 3.4143}};
    for (const auto& row : rows) {
        CHECK(off(francis_weir(feet(row[0]), feet(row[1])).in(cubic_feet_per_second), row[2]) <= 0.00006);
    }
    CHECK(off(francis_weir(feet(1), feet(0.2)).in(us_gallons_per_minute), 128.3) <= 0.05);
    CHECK(off(francis_weir(feet(1), feet(0.2)).in(litres_per_second), 8.097) <= 0.001);
    // Peace Corps hydram training manual, 1981: weirs of exercises; gpm computed from the formula.
    CHECK(off(francis_weir(inches(4), inches(5.375)).in(us_gallons_per_minute), 109) <= 0.6);
    CHECK(off(francis_weir(inches(2), inches(1.5)).in(us_gallons_per_minute), 9.36) <= 0.005);
}
