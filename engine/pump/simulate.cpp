// Runs one pump and says what a person would have counted, caught and read.
#include <cmath>

#include "engine/pump/report.h"
#include "engine/pump/step.h"

namespace beckhand {
namespace {

PumpSample sample(const Rig<double>& rig, double time) {
    return {time,           rig.body_y + rig.tail, rig.vessel_head(), rig.drive_flow,
            rig.waste_flow, rig.check_flow,        rig.line_flow,     rig.gap};
}

} // namespace

PumpRun simulate(const PumpDesign& design, const RunOptions& options) {
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
            for (std::size_t i = 0; i < steps_between_updates; ++i)
                rig.step();
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

/// Standing water: the vessel and the line lose through check, waste valve and cracks. One slow equation, the
/// vessel's air isothermal; with the line's valve shut only the vessel gives, else line and vessel together.
Pressure pressure_after_stop(const PumpDesign& d, Duration wait, bool line_open) {
    const double rho_g = d.water.density * d.water.g, root2g = std::sqrt(2 * d.water.g);
    const double atm = d.water.air_pa / rho_g, area = pi_here / 4 * d.delivery.bore_m * d.delivery.bore_m;
    const bool open = line_open && d.delivery.valve_open > 1e-4;
    const bool reversed = d.check_valve.direction < 0;
    const double back = root2g * (d.check_valve.leak_area_m2 +
                                  (reversed ? d.check_valve.area_m2 * d.check_valve.open_share : 0));
    const double standing = standing_head(d) * d.delivery.full_share, level = d.header.level_m;
    const double slope = d.delivery.lift_m / d.delivery.length_m; // head for each metre of line left full
    double H = standing, V = d.vessel.air_m3;
    const double amount = V * (H + atm), end = wait.si();
    double t = 0;
    while (t < end && H > 1e-3) {
        double out = root2g * d.vessel.leak_area_m2 * std::sqrt(H);
        out += H > level ? back * std::sqrt(H - level) : -back * std::sqrt(level - H);
        if (open && H > d.delivery.leak_height_m) {
            out += root2g * d.delivery.leak_area_m2 * std::sqrt(H - d.delivery.leak_height_m);
        }
        const double gas_gives = amount / ((H + atm) * (H + atm));
        const double gives = gas_gives + (open ? area / slope : 0) + 1e-9; // m3 for each m of head
        const double dt = std::min({end - t, 1.0, out != 0 ? 0.02 * H * gives / std::fabs(out) : 1.0});
        const double before = H;
        H = std::max(0.0, H - dt * out / gives);
        if ((before > level) != (H > level) && d.vessel.leak_area_m2 == 0)
            H = level;
        t += std::max(dt, 1e-4);
    }
    return pascals(rho_g * H);
}

} // namespace beckhand
