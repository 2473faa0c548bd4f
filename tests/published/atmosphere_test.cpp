// Air pressure against the standard atmosphere.
#include <doctest/doctest.h>

#include "engine/hydraulics/atmosphere.h"
#include "tests/published/off.h"

using namespace beckhand;
using namespace beckhand::published;

TEST_CASE("published: air pressure is that of ISO 2533, the US standard atmosphere 1976") {
    // ISO 2533:1975 / US Standard Atmosphere 1976 by an open implementation, geometric altitude m, Pa.
    const double rows[][2] = {{-500, 107478},  {0, 101325},     {200, 98945.4},  {500, 95461.3},
                              {1000, 89876.3}, {1500, 84559.7}, {2000, 79501.4}, {3000, 70121.2},
                              {3500, 65780.4}, {4000, 61660.4}};
    for (const auto& row : rows) {
        CAPTURE(row[0]);
        CHECK(share_off(air_pressure(metres(row[0])).in(pascals), row[1]) <= 0.00002);
    }
}

TEST_CASE("published: the deepest suction at 20 degrees and the sea is 10.11 m") {
    // (101.325 - 2.339) kPa / (998.2 kg/m3 x 9.80665 m/s2): IAPWS-IF97 saturation pressure, ISO 2533
    // pressure.
    const Length deepest = deepest_suction(Length{}, water_at(Celsius{20}));
    CHECK(off(deepest.in(metres), 10.11) <= 0.005);
    CHECK(off(deepest.in(feet), 33.2) <= 0.05);
}
