// The two efficiencies and the published curves against the lift ratio.
#include <doctest/doctest.h>

#include "engine/hydraulics/yield.h"
#include "tests/published/off.h"

using namespace beckhand;
using namespace beckhand::published;

TEST_CASE("published: D'Aubuisson's and Rankine's efficiency of one worked example") {
    // Textbook-style page (author not shown): Q 30 L/s, H 4 m, q 3 L/s, h 18 m -> 45.0 % and 38.9 %.
    const auto q = litres_per_second(3), w = litres_per_second(27);
    CHECK(off(*yield_of(q, metres(18), q + w, metres(4)), 0.450) <= 0.0005);
    CHECK(off(*rankine_yield(q, metres(18), w, metres(4)), 0.389) <= 0.0005);
}

TEST_CASE("published: measured rams have the efficiencies printed for them") {
    // KSB Centrifugal Pump Lexicon: 27 m, 15 m3/h in, 164 m, 1.7 m3/h out: 0.688.
    CHECK(off(*yield_of(cubic_metres_per_hour(1.7), metres(164), cubic_metres_per_hour(15), metres(27)),
              0.688) <= 0.0005);
    // Indonesian thesis, PVC ram: H 0.55 m, h 3.91 m, q 1.05, w 19.51 L/min: 36.21 %. The flows are printed
    // to two decimals, which carries 0.5 %.
    const auto q = litres_per_minute(1.05), w = litres_per_minute(19.51);
    CHECK(share_off(*yield_of(q, metres(3.91), q + w, metres(0.55)), 0.3621) <= 0.005);
    // Brunacci c. 1810, first row (Polytechnisches Journal 33, 1829, p. 421): H 1.172, h 13.430 m.
    const auto qb = cubic_metres_per_hour(0.7461), wb = cubic_metres_per_hour(15.1697355);
    CHECK(off(*yield_of(qb, metres(13.430), qb + wb, metres(1.172)), 0.537) <= 0.0005);
    CHECK(off(*rankine_yield(qb, metres(13.430), wb, metres(1.172)), 0.514) <= 0.0005);
}

TEST_CASE("published: Eytelwein's formula gives his table") {
    // Handbuch der Baukunde, Abt. I Bd. 1, p. 748 (also Polytechnisches Journal 33, 1829, p. 423), x = 1..20.
    const double printed[] = {.920, .837, .774, .720, .673, .630, .591, .555, .520, .488,
                              .457, .427, .399, .372, .345, .320, .295, .272, .248, .226};
    for (int x = 1; x <= 20; ++x) {
        CAPTURE(x);
        CHECK(off(eytelwein(x), printed[x - 1]) <= 0.001);
    }
    CHECK(eytelwein(40) == 0);
}

TEST_CASE("published: Eytelwein's own numbers are of the Rankine kind") {
    // Eytelwein, Praktische Anweisung zur Wasserbaukunst, p. 95: H 10 ft, h 40 ft above the source, x 4, E
    // 0.720. Rankine lift is counted from the source: the outlet is 50 ft over the waste valve.
    const auto q = us_gallons_per_minute(1), w = waste_needed(q, feet(40), feet(10), 0.720);
    CHECK(off(*rankine_yield(q, feet(50), w, feet(10)), 0.720) <= 1e-9);
    CHECK(off(*yield_of(q, feet(50), q + w, feet(10)), *eytelwein_yield(5)) <= 1e-9);
}

TEST_CASE("published: the old yield table and the ratios between its rows") {
    // Building Trades Pocketbook (US, about 1900): lift/fall, per cent.
    const double rows[][2] = {{4, 72},  {6, 61},  {8, 52}, {12, 37}, {14, 31},
                              {16, 25}, {20, 14}, {22, 9}, {26, 0}};
    for (const auto& row : rows) {
        CHECK(off(*table_yield(row[0]) * 100, row[1]) <= 1e-9);
    }
    CHECK(off(*table_yield(5), 0.665) <= 1e-9); // half way
    // Sanitary Plumbing Questions and Answers (US, about 1910) has one seventh at 5 times the fall, 71 %: the
    // two sources agree to a tenth.
    CHECK(share_off(*table_yield(5), 5.0 / 7) <= 0.1);
}

TEST_CASE("published: the exercise of the Peace Corps training manual") {
    // Peace Corps hydram manual, 1981, ex. 5-A: H 20 ft, h 120 ft, 10 gpm, 50 % -> 0.833 gpm, 1200 gal/day.
    const FlowRate q = 0.5 * us_gallons_per_minute(10) * (feet(20) / feet(120));
    CHECK(off(q.in(us_gallons_per_minute), 0.833) <= 0.0005);
    CHECK(off(q.in(us_gallons_per_day), 1200) <= 1e-6);
    CHECK(off(*yield_of(q, feet(120), us_gallons_per_minute(10), feet(20)), 0.5) <= 1e-12);
}
