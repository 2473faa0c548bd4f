// Wave speeds and water hammer against printed and re-computed examples.
#include <doctest/doctest.h>

#include "engine/hydraulics/wave_speed.h"
#include "tests/published/off.h"

using namespace beckhand;
using namespace beckhand::published;

namespace {

// 20 C as the examples take it: K 2.197 GPa, rho 998.2 kg/m3.
Water example_water() {
    Water water = water_at(Celsius{20});
    water.bulk_modulus = gigapascals(2.197);
    water.density = kilograms_per_cubic_metre(998.2);
    return water;
}

} // namespace

TEST_CASE("published: Korteweg's wave speed with the three ways of holding a pipe") {
    // a = sqrt(K/rho)/sqrt(1 + c K D/(E e)), c = 1 | 1 - nu/2 | 1 - nu^2 (Wylie & Streeter's set), thin wall;
    // pipes of ASME B36.10 and ASTM D1785 / F2619; speeds computed from that formula.
    struct Row {
        double bore, wall, e, nu, joints, upstream, throughout;
    };
    const Row rows[] = {{52.48, 3.91, 200, 0.30, 1385.0, 1398.5, 1393.1}, // steel 2 in Sch 40
                        {26.64, 3.38, 200, 0.30, 1423.2, 1431.8, 1428.4}, // steel 1 in Sch 40
                        {52.502, 3.912, 2.9, 0.41, 443.9, 492.3, 482.4},  // PVC 2 in Sch 40
                        {26.645, 3.378, 2.9, 0.41, 561.7, 618.7, 607.1},  // PVC 1 in Sch 40
                        {49.35, 5.49, 1.0, 0.45, 325.7, 367.4, 362.5}};   // PE 2 in DR 11
    for (const Row& row : rows) {
        CAPTURE(row.bore);
        CAPTURE(row.e);
        const auto speed = [&row](Restraint held) {
            return wave_speed(example_water(), millimetres(row.bore), millimetres(row.wall),
                              gigapascals(row.e), row.nu, held, WallForm::thin)
                .in(metres_per_second);
        };
        CHECK(off(speed(Restraint::expansion_joints), row.joints) <= 0.2);
        CHECK(off(speed(Restraint::anchored_at_source), row.upstream) <= 0.2);
        CHECK(off(speed(Restraint::anchored_throughout), row.throughout) <= 0.2);
    }
}

TEST_CASE("published: the copper pipe of Bergant and Simpson carries a wave of about 1319 m/s") {
    // Bergant & Simpson, J. Hydraulic Eng. 125(8):835-848 (1999): bore 22.1 mm, wall 1.63 mm, 1319 m/s
    // measured; E 117 GPa as in He, Li & Guo, Processes 13:3510 (2025). The formula runs up to 2 % higher
    // (1324-1348).
    const Pipe pipe = make_pipe(metres(37.23), millimetres(22.1), millimetres(1.63), PipeMaterial::copper);
    const Speed a = wave_speed(water_at(Celsius{20}), pipe);
    CHECK(share_off(a.in(metres_per_second), 1319) <= 0.025);
    CHECK(off(round_trip(metres(37.23), metres_per_second(1319)).in(seconds), 0.05645) <= 1e-5);
    const Pressure rise =
        joukowsky_pressure(water_at(Celsius{20}).density, metres_per_second(1319), metres_per_second(1.4));
    CHECK(off(rise.in(megapascals), 1.843) <= 0.001);
}

TEST_CASE("published: Joukowsky's rise in textbook numbers") {
    // dp = rho a dv: 1200 m/s and 1 m/s give 1200 kPa (174 psi), 122.4 m (401 ft) of water of 1000 kg/m3.
    const Pressure rise =
        joukowsky_pressure(kilograms_per_cubic_metre(1000), metres_per_second(1200), metres_per_second(1));
    CHECK(off(rise.in(kilopascals), 1200) <= 1e-9);
    CHECK(off(rise.in(psi), 174) <= 0.5);
    const Length head = joukowsky_head(metres_per_second(1200), metres_per_second(1));
    CHECK(off(head.in(metres), 122.4) <= 0.05);
    CHECK(off(head.in(feet), 401) <= 0.6);
    // Open MOC library, theory appendix B.6: 1.418 ft/s at 4000 ft/s is 176.3 ft (with g 32.2 ft/s2; the
    // speed is printed to four figures, 500 gpm in a 12 in pipe).
    const Speed v = us_gallons_per_minute(500) / area_of_bore(inches(12));
    CHECK(off(v.in(feet_per_second), 1.418) <= 0.0015);
    CHECK(off(joukowsky_head(feet_per_second(4000), v).in(feet), 176.3) <= 0.25);
    CHECK(off((4 * feet(3000) / feet_per_second(4000)).in(seconds), 3.0) <= 1e-9);
}

TEST_CASE("published: the design manual of Japan's agriculture ministry") {
    // MAFF pipeline design manual, ch. 8: 500 m, 2L/a 0.872 s, 1 m/s -> 117.0 m (with g 9.8); Allievi's
    // approximation for K1 = 2: +2.7321, -0.7321.
    const Speed a = 2 * metres(500) / seconds(0.872);
    CHECK(off(joukowsky_head(a, metres_per_second(1)).in(metres), 117.0) <= 0.15);
    // K1 = (L V / (g H t))^2 = 2 with L 100 m, V 1 m/s, H 1 m.
    const SlowClosure slow =
        slow_closure(metres(100), metres_per_second(1), metres(1), seconds(100 / (g_si * std::sqrt(2.0))));
    CHECK(off(slow.rise, 2.7321) <= 0.0001);
    CHECK(off(slow.drop, -0.7321) <= 0.0001);
}

TEST_CASE("published: AguaClara's one-inch PVC pipe carries more than 500 m/s") {
    // AguaClara, Cornell University, ram reports 2019: PVC E 2.4-4.1 GPa, more than 500 m/s in 1 in pipe.
    const Pipe pipe =
        make_pipe(metres(1.74), millimetres(26.645), millimetres(3.378), PipeMaterial::rigid_plastic);
    CHECK(wave_speed(water_at(Celsius{20}), pipe) > metres_per_second(500));
}
