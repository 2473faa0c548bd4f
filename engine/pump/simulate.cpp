// Runs one pump and says what a person would have counted, caught and read.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/pump/paths.h"
#include "engine/pump/pump.h"

namespace beckhand {
PumpRun simulate(const PumpDesign& design, const RunOptions& options) {
    return wide_vectors_here() ? simulate_wide(design, options) : simulate_plain(design, options);
}

/// Standing water: the vessel and the line lose through check, waste valve and cracks. One slow equation, the
/// vessel's air isothermal; with the line's valve shut only the vessel gives, else line and vessel together.
Pressure pressure_after_stop(const PumpDesign& d, Duration wait, bool line_open) {
    const double rho_g = d.water.density * d.water.g, root2g = std::sqrt(2 * d.water.g);
    const double atm = d.water.air_pa / rho_g, area = std::numbers::pi / 4 * d.delivery.bore_m * d.delivery.bore_m;
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
