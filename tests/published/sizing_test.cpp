// Sizing rules and intake tables against the handbooks.
#include <doctest/doctest.h>

#include "engine/hydraulics/intake_flow.h"
#include "engine/hydraulics/yield.h"
#include "tests/published/off.h"

using namespace beckhand;
using namespace beckhand::published;

TEST_CASE("published: the worked design of the Handbuch der Baukunde") {
    // Handbuch der Baukunde, Abt. I Bd. 1, p. 748: H 1.5 m, h 9 m, q 40 L/min: x 6, E 0.63, w 381, Q 421
    // L/min, D 197 -> 200 mm, d 100 mm, L 10.8 m, vessel 0.071 m3.
    const Length fall = metres(1.5), lift = metres(9);
    const FlowRate q = litres_per_minute(40);
    const double e = eytelwein(lift / fall);
    CHECK(off(e, 0.63) <= 0.001);
    const FlowRate w = waste_needed(q, lift, fall, e);
    CHECK(off(w.in(litres_per_minute), 381) <= 0.7); // E 0.63 in print, 0.6301 here
    CHECK(off((q + w).in(litres_per_minute), 421) <= 0.7);
    CHECK(off(drive_bore_for(q + w).in(millimetres), 197) <= 0.5);
    CHECK(off(delivery_bore_for(millimetres(200)).in(millimetres), 100) <= 1e-9);
    CHECK(off(drive_length_for(lift, fall).in(metres), 10.8) <= 1e-9);
    CHECK(off(vessel_for(lift, millimetres(100)).in(cubic_metres), 0.071) <= 0.0005);
}

TEST_CASE("published: Eytelwein's bore in US words") {
    // D(in) = 0.735 sqrt(gpm), from D(mm) = 9.6 sqrt(L/min).
    CHECK(off(drive_bore_for(us_gallons_per_minute(16)).in(inches), 0.735 * 4) <= 0.002);
}

TEST_CASE("published: intake flows of Ogden's table") {
    // Ogden 1911, Rural Hygiene, table XI: drive bore in, least and most gpm.
    const double rows[][3] = {{1.25, 2.5, 6}, {1.5, 6, 12}, {2, 8, 18},    {2.5, 11, 24},
                              {3, 15, 35},    {4, 30, 75},  {8, 150, 350}, {12, 375, 700}};
    for (const auto& row : rows) {
        CAPTURE(row[0]);
        const auto flow = intake_flow(inches(row[0]));
        REQUIRE(flow);
        CHECK(off(flow->least.in(us_gallons_per_minute), row[1]) <= 1e-6);
        CHECK(off(flow->most.in(us_gallons_per_minute), row[2]) <= 1e-6);
        CHECK(flow->basis.find("Ogden 1911") != std::string::npos);
    }
}

TEST_CASE("published: intake flows of small rams in Lueger and Weyrauch") {
    // Lueger/Weyrauch, Die Wasserversorgung der Staedte, 2nd ed. vol. 2, p. 322: bore mm, L/min.
    const double rows[][3] = {{19, 3, 7}, {25, 6, 15}, {30, 11, 26}};
    for (const auto& row : rows) {
        const auto flow = intake_flow(millimetres(row[0]));
        REQUIRE(flow);
        CHECK(off(flow->least.in(litres_per_minute), row[1]) <= 1e-6);
        CHECK(off(flow->most.in(litres_per_minute), row[2]) <= 1e-6);
    }
    // The two tables overlap at 50 mm: 22-53 there, 8-18 gpm (30-68 L/min) for 2 in at Ogden. The ranges
    // meet.
    const auto fifty = intake_flow(millimetres(50));
    REQUIRE(fifty);
    CHECK(fifty->least.in(litres_per_minute) < 53);
    CHECK(fifty->most.in(litres_per_minute) > 22);
}
