// The screens of measuring with what the hand has: the choice of a way, and one screen for each kind of way.
#pragma once

#include <optional>
#include <string_view>

#include "app/state.h"

namespace beckhand {

[[nodiscard]] std::optional<Intent> measuring_view(const State& state, const Pack& pack, kit::Kit& kit);

// --- its parts ---
[[nodiscard]] std::optional<Intent> tap_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> ear_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> bucket_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> slots_view(const State& state, const Pack& pack, kit::Kit& kit);

/// Begins the screen with the name of the way.
void begin_measuring(const State& state, kit::Kit& kit, std::string_view id);
/// The figure, large, with how far it may be off; a dash before there is one.
void figure_words(const State& state, const Pack& pack, kit::Kit& kit, const MeasuredFigure& made);
/// What is good about it, what to mind, and how it fits the site.
void remarks(const State& state, const Pack& pack, kit::Kit& kit, const MeasuredFigure& made);
/// Back at the left, use it at the right.
[[nodiscard]] std::optional<Intent> measuring_bar(kit::Kit& kit, const MeasuredFigure& made);
/// How it is done, as a small drawing. Height 0: what the screen leaves.
void draw_way(kit::Kit& kit, Way way, float height_px);

inline constexpr std::string_view help_words = "Help me measure";
/// Where a figure has ways to be measured: the offer, as a quiet line. Nothing where it has none.
[[nodiscard]] std::optional<Intent> offer_help(kit::Kit& kit, std::string_view wanted);
/// The same in the middle of the bar, where it takes no room from the keys.
[[nodiscard]] std::optional<Intent> help_in_bar(kit::Kit& kit, std::string_view wanted);

} // namespace beckhand
