// An elastic column of water in a pipe, by the method of characteristics: heads travel as two trains of
// waves, one down the pipe and one up, and friction is a small exchange between them at every node.
//
//   dx = a dt,  B = a/(g A),  R = f dx/(2 g D A^2)           (Wylie & Streeter, Fluid Transients, ch. 3)
//   C+ :  H_P = C_P - B Q_P,   C_P = H_A + B Q_A - R Q_A|Q_A|
//   C- :  H_P = C_M + B Q_P,   C_M = H_B - B Q_B + R Q_B|Q_B|
//
// With w = C_P - C_M an inner node passes on  C_P - t  and  C_M + t,  t = R/(4 B^2) w|w|: the same scheme,
// five operations a node. Where the head would fall below vapour pressure a cavity opens and is held at that
// head until it closes (discrete vapour cavity model, same book, ch. 8). The volume in the pipe closes
// exactly: see stored().
#pragma once

#include <array>
#include <cstddef>
#include <type_traits>

#include "engine/pump/lanes.h"

namespace beckhand {

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

/// The loops over the inner nodes of one pipe, in column.cpp, compiled for the widest vectors at hand. Same
/// operations in the same order on every machine. `volume` is dt/B. The waves give back the least of
/// (C_P + C_M - limit), the cavities the largest of them.
double pass_waves(const double* down, const double* up, double* down_next, double* up_next,
                  const double* limit, double exchange, std::size_t reaches);
double pass_waves_unsteady(const double* down, const double* up, double* down_next, double* up_next,
                           const double* limit, double* flow_before, double exchange, double half_unsteady,
                           std::size_t reaches);
double hold_vapour_nodes(const double* down, const double* up, double* down_next, double* up_next,
                         const double* limit, double* cavity, double exchange, double volume,
                         std::size_t reaches);

template <class T>
struct Column {
    std::size_t reaches = 0;
    T dt{}, B{}, R{}, exchange{}, half_unsteady{}, area{}, by_B{}, half_R_by_B{};
    bool with_unsteady = false, any_open = false;
    std::size_t now = 0;
    T from_upstream{}, from_downstream{}; // C_P arriving at the lower end, C_M arriving at the upper end
    alignas(64) std::array<std::array<T, most_reaches + 1>, 2> down, up;
    std::array<T, most_reaches + 1> twice_vapour, cavity, flow_before;

    void shape(std::size_t lane, const ColumnSpec& s, std::size_t n);
    void fill(T head_up, T head_down, T flow);
    void advance();
    void set_upstream(T H, T Q);
    void set_downstream(T H, T Q);
    /// A node where the flow in and the flow out differ: a leak, a pocket, a cavity.
    void set_node(std::size_t i, T H, T Q_in, T Q_out);
    /// Flow that counts over the coming step: the mean of before and after the step's friction.
    [[nodiscard]] T counted(T Q) const { return Q - half_R_by_B * Q * size_of(Q); }
    [[nodiscard]] T head(std::size_t i) const { return T(0.5) * (down[now][i] + up[now][i]); }
    [[nodiscard]] T flow(std::size_t i) const { return T(0.5) * (down[now][i] - up[now][i]) * by_B; }
    /// What left the neighbours a step ago: C_P and C_M of an inner node, from i - 1 and i + 1.
    [[nodiscard]] T down_before(std::size_t i) const { return down[1 - now][i]; }
    [[nodiscard]] T up_before(std::size_t i) const { return up[1 - now][i]; }
    [[nodiscard]] T stored() const;
    [[nodiscard]] T open_cavities() const;

private:
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
        put_lane(twice_vapour[i], l, 2 * (s.vapour_head + z));
        put_lane(cavity[i], l, 0);
    }
}

/// A steady start: heads on a straight line, one flow everywhere.
template <class T>
void Column<T>::fill(T head_up, T head_down, T Q) {
    const T kick = B * Q - R * Q * size_of(Q);
    for (std::size_t i = 0; i <= reaches; ++i) {
        const T share = T(static_cast<double>(i) / static_cast<double>(reaches));
        const T H = head_up + share * (head_down - head_up);
        down[now][i] = H + kick;
        up[now][i] = H - kick;
        flow_before[i] = B * Q;
    }
}

template <class T>
void Column<T>::advance() {
    const std::size_t n = reaches;
    const T* __restrict d = down[now].data();
    const T* __restrict u = up[now].data();
    T* __restrict d2 = down[1 - now].data();
    T* __restrict u2 = up[1 - now].data();
    const T k = exchange;
    from_upstream = d[n - 1];
    from_downstream = u[1];
    if (!with_unsteady) {
        T lowest = T(1e9);
        if constexpr (std::is_same_v<T, double>) {
            lowest = pass_waves(d, u, d2, u2, twice_vapour.data(), k, n);
        } else {
            for (std::size_t i = 1; i < n; ++i) {
                const T a = d[i - 1], b = u[i + 1], w = a - b, t = k * w * size_of(w);
                d2[i] = a - t;
                u2[i] = b + t;
                lowest = lesser(lowest, a + b - twice_vapour[i]);
            }
        }
        now = 1 - now;
        if (any_open || any(lowest < T(0)))
            hold_vapour();
        return;
    }
    // Unsteady friction (Brunone; Vitkovsky's form, Bergant et al. 2001): f gains
    // (k D/(V|V|)) (dV/dt + a sign(V)|dV/dx|), with flows here in head units, B Q.
    T lowest = T(1e9);
    if constexpr (std::is_same_v<T, double>) {
        lowest =
            pass_waves_unsteady(d, u, d2, u2, twice_vapour.data(), flow_before.data(), k, half_unsteady, n);
    } else {
        const T half = T(0.5), quarter = T(0.25);
        for (std::size_t i = 1; i < n; ++i) {
            const T a = d[i - 1], b = u[i + 1], w = a - b, bq = half * w;
            const T slope = quarter * size_of((d[i + 1] - u[i + 1]) - (a - u[i - 1]));
            const T jolt = bq - flow_before[i] + signed_as(slope, bq);
            flow_before[i] = bq;
            const T t = k * w * size_of(w) + half_unsteady * jolt;
            d2[i] = a - t;
            u2[i] = b + t;
            lowest = lesser(lowest, a + b - twice_vapour[i]);
        }
    }
    now = 1 - now;
    if (any_open || any(lowest < T(0)))
        hold_vapour();
}

template <class T>
void Column<T>::set_node(std::size_t i, T H, T Q_in, T Q_out) {
    down[now][i] = H + B * Q_out - R * Q_out * size_of(Q_out);
    up[now][i] = H - B * Q_in + R * Q_in * size_of(Q_in);
}

/// Holds vapour head where the water would go below it or a cavity is still open: there the flow in and the
/// flow out differ, and the cavity takes the difference. A cavity that closes a little too far keeps the
/// overshoot as a debt, so that no water is lost.
template <class T>
void Column<T>::hold_vapour() {
    const T* __restrict d = down[1 - now].data();
    const T* __restrict u = up[1 - now].data();
    T* __restrict d2 = down[now].data();
    T* __restrict u2 = up[now].data();
    T* __restrict c = cavity.data();
    if constexpr (std::is_same_v<T, double>) {
        any_open = hold_vapour_nodes(d, u, d2, u2, twice_vapour.data(), c, exchange, dt * by_B, reaches) > 0;
        return;
    }
    const T* __restrict limit = twice_vapour.data();
    const T k = T(4) * exchange, volume = dt * by_B, zero = T(0), half = T(0.5);
    T largest = zero;
    for (std::size_t i = 1; i < reaches; ++i) {
        const T a = d[i - 1], b = u[i + 1], H = half * limit[i], in = a - H, out = H - b;
        const auto held = either(a + b<limit[i], c[i]> zero);
        if (!any(held))
            continue;
        const T rub_in = k * in * size_of(in), rub_out = k * out * size_of(out);
        const T grown = c[i] + volume * ((out - half * rub_out) - (in - half * rub_in));
        d2[i] = select(held, H + out - rub_out, d2[i]);
        u2[i] = select(held, H - in + rub_in, u2[i]);
        c[i] = select(held, grown, c[i]);
        largest = greater(largest, c[i]);
    }
    any_open = any(largest > zero);
}

template <class T>
void Column<T>::set_upstream(T H, T Q) {
    set_node(0, H, Q, Q);
}

template <class T>
void Column<T>::set_downstream(T H, T Q) {
    set_node(reaches, H, Q, Q);
}

/// Water in the pipe over what it holds at zero head, m3, cavities taken off: what the waves now under way
/// carry. It changes by exactly dt (counted(Q at the upper end) - counted(Q at the lower end)) a step.
template <class T>
T Column<T>::stored() const {
    T sum = T(0);
    for (std::size_t i = 0; i < reaches; ++i)
        sum += down[now][i] + up[now][i + 1];
    return sum * dt / (T(2) * B) - open_cavities();
}

template <class T>
T Column<T>::open_cavities() const {
    T sum = T(0);
    for (std::size_t i = 1; i < reaches; ++i)
        sum += cavity[i];
    return sum;
}

} // namespace beckhand
