// The ideal beat of a ram: a rigid column of water speeds up under the fall, the waste valve shuts, and the
// column's drive lifts a share of it. No recoil and no valve travel, so it is an upper bound on delivery and
// a lower bound on the period. Rigid-column and Joukowsky laws, as shared by Lansford & Dugan 1941, Krol
// 1951 and Iversen 1975; the sums in closed form after the AguaClara reports (Cornell, 2021).
#pragma once

#include <optional>

#include "engine/quantity/quantity.h"

namespace beckhand {

struct CycleInput {
    Length fall{};         // H
    Length lift{};         // h, from the waste valve
    Length drive_length{}; // L
    Length drive_bore{};   // D
    double losses = 0;     // K, velocity heads lost from source to outfall, friction and exit included
    Speed closing{};       // v_c, at which the waste valve shuts
    Speed left{};          // v_end, at which delivery ends and the next beat begins; 0 in the plain case
};

struct RamCycle {
    Speed terminal;         // v_inf = sqrt(2 g H / K), waste valve held open
    Duration time_constant; // T = v_inf L / (g H)
    Duration accelerate;    // t_a = T (artanh(v_c/v_inf) - artanh(v_end/v_inf))
    Volume wasted;          // V_w = (A L / K) ln((1 - y^2) / (1 - x^2))
    Duration deliver;       // t_d = L (v_c - v_end) / (g (h - H))
    Volume delivered;       // V_d = A L (v_c^2 - v_end^2) / (2 g (h - H))
    Duration period;
    Frequency beat;
    FlowRate waste_flow, delivered_flow, drive_flow;
    double efficiency; // q h / (Q H), D'Aubuisson
    double rankine;    // q (h - H) / (w H)
};

/// Absent where no beat is possible: no fall, no pipe, K <= 0, lift not above the fall, a valve that needs
/// v_inf or more to shut (it hangs open), or 0 <= v_end < v_c broken.
[[nodiscard]] std::optional<RamCycle> ideal_cycle(const CycleInput& input);

/// Speed that a column starting from rest has after `time` with the waste valve open: v_inf tanh(t/T).
[[nodiscard]] Speed speed_after(Duration time, Length fall, Length drive_length, double losses);

/// Speed lost when the check valve first opens, g (h - H) / a; every later round trip takes twice that.
[[nodiscard]] Speed first_speed_drop(Length fall, Length lift, Speed wave);

/// Upper bound of the head with the delivery shut: H + a v_c / g.
[[nodiscard]] Length highest_head(Length fall, Speed wave, Speed closing);

/// Beat of a real ram from the mean flow in its drive pipe: period = 4.4 (Q/A) L / (g H). The form is the
/// ideal beat's (a column that starts from rest needs at least 2 mean speeds' worth of fall); the factor is
/// the geometric mean of 3.0 to 6.0 in the seven sound rows of Brunacci's measured grid (c. 1810), recoil and
/// valve travel included. Good to a factor of about 1.5. Absent without fall, pipe or flow.
inline constexpr double measured_period_factor = 4.4;
[[nodiscard]] std::optional<Frequency> usual_beat(Length fall, Length drive_length, Length drive_bore,
                                                  FlowRate drive_flow);

/// Speed at which the waste valve shuts, from the mean flow: twice the mean speed, as for a column that gains
/// speed evenly from rest. Brunacci's grid gives 1.6 to 2.1 times. Zero without a pipe.
[[nodiscard]] Speed usual_closing_speed(Length drive_bore, FlowRate drive_flow);

} // namespace beckhand
