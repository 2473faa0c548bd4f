// The ideal beat against worked cycles, and the real one against Brunacci's measured grid.
#include <doctest/doctest.h>

#include <algorithm>
#include <iterator>

#include "engine/hydraulics/expectation.h"
#include "engine/hydraulics/friction.h"
#include "engine/hydraulics/pipe.h"
#include "engine/hydraulics/ram_cycle.h"
#include "tests/published/off.h"

using namespace beckhand;
using namespace beckhand::published;

TEST_CASE("published: AguaClara's table of ideal deliveries") {
    // AguaClara, Cornell University, summer 2021 report: A 5.067e-4 m2, v_inf 1.603 m/s, H = L = 1.56 m,
    // h 6.00 m; closing and left-over speed as shares of v_inf -> mL a beat, mL/s. (g 9.81 there: 0.05 %.)
    const double rows[][4] = {{.65, .10, 9.618, 67.80},  {.70, .10, 11.192, 70.05}, {.75, .10, 12.882, 71.61},
                              {.80, .10, 14.690, 72.25}, {.85, .10, 16.613, 71.63}, {.80, 0, 14.923, 66.19},
                              {.80, .20, 13.990, 77.36}, {.80, .30, 12.824, 81.35}, {.80, .40, 11.192, 83.99},
                              {.80, .50, 9.094, 85.00},  {.80, .60, 6.529, 83.98},  {.70, .60, 3.031, 88.63},
                              {.85, .60, 8.452, 79.48},  {.11, .10, .04897, 21.99}, {.51, .50, .2355, 85.09},
                              {.71, .70, .3288, 85.99},  {.81, .80, .3754, 71.95}};
    const double v_inf = 1.603, fall = 1.56;
    CycleInput in{.fall = metres(fall),
                  .lift = metres(6.00),
                  .drive_length = metres(1.56),
                  .drive_bore = bore_of_area(square_metres(5.067e-4)),
                  .losses = 2 * 9.81 * fall / (v_inf * v_inf)};
    CHECK(off(in.losses, 11.9) <= 0.05); // total K of the same report
    for (const auto& row : rows) {
        CAPTURE(row[0]);
        CAPTURE(row[1]);
        in.closing = metres_per_second(row[0] * v_inf);
        in.left = metres_per_second(row[1] * v_inf);
        const auto cycle = ideal_cycle(in);
        REQUIRE(cycle);
        CHECK(share_off(cycle->delivered.in(millilitres), row[2]) <= 0.0012);
        CHECK(share_off(cycle->delivered_flow.in(litres_per_second)*1000, row[3]) <= 0.0012);
    }
}

TEST_CASE("published: AguaClara's delivery time and volume of one beat in 2019") {
    // AguaClara, Cornell University, 2019 reports: v 2.26 m/s, A 4.419e-4 m2 and head ratio L/dh 0.4244 give
    // t_d 0.09777 s and V_d 48.82 mL.
    const double net = 1.74 / 0.4244; // any L with this ratio
    const CycleInput in{.fall = metres(2.06),
                        .lift = metres(2.06 + net),
                        .drive_length = metres(1.74),
                        .drive_bore = bore_of_area(square_metres(4.419e-4)),
                        .losses = 2 * g_si * 2.06 / (2.3 * 2.3),
                        .closing = metres_per_second(2.26)};
    const auto cycle = ideal_cycle(in);
    REQUIRE(cycle);
    CHECK(share_off(cycle->deliver.in(seconds), 0.09777) <= 0.001);
    CHECK(share_off(cycle->delivered.in(millilitres), 48.82) <= 0.001);
}

TEST_CASE("published: the rigid-column beat of one site, sum by sum") {
    // Rigid-column laws (Lansford & Dugan 1941; Krol 1951; Iversen 1975), computed by hand from the closed
    // forms: H 2 m, h 14 m, L 10 m, D 52.5 mm, K 8, v_c 1 m/s, g 9.80665.
    CycleInput in{.fall = metres(2),
                  .lift = metres(14),
                  .drive_length = metres(10),
                  .drive_bore = millimetres(52.5),
                  .losses = 8,
                  .closing = metres_per_second(1)};
    const auto c = ideal_cycle(in);
    REQUIRE(c);
    CHECK(off(c->terminal.in(metres_per_second), 2.21435) <= 0.00001);
    CHECK(off(c->time_constant.in(seconds), 1.12900) <= 0.00001);
    CHECK(off(c->accelerate.in(seconds), 0.54950) <= 0.00001);
    CHECK(off(c->wasted.in(litres), 0.61718) <= 0.00001);
    CHECK(off(c->deliver.in(seconds), 0.084976) <= 0.000001);
    CHECK(off(c->delivered.in(litres), 0.091976) <= 0.000001);
    CHECK(off(c->period.in(seconds), 0.634472) <= 0.000005);
    CHECK(off(c->beat.in(beats_per_minute), 94.567) <= 0.001);
    CHECK(off(c->delivered_flow.in(litres_per_minute), 8.698) <= 0.001);
    CHECK(off(c->waste_flow.in(litres_per_minute), 58.365) <= 0.001);
    CHECK(off(c->efficiency, 0.9079) <= 0.00006);
    CHECK(off(c->rankine, 0.8942) <= 0.00006);
    const double other[][3] = {{0.5, 0.25940, 0.1416}, {1.5, 0.93063, 1.6617}, {2.0, 1.68146, 4.5773}};
    for (const auto& row : other) {
        in.closing = metres_per_second(row[0]);
        const auto at = ideal_cycle(in);
        REQUIRE(at);
        CHECK(off(at->accelerate.in(seconds), row[1]) <= 0.00001);
        CHECK(off(at->wasted.in(litres), row[2]) <= 0.0001);
    }
}

TEST_CASE("published: the steps in which a blow is spent") {
    // Joukowsky: the first drop is g (h - H)/a, the later ones twice that. H 2, h 14 m, a 1350 m/s: 0.08717
    // and 0.17434 m/s; H 3, h 15 m, a 1200 m/s: 0.09807 and 0.19613; L 12 m, 2 m/s: t_d 0.20394 s, 10.2 round
    // trips.
    const Speed first = first_speed_drop(metres(2), metres(14), metres_per_second(1350));
    CHECK(off(first.in(metres_per_second), 0.08717) <= 0.00001);
    CHECK(off((2 * first).in(metres_per_second), 0.17434) <= 0.00001);
    const Speed second = first_speed_drop(metres(3), metres(15), metres_per_second(1200));
    CHECK(off(second.in(metres_per_second), 0.09807) <= 0.00001);
    CHECK(off((2 * second).in(metres_per_second), 0.19613) <= 0.00001);
    const auto c = ideal_cycle({.fall = metres(3),
                                .lift = metres(15),
                                .drive_length = metres(12),
                                .drive_bore = millimetres(50),
                                .losses = 8,
                                .closing = metres_per_second(2)});
    REQUIRE(c);
    CHECK(off(c->deliver.in(seconds), 0.20394) <= 0.00001);
    CHECK(off(c->deliver.in(seconds) / (2 * 12.0 / 1200), 10.2) <= 0.05);
}

namespace {

// V. Brunacci, Trattato dell'ariete idraulico (c. 1810-13), in Polytechnisches Journal 33 (1829) p. 421:
// H 1.172 m, D 0.100 m; L m, h m, beats an hour, delivered and wasted m3/h. One hour of running a row; the
// row whose waste flow is misprinted is left out.
struct Brunacci {
    double length, lift, beats, delivered, wasted;
};
const Brunacci brunacci[] = {
    {11.614, 13.430, 1384, 0.7461000, 15.1697355}, {11.614, 10.956, 1636, 1.0959627, 15.1884344},
    {11.614, 4.678, 1894, 2.5329846, 14.9908627},  {7.936, 10.956, 2117, 0.7907379, 13.5333762},
    {7.936, 7.860, 2250, 1.2243690, 13.6944900},   {4.218, 13.430, 3130, 0.2911148, 14.3724240},
    {4.218, 4.678, 3600, 1.4877324, 14.2422696}};

} // namespace

TEST_CASE("published: the factor of the usual beat is the geometric mean of Brunacci's grid") {
    double log_sum = 0, least = 1e9, most = 0;
    for (const Brunacci& row : brunacci) {
        const Speed mean = speed_in(metres(0.100), cubic_metres_per_hour(row.delivered + row.wasted));
        const double factor = (3600 / row.beats) / (mean.si() * row.length / (g_si * 1.172));
        log_sum += std::log(factor);
        least = std::min(least, factor);
        most = std::max(most, factor);
        const auto beat = usual_beat(metres(1.172), metres(row.length), metres(0.100),
                                     cubic_metres_per_hour(row.delivered + row.wasted));
        REQUIRE(beat);
        CHECK(share_off(beat->in(beats_per_minute), row.beats / 60) <=
              0.5); // "good to a factor of about 1.5"
    }
    CHECK(share_off(std::exp(log_sum / 7), measured_period_factor) <= 0.03);
    CHECK(off(least, 3.0) <= 0.06);
    CHECK(off(most, 6.0) <= 0.06);
}

TEST_CASE("published: the ideal beat lies at or somewhat below Brunacci's measured period") {
    // As theory wants: v_c from the litres lifted a beat, K from the litres wasted, then the period. Recoil
    // and valve travel are missing from it, so it may be short by up to a third and over by a few per cent.
    for (const Brunacci& row : brunacci) {
        CAPTURE(row.length);
        CAPTURE(row.lift);
        const double area = area_of_bore(metres(0.100)).si(), net = row.lift - 1.172;
        const double v_c = std::sqrt(2 * g_si * net * (row.delivered / row.beats) / (area * row.length));
        const auto cycle_for = [&](double k) {
            return ideal_cycle({.fall = metres(1.172),
                                .lift = metres(row.lift),
                                .drive_length = metres(row.length),
                                .drive_bore = metres(0.100),
                                .losses = k,
                                .closing = metres_per_second(v_c)});
        };
        // Waste a beat grows with K up to K = 2 g H / v_c^2, where the valve would hang open.
        double low = 0.01, high = 2 * g_si * 1.172 / (v_c * v_c) * (1 - 1e-12);
        for (int i = 0; i < 200; ++i) {
            const double k = (low + high) / 2;
            (cycle_for(k)->wasted.in(cubic_metres) < row.wasted / row.beats ? low : high) = k;
        }
        const auto cycle = cycle_for(low);
        REQUIRE(cycle);
        const double ratio = cycle->period.in(seconds) / (3600 / row.beats);
        CHECK(ratio >= 0.7);
        CHECK(ratio <= 1.05);
    }
}

TEST_CASE("published: Brunacci's drive flow and beat are what the site of his ram lets expect") {
    for (const Brunacci& row : brunacci) {
        CAPTURE(row.length);
        CAPTURE(row.lift);
        Site site;
        site.fall = metres(1.172);
        site.lift = metres(row.lift);
        site.drive_length = metres(row.length);
        site.drive_bore = metres(0.100);
        const Expectation e = expect(site);
        REQUIRE(e.drive_flow);
        REQUIRE(e.beat);
        // Ogden's range is of rams for sale and rounded; the lowest lift drew 6 % more than its upper end.
        const FlowRate drive = cubic_metres_per_hour(row.delivered + row.wasted);
        CHECK(drive >= e.drive_flow->least);
        CHECK(drive <= e.drive_flow->most * 1.1);
        CHECK(row.beats / 60 >= e.beat->least.in(beats_per_minute));
        CHECK(row.beats / 60 <= e.beat->most.in(beats_per_minute));
    }
}

TEST_CASE("published: Brunacci's deliveries lie in the expected band once the waste flow is known") {
    for (const Brunacci& row : brunacci) {
        if (row.length < 5) {
            continue; // 42 bores and 3.6 falls: outside both length bands, and it shows
        }
        CAPTURE(row.length);
        CAPTURE(row.lift);
        Site site;
        site.fall = metres(1.172);
        site.lift = metres(row.lift);
        site.record.waste = cubic_metres_per_hour(row.wasted);
        const Expectation e = expect(site);
        REQUIRE(e.delivered);
        CHECK(row.delivered >= e.delivered->least.in(cubic_metres_per_hour));
        CHECK(row.delivered <= e.delivered->most.in(cubic_metres_per_hour));
    }
}
