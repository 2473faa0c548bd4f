// The limits of the formulas: no flow, no fall, huge lift, shut.
#include <doctest/doctest.h>

#include <cmath>

#include "engine/hydraulics/atmosphere.h"
#include "engine/hydraulics/friction.h"
#include "engine/hydraulics/intake_flow.h"
#include "engine/hydraulics/ram_cycle.h"
#include "engine/hydraulics/water.h"
#include "engine/hydraulics/wave_speed.h"
#include "engine/hydraulics/weir.h"
#include "engine/hydraulics/yield.h"

using namespace beckhand;

namespace {

const KinematicViscosity cold = square_metres_per_second(1.3e-6);

} // namespace

TEST_CASE("no flow has no friction, and friction turns with the flow") {
    const Pipe pipe = make_pipe(metres(100), millimetres(25), Length{}, PipeMaterial::rigid_plastic);
    CHECK(friction_head(pipe, FlowRate{}, cold).si() == 0);
    CHECK(hazen_williams_head(metres(100), millimetres(25), FlowRate{}, 150).si() == 0);
    const Length forth = friction_head(pipe, litres_per_minute(10), cold, 3);
    CHECK(friction_head(pipe, litres_per_minute(-10), cold, 3).si() == doctest::Approx(-forth.si()));
    CHECK(hazen_williams_head(metres(1), millimetres(25), litres_per_minute(-1), 150).si() < 0);
    CHECK(friction_head(Pipe{}, litres_per_minute(10), cold).si() == 0); // no bore
}

TEST_CASE("friction rises with the flow through the uncertain zone without a step") {
    const Pipe pipe = make_pipe(metres(100), millimetres(25), Length{}, PipeMaterial::steel);
    double last = 0;
    for (double re = 100; re < 20000; re *= 1.01) {
        const FlowRate q = area_of_bore(pipe.bore) * metres_per_second(re * 1.3e-6 / 0.025);
        const double head = friction_head(pipe, q, cold).si();
        CHECK(head > last);
        if (last > 0) {
            CHECK(head / last < 1.06);
        }
        last = head;
    }
}

TEST_CASE("the flow for a head and the bore for a head undo the head for a flow") {
    const Pipe pipe = make_pipe(metres(90), millimetres(26.6), Length{}, PipeMaterial::rigid_plastic);
    for (const double lpm : {0.1, 2.0, 3.5, 12.0, 80.0}) {
        const FlowRate q = litres_per_minute(lpm);
        const Length head = friction_head(pipe, q, cold, 2.5);
        CHECK(flow_for_head(pipe, head, cold, 2.5).in(litres_per_minute) ==
              doctest::Approx(lpm).epsilon(1e-9));
        CHECK(flow_for_head(pipe, -head, cold, 2.5).in(litres_per_minute) ==
              doctest::Approx(-lpm).epsilon(1e-9));
        CHECK(bore_for_head(pipe, q, friction_head(pipe, q, cold), cold).in(millimetres) ==
              doctest::Approx(26.6).epsilon(1e-6));
    }
    CHECK(flow_for_head(pipe, Length{}, cold).si() == 0);
    CHECK(flow_for_head(Pipe{}, metres(1), cold).si() == 0);
    CHECK(bore_for_head(pipe, FlowRate{}, metres(1), cold).si() == 0);
}

TEST_CASE("water stays within 0 to 60 degrees and grows thinner as it warms") {
    CHECK(water_at(Celsius{-20}).density == water_at(Celsius{0}).density);
    CHECK(water_at(Celsius{200}).viscosity == water_at(Celsius{60}).viscosity);
    for (double t = 1; t <= 60; ++t) {
        const Water warm = water_at(Celsius{t}), before = water_at(Celsius{t - 1});
        CHECK(warm.viscosity < before.viscosity);
        CHECK(warm.vapour > before.vapour);
        CHECK(warm.kinematic_viscosity.si() ==
              doctest::Approx(warm.viscosity / warm.density / square_metres_per_second(1)));
    }
    CHECK(head_of_pressure(pressure_of_head(metres(14), water_at(Celsius{10})), water_at(Celsius{10}))
              .in(metres) == doctest::Approx(14));
}

TEST_CASE("a wave runs slower in softer and thinner pipe and never faster than sound in water") {
    const Water water = water_at(Celsius{10});
    const auto speed = [&water](PipeMaterial stuff, double wall_mm) {
        return wave_speed(water, make_pipe(metres(10), millimetres(50), millimetres(wall_mm), stuff));
    };
    CHECK(speed(PipeMaterial::steel, 4) > speed(PipeMaterial::copper, 4));
    CHECK(speed(PipeMaterial::copper, 4) > speed(PipeMaterial::rigid_plastic, 4));
    CHECK(speed(PipeMaterial::rigid_plastic, 4) > speed(PipeMaterial::soft_plastic, 4));
    CHECK(speed(PipeMaterial::steel, 1) < speed(PipeMaterial::steel, 8));
    CHECK(speed(PipeMaterial::steel, 8) < water.sound);
    CHECK(wave_speed(water, millimetres(50), Length{}, gigapascals(200), 0.3,
                     Restraint::anchored_throughout) == water.sound);
    // Thick and thin form meet where the wall is thin against the bore.
    CHECK(restraint_factor(metres(1), millimetres(1), 0.3, Restraint::anchored_throughout, WallForm::thick) ==
          doctest::Approx(1 - 0.09).epsilon(0.003));
}

TEST_CASE("a dry notch gives no flow, and a deeper one gives more") {
    CHECK(v_notch_90(Length{}).si() == 0);
    CHECK(v_notch_90(metres(-1)).si() == 0);
    CHECK(v_notch_60(Length{}).si() == 0);
    CHECK(v_notch_45(metres(-1)).si() == 0);
    CHECK(francis_weir(feet(1), Length{}).si() == 0);
    CHECK(francis_weir(feet(1), feet(6)).si() == 0); // the contractions have met
    CHECK(v_notch_45(metres(0.1)) < v_notch_60(metres(0.1)));
    CHECK(v_notch_60(metres(0.1)) < v_notch_90(metres(0.1)));
}

TEST_CASE("the ideal beat knows its limits") {
    CycleInput in{.fall = metres(2),
                  .lift = metres(14),
                  .drive_length = metres(10),
                  .drive_bore = millimetres(52.5),
                  .losses = 8,
                  .closing = metres_per_second(1)};
    const auto usual = ideal_cycle(in);
    REQUIRE(usual);
    CHECK(usual->efficiency < 1);
    in.closing = metres_per_second(1e-3); // a valve that shuts at a breath lifts nothing
    CHECK(ideal_cycle(in)->delivered_flow < usual->delivered_flow * 0.01);
    in.closing = usual->terminal * (1 - 1e-12); // one that shuts at top speed waits for ever
    CHECK(ideal_cycle(in)->accelerate > usual->accelerate * 20);
    in.closing = usual->terminal; // and at more than top speed it hangs open
    CHECK(!ideal_cycle(in));
    in.closing = metres_per_second(1);
    in.fall = Length{}; // no fall
    CHECK(!ideal_cycle(in));
    in.fall = metres(-2);
    CHECK(!ideal_cycle(in));
    in.fall = metres(2);
    in.lift = metres(2 + 1e-6); // lift down to the source: the column is hardly held back
    CHECK(ideal_cycle(in)->deliver > seconds(1e5));
    in.lift = metres(2);
    CHECK(!ideal_cycle(in));
    in.lift = metres(1e6); // a huge lift
    CHECK(ideal_cycle(in)->delivered_flow < usual->delivered_flow * 1e-4);
    in.lift = metres(14);
    in.losses = 0;
    CHECK(!ideal_cycle(in));
    in.losses = 8;
    in.left = metres_per_second(1); // delivery that ends where it began
    CHECK(!ideal_cycle(in));
}

TEST_CASE("an open waste valve brings the column to its top speed and no further") {
    CHECK(speed_after(Duration{}, metres(2), metres(10), 8).si() == 0);
    CHECK(speed_after(seconds(60), metres(2), metres(10), 8).in(metres_per_second) ==
          doctest::Approx(std::sqrt(2 * g_si * 2 / 8)));
    CHECK(speed_after(seconds(0.01), metres(2), metres(10), 8).in(metres_per_second) ==
          doctest::Approx(0.01 * g_si * 2 / 10).epsilon(0.001)); // g H / L at first
    CHECK(speed_after(seconds(1), Length{}, metres(10), 8).si() == 0);
}

TEST_CASE("yields are absent without water or fall, and the table ends at 26 times the fall") {
    CHECK(!yield_of(litres_per_minute(1), metres(10), FlowRate{}, metres(2)));
    CHECK(!yield_of(litres_per_minute(1), metres(10), litres_per_minute(10), Length{}));
    CHECK(!rankine_yield(litres_per_minute(1), metres(10), FlowRate{}, metres(2)));
    CHECK(*yield_of(FlowRate{}, metres(10), litres_per_minute(10), metres(2)) == 0); // shut
    CHECK(!table_yield(1));
    CHECK(!table_yield(-3));
    CHECK(!table_yield(std::nan("")));
    CHECK(*table_yield(2) == doctest::Approx(0.72));
    CHECK(*table_yield(26) == 0);
    CHECK(*table_yield(1000) == 0);
    double last = 1;
    for (double r = 4; r < 27; r += 0.25) {
        CHECK(*table_yield(r) <= last);
        last = *table_yield(r);
    }
    CHECK(!eytelwein_yield(1));
}

TEST_CASE("intake flows grow with the bore and end with the tables") {
    double last = 0;
    for (double d = 16; d < 380; d += 2) {
        const auto flow = intake_flow(millimetres(d));
        REQUIRE(flow);
        CHECK(flow->least < flow->likely);
        CHECK(flow->likely < flow->most);
        // Grows but for the seam of the two tables: 26 L/min at 30 mm (Lueger), 22.7 at 31.75 mm (Ogden).
        CHECK(flow->most.si() > last * (d > 30 && d < 34 ? 22.7 / 26 : 1));
        last = flow->most.si();
    }
    CHECK(!intake_flow(millimetres(10)));
    CHECK(!intake_flow(metres(1)));
    CHECK(!intake_flow(Length{}));
}

TEST_CASE("pipe materials are known by their ids and by the words people use") {
    for (const PipeMaterial material : all_pipe_materials()) {
        CHECK(pipe_material(id_of(material)) == material);
    }
    CHECK(pipe_material("PVC") == PipeMaterial::rigid_plastic);
    CHECK(pipe_material("uPVC pipe") == PipeMaterial::rigid_plastic);
    CHECK(pipe_material("HDPE") == PipeMaterial::soft_plastic);
    CHECK(pipe_material("rubber hose") == PipeMaterial::soft_plastic);
    CHECK(pipe_material("Galvanised iron") == PipeMaterial::steel);
    CHECK(pipe_material("GI") == PipeMaterial::steel);
    CHECK(pipe_material("cast-iron") == PipeMaterial::cast_iron);
    CHECK(!pipe_material("bamboo"));
    CHECK(!pipe_material(""));
}

TEST_CASE("the air over a mountain can lift less water") {
    const Water water = water_at(Celsius{10});
    CHECK(deepest_suction(metres(3000), water) < deepest_suction(Length{}, water));
    CHECK(air_pressure(metres(1e6)) == air_pressure(metres(11000)));
}
