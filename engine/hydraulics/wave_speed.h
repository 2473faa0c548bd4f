// How fast a blow travels along a pipe full of water, and how high the pressure of a blow is.
#pragma once

#include "engine/hydraulics/pipe.h"
#include "engine/hydraulics/water.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

/// How the pipe is held against stretching along its length.
enum class Restraint { expansion_joints, anchored_at_source, anchored_throughout };

/// Thin-wall and thick-wall forms of the restraint factor. by_ratio takes thick where bore / wall < 25.
enum class WallForm { by_ratio, thin, thick };

/// c in Korteweg's formula. Thin: 1, 1 - nu/2, 1 - nu^2 (Wylie & Streeter). Thick: (2e/D)(1+nu) +
/// D/(D+e) times the thin value (Wylie & Streeter, from memory).
[[nodiscard]] double restraint_factor(Length bore, Length wall, double poisson, Restraint restraint,
                                      WallForm form = WallForm::by_ratio);

/// a = sqrt(K/rho) / sqrt(1 + c K D / (E e)), Korteweg. A wall of zero or less counts as rigid: the speed of
/// sound in the water itself. Air in the water is not counted and lowers it a great deal.
[[nodiscard]] Speed wave_speed(const Water& water, Length bore, Length wall, Pressure modulus, double poisson,
                               Restraint restraint, WallForm form = WallForm::by_ratio);

/// The same for a pipe held all along, which a drive pipe should be. Zero wall takes usual_wall().
[[nodiscard]] Speed wave_speed(const Water& water, const Pipe& pipe,
                               Restraint restraint = Restraint::anchored_throughout);

/// Joukowsky: dp = rho a dv and dH = a dv / g. In full only if the stop is faster than the round trip.
[[nodiscard]] Pressure joukowsky_pressure(Density density, Speed wave, Speed stopped);
[[nodiscard]] Length joukowsky_head(Speed wave, Speed stopped);

/// 2 L / a.
[[nodiscard]] Duration round_trip(Length length, Speed wave);

/// Rise and drop as shares of the static head for a slow, even closure in time t (Allievi's approximation
/// as given in the Japan MAFF pipeline design manual, ch. 8): K1/2 +- sqrt(K1^2/4 + K1), K1 = (L V/(g H
/// t))^2.
struct SlowClosure {
    double rise, drop;
};
[[nodiscard]] SlowClosure slow_closure(Length length, Speed speed, Length head, Duration closing);

} // namespace beckhand
