// What a site may be called, for whoever types a new name. Names that are in the log already are taken as they are.
#pragma once

#include <cstddef>
#include <string_view>

#include "engine/problem.h"

namespace beckhand {

/// Letters of whatever script; a longer one has no room on a phone or on paper.
inline constexpr std::size_t longest_site_name = 80;

/// A Problem for a name that is too long.
[[nodiscard]] Outcome check_site_name(std::string_view name);

} // namespace beckhand
