#include "engine/measuring/bucket.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace beckhand {

namespace {

constexpr double apart_least = 0.05;         // of the middle: less is what water does by itself (common practice)
constexpr double watches_apart = 3;          // standard deviations of the watch
constexpr double median_to_mean = 1.25;      // a middle is less certain than a mean (square root of pi / 2)

} // namespace

BucketFlow flow_of_fills(Volume volume, std::span<const Duration> fills) {
    BucketFlow found;
    std::vector<double> times;
    for (const Duration fill : fills) {
        if (fill > Duration{}) times.push_back(fill.si());
    }
    if (times.empty() || times.size() != fills.size() || volume <= Volume{}) return found;
    std::vector<double> sorted = times;
    std::sort(sorted.begin(), sorted.end());
    const std::size_t n = sorted.size();
    const double middle = n % 2 == 1 ? sorted[n / 2] : 0.5 * (sorted[n / 2 - 1] + sorted[n / 2]);

    double squares = 0;
    for (std::size_t i = 0; i < n; ++i) {
        squares += (times[i] - middle) * (times[i] - middle);
        if (std::abs(times[i] - middle) > std::abs(times[found.furthest] - middle)) found.furthest = i;
    }
    const double count = static_cast<double>(n);
    const double apart = n > 1 ? std::sqrt(squares / (count - 1)) : 0.0;
    const double each = std::max(watch_error.si(), apart);
    const double of_times = each / middle * (n > 2 ? median_to_mean : 1.0) / std::sqrt(count);
    const FlowRate flow = volume / seconds(middle);
    found.flow = {flow, flow * std::hypot(mark_error, of_times)};
    found.spread = (sorted.back() - sorted.front()) / middle;
    const double allowed = std::max(apart_least * middle, watches_apart * std::sqrt(2.0) * watch_error.si());
    found.disagree = std::abs(times[found.furthest] - middle) > allowed;
    found.short_fill = sorted.front() < fill_least.si();
    return found;
}

} // namespace beckhand
