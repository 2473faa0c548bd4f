// Does each fault move the virtual pump the way the trade says? Directions against the record of the healthy
// pump: beat, waste flow, delivered flow, running pressure, and how the waste valve rests when it stops.
#include <doctest/doctest.h>

#include <cmath>
#include <set>
#include <string>
#include <vector>

#include "engine/pump/pump.h"
#include "tests/support/faults.h"

using namespace beckhand;
using tests::put_fault;

namespace {

enum Way { down, same, up, any };

/// The trade's table of which way things move (common practice throughout), for a fault at a severity at
/// which the pump still runs, and how the valve rests at the severity at which it stops (0: it does not
/// stop).
struct Expected {
    const char* cause;
    double mild;
    Way beat, waste, delivered, pressure;
    double severe;
    ValveRest rest;
};

const std::vector<Expected> trade_table{
    {"screen_matted", 0.4, down, down, down, same, 1, ValveRest::open},
    {"source_lean", 0.5, down, down, down, same, 1, ValveRest::open},
    {"intake_gulping", 0.4, any, any, down, any, 0, ValveRest::runs},
    {"header_silted", 0.4, down, down, down, same, 1, ValveRest::open},
    {"intake_iced", 0.3, down, down, down, same, 1, ValveRest::open},
    {"feed_lost", 0.5, down, down, down, same, 1, ValveRest::open},
    {"drive_hump_air", 0.4, any, same, down, down, 0, ValveRest::runs},
    {"drive_joint_air", 0.4, any, same, down, down, 0, ValveRest::runs},
    {"drive_leak", 0.4, down, down, down, down, 0, ValveRest::runs},
    {"drive_short", 1, up, same, down, down, 0, ValveRest::runs},
    {"drive_long", 0.4, down, down, down, same, 1, ValveRest::open},
    {"drive_wide", 1, down, any, down, down, 0, ValveRest::runs},
    {"drive_narrow", 0.25, down, down, down, same, 1, ValveRest::open},
    {"drive_gate_part_shut", 0.4, down, down, down, same, 1, ValveRest::open},
    {"drive_springy", 1, same, same, down, down, 0, ValveRest::runs},
    {"drive_plugged", 0.3, down, down, down, same, 1, ValveRest::open},
    {"drive_dented", 0.4, down, down, down, same, 1, ValveRest::open},
    {"drive_loose", 0.6, same, same, down, down, 0, ValveRest::runs},
    {"fall_small", 0.4, down, down, down, same, 1, ValveRest::open},
    {"tailwater_up", 0.4, down, down, down, same, 1, ValveRest::open},
    {"pit_drain_choked", 0.4, down, down, down, same, 1, ValveRest::open},
    {"waste_propped", 0.8, down, up, down, same, 1, ValveRest::open},
    {"waste_face_worn", 0.4, same, up, down, down, 0, ValveRest::runs},
    {"waste_rubber_swollen", 0.4, up, down, down, same, 0, ValveRest::runs},
    {"waste_heavy", 0.3, down, up, any, same, 1, ValveRest::open},
    {"waste_light", 0.4, up, down, down, same, 0, ValveRest::runs},
    {"waste_guide_sticky", 0.6, any, any, down, any, 0, ValveRest::runs},
    {"waste_nut_slack", 0.4, down, up, any, same, 0, ValveRest::runs},
    {"waste_cocked", 0.6, same, up, down, down, 0, ValveRest::runs},
    {"waste_jammed_shut", 1, down, down, down, same, 1, ValveRest::shut},
    {"check_propped", 0.3, down, down, down, down, 0.3, ValveRest::shut},
    {"check_worn", 0.4, any, any, down, down, 0, ValveRest::runs},
    {"check_reversed", 1, any, any, down, down, 0, ValveRest::runs},
    {"check_stuck_shut", 1, any, any, down, same, 0, ValveRest::runs},
    {"vessel_flooded", 0.7, same, same, down, any, 0, ValveRest::runs},
    {"snifter_choked", 0.7, same, same, down, any, 0, ValveRest::runs},
    {"snifter_passing", 0.5, same, up, down, down, 0, ValveRest::runs},
    {"vessel_air_seep", 0.7, same, same, down, any, 0, ValveRest::runs},
    {"bladder_off", 0.7, same, same, down, any, 0, ValveRest::runs},
    {"vessel_cracked", 1, any, same, down, down, 0, ValveRest::runs},
    {"no_head_yet", 1, down, down, down, down, 1, ValveRest::shut},
    {"delivery_shut", 1, up, any, down, up, 0, ValveRest::runs},
    {"tank_float_shut", 1, up, any, down, up, 0, ValveRest::runs},
    {"delivery_leak", 0.6, same, same, down, down, 0, ValveRest::runs},
    {"delivery_plugged", 1, any, up, down, up, 0, ValveRest::runs},
    {"delivery_air_lock", 0.5, same, up, down, up, 0, ValveRest::runs},
    {"summit_siphon", 1, any, any, down, any, 0, ValveRest::runs},
    {"delivery_narrow", 0.6, same, same, down, up, 0, ValveRest::runs},
    {"lift_high", 0.8, same, up, down, up, 0, ValveRest::runs},
    {"delivery_iced", 1, up, any, down, up, 0, ValveRest::runs},
    {"rising_main_tapped", 0.6, same, same, down, down, 0, ValveRest::runs},
    {"twin_rams_clash", 1, any, any, down, any, 0, ValveRest::runs},
    {"base_loose", 0.6, same, same, down, down, 0, ValveRest::runs},
    {"scaled_up", 0.5, down, down, down, up, 0, ValveRest::runs},
    {"rusted_thin", 0.4, same, same, down, down, 0, ValveRest::runs},
};

/// Flows and beat: within 12 % counts as the same, more than 1 % already as up or down when that is expected.
/// Pressure: the vessel sits on the lift, so 2 % is a change; 0.2 % counts for a direction.
bool agrees(Way expected, double ratio, double quiet, double hint) {
    switch (expected) {
    case down:
        return ratio < 1 - hint;
    case up:
        return ratio > 1 + hint;
    case same:
        return std::fabs(ratio - 1) <= quiet;
    case any:
        return true;
    }
    return false;
}

} // namespace

TEST_CASE(
    "faults move beat, flows, pressure and rest as the trade's table says, but for the ones named here") {
    Site s;
    s.fall = metres(2);
    s.lift = metres(14);
    s.drive_length = metres(12);
    s.drive_bore = millimetres(52.5);
    s.delivery_length = metres(100);
    s.delivery_bore = millimetres(27);
    const PumpDesign sound = *design_for(s);
    const RunOptions o{.seconds = 60, .warm_up_seconds = 25};
    const PumpRun healthy = simulate(sound, o);

    std::set<std::string> differs;
    std::string list;
    int compared = 0;
    const auto note = [&](const Expected& e, const char* what, bool agree, double ratio) {
        ++compared;
        if (agree)
            return;
        const std::string name = std::string(e.cause) + " " + what;
        differs.insert(name);
        list += "\"" + name + "\", // " + std::to_string(ratio) + "\n";
    };
    for (const Expected& e : trade_table) {
        PumpDesign d = sound;
        REQUIRE(put_fault(d, e.cause, e.mild));
        const PumpRun r = simulate(d, o);
        note(e, "beat", agrees(e.beat, r.beat / healthy.beat, 0.12, 0.01), r.beat / healthy.beat);
        note(e, "waste", agrees(e.waste, r.waste / healthy.waste, 0.12, 0.01), r.waste / healthy.waste);
        note(e, "delivered", agrees(e.delivered, r.delivered / healthy.delivered, 0.12, 0.01),
             r.delivered / healthy.delivered);
        note(e, "pressure", agrees(e.pressure, r.vessel_mean / healthy.vessel_mean, 0.03, 0.002),
             r.vessel_mean / healthy.vessel_mean);
        if (e.severe == 0)
            continue;
        d = sound;
        REQUIRE(put_fault(d, e.cause, e.severe));
        const PumpRun stopped = simulate(d, o);
        note(e, "rest", stopped.rest == e.rest, static_cast<double>(stopped.rest));
    }
    MESSAGE(compared << " directions compared, " << differs.size() << " differ:\n" << list);
    // Where the two disagree, with why the virtual pump does what it does:
    const std::set<std::string> known{
        // A throttled or lower fall slows the beat, but the valve still wants the same water speed to shut
        // and the
        // water spends longer near it: the mean flow rises a little until the valve hangs open; only a far
        // worse
        // blockage makes it thin. Tresca (waste within a tenth between 1.56 and 0.60 m of fall) bears this
        // out.
        "screen_matted waste", "header_silted waste", "intake_iced waste", "drive_long waste",
        "drive_narrow waste", "drive_gate_part_shut waste", "drive_plugged waste", "drive_dented waste",
        "fall_small waste", "tailwater_up waste", "pit_drain_choked waste", "scaled_up waste",
        // Air in the pipe cuts the column in two; the lower part beats by itself. One pocket in one place is
        // a
        // crude picture of bubbles on the move.
        "drive_hump_air waste", "drive_joint_air waste", "drive_leak beat", "drive_leak waste",
        // A wide pipe on the same pump reaches the valve's flow sooner: quick blows, not slow ones.
        "drive_wide beat",
        // A header drawn down to the pipe's mouth sends air with the water: a column cut in two beats quicker, for
        // as long as it beats.
        "feed_lost beat",
        // Friction in the guide acts like weight; the model's is too regular to stop it.
        "waste_guide_sticky delivered",
        // A hard vessel throws water back into the drive pipe, as a high lift does: more recoil, less waste.
        // Brunacci's
        // waste did not move with the lift.
        "vessel_flooded waste", "snifter_choked waste", "vessel_air_seep waste", "bladder_off waste",
        "delivery_plugged waste", "delivery_air_lock waste", "lift_high waste",
        // More pressure, longer recoil, slower beat: Brunacci's beats fell from 1894 to 1384 an hour as the
        // lift rose.
        "delivery_shut beat", "tank_float_shut beat", "delivery_iced beat",
        // The model's check valve carries enough water back to restart it after one push.
        "no_head_yet rest"};
    for (const std::string& x : differs) {
        CAPTURE(x);
        CHECK(known.count(x) == 1);
    }
    for (const std::string& x : known) {
        CAPTURE(x);
        CHECK(differs.count(x) == 1);
    }
}

TEST_CASE("a flooded vessel swings the needle wide, a dead-ended one climbs, a soft pipe blunts the blow") {
    Site s;
    s.fall = metres(2);
    s.lift = metres(14);
    s.drive_length = metres(12);
    s.drive_bore = millimetres(52.5);
    const PumpDesign sound = *design_for(s);
    const PumpRun healthy = simulate(sound);
    const auto with = [&](const char* cause, double severity) {
        PumpDesign d = sound;
        REQUIRE(put_fault(d, cause, severity));
        return simulate(d);
    };
    const auto swing = [](const PumpRun& r) { return r.vessel_high - r.vessel_low; };
    CHECK(swing(with("vessel_flooded", 1)) > 4 * swing(healthy));
    CHECK(with("delivery_shut", 1).vessel_mean > 2 * healthy.vessel_mean);
    CHECK(with("drive_springy", 1).body_peak < healthy.body_peak);
    CHECK(with("intake_gulping", 0.4).beat_unsteadiness > 3 * healthy.beat_unsteadiness);
    CHECK(with("drive_joint_air", 0.6).air_in_drive_m3 > 1e-5);
    CHECK(with("check_stuck_shut", 1).body_peak > 2 * healthy.body_peak);
}
