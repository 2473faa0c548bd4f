// Darcy-Weisbach and Hazen-Williams, and their inverses by halving an interval: head rises with flow
// throughout, so a bracket always closes.
#include "engine/hydraulics/friction.h"

#include <cmath>

namespace beckhand {

Speed speed_in(Length bore, FlowRate flow) {
    return bore > Length{} ? flow / area_of_bore(bore) : Speed{};
}

double reynolds(Speed speed, Length bore, KinematicViscosity viscosity) {
    return std::fabs(speed.si()) * bore.si() / viscosity.si();
}

double swamee_jain(double re, double roughness) {
    const double log_term = std::log10(roughness / 3.7 + 5.74 / std::pow(re, 0.9));
    return 0.25 / (log_term * log_term);
}

double colebrook(double re, double roughness) {
    double x = 1 / std::sqrt(swamee_jain(re, roughness)); // x = 1/sqrt(f)
    for (int i = 0; i < 30; ++i) {
        const double inside = roughness / 3.7 + 2.51 * x / re;
        const double miss = x + 2 * std::log10(inside);
        const double slope = 1 + 2 / std::log(10.0) * (2.51 / re) / inside;
        const double step = miss / slope;
        x -= step;
        if (std::fabs(step) < 1e-13 * x) {
            break;
        }
    }
    return 1 / (x * x);
}

double darcy_factor(double re, double roughness) {
    constexpr double laminar_end = 2000, turbulent_start = 4000;
    if (!(re > 0)) {
        return 0;
    }
    if (re <= laminar_end) {
        return 64 / re;
    }
    if (re >= turbulent_start) {
        return colebrook(re, roughness);
    }
    const double from = 64 / laminar_end, to = colebrook(turbulent_start, roughness);
    return from + (re - laminar_end) / (turbulent_start - laminar_end) * (to - from);
}

Length minor_head(double losses, Speed speed) {
    const double v = speed.si();
    return metres(losses * v * std::fabs(v) / (2 * g_si));
}

Length friction_head(const Pipe& pipe, FlowRate flow, KinematicViscosity viscosity, double losses) {
    if (pipe.bore <= Length{}) {
        return Length{};
    }
    const Speed v = speed_in(pipe.bore, flow);
    const double f = darcy_factor(reynolds(v, pipe.bore, viscosity), pipe.roughness / pipe.bore);
    return minor_head(f * (pipe.length / pipe.bore) + losses, v);
}

FlowRate flow_for_head(const Pipe& pipe, Length head, KinematicViscosity viscosity, double losses) {
    if (pipe.bore <= Length{} || head == Length{} || !(pipe.length > Length{} || losses > 0)) {
        return FlowRate{};
    }
    const Length wanted = head < Length{} ? -head : head;
    FlowRate low, high = area_of_bore(pipe.bore) * metres_per_second(1);
    while (friction_head(pipe, high, viscosity, losses) < wanted) {
        high = high * 2;
    }
    for (int i = 0; i < 100; ++i) {
        const FlowRate middle = (low + high) / 2;
        (friction_head(pipe, middle, viscosity, losses) < wanted ? low : high) = middle;
    }
    const FlowRate found = (low + high) / 2;
    return head < Length{} ? -found : found;
}

Length bore_for_head(const Pipe& pipe, FlowRate flow, Length head, KinematicViscosity viscosity) {
    if (flow <= FlowRate{} || head <= Length{} || pipe.length <= Length{}) {
        return Length{};
    }
    Pipe trial = pipe;
    Length low = millimetres(1), high = metres(5);
    for (int i = 0; i < 80; ++i) {
        trial.bore = (low + high) / 2;
        (friction_head(trial, flow, viscosity) > head ? low : high) = trial.bore;
    }
    return high;
}

Length hazen_williams_head(Length length, Length bore, FlowRate flow, double c) {
    if (bore <= Length{} || c <= 0) {
        return Length{};
    }
    const double q = flow.si();
    const double head = 10.67 * length.si() * std::pow(std::fabs(q), 1.852) /
                        (std::pow(c, 1.852) * std::pow(bore.si(), 4.8704));
    return metres(q < 0 ? -head : head);
}

} // namespace beckhand
