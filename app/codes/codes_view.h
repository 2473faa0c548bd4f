// The screen of a site as codes, and its state on the site sheet.
#pragma once

#include "app/state.h"

namespace beckhand {

[[nodiscard]] std::optional<Intent> codes_view(const State& state, const Pack& pack, kit::Kit& kit);

/// What became of the hand-overs of this site, newest first, a line each; nothing when there was none.
[[nodiscard]] std::vector<std::string> hand_over_lines(const State& state, const std::string& site_id);

} // namespace beckhand
