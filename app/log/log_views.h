// The log: the list of visits, and one of them read again.
#pragma once

#include <optional>

#include "app/state.h"

namespace beckhand {

[[nodiscard]] std::optional<Intent> log_list_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> record_view(const State& state, const Pack& pack, kit::Kit& kit);

} // namespace beckhand
