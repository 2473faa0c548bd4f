// Unit words that people type, turned into factors. Keys are plain: lower case, no spaces or dots, "/" for
// "per", as text_parse.cpp makes them.
#pragma once

#include <optional>
#include <string_view>

#include "engine/quantity/text.h"

namespace beckhand {

/// SI per unit for a word of this kind of figure ("l/min", "gpm", "ft"); absent for a word of another kind,
/// an empty word, and for temperatures, which are points.
[[nodiscard]] std::optional<double> si_per_unit(Figure kind, std::string_view unit);

/// Degrees Celsius of `number` degrees of a scale ("c", "f", "k"); absent for another word.
[[nodiscard]] std::optional<double> celsius_of(double number, std::string_view unit);

} // namespace beckhand
