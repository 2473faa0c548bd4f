// The ram as a set of parts that a time step couples: header, drive column, pump body with its valves,
// vessel, delivery column. This file has the state and how it is set up; step.h has the motion. T is double
// (one pump) or Lanes8 (eight). Private to the room.
#pragma once

#include <algorithm>
#include <array>

#include "engine/pump/column.h"
#include "engine/pump/pump.h"

namespace beckhand::inline BECKHAND_LOOP {

inline constexpr double pi_here = 3.14159265358979323846;
/// Air leaves or enters a hole this much faster than water at the same head: sqrt(rho_water/rho_air).
inline constexpr double air_faster = 28.6;
/// Slow things (friction of the delivery pipe, exact gas law, sums) are brought up to date so often.
inline constexpr std::size_t steps_between_updates = 64;

/// What ran where since the last update, m3 (heads: m x steps).
template <class T>
struct Tally {
    T drive{}, waste{}, delivered{}, check{}, leaked{}, snifted{}, spill{}, vessel_head{};
};

struct Totals {
    double drive = 0, waste = 0, delivered = 0, check = 0, leaked = 0, snifted = 0, spill = 0,
           vessel_head = 0;
    double steps = 0;
};

template <class T>
struct Rig {
    static constexpr std::size_t lanes = lanes_in<T>;
    Column<T> column;
    T dt{}, tail{}, air_head{}, vapour_head{};
    // header and intake
    T level{}, full{}, mouth{}, per_area{}, per_pipe_area{}, source{}, entry{}, gulp{}, calm{}, whirl{},
        drive_bore{};
    // the node with leak, pocket or drawing joint
    std::size_t feature = 1;
    bool with_feature = false, with_source = false;
    T feature_z{}, feature_vapour{}, feature_head{}, feature_leak{}, joint{}, sweep{}, pocket{}, pocket_air{};
    // waste valve: gap, speed (positive opens)
    T gap{}, gap_speed{}, E_waste{}, gap_least{}, gap_most{}, gap_range{}, weight{}, spring_shut{},
        spring_slope{};
    T force_per_head{}, swept{}, per_mass{}, guide_friction{}, bounce{}, edge{}, seat{}, face_leak{};
    T hand{}, hand_force{}, hands_left{}, hands_used{}, window_hands{}, first_rest{}, open_patience{},
        shut_patience{};
    // body, snifter, check
    T body_y{}, body_yield{}, body_leak{}, snift{}, body_cavity{};
    T check_flow{}, check_open{}, check_lag{}, check_loss{}, check_inertia{}, check_leak{}, check_way{};
    T check_works{}, check_settle{}; // settle: share of the lift that is left after a step of falling
    // vessel: P absolute head, gas volume, stiffness head per volume, soft = P / stiffness
    T P{}, gas{}, stiffness{}, soft{}, by_soft{}, water_yield{}, one_by_n{}, P_full{}, vessel_size{}, vessel_leak{},
        vessel_stored{};
    // delivery
    T line_flow{}, line_filled{}, line_rest{}, line_full{}, line_slope{}, summit{}, end_head{}, line_bore_area{},
        line_summit{};
    T line_inertia{}, by_line_area{};
    T line_loss_fixed{}, line_loss_per_m{}, line_open{}, line_leak{}, line_leak_z{}, air_lock{};
    T other_sin{}, other_cos{}, other_turn_sin{}, other_turn_cos{}, siphon_air{}, siphon_draw{},
        siphon_most{};
    bool with_other = false, with_siphon = false, with_line_leak = false, with_check_leak = false;
    // flows of this step, for the tally and the series
    T drive_flow{}, waste_flow{}, upper_head{}, upper_flow{};
    // beats
    T since_beat{}, armed{}, beats{}, window_beats{}, period_sum{}, period_squares{}, still{};
    T body_peak{}, body_low{}, vessel_high{}, vessel_low{}, speed_peak{};
    Tally<T> tally;
    std::array<Totals, lanes> totals{};
    std::array<double, lanes> P0{}, gas0{}, gas_start{}, vessel_volume{}, snifted_air{}, line_f_flow{};
    std::array<double, lanes> line_bore{}, line_roughness{}, viscosity{}, line_length{};

    void set(std::size_t lane, const PumpDesign& design, const RunOptions& options);
    void start();
    void step();
    void update();
    void clear_window();
    [[nodiscard]] T vessel_head() const { return P - air_head; }
    [[nodiscard]] T waste_opening() const;
    [[nodiscard]] T stored_now() const;

private:
    void intake();
    void at_feature();
    void body();
    void line(T flow_into_vessel);
    void count();
    void attend();
};

/// Loss of a valve that leaves `share` of the bore free, on V^2/2g: a jet of 0.6 of the opening, lost behind.
inline double part_open_k(double share) {
    const double s = std::clamp(share, 1e-6, 1.0);
    return (1 / s - 1) * (1 / s - 1) / 0.36;
}

template <class T>
void Rig<T>::set(std::size_t l, const PumpDesign& d, const RunOptions& o) {
    const double g = d.water.g, weight_density = d.water.density * g, root2g = std::sqrt(2 * g);
    const double area = pi_here / 4 * d.drive.bore_m * d.drive.bore_m;
    const double air = d.water.air_pa / weight_density,
                 vapour = (d.water.vapour_pa - d.water.air_pa) / weight_density;
    const double v_open = open_speed(d), a = wave_speed(d);
    const double mouth_z = std::max(0.05 * d.header.level_m, d.header.level_m - d.header.cover_m);
    const double f = darcy_f(d.drive.bore_m, d.drive.roughness_m, 0.6 * v_open, d.water.viscosity_m2s);

    ColumnSpec spec{.length = d.drive.length_m,
                    .bore = d.drive.bore_m,
                    .wave_speed = a,
                    .friction = f,
                    .extra_loss = d.drive.fittings_k + d.body.head_loss_k,
                    .unsteady = 0,
                    .upstream_height = mouth_z,
                    .downstream_height = 0,
                    .vapour_head = vapour,
                    .g = g};
    if (o.unsteady_friction) { // Vardy and Brown; k = sqrt(C*)/2 (Bergant et al. 2001)
        const double Re = std::max(10.0, 0.6 * v_open * d.drive.bore_m / d.water.viscosity_m2s);
        const double C = Re < 2300 ? 0.00476 : 7.41 / std::pow(Re, std::log10(14.3 / std::pow(Re, 0.05)));
        spec.unsteady = std::sqrt(C) / 2;
    }
    const std::size_t n = std::clamp<std::size_t>(o.reaches, 4, most_reaches);
    column.shape(l, spec, n);
    const double step = d.drive.length_m / static_cast<double>(n) / a;
    put_lane(dt, l, step);
    put_lane(tail, l, std::max(0.0, d.waste_valve.tailwater_m));
    put_lane(air_head, l, air);
    put_lane(vapour_head, l, vapour);

    const bool limited = d.header.source_m3s > 0;
    with_source = with_source || limited;
    put_lane(level, l, std::max(0.0, d.header.level_m - d.header.drawn_m));
    put_lane(full, l, d.header.level_m);
    put_lane(mouth, l, mouth_z);
    put_lane(per_area, l, limited ? 1 / d.header.area_m2 : 0);
    put_lane(per_pipe_area, l, limited ? mouth_z / (area * d.drive.length_m) : 0);
    put_lane(source, l, d.header.source_m3s);
    put_lane(entry, l, (d.drive.entry_k + d.drive.gate_k) / (2 * g * area * area));
    put_lane(gulp, l, d.header.gulp_share);
    put_lane(calm, l, d.header.surface_calm);
    // Cover against whirls: S = D (1 + 2.3 V/sqrt(g D)) (pump-intake standard HI 9.8), per unit of flow.
    put_lane(whirl, l, 2.3 * std::sqrt(d.drive.bore_m / g) / area);

    const double at = std::clamp(d.drive.feature_at, 0.0, 1.0) * static_cast<double>(n);
    feature = std::clamp<std::size_t>(static_cast<std::size_t>(at + 0.5), 1, n - 1);
    put_lane(feature_z, l, mouth_z * (1 - static_cast<double>(feature) / static_cast<double>(n)));
    const double need = d.drive.bore_m + 2.3 * std::sqrt(d.drive.bore_m / g) * v_open;
    with_feature = with_feature || d.drive.leak_area_m2 > 0 || d.drive.pocket_m3 > 0 ||
                   d.drive.joint_area_m2 > 0 || limited || d.header.cover_m * d.header.surface_calm < need;
    put_lane(feature_vapour, l, lane(column.twice_vapour(feature), l) / 2);
    put_lane(drive_bore, l, d.drive.bore_m);
    put_lane(feature_leak, l, root2g * d.drive.leak_area_m2);
    put_lane(joint, l, root2g * air_faster * (d.drive.joint_area_m2 + d.drive.leak_area_m2));
    put_lane(sweep, l, d.drive.pocket_sweep / (area * d.drive.length_m));
    put_lane(pocket_air, l, std::max(d.drive.pocket_m3, 1e-9));

    const WasteValve& w = d.waste_valve;
    const double most = std::max(0.0, std::min(w.travel_m, w.jam_m)),
                 least = std::clamp(w.debris_gap_m, 0.0, most);
    put_lane(gap_most, l, most);
    put_lane(gap_least, l, least);
    put_lane(gap_range, l, std::max(w.travel_m, 1e-6));
    put_lane(gap, l, most);
    put_lane(weight, l, w.weight_n);
    put_lane(spring_shut, l, w.spring_shut_n);
    put_lane(spring_slope, l, (w.spring_open_n - w.spring_shut_n) / std::max(w.travel_m, 1e-6));
    put_lane(force_per_head, l, weight_density * w.seat_area_m2 * w.force_share);
    put_lane(swept, l, w.seat_area_m2);
    put_lane(per_mass, l, 1 / std::max(w.mass_kg, 1e-3));
    put_lane(guide_friction, l, w.friction_n);
    put_lane(bounce, l, w.bounce);
    put_lane(edge, l, root2g * w.gap_coefficient * w.edge_m);
    put_lane(seat, l, 1 / (root2g * w.seat_coefficient * w.seat_area_m2));
    put_lane(face_leak, l, root2g * 0.6 * w.leak_area_m2);
    put_lane(hand_force, l,
             2 * weight_density * w.seat_area_m2 * d.header.level_m + 4 * std::fabs(w.weight_n) +
                 2 * w.friction_n);
    put_lane(hands_left, l, o.hand_beats);
    put_lane(shut_patience, l, o.hand_wait_seconds / step);
    put_lane(open_patience, l,
             (o.hand_wait_seconds + 6 * v_open * d.drive.length_m / (g * std::max(d.header.level_m, 1e-2))) /
                 step);

    put_lane(body_yield, l, d.body.yield_m3_per_m / step);
    put_lane(body_leak, l, root2g * d.body.leak_area_m2);
    put_lane(snift, l, root2g * d.snifter.area_m2);

    const CheckValve& c = d.check_valve;
    const double c_area = std::max(c.area_m2 * std::clamp(c.open_share, 0.0, 1.0), 1e-9);
    put_lane(check_works, l, c.open_share > 1e-3 ? 1 : 0);
    put_lane(check_loss, l, c.loss_k / (2 * g * c_area * c_area));
    put_lane(check_inertia, l, c.water_m / (g * c.area_m2 * step));
    put_lane(check_leak, l, root2g * c.leak_area_m2);
    put_lane(check_lag, l, c.lag_m3);
    put_lane(check_settle, l, c.lag_m3 > 0 ? std::exp(-step * c.settle_m_s * c.area_m2 / c.lag_m3) : 0.0);
    put_lane(check_way, l, c.direction < 0 ? -1 : 1);

    const DeliveryPipe& p = d.delivery;
    const bool has_summit = p.summit_m > p.lift_m;
    const double top = has_summit ? p.summit_m : p.lift_m, top_at = has_summit ? p.summit_at : 1.0;
    const bool pulls = has_summit && p.siphon > 0.5;
    const double length = pulls ? p.length_m : p.length_m * top_at;
    const double line_area = pi_here / 4 * p.bore_m * p.bore_m;
    const double filled = std::clamp(p.full_share, 0.0, 1.0) * length;
    put_lane(line_full, l, length);
    put_lane(line_filled, l, filled);
    put_lane(line_summit, l, p.length_m * top_at);
    put_lane(summit, l, top);
    put_lane(end_head, l, pulls ? p.lift_m : top);
    put_lane(line_bore_area, l, line_area);
    put_lane(by_line_area, l, 1 / line_area);
    put_lane(line_inertia, l, 1 / (g * line_area * step));
    put_lane(line_slope, l, top / (p.length_m * top_at));
    with_line_leak = with_line_leak || p.leak_area_m2 > 0 || d.vessel.leak_area_m2 > 0;
    with_check_leak = with_check_leak || c.leak_area_m2 > 0;
    put_lane(line_open, l, p.valve_open > 1e-4 ? 1 : 0);
    put_lane(line_loss_fixed, l,
             (p.fittings_k + part_open_k(p.valve_open)) / (2 * g * line_area * line_area));
    put_lane(line_leak, l, root2g * p.leak_area_m2);
    put_lane(line_leak_z, l, p.leak_height_m);
    put_lane(air_lock, l, p.air_lock_m);
    with_other = with_other || p.other_ram_m > 0;
    put_lane(other_cos, l, p.other_ram_m);
    put_lane(other_turn_cos, l, std::cos(2 * pi_here * p.other_ram_hz * step));
    put_lane(other_turn_sin, l, std::sin(2 * pi_here * p.other_ram_hz * step));
    with_siphon = with_siphon || (pulls && p.siphon_air_area_m2 > 0);
    put_lane(siphon_draw, l, root2g * air_faster * p.siphon_air_area_m2);
    put_lane(siphon_most, l, 0.3 * line_area * (p.length_m - p.length_m * top_at));
    line_bore[l] = p.bore_m;
    line_roughness[l] = p.roughness_m;
    viscosity[l] = d.water.viscosity_m2s;
    line_length[l] = length;

    const double standing = standing_head(d);
    const double start_head =
        filled >= length ? standing : top * std::min(1.0, filled / (p.length_m * top_at));
    const double n_gas = d.vessel.exponent, V = d.vessel.volume_m3;
    P0[l] = air + std::max(start_head, 0.0);
    // Settled air is at the water's temperature: isothermal from the standing pressure to the start's.
    double air_now = d.vessel.air_m3 * (air + standing) / P0[l];
    if (filled < length)
        air_now = std::min(air_now, V);
    gas0[l] = std::max(air_now, 1e-3 * V);
    gas_start[l] = std::min(gas0[l], V);
    vessel_volume[l] = V;
    put_lane(vessel_size, l, V);
    put_lane(P, l, P0[l]);
    put_lane(gas, l, gas_start[l]);
    put_lane(one_by_n, l, 1 / n_gas);
    // What gives way where there is no air: water in the vessel and the nearer half of the delivery pipe.
    const double pipe_yield =
        p.valve_open > 1e-4 ? 0.5 * line_area * length * g / (p.wave_m_s * p.wave_m_s) : 0;
    put_lane(water_yield, l, V * weight_density / d.water.bulk_modulus_pa + pipe_yield);
    put_lane(P_full, l, P0[l] * std::pow(gas0[l] / V, n_gas));
    put_lane(vessel_leak, l, root2g * d.vessel.leak_area_m2);
}

/// Everything at rest, gate just opened: the waste valve hangs open, the column is about to move.
template <class T>
void Rig<T>::start() {
    if (with_feature)
        column.twice_vapour(feature) = T(-1e9); // it looks after its own cavity
    column.fill(level, tail, T(0));
    body_y = T(0);
    E_waste = waste_opening();
    feature_head = column.head(feature);
    pocket = pocket_air * air_head / greater(feature_head - feature_z + air_head, T(0.3));
    update();
    clear_window();
}

template <class T>
void Rig<T>::clear_window() {
    for (auto& t : totals)
        t = Totals{};
    window_beats = T(0);
    window_hands = T(0);
    period_sum = T(0);
    period_squares = T(0);
    body_peak = T(-1e6);
    body_low = T(1e6);
    vessel_high = T(-1e6);
    vessel_low = T(1e6);
    speed_peak = T(0);
}

/// Water in pipe, pocket's neighbourhood, vessel and delivery pipe, m3, from an arbitrary zero.
template <class T>
T Rig<T>::stored_now() const {
    return column.stored() - (with_feature ? pocket : T(0)) - body_cavity +
           body_yield * dt * (body_y + tail) + vessel_stored + line_filled * line_bore_area;
}

} // namespace beckhand::inline BECKHAND_LOOP
