// How likely each cause is at this visit before the first question: the pack's weight, moved by what is known of
// the season, of the site, of earlier repairs there, and of what this log's own repairs have proved to be common.
#pragma once

#include <string>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"

namespace beckhand {

/// All contexts of the pack together move a cause by no more than this many times, either way.
inline constexpr double most_context = 8;
/// The pack's own weights count as much as this many proved repairs, and fewer than `learns_from` count nothing;
/// no cause is moved by more than `most_learned` times, either way.
inline constexpr double pack_counts_as = 60, learns_from = 5, most_learned = 3;

/// Whether this context of the pack holds for the visit.
[[nodiscard]] bool holds(const Context&, const Visit&);

/// How many times likelier than the pack says each cause is, in the pack's order; all above zero and finite.
[[nodiscard]] std::vector<double> prior_times(const Pack&, const Visit&);

/// The part of prior_times that was learned from proved repairs: (60 p + n) / ((60 + N) p), p the pack's share, n the
/// cause's repairs, N all of them (a Dirichlet prior worth 60 visits), within the limits above.
[[nodiscard]] std::vector<double> learned_times(const Pack&, const std::map<std::string, double>& proved);

/// Why this cause is likelier or less likely here than elsewhere: "Likelier in leaf-fall." Empty: it is as usual.
[[nodiscard]] std::vector<std::string> prior_words(const Pack&, const Visit&, std::size_t cause);

} // namespace beckhand
