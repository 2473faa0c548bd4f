// The names of a design's parameters, as knowledge files write them, and what each is in words.
// knowledge/WRITING.md lists both; a test keeps them the same.
#include <array>
#include <utility>

#include "engine/pump/design.h"

namespace beckhand {
namespace {

using Getter = double* (*)(PumpDesign&);
struct Named {
    std::string_view name;
    Getter get;
    std::string_view words;
};

#define BECKHAND_PARAMETER(part, field, words)                                                               \
    Named {                                                                                                  \
#part "." #field, [](PumpDesign & d) { return &d.part.field; }, words                                \
    }

constexpr std::array all_parameters{
    BECKHAND_PARAMETER(water, density, "density of the water, kg/m3"),
    BECKHAND_PARAMETER(water, bulk_modulus_pa, "stiffness of the water, Pa"),
    BECKHAND_PARAMETER(water, viscosity_m2s, "viscosity of the water, m2/s"),
    BECKHAND_PARAMETER(water, vapour_pa, "pressure at which the water boils, Pa"),
    BECKHAND_PARAMETER(water, air_pa, "pressure of the air, Pa"),
    BECKHAND_PARAMETER(water, g, "pull of the earth, m/s2"),
    BECKHAND_PARAMETER(header, level_m, "fall: header water over the waste outlet, m"),
    BECKHAND_PARAMETER(header, area_m2, "water surface of the header, m2"),
    BECKHAND_PARAMETER(header, drawn_m, "how far the header is drawn down at the start, m"),
    BECKHAND_PARAMETER(header, source_m3s, "what the source gives, m3/s; 0: more than the pump takes"),
    BECKHAND_PARAMETER(header, cover_m, "water over the mouth of the drive pipe, m"),
    BECKHAND_PARAMETER(header, gulp_share, "share of air gulped when the cover is nearly gone, 0 to 1"),
    BECKHAND_PARAMETER(header, surface_calm,
                       "how calm the surface is: the cover counts this much against whirls"),
    BECKHAND_PARAMETER(drive, length_m, "length of the drive pipe, m"),
    BECKHAND_PARAMETER(drive, bore_m, "bore of the drive pipe, m"),
    BECKHAND_PARAMETER(drive, wall_m, "wall of the drive pipe, m"),
    BECKHAND_PARAMETER(drive, modulus_pa, "stiffness of the drive pipe's material, Pa"),
    BECKHAND_PARAMETER(drive, poisson, "Poisson's ratio of the drive pipe's material"),
    BECKHAND_PARAMETER(drive, restraint, "how the drive pipe is held: factor in the wave speed"),
    BECKHAND_PARAMETER(drive, roughness_m, "roughness of the drive pipe, m"),
    BECKHAND_PARAMETER(drive, entry_k, "loss at strainer and pipe mouth, in velocity heads; sound 0.5"),
    BECKHAND_PARAMETER(drive, gate_k, "loss at the drive gate, in velocity heads; sound 0.2"),
    BECKHAND_PARAMETER(drive, fittings_k,
                       "loss in bends and dents of the drive pipe, in velocity heads; sound 0.5"),
    BECKHAND_PARAMETER(drive, free_gas, "free air in the drive water, share of the volume"),
    BECKHAND_PARAMETER(drive, feature_at,
                       "place of leak, air pocket and drawing joint, share of the drive pipe's length"),
    BECKHAND_PARAMETER(drive, leak_area_m2, "hole in the drive pipe, m2"),
    BECKHAND_PARAMETER(drive, pocket_m3, "air held in the drive pipe, m3"),
    BECKHAND_PARAMETER(drive, joint_area_m2, "hole that draws air into the drive pipe, m2"),
    BECKHAND_PARAMETER(drive, pocket_sweep,
                       "share of the held air that each pipe length of flow carries off"),
    BECKHAND_PARAMETER(body, yield_m3_per_m, "how much the body gives way, m3 for each metre of head"),
    BECKHAND_PARAMETER(body, leak_area_m2, "hole in the pump body, m2"),
    BECKHAND_PARAMETER(body, head_loss_k, "loss from drive pipe to body, in velocity heads; sound 0.4"),
    BECKHAND_PARAMETER(waste_valve, seat_area_m2, "seat of the waste valve, m2"),
    BECKHAND_PARAMETER(waste_valve, edge_m, "length of the gap round the waste valve, m"),
    BECKHAND_PARAMETER(waste_valve, gap_coefficient, "how freely water passes the gap, 0 to 1"),
    BECKHAND_PARAMETER(waste_valve, seat_coefficient, "how freely water passes the open seat, 0 to 1"),
    BECKHAND_PARAMETER(waste_valve, travel_m, "stroke of the waste valve, m"),
    BECKHAND_PARAMETER(waste_valve, mass_kg, "mass that moves with the waste valve, kg"),
    BECKHAND_PARAMETER(waste_valve, weight_n, "weight that pulls the waste valve open, N under water"),
    BECKHAND_PARAMETER(waste_valve, spring_shut_n, "push of the spring, valve shut, N"),
    BECKHAND_PARAMETER(waste_valve, spring_open_n, "push of the spring, valve fully open, N"),
    BECKHAND_PARAMETER(waste_valve, force_share,
                       "share of the head across the open valve that acts on its disc"),
    BECKHAND_PARAMETER(waste_valve, friction_n, "friction in the guide, N"),
    BECKHAND_PARAMETER(waste_valve, debris_gap_m, "gap that something holds open, m"),
    BECKHAND_PARAMETER(waste_valve, jam_m, "opening at which it jams, m"),
    BECKHAND_PARAMETER(waste_valve, leak_area_m2, "leak past the shut face, m2"),
    BECKHAND_PARAMETER(waste_valve, bounce, "share of its speed with which it bounces"),
    BECKHAND_PARAMETER(waste_valve, tailwater_m, "water standing over the waste outlet, m"),
    BECKHAND_PARAMETER(check_valve, area_m2, "area of the check valve, m2"),
    BECKHAND_PARAMETER(check_valve, loss_k, "loss in the open check valve, in velocity heads; sound 2.5"),
    BECKHAND_PARAMETER(check_valve, open_share,
                       "share of its area that the check valve gives when open; 0: stuck shut"),
    BECKHAND_PARAMETER(check_valve, lag_m3,
                       "water under the check valve's lifted plate, which can run back, m3"),
    BECKHAND_PARAMETER(check_valve, settle_m_s,
                       "speed of the water that lifts the check valve's plate fully, m/s"),
    BECKHAND_PARAMETER(check_valve, leak_area_m2, "leak back through the check valve, m2"),
    BECKHAND_PARAMETER(check_valve, direction, "which way the check valve faces: 1 right, -1 the wrong way"),
    BECKHAND_PARAMETER(check_valve, water_m, "length of the water column in the check valve, m"),
    BECKHAND_PARAMETER(snifter, area_m2, "hole of the snifter, m2"),
    BECKHAND_PARAMETER(vessel, volume_m3, "volume of the air vessel, m3"),
    BECKHAND_PARAMETER(vessel, air_m3, "air in the vessel, m3"),
    BECKHAND_PARAMETER(vessel, exponent, "how stiff the air is: exponent of its pressure law"),
    BECKHAND_PARAMETER(vessel, leak_area_m2, "crack in the vessel, m2"),
    BECKHAND_PARAMETER(delivery, length_m, "length of the delivery pipe, m"),
    BECKHAND_PARAMETER(delivery, bore_m, "bore of the delivery pipe, m"),
    BECKHAND_PARAMETER(delivery, lift_m, "lift: delivery outlet over the waste outlet, m"),
    BECKHAND_PARAMETER(delivery, summit_m,
                       "highest point of the delivery pipe over the waste outlet, m; below the lift: none"),
    BECKHAND_PARAMETER(delivery, summit_at, "place of the summit, share of the delivery pipe's length"),
    BECKHAND_PARAMETER(delivery, siphon,
                       "1: the leg down from the summit stays full and pulls; 0: it does not"),
    BECKHAND_PARAMETER(delivery, siphon_air_area_m2, "hole that draws air at the summit, m2"),
    BECKHAND_PARAMETER(delivery, wave_m_s, "speed of a pressure wave in the delivery pipe, m/s"),
    BECKHAND_PARAMETER(delivery, roughness_m, "roughness of the delivery pipe, m"),
    BECKHAND_PARAMETER(delivery, fittings_k,
                       "loss in fittings of the delivery pipe, in velocity heads; sound 2"),
    BECKHAND_PARAMETER(delivery, valve_open,
                       "free share of the delivery bore at its narrowest place; 0: shut"),
    BECKHAND_PARAMETER(delivery, leak_area_m2, "leak or branch in the delivery pipe, m2"),
    BECKHAND_PARAMETER(delivery, leak_height_m, "height of that leak over the waste outlet, m"),
    BECKHAND_PARAMETER(delivery, air_lock_m, "head that air held in humps of the delivery pipe costs, m"),
    BECKHAND_PARAMETER(delivery, other_ram_m,
                       "head by which a second ram on the line swings the back pressure, m"),
    BECKHAND_PARAMETER(delivery, other_ram_hz, "beat of that second ram, 1/s"),
    BECKHAND_PARAMETER(delivery, full_share,
                       "how full the delivery pipe is at the start, share of its length"),
};

#undef BECKHAND_PARAMETER

} // namespace

double* parameter(PumpDesign& design, std::string_view name) {
    for (const Named& p : all_parameters) {
        if (p.name == name)
            return p.get(design);
    }
    return nullptr;
}

std::string_view parameter_words(std::string_view name) {
    for (const Named& p : all_parameters) {
        if (p.name == name)
            return p.words;
    }
    return {};
}

const std::vector<std::string_view>& parameter_names() {
    static const std::vector<std::string_view> names = [] {
        std::vector<std::string_view> all;
        for (const Named& p : all_parameters)
            all.push_back(p.name);
        return all;
    }();
    return names;
}

} // namespace beckhand
