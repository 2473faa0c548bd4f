#include "engine/pump/one_beat.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/hydraulics/ram_cycle.h"
#include "engine/pump/pump.h"

namespace beckhand {
namespace {

constexpr double shut_share = 0.05;   // of its travel: nearer than this the valve counts as shut

/// What lies between `low` and `high`, 0 to 1.
double share_of(double value, double low, double high) {
    return high > low ? std::clamp((value - low) / (high - low), 0.0, 1.0) : 0.0;
}

struct Range {
    double low = 1e300, high = -1e300;
    void take(double value) { low = std::min(low, value), high = std::max(high, value); }
    [[nodiscard]] double share(double value) const { return share_of(value, low, high); }
};

} // namespace

BeatMoment OneBeat::at(double share) const {
    const double place = (share - std::floor(share)) * static_cast<double>(steps);
    const auto i = std::min(steps - 1, static_cast<std::size_t>(place));
    const double t = place - static_cast<double>(i);
    const BeatMoment& a = moments[i];
    const BeatMoment& b = moments[(i + 1) % steps];
    const auto mix = [t](double from, double to) { return from + (to - from) * t; };
    return {mix(a.valve, b.valve), mix(a.speed_m_s, b.speed_m_s), mix(a.pressed, b.pressed),
            mix(a.check, b.check), mix(a.vessel, b.vessel),       mix(a.delivery, b.delivery)};
}

std::optional<OneBeat> one_beat(const PumpDesign& design) {
    RunOptions options{.seconds = 15, .warm_up_seconds = 5};
    options.sample_every_seconds = 0.004;
    const PumpRun run = simulate(design, options);
    if (run.rest != ValveRest::runs || run.beats < 3) return std::nullopt;
    // The last two moments at which the valve comes to its seat.
    const double seat = shut_share * design.waste_valve.travel_m;
    std::size_t from = 0, to = 0;
    bool was_open = false;
    for (std::size_t i = 0; i < run.series.size(); ++i) {
        if (run.series[i].valve_m > 0.5 * design.waste_valve.travel_m) was_open = true;
        if (!was_open || run.series[i].valve_m > seat) continue;
        was_open = false;
        from = to;
        to = i;
    }
    if (from == 0 || to < from + 4) return std::nullopt;
    OneBeat beat;
    beat.by_pump = true;
    beat.period = seconds(run.series[to].time_s - run.series[from].time_s);
    const double area = std::numbers::pi / 4 * design.drive.bore_m * design.drive.bore_m;
    Range valve, body, check, vessel, delivery;
    for (std::size_t i = from; i < to; ++i) {
        const PumpSample& s = run.series[i];
        valve.take(s.valve_m), body.take(s.body_head_m), check.take(s.check_m3s);
        vessel.take(s.vessel_head_m), delivery.take(s.delivery_m3s);
    }
    for (std::size_t step = 0; step < OneBeat::steps; ++step) {
        const PumpSample& s = run.series[from + step * (to - from) / OneBeat::steps];
        beat.moments[step] = {share_of(s.valve_m, seat, valve.high),
                              s.drive_m3s / area,
                              body.share(s.body_head_m),
                              share_of(s.check_m3s, 0, check.high),
                              vessel.share(s.vessel_head_m),
                              share_of(s.delivery_m3s, 0, delivery.high)};
    }
    return beat;
}

std::optional<OneBeat> beat_by_formulas(const PumpDesign& design) {
    CycleInput input;
    input.fall = metres(design.header.level_m);
    input.lift = metres(standing_head(design));
    input.drive_length = metres(design.drive.length_m);
    input.drive_bore = metres(design.drive.bore_m);
    const double free_speed = open_speed(design);
    if (!(free_speed > 0) || !(input.fall.in(metres) > 0)) return std::nullopt;
    input.losses = 2 * g_si * input.fall.in(metres) / (free_speed * free_speed);
    input.closing = metres_per_second(closing_speed(design));
    const std::optional<RamCycle> cycle = ideal_cycle(input);
    if (!cycle) return std::nullopt;
    OneBeat beat;
    beat.period = cycle->period;
    const double closing = input.closing.in(metres_per_second), deliver = cycle->deliver.in(seconds);
    for (std::size_t step = 0; step < OneBeat::steps; ++step) {
        const double time = beat.period.in(seconds) * static_cast<double>(step) / static_cast<double>(OneBeat::steps);
        BeatMoment& m = beat.moments[step];
        if (time < deliver) {
            const double left = 1.0 - time / deliver;
            m = {0, closing * left, left, left, 1.0 - left, 0.5};
        } else {
            const Speed gained = speed_after(seconds(time - deliver), input.fall, input.drive_length, input.losses);
            const double open_for = share_of(time, deliver, beat.period.in(seconds));
            m = {1, gained.in(metres_per_second), 0, 0, 1.0 - open_for, 0.5};
        }
    }
    return beat;
}

} // namespace beckhand
