// "Did you mean": the known word nearest to the one that was written.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace beckhand {

/// Letters to add, take away or change to get from one word to the other (Levenshtein 1966).
[[nodiscard]] std::size_t edit_distance(std::string_view a, std::string_view b);

/// The known word that differs least, if it differs little enough to be a slip (a third of its letters, at
/// least two); empty otherwise. Ties go to the earlier word.
[[nodiscard]] std::string nearest(std::string_view word, const std::vector<std::string>& known);

/// A sentence for the `todo` of a finding: "Did you mean "tools"?", or the known words when there are few
/// and none is near, or nothing.
[[nodiscard]] std::string did_you_mean(std::string_view word, const std::vector<std::string>& known);

} // namespace beckhand
