// Answers with their drawings, and the pump at work as this visit knows it.
#pragma once

#include <string_view>

#include "app/kit/installation.h"
#include "app/state.h"

namespace beckhand {

/// An answer button with the drawing of the answer beside its words, where there is one.
[[nodiscard]] bool drawn_answer(kit::Kit& kit, std::string_view id, std::string_view words, const Pointed& means,
                                bool chosen = false);

/// Figures measured in this visit, else those on the site's record; and how the pump moves.
[[nodiscard]] kit::AtWork at_work(const State& state);

} // namespace beckhand
