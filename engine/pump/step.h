// One time step of the ram: the ends of the drive column, the valves between them, vessel and delivery.
// No allocation, no exception; every choice is a mask so that eight pumps may go different ways.
#pragma once

#include "engine/pump/rig.h"

namespace beckhand::inline BECKHAND_LOOP {

template <class T>
T Rig<T>::waste_opening() const {
    const T through_gap = edge * gap, narrow = through_gap * seat;
    return through_gap / root(T(1) + narrow * narrow) + face_leak;
}

template <class T>
void Rig<T>::step() {
    column.advance();
    intake();
    if (with_feature)
        at_feature();
    body();
    count();
}

/// H = level - k Q|Q| with the wave that comes up the pipe, H = C_M + B Q.
template <class T>
void Rig<T>::intake() {
    const T B = column.B, drop = level - column.from_downstream;
    upper_flow = T(2) * drop / (B + root(B * B + T(4) * entry * size_of(drop)));
    upper_head = column.from_downstream + B * upper_flow;
    column.set_upstream(upper_head, upper_flow);
    const T taken = dt * column.counted(upper_flow);
    tally.drive += taken;
    if (with_source) {
        // Below its mouth the pipe itself drains, like a stand pipe.
        const T per = select(level > mouth, per_area, per_pipe_area);
        const T raised = greater(level + (dt * source - taken) * per, T(0));
        const T over = greater(raised - full, T(0));
        tally.spill += select(per > T(0), over / greater(per, T(1e-9)), T(0));
        level = lesser(raised, full);
    }
    if (with_feature) {
        const T need = drive_bore + whirl * size_of(upper_flow);
        const T lacking = lesser(greater(T(1) - calm * (level - mouth) / need, T(0)), T(1));
        pocket_air += greater(taken, T(0)) * gulp * lacking;
    }
}

/// A hole lets water out above atmospheric pressure and air in below it. A pocket is isothermal air:
/// (H - z + air)(V_old - dt (Q_in - Q_out - leak)) = air x amount, a quadratic in H with leak = G (H - z).
/// Where there is no air to speak of, vapour takes its place.
template <class T>
void Rig<T>::at_feature() {
    const T B = column.B, zero = T(0);
    const T Cp = column.down_before(feature - 1), Cm = column.up_before(feature + 1);
    const T over = feature_head - feature_z;
    const T G = select(over > zero, feature_leak / root(greater(over, T(1e-3))), zero); // leak = G (H - z)
    const T v1 = dt * (T(2) / B + G), c = air_head - feature_z, product = air_head * pocket_air;
    const T w = pocket - dt * ((Cp + Cm) / B + G * feature_z) - v1 * c;
    const T s = root(w * w + T(4) * v1 * product);
    const T absolute = select(w > zero, T(2) * product / (w + s), (s - w) / (T(2) * v1));
    const T H = greater(absolute - c, feature_vapour);
    const T in = (Cp - H) / B, out = (H - Cm) / B, leak = greater(G * (H - feature_z), zero);
    column.set_node(feature, H, in, out);
    pocket += dt * (column.counted(out) - column.counted(in) + leak);
    tally.leaked += dt * leak;

    pocket_air += dt * joint * root(greater(feature_z - H, zero));
    pocket_air = greater(pocket_air - pocket_air * lesser(sweep * dt * size_of(out), T(0.5)), T(1e-9));
    feature_head = H;
}

template <class T>
void Rig<T>::body() {
    const T B = column.B, zero = T(0), arriving = column.from_upstream;

    // Who can move the waste valve: weight, spring and hand pull it open, the head across it shuts it.
    const T pull = weight + spring_shut + spring_slope * gap + hand * hand_force;
    const T net = pull - force_per_head * body_y;
    const auto moving = size_of(gap_speed) > T(1e-6);
    const T way = select(moving, gap_speed, net);
    const T drag = signed_as(guide_friction, way);
    const auto held_shut = both(gap <= gap_least, net <= guide_friction);
    const auto held_open = both(gap >= gap_most, net >= -guide_friction);
    const auto stuck = both(negate(moving), size_of(net) <= guide_friction);
    const auto free = negate(either(either(held_shut, held_open), stuck));
    const T kick = dt * per_mass;
    const T swept_free = select(free, -swept * (gap_speed + kick * (pull - drag)), zero);
    const T G_valve = select(free, swept * kick * force_per_head, zero);

    const T Hv = vessel_head(), H_before = body_y + tail;
    const T Sdt = stiffness * dt;
    // An empty vessel has nothing to give back.
    const auto dry = both(gas > T(0.97) * vessel_size, H_before < Hv);
    // What came last, y before, enters last: each step waits for the one before it, so the way from y to y is
    // what a step takes. For the same reason nothing that is nought is multiplied and added.
    T G_leak = zero, d = (arriving - tail - B * swept_free) + (B * body_yield) * body_y;
    if (with_check_leak) {
        const T G_open = check_leak / root(greater(size_of(H_before - Hv), T(0.05)));
        G_leak = select(dry, zero, G_open / (T(1) + G_open * Sdt));
        d -= B * G_leak * (tail - Hv);
    }
    const T alpha = T(1) + B * (G_valve + body_yield + G_leak);
    const T E_out = E_waste + snift + body_leak, E_in = E_waste + T(air_faster) * snift;

    const auto solve = [&](T slope, T reach) {
        const T BE = B * select(reach > zero, E_out, E_in), size = size_of(reach);
        const T r = T(2) * size / (BE + root(BE * BE + T(4) * slope * size));
        return signed_as(r, reach); // root of the head across, with its sign
    };
    T root_y = solve(alpha, d), y = root_y * size_of(root_y);
    T Qc = zero;
    const auto works = both(check_works > zero, negate(both(dry, check_way < zero)));
    const auto may_open = both(works, either(check_way * (y + tail - Hv) > zero,
                                             either(check_way * check_flow > zero, check_open > zero)));
    const bool tried = any(may_open);
    if (tried) {
        const T Z = check_loss * size_of(check_flow) + check_inertia + Sdt;
        const T against = Hv - Sdt * line_flow - check_inertia * check_flow; // Qc = (H - against)/Z
        const T by_Z = T(1) / Z;
        const T root_open = solve(alpha + B * by_Z, d - B * (tail - against) * by_Z);
        const T y_open = root_open * size_of(root_open);
        const T through = (y_open + tail - against) * by_Z;
        const auto opens = both(may_open, either(check_way * through > zero, check_open > zero));
        y = select(opens, y_open, y);
        root_y = select(opens, root_open, root_y);
        Qc = select(opens, through, zero);
    }
    T cavity_growth = zero;
    const auto boils = either(y + tail<vapour_head, body_cavity> zero);
    if (any(boils))
        y = select(boils, vapour_head - tail, y);

    const T H = y + tail, r = size_of(root_y);
    const T Qn = (arriving - H) * column.by_B;
    const T Qw = E_waste * root_y + swept_free + G_valve * y;
    const T Qs = select(y > zero, snift * r, -(T(air_faster) * snift * r));
    const T Qb = select(y > zero, body_leak * r, zero);
    const T Qleak = with_check_leak ? G_leak * (H - Hv) : zero;
    const T share = T(1) - column.half_R_by_B * size_of(Qn); // see Column::counted
    const T step_counted = dt * share;
    if (any(boils)) {
        cavity_growth = Qw + Qs + Qb + Qleak + Qc + body_yield * (H - H_before) - Qn;
        body_cavity = select(boils, body_cavity + step_counted * cavity_growth, body_cavity);
    }
    column.set_downstream(H, Qn);
    drive_flow = Qn;
    waste_flow = Qw;
    check_flow = Qc;
    check_open = lesser(greater(check_open * check_settle + check_way * Qc * dt, zero), check_lag);
    tally.waste += step_counted * (Qw + greater(Qs, zero));
    tally.snifted += step_counted * greater(-Qs, zero);
    tally.leaked += step_counted * Qb + body_yield * (share - T(1)) * dt * (H - H_before);
    body_y = y;

    const T speed = gap_speed + kick * (pull - drag - force_per_head * y);
    const auto turned = both(both(moving, guide_friction > zero), gap_speed * speed < zero);
    gap_speed = select(free, select(turned, zero, speed), zero);
    gap += dt * gap_speed;
    const auto hit_seat = gap<gap_least, hit_stop = gap> gap_most;
    gap_speed = select(either(hit_seat, hit_stop), -bounce * gap_speed, gap_speed);
    gap = lesser(greater(gap, gap_least), gap_most);
    if (any(free))
        E_waste = waste_opening();

    T to_vessel = zero;
    if (tried || with_check_leak) {
        to_vessel = share * (Qc + Qleak);
        tally.check += dt * to_vessel;
    }
    line(to_vessel);
}

/// Vessel and delivery: I dQ/dt = H_vessel - back head - R Q|Q|, vessel head taken at the step's end. The
/// vessel gives way by soft = P / stiffness = P C_water + V_gas/n; the line's equation stands multiplied by it.
template <class T>
void Rig<T>::line(T Q_in) {
    const T zero = T(0), Hv = vessel_head();
    T Q_leak = zero;
    if (with_line_leak) {
        Q_leak = line_leak * root(greater(Hv - line_leak_z, zero)) + vessel_leak * root(greater(Hv, zero));
    }
    const auto full_line = line_filled >= line_full;
    T back = select(full_line, end_head, lesser(line_filled * line_slope, summit)) + air_lock;
    if (with_other) {
        const T c = other_cos * other_turn_cos - other_sin * other_turn_sin;
        other_sin = other_sin * other_turn_cos + other_cos * other_turn_sin;
        other_cos = c;
        back += greater(c, zero);
    }
    const T wet = greater(line_filled, T(1));
    const T inertia = wet * line_inertia;
    const T loss = line_loss_fixed + line_loss_per_m * wet;
    const T P_dt = P * dt;
    const T pushed = ((inertia * line_flow + Hv - back) * soft + P_dt * (Q_in - Q_leak)) /
                     ((inertia + loss * size_of(line_flow)) * soft + P_dt);
    const auto drained = both(line_filled <= zero, pushed < zero);
    line_flow = select(both(line_open > zero, negate(drained)), pushed, zero);

    const T gained = dt * (Q_in - line_flow - Q_leak);
    vessel_stored += gained;
    const T e = gained * by_soft, m = one_by_n; // of P
    const T m2 = T(0.5) * m * (m + T(1)), m3 = T(1.0 / 3) * m2 * (m + T(2));
    const T series = (T(1) - m * e) + e * e * (m2 - m3 * e); // of (1 + e)^-m
    const auto far = size_of(e) > T(0.03);
    gas = gas * (any(far) ? power_where(far, greater(T(1) + e, T(0.05)), -m, series) : series);
    P = greater(P + P * e, T(0.2));
    soft = water_yield * P + select(P > P_full, gas * m, zero);
    by_soft = T(1) / soft;
    stiffness = P * by_soft;

    // A trickle into a long pipe is less in a step than single precision can add to its length: the rest waits.
    const T more = dt * line_flow * by_line_area + line_rest;
    const T reach = line_filled + more;
    line_rest = more - (reach - line_filled);
    const T over = greater(reach - line_full, zero);
    line_filled = greater(reach - over, zero);
    tally.delivered += over * line_bore_area;
    tally.leaked += dt * Q_leak + lesser(reach, zero) * line_bore_area;
    if (with_siphon) {
        const T suction = greater(select(full_line, summit - end_head, zero), zero);
        siphon_air += dt * siphon_draw * root(suction);
        const auto breaks = both(siphon_air > siphon_most, full_line);
        tally.delivered += select(breaks, (line_filled - line_summit) * line_bore_area, zero);
        line_filled = select(breaks, line_summit, line_filled);
        siphon_air = select(breaks, zero, siphon_air);
    }
}

/// Beats and rests; peaks; sums.
template <class T>
void Rig<T>::count() {
    const T zero = T(0), one = T(1), Hv = vessel_head(), H = body_y + tail;
    tally.vessel_head += Hv;
    body_peak = greater(body_peak, H);
    body_low = lesser(body_low, H);
    vessel_high = greater(vessel_high, Hv);
    vessel_low = lesser(vessel_low, Hv);
    speed_peak = greater(speed_peak, T(0.5) * (drive_flow + upper_flow));

    since_beat += one;
    const auto shut = gap <= gap_least + T(0.03) * gap_range;
    const auto open = gap > gap_least + T(0.3) * (gap_most - gap_least);
    const auto beat = both(armed > zero, shut);
    armed = select(beat, zero, select(both(open, gap_most > zero), one, armed));
    if (any(beat)) {
        const auto counted = both(beat, beats > zero);
        beats += select(beat, one, zero);
        window_beats += select(counted, one, zero);
        period_sum += select(counted, since_beat, zero);
        period_squares += select(counted, since_beat * since_beat, zero);
        since_beat = select(beat, zero, since_beat);
    }
    still = select(either(beat, size_of(gap_speed) > T(1e-4)), zero, still + one);
}

/// The hand that frees a resting valve: looks once an update, lets go once the valve has moved.
template <class T>
void Rig<T>::attend() {
    const T zero = T(0), one = T(1);
    const auto shut = gap <= gap_least + T(0.03) * gap_range;
    const auto tired = either(both(shut, still > shut_patience), both(negate(shut), still > open_patience));
    const auto first = both(tired, negate(size_of(first_rest) > zero)); // how it came to rest by itself
    first_rest = select(first, select(gap > T(0.05) * gap_range, one, -one), first_rest);
    const auto helps = both(both(tired, hands_left > zero), negate(size_of(hand) > zero));
    if (any(helps)) {
        hand = select(helps, select(shut, one, -one), hand);
        hands_left -= select(helps, one, zero);
        hands_used += select(helps, one, zero);
        window_hands += select(helps, one, zero);
        still = select(helps, zero, still);
    }
    const auto done = either(both(hand > zero, either(gap >= gap_most, still > shut_patience)),
                             both(hand < zero, either(shut, still > shut_patience)));
    hand = select(done, zero, hand);
}

/// Brings the slow things up to date: sums, exact gas law from the water stored, friction of the line.
template <class T>
void Rig<T>::update() {
    for (std::size_t l = 0; l < lanes; ++l) {
        Totals& t = totals[l];
        t.drive += lane(tally.drive, l);
        t.waste += lane(tally.waste, l);
        t.delivered += lane(tally.delivered, l);
        t.check += lane(tally.check, l);
        t.leaked += lane(tally.leaked, l);
        t.snifted += lane(tally.snifted, l);
        t.spill += lane(tally.spill, l);
        t.vessel_head += lane(tally.vessel_head, l);

        const double atm = lane(air_head, l), m = lane(one_by_n, l);
        // Air gets into the vessel with the water that stays there; what a full vessel cannot hold leaves.
        const double carried = std::min(lane(tally.snifted, l), std::max(0.0, lane(tally.check, l)));
        if (lane(gas, l) < 0.9 * vessel_volume[l])
            gas0[l] += carried * atm / P0[l];
        double p = lane(P, l), volume = 0;
        const double C_water = lane(water_yield, l), want = lane(vessel_stored, l);
        for (int i = 0; i < 2; ++i) {
            volume = gas0[l] * std::pow(P0[l] / p, m);
            const bool full_of_gas = volume > vessel_volume[l];
            const double miss =
                gas_start[l] - std::min(volume, vessel_volume[l]) + C_water * (p - P0[l]) - want;
            const double slope = C_water + (full_of_gas ? 0 : volume * m / p);
            p = std::max(0.2, p - miss / slope);
        }
        put_lane(P, l, p);
        const double gas_now = gas0[l] * std::pow(P0[l] / p, m);
        const double full_at = P0[l] * std::pow(gas0[l] / vessel_volume[l], 1 / m);
        const double gives = C_water * p + (p > full_at ? gas_now * m : 0);
        put_lane(gas, l, gas_now);
        put_lane(P_full, l, full_at);
        put_lane(soft, l, gives);
        put_lane(by_soft, l, 1 / gives);
        put_lane(stiffness, l, p / gives);
        const double A = lane(line_bore_area, l), q = std::fabs(lane(line_flow, l));
        line_f_flow[l] += 0.05 * (q - line_f_flow[l]); // mean flow sets f; it swings within a beat
        const double f =
            darcy_f(line_bore[l], line_roughness[l], std::max(line_f_flow[l] / A, 1e-3), viscosity[l]);
        put_lane(line_loss_per_m, l, f / (2 * g_si * line_bore[l] * A * A));
    }
    tally = Tally<T>{};
    attend();
}

} // namespace beckhand::inline BECKHAND_LOOP
