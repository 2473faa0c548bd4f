#include "engine/measuring/taps.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "engine/measuring/middle.h"

namespace beckhand {

namespace {

constexpr double doubled_below = 0.6;         // of the usual interval
constexpr std::size_t few = 6;                // intervals from which hand and pump can be told apart
constexpr double sure_within = 1.0 / 60.0;    // 1/s: a beat a minute
constexpr int fewest_beats = 8;
constexpr double most_slips = 0.2, most_spread = 0.2;

/// Student's t for 95 %, two sides (printed tables: 4.30, 3.18, 2.78, 2.57 ... 1.96), by its usual expansion.
double student_95(std::size_t freedom) {
    constexpr double z = 1.959964;
    const double n = static_cast<double>(std::max<std::size_t>(freedom, 2));
    const double z3 = z * z * z, z5 = z3 * z * z;
    return z + (z3 + z) / (4 * n) + (5 * z5 + 16 * z3 + 3 * z) / (96 * n * n) + 0.7 / (n * n * n) * z5;
}

struct Line { double slope = 0, start = 0; };

Line line_through(const std::vector<double>& beat, const std::vector<double>& at) {
    const double n = static_cast<double>(beat.size());
    double mean_x = 0, mean_y = 0;
    for (std::size_t i = 0; i < beat.size(); ++i) mean_x += beat[i] / n, mean_y += at[i] / n;
    double xx = 0, xy = 0;
    for (std::size_t i = 0; i < beat.size(); ++i) {
        xx += (beat[i] - mean_x) * (beat[i] - mean_x);
        xy += (beat[i] - mean_x) * (at[i] - mean_y);
    }
    return {xy / xx, mean_y - xy / xx * mean_x};
}

/// Of the slope, s: hand and pump from the variance of the intervals and the covariance of neighbours.
double slope_error(const std::vector<double>& at, const std::vector<double>& beat, double period) {
    const std::size_t n = at.size() - 1;
    std::vector<double> off;
    for (std::size_t i = 1; i < at.size(); ++i) off.push_back(at[i] - at[i - 1] - (beat[i] - beat[i - 1]) * period);
    double variance = 0, neighbours = 0;
    for (const double x : off) variance += x * x / static_cast<double>(n > 1 ? n - 1 : 1);
    for (std::size_t i = 1; i < n; ++i) neighbours += off[i] * off[i - 1] / static_cast<double>(n - 1);
    const double length = beat.back() - beat.front();
    if (n < few) return std::sqrt(variance / length);
    const double hand = std::clamp(-neighbours, 0.0, variance / 2);
    // What is left to the pump is itself known to about sqrt(2 / n) of the whole.
    const double pump = std::max(0.0, variance - 2 * hand) + 0.2 * variance * std::sqrt(2.0 / static_cast<double>(n));
    const double from_hand = 12 * std::max(hand, 0.25 * variance) / (length * length * length);
    return std::sqrt(from_hand + 1.2 * pump / length);
}

} // namespace

TappedBeat beat_of_taps(std::span<const double> times) {
    TappedBeat found;
    std::vector<double> intervals;
    for (std::size_t i = 1; i < times.size(); ++i) {
        if (times[i] > times[i - 1]) intervals.push_back(times[i] - times[i - 1]);
    }
    if (intervals.size() < 2) return found;
    const double usual = middle_of(intervals);

    std::vector<double> at{times.front()}, beat{0};
    for (std::size_t i = 1; i < times.size(); ++i) {
        const double since = (times[i] - at.back()) / usual;
        if (since < doubled_below) {
            ++found.doubled;
            continue;
        }
        const double passed = std::max(1.0, std::round(since));
        found.missed += static_cast<int>(passed) - 1;
        beat.push_back(beat.back() + passed);
        at.push_back(times[i]);
    }
    if (at.size() < 3) return found;
    found.beats = static_cast<int>(beat.back());
    const double period = line_through(beat, at).slope;
    double squares = 0;
    for (std::size_t i = 1; i < at.size(); ++i) {
        const double passed = beat[i] - beat[i - 1];
        found.off.push_back((at[i] - at[i - 1]) / period - passed);
        squares += found.off.back() * found.off.back();
    }
    const double rate = 1 / period;
    const double error = slope_error(at, beat, period) * rate * rate;
    found.rate = {hertz(rate), hertz(error)};
    const double slips = static_cast<double>(found.missed + found.doubled) / static_cast<double>(found.beats);
    found.unsteady = slips > most_slips || std::sqrt(squares / static_cast<double>(found.off.size())) > most_spread;
    found.sure = !found.unsteady && found.beats >= fewest_beats && student_95(at.size() - 2) * error <= sure_within;
    return found;
}

} // namespace beckhand
