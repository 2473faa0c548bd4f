// The screens of a visit, one for each stage of the scene, and the pieces they share.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "app/state.h"

namespace beckhand {

/// The view of the scene's stage.
[[nodiscard]] std::optional<Intent> visit_view(const State& state, const Pack& pack, kit::Kit& kit);

[[nodiscard]] std::optional<Intent> first_sight_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> stop_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> clash_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> question_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> measure_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> finding_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> check_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> unchecked_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> fix_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> proof_measure_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> proof_look_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> verdict_view(const State& state, const Pack& pack, kit::Kit& kit);
[[nodiscard]] std::optional<Intent> ended_view(const State& state, const Pack& pack, kit::Kit& kit);

// --- shared by them (common.cpp) ---

/// A phone upright: what explains is folded there, or the answers would not be seen.
[[nodiscard]] bool little_room(const kit::Kit& kit);
/// Begins the screen: the site's name, and how many were asked and how long it took; or instead, where there is little
/// room for say_doubt, that something does not fit. More says what.
void begin_visit_screen(const State& state, kit::Kit& kit, std::string_view id);
/// What Back took back, if it just did.
void say_taken_back(const State& state, const Pack& pack, kit::Kit& kit);
/// Above all else where it is not empty: what does not fit at all, and what to look at again.
void say_doubt(const State& state, kit::Kit& kit);
/// What would change the conclusion, and the answer that it rests on.
void doubt_lines(const State& state, kit::Kit& kit);
/// Where another kind of person goes on than the one who began: to be said once.
[[nodiscard]] std::optional<Intent> answers_now(const State& state, kit::Kit& kit);
/// The part in the pump's drawing or in that of the whole installation. Height 0: what the screen leaves.
void draw_part(const State& state, kit::Kit& kit, std::string_view part, float height_px);
/// The titles of these cautions under one sign; pressed, a card for each. True when pressed.
[[nodiscard]] bool caution_titles(const Pack& pack, kit::Kit& kit, std::span<const std::string> ids, bool open);
/// A card for each caution, in the order given.
void caution_cards(const Pack& pack, kit::Kit& kit, std::span<const std::string> ids);
/// Their titles in view without unfolding anything: those of stop rules, then the ordinary ones.
void mind_line(const Pack& pack, kit::Kit& kit, std::span<const std::string> ids);
/// Their titles on one card, pressed to read them in full; nothing for an empty list.
[[nodiscard]] std::optional<Intent> caution_summary(const State& state, const Pack& pack, kit::Kit& kit,
                                                    std::span<const std::string> ids);
/// Room between two answers that mean the opposite, so that a slip of the finger does not turn the verdict.
void opposite_gap(kit::Kit& kit);
/// "Take: rake, stiff brush"; nothing for an empty list.
void list_line(kit::Kit& kit, std::string_view label, std::span<const std::string> things);
/// The name of a cause; its last index is "something else".
[[nodiscard]] std::string cause_name(const Pack& pack, std::size_t cause);
/// The three likeliest causes, in words.
void likeliest(const State& state, const Pack& pack, kit::Kit& kit);
/// The two ways out of a visit that is not finished: leave it open, or close it.
[[nodiscard]] std::optional<Intent> ways_out(const State& state, kit::Kit& kit);
/// Folded: why this is asked, what it looks like so far, and the ways out.
[[nodiscard]] std::optional<Intent> more_panel(const State& state, const Pack& pack, kit::Kit& kit);
/// The keypad for the scene's measurement; accept stands in the bar.
[[nodiscard]] std::optional<Intent> measurement_keypad(const State& state, const Pack& pack, kit::Kit& kit);
/// How the figure is taken and how well: one press changes between careful and hurried.
[[nodiscard]] std::optional<Intent> care_tick(const State& state, kit::Kit& kit);
/// Back, at the left of the bar.
[[nodiscard]] bool back_button(kit::Kit& kit);

} // namespace beckhand
