// What a visit's screen says in a terminal: the question with numbered answers, the figure to take, the
// finding, the fix with its cautions, the proof.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "app/state.h"

namespace beckhand {

/// Ids of the cautions that were shown in full in this sitting; after that their title is enough.
using ToldCautions = std::set<std::string>;

/// What is on the screen now. Adds the cautions it shows to `told`.
[[nodiscard]] std::string scene_text(const State& state, const Pack& pack, ToldCautions& told);

/// In a fix whose list was shown already: its next step, how many more there are, and the parts used. Adds to `told` too.
[[nodiscard]] std::string next_step_text(const State& state, const Pack& pack, ToldCautions& told);

/// How to look or measure here, what goes wrong with it, and the screen's cautions in full.
[[nodiscard]] std::string how_text(const State& state, const Pack& pack);

/// Questions and minutes so far, and the three likeliest causes.
[[nodiscard]] std::string so_far_text(const State& state, const Pack& pack);

/// The ways in which this visit can be closed now, in the order in which they are numbered.
[[nodiscard]] std::vector<Closing> closings_of(const Scene& scene);
[[nodiscard]] std::string closings_text(const Scene& scene);

} // namespace beckhand
