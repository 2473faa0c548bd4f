// A ram as the virtual pump takes it: header, drive pipe, waste valve, check valve, air vessel, delivery
// pipe. Every field is a parameter that can be named ("waste_valve.debris_gap_m"), so that a fault is data:
// which parameter it moves, and how far. Names carry their units (SI); heights are over the waste outlet.
#pragma once

#include <string_view>
#include <vector>

#include "engine/hydraulics/site.h"
#include "engine/problem.h"

namespace beckhand {

struct WaterHere {
    double density = 999.1; // 15 C (IAPWS)
    double bulk_modulus_pa = 2.149e9;
    double viscosity_m2s = 1.13859e-6; // kinematic
    double vapour_pa = 1705.7;
    double air_pa = 101325; // ISO 2533 at sea level
    double g = 9.80665;
};

struct Header {
    double level_m = 0;        // water level when full: the fall
    double area_m2 = 0.25;     // water surface (a 200 l drum); matters where the source is limited
    double drawn_m = 0;        // below full when the run starts
    double source_m3s = 0;     // what flows in; 0 = more than the pump takes
    double cover_m = 0.4;      // water over the pipe's mouth when full
    double gulp_share = 0.02;  // air drawn, share of the flow, when the cover is nearly gone
    double surface_calm = 1.0; // cover counts this much against whirls; a floating board: 3
};

struct DrivePipe {
    double length_m = 0, bore_m = 0, wall_m = 0;
    double modulus_pa = 200e9, poisson = 0.3, restraint = 1.0; // restraint: Korteweg's c
    double roughness_m = 1.5e-4;
    double entry_k = 0.5;       // strainer, mouth: loss on V^2/2g
    double gate_k = 0.2;        // the valve on the drive pipe
    double fittings_k = 0.5;    // bends, dents, spread over the length
    double free_gas = 0;        // share by volume of free air at atmospheric pressure
    double feature_at = 0.5;    // where leak, air pocket and drawing joint are, share of the length
    double leak_area_m2 = 0;    // effective, discharge coefficient in it
    double pocket_m3 = 0;       // air held there at the start, at atmospheric pressure
    double joint_area_m2 = 0;   // draws air there when the pipe is below atmosphere
    double pocket_sweep = 0.15; // share of the pocket carried off for each pipe length of flow
};

struct PumpBody {
    double yield_m3_per_m = 0; // volume it gives way for each metre of head: loose base, soft joint
    double leak_area_m2 = 0;
    double head_loss_k = 0.4; // from pipe to body, on V^2/2g
};

/// A disc over a seat that weight and spring hold open and the passing water shuts.
struct WasteValve {
    double seat_area_m2 = 0;       // on which head acts when shut
    double edge_m = 0;             // length of the gap round the disc
    double gap_coefficient = 0.6;  // discharge through the gap
    double seat_coefficient = 0.8; // discharge through the fully open seat
    double travel_m = 0;
    double mass_kg = 0;                          // what moves, water carried along included
    double weight_n = 0;                         // under water, with load: net pull open
    double spring_shut_n = 0, spring_open_n = 0; // spring's push open, valve shut and fully open
    double force_share = 1.0;                    // head loss across the open valve that acts on the disc
    double friction_n = 0;                       // in the guide
    double debris_gap_m = 0;                     // cannot shut nearer than this
    double jam_m = 1.0;                          // cannot open wider than this
    double leak_area_m2 = 0;                     // past the shut face
    double bounce = 0.1;                         // share of speed given back by a stop
    double tailwater_m = 0;                      // water standing over the outlet
};

struct CheckValve {
    double area_m2 = 0;
    double loss_k = 2.5;     // on V^2/2g in its area (EPANET: swing check 2.5)
    double open_share = 1.0; // share of the area it gives when open; 0 = stuck shut
    double lag_m3 = 0;       // water under its plate, fully lifted: what can run back while it falls
    double settle_m_s = 0;   // speed of the water that lifts the plate fully, and lets it fall
    double leak_area_m2 = 0;
    double direction = 1.0; // -1: fitted the wrong way
    double water_m = 0.15;  // length of the water column in it
};

struct Snifter {
    double area_m2 = 0; // effective
};

struct AirVessel {
    double volume_m3 = 0;
    double air_m3 = 0;       // air in it at standing pressure; bladder: may exceed the volume
    double exponent = 1.2;   // p V^n (Wylie & Streeter)
    double leak_area_m2 = 0; // cracked
};

struct DeliveryPipe {
    double length_m = 0, bore_m = 0;
    double lift_m = 0;             // outlet
    double summit_m = 0;           // highest point; at or below the lift: none
    double summit_at = 0.5;        // its place, share of the length
    double siphon = 0;             // 1: the leg down from the summit stays full and pulls
    double siphon_air_area_m2 = 0; // draws air at the summit
    double wave_m_s = 360;         // speed of a pressure wave: PE DR 11 about 360, steel about 1390
    double roughness_m = 1.5e-6;
    double fittings_k = 2.0;
    double valve_open = 1.0;                    // free share of the bore at the narrowest valve; 0 = shut
    double leak_area_m2 = 0, leak_height_m = 0; // a leak or a branch
    double air_lock_m = 0;                      // back-head of air held in humps
    double other_ram_m = 0, other_ram_hz = 0.9; // back-head swung by a second ram on the line
    double full_share = 1.0;                    // of its length, when the run starts; 0 = empty
};

struct PumpDesign {
    WaterHere water;
    Header header;
    DrivePipe drive;
    PumpBody body;
    WasteValve waste_valve;
    CheckValve check_valve;
    Snifter snifter;
    AirVessel vessel;
    DeliveryPipe delivery;
};

/// A sound pump for the site. Needs fall and lift, and drive bore or source flow; the rest, where missing,
/// follows published rules (named in design.cpp). Problem names the first missing or impossible figure.
[[nodiscard]] Result<PumpDesign> design_for(const Site& site);

/// Weight and moving mass that shut the valve when the drive water has reached `share` of the speed it
/// would have with the valve held open.
void load_valve(PumpDesign& design, double share);

/// Speed of the pressure wave in the drive pipe, m/s: Korteweg with restraint, free air by Wood's mixture.
[[nodiscard]] double wave_speed(const PumpDesign& design);

/// Darcy's f at this speed (m/s), turbulent by Swamee and Jain 1976, 64/Re below 2300.
[[nodiscard]] double darcy_f(double bore_m, double roughness_m, double speed, double viscosity_m2s);

/// Losses with the valve held open, on V^2/2g in the drive pipe, exit included; and the speed they allow.
[[nodiscard]] double open_loss_k(const PumpDesign& design);
[[nodiscard]] double open_speed(const PumpDesign& design);

/// Speed in the drive pipe at which the valve is drawn shut, and the drive flow a running pump takes with it:
/// about 0.45 of that speed in the mean (this model: 0.45 to 0.5).
[[nodiscard]] double closing_speed(const PumpDesign& design);
[[nodiscard]] double draw_as_set(const PumpDesign& design);

/// Head that the vessel sees with the pump standing, line full, m over the waste outlet.
[[nodiscard]] double standing_head(const PumpDesign& design);

/// Water through an opening: flow = conductance x sqrt(head), m^2.5/s, for the waste valve at gap x.
[[nodiscard]] double waste_conductance(const PumpDesign& design, double gap_m);

/// The number behind a name such as "waste_valve.travel_m"; null when there is none.
[[nodiscard]] double* parameter(PumpDesign& design, std::string_view name);
[[nodiscard]] const std::vector<std::string_view>& parameter_names();

/// What it is, with its unit: "stroke of the waste valve, m". Empty when there is none of this name.
[[nodiscard]] std::string_view parameter_words(std::string_view name);

} // namespace beckhand
