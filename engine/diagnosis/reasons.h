// The words for what is believed and asked: why this cause, what speaks against it, why this question, how
// sure. Plain sentences for a helper; strongest first.
#pragma once

#include <string>
#include <vector>

#include "engine/diagnosis/next_step.h"

namespace beckhand {

struct Reason {
    std::string words;       // "The strainer is matted over"
    double decibans = 0;     // 10 log10 of the odds this moved towards the cause; negative: against
    std::string strength;    // "nearly settles it", "strongly", "speaks for it", "hints", and mirrored
};

struct Reasons {
    std::vector<Reason> for_it;      // at most three, strongest first
    std::vector<Reason> against_it;  // at most two
    std::string how_common;          // the prior in words
    std::string how_sure;            // "about 7 times in 10"
    std::string second;              // the runner-up and how to tell them apart; may be empty. Never one that
                                     // was tried in vain; one that was put aside only where it is likelier
    bool likelier_left = false;      // the runner-up is likelier than this
};

/// For a cause, or for "something else". Figures in the words are in the units of the grounds. `without`: what
/// beliefs_without says of these grounds.
[[nodiscard]] Reasons reasons_for(const Pack&, const Model&, const Visit&, const Grounds&, const Belief&,
                                  const std::vector<Belief>& without, std::size_t cause);

/// How a finding that is offered stands: most likely, or not sure and why it is worth a try, or repaired and
/// not proved yet. No full stop at its end.
[[nodiscard]] std::string standing_of(const Pack&, const Visit&, const Offer&, std::size_t cause, const Reasons&);

/// Said first of what is asked because something else could not be told (Offer::easier_than).
inline constexpr const char* easier_words = "This is easier to see, and speaks of the same. ";

/// Why this is asked now, in one or two sentences.
[[nodiscard]] std::string why_asked(const Pack&, const Model&, const Visit&, const Offer&);

/// "about 7 times in 10", "almost certain", "less than 1 time in 10".
[[nodiscard]] std::string sureness(double chance);

} // namespace beckhand
