// Two published networks, each spread out as a list of hypotheses: one for every way the hidden things can
// be.
#pragma once

#include <cmath>
#include <vector>

#include "engine/diagnosis/policy.h"

namespace beckhand::published {

/// Evidence on a node: -1 not known, 0 no, 1 yes.
struct Clinic {
    int asia = -1, smoke = -1, xray = -1, dysp = -1;
};

struct ClinicRow {
    Clinic seen;
    double chance, tub, lung, bronc, either, smoke, asia, xray, dysp;
};

/// Lauritzen and Spiegelhalter, "Local computations with probabilities on graphical structures", JRSS B 50
/// (1988): the chest clinic. Figures by full enumeration.
inline const std::vector<ClinicRow> clinic_rows{
    {{-1, -1, -1, -1}, 1, .010400, .055000, .450000, .064828, .500000, .010000, .110290, .435971},
    {{-1, -1, -1, 1}, .43597060, .018845, .102759, .833967, .120536, .633997, .010325, .162098, 1},
    {{1, -1, -1, 1}, .00450138, .087751, .099525, .811402, .182300, .625920, 1, .219539, 1},
    {{1, 0, -1, 1}, .00168388, .112835, .022567, .717942, .134274, 0, 1, .174874, 1},
    {{1, 1, -1, 1}, .00281750, .072760, .145519, .867258, .211003, 1, 1, .246232, 1},
    {{1, -1, 1, 1}, .00098823, .391712, .444271, .628822, .813769, .702025, 1, 1, 1},
    {{-1, -1, 1, -1}, .11029004, .092411, .488711, .506326, .576040, .687754, .013156, 1, .640766},
    {{-1, 1, 1, 0}, .02033323, .045112, .433773, .289531, .474374, 1, .011336, 1, 0},
    {{1, 0, 0, 1}, .00138941, .002735, .000547, .772830, .003255, 0, 1, 0, 1},
};

/// One way the hidden things of the chest clinic can be, and its chance before anything is seen.
struct ClinicState {
    bool asia, smoke, tub, lung, bronc;
    [[nodiscard]] bool either() const { return tub || lung; }
    [[nodiscard]] double chance() const {
        const auto of = [](bool yes, double p) { return yes ? p : 1 - p; };
        return of(asia, .01) * of(smoke, .5) * of(tub, asia ? .05 : .01) * of(lung, smoke ? .1 : .01) *
               of(bronc, smoke ? .6 : .3);
    }
    [[nodiscard]] double xray() const { return either() ? .98 : .05; }
    [[nodiscard]] double dysp() const { return either() ? (bronc ? .9 : .7) : (bronc ? .8 : .1); }
};

inline std::vector<ClinicState> clinic_states() {
    std::vector<ClinicState> states;
    for (unsigned bits = 0; bits < 32; ++bits) {
        states.push_back(
            {(bits & 1U) != 0, (bits & 2U) != 0, (bits & 4U) != 0, (bits & 8U) != 0, (bits & 16U) != 0});
    }
    return states;
}

/// Three causes with a noisy-OR of three findings (as in quick medical reference networks; Heckerman 1989).
struct NoisyOrRow {
    int finding[3]; // -1 not known
    double chance, cause[3];
};
inline const std::vector<NoisyOrRow> noisy_or_rows{
    {{1, -1, -1}, .13911000, {.584322, .139530, .020000}},
    {{1, 1, -1}, .02085549, {.290372, .840212, .064813}},
    {{1, 0, 1}, .04629312, {.899976, .008449, .025211}},
    {{1, 1, 1}, .00543682, {.654088, .683835, .199263}},
    {{0, 0, 0}, .71510992, {.010989, .003671, .003660}},
};
inline constexpr double noisy_or_prior[3] = {.10, .05, .02};
inline constexpr double noisy_or_leak[3] = {.05, .02, .10};
inline constexpr double noisy_or_brings[3][3] = {{.8, .3, 0}, {0, .9, .4}, {.5, 0, .7}}; // [finding][cause]

/// Chance that a finding is seen when these causes are there.
inline double noisy_or(int finding, unsigned causes) {
    double stays_away = 1 - noisy_or_leak[finding];
    for (int c = 0; c < 3; ++c)
        stays_away *= (causes >> c & 1U) != 0 ? 1 - noisy_or_brings[finding][c] : 1;
    return 1 - stays_away;
}

} // namespace beckhand::published
