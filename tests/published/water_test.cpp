// Water against the values of the International Association for the Properties of Water and Steam (IAPWS).
#include <doctest/doctest.h>

#include "engine/hydraulics/water.h"
#include "tests/published/off.h"

using namespace beckhand;
using namespace beckhand::published;

TEST_CASE("published: water at 25 degrees has the values of IAPWS SR6-08, table 8") {
    // IAPWS SR6-08 (2008/2011), Table 8, 298.15 K and 0.1 MPa: rho 997.047013, w 1496.69922, mu 889.996774
    // uPa s.
    const Water water = water_at(Celsius{25});
    CHECK(off(water.density.in(kilograms_per_cubic_metre), 997.047013) <= 0.01);
    CHECK(off(water.sound.in(metres_per_second), 1496.69922) <= 0.1);
    CHECK(off(water.viscosity.in(pascal_seconds)*1e6, 889.996774) <= 0.0005); // the same equation
}

TEST_CASE("published: water from 0 to 60 degrees follows the IAPWS-IF97 and R12-08 properties") {
    // Computed with an open IAPWS-IF97 / R12-08 implementation at 101.325 kPa; saturation pressure of IF97
    // region 4. IF97 states its speed of sound to about 1 m/s here (SR6-08 gives 1482.344 at 20 C).
    struct Row {
        double t, rho, mu, nu, w, psat_kpa;
    };
    const Row rows[] = {
        {0.01, 999.845, 1791.13, 1.7914, 1402.49, 0.61166},
        {4, 999.975, 1567.29, 1.56733, 1421.64, 0.81355},
        {5, 999.967, 1518.17, 1.51822, 1426.19, 0.87257},
        {10, 999.7015, 1305.90, 1.30629, 1447.55, 1.22818},
        {15, 999.1011, 1137.57, 1.13859, 1466.59, 1.70574},
        {20, 998.2061, 1001.60, 1.00340, 1483.42, 2.33921},
        {25, 997.048, 890.02, 0.89266, 1498.17, 3.16975},
        {30, 995.652, 797.22, 0.80070, 1510.98, 4.24669},
        {35, 994.039, 719.13, 0.72344, 1521.98, 5.62862},
        {40, 992.224, 652.73, 0.65785, 1531.30, 7.38443},
        {50, 988.048, 546.52, 0.55313, 1545.32, 12.35127},
        {60, 983.211, 466.04, 0.47400, 1553.86, 19.9458},
    };
    for (const Row& row : rows) {
        CAPTURE(row.t);
        const Water water = water_at(Celsius{row.t});
        CHECK(off(water.density.in(kilograms_per_cubic_metre), row.rho) <= (row.t <= 40 ? 0.01 : 0.05));
        CHECK(share_off(water.viscosity.in(pascal_seconds)*1e6, row.mu) <= 0.001);
        CHECK(share_off(water.kinematic_viscosity.in(square_metres_per_second)*1e6, row.nu) <= 0.001);
        CHECK(off(water.sound.in(metres_per_second), row.w) <= 3);
        CHECK(share_off(water.vapour.in(kilopascals), row.psat_kpa) <= 0.0006);
    }
}

TEST_CASE("published: the speed of sound at 20 degrees is that of IAPWS SR6-08") {
    // IAPWS SR6-08 evaluated at 20 C, 0.1 MPa: w 1482.344 m/s, rho 998.2065 kg/m3; K = rho w^2.
    const Water water = water_at(Celsius{20});
    CHECK(off(water.sound.in(metres_per_second), 1482.344) <= 0.1);
    CHECK(share_off(water.bulk_modulus.in(gigapascals), 998.2065 * 1482.344 * 1482.344 * 1e-9) <= 0.0002);
}
