// A glass that does not know its own size: a bank card is laid on it, and the sizes are fitted to the card.
#pragma once

#include <optional>

#include "app/state.h"

namespace beckhand {

/// The short side of a card of format ID-1, in millimetres (ISO/IEC 7810, from memory).
inline constexpr float card_short_mm = 53.98f;

[[nodiscard]] std::optional<Intent> glass_view(const State& state, const Pack& pack, kit::Kit& kit);

} // namespace beckhand
