// The names of a design's parameters, as knowledge files write them.
#include <array>
#include <utility>

#include "engine/pump/design.h"

namespace beckhand {
namespace {

using Getter = double* (*)(PumpDesign&);
struct Named {
    std::string_view name;
    Getter get;
};

#define BECKHAND_PARAMETER(part, field)                                                                      \
    Named {                                                                                                  \
#part "." #field, [](PumpDesign & d) { return &d.part.field; }                                       \
    }

constexpr std::array all_parameters{
    BECKHAND_PARAMETER(water, density),
    BECKHAND_PARAMETER(water, bulk_modulus_pa),
    BECKHAND_PARAMETER(water, viscosity_m2s),
    BECKHAND_PARAMETER(water, vapour_pa),
    BECKHAND_PARAMETER(water, air_pa),
    BECKHAND_PARAMETER(water, g),
    BECKHAND_PARAMETER(header, level_m),
    BECKHAND_PARAMETER(header, area_m2),
    BECKHAND_PARAMETER(header, drawn_m),
    BECKHAND_PARAMETER(header, source_m3s),
    BECKHAND_PARAMETER(header, cover_m),
    BECKHAND_PARAMETER(header, gulp_share),
    BECKHAND_PARAMETER(header, surface_calm),
    BECKHAND_PARAMETER(drive, length_m),
    BECKHAND_PARAMETER(drive, bore_m),
    BECKHAND_PARAMETER(drive, wall_m),
    BECKHAND_PARAMETER(drive, modulus_pa),
    BECKHAND_PARAMETER(drive, poisson),
    BECKHAND_PARAMETER(drive, restraint),
    BECKHAND_PARAMETER(drive, roughness_m),
    BECKHAND_PARAMETER(drive, entry_k),
    BECKHAND_PARAMETER(drive, gate_k),
    BECKHAND_PARAMETER(drive, fittings_k),
    BECKHAND_PARAMETER(drive, free_gas),
    BECKHAND_PARAMETER(drive, feature_at),
    BECKHAND_PARAMETER(drive, leak_area_m2),
    BECKHAND_PARAMETER(drive, pocket_m3),
    BECKHAND_PARAMETER(drive, joint_area_m2),
    BECKHAND_PARAMETER(drive, pocket_sweep),
    BECKHAND_PARAMETER(body, yield_m3_per_m),
    BECKHAND_PARAMETER(body, leak_area_m2),
    BECKHAND_PARAMETER(body, head_loss_k),
    BECKHAND_PARAMETER(waste_valve, seat_area_m2),
    BECKHAND_PARAMETER(waste_valve, edge_m),
    BECKHAND_PARAMETER(waste_valve, gap_coefficient),
    BECKHAND_PARAMETER(waste_valve, seat_coefficient),
    BECKHAND_PARAMETER(waste_valve, travel_m),
    BECKHAND_PARAMETER(waste_valve, mass_kg),
    BECKHAND_PARAMETER(waste_valve, weight_n),
    BECKHAND_PARAMETER(waste_valve, spring_shut_n),
    BECKHAND_PARAMETER(waste_valve, spring_open_n),
    BECKHAND_PARAMETER(waste_valve, force_share),
    BECKHAND_PARAMETER(waste_valve, friction_n),
    BECKHAND_PARAMETER(waste_valve, debris_gap_m),
    BECKHAND_PARAMETER(waste_valve, jam_m),
    BECKHAND_PARAMETER(waste_valve, leak_area_m2),
    BECKHAND_PARAMETER(waste_valve, bounce),
    BECKHAND_PARAMETER(waste_valve, tailwater_m),
    BECKHAND_PARAMETER(check_valve, area_m2),
    BECKHAND_PARAMETER(check_valve, loss_k),
    BECKHAND_PARAMETER(check_valve, open_share),
    BECKHAND_PARAMETER(check_valve, lag_m3),
    BECKHAND_PARAMETER(check_valve, settle_m_s),
    BECKHAND_PARAMETER(check_valve, leak_area_m2),
    BECKHAND_PARAMETER(check_valve, direction),
    BECKHAND_PARAMETER(check_valve, water_m),
    BECKHAND_PARAMETER(snifter, area_m2),
    BECKHAND_PARAMETER(vessel, volume_m3),
    BECKHAND_PARAMETER(vessel, air_m3),
    BECKHAND_PARAMETER(vessel, exponent),
    BECKHAND_PARAMETER(vessel, leak_area_m2),
    BECKHAND_PARAMETER(delivery, length_m),
    BECKHAND_PARAMETER(delivery, bore_m),
    BECKHAND_PARAMETER(delivery, lift_m),
    BECKHAND_PARAMETER(delivery, summit_m),
    BECKHAND_PARAMETER(delivery, summit_at),
    BECKHAND_PARAMETER(delivery, siphon),
    BECKHAND_PARAMETER(delivery, siphon_air_area_m2),
    BECKHAND_PARAMETER(delivery, wave_m_s),
    BECKHAND_PARAMETER(delivery, roughness_m),
    BECKHAND_PARAMETER(delivery, fittings_k),
    BECKHAND_PARAMETER(delivery, valve_open),
    BECKHAND_PARAMETER(delivery, leak_area_m2),
    BECKHAND_PARAMETER(delivery, leak_height_m),
    BECKHAND_PARAMETER(delivery, air_lock_m),
    BECKHAND_PARAMETER(delivery, other_ram_m),
    BECKHAND_PARAMETER(delivery, other_ram_hz),
    BECKHAND_PARAMETER(delivery, full_share),
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
