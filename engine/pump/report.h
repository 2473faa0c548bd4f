// From the sums of the time loop to the figures a person knows. Shared by single runs and ensembles; private
// to the room.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "engine/pump/rig.h"

namespace beckhand::inline BECKHAND_LOOP {

struct RunLength {
    std::size_t updates, warm_up_updates;
};

inline RunLength run_length(double dt, const RunOptions& o) {
    const double block = dt * static_cast<double>(steps_between_updates);
    const auto total = std::max<std::size_t>(2, static_cast<std::size_t>(std::ceil(o.seconds / block)));
    const auto warm = static_cast<std::size_t>(std::floor(std::max(0.0, o.warm_up_seconds) / block));
    return {total, std::min(warm, total - 1)};
}

template <class T>
PumpRun report(const Rig<T>& rig, std::size_t l, const PumpDesign& d, const RunOptions& o, RunLength run,
               const Totals& warm, double stored_at_start) {
    const double dt = lane(rig.dt, l), rho_g = d.water.density * d.water.g;
    const auto steps = static_cast<double>(run.updates * steps_between_updates);
    const auto window = static_cast<double>((run.updates - run.warm_up_updates) * steps_between_updates);
    const Totals& t = rig.totals[l];
    const auto mean = [&](double sum) { return cubic_metres_per_second(sum / (window * dt)); };
    PumpRun r;
    r.drive = mean(t.drive);
    r.waste = mean(t.waste);
    r.delivered = mean(t.delivered);
    r.through_check = mean(t.check);
    r.header_spill = mean(t.spill);
    const double fall = d.header.level_m;
    r.efficiency = r.drive.si() > 0 ? r.delivered.si() * d.delivery.lift_m / (r.drive.si() * fall) : 0;
    r.vessel_mean = pascals(rho_g * t.vessel_head / window);
    r.vessel_low = pascals(rho_g * lane(rig.vessel_low, l));
    r.vessel_high = pascals(rho_g * lane(rig.vessel_high, l));
    r.body_peak = pascals(rho_g * lane(rig.body_peak, l));
    r.body_low = pascals(rho_g * lane(rig.body_low, l));
    r.drive_peak_speed = metres_per_second(lane(rig.speed_peak, l) / lane(rig.column.area, l));

    const double n = lane(rig.window_beats, l), since = lane(rig.since_beat, l) * dt;
    const double period = n > 0 ? lane(rig.period_sum, l) / n * dt : 0;
    r.beats = static_cast<int>(lane(rig.beats, l));
    r.hand_beats = static_cast<int>(lane(rig.hands_used, l));
    r.last_beat_s = r.beats > 0 ? steps * dt - since : 0;
    const double patience =
        std::max(3 * period, lane(rig.gap, l) > 0.3 * lane(rig.gap_most, l) ? lane(rig.open_patience, l) * dt
                                                                            : 1.5 * o.hand_wait_seconds);
    // Beats that a hand started one by one are not running.
    const double hands = lane(rig.window_hands, l);
    const bool stopped = n < 2 || since > patience || (hands > 0 && n <= 2 * hands + 1);
    if (stopped) {
        const double first = lane(rig.first_rest, l);
        const bool open = first != 0 ? first > 0 : lane(rig.gap, l) > 0.05 * lane(rig.gap_range, l);
        r.rest = open ? ValveRest::open : ValveRest::shut;
    } else {
        r.beat = hertz(1 / period);
        const double square = lane(rig.period_squares, l) / n * dt * dt;
        r.beat_unsteadiness = std::sqrt(std::max(0.0, square - period * period)) / period;
    }
    const double full = lane(rig.line_full, l);
    r.line_full_share = full > 0 ? lane(rig.line_filled, l) / full : 0;
    // An opened cock gushes where real water stands behind it: a metre of head and a line that backs it.
    r.cock_gushes =
        lane(rig.vessel_head(), l) > 1 && lane(rig.line_filled, l) * lane(rig.line_bore_area, l) > 1e-4;
    r.header_drop_m = fall - lane(rig.level, l);
    r.air_in_drive_m3 = rig.with_feature ? lane(rig.pocket_air, l) : 0;
    r.book = {.from_header = warm.drive + t.drive,
              .wasted = warm.waste + t.waste,
              .delivered = warm.delivered + t.delivered,
              .leaked = warm.leaked + t.leaked,
              .snifted_in = warm.snifted + t.snifted,
              .stored_gain = lane(rig.stored_now(), l) - stored_at_start};
    return r;
}

} // namespace beckhand::inline BECKHAND_LOOP
