// What a site lets expect, which limits it breaks, and how its drive pipe answers.
#include <doctest/doctest.h>

#include "engine/hydraulics/drive_shape.h"
#include "engine/hydraulics/expectation.h"
#include "engine/hydraulics/friction.h"
#include "engine/hydraulics/water.h"
#include "engine/hydraulics/yield.h"

using namespace beckhand;

namespace {

// A site inside every band: 2 in steel drive pipe, 2 m of fall, 14 m of lift.
Site sound_site() {
    Site site;
    site.name = "sound";
    site.fall = metres(2);
    site.lift = metres(14);
    site.drive_length = metres(14);
    site.drive_bore = millimetres(52.5);
    site.drive_wall = millimetres(3.9);
    site.drive_material = PipeMaterial::steel;
    site.pump_bore = millimetres(52.5);
    site.delivery_length = metres(90);
    site.delivery_bore = millimetres(26.6);
    site.delivery_summit = metres(14);
    site.source_flow = litres_per_minute(60);
    site.vessel_volume = litres(8);
    site.snifter_hole = millimetres(1.2);
    site.drive_rating = bar(40);
    site.water = Celsius{10};
    site.altitude = metres(300);
    return site;
}

Limit limit_of(const Site& site, const std::string& id) {
    for (const Limit& limit : check_site(site)) {
        if (limit.id == id) {
            return limit;
        }
    }
    FAIL("no limit " << id);
    return {};
}

template <class Q>
bool in_order(const Expected<Q>& e) {
    return e.least <= e.likely && e.likely <= e.most && !e.basis.empty();
}

} // namespace

TEST_CASE("every figure of a limit is in the units asked for, and the verdict does not hang on them") {
    Site site = sound_site();
    site.drive_length = metres(60);
    site.delivery_summit = metres(20);
    site.snifter_hole = millimetres(4);
    site.vessel_volume = litres(0.1);
    site.source_flow = litres_per_minute(12);
    site.drive_rating = bar(2);
    site.fall = metres(0.4);
    for (const Site& one : {sound_site(), site, Site{}}) {
        const auto metric = check_site(one), us = check_site(one, Units::us);
        REQUIRE(us.size() == metric.size());
        for (std::size_t i = 0; i < us.size(); ++i) {
            CAPTURE(us[i].id);
            CHECK(us[i].state == metric[i].state);
            CHECK(us[i].cause == metric[i].cause);
            for (const std::string& words : {us[i].found + " ", us[i].wanted + " ", us[i].by_how_much + " "}) {
                CAPTURE(words);
                for (const char* unit : {" m ", " m,", " m)", " m:", " mm ", " mm)", " L/min", " L ", " L)", " bar", " m/s", "\u00b0C"})
                    CHECK(words.find(unit) == std::string::npos);
            }
        }
    }
    // 60 m are 197 ft (1 ft is 0.3048 m: NIST SP 811, appendix B).
    bool said = false;
    for (const Limit& limit : check_site(site, Units::us)) said = said || limit.found == "197 ft from intake to pump";
    CHECK(said);
}

TEST_CASE("a site of which nothing is known lets expect nothing") {
    const Expectation e = expect(Site{});
    CHECK(!e.drive_flow);
    CHECK(!e.waste);
    CHECK(!e.delivered);
    CHECK(!e.beat);
    CHECK(!e.pressure_stopped);
    CHECK(!e.pressure_running);
    CHECK(!e.lift_ratio);
    CHECK(!e.table_yield);
}

TEST_CASE("a sound site lets expect a drive flow, a delivery, a beat and two pressures") {
    const Site site = sound_site();
    const Expectation e = expect(site);
    REQUIRE(e.drive_flow);
    REQUIRE(e.waste);
    REQUIRE(e.delivered);
    REQUIRE(e.beat);
    REQUIRE(e.pressure_stopped);
    REQUIRE(e.pressure_running);
    CHECK(in_order(*e.drive_flow));
    CHECK(in_order(*e.waste));
    CHECK(in_order(*e.delivered));
    CHECK(in_order(*e.beat));
    CHECK(in_order(*e.pressure_running));
    CHECK(*e.lift_ratio == doctest::Approx(7));
    CHECK(*e.table_yield ==
          doctest::Approx(0.565)); // between 61 % at 6 and 52 % at 8, Building Trades Pocketbook
    CHECK(e.drive_flow->most <= *site.source_flow);
    CHECK((e.waste->likely + e.delivered->likely).si() == doctest::Approx(e.drive_flow->likely.si()));
    // Stopped gauge: 14 m of water at 10 degrees.
    CHECK(e.pressure_stopped->in(bar) == doctest::Approx(999.7 * g_si * 14 / 1e5).epsilon(0.0001));
    CHECK(e.pressure_running->likely > *e.pressure_stopped);
    CHECK(e.pressure_running->likely < *e.pressure_stopped * 1.1);
    // The delivery keeps to the table at the lift it feels, friction included.
    const Pipe pipe =
        make_pipe(*site.delivery_length, *site.delivery_bore, Length{}, PipeMaterial::rigid_plastic);
    const Length felt =
        *site.lift + friction_head(pipe, e.delivered->likely, water_at(Celsius{10}).kinematic_viscosity);
    CHECK(*yield_of(e.delivered->likely, felt, e.drive_flow->likely, *site.fall) ==
          doctest::Approx(*table_yield(felt / *site.fall)).epsilon(1e-6));
}

TEST_CASE("the healthy record goes before every table") {
    Site site = sound_site();
    site.record.beat = beats_per_minute(48);
    site.record.waste = litres_per_minute(40);
    site.record.delivered = litres_per_minute(4);
    site.record.running = bar(1.5);
    const Expectation e = expect(site);
    CHECK(e.drive_flow->likely.in(litres_per_minute) == doctest::Approx(44));
    CHECK(e.delivered->least.in(litres_per_minute) == doctest::Approx(3.4)); // 15 %
    CHECK(e.waste->most.in(litres_per_minute) == doctest::Approx(46));
    CHECK(e.beat->likely.in(beats_per_minute) == doctest::Approx(48));
    CHECK(e.pressure_running->likely.in(bar) == doctest::Approx(1.5));
    for (const std::string& basis :
         {e.drive_flow->basis, e.delivered->basis, e.waste->basis, e.beat->basis}) {
        CHECK(basis.find("healthy record") != std::string::npos);
    }
    site.record.delivered.reset(); // the waste alone still tells the drive flow, through the table
    const Expectation part = expect(site);
    CHECK(part.drive_flow->likely > litres_per_minute(40));
    CHECK(part.drive_flow->likely < litres_per_minute(46));
    CHECK(part.waste->likely.in(litres_per_minute) == doctest::Approx(40));
}

TEST_CASE("no fall, a fall below zero or a dry source lets expect no delivery") {
    for (const double fall : {0.0, -1.0}) {
        Site site = sound_site();
        site.fall = metres(fall);
        const Expectation e = expect(site);
        CHECK(!e.delivered);
        CHECK(!e.lift_ratio);
        CHECK(!e.beat);
        CHECK(e.pressure_stopped); // the lift is still there
    }
    Site dry = sound_site();
    dry.source_flow = FlowRate{};
    CHECK(!expect(dry).drive_flow);
    CHECK(!expect(dry).delivered);
    Site low = sound_site(); // the outlet below the source: no pump needed, no yield to speak of
    low.lift = metres(1.5);
    low.delivery_summit.reset();
    CHECK(!expect(low).delivered);
    CHECK(!expect(low).table_yield);
}

TEST_CASE("a huge lift lets expect nothing at the tank, and little at most") {
    Site site = sound_site();
    site.lift = metres(56); // 28 times: the table is at its end, Eytelwein's curve is not
    site.delivery_summit.reset();
    const Expectation e = expect(site);
    REQUIRE(e.delivered);
    CHECK(e.delivered->likely.in(litres_per_minute) == doctest::Approx(0));
    CHECK(e.delivered->most > FlowRate{});
    CHECK(e.delivered->most < e.drive_flow->most * (1.0 / 28));
    site.lift = metres(2000);
    CHECK(expect(site).delivered->most.in(litres_per_minute) == doctest::Approx(0));
}

TEST_CASE("a lean source caps the drive flow, and a thin delivery pipe takes from the delivery") {
    Site site = sound_site();
    const Expectation usual = expect(site);
    site.source_flow = litres_per_minute(20);
    const Expectation lean = expect(site);
    CHECK(lean.drive_flow->most.in(litres_per_minute) == doctest::Approx(20));
    CHECK(in_order(*lean.drive_flow));
    CHECK(lean.delivered->likely < usual.delivered->likely);
    site = sound_site();
    site.delivery_bore = millimetres(9);
    site.delivery_length = metres(400);
    const Expectation thin = expect(site);
    CHECK(thin.delivered->likely < usual.delivered->likely * 0.8);
    CHECK(thin.pressure_running->likely > usual.pressure_running->likely);
}

TEST_CASE("a summit above the outlet is what the pump works against") {
    Site site = sound_site();
    site.delivery_summit = metres(20);
    CHECK(expect(site).pressure_stopped->si() ==
          doctest::Approx(expect(sound_site()).pressure_stopped->si() * 20 / 14));
    CHECK(expect(site).delivered->likely < expect(sound_site()).delivered->likely);
}

TEST_CASE("a sound site keeps every limit") {
    const auto limits = check_site(sound_site());
    CHECK(limits.size() == 15);
    for (const Limit& limit : limits) {
        CAPTURE(limit.id);
        CAPTURE(limit.found);
        CAPTURE(limit.wanted);
        CHECK(limit.state == LimitState::kept);
        CHECK(limit.by_how_much.empty());
        CHECK(limit.cause.empty());
        CHECK(!limit.name.empty());
        CHECK(!limit.found.empty());
        CHECK(!limit.wanted.empty());
        CHECK(!limit.at_the_pump.empty());
        CHECK(!limit.source.empty());
    }
}

TEST_CASE("a site of which nothing is known leaves every limit unknown") {
    for (const Limit& limit : check_site(Site{})) {
        CAPTURE(limit.id);
        CHECK(limit.state == LimitState::unknown);
        CHECK(limit.found.find("not known") != std::string::npos);
        CHECK(limit.by_how_much.empty());
    }
}

TEST_CASE("limits come in walking order from source to tank") {
    const auto limits = check_site(sound_site());
    CHECK(limits.front().id == "source_flow");
    CHECK(limits[2].id == "drive_length_by_fall");
    CHECK(limits.back().id == "delivery_summit");
}

TEST_CASE("each broken limit says its cause and how much to add or take") {
    struct Case {
        const char* id;
        const char* cause;
        LimitState state;
        void (*change)(Site&);
        const char* says;
    };
    const Case cases[] = {
        {"source_flow", "source_lean", LimitState::broken,
         [](Site& s) { s.source_flow = litres_per_minute(12); }, "too little"},
        {"drive_length_by_fall", "drive_short", LimitState::broken,
         [](Site& s) { s.drive_length = metres(6); }, "add 2 m"},
        {"drive_length_by_fall", "drive_short", LimitState::near,
         [](Site& s) { s.drive_length = metres(7.5); }, "add 0.5 m"},
        {"drive_length_by_fall", "drive_long", LimitState::broken,
         [](Site& s) { s.drive_length = metres(40); }, "take out 16 m"},
        {"drive_length_by_bore", "drive_short", LimitState::broken,
         [](Site& s) { s.drive_length = metres(5.25); }, "add 2.63 m"},
        {"drive_length_by_bore", "drive_long", LimitState::broken,
         [](Site& s) { s.drive_length = metres(60); }, "take out 7.5 m"},
        {"stand_pipe", "drive_long", LimitState::broken, [](Site& s) { s.drive_length = metres(60); },
         "stand pipe 14 m from the pump"},
        {"drive_bore_by_pump", "drive_wide", LimitState::broken,
         [](Site& s) { s.pump_bore = millimetres(35); }, "too wide"},
        {"drive_bore_by_pump", "drive_narrow", LimitState::broken,
         [](Site& s) { s.pump_bore = millimetres(78); }, "too narrow"},
        {"drive_material", "drive_springy", LimitState::broken,
         [](Site& s) { s.drive_material = PipeMaterial::soft_plastic; }, "steel"},
        {"drive_material", "drive_springy", LimitState::near,
         [](Site& s) {
             s.drive_material = PipeMaterial::rigid_plastic;
             s.fall = metres(6);
         },
         "1.8 m"},
        {"drive_rating", "", LimitState::broken, [](Site& s) { s.drive_rating = bar(10); }, "too weak"},
        {"fall_least", "fall_small", LimitState::broken, [](Site& s) { s.fall = metres(0.3); },
         "0.7 m short"},
        {"fall_least", "fall_small", LimitState::near, [](Site& s) { s.fall = metres(0.6); }, "0.4 m short"},
        {"fall_least", "fall_small", LimitState::broken, [](Site& s) { s.fall = Length{}; }, "1 m short"},
        {"lift_by_fall", "lift_high", LimitState::broken, [](Site& s) { s.lift = metres(52); }, "gain 0.6 m"},
        {"lift_by_fall", "lift_high", LimitState::near, [](Site& s) { s.lift = metres(44); }, "down by 4 m"},
        {"lift_by_fall", "", LimitState::near, [](Site& s) { s.lift = metres(3); }, "measure both heights"},
        {"lift_by_fall", "", LimitState::broken, [](Site& s) { s.lift = metres(1.9); }, "by itself"},
        {"lift_reach", "drive_springy", LimitState::broken,
         [](Site& s) {
             s.drive_material = PipeMaterial::soft_plastic;
             s.lift = metres(90);
             s.drive_wall.reset();
         },
         "stiffer"},
        {"vessel_volume", "", LimitState::broken, [](Site& s) { s.vessel_volume = litres(0.5); },
         "too small"},
        {"delivery_bore_by_drive", "delivery_narrow", LimitState::broken,
         [](Site& s) { s.delivery_bore = millimetres(12); }, "too narrow"},
        {"delivery_friction", "delivery_narrow", LimitState::broken,
         [](Site& s) {
             s.delivery_bore = millimetres(10);
             s.delivery_length = metres(300);
         },
         "brings it under a tenth"},
        {"delivery_summit", "summit_siphon", LimitState::broken,
         [](Site& s) { s.delivery_summit = metres(17); }, "3 m over"},
        {"delivery_summit", "summit_siphon", LimitState::near,
         [](Site& s) { s.delivery_summit = metres(14.2); }, "0.2 m over"},
        {"delivery_summit", "summit_siphon", LimitState::broken,
         [](Site& s) { s.delivery_summit = metres(25); }, "deeper than any siphon"},
    };
    for (const Case& one : cases) {
        Site site = sound_site();
        one.change(site);
        const Limit limit = limit_of(site, one.id);
        CAPTURE(limit.id);
        CAPTURE(limit.found);
        CAPTURE(limit.wanted);
        CAPTURE(limit.by_how_much);
        CHECK(limit.state == one.state);
        CHECK(limit.cause == one.cause);
        CHECK(limit.by_how_much.find(one.says) != std::string::npos);
    }
}

TEST_CASE("an absurd delivery pipe is named without absurd figures") {
    Site site = sound_site();
    site.record.delivered = litres_per_minute(40);
    site.delivery_bore = millimetres(0.3);
    const Limit limit = limit_of(site, "delivery_friction");
    CHECK(limit.state == LimitState::broken);
    CHECK(limit.found == "more than 10 times the lift at 40 L/min");
    CHECK(limit.by_how_much.find("far too much: a bore of") == 0);
}

TEST_CASE("following the advice of a length limit keeps it") {
    Site site = sound_site();
    site.drive_length = metres(5); // both rules broken
    CHECK(limit_of(site, "drive_length_by_fall").state == LimitState::broken);
    CHECK(limit_of(site, "drive_length_by_bore").state == LimitState::broken);
    CHECK(limit_of(site, "drive_length_by_fall").by_how_much.find("14 m in all") != std::string::npos);
    site.drive_length = metres(14);
    CHECK(limit_of(site, "drive_length_by_fall").state == LimitState::kept);
    CHECK(limit_of(site, "drive_length_by_bore").state == LimitState::kept);
}

TEST_CASE("warm water and rigid plastic lower the rating that counts") {
    Site site = sound_site();
    site.drive_material = PipeMaterial::rigid_plastic;
    site.drive_wall = millimetres(3.91);
    site.drive_rating = psi(280); // 2 in Schedule 40 PVC, from memory; the formula gives 277
    CHECK(limit_of(site, "drive_rating").state == LimitState::kept);
    site.water = Celsius{60}; // the service limit, factor 0.22
    CHECK(limit_of(site, "drive_rating").state == LimitState::broken);
    CHECK(limit_of(site, "drive_rating").found.find("in water of 60 °C") != std::string::npos);
}

TEST_CASE("the shape of the drive pipe answers in chances") {
    const auto chance = [](const Site& site, const char* answer) {
        const auto chances = drive_shape_chances(site);
        REQUIRE(chances);
        CHECK(chances->size() == 5);
        double sum = 0;
        for (const auto& one : *chances) {
            sum += one.second;
        }
        CHECK(sum == doctest::Approx(1));
        return chances->at(answer);
    };
    Site site = sound_site();
    CHECK(chance(site, "in_band") > 0.95);
    site.drive_length = metres(5); // 2.5 falls, 95 bores: outside both
    CHECK(chance(site, "short") == doctest::Approx(0.95).epsilon(0.03));
    site.drive_length = metres(60); // 30 falls, 1143 bores
    CHECK(chance(site, "long") == doctest::Approx(0.95).epsilon(0.03));
    site.drive_length = metres(36); // 18 falls, 686 bores: outside one
    CHECK(chance(site, "long") == doctest::Approx(0.5).epsilon(0.03));
    CHECK(chance(site, "in_band") == doctest::Approx(0.5).epsilon(0.03));
    site = sound_site();
    site.drive_length = metres(24); // on the edge: half outside
    CHECK(chance(site, "long") == doctest::Approx(0.25).epsilon(0.05));
    site = sound_site();
    site.pump_bore = millimetres(35);
    CHECK(chance(site, "wide") > 0.9);
    site.pump_bore = millimetres(78);
    CHECK(chance(site, "narrow") > 0.9);
    CHECK(!drive_shape_chances(Site{}));
    Site no_fall = sound_site();
    no_fall.fall = Length{};
    no_fall.pump_bore.reset();
    CHECK(chance(no_fall, "in_band") > 0.95); // length to bore alone
    no_fall.drive_bore.reset();
    CHECK(!drive_shape_chances(no_fall));
}
