// An elastic column of water in a pipe, by the method of characteristics: heads travel as two trains of
// waves, one down the pipe and one up, and friction is a small exchange between them at every node.
//
//   dx = a dt,  B = a/(g A),  R = f dx/(2 g D A^2)           (Wylie & Streeter, Fluid Transients, ch. 3)
//   C+ :  H_P = C_P - B Q_P,   C_P = H_A + B Q_A - R Q_A|Q_A|
//   C- :  H_P = C_M + B Q_P,   C_M = H_B - B Q_B + R Q_B|Q_B|
//
// With w = C_P - C_M an inner node passes on  C_P - t  and  C_M + t,  t = R/(4 B^2) w|w|: the same scheme,
// five operations a node, four nodes at a time. Where the head would fall below vapour pressure a cavity opens and is held at that
// head until it closes (discrete vapour cavity model, same book, ch. 8). The volume in the pipe closes
// exactly: see stored().
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <type_traits>

#include "engine/pump/lanes.h"

namespace beckhand::inline BECKHAND_LOOP {

/// Most reaches a column may have; keeps a column small and off the heap.
inline constexpr std::size_t most_reaches = 128;

/// What a column is made of, in SI, as the equations have it.
struct ColumnSpec {
    double length = 0;          // m
    double bore = 0;            // m
    double wave_speed = 0;      // m/s
    double friction = 0;        // Darcy f
    double extra_loss = 0;      // sum of loss coefficients along the pipe, spread over it, on V^2/2g
    double unsteady = 0;        // Brunone's k, 0 leaves unsteady friction out
    double upstream_height = 0; // m, of the pipe's axis over the datum of heads, for vapour pressure
    double downstream_height = 0;
    double vapour_head = -1e9; // m, gauge pressure head of vapour: (p_vapour - p_air)/(rho g)
    double g = 9.80665;        // m/s2
};

template <class T>
struct Column {
    std::size_t reaches = 0;
    T dt{}, B{}, R{}, exchange{}, half_unsteady{}, area{}, by_B{}, half_R_by_B{};
    bool with_unsteady = false, any_open = false;
    std::size_t now = 0;
    T from_upstream{}, from_downstream{}; // C_P arriving at the lower end, C_M arriving at the upper end

    void shape(std::size_t lane, const ColumnSpec& s, std::size_t n);
    void fill(T head_up, T head_down, T flow);
    void advance();
    void set_upstream(T H, T Q);
    void set_downstream(T H, T Q);
    /// A node where the flow in and the flow out differ: a leak, a pocket, a cavity.
    void set_node(std::size_t i, T H, T Q_in, T Q_out);
    /// Flow that counts over the coming step: the mean of before and after the step's friction.
    [[nodiscard]] T counted(T Q) const { return Q - half_R_by_B * Q * size_of(Q); }
    [[nodiscard]] T head(std::size_t i) const { return T(0.5) * (down(now)[i] + up(now)[i]); }
    [[nodiscard]] T flow(std::size_t i) const { return T(0.5) * (down(now)[i] - up(now)[i]) * by_B; }
    /// What left the neighbours a step ago: C_P and C_M of an inner node, from i - 1 and i + 1.
    [[nodiscard]] T down_before(std::size_t i) const { return down(1 - now)[i]; }
    [[nodiscard]] T up_before(std::size_t i) const { return up(1 - now)[i]; }
    /// Twice the head at which node i boils.
    [[nodiscard]] T& twice_vapour(std::size_t i) { return row(4)[i]; }
    [[nodiscard]] T stored() const;
    [[nodiscard]] T open_cavities() const;

private:
    // Nodes that go a step together: four of one pump, or one of eight pumps.
    using Row = std::conditional_t<std::is_same_v<T, double>, NodeRow, T>;
    static constexpr std::size_t in_row = sizeof(Row) / sizeof(T);
    // Two trains of waves at two times, limits, cavities, flows before. The distance of rows keeps the first
    // few dozen nodes of all seven apart in the nearest cache also where a node is eight pumps (32 bytes).
    static constexpr std::size_t row_distance = most_reaches + 20;
    alignas(64) std::array<T, 7 * row_distance> rows;

    [[nodiscard]] T* row(std::size_t k) { return rows.data() + k * row_distance; }
    [[nodiscard]] const T* row(std::size_t k) const { return rows.data() + k * row_distance; }
    [[nodiscard]] T* down(std::size_t time) { return row(2 * time); }
    [[nodiscard]] const T* down(std::size_t time) const { return row(2 * time); }
    [[nodiscard]] T* up(std::size_t time) { return row(2 * time + 1); }
    [[nodiscard]] const T* up(std::size_t time) const { return row(2 * time + 1); }
    [[nodiscard]] T* cavity() { return row(5); }
    [[nodiscard]] const T* cavity() const { return row(5); }
    [[nodiscard]] T* flow_before() { return row(6); }

    template <class V>
    auto pass(std::size_t i, const T* d, const T* u, T* d2, T* u2);
    template <class V>
    auto pass_unsteady(std::size_t i, const T* d, const T* u, T* d2, T* u2);
    template <class V>
    auto hold(std::size_t i, const T* d, const T* u, T* d2, T* u2);
    void hold_vapour();
};

template <class T>
void Column<T>::shape(std::size_t l, const ColumnSpec& s, std::size_t n) {
    reaches = n;
    const double steps = static_cast<double>(n);
    const double bore_area = 3.14159265358979323846 / 4 * s.bore * s.bore;
    const double dx = s.length / steps, b = s.wave_speed / (s.g * bore_area);
    const double f = s.friction + s.extra_loss * s.bore / s.length;
    const double r = f * dx / (2 * s.g * s.bore * bore_area * bore_area);
    put_lane(dt, l, dx / s.wave_speed);
    put_lane(B, l, b);
    put_lane(R, l, r);
    put_lane(by_B, l, 1 / b);
    put_lane(half_R_by_B, l, 0.5 * r / b);
    put_lane(area, l, bore_area);
    put_lane(exchange, l, r / (4 * b * b));
    put_lane(half_unsteady, l, s.unsteady / 2);
    with_unsteady = with_unsteady || s.unsteady > 0;
    for (std::size_t i = 0; i <= n; ++i) {
        const double share = static_cast<double>(i) / steps;
        const double z = s.upstream_height + share * (s.downstream_height - s.upstream_height);
        put_lane(row(4)[i], l, 2 * (s.vapour_head + z));
        put_lane(cavity()[i], l, 0);
    }
}

/// A steady start: heads on a straight line, one flow everywhere.
template <class T>
void Column<T>::fill(T head_up, T head_down, T Q) {
    const T kick = B * Q - R * Q * size_of(Q);
    for (std::size_t i = 0; i <= reaches; ++i) {
        const T share = T(static_cast<double>(i) / static_cast<double>(reaches));
        const T H = head_up + share * (head_down - head_up);
        down(now)[i] = H + kick;
        up(now)[i] = H - kick;
        flow_before()[i] = B * Q;
    }
}

/// Node i, or the row of nodes from i on, a step further. Gives back where water would go below vapour head.
template <class T>
template <class V>
inline auto Column<T>::pass(std::size_t i, const T* d, const T* u, T* d2, T* u2) {
    const V a = load<V>(d + i - 1), b = load<V>(u + i + 1), w = a - b;
    const V t = spread<V>(exchange) * w * size_of(w);
    store(d2 + i, a - t);
    store(u2 + i, b + t);
    return a + b < load<V>(row(4) + i);
}

/// The same with unsteady friction (Brunone; Vitkovsky's form, Bergant et al. 2001): f gains
/// (k D/(V|V|)) (dV/dt + a sign(V)|dV/dx|), with flows here in head units, B Q.
template <class T>
template <class V>
inline auto Column<T>::pass_unsteady(std::size_t i, const T* d, const T* u, T* d2, T* u2) {
    const V half = spread<V>(0.5), quarter = spread<V>(0.25);
    const V a = load<V>(d + i - 1), b = load<V>(u + i + 1), w = a - b, bq = half * w;
    const V slope = quarter * size_of((load<V>(d + i + 1) - load<V>(u + i + 1)) - (a - load<V>(u + i - 1)));
    const V jolt = bq - load<V>(flow_before() + i) + signed_as(slope, bq);
    store(flow_before() + i, bq);
    const V t = spread<V>(exchange) * w * size_of(w) + spread<V>(half_unsteady) * jolt;
    store(d2 + i, a - t);
    store(u2 + i, b + t);
    return a + b < load<V>(row(4) + i);
}

template <class T>
void Column<T>::advance() {
    const std::size_t last = reaches - 1;
    const T* d = down(now);
    const T* u = up(now);
    T* d2 = down(1 - now);
    T* u2 = up(1 - now);
    from_upstream = d[last];
    from_downstream = u[1];
    now = 1 - now;
    // Rows of inner nodes, the rest one by one. The last node stays out of the rows: it reads what the lower
    // end has just written, and a row would have to wait until that is in the cache.
    const auto sweep = [&](auto one, auto some) {
        bool low = any(one(last));
        std::size_t i = 1;
        if (last > in_row) {
            auto lows = some(i);
            for (i += in_row; i + in_row <= last; i += in_row)
                lows = either(lows, some(i));
            low = either(low, any(lows));
        }
        for (; i < last; ++i)
            low = either(low, any(one(i)));
        return low;
    };
    const bool low = with_unsteady ? sweep([&](std::size_t i) { return pass_unsteady<T>(i, d, u, d2, u2); },
                                           [&](std::size_t i) { return pass_unsteady<Row>(i, d, u, d2, u2); })
                                   : sweep([&](std::size_t i) { return pass<T>(i, d, u, d2, u2); },
                                           [&](std::size_t i) { return pass<Row>(i, d, u, d2, u2); });
    if (any_open || low)
        hold_vapour();
}

template <class T>
void Column<T>::set_node(std::size_t i, T H, T Q_in, T Q_out) {
    down(now)[i] = H + B * Q_out - R * Q_out * size_of(Q_out);
    up(now)[i] = H - B * Q_in + R * Q_in * size_of(Q_in);
}

/// Holds vapour head where the water would go below it or a cavity is still open: there the flow in and the
/// flow out differ, and the cavity takes the difference. A cavity that closes a little too far keeps the
/// overshoot as a debt, so that no water is lost. Gives back where cavities are open.
template <class T>
template <class V>
inline auto Column<T>::hold(std::size_t i, const T* d, const T* u, T* d2, T* u2) {
    const V k = spread<V>(T(4) * exchange), volume = spread<V>(dt * by_B), zero = spread<V>(0.0),
            half = spread<V>(0.5);
    const V limit = load<V>(row(4) + i), c = load<V>(cavity() + i);
    const V a = load<V>(d + i - 1), b = load<V>(u + i + 1), H = half * limit, in = a - H, out = H - b;
    const auto held = either(a + b < limit, c > zero);
    const V rub_in = k * in * size_of(in), rub_out = k * out * size_of(out);
    const V grown = c + volume * ((out - half * rub_out) - (in - half * rub_in));
    const V after = select(held, grown, c);
    store(d2 + i, select(held, H + out - rub_out, load<V>(d2 + i)));
    store(u2 + i, select(held, H - in + rub_in, load<V>(u2 + i)));
    store(cavity() + i, after);
    return after > zero;
}

template <class T>
void Column<T>::hold_vapour() {
    const T* d = down(1 - now);
    const T* u = up(1 - now);
    T* d2 = down(now);
    T* u2 = up(now);
    any_open = false;
    if constexpr (std::is_same_v<T, double>) {
        std::size_t i = 1;
        for (; i + in_row <= reaches; i += in_row)
            any_open = either(any_open, any(hold<Row>(i, d, u, d2, u2)));
        for (; i < reaches; ++i)
            any_open = either(any_open, hold<double>(i, d, u, d2, u2));
    } else {
        // First which nodes it concerns, a few of them, then those: no jump that cannot be foreseen.
        std::array<std::uint8_t, most_reaches> nodes;
        std::size_t count = 0;
        for (std::size_t i = 1; i < reaches; ++i) {
            nodes[count] = static_cast<std::uint8_t>(i);
            count += std::size_t{any(either(d[i - 1] + u[i + 1] < row(4)[i], cavity()[i] > T(0)))};
        }
        for (std::size_t k = 0; k < count; ++k)
            any_open = either(any_open, any(hold<T>(nodes[k], d, u, d2, u2)));
    }
}

template <class T>
void Column<T>::set_upstream(T H, T Q) {
    const T kick = B * Q - R * Q * size_of(Q);
    down(now)[0] = H + kick;
    up(now)[0] = H - kick;
}

template <class T>
void Column<T>::set_downstream(T H, T Q) {
    const T kick = B * Q - R * Q * size_of(Q);
    down(now)[reaches] = H + kick;
    up(now)[reaches] = H - kick;
}

/// Water in the pipe over what it holds at zero head, m3, cavities taken off: what the waves now under way
/// carry. It changes by exactly dt (counted(Q at the upper end) - counted(Q at the lower end)) a step.
template <class T>
T Column<T>::stored() const {
    T sum = T(0);
    for (std::size_t i = 0; i < reaches; ++i)
        sum += down(now)[i] + up(now)[i + 1];
    return sum * dt / (T(2) * B) - open_cavities();
}

template <class T>
T Column<T>::open_cavities() const {
    T sum = T(0);
    for (std::size_t i = 1; i < reaches; ++i)
        sum += cavity()[i];
    return sum;
}

} // namespace beckhand::inline BECKHAND_LOOP
