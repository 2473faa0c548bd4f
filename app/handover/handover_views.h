// The screens of handing a site on: the brief, who takes it, the read-back, and how far it is.
#pragma once

#include <optional>

#include "app/state.h"

namespace beckhand {

[[nodiscard]] std::optional<Intent> handover_view(const State& state, const Pack& pack, kit::Kit& kit);

} // namespace beckhand
