// A measurement's figure in words: which kind of figure it is, and how it is shown.
#pragma once

#include <string>

#include "engine/diagnosis/pack.h"
#include "engine/quantity/text.h"

namespace beckhand {

/// The kind of figure by the measurement's unit; lengths below a metre at most are bores.
[[nodiscard]] Figure figure_of(const Measurement& how);

/// "12.5 L/min" for a value in the measurement's SI unit.
[[nodiscard]] std::string format_measured(const Measurement& how, double value_si, Units units);

} // namespace beckhand
