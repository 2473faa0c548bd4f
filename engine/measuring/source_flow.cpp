#include "engine/measuring/source_flow.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "engine/hydraulics/weir.h"
#include "engine/measuring/bucket.h"

namespace beckhand {

namespace {

constexpr double board_error = 0.05, shallow_error = 0.15;
constexpr Length shallow_head = metres(0.06);
constexpr double section_error = 0.1;             // of a natural bed between the soundings (common practice)
constexpr double floats_apart = 0.2;
constexpr Length shallow_stream = metres(0.05);

} // namespace

NotchFlow flow_over_notch(Notch notch, Length head) {
    NotchFlow found;
    if (head <= Length{}) return found;
    switch (notch) {
    case Notch::degrees_90: found.flow.value = v_notch_90(head); break;
    case Notch::degrees_60: found.flow.value = v_notch_60(head); break;
    case Notch::degrees_45: found.flow.value = v_notch_45(head); break;
    }
    found.shallow = head < shallow_head;
    found.flow.error = found.flow.value * std::hypot(2.5 * (head_error / head), found.shallow ? shallow_error : board_error);
    return found;
}

FloatFlow flow_by_float(Length distance, std::span<const Duration> times, Length width, std::span<const Length> depths,
                        double coefficient) {
    FloatFlow found;
    std::vector<double> sorted;
    for (const Duration time : times) {
        if (time > Duration{}) sorted.push_back(time.si());
    }
    if (sorted.empty() || depths.empty() || distance <= Length{} || width <= Length{}) return found;
    std::sort(sorted.begin(), sorted.end());
    const double middle = sorted.size() % 2 == 1 ? sorted[sorted.size() / 2]
                                                 : 0.5 * (sorted[sorted.size() / 2 - 1] + sorted[sorted.size() / 2]);
    Length sum{};
    for (const Length depth : depths) sum += depth;
    // Trapezoids between soundings at equal distances, from bank to bank.
    const Length step = width / static_cast<double>(depths.size() + 1);
    found.section = step * sum;
    found.surface = distance / seconds(middle);
    const FlowRate flow = coefficient * (found.section * found.surface);
    const double apart = (sorted.back() - sorted.front()) / middle;
    const double of_times = std::max(watch_error.si() / middle, apart / 2) / std::sqrt(static_cast<double>(sorted.size()));
    found.flow = {flow, flow * std::hypot(std::hypot(float_coefficient_error / coefficient, section_error), of_times)};
    found.disagree = apart > floats_apart;
    found.shallow = found.section < width * shallow_stream;
    return found;
}

} // namespace beckhand
