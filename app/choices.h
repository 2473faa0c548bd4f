// Choices kept between starts: units, light, size of the letters, who is at work, who answers, and whether the
// program learns from the log.
#pragma once

#include <optional>

#include "app/state.h"

namespace beckhand {

[[nodiscard]] std::optional<Intent> choices_view(const State& state, const Pack& pack, kit::Kit& kit);

} // namespace beckhand
