// Before help is called: help costs a day, a second look some minutes. What is likeliest wrong of what was answered is
// looked at once more, and a check that did not find what nearly all speaks for is made once more. METHOD.md states the
// rule.
#pragma once

#include <optional>

#include "engine/diagnosis/next_step.h"

namespace beckhand {

/// Of a visit; a check made once more is not counted.
inline constexpr std::size_t most_second_looks = 3;

/// How likely it is that whoever gave this answer was wrong, as belief stands; 0 where nobody could tell, and of figures.
[[nodiscard]] double slip_chance(const Model&, const Belief&, const Fact&);

/// What to do once more: look at the answer that is likeliest wrong, where that is likely enough to be worth its minutes
/// (each once, three in all), else make the check that was made once and did not find a cause still held likely.
/// `help_minutes`: what a call for help costs.
[[nodiscard]] std::optional<Offer> second_look(const Pack&, const Model&, const Visit& whole, const Grounds&, const Belief&,
                                               double help_minutes);

} // namespace beckhand
