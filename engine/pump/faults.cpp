// The table of faults and the few lines that read it.
#include "engine/pump/faults.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

namespace beckhand {

// How far each goes is judgement: at severity 1 most pumps stop, at 0.3 most still run. Mechanisms: faults
// table of the pack, each cause's `mechanism`.
const std::vector<FaultEffect>& fault_effects() {
    using enum Moves;
    static const std::vector<FaultEffect> table{
        {"screen_matted", "drive.entry_k", times, 1000, ""},
        {"source_lean", "header.source_m3s", down_to, 0.3, "usual_draw"},
        {"source_lean", "header.drawn_m", towards, 1.0, "header.cover_m"},
        {"intake_gulping", "header.cover_m", times, 0.1, ""},
        {"intake_gulping", "header.surface_calm", times, 0.5, ""},
        {"intake_gulping", "drive.free_gas", add, 5e-4, ""},
        {"header_silted", "drive.entry_k", times, 800, ""},
        {"intake_iced", "drive.entry_k", times, 20000, ""},
        {"feed_lost", "header.source_m3s", down_to, 0.02, "usual_draw"},
        {"feed_lost", "header.drawn_m", towards, 1.0, "header.cover_m"},
        {"drive_hump_air", "drive.pocket_m3", add, 0.02, "drive.volume"},
        {"drive_hump_air", "drive.pocket_sweep", times, 0.02, ""},
        {"drive_joint_air", "drive.joint_area_m2", add, 0.004, "drive.bore_area"},
        {"drive_joint_air", "drive.free_gas", add, 3e-4, ""},
        {"drive_leak", "drive.leak_area_m2", add, 0.04, "drive.bore_area"},
        {"drive_short", "drive.length_m", times, 0.25, ""},
        {"drive_long", "drive.length_m", times, 5, ""},
        {"drive_wide", "drive.bore_m", times, 2, ""},
        {"drive_narrow", "drive.bore_m", times, 0.5, ""},
        {"drive_gate_part_shut", "drive.gate_k", times, 2500, ""},
        {"drive_springy", "drive.modulus_pa", times, 0.002, ""},
        {"drive_plugged", "drive.fittings_k", times, 20000, ""},
        {"drive_dented", "drive.fittings_k", times, 600, ""},
        {"drive_loose", "body.yield_m3_per_m", times, 12, ""},
        {"fall_small", "header.level_m", times, 0.3, ""},
        {"fall_small", "header.cover_m", times, 0.3, ""},
        {"tailwater_up", "waste_valve.tailwater_m", add, 0.6, "header.level_m"},
        {"pit_drain_choked", "waste_valve.tailwater_m", add, 0.6, "header.level_m"},
        {"waste_propped", "waste_valve.debris_gap_m", add, 0.7, "waste_valve.travel_m"},
        {"waste_face_worn", "waste_valve.leak_area_m2", add, 0.05, "drive.bore_area"},
        {"waste_rubber_swollen", "waste_valve.jam_m", down_to, 0.2, "waste_valve.travel_m"},
        {"waste_rubber_swollen", "waste_valve.friction_n", add, 0.3, "waste_valve.weight_n"},
        {"waste_heavy", "waste_valve.weight_n", times, 3.5, ""},
        {"waste_heavy", "waste_valve.mass_kg", times, 2, ""},
        {"waste_light", "waste_valve.weight_n", times, 0.05, ""},
        {"waste_light", "waste_valve.mass_kg", times, 0.3, ""},
        {"waste_guide_sticky", "waste_valve.friction_n", add, 1.0, "waste_valve.weight_n"},
        {"waste_nut_slack", "waste_valve.travel_m", times, 2, ""},
        {"waste_cocked", "waste_valve.leak_area_m2", add, 0.04, "drive.bore_area"},
        {"waste_jammed_shut", "waste_valve.jam_m", down_to, 0, "waste_valve.travel_m"},
        {"check_propped", "check_valve.leak_area_m2", add, 0.25, "drive.bore_area"},
        {"check_worn", "check_valve.leak_area_m2", add, 0.006, "drive.bore_area"},
        {"check_reversed", "check_valve.direction", towards, -1.01, ""},
        {"check_stuck_shut", "check_valve.open_share", times, 1e-6, ""},
        {"vessel_flooded", "vessel.air_m3", times, 0.005, ""},
        {"snifter_choked", "snifter.area_m2", times, 0.01, ""},
        {"snifter_choked", "vessel.air_m3", times, 0.005, ""},
        {"snifter_passing", "snifter.area_m2", add, 0.02, "drive.bore_area"},
        {"vessel_air_seep", "vessel.air_m3", times, 0.002, ""},
        {"bladder_off", "vessel.air_m3", times, 0.002, ""},
        {"vessel_cracked", "vessel.leak_area_m2", add, 0.006, "drive.bore_area"},
        {"no_head_yet", "delivery.full_share", towards, 0, ""},
        {"delivery_shut", "delivery.valve_open", times, 1e-5, ""},
        {"tank_float_shut", "delivery.valve_open", times, 1e-5, ""},
        {"delivery_leak", "delivery.leak_area_m2", add, 0.04, "delivery.bore_area"},
        {"delivery_leak", "delivery.leak_height_m", towards, 0.3, "delivery.lift_m"},
        {"delivery_plugged", "delivery.valve_open", times, 5e-3, ""},
        {"delivery_air_lock", "delivery.air_lock_m", add, 1.0, "delivery.lift_m"},
        {"summit_siphon", "delivery.summit_m", towards, 1.3, "delivery.lift_m"},
        {"summit_siphon", "delivery.siphon", towards, 1, ""},
        {"summit_siphon", "delivery.siphon_air_area_m2", add, 3e-3, "delivery.bore_area"},
        {"delivery_narrow", "delivery.bore_m", times, 0.3, ""},
        {"lift_high", "delivery.lift_m", times, 3, ""},
        {"lift_high", "delivery.length_m", times, 3, ""},
        {"delivery_iced", "delivery.valve_open", times, 1e-5, ""},
        {"rising_main_tapped", "delivery.leak_area_m2", add, 0.04, "delivery.bore_area"},
        {"rising_main_tapped", "delivery.leak_height_m", towards, 0.5, "delivery.lift_m"},
        {"twin_rams_clash", "delivery.other_ram_m", add, 1.0, "delivery.lift_m"},
        {"base_loose", "body.yield_m3_per_m", times, 10, ""},
        {"scaled_up", "drive.roughness_m", times, 20, ""},
        {"scaled_up", "drive.fittings_k", times, 30, ""},
        {"scaled_up", "waste_valve.friction_n", add, 0.3, "waste_valve.weight_n"},
        {"scaled_up", "delivery.bore_m", times, 0.5, ""},
        {"scaled_up", "snifter.area_m2", times, 0.1, ""},
        {"rusted_thin", "body.leak_area_m2", add, 0.02, "drive.bore_area"},
        {"flood_hit", "drive.entry_k", times, 200, ""},
        {"flood_hit", "waste_valve.tailwater_m", add, 0.6, "header.level_m"},
        {"flood_hit", "waste_valve.debris_gap_m", add, 0.4, "waste_valve.travel_m"},
        {"meddled", "drive.gate_k", times, 200, ""},
        {"meddled", "waste_valve.weight_n", times, 1.5, ""},
    };
    return table;
}

const std::vector<std::string_view>& causes_outside_the_pump() {
    static const std::vector<std::string_view> names{"demand_rose", "tank_leaks", "healthy_as_designed"};
    return names;
}

namespace {

constexpr double pi = 3.14159265358979323846;

std::string fault_named(std::string_view cause) {
    std::string where = "fault ";
    where += cause;
    return where;
}

std::optional<double> size_named(PumpDesign& d, std::string_view name) {
    if (name.empty())
        return 1.0;
    const double area = pi / 4 * d.drive.bore_m * d.drive.bore_m;
    if (name == "drive.bore_area")
        return area;
    if (name == "drive.volume")
        return area * d.drive.length_m;
    // A ram draws about a third of what would run through it held open (Brunacci's grid and this model).
    if (name == "usual_draw")
        return area * open_speed(d) / 3;
    if (name == "delivery.bore_area")
        return pi / 4 * d.delivery.bore_m * d.delivery.bore_m;
    if (const double* p = parameter(d, name))
        return *p;
    return std::nullopt;
}

} // namespace

Outcome apply_effect(PumpDesign& design, const PumpDesign& sound, const FaultEffect& e, double s) {
    PumpDesign before = sound;
    double* p = parameter(design, e.parameter);
    const std::optional<double> r = size_named(before, e.by);
    if (p == nullptr || !r) {
        const std::string_view unknown = p == nullptr ? e.parameter : e.by;
        std::string what(unknown);
        what += " is no part of a pump.";
        return Problem{fault_named(e.cause), what, "Use a name from parameter_names()."};
    }
    switch (e.moves) {
    case Moves::add:
        *p += s * e.amount * *r;
        break;
    case Moves::times:
        *p *= std::pow(e.amount, s);
        break;
    case Moves::towards:
        *p += s * (e.amount * *r - *p);
        break;
    case Moves::down_to: {
        const double limit = *r * (1 - s + s * e.amount);
        *p = *p > 0 ? std::min(*p, limit) : limit;
        break;
    }
    }
    return Done{};
}

Outcome apply_fault(PumpDesign& design, std::string_view cause, double severity) {
    const std::string where = fault_named(cause);
    if (!(severity >= 0) || severity > 1) {
        return Problem{where, "The severity is not between 0 and 1.",
                       "Give 0 for sound, 1 for as bad as it gets."};
    }
    const auto& outside = causes_outside_the_pump();
    if (std::find(outside.begin(), outside.end(), cause) != outside.end())
        return Done{};
    const PumpDesign sound = design;
    bool found = false;
    for (const FaultEffect& e : fault_effects()) {
        if (e.cause != cause)
            continue;
        found = true;
        if (Outcome done = apply_effect(design, sound, e, severity); !done)
            return done;
    }
    if (!found)
        return Problem{where, "Nobody has said what this cause does to the pump.",
                       "Add it to the table of faults."};
    return Done{};
}

} // namespace beckhand
