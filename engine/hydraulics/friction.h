// Head lost to pipe walls and fittings, and the flow that a head can push through a pipe. Darcy-Weisbach
// throughout; Hazen-Williams beside it because printed tables use it.
#pragma once

#include "engine/hydraulics/pipe.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

/// Speed in a full pipe; keeps the sign of the flow.
[[nodiscard]] Speed speed_in(Length bore, FlowRate flow);

/// Sign of the speed is dropped. 0 for no flow.
[[nodiscard]] double reynolds(Speed speed, Length bore, KinematicViscosity viscosity);

/// Darcy factor of turbulent flow, Colebrook 1939: 1/sqrt(f) = -2 log10(k/3.7 + 2.51/(Re sqrt(f))),
/// solved to 1e-12. `roughness` is relative, e/D. Re > 0.
[[nodiscard]] double colebrook(double re, double roughness);

/// Explicit form, Swamee & Jain 1976: within a few per cent of Colebrook for Re 5000..1e8.
[[nodiscard]] double swamee_jain(double re, double roughness);

/// Darcy factor for any Re: 64/Re up to 2000, Colebrook from 4000, and a straight line between the two,
/// where no formula is certain. Re <= 0 gives 0.
[[nodiscard]] double darcy_factor(double re, double roughness);

/// Head lost along a pipe plus `losses` velocity heads in fittings. Keeps the sign of the flow.
[[nodiscard]] Length friction_head(const Pipe& pipe, FlowRate flow, KinematicViscosity viscosity,
                                   double losses = 0);

/// The flow for which friction_head() is `head`; 0 for a head of 0 or a pipe with no bore.
[[nodiscard]] FlowRate flow_for_head(const Pipe& pipe, Length head, KinematicViscosity viscosity,
                                     double losses = 0);

/// Smallest bore for which friction_head() stays within `head`, the rest of `pipe` kept; 0 for no flow.
[[nodiscard]] Length bore_for_head(const Pipe& pipe, FlowRate flow, Length head,
                                   KinematicViscosity viscosity);

/// h = 10.67 L Q^1.852 / (C^1.852 d^4.8704), SI (EPANET 2.2 User Manual). Keeps the sign of the flow.
[[nodiscard]] Length hazen_williams_head(Length length, Length bore, FlowRate flow, double c);

/// h = K v^2 / 2g, with the sign of v.
[[nodiscard]] Length minor_head(double losses, Speed speed);

/// Velocity heads lost in fittings. EPANET 2.2 User Manual; ball and partly shut gate after F. M. White.
namespace loss {
inline constexpr double globe_valve = 10.0, angle_valve = 5.0, swing_check = 2.5, gate_valve = 0.2;
inline constexpr double short_elbow = 0.9, medium_elbow = 0.8, long_elbow = 0.6, elbow_45 = 0.4;
inline constexpr double tee_run = 0.6, tee_branch = 1.8, square_entrance = 0.5, exit = 1.0;
inline constexpr double gate_quarter_shut = 0.26, gate_half_shut = 2.1, gate_three_quarters_shut = 17.0;
inline constexpr double ball_valve = 0.05, ball_third_shut = 5.5, ball_two_thirds_shut = 200.0;
} // namespace loss

} // namespace beckhand
