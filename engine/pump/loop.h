// From designs to runs: one pump, or eight side by side. Compiled twice (see lanes.h), as plain.cpp and
// wide.cpp; paths.h says which copy runs. Private to the room.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <utility>
#include <vector>

#include "engine/pump/paths.h"
#include "engine/pump/report.h"
#include "engine/pump/step.h"

namespace beckhand::inline BECKHAND_LOOP {

inline PumpSample sample(const Rig<double>& rig, double time) {
    return {time,           rig.body_y + rig.tail, rig.vessel_head(), rig.drive_flow,
            rig.waste_flow, rig.check_flow,        rig.line_flow,     rig.gap};
}

template <class T>
[[gnu::flatten]] void steps_to_next_update(Rig<T>& rig) {
    for (std::size_t i = 0; i < steps_between_updates; ++i)
        rig.step();
}

inline PumpRun run_one(const PumpDesign& design, const RunOptions& options) {
    Rig<double> rig;
    rig.set(0, design, options);
    rig.start();
    const double stored_at_start = rig.stored_now();
    const RunLength run = run_length(rig.dt, options);

    std::vector<PumpSample> series;
    const auto every =
        options.sample_every_seconds > 0
            ? std::max<std::size_t>(1, static_cast<std::size_t>(options.sample_every_seconds / rig.dt))
            : 0;
    if (every > 0)
        series.reserve(run.updates * steps_between_updates / every + 1);

    Totals warm_up;
    std::size_t step = 0;
    for (std::size_t u = 0; u < run.updates; ++u) {
        if (u == run.warm_up_updates) {
            warm_up = rig.totals[0];
            rig.clear_window();
        }
        if (every == 0) {
            steps_to_next_update(rig);
        } else {
            for (std::size_t i = 0; i < steps_between_updates; ++i, ++step) {
                rig.step();
                if (step % every == 0)
                    series.push_back(sample(rig, static_cast<double>(step + 1) * rig.dt));
            }
        }
        rig.update();
    }
    PumpRun out = report(rig, 0, design, options, run, warm_up, stored_at_start);
    out.series = std::move(series);
    return out;
}

/// Eight pumps at most, side by side, some way along their run.
struct Eight final : EightPumps {
    static constexpr std::size_t wide = lanes_in<Lanes8>;
    const PumpDesign* designs;
    std::size_t here;
    RunOptions options;
    Rig<Lanes8> rig;
    RunLength run{};
    std::size_t updates = 0;
    std::array<double, wide> stored{};
    std::array<Totals, wide> warm_up{};

    Eight(const PumpDesign* from, std::size_t count, const RunOptions& wanted)
        : designs(from), here(std::min(wide, count)), options(wanted) {
        double shortest = 1e9;
        for (std::size_t l = 0; l < wide; ++l) { // spare lanes repeat the last pump
            rig.set(l, designs[std::min(l, here - 1)], options);
            shortest = std::min(shortest, lane(rig.dt, l));
        }
        rig.start();
        const Lanes8 at_start = rig.stored_now();
        for (std::size_t l = 0; l < wide; ++l)
            stored[l] = lane(at_start, l);
        run = run_length(shortest, options);
    }

    bool go_on(std::size_t most) override {
        for (; most > 0 && updates < run.updates; --most, ++updates) {
            if (updates == run.warm_up_updates) {
                warm_up = rig.totals;
                rig.clear_window();
            }
            steps_to_next_update(rig);
            rig.update();
        }
        return updates < run.updates;
    }

    void report_to(std::vector<PumpRun>& runs) const override {
        for (std::size_t l = 0; l < here; ++l)
            runs.push_back(report(rig, l, designs[l], options, run, warm_up[l], stored[l]));
    }
};

} // namespace beckhand::inline BECKHAND_LOOP
