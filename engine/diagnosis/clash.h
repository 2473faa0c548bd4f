// Two answers of a visit that the pack calls impossible together: caught as soon as the second one is said,
// told in words, and never taken away from the person, who may have seen both.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"

namespace beckhand {

/// An answer as it stands in a visit: given by a person, or following from figures of this visit.
struct Said {
    Pointed what;
    bool from_figures = false;
    int number = 0;              // of the event that said it last
};

struct Clash {
    std::size_t row = 0;         // index in pack.impossible
    Said earlier, later;
    bool kept = false;           // the person was told and keeps both
};

/// How sure a figure must be of its answer to be set against what was said.
inline constexpr double clear_band = 0.95;

/// Every clash of the visit, the latest first. Left out are facts of before a repair that helped, and pairs
/// said of two states of the pump (hanging still, and beating after a start by hand): those are no one moment.
/// What a pump is doing while something is looked at follows from the answer, from what the question needs,
/// or from the latest word before it.
[[nodiscard]] std::vector<Clash> clashes_of(const Pack&, const Visit&);

/// The latest one that the person has not settled yet.
[[nodiscard]] std::optional<Clash> open_clash(const Pack&, const Visit&);

/// "Both are what I see": the answer that a person gave is said once more.
[[nodiscard]] Answered keep_both(const Visit&, const Clash&);

} // namespace beckhand
