// The screens of a site: the list, the sheet of one site, and the form that changes it.
#pragma once

#include <optional>

#include "app/state.h"

namespace beckhand {

[[nodiscard]] std::optional<Intent> site_list_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> site_sheet_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> site_edit_view(const State& state, const Pack& pack, kit::Kit& kit);

} // namespace beckhand
