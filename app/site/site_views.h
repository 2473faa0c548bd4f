// The screens of a site: the list, the sheet of one site, the form that changes it, its trend, and a round.
#pragma once

#include <optional>

#include "app/state.h"

namespace beckhand {

[[nodiscard]] std::optional<Intent> site_list_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> site_sheet_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> site_edit_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> trend_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> round_view(const State& state, const Pack& pack, kit::Kit& kit);

} // namespace beckhand
