// From a site to a sound pump by published rules, and the formulas that a design needs before it runs.
#include "engine/pump/design.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "engine/hydraulics/atmosphere.h"
#include "engine/hydraulics/friction.h"
#include "engine/hydraulics/intake_flow.h"
#include "engine/hydraulics/pipe.h"
#include "engine/hydraulics/water.h"
#include "engine/hydraulics/wave_speed.h"

namespace beckhand {
namespace {

constexpr double pi = 3.14159265358979323846;

/// Length to fall of the drive pipe: about 7 (5 to 10), USDA Bulletin 57, Trullinger 1914, p. 27.
constexpr double usual_length_by_fall = 7;
/// Air vessel: 20 to 50 times the water lifted in a beat (Watt 1975, from memory).
constexpr double vessel_by_beat = 35;
/// Air in a vessel that is looked after, share of its volume: common practice.
constexpr double usual_air_share = 0.6;
/// Length of the delivery pipe to its lift: common practice on a hillside.
constexpr double usual_delivery_by_lift = 8;
/// Free area at the waste valve's edge and under it to the bore: at least 1 (Eytelwein).
constexpr double gap_by_bore_area = 1.0, seat_by_bore_area = 1.5;
/// Speed at which the valve shuts over the speed with the valve held open: fits Brunacci's grid.
constexpr double usual_closing_share = 0.65;
/// Mean speed in the drive pipe over the speed at which the valve shuts (this model: 0.45 to 0.5), and the
/// lightest load at which it still beats well.
constexpr double draw_by_closing_speed = 0.45, least_closing_share = 0.35;
/// A check valve's plate lifts a fifth of its bore (a quarter would free the whole of it) and is full open at
/// this speed, m/s, which its weight balances. Fitted, once for all: without it short pipes and low lifts would
/// not restart, with it Brunacci's grid comes right (MODEL.md).
constexpr double check_lift_by_bore = 0.2, check_settle = 0.2;
/// Rubber, bolts, and air left in the body give way by this times the bore cubed for each metre of head, 1/m,
/// at 14 m of lift; less under more pressure, between a spring (no change) and air (its square). Judgement:
/// it pulls the yield down at high lift ratios, if less than the Building Trades Pocketbook has it (nothing
/// at 26), takes the needle off the blow, and Brunacci's grid does not mind it.
constexpr double body_yield_by_bore_cubed = 0.0025;
/// Snifter hole about 1 to 1.5 mm (Watt 1975, from memory).
constexpr double snifter_hole_m = 1.2e-3;

double bore_area(double bore) {
    return pi / 4 * bore * bore;
}

Problem missing(const std::string& what) {
    return {"site", what + " is not known.", "Measure it and add it to the site."};
}

WaterHere water_here(const Site& site) {
    const Water w = water_at(site.water.value_or(usual_water));
    return {.density = w.density.si(),
            .bulk_modulus_pa = w.bulk_modulus.si(),
            .viscosity_m2s = w.kinematic_viscosity.si(),
            .vapour_pa = w.vapour.si(),
            .air_pa = air_pressure(site.altitude.value_or(metres(0))).si(),
            .g = g_si};
}

} // namespace

double darcy_f(double bore_m, double roughness_m, double speed, double viscosity_m2s) {
    const double Re = std::max(1.0, std::fabs(speed) * bore_m / viscosity_m2s), rough = roughness_m / bore_m;
    if (Re < 2000)
        return 64 / Re;
    const double turbulent = swamee_jain(std::max(Re, 4000.0), rough);
    const double share = std::min(1.0, (Re - 2000) / 2000);
    return 64 / 2000.0 * (1 - share) + turbulent * share;
}

/// Free air by Wood's mixture law, isothermal at the mean pressure in the pipe: its softness is share/p.
double wave_speed(const PumpDesign& d) {
    const double c = d.drive.restraint, rho = d.water.density;
    double softness = 1 / d.water.bulk_modulus_pa;
    if (d.drive.wall_m > 0)
        softness += c * d.drive.bore_m / (d.drive.modulus_pa * d.drive.wall_m);
    if (d.drive.free_gas > 0) {
        const double p = d.water.air_pa + 0.5 * rho * d.water.g * d.header.level_m;
        softness += d.drive.free_gas * d.water.air_pa / (p * p);
    }
    return 1 / std::sqrt(rho * softness);
}

double waste_conductance(const PumpDesign& d, double gap_m) {
    const WasteValve& w = d.waste_valve;
    const double gap = w.gap_coefficient * w.edge_m * gap_m, seat = w.seat_coefficient * w.seat_area_m2;
    return std::sqrt(2 * d.water.g) * gap / std::sqrt(1 + gap * gap / (seat * seat));
}

namespace {

double valve_loss_k(const PumpDesign& d) {
    const double area = bore_area(d.drive.bore_m);
    const double E = waste_conductance(d, std::min(d.waste_valve.travel_m, d.waste_valve.jam_m));
    return E > 0 ? 2 * d.water.g * area * area / (E * E) : 1e9;
}

} // namespace

double open_loss_k(const PumpDesign& d) {
    double f = 0.025, K = 0;
    for (int i = 0; i < 4; ++i) {
        K = d.drive.entry_k + d.drive.gate_k + d.drive.fittings_k + d.body.head_loss_k +
            f * d.drive.length_m / d.drive.bore_m + valve_loss_k(d);
        f = darcy_f(d.drive.bore_m, d.drive.roughness_m,
                    0.6 * std::sqrt(2 * d.water.g * d.header.level_m / K), d.water.viscosity_m2s);
    }
    return K;
}

double open_speed(const PumpDesign& d) {
    const double head = std::max(d.header.level_m - std::max(0.0, d.waste_valve.tailwater_m), 1e-3);
    return std::sqrt(2 * d.water.g * head / open_loss_k(d));
}

double closing_speed(const PumpDesign& d) {
    const WasteValve& w = d.waste_valve;
    const double head = w.weight_n / (d.water.density * d.water.g * w.seat_area_m2 * w.force_share);
    return waste_conductance(d, std::min(w.travel_m, w.jam_m)) * std::sqrt(head) / bore_area(d.drive.bore_m);
}

double draw_as_set(const PumpDesign& d) {
    return draw_by_closing_speed * closing_speed(d) * bore_area(d.drive.bore_m);
}

double standing_head(const PumpDesign& d) {
    const DeliveryPipe& p = d.delivery;
    const double top = p.summit_m > p.lift_m && p.siphon < 0.5 ? p.summit_m : p.lift_m;
    return top + p.air_lock_m;
}

void load_valve(PumpDesign& d, double share) {
    WasteValve& w = d.waste_valve;
    const double speed = share * open_speed(d);
    const double head = valve_loss_k(d) * speed * speed / (2 * d.water.g);
    w.weight_n = d.water.density * d.water.g * w.seat_area_m2 * w.force_share * head;
    // Immersion takes off an eighth (Tresca 1864); a disc carries water of 8/3 rho r^3 (Lamb, Hydrodynamics).
    const double r = std::sqrt(w.seat_area_m2 / pi);
    w.mass_kg = w.weight_n / d.water.g * 8 / 7 + 8.0 / 3 * d.water.density * r * r * r;
}

/// Whoever set the pump up set it to what the source gives: less weight, and where that is not enough less
/// travel.
static void set_for_source(PumpDesign& d, double source) {
    const double full_travel = d.waste_valve.travel_m, area = bore_area(d.drive.bore_m);
    for (double travel = 1.0; travel > 0.3; travel -= 0.05) {
        d.waste_valve.travel_m = travel * full_travel;
        const double share = 0.95 * source / (draw_by_closing_speed * area * open_speed(d));
        load_valve(d, std::min(usual_closing_share, share));
        if (share >= least_closing_share)
            return;
    }
    load_valve(d, least_closing_share);
}

Result<PumpDesign> design_for(const Site& site) {
    if (!site.fall)
        return missing("The fall");
    if (!site.lift)
        return missing("The lift");
    if (!site.drive_bore && !site.source_flow)
        return missing("The bore of the drive pipe");
    const double H = site.fall->si(), h = site.lift->si();
    if (!(H > 0))
        return Problem{"site", "The fall is not above zero.",
                       "Measure it from the water to the waste valve."};
    if (!(h > H)) {
        return Problem{"site", "The lift is not more than the fall.",
                       "Water runs there by itself; check both heights."};
    }
    PumpDesign d;
    d.water = water_here(site);
    const double D = site.drive_bore ? site.drive_bore->si() : drive_bore_for(*site.source_flow).si();
    if (!(D > 0.005) || D > 1)
        return Problem{"site", "The bore of the drive pipe cannot be right.", "Measure it inside."};
    const PipeMaterial material = site.drive_material.value_or(PipeMaterial::steel);
    const MaterialData& stuff = material_data(material);

    d.header.level_m = H;
    d.drive.bore_m = D;
    d.drive.length_m = site.drive_length ? site.drive_length->si() : usual_length_by_fall * H;
    d.drive.wall_m = site.drive_wall ? site.drive_wall->si() : usual_wall(material, metres(D)).si();
    if (!(d.drive.length_m > 0) || !(d.drive.wall_m > 0)) {
        return Problem{"site", "The drive pipe's length or wall is not above zero.", "Measure it."};
    }
    d.drive.modulus_pa = stuff.modulus.si();
    d.drive.poisson = stuff.poisson;
    d.drive.roughness_m = stuff.roughness.si();
    d.drive.restraint =
        restraint_factor(metres(D), metres(d.drive.wall_m), stuff.poisson, Restraint::anchored_throughout);

    const double pump_bore = site.pump_bore ? site.pump_bore->si() : D, area = bore_area(pump_bore);
    if (!(pump_bore > 0))
        return Problem{"site", "The pump's bore is not above zero.", "Measure it."};
    d.body.head_loss_k = 0.4 * std::pow(std::max(1.0, D / pump_bore), 4); // on the drive pipe's speed
    WasteValve& w = d.waste_valve;
    w.seat_area_m2 = seat_by_bore_area * area;
    w.edge_m = std::sqrt(4 * pi * w.seat_area_m2);
    w.travel_m = gap_by_bore_area * area / w.edge_m;
    load_valve(d, usual_closing_share);
    if (site.source_flow && site.source_flow->si() > 0)
        set_for_source(d, site.source_flow->si());

    const double air = d.water.air_pa / (d.water.density * d.water.g), stiffer = (14 + air) / (h + air);
    d.body.yield_m3_per_m = body_yield_by_bore_cubed * std::pow(pump_bore, 3) * stiffer;
    d.check_valve.area_m2 = area;
    d.check_valve.lag_m3 = area * check_lift_by_bore * pump_bore;
    d.check_valve.settle_m_s = check_settle;
    d.snifter.area_m2 = 0.6 * bore_area(site.snifter_hole ? site.snifter_hole->si() : snifter_hole_m);
    const double v_c = usual_closing_share * open_speed(d);
    const double per_beat = bore_area(D) * d.drive.length_m * v_c * v_c / (2 * d.water.g * (h - H));
    d.vessel.volume_m3 =
        site.vessel_volume ? site.vessel_volume->si() : std::max(1e-3, vessel_by_beat * per_beat);
    d.vessel.air_m3 = usual_air_share * d.vessel.volume_m3;

    d.delivery.lift_m = h;
    d.delivery.summit_m = site.delivery_summit ? site.delivery_summit->si() : 0;
    d.delivery.length_m =
        std::max(site.delivery_length ? site.delivery_length->si() : usual_delivery_by_lift * h,
                 std::max(h, d.delivery.summit_m));
    d.delivery.bore_m = site.delivery_bore ? site.delivery_bore->si() : delivery_bore_for(metres(D)).si();
    if (!(d.delivery.bore_m > 0) || !(d.vessel.volume_m3 > 0)) {
        return Problem{"site", "The delivery bore or the vessel's volume is not above zero.", "Measure it."};
    }
    d.header.source_m3s = site.source_flow ? site.source_flow->si() : 0;
    // Cover against whirls, S = D + 2.3 D V/sqrt(g D) (HI 9.8), a tenth over; never more than half the fall.
    const double need = D + 2.3 * std::sqrt(D / d.water.g) * open_speed(d);
    d.header.cover_m = std::min(std::max(0.3, 1.1 * need), 0.5 * H);
    if (d.header.cover_m < need)
        d.header.surface_calm = 1.1 * need / d.header.cover_m; // a floating board
    return d;
}

} // namespace beckhand
