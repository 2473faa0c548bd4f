// Closed sums of the ideal rigid-column beat; x and y are the closing and the left-over speed as shares of
// the terminal speed.
#include "engine/hydraulics/ram_cycle.h"

#include <cmath>

#include "engine/hydraulics/friction.h"
#include "engine/hydraulics/wave_speed.h"

namespace beckhand {

std::optional<RamCycle> ideal_cycle(const CycleInput& in) {
    const Length none;
    if (!(in.fall > none && in.lift > in.fall && in.drive_length > none && in.drive_bore > none &&
          in.losses > 0)) {
        return std::nullopt;
    }
    const double big_h = in.fall.si(), net = (in.lift - in.fall).si(), length = in.drive_length.si();
    const double terminal = std::sqrt(2 * g_si * big_h / in.losses);
    const double x = in.closing.si() / terminal, y = in.left.si() / terminal;
    if (!(y >= 0 && y < x && x < 1)) {
        return std::nullopt;
    }

    RamCycle out;
    out.terminal = metres_per_second(terminal);
    const double time_constant = terminal * length / (g_si * big_h);
    out.time_constant = seconds(time_constant);
    out.accelerate = seconds(time_constant * (std::atanh(x) - std::atanh(y)));
    const Volume pipeful = area_of_bore(in.drive_bore) * in.drive_length;
    out.wasted = pipeful * (std::log((1 - y * y) / (1 - x * x)) / in.losses);
    out.deliver = seconds(length * (in.closing - in.left).si() / (g_si * net));
    const double v2 = in.closing.si() * in.closing.si() - in.left.si() * in.left.si();
    out.delivered = pipeful * (v2 / (2 * g_si * net));
    out.period = out.accelerate + out.deliver;
    out.beat = hertz(1 / out.period.si());
    out.waste_flow = out.wasted / out.period;
    out.delivered_flow = out.delivered / out.period;
    out.drive_flow = out.waste_flow + out.delivered_flow;
    out.efficiency = (out.delivered_flow / out.drive_flow) * (in.lift / in.fall);
    out.rankine = (out.delivered_flow / out.waste_flow) * ((in.lift - in.fall) / in.fall);
    return out;
}

Speed speed_after(Duration time, Length fall, Length drive_length, double losses) {
    if (fall <= Length{} || drive_length <= Length{} || losses <= 0 || time <= Duration{}) {
        return Speed{};
    }
    const double terminal = std::sqrt(2 * g_si * fall.si() / losses);
    const double time_constant = terminal * drive_length.si() / (g_si * fall.si());
    return metres_per_second(terminal * std::tanh(time.si() / time_constant));
}

Speed first_speed_drop(Length fall, Length lift, Speed wave) {
    return metres_per_second(g_si * (lift - fall).si() / wave.si());
}

Length highest_head(Length fall, Speed wave, Speed closing) {
    return fall + joukowsky_head(wave, closing);
}

std::optional<Frequency> usual_beat(Length fall, Length drive_length, Length drive_bore,
                                    FlowRate drive_flow) {
    if (fall <= Length{} || drive_length <= Length{} || drive_bore <= Length{} || drive_flow <= FlowRate{}) {
        return std::nullopt;
    }
    const Speed mean = speed_in(drive_bore, drive_flow);
    const Duration period = measured_period_factor * (mean * drive_length) / (standard_gravity * fall);
    return hertz(1 / period.si());
}

Speed usual_closing_speed(Length drive_bore, FlowRate drive_flow) {
    return 2 * speed_in(drive_bore, drive_flow);
}

} // namespace beckhand
