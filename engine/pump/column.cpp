// The inner nodes of one pipe in double: plain loops that the compiler turns into vectors. Where the machine
// has wider vectors than the common denominator, a second copy is picked when the program starts.
#include "engine/pump/column.h"

#include <algorithm>
#include <cmath>

#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__)
#define BECKHAND_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define BECKHAND_WIDE
#endif

namespace beckhand {

BECKHAND_WIDE
double pass_waves(const double* __restrict down, const double* __restrict up, double* __restrict down_next,
                  double* __restrict up_next, const double* __restrict limit, double exchange,
                  std::size_t reaches) {
    double lowest = 1e9;
    for (std::size_t i = 1; i < reaches; ++i) {
        const double a = down[i - 1], b = up[i + 1], w = a - b, t = exchange * w * std::fabs(w);
        down_next[i] = a - t;
        up_next[i] = b + t;
        const double over = a + b - limit[i];
        lowest = over < lowest ? over : lowest;
    }
    return lowest;
}

BECKHAND_WIDE
double pass_waves_unsteady(const double* __restrict down, const double* __restrict up,
                           double* __restrict down_next, double* __restrict up_next,
                           const double* __restrict limit, double* __restrict flow_before, double exchange,
                           double half_unsteady, std::size_t reaches) {
    double lowest = 1e9;
    for (std::size_t i = 1; i < reaches; ++i) {
        const double a = down[i - 1], b = up[i + 1], w = a - b, bq = 0.5 * w;
        const double slope = 0.25 * std::fabs((down[i + 1] - up[i + 1]) - (a - up[i - 1]));
        const double jolt = bq - flow_before[i] + std::copysign(slope, bq);
        flow_before[i] = bq;
        const double t = exchange * w * std::fabs(w) + half_unsteady * jolt;
        down_next[i] = a - t;
        up_next[i] = b + t;
        const double over = a + b - limit[i];
        lowest = over < lowest ? over : lowest;
    }
    return lowest;
}

BECKHAND_WIDE
double hold_vapour_nodes(const double* __restrict down, const double* __restrict up,
                         double* __restrict down_next, double* __restrict up_next,
                         const double* __restrict limit, double* __restrict cavity, double exchange,
                         double volume, std::size_t reaches) {
    double largest = 0;
    const double k = 4 * exchange;
    for (std::size_t i = 1; i < reaches; ++i) {
        const double a = down[i - 1], b = up[i + 1], H = 0.5 * limit[i], in = a - H, out = H - b;
        const double over = a + b - limit[i], c = cavity[i];
        const double rub_in = k * in * std::fabs(in), rub_out = k * out * std::fabs(out);
        const double grown = c + volume * ((out - 0.5 * rub_out) - (in - 0.5 * rub_in));
        const double free = over < -c ? over : -c; // below zero: held at vapour
        const double after = free < 0 ? grown : c;
        const double d2 = down_next[i], u2 = up_next[i];
        down_next[i] = free < 0 ? H + out - rub_out : d2;
        up_next[i] = free < 0 ? H - in + rub_in : u2;
        cavity[i] = after;
        largest = after > largest ? after : largest;
    }
    return largest;
}

} // namespace beckhand
