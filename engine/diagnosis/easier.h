// What a less sure hand is asked when it could not tell: an easier look that speaks of the same thing. Pure.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/diagnosis/belief.h"

namespace beckhand {

/// The observation that was answered last, where the answer was that one cannot tell, by somebody who is not the
/// keeper; none otherwise.
[[nodiscard]] std::optional<std::size_t> could_not_tell(const Pack&, const Visit&);

/// Of the observations that can be asked now, the easy one (no figure, no skill, four minutes at most, and no more often
/// answered wrong by this person than the one that was too hard) whose answer shares most with the answer that was not
/// found: the mutual information of the two under this belief, in nats (Shannon 1948). None where all share less than a
/// tenth of what that answer would have told of the causes.
[[nodiscard]] std::optional<std::size_t> easier_look(const Pack&, const Model&, const Belief&, Person by, std::size_t too_hard,
                                                     const std::vector<std::size_t>& askable);

/// The mutual information itself: 0 where the answers of the two say nothing of each other.
[[nodiscard]] double shared_information(const Model&, const Belief&, std::size_t one, std::size_t other);

/// The mutual information of an observation's answer and the hypotheses; never less than it shares with another answer.
[[nodiscard]] double told_of_causes(const Model&, const Belief&, std::size_t observation);

} // namespace beckhand
